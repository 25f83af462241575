/* Reports: what a review found, as text for people and as JSON for programs; diagnostics drawn
 * with their source lines; calculation sheets. Everything is built in the arena given; nothing
 * here prints. User text is made harmless where it is written (report/safe.h). */
#ifndef REPORT_REPORT_H
#define REPORT_REPORT_H

#include "judge/judge.h"

enum { WIDTH_LEAST = 40, WIDTH_USUAL = 80, WIDTH_MOST = 132 };

/* How text is laid out. Marks are a terminal's bold and blue; they never say anything that the
 * words do not say too. */
typedef struct Style {
    unsigned width; /* columns */
    bool marks;
} Style;

typedef enum DateOrigin { DATE_GIVEN, DATE_SUBMITTED, DATE_TODAY } DateOrigin;

/* A review and what the command knows of it. */
typedef struct Reviewed {
    const Review *review;
    DateOrigin origin;
    bool has_change; /* change is set: the next day on which an outcome would change */
    Day change;
    const Digest *digests; /* of the rule files */
    uint32_t digest_count;
} Reviewed;

/* The letter for one review. Brief leaves out all that asks nothing of the reader. */
Text report_text(Arena *arena, const Reviewed *reviewed, Style style, bool brief);

/* The first page for a place, before the letters: who decides what, under which law. The reviews
 * are those of one spec in the place, one for each jurisdiction whose law can be judged. */
Text report_first_page(Arena *arena, const Reviewed *reviewed, uint32_t count, Style style);

/* One JSON document for all reviews of a run, each added in turn; docs/json.md describes it. */
typedef struct JsonReport JsonReport;
JsonReport *json_report_start(Arena *arena);
void json_report_add(JsonReport *report, const Reviewed *reviewed);
Text json_report_end(JsonReport *report);

/* The calculation sheets of a review, those named or (only_count 0) all. A sheet with more rows
 * than can be worked out is *overflow, else NULL; the sheets are then not to be shown. */
typedef struct Worksheets Worksheets;
Worksheets *worksheets_make(Arena *arena, const Reviewed *reviewed, const Text *only,
                            size_t only_count, const Worksheet **overflow);
uint32_t worksheets_count(const Worksheets *sheets);
Text worksheets_text(Arena *arena, const Worksheets *sheets, Style style);
/* One page, one document for all sheets of a run; docs/json.md describes the latter. */
Text worksheets_html(Arena *arena, const Worksheets *const *list, size_t count);
Text worksheets_json(Arena *arena, const Worksheets *const *list, size_t count);

/* Diagnostics in the form `file:line:column: error: ...`, each with its source line and the
 * span marked; of one file at most DIAGNOSTICS_SHOWN_MAX, then how many more there are. Sorts
 * the list. */
Text report_diagnostics(Arena *arena, Diagnostics *diags, Style style);

#endif
