/* The keys of a table: their type, written or found from the labels, and the labels as sets that
 * do not overlap (meaning.md rule 15), in ascending order. */
#include "law/check.h"

typedef struct KeyMaker {
    Check *c;
    const TableTree *tree;
    const Source *source;
    const KeyTree *key_tree;
    TableKey *key;
    const LabelTree **labels;
    uint32_t count;
} KeyMaker;

static Place label_place(const KeyMaker *maker, uint32_t index)
{
    return (Place){maker->source, maker->labels[index]->span};
}

static Text label_words(const KeyMaker *maker, uint32_t index)
{
    return quote_span(maker->c->arena, label_place(maker, index));
}

/* ---- the choice that a set of words belongs to ---- */

static bool choice_has_all(const Choice *choice, const Name *const *words, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        if (choice_index(choice, words[i]) < 0) {
            return false;
        }
    }
    return true;
}

/* Candidates, and how near they are: a choice or a fact with the hint's name comes first. */
typedef struct ChoiceSearch {
    const Choice *named; /* has the hint's name, fits or not */
    const Choice *found;
    const Choice *second;  /* another that fits: ambiguous */
    bool settled;          /* found by name */
    const Choice *partial; /* has the first word */
    const Name *hint;
    const Name *const *words;
    uint32_t count;
} ChoiceSearch;

static bool same_words(const Choice *a, const Choice *b)
{
    Type x = {.class = CLASS_CHOICE, .choice = a};
    Type y = {.class = CLASS_CHOICE, .choice = b};
    return type_matches(&x, &y);
}

static void consider(ChoiceSearch *search, const Choice *choice, const Name *name)
{
    bool by_name = name == search->hint;
    if (by_name && search->named == NULL) {
        search->named = choice;
    }
    if (search->partial == NULL && choice_index(choice, search->words[0]) >= 0) {
        search->partial = choice;
    }
    if (search->settled || !choice_has_all(choice, search->words, search->count)) {
        return;
    }
    if (by_name) {
        search->found = choice;
        search->second = NULL;
        search->settled = true;
    } else if (search->found == NULL) {
        search->found = choice;
    } else if (!same_words(search->found, choice)) {
        search->second = choice;
    }
}

static void consider_fields(ChoiceSearch *search, const Record *record)
{
    for (uint32_t i = 0; i < record->count; i++) {
        if (record->fields[i].type.class == CLASS_CHOICE) {
            consider(search, record->fields[i].type.choice, record->fields[i].name);
        }
    }
}

static const Choice *report_words(Check *c, const ChoiceSearch *search, const Span *spans,
                                  const Source *source, const char *what)
{
    const Choice *near = search->named != NULL ? search->named : search->partial;
    for (uint32_t i = 0; near != NULL && i < search->count; i++) {
        const Name *word = search->words[i];
        if (choice_index(near, word) < 0) {
            Diagnostic *diag = diagnostic_error(c->diags, "unknown word", (Place){source, spans[i]},
                                                "'%.*s' is no word of '%.*s'%.*s",
                                                TEXT_ARG(word->text), TEXT_ARG(near->name->text),
                                                TEXT_ARG(choice_hint(c, near, word->text)));
            diagnostic_note(c->diags, diag, near->place, "its words are declared here");
        }
    }
    if (near == NULL) {
        diagnostic_error(c->diags, "unknown word", (Place){source, spans[0]},
                         "'%.*s' is no word of any choice in the vocabulary (in the %s of this "
                         "table)",
                         TEXT_ARG(search->words[0]->text), what);
    }
    return NULL;
}

const Choice *choice_of_words(Check *c, const Name *hint, const Name *const *words,
                              const Span *spans, uint32_t count, const Source *source,
                              const char *what)
{
    ChoiceSearch search = {.hint = hint, .words = words, .count = count};
    const Vocabulary *vocabulary = c->vocabulary;
    for (uint32_t i = 0; i < vocabulary->choice_count; i++) {
        consider(&search, vocabulary->choices[i], vocabulary->choices[i]->name);
    }
    consider_fields(&search, &vocabulary->unit);
    for (uint32_t i = 0; i < vocabulary->record_count; i++) {
        consider_fields(&search, vocabulary->records[i]);
    }
    if (search.found == NULL) {
        return report_words(c, &search, spans, source, what);
    }
    if (search.second != NULL) {
        Diagnostic *diag =
            diagnostic_error(c->diags, "type not said", (Place){source, spans[0]},
                             "the words in the %s of this table belong to several choices", what);
        diagnostic_note(c->diags, diag, search.found->place, "to '%.*s'",
                        TEXT_ARG(search.found->name->text));
        diagnostic_note(c->diags, diag, search.second->place, "and to '%.*s'",
                        TEXT_ARG(search.second->name->text));
        diagnostic_note(
            c->diags, diag, (Place){0},
            "name a choice in the vocabulary and write it after the key, as in 'by %.*s "
            ": CHOICE'",
            TEXT_ARG(hint->text));
        return NULL;
    }
    return search.found;
}

