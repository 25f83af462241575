/* `for units where`: the conditions on the unit for which a text stands, and those of the rows of
 * a place. Each is compiled once into a frame of its own, from where it is written: it sees facts
 * and the definitions of its code or jurisdiction, and no items. A row of a place sees facts
 * alone, since it must mean the same in the law of every jurisdiction that the place names. Two
 * conditions that say the same, negated or not, are one atom of their section: they are true
 * together, whatever is not stated. */
#include "law/check.h"
#include "law/same.h"

/* Conditions compiled, by their first expression. */
typedef struct Compiled {
    const CodeTree *code;
    const JurisdictionTree *jurisdiction;
    ScopeCode scope;
    const Section *section; /* in which it is `atom` */
    uint32_t atom;
    struct Compiled *next;
} Compiled;

/* ---- where they are written ---- */

static const Chain *facts_alone(Check *c)
{
    if (c->facts_alone == NULL) {
        c->facts_alone = ARENA_NEW(c->arena, Chain);
    }
    return c->facts_alone;
}

static Scope *scope_of(Check *c, const ScopeTree *tree)
{
    Scope *scope = ARENA_NEW(c->arena, Scope);
    *scope = (Scope){.chain = tree->holder != NULL ? facts_alone(c)
                                                   : chain_for(c, tree->code, tree->jurisdiction),
                     .sees_items = true, /* of its section for stet; there are none to see */
                     .source = tree->source};
    return scope;
}

/* ---- compiling ---- */

static void forget_readings(Check *c)
{
    for (uint32_t i = 0; i < c->container_count; i++) {
        for (uint32_t g = 0; g < c->containers[i].groups.count; g++) {
            c->containers[i].groups.items[g].used = false;
        }
    }
}

/* Which text stands must not rest on a question that is asked of the text itself. */
static void refuse_readings(Check *c, const Expr *condition)
{
    for (uint32_t i = 0; i < c->container_count; i++) {
        for (uint32_t g = 0; g < c->containers[i].groups.count; g++) {
            const ReadingGroup *group = &c->containers[i].groups.items[g];
            if (!group->used) {
                continue;
            }
            Diagnostic *diag = diagnostic_error(
                c->diags, "units by a reading", check_place(c, condition->span),
                "which units this speaks of rests on a definition that has several readings");
            diagnostic_note(c->diags, diag,
                            (Place){group->readings[0]->source, group->readings[0]->name_span},
                            "one of its readings");
        }
    }
    forget_readings(c);
}

static void compile_conditions(Check *c, const ScopeTree *tree, ScopeCode *out)
{
    uint32_t count = 0;
    for (const Expr *e = tree->conditions; e != NULL; e = e->next) {
        count++;
    }
    text_begin(c, scope_of(c, tree));
    out->conditions = ARENA_ARRAY(c->arena, const Code *, count + 1);
    for (const Expr *e = tree->conditions; e != NULL; e = e->next) {
        forget_readings(c);
        uint32_t mark = c->absent_count;
        const Code *code = check_condition(c, e);
        absents_unanswered(c, mark);
        refuse_readings(c, e);
        out->conditions[out->count++] = code;
        (void)guards_push(c, code, true);
    }
    out->slots = c->slots;
    out->reads_review_date = c->reads_review_date;
    c->law->max_slots = out->slots > c->law->max_slots ? out->slots : c->law->max_slots;
}

static Compiled *compiled_of(Check *c, const ScopeTree *tree)
{
    if (c->units == NULL) {
        c->units = map_new(c->arena);
    }
    Compiled *first = tree->conditions == NULL ? NULL : map_get(c->units, tree->conditions);
    for (Compiled *at = first; at != NULL; at = at->next) {
        if (at->code == tree->code && at->jurisdiction == tree->jurisdiction) {
            return at;
        }
    }
    Compiled *compiled = ARENA_NEW(c->arena, Compiled);
    compiled->code = tree->code;
    compiled->jurisdiction = tree->jurisdiction;
    compiled->scope.tree = tree;
    compile_conditions(c, tree, &compiled->scope);
    if (tree->conditions != NULL) {
        compiled->next = first;
        (void)map_put(c->units, tree->conditions, compiled);
    }
    return compiled;
}

static ScopeCode *units_compile(Check *c, const ScopeTree *trees, uint32_t count)
{
    ScopeCode *scopes = ARENA_ARRAY(c->arena, ScopeCode, count + 1);
    for (uint32_t i = 0; i < count; i++) {
        scopes[i] = compiled_of(c, &trees[i])->scope;
        scopes[i].negated = trees[i].negated;
        scopes[i].tree = &trees[i];
    }
    return scopes;
}

