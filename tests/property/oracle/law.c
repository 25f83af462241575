/* The law in force in a jurisdiction on a day: adopted codes, changed level by level from the outside
 * in, and in a level in order of date. */
#include "oracle.h"

#include <limits.h>
#include <string.h>

typedef struct Adoption {
    const char *code, *edition;
    long from;
} Adoption;

typedef struct Floor {
    const char *code;
    const Target *target;
    int level;
} Floor;

typedef struct Assembly {
    const Law *law;
    const char *jurisdiction;
    long day;
    Vec levels; /* Jurisdiction, from the outside in */
    Vec actives, adoptions, floors, readings;
    int level;
} Assembly;

typedef struct Dated {
    const Block *block;
    const Change *change;
} Dated;

bool number_covers(const char *number, const char *part, const char *of_number, const char *of_part)
{
    size_t n = strlen(number);
    if (strncmp(number, of_number, n) != 0 || (part != NULL && !same(part, of_part))) {
        return false;
    }
    char next = of_number[n];
    bool alike = (next >= '0' && next <= '9') || (next >= 'a' && next <= 'z') ||
                 (next >= 'A' && next <= 'Z');
    return !alike;
}

Vec law_chain(const Law *law, const char *jurisdiction)
{
    Vec chain = {0};
    while (jurisdiction != NULL && chain.n < 16) {
        Jurisdiction *found = NULL;
        for (int i = 0; i < law->jurisdictions.n; i++) {
            Jurisdiction *j = law->jurisdictions.at[i];
            found = same(j->name, jurisdiction) ? j : found;
        }
        if (found == NULL) {
            give_up("no jurisdiction is called '%s'", jurisdiction);
        }
        vec_add(&chain, found);
        jurisdiction = found->within;
    }
    return chain;
}

static const Code *code_find(const Law *law, const char *name, const char *edition)
{
    for (int i = 0; i < law->codes.n; i++) {
        const Code *code = law->codes.at[i];
        if (same(code->name, name) && same(code->edition, edition)) {
            return code;
        }
    }
    give_up("no code is called '%s' edition %s", name, edition);
}

static const Holder *holder_with(const Holder *own, const Holder *next)
{
    Holder *h = NEW(Holder);
    *h = *own;
    h->next = next;
    return h;
}

/* The names a text of this level sees: the level's, those of the levels around it, the code's. */
static const Holder *level_holders(const Assembly *a, const Code *code)
{
    const Holder *h = holder_with(&code->holder, NULL);
    for (int i = 0; i <= a->level; i++) {
        h = holder_with(&((const Jurisdiction *)a->levels.at[i])->holder, h);
    }
    return h;
}

/* "for units permitted ..." leaves the former text to the other units; "not for units" leaves none. */
bool permit_chooses(const Permit *permit)
{
    return permit->kind == PERMIT_FROM || permit->kind == PERMIT_BEFORE;
}

static bool leaves_former(const Section *s)
{
    for (int i = 0; i < s->permits.n; i++) {
        if (permit_chooses(s->permits.at[i])) {
            return true;
        }
    }
    return false;
}

static Active *active_new(const Section *text, const Code *code, const Holder *holders)
{
    Active *active = NEW(Active);
    active->text = text;
    active->code = code;
    active->holders = holders;
    return active;
}

Vec law_of_code(const Code *code)
{
    Vec actives = {0};
    const Holder *holders = holder_with(&code->holder, NULL);
    for (int i = 0; i < code->sections.n; i++) {
        vec_add(&actives, active_new(code->sections.at[i], code, holders));
    }
    return actives;
}

static Adoption *adoption_of(const Assembly *a, const char *code)
{
    for (int i = 0; i < a->adoptions.n; i++) {
        Adoption *adoption = a->adoptions.at[i];
        if (same(adoption->code, code)) {
            return adoption;
        }
    }
    return NULL;
}

static void drop_code(Assembly *a, const char *code)
{
    int n = 0;
    for (int i = 0; i < a->actives.n; i++) {
        if (!same(((const Active *)a->actives.at[i])->code->name, code)) {
            a->actives.at[n++] = a->actives.at[i];
        }
    }
    a->actives.n = n;
}

static void adopt(Assembly *a, const Block *block)
{
    const Code *code = code_find(a->law, block->code, block->edition);
    Adoption *adoption = adoption_of(a, block->code);
    if (adoption == NULL) {
        adoption = NEW(Adoption);
        vec_add(&a->adoptions, adoption);
    } else if (same(adoption->edition, block->edition)) {
        return;
    }
    *adoption = (Adoption){block->code, block->edition, block->from};
    drop_code(a, block->code);
    Vec sections = law_of_code(code);
    for (int i = 0; i < sections.n; i++) {
        Active *active = sections.at[i];
        active->changed = a->level;
        active->since = block->from;
        vec_add(&a->actives, active);
    }
}

