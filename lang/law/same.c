/* Whether two pieces of checked code are the same calculation: compared as they are evaluated, with
 * definitions unfolded and variables matched by where they are bound. True is sure; false may only
 * mean that the two are written differently. */
#include "law/same.h"

bool same_bind(Same *m, uint32_t a, uint32_t b)
{
    if (m->count == SAME_BOUND_MAX)
        return false;
    m->a[m->count] = a;
    m->b[m->count++] = b;
    return true;
}

static bool slots_match(const Same *m, uint32_t a, uint32_t b)
{
    for (uint32_t i = m->count; i-- > 0;)
        if (m->a[i] == a || m->b[i] == b)
            return m->a[i] == a && m->b[i] == b;
    return false;
}

bool same_value(const Value *a, const Value *b)
{
    if (a->kind != b->kind || a->root != b->root)
        return false;
    switch ((ValueKind)a->kind) {
    case VALUE_RANGE:
        return range_is_exact(&a->range) && range_is_exact(&b->range) &&
               rational_order(a->range.low, b->range.low) == 0;
    case VALUE_TRUTH: return a->truth == b->truth;
    case VALUE_WORDS: return a->words == b->words;
    case VALUE_TEXT: return text_equal(a->text, b->text);
    case VALUE_SIZE:
    case VALUE_ITEM:
    case VALUE_LIST: break;
    }
    return false;
}

static const Code *unfolded(const Code *code)
{
    while (code != NULL && code->op == CODE_DEFINED)
        code = code->a;
    return code;
}

static bool same_parts(Same *m, const Code *a, const Code *b)
{
    for (uint32_t i = 0; i < a->count && a->args != NULL && b->args != NULL; i++)
        if (!same_code(m, a->args[i], b->args[i]))
            return false;
    uint32_t bound = m->count;
    for (uint32_t i = 0; a->op == CODE_CALL && i < a->count; i++)
        if (!same_bind(m, a->slot + i, b->slot + i))
            return false;
    bool same = same_code(m, a->a, b->a);
    if (a->op >= CODE_QUANTIFIER && a->op <= CODE_FIRST && a->op != CODE_COVERED)
        same = same && same_bind(m, a->slot, b->slot);
    same = same && same_code(m, a->b, b->b) && same_code(m, a->c, b->c);
    m->count = bound;
    return same;
}

bool same_code(Same *m, const Code *a, const Code *b)
{
    a = unfolded(a);
    b = unfolded(b);
    if (a == NULL || b == NULL)
        return a == b;
    if (m->steps++ > SAME_STEPS_MAX || a->op != b->op || a->sub != b->sub || a->flag != b->flag ||
        a->emptiness != b->emptiness || a->number != b->number || a->count != b->count)
        return false;
    switch ((int)a->op) {
    case CODE_CONSTANT: return same_value(a->value, b->value);
    case CODE_VARIABLE: return slots_match(m, a->slot, b->slot);
    case CODE_FACT: return a->field == b->field;
    case CODE_FIELD: return a->field == b->field && same_code(m, a->a, b->a);
    case CODE_BY_KEY:
    case CODE_APPROVAL: return text_equal(*a->text, *b->text) && same_parts(m, a, b);
    case CODE_WITHIN:
    case CODE_ROUND: return same_value(a->value, b->value) && same_parts(m, a, b);
    case CODE_TABLE: return a->table == b->table && same_parts(m, a, b);
    case CODE_WORDS: return a->type.choice == b->type.choice;
    case CODE_BLANK: return false;
    default: return same_parts(m, a, b);
    }
}
