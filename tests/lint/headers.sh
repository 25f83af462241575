#!/usr/bin/env bash
# Every header can be included alone, and twice.
# environment: STD, WARN, JOBS
set -euo pipefail
if [ "${1:-}" = --one ]; then
    header=${2#lang/}
    # shellcheck disable=SC2086  # words are meant to split here
    printf '#include "%s"\n#include "%s"\ntypedef int not_empty;\n' "$header" "$header" |
        gcc $STD $WARN -Werror -fsyntax-only -x c - || { echo "$2: not self-contained"; exit 1; }
    exit
fi
find lang -name '*.h' -print0 | sort -z | xargs -0 -r -n 1 -P "$JOBS" "$0" --one
