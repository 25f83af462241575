/* What of a model is in force on a day, as a model of its own: the acts of other days are gone, what
 * acts do to acts is worked out, the second edition alone is left once it governs, with what carries
 * over to it, and all acts are moved to early days in the same order. Worked out from the reference
 * of the language (docs/language.md, section 8), apart from the assembly. */
#ifndef LAW_WORLD_REDUCE_H
#define LAW_WORLD_REDUCE_H

#include "law_world_random.h"

typedef struct Reducer {
    const Made *made;
    Made *out;
    Day on;
    Day from[MADE_ACTS_MAX], until[MADE_ACTS_MAX]; /* as postponed and extended */
    bool dropped[MADE_ACTS_MAX][MADE_CHANGES_MAX];
    bool ended[MADE_ACTS_MAX]; /* repealed as a whole */
} Reducer;

static inline bool is_alive(const Reducer *reducer, uint32_t act)
{
    return reducer->from[act] <= reducer->on && reducer->on <= reducer->until[act] &&
           !reducer->ended[act];
}

/* ---- acts on acts ---- */

static inline void repeal(Reducer *reducer, uint32_t by, const MadeChange *change)
{
    const Made *made = reducer->made;
    if (reducer->from[by] > reducer->on || reducer->on > reducer->until[by]) {
        return; /* not yet; or it only suspended. Whether it is itself repealed is all the same */
    }
    const MadeAct *target = &made->acts[change->act - 1];
    if (change->target.len == 0) {
        reducer->ended[change->act - 1] = true;
    }
    for (uint32_t i = 0; i < target->change_count; i++) {
        const MadeChange *own = &target->changes[i];
        Text number = own->kind == CHANGE_INSERT ? own->section.number : own->target;
        if (change->target.len > 0 && made_covers(change->target, number)) {
            reducer->dropped[change->act - 1][i] = true;
        }
    }
}

static inline void work_out_acts(Reducer *reducer)
{
    const Made *made = reducer->made;
    for (uint32_t i = 0; i < made->act_count; i++) {
        reducer->from[i] = made->acts[i].from;
        reducer->until[i] = made->acts[i].until;
    }
    for (uint32_t i = 0; i < made->act_count; i++) {
        const MadeChange *change = &made->acts[i].changes[0];
        if (made->acts[i].on_acts && change->kind == CHANGE_EXTENDS) {
            reducer->until[change->act - 1] = change->day; /* said while it was in force */
        } else if (made->acts[i].on_acts && change->kind == CHANGE_POSTPONES) {
            reducer->from[change->act - 1] = change->day; /* said before it was */
        }
    }
    for (uint32_t i = 0; i < made->act_count; i++) {
        const MadeChange *change = &made->acts[i].changes[0];
        if (made->acts[i].on_acts && change->kind == CHANGE_REPEALS) {
            repeal(reducer, i, change);
        }
    }
}

/* The day on which a code's adoption took effect; DAY_FOREVER when it is not in force. */
static inline Day adopted_on(const Reducer *reducer, uint8_t code)
{
    Day day = DAY_FOREVER;
    for (uint32_t i = 0; i < reducer->made->act_count; i++) {
        const MadeAct *act = &reducer->made->acts[i];
        if (act->code == code && act->adopts && is_alive(reducer, i)) {
            bool second = code == 0 && reducer->on >= reducer->made->second_from;
            day = second ? reducer->made->second_from : reducer->from[i];
        }
    }
    return day;
}

/* ---- what levels above displace ---- */

static inline bool topic_is_among(uint8_t topic, uint8_t topics)
{
    for (uint32_t i = 0; i < MADE_TOPICS; i++) {
        Text above = text_of(made_topics[i]);
        Text own = text_of(made_topics[topic]);
        if ((topics & 1u << i) != 0 && text_starts(own, above) &&
            (own.len == above.len || own.data[above.len] == '.')) {
            return true;
        }
    }
    return false;
}

static inline bool governs_edition(const Reducer *reducer, const MadeAct *act)
{
    return act->code != 0 || reducer->on < reducer->made->second_from || act->edition == 1;
}

/* Is a section of `topic` that an act of `level` makes or changes displaced? */
static inline bool is_preempted(const Reducer *reducer, uint8_t level, uint8_t topic)
{
    for (uint32_t i = 0; i < reducer->made->act_count; i++) {
        const MadeAct *act = &reducer->made->acts[i];
        for (uint32_t c = 0; c < act->change_count; c++) {
            const MadeChange *change = &act->changes[c];
            Day day = change->day == DAY_UNSAID ? reducer->from[i] : change->day;
            if (change->kind == CHANGE_PREEMPTS && act->level < level && is_alive(reducer, i) &&
                adopted_on(reducer, act->code) != DAY_FOREVER && !reducer->dropped[i][c] &&
                day <= reducer->on && governs_edition(reducer, act) &&
                topic_is_among(topic, change->topics)) {
                return true;
            }
        }
    }
    return false;
}

/* Is a local change displaced by a `not to be amended locally ... from` that has come since? */
static inline bool is_kept_from(const Reducer *reducer, uint32_t local, Text number)
{
    const MadeAct *own = &reducer->made->acts[local];
    for (uint32_t i = 0; i < reducer->made->act_count; i++) {
        const MadeAct *act = &reducer->made->acts[i];
        for (uint32_t c = 0; c < act->change_count; c++) {
            const MadeChange *change = &act->changes[c];
            if (change->kind == CHANGE_NO_LOCAL && change->day != DAY_UNSAID &&
                act->level < own->level && act->code == own->code && is_alive(reducer, i) &&
                !reducer->dropped[i][c] && change->day <= reducer->on &&
                governs_edition(reducer, act) && reducer->from[local] < change->day &&
                made_covers(change->target, number)) {
                return true;
            }
        }
    }
    return false;
}

