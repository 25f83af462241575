#!/usr/bin/env bash
# gcc's warnings and its analyser on the hand-written files, each an error.
# environment: STD, WARN, JOBS
set -euo pipefail
# shellcheck disable=SC2086  # words are meant to split here
find lang -name '*.c' -print0 | sort -z |
    xargs -0 -r -n 1 -P "$JOBS" gcc $STD $WARN -fanalyzer -fdiagnostics-path-format=separate-events -Werror -c -o /dev/null
