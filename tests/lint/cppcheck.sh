#!/usr/bin/env bash
# cppcheck on the hand-written files. Left out: unknownEvaluationOrder, which takes the designators of two
# compound literals for side effects (gcc's -Wsequence-point sees the real ones).
# environment: JOBS, OUT
set -euo pipefail
mkdir -p "$OUT/cppcheck"
cppcheck -q -j "$JOBS" --std=c11 --enable=warning,style,performance,portability --inline-suppr \
    --cppcheck-build-dir="$OUT/cppcheck" --error-exitcode=1 -D_POSIX_C_SOURCE=200809L -Ilang -Ilang/include \
    --suppress=missingIncludeSystem --suppress=unusedStructMember --suppress=variableScope \
    --suppress=unknownEvaluationOrder lang
