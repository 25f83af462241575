/* Constructors for vocabularies: types, fields, choices, records, topics. */
#include "syntax/parse.h"

const Name *name_dotted(Parse *parse, const Name *before, Named after)
{
    enum { TOPIC_MAX = 120 };
    if (before->text.len > TOPIC_MAX) {
        parse_error(parse, "topic", after.span, "a topic of more than %d letters", TOPIC_MAX);
        return before;
    }
    Text dotted =
        text_format(parse->arena, "%.*s.%.*s", TEXT_ARG(before->text), TEXT_ARG(after.name->text));
    return names_intern(parse->names, dotted);
}

enum { WORDS_COMPARED = 300 }; /* each word is compared with all before it */

WordList words_add(Parse *parse, WordList list, char mark, Named name)
{
    bool ordered = mark == '<';
    bool is_mixed = list.count > 1 && mark != 0 && ordered != list.ordered;
    if (is_mixed) {
        parse_error(parse, "choice", name.span,
                    "the words of a choice are all parted by ',' or, in order, all by '<'");
    }
    bool is_short = list.count < WORDS_COMPARED;
    for (const Word *word = list.first; is_short && word != NULL; word = word->next) {
        if (word->name == name.name) {
            Diagnostic *diag = parse_error(parse, "said twice", name.span,
                                           "'%.*s' stands here twice", TEXT_ARG(name.name->text));
            parse_see(parse, diag, word->span, "first here");
        }
    }
    Word *word = ARENA_NEW(parse->arena, Word);
    word->name = name.name;
    word->span = name.span;
    if (list.first == NULL) {
        return (WordList){word, word, 1, ordered};
    }
    list.last->next = word;
    return (WordList){list.first, word, list.count + 1, ordered};
}

/* ---- types ---- */

TypeTree type_of(Span span, TypeKind kind, const Name *name, WordList words)
{
    return (TypeTree){.kind = (uint8_t)kind,
                      .ordered = words.ordered,
                      .name = name,
                      .words = words.first,
                      .span = span};
}

TypeTree type_named(Parse *parse, Named name)
{
    static const struct {
        const char *word;
        TypeKind kind;
    } kinds[] = {{"text", TYPE_TEXT},
                 {"date", TYPE_DATE},
                 {"count", TYPE_COUNT},
                 {"percent", TYPE_PERCENT},
                 {"size", TYPE_SIZE}};
    (void)parse;
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (text_equal(name.name->text, text_of(kinds[i].word))) {
            return type_of(name.span, kinds[i].kind, NULL, (WordList){0});
        }
    }
    return type_of(name.span, TYPE_NAMED, name.name, (WordList){0});
}

/* ---- fields ---- */

FieldTree *field_new(Parse *parse, Span span, Named name, TypeTree type)
{
    FieldTree *field = ARENA_NEW(parse->arena, FieldTree);
    field->name = name.name;
    field->name_span = name.span;
    field->span = span;
    field->type = type;
    return field;
}

static void refuse_twice(Parse *parse, bool is_twice, Span span, const char *what)
{
    if (is_twice) {
        parse_error(parse, "said twice", span, "%s is said twice of this field", what);
    }
}

FieldTree *field_flag(Parse *parse, FieldTree *field, Span span, bool key)
{
    refuse_twice(parse, key ? field->key : field->always_present, span,
                 key ? "'key'" : "'always present'");
    field->key = field->key || key;
    field->always_present = field->always_present || !key;
    field->span.end = span.end;
    return field;
}

FieldTree *field_low(Parse *parse, FieldTree *field, Span span, Amount low, bool open)
{
    refuse_twice(parse, field->low != NULL, low.span, "a lower bound");
    field->low = low.quantity;
    field->low_span = low.span;
    field->low_open = open;
    field->span = span;
    return field;
}

FieldTree *field_high(Parse *parse, FieldTree *field, Span span, Amount high, bool open)
{
    refuse_twice(parse, field->high != NULL, high.span, "an upper bound");
    field->high = high.quantity;
    field->high_span = high.span;
    field->high_open = open;
    field->span = span;
    return field;
}

