#!/usr/bin/env bash
# Values that meet their limits exactly in another unit, or miss them by one part in 10 to 10^15: the verdict
# is the oracle's, and different values are never printed alike.
# environment: SHALL, ORACLE, SEED (1), COUNT (10000 comparisons; 100000 by hand)
# shellcheck source=tests/property/oracle/lib.bash
source "$(dirname "$0")/oracle/lib.bash"
count=${COUNT:-10000}
each=20 # specs to a rule file of 100 comparisons

for ((done = 0; done < count; done += 100 * each)); do
    number=$((seed * 1000 + done / 100))
    file=$scratch/edges.shall
    "$oracle" --make edge-rules --seed "$number" >"$file"
    specs "$scratch" "$file" --in edge --on 2025-01-01 --make edge-specs --count "$each" --seed "$number"
    review "$scratch/report.json" "$scratch/a" edge 2025-01-01 "$file" || continue
    "$oracle" "$file" --in edge --on 2025-01-01 --against "$scratch/report.json" >"$scratch/difference" || true
    add_up "$scratch/difference"
    "$oracle" --shown "$scratch/report.json" >"$scratch/difference" || true
    add_up "$scratch/difference"
done
close
