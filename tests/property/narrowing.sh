#!/usr/bin/env bash
# Stating what was not stated, taking a tolerance away, completing a date or a list never changes a definite
# class (pass or fail) of a section and item. An open finding at a list stands for those of its items;
# decisions, variances and approvals stay as they are (docs/language.md, rules 2, 4, 5 and 17).
# environment: SHALL, ORACLE, SEED (1), COUNT (600 pairs of specs; 100000 by hand)
# shellcheck source=tests/property/oracle/lib.bash
source "$(dirname "$0")/oracle/lib.bash"
count=${COUNT:-600}

# pairs JURISDICTION DATE RULES...
pairs() {
    local place=$1 day=$2
    shift 2
    specs "$scratch" "$@" --in "$place" --on "$day" --make specs --count "$batch" --seed "$number" --twin narrow
    review "$scratch/wide.json" "$scratch/a" "$place" "$day" "$@" || return 0
    review "$scratch/narrow.json" "$scratch/b" "$place" "$day" "$@" || return 0
    "$oracle" --narrowed "$scratch/wide.json" "$scratch/narrow.json" >"$scratch/difference" || true
    grep -q ' 0 failed$' "$scratch/difference" || echo "$place, seed $number:"
    add_up "$scratch/difference"
}

batch=25
for ((done = 0; done < count; done += 2 * batch)); do
    number=$((seed * 100000 + done))
    pairs osprey_fork 2025-09-15 "${demo[@]}"
    made_rules "$number" || continue
    pairs county 2024-06-15 "$scratch/made.shall"
done
close
