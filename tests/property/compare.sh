#!/usr/bin/env bash
# What shall compare claims, held against judging: compare_forms.c on the demo builds, and on specs made by
# chance; and by the program itself: nothing differs from itself, every relation has its mirror, of
# jurisdictions and of places.
# environment: SHALL, ORACLE, SEED (1), COUNT (150 changed laws), SPECS (24 specs made)
# shellcheck source=tests/property/oracle/lib.bash
source "$(dirname "$0")/oracle/lib.bash"

# count KEY FILE: the number of a relation in a comparison's JSON, of its first pair
count_of() {
    grep -o "\"$1\": [0-9][0-9]*" "$2" | head -n 1 | grep -o '[0-9]*$'
}

specs "$scratch" "${demo[@]}" --in quillmark --on 2025-09-15 --make specs --count "${SPECS:-24}" --seed "$seed"
SEED=$seed COUNT=${COUNT:-150} "$out/tests/property/compare_forms" "$scratch"/a/*.json >"$scratch/claims" 2>&1 || true
tail -n 1 "$scratch/claims" | sed 's/^.*; //' >"$scratch/last"
{ grep -v ' passed, ' "$scratch/claims" || true; cat "$scratch/last"; } >"$scratch/told"
add_up "$scratch/told"

# itself ON NAME RULES...: nothing differs
itself() {
    if "$shall" compare "$2" "$2" --on "$1" "${@:3}" specs/lantern-noodle-faults.yaml >"$scratch/same" 2>&1; then
        passed=$((passed + 1))
    else
        fault "$2 differs from itself on $1: $(head -n 1 "$scratch/same")"
    fi
}

# mirror ON NAME NAME RULES...: each relation one way is its counterpart the other way
mirror() {
    local pair one other
    "$shall" compare "$2" "$3" --on "$1" "${@:4}" --json "$scratch/there.json" >/dev/null || true
    "$shall" compare "$3" "$2" --on "$1" "${@:4}" --json "$scratch/back.json" >/dev/null || true
    for pair in same:same stricter:looser looser:stricter different_in_kind:different_in_kind \
        not_decided:not_decided only_in_first:only_in_second only_in_second:only_in_first; do
        one=$(count_of "${pair%:*}" "$scratch/there.json")
        other=$(count_of "${pair#*:}" "$scratch/back.json")
        if [ -n "$one" ] && [ "$one" = "$other" ]; then
            passed=$((passed + 1))
        else
            fault "$2 and $3 on $1: ${pair%:*} $one there, ${pair#*:} $other back"
        fi
    done
}

demo_rules=(--rules rules/vocabulary --rules rules/demo)
for day in 2023-06-01 2024-12-31 2025-01-01 2025-09-15; do
    for place in halloway quillmark osprey_fork ferry_landing; do
        itself "$day" "$place" "${demo_rules[@]}"
    done
    mirror "$day" quillmark osprey_fork "${demo_rules[@]}"
    mirror "$day" quillmark ferry_landing "${demo_rules[@]}"
    mirror "$day" osprey_fork ferry_landing "${demo_rules[@]}"
done
for day in 2025-09-15 2026-07-01; do
    for place in orange_county_stop harker_heights_stop; do
        itself "$day" "$place" --rules rules
        mirror "$day" ferry_landing "$place" --rules rules
    done
    mirror "$day" orange_county_stop harker_heights_stop --rules rules
done
close