/* ---- type ---- */

static TypeClass label_class(const LabelTree *label)
{
    switch ((LabelKind)label->kind) {
    case LABEL_WORD: return CLASS_CHOICE;
    case LABEL_YES:
    case LABEL_NO: return CLASS_YES_NO;
    case LABEL_QUANTITY:
    case LABEL_BETWEEN:
    case LABEL_BOUND: break;
    }
    return CLASS_NUMBER;
}

static bool check_classes(const KeyMaker *maker, TypeClass class)
{
    bool good = true;
    for (uint32_t i = 0; i < maker->count; i++) {
        if (label_class(maker->labels[i]) == class) {
            continue;
        }
        good = false;
        diagnostic_error(maker->c->diags, "different kinds", label_place(maker, i),
                         "'%.*s' is no label for the key '%.*s', which is %s",
                         TEXT_ARG(label_words(maker, i)), TEXT_ARG(maker->key_tree->name->text),
                         class == CLASS_CHOICE   ? "a choice"
                         : class == CLASS_YES_NO ? "yes or no"
                                                 : "a quantity");
    }
    return good;
}

static bool resolve_type(KeyMaker *maker)
{
    Check *c = maker->c;
    if (!maker->key_tree->typed) {
        maker->key->type = type_of_class(label_class(maker->labels[0]));
        return check_classes(maker, (TypeClass)maker->key->type.class);
    }
    if (!type_resolve(c->arena, c->vocabulary, &maker->key_tree->type, maker->source,
                      &maker->key->type, c->diags)) {
        return false;
    }
    TypeClass class = (TypeClass)maker->key->type.class;
    if (class != CLASS_NUMBER && class != CLASS_CHOICE && class != CLASS_YES_NO) {
        diagnostic_error(c->diags, "wrong use of a name",
                         (Place){maker->source, maker->key_tree->type.span},
                         "the key of a table is a quantity, a choice or yes/no, not %.*s",
                         TEXT_ARG(type_words(c->arena, &maker->key->type)));
        return false;
    }
    return check_classes(maker, class);
}

/* ---- words ---- */

static bool label_twice(const KeyMaker *maker, uint32_t index, uint32_t former)
{
    Diagnostic *diag =
        diagnostic_error(maker->c->diags, "labels overlap", label_place(maker, index),
                         "'%.*s' is the label of two lines", TEXT_ARG(label_words(maker, index)));
    diagnostic_note(maker->c->diags, diag, label_place(maker, former), "first here");
    return false;
}

static bool find_choice(KeyMaker *maker)
{
    if (maker->key->type.choice != NULL) {
        return true;
    }
    Check *c = maker->c;
    const Name **words = ARENA_ARRAY(c->arena, const Name *, maker->count + 1);
    Span *spans = ARENA_ARRAY(c->arena, Span, maker->count + 1);
    for (uint32_t i = 0; i < maker->count; i++) {
        words[i] = maker->labels[i]->name;
        spans[i] = maker->labels[i]->span;
    }
    maker->key->type.choice = choice_of_words(c, maker->key_tree->name, words, spans, maker->count,
                                              maker->source, "labels");
    return maker->key->type.choice != NULL;
}

/* One bit per label: of the word, or of no (1) and yes (2). */
static bool make_words(KeyMaker *maker, uint32_t *order)
{
    TableKey *key = maker->key;
    bool choice = key->type.class == CLASS_CHOICE;
    if (choice && !find_choice(maker)) {
        return false;
    }
    uint32_t seen[CHOICE_WORDS_MAX] = {0}; /* label + 1 */
    bool good = true;
    key->words = ARENA_ARRAY(maker->c->arena, uint64_t, maker->count + 1);
    for (uint32_t i = 0; i < maker->count; i++) {
        const LabelTree *label = maker->labels[i];
        order[i] = i;
        int bit = choice ? choice_index(key->type.choice, label->name) : label->kind == LABEL_YES;
        if (bit < 0) {
            diagnostic_error(maker->c->diags, "unknown word", label_place(maker, i),
                             "'%.*s' is no word of '%.*s'%.*s", TEXT_ARG(label->name->text),
                             TEXT_ARG(key->type.choice->name->text),
                             TEXT_ARG(choice_hint(maker->c, key->type.choice, label->name->text)));
            good = false;
            continue;
        }
        if (seen[bit] != 0) {
            good = label_twice(maker, i, seen[bit] - 1);
        }
        seen[bit] = i + 1;
        key->words[i] = UINT64_C(1) << bit;
    }
    return good;
}

