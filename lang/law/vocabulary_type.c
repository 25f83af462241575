/* Types of the vocabulary: what a type written in a rule file means, the bounds and steps of a
 * field, the fields that place an item in the plan, and types in words for messages.
 *
 * Guarantees that the bounds of a field are of its dimension and leave at least one value, and
 * that plan fields are lengths; what is not so is reported and left out. */
#include "law/vocabulary_inner.h"

enum { CANDIDATES_MAX = 512 }; /* for a nearest name; a vocabulary with more gets no guess beyond */

static Place place_of(const Maker *maker, Span span)
{
    return (Place){maker->source, span};
}

/* ---- types ---- */

static Text nearest_type(const Vocabulary *vocabulary, Text word)
{
    static const char *const own[] = {"text", "date", "count", "percent", "size"};
    Text words[CANDIDATES_MAX];
    size_t count = 0;
    for (size_t i = 0; i < sizeof own / sizeof own[0]; i++) {
        words[count++] = text_of(own[i]);
    }
    size_t room = CANDIDATES_MAX / 2;
    size_t dimensions = dimension_names(words + count, room);
    count += dimensions < room ? dimensions : room;
    for (uint32_t i = 0; i < vocabulary->record_count && count < CANDIDATES_MAX; i++) {
        words[count++] = vocabulary->records[i]->name->text;
    }
    for (uint32_t i = 0; i < vocabulary->choice_count && count < CANDIDATES_MAX; i++) {
        words[count++] = vocabulary->choices[i]->name->text;
    }
    long nearest = text_nearest(word, words, count);
    return nearest < 0 ? TEXT("") : words[nearest];
}

static bool unknown_type(Maker *maker, const TypeTree *tree)
{
    Text word = tree->name->text;
    Diagnostic *diag = diagnostic_error(maker->diags, "unknown type", place_of(maker, tree->span),
                                        "'%.*s' is no dimension, record or choice", TEXT_ARG(word));
    Text nearest = nearest_type(maker->made, word);
    if (nearest.len > 0) {
        diagnostic_note(maker->diags, diag, (Place){0}, "did you mean '%.*s'?", TEXT_ARG(nearest));
    }
    return false;
}

static bool resolve_named(Maker *maker, const TypeTree *tree, Type *out)
{
    out->choice = map_get(maker->made->choice_by_name, tree->name);
    if (out->choice != NULL) {
        out->class = CLASS_CHOICE;
        return true;
    }
    out->record = map_get(maker->made->record_by_name, tree->name);
    if (out->record != NULL) {
        out->class = CLASS_ITEM;
        return true;
    }
    if (dimension_find(tree->name->text, &out->dimension)) {
        out->class = CLASS_NUMBER;
        return true;
    }
    return unknown_type(maker, tree);
}

static bool resolve_list(Maker *maker, const TypeTree *tree, Type *out)
{
    Type member = {0};
    if (!resolve_named(maker, tree, &member)) {
        return false;
    }
    if (member.class != CLASS_ITEM) {
        diagnostic_error(maker->diags, "unknown type", place_of(maker, tree->span),
                         "a list holds records; '%.*s' is a %s", TEXT_ARG(tree->name->text),
                         member.class == CLASS_CHOICE ? "choice" : "dimension");
        return false;
    }
    out->class = CLASS_LIST;
    out->record = member.record;
    return true;
}

/* `name` is that of an inline choice. */
static bool resolve(Maker *maker, const TypeTree *tree, const Name *name, Type *out)
{
    *out = (Type){.class = CLASS_BAD, .dimension = DIMENSION_NUMBER};
    switch ((TypeKind)tree->kind) {
    case TYPE_NAMED: return resolve_named(maker, tree, out);
    case TYPE_LIST:
    case TYPE_EVERY: return resolve_list(maker, tree, out);
    case TYPE_TEXT: out->class = CLASS_TEXT; break;
    case TYPE_YES_NO: out->class = CLASS_YES_NO; break;
    case TYPE_DATE: out->class = CLASS_DATE; break;
    case TYPE_SIZE: out->class = CLASS_SIZE; break;
    case TYPE_COUNT:
        out->class = CLASS_NUMBER;
        out->whole = true;
        break;
    case TYPE_PERCENT:
        out->class = CLASS_NUMBER;
        out->percent = true;
        break;
    case TYPE_ONE_OF:
        out->class = CLASS_CHOICE;
        out->choice = choice_make(maker, name, tree->words, tree->ordered, tree->span);
        break;
    }
    return true;
}

