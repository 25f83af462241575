#!/usr/bin/env bash
# What the property scripts share; sourced. They take SHALL and ORACLE from the environment, and
# COUNT (how many specs) and SEED; with the same seed they make the same cases.
# shellcheck disable=SC2034  # some are read by the scripts only
set -euo pipefail
top=$(cd "$(dirname "${BASH_SOURCE[0]}")/../../.." && pwd)
cd "$top"
out=${OUT:-build}
shall=${SHALL:-$out/shall}
oracle=${ORACLE:-$out/tests/oracle}
seed=${SEED:-1}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
passed=0 failed=0 shown=0
demo=(rules/vocabulary/*.shall rules/demo/*.shall)

# Adds up the closing line "N passed, N failed" of what a check printed into a file; shows some of the rest.
add_up() {
    local last
    last=$(tail -n 1 "$1")
    if [[ $last =~ ^([0-9]+)\ passed,\ ([0-9]+)\ failed$ ]]; then
        passed=$((passed + BASH_REMATCH[1]))
        failed=$((failed + BASH_REMATCH[2]))
    else
        failed=$((failed + 1))
    fi
    if [ "$shown" -lt 12 ]; then
        shown=$((shown + $(grep -vc ' passed, ' "$1" || true)))
        grep -v ' passed, ' "$1" | head -n 12 | cut -c 1-300 || true
    fi
}

fault() {
    failed=$((failed + 1))
    shown=$((shown + 1))
    [ "$shown" -gt 12 ] || echo "$1"
}

# specs FOLDER RULES... -- OPTIONS...: makes specs in FOLDER/a, twins in FOLDER/b
specs() {
    local folder=$1
    shift
    rm -rf "$folder/a" "$folder/b"
    mkdir -p "$folder/a" "$folder/b"
    "$oracle" "$@" --to "$folder"
}

# review REPORT FOLDER JURISDICTION DATE RULES...: the program's report of all specs of a folder
review() {
    local report=$1 folder=$2 place=$3 day=$4 rules=() status=0 file
    shift 4
    for file; do
        rules+=(--rules "$file")
    done
    rm -f "$report"
    "$shall" review "$folder"/*.json --in "$place" --on "$day" "${rules[@]}" --json "$report" \
        >/dev/null 2>"$scratch/review.err" || status=$?
    if [ "$status" -gt 2 ]; then
        fault "review of $folder: exit status $status: $(head -n 1 "$scratch/review.err" | cut -c 1-200)"
        [ -s "$report" ] || return 1
    fi
}

# made_rules N: a rule file made by chance, accepted by the program
made_rules() {
    "$oracle" --make rules --seed "$1" >"$scratch/made.shall"
    if ! "$shall" proofread "$scratch/made.shall" >"$scratch/proof" 2>&1; then
        fault "rules of seed $1 are refused: $(grep -m 1 'error:' "$scratch/proof" | cut -c 1-200)"
        return 1
    fi
}

# split_rules: made.shall in the files into which its pieces go, the last one first; the array made names them
split_rules() {
    rm -rf "$scratch/pieces"
    mkdir -p "$scratch/pieces"
    awk -v to="$scratch/pieces/" '/^-- file / { file = to $3; next } { print >>file }' "$scratch/made.shall"
    mapfile -t made < <(find "$scratch/pieces" -name '*.shall' | sort -r)
}

close() {
    echo "$passed passed, $failed failed"
    [ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
}
