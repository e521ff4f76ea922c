#!/usr/bin/env bash
# The checks that decide whether a change lands: installs what they need, builds natively, for the web and with sanitizers,
# and runs everything under ctest. Names of tests as arguments run those alone: bash tests/run.sh unit browser
set -euo pipefail
cd "$(dirname "$0")/.."
bash native/setup/packages.sh test
export NODE_PATH=/usr/share/nodejs

for preset in native web native-sanitize; do cmake --preset "$preset" >/dev/null; done
# Two at a time: the last large source of one build would leave the other cores without work.
build() { for preset in "$@"; do cmake --build --preset "$preset" --parallel "$jobs"; done; }
jobs=$((($(nproc) + 3) / 2))
build native & lanes=($!)
build web native-sanitize & lanes+=($!)
for lane in "${lanes[@]}"; do wait "$lane" || { wait; echo "run.sh: a build failed, see above" >&2; exit 1; }; done
for folder in tests/glb tests/browser; do
  if [ ! "$folder/node_modules/.package-lock.json" -nt "$folder/package-lock.json" ]; then
    (cd "$folder" && npm ci --no-audit --no-fund --loglevel=error >/dev/null)
  fi
done

only=()
if [ $# -gt 0 ]; then only=(-R "^($(IFS='|'; echo "$*"))\$"); fi
# One more than there are cores: the browser's tests wait for frames and files a third of their time.
ctest --test-dir build/native --output-on-failure --no-tests=error -j$(($(nproc) + 1)) "${only[@]}"
