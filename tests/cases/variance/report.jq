.reviews[] | (.findings[] | "\(.code) \(.section) \(.items | join(",")): \(.outcome)"),
             (.cautions[] | "\(.kind): \(.text)")
