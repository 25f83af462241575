/* The vocabulary: declarations of choices, records, facts and topics, resolved to types, bounds
 * and slots.
 *
 * Takes the tree of a vocabulary, gives a Vocabulary that can be used whatever was wrong: what
 * cannot be resolved becomes CLASS_BAD, which silences all that would follow from it, and of two
 * declarations with one name the first stands. Records may name one another in any order, and
 * themselves; only a record that always contains itself is refused, as no spec could state it.
 * Types, bounds and plans are in vocabulary_type.c. */
#include "law/vocabulary.h"

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

/* Names the place of what was declared first. */
static void declared_twice(Maker *maker, const char *what, const Name *name, Span span, Place first)
{
    Diagnostic *diag = diagnostic_error(maker->diags, "declared twice", place_of(maker, span),
                                        "%s '%.*s' is declared twice", what, TEXT_ARG(name->text));
    diagnostic_note(maker->diags, diag, first, "first declared here");
}

/* ---- choices ---- */

static bool has_word(const Choice *choice, const Name *name)
{
    return choice_index(choice, name) >= 0;
}

Choice *choice_make(Maker *maker, const Name *name, const Word *words, bool ordered, Span span)
{
    Choice *choice = ARENA_NEW(maker->arena, Choice);
    choice->name = name;
    choice->ordered = ordered;
    choice->place = place_of(maker, span);
    choice->words = ARENA_ARRAY(maker->arena, const Name *, CHOICE_WORDS_MAX);
    for (const Word *word = words; word != NULL; word = word->next) {
        Text text = word->name->text;
        if (text_equal(text, TEXT("none")) || text_equal(text, TEXT("null"))) {
            diagnostic_error(maker->diags, "word of a choice", place_of(maker, word->span),
                             "'%.*s' cannot be a word of a choice: in a spec it says that %s",
                             TEXT_ARG(text),
                             text.data[1] == 'o' ? "the fact is absent" : "nothing is stated");
        } else if (has_word(choice, word->name)) {
            continue; /* the parser has said so */
        } else if (choice->count == CHOICE_WORDS_MAX) {
            diagnostic_error(maker->diags, "word of a choice", place_of(maker, word->span),
                             "a choice has at most %d words", CHOICE_WORDS_MAX);
            break;
        } else {
            choice->words[choice->count++] = word->name;
        }
    }
    return choice;
}

/* A type's own name may not hide a dimension, nor a choice a record. */
static bool check_type_name(Maker *maker, const char *what, const Name *name, Span span)
{
    if (name == NULL) { /* left out after a syntax error */
        return false;
    }
    const Vocabulary *made = maker->made;
    Dimension dimension;
    const Choice *choice = map_get(made->choice_by_name, name);
    const Record *record = map_get(made->record_by_name, name);
    if (choice != NULL || record != NULL) {
        declared_twice(maker, what, name, span, choice != NULL ? choice->place : record->place);
        return false;
    }
    if (dimension_find(name->text, &dimension)) {
        diagnostic_error(maker->diags, "declared twice", place_of(maker, span),
                         "'%.*s' is the name of a dimension", TEXT_ARG(name->text));
        return false;
    }
    return true;
}

static void declare_choices(Maker *maker, const ChoiceTree *trees)
{
    Vocabulary *made = maker->made;
    uint32_t count = 0;
    for (const ChoiceTree *tree = trees; tree != NULL; tree = tree->next) {
        count++;
    }
    made->choices = ARENA_ARRAY(maker->arena, Choice *, count);
    for (const ChoiceTree *tree = trees; tree != NULL; tree = tree->next) {
        if (check_type_name(maker, "choice", tree->name, tree->name_span)) {
            Choice *choice =
                choice_make(maker, tree->name, tree->words, tree->ordered, tree->name_span);
            made->choices[made->choice_count++] = choice;
            map_put(made->choice_by_name, tree->name, choice);
        }
    }
}

/* ---- records ---- */

