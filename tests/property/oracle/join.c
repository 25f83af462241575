/* One law of many files: pieces join the code or jurisdiction that they continue, in order of path; what
 * a piece says of its own sections' standing holds for those; adoptions of each edition are spelt out. */
#include "oracle.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

static void add_all(Vec *to, const Vec *from)
{
    for (int i = 0; i < from->n; i++) {
        vec_add(to, from->at[i]);
    }
}

static void join_holder(Holder *to, const Holder *from)
{
    add_all(&to->defines, &from->defines);
    add_all(&to->tables, &from->tables);
    add_all(&to->sheets, &from->sheets);
    add_all(&to->readings, &from->readings);
}

static void lend_standing(Standing *to, const Standing *from)
{
    to->stage = to->stage == 0 ? from->stage : to->stage;
    to->authority = to->authority == NULL ? from->authority : to->authority;
}

static void stand_sections(const Code *code)
{
    for (int i = 0; i < code->sections.n; i++) {
        lend_standing(&((Section *)code->sections.at[i])->standing, &code->standing);
    }
}

static int code_order(const void *a, const void *b)
{
    const Code *const *x = a;
    const Code *const *y = b;
    return strcmp((*x)->file, (*y)->file);
}

static int jurisdiction_order(const void *a, const void *b)
{
    const Jurisdiction *const *x = a;
    const Jurisdiction *const *y = b;
    return strcmp((*x)->file, (*y)->file);
}

static void put_in_order(Vec *all, int (*order)(const void *, const void *))
{
    if (all->n > 0) {
        qsort(all->at, (size_t)all->n, sizeof *all->at, order);
    }
}

static Code *main_code(const Vec *codes, const Code *piece)
{
    for (int i = 0; i < codes->n; i++) {
        Code *code = codes->at[i];
        if (!code->continued && same(code->name, piece->name) &&
            same(code->edition, piece->edition)) {
            return code;
        }
    }
    give_up("%s: nothing is there for '%s' to continue", piece->file, piece->name);
}

static bool left_out(const Code *code, const Section *s)
{
    for (int i = 0; i < code->without.n; i++) {
        const Target *t = code->without.at[i];
        if (number_covers(t->number, t->part, s->number, s->part)) {
            return true;
        }
    }
    for (int i = 0; i < code->sections.n; i++) {
        const Section *own = code->sections.at[i];
        if (same(own->number, s->number) && same(own->part, s->part)) {
            return true;
        }
    }
    return false;
}

static bool holder_has(const Holder *h, const char *name)
{
    const Vec *all[] = {&h->defines, &h->tables, &h->sheets, &h->readings};
    for (int i = 0; i < all[0]->n; i++) {
        if (same(((const Define *)all[0]->at[i])->name, name)) {
            return true;
        }
    }
    for (int i = 0; i < all[1]->n; i++) {
        if (same(((const Table *)all[1]->at[i])->name, name)) {
            return true;
        }
    }
    for (int i = 0; i < all[2]->n; i++) {
        if (same(((const Worksheet *)all[2]->at[i])->name, name)) {
            return true;
        }
    }
    for (int i = 0; i < all[3]->n; i++) {
        if (same(((const Reading *)all[3]->at[i])->name, name)) {
            return true;
        }
    }
    return false;
}

/* What stands beside the sections of an older edition, but what the new one writes itself. */
static void take_holder(Holder *to, const Holder *from)
{
    const Holder own = *to;
    for (int i = 0; i < from->defines.n; i++) {
        if (!holder_has(&own, ((const Define *)from->defines.at[i])->name)) {
            vec_add(&to->defines, from->defines.at[i]);
        }
    }
    for (int i = 0; i < from->tables.n; i++) {
        if (!holder_has(&own, ((const Table *)from->tables.at[i])->name)) {
            vec_add(&to->tables, from->tables.at[i]);
        }
    }
    for (int i = 0; i < from->sheets.n; i++) {
        if (!holder_has(&own, ((const Worksheet *)from->sheets.at[i])->name)) {
            vec_add(&to->sheets, from->sheets.at[i]);
        }
    }
    for (int i = 0; i < from->readings.n; i++) {
        if (!holder_has(&own, ((const Reading *)from->readings.at[i])->name)) {
            vec_add(&to->readings, from->readings.at[i]);
        }
    }
}

