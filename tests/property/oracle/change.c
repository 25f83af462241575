/* What one change does to the sections in force. */
#include "law.h"

#include <limits.h>

/* Is what this level changes displaced by what an upper level says? Of a code, section and topic, as far
 * as they are given. */
bool barred(const Assembly *a, const char *code, const char *number, const char *part,
            const char *topic)
{
    for (int i = 0; i < a->bars.n; i++) {
        const Bar *bar = a->bars.at[i];
        if (bar->level >= a->level) {
            continue;
        }
        if (bar->topic != NULL
                ? topic_covers(bar->topic, topic)
                : same(bar->code, code) &&
                      (bar->target == NULL ||
                       number_covers(bar->target->number, bar->target->part, number, part))) {
            return true;
        }
    }
    return false;
}

static bool displaced(const Assembly *a, const Active *active)
{
    const char *topic = active->text != NULL ? active->text->topic : NULL;
    return barred(a, active->code->name, active->number, active->part, topic);
}

/* A text that a level above protects stays in force beside the local one. */
static void keep_upper(Assembly *a, const Active *old)
{
    for (int i = 0; i < a->floors.n; i++) {
        const Floor *floor = a->floors.at[i];
        if (floor->level < a->level && old->changed <= floor->level &&
            same(floor->code, old->code->name) &&
            number_covers(floor->target->number, floor->target->part, old->number, old->part)) {
            Active *upper = NEW(Active);
            *upper = *old;
            upper->kept = true;
            vec_add(&a->actives, upper);
            return;
        }
    }
}

static bool carried(const Assembly *a, const Block *block)
{
    return !same(adoption_of(a, block->code)->edition, block->edition);
}

/* The section that an amendment names; NULL where an upper level displaces it. */
static Active *amended_one(const Assembly *a, const Dated *d)
{
    const Target *t = d->change->targets.at[0];
    bool elsewhere = d->change->carries_to != NULL && carried(a, d->block);
    const char *number = elsewhere ? d->change->carries_to : t->number;
    for (int i = 0; i < a->actives.n; i++) {
        Active *active = a->actives.at[i];
        if (!active->kept && same(active->code->name, d->block->code) &&
            same(active->number, number) && (t->part == NULL || same(active->part, t->part))) {
            return displaced(a, active) ? NULL : active;
        }
    }
    give_up("no section '%s' is there to be changed", number);
}

static Section *body_replaced(const Section *old, const Section *body)
{
    Section *s = NEW(Section);
    *s = *body;
    s->number = old->number;
    s->part = old->part;
    s->topic = old->topic;
    s->standing = old->standing;
    s->notwithstanding = old->notwithstanding;
    s->not_waived = old->not_waived;
    return s;
}

static bool leaves_former(const Section *s)
{
    for (int i = 0; i < s->permits.n; i++) {
        if (permit_chooses(s->permits.at[i])) {
            return true;
        }
    }
    return s->units.n > 0;
}

/* For some units only: to the others what stood before is left. */
static void split(const Assembly *a, const Dated *d, Active *active, const Active *before)
{
    Active *old = NEW(Active);
    *old = *before;
    active->former = old;
    active->made = (Gate){&d->block->units, level_holders(a, active->code)};
}

/* A text that was carried over is none new. */
static void amend_text(Assembly *a, const Dated *d, Active *active)
{
    const Active before = *active;
    keep_upper(a, &before);
    active->text = body_replaced(before.text, d->change->section);
    active->holders = level_holders(a, active->code);
    active->since = active->born = d->force->from;
    active->changed = a->level;
    active->then = active->former = NULL;
    active->made = (Gate){0};
    if (d->block->units.n > 0 || leaves_former(active->text)) {
        split(a, d, active, &before);
    }
}

static bool is_limit_line(const Line *line, const char *label)
{
    bool comparison = line->expr != NULL && line->expr->op >= OP_LE && line->expr->op <= OP_NE;
    return label != NULL ? same(line->label, label) : comparison;
}

static Section *limit_replaced(const Assembly *a, const Dated *d, const Active *active)
{
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
    return s;
}

/* One exception reads otherwise, is gone, or stands first as a new one. */
static Section *exceptions_replaced(const Assembly *a, const Dated *d, const Active *active)
{
    Section *s = NEW(Section);
    *s = *active->text;
    s->exceptions = (Vec){0};
    Exception *put = NULL;
    if (d->change->exception != NULL) {
        put = NEW(Exception);
        *put = *d->change->exception;
        put->holders = level_holders(a, active->code);
    }
    if (d->change->kind == CHANGE_ADD) {
        vec_add(&s->exceptions, put);
    }
    int found = 0;
    for (int i = 0; i < active->text->exceptions.n; i++) {
        Exception *x = active->text->exceptions.at[i];
        bool meant = d->change->kind == CHANGE_EXCEPTION && same(x->by, d->change->name);
        found += meant;
        if (!meant || put != NULL) {
            vec_add(&s->exceptions, meant ? put : x);
        }
    }
    if (d->change->kind == CHANGE_EXCEPTION && found != 1) {
        give_up("%d exceptions of '%s' are by '%s'", found, active->number, d->change->name);
    }
    return s;
}

