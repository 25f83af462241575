/* Absence (docs/language.md, section 6; meaning.md rule 1): which paths may be none where a value
 * is used, which of them a condition in force rules out, and the three ways to answer.
 *
 * A path is put into Check.absents when code that may be none is made. It leaves by being
 * answered, by a definition that keeps it for its users, or by a message. */
#include "law/check.h"

enum {
    PROOF_STEPS_MAX = 2000, /* of one search: conditions can share definitions many times over */
    GUARDS_SEEN_MAX = 256   /* the nearest ones */
};

/* ---- paths ---- */

static bool same_path(const Code *a, const Code *b)
{
    for (;;) {
        if (a == b) {
            return true;
        }
        if (a == NULL || b == NULL || a->op != b->op) {
            return false;
        }
        switch ((int)a->op) {
        case CODE_FACT: return a->field == b->field;
        case CODE_VARIABLE:
        case CODE_DEFINED: return a->slot == b->slot;
        case CODE_FIELD:
            if (a->field != b->field) {
                return false;
            }
            break;
        case CODE_BY_KEY:
            if (!text_equal(*a->text, *b->text)) {
                return false;
            }
            break;
        default: return false;
        }
        a = a->a;
        b = b->a;
    }
}

static bool is_path(const Code *code)
{
    return code->op == CODE_FACT || code->op == CODE_FIELD || code->op == CODE_BY_KEY ||
           code->op == CODE_VARIABLE || code->op == CODE_DEFINED;
}

/* A value that is present has present owners: does `present` say so of `path`? */
static bool presence_covers(const Code *present, const Code *path)
{
    while (present != NULL && is_path(present)) {
        if (same_path(present, path)) {
            return true;
        }
        present = present->a;
    }
    return present != NULL && same_path(present, path);
}

/* ---- conditions in force ---- */

static bool proves(const Code *code, bool truth, const Code *path, unsigned *steps);

static bool parts_prove(const Code *code, bool truth, const Code *path, unsigned *steps, bool all)
{
    if (code->op == CODE_AND || code->op == CODE_OR) {
        bool a = proves(code->a, truth, path, steps);
        return a == all ? proves(code->b, truth, path, steps) : a;
    }
    for (uint32_t i = 0; i < code->count; i++) {
        if (proves(code->args[i], truth, path, steps) != all) {
            return !all;
        }
    }
    return all && code->count > 0;
}

/* Does the condition, being true (or false), leave no room for the path to be none? */
static bool proves(const Code *code, bool truth, const Code *path, unsigned *steps)
{
    if ((*steps)++ > PROOF_STEPS_MAX) {
        return false;
    }
    switch ((int)code->op) {
    case CODE_NOT: return proves(code->a, !truth, path, steps);
    case CODE_AND:
    case CODE_ALL_OF: return parts_prove(code, truth, path, steps, !truth);
    case CODE_OR:
    case CODE_ANY_OF: return parts_prove(code, truth, path, steps, truth);
    case CODE_IS_NONE: return code->flag == truth && presence_covers(code->a, path);
    case CODE_COMPARE_WORDS:
    case CODE_COMPARE_TRUTH:
    case CODE_COMPARE_TEXT: /* an absent choice is no word */
        return (code->sub == COMPARE_EQUAL || code->sub == COMPARE_NOT_EQUAL) &&
               (code->sub == COMPARE_EQUAL) == truth &&
               (presence_covers(code->a, path) || presence_covers(code->b, path));
    case CODE_AMONG: return truth && presence_covers(code->a, path);
    case CODE_DEFINED: return proves(code->a, truth, path, steps);
    default: return false;
    }
}

/* The extreme of a whole list is there when the list surely has a member. */
static bool member_proves(const Code *list, const Code *path)
{
    bool extreme = path->op == CODE_LEAST || path->op == CODE_GREATEST || path->op == CODE_FIRST;
    return extreme && path->b == NULL && same_path(path->a, list);
}

static bool prove_path(const Check *c, const Code *path, unsigned *steps)
{
    uint32_t base = c->context.guard_base;
    if (c->guard_count > base + GUARDS_SEEN_MAX) {
        base = c->guard_count - GUARDS_SEEN_MAX;
    }
    for (uint32_t i = c->guard_count; i > base; i--) {
        const Guard *guard = &c->guards[i - 1];
        if (guard->member ? member_proves(guard->code, path)
                          : proves(guard->code, guard->truth, path, steps)) {
            return true;
        }
    }
    return false;
}

/* A fact that is always present is there when its owner is. */
bool guards_prove(const Check *c, const Code *path)
{
    unsigned steps = 0;
    while (!prove_path(c, path, &steps)) {
        if (path->op != CODE_FIELD || !path->field->always_present) {
            return false;
        }
        path = path->a;
    }
    return true;
}

