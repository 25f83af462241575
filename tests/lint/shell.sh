#!/usr/bin/env bash
# Every shell script passes shellcheck; a script is known by its name or by its first line.
set -euo pipefail
{
    find .ci tests -type f -name '*.sh'
    find .ci tests -type f ! -path 'tests/cases/*' -exec awk '
        FNR == 1 { if (/^#!.*[\/ ](ba|da)?sh( |$)/) print FILENAME; nextfile }' {} +
} | sort -u | xargs -r -d '\n' shellcheck
