/* The law in force in a jurisdiction on a day: adopted codes, changed level by level from the outside
 * in, and in a level in order of date. */
#include "law.h"

#include <limits.h>
#include <string.h>

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

/* A topic and those below it. */
bool topic_covers(const char *topic, const char *of)
{
    size_t n = strlen(topic);
    return of != NULL && strncmp(topic, of, n) == 0 && (of[n] == '\0' || of[n] == '.');
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

const Code *code_find(const Law *law, const char *name, const char *edition)
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
const Holder *level_holders(const Assembly *a, const Code *code)
{
    const Holder *h = holder_with(&code->holder, NULL);
    for (int i = 0; i <= a->level; i++) {
        h = holder_with(&((const Jurisdiction *)a->levels.at[i])->holder, h);
    }
    return h;
}

/* These leave the former text to the other units; "not for units" leaves none. */
bool permit_chooses(const Permit *permit)
{
    return permit->kind == PERMIT_FROM || permit->kind == PERMIT_BEFORE ||
           permit->kind == PERMIT_EXISTING;
}

Active *active_new(const Section *text, const Code *code, const Holder *holders)
{
    Active *active = NEW(Active);
    active->text = text;
    active->number = text->number;
    active->part = text->part;
    active->code = code;
    active->holders = holders;
    active->gates[0] = (Gate){&code->units, holders};
    active->not_waived = text->not_waived;
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

/* ---- adoption ---- */

const Adoption *adoption_of(const Assembly *a, const char *code)
{
    for (int i = 0; i < a->adoptions.n; i++) {
        const Adoption *adoption = a->adoptions.at[i];
        if (same(adoption->code, code)) {
            return adoption;
        }
    }
    return NULL;
}

/* Of one level's adoptions of a code that have begun, the latest; what it replaced does not come back. */
static const Force *level_adoption(const Assembly *a, int level, const char *code)
{
    const Vec *forces = a->forces.at[level];
    const Force *latest = NULL;
    for (int i = 0; i < forces->n; i++) {
        const Force *force = forces->at[i];
        if (force->block->adopts && same(force->block->code, code) && force_began(force, a->day) &&
            (latest == NULL || force->from > latest->from)) {
            latest = force;
        }
    }
    return latest != NULL && force_whole(latest, a->day) ? latest : NULL;
}

/* For which units the code is adopted, in the words of the level that adopts it. */
Gate adoption_gate(const Assembly *a, const Adoption *adoption)
{
    Assembly level = *a;
    level.level = adoption->level;
    const Code *code = code_find(a->law, adoption->code, adoption->edition);
    return (Gate){&adoption->block->units, level_holders(&level, code)};
}

/* Of the adoptions of one code the latest governs, and of two on one day the inner level's. */
static void adopt(Assembly *a, const char *code)
{
    const Force *governs = NULL;
    int level = 0;
    for (int i = 0; i < a->levels.n; i++) {
        const Force *force = level_adoption(a, i, code);
        if (force != NULL && (governs == NULL || force->from >= governs->from)) {
            governs = force;
            level = i;
        }
    }
    if (governs == NULL) {
        return;
    }
    const Block *block = governs->block;
    Adoption *adoption = NEW(Adoption);
    *adoption = (Adoption){block->code, block->edition, governs->from, level, block};
    vec_add(&a->adoptions, adoption);
    Vec sections = law_of_code(code_find(a->law, block->code, block->edition));
    for (int i = 0; i < sections.n; i++) {
        Active *active = sections.at[i];
        active->changed = active->adopted = level;
        active->since = active->born = governs->from;
        active->gates[1] = adoption_gate(a, adoption);
        vec_add(&a->actives, active);
    }
}

static bool told_before(const Assembly *a, int level, int which)
{
    const Vec *own = a->forces.at[level];
    const char *code = ((const Force *)own->at[which])->block->code;
    for (int i = 0; i <= level; i++) {
        const Vec *forces = a->forces.at[i];
        for (int k = 0; k < (i == level ? which : forces->n); k++) {
            if (same(((const Force *)forces->at[k])->block->code, code)) {
                return true;
            }
        }
    }
    return false;
}

static void adopt_all(Assembly *a)
{
    for (int i = 0; i < a->levels.n; i++) {
        const Vec *forces = a->forces.at[i];
        for (int k = 0; k < forces->n; k++) {
            if (!told_before(a, i, k)) {
                adopt(a, ((const Force *)forces->at[k])->block->code);
            }
        }
    }
}

/* ---- which changes count ---- */

/* Was this edition in force before the present one? */
static bool gave_way(const Assembly *a, const Block *block, long from)
{
    for (int i = 0; i < a->levels.n; i++) {
        const Vec *forces = a->forces.at[i];
        for (int k = 0; k < forces->n; k++) {
            const Force *other = forces->at[k];
            if (other->block->adopts && same(other->block->code, block->code) &&
                same(other->block->edition, block->edition) && force_began(other, a->day) &&
                other->from < from) {
                return true;
            }
        }
    }
    return false;
}

static bool change_counts(const Assembly *a, const Force *force, const Change *change)
{
    const Block *block = force->block;
    const Adoption *adoption = adoption_of(a, block->code);
    if (adoption == NULL || !force_whole(force, a->day)) {
        return false;
    }
    return same(adoption->edition, block->edition) ||
           (change->carries && gave_way(a, block, adoption->from));
}

static Vec level_changes(const Assembly *a)
{
    Vec changes = {0};
    const Vec *forces = a->forces.at[a->level];
    for (int i = 0; i < forces->n; i++) {
        const Force *force = forces->at[i];
        for (int k = 0; k < force->block->changes.n; k++) {
            if (!change_counts(a, force, force->block->changes.at[k])) {
                continue;
            }
            Dated *dated = NEW(Dated);
            *dated = (Dated){force, force->block, force->block->changes.at[k], a->level};
            vec_add(&changes, dated);
            for (int m = changes.n - 1; m > 0; m--) {
                Dated *before = changes.at[m - 1];
                if (before->force->from <= force->from) {
                    break;
                }
                changes.at[m] = before;
                changes.at[m - 1] = dated;
            }
        }
    }
    return changes;
}

/* ---- what is said of the law as a whole ---- */

static bool reading_of(const Vec *readings, const char *name)
{
    for (int i = 0; i < readings->n; i++) {
        if (same(((const Reading *)readings->at[i])->name, name)) {
            return true;
        }
    }
    return false;
}

void active_visit(Active *active, void (*visit)(Active *, const void *), const void *with)
{
    for (; active != NULL; active = active->former) {
        visit(active, with);
        active_visit(active->then, visit, with);
    }
}

static void set_reading(Active *active, const void *reading)
{
    if (active->text != NULL && reading_of(&active->text->readings, reading)) {
        active->reading = reading;
    }
    if (reading_of(&active->code->holder.readings, reading)) {
        active->shared = reading;
    }
}

/* Is it meant by who names this number? Under its present number, or one that it had before. */
bool active_named(const Active *active, const char *number, const char *part)
{
    bool named = number_covers(number, part, active->number, active->part);
    for (int i = 0; i < active->was.n; i++) {
        const Target *old = active->was.at[i];
        named = named || number_covers(number, part, old->number, old->part);
    }
    return named;
}

static void set_was(Active *active, const void *was)
{
    active->was = *(const Vec *)was;
}

/* An old number that another section of the code has taken is that one's. */
static void drop_taken(Assembly *a)
{
    for (int i = 0; i < a->actives.n; i++) {
        Active *active = a->actives.at[i];
        Vec *left = NEW(Vec);
        for (int k = 0; k < active->was.n; k++) {
            const Target *old = active->was.at[k];
            bool taken = false;
            for (int m = 0; m < a->actives.n; m++) {
                const Active *other = a->actives.at[m];
                taken = taken ||
                        (m != i && !other->kept && same(other->code->name, active->code->name) &&
                         same(other->number, old->number) && same(other->part, old->part));
            }
            if (!taken) {
                vec_add(left, active->was.at[k]);
            }
        }
        if (active->was.n > 0) {
            active_visit(active, set_was, left);
        }
    }
}

static bool speaks_of(const Dated *d, const Active *active)
{
    bool named = d->change->targets.n == 0;
    for (int i = 0; i < d->change->targets.n; i++) {
        const Target *t = d->change->targets.at[i];
        named = named || active_named(active, t->number, t->part);
    }
    return named && same(active->code->name, d->block->code);
}

/* Those of whole codes first, so that those of single sections go before. */
static void apply_readings(Assembly *a, bool single)
{
    for (int i = 0; i < a->readings.n; i++) {
        const Dated *d = a->readings.at[i];
        for (int k = 0; (d->change->targets.n > 0) == single && k < a->actives.n; k++) {
            if (speaks_of(d, a->actives.at[k])) {
                active_visit(a->actives.at[k], set_reading, d->change->reading);
            }
        }
    }
}

static void set_unwaived(Active *active, const void *nothing)
{
    active->not_waived = nothing == NULL;
}

static void apply_unwaived(Assembly *a)
{
    for (int i = 0; i < a->unwaived.n; i++) {
        for (int k = 0; k < a->actives.n; k++) {
            if (speaks_of(a->unwaived.at[i], a->actives.at[k])) {
                active_visit(a->actives.at[k], set_unwaived, NULL);
            }
        }
    }
}

static void set_over(Active *active, const void *dated)
{
    const Dated *d = dated;
    const char *topic = active->text != NULL ? active->text->topic : NULL;
    bool meant = d->change->topics.n == 0;
    for (int k = 0; k < d->change->topics.n; k++) {
        meant = meant || topic_covers(d->change->topics.at[k], topic);
    }
    if (meant && topic != NULL && same(active->code->name, d->block->code)) {
        Over *over = NEW(Over);
        *over = (Over){d->change->name, topic};
        vec_add(&active->over, over);
    }
}

/* Codes that lower levels adopt by themselves are displaced on the topics that an upper one keeps. */
static void displace_own_codes(Assembly *a)
{
    Vec actives = a->actives;
    a->actives = (Vec){0};
    for (int i = 0; i < actives.n; i++) {
        Active *active = actives.at[i];
        a->level = active->adopted;
        const char *topic = active->text != NULL ? active->text->topic : NULL;
        if (!barred(a, NULL, NULL, NULL, topic)) {
            vec_add(&a->actives, active);
        }
    }
}

static Assembly adopted_in(const Law *law, const char *jurisdiction, long day)
{
    Assembly a = {.law = law, .day = day};
    Vec chain = law_chain(law, jurisdiction);
    for (int i = chain.n - 1; i >= 0; i--) {
        Vec *forces = NEW(Vec);
        *forces = acts_settled(chain.at[i]);
        vec_add(&a.levels, chain.at[i]);
        vec_add(&a.forces, forces);
    }
    adopt_all(&a);
    return a;
}

Vec law_codes(const Law *law, const char *jurisdiction, long day)
{
    Assembly a = adopted_in(law, jurisdiction, day);
    Vec codes = {0};
    for (int i = 0; i < a.adoptions.n; i++) {
        const Adoption *adoption = a.adoptions.at[i];
        for (int k = 0; k < law->codes.n; k++) {
            const Code *code = law->codes.at[k];
            if (same(code->name, adoption->code) && same(code->edition, adoption->edition)) {
                vec_add(&codes, law->codes.at[k]);
            }
        }
    }
    return codes;
}

Vec law_in_force(const Law *law, const char *jurisdiction, long day)
{
    Assembly a = adopted_in(law, jurisdiction, day);
    for (a.level = 0; a.level < a.levels.n; a.level++) {
        Vec changes = level_changes(&a);
        for (int i = 0; i < changes.n; i++) {
            change_apply(&a, changes.at[i]);
        }
    }
    displace_own_codes(&a);
    drop_taken(&a);
    apply_readings(&a, false);
    apply_readings(&a, true);
    apply_unwaived(&a);
    for (int i = 0; i < a.overs.n; i++) {
        for (int k = 0; k < a.actives.n; k++) {
            active_visit(a.actives.at[k], set_over, a.overs.at[i]);
        }
    }
    return a.actives;
}
