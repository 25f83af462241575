#!/usr/bin/env bash
# What must change nothing: the order of a spec's keys, the order of the rule files, and the units in which
# a spec writes its quantities (24 in, 2 ft, 609.6 mm).
# environment: SHALL, ORACLE, SEED (1), COUNT (400 specs; 100000 by hand)
# shellcheck source=tests/property/oracle/lib.bash
source "$(dirname "$0")/oracle/lib.bash"
count=${COUNT:-400}

# twins KIND JURISDICTION DATE RULES...: makes twins, and reviews them with the rule files turned round
twins() {
    local kind=$1 place=$2 day=$3 turned=() file
    shift 3
    for file; do
        turned=("$file" "${turned[@]}")
    done
    specs "$scratch" "$@" --in "$place" --on "$day" --make specs --count "$batch" --seed "$number" --twin "$kind"
    review "$scratch/first.json" "$scratch/a" "$place" "$day" "$@" || return 0
    review "$scratch/second.json" "$scratch/b" "$place" "$day" "${turned[@]}" || return 0
    "$oracle" --same "$scratch/first.json" "$scratch/second.json" >"$scratch/difference" || true
    grep -q ' 0 failed$' "$scratch/difference" || echo "$kind, seed $number:"
    add_up "$scratch/difference"
}

batch=25
for ((done = 0; done < count; done += 4 * batch)); do
    number=$((seed * 100000 + done))
    for kind in order spelling; do
        twins "$kind" quillmark 2025-09-15 "${demo[@]}"
    done
    made_rules "$number" || continue
    for kind in order spelling; do
        twins "$kind" county 2024-06-15 "$scratch/made.shall"
    done
done
close
