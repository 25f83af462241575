/* The law of a jurisdiction in a place: of its sections those whose authority it holds there, each
 * for the units for which it does.
 *
 * Takes the place's rows; of the rows of one authority the first whose condition is true governs.
 * Gives for each authority that the jurisdiction holds the conditions under which it decides, and
 * writes them among the scopes of each text: what is unknown is then judged by cases, as any
 * condition on units is. Sections that name no authority are kept in the law of every jurisdiction
 * of the place. */
#include "law/law.h"

static bool is_held(const PlaceTree *place, const Name *authority)
{
    for (const HolderTree *row = place->holders; row != NULL; row = row->next) {
        if (row->authority == authority) {
            return true;
        }
    }
    return false;
}

static bool is_own(const HolderTree *row, const Name *authority, const Name *jurisdiction)
{
    return row->authority == authority && row->jurisdiction == jurisdiction;
}

/* ---- under which conditions the jurisdiction decides ---- */

typedef struct Held {
    const Name *authority;
    bool here; /* the jurisdiction may decide */
    const ScopeTree *scopes;
    uint32_t scope_count;
    const SectionTree *unheld; /* the first section that nobody may decide; NULL */
    struct Held *next;
} Held;

typedef struct Placing {
    Arena *arena;
    const PlaceTree *place;
    const Name *jurisdiction;
    Held *first;
    Held **end;
} Placing;

/* In parentheses where it would be read otherwise beside the word that joins it. */
static Expr *operand(Placing *placing, Expr *expr)
{
    switch ((int)expr->kind) {
    case EXPR_OR:
    case EXPR_AND:
    case EXPR_CHOICE:
    case EXPR_QUANTIFIER:
    case EXPR_AGGREGATE:
    case EXPR_THOSE:
    case EXPR_FIRST: break;
    default: return expr;
    }
    Expr *copy = ARENA_NEW(placing->arena, Expr);
    *copy = *expr;
    copy->parens = true;
    return copy;
}

static Expr *make_expr(Placing *placing, ExprKind kind, Expr *a, Expr *b)
{
    Expr *expr = ARENA_NEW(placing->arena, Expr);
    uint16_t depth = b != NULL && b->depth > a->depth ? b->depth : a->depth;
    *expr = (Expr){.kind = (uint8_t)kind,
                   .depth = (uint16_t)(depth + 1),
                   .span = b == NULL ? a->span : span_join(a->span, b->span),
                   .a = operand(placing, a),
                   .b = b == NULL ? NULL : operand(placing, b)};
    return expr;
}

/* The rows of one authority from the jurisdiction's first on, as they are asked: of its own, the
 * row or what comes after it; of another's, not the row and what comes after it. NULL: always. */
static Expr *decides_from(Placing *placing, const HolderTree *row, const Name *authority,
                          bool *never)
{
    while (row != NULL && row->authority != authority) {
        row = row->next;
    }
    *never = row == NULL;
    if (row == NULL) {
        return NULL;
    }
    bool own = row->jurisdiction == placing->jurisdiction;
    if (row->where == NULL) {
        *never = !own;
        return NULL;
    }
    bool rest_never = false;
    Expr *rest = decides_from(placing, row->next, authority, &rest_never);
    if (own) {
        return rest_never     ? row->where
               : rest == NULL ? NULL
                              : make_expr(placing, EXPR_OR, row->where, rest);
    }
    *never = rest_never;
    if (rest_never) {
        return NULL;
    }
    Expr *not = make_expr(placing, EXPR_NOT, row->where, NULL);
    return rest == NULL ? not : make_expr(placing, EXPR_AND, not, rest);
}

/* None of the rows before its first one, and that one or what follows. */
static void find_scopes(Placing *placing, Held *held)
{
    const PlaceTree *place = placing->place;
    const HolderTree *own = NULL;
    uint32_t before = 0;
    for (const HolderTree *row = place->holders; row != NULL && own == NULL; row = row->next) {
        own = is_own(row, held->authority, placing->jurisdiction) ? row : NULL;
        before += own == NULL && row->authority == held->authority;
    }
    held->here = own != NULL;
    if (own == NULL) {
        return;
    }
    bool never = false;
    const Expr *condition = decides_from(placing, own, held->authority, &never);
    ScopeTree *scopes = ARENA_ARRAY(placing->arena, ScopeTree, before + 1);
    for (const HolderTree *row = place->holders; row != own; row = row->next) {
        if (row->authority == held->authority) {
            scopes[held->scope_count++] = (ScopeTree){
                .conditions = row->where, .negated = true, .source = place->source, .holder = row};
        }
    }
    if (condition != NULL) {
        scopes[held->scope_count++] =
            (ScopeTree){.conditions = condition, .source = place->source, .holder = own};
    }
    held->scopes = scopes;
}