/* Of the blocks of one level that adopt a code and are in force, the latest. */
static void adopt_level(Assembly *a, const Jurisdiction *j)
{
    for (int i = 0; i < j->blocks.n; i++) {
        const Block *block = j->blocks.at[i];
        bool latest = block->adopts && block->from <= a->day && a->day <= block->until;
        for (int k = 0; latest && k < j->blocks.n; k++) {
            const Block *other = j->blocks.at[k];
            latest = !(other->adopts && same(other->code, block->code) && other->from <= a->day &&
                       a->day <= other->until && other->from > block->from);
        }
        if (latest) {
            adopt(a, block);
        }
    }
}

/* Was this edition in force before the present one? */
static bool gave_way(const Assembly *a, const Block *block, long from)
{
    for (int i = 0; i < a->levels.n; i++) {
        const Jurisdiction *j = a->levels.at[i];
        for (int k = 0; k < j->blocks.n; k++) {
            const Block *other = j->blocks.at[k];
            if (other->adopts && same(other->code, block->code) &&
                same(other->edition, block->edition) && other->from < from) {
                return true;
            }
        }
    }
    return false;
}

static bool change_counts(const Assembly *a, const Block *block, const Change *change)
{
    const Adoption *adoption = adoption_of(a, block->code);
    if (adoption == NULL || block->from > a->day) {
        return false;
    }
    if (same(adoption->edition, block->edition)) {
        return a->day <= block->until;
    }
    return change->carries && (block->adopts || a->day <= block->until) &&
           gave_way(a, block, adoption->from);
}

static Vec level_changes(const Assembly *a, const Jurisdiction *j)
{
    Vec changes = {0};
    for (int i = 0; i < j->blocks.n; i++) {
        const Block *block = j->blocks.at[i];
        for (int k = 0; k < block->changes.n; k++) {
            if (!change_counts(a, block, block->changes.at[k])) {
                continue;
            }
            Dated *dated = NEW(Dated);
            *dated = (Dated){block, block->changes.at[k]};
            vec_add(&changes, dated);
            for (int m = changes.n - 1; m > 0; m--) {
                Dated *before = changes.at[m - 1];
                if (before->block->from <= block->from) {
                    break;
                }
                changes.at[m] = before;
                changes.at[m - 1] = dated;
            }
        }
    }
    return changes;
}

/* A text that a level above protects stays in force beside the local one. */
static void keep_upper(Assembly *a, const Active *old)
{
    for (int i = 0; i < a->floors.n; i++) {
        const Floor *floor = a->floors.at[i];
        if (floor->level < a->level && old->changed <= floor->level &&
            same(floor->code, old->code->name) &&
            number_covers(floor->target->number, floor->target->part, old->text->number,
                          old->text->part)) {
            Active *upper = NEW(Active);
            *upper = *old;
            upper->kept = true;
            vec_add(&a->actives, upper);
            return;
        }
    }
}

static const char *edition_of(const Assembly *a, const Block *block)
{
    const Adoption *adoption = adoption_of(a, block->code);
    return adoption == NULL ? block->edition : adoption->edition;
}

/* A change that was carried over makes a new text on the day of the new edition. */
static long text_since(const Assembly *a, const Block *block)
{
    const Adoption *adoption = adoption_of(a, block->code);
    return adoption != NULL && adoption->from > block->from ? adoption->from : block->from;
}

static Active *amended_one(const Assembly *a, const Dated *d)
{
    const Target *t = d->change->targets.at[0];
    bool carried =
        d->change->carries_to != NULL && !same(edition_of(a, d->block), d->block->edition);
    const char *number = carried ? d->change->carries_to : t->number;
    for (int i = 0; i < a->actives.n; i++) {
        Active *active = a->actives.at[i];
        if (!active->kept && same(active->code->name, d->block->code) &&
            same(active->text->number, number) &&
            (t->part == NULL || same(active->text->part, t->part))) {
            return active;
        }
    }
    give_up("no section '%s' is there to be amended", number);
}

static Section *body_replaced(const Section *old, const Section *body)
{
    Section *s = NEW(Section);
    *s = *body;
    s->number = old->number;
    s->part = old->part;
    s->stage = old->stage;
    s->notwithstanding = old->notwithstanding;
    return s;
}

static void amend_text(Assembly *a, const Dated *d)
{
    Active *active = amended_one(a, d);
    Active *old = NEW(Active);
    *old = *active;
    keep_upper(a, old);
    active->text = body_replaced(old->text, d->change->section);
    active->holders = level_holders(a, active->code);
    active->former = leaves_former(active->text) ? old : NULL;
    active->since = text_since(a, d->block);
    active->changed = a->level;
}