static uint32_t push_guard(Check *c, Guard guard)
{
    uint32_t mark = c->guard_count;
    if (c->guard_count == c->guard_cap) {
        uint32_t cap = c->guard_cap == 0 ? 32 : c->guard_cap * 2;
        Guard *grown = ARENA_ARRAY(c->arena, Guard, cap);
        for (uint32_t i = 0; i < c->guard_count; i++) {
            grown[i] = c->guards[i];
        }
        c->guards = grown;
        c->guard_cap = cap;
    }
    c->guards[c->guard_count++] = guard;
    return mark;
}

uint32_t guards_push(Check *c, const Code *code, bool truth)
{
    return push_guard(c, (Guard){.code = code, .truth = truth});
}

uint32_t guards_push_member(Check *c, const Code *list)
{
    return push_guard(c, (Guard){.code = list, .member = true});
}

void guards_pop(Check *c, uint32_t mark)
{
    c->guard_count = mark;
}

/* ---- the paths not yet answered ---- */

static void push_absent(Check *c, Absent absent)
{
    if (c->absent_count == c->absent_cap) {
        uint32_t cap = c->absent_cap == 0 ? 32 : c->absent_cap * 2;
        Absent *grown = ARENA_ARRAY(c->arena, Absent, cap);
        for (uint32_t i = 0; i < c->absent_count; i++) {
            grown[i] = c->absents[i];
        }
        c->absents = grown;
        c->absent_cap = cap;
    }
    c->absents[c->absent_count++] = absent;
}

void absent_add(Check *c, const Code *path)
{
    if (!guards_prove(c, path)) {
        push_absent(c, (Absent){.path = path});
    }
}

void absent_carry(Check *c, const Absent *from)
{
    if (!guards_prove(c, from->path)) {
        push_absent(c, *from);
    }
}

bool absent_since(const Check *c, uint32_t mark)
{
    for (uint32_t i = mark; i < c->absent_count; i++) {
        if (!c->absents[i].deep) {
            return true;
        }
    }
    return false;
}

void absents_drop_direct(Check *c, uint32_t mark)
{
    uint32_t kept = mark;
    for (uint32_t i = mark; i < c->absent_count; i++) {
        if (c->absents[i].deep) {
            c->absents[kept++] = c->absents[i];
        }
    }
    c->absent_count = kept;
}

void absents_name(Check *c, uint32_t mark, const Code *use)
{
    const Code *origin = NULL;
    for (uint32_t i = c->absent_count; i > mark; i--) {
        const Absent *absent = &c->absents[i - 1];
        if (!absent->deep) {
            origin = absent->origin != NULL ? absent->origin : absent->path;
        }
    }
    if (origin == NULL) {
        return;
    }
    absents_drop_direct(c, mark);
    if (!guards_prove(c, use)) {
        push_absent(c, (Absent){.path = use, .origin = origin});
    }
}

void absents_deepen(Check *c, uint32_t mark)
{
    for (uint32_t i = mark; i < c->absent_count; i++) {
        c->absents[i].deep = true;
    }
}

void absents_soften(Check *c, uint32_t mark)
{
    for (uint32_t i = mark; i < c->absent_count; i++) {
        c->absents[i].soft = c->absents[i].soft || !c->absents[i].deep;
    }
}

void absents_close_condition(Check *c, uint32_t mark)
{
    uint32_t kept = mark;
    for (uint32_t i = mark; i < c->absent_count; i++) {
        if (!c->absents[i].soft) {
            c->absents[kept] = c->absents[i];
            c->absents[kept++].deep = true;
        }
    }
    c->absent_count = kept;
}

/* ---- messages ---- */

static Text path_words(Check *c, const Code *path)
{
    /* A field of a plan is read by an expression that does not name it. */
    if (path->op == CODE_FIELD && path->expr == path->a->expr) {
        return text_format(c->arena, "%.*s.%.*s", TEXT_ARG(quote_code(c->arena, path->a)),
                           TEXT_ARG(path->field->name->text));
    }
    return quote_code(c->arena, path);
}

/* Of a path whose last steps are always present, the owner that may be none. */
static const Code *absent_owner(const Code *path)
{
    while (path->op == CODE_FIELD && path->field->always_present) {
        path = path->a;
    }
    return path;
}

void absents_close_binder(Check *c, uint32_t mark, uint32_t first, uint32_t end)
{
    uint32_t kept = mark;
    for (uint32_t i = mark; i < c->absent_count; i++) {
        Absent absent = c->absents[i];
        if (!code_uses_slots(absent.path, first, end)) {
            absent.deep = true;
            c->absents[kept++] = absent;
            continue;
        }
        if (absent.soft && c->context.condition) {
            continue;
        }
        Text path = path_words(c, absent.path);
        const Code *owner = absent_owner(absent.path);
        Diagnostic *diag = diagnostic_error(
            c->diags, "absence is not answered", code_place(absent.path),
            "'%.*s' may be none, which can only be answered here, item by item", TEXT_ARG(path));
        diagnostic_note(c->diags, diag, (Place){0},
                        "write '(%.*s, or VALUE if none)', or pick the items 'where %.*s is not "
                        "none'",
                        TEXT_ARG(path), TEXT_ARG(path_words(c, owner)));
    }
    c->absent_count = kept;
}

