/* Worksheets worked out: a row for each tuple of items, of a worksheet and of each of its
 * schedules. A row whose condition is not known is worked out all the same, and says for what it
 * waits; one row stands for the items that a list may still have. */
#include <string.h>

#include "judge/eval.h"

typedef struct Rows {
    SheetRow *list;
    uint32_t count, cap;
} Rows;

typedef struct RowWalk {
    Eval *e;
    const Worksheet *sheet;
    SheetRow row; /* the items bound so far, and what is not known of them */
    Rows rows;
    const Worksheet *overflow;
} RowWalk;

static SheetRow *add_row(RowWalk *walk)
{
    Rows *rows = &walk->rows;
    if (rows->count == rows->cap) {
        uint32_t cap = rows->cap == 0 ? 8 : rows->cap * 2;
        SheetRow *grown = ARENA_ARRAY(walk->e->arena, SheetRow, cap);
        if (rows->count > 0)
            memcpy(grown, rows->list, rows->count * sizeof *grown);
        rows->list = grown;
        rows->cap = cap;
    }
    rows->list[rows->count] = walk->row;
    return &rows->list[rows->count++];
}

void sheet_bind(Eval *e, const Worksheet *sheet, const SheetRow *row)
{
    uint32_t at = 0;
    for (uint32_t i = 0; i < sheet->each_count; i++) {
        const EachCode *each = &sheet->eachs[i];
        if (at + (each->pair ? 2 : 1) > row->item_count)
            break;
        e->frame[each->slot_a] = value_item(row->items[at++]);
        if (each->pair)
            e->frame[each->slot_b] = value_item(row->items[at++]);
    }
    eval_reset(e);
}

void sheet_step(Eval *e, const StepCode *step, StepResult *out)
{
    out->step = step;
    eval(e, step->value, &out->value);
    if (out->value.kind == VALUE_RANGE)
        number_settle(e, &out->value);
    if (step->line == NULL)
        return;
    eval(e, step->line->measured, &out->measured);
    eval(e, step->line->limit, &out->limit);
    if (out->measured.kind == VALUE_RANGE)
        number_settle(e, &out->measured);
    if (out->limit.kind == VALUE_RANGE)
        number_settle(e, &out->limit);
}

/* Is there such a sheet, for these items? One that may be there is worked out, and waits. */
static bool has_sheet(RowWalk *walk)
{
    eval_reset(walk->e);
    for (uint32_t i = 0; i < walk->sheet->when_count; i++) {
        Value when = eval_truth(walk->e, walk->sheet->whens[i]);
        if (when.truth == TRUTH_FALSE)
            return false;
        if (when.truth == TRUTH_UNKNOWN)
            walk->row.waits = waits_join(walk->e->arena, walk->row.waits, when.waits);
    }
    return true;
}

static void work_out(RowWalk *walk)
{
    const Worksheet *sheet = walk->sheet;
    SheetRow before = walk->row;
    if (!has_sheet(walk)) {
        walk->row = before;
        return;
    }
    StepResult *steps = ARENA_ARRAY(walk->e->arena, StepResult, sheet->step_count + 1);
    eval_reset(walk->e);
    for (uint32_t i = 0; i < sheet->step_count; i++)
        sheet_step(walk->e, &sheet->steps[i], &steps[i]);
    add_row(walk)->steps = steps;
    walk->row = before;
}

/* For all the items that a list may still have. */
static void add_further(RowWalk *walk, const Waits *waits)
{
    SheetRow *row = add_row(walk);
    row->waits = waits_join(walk->e->arena, row->waits, waits);
}

static void walk_rows(RowWalk *walk, uint32_t level);

static void bind_member(RowWalk *walk, uint32_t slot, const Member *member)
{
    walk->e->frame[slot] = value_item(member->item);
    walk->row.items[walk->row.item_count++] = member->item;
    walk->row.waits = waits_join(walk->e->arena, walk->row.waits, member->doubt);
}

