/* Dates on which a jurisdiction's law may change: where a block of its chain begins, the day after
 * one ends, and the permit dates that split a text while its block is in force (a unit without a
 * permit is taken as permitted on the day of its review). A date more than the law needs costs a
 * look; one too few would be a finding that changes unannounced. */
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

/* The day on which a new unit first falls under, or out of, a permit clause. */
static void add_permit(Dates *dates, const BlockTree *block, const PermitTree *permit)
{
    if (permit->kind == PERMIT_ALL) {
        return;
    }
    Day day =
        permit->kind == PERMIT_NOT_ON && permit->day < DAY_FOREVER ? permit->day + 1 : permit->day;
    if (day > block->from && day <= block->until) {
        add_day(dates, day);
    }
}

static void add_block(Dates *dates, const Library *library, const BlockTree *block)
{
    add_day(dates, block->from);
    if (block->until < DAY_FOREVER) {
        add_day(dates, block->until + 1);
    }
    if (block->until < dates->after) {
        return;
    }
    for (const ChangeTree *change = block->changes; change != NULL; change = change->next) {
        if (change->kind == CHANGE_TO_READ) {
            add_permit(dates, block, &change->body.permit);
        } else if (change->kind == CHANGE_INSERT && change->section != NULL) {
            add_permit(dates, block, &change->section->body.permit);
        }
    }
    const CodeTree *code = block->amends || block->code == NULL
                               ? NULL
                               : library_code(library, block->code, block->edition);
    const SectionTree *section = code == NULL ? NULL : code->sections;
    for (; section != NULL; section = section->next) {
        add_permit(dates, block, &section->body.permit);
    }
}

static void add_all(Dates *dates, const Library *library, const JurisdictionTree *const *levels,
                    uint32_t level_count)
{
    dates->count = 0;
    for (uint32_t level = 0; level < level_count; level++) {
        const BlockTree *block = levels[level]->blocks;
        for (; block != NULL; block = block->next) {
            add_block(dates, library, block);
        }
    }
}

static int order_days(const void *left, const void *right)
{
    const Day *a = left;
    const Day *b = right;
    return (*a > *b) - (*a < *b);
}

Day *assembly_dates(Arena *arena, const Library *library, const JurisdictionTree *const *levels,
                    uint32_t level_count, Day after, uint32_t *count)
{
    Dates dates = {NULL, 0, after};
    add_all(&dates, library, levels, level_count);
    dates.days = ARENA_ARRAY(arena, Day, dates.count);
    add_all(&dates, library, levels, level_count);
    qsort(dates.days, dates.count, sizeof *dates.days, order_days);
    *count = 0;
    for (uint32_t i = 0; i < dates.count; i++) {
        if (*count == 0 || dates.days[i] != dates.days[*count - 1]) {
            dates.days[(*count)++] = dates.days[i];
        }
    }
    return dates.days;
}
