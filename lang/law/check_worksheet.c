/* Worksheets of the codes and jurisdictions in force. Each is compiled into a frame of its own;
 * what a rule uses of one is compiled again in the rule's frame (check_name.c). */
#include "law/check.h"

static const Unit *step_unit(Check *c, const StepTree *step, const Code *value)
{
    if (step->unit.len == 0) {
        return value->unit != NULL                 ? value->unit
               : value->type.class == CLASS_NUMBER ? unit_default(c->arena, value->type.dimension)
                                                   : NULL;
    }
    Place place = check_place(c, step->unit_span);
    const Unit *unit = unit_find(c->arena, step->unit, false);
    if (unit == NULL && text_equal(step->unit, TEXT("percent"))) {
        unit = unit_find(c->arena, TEXT("%"), false);
    }
    if (unit == NULL) { /* the scanner has reported it */
        return NULL;
    }
    if (is_bad(value) || (value->type.class == CLASS_NUMBER &&
                          dimension_equal(unit->dimension, value->type.dimension))) {
        return unit;
    }
    /* degF is a point; of a difference it is the difference that is meant */
    const Unit *difference = unit_find(c->arena, step->unit, true);
    if (value->type.class == CLASS_NUMBER && difference != NULL &&
        dimension_equal(difference->dimension, value->type.dimension)) {
        return difference;
    }
    Type due = type_number(unit->dimension);
    Diagnostic *diag =
        diagnostic_error(c->diags, "different kinds", place, "'%.*s' is the unit of %.*s",
                         TEXT_ARG(step->unit), TEXT_ARG(type_words(c->arena, &due)));
    diagnostic_note(c->diags, diag, code_place(value), "'%.*s' is %.*s",
                    TEXT_ARG(quote_code(c->arena, value)),
                    TEXT_ARG(type_words(c->arena, &value->type)));
    return unit;
}

static void check_step(Check *c, Definition *definition, const Scope *scope, StepCode *out)
{
    const StepTree *step = definition->step;
    Expr *use = ARENA_NEW(c->arena, Expr);
    *use = (Expr){.kind = EXPR_NAME, .span = step->value->span, .name = step->name};
    out->name = step->name;
    out->title = step->title;
    out->cites = step->cites;
    out->tree = step;
    out->value = definition_use(c, definition, scope, use);
    out->unit = step_unit(c, step, out->value);
    TypeClass class = (TypeClass)out->value->type.class;
    if (class == CLASS_ITEM || class == CLASS_LIST) {
        diagnostic_error(c->diags, "no value to show", check_place(c, step->name_span),
                         "a step shows a value, and '%.*s' is %.*s", TEXT_ARG(step->name->text),
                         TEXT_ARG(type_words(c->arena, &out->value->type)));
    }
}

static void check_worksheet(Check *c, Global *global, const Scope *home, Worksheet *out)
{
    WorksheetScope *worksheet = &global->worksheet;
    Scope *scope = ARENA_NEW(c->arena, Scope);
    *scope = *home;
    scope->locals = worksheet->definitions;
    scope->local_count = worksheet->count;
    scope->local_by_name = worksheet->by_name;
    scope->sees_items = true;
    scope->source = worksheet->tree->source; /* perhaps of a piece */
    text_begin(c, scope);
    out->name = global->name;
    out->title = worksheet->tree->title;
    out->tree = worksheet->tree;
    out->source = scope->source;
    out->eachs = check_eachs(c, worksheet->tree->eachs, &out->each_count);
    out->step_count = worksheet->count - worksheet->define_count;
    StepCode *steps = ARENA_ARRAY(c->arena, StepCode, out->step_count + 1);
    for (uint32_t i = 0; i < out->step_count; i++) {
        check_step(c, &worksheet->definitions[worksheet->define_count + i], scope, &steps[i]);
    }
    for (uint32_t i = 0; i < worksheet->define_count; i++) {
        (void)definition_compile(c, &worksheet->definitions[i], scope);
    }
    out->steps = steps;
    out->slots = c->slots;
    c->law->max_slots = out->slots > c->law->max_slots ? out->slots : c->law->max_slots;
}

/* ---- every reading ---- */

static Readings begin_readings(Check *c)
{
    uint32_t codes = c->tree->code_count;
    ReadingGroups *groups = ARENA_ARRAY(c->arena, ReadingGroups, codes + 1);
    for (uint32_t i = 0; i < codes; i++) {
        groups[i] = c->containers[i].groups;
    }
    Readings readings = readings_begin(c, groups, codes);
    for (uint32_t i = 0; i < c->tree->reading_count; i++) {
        const Container *code = container_of_code(c, c->tree->reading_codes[i]);
        if (code != NULL) {
            reading_groups_fix(code->groups, &c->tree->readings[i], 1);
        }
    }
    return readings;
}

static void add_worksheet(Check *c, const Worksheet *worksheet, uint32_t *cap)
{
    Law *law = c->law;
    if (law->worksheet_count == *cap) {
        *cap = *cap == 0 ? 8 : *cap * 2;
        Worksheet *grown = ARENA_ARRAY(c->arena, Worksheet, *cap);
        for (uint32_t i = 0; i < law->worksheet_count; i++) {
            grown[i] = law->worksheets[i];
        }
        law->worksheets = grown;
    }
    law->worksheets[law->worksheet_count++] = *worksheet;
}

/* Nobody having chosen a reading, the sheet is worked out under each. */
static void check_every_reading(Check *c, Global *global, const Scope *home, uint32_t *cap)
{
    Readings readings = begin_readings(c);
    uint32_t first = c->law->worksheet_count;
    bool again = true;
    while (again) {
        uint32_t expected = readings_combinations(&readings);
        if (expected > READINGS_MAX) {
            diagnostic_error(c->diags, "too many readings", global->place,
                             "'%.*s' can be read in more than %d ways",
                             TEXT_ARG(global->name->text), READINGS_MAX);
            return;
        }
        readings_rewind(&readings);
        c->law->worksheet_count = first;
        do {
            Worksheet worksheet = {0};
            check_worksheet(c, global, home, &worksheet);
            again = readings_combinations(&readings) != expected;
            const Name *reading = readings_name(c, &readings);
            if (reading != NULL) {
                worksheet.title = text_format(c->arena, "%.*s (reading %.*s)",
                                              TEXT_ARG(worksheet.title), TEXT_ARG(reading->text));
            }
            add_worksheet(c, &worksheet, cap);
        } while (!again && readings_next(&readings));
    }
}

void check_worksheets(Check *c)
{
    uint32_t cap = 0;
    for (uint32_t i = 0; i < c->container_count; i++) {
        const Scope *home = container_scope(c, &c->containers[i]);
        for (Global *g = c->containers[i].globals; g != NULL; g = g->next) {
            if (g->kind == GLOBAL_WORKSHEET) {
                check_every_reading(c, g, home, &cap);
            }
        }
    }
}
