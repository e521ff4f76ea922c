#!/usr/bin/env bash
# The Class III sample from records to the sheet for theatre: cut, moved, closed, checked, on paper. Every step is a command
# that can be given by hand.
#   usage: class3_to_sheet.sh PROGRAM FOLDER [TRIANGLES]
set -euo pipefail
usage="usage: class3_to_sheet.sh PROGRAM FOLDER [TRIANGLES]"
program=${1:?$usage} folder=${2:?$usage} triangles=${3:-100000}
mkdir -p "$folder"
case=$folder/class3.glb
"$program" sample class3 --bone --triangles "$triangles" -o "$case" --force
"$program" measure "$case"
for kind in lefort1 split_right split_left; do
  "$program" cut "$case" --plan A --kind "$kind" -o "$case" --force
done
"$program" move "$case" --plan A --segment maxilla --forward 5 --up 3 -o "$case" --force
"$program" close "$case" --plan A --until splint:1 -o "$case" --force
"$program" move "$case" --plan A --segment mandible --forward -2 -o "$case" --force
"$program" measure "$case" --plan A
"$program" contact "$case" --plan A --between maxilla upper_bone_above
"$program" sheet "$case" --plan A -o "$folder/class3-sheet.pdf" --force