static void declare_records(Maker *maker, const RecordTree *trees)
{
    Vocabulary *made = maker->made;
    uint32_t count = 0;
    for (const RecordTree *tree = trees; tree != NULL; tree = tree->next) {
        count++;
    }
    made->records = ARENA_ARRAY(maker->arena, Record *, count);
    for (const RecordTree *tree = trees; tree != NULL; tree = tree->next) {
        if (check_type_name(maker, "record", tree->name, tree->name_span)) {
            Record *record = ARENA_NEW(maker->arena, Record);
            record->name = tree->name;
            record->place = place_of(maker, tree->name_span);
            made->records[made->record_count++] = record;
            map_put(made->record_by_name, tree->name, record);
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

static void make_fields(Maker *maker, Record *record, const FieldTree *trees)
{
    uint32_t count = 0;
    for (const FieldTree *tree = trees; tree != NULL; tree = tree->next) {
        count++;
    }
    record->fields = ARENA_ARRAY(maker->arena, Field, count);
    record->by_name = map_new(maker->arena);
    for (const FieldTree *tree = trees; tree != NULL; tree = tree->next) {
        if (!check_field_name(maker, record, tree)) {
            continue;
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

/* ---- topics ---- */

static void declare_topics(Maker *maker, const TopicTree *trees)
{
    Vocabulary *made = maker->made;
    uint32_t count = 0;
    for (const TopicTree *tree = trees; tree != NULL; tree = tree->next) {
        count++;
    }
    made->topics = ARENA_ARRAY(maker->arena, Topic, count);
    for (const TopicTree *tree = trees; tree != NULL; tree = tree->next) {
        const Topic *first = map_get(made->topic_by_name, tree->name);
        if (first != NULL) {
            declared_twice(maker, "topic", tree->name, tree->name_span, first->place);
            continue;
        }
        Topic *topic = &made->topics[made->topic_count++];
        *topic = (Topic){tree->name, tree->title, place_of(maker, tree->name_span)};
        map_put(made->topic_by_name, tree->name, topic);
    }
}

Vocabulary *vocabulary_make(Arena *arena, Names *names, const VocabularyTree *tree,
                            const Source *source, Diagnostics *diags)
{
    (void)names; /* the parser has interned every name that can stand in a vocabulary */
    Vocabulary *made = ARENA_NEW(arena, Vocabulary);
    Maker maker = {arena, made, source, diags};
    made->name = tree->name;
    made->tree = tree;
    made->source = source;
    made->choice_by_name = map_new(arena);
    made->record_by_name = map_new(arena);
    made->topic_by_name = map_new(arena);
    made->unit.place = place_of(&maker, tree->name_span);
    declare_choices(&maker, tree->choices);
    declare_records(&maker, tree->records);
    for (const RecordTree *record = tree->records; record != NULL; record = record->next) {
        Record *into = map_get(made->record_by_name, record->name);
        /* one declared twice is filled once, from its first declaration */
        if (into != NULL && into->by_name == NULL) {
            make_fields(&maker, into, record->fields);
            plan_resolve(&maker, into, record);
        }
    }
    make_fields(&maker, &made->unit, tree->facts);
    declare_topics(&maker, tree->topics);
    find_endless(&maker);
    return made;
}

/* ---- look-ups ---- */

const Field *record_field(const Record *record, const Name *name)
{
    return name == NULL ? NULL : map_get(record->by_name, name);
}

const Field *record_nearest(Arena *arena, const Record *record, Text name)
{
    ArenaMark mark = arena_mark(arena);
    Text *texts = ARENA_ARRAY(arena, Text, record->count);
    for (uint32_t i = 0; i < record->count; i++) {
        texts[i] = record->fields[i].name->text;
    }
    long nearest = text_nearest(name, texts, record->count);
    arena_reset(arena, mark);
    return nearest < 0 ? NULL : &record->fields[nearest];
}

int choice_index(const Choice *choice, const Name *word)
{
    for (uint32_t i = 0; i < choice->count; i++) {
        if (choice->words[i] == word) {
            return (int)i;
        }
    }
    return -1;
}
