#!/usr/bin/env bash
# Every shipped unit is judged, and its worksheets worked out, in every shipped jurisdiction: no error, no
# fact waited for that a builder could not supply (a path with a question), and no finding left without
# outcome, citation and basis.
# environment: SHALL, SPECS (files; all of specs/), COUNT (the first so many of them; all)
set -euo pipefail
cd "$(dirname "$0")/../.."
shall=${SHALL:-shall}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
passed=0 failed=0

fault() {
    echo "  $*"
    failed=$((failed + 1))
}

mapfile -t places < <(grep -hoE '^jurisdiction [a-z_0-9]+ "' -r rules | awk '{print $2}' | sort -u)
read -ra specs <<<"${SPECS:-$(echo specs/*.yaml)}"
specs=("${specs[@]:0:${COUNT:-1000}}")
in=()
judging=0
for place in "${places[@]}"; do # a state that stands for its cities alone has no code to judge by
    "$shall" review "${specs[0]}" --rules rules --in "$place" --on 2026-11-25 >/dev/null 2>"$scratch/errors" || true
    if ! grep -q 'no code is in force' "$scratch/errors"; then
        in+=(--in "$place")
        judging=$((judging + 1))
    fi
done
[ "$judging" -ge 20 ] || fault "only $judging jurisdictions judge"
for spec in "${specs[@]}"; do
    status=0
    "$shall" review "$spec" --rules rules "${in[@]}" --on 2026-11-25 --json "$scratch/report.json" \
        >/dev/null 2>"$scratch/errors" || status=$?
    if [ "$status" -gt 2 ] || [ -s "$scratch/errors" ]; then
        fault "$spec: review ended with $status: $(head -n 3 "$scratch/errors")"
        continue
    fi
    count=$(jq '.reviews | length' "$scratch/report.json")
    [ "$count" -eq "$judging" ] || fault "$spec: $count reviews for $judging jurisdictions"
    # what nobody could answer, one line each
    jq -r --arg spec "$spec" '.reviews[] | .jurisdiction as $in
        | (.findings[] | .section as $section
            | (select(.outcome == null or .citation == "" or .basis == null)
                | "\($spec) in \($in): \($section) has no outcome, citation or basis"),
              (select(.outcome == "information_required" and (.waits | length) == 0)
                | "\($spec) in \($in): \($section) waits for nothing"),
              (select(.outcome == "information_required") | .waits[]
                | select(.reason == "not_stated" and (.path == null or .path == "") and .what == null)
                | "\($spec) in \($in): \($section) waits for no fact")),
          (.questions[] | select(.question == null or .question == "")
            | "\($spec) in \($in): no question for \(.path)")' "$scratch/report.json" >"$scratch/faults"
    while IFS= read -r line; do
        fault "$line"
    done <"$scratch/faults"
    status=0
    "$shall" worksheet "$spec" --rules rules "${in[@]}" --on 2026-11-25 >"$scratch/sheets" 2>&1 || status=$?
    [ "$status" -eq 0 ] || fault "$spec: worksheet ended with $status: $(head -n 3 "$scratch/sheets")"
    passed=$((passed + count))
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
