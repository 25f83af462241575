/* The records of a vocabulary, and its facts, which are the fields of the unit.
 *
 * Records may name one another in any order, and themselves; only a record that always contains
 * itself is refused, as no spec could state it. A record made `as` another begins with its fields,
 * in the same slots, so that whoever reads the base reads any record made as it. */
#include "law/vocabulary_inner.h"

/* The top level of a spec belongs to the facts and to these words: the keys of the program, the
 * dates that every expression can name, and what a fact is written in to tell its source. */
static const char *const taken_words[] = {
    "vocabulary", "unit_name", "builder",   "cycle",     "jurisdictions", "submitted",   "permits",
    "built_to",   "variances", "decisions", "approvals", "review_date",   "permit_date", "value",
};

static Place place_of(const Maker *maker, Span span)
{
    return (Place){maker->source, span};
}

/* ---- records ---- */

/* Fields of one tree, with the source they stand in. */
typedef struct Segment {
    const FieldTree *fields;
    const Source *source;
    struct Segment *next;
} Segment;

/* A record on its way: the tree that declares it, and all that give it fields. */
typedef struct Filling {
    Record *record;
    const RecordTree *tree;
    const Source *source;
    Segment *segments, **end;
} Filling;

static void add_segment(Maker *maker, Filling *filling, const FieldTree *fields)
{
    Segment *segment = ARENA_NEW(maker->arena, Segment);
    *segment = (Segment){fields, maker->source, NULL};
    *filling->end = segment;
    filling->end = &segment->next;
}

static Filling *filling_new(Maker *maker, Record *record, const RecordTree *tree)
{
    Filling *filling = ARENA_NEW(maker->arena, Filling);
    *filling = (Filling){.record = record, .tree = tree, .source = maker->source};
    filling->end = &filling->segments;
    return filling;
}

static void declare_records(Maker *maker, const RecordTree *trees, Map *fillings)
{
    Vocabulary *made = maker->made;
    for (const RecordTree *tree = trees; tree != NULL; tree = tree->next) {
        if (!tree->continued && type_name_check(maker, "record", tree->name, tree->name_span)) {
            Record *record = ARENA_NEW(maker->arena, Record);
            record->name = tree->name;
            record->place = place_of(maker, tree->name_span);
            made->records[made->record_count++] = record;
            map_put(made->record_by_name, tree->name, record);
            Filling *filling = filling_new(maker, record, tree);
            add_segment(maker, filling, tree->fields);
            map_put(fillings, tree->name, filling);
        }
    }
}

static void note_nearest_record(Maker *maker, Diagnostic *diag, Text word)
{
    const Vocabulary *made = maker->made;
    Text *names = ARENA_ARRAY(maker->arena, Text, made->record_count + 1u);
    for (uint32_t i = 0; i < made->record_count; i++) {
        names[i] = made->records[i]->name->text;
    }
    long nearest = text_nearest(word, names, made->record_count);
    if (nearest >= 0) {
        diagnostic_note(maker->diags, diag, made->records[nearest]->place, "did you mean '%.*s'?",
                        TEXT_ARG(names[nearest]));
    }
}

static void no_record(Maker *maker, const Name *name, Span span)
{
    Diagnostic *diag =
        diagnostic_error(maker->diags, "unknown record", place_of(maker, span),
                         "the vocabulary has no record '%.*s'", TEXT_ARG(name->text));
    note_nearest_record(maker, diag, name->text);
}

/* Further fields of records that another piece declares. */
static void continue_records(Maker *maker, const RecordTree *trees, Map *fillings)
{
    for (const RecordTree *tree = trees; tree != NULL; tree = tree->next) {
        if (!tree->continued || tree->name == NULL) {
            continue;
        }
        Filling *filling = map_get(fillings, tree->name);
        if (filling == NULL) {
            no_record(maker, tree->name, tree->name_span);
        } else {
            add_segment(maker, filling, tree->fields);
        }
        if (tree->plan_x != NULL) {
            diagnostic_error(maker->diags, "plan", place_of(maker, tree->plan_span),
                             "the plan of a record is said where the record is declared");
        }
    }
}

/* Is the name free for a field of the record? */
static bool check_field_name(Maker *maker, const Record *record, const FieldTree *tree)
{
    const Field *first = map_get(record->by_name, tree->name);
    if (first != NULL) {
        declared_twice(maker, record->name == NULL ? "fact" : "field", tree->name, tree->name_span,
                       first->place);
        return false;
    }
    size_t count = sizeof taken_words / sizeof taken_words[0];
    for (size_t i = record->name == NULL ? 0 : count - 1; i < count; i++) {
        if (text_equal(tree->name->text, text_of(taken_words[i]))) {
            diagnostic_error(maker->diags, "name taken", place_of(maker, tree->name_span),
                             "'%s' is a word of build specs and cannot be a %s", taken_words[i],
                             record->name == NULL ? "fact" : "field");
            return false;
        }
    }
    return true;
}

