#!/usr/bin/env bash
# The checks that decide whether a change lands: installs what they need, builds natively and for the web, and runs them
# under ctest. Still by hand: sanitizers and fuzzers (tests/fuzz/run.sh), CGAL and meshio (tests/outside), the window, and the
# unit tests under Node. Names of tests as arguments run those alone: bash tests/run.sh unit browser
set -euo pipefail
cd "$(dirname "$0")/.."
bash native/setup/packages.sh test
export NODE_PATH=/usr/share/nodejs

cmake --preset native >/dev/null
cmake --build --preset native --target intercusp intercusp_tests
cmake --preset web >/dev/null
cmake --build --preset web --target site
for folder in tests/glb tests/browser; do
  (cd "$folder" && npm ci --no-audit --no-fund --loglevel=error >/dev/null)
done

only=()
if [ $# -gt 0 ]; then only=(-R "^($(IFS='|'; echo "$*"))\$"); fi
ctest --test-dir build/native --output-on-failure --no-tests=error -j2 "${only[@]}"
