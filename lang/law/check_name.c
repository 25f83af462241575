/* Names: from what is nearest outward (variables, definitions of the section, what the
 * jurisdiction and the code name, the dates, facts), and the paths that begin with them. An
 * unknown name is reported with the nearest known one. */
#include "law/check.h"

const Variable *variable_bind(Check *c, const Name *name, Span span, Type type)
{
    Place place = check_place(c, span);
    for (const Variable *other = c->context.variables; other != NULL; other = other->outer) {
        if (other->name == name) {
            Diagnostic *diag =
                diagnostic_error(c->diags, "defined twice", place,
                                 "'%.*s' already names something here", TEXT_ARG(name->text));
            diagnostic_note(c->diags, diag, other->place, "named here");
            break;
        }
    }
    Variable *variable = ARENA_NEW(c->arena, Variable);
    *variable = (Variable){.name = name,
                           .type = type,
                           .slot = slot_new(c),
                           .place = place,
                           .outer = c->context.variables};
    c->context.variables = variable;
    return variable;
}

/* ---- unknown names ---- */

typedef struct Candidates {
    Arena *arena;
    Text *items;
    size_t count, cap;
} Candidates;

static void add_candidate(Candidates *list, Text text)
{
    if (list->count == list->cap) {
        list->cap = list->cap == 0 ? 64 : list->cap * 2;
        Text *grown = ARENA_ARRAY(list->arena, Text, list->cap);
        for (size_t i = 0; i < list->count; i++) {
            grown[i] = list->items[i];
        }
        list->items = grown;
    }
    list->items[list->count++] = text;
}

static Candidates all_names(const Check *c)
{
    Candidates list = {.arena = c->arena};
    const Scope *scope = c->context.scope;
    for (const Variable *v = c->context.variables; v != NULL; v = v->outer) {
        add_candidate(&list, v->name->text);
    }
    for (const Scope *at = scope; at != NULL; at = at->outer) {
        for (uint32_t i = 0; i < at->local_count; i++) {
            add_candidate(&list, at->locals[i].name->text);
        }
    }
    for (uint32_t i = scope == NULL ? 0 : scope->from; scope != NULL && i < scope->chain->count;
         i++) {
        const Global *global = scope->chain->containers[i]->globals;
        for (; global != NULL; global = global->next) {
            add_candidate(&list, global->name->text);
        }
    }
    for (uint32_t i = 0; i < c->vocabulary->unit.count; i++) {
        add_candidate(&list, c->vocabulary->unit.fields[i].name->text);
    }
    add_candidate(&list, TEXT("review_date"));
    add_candidate(&list, TEXT("permit_date"));
    return list;
}

/* A column has one value for each row, and none outside its schedule. */
static bool note_column(Check *c, Diagnostic *diag, const Name *name)
{
    const WorksheetTree *schedule = c->worksheet == NULL ? NULL : c->worksheet->schedules;
    for (; schedule != NULL; schedule = schedule->next) {
        for (const StepTree *column = schedule->steps; column != NULL; column = column->next) {
            if (column->name == name) {
                diagnostic_note(c->diags, diag, (Place){schedule->source, column->name_span},
                                "a column of the schedule '%.*s', with a value for each of its "
                                "rows: a step adds up by 'total of ... for x of ...'",
                                TEXT_ARG(schedule->name->text));
                return true;
            }
        }
    }
    return false;
}

/* A name that would be known elsewhere: a column, a field of a variable, a word of a choice. */
static void note_elsewhere(Check *c, Diagnostic *diag, const Name *name)
{
    if (note_column(c, diag, name)) {
        return;
    }
    for (const Variable *v = c->context.variables; v != NULL; v = v->outer) {
        if (v->type.class == CLASS_ITEM && record_field(v->type.record, name) != NULL) {
            diagnostic_note(c->diags, diag, (Place){0},
                            "'%.*s' is a fact of '%.*s': write '%.*s.%.*s'", TEXT_ARG(name->text),
                            TEXT_ARG(v->name->text), TEXT_ARG(v->name->text), TEXT_ARG(name->text));
            return;
        }
    }
    for (uint32_t i = 0; i < c->vocabulary->choice_count; i++) {
        if (choice_index(c->vocabulary->choices[i], name) >= 0) {
            diagnostic_note(c->diags, diag, (Place){0},
                            "'%.*s' is a word of '%.*s': words stand on the right of a comparison",
                            TEXT_ARG(name->text), TEXT_ARG(c->vocabulary->choices[i]->name->text));
            return;
        }
    }
}