static void check_key(Maker *maker, Record *record, const FieldTree *tree, Field *field)
{
    uint8_t class = field->type.class;
    if (record->name == NULL) {
        diagnostic_error(maker->diags, "misplaced key", place_of(maker, tree->name_span),
                         "a key names the items of a list; '%.*s' is a fact of the unit",
                         TEXT_ARG(tree->name->text));
    } else if (class != CLASS_BAD && class != CLASS_TEXT && class != CLASS_CHOICE &&
               !(class == CLASS_NUMBER && field->type.whole)) {
        diagnostic_error(maker->diags, "misplaced key", place_of(maker, tree->type.span),
                         "a key is a text, a choice or a count, not %.*s",
                         TEXT_ARG(type_describe(maker->arena, &field->type)));
    } else if (record->key != NULL) {
        Diagnostic *diag =
            diagnostic_error(maker->diags, "misplaced key", place_of(maker, tree->name_span),
                             "record '%.*s' has a key already", TEXT_ARG(record->name->text));
        diagnostic_note(maker->diags, diag, record->key->place, "the first key");
    } else {
        record->key = field;
        field->key = true;
    }
}

static void add_field(Maker *maker, Record *record, const FieldTree *tree)
{
    if (!check_field_name(maker, record, tree)) {
        return;
    }
    Field *field = &record->fields[record->count];
    field->name = tree->name;
    field->owner = record;
    field->index = record->count++;
    field->place = place_of(maker, tree->name_span);
    map_put(record->by_name, tree->name, field);
    field_resolve(maker, field, tree);
    if (tree->key) {
        check_key(maker, record, tree, field);
    }
    if (tree->type.kind != TYPE_EVERY) {
        return;
    }
    field->gathers = true;
    if (record->name != NULL) {
        diagnostic_error(maker->diags, "gathered list", place_of(maker, tree->type.span),
                         "'every' gathers from the whole unit: it is a type of facts, not of "
                         "fields");
    } else if (tree->always_present || tree->low != NULL || tree->high != NULL) {
        diagnostic_error(maker->diags, "gathered list", place_of(maker, tree->name_span),
                         "'%.*s' is gathered from other facts and has nothing but a question",
                         TEXT_ARG(tree->name->text));
    }
}

/* The record begins with the fields of its base, in the same slots. */
static void copy_base(Record *record, const Record *base)
{
    record->base = base;
    for (uint32_t i = 0; i < base->count; i++) {
        Field *field = &record->fields[i];
        *field = base->fields[i];
        field->owner = record;
        map_put(record->by_name, field->name, field);
        record->key = base->key == &base->fields[i] ? field : record->key;
        record->plan_x = base->plan_x == &base->fields[i] ? field : record->plan_x;
        record->plan_along = base->plan_along == &base->fields[i] ? field : record->plan_along;
        record->plan_y = base->plan_y == &base->fields[i] ? field : record->plan_y;
        record->plan_across = base->plan_across == &base->fields[i] ? field : record->plan_across;
    }
    record->count = base->count;
}

static void fill_fields(Maker *maker, Record *record, const Record *base, const Segment *segments)
{
    uint32_t count = base == NULL ? 0 : base->count;
    for (const Segment *segment = segments; segment != NULL; segment = segment->next) {
        for (const FieldTree *tree = segment->fields; tree != NULL; tree = tree->next) {
            count++;
        }
    }
    record->fields = ARENA_ARRAY(maker->arena, Field, count);
    record->by_name = map_new(maker->arena);
    if (base != NULL) {
        copy_base(record, base);
    }
    for (const Segment *segment = segments; segment != NULL; segment = segment->next) {
        maker->source = segment->source;
        for (const FieldTree *tree = segment->fields; tree != NULL; tree = tree->next) {
            add_field(maker, record, tree);
        }
    }
}

static void fill_record(Maker *maker, const Filling *filling, const Record *base)
{
    fill_fields(maker, filling->record, base, filling->segments);
    maker->source = filling->source;
    if (filling->tree->plan_x != NULL) {
        plan_resolve(maker, filling->record, filling->tree);
    }
}

/* The base of a record made `as` another; NULL after a message. */
static const Record *base_of(Maker *maker, const Filling *filling, const Map *fillings)
{
    const RecordTree *tree = filling->tree;
    const Filling *base = map_get(fillings, tree->as);
    maker->source = filling->source;
    if (base == NULL) {
        no_record(maker, tree->as, tree->as_span);
        return NULL;
    }
    if (base->tree->as != NULL) {
        Diagnostic *diag =
            diagnostic_error(maker->diags, "base of a record", place_of(maker, tree->as_span),
                             "'%.*s' is itself made as another record", TEXT_ARG(tree->as->text));
        diagnostic_note(maker->diags, diag, base->record->place, "declared here");
        return NULL;
    }
    return base->record;
}

