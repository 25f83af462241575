/* Worksheets of the codes and jurisdictions in force. Each is compiled into a frame of its own,
 * its schedules with it; what a rule uses of one is compiled again in the rule's frame
 * (check_name.c). */
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
    Line *line = ARENA_NEW(c->arena, Line);
    if (!is_bad(out->value)) {
        line_measure(c, definition->code, line);
    }
    if (line->measured != NULL) {
        line->requirement = definition->code;
        line->source = c->context.source;
        line->unit = step->unit.len > 0 ? step_unit(c, step, line->measured) : line->unit;
        out->unit = line->unit;
        out->line = line;
        return;
    }
    out->unit = step_unit(c, step, out->value);
    TypeClass class = (TypeClass)out->value->type.class;
    if (class == CLASS_ITEM || class == CLASS_LIST) {
        diagnostic_error(c->diags, "no value to show", check_place(c, step->name_span),
                         "a step shows a value, and '%.*s' is %.*s", TEXT_ARG(step->name->text),
                         TEXT_ARG(type_words(c->arena, &out->value->type)));
    }
}

static void check_steps(Check *c, const WorksheetScope *worksheet, const Scope *scope,
                        Worksheet *out)
{
    out->step_count = worksheet->count - worksheet->define_count;
    StepCode *steps = ARENA_ARRAY(c->arena, StepCode, out->step_count + 1);
    for (uint32_t i = 0; i < out->step_count; i++) {
        check_step(c, &worksheet->definitions[worksheet->define_count + i], scope, &steps[i]);
    }
    out->steps = steps;
}

static Scope *inner_scope(Check *c, const WorksheetScope *worksheet, const Scope *home)
{
    Scope *scope = ARENA_NEW(c->arena, Scope);
    *scope = *home;
    scope->locals = worksheet->definitions;
    scope->local_count = worksheet->count;
    scope->local_by_name = worksheet->by_name;
    scope->sees_items = true;
    scope->source = worksheet->tree->source; /* perhaps of a piece */
    return scope;
}

static void fill_head(const WorksheetScope *worksheet, Worksheet *out)
{
    out->name = worksheet->tree->name;
    out->title = worksheet->tree->title;
    out->tree = worksheet->tree;
    out->source = worksheet->tree->source;
}

/* ---- schedules ---- */

static void check_shape(Check *c, const WorksheetTree *tree)
{
    const char *missing = tree->eachs == NULL   ? "an item: write 'each x of ...'"
                          : tree->steps == NULL ? "a column: write 'column NAME \"title\" ...'"
                                                : NULL;
    if (missing != NULL && tree->name != NULL && !c->had_errors) {
        diagnostic_error(c->diags, "no schedule", check_place(c, tree->name_span),
                         "the schedule '%.*s' lacks %s", TEXT_ARG(tree->name->text), missing);
    }
}

/* In the frame of its worksheet, whose definitions are all compiled by now. */
static void check_schedule(Check *c, const WorksheetScope *schedule, const Scope *outer,
                           Worksheet *out)
{
    Context context = c->context;
    const Variable *variables = c->text_variables;
    uint32_t guards = c->guard_count, item_guards = c->item_guards;
    Scope *scope = inner_scope(c, schedule, outer);
    scope->outer = outer;
    c->context.scope = scope;
    fill_head(schedule, out);
    check_shape(c, schedule->tree);
    out->eachs = check_eachs(c, schedule->tree->eachs, &out->each_count);
    c->item_guards = c->guard_count;
    check_steps(c, schedule, scope, out);
    guards_pop(c, guards);
    c->item_guards = item_guards;
    c->text_variables = variables;
    c->context = context;
}

