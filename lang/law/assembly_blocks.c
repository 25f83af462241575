/* Blocks: the ordinances of all levels, each with the days on which it is in force.
 *
 * Takes the blocks as written; gives them in order of code, level, date and writing: a rolling
 * adoption as one block for each edition, and the others with what acts on acts make of their
 * dates. A block that an act has changed is a copy, so that whoever reads it finds the days that
 * hold; the rest are the trees of the files. The days themselves do not depend on the date of the
 * review; only whether a suspended block or a part of one is in force is seen from that date. */
#include <stdlib.h>

#include "law/assembly.h"

typedef struct BlockList {
    BlockRef *refs; /* NULL while they are counted */
    uint32_t count;
} BlockList;

static void add_ref(BlockList *list, const BlockRef *ref)
{
    if (list->refs != NULL) {
        list->refs[list->count] = *ref;
    }
    list->count++;
}

/* ---- rolling adoptions ---- */

static bool is_real(int year, int month, int day)
{
    return month != 2 || day != 29 || date_day(year, 2, 29) != date_day(year, 3, 1);
}

/* The first rolling day of the block strictly after another day. */
static Day next_rolling_day(const BlockTree *block, Day after)
{
    int year = 1970 + after / (after < 0 ? 365 : 366) - 2; /* that year or one before it */
    for (;; year++) {
        if (is_real(year, block->rolling_month, block->rolling_day)) {
            Day day = date_day(year, block->rolling_month, block->rolling_day);
            if (day > after) {
                return day;
            }
        }
    }
}

static void report_unpublished(Assembly *assembly, const BlockTree *block, const CodeTree *code)
{
    Diagnostic *diag = diagnostic_error(assembly->diags, "publication not said",
                                        (Place){code->source, code->name_span},
                                        "'%.*s' edition '%.*s' does not say when it was published",
                                        TEXT_ARG(code->name->text), TEXT_ARG(code->edition));
    diagnostic_note(assembly->diags, diag, (Place){block->source, block->code_span},
                    "each edition is adopted here, from a day after its publication");
    diagnostic_note(assembly->diags, diag, (Place){NULL, {0, 0}},
                    "write 'published DATE' in the code");
}

static void report_none_published(Assembly *assembly, const BlockTree *block, uint32_t first)
{
    const Library *library = assembly->library;
    Diagnostic *diag = diagnostic_error(
        assembly->diags, "no edition published", (Place){block->source, block->code_span},
        "each edition of '%.*s' is adopted, and none says when it was published",
        TEXT_ARG(block->code->text));
    for (uint32_t i = first; i < library->code_count && library->codes[i]->name == block->code;
         i++) {
        const CodeTree *code = library->codes[i];
        diagnostic_note(assembly->diags, diag, (Place){code->source, code->name_span},
                        "edition '%.*s' is here", TEXT_ARG(code->edition));
    }
    diagnostic_note(assembly->diags, diag, (Place){NULL, {0, 0}},
                    "write 'published DATE' in the code");
}

static void add_edition(Assembly *assembly, BlockList *list, const BlockRef *ref,
                        const CodeTree *code)
{
    BlockRef edition = *ref;
    if (list->refs != NULL) {
        BlockTree *block = ARENA_NEW(assembly->arena, BlockTree);
        *block = *ref->block;
        block->edition = code->edition;
        block->from = next_rolling_day(block, code->published);
        edition.block = block;
    }
    add_ref(list, &edition);
}

static void add_rolling(Assembly *assembly, BlockList *list, const BlockRef *ref)
{
    const Library *library = assembly->library;
    const BlockTree *block = ref->block;
    if (block->rolling_day == 0 || block->rolling_month == 0) {
        return; /* after a message about the day */
    }
    uint32_t first = 0;
    while (first < library->code_count && library->codes[first]->name != block->code) {
        first++;
    }
    bool counted = list->refs == NULL;
    uint32_t before = list->count;
    uint32_t end = first;
    for (; end < library->code_count && library->codes[end]->name == block->code; end++) {
        if (library->codes[end]->published != DAY_UNSAID) {
            add_edition(assembly, list, ref, library->codes[end]);
        }
    }
    if (counted || first == end) {
        return; /* an unknown code is the library's to report */
    }
    if (list->count == before) {
        report_none_published(assembly, block, first);
        return;
    }
    for (uint32_t i = first; i < end; i++) {
        if (library->codes[i]->published == DAY_UNSAID) {
            report_unpublished(assembly, block, library->codes[i]);
        }
    }
}

