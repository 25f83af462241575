/* Rival texts (meaning.md rule 20): sections of one topic in two codes that measure the same fact of
 * the same items, and differ in the limit or in the answer, with no word on which prevails. */
#include "judge/eval.h"
#include "law/same.h"

/* ---- do two sides measure the same? ---- */

/* What a line measures; NULL when it is no comparison. */
static const Code *measured_of(const Line *line)
{
    if (line->measured != NULL || line->requirement == NULL)
        return line->measured;
    uint8_t op = line->requirement->op;
    bool compares = op == CODE_COMPARE_WORDS || op == CODE_COMPARE_TRUTH || op == CODE_COMPARE_TEXT;
    return compares ? line->requirement->a : NULL;
}

static bool measure_the_same(const Finding *a, const Part *x, const Finding *b, const Part *y)
{
    const Code *left = measured_of(x->line), *right = measured_of(y->line);
    if (left == NULL || right == NULL || a->text->each_count != b->text->each_count)
        return false;
    Same same = {.count = 0};
    for (uint32_t i = 0; i < a->text->each_count; i++) {
        const EachCode *one = &a->text->eachs[i], *other = &b->text->eachs[i];
        if (one->pair != other->pair || !same_bind(&same, one->slot_a, other->slot_a) ||
            (one->pair && !same_bind(&same, one->slot_b, other->slot_b)))
            return false;
    }
    return same_code(&same, left, right);
}

/* ---- do two findings differ? ---- */

static bool is_definite(uint8_t outcome)
{
    return outcome == OUTCOME_CORRECTION || outcome_passes(outcome);
}

static bool parts_differ(const Part *x, const Part *y)
{
    if (is_definite(x->outcome) && is_definite(y->outcome) &&
        outcome_passes(x->outcome) != outcome_passes(y->outcome))
        return true;
    return x->has_measure && y->has_measure &&
           (x->line->compare != y->line->compare || x->line->negated != y->line->negated ||
            (x->limit.can == CAN_BE_PRESENT && y->limit.can == CAN_BE_PRESENT &&
             !same_value(&x->limit, &y->limit)));
}

static bool are_rivals(const Finding *a, const Finding *b)
{
    for (uint32_t i = 0; i < a->part_count; i++) {
        const Part *x = &a->parts[i];
        for (uint32_t j = 0; j < b->part_count; j++) {
            const Part *y = &b->parts[j];
            if (x->outcome != OUTCOME_NOT_APPLICABLE && y->outcome != OUTCOME_NOT_APPLICABLE &&
                parts_differ(x, y) && measure_the_same(a, x, b, y))
                return true;
        }
    }
    return false;
}

/* ---- pairs of sections ---- */

typedef struct Search {
    Arena *arena;
    const Review *review;
    uint32_t *from; /* the findings of section s are [from[s], from[s + 1]) */
    Rivals *list;
    uint32_t count, cap;
} Search;

static bool prevails(const Section *section, uint32_t index)
{
    for (uint32_t i = 0; i < section->prevail_count; i++)
        if (section->prevails[i] == index)
            return true;
    return false;
}

static void add_rivals(Search *s, const Finding *a, const Finding *b)
{
    if (s->count == s->cap) {
        s->cap = s->cap == 0 ? 8 : s->cap * 2;
        Rivals *grown = ARENA_ARRAY(s->arena, Rivals, s->cap);
        for (uint32_t i = 0; i < s->count; i++)
            grown[i] = s->list[i];
        s->list = grown;
    }
    bool turned = outcome_severity(b->outcome) < outcome_severity(a->outcome);
    s->list[s->count++] = turned ? (Rivals){b, a} : (Rivals){a, b};
}

/* Findings of two sections come in the same order of items, mostly. */
static void look_at_pair(Search *s, uint32_t a, uint32_t b)
{
    const Finding *findings = s->review->findings;
    uint32_t first = s->from[b], count = s->from[b + 1] - first, at = 0;
    for (uint32_t i = s->from[a]; i < s->from[a + 1]; i++) {
        for (uint32_t k = 0; k < count; k++) {
            uint32_t j = first + (at + k) % count;
            if (!finding_same_items(&findings[i], &findings[j]))
                continue;
            at = (at + k + 1) % count;
            if (are_rivals(&findings[i], &findings[j]))
                add_rivals(s, &findings[i], &findings[j]);
            break;
        }
    }
}

static void find_starts(Search *s)
{
    const Review *review = s->review;
    uint32_t count = review->law->section_count, at = 0;
    s->from = ARENA_ARRAY(s->arena, uint32_t, count + 1);
    for (uint32_t i = 0; i < count; i++) {
        while (at < review->finding_count &&
               review->findings[at].section == &review->law->sections[i])
            at++;
        s->from[i + 1] = at;
    }
}

const Rivals *review_rivals(Arena *arena, const Review *review, uint32_t *count)
{
    Search s = {.arena = arena, .review = review};
    const Law *law = review->law;
    find_starts(&s);
    Map *last = map_new(arena); /* of a topic: the next of its sections */
    const Section **next = ARENA_ARRAY(arena, const Section *, law->section_count + 1);
    for (uint32_t i = law->section_count; i-- > 0;)
        if (law->sections[i].topic != NULL)
            next[i] = map_put(last, law->sections[i].topic, &law->sections[i]);
    for (uint32_t i = 0; i < law->section_count; i++) {
        for (const Section *other = next[i]; other != NULL; other = next[other - law->sections]) {
            uint32_t j = (uint32_t)(other - law->sections);
            if (other->tree->code != law->sections[i].tree->code &&
                !prevails(&law->sections[i], j) && !prevails(other, i))
                look_at_pair(&s, i, j);
        }
    }
    *count = s.count;
    return s.list;
}
