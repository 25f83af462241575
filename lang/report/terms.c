/* Terms of a line. The checked code is walked, not run: a fact is a term with its place, a
 * definition or a look-up within a larger sum is one with its value, and the members of a total
 * are looked at one by one. Nothing is told twice. */
#include "report/telling.h"

enum { TERMS_MAX = 24 };

typedef struct Gather {
    const Telling *telling;
    Term *list;
    uint32_t count;
} Gather;

/* ---- adding ---- */

/* The heading names the innermost item of a finding: its facts go by their own names. */
static Text short_path(const Telling *telling, const Item *item, const Field *field)
{
    return item == telling_inner(telling) ? field->name->text
                                          : spec_path(telling->arena, item, field);
}

static void add_term(Gather *g, const Term *term)
{
    for (uint32_t i = 0; i < g->count; i++) {
        if (text_equal(g->list[i].name, term->name)) {
            return;
        }
    }
    if (g->count < TERMS_MAX) {
        g->list[g->count++] = *term;
    }
}

static void add_fact(Gather *g, const Item *item, const Code *code)
{
    const Field *field = code->field;
    if (item->phantom || field->type.class == CLASS_LIST || field->type.class == CLASS_ITEM) {
        return;
    }
    const Fact *fact = item_fact(item, field);
    if (fact == NULL) {
        return;
    }
    Term term = {.name = short_path(g->telling, item, field),
                 .value = again_value(g->telling->again, code),
                 .type = &field->type,
                 .unit = fact->unit,
                 .item = item,
                 .field = field};
    add_term(g, &term);
}

static void add_value(Gather *g, const Code *code)
{
    if (code->expr == NULL || code->type.class == CLASS_ITEM || code->type.class == CLASS_LIST) {
        return;
    }
    Term term = {.name = syntax_print_expr(g->telling->arena, code->expr),
                 .value = again_value(g->telling->again, code),
                 .type = &code->type,
                 .unit = code->unit};
    add_term(g, &term);
}

/* ---- walking ---- */

static void walk(Gather *g, const Code *code, bool outermost);

static void walk_inside(Gather *g, const Code *code)
{
    if (code->a != NULL) {
        walk(g, code->a, false);
    }
    if (code->b != NULL) {
        walk(g, code->b, false);
    }
    if (code->c != NULL) {
        walk(g, code->c, false);
    }
    for (uint32_t i = 0; i < code->count; i++) {
        walk(g, code->args[i], false);
    }
}

static void walk_args(Gather *g, const Code *code)
{
    for (uint32_t i = 0; i < code->count; i++) {
        walk(g, code->args[i], false);
    }
}

static void walk_field(Gather *g, const Code *code)
{
    Value item = again_value(g->telling->again, code->a);
    if (item.kind == VALUE_ITEM && item.known && item.item != NULL) {
        add_fact(g, item.item, code);
    }
}

/* What is looked for among the members (`p.kind is menu and p.present is yes`): the first thing
 * said of them. */
static const Code *first_said(const Code *body)
{
    while (body->op == CODE_AND || (body->op == CODE_DEFINED && body->a->op == CODE_AND)) {
        body = body->a;
    }
    return body;
}

/* Of a quantifier only those members are told that decide it; where some one is looked for, those
 * that come near. */
static bool is_told(Gather *g, const Code *code)
{
    if (code->op != CODE_QUANTIFIER) {
        return true;
    }
    if (code->sub == QUANTIFIER_SOME) {
        const Code *first = first_said(code->c);
        return first == code->c || again_value(g->telling->again, first).truth != TRUTH_FALSE;
    }
    Value holds = again_value(g->telling->again, code->c);
    return holds.truth != (code->sub == QUANTIFIER_EVERY ? TRUTH_TRUE : TRUTH_FALSE);
}

static void walk_members(Gather *g, const Code *code)
{
    Value list = again_value(g->telling->again, code->a);
    if (list.kind != VALUE_LIST || (list.can & CAN_BE_PRESENT) == 0 || list.list == NULL ||
        code->c == NULL) {
        return;
    }
    for (uint32_t i = 0; i < list.list->count && g->count < TERMS_MAX; i++) {
        const Member *member = &list.list->members[i];
        again_bind(g->telling->again, code->slot, member->item);
        bool counted = member->doubt == NULL;
        if (code->b != NULL) {
            Value where = again_value(g->telling->again, code->b);
            counted = counted && where.truth == TRUTH_TRUE;
        }
        if (counted && is_told(g, code)) {
            walk(g, code->c, true);
        }
    }
}

