/* Gathered lists (`every placement`): all items of one record, and of those made as it, from the
 * facts that hold them. What is not stated in any of those facts may hold further items. */
#include "judge/eval.h"

typedef struct Gathering {
    Member *members;
    uint32_t count, cap;
    bool open;
    const Waits *waits;
} Gathering;

static void add_member(Eval *e, Gathering *g, const Item *item, const Waits *doubt)
{
    if (g->count == g->cap) {
        g->cap = g->cap == 0 ? 16 : g->cap * 2;
        Member *grown = ARENA_ARRAY(e->arena, Member, g->cap);
        for (uint32_t i = 0; i < g->count; i++)
            grown[i] = g->members[i];
        g->members = grown;
    }
    g->members[g->count++] = (Member){item, doubt};
}

static void add_source(Eval *e, Gathering *g, const Value *value)
{
    if ((value->can & CAN_BE_PRESENT) == 0)
        return;
    const Waits *doubt = value->can == CAN_BE_PRESENT ? NULL : value->waits;
    if (value->kind == VALUE_ITEM) {
        add_member(e, g, value->item, doubt);
        return;
    }
    const List *list = value->list;
    for (uint32_t i = 0; i < list->count; i++)
        add_member(e, g, list->members[i].item,
                   waits_join(e->arena, list->members[i].doubt, doubt));
    if (list->open) {
        g->open = true;
        g->waits = waits_join(e->arena, g->waits, list->waits);
    }
}

void eval_gather(Eval *e, const Item *unit, const Field *field, Value *out)
{
    if (e->gathered == NULL)
        e->gathered = ARENA_ARRAY(e->arena, Value, unit->record->count);
    Value *kept = &e->gathered[field->index];
    if (kept->can == 0) {
        Gathering g = {0};
        Value of = value_item(unit);
        for (uint32_t i = 0; i < field->source_count; i++) {
            Value source;
            eval_field(e, &of, field->sources[i], &source);
            add_source(e, &g, &source);
        }
        List *list = ARENA_NEW(e->arena, List);
        *list = (List){field->type.record, g.members, g.count, g.open, g.waits};
        *kept = (Value){.kind = VALUE_LIST,
                        .can = CAN_BE_PRESENT,
                        .waits = g.open ? g.waits : NULL,
                        .list = list};
    }
    *out = *kept;
}