void name_unknown(Check *c, const Expr *e)
{
    Candidates list = all_names(c);
    Text hint = nearest_hint(c->arena, e->name->text, list.items, list.count);
    elsewhen_note(c, e->name, NULL);
    Span span = e->name_span.end > e->name_span.start ? e->name_span : e->span;
    Diagnostic *diag = diagnostic_error(c->diags, "unknown name", check_place(c, span),
                                        "'%.*s' is no fact, definition or variable here%.*s",
                                        TEXT_ARG(e->name->text), TEXT_ARG(hint));
    note_elsewhere(c, diag, e->name);
}

/* ---- what a name stands for ---- */

static const Code *use_variable(Check *c, const Variable *variable, const Expr *e)
{
    c->context.facts++;
    if (variable->type.class == CLASS_NUMBER && !variable->type.whole) {
        c->context.inexact++;
    }
    if (variable->type.class == CLASS_BAD) {
        return code_bad(c, e);
    }
    Code *code = code_make(c, CODE_VARIABLE, e, variable->type);
    code->slot = variable->slot;
    return code;
}

static const Code *use_fact(Check *c, const Field *field, const Expr *e, const Code *owner,
                            uint32_t mark)
{
    c->context.facts++;
    if (field->type.class == CLASS_NUMBER && !field->type.whole) {
        c->context.inexact++;
    }
    if (field->type.class == CLASS_BAD) {
        return code_bad(c, e);
    }
    Code *code = code_make(c, owner == NULL ? CODE_FACT : CODE_FIELD, e, field->type);
    code->a = owner;
    code->field = field;
    code->unit = field->type.class == CLASS_NUMBER ? field->unit : NULL;
    const Code *done = code_done(c, code);
    bool maybe_none = !field->always_present || absent_since(c, mark);
    absents_drop_direct(c, mark);
    /* A list that is none has no members: nothing to answer. */
    if (maybe_none && field->type.class != CLASS_LIST) {
        absent_add(c, done);
    }
    return done;
}

static const Code *use_shared(Check *c, Global *global, const Scope *home, const Expr *e)
{
    ReadingGroup *group = global->group;
    group->used = true;
    Definition *definition = global->alternatives[group->chosen];
    if (definition != NULL) {
        return e->kind == EXPR_CALL ? definition_call(c, definition, home, e)
                                    : definition_use(c, definition, home, e);
    }
    Diagnostic *diag = diagnostic_error(c->diags, "unknown name", check_place(c, e->span),
                                        "the reading '%.*s' does not define '%.*s'",
                                        TEXT_ARG(group->readings[group->chosen]->name->text),
                                        TEXT_ARG(global->name->text));
    diagnostic_note(c->diags, diag, global->place, "another reading does");
    return code_bad(c, e);
}

static const Code *wrong_use(Check *c, const Expr *e, const Global *global, const char *what)
{
    Diagnostic *diag = diagnostic_error(c->diags, "wrong use of a name", check_place(c, e->span),
                                        "'%.*s' is %s", TEXT_ARG(global->name->text), what);
    diagnostic_note(c->diags, diag, global->place, "defined here");
    return code_bad(c, e);
}

static const Code *use_global(Check *c, Global *global, const Scope *home, const Expr *e)
{
    switch ((GlobalKind)global->kind) {
    case GLOBAL_DEFINE: return definition_use(c, &global->definition, home, e);
    case GLOBAL_SHARED: return use_shared(c, global, home, e);
    case GLOBAL_TABLE:
        return wrong_use(c, e, global, "a table: ask it by its keys, in parentheses");
    case GLOBAL_WORKSHEET: break;
    }
    return wrong_use(c, e, global, "a worksheet: name one of its steps after a dot");
}

static const Code *use_date(Check *c, const Expr *e)
{
    bool review = text_equal(e->name->text, TEXT("review_date"));
    if (!review && !text_equal(e->name->text, TEXT("permit_date"))) {
        return NULL;
    }
    c->context.facts++;
    c->reads_review_date = true; /* a unit without permit is new on the review date */
    return code_make(c, review ? CODE_REVIEW_DATE : CODE_PERMIT_DATE, e, type_of_class(CLASS_DATE));
}

static const Variable *find_variable(const Check *c, const Name *name)
{
    for (const Variable *v = c->context.variables; v != NULL; v = v->outer) {
        if (v->name == name) {
            return v;
        }
    }
    return NULL;
}

static const Scope *local_home(const Scope *scope)
{
    return scope->home != NULL ? scope->home : scope;
}

