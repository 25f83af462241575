#!/usr/bin/env bash
# Two minds: the program and the oracle (tests/property/oracle, written apart from the manual alone) judge
# the same specs, made by chance, under the demo law and under rule files made by chance (a state, a county, a city,
# a fire district, a place; acts on sections and on acts), on days by chance, and must agree on every finding;
# different values are never printed alike. On disagreement the spec is made as small as it goes and shown with the rules' text.
# environment: SHALL, ORACLE, SEED (1), COUNT (1600 specs; 100000 by hand)
# shellcheck source=tests/property/oracle/lib.bash
source "$(dirname "$0")/oracle/lib.bash"
count=${COUNT:-1600}

# section NUMBER FILE: its text wherever it is written or amended
section() {
    awk -v number="\"$1\"" '
        /^ *(section|amend|insert section|delete|renumber) / && index($0, number) {
            printing = 1; depth = match($0, /[^ ]/)
        }
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
    number=${number#*|}
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
for ((done = 0; done < count / 4; done += batch)); do
    place=$([ $((done / batch % 2)) -eq 0 ] && echo quillmark || echo osprey_fork)
    whole=()
    [ $((done / batch % 3)) -ne 0 ] || whole=(--whole)
    specs "$scratch" "${demo[@]}" --in "$place" --on 2025-09-15 --make specs --count "$batch" \
        --seed $((seed * 100000 + done)) "${whole[@]}"
    one_batch "demo law, $place" "$place" 2025-09-15 "$batch" "${demo[@]}"
done
# some_day: by chance, more often under the second edition of the rules that are made
some_day() {
    local first=$((RANDOM % 3 == 0 ? 1577836800 : 1704067200)) days=$((RANDOM % 720 * (RANDOM % 3 == 0 ? 2 : 1)))
    date -u -d "@$((first + days * 86400))" +%F
}

RANDOM=$seed
batch=9
done=0
for ((number = seed * 100000; done < count - count / 4; number++)); do
    made_rules "$number" || { done=$((done + batch)); continue; }
    split_rules
    for place in county district stop city; do
        grep -q "^\(jurisdiction\|place\) $place " "$scratch/made.shall" || continue
        day=$(some_day)
        specs "$scratch" "${made[@]}" --in "$place" --on "$day" --make specs --count "$batch" --seed "$number"
        one_batch "rules of seed $number, $place on $day" "$place" "$day" "$batch" "${made[@]}"
        done=$((done + batch))
    done
done
close
