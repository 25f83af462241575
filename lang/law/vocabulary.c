/* The vocabulary: declarations of choices, records, facts and topics, resolved to types, bounds
 * and slots.
 *
 * Takes the tree of a vocabulary, gives a Vocabulary that can be used whatever was wrong: what
 * cannot be resolved becomes CLASS_BAD, which silences all that would follow from it, and of two
 * declarations with one name the first stands. A vocabulary in several pieces is made as if they
 * were one. Records are in vocabulary_record.c, types, bounds and plans in vocabulary_type.c. */
#include "law/vocabulary.h"

#include "law/vocabulary_inner.h"

static Place place_of(const Maker *maker, Span span)
{
    return (Place){maker->source, span};
}

/* Names the place of what was declared first. */
void declared_twice(Maker *maker, const char *what, const Name *name, Span span, Place first)
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
bool type_name_check(Maker *maker, const char *what, const Name *name, Span span)
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
    for (const ChoiceTree *tree = trees; tree != NULL; tree = tree->next) {
        if (type_name_check(maker, "choice", tree->name, tree->name_span)) {
            Choice *choice =
                choice_make(maker, tree->name, tree->words, tree->ordered, tree->name_span);
            made->choices[made->choice_count++] = choice;
            map_put(made->choice_by_name, tree->name, choice);
        }
    }
}

/* ---- topics ---- */

static void declare_topics(Maker *maker, const TopicTree *trees)
{
    Vocabulary *made = maker->made;
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

/* Room for all that the pieces declare. */
static void make_room(Maker *maker)
{
    Vocabulary *made = maker->made;
    uint32_t choices = 0, records = 0, topics = 0;
    for (size_t i = 0; i < piece_count(made->tree); i++) {
        const VocabularyTree *piece = piece_at(made->tree, i);
        for (const ChoiceTree *tree = piece->choices; tree != NULL; tree = tree->next) {
            choices++;
        }
        for (const RecordTree *tree = piece->records; tree != NULL; tree = tree->next) {
            records++;
        }
        for (const TopicTree *tree = piece->topics; tree != NULL; tree = tree->next) {
            topics++;
        }
    }
    made->choices = ARENA_ARRAY(maker->arena, Choice *, choices + 1);
    made->records = ARENA_ARRAY(maker->arena, Record *, records + 1);
    made->topics = ARENA_ARRAY(maker->arena, Topic, topics + 1);
    made->choice_by_name = map_new(maker->arena);
    made->record_by_name = map_new(maker->arena);
    made->topic_by_name = map_new(maker->arena);
}

size_t piece_count(const VocabularyTree *tree)
{
    return tree->piece_count == 0 ? 1 : tree->piece_count;
}

const VocabularyTree *piece_at(const VocabularyTree *tree, size_t i)
{
    return tree->piece_count == 0 ? tree : tree->pieces[i];
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
    made->unit.place = place_of(&maker, tree->name_span);
    make_room(&maker);
    for (size_t i = 0; i < piece_count(tree); i++) {
        const VocabularyTree *piece = piece_at(tree, i);
        maker.source = tree->piece_count == 0 ? source : piece->source;
        declare_choices(&maker, piece->choices);
        declare_topics(&maker, piece->topics);
    }
    records_make(&maker);
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
