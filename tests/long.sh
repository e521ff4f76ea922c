#!/bin/bash
# Checks that take hours, for before a release: every parser under at least ten million fuzzer executions.
#   tests/long.sh [COUNT]
set -euo pipefail
cd "$(dirname "$0")/.."
# At low priority the process may have to wait, and the clock of the time limit counts that too.
FUZZ_TIMEOUT=60 nice -n 10 bash tests/fuzz/run.sh "${1:-10000000}"