static Held *held_of(Placing *placing, const Name *authority)
{
    for (Held *held = placing->first; held != NULL; held = held->next) {
        if (held->authority == authority) {
            return held;
        }
    }
    Held *held = ARENA_NEW(placing->arena, Held);
    held->authority = authority;
    if (authority == NULL) {
        held->here = true;
    } else {
        find_scopes(placing, held);
    }
    *placing->end = held;
    placing->end = &held->next;
    return held;
}

/* ---- sections ---- */

static const Name *authority_of(const SectionTree *section, const CodeTree *code)
{
    return section->standing.authority != NULL ? section->standing.authority
                                               : code->standing.authority;
}

static void add_scopes(Placing *placing, SectionTreeInForce *section, const Held *held)
{
    for (uint32_t t = 0; t < section->text_count && held->scope_count > 0; t++) {
        TextTree *text = &section->texts[t];
        uint32_t count = text->scope_count + held->scope_count;
        ScopeTree *scopes = ARENA_ARRAY(placing->arena, ScopeTree, count);
        for (uint32_t i = 0; i < text->scope_count; i++) {
            scopes[i] = text->scopes[i];
        }
        for (uint32_t i = 0; i < held->scope_count; i++) {
            scopes[text->scope_count + i] = held->scopes[i];
        }
        text->scopes = scopes;
        text->scope_count = count;
    }
}

static void place_sections(Placing *placing, LawTree *law)
{
    uint32_t kept = 0;
    for (uint32_t i = 0; i < law->section_count; i++) {
        SectionTreeInForce *section = &law->sections[i];
        Held *held = held_of(placing, authority_of(section->section, section->code));
        if (!held->here) {
            held->unheld = held->unheld == NULL ? section->section : held->unheld;
            continue;
        }
        law->sections[kept] = *section;
        add_scopes(placing, &law->sections[kept++], held);
    }
    law->section_count = kept;
    kept = 0;
    for (uint32_t i = 0; i < law->deleted_count; i++) {
        const DeletedTree *deleted = &law->deleted[i];
        if (held_of(placing, authority_of(deleted->section, deleted->code))->here) {
            law->deleted[kept++] = *deleted;
        }
    }
    law->deleted_count = kept;
}

static void report_unheld(const Placing *placing, const Held *held, Diagnostics *diags)
{
    const PlaceTree *place = placing->place;
    Diagnostic *diag =
        diagnostic_error(diags, "nobody decides", (Place){place->source, place->name_span},
                         "no row of '%.*s' says who decides '%.*s', which the law of '%.*s' names",
                         TEXT_ARG(place->name->text), TEXT_ARG(held->authority->text),
                         TEXT_ARG(placing->jurisdiction->text));
    diagnostic_note(diags, diag, (Place){held->unheld->source, held->unheld->number_span},
                    "in section '%.*s', say", TEXT_ARG(held->unheld->number));
}

LawTree *law_assemble_in(Arena *arena, const Library *library, const PlaceTree *place,
                         const JurisdictionTree *jurisdiction, Day on, Diagnostics *diags)
{
    LawTree *law = law_assemble(arena, library, jurisdiction, on, diags);
    Placing placing = {.arena = arena, .place = place, .jurisdiction = jurisdiction->name};
    placing.end = &placing.first;
    law->place = place;
    place_sections(&placing, law);
    for (const Held *held = placing.first; held != NULL; held = held->next) {
        if (held->unheld != NULL && !is_held(place, held->authority)) {
            report_unheld(&placing, held, diags);
        }
    }
    return law;
}

/* ---- jurisdictions ---- */

const JurisdictionTree **place_jurisdictions(Arena *arena, const Library *library,
                                             const PlaceTree *place, uint32_t *count)
{
    uint32_t room = 0;
    for (const HolderTree *row = place->holders; row != NULL; row = row->next) {
        room++;
    }
    const JurisdictionTree **list = ARENA_ARRAY(arena, const JurisdictionTree *, room + 1);
    *count = 0;
    for (const HolderTree *row = place->holders; row != NULL; row = row->next) {
        const JurisdictionTree *found =
            row->jurisdiction == NULL ? NULL
                                      : library_jurisdiction(library, row->jurisdiction->text);
        uint32_t at = 0;
        while (at < *count && list[at] != found) {
            at++;
        }
        if (found != NULL && at == *count) {
            list[(*count)++] = found;
        }
    }
    return list;
}