static bool is_aggregate(uint8_t op)
{
    return op == CODE_TOTAL || op == CODE_LEAST || op == CODE_GREATEST;
}

static bool is_opaque(uint8_t op) /* of no use to a reader, or told by the items */
{
    return op == CODE_THOSE || op == CODE_COVERED || op == CODE_FIRST || op == CODE_COUNT ||
           op == CODE_COVERS || op == CODE_OVERLAPS || op == CODE_GAP || op == CODE_OVERHANG;
}

/* Outermost: the value of this code is what the line tells anyway. */
static void walk(Gather *g, const Code *code, bool outermost)
{
    if (code->op == CODE_FACT) {
        add_fact(g, g->telling->review->spec->unit, code);
    } else if (code->op == CODE_FIELD) {
        walk_field(g, code);
    } else if (code->op == CODE_DEFINED && (outermost || code->expr == NULL)) {
        walk(g, code->a, true);
    } else if (code->op == CODE_CALL || code->op == CODE_TABLE) {
        if (!outermost) {
            add_value(g, code);
        }
        walk_args(g, code);
    } else if (code->op == CODE_DEFINED) {
        add_value(g, code);
    } else if (code->op == CODE_QUANTIFIER || (is_aggregate(code->op) && outermost)) {
        walk_members(g, code);
    } else if (is_aggregate(code->op) || is_opaque(code->op)) {
        if (!outermost) {
            add_value(g, code);
        }
    } else if (code->op != CODE_VARIABLE && code->op != CODE_CONSTANT) {
        walk_inside(g, code);
    }
}

const Term *part_terms(const Telling *telling, const Part *part, uint32_t *count)
{
    Gather g = {.telling = telling, .list = ARENA_ARRAY(telling->arena, Term, TERMS_MAX)};
    const Line *line = part->line;
    if (telling->again != NULL && line->measured != NULL) {
        walk(&g, line->measured, true);
        walk(&g, line->limit, true);
    } else if (telling->again != NULL && line->requirement != NULL) {
        walk(&g, line->requirement, true);
    }
    *count = g.count;
    return g.list;
}

/* ---- definitions by name ---- */

typedef struct Search {
    Text name;
    Map *seen; /* definitions share their code: each is looked into once */
} Search;

static const Code *find_defined(Search *search, const Code *code)
{
    if (code == NULL || map_put(search->seen, code, search) != NULL) {
        return NULL;
    }
    if (code->op == CODE_DEFINED && code->expr != NULL && code->expr->kind == EXPR_NAME &&
        text_equal(code->expr->name->text, search->name)) {
        return code;
    }
    const Code *found = find_defined(search, code->a);
    found = found != NULL ? found : find_defined(search, code->b);
    found = found != NULL ? found : find_defined(search, code->c);
    for (uint32_t i = 0; found == NULL && i < code->count; i++) {
        found = find_defined(search, code->args[i]);
    }
    return found;
}

static const Code *find_in_lines(Search *search, const Line *lines, uint32_t count)
{
    const Code *found = NULL;
    for (uint32_t i = 0; found == NULL && i < count; i++) {
        found = find_defined(search, lines[i].requirement);
        found = found != NULL ? found : find_defined(search, lines[i].measured);
        found = found != NULL ? found : find_defined(search, lines[i].limit);
    }
    return found;
}

bool telling_definition(const Telling *telling, Text name, Term *out)
{
    const SectionText *text = telling->finding->text;
    if (telling->again == NULL) {
        return false;
    }
    Search search = {.name = name, .seen = map_new(telling->arena)};
    const Code *found = find_in_lines(&search, text->lines, text->line_count);
    for (uint32_t i = 0; found == NULL && i < text->exception_count; i++) {
        found = find_in_lines(&search, text->exceptions[i].lines, text->exceptions[i].line_count);
        found = found != NULL ? found : find_defined(&search, text->exceptions[i].condition);
    }
    for (uint32_t i = 0; found == NULL && i < text->when_count; i++) {
        found = find_defined(&search, text->whens[i]);
    }
    if (found == NULL) {
        return false;
    }
    *out = (Term){.name = name,
                  .value = again_value(telling->again, found),
                  .type = &found->type,
                  .unit = found->unit};
    return true;
}
