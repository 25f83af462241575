/* Acts on acts: what the blocks of one level do to each other. An act is every block of one level and one
 * code with the same words behind "by". What an act does it does on its own first day, and it stays done. */
#include "law.h"

#include <limits.h>
#include <stdlib.h>

typedef enum State { STATE_OPEN, STATE_BUSY, STATE_SETTLED } State;

typedef struct Act {
    const char *code, *by;
    Vec forces; /* Force */
    State state;
} Act;

typedef struct Event {
    const Change *change;
    const Force *force; /* of the block that does it */
} Event;

typedef struct Acts {
    Vec acts; /* Act */
} Acts;

static Act *act_find(const Acts *acts, const char *code, const char *by)
{
    for (int i = 0; i < acts->acts.n; i++) {
        Act *act = acts->acts.at[i];
        if (same(act->code, code) && same(act->by, by)) {
            return act;
        }
    }
    return NULL;
}

static bool hole_at(const Force *force, long day, const Target *target)
{
    for (int i = 0; i < force->holes.n; i++) {
        const Hole *hole = force->holes.at[i];
        if (hole->target == target && hole->from <= day && day <= hole->until) {
            return true;
        }
    }
    return false;
}

/* Did the block have a first day, or was its act repealed before? */
bool force_began(const Force *force, long day)
{
    return force->from <= day && force->from <= force->until && !hole_at(force, force->from, NULL);
}

/* Is the block in force, as far as no part of it is repealed? */
bool force_whole(const Force *force, long day)
{
    return force->from <= day && day <= force->until && !hole_at(force, day, NULL);
}

/* Are its changes of this section in force? */
bool force_covers(const Force *force, long day, const char *number, const char *part)
{
    if (!force_whole(force, day)) {
        return false;
    }
    for (int i = 0; i < force->holes.n; i++) {
        const Hole *hole = force->holes.at[i];
        if (hole->target != NULL && hole->from <= day && day <= hole->until &&
            number_covers(hole->target->number, hole->target->part, number, part)) {
            return false;
        }
    }
    return true;
}

static bool is_upon(const Change *c, const char *by)
{
    return (c->kind == CHANGE_REPEALS || c->kind == CHANGE_EXTENDS ||
            c->kind == CHANGE_POSTPONES) &&
           same(c->name, by);
}

static void settle(const Acts *acts, Act *act);

static int rank(ChangeKind kind)
{
    return kind == CHANGE_EXTENDS ? 0 : kind == CHANGE_POSTPONES ? 1 : 2;
}

static int by_day(const void *a, const void *b)
{
    const Event *const *x = a;
    const Event *const *y = b;
    if ((*x)->force->from != (*y)->force->from) {
        return (*x)->force->from < (*y)->force->from ? -1 : 1;
    }
    return rank((*x)->change->kind) - rank((*y)->change->kind);
}

/* All that is done to an act, in order of the days on which it is done. */
static Vec events_upon(const Acts *acts, const Act *act)
{
    Vec events = {0};
    for (int i = 0; i < acts->acts.n; i++) {
        Act *other = acts->acts.at[i];
        for (int k = 0; same(other->code, act->code) && k < other->forces.n; k++) {
            const Force *force = other->forces.at[k];
            for (int m = 0; m < force->block->changes.n; m++) {
                const Change *c = force->block->changes.at[m];
                if (!is_upon(c, act->by)) {
                    continue;
                }
                settle(acts, other);
                Event *event = NEW(Event);
                *event = (Event){c, force};
                vec_add(&events, event);
            }
        }
    }
    if (events.n > 0) {
        qsort(events.at, (size_t)events.n, sizeof *events.at, by_day);
    }
    return events;
}

static void add_hole(Force *to, long from, long until, const Target *target)
{
    Hole *hole = NEW(Hole);
    *hole = (Hole){from, until, target};
    vec_add(&to->holes, hole);
}

static void happen(Force *to, const Event *event)
{
    const Change *c = event->change;
    if (c->kind == CHANGE_EXTENDS) {
        to->until = to->until == LONG_MAX ? LONG_MAX : c->day;
    } else if (c->kind == CHANGE_POSTPONES) {
        to->from = to->from < event->force->from || to->from > c->day ? to->from : c->day;
    } else if (c->targets.n == 0) {
        add_hole(to, event->force->from, event->force->until, NULL);
    } else {
        for (int i = 0; i < c->targets.n; i++) {
            add_hole(to, event->force->from, event->force->until, c->targets.at[i]);
        }
    }
}

static void settle(const Acts *acts, Act *act)
{
    if (act->state == STATE_BUSY) {
        give_up("the acts upon '%s' go in a circle", act->by);
    }
    if (act->state == STATE_SETTLED) {
        return;
    }
    act->state = STATE_BUSY;
    Vec events = events_upon(acts, act);
    for (int i = 0; i < events.n; i++) {
        const Event *event = events.at[i];
        if (!force_began(event->force, LONG_MAX)) {
            continue; /* it never had a first day */
        }
        for (int k = 0; k < act->forces.n; k++) {
            happen(act->forces.at[k], event);
        }
    }
    act->state = STATE_SETTLED;
}

Vec acts_settled(const Jurisdiction *j)
{
    Acts acts = {0};
    Vec forces = {0};
    for (int i = 0; i < j->blocks.n; i++) {
        const Block *block = j->blocks.at[i];
        Act *act = act_find(&acts, block->code, block->by);
        if (act == NULL) {
            act = NEW(Act);
            *act = (Act){.code = block->code, .by = block->by};
            vec_add(&acts.acts, act);
        }
        Force *force = NEW(Force);
        *force = (Force){.block = block, .from = block->from, .until = block->until};
        vec_add(&act->forces, force);
        vec_add(&forces, force);
    }
    for (int i = 0; i < acts.acts.n; i++) {
        settle(&acts, acts.acts.at[i]);
    }
    return forces;
}
