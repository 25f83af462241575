/* Exactly one text: for every section of every jurisdiction of the rules that come with the program,
 * on each day on which its law changes and on the day before the first, every permit date has one
 * text and no more (law/one_text; docs/language.md, section 8). Prints what was looked at, and
 * "N passed, N failed", a check for each jurisdiction. */
#include <stdio.h>

#include "law/one_text.h"
#include "report/report.h"

int main(void)
{
    static const char *const folders[] = {"rules"};
    Arena *arena = arena_new();
    Diagnostics diags = diagnostics_make(arena);
    const Library *library = library_read_law(arena, names_new(arena), folders, 1, &diags);
    unsigned long passed = 0;
    unsigned long failed = diags.errors > 0;
    unsigned long days = 0;
    uint64_t looked_at = 0;
    for (uint32_t i = 0; i < library->jurisdiction_count; i++) {
        size_t before = diags.errors;
        uint32_t count = 0;
        (void)law_dates(arena, library, library->jurisdictions[i], &count);
        days += count > 0 ? count + 1 : 0;
        looked_at += law_one_text(arena, library, library->jurisdictions[i], &diags);
        passed += diags.errors == before;
        failed += diags.errors > before;
    }
    Style style = {WIDTH_USUAL, false};
    printf("%.*s", TEXT_ARG(report_diagnostics(arena, &diags, style)));
    printf("%lu jurisdictions, %lu review dates, %llu sections and spans of permit dates\n",
           (unsigned long)library->jurisdiction_count, days, (unsigned long long)looked_at);
    printf("%lu passed, %lu failed\n", passed, failed);
    arena_free(arena);
    return failed == 0 && passed > 0 ? 0 : 1;
}
