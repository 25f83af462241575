#!/usr/bin/env bash
# No writable data outlives a call: the library holds no symbol in .data or .bss, hence many laws and
# reviews can be held at once, on many threads. The one exception is the switch that bison's traces read.
# environment: OUT
set -euo pipefail
found=$(nm -A "$OUT/libshall.a" | awk 'NF > 1 && $(NF - 1) ~ /^[BbDdCGgSs]$/ && $NF !~ /debug$/ && $NF !~ /^(\.L|DW\.ref)/')
# Pointers to constants that the linker must fill in are in .data.rel.ro, which is read-only at run time.
readonly_data=$(objdump -t "$OUT/libshall.a" | awk 'NF > 3 && $(NF - 2) ~ /^\.data\.rel\.ro/ { print $NF }')
bad=0
while read -r line; do
    [ -n "$line" ] || continue
    grep -qxF -- "${line##* }" <<<"$readonly_data" || { echo "writable: $line"; bad=1; }
done <<<"$found"
exit "$bad"
