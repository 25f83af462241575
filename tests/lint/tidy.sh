#!/usr/bin/env bash
# clang-tidy on the hand-written files, one file per call (.clang-tidy says why).
# environment: STD, JOBS
set -euo pipefail
check() {
    local output
    # shellcheck disable=SC2086  # words are meant to split here
    output=$(clang-tidy --quiet "$1" -- $STD 2>/dev/null) && return 0
    printf '%s\n' "$output"
    return 1
}
if [ "${1:-}" = --one ]; then
    check "$2"
    exit
fi
find lang -name '*.c' -print0 | sort -z | xargs -0 -r -n 1 -P "$JOBS" "$0" --one