static void check_schedules(Check *c, const WorksheetScope *worksheet, const Scope *scope,
                            Worksheet *out)
{
    out->schedule_count = worksheet->schedule_count;
    Worksheet *schedules = ARENA_ARRAY(c->arena, Worksheet, out->schedule_count + 1);
    for (uint32_t i = 0; i < out->schedule_count; i++) {
        check_schedule(c, &worksheet->schedules[i], scope, &schedules[i]);
        schedules[i].code = out->code;
        schedules[i].jurisdiction = out->jurisdiction;
    }
    out->schedules = schedules;
}

/* Without them there is no such sheet; its steps rest on them. */
static void check_sheet_whens(Check *c, const WorksheetTree *tree, Worksheet *out)
{
    uint32_t count = 0;
    for (const Expr *when = tree->whens; when != NULL; when = when->next) {
        count++;
    }
    out->whens = ARENA_ARRAY(c->arena, const Code *, count + 1);
    for (const Expr *when = tree->whens; when != NULL; when = when->next) {
        const Code *code = check_condition(c, when);
        out->whens[out->when_count++] = code;
        (void)guards_push(c, code, true);
    }
}

static void check_worksheet(Check *c, Global *global, const Container *container, Worksheet *out)
{
    const WorksheetScope *worksheet = &global->worksheet;
    const Scope *scope = inner_scope(c, worksheet, container_scope(c, container));
    text_begin(c, scope);
    c->worksheet = worksheet->tree;
    fill_head(worksheet, out);
    out->code = container->code;
    out->jurisdiction = container->jurisdiction;
    out->eachs = check_eachs(c, worksheet->tree->eachs, &out->each_count);
    check_sheet_whens(c, worksheet->tree, out);
    c->item_guards = c->guard_count;
    check_steps(c, worksheet, scope, out);
    for (uint32_t i = 0; i < worksheet->define_count; i++) {
        (void)definition_compile(c, &worksheet->definitions[i], scope);
    }
    check_schedules(c, worksheet, scope, out);
    c->worksheet = NULL;
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
static void check_every_reading(Check *c, Global *global, const Container *container, uint32_t *cap)
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
            check_worksheet(c, global, container, &worksheet);
            again = readings_combinations(&readings) != expected;
            worksheet.reading = readings_name(c, &readings);
            if (worksheet.reading != NULL) {
                worksheet.title =
                    text_format(c->arena, "%.*s (reading %.*s)", TEXT_ARG(worksheet.title),
                                TEXT_ARG(worksheet.reading->text));
            }
            add_worksheet(c, &worksheet, cap);
        } while (!again && readings_next(&readings));
    }
}

/* A jurisdiction's may name steps of codes that are not in force on every date. */
static void check_local(Check *c, Global *global, const Container *container, uint32_t *cap)
{
    Attempt attempt;
    uint32_t former = c->law->worksheet_count;
    attempt_begin(c, &attempt);
    check_every_reading(c, global, container, cap);
    if (!attempt_end(c, &attempt)) {
        c->law->worksheet_count = former;
    }
}

void check_worksheets(Check *c)
{
    uint32_t cap = 0;
    for (uint32_t i = 0; i < c->container_count; i++) {
        for (Global *g = c->containers[i].globals; g != NULL; g = g->next) {
            if (g->kind == GLOBAL_WORKSHEET && c->containers[i].jurisdiction != NULL) {
                check_local(c, g, &c->containers[i], &cap);
            } else if (g->kind == GLOBAL_WORKSHEET) {
                check_every_reading(c, g, &c->containers[i], &cap);
            }
        }
    }
}

const Worksheet *law_worksheet(const Law *law, const Name *name, uint32_t *count)
{
    const Worksheet *found = NULL;
    for (uint32_t i = 0; i < law->worksheet_count; i++) { /* codes, then levels, outermost first */
        const Worksheet *sheet = &law->worksheets[i];
        if (sheet->name != name) {
            continue;
        }
        if (found != NULL && sheet->tree == found->tree) {
            (*count)++;
        } else if (found == NULL || sheet->jurisdiction != NULL) {
            found = sheet;
            *count = 1;
        }
    }
    return found;
}
