#!/usr/bin/env bash
# Installs from Debian what the programs (build), the tests (test) or the benchmarks (bench) need and what is not there yet. As root, or with sudo.
#   usage: packages.sh build|test|bench
set -euo pipefail
what=${1:?usage: packages.sh build|test|bench}

wanted=(g++ cmake ninja-build emscripten libeigen3-dev nlohmann-json3-dev doctest-dev libcli11-dev libstb-dev libglfw3-dev libgles-dev
        libegl-dev libboost-dev libssl-dev libsqlite3-dev fonts-inter python3 python3-fonttools brotli libdeflate-tools esbuild dpkg-dev ca-certificates xz-utils)
if [ "$what" = test ]; then
  wanted+=(libcgal-dev python3-numpy python3-scipy python3-meshio lib3mf1 assimp-utils chromium xvfb xauth xdotool x11-utils
           imagemagick libgl1-mesa-dri libegl-mesa0
           clang libclang-rt-14-dev clang-format curl poppler-utils desktop-file-utils mandoc)
  command -v npm >/dev/null || wanted+=(npm)
fi
if [ "$what" = bench ]; then
  wanted+=(libembree-dev libfcl-dev libccd-dev liboctomap-dev libopen3d-dev python3-vtk9)  # what tests/bench holds the engine against
fi
command -v node >/dev/null || wanted+=(nodejs)

missing=()
for package in "${wanted[@]}"; do
  dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' || missing+=("$package")
done
[ ${#missing[@]} -gt 0 ] || exit 0

as_root=()
if [ "$(id -u)" != 0 ]; then
  command -v sudo >/dev/null || { echo "packages.sh: needs root, or sudo, to install: ${missing[*]}" >&2; exit 1; }
  as_root=(sudo)
fi
echo "Installing ${#missing[@]} packages from Debian: ${missing[*]}"
"${as_root[@]}" apt-get update -qq
"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
