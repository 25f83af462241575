#!/usr/bin/env bash
# Holds the factor, the offset and the dimension of every unit against GNU units (Debian package
# "units"), an independent table. The last line counts; a unit that units.tsv lacks is a failure.
# usage: tests/facts/units.sh     environment: OUT (build)
set -euo pipefail
cd "$(dirname "$0")/../.."
out=${OUT:-build}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

sanitize=()
if [[ $out == */asan ]]; then sanitize=("-fsanitize=address,undefined"); fi
read -ra libs <<<"$(pkg-config --libs mpfr gmp)"
"${CC:-gcc}" -std=c11 -D_POSIX_C_SOURCE=200809L "${sanitize[@]}" -Ilang -o "$work/unit_dump" \
    tests/facts/unit_dump.c "$out/libshall.a" "${libs[@]}"

table=tests/facts/units.tsv
mapfile -t spellings < <(grep -v '^#' "$table" | cut -f 1)
"$work/unit_dump" "${spellings[@]}" >"$work/ours" # ends the script when one is unknown
"$work/unit_dump" >"$work/simple"

failed=0
while IFS=$'\t' read -r spelling _; do
    grep -qF -- "$spelling"$'\t' <(grep -v '^#' "$table") || {
        echo "$spelling: not in $table"
        failed=$((failed + 1))
    }
done <"$work/simple"

# What GNU units answers for "have" in "want", 15 digits, nothing but the number.
convert() { units --terse --digits 15 --compact -- "$1" "$2" 2>&1; }

# Columns: spelling, number put in, our factor and offset, GNU's answer.
while IFS=$'\t' read -r spelling factor offset coherent; do
    theirs=$(grep -v '^#' "$table" | awk -F '\t' -v name="$spelling" '$1 == name { print $2 }')
    case $theirs in
    temp?) # a scale is no factor: two numbers on it
        for number in 0 100; do
            printf '%s\t%s\t%s\t%s\t%s\n' "$spelling" "$number" "$factor" "$offset" \
                "$(convert "$theirs($number)" "$coherent" || true)"
        done
        ;;
    *)
        printf '%s\t1\t%s\t%s\t%s\n' "$spelling" "$factor" "$offset" \
            "$(convert "$theirs" "$coherent" | tr '\n' ' ' || true)"
        ;;
    esac
done <"$work/ours" >"$work/pairs"

awk -F '\t' -v failed="$failed" '
    function fraction(text, part) { return split(text, part, "/") == 2 ? part[1] / part[2] : text + 0 }
    {
        ours = ($2 + fraction($4)) * fraction($3)
        error = ($5 + 0) / ours - 1
        if ($5 !~ /^[0-9.e+-]+ *$/ || error > 1e-12 || error < -1e-12) {
            printf "%s: %s here, GNU units: %s\n", $1, $3, $5
            failed++
        } else {
            passed++
        }
    }
    END { printf "units against GNU units: %d passed, %d failed\n", passed, failed; exit failed > 0 }
' "$work/pairs"