/* ---- quantities ---- */

typedef struct End {
    bool given;
    Rational number;
    Dimension dimension;
} End;

static End read_end(const Quantity *quantity)
{
    if (quantity == NULL) {
        return (End){0};
    }
    return (End){true, quantity->range.low, quantity->dimension};
}

static bool fit_dimension(const KeyMaker *maker, uint32_t index, const End *end, bool *set)
{
    Type *type = &maker->key->type;
    if (!end->given) {
        return true;
    }
    if (!*set) {
        *set = true;
        type->dimension = end->dimension;
        return true;
    }
    if (dimension_equal(type->dimension, end->dimension)) {
        return true;
    }
    Type here = type_number(end->dimension);
    Diagnostic *diag = diagnostic_error(
        maker->c->diags, "different kinds", label_place(maker, index),
        "'%.*s' is %.*s, and the key '%.*s' is %.*s", TEXT_ARG(label_words(maker, index)),
        TEXT_ARG(type_words(maker->c->arena, &here)), TEXT_ARG(maker->key_tree->name->text),
        TEXT_ARG(type_words(maker->c->arena, type)));
    if (index > 0) {
        diagnostic_note(maker->c->diags, diag, label_place(maker, 0), "as here");
    }
    return false;
}

static bool is_measured(const Quantity *quantity)
{
    return quantity != NULL && quantity->measured;
}

static bool check_label(const KeyMaker *maker, uint32_t index)
{
    Check *c = maker->c;
    const LabelTree *label = maker->labels[index];
    Place place = label_place(maker, index);
    if (is_measured(label->low) || is_measured(label->high)) {
        diagnostic_error(c->diags, "tolerance in a rule", place, "a label has no tolerance");
        return false;
    }
    if (label->kind == LABEL_BOUND && label->name != NULL && label->name != maker->key_tree->name) {
        Diagnostic *diag = diagnostic_error(
            c->diags, "unknown name", place, "the label speaks of '%.*s', and the key is '%.*s'",
            TEXT_ARG(label->name->text), TEXT_ARG(maker->key_tree->name->text));
        diagnostic_note(c->diags, diag, (Place){maker->source, maker->key_tree->name_span},
                        "the key");
        return false;
    }
    if (label->kind != LABEL_QUANTITY && maker->key->mode != KEY_EXACT) {
        diagnostic_error(c->diags, "table out of shape", place,
                         "'next higher', 'next lower' and 'interpolated' go from value to value: a "
                         "label is a single value");
        return false;
    }
    return true;
}

static void check_label_twins(const KeyMaker *maker, uint32_t index)
{
    const Quantity *ends[2] = {maker->labels[index]->low, maker->labels[index]->high};
    for (int i = 0; i < 2; i++) {
        if (ends[i] != NULL) {
            check_twin(maker->c, ends[i], label_place(maker, index));
        }
    }
}

static bool label_range(const KeyMaker *maker, uint32_t index, bool *set, Range *out)
{
    const LabelTree *label = maker->labels[index];
    if (!check_label(maker, index)) {
        return false;
    }
    check_label_twins(maker, index);
    End low = read_end(label->low);
    End high = read_end(label->high);
    if (!fit_dimension(maker, index, &low, set) || !fit_dimension(maker, index, &high, set)) {
        return false;
    }
    if (label->kind == LABEL_QUANTITY) {
        *out = range_exact(low.number);
        return true;
    }
    int order = low.given && high.given ? rational_order(low.number, high.number) : -1;
    if (order > 0 || (order == 0 && (label->low_open || label->high_open))) {
        diagnostic_error(maker->c->diags, "empty label", label_place(maker, index),
                         "no value lies in '%.*s'", TEXT_ARG(label_words(maker, index)));
        return false;
    }
    if (order == 0) {
        *out = range_exact(low.number);
        return true;
    }
    *out = (Range){.low = low.number, .high = high.number};
    out->flags = (uint8_t)((low.given ? (label->low_open ? RANGE_LOW_OPEN : 0) : RANGE_NO_LOW) |
                           (high.given ? (label->high_open ? RANGE_HIGH_OPEN : 0) : RANGE_NO_HIGH));
    return true;
}

/* Negative when a begins before b. */
static int order_starts(const Range *a, const Range *b)
{
    bool a_none = (a->flags & RANGE_NO_LOW) != 0;
    bool b_none = (b->flags & RANGE_NO_LOW) != 0;
    if (a_none || b_none) {
        return (int)b_none - (int)a_none;
    }
    int order = rational_order(a->low, b->low);
    return order != 0
               ? order
               : (int)((a->flags & RANGE_LOW_OPEN) != 0) - (int)((b->flags & RANGE_LOW_OPEN) != 0);
}

