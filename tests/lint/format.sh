#!/usr/bin/env bash
# The C files are laid out as .clang-format says; `make format` does it.
set -euo pipefail
bad=0
while read -r -d '' file; do
    clang-format --dry-run -Werror "$file" 2>/dev/null || { echo "$file: to be formatted"; bad=1; }
done < <(find lang tests -name '*.[ch]' ! -path 'tests/cases/*' -print0 | sort -z)
exit "$bad"
