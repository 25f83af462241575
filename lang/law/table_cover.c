/* What the labels of a key leave out: words that have no line, gaps between bands, what lies
 * below the first and above the last. A table that leaves anything out says 'otherwise'. */
#include "law/check.h"

typedef struct Cover {
    Check *c;
    const Source *source;
    const TableKey *key;
    const LabelTree *const *labels; /* in the order of the key's ranges */
} Cover;

static void report_gap(const Cover *cover, uint32_t label, Text gap)
{
    Diagnostic *diag = diagnostic_error(
        cover->c->diags, "table with a gap", (Place){cover->source, cover->labels[label]->span},
        "no label for '%.*s' covers %.*s", TEXT_ARG(cover->key->name->text), TEXT_ARG(gap));
    diagnostic_note(cover->c->diags, diag, (Place){0},
                    "say what holds there: 'otherwise no rule' or 'otherwise VALUE' at the end of "
                    "the table");
}

/* The unit in which a label was written. */
static const Unit *label_unit(const LabelTree *label)
{
    if (label->low != NULL && label->low->unit != NULL) {
        return label->low->unit;
    }
    return label->high != NULL ? label->high->unit : NULL;
}

static Text end_words(const Cover *cover, uint32_t label, Rational end)
{
    return quantity_print(cover->c->arena, end, label_unit(cover->labels[label]), NULL);
}

static Rational range_top(const Range *range)
{
    return (range->flags & RANGE_EXACT) != 0 ? range->low : range->high;
}

/* Whole numbers have nothing between one and the next. */
static bool is_joined(const Cover *cover, const Range *a, const Range *b)
{
    Rational top = range_top(a);
    if (cover->key->type.whole) {
        Rational next = rational_add(cover->c->arena, top, RATIONAL_ONE);
        return rational_order(b->low, next) <= 0;
    }
    return rational_order(top, b->low) == 0 &&
           ((a->flags & RANGE_HIGH_OPEN) == 0 || (b->flags & RANGE_LOW_OPEN) == 0);
}

static bool cover_between(const Cover *cover, uint32_t i)
{
    const Range *a = &cover->key->ranges[i - 1];
    const Range *b = &cover->key->ranges[i];
    if (is_joined(cover, a, b)) {
        return true;
    }
    Arena *arena = cover->c->arena;
    Rational top = range_top(a);
    Text gap = rational_order(top, b->low) == 0
                   ? text_format(arena, "%.*s itself", TEXT_ARG(end_words(cover, i, b->low)))
                   : text_format(arena, "what lies between %.*s and %.*s",
                                 TEXT_ARG(end_words(cover, i - 1, top)),
                                 TEXT_ARG(end_words(cover, i, b->low)));
    report_gap(cover, i, gap);
    return false;
}

/* Counts start at nought. */
static bool starts_low(const Cover *cover, const Range *first)
{
    return (first->flags & RANGE_NO_LOW) != 0 ||
           (cover->key->type.whole && rational_sign(first->low) <= 0);
}

static void cover_ranges(const Cover *cover)
{
    const TableKey *key = cover->key;
    Arena *arena = cover->c->arena;
    for (uint32_t i = 1; i < key->count; i++) {
        if (!cover_between(cover, i)) {
            return; /* one message: 'otherwise' answers them all */
        }
    }
    const Range *first = &key->ranges[0];
    const Range *last = &key->ranges[key->count - 1];
    if (!starts_low(cover, first)) {
        report_gap(
            cover, 0,
            text_format(arena, "what lies below %.*s", TEXT_ARG(end_words(cover, 0, first->low))));
    } else if ((last->flags & RANGE_NO_HIGH) == 0) {
        report_gap(cover, key->count - 1,
                   text_format(arena, "what lies above %.*s",
                               TEXT_ARG(end_words(cover, key->count - 1, range_top(last)))));
    }
}

static void cover_words(const Cover *cover)
{
    const TableKey *key = cover->key;
    uint64_t all = 0;
    for (uint32_t i = 0; i < key->count; i++) {
        all |= key->words[i];
    }
    Buffer missing = buffer_make(cover->c->arena);
    const Choice *choice = key->type.choice;
    uint32_t count = choice == NULL ? 2 : choice->count;
    for (uint32_t i = 0; i < count; i++) {
        if ((all & (UINT64_C(1) << i)) == 0) {
            Text word = choice != NULL ? choice->words[i]->text : i == 0 ? TEXT("no") : TEXT("yes");
            buffer_format(&missing, "%s'%.*s'", missing.len > 0 ? ", " : "", TEXT_ARG(word));
        }
    }
    if (missing.len > 0) {
        report_gap(cover, key->count - 1, buffer_done(&missing));
    }
}

void table_key_cover(Check *c, const TableTree *tree, const Source *source, const TableKey *key,
                     const LabelTree *const *labels)
{
    if (tree->otherwise != OTHERWISE_UNSAID || key->mode != KEY_EXACT || key->count == 0) {
        return;
    }
    Cover cover = {c, source, key, labels};
    if (key->type.class == CLASS_NUMBER) {
        cover_ranges(&cover);
    } else {
        cover_words(&cover);
    }
}
