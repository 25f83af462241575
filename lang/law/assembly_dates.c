/* Dates on which a jurisdiction's law may change: where a block of its chain begins, the day after
 * one ends, where one is suspended or revives, whole or in part, where a declaration begins that
 * names a day of its own, and the permit dates that split a text while its block is in force (a
 * unit without a permit is taken as permitted on the day of its review). A date more than the law
 * needs costs a look; one too few would be a finding that changes unannounced. */
#include <stdlib.h>

#include "law/assembly.h"

typedef struct Dates {
    Day *days; /* NULL while they are counted */
    uint32_t count;
    Day after;
} Dates;

static void add_day(Dates *dates, Day day)
{
    if (day > dates->after) {
        if (dates->days != NULL) {
            dates->days[dates->count] = day;
        }
        dates->count++;
    }
}

static void add_day_after(Dates *dates, Day day)
{
    if (day < DAY_FOREVER) {
        add_day(dates, day + 1);
    }
}

/* A day of the block's own that lies in the time while it is in force. */
static void add_day_within(Dates *dates, const BlockRef *ref, Day day)
{
    if (day > ref->from && day <= block_last_day(ref)) {
        add_day(dates, day);
    }
}

/* The day on which a new unit first falls under, or out of, a permit clause; or an existing one. */
static void add_permit(Dates *dates, const BlockRef *ref, const PermitTree *permit)
{
    if (permit->kind != PERMIT_ALL) {
        bool next = permit->kind == PERMIT_NOT_ON && permit->day < DAY_FOREVER;
        add_day_within(dates, ref, next ? permit->day + 1 : permit->day);
    }
}

static void add_change(Dates *dates, const BlockRef *ref, const ChangeTree *change)
{
    if (change->kind == CHANGE_TO_READ) {
        add_permit(dates, ref, &change->body.permit);
    } else if (change->kind == CHANGE_INSERT && change->section != NULL) {
        add_permit(dates, ref, &change->section->body.permit);
    } else if (change->kind == CHANGE_NO_LOCAL || change->kind == CHANGE_PREEMPTS) {
        add_day_within(dates, ref, change->day); /* unsaid: before every block */
    }
}

static void add_gaps(Dates *dates, const Gap *gap)
{
    for (; gap != NULL; gap = gap->next) {
        add_day(dates, gap->from);
        add_day_after(dates, gap->until);
    }
}

static void add_block(Dates *dates, const Library *library, const BlockRef *ref)
{
    add_day(dates, ref->from);
    add_day_after(dates, block_last_day(ref));
    add_gaps(dates, ref->gaps);
    for (const ChangeUnit *unit = ref->units; unit != NULL; unit = unit->next) {
        add_day_after(dates, unit->repealed < DAY_FOREVER ? unit->repealed - 1 : DAY_FOREVER);
        add_gaps(dates, unit->gaps);
    }
    if (block_last_day(ref) < dates->after) {
        return;
    }
    const BlockTree *block = ref->written;
    for (const ChangeTree *change = block->changes; change != NULL; change = change->next) {
        add_change(dates, ref, change);
    }
    const CodeTree *code =
        block->amends ? NULL : library_code(library, block->code, block->edition);
    const SectionTree *section = code == NULL ? NULL : code->sections;
    for (; section != NULL; section = section->next) {
        add_permit(dates, ref, &section->body.permit);
    }
}

static void add_all(Dates *dates, const Assembly *assembly)
{
    dates->count = 0;
    for (uint32_t i = 0; i < assembly->block_count; i++) {
        add_block(dates, assembly->library, &assembly->blocks[i]);
    }
}

static int order_days(const void *left, const void *right)
{
    const Day *a = left;
    const Day *b = right;
    return (*a > *b) - (*a < *b);
}

Day *assembly_dates(const Assembly *assembly, Day after, uint32_t *count)
{
    Dates dates = {NULL, 0, after};
    add_all(&dates, assembly);
    dates.days = ARENA_ARRAY(assembly->arena, Day, dates.count);
    add_all(&dates, assembly);
    qsort(dates.days, dates.count, sizeof *dates.days, order_days);
    *count = 0;
    for (uint32_t i = 0; i < dates.count; i++) {
        if (*count == 0 || dates.days[i] != dates.days[*count - 1]) {
            dates.days[(*count)++] = dates.days[i];
        }
    }
    return dates.days;
}
