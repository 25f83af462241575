/* Evaluation of a finding's code once more, outside the review. The items are bound as when the
 * section was judged; definitions are computed anew, since a frame serves one tuple only. */
#include "judge/again.h"

#include "judge/eval.h"

struct Again {
    Eval *e;
};

Again *again_make(Arena *arena, const Review *review, const Finding *finding)
{
    if (finding->text == NULL || finding->list_field != NULL || finding->nothing_to_judge) {
        return NULL;
    }
    Again *again = ARENA_NEW(arena, Again);
    again->e = eval_new(arena, review->law, review->spec, review->on);
    again->e->section = finding->section;
    uint32_t at = 0;
    for (uint32_t i = 0; i < finding->text->each_count; i++) {
        const EachCode *each = &finding->text->eachs[i];
        uint32_t items = each->pair ? 2 : 1;
        if (at + items > finding->item_count) {
            return NULL;
        }
        again_bind(again, each->slot_a, finding->items[at]);
        if (each->pair) {
            again_bind(again, each->slot_b, finding->items[at + 1]);
        }
        at += items;
    }
    return again;
}

Again *again_of_sheet(Arena *arena, const Review *review, const WorksheetResult *sheet)
{
    Again *again = ARENA_NEW(arena, Again);
    again->e = eval_new(arena, review->law, review->spec, review->on);
    again_row(again, sheet->worksheet, &sheet->row);
    return again;
}

void again_row(Again *again, const Worksheet *schedule, const SheetRow *row)
{
    sheet_bind(again->e, schedule, row);
}

void again_bind(Again *again, uint32_t slot, const Item *item)
{
    again->e->frame[slot] = value_item(item);
    eval_reset(again->e);
}

Value again_value(Again *again, const Code *code)
{
    Value value = {0};
    eval(again->e, code, &value);
    if (value.kind == VALUE_RANGE) {
        number_settle(again->e, &value);
    }
    return value;
}
