#!/usr/bin/env bash
# Fetches the source of meshoptimizer, which makes lighter forms of bodies, into FOLDER/meshoptimizer (see fetch_source.sh).
#   usage: fetch_meshoptimizer.sh FOLDER
set -euo pipefail
sum=881ea2cc687f1fef5ce70484e0ca6504e13856dd856677749f3763bc685956d3
exec bash "$(dirname "$0")/fetch_source.sh" meshoptimizer "$sum" "${1:?usage: fetch_meshoptimizer.sh FOLDER}"