/* One item, or a pair (b not NULL): on to the next level when the condition can hold. */
static void bind_row(RowWalk *walk, uint32_t level, const Member *a, const Member *b)
{
    Eval *e = walk->e;
    const EachCode *each = &walk->sheet->eachs[level];
    SheetRow before = walk->row;
    bind_member(walk, each->slot_a, a);
    if (b != NULL)
        bind_member(walk, each->slot_b, b);
    eval_reset(e);
    Value where = value_truth(TRUTH_TRUE, NULL);
    if (each->where != NULL)
        where = eval_truth(e, each->where);
    if (where.truth == TRUTH_UNKNOWN)
        walk->row.waits = waits_join(e->arena, walk->row.waits, where.waits);
    if (where.truth != TRUTH_FALSE)
        walk_rows(walk, level + 1);
    walk->row = before;
}

static bool is_full(RowWalk *walk)
{
    if (walk->rows.count < FINDINGS_MAX)
        return false;
    walk->overflow = walk->sheet;
    return true;
}

static void walk_rows(RowWalk *walk, uint32_t level)
{
    if (level == walk->sheet->each_count) {
        work_out(walk);
        return;
    }
    const EachCode *each = &walk->sheet->eachs[level];
    Value list;
    eval_reset(walk->e);
    eval(walk->e, each->list, &list);
    if ((list.can & CAN_BE_PRESENT) == 0) {
        if (list.waits != NULL)
            add_further(walk, list.waits);
        return;
    }
    const List *members = list.list;
    for (uint32_t i = 0; i < members->count && !is_full(walk); i++) {
        if (!each->pair)
            bind_row(walk, level, &members->members[i], NULL);
        for (uint32_t j = i + 1; each->pair && j < members->count && !is_full(walk); j++)
            bind_row(walk, level, &members->members[i], &members->members[j]);
    }
    if (members->open)
        add_further(walk, members->waits);
}

static Rows rows_of(Eval *e, const Worksheet *sheet, const Worksheet **overflow)
{
    RowWalk walk = {.e = e, .sheet = sheet};
    walk_rows(&walk, 0);
    if (walk.overflow != NULL)
        *overflow = walk.overflow;
    return walk.rows;
}

static void work_schedules(Eval *e, WorksheetResult *result, const Worksheet **overflow)
{
    const Worksheet *sheet = result->worksheet;
    if (result->row.steps == NULL)
        return;
    ScheduleResult *schedules = ARENA_ARRAY(e->arena, ScheduleResult, sheet->schedule_count + 1);
    for (uint32_t i = 0; i < sheet->schedule_count; i++) {
        sheet_bind(e, sheet, &result->row);
        Rows rows = rows_of(e, &sheet->schedules[i], overflow);
        schedules[i] = (ScheduleResult){&sheet->schedules[i], rows.list, rows.count};
    }
    result->schedules = schedules;
    result->schedule_count = sheet->schedule_count;
}

const WorksheetResult *review_worksheets(Arena *arena, const Review *review, const Worksheet *only,
                                         uint32_t *count, const Worksheet **overflow)
{
    Eval *e = eval_new(arena, review->law, review->spec, review->on);
    uint32_t cap = 16;
    WorksheetResult *results = ARENA_ARRAY(arena, WorksheetResult, cap);
    *count = 0;
    *overflow = NULL;
    for (uint32_t i = 0; i < review->law->worksheet_count; i++) {
        const Worksheet *sheet = &review->law->worksheets[i];
        if (only != NULL && only != sheet)
            continue;
        Rows rows = rows_of(e, sheet, overflow);
        if (*count + rows.count > cap) {
            cap = (*count + rows.count) * 2;
            WorksheetResult *grown = ARENA_ARRAY(arena, WorksheetResult, cap);
            memcpy(grown, results, *count * sizeof *grown);
            results = grown;
        }
        for (uint32_t r = 0; r < rows.count; r++) {
            WorksheetResult *result = &results[(*count)++];
            *result = (WorksheetResult){.worksheet = sheet, .row = rows.list[r]};
            work_schedules(e, result, overflow);
        }
    }
    return results;
}
