/* Definitions: each is compiled once for a text, when first asked for, outside every quantifier
 * and condition. What may be none in it is kept with it and counts where it is used, unless a
 * condition there rules it out. A circle is an error that names every member. */
#include "law/check.h"

void definition_init(Definition *out, const DefineTree *tree)
{
    *out = (Definition){.name = tree->name,
                        .place = {tree->source, tree->name_span},
                        .params = tree->params,
                        .value = tree->value,
                        .fallback = tree->fallback};
}

void definition_init_step(Definition *out, const StepTree *tree, const Source *source)
{
    *out = (Definition){.name = tree->name,
                        .place = {source, tree->name_span},
                        .value = tree->value,
                        .fallback = tree->fallback,
                        .step = tree};
}

bool name_is_free(Check *c, const Name *name, Place place)
{
    static const Text taken[] = {{"max", 3},   {"min", 3},          {"sqrt", 4},
                                 {"power", 5}, {"review_date", 11}, {"permit_date", 11}};
    for (size_t i = 0; i < sizeof taken / sizeof *taken; i++) {
        if (text_equal(name->text, taken[i])) {
            diagnostic_error(c->diags, "name is taken", place,
                             "'%.*s' already has a meaning in the language", TEXT_ARG(name->text));
            return false;
        }
    }
    return true;
}

static void report_twice(Check *c, const Definition *second, const Definition *first)
{
    Diagnostic *diag = diagnostic_error(c->diags, "defined twice", second->place,
                                        "'%.*s' is defined twice", TEXT_ARG(second->name->text));
    diagnostic_note(c->diags, diag, first->place, "first defined here");
}

void scope_fill(Check *c, Scope *scope, Definition *items, uint32_t count)
{
    scope->locals = items;
    scope->local_by_name = count > LOCALS_LISTED_MAX ? map_new(c->arena) : NULL;
    for (uint32_t i = 0; i < count; i++) {
        scope->local_count = i; /* those before it */
        if (items[i].name == NULL) {
            continue;
        }
        (void)name_is_free(c, items[i].name, items[i].place);
        const Definition *former = scope_local(scope, items[i].name);
        if (former != NULL) {
            report_twice(c, &items[i], former);
        } else if (scope->local_by_name != NULL) {
            (void)map_put(scope->local_by_name, items[i].name, &items[i]);
        }
    }
    scope->local_count = count;
}

static Definition *own_local(const Scope *scope, const Name *name)
{
    if (scope->local_by_name != NULL) {
        return map_get(scope->local_by_name, name);
    }
    for (uint32_t i = 0; i < scope->local_count; i++) {
        if (scope->locals[i].name == name) {
            return &scope->locals[i];
        }
    }
    return NULL;
}

Definition *scope_local(const Scope *scope, const Name *name)
{
    Definition *found = NULL;
    for (; scope != NULL && found == NULL; scope = scope->outer) {
        found = own_local(scope, name);
    }
    return found;
}

void text_begin(Check *c, const Scope *scope)
{
    c->stamp++;
    c->slots = 0;
    c->depth = 0;
    c->reads_review_date = false;
    c->text_variables = NULL;
    c->compiling = NULL;
    c->limited = NULL;
    c->guard_count = 0;
    c->item_guards = 0;
    c->absent_count = 0;
    c->context = (Context){.scope = scope, .source = scope->source};
}

/* ---- circles ---- */

static bool place_before(Place a, Place b)
{
    int order = text_order(a.source->path, b.source->path);
    return order != 0 ? order < 0 : a.span.start < b.span.start;
}

/* The circle is told from the member that comes first in the files, whoever found it. */
static void report_circle(Check *c, Definition *again)
{
    const Definition *first = again;
    for (const Definition *d = c->compiling; d != again; d = d->within) {
        first = place_before(d->place, first->place) ? d : first;
    }
    Diagnostic *diag = diagnostic_error(c->diags, "definitions in a circle", first->place,
                                        "'%.*s' is defined by itself", TEXT_ARG(first->name->text));
    /* `within` leads from a member to the one that uses it. */
    const Definition *used = first;
    do {
        const Definition *user = used == again ? c->compiling : used->within;
        diagnostic_note(c->diags, diag, used->place, "'%.*s' is used by '%.*s'",
                        TEXT_ARG(used->name->text), TEXT_ARG(user->name->text));
        used = user;
    } while (used != first);
}

/* ---- compiling ---- */

