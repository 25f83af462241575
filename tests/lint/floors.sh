#!/usr/bin/env bash
# A file includes only its own floor and the floors below it; include/ is open to all.
set -euo pipefail
floors="base number syntax law spec judge prove report editor command"
find lang \( -name '*.[chly]' -o -name '*.def' \) -exec awk -v floors="$floors" '
    BEGIN { n = split(floors, list, " "); for (i = 1; i <= n; i++) height[list[i]] = i }
    FNR == 1 {
        split(FILENAME, part, "/")
        own = part[2]
        if (own != "include" && !(own in height)) {
            print FILENAME ": the folder \47" own "\47 is no floor"
            bad = 1
        }
    }
    /^[ \t]*#[ \t]*include[ \t]*"/ {
        split($0, quoted, "\"")
        if (split(quoted[2], path, "/") < 2) next # beside it, or generated, or public
        other = path[1]
        if (other == "include") next
        if (!(other in height)) {
            print FILENAME ":" FNR ": \47" quoted[2] "\47 is on no floor"
            bad = 1
        } else if (own == "include" || height[other] > height[own]) {
            print FILENAME ":" FNR ": " own " includes \47" quoted[2] "\47 from a floor above it"
            bad = 1
        }
    }
    END { exit bad }' {} +
