/* Cautions as sentences: whole templates, one for each kind. */
#include "report/cite.h"
#include "report/measure.h"
#include "report/telling.h"

const char *caution_data(CautionKind kind)
{
    switch (kind) {
    case CAUTION_VARIANCE_LAPSED: return "variance_lapsed";
    case CAUTION_VARIANCE_EARLY: return "variance_early";
    case CAUTION_VARIANCE_UNMATCHED: return "variance_unmatched";
    case CAUTION_VARIANCE_UNNEEDED: return "variance_unneeded";
    case CAUTION_VARIANCE_OLD_TEXT: return "variance_old_text";
    case CAUTION_TIGHT_TOLERANCE: return "tight_tolerance";
    case CAUTION_RIVALS: return "rivals";
    case CAUTION_VARIANCE_NEVER: return "variance_never";
    case CAUTION_DISPLACED: return "displaced";
    case CAUTION_DECISION_UNMATCHED: break;
    }
    return "decision_unmatched";
}

static Text decision_caution(Arena *arena, const Caution *caution)
{
    const Decision *decision = caution->decision;
    Text paper = decision_words(arena, decision);
    Text section = caution->finding != NULL ? caution->finding->section->number : decision->section;
    if (decision->code.len > 0) {
        section = text_format(arena, "%.*s of %.*s", TEXT_ARG(section), TEXT_ARG(decision->code));
    }
    Text day = date_print(arena, decision->from);
    switch ((CautionKind)caution->kind) {
    case CAUTION_VARIANCE_LAPSED:
        return text_format(arena, "The %.*s for %.*s has lapsed: it excuses nothing.",
                           TEXT_ARG(paper), TEXT_ARG(section));
    case CAUTION_VARIANCE_EARLY:
        return text_format(arena, "The %.*s for %.*s begins only on %.*s: it excuses nothing yet.",
                           TEXT_ARG(paper), TEXT_ARG(section), TEXT_ARG(day));
    case CAUTION_VARIANCE_UNNEEDED:
        return text_format(arena, "The %.*s for %.*s is not needed: the unit complies without it.",
                           TEXT_ARG(paper), TEXT_ARG(section));
    case CAUTION_VARIANCE_OLD_TEXT:
        return text_format(arena,
                           "The %.*s for %.*s was granted on an older text of the section: ask "
                           "the office whether it still stands.",
                           TEXT_ARG(paper), TEXT_ARG(section));
    case CAUTION_VARIANCE_NEVER:
        return text_format(arena,
                           "The %.*s for %.*s excuses nothing: the law says that this section is "
                           "not to be waived.",
                           TEXT_ARG(paper), TEXT_ARG(section));
    case CAUTION_DISPLACED:
    case CAUTION_VARIANCE_UNMATCHED:
    case CAUTION_DECISION_UNMATCHED:
    case CAUTION_TIGHT_TOLERANCE:
    case CAUTION_RIVALS: break;
    }
    return text_format(arena,
                       "The %.*s names %.*s, but no section and item of this law answers to it.",
                       TEXT_ARG(paper), TEXT_ARG(section));
}

/* The tolerances of the shop, as the spec gives them. */
static Text tolerance_words(Arena *arena, const Spec *spec)
{
    Buffer out = buffer_make(arena);
    for (uint32_t i = 0; i < spec->tolerance_count; i++) {
        const Tolerance *tolerance = &spec->tolerances[i];
        buffer_string(&out, i > 0 ? ", " : "");
        buffer_text(&out, quantity_print(arena, tolerance->amount, tolerance->unit, NULL));
        if (tolerance->class != NULL) {
            buffer_format(&out, " for %.*s", TEXT_ARG(spaced_words(arena, tolerance->class->text)));
        }
    }
    return buffer_done(&out);
}

static Text tight_caution(Arena *arena, const Review *review, const Caution *caution)
{
    Telling telling = telling_of(arena, review, caution->finding);
    Text items = telling_items(&telling);
    Text margin = margin_words(arena, caution->part);
    Text name = measure_name(arena, caution->part);
    if (margin.len == 0) {
        margin = TEXT("no margin told");
    }
    return text_format(arena,
                       "%.*s, %.*s%s%.*s: complies as drawn (%.*s%s%.*s), but may not when built "
                       "to the shop's tolerance (%.*s).",
                       TEXT_ARG(section_words(arena, caution->finding->section)),
                       TEXT_ARG(caution->finding->section->heading), items.len > 0 ? ": " : "",
                       TEXT_ARG(items), TEXT_ARG(name), name.len > 0 ? " " : "", TEXT_ARG(margin),
                       TEXT_ARG(tolerance_words(arena, review->spec)));
}

static Text rival_caution(Arena *arena, const Caution *caution)
{
    const Section *fails = caution->finding->section;
    const Section *passes = caution->other->section;
    return text_format(
        arena,
        "%.*s (%.*s) and %.*s (%.*s) judge the same subject differently, and "
        "neither says which prevails: ask the authorities.",
        TEXT_ARG(section_words(arena, fails)), TEXT_ARG(code_words(arena, fails->tree->code)),
        TEXT_ARG(section_words(arena, passes)), TEXT_ARG(code_words(arena, passes->tree->code)));
}

static Text displaced_caution(Arena *arena, const Caution *caution)
{
    const DisplacedTree *displaced = caution->displaced;
    const TargetTree *target = displaced->change == NULL ? NULL : displaced->change->targets;
    Text number = displaced->section != NULL ? displaced->section->number
                  : target != NULL           ? target->number
                                             : TEXT("what it changes");
    return text_format(arena,
                       "%.*s by %.*s of %.*s is not in force: displaced from %.*s by %.*s of %.*s.",
                       TEXT_ARG(number), TEXT_ARG(displaced->local.by),
                       TEXT_ARG(jurisdiction_words(displaced->local.jurisdiction)),
                       TEXT_ARG(date_print(arena, displaced->by.from)), TEXT_ARG(displaced->by.by),
                       TEXT_ARG(jurisdiction_words(displaced->by.jurisdiction)));
}

Text caution_words(Arena *arena, const Review *review, const Caution *caution)
{
    switch ((CautionKind)caution->kind) {
    case CAUTION_TIGHT_TOLERANCE: return tight_caution(arena, review, caution);
    case CAUTION_RIVALS: return rival_caution(arena, caution);
    case CAUTION_DISPLACED: return displaced_caution(arena, caution);
    case CAUTION_VARIANCE_NEVER:
    case CAUTION_VARIANCE_LAPSED:
    case CAUTION_VARIANCE_EARLY:
    case CAUTION_VARIANCE_UNMATCHED:
    case CAUTION_VARIANCE_UNNEEDED:
    case CAUTION_VARIANCE_OLD_TEXT:
    case CAUTION_DECISION_UNMATCHED: break;
    }
    return decision_caution(arena, caution);
}