bool type_resolve(Arena *arena, const Vocabulary *vocabulary, const TypeTree *tree,
                  const Source *source, Type *out, Diagnostics *diags)
{
    Vocabulary view = *vocabulary; /* the makers only read it here */
    Maker maker = {arena, &view, source, diags};
    return resolve(&maker, tree, NULL, out);
}

static Text describe_choice(Arena *arena, const Choice *choice)
{
    Buffer buffer = buffer_make(arena);
    buffer_string(&buffer, "one of ");
    for (uint32_t i = 0; i < choice->count; i++) {
        buffer_string(&buffer, i == 0 ? "" : choice->ordered ? " < " : ", ");
        buffer_text(&buffer, choice->words[i]->text);
    }
    return buffer_done(&buffer);
}

Text type_describe(Arena *arena, const Type *type)
{
    switch ((TypeClass)type->class) {
    case CLASS_BAD: return TEXT("an unknown type");
    case CLASS_NUMBER:
        return type->whole     ? TEXT("count")
               : type->percent ? TEXT("percent")
                               : dimension_name(arena, type->dimension);
    case CLASS_YES_NO: return TEXT("yes/no");
    case CLASS_CHOICE: return describe_choice(arena, type->choice);
    case CLASS_TEXT: return TEXT("text");
    case CLASS_DATE: return TEXT("date");
    case CLASS_SIZE: return TEXT("size");
    case CLASS_ITEM: return type->record->name == NULL ? TEXT("unit") : type->record->name->text;
    case CLASS_LIST: return text_format(arena, "list of %.*s", TEXT_ARG(type->record->name->text));
    }
    return TEXT("");
}

/* ---- bounds ---- */

static bool is_length(const Type *type)
{
    Dimension length;
    return type->class == CLASS_NUMBER && dimension_find(TEXT("length"), &length) &&
           dimension_equal(type->dimension, length);
}

/* Can the quantity bound the field? `what` is "bound" or "step". */
static bool check_bound(Maker *maker, const Field *field, const Quantity *quantity, Span span,
                        const char *what)
{
    Place place = place_of(maker, span);
    Type of_step = field->type;
    if (what[0] == 's') {
        of_step.dimension.kind = KIND_PLAIN; /* between points lie differences */
    }
    const Type *type = &of_step;
    if (type->class == CLASS_BAD) {
        return false;
    }
    Text words = type_describe(maker->arena, type);
    if (type->class != CLASS_NUMBER) {
        diagnostic_error(maker->diags, "wrong bound", place,
                         "only quantities have a %s; '%.*s' is %.*s", what,
                         TEXT_ARG(field->name->text), TEXT_ARG(words));
        return false;
    }
    if (!dimension_equal(quantity->dimension, type->dimension)) {
        Text found = dimension_name(maker->arena, quantity->dimension);
        Diagnostic *diag = diagnostic_error(maker->diags, "wrong dimension", place,
                                            "the %s is a %.*s where a %.*s is due", what,
                                            TEXT_ARG(found), TEXT_ARG(words));
        const Unit *unit = unit_default(maker->arena, type->dimension);
        if (unit != NULL) {
            diagnostic_note(maker->diags, diag, (Place){0}, "write it in %.*s, for example",
                            TEXT_ARG(unit->spelling));
        }
        return false;
    }
    const char *fault = NULL;
    if (quantity->measured) {
        fault = "is exact: it has no tolerance";
    } else if (type->percent != quantity->percent) {
        fault = type->percent ? "of a percentage has its sign: %" : "of a number has no % sign";
    } else if (type->whole && !rational_is_whole(quantity->range.low)) {
        fault = "of a count is a whole number";
    }
    if (fault != NULL) {
        diagnostic_error(maker->diags, "wrong bound", place, "a %s %s", what, fault);
    }
    return fault == NULL;
}