/* ---- conditions that say the same ---- */

/* Two that are written alike may mean what two jurisdictions define differently: the code tells. */
static bool says_the_same(const ScopeCode *a, const ScopeCode *b)
{
    if (a->count != b->count) {
        return false;
    }
    Same same = {.count = 0};
    for (uint32_t i = 0; i < a->count; i++) {
        if (!same_code(&same, a->conditions[i], b->conditions[i])) {
            return false;
        }
    }
    return true;
}

static uint32_t atom_of(Section *section, Compiled *compiled)
{
    if (compiled->section == section) {
        return compiled->atom;
    }
    uint32_t i = 0;
    while (i < section->atom_count && !says_the_same(section->atoms[i], &compiled->scope)) {
        i++;
    }
    if (i == section->atom_count) {
        section->atoms[section->atom_count++] = &compiled->scope;
    }
    compiled->section = section;
    compiled->atom = i;
    return i;
}

/* ---- texts ---- */

void check_units(Check *c, const SectionTreeInForce *tree, TextInForce *texts, Section *section)
{
    uint32_t total = 0;
    for (uint32_t t = 0; t < tree->text_count; t++) {
        total += tree->texts[t].scope_count;
    }
    if (total == 0) {
        return;
    }
    section->atoms = ARENA_ARRAY(c->arena, const ScopeCode *, total);
    for (uint32_t t = 0; t < tree->text_count; t++) {
        uint32_t count = tree->texts[t].scope_count;
        ScopeCode *scopes = units_compile(c, tree->texts[t].scopes, count);
        for (uint32_t i = 0; i < count; i++) {
            scopes[i].atom = atom_of(section, compiled_of(c, &tree->texts[t].scopes[i]));
        }
        texts[t].scopes = scopes;
        texts[t].scope_count = count;
    }
}

/* For the units for which the text stands, its conditions hold: what they rule out needs no other
 * answer in its lines. They are compiled once more, since a frame's slots are its own. */
void units_guard(Check *c, const TextTree *text)
{
    for (uint32_t i = 0; i < text->scope_count; i++) {
        const ScopeTree *tree = &text->scopes[i];
        if (tree->negated && (tree->conditions == NULL || tree->conditions->next != NULL)) {
            continue; /* one of several does not hold: nothing is known of each */
        }
        Context context = c->context;
        c->context.scope = scope_of(c, tree);
        c->context.source = tree->source;
        for (const Expr *e = tree->conditions; e != NULL; e = e->next) {
            uint32_t mark = c->absent_count;
            const Code *code = check_condition(c, e);
            absents_unanswered(c, mark);
            (void)guards_push(c, code, !tree->negated);
        }
        c->context = context;
    }
}

/* ---- places ---- */

static bool same_authority(const HolderTree *a, const HolderTree *b)
{
    return a->authority == b->authority;
}

/* Its own condition, and none of those before it. */
static void check_holding(Check *c, const HolderTree *row, Holding *out)
{
    const PlaceTree *place = c->tree->place;
    uint32_t count = row->where != NULL ? 1 : 0;
    for (const HolderTree *at = place->holders; at != row; at = at->next) {
        count += same_authority(at, row) ? 1 : 0;
    }
    ScopeTree *trees = ARENA_ARRAY(c->arena, ScopeTree, count + 1);
    uint32_t i = 0;
    for (const HolderTree *at = place->holders; at != row; at = at->next) {
        if (same_authority(at, row)) {
            trees[i++] = (ScopeTree){at->where, true, place->source, NULL, NULL, at};
        }
    }
    if (row->where != NULL) {
        trees[i++] = (ScopeTree){row->where, false, place->source, NULL, NULL, row};
    }
    *out = (Holding){row, units_compile(c, trees, count), count};
}

void check_holdings(Check *c)
{
    const PlaceTree *place = c->tree->place;
    if (place == NULL || c->tree->jurisdiction == NULL) {
        return;
    }
    const Name *name = c->tree->jurisdiction->name;
    uint32_t count = 0;
    for (const HolderTree *row = place->holders; row != NULL; row = row->next) {
        count += row->jurisdiction == name ? 1 : 0;
    }
    Holding *holdings = ARENA_ARRAY(c->arena, Holding, count + 1);
    c->law->holdings = holdings;
    for (const HolderTree *row = place->holders; row != NULL; row = row->next) {
        if (row->jurisdiction == name) {
            check_holding(c, row, &holdings[c->law->holding_count++]);
        }
    }
}