bool name_is_known(const Check *c, const Name *name)
{
    const Scope *home = NULL;
    return find_variable(c, name) != NULL || scope_local(c->context.scope, name) != NULL ||
           scope_find(c->context.scope, name, &home) != NULL ||
           record_field(&c->vocabulary->unit, name) != NULL;
}

const Code *check_name(Check *c, const Expr *e)
{
    const Variable *variable = find_variable(c, e->name);
    if (variable != NULL) {
        return use_variable(c, variable, e);
    }
    Definition *local = scope_local(c->context.scope, e->name);
    if (local != NULL) {
        return definition_use(c, local, local_home(c->context.scope), e);
    }
    const Scope *home = NULL;
    Global *global = scope_find(c->context.scope, e->name, &home);
    if (global != NULL) {
        return use_global(c, global, home, e);
    }
    const Code *date = use_date(c, e);
    if (date != NULL) {
        return date;
    }
    const Field *field = record_field(&c->vocabulary->unit, e->name);
    if (field != NULL) {
        return use_fact(c, field, e, NULL, c->absent_count);
    }
    name_unknown(c, e);
    return code_bad(c, e);
}

/* ---- paths ---- */

static const Code *use_step(Check *c, Global *global, const Scope *home, const Expr *e)
{
    WorksheetScope *worksheet = &global->worksheet;
    const Scope *own = c->context.scope;
    while (own != NULL && own->locals != worksheet->definitions) {
        own = own->outer; /* of a schedule: that of its worksheet */
    }
    if (worksheet->tree->eachs != NULL && own == NULL) {
        return wrong_use(c, e, global,
                         "a worksheet of each item: its steps have one value per item, and cannot "
                         "be used in a rule");
    }
    Scope *scope = ARENA_NEW(c->arena, Scope);
    *scope = (Scope){.locals = worksheet->definitions,
                     .local_count = worksheet->count,
                     .local_by_name = worksheet->by_name,
                     .chain = home->chain,
                     .from = home->from,
                     .source = worksheet->tree->source};
    Candidates names = {.arena = c->arena};
    for (uint32_t i = worksheet->define_count; i < worksheet->count; i++) {
        Definition *step = &worksheet->definitions[i];
        if (step->name == e->name) {
            return definition_use(c, step, own != NULL ? own : scope, e);
        }
        add_candidate(&names, step->name->text);
    }
    elsewhen_note(c, global->name, e->name);
    Diagnostic *diag =
        diagnostic_error(c->diags, "unknown step", check_place(c, e->name_span),
                         "the worksheet '%.*s' has no step '%.*s'%.*s",
                         TEXT_ARG(global->name->text), TEXT_ARG(e->name->text),
                         TEXT_ARG(nearest_hint(c->arena, e->name->text, names.items, names.count)));
    diagnostic_note(c->diags, diag, global->place, "the worksheet");
    return code_bad(c, e);
}

/* worksheet.step, where nothing nearer has the worksheet's name. */
static Global *find_worksheet(Check *c, const Expr *e, const Scope **home)
{
    if (e->a->kind != EXPR_NAME || find_variable(c, e->a->name) != NULL ||
        scope_local(c->context.scope, e->a->name) != NULL) {
        return NULL;
    }
    Global *global = scope_find(c->context.scope, e->a->name, home);
    return global != NULL && global->kind == GLOBAL_WORKSHEET ? global : NULL;
}

static const Code *no_fields(Check *c, const Expr *e, const Code *owner)
{
    if (owner->type.class == CLASS_LIST) {
        diagnostic_error(c->diags, "a list has no facts of its own", code_place(owner),
                         "'%.*s' is %.*s: name one by its key, as in %.*s[\"...\"], or go through "
                         "them with 'each', 'every' or 'total of'",
                         TEXT_ARG(quote_code(c->arena, owner)),
                         TEXT_ARG(type_words(c->arena, &owner->type)),
                         TEXT_ARG(quote_code(c->arena, owner)));
    } else {
        diagnostic_error(c->diags, "nothing within", check_place(c, e->name_span),
                         "'%.*s' is %.*s: it has no '%.*s'", TEXT_ARG(quote_code(c->arena, owner)),
                         TEXT_ARG(type_words(c->arena, &owner->type)), TEXT_ARG(e->name->text));
    }
    return code_bad(c, e);
}

