#!/bin/bash
# Runs every libFuzzer target for a fixed number of executions, one after the other:
#   tests/fuzz/run.sh COUNT [TARGET ...]        (a target: stl, ply, obj, glb, landmarks, case, link, practice, question,
#   review, entry, picture)
# Builds what is missing with the `native-sanitize` preset (clang, libclang-rt-14-dev). Stops at the first crash, hang (5 s,
# or FUZZ_TIMEOUT on a busy machine) or use of more than 1 GiB; the input that did it stays in
# build/native-sanitize/found/TARGET/. New inputs of interest are kept there too, so that later runs go on from them; the
# seeds in tests/fuzz/corpus are never changed.
set -euo pipefail
count=${1:?usage: tests/fuzz/run.sh COUNT [TARGET ...]}
shift
root=$(cd "$(dirname "$0")/../.." && pwd)
build=$root/build/native-sanitize
cd "$root"

names=("$@")
if [ ${#names[@]} -eq 0 ]; then
  for source in tests/fuzz/*_fuzz.cpp; do
    name=$(basename "$source" _fuzz.cpp)
    names+=("$name")
  done
fi

[ -f "$build/build.ninja" ] || cmake --preset native-sanitize >/dev/null
cmake --build "$build" --target "${names[@]/%/_fuzz}" >"$build/fuzz-build.log" || { cat "$build/fuzz-build.log"; exit 1; }

for name in "${names[@]}"; do
  found=$build/found/$name
  mkdir -p "$found/corpus" "$found/crashes"
  folders=("$found/corpus")
  if [ -d "tests/fuzz/corpus/$name" ]; then folders+=("tests/fuzz/corpus/$name"); fi
  log=$found/last.log
  echo "fuzz $name: $count executions"
  if ! "$build/tests/fuzz/${name}_fuzz" -runs="$count" -max_len=65536 -timeout="${FUZZ_TIMEOUT:-5}" -rss_limit_mb=1024 -seed=1 \
    -print_final_stats=1 -verbosity=0 -artifact_prefix="$found/crashes/" \
    "${folders[@]}" >"$log" 2>&1; then
    tail -40 "$log"
    echo "fuzz $name FAILED; the input is in $found/crashes/"
    exit 1
  fi
  grep -E 'number_of_executed_units|average_exec_per_sec|peak_rss_mb' "$log" | sed 's/^stat::/  /' || true
done