/* ---- as written ---- */

static void add_all(Assembly *assembly, BlockList *list)
{
    list->count = 0;
    for (uint32_t level = 0; level < assembly->level_count; level++) {
        const BlockTree *block = assembly->levels[level]->blocks;
        for (uint32_t order = 0; block != NULL; block = block->next, order++) {
            BlockRef ref = {.block = block,
                            .jurisdiction = assembly->levels[level],
                            .level = level,
                            .order = order};
            if (block->code != NULL && block->rolling) {
                add_rolling(assembly, list, &ref);
            } else if (block->code != NULL) {
                add_ref(list, &ref);
            }
        }
    }
}

static int order_numbers(int64_t a, int64_t b)
{
    return (a > b) - (a < b);
}

static int order_refs(const void *left, const void *right)
{
    const BlockRef *a = left;
    const BlockRef *b = right;
    int order = text_order(a->block->code->text, b->block->code->text);
    if (order == 0) {
        order = order_numbers(a->level, b->level);
    }
    if (order == 0) {
        order = order_numbers(a->from, b->from);
    }
    if (order == 0) {
        order = order_numbers(a->order, b->order);
    }
    return order != 0 ? order : text_order(a->block->edition, b->block->edition);
}

static BlockList collect_blocks(Assembly *assembly)
{
    BlockList list = {NULL, 0};
    add_all(assembly, &list);
    list.refs = ARENA_ARRAY(assembly->arena, BlockRef, list.count);
    add_all(assembly, &list);
    for (uint32_t i = 0; i < list.count; i++) {
        BlockRef *ref = &list.refs[i];
        ref->written = ref->block;
        ref->said = ref->from = ref->block->from;
        ref->until = ref->block->until;
        ref->until_place = (Place){ref->block->source, ref->block->until_span};
        ref->repealed = DAY_FOREVER;
    }
    qsort(list.refs, list.count, sizeof *list.refs, order_refs);
    return list;
}

/* ---- as they stand on the date ---- */

Day gaps_first_day(const Gap *gaps, Day from)
{
    for (; gaps != NULL && from < DAY_FOREVER; gaps = gaps->next) {
        if (gaps->from <= from && from <= gaps->until) {
            from = gaps->until < DAY_FOREVER ? gaps->until + 1 : DAY_FOREVER;
        }
    }
    return from;
}

Day block_last_day(const BlockRef *ref)
{
    bool repealed = ref->repealed < DAY_FOREVER && ref->repealed <= ref->until;
    return repealed ? ref->repealed - 1 : ref->until;
}

/* The last day of what begins on `from`, as seen on a day: the day before a suspension in which
 * that day lies. */
static Day last_day_seen(const BlockRef *ref, Day from, Day on)
{
    Day until = block_last_day(ref);
    for (const Gap *gap = ref->gaps; gap != NULL; gap = gap->next) {
        if (gap->from > from && gap->from <= on && on <= gap->until && gap->from <= until) {
            until = gap->from - 1;
        }
    }
    return until;
}

static BlockTree *copy_block(Assembly *assembly, const BlockRef *ref, Day from)
{
    BlockTree *block = ARENA_NEW(assembly->arena, BlockTree);
    *block = *ref->block;
    block->from = from;
    block->until = last_day_seen(ref, from, assembly->on);
    block->next = NULL;
    return block;
}

static bool is_out(const ChangeUnit *unit, Day on)
{
    bool out = unit->repealed <= on;
    for (const Gap *gap = unit->gaps; gap != NULL; gap = gap->next) {
        out = out || (gap->from > unit->from && gap->from <= on && on <= gap->until);
    }
    return out;
}

/* The units of one change that begin on `from` and are in force on the date: the change itself,
 * one with fewer targets, or NULL. */
static ChangeTree *copy_change(Assembly *assembly, const ChangeTree *change,
                               const ChangeUnit *units, Day from)
{
    TargetTree *targets = NULL;
    TargetTree **end = &targets;
    bool any = false;
    for (; units != NULL && units->change == change; units = units->next) {
        assembly->steps++;
        if (units->from != from || is_out(units, assembly->on)) {
            continue;
        }
        any = true;
        if (units->target != NULL) {
            *end = ARENA_NEW(assembly->arena, TargetTree);
            **end = *units->target;
            (*end)->next = NULL;
            end = &(*end)->next;
        }
    }
    if (!any) {
        return NULL;
    }
    ChangeTree *copy = ARENA_NEW(assembly->arena, ChangeTree);
    *copy = *change;
    copy->targets = targets;
    return copy;
}

