#!/usr/bin/env bash
# Fetches the upstream source of one of Debian's source packages into FOLDER, checks it against the checksum given and
# unpacks it to FOLDER/PACKAGE. Does nothing when it is there already. The system's own package lists are not touched: a
# private set of lists with source entries is used.
#   usage: fetch_source.sh PACKAGE SHA256 FOLDER
set -euo pipefail
usage="usage: fetch_source.sh PACKAGE SHA256 FOLDER"
package=${1:?$usage} sum=${2:?$usage} folder=${3:?$usage}
mkdir -p "$folder"
folder=$(cd "$folder" && pwd)
if [ -f "$folder/$package/.complete-$sum" ]; then exit 0; fi

work=$(mktemp -d "$folder/fetch.XXXXXX")
trap 'rm -rf "$work"' EXIT
mkdir -p "$work/parts" "$work/lists/partial" "$work/source"
# Every Debian entry of this system, asked for sources instead of binaries.
for file in /etc/apt/sources.list.d/*.sources; do
  [ -f "$file" ] || continue
  grep -q '/debian-archive-keyring' "$file" || continue
  sed 's/^Types:.*/Types: deb-src/' "$file" > "$work/parts/$(basename "$file")"
done
if [ -f /etc/apt/sources.list ]; then
  grep -E '^deb(-src)? ' /etc/apt/sources.list | grep -v 'deb-src' | sed 's/^deb /deb-src /' > "$work/parts/system.list" || true
fi
options=(-o "Dir::Etc::sourcelist=/dev/null" -o "Dir::Etc::sourceparts=$work/parts" -o "Dir::State::lists=$work/lists"
         -o "APT::Sandbox::User=root" -qq)
apt-get "${options[@]}" update
(cd "$work/source" && apt-get "${options[@]}" source --tar-only --download-only "$package")
archive=$(find "$work/source" -name "${package}_*.orig.tar.*" ! -name '*.asc' | head -n 1)
if [ -z "$archive" ]; then
  echo "fetch_source: Debian's source package of $package did not arrive; check the network and the system's package sources" >&2
  exit 1
fi
echo "$sum  $archive" | sha256sum --check --quiet || {
  echo "fetch_source: $(basename "$archive") is not the expected file (checksum differs)" >&2
  exit 1
}
rm -rf "${folder:?}/$package"
mkdir -p "$work/unpacked"
tar -xf "$archive" -C "$work/unpacked" --strip-components=1
touch "$work/unpacked/.complete-$sum"
mv "$work/unpacked" "$folder/$package"
