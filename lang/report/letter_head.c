/* The head of the letter: date and its origin on the first line, the unit and who built it, the
 * law applied with its ordinances, and the counts in one sentence. */
#include "report/letter.h"

const char *origin_words(DateOrigin origin)
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
        paper_keyed(&letter->paper, 0, LETTER_KEYS, text_of(key), value);
    }
}

static void put_applied(Buffer *out, const Applied *applied)
{
    const BlockTree *block = applied->block;
    bool older = !text_equal(block->edition, applied->code->edition);
    buffer_format(out, "%s by %.*s%s from %.*s", block->amends ? "amended" : "adopted",
                  TEXT_ARG(block->by), block->emergency ? " (emergency)" : "",
                  TEXT_ARG(date_print(out->arena, block->from)));
    if (block->until != DAY_FOREVER) {
        buffer_format(out, " until %.*s", TEXT_ARG(date_print(out->arena, block->until)));
    }
    buffer_string(out, older ? " (carried over)" : "");
}

Text code_applied_words(Arena *arena, const Applied *applied, uint32_t count, uint32_t *at)
{
    const CodeTree *code = applied[*at].code;
    Buffer out = buffer_make(arena);
    buffer_format(&out, "%.*s: ", TEXT_ARG(code_words(arena, code)));
    for (uint32_t from = *at; *at < count && applied[*at].code == code; (*at)++) {
        buffer_string(&out, *at > from ? ", " : "");
        put_applied(&out, &applied[*at]);
    }
    return buffer_done(&out);
}

/* In a place a jurisdiction may decide under some of its codes only. */
static bool is_judged(const LawTree *law, const CodeTree *code)
{
    for (uint32_t i = 0; i < law->section_count; i++) {
        if (law->sections[i].code == code) {
            return true;
        }
    }
    return law->place == NULL;
}

/* Each code once, with every ordinance that adopts or amends it. */
static void head_law(Letter *letter)
{
    uint32_t count = 0;
    const Applied *applied = law_applied(letter->arena, letter->review->law->tree, &count);
    Text key = TEXT("Law applied");
    for (uint32_t i = 0; i < count;) {
        const CodeTree *code = applied[i].code;
        Text words = code_applied_words(letter->arena, applied, count, &i);
        if (is_judged(letter->review->law->tree, code)) {
            paper_keyed(&letter->paper, 0, LETTER_KEYS, key, words);
            key = TEXT("");
        }
    }
}

void put_digests(Paper *paper, const Reviewed *reviewed)
{
    for (uint32_t i = 0; i < reviewed->digest_count; i++) {
        paper_keyed(paper, 0, LETTER_KEYS, i == 0 ? TEXT("Rules") : TEXT(""),
                    digest_words(paper->arena, &reviewed->digests[i]));
    }
}

/* Of a law in a place: the place, and what the jurisdiction decides there. */
static void head_place(Letter *letter)
{
    const PlaceTree *place = letter->review->law->tree->place;
    if (place != NULL) {
        head_line(letter, "Place", place_words_of(place));
        head_line(letter, "Decides", decides_words(letter->arena, letter->review));
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
    head_line(letter, "Jurisdiction", levels_words(letter->arena, review->law->tree));
    head_place(letter);
    head_line(letter, "Stage", text_of(stage_word(review->stage)));
    head_law(letter);
    put_digests(&letter->paper, letter->reviewed);
    paper_rule(&letter->paper);
    head_counts(letter);
}
