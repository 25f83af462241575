/* The each lines of a section or worksheet: the items of which it is judged once per tuple. */
#include "law/check.h"

static uint32_t count_eachs(const EachTree *each)
{
    uint32_t count = 0;
    for (; each != NULL; each = each->next) {
        count++;
    }
    return count;
}

static void check_each(Check *c, const EachTree *each, EachCode *out)
{
    uint32_t mark = c->absent_count;
    const Code *list = check_list(c, each->list);
    Type type = is_bad(list) ? type_of_class(CLASS_BAD)
                             : (Type){.class = CLASS_ITEM, .record = list->type.record};
    out->pair = each->pair;
    out->list = list;
    out->tree = each;
    out->slot_a = variable_bind(c, each->a, each->a_span, type)->slot;
    out->slot_b = each->pair ? variable_bind(c, each->b, each->b_span, type)->slot : 0;
    c->text_variables = c->context.variables;
    if (each->where != NULL) {
        out->where = check_condition(c, each->where);
        (void)guards_push(c, out->where, true);
    }
    (void)guards_push_member(c, list);
    absents_unanswered(c, mark);
}

EachCode *check_eachs(Check *c, const EachTree *tree, uint32_t *count)
{
    uint32_t items = 0;
    *count = 0;
    EachCode *eachs = ARENA_ARRAY(c->arena, EachCode, count_eachs(tree) + 1);
    for (const EachTree *each = tree; each != NULL; each = each->next) {
        items += each->pair ? 2 : 1;
        if (items > EACH_ITEMS_MAX) {
            diagnostic_error(c->diags, "too many items", check_place(c, each->span),
                             "a section is judged of at most %d items at once", EACH_ITEMS_MAX);
            break;
        }
        check_each(c, each, &eachs[(*count)++]);
    }
    return eachs;
}
