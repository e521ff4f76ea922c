#!/usr/bin/env bash
# From a bare Debian 12 to the running program: installs the packages, builds the native and the web program and serves the
# web program. Quick when run again: nothing is rebuilt that did not change. Shared cases are kept, sealed, in this user's own
# data folder unless --store names another.
#   usage: bash native/run.sh [--port 8080] [--store DIR]
set -euo pipefail
cd "$(dirname "$0")/.."
bash native/setup/packages.sh build
export NODE_PATH=/usr/share/nodejs
cmake --preset native >/dev/null
cmake --build --preset native --target intercusp intercusp_documents
cmake --preset web >/dev/null
cmake --build --preset web --target site
exec build/native/native/intercusp serve --store "${XDG_DATA_HOME:-${HOME:-.}/.local/share}/intercusp/shared" "$@"