/* Of a block of which parts are repealed, the changes that begin on `from`; `own`: with those that
 * are no section's. */
static ChangeTree *copy_changes(Assembly *assembly, const BlockRef *ref, Day from, bool own)
{
    ChangeTree *first = NULL;
    ChangeTree **end = &first;
    const ChangeUnit *units = ref->units;
    for (const ChangeTree *change = ref->block->changes; change != NULL; change = change->next) {
        ChangeTree *copy = NULL;
        if (units != NULL && units->change == change) {
            copy = copy_change(assembly, change, units, from);
            while (units != NULL && units->change == change) {
                units = units->next;
            }
        } else if (own) {
            copy = ARENA_NEW(assembly->arena, ChangeTree);
            *copy = *change;
        }
        if (copy != NULL) {
            *end = copy;
            end = &copy->next;
            copy->next = NULL;
        }
    }
    return first;
}

/* The next day after `from` on which a part of the block begins that was suspended before it
 * began; DAY_FOREVER when there is none. */
static Day next_beginning(const BlockRef *ref, Day from)
{
    Day next = DAY_FOREVER;
    for (const ChangeUnit *unit = ref->units; unit != NULL; unit = unit->next) {
        if (unit->from > from && unit->from < next) {
            next = unit->from;
        }
    }
    return next;
}

/* Parts that begin later than their block, as a block of their own that adopts nothing. */
static void put_late_parts(Assembly *assembly, BlockList *out, const BlockRef *ref)
{
    for (Day from = next_beginning(ref, ref->from); from < DAY_FOREVER;
         from = next_beginning(ref, from)) {
        BlockTree *block = copy_block(assembly, ref, from);
        block->amends = true;
        block->changes = copy_changes(assembly, ref, from, false);
        if (block->changes == NULL || block->until < from) {
            continue;
        }
        BlockRef part = *ref;
        part.block = part.written = block;
        part.from = from;
        part.units = NULL;
        add_ref(out, &part);
    }
}

static void put_block(Assembly *assembly, BlockList *out, const BlockRef *ref)
{
    if (ref->from > ref->until || ref->repealed <= ref->from || ref->from == DAY_FOREVER) {
        return; /* it never takes effect */
    }
    for (ChangeUnit *unit = ref->units; unit != NULL; unit = unit->next) {
        unit->from = gaps_first_day(ref->gaps, unit->from > ref->from ? unit->from : ref->from);
    }
    BlockRef put = *ref;
    Day until = last_day_seen(ref, ref->from, assembly->on);
    if (ref->from != ref->block->from || until != ref->block->until || ref->units != NULL) {
        BlockTree *block = copy_block(assembly, ref, ref->from);
        if (ref->units != NULL) {
            block->changes = copy_changes(assembly, ref, ref->from, true);
        }
        put.block = block;
    }
    add_ref(out, &put);
    put_late_parts(assembly, out, ref);
}

static uint32_t count_units(const BlockRef *ref)
{
    uint32_t count = 0;
    for (const ChangeUnit *unit = ref->units; unit != NULL; unit = unit->next) {
        count++;
    }
    return count;
}

void assembly_find_blocks(Assembly *assembly)
{
    BlockList written = collect_blocks(assembly);
    uint32_t room = written.count;
    for (uint32_t start = 0, end = 0; start < written.count; start = end) {
        const BlockRef *first = &written.refs[start];
        while (end < written.count && written.refs[end].block->code == first->block->code &&
               written.refs[end].level == first->level) {
            end++;
        }
        assembly_settle_acts(assembly, written.refs + start, end - start);
        for (uint32_t i = start; i < end; i++) {
            room += count_units(&written.refs[i]);
        }
    }
    BlockList out = {ARENA_ARRAY(assembly->arena, BlockRef, room), 0};
    for (uint32_t i = 0; i < written.count; i++) {
        put_block(assembly, &out, &written.refs[i]);
    }
    qsort(out.refs, out.count, sizeof *out.refs, order_refs);
    assembly->blocks = out.refs;
    assembly->block_count = out.count;
}
