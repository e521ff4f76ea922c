#!/usr/bin/env bash
# Makes every sample as files: the case, both arches as STL, the landmarks and the exact truth. Needs the native build.
#   usage: bash samples/make.sh FOLDER [TRIANGLES]
set -euo pipefail
folder=${1:?usage: bash samples/make.sh FOLDER [TRIANGLES]}
triangles=${2:-100000}
program=$(dirname "$0")/../build/native/native/intercusp
mkdir -p "$folder"
"$program" sample | awk '$1 != "random" { print $1 }' | while read -r name; do
  to=$folder/$name
  "$program" sample "$name" --triangles "$triangles" --truth "$to.truth.json" -o "$to.glb" --force
  "$program" export "$to.glb" --body upper_arch -o "$to.upper.stl" --force
  "$program" export "$to.glb" --body lower_arch -o "$to.lower.stl" --force
  "$program" export "$to.glb" --landmarks -o "$to.landmarks.json" --force
done