static bool is_repeat(const Check *c, uint32_t mark, uint32_t index)
{
    enum { LOOKED_AT = 64 }; /* a repeat is a repeated message, no more */
    uint32_t first = index > mark + LOOKED_AT ? index - LOOKED_AT : mark;
    for (uint32_t i = first; i < index; i++) {
        if (same_path(c->absents[i].path, c->absents[index].path)) {
            return true;
        }
    }
    return false;
}

void absents_unanswered(Check *c, uint32_t mark)
{
    for (uint32_t i = mark; i < c->absent_count; i++) {
        if (is_repeat(c, mark, i)) {
            continue;
        }
        const Code *path = c->absents[i].path;
        const Code *origin = c->absents[i].origin;
        const Code *owner = absent_owner(path);
        Diagnostic *diag = diagnostic_error(c->diags, "absence is not answered", code_place(path),
                                            "'%.*s' may be none, and nothing here says what that "
                                            "means",
                                            TEXT_ARG(path_words(c, path)));
        if (origin != NULL) {
            diagnostic_note(c->diags, diag, code_place(origin), "'%.*s' may be none",
                            TEXT_ARG(path_words(c, origin)));
        }
        if (path->op == CODE_TABLE) {
            diagnostic_note(c->diags, diag,
                            (Place){path->table->source, path->table->tree->name_span},
                            "this table has cells that are none");
        }
        diagnostic_note(c->diags, diag, (Place){0},
                        "say ', if provided' (not applicable), ', required' (a correction) or ', "
                        "or VALUE if none', or rule it out: 'when %.*s is not none'",
                        TEXT_ARG(path_words(c, owner)));
    }
    c->absent_count = mark;
}

const Code **absents_paths(Check *c, uint32_t mark, uint32_t *count)
{
    *count = 0;
    const Code **paths = ARENA_ARRAY(c->arena, const Code *, c->absent_count - mark + 1);
    for (uint32_t i = mark; i < c->absent_count; i++) {
        if (!is_repeat(c, mark, i)) {
            paths[(*count)++] = c->absents[i].path;
        }
    }
    c->absent_count = mark;
    return paths;
}

/* ---- , or E if none ---- */

/* The value itself is not none because of these: each path is asked. */
static const Code *any_is_none(Check *c, const Expr *at, uint32_t mark, uint32_t end)
{
    Code *any = code_make(c, CODE_ANY_OF, at, type_of_class(CLASS_YES_NO));
    any->args = ARENA_ARRAY(c->arena, const Code *, end - mark + 1);
    for (uint32_t i = mark; i < end; i++) {
        if (!is_repeat(c, mark, i)) {
            any->args[any->count++] =
                code_unary(c, CODE_IS_NONE, at, type_of_class(CLASS_YES_NO), c->absents[i].path);
        }
    }
    return code_done(c, any);
}

static const Code *choose(Check *c, const Expr *at, const Code *a, const Code *b, uint32_t mark,
                          uint32_t end)
{
    bool deep = false;
    for (uint32_t i = mark; i < end; i++) {
        deep = deep || c->absents[i].deep;
    }
    Type type = a->type;
    type.whole = a->type.whole && b->type.whole;
    Code *code = code_make(c, deep ? CODE_IF : CODE_IF_NONE, at, type);
    code->unit = a->unit != NULL ? a->unit : b->unit;
    code->a = deep ? b : a;
    code->b = deep ? any_is_none(c, at, mark, end) : b;
    code->c = deep ? a : NULL;
    return code_done(c, code);
}

const Code *absence_fallback(Check *c, const Expr *at, const Code *a, uint32_t mark,
                             const Expr *fallback)
{
    uint32_t end = c->absent_count;
    const Code *b = check_value(c, fallback, a->type.class == CLASS_CHOICE ? a->type.choice : NULL);
    if (is_bad(a) || is_bad(b)) {
        c->absent_count = mark;
        return code_bad(c, at);
    }
    if (a->type.class == CLASS_ITEM || a->type.class == CLASS_LIST) {
        diagnostic_error(c->diags, "no value can stand for it", code_place(a),
                         "'%.*s' is %.*s: say of one of its facts what holds if there is none",
                         TEXT_ARG(quote_code(c->arena, a)),
                         TEXT_ARG(type_words(c->arena, &a->type)));
        c->absent_count = mark;
        return code_bad(c, at);
    }
    if (!check_same(c, at, "replace", a, b)) {
        c->absent_count = mark;
        return code_bad(c, at);
    }
    const Code *result = a;
    if (end > mark) {
        result = choose(c, at, a, b, mark, end);
    } else {
        proof_warning(c, "absence answered in vain", check_place(c, fallback->span),
                      "'%.*s' is never none here", TEXT_ARG(quote_code(c->arena, a)));
    }
    uint32_t kept = mark;
    for (uint32_t i = end; i < c->absent_count; i++) {
        c->absents[kept++] = c->absents[i];
    }
    c->absent_count = kept;
    return result;
}
