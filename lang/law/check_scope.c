/* Scopes: what each code and jurisdiction in force names, and from where it is seen. A text of a
 * code sees the code; a text that a jurisdiction wrote sees the jurisdiction, the levels above
 * it, and the code that it changes. */
#include "law/check.h"

/* ---- containers ---- */

static Global *add_global(Check *c, Container *container, GlobalKind kind, const Name *name,
                          Place place)
{
    if (name == NULL) { /* its head could not be read */
        return NULL;
    }
    (void)name_is_free(c, name, place);
    Global *former = map_get(container->by_name, name);
    if (former != NULL) {
        Diagnostic *diag = diagnostic_error(c->diags, "defined twice", place,
                                            "'%.*s' is defined twice", TEXT_ARG(name->text));
        diagnostic_note(c->diags, diag, former->place, "first defined here");
        return NULL;
    }
    Global *global = ARENA_NEW(c->arena, Global);
    global->name = name;
    global->place = place;
    global->kind = (uint8_t)kind;
    map_put(container->by_name, name, global);
    *container->end = global;
    container->end = &global->next;
    return global;
}

static void add_defines(Check *c, Container *container, const DefineTree *define)
{
    for (; define != NULL; define = define->next) {
        Global *global = add_global(c, container, GLOBAL_DEFINE, define->name,
                                    (Place){define->source, define->name_span});
        if (global != NULL) {
            definition_init(&global->definition, define);
        }
    }
}

static void add_tables(Check *c, Container *container, const TableTree *table)
{
    for (; table != NULL; table = table->next) {
        Global *global = add_global(c, container, GLOBAL_TABLE, table->name,
                                    (Place){table->source, table->name_span});
        if (global != NULL) {
            global->table_tree = table;
        }
    }
}

static void init_worksheet(Check *c, WorksheetScope *scope, const WorksheetTree *tree);

static void init_schedules(Check *c, WorksheetScope *scope, const WorksheetTree *tree)
{
    for (const WorksheetTree *at = tree->schedules; at != NULL; at = at->next) {
        scope->schedule_count++;
    }
    scope->schedules = ARENA_ARRAY(c->arena, WorksheetScope, scope->schedule_count + 1);
    uint32_t i = 0;
    for (const WorksheetTree *at = tree->schedules; at != NULL; at = at->next) {
        init_worksheet(c, &scope->schedules[i++], at); /* which has none itself */
    }
}

static void init_worksheet(Check *c, WorksheetScope *scope, const WorksheetTree *tree)
{
    uint32_t count = 0;
    for (const DefineTree *define = tree->defines; define != NULL; define = define->next) {
        count++;
    }
    scope->define_count = count;
    for (const StepTree *step = tree->steps; step != NULL; step = step->next) {
        count++;
    }
    scope->tree = tree;
    scope->count = count;
    scope->definitions = ARENA_ARRAY(c->arena, Definition, count + 1);
    uint32_t i = 0;
    for (const DefineTree *define = tree->defines; define != NULL; define = define->next) {
        definition_init(&scope->definitions[i++], define);
    }
    for (const StepTree *step = tree->steps; step != NULL; step = step->next) {
        definition_init_step(&scope->definitions[i++], step, tree->source);
    }
    Scope names = {0};
    scope_fill(c, &names, scope->definitions, count);
    scope->by_name = names.local_by_name;
    init_schedules(c, scope, tree);
}

static void add_worksheets(Check *c, Container *container, const WorksheetTree *worksheet)
{
    for (; worksheet != NULL; worksheet = worksheet->next) {
        Global *global = add_global(c, container, GLOBAL_WORKSHEET, worksheet->name,
                                    (Place){worksheet->source, worksheet->name_span});
        if (global != NULL) {
            init_worksheet(c, &global->worksheet, worksheet);
        }
    }
}

/* A name of a group has one meaning in each of the group's readings. */
static void add_alternative(Check *c, Container *container, ReadingGroup *group, uint32_t reading,
                            const DefineTree *define)
{
    Global *global = define->name == NULL ? NULL : map_get(container->by_name, define->name);
    if (global == NULL || global->group != group || global->alternatives[reading] != NULL) {
        global = add_global(c, container, GLOBAL_SHARED, define->name,
                            (Place){define->source, define->name_span});
        if (global == NULL) {
            return;
        }
        global->group = group;
        global->alternatives = ARENA_ARRAY(c->arena, Definition *, group->count);
    }
    global->alternatives[reading] = ARENA_NEW(c->arena, Definition);
    definition_init(global->alternatives[reading], define);
}