/* Sorts label numbers by the start of their ranges: merging, from the bottom up. */
static void sort_labels(Arena *arena, const Range *ranges, uint32_t *sorted, uint32_t count)
{
    uint32_t *spare = ARENA_ARRAY(arena, uint32_t, count + 1);
    for (uint32_t width = 1; width < count; width *= 2) {
        for (uint32_t start = 0; start < count; start += 2 * width) {
            uint32_t middle = start + width < count ? start + width : count;
            uint32_t end = middle + width < count ? middle + width : count;
            uint32_t a = start;
            uint32_t b = middle;
            for (uint32_t i = start; i < end; i++) {
                bool left = b >= end || (a < middle &&
                                         order_starts(&ranges[sorted[a]], &ranges[sorted[b]]) <= 0);
                spare[i] = sorted[left ? a++ : b++];
            }
        }
        for (uint32_t i = 0; i < count; i++) {
            sorted[i] = spare[i];
        }
    }
}

static bool ranges_meet(Arena *arena, const Range *a, const Range *b)
{
    Range out;
    return range_meet(arena, a, b, &out);
}

static bool check_overlaps(const KeyMaker *maker, const Range *ranges, const uint32_t *sorted)
{
    bool good = true;
    for (uint32_t i = 1; i < maker->count; i++) {
        uint32_t a = sorted[i - 1];
        uint32_t b = sorted[i];
        if (!ranges_meet(maker->c->arena, &ranges[a], &ranges[b])) {
            continue;
        }
        uint32_t later = a > b ? a : b;
        uint32_t former = a > b ? b : a;
        good = false;
        Diagnostic *diag =
            diagnostic_error(maker->c->diags, "labels overlap", label_place(maker, later),
                             "'%.*s' overlaps with '%.*s'", TEXT_ARG(label_words(maker, later)),
                             TEXT_ARG(label_words(maker, former)));
        diagnostic_note(maker->c->diags, diag, label_place(maker, former), "the other label");
    }
    return good;
}

static bool make_ranges(KeyMaker *maker, uint32_t *order)
{
    Arena *arena = maker->c->arena;
    Range *ranges = ARENA_ARRAY(arena, Range, maker->count + 1);
    uint32_t *sorted = ARENA_ARRAY(arena, uint32_t, maker->count + 1);
    bool set = maker->key_tree->typed;
    bool good = true;
    for (uint32_t i = 0; i < maker->count; i++) {
        good = label_range(maker, i, &set, &ranges[i]) && good;
        sorted[i] = i;
    }
    if (!good) {
        return false;
    }
    sort_labels(arena, ranges, sorted, maker->count);
    maker->key->ranges = ARENA_ARRAY(arena, Range, maker->count + 1);
    const LabelTree **labels = ARENA_ARRAY(arena, const LabelTree *, maker->count + 1);
    good = check_overlaps(maker, ranges, sorted);
    for (uint32_t i = 0; i < maker->count; i++) {
        maker->key->ranges[i] = ranges[sorted[i]];
        labels[i] = maker->labels[sorted[i]];
        order[sorted[i]] = i;
    }
    maker->labels = labels;
    return good;
}

/* ---- a key ---- */

static bool check_mode(const KeyMaker *maker)
{
    if (maker->key->mode == KEY_EXACT || maker->key->type.class == CLASS_NUMBER) {
        if (maker->key->mode != KEY_INTERPOLATED || maker->count >= 2) {
            return true;
        }
    }
    diagnostic_error(maker->c->diags, "table out of shape",
                     (Place){maker->source, maker->key_tree->name_span},
                     maker->key->type.class == CLASS_NUMBER
                         ? "'interpolated' needs two labels or more"
                         : "'next higher', 'next lower' and 'interpolated' need a key that is a "
                           "quantity");
    return false;
}

bool table_key_make(Check *c, const TableTree *tree, const Source *source, uint32_t index,
                    const LabelTree **labels, uint32_t count, TableKey *key, uint32_t *order)
{
    const KeyTree *key_tree = tree->keys;
    for (uint32_t i = 0; i < index; i++) {
        key_tree = key_tree->next;
    }
    key->name = key_tree->name;
    key->mode = key_tree->mode;
    key->count = count;
    KeyMaker maker = {c, tree, source, key_tree, key, labels, count};
    for (uint32_t i = 0; i < count; i++) {
        order[i] = i;
        if (labels[i] == NULL) { /* after a syntax error */
            return false;
        }
    }
    if (!resolve_type(&maker) || !check_mode(&maker)) {
        return false;
    }
    bool good =
        key->type.class == CLASS_NUMBER ? make_ranges(&maker, order) : make_words(&maker, order);
    if (good) {
        table_key_cover(c, tree, source, key, maker.labels);
    }
    return good;
}
