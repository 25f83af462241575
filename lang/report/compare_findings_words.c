/* The words of findings side by side: one outcome with its figures, and why it changed. */
#include "report/cite.h"
#include "report/compare_words.h"
#include "report/measure.h"
#include "report/telling.h"

const Finding *row_first(const FindingComparison *findings, const ComparedFinding *row,
                         uint32_t *review)
{
    uint32_t at = 0;
    while (at + 1 < findings->review_count && row->findings[at] == NULL) {
        at++;
    }
    if (review != NULL) {
        *review = at;
    }
    return row->findings[at];
}

Text row_items(Arena *arena, const FindingComparison *findings, const ComparedFinding *row)
{
    uint32_t review = 0;
    const Finding *finding = row_first(findings, row, &review);
    Telling telling = telling_of(arena, findings->reviews[review], finding);
    return telling_items(&telling);
}

/* The part that made the outcome. */
static const Part *worst_part(const Finding *finding)
{
    const Part *worst = NULL;
    for (uint32_t i = 0; i < finding->part_count; i++) {
        const Part *part = &finding->parts[i];
        if (worst == NULL || outcome_severity(part->outcome) < outcome_severity(worst->outcome)) {
            worst = part;
        }
    }
    return worst;
}

static void put_part(Buffer *out, const Part *part)
{
    Arena *arena = out->arena;
    Text measured = measured_words(arena, part);
    if (part->absent) {
        buffer_string(out, ": absent");
        return;
    }
    if (!part->has_measure) {
        return;
    }
    buffer_format(out, ": %.*s, %.*s", TEXT_ARG(measured), TEXT_ARG(limit_words(arena, part)));
    Text margin = margin_words(arena, part);
    if (margin.len > 0) {
        buffer_format(out, "; %.*s", TEXT_ARG(margin));
    }
}

Text finding_words(Arena *arena, const Finding *finding)
{
    if (finding == NULL) {
        return TEXT("nothing asked");
    }
    Buffer out = buffer_make(arena);
    buffer_string(&out, outcome_word((Outcome)finding->outcome));
    buffer_string(&out, finding->later_stage ? " (to verify in the field)" : "");
    const Part *part = worst_part(finding);
    if (part != NULL && finding->outcome != OUTCOME_NOT_APPLICABLE) {
        put_part(&out, part);
    }
    return buffer_done(&out);
}

/* ---- why ---- */

const char *cause_data(CauseKind kind)
{
    switch (kind) {
    case CAUSE_ACT: return "act";
    case CAUSE_DELETED: return "deleted";
    case CAUSE_ENDED: return "ended";
    case CAUSE_TEXT: return "text";
    case CAUSE_VOCABULARY: return "vocabulary";
    case CAUSE_DATE: break;
    }
    return "date";
}

Text cause_words(Arena *arena, const Cause *cause)
{
    Text section = section_words(arena, cause->section);
    switch ((CauseKind)cause->kind) {
    case CAUSE_ACT:
        return text_format(arena, "%.*s %.*s", TEXT_ARG(section),
                           TEXT_ARG(link_words(arena, cause->link)));
    case CAUSE_DELETED:
        return text_format(arena, "%.*s deleted by %.*s, from %.*s", TEXT_ARG(section),
                           TEXT_ARG(cause->link->by),
                           TEXT_ARG(date_print(arena, cause->link->from)));
    case CAUSE_ENDED:
        return text_format(arena, "%.*s no longer as %.*s", TEXT_ARG(section),
                           TEXT_ARG(link_words(arena, cause->link)));
    case CAUSE_TEXT: {
        Text place = place_words(arena, cause->place);
        return text_format(arena, "%.*s reads otherwise in the rule files%s%.*s", TEXT_ARG(section),
                           place.len > 0 ? ": " : "", TEXT_ARG(place));
    }
    case CAUSE_VOCABULARY:
        return text_format(arena,
                           "%.*s reads as before: the vocabulary has other bounds for a fact that "
                           "is not stated",
                           TEXT_ARG(section));
    case CAUSE_DATE: break;
    }
    return text_format(arena,
                       "%.*s reads as before: a date in it, in a permit or in a decision "
                       "has passed",
                       TEXT_ARG(section));
}
