/* `for units where`: the units for which a code, a section or a change is made.
 *
 * What a code and the acts that adopt it say holds for all texts of the code. What a change or its
 * block says holds for the new text, and its negation for the former ones. Conditions are known
 * by where they are written: those of one act are the same wherever they are copied to. */
#include "law/assembly.h"

static bool is_same_condition(const ScopeTree *a, const Expr *left, const ScopeTree *b,
                              const Expr *right)
{
    return a->source == b->source && left->span.start == right->span.start;
}

bool scope_starts(const ScopeTree *a, const ScopeTree *b)
{
    const Expr *left = a->conditions;
    const Expr *right = b->conditions;
    while (left != NULL && right != NULL && is_same_condition(a, left, b, right)) {
        left = left->next;
        right = right->next;
    }
    return right == NULL;
}

bool scope_same(const ScopeTree *a, const ScopeTree *b)
{
    return scope_starts(a, b) && scope_starts(b, a);
}

void text_add_scope(Assembly *assembly, TextState *text, const ScopeTree *scope)
{
    TextTree *tree = &text->tree;
    ScopeTree *scopes = ARENA_ARRAY(assembly->arena, ScopeTree, tree->scope_count + 1);
    for (uint32_t i = 0; i < tree->scope_count; i++) {
        scopes[i] = tree->scopes[i];
    }
    scopes[tree->scope_count++] = *scope;
    tree->scopes = scopes;
}

/* ---- of a code and its sections ---- */

void assembly_scope_section(Assembly *assembly, const CodeState *code, TextState *text)
{
    if (text->tree.body->scopes != NULL) {
        ScopeTree scope = {
            .conditions = text->tree.body->scopes, .source = text->tree.source, .code = code->code};
        text_add_scope(assembly, text, &scope);
    }
}

/* Adds copies of the conditions in a block, chained. */
static const ChangeTree *add_block(Assembly *assembly, const BlockTree *block, Expr ***end)
{
    const ChangeTree *first = NULL;
    for (const ChangeTree *tree = block->changes; tree != NULL; tree = tree->next) {
        if (tree->kind != CHANGE_FOR_UNITS || tree->scope == NULL) {
            continue;
        }
        Expr *copy = ARENA_NEW(assembly->arena, Expr);
        *copy = *tree->scope;
        copy->next = NULL;
        **end = copy;
        *end = &copy->next;
        first = first == NULL ? tree : first;
    }
    return first;
}

ScopeTree *assembly_code_scopes(Assembly *assembly, const CodeState *code, uint32_t level_count,
                                uint32_t *count)
{
    ScopeTree *scopes = ARENA_ARRAY(assembly->arena, ScopeTree, level_count + 1);
    *count = 0;
    if (code->code->scopes != NULL) {
        scopes[(*count)++] = (ScopeTree){
            .conditions = code->code->scopes, .source = code->code->source, .code = code->code};
    }
    for (uint32_t level = 0; level < level_count; level++) {
        const BlockTree *block = code->adoptions[level];
        Expr *conditions = NULL;
        Expr **end = &conditions;
        if (block != NULL && add_block(assembly, block, &end) != NULL) {
            scopes[(*count)++] = (ScopeTree){.conditions = conditions,
                                             .source = block->source,
                                             .code = code->code,
                                             .jurisdiction = assembly->levels[level]};
        }
    }
    return scopes;
}

/* ---- of a change ---- */

/* The block's words on units are said of the whole code already. */
static bool is_adoption(const Assembly *assembly, const CodeState *code, const Change *change)
{
    for (uint32_t level = 0; level < assembly->level_count; level++) {
        const BlockTree *block = code->adoptions[level];
        if (block != NULL && block->source == change->block->source &&
            block->span.start == change->block->span.start) {
            return true;
        }
    }
    return false;
}

static const Expr *own_conditions(const Change *change)
{
    switch (change->tree->kind) {
    case CHANGE_TO_READ: return change->tree->body.scopes;
    case CHANGE_INSERT: return change->tree->section->body.scopes;
    default: return NULL;
    }
}

static void report_for_some(Assembly *assembly, const Change *change, const ChangeTree *units)
{
    Diagnostic *diag = diagnostic_error(assembly->diags, "not for some units", change_place(change),
                                        "this cannot be said for some units only");
    diagnostic_note(assembly->diags, diag, (Place){change->block->source, units->span},
                    "said of all changes of the act");
    diagnostic_note(assembly->diags, diag, (Place){NULL, {0, 0}},
                    "write it in an act without 'for units where'");
}

static bool scope_change(Assembly *assembly, const CodeState *code, Change *change)
{
    Expr *conditions = NULL;
    Expr **end = &conditions;
    const ChangeTree *units =
        is_adoption(assembly, code, change) ? NULL : add_block(assembly, change->block, &end);
    if (units != NULL && !change_traits(change->tree)->for_some) {
        report_for_some(assembly, change, units);
        return false;
    }
    for (const Expr *own = own_conditions(change); own != NULL; own = own->next) {
        *end = ARENA_NEW(assembly->arena, Expr);
        **end = *own;
        (*end)->next = NULL;
        end = &(*end)->next;
    }
    if (conditions == NULL) {
        return true;
    }
    ScopeTree *scopes = ARENA_ARRAY(assembly->arena, ScopeTree, 2);
    scopes[0] = (ScopeTree){.conditions = conditions,
                            .source = change->block->source,
                            .code = code->code,
                            .jurisdiction = change->jurisdiction};
    scopes[1] = scopes[0];
    scopes[1].negated = true;
    change->inside = &scopes[0];
    change->outside = &scopes[1];
    return true;
}

void assembly_scope_changes(Assembly *assembly, CodeState *code)
{
    for (Change **at = &code->changes; *at != NULL;) {
        if (scope_change(assembly, code, *at)) {
            at = &(*at)->next;
        } else {
            *at = (*at)->next;
        }
    }
}
