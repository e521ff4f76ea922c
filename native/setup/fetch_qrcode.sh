#!/usr/bin/env bash
# Fetches the source of the QR code generator, which draws a link to be photographed, into FOLDER/qr-code-generator (see
# fetch_source.sh).
#   usage: fetch_qrcode.sh FOLDER
set -euo pipefail
sum=2ec0a4d33d6f521c942eeaf473d42d5fe139abcfa57d2beffe10c5cf7d34ae60
exec bash "$(dirname "$0")/fetch_source.sh" qr-code-generator "$sum" "${1:?usage: fetch_qrcode.sh FOLDER}"