static bool is_limit_line(const Line *line, const char *label)
{
    bool comparison = line->expr != NULL && line->expr->op >= OP_LE && line->expr->op <= OP_NE;
    return label != NULL ? same(line->label, label) : comparison;
}

static void amend_limit(Assembly *a, const Dated *d)
{
    Active *active = amended_one(a, d);
    keep_upper(a, active);
    active->changed = a->level;
    active->since = text_since(a, d->block);
    Section *s = NEW(Section);
    *s = *active->text;
    s->lines = (Vec){0};
    for (int i = 0; i < active->text->lines.n; i++) {
        Line *line = NEW(Line);
        *line = *(const Line *)active->text->lines.at[i];
        if (is_limit_line(line, d->change->label)) {
            Expr *e = NEW(Expr), *limit = expr_new(OP_IN_SCOPE, d->change->limit, NULL);
            *e = *line->expr;
            limit->holders = level_holders(a, active->code);
            e->b = d->change->limit->op == OP_NAME ? d->change->limit : limit;
            line->expr = e;
        }
        vec_add(&s->lines, line);
    }
    active->text = s;
}

static void delete_covered(Assembly *a, const Dated *d)
{
    Vec actives = a->actives;
    a->actives = (Vec){0};
    for (int i = 0; i < actives.n; i++) {
        Active *active = actives.at[i];
        bool covered = false;
        for (int k = 0; k < d->change->targets.n; k++) {
            const Target *t = d->change->targets.at[k];
            covered = covered ||
                      number_covers(t->number, t->part, active->text->number, active->text->part);
        }
        if (!covered || active->kept || !same(active->code->name, d->block->code)) {
            vec_add(&a->actives, active);
        } else {
            keep_upper(a, active);
        }
    }
}

static void insert_section(Assembly *a, const Dated *d, const Code *code)
{
    Active *active = active_new(d->change->section, code, level_holders(a, code));
    active->since = text_since(a, d->block);
    active->changed = a->level;
    vec_add(&a->actives, active);
}

static void apply(Assembly *a, const Dated *d)
{
    const Change *c = d->change;
    const Code *code = code_find(a->law, d->block->code, edition_of(a, d->block));
    switch (c->kind) {
    case CHANGE_READ: amend_text(a, d); break;
    case CHANGE_LIMIT: amend_limit(a, d); break;
    case CHANGE_DELETE: delete_covered(a, d); break;
    case CHANGE_INSERT: insert_section(a, d, code); break;
    case CHANGE_READING: {
        Dated *copy = NEW(Dated);
        *copy = *d;
        vec_add(&a->readings, copy);
        break;
    }
    case CHANGE_FLOOR:
        for (int i = 0; i < c->targets.n; i++) {
            Floor *floor = NEW(Floor);
            *floor = (Floor){d->block->code, c->targets.at[i], a->level};
            vec_add(&a->floors, floor);
        }
        break;
    case CHANGE_NONE: break;
    }
}

static bool reading_of(const Vec *readings, const char *name)
{
    for (int i = 0; i < readings->n; i++) {
        if (same(((const Reading *)readings->at[i])->name, name)) {
            return true;
        }
    }
    return false;
}

static void set_reading(Active *active, const char *reading)
{
    for (; active != NULL; active = active->former) {
        if (reading_of(&active->text->readings, reading)) {
            active->reading = reading;
        }
        if (reading_of(&active->code->holder.readings, reading)) {
            active->shared = reading;
        }
    }
}

static void apply_reading(Assembly *a, const Dated *d)
{
    for (int i = 0; i < a->actives.n; i++) {
        Active *active = a->actives.at[i];
        bool named = d->change->targets.n == 0 && same(active->code->name, d->block->code);
        for (int k = 0; k < d->change->targets.n; k++) {
            const Target *t = d->change->targets.at[k];
            named = named ||
                    number_covers(t->number, t->part, active->text->number, active->text->part);
        }
        if (named) {
            set_reading(active, d->change->reading);
        }
    }
}

Vec law_in_force(const Law *law, const char *jurisdiction, long day)
{
    Assembly a = {.law = law, .jurisdiction = jurisdiction, .day = day};
    Vec chain = law_chain(law, jurisdiction);
    for (int i = chain.n - 1; i >= 0; i--) {
        vec_add(&a.levels, chain.at[i]);
    }
    for (a.level = 0; a.level < a.levels.n; a.level++) {
        const Jurisdiction *j = a.levels.at[a.level];
        adopt_level(&a, j);
        Vec changes = level_changes(&a, j);
        for (int i = 0; i < changes.n; i++) {
            apply(&a, changes.at[i]);
        }
    }
    for (int i = 0; i < a.readings.n; i++) {
        apply_reading(&a, a.readings.at[i]);
    }
    return a.actives;
}