/* A change of a part changes each text that the section has, for whichever units. */
static Active *part_changed(const Assembly *a, const Dated *d, const Active *old)
{
    Active *active = NEW(Active);
    *active = *old;
    active->changed = a->level;
    active->since = old->since < d->force->from ? d->force->from : old->since;
    if (old->then != NULL) {
        active->then = part_changed(a, d, old->then);
        active->text = active->then->text;
    } else if (old->text != NULL) {
        active->text = d->change->kind == CHANGE_LIMIT ? limit_replaced(a, d, old)
                                                       : exceptions_replaced(a, d, old);
    }
    if (old->former != NULL) {
        active->former = part_changed(a, d, old->former);
    }
    return active;
}

static void amend_part(Assembly *a, const Dated *d, Active *active)
{
    const Active before = *active;
    Active *changed = part_changed(a, d, &before);
    keep_upper(a, &before);
    *active = *changed;
    if (d->block->units.n > 0) {
        active->then = changed;
        split(a, d, active, &before);
    }
}

static void set_number(Active *active, const void *number)
{
    Vec was = {0}; /* a list of its own: the former one may be that of other texts too */
    for (int i = 0; i < active->was.n; i++) {
        vec_add(&was, active->was.at[i]);
    }
    Target *old = NEW(Target);
    *old = (Target){active->number, active->part};
    vec_add(&was, old);
    active->was = was;
    active->number = number;
    active->part = NULL;
}

/* For some units only: to the others the former text is left. */
static void delete_one(Assembly *a, const Dated *d, Active *active)
{
    const Active before = *active;
    keep_upper(a, &before);
    if (d->block->units.n > 0) {
        active->text = NULL;
        active->then = NULL;
        active->changed = a->level;
        split(a, d, active, &before);
        vec_add(&a->actives, active);
    }
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
            covered = covered || (number_covers(t->number, t->part, active->number, active->part) &&
                                  force_covers(d->force, a->day, t->number, t->part));
        }
        if (!covered || active->kept || !same(active->code->name, d->block->code) ||
            displaced(a, active)) {
            vec_add(&a->actives, active);
        } else {
            delete_one(a, d, active);
        }
    }
}

static void insert_section(Assembly *a, const Dated *d)
{
    const Section *s = d->change->section;
    const Adoption *adoption = adoption_of(a, d->block->code);
    const Code *code = code_find(a->law, adoption->code, adoption->edition);
    if (!force_covers(d->force, a->day, s->number, s->part) ||
        barred(a, code->name, s->number, s->part, s->topic)) {
        return;
    }
    Active *active = active_new(s, code, level_holders(a, code));
    active->since = active->born = d->force->from;
    active->changed = a->level;
    active->adopted = adoption->level;
    active->made = (Gate){&d->block->units, active->holders};
    active->gates[1] = adoption_gate(a, adoption);
    vec_add(&a->actives, active);
}

static void bar(Assembly *a, const Dated *d, const Target *target, const char *topic)
{
    const long day = d->change->day;
    Bar *b = NEW(Bar);
    *b = (Bar){a->level, d->block->code, target, topic};
    if (day == LONG_MIN ? topic != NULL : day <= a->day) {
        vec_add(&a->bars, b);
    }
}

static void change_one(Assembly *a, const Dated *d)
{
    const Target *t = d->change->targets.at[0];
    Active *active = force_covers(d->force, a->day, t->number, t->part) ? amended_one(a, d) : NULL;
    if (active == NULL) {
        return;
    }
    if (d->change->kind == CHANGE_READ) {
        amend_text(a, d, active);
    } else if (d->change->kind == CHANGE_RENUMBER) {
        active_visit(active, set_number, d->change->name);
    } else {
        amend_part(a, d, active);
    }
}

static void bar_all(Assembly *a, const Dated *d)
{
    const Change *c = d->change;
    for (int i = 0; i < c->topics.n; i++) {
        bar(a, d, NULL, c->topics.at[i]);
    }
    for (int i = 0; i < c->targets.n; i++) {
        bar(a, d, c->targets.at[i], NULL);
    }
    if (c->every) {
        bar(a, d, NULL, NULL);
    }
}

static void keep_dated(Vec *to, const Dated *d)
{
    Dated *copy = NEW(Dated);
    *copy = *d;
    vec_add(to, copy);
}

void change_apply(Assembly *a, const Dated *d)
{
    const Change *c = d->change;
    switch (c->kind) {
    case CHANGE_READ:
    case CHANGE_LIMIT:
    case CHANGE_EXCEPTION:
    case CHANGE_ADD:
    case CHANGE_RENUMBER: change_one(a, d); break;
    case CHANGE_DELETE: delete_covered(a, d); break;
    case CHANGE_INSERT: insert_section(a, d); break;
    case CHANGE_READING: keep_dated(&a->readings, d); break;
    case CHANGE_FLOOR:
        for (int i = 0; i < c->targets.n; i++) {
            Floor *floor = NEW(Floor);
            *floor = (Floor){d->block->code, c->targets.at[i], a->level};
            vec_add(&a->floors, floor);
        }
        break;
    case CHANGE_LOCK:
    case CHANGE_PREEMPTS: bar_all(a, d); break;
    case CHANGE_NOT_WAIVED: keep_dated(&a->unwaived, d); break;
    case CHANGE_PREVAILS: keep_dated(&a->overs, d); break;
    case CHANGE_REPEALS:
    case CHANGE_EXTENDS:
    case CHANGE_POSTPONES: break;
    }
}
