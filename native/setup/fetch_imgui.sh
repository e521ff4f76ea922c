#!/usr/bin/env bash
# Fetches Dear ImGui's source into FOLDER/imgui (see fetch_source.sh).
#   usage: fetch_imgui.sh FOLDER
set -euo pipefail
sum=0dace0e8e57d298eb6e93af12dc19420cb96330832f6495c733b90aeeef11f64
exec bash "$(dirname "$0")/fetch_source.sh" imgui "$sum" "${1:?usage: fetch_imgui.sh FOLDER}"
