#!/usr/bin/env bash
# docs/coverage.md claims nothing that is not there. In the last cell of a table row every clause (up to
# a semicolon) may end in a `file`; what stands before that name, item by item between commas, must stand
# in it:
#   114299(a), (b), `states/x`     sections of the rule file; what begins with ( - or . goes on from the
#   "Openings" parts a, b, `x`     number before it; names stand in quotes; parts must be there as well
#   omitted 6.4.4, `x`             a section that the file leaves out, and only with this word
#   step sheet.step, worksheet sheet, table name, `x`
#   W29, excluded X1, `x.facts`    checks of tests/facts, whole or up to a hyphen
# An item with a digit that is none of these is a fault, as is `a_name` that is no rule file (or, after
# that word, no place, jurisdiction or code). In prose only `model/name` and its like are looked up.
set -euo pipefail
page=${1:-docs/coverage.md}
mapfile -t rules < <(find rules -name '*.shall' | sort)
mapfile -t checks < <(find tests/facts -name '*.facts' | sort)
awk -v page="$page" '
    function fault(text) { print page ":" FNR ": " text; bad = 1 }
    function trim(s) { gsub(/^[ \t]+|[ \t]+$/, "", s); return s }
    function quoted(s) { match(s, /"[^"]*"/); return substr(s, RSTART + 1, RLENGTH - 2) }
    function keep(n, kind) {
        if (stands[file, n] != "held") stands[file, n] = kind
        list[file] = list[file] "\n" n
    }

    # The rule files: sections with their parts, worksheets with their steps, tables, declared names
    FILENAME ~ /\.shall$/ {
        if (FNR == 1) {
            file = FILENAME
            sub(/^rules\//, "", file); sub(/\.shall$/, "", file)
            known[file] = file
            short = file; sub(/.*\//, "", short)
            if (short in known) known[short] = "two files"
            else known[short] = file
            section = sheet = ""
        }
        if ($0 ~ /^ *(insert )?section "/ || $0 ~ /^ *amend "/) {
            section = quoted($0); keep(section, "held")
            rest = substr($0, RSTART + RLENGTH)
            if (rest ~ /^ part [a-z_0-9]/) { split(rest, word, " "); part[file, section, word[2]] = 1 }
        } else if ($0 ~ /^ *(omitted section|reserved) "/) keep(quoted($0), "omitted")
        else if ($1 == "also" || $1 == "formerly") keep(quoted($0), "held")
        else if ($1 == "worksheet" || $1 == "table") {
            named[file, $1, $2] = 1
            sheet = $2
        } else if ($1 == "step" || $1 == "schedule") step[file, sheet "." $2] = 1
        if ($1 ~ /^(place|jurisdiction|code)$/) declared[$1, $2] = 1
        next
    }

    FILENAME ~ /\.facts$/ {
        if (FNR == 1) { file = FILENAME; sub(/.*\//, "", file); known[file] = file }
        id = $0; word[1] = ""
        if (sub(/^# excluded /, "", id)) { sub(/:.*/, "", id); kind = "excluded" }
        else if (id ~ /^#/ || id !~ /\|/) next
        else { sub(/ *\|.*/, "", id); kind = "checked" }
        while (id != "") {
            check[file, kind, id] = 1
            if (id !~ /[-, ]/) break
            sub(/[-, ][^-, ]*$/, "", id)
        }
        next
    }

    function has_part(n, name) {
        if (!((file, n, name) in part)) fault("\47" n "\47 has no part " name " in " file)
    }
    # What follows a number: " part x", " parts x", or words without a figure
    function after(n, rest,    word) {
        in_parts = ""
        if (rest ~ /^ parts? /) {
            split(trim(rest), word, " ")
            has_part(n, word[2])
            in_parts = n
            sub(/^ parts? [a-z_0-9]+/, "", rest)
        }
        if (rest ~ /[0-9(]/) fault("not understood: \47" trim(rest) "\47 after " n)
    }
    function claim(n, omitted) {
        last = n
        if (omitted && stands[file, n] != "omitted") fault(n " is not left out of " file)
        if (!omitted && stands[file, n] != "held") fault(n " is left out of " file)
    }
    # The longest number of this file that stands in the item by itself; its place in RSTART
    function find(item,    i, n, at, names, best, before, behind) {
        best = ""
        n = split(list[file], names, "\n")
        for (i = 2; i <= n; i++) {
            at = index(item, names[i])
            if (!at || length(names[i]) <= length(best)) continue
            before = substr(item, at - 1, at > 1)
            behind = substr(item, at + length(names[i]), 2)
            if (before ~ /[A-Za-z0-9(.-]/ || behind ~ /^([A-Za-z0-9(]|[-.][A-Za-z0-9(])/) continue
            best = names[i]; RSTART = at
        }
        return best
    }
    # "(b)" after "114299(a)", "-0880" after "333-162-0020": the number before it, shortened, goes on
    function goes_on(item,    stem, tail) {
        tail = item; sub(/ .*/, "", tail)
        stem = last
        while (stem != "") {
            if ((file, stem tail) in stands) return stem tail
            if (stem !~ /[-.(]/) break
            sub(/[-.(][^-.(]*$/, "", stem)
        }
        return ""
    }
    function sections(item, omitted,    n, word) {
        if (item ~ /^(step|worksheet|table) /) {
            split(item, word, " ")
            if (!(word[1] == "step" ? (file, word[2]) in step : (file, word[1], word[2]) in named))
                fault("no " word[1] " " word[2] " in " file)
        } else if (item ~ /"/) {
            n = quoted(item)
            word[1] = substr(item, RSTART + RLENGTH)
            if (!((file, n) in stands)) fault("no section \47" n "\47 in " file)
            else { claim(n, omitted); after(n, word[1]) }
        } else if (item ~ /^[-.(]/ && find(item) == "") {
            n = goes_on(item)
            if (n == "") fault("no section \47" last item "\47 in " file)
            else {
                sub(/^[^ ]*/, "", item)
                claim(n, omitted); after(n, item)
            }
        } else if (in_parts != "" && item ~ /^[a-z_0-9]+$/) has_part(in_parts, item)
        else if ((n = find(item)) != "") {
            if (substr(item, 1, RSTART - 1) ~ /[0-9]/) fault("not understood: \47" item "\47")
            item = substr(item, RSTART + length(n))
            claim(n, omitted); after(n, item)
        } else if (item ~ /[0-9]/) fault("no section \47" item "\47 in " file)
    }
    function facts(item,    kind) {
        kind = "checked"
        if (sub(/^excluded /, "", item)) kind = "excluded"
        if (item != "" && !((file, kind, item) in check)) fault("no check \47" item "\47 in " file)
    }
    # Every item of a head, between commas outside quotes
    function claims(head,    i, c, item, open, omitted) {
        omitted = sub(/^ *(and )?omitted /, "", head)
        last = in_parts = item = ""
        open = 0
        head = head ","
        for (i = 1; i <= length(head); i++) {
            c = substr(head, i, 1)
            if (c == "\"") open = !open
            if (c == "," && !open) {
                item = trim(item)
                sub(/^and /, "", item)
                if (file ~ /\.facts$/) facts(item)
                else sections(item, omitted)
                item = ""
            } else item = item c
        }
    }
    function clause(text,    head, name, word, n) {
        while (match(text, /`[^`]*`/)) {
            head = substr(text, 1, RSTART - 1)
            name = substr(text, RSTART + 1, RLENGTH - 2)
            text = substr(text, RSTART + RLENGTH)
            if (name !~ /^[a-z0-9_\/]+(\.facts)?$/) continue
            n = split(head, word, " ")
            if (n > 0 && word[n] ~ /^(place|jurisdiction|code)$/) {
                if (!((word[n], name) in declared)) fault("no " word[n] " " name)
            } else if (!(name in known) || known[name] == "two files") fault("no rule file \47" name "\47")
            else { file = known[name]; claims(head); said++ }
        }
    }

    /^\|/ {
        if ($0 ~ /^\|[- |:]*$/) next
        n = split($0, cell, "|")
        n = split(cell[n - 1], part_of, ";")
        for (i = 1; i <= n; i++) clause(part_of[i])
        next
    }
    {
        while (match($0, /`(model|states|counties|vocabulary|demo)\/[a-z0-9_]+`/)) {
            name = substr($0, RSTART + 1, RLENGTH - 2)
            if (!(name in known)) fault("no rule file \47" name "\47")
            $0 = substr($0, RSTART + RLENGTH)
        }
    }
    END {
        if (said < 100) { print page ": " said + 0 " claims found: this is not the page it should be"; bad = 1 }
        exit bad
    }' "${rules[@]}" "${checks[@]}" "$page"
