/* What asks nothing of the reader, folded to a line a section: how many items, and of what
 * complies the least margin, so that a reader sees where the next change will hurt. */
#include "report/cite.h"
#include "report/letter.h"
#include "report/measure.h"

enum { NUMBER_COLUMN = 18 };

/* The tightest part so far: the least percentage, else the first margin that is known. */
typedef struct Tightest {
    const Finding *finding;
    const Part *part;
    Margin margin;
} Tightest;

static bool is_tighter(const Margin *a, const Margin *b)
{
    if (a->has_percent && b->has_percent) {
        return rational_order(a->percent, b->percent) < 0;
    }
    return rational_sign(a->low) == 0 && rational_sign(b->low) != 0;
}

static void look_at(Letter *letter, const Finding *finding, Tightest *tightest)
{
    for (uint32_t i = 0; i < finding->part_count; i++) {
        const Part *part = &finding->parts[i];
        if (part->outcome != OUTCOME_COMPLIES || !part->has_measure ||
            part->line->measured->type.whole) {
            continue;
        }
        Margin margin = measure_margin(letter->arena, part);
        if (margin.known && margin.spare &&
            (tightest->part == NULL || is_tighter(&margin, &tightest->margin))) {
            *tightest = (Tightest){finding, part, margin};
        }
    }
}

static void put_tightest(Letter *letter, const Group *group, Buffer *out)
{
    Tightest tightest = {0};
    for (uint32_t i = 0; i < group->count; i++) {
        look_at(letter, group->findings[i], &tightest);
    }
    if (tightest.part == NULL) {
        return;
    }
    Text words = margin_words(letter->arena, tightest.part);
    buffer_format(out, "; least margin: %.*s", TEXT_ARG(words));
    Text name = tightest.part->line->label != NULL ? tightest.part->line->label->text : TEXT("");
    if (name.len > 0) {
        buffer_format(out, ", %.*s", TEXT_ARG(name));
    }
    if (group->count > 1) {
        Telling telling = telling_of(letter->arena, letter->review, tightest.finding);
        buffer_format(out, ", %.*s", TEXT_ARG(telling_items(&telling)));
    }
}

static void put_notes(Letter *letter, const Group *group, Buffer *out)
{
    bool unsure = false;
    Text bounds = TEXT("");
    for (uint32_t i = 0; i < group->count; i++) {
        const Finding *finding = group->findings[i];
        for (uint32_t p = 0; p < finding->part_count; p++) {
            unsure = unsure || finding->parts[p].applies_unsure;
            if (bounds.len == 0) {
                bounds = bounds_words(letter->arena, &finding->parts[p]);
            }
        }
    }
    if (unsure) {
        buffer_string(out, "; whether it applies is not stated");
    }
    if (bounds.len > 0) {
        buffer_format(out, "; rests on the vocabulary's bound of %.*s", TEXT_ARG(bounds));
    }
}

static Text not_applicable_words(const Group *group)
{
    const Finding *finding = group->findings[0];
    if (finding->outside == OUTSIDE_UNITS) {
        return TEXT("; for other units only");
    }
    if (finding->outside == OUTSIDE_PLACE) {
        return TEXT("; another jurisdiction decides here");
    }
    if (finding->nothing_to_judge) {
        return TEXT("; no such item stated");
    }
    if (finding->silenced) {
        return TEXT("; another section prevails");
    }
    return TEXT("");
}

/* What is known already of a later stage. */
static void put_failing(Letter *letter, const Group *group, Buffer *out)
{
    uint32_t failing = 0;
    for (uint32_t i = 0; i < group->count; i++) {
        failing += group->findings[i]->outcome == OUTCOME_CORRECTION;
    }
    if (failing > 0) {
        buffer_format(out, "; as stated, %.*s",
                      TEXT_ARG(counted(letter->arena, failing, "correction", "corrections")));
    }
}

static void put_folded(Letter *letter, Chapter chapter, const Group *group)
{
    const Finding *finding = group->findings[0];
    Buffer out = buffer_make(letter->arena);
    Text heading = finding->section->heading;
    buffer_text(&out, heading.len > 0 ? heading : TEXT("(no heading)"));
    if (finding->floor) {
        buffer_string(&out, " (kept as a floor)");
    }
    if (finding->item_count > 0) {
        buffer_format(&out, ", %.*s",
                      TEXT_ARG(counted(letter->arena, group->count, "item", "items")));
    }
    if (chapter == CHAPTER_COMPLIES) {
        put_tightest(letter, group, &out);
        put_notes(letter, group, &out);
    } else if (chapter == CHAPTER_LATER) {
        put_failing(letter, group, &out);
    } else if (chapter == CHAPTER_NOT_APPLICABLE) {
        buffer_text(&out, not_applicable_words(group));
    }
    paper_keyed(&letter->paper, 2, NUMBER_COLUMN, section_words(letter->arena, finding->section),
                buffer_done(&out));
}

void letter_folded(Letter *letter, Chapter chapter, const char *heading)
{
    uint32_t count = 0;
    const Group *groups = letter_groups(letter, chapter, &count);
    if (count == 0) {
        return;
    }
    paper_heading(&letter->paper, text_of(heading));
    const CodeTree *before = NULL;
    for (uint32_t i = 0; i < count; i++) {
        const CodeTree *code = groups[i].findings[0]->section->tree->code;
        if (code != before) {
            paper_wrap(&letter->paper, 0, 2, code_words(letter->arena, code));
        }
        before = code;
        put_folded(letter, chapter, &groups[i]);
    }
}