const Code *check_field(Check *c, const Expr *e)
{
    const Scope *home = NULL;
    Global *worksheet = find_worksheet(c, e, &home);
    if (worksheet != NULL) {
        return use_step(c, worksheet, home, e);
    }
    uint32_t mark = c->absent_count;
    const Code *owner = check_value(c, e->a, NULL);
    if (is_bad(owner)) {
        return code_bad(c, e);
    }
    if (owner->type.class != CLASS_ITEM) {
        return no_fields(c, e, owner);
    }
    const Field *field = record_field(owner->type.record, e->name);
    if (field != NULL) {
        return use_fact(c, field, e, owner, mark);
    }
    const Field *nearest = record_nearest(c->arena, owner->type.record, e->name->text);
    Diagnostic *diag = diagnostic_error(
        c->diags, "unknown fact", check_place(c, e->name_span), "%.*s has no fact '%.*s'%s%.*s%s",
        TEXT_ARG(type_words(c->arena, &owner->type)), TEXT_ARG(e->name->text),
        nearest == NULL ? "" : "; did you mean '",
        TEXT_ARG(nearest == NULL ? TEXT("") : nearest->name->text), nearest == NULL ? "" : "'?");
    if (owner->type.record->place.source != NULL) {
        diagnostic_note(c->diags, diag, owner->type.record->place, "declared here");
    }
    return code_bad(c, e);
}

static bool key_is_possible(Check *c, const Expr *e, const Field *key)
{
    if (key->type.class != CLASS_CHOICE) {
        return true;
    }
    const Name *word = names_find(c->library->names, e->text);
    if (word != NULL && choice_index(key->type.choice, word) >= 0) {
        return true;
    }
    diagnostic_error(c->diags, "unknown word", check_place(c, e->span), "'%.*s' is no '%.*s'%.*s",
                     TEXT_ARG(e->text), TEXT_ARG(key->name->text),
                     TEXT_ARG(choice_hint(c, key->type.choice, e->text)));
    return false;
}

const Code *check_item(Check *c, const Expr *e)
{
    const Code *list = check_list(c, e->a);
    if (is_bad(list)) {
        return code_bad(c, e);
    }
    const Record *record = list->type.record;
    if (record->key == NULL) {
        diagnostic_error(
            c->diags, "no key", check_place(c, e->span),
            "%.*s is named by no key: mark one of its fields 'key' in the vocabulary",
            TEXT_ARG(type_words(c->arena, &(Type){.class = CLASS_ITEM, .record = record})));
        return code_bad(c, e);
    }
    if (!key_is_possible(c, e, record->key)) {
        return code_bad(c, e);
    }
    c->context.facts++;
    Code *code = code_make(c, CODE_BY_KEY, e, (Type){.class = CLASS_ITEM, .record = record});
    code->a = list;
    code->text = &e->text;
    const Code *done = code_done(c, code);
    absent_add(c, done);
    return done;
}

/* ---- calls ---- */

static const Code *call_global(Check *c, Global *global, const Scope *home, const Expr *e)
{
    switch ((GlobalKind)global->kind) {
    case GLOBAL_DEFINE: return definition_call(c, &global->definition, home, e);
    case GLOBAL_SHARED: return use_shared(c, global, home, e);
    case GLOBAL_TABLE: (void)global_table(c, global); return check_table(c, global, e);
    case GLOBAL_WORKSHEET: break;
    }
    return wrong_use(c, e, global, "a worksheet: name one of its steps after a dot");
}

const Code *check_call(Check *c, const Expr *e)
{
    bool found = false;
    const Code *builtin = check_builtin(c, e, &found);
    if (found) {
        return builtin;
    }
    Definition *local = scope_local(c->context.scope, e->name);
    if (local != NULL) {
        return definition_call(c, local, local_home(c->context.scope), e);
    }
    const Scope *home = NULL;
    Global *global = scope_find(c->context.scope, e->name, &home);
    if (global != NULL) {
        return call_global(c, global, home, e);
    }
    Candidates names = all_names(c);
    elsewhen_note(c, e->name, NULL);
    static const Text builtins[] = {{"max", 3}, {"min", 3}, {"sqrt", 4}, {"power", 5}};
    for (size_t i = 0; i < sizeof builtins / sizeof *builtins; i++) {
        add_candidate(&names, builtins[i]);
    }
    diagnostic_error(c->diags, "unknown name", check_place(c, e->name_span),
                     "'%.*s' is no table or definition here%.*s", TEXT_ARG(e->name->text),
                     TEXT_ARG(nearest_hint(c->arena, e->name->text, names.items, names.count)));
    return code_bad(c, e);
}