static void keep_absents(Check *c, Definition *definition, uint32_t mark)
{
    uint32_t count = c->absent_count - mark;
    definition->absents = count == 0 ? NULL : ARENA_ARRAY(c->arena, Absent, count);
    definition->absent_count = count;
    for (uint32_t i = 0; i < count; i++) {
        definition->absents[i] = c->absents[mark + i];
    }
    c->absent_count = mark;
}

static bool bind_params(Check *c, Definition *definition)
{
    bool good = true;
    definition->slot = c->slots;
    definition->param_count = 0;
    for (const ParamTree *param = definition->params; param != NULL; param = param->next) {
        Type type = type_of_class(CLASS_BAD);
        if (!type_resolve(c->arena, c->vocabulary, &param->type, definition->place.source, &type,
                          c->diags)) {
            good = false;
        }
        if (definition->param_count++ == PARAMS_MAX) {
            diagnostic_error(c->diags, "too many parameters", check_place(c, param->span),
                             "a definition has at most %d parameters", PARAMS_MAX);
            good = false;
        }
        (void)variable_bind(c, param->name, param->span, type);
    }
    definition->variables = c->context.variables;
    return good;
}

static void compile(Check *c, Definition *definition, const Scope *scope)
{
    bool is_step = definition->step != NULL && scope->sees_items;
    c->context = (Context){.scope = scope,
                           .source = definition->place.source,
                           .variables = scope->sees_items ? c->text_variables : NULL,
                           .guard_base = is_step ? 0 : c->guard_count};
    uint32_t mark = c->absent_count;
    bool good = bind_params(c, definition);
    uint32_t end = c->slots;
    const Code *code = check_with_fallback(c, definition->value, definition->fallback, NULL);
    if (definition->params != NULL) {
        uint32_t before = definition->slot;
        absents_close_binder(c, mark, before, end);
    } else {
        definition->slot = slot_new(c);
    }
    if (definition->step != NULL) {
        absents_unanswered(c, mark);
    }
    keep_absents(c, definition, mark);
    definition->code = code;
    definition->failed = !good || is_bad(code);
    definition->reads_facts = c->context.facts > 0 || definition->params != NULL;
    definition->inexact = c->context.inexact > 0;
    definition->vacuous = c->context.vacuous;
}

/* A step is worked out for the items of its worksheet alone, wherever it is first asked for: what
 * their each lines say holds in it, and the conditions around the asking do not. */
static void compile_step(Check *c, Definition *definition, const Scope *scope)
{
    uint32_t kept = c->guard_count - c->item_guards;
    Guard *guards = ARENA_ARRAY(c->arena, Guard, kept + 1);
    for (uint32_t i = 0; i < kept; i++) {
        guards[i] = c->guards[c->item_guards + i];
    }
    c->guard_count = c->item_guards;
    compile(c, definition, scope);
    for (uint32_t i = 0; i < kept; i++) {
        c->guards[c->item_guards + i] = guards[i];
    }
    c->guard_count = c->item_guards + kept;
}

bool definition_compile(Check *c, Definition *definition, const Scope *scope)
{
    if (definition->stamp == c->stamp) {
        if (definition->state == DEFINITION_OPEN) {
            report_circle(c, definition);
            return false;
        }
        return !definition->failed;
    }
    definition->stamp = c->stamp;
    definition->ever = true;
    definition->state = DEFINITION_OPEN;
    definition->within = c->compiling;
    c->compiling = definition;
    Context context = c->context;
    if (definition->step != NULL && scope->sees_items) {
        compile_step(c, definition, scope);
    } else {
        compile(c, definition, scope);
    }
    c->context = context;
    c->compiling = definition->within;
    definition->state = DEFINITION_DONE;
    return !definition->failed;
}

/* ---- using ---- */

/* An empty list makes it true, and in an alternative that must be said. */
static void use_vacuous(Check *c, const Definition *definition, const Expr *e)
{
    if (definition->vacuous == NULL) {
        return;
    }
    if (c->context.alternatives == 0) {
        c->context.vacuous = c->context.vacuous == NULL ? definition->vacuous : c->context.vacuous;
        return;
    }
    Diagnostic *diag = diagnostic_error(
        c->diags, "empty list in an alternative", check_place(c, e->span),
        "'%.*s' holds for an empty list, which would settle this alternative by itself",
        TEXT_ARG(definition->name->text));
    Place place = {definition->place.source, definition->vacuous->span};
    diagnostic_note(c->diags, diag, place,
                    "say what an empty list means: ', at least one' or ', or no if empty'");
}

