/* The head of the letter: date and its origin on the first line, the unit and who built it, the
 * law applied with its ordinances, and the counts in one sentence. */
#include "report/cite.h"
#include "report/letter.h"

enum { KEY_COLUMN = 15 };

static const char *origin_words(DateOrigin origin)
{
    switch (origin) {
    case DATE_GIVEN: return "the date given with --on";
    case DATE_SUBMITTED: return "the date submitted, as the spec says";
    case DATE_TODAY: break;
    }
    return "today";
}

static void head_line(Letter *letter, const char *key, Text value)
{
    if (value.len > 0) {
        paper_keyed(&letter->paper, 0, KEY_COLUMN, text_of(key), value);
    }
}

static Text within_words(Letter *letter)
{
    const LawTree *law = letter->review->law->tree;
    Buffer out = buffer_make(letter->arena);
    for (uint32_t i = law->level_count; i-- > 0;) {
        buffer_string(&out, out.len > 0 ? ", within " : "");
        buffer_text(&out, jurisdiction_words(law->levels[i]));
    }
    return buffer_done(&out);
}

static void put_applied(Buffer *out, const Applied *applied)
{
    const BlockTree *block = applied->block;
    bool older = !text_equal(block->edition, applied->code->edition);
    buffer_format(out, "%s by %.*s from %.*s", block->amends ? "amended" : "adopted",
                  TEXT_ARG(block->by), TEXT_ARG(date_print(out->arena, block->from)));
    if (block->until != DAY_FOREVER) {
        buffer_format(out, " until %.*s", TEXT_ARG(date_print(out->arena, block->until)));
    }
    buffer_string(out, older ? " (carried over)" : "");
}

/* Each code once, with every ordinance that adopts or amends it. */
static void head_law(Letter *letter)
{
    uint32_t count = 0;
    const Applied *applied = law_applied(letter->arena, letter->review->law->tree, &count);
    for (uint32_t i = 0; i < count;) {
        const CodeTree *code = applied[i].code;
        Buffer out = buffer_make(letter->arena);
        buffer_format(&out, "%.*s: ", TEXT_ARG(code_words(letter->arena, code)));
        bool first = i == 0;
        for (uint32_t from = i; i < count && applied[i].code == code; i++) {
            buffer_string(&out, i > from ? ", " : "");
            put_applied(&out, &applied[i]);
        }
        paper_keyed(&letter->paper, 0, KEY_COLUMN, first ? TEXT("Law applied") : TEXT(""),
                    buffer_done(&out));
    }
}

static void put_count(Letter *letter, Buffer *out, uint32_t count, const char *one,
                      const char *many)
{
    if (count > 0) {
        buffer_string(out, out->len > 0 ? ", " : "");
        buffer_text(out, counted(letter->arena, count, one, many));
    }
}

static void head_counts(Letter *letter)
{
    const Review *review = letter->review;
    const uint32_t *counts = review->counts;
    Buffer out = buffer_make(letter->arena);
    put_count(letter, &out, counts[OUTCOME_CORRECTION], "correction", "corrections");
    put_count(letter, &out, counts[OUTCOME_INFORMATION_REQUIRED], "waits for information",
              "wait for information");
    put_count(letter, &out, counts[OUTCOME_OFFICIAL_DECIDES], "for an official to decide",
              "for an official to decide");
    put_count(letter, &out, counts[OUTCOME_COMPLIES], "complies", "comply");
    put_count(letter, &out, counts[OUTCOME_EXCUSED], "excused", "excused");
    put_count(letter, &out, counts[OUTCOME_NOT_APPLICABLE], "not applicable", "not applicable");
    put_count(letter, &out, review->advisory, "advisory correction", "advisory corrections");
    put_count(letter, &out, review->standing, "official question set aside",
              "official questions set aside");
    put_count(letter, &out, review->later, "to verify in the field", "to verify in the field");
    if (out.len == 0) {
        buffer_string(&out, "no section of this law applies");
    }
    paper_blank(&letter->paper);
    paper_format(&letter->paper, 0, 0, BOLD_ON "Findings: %.*s." BOLD_OFF,
                 TEXT_ARG(buffer_done(&out)));
}

void letter_head(Letter *letter)
{
    const Review *review = letter->review;
    const Spec *spec = review->spec;
    paper_format(&letter->paper, 0, 0, BOLD_ON "PLAN REVIEW" BOLD_OFF " under the law of %.*s (%s)",
                 TEXT_ARG(date_print(letter->arena, review->on)),
                 origin_words(letter->reviewed->origin));
    paper_rule(&letter->paper);
    head_line(letter, "Unit", spec->unit_name);
    head_line(letter, "Builder", spec->builder);
    head_line(letter, "Cycle", spec->cycle);
    head_line(letter, "Build spec", spec->source->path);
    head_line(letter, "Jurisdiction", within_words(letter));
    head_line(letter, "Stage", text_of(stage_word(review->stage)));
    head_law(letter);
    paper_rule(&letter->paper);
    head_counts(letter);
}
