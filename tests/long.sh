#!/bin/bash
# Checks that take hours, for before a release: every parser under at least ten million fuzzer executions.
#   tests/long.sh [COUNT]
set -euo pipefail
cd "$(dirname "$0")/.."
# On a machine that does nothing else: an input that takes longer than 5 s counts as a hang, and waiting counts too.
bash tests/fuzz/run.sh "${1:-10000000}"
