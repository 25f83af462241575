/* Prints findings, one a line, sorted bytewise: section, part, items, outcome, lines. */
#include "oracle.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *finding_name(const Finding *f, int which)
{
    const Item *item = f->item[which];
    return item->name != NULL ? item->name : item->path != NULL ? item->path : "?";
}

static const char *finding_show(const Finding *f)
{
    char *names = pool_format("-");
    for (int i = 0; i < f->items; i++) {
        names = i == 0 ? pool_format("%s", finding_name(f, 0))
                       : pool_format("%s,%s", names, finding_name(f, i));
    }
    char *lines = pool_format("%s", f->lines == 0 ? "-" : "");
    for (int i = 0; i < f->lines; i++) {
        const Judged *line = &f->line[i];
        const char *label = line->label != NULL ? line->label : pool_format("%d", i + 1);
        lines = pool_format("%s%s%s=%s", lines, i == 0 ? "" : " ", label,
                            outcome_name(line->result.outcome, false));
    }
    return pool_format("%s\t%s\t%s\t%s\t%s", f->number, f->part == NULL ? "-" : f->part, names,
                       outcome_name(f->result.outcome, false), lines);
}

static int by_bytes(const void *a, const void *b)
{
    const char *const *x = a;
    const char *const *y = b;
    return strcmp(*x, *y);
}

void findings_print(const Vec *findings)
{
    const char **shown = ARRAY(const char *, findings->n + 1);
    size_t n = 0;
    for (int i = 0; i < findings->n; i++) {
        const Finding *f = findings->at[i];
        if (f->active->text->standing.stage <= 2) { /* the review is of the plan stage */
            shown[n++] = finding_show(f);
        }
    }
    qsort(shown, n, sizeof *shown, by_bytes);
    for (size_t i = 0; i < n; i++) {
        puts(shown[i]);
    }
}
