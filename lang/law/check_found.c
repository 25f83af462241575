/* `finds step` of worked examples: the worksheet and the step that it names, the items that they
 * are of, and what kind of value it expects. The value itself is judge/example.c's. */
#include "law/check.h"

typedef struct Found {
    const ExpectedTree *expected;
    const Source *source;
    const Worksheet *sheet;
} Found;

static Place found_place(const Found *found, Span span)
{
    return (Place){found->source, span};
}

/* ---- names ---- */

static const Worksheet *find_sheet(Check *c, const Found *found)
{
    const Name *name = found->expected->step->a->name;
    uint32_t count = 0;
    const Worksheet *sheet = law_worksheet(c->law, name, &count);
    if (sheet != NULL) {
        return sheet;
    }
    Text *names = ARENA_ARRAY(c->arena, Text, c->law->worksheet_count + 1);
    for (uint32_t i = 0; i < c->law->worksheet_count; i++) {
        names[i] = c->law->worksheets[i].name->text;
    }
    diagnostic_error(c->diags, "unknown worksheet",
                     found_place(found, found->expected->step->a->span),
                     "no worksheet here has the name '%.*s'%.*s", TEXT_ARG(name->text),
                     TEXT_ARG(nearest_hint(c->arena, name->text, names, c->law->worksheet_count)));
    return NULL;
}

static const StepCode *find_step(Check *c, const Found *found, const Worksheet *sheet)
{
    const Expr *path = found->expected->step;
    Text *names = ARENA_ARRAY(c->arena, Text, sheet->step_count + 1);
    for (uint32_t i = 0; i < sheet->step_count; i++) {
        if (sheet->steps[i].name == path->name) {
            return &sheet->steps[i];
        }
        names[i] = sheet->steps[i].name->text;
    }
    Diagnostic *diag = diagnostic_error(
        c->diags, "unknown step", found_place(found, path->name_span),
        "the worksheet '%.*s' has no step '%.*s'%.*s", TEXT_ARG(sheet->name->text),
        TEXT_ARG(path->name->text),
        TEXT_ARG(nearest_hint(c->arena, path->name->text, names, sheet->step_count)));
    diagnostic_note(c->diags, diag, (Place){sheet->source, sheet->tree->name_span},
                    "the worksheet");
    return NULL;
}

/* ---- items ---- */

static uint32_t count_items(const Worksheet *sheet)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < sheet->each_count; i++) {
        count += sheet->eachs[i].pair ? 2 : 1;
    }
    return count;
}

static void check_items(Check *c, const Found *found, const Worksheet *sheet)
{
    uint32_t named = 0, due = count_items(sheet);
    for (const Datum *item = found->expected->items; item != NULL; item = item->next) {
        named++;
    }
    if (named == due) {
        return;
    }
    Place place = found_place(found, found->expected->step->span);
    Diagnostic *diag;
    if (due == 0) {
        diag = diagnostic_error(c->diags, "items not asked for", place,
                                "the worksheet '%.*s' is of the whole unit: leave 'for' out",
                                TEXT_ARG(sheet->name->text));
    } else {
        diag = diagnostic_error(c->diags, "items missing", place,
                                "the worksheet '%.*s' is worked out for each %s, and %u %s named "
                                "here: write 'for \"...\"' before the '='",
                                TEXT_ARG(sheet->name->text), due == 1 ? "item" : "set of items",
                                named, named == 1 ? "is" : "are");
    }
    diagnostic_note(c->diags, diag, (Place){sheet->source, sheet->tree->name_span},
                    "the worksheet");
}

/* ---- values ---- */

static void wrong_kind(Check *c, const Found *found, Place place, const StepCode *step,
                       const char *what)
{
    Diagnostic *diag = diagnostic_error(
        c->diags, "different kinds", place, "%s '%.*s' does not fit: the step '%.*s' is %.*s", what,
        TEXT_ARG(quote_span(c->arena, place)), TEXT_ARG(found->expected->step->name->text),
        TEXT_ARG(type_words(c->arena, &step->value->type)));
    diagnostic_note(c->diags, diag, (Place){found->sheet->source, step->tree->name_span},
                    "the step");
}

