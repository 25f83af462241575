/* Constructors for codes, worksheets and worked examples. */
#include "syntax/parse.h"

#define LINK(end, tree) (*(end) = (tree), (end) = &(*(end))->next)

/* NOLINTBEGIN(bugprone-macro-parentheses): a type cannot stand in parentheses */
/* Lists that grow while their node is read grow at the front, and are turned round at the end. */
#define TURN(Type, list)                  \
    do {                                  \
        Type *inverse_ = (list);          \
        (list) = NULL;                    \
        while (inverse_ != NULL) {        \
            Type *next_ = inverse_->next; \
            inverse_->next = (list);      \
            (list) = inverse_;            \
            inverse_ = next_;             \
        }                                 \
    } while (0)
/* NOLINTEND(bugprone-macro-parentheses) */

/* ---- codes ---- */

CodeTree *code_head(Parse *parse, Named name, Text edition, bool continued)
{
    CodeTree *code = ARENA_NEW(parse->arena, CodeTree);
    code->name = name.name;
    code->name_span = name.span;
    code->edition = edition;
    code->continued = continued;
    code->published = DAY_UNSAID;
    code->source = parse->source;
    return code;
}

CodeTree *code_as(CodeTree *code, Text edition, Span span)
{
    code->as_edition = edition;
    code->as_span = span;
    return code;
}

/* Where the next node of each kind goes, and the parts of which there can be one. */
typedef struct CodeEnds {
    SectionTree **section;
    OmittedTree **omitted;
    TargetTree **reserved;
    Expr **scope;
    DefineTree **define;
    TableTree **table;
    WorksheetTree **worksheet;
    ReadingTree **reading;
    ExampleTree **example;
    StandingSeen standing;
    const PartTree *title, *publisher, *vocabulary, *ranks, *cited_as, *basis, *published;
} CodeEnds;

static void code_say(Parse *parse, CodeTree *code, CodeEnds *ends, const PartTree *part)
{
    switch (part->kind) {
    case PART_TITLE:
        refuse_second(parse, part, &ends->title, "title");
        code->title = part->text;
        return;
    case PART_PUBLISHER:
        refuse_second(parse, part, &ends->publisher, "publisher");
        code->publisher = part->text;
        return;
    case PART_VOCABULARY:
        refuse_second(parse, part, &ends->vocabulary, "vocabulary");
        code->vocabulary = part->name;
        code->vocabulary_span = part->at;
        return;
    case PART_PUBLISHED:
        refuse_second(parse, part, &ends->published, "published");
        code->published = part->day;
        return;
    case PART_RANKS:
        refuse_second(parse, part, &ends->ranks, "ranks");
        code->ranks = part->node;
        code->rank_count = part->detail;
        return;
    case PART_CITED_AS:
        refuse_second(parse, part, &ends->cited_as, "cited as");
        code->cited_as = part->text;
        return;
    case PART_BASIS:
        refuse_second(parse, part, &ends->basis, "basis");
        code->basis = *(const BasisTree *)part->node;
        return;
    default: (void)standing_put(parse, &code->standing, &ends->standing, part); return;
    }
}

static void code_reserve(Parse *parse, CodeEnds *ends, const TargetTree *target)
{
    for (; target != NULL; target = target->next) {
        TargetTree *copy = ARENA_NEW(parse->arena, TargetTree);
        *copy = *target;
        copy->next = NULL;
        LINK(ends->reserved, copy); /* the part keeps its own list */
    }
}

static void code_put(Parse *parse, CodeTree *code, CodeEnds *ends, const PartTree *part)
{
    switch (part->kind) {
    case PART_SECTION: LINK(ends->section, part->node); return;
    case PART_OMITTED: LINK(ends->omitted, part->node); return;
    case PART_RESERVED: code_reserve(parse, ends, part->node); return;
    case PART_FOR_UNITS: LINK(ends->scope, part->node); return;
    case PART_DEFINE: LINK(ends->define, part->node); return;
    case PART_TABLE: LINK(ends->table, part->node); return;
    case PART_WORKSHEET: LINK(ends->worksheet, part->node); return;
    case PART_READING: LINK(ends->reading, part->node); return;
    case PART_EXAMPLE: LINK(ends->example, part->node); return;
    default: code_say(parse, code, ends, part); return;
    }
}

CodeTree *code_new(Parse *parse, Span span, CodeTree *code, PartList parts)
{
    code->span = span;
    code->parts = parts.first;
    CodeEnds ends = {.section = &code->sections,
                     .omitted = &code->omitted,
                     .reserved = &code->reserved,
                     .scope = &code->scopes,
                     .define = &code->defines,
                     .table = &code->tables,
                     .worksheet = &code->worksheets,
                     .reading = &code->readings,
                     .example = &code->examples};
    for (const PartTree *part = parts.first; part != NULL; part = part->next) {
        code_put(parse, code, &ends, part);
    }
    return code;
}

/* ---- worksheets ---- */

StepTree *step_new(Parse *parse, Span span, Named name, Text title, Expr *value, Expr *fallback,
                   Quoted unit, Quoted cites)
{
    StepTree *step = ARENA_NEW(parse->arena, StepTree);
    step->name = name.name;
    step->name_span = name.span;
    step->title = title;
    step->value = value;
    step->fallback = fallback;
    step->unit = unit.text;
    step->unit_span = unit.span;
    step->cites = cites.text;
    step->span = span;
    return step;
}

WorksheetTree *worksheet_head(Parse *parse, Named name, Text title)
{
    WorksheetTree *worksheet = ARENA_NEW(parse->arena, WorksheetTree);
    worksheet->name = name.name;
    worksheet->name_span = name.span;
    worksheet->title = title;
    worksheet->source = parse->source;
    return worksheet;
}