static void use_properties(Check *c, const Definition *definition, const Expr *e)
{
    c->context.facts += definition->reads_facts ? 1 : 0;
    c->context.inexact += definition->inexact ? 1 : 0;
    use_vacuous(c, definition, e);
}

const Code *definition_use(Check *c, Definition *definition, const Scope *scope, const Expr *e)
{
    if (definition->params != NULL) {
        Diagnostic *diag =
            diagnostic_error(c->diags, "parameters missing", check_place(c, e->span),
                             "'%.*s' is defined with parameters: write '%.*s(...)'",
                             TEXT_ARG(definition->name->text), TEXT_ARG(definition->name->text));
        diagnostic_note(c->diags, diag, definition->place, "defined here");
        return code_bad(c, e);
    }
    if (!definition_compile(c, definition, scope)) {
        return code_bad(c, e);
    }
    use_properties(c, definition, e);
    Code *code = code_make(c, CODE_DEFINED, e, definition->code->type);
    code->slot = definition->slot;
    code->a = definition->code;
    code->unit = definition->code->unit;
    const Code *done = code_done(c, code);
    uint32_t mark = c->absent_count;
    for (uint32_t i = 0; i < definition->absent_count; i++) {
        absent_carry(c, &definition->absents[i]);
    }
    absents_name(c, mark, done);
    return done;
}

/* Arguments are present: the call is where their absence is answered. */
static bool check_args(Check *c, const Definition *definition, const Expr *e, Code *call)
{
    const Variable *param[PARAMS_MAX];
    const Variable *variable = definition->variables;
    for (uint32_t i = definition->param_count; i > 0; i--, variable = variable->outer) {
        param[i - 1] = variable;
    }
    bool good = true;
    uint32_t mark = c->absent_count;
    const Expr *arg = e->list;
    for (uint32_t i = 0; i < definition->param_count; i++, arg = arg->next) {
        const Choice *words = param[i]->type.class == CLASS_CHOICE ? param[i]->type.choice : NULL;
        const Code *value = check_value(c, arg, words);
        call->args[i] = value;
        Code *expected = code_make(c, CODE_VARIABLE, arg, param[i]->type);
        if (is_bad(value)) {
            good = false;
        } else if (!type_matches(&value->type, &param[i]->type)) {
            good = false;
            Diagnostic *diag = diagnostic_error(
                c->diags, "different kinds", code_place(value), "'%.*s' is %.*s, and %.*s is due",
                TEXT_ARG(quote_code(c->arena, value)), TEXT_ARG(type_words(c->arena, &value->type)),
                TEXT_ARG(type_words(c->arena, &expected->type)));
            diagnostic_note(c->diags, diag, param[i]->place, "for the parameter '%.*s'",
                            TEXT_ARG(param[i]->name->text));
        }
    }
    absents_deepen(c, mark);
    return good;
}

static uint32_t count_list(const Expr *list)
{
    uint32_t count = 0;
    for (; list != NULL; list = list->next) {
        count++;
    }
    return count;
}

const Code *definition_call(Check *c, Definition *definition, const Scope *scope, const Expr *e)
{
    uint32_t given = count_list(e->list);
    if (!definition_compile(c, definition, scope)) {
        return code_bad(c, e);
    }
    if (given != definition->param_count) {
        Diagnostic *diag =
            diagnostic_error(c->diags, "parameters missing", check_place(c, e->span),
                             "'%.*s' takes %u parameters, and is given %u",
                             TEXT_ARG(definition->name->text), definition->param_count, given);
        diagnostic_note(c->diags, diag, definition->place, "defined here");
        return code_bad(c, e);
    }
    Code *call = code_make(c, CODE_CALL, e, definition->code->type);
    call->slot = definition->slot;
    call->count = given;
    call->args = ARENA_ARRAY(c->arena, const Code *, given);
    call->a = definition->code;
    call->unit = definition->code->unit;
    if (!check_args(c, definition, e, call)) {
        return code_bad(c, e);
    }
    use_properties(c, definition, e);
    for (uint32_t i = 0; i < definition->absent_count; i++) {
        Absent absent = definition->absents[i];
        absent.deep = true; /* the path may stand in the body, the value is the call's */
        absent_carry(c, &absent);
    }
    return code_done(c, call);
}