FieldTree *field_step(Parse *parse, FieldTree *field, Span span, Amount step)
{
    refuse_twice(parse, field->step != NULL, step.span, "'in steps of'");
    field->step = step.quantity;
    field->step_span = step.span;
    field->span = span;
    return field;
}

FieldTree *field_built(Parse *parse, FieldTree *field, Span span, Named as)
{
    refuse_twice(parse, field->built_as != NULL, as.span, "'built as'");
    field->built_as = as.name;
    field->span = span;
    return field;
}

FieldTree *field_ask(Parse *parse, FieldTree *field, Span span, Quoted question)
{
    refuse_twice(parse, field->ask.len > 0, question.span, "'ask'");
    field->ask = question.text;
    field->span = span;
    return field;
}

/* ---- what a vocabulary holds ---- */

ChoiceTree *choice_new(Parse *parse, Span span, Named name, WordList words)
{
    ChoiceTree *choice = ARENA_NEW(parse->arena, ChoiceTree);
    choice->name = name.name;
    choice->name_span = name.span;
    choice->span = span;
    choice->words = words.first;
    choice->ordered = words.ordered;
    return choice;
}

RecordTree *record_new(Parse *parse, Named name)
{
    RecordTree *record = ARENA_NEW(parse->arena, RecordTree);
    record->name = name.name;
    record->name_span = name.span;
    return record;
}

RecordTree *record_as(RecordTree *record, Named base)
{
    record->as = base.name;
    record->as_span = base.span;
    return record;
}

RecordTree *record_continued(RecordTree *record)
{
    record->continued = true;
    return record;
}

RecordTree *record_done(RecordTree *record, Span span, FieldList fields, const RecordTree *plan)
{
    record->span = span;
    record->fields = fields.first;
    if (plan != NULL) {
        record->plan_x = plan->plan_x;
        record->plan_along = plan->plan_along;
        record->plan_y = plan->plan_y;
        record->plan_across = plan->plan_across;
        record->plan_span = plan->plan_span;
    }
    return record;
}

RecordTree *record_plan(Parse *parse, Span span, Named from, Named along)
{
    RecordTree *plan = ARENA_NEW(parse->arena, RecordTree);
    plan->plan_x = from.name;
    plan->plan_along = along.name;
    plan->plan_span = span;
    return plan;
}

RecordTree *record_across(RecordTree *plan, Span span, Named from, Named across)
{
    plan->plan_y = from.name;
    plan->plan_across = across.name;
    plan->plan_span = span;
    return plan;
}

TopicTree *topic_new(Parse *parse, Span span, Named name, Text title)
{
    TopicTree *topic = ARENA_NEW(parse->arena, TopicTree);
    topic->name = name.name;
    topic->name_span = name.span;
    topic->title = title;
    topic->span = span;
    return topic;
}

VocabularyTree *vocabulary_new(Parse *parse, Span span, Named name, bool continued, PartList parts)
{
    VocabularyTree *vocabulary = ARENA_NEW(parse->arena, VocabularyTree);
    vocabulary->name = name.name;
    vocabulary->name_span = name.span;
    vocabulary->continued = continued;
    vocabulary->source = parse->source;
    vocabulary->span = span;
    vocabulary->parts = parts.first;
    ChoiceTree **choice = &vocabulary->choices;
    RecordTree **record = &vocabulary->records;
    FieldTree **fact = &vocabulary->facts;
    TopicTree **topic = &vocabulary->topics;
    for (PartTree *part = parts.first; part != NULL; part = part->next) {
        if (part->kind == PART_CHOICE) {
            *choice = part->node;
            choice = &(*choice)->next;
        } else if (part->kind == PART_RECORD) {
            *record = part->node;
            record = &(*record)->next;
        } else if (part->kind == PART_FACT) {
            *fact = part->node;
            fact = &(*fact)->next;
        } else if (part->kind == PART_TOPIC) {
            *topic = part->node;
            topic = &(*topic)->next;
        }
    }
    return vocabulary;
}
