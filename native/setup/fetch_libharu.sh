#!/usr/bin/env bash
# Fetches the source of libharu, which writes the theatre sheet's PDF, into FOLDER/libharu (see fetch_source.sh).
#   usage: fetch_libharu.sh FOLDER
set -euo pipefail
sum=87e8269d4b1b333a6e44168b4209bc6442ae3a11557cc8dc386fed65400bd34e
exec bash "$(dirname "$0")/fetch_source.sh" libharu "$sum" "${1:?usage: fetch_libharu.sh FOLDER}"