/* ---- the changes that are left ---- */

static inline void settle_permit(const Reducer *reducer, MadeBody *body, Day from)
{
    if (body->permit == PERMIT_EXISTING_FROM) {
        bool waits = reducer->on < body->day;
        body->permit = waits ? PERMIT_ON_OR_AFTER : PERMIT_ALL;
        body->day = waits ? from : 0;
    }
}

/* The change as it stands on the day; false when it does not. */
static inline bool settle(const Reducer *reducer, uint32_t index, uint32_t at, MadeChange *change)
{
    const MadeAct *act = &reducer->made->acts[index];
    *change = act->changes[at];
    if (reducer->dropped[index][at]) {
        return false;
    }
    Text number = change->kind == CHANGE_INSERT ? change->section.number : change->target;
    if (!governs_edition(reducer, act)) {
        if (change->kind == CHANGE_FOR_UNITS) {
            return true; /* of what is carried over */
        }
        if (change->fate != FATE_CARRIES_OVER) {
            return false;
        }
        if (change->carried_to.len > 0) {
            number = change->target = change->section.number = change->carried_to;
        }
    } else if (act->code == 0 && act->edition == 1 && reducer->on < reducer->made->second_from) {
        return false; /* of an edition that is not in force yet */
    }
    change->fate = FATE_UNSAID;
    bool of_section = is_of_section(change);
    bool declares = !of_section && change->target.len > 0;
    if (((of_section || declares) && is_preempted(reducer, act->level, change->topic)) ||
        (of_section && is_kept_from(reducer, index, number))) {
        return false;
    }
    if (change->kind == CHANGE_NO_LOCAL && change->day != DAY_UNSAID) {
        if (change->day > reducer->on) {
            return false;
        }
        change->day = DAY_UNSAID;
    } else if (change->kind == CHANGE_PREEMPTS) {
        return false;
    }
    settle_permit(reducer, &change->body, reducer->from[index]);
    settle_permit(reducer, &change->section.body, reducer->from[index]);
    return true;
}

static inline Day moved_day(const Reducer *reducer, uint32_t act)
{
    Day day = date_day(2001, 1, 1);
    for (uint32_t i = 0; i < reducer->made->act_count; i++) {
        for (uint32_t j = 0; reducer->from[i] < reducer->from[act]; j++) {
            if (j == i) { /* each earlier day counts once */
                day++;
                break;
            }
            if (reducer->from[j] == reducer->from[i]) {
                break;
            }
        }
    }
    return day;
}

/* The act with the changes that are left of it. One that adopts does so before all else, so that what
 * is carried over from the first edition comes after it. */
static inline void keep_act(Reducer *reducer, uint32_t index)
{
    const MadeAct *act = &reducer->made->acts[index];
    Made *made = reducer->out;
    bool second = act->code == 0 && reducer->on >= reducer->made->second_from;
    MadeAct base = {.name = act->name,
                    .level = act->level,
                    .code = act->code,
                    .edition = second ? 1 : act->edition,
                    .until = DAY_FOREVER};
    if (act->adopts && (governs_edition(reducer, act) || act->month > 0)) {
        MadeAct *adoption = &made->acts[made->act_count++];
        *adoption = base;
        adoption->adopts = true;
        adoption->from = date_day(2000, 1, 1);
    }
    MadeAct *out = &made->acts[made->act_count];
    *out = base;
    out->from = moved_day(reducer, index);
    bool only_scope = true;
    for (uint32_t i = 0; i < act->change_count && !act->on_acts; i++) {
        MadeChange *change = &out->changes[out->change_count];
        if (settle(reducer, index, i, change)) {
            only_scope = only_scope && change->kind == CHANGE_FOR_UNITS;
            out->change_count++;
        }
    }
    if (!only_scope) {
        made->act_count++;
    }
}

static inline void keep_code(Reducer *reducer, uint8_t code)
{
    uint32_t edition = code == 0 && reducer->on >= reducer->made->second_from;
    const MadeCode *tree = &reducer->made->codes[code][edition];
    MadeCode *out = &reducer->out->codes[code][edition];
    Day adopted = adopted_on(reducer, code);
    *out = (MadeCode){.there = true, .scope = tree->scope, .published = DAY_UNSAID};
    for (uint32_t i = 0; i < tree->section_count; i++) {
        const MadeSection *section = &tree->sections[i];
        if (code == 2 && adopted != DAY_FOREVER && is_preempted(reducer, 1, section->topic)) {
            continue; /* the county's own */
        }
        out->sections[out->section_count] = *section;
        MadeBody *body = &out->sections[out->section_count++].body;
        if (adopted != DAY_FOREVER) {
            settle_permit(reducer, body, adopted);
        }
    }
}

static inline const Made *made_reduce(Arena *arena, const Made *made, Day on)
{
    Reducer *reducer = ARENA_NEW(arena, Reducer);
    reducer->made = made;
    reducer->out = ARENA_NEW(arena, Made);
    reducer->on = on;
    reducer->out->arena = arena;
    reducer->out->seed = made->seed;
    reducer->out->levels = made->levels;
    reducer->out->second_from = DAY_FOREVER;
    work_out_acts(reducer);
    for (uint8_t code = 0; code < MADE_CODES; code++) {
        keep_code(reducer, code); /* one that is not adopted may still be named */
    }
    for (uint32_t i = 0; i < made->act_count; i++) {
        bool in_code = adopted_on(reducer, made->acts[i].code) != DAY_FOREVER;
        if (in_code && is_alive(reducer, i)) {
            keep_act(reducer, i);
        }
    }
    return reducer->out;
}

#endif