static bool fits_number(Check *c, const Type *type, Text text, Place place)
{
    Quantity quantity;
    QuantityFault fault;
    if (!quantity_parse(c->arena, text, QUANTITY_SPEC, &quantity, &fault)) {
        diagnostic_error(c->diags, "no quantity", place, "'%.*s' is no quantity: %.*s",
                         TEXT_ARG(text), TEXT_ARG(fault.message));
        return true;
    }
    return dimension_equal(quantity.dimension, type->dimension) ||
           dimension_equal(quantity.dimension, plain_dimension(type->dimension));
}

static bool fits_value(Check *c, const StepCode *step, const Datum *value)
{
    const Type *type = &step->value->type;
    Day first, last;
    const char *reason;
    if (value->kind != DATUM_SCALAR) {
        return value->kind == DATUM_QUOTED && type->class == CLASS_TEXT;
    }
    if (text_equal(value->text, TEXT("none"))) {
        return true;
    }
    switch ((TypeClass)type->class) {
    case CLASS_YES_NO:
        return text_equal(value->text, TEXT("yes")) || text_equal(value->text, TEXT("no"));
    case CLASS_CHOICE: {
        const Name *word = names_find(c->library->names, value->text);
        return word != NULL && choice_index(type->choice, word) >= 0;
    }
    case CLASS_DATE: return date_parse(value->text, &first, &last, &reason);
    case CLASS_NUMBER: return fits_number(c, type, value->text, value->place);
    case CLASS_BAD: return true;
    case CLASS_TEXT:
    case CLASS_SIZE:
    case CLASS_ITEM:
    case CLASS_LIST: break;
    }
    return false;
}

static void check_within(Check *c, const Found *found, const StepCode *step)
{
    const Quantity *within = found->expected->within;
    const Type *type = &step->value->type;
    if (within == NULL || type->class == CLASS_BAD) {
        return;
    }
    bool fits = type->class == CLASS_NUMBER && dimension_equal(plain_dimension(within->dimension),
                                                               plain_dimension(type->dimension));
    if (!fits) {
        wrong_kind(c, found, found_place(found, found->expected->within_span), step, "within");
    } else if (rational_sign(within->range.low) < 0) {
        diagnostic_error(c->diags, "out of range", found_place(found, found->expected->within_span),
                         "a value cannot be off by less than nothing");
    }
}

static void check_found(Check *c, Found *found)
{
    const Worksheet *sheet = find_sheet(c, found);
    const StepCode *step = sheet == NULL ? NULL : find_step(c, found, sheet);
    if (step == NULL) {
        return;
    }
    found->sheet = sheet;
    check_items(c, found, sheet);
    const Datum *value = found->expected->measured;
    if (!is_bad(step->value) && value != NULL && !fits_value(c, step, value)) {
        wrong_kind(c, found, value->place, step, "the value");
    }
    check_within(c, found, step);
}

/* An example of a jurisdiction is checked under the law of its own date. */
static bool is_of_date(const Check *c, const ExampleTree *example)
{
    const JurisdictionTree *jurisdiction = c->tree->jurisdiction;
    if (jurisdiction == NULL) {
        return true;
    }
    Day on = example->dated ? example->on : law_latest_block(c->arena, c->library, jurisdiction);
    return on == c->tree->on;
}

void check_found_steps(Check *c)
{
    const JurisdictionTree *jurisdiction = c->tree->jurisdiction;
    const ExampleTree *example = jurisdiction != NULL      ? jurisdiction->examples
                                 : c->tree->code_count > 0 ? c->tree->codes[0]->examples
                                                           : NULL;
    for (; example != NULL; example = example->next) {
        const ExpectedTree *expected = example->expected;
        while (expected != NULL && expected->step == NULL) {
            expected = expected->next;
        }
        if (expected == NULL || !is_of_date(c, example)) {
            continue;
        }
        for (; expected != NULL; expected = expected->next) {
            if (expected->step != NULL && expected->step->a != NULL) {
                check_found(c, &(Found){expected, example->source, NULL});
            }
        }
    }
}
