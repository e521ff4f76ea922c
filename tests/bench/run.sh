#!/bin/bash
# The distance engine against Embree, FCL, Open3D, VTK and manifold-3d on the same bodies and poses (docs/engine.md).
# Before: `bash native/setup/packages.sh bench`, `npm install --prefix tests/bench`, and the preset `bench` built.
#   tests/bench/run.sh [TRIANGLES...]          on a machine that does nothing else; half an hour
set -euo pipefail
cd "$(dirname "$0")/../.."
[ $# -gt 0 ] || set -- 20000 100000 500000 1000000
bench=build/bench/tests/bench/engine_bench
bodies=$(mktemp -d)
trap 'rm -rf "$bodies"' EXIT
"$bench" --write "$bodies" "$@"
node tests/bench/volume_manifold.mjs "$bodies"
/usr/bin/python3 tests/bench/stl_vtk.py "$bodies"
"$bench" --rivals "$bodies/rivals.txt" "$@"