static void fill_records(Maker *maker, const Map *fillings)
{
    Vocabulary *made = maker->made;
    for (int is_based = 0; is_based <= 1; is_based++) { /* the bases first */
        for (uint32_t i = 0; i < made->record_count; i++) {
            const Filling *filling = map_get(fillings, made->records[i]->name);
            if ((filling->tree->as != NULL) == (is_based != 0)) {
                fill_record(maker, filling,
                            is_based != 0 ? base_of(maker, filling, fillings) : NULL);
            }
        }
    }
}

/* ---- lists that are gathered ---- */

static bool is_of(const Field *field, const Record *record)
{
    bool has_items = field->type.class == CLASS_LIST || field->type.class == CLASS_ITEM;
    return has_items && !field->gathers &&
           (field->type.record == record || field->type.record->base == record);
}

/* The facts from which each is gathered, in the order of the vocabulary. */
static void find_gathered(Maker *maker)
{
    Record *unit = &maker->made->unit;
    for (uint32_t i = 0; i < unit->count; i++) {
        Field *field = &unit->fields[i];
        if (!field->gathers || field->type.class != CLASS_LIST) {
            continue;
        }
        field->sources = ARENA_ARRAY(maker->arena, const Field *, unit->count);
        for (uint32_t j = 0; j < unit->count; j++) {
            if (is_of(&unit->fields[j], field->type.record)) {
                field->sources[field->source_count++] = &unit->fields[j];
            }
        }
        if (field->source_count == 0) {
            diagnostic_error(maker->diags, "gathered list", field->place,
                             "no fact holds a record '%.*s', or one made as it",
                             TEXT_ARG(field->type.record->name->text));
        }
    }
}

/* ---- records that always contain themselves ---- */

/* The next field of the record, from `from` on, that must hold another record. */
static const Field *next_certain(const Record *record, uint32_t from)
{
    for (uint32_t i = from; i < record->count; i++) {
        const Field *field = &record->fields[i];
        if (field->type.class == CLASS_ITEM && field->always_present) {
            return field;
        }
    }
    return NULL;
}

/* Depth first, without recursion: a hostile file may chain as many records as it likes. */
static void find_endless(Maker *maker)
{
    typedef struct Step {
        const Record *record;
        uint32_t next; /* field to look at */
    } Step;
    char states[2]; /* their addresses stand for: on the path, done */
    Vocabulary *made = maker->made;
    Map *seen = map_new(maker->arena);
    Step *path = ARENA_ARRAY(maker->arena, Step, made->record_count + 1u);
    for (uint32_t i = 0; i < made->record_count; i++) {
        uint32_t depth = 0;
        if (map_get(seen, made->records[i]) == NULL) {
            path[depth++] = (Step){made->records[i], 0};
            map_put(seen, made->records[i], &states[0]);
        }
        while (depth > 0) {
            Step *top = &path[depth - 1];
            const Field *field = next_certain(top->record, top->next);
            if (field == NULL) {
                map_put(seen, top->record, &states[1]);
                depth--;
                continue;
            }
            top->next = field->index + 1;
            const void *state = map_get(seen, field->type.record);
            if (state == &states[0]) {
                diagnostic_error(maker->diags, "record without end", field->place,
                                 "'%.*s' makes record '%.*s' contain itself, always present: no "
                                 "spec could state it",
                                 TEXT_ARG(field->name->text),
                                 TEXT_ARG(field->type.record->name->text));
            } else if (state == NULL) {
                map_put(seen, field->type.record, &states[0]);
                path[depth++] = (Step){field->type.record, 0};
            }
        }
    }
}

void records_make(Maker *maker)
{
    const VocabularyTree *tree = maker->made->tree;
    const Source *whole = maker->source;
    Map *fillings = map_new(maker->arena);
    Filling *unit = filling_new(maker, &maker->made->unit, NULL);
    for (int is_continued = 0; is_continued <= 1; is_continued++) {
        for (size_t i = 0; i < piece_count(tree); i++) {
            const VocabularyTree *piece = piece_at(tree, i);
            maker->source = tree->piece_count == 0 ? whole : piece->source;
            if (is_continued == 0) {
                declare_records(maker, piece->records, fillings);
                add_segment(maker, unit, piece->facts);
            } else {
                continue_records(maker, piece->records, fillings);
            }
        }
    }
    fill_records(maker, fillings);
    fill_fields(maker, unit->record, NULL, unit->segments);
    find_gathered(maker);
    find_endless(maker);
}
