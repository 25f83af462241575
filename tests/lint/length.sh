#!/usr/bin/env bash
# No source file over 800 lines.
set -euo pipefail
find lang tests \( -name '*.[chly]' -o -name '*.def' -o -name '*.sh' \) ! -path 'tests/cases/*' -exec awk '
    FNR == 801 { print FILENAME ": over 800 lines"; bad = 1 } END { exit bad }' {} +