static void add_shared(Check *c, Container *container, ReadingGroup *group)
{
    for (uint32_t i = 0; i < group->count; i++) {
        const DefineTree *define = group->readings[i]->defines;
        for (; define != NULL; define = define->next) {
            add_alternative(c, container, group, i, define);
        }
    }
}

static void init_container(Check *c, Container *container)
{
    container->by_name = map_new(c->arena);
    container->end = &container->globals;
}

void containers_make(Check *c)
{
    const LawTree *tree = c->tree;
    c->container_count = tree->code_count + tree->level_count;
    c->containers = ARENA_ARRAY(c->arena, Container, c->container_count + 1);
    for (uint32_t i = 0; i < tree->code_count; i++) {
        Container *container = &c->containers[i];
        const CodeTree *code = tree->codes[i];
        container->code = code;
        container->source = code->source;
        init_container(c, container);
        add_defines(c, container, code->defines);
        add_tables(c, container, code->tables);
        add_worksheets(c, container, code->worksheets);
        container->groups = reading_groups(c, code->readings);
        for (uint32_t g = 0; g < container->groups.count; g++) {
            add_shared(c, container, &container->groups.items[g]);
        }
    }
    for (uint32_t i = 0; i < tree->level_count; i++) {
        Container *container = &c->containers[tree->code_count + i];
        const JurisdictionTree *jurisdiction = tree->levels[i];
        container->jurisdiction = jurisdiction;
        container->source = jurisdiction->source;
        init_container(c, container);
        add_defines(c, container, jurisdiction->defines);
        add_tables(c, container, jurisdiction->tables);
        add_worksheets(c, container, jurisdiction->worksheets);
    }
}

Container *container_of_code(const Check *c, const CodeTree *code)
{
    for (uint32_t i = 0; i < c->tree->code_count; i++) {
        if (c->containers[i].code == code) {
            return &c->containers[i];
        }
    }
    return NULL;
}

/* ---- chains ---- */

static void fill_chain(Check *c, Chain *chain, uint32_t levels)
{
    uint32_t codes = c->tree->code_count;
    chain->containers = ARENA_ARRAY(c->arena, Container *, levels + codes + 1);
    for (uint32_t i = levels; i > 0; i--) { /* the innermost first */
        chain->containers[chain->count++] = &c->containers[c->tree->code_count + i - 1];
    }
    for (uint32_t i = 0; i < codes; i++) {
        if (chain->code == NULL || c->containers[i].code == chain->code) {
            chain->containers[chain->count++] = &c->containers[i];
        }
    }
    chain->scopes = ARENA_ARRAY(c->arena, Scope, chain->count + 1);
    for (uint32_t i = 0; i < chain->count; i++) {
        chain->scopes[i] =
            (Scope){.chain = chain, .from = i, .source = chain->containers[i]->source};
    }
}

const Chain *chain_for(Check *c, const CodeTree *code, const JurisdictionTree *jurisdiction)
{
    for (Chain *chain = c->chains; chain != NULL; chain = chain->next) {
        if (chain->code == code && chain->jurisdiction == jurisdiction) {
            return chain;
        }
    }
    uint32_t levels = 0;
    for (uint32_t i = 0; i < c->tree->level_count; i++) {
        if (c->tree->levels[i] == jurisdiction) {
            levels = i + 1;
        }
    }
    Chain *chain = ARENA_NEW(c->arena, Chain);
    chain->code = code;
    chain->jurisdiction = jurisdiction;
    fill_chain(c, chain, levels);
    chain->next = c->chains;
    c->chains = chain;
    return chain;
}

const Scope *container_scope(Check *c, const Container *container)
{
    if (container->code != NULL) {
        return &chain_for(c, container->code, NULL)->scopes[0];
    }
    return &chain_for(c, NULL, container->jurisdiction)->scopes[0];
}

Global *scope_find(const Scope *scope, const Name *name, const Scope **home)
{
    const Chain *chain = scope->chain;
    for (uint32_t i = scope->from; i < chain->count; i++) {
        Global *global = map_get(chain->containers[i]->by_name, name);
        if (global != NULL) {
            global->used = true;
            *home = &chain->scopes[i];
            return global;
        }
    }
    return NULL;
}

const Table *global_table(Check *c, Global *global)
{
    if (!global->table_made) {
        global->table_made = true;
        global->table = table_make(c, global->table_tree);
    }
    return global->table;
}