/* An edition that begins as another: with its sections, as they stand before any head speaks for them. */
static void take_edition(const Vec *mains, Code *code)
{
    Code *old = NULL;
    for (int i = 0; i < mains->n; i++) {
        Code *other = mains->at[i];
        old = same(other->name, code->name) && same(other->edition, code->as) ? other : old;
    }
    if (old == NULL || code->taken) {
        give_up("%s: '%s' edition %s begins as nothing, or as itself", code->file, code->name,
                code->edition);
    }
    code->taken = true;
    if (old->as != NULL) {
        take_edition(mains, old);
    }
    const Vec own = code->sections;
    const Code written = {.sections = own, .without = code->without};
    for (int i = 0; i < old->sections.n; i++) {
        if (!left_out(&written, old->sections.at[i])) {
            Section *s = NEW(Section);
            *s = *(const Section *)old->sections.at[i];
            vec_add(&code->sections, s);
        }
    }
    take_holder(&code->holder, &old->holder);
    lend_standing(&code->standing, &old->standing);
    code->units = code->units.n > 0 ? code->units : old->units;
    code->vocabulary = code->vocabulary != NULL ? code->vocabulary : old->vocabulary;
    code->published = code->published != LONG_MIN ? code->published : old->published;
    code->as = NULL; /* done */
}

static void join_codes(Law *law)
{
    Vec all = law->codes, mains = {0};
    for (int i = 0; i < all.n; i++) {
        Code *code = all.at[i];
        if (code->continued) {
            stand_sections(code);
        } else {
            vec_add(&mains, code);
        }
    }
    put_in_order(&all, code_order);
    for (int i = 0; i < all.n; i++) {
        Code *piece = all.at[i];
        if (piece->continued) {
            Code *code = main_code(&mains, piece);
            add_all(&code->sections, &piece->sections);
            add_all(&code->examples, &piece->examples);
            add_all(&code->without, &piece->without);
            join_holder(&code->holder, &piece->holder);
        }
    }
    for (int i = 0; i < mains.n; i++) {
        Code *code = mains.at[i];
        if (code->as != NULL) {
            take_edition(&mains, code);
        }
    }
    for (int i = 0; i < mains.n; i++) {
        stand_sections(mains.at[i]);
    }
    law->codes = mains;
}

static Jurisdiction *main_jurisdiction(const Vec *all, const Jurisdiction *piece)
{
    for (int i = 0; i < all->n; i++) {
        Jurisdiction *j = all->at[i];
        if (!j->continued && same(j->name, piece->name)) {
            return j;
        }
    }
    give_up("%s: nothing is there for '%s' to continue", piece->file, piece->name);
}

static void join_jurisdictions(Law *law)
{
    Vec all = law->jurisdictions, mains = {0};
    for (int i = 0; i < all.n; i++) {
        if (!((const Jurisdiction *)all.at[i])->continued) {
            vec_add(&mains, all.at[i]);
        }
    }
    put_in_order(&all, jurisdiction_order);
    for (int i = 0; i < all.n; i++) {
        const Jurisdiction *piece = all.at[i];
        if (piece->continued) {
            Jurisdiction *j = main_jurisdiction(&mains, piece);
            add_all(&j->blocks, &piece->blocks);
            add_all(&j->examples, &piece->examples);
            join_holder(&j->holder, &piece->holder);
        }
    }
    law->jurisdictions = mains;
}

/* The next such day after a day. */
static long next_such_day(const Block *block, long after)
{
    long year = 1970 + after / 366;
    while (date_days(year, block->month, block->day) <= after) {
        year++;
    }
    return date_days(year, block->month, block->day);
}

static void spell_out(const Law *law, const Block *block, Vec *blocks)
{
    for (int i = 0; i < law->codes.n; i++) {
        const Code *code = law->codes.at[i];
        if (same(code->name, block->code) && code->published != LONG_MIN) {
            Block *one = NEW(Block);
            *one = *block;
            one->edition = code->edition;
            one->from = next_such_day(block, code->published);
            vec_add(blocks, one);
        }
    }
}

/* Sections that a jurisdiction inserts have the standing of the code, where they say none. */
static void stand_inserted(const Law *law, const Block *block)
{
    for (int i = 0; i < block->changes.n; i++) {
        const Change *c = block->changes.at[i];
        for (int k = 0; c->kind == CHANGE_INSERT && k < law->codes.n; k++) {
            const Code *code = law->codes.at[k];
            if (same(code->name, block->code) && same(code->edition, block->edition)) {
                lend_standing(&c->section->standing, &code->standing);
            }
        }
    }
}

void law_join(Law *law)
{
    join_codes(law);
    join_jurisdictions(law);
    for (int i = 0; i < law->jurisdictions.n; i++) {
        Jurisdiction *j = law->jurisdictions.at[i];
        Vec blocks = {0};
        for (int k = 0; k < j->blocks.n; k++) {
            const Block *block = j->blocks.at[k];
            if (block->month != 0) {
                spell_out(law, block, &blocks);
            } else {
                stand_inserted(law, block);
                vec_add(&blocks, j->blocks.at[k]);
            }
        }
        j->blocks = blocks;
    }
}