static void resolve_bounds(Maker *maker, Field *field, const FieldTree *tree)
{
    Range *bounds = &field->bounds;
    const Unit *unit = NULL;
    *bounds = range_everything();
    if (tree->low != NULL && check_bound(maker, field, tree->low, tree->low_span, "bound")) {
        bounds->low = tree->low->range.low;
        bounds->flags &= (uint8_t)~RANGE_NO_LOW;
        bounds->flags |= tree->low_open ? RANGE_LOW_OPEN : 0;
        unit = tree->low->unit;
    }
    if (tree->high != NULL && check_bound(maker, field, tree->high, tree->high_span, "bound")) {
        bounds->high = tree->high->range.low;
        bounds->flags &= (uint8_t)~RANGE_NO_HIGH;
        bounds->flags |= tree->high_open ? RANGE_HIGH_OPEN : 0;
        unit = unit != NULL ? unit : tree->high->unit;
    }
    if ((bounds->flags & (RANGE_NO_LOW | RANGE_NO_HIGH)) == 0) {
        int order = rational_order(bounds->low, bounds->high);
        bool open = (bounds->flags & (RANGE_LOW_OPEN | RANGE_HIGH_OPEN)) != 0;
        if (order > 0 || (order == 0 && open)) {
            diagnostic_error(maker->diags, "wrong bound", place_of(maker, tree->high_span),
                             "no value of '%.*s' lies within its bounds",
                             TEXT_ARG(field->name->text));
            *bounds = range_everything();
        } else if (order == 0) {
            *bounds = range_exact(bounds->low);
        }
    }
    field->unit = unit;
}

static void resolve_step(Maker *maker, Field *field, const FieldTree *tree)
{
    const Quantity *step = tree->step;
    if (step == NULL || !check_bound(maker, field, step, tree->step_span, "step")) {
        return;
    }
    if (rational_sign(step->range.low) <= 0) {
        diagnostic_error(maker->diags, "wrong bound", place_of(maker, tree->step_span),
                         "a step is more than zero");
        return;
    }
    field->has_step = true;
    field->step = step->range.low;
    field->unit = field->unit != NULL ? field->unit : step->unit;
}

void field_resolve(Maker *maker, Field *field, const FieldTree *tree)
{
    (void)resolve(maker, &tree->type, tree->name, &field->type);
    field->always_present = tree->always_present;
    field->ask = tree->ask;
    resolve_bounds(maker, field, tree);
    resolve_step(maker, field, tree);
    if (field->unit == NULL && field->type.class == CLASS_NUMBER) {
        field->unit = field->type.percent ? unit_find(maker->arena, TEXT("%"), false)
                                          : unit_default(maker->arena, field->type.dimension);
    }
    if (tree->built_as != NULL) {
        if (is_length(&field->type) || field->type.class == CLASS_SIZE) {
            field->built_as = tree->built_as;
        } else if (field->type.class != CLASS_BAD) {
            diagnostic_error(maker->diags, "wrong bound", place_of(maker, tree->name_span),
                             "a shop tolerance is a length; '%.*s' is %.*s",
                             TEXT_ARG(field->name->text),
                             TEXT_ARG(type_describe(maker->arena, &field->type)));
        }
    }
}

/* ---- the plan ---- */

static const Field *plan_field(Maker *maker, const Record *record, const Name *name, Span span)
{
    if (name == NULL) {
        return NULL;
    }
    const Field *field = record_field(record, name);
    if (field == NULL) {
        Diagnostic *diag = diagnostic_error(maker->diags, "unknown field", place_of(maker, span),
                                            "record '%.*s' has no field '%.*s'",
                                            TEXT_ARG(record->name->text), TEXT_ARG(name->text));
        const Field *nearest = record_nearest(maker->arena, record, name->text);
        if (nearest != NULL) {
            diagnostic_note(maker->diags, diag, nearest->place, "did you mean '%.*s'?",
                            TEXT_ARG(nearest->name->text));
        }
    } else if (field->type.class != CLASS_BAD && !is_length(&field->type)) {
        diagnostic_error(maker->diags, "wrong dimension", place_of(maker, span),
                         "a plan is drawn in lengths; '%.*s' is %.*s", TEXT_ARG(name->text),
                         TEXT_ARG(type_describe(maker->arena, &field->type)));
        field = NULL;
    }
    return field;
}

void plan_resolve(Maker *maker, Record *record, const RecordTree *tree)
{
    record->plan_x = plan_field(maker, record, tree->plan_x, tree->plan_span);
    record->plan_along = plan_field(maker, record, tree->plan_along, tree->plan_span);
    record->plan_y = plan_field(maker, record, tree->plan_y, tree->plan_span);
    record->plan_across = plan_field(maker, record, tree->plan_across, tree->plan_span);
}
