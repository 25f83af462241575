#!/usr/bin/env bash
# The oracle runs the worked examples of the rules of meaning, of the manual and of all rule files, each on its
# date: what it knows it knows from the manual, and these are the manual's own proofs.
# environment: ORACLE
# shellcheck source=tests/property/oracle/lib.bash
source "$(dirname "$0")/oracle/lib.bash"

# The blocks of the manual, in a code over the vocabulary of the same page.
{
    awk '/^```shall vocabulary$/ { printing = 1; next } /^```/ { if (printing) exit } printing' docs/language.md
    printf 'code shown_code edition 1\n  vocabulary shown\n  basis invented\n'
    awk '/^```shall$/ { printing = 1; next } /^```/ { printing = 0 } printing' docs/language.md
    echo end
} >"$scratch/manual.shall"

for file in tests/meaning/*.shall "$scratch/manual.shall"; do
    "$oracle" "$file" --examples >"$scratch/examples" 2>&1 || true
    add_up "$scratch/examples"
done
"$oracle" rules/*/*.shall --examples >"$scratch/examples" 2>&1 || true
add_up "$scratch/examples"
close