WorksheetTree *worksheet_new(Parse *parse, Span span, WorksheetTree *worksheet, PartList parts)
{
    (void)parse;
    worksheet->span = span;
    worksheet->parts = parts.first;
    EachTree **each = &worksheet->eachs;
    DefineTree **define = &worksheet->defines;
    StepTree **step = &worksheet->steps;
    Expr **when = &worksheet->whens;
    WorksheetTree **schedule = &worksheet->schedules;
    for (const PartTree *part = parts.first; part != NULL; part = part->next) {
        if (part->kind == PART_EACH) {
            LINK(each, part->node);
        } else if (part->kind == PART_DEFINE) {
            LINK(define, part->node);
        } else if (part->kind == PART_STEP) {
            LINK(step, part->node);
        } else if (part->kind == PART_WHEN) {
            LINK(when, part->node);
        } else if (part->kind == PART_SCHEDULE) {
            LINK(schedule, part->node);
        }
    }
    return worksheet;
}

/* ---- worked examples ---- */

SettingTree *setting_new(Parse *parse, Span span, Expr *path, Datum *value)
{
    SettingTree *setting = ARENA_NEW(parse->arena, SettingTree);
    setting->path = path;
    setting->value = value;
    setting->span = span;
    return setting;
}

ExampleTree *example_head(Parse *parse, Quoted title, Quoted from, SettingList with, Dated on)
{
    ExampleTree *example = ARENA_NEW(parse->arena, ExampleTree);
    example->title = title.text;
    example->from = from.text;
    example->from_span = from.span;
    example->with = with.first;
    example->dated = on.span.end > on.span.start;
    example->on = on.day;
    example->source = parse->source;
    return example;
}

ExampleTree *example_facts(ExampleTree *example, Span lead, SettingList facts)
{
    facts.first->lead = lead;
    SettingTree *last_of_all = example->facts; /* of each group the first comes last */
    for (SettingTree *fact = facts.first; fact != NULL;) {
        SettingTree *next = fact->next;
        fact->next = last_of_all;
        last_of_all = fact;
        fact = next;
    }
    example->facts = last_of_all;
    return example;
}

ExampleTree *example_finds(ExampleTree *example, Span lead, ExpectedTree *expected)
{
    expected->span.start = lead.start;
    TURN(Expr, expected->waits);
    expected->next = example->expected;
    example->expected = expected;
    return example;
}

ExampleTree *example_new(Parse *parse, Span span, ExampleTree *example)
{
    (void)parse;
    TURN(SettingTree, example->facts);
    TURN(ExpectedTree, example->expected);
    example->span = span;
    return example;
}

ExpectedTree *expected_new(Parse *parse, Span span, const TargetTree *target, Named label,
                           DatumList items, Outcome outcome)
{
    ExpectedTree *expected = ARENA_NEW(parse->arena, ExpectedTree);
    expected->target = *target;
    expected->label = label.name;
    expected->items = items.first;
    expected->outcome = (uint8_t)outcome;
    expected->span = span;
    return expected;
}

ExpectedTree *expected_data(Parse *parse, ExpectedTree *expected, Span span, bool limit,
                            Datum *value)
{
    Datum **of = limit ? &expected->limit : &expected->measured;
    if (*of != NULL) {
        parse_error(parse, "said twice", value->place.span, "'%s' is said twice here",
                    limit ? "limit" : "measured");
    }
    *of = value;
    expected->span = span;
    return expected;
}

/* `step worksheet.step [for "item"] = value` */
ExpectedTree *expected_step(Parse *parse, Span span, Expr *step, DatumList items, Datum *value)
{
    ExpectedTree *expected = ARENA_NEW(parse->arena, ExpectedTree);
    bool is_step = step->kind == EXPR_FIELD && step->a->kind == EXPR_NAME;
    if (!is_step && step->kind != EXPR_BAD) {
        parse_error(parse, "step", step->span,
                    "a step is written with its worksheet: worksheet_name.step_name");
    }
    expected->step = is_step ? step : NULL;
    expected->items = items.first;
    expected->measured = value;
    expected->span = span;
    return expected;
}

ExpectedTree *expected_within(Parse *parse, ExpectedTree *expected, Span span, Amount within)
{
    if (expected->step == NULL) {
        parse_error(parse, "step", within.span,
                    "'within' says how far the value of a step may be off; a finding is exact");
    } else if (expected->within != NULL) {
        parse_error(parse, "said twice", within.span, "'within' is said twice here");
    }
    expected->within = within.quantity;
    expected->within_span = within.span;
    expected->span = span;
    return expected;
}

ExpectedTree *expected_waits(ExpectedTree *expected, Span span, Expr *path)
{
    path->next = expected->waits;
    expected->waits = path;
    expected->span = span;
    return expected;
}

/* ---- the file ---- */

void file_add(Parse *parse, ItemKind kind, void *node)
{
    ItemTree *item = ARENA_NEW(parse->arena, ItemTree);
    item->kind = (uint8_t)kind;
    switch (kind) {
    case ITEM_VOCABULARY: item->vocabulary = node; break;
    case ITEM_CODE: item->code = node; break;
    case ITEM_JURISDICTION: item->jurisdiction = node; break;
    case ITEM_PLACE: item->place = node; break;
    }
    if (parse->last_item == NULL) {
        parse->file->items = item;
    } else {
        parse->last_item->next = item;
    }
    parse->last_item = item;
}

void file_settings(Parse *parse, SettingList settings)
{
    parse->settings = settings.first;
}
