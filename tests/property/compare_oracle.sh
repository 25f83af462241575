#!/usr/bin/env bash
# Two minds: the program and the oracle (tests/property/oracle, written apart from the manual alone) judge
# the same specs, made by chance, under the demo law and under rule files made by chance, and must agree
# on every finding; different values are never printed alike. On disagreement the spec is made as small as it goes and shown with the rules' text.
# environment: SHALL, ORACLE, SEED (1), COUNT (2000 specs; 100000 by hand)
# shellcheck source=tests/property/oracle/lib.bash
source "$(dirname "$0")/oracle/lib.bash"
count=${COUNT:-2000}

# section NUMBER FILE: its text wherever it is written or amended
section() {
    awk -v head="^ *(section|amend|insert section|delete) \"$1\"" '
        $0 ~ head { printing = 1; depth = match($0, /[^ ]/) }
        printing { print }
        printing && /^ *end/ && match($0, /[^ ]/) <= depth { printing = 0 }' "$2" | head -n 60
}

# explain DIFFERENCES JURISDICTION DATE RULES...: the first disagreement, as small as it goes
explain() {
    local line spec place=$2 day=$3 number
    line=$(grep -m 1 '\.json: ' "$1") || return 0
    shift 3
    spec=${line%%: *}
    number=${line#*: }
    number=${number%%|*}
    "$oracle" "$@" --in "$place" --on "$day" --shrink "$spec" --program "$shall" --to "$scratch" || true
    for file; do
        section "$number" "$file"
    done
}

# one_batch NAME JURISDICTION DATE N RULES...
one_batch() {
    local name=$1 place=$2 day=$3 n=$4
    shift 4
    review "$scratch/report.json" "$scratch/a" "$place" "$day" "$@" || return 0
    "$oracle" "$@" --in "$place" --on "$day" --against "$scratch/report.json" >"$scratch/difference" || true
    grep -q ' 0 failed$' "$scratch/difference" || echo "$name, $n specs:"
    add_up "$scratch/difference"
    "$oracle" --shown "$scratch/report.json" >"$scratch/shown" || true
    grep -q ' 0 failed$' "$scratch/shown" || add_up "$scratch/shown"
    if [ "$explained" -lt 3 ] && ! grep -q ' 0 failed$' "$scratch/difference"; then
        explained=$((explained + 1))
        explain "$scratch/difference" "$place" "$day" "$@"
    fi
}

explained=0
batch=50
for ((done = 0; done < count / 2; done += batch)); do
    place=$([ $((done / batch % 2)) -eq 0 ] && echo quillmark || echo osprey_fork)
    whole=()
    [ $((done / batch % 3)) -ne 0 ] || whole=(--whole)
    specs "$scratch" "${demo[@]}" --in "$place" --on 2025-09-15 --make specs --count "$batch" \
        --seed $((seed * 100000 + done)) "${whole[@]}"
    one_batch "demo law, $place" "$place" 2025-09-15 "$batch" "${demo[@]}"
done
batch=25
for ((done = 0; done < count - count / 2; done += batch)); do
    number=$((seed * 100000 + done / batch))
    made_rules "$number" || continue
    specs "$scratch" "$scratch/made.shall" --in county --on 2024-06-15 --make specs --count "$batch" --seed "$number"
    one_batch "rules of seed $number" county 2024-06-15 "$batch" "$scratch/made.shall"
done
close
