/* Makes up the levels of a rule file: a state, a county, perhaps a city, a fire district and a place, with
 * acts that change sections, acts on acts, and what levels say of each other. All of it is valid: what
 * is said of a section in Made holds for every text that it can have, whichever acts are in force. */
#include "make.h"

#include <limits.h>

/* What becomes of an act. */
typedef enum Doom {
    DOOM_NONE,
    DOOM_UNTIL,
    DOOM_EXTENDED,
    DOOM_REPEALED,
    DOOM_REVIVED, /* repealed, and the repeal repealed, which revives nothing */
    DOOM_PARTLY,
    DOOM_SUSPENDED,
    DOOM_POSTPONED
} Doom;

typedef struct Level {
    Scene *s;
    const char *name;
    int depth;
    Set set[SETS];
    bool upper; /* levels below follow */
    bool side_wins;
} Level;

typedef struct Act {
    Set *set;
    const char *by, *fate;
    long day, until; /* 0: without end */
    Doom doom;
    bool units;
    const char *part; /* a section that it changes */
    int changes;
} Act;

static bool stable(const Act *act)
{
    return act->doom == DOOM_NONE && !act->units && act->fate[0] == '\0';
}

/* ---- one change ---- */

/* What the section is for certain, after a text that may or may not be in force. */
static void merge_text(Made *m, const Made *text)
{
    m->length_limit = m->length_limit && text->length_limit && same(m->label, text->label);
    m->label = same(m->label, text->label) ? m->label : NULL;
    m->readings = m->readings && text->readings;
    m->one_per_unit = m->one_per_unit && text->one_per_unit;
    m->split = m->split || text->split;
    m->cite = NULL;
}

static void write_limit(Scene *s, const Made *m)
{
    writef(s->w, "    amend \"%s\" limit %s%sto %s", m->number, m->label == NULL ? "" : m->label,
           m->label == NULL ? "" : " ", chance_in(s->c, 50) ? "20 in" : "max(low, 1 ft)");
}

static void write_read(Scene *s, Act *act, Made *m)
{
    Made text = {.fixed = m->fixed || m->split || act->units, .day = act->day};
    writef(s->w, "    amend \"%s\" to read\n", m->number);
    s->unit = act->set->code[0] == 's';
    write_body(s, &text);
    s->unit = false;
    writef(s->w, "      basis invented\n    end");
    merge_text(m, &text);
}

static void write_exception_change(Scene *s, Made *m)
{
    if (chance_in(s->c, 40)) {
        writef(s->w, "    amend \"%s\" to delete exception \"%s\"", m->number, m->cite);
    } else {
        writef(s->w, "    amend \"%s\" exception \"%s\" to read\n", m->number, m->cite);
        write_exception(s, NULL, chance_in(s->c, 50) ? "X-0" : NULL);
        writef(s->w, "    end");
    }
    m->cite = NULL;
}

static void write_add(Scene *s, const Made *m)
{
    writef(s->w, "    amend \"%s\" to add\n", m->number);
    write_exception(s, NULL, NULL);
    writef(s->w, "    end");
}

static void write_renumber(Scene *s, Act *act, Made *m)
{
    const char *number = pool_format("R-%d", ++*s->fresh);
    writef(s->w, "    renumber \"%s\" as \"%s\"", m->number, number);
    m->gone = !stable(act) || act->set->locked;
    if (!m->gone) {
        act->set->left = m->number;
        act->set->left_on = act->day;
    }
    m->number = number;
    m->day = act->day;
}

static void write_delete(Scene *s, Made *m)
{
    writef(s->w, "    delete %s\"%s\"", chance_in(s->c, 30) ? "and reserve " : "", m->number);
    m->gone = true;
}

/* A change of the section's text; false: none was made. */
static bool write_text_change(Scene *s, Act *act, Made *m)
{
    switch (make_some(s, 7)) {
    case 0:
        if (m->kept || (act->units && m->fixed)) {
            return false;
        }
        write_delete(s, m);
        return true;
    case 1:
    case 2:
        if (!m->length_limit) {
            return false;
        }
        write_limit(s, m);
        return true;
    case 3:
        if (m->cite == NULL) {
            return false;
        }
        write_exception_change(s, m);
        return true;
    case 4: write_add(s, m); return true;
    case 5:
        if (m->kept || act->units || act->doom == DOOM_PARTLY) {
            return false;
        }
        write_renumber(s, act, m);
        return true;
    default:
        if (m->silences) {
            return false;
        }
        write_read(s, act, m);
        return true;
    }
}

static void write_change(Level *l, Act *act, Made *m)
{
    Scene *s = l->s;
    bool barred = m->lock != 0 && (act->day >= m->lock || act->doom == DOOM_POSTPONED);
    if (m->gone || barred || act->day <= m->day || (act->units && m->fixed)) {
        return;
    }
    const char *number = m->number;
    if (m->readings && m->lock == 0 && !act->units && !act->set->locked && chance_in(s->c, 15)) {
        writef(s->w, "    applies reading %s in \"%s\"\n", chance_in(s->c, 50) ? "strict" : "loose",
               m->number);
        return;
    }
    if (write_text_change(s, act, m)) {
        writef(s->w, "%s\n", act->fate);
        act->part = number;
        act->changes++;
        m->split = m->split || act->units;
    }
}

static void write_insert(Level *l, Act *act)
{
    Scene *s = l->s;
    Made m = {.day = act->day, .fixed = act->units};
    m.number = pool_format("N-%d", ++*s->fresh);
    if (act->set->left != NULL && act->day > act->set->left_on && chance_in(s->c, 50)) {
        m.number = act->set->left; /* of a section that was renumbered: free again */
        act->set->left = NULL;
    }
    writef(s->w, "    insert section \"%s\" \"Inserted\"\n", m.number);
    write_standing(s, &m, chance_in(s->c, 50) ? "health" : NULL);
    s->unit = act->set->code[0] == 's';
    write_body(s, &m);
    s->unit = false;
    writef(s->w, "    basis invented\n    end%s\n", act->fate);
    m.split = m.split || act->units;
    if (stable(act) && !act->set->locked && act->set->n < MADE) {
        act->set->made[act->set->n++] = m;
    }
}

/* ---- blocks ---- */

static void write_force(Scene *s, const char *verb, const Set *set, long day, long until,
                        const char *by)
{
    writef(s->w, "\n  %s %s edition %s in force from %s", verb, set->code, set->edition,
           date_text(day));
    if (until != 0) {
        writef(s->w, " until %s", date_text(until));
    }
    writef(s->w, " by \"%s\"\n", by);
    if (chance_in(s->c, 15)) {
        writef(s->w, "      passed %s filed %s\n", date_text(day - 40), date_text(day - 9));
    }
    if (until != 0 && chance_in(s->c, 30)) {
        writef(s->w, "      emergency\n");
    }
}

static void write_upon(Scene *s, const Set *set, long day, long until, const char *what)
{
    write_force(s, "amends", set, day, until, pool_format("Upon %d", ++*s->fresh));
    writef(s->w, "    %s\n", what);
}

/* What later (or, of a postponement, earlier) acts do to it. */
static void write_doom(Scene *s, const Act *act)
{
    const Set *set = act->set;
    long later = act->day + 20 + (long)make_some(s, 200);
    if (set->until != 0 && later + 60 >= set->until) {
        later = act->day + 5;
    }
    const char *repeals = pool_format("repeals \"%s\"", act->by);
    switch (act->doom) {
    case DOOM_NONE:
    case DOOM_UNTIL: break;
    case DOOM_EXTENDED:
        write_upon(s, set, act->until - (long)make_some(s, 6) + 1, 0,
                   pool_format("extends \"%s\" until %s", act->by, date_text(act->until + 25)));
        break;
    case DOOM_REPEALED: write_upon(s, set, later, 0, repeals); break;
    case DOOM_REVIVED: {
        write_upon(s, set, later, 0, repeals);
        write_upon(s, set, later + 9, 0, pool_format("repeals \"Upon %d\"", *s->fresh));
        break;
    }
    case DOOM_PARTLY:
        write_upon(s, set, later, chance_in(s->c, 40) ? later + 30 : 0,
                   pool_format("%s in \"%s\"", repeals, act->part));
        break;
    case DOOM_SUSPENDED: write_upon(s, set, later, later + 25, repeals); break;
    case DOOM_POSTPONED:
        write_upon(s, set, act->day - (long)make_some(s, 4), 0,
                   pool_format("postpones \"%s\" until %s", act->by, date_text(act->day + 13)));
        break;
    }
}

static Doom some_doom(Scene *s)
{
    static const Doom DOOMS[] = {DOOM_UNTIL,   DOOM_EXTENDED, DOOM_REPEALED,  DOOM_REPEALED,
                                 DOOM_REVIVED, DOOM_PARTLY,   DOOM_SUSPENDED, DOOM_POSTPONED};
    return chance_in(s->c, 45) ? DOOMS[make_some(s, 8)] : DOOM_NONE;
}

static void write_changes(Level *l, Act *act, unsigned percent)
{
    int n = act->set->n;
    for (int i = 0; i < n; i++) {
        if (chance_in(l->s->c, percent)) {
            write_change(l, act, &act->set->made[i]);
        }
    }
    if (chance_in(l->s->c, 25) && !act->set->locked) {
        write_insert(l, act);
    }
}

static void write_act(Level *l, Set *set, long day, const char *fate)
{
    Scene *s = l->s;
    Act act = {.set = set, .day = day, .fate = fate, .doom = some_doom(s)};
    act.by = pool_format("Ord. %d", ++*s->fresh);
    bool ends = act.doom == DOOM_UNTIL || act.doom == DOOM_EXTENDED;
    act.until = ends ? day + 10 + (long)make_some(s, 90) : 0;
    act.units = chance_in(s->c, 20);
    act.fate = ends ? "" : fate;
    write_force(s, "amends", set, day, act.until, act.by);
    if (act.units) {
        writef(s->w, "    for units where ");
        write_unit_condition(s, true);
        writef(s->w, "\n");
    }
    write_changes(l, &act, 30);
    if (act.changes > 0 && act.doom == DOOM_REPEALED &&
        chance_in(s->c, 40)) { /* one act, two blocks */
        act.units = false;
        act.day += 3;
        write_force(s, "amends", set, act.day, 0, act.by);
        write_changes(l, &act, 20);
    }
    if (act.doom != DOOM_PARTLY || act.part != NULL) {
        write_doom(s, &act);
    }
}

/* ---- what levels say of each other ---- */

static void write_lock(Level *l, Set *set, long day)
{
    Scene *s = l->s;
    Made *m = &set->made[make_some(s, (unsigned)set->n)];
    long from = chance_in(s->c, 70) ? day + 60 + (long)make_some(s, 300) : 0;
    bool every = from != 0 && chance_in(s->c, 20);
    if (m->gone || m->day >= day) {
        return;
    }
    writef(s->w, "    not to be amended locally %s%s%s%s%s\n", every ? "in any section" : "\"",
           every ? "" : m->number, every ? "" : "\"", from == 0 ? "" : " from ",
           from == 0 ? "" : date_text(from));
    set->locked = true;
    for (int i = 0; i < set->n; i++) {
        if (every || &set->made[i] == m) {
            long lock = set->made[i].lock;
            set->made[i].lock = lock == 0 || from < lock ? from : lock;
            set->made[i].gone = set->made[i].gone || from == 0;
        }
    }
}

static void write_floor(Level *l, Set *set, long day)
{
    Scene *s = l->s;
    Made *m = &set->made[make_some(s, (unsigned)set->n)];
    if (!m->gone && !m->split && m->day < day) {
        writef(s->w, "    locally at least as strict in \"%s\"\n", m->number);
        m->kept = m->fixed = true;
    }
}

/* What an upper level says to those below, and of codes. Written once all of its own texts are made. */
static void write_between(Level *l, Set *set, long day)
{
    Scene *s = l->s;
    static const char *const TOPICS[] = {"trial.one", "trial.two", "trial.two.deep"};
    write_force(s, "amends", set, day, 0, pool_format("Order %d", ++*s->fresh));
    if (chance_in(s->c, 50)) {
        write_floor(l, set, day);
    }
    if (chance_in(s->c, 40)) {
        write_lock(l, set, day);
    }
    if (chance_in(s->c, 25)) {
        writef(s->w, "    preempts local law on %s", TOPICS[make_some(s, 3)]);
        writef(s->w, "%s\n",
               chance_in(s->c, 40)
                   ? ""
                   : pool_format(" from %s", date_text(day + (long)make_some(s, 400))));
        for (int i = 0; i < SETS; i++) {
            l->set[i].locked = true;
        }
    }
    const Made *m = &set->made[make_some(s, (unsigned)set->n)];
    if (chance_in(s->c, 25) && !m->gone && m->day < day) {
        writef(s->w, "    not to be waived \"%s\"\n", m->number);
    }
    bool side = same(set->code, "side_code");
    if (chance_in(s->c, 60) && l->set[2].level >= 0 && side == l->side_wins) {
        writef(s->w, "    prevails over %s%s\n", side ? "trial_code" : "side_code",
               chance_in(s->c, 50) ? "" : pool_format(" on %s", TOPICS[make_some(s, 3)]));
    }
}

/* A change of the older edition that stays in force in the newer one. */
static void write_carried(Level *l, Act *act, Made *first, Made *second)
{
    Scene *s = l->s;
    const char *to =
        same(first->number, second->number) ? "" : pool_format(" to \"%s\"", second->number);
    bool ok = !first->gone && !second->gone && !first->silences && !second->silences &&
              !first->split && !second->split && !second->fixed && second->lock == 0;
    if (!ok || second->day > act->set->until) {
        return;
    }
    if (first->length_limit && second->length_limit && same(first->label, second->label) &&
        chance_in(s->c, 50)) {
        write_limit(s, first);
    } else {
        Made text = {.fixed = true, .day = act->day};
        writef(s->w, "    amend \"%s\" to read\n", first->number);
        write_body(s, &text);
        writef(s->w, "      basis invented\n    end");
        merge_text(first, &text);
        merge_text(second, &text);
    }
    writef(s->w, " carries over%s\n", to);
    second->kept = second->fixed = true;
}

static void write_first_edition(Level *l)
{
    Scene *s = l->s;
    Set *first = &l->set[0];
    long day = first->from + 100 + (long)make_some(s, 300);
    if (chance_in(s->c, 60)) {
        write_act(l, first, day, " lapses");
    }
    if (chance_in(s->c, 50)) {
        Act act = {.set = first, .day = day + 300, .fate = " carries over"};
        write_force(s, "amends", first, act.day, 0, pool_format("Ord. %d", ++*s->fresh));
        for (int i = 0; i < 6; i++) {
            if (chance_in(s->c, 25)) {
                write_carried(l, &act, &first->made[i], &l->set[1].made[i]);
            }
        }
    }
}

static void write_later(Level *l)
{
    Scene *s = l->s;
    long day = l->set[1].from + 5;
    for (unsigned n = make_some(s, 4) + !l->upper; n > 0; n--) {
        day += 31 + (long)make_some(s, 160);
        bool side = l->set[2].level >= 0 && l->set[2].level <= l->depth &&
                    day > l->set[2].from + 5 && chance_in(s->c, 25);
        Set *set = &l->set[1 + side];
        if (n == 1 && l->depth > 0 && chance_in(s->c, 30)) {
            writef(s->w, "end\n\n-- file piece-%s.shall\njurisdiction %s continued\n", l->name,
                   l->name);
        }
        write_act(l, set, day, "");
    }
    if (!l->set[1].locked && chance_in(s->c, 40)) {
        write_force(s, "amends", &l->set[1], day + 31, 0, pool_format("Ord. %d", ++*s->fresh));
        writef(s->w, "    applies reading %s\n", chance_in(s->c, 50) ? "wide" : "tight");
    }
    if (l->upper) {
        write_between(l, &l->set[1], l->set[1].from + 2);
        if (l->set[2].level == l->depth && chance_in(s->c, 50)) {
            write_between(l, &l->set[2], l->set[2].from + 2);
        }
    }
}

/* A code of the level's own; its adoption may be suspended, postponed, or repealed in the end. */
static void write_own_code(Level *l)
{
    static const Doom DOOMS[] = {DOOM_SUSPENDED, DOOM_REPEALED, DOOM_POSTPONED};
    Scene *s = l->s;
    Set *side = &l->set[2];
    side->from = l->set[1].from - 90 + (long)make_some(s, 300);
    Act act = {.set = side, .day = side->from, .fate = ""};
    act.by = pool_format("Code %d", ++*s->fresh);
    act.doom = chance_in(s->c, 30) ? DOOMS[make_some(s, 3)] : DOOM_NONE;
    write_force(s, "adopts", side, side->from, 0, act.by);
    if (chance_in(s->c, 15)) {
        writef(s->w, "    for units where ");
        write_unit_condition(s, true);
        writef(s->w, "\n");
    }
    if (act.doom == DOOM_POSTPONED) {
        write_upon(s, side, side->from, 0,
                   pool_format("postpones \"%s\" until %s", act.by, date_text(side->from + 13)));
    } else {
        write_doom(s, &act);
    }
    side->from += 20;
    for (int i = 0; i < side->n; i++) {
        side->made[i].day = side->from;
    }
}

static void write_level(Level *l, const char *title, const char *within)
{
    Scene *s = l->s;
    writef(s->w, "jurisdiction %s \"%s\"%s%s\n", l->name, title, within == NULL ? "" : " within ",
           within == NULL ? "" : within);
    if (l->set[2].level == l->depth) {
        write_own_code(l);
    }
    write_first_edition(l);
    write_later(l);
    writef(s->w, "end\n\n-- file made.shall\n");
}

static void write_adoptions(Level *l, bool rolling)
{
    Scene *s = l->s;
    writef(s->w, "jurisdiction state \"State\"\n  define modest = stock <= 3 or room < 3 ft\n");
    if (rolling) {
        writef(s->w,
               "\n  adopts trial_code each edition in force from 1 January after publication by "
               "\"Reg. 1\"\n");
    } else {
        write_force(s, "adopts", &l->set[0], l->set[0].from, 0, "Reg. 1");
        write_force(s, "adopts", &l->set[1], l->set[1].from, 0, "Reg. 2");
    }
    if (l->set[2].level == 0) {
        write_own_code(l);
    }
    write_first_edition(l);
    write_later(l);
    writef(s->w, "end\n\n");
}

static void write_place(Scene *s)
{
    writef(s->w, "place stop \"A stop\"\n");
    if (chance_in(s->c, 50)) {
        writef(s->w, "  health decided by county where ");
        write_unit_condition(s, false);
        writef(s->w, " by \"1\"\n");
    }
    writef(s->w, "  health decided by %s otherwise\n", chance_in(s->c, 50) ? "state" : "county");
    writef(s->w, "  fire decided by district where ");
    write_unit_condition(s, false);
    writef(s->w, "\n");
    if (chance_in(s->c, 50)) { /* whether a row like one before can govern is not said */
        writef(s->w, "  fire decided by county where %s\n",
               chance_in(s->c, 50) ? "frame is none" : "reach is not none and reach > 3 ft");
    }
    writef(s->w, "  fire decided by %s otherwise\nend\n",
           chance_in(s->c, 50) ? "state" : "district");
}

void make_rules(Writer *w, uint64_t seed)
{
    static const char *const NUMBERS[] = {"1", "2", "3", "4", "5(A)", "5(B)"};
    static const char *const LATER[] = {"1", "2", "3", "14", "5(A)", "5(B)"};
    static const char *const SIDE[] = {"S1", "S2", "S3"};
    Chance c = {seed * 0xd1342543de82ef95U + 7};
    int fresh = 0;
    Scene scene = {.c = &c, .w = w, .fresh = &fresh};
    bool rolling = chance_in(&c, 30), side = chance_in(&c, 60);
    Level state = {.s = &scene, .name = "state", .upper = true, .side_wins = side};
    long first = date_days(2020, 1, 1), second = date_days(2024, 1, 1);
    state.set[0] = (Set){.code = "trial_code", .edition = "1", .from = first, .until = second};
    state.set[1] = (Set){.code = "trial_code", .edition = "2b", .from = second};
    state.set[2] = (Set){.code = "side_code", .edition = "1", .level = (int)chance(&c, 3) - 1};
    state.set[0].published = rolling ? first - 1 - (long)chance(&c, 300) : 0;
    state.set[1].published = rolling ? second - 1 - (long)chance(&c, 300) : 0;
    write_vocabulary(&scene);
    write_code(&scene, &state.set[0], NULL, NUMBERS, 6);
    bool as = chance_in(&c, 45);
    bool stays = (as && state.set[0].made[3].kept) || chance_in(&c, 50);
    write_code(&scene, &state.set[1], as ? &state.set[0] : NULL, stays ? NUMBERS : LATER, 6);
    write_code(&scene, &state.set[2], NULL, SIDE, 3);
    write_adoptions(&state, rolling);
    Level district = state, county = state;
    bool city = chance_in(&c, 40);
    county.name = "county";
    county.depth = district.depth = 1;
    county.upper = city;
    write_level(&county, "County", "state");
    if (city) {
        county.name = "city";
        county.depth = 2;
        county.upper = false;
        write_level(&county, "City", "county");
    }
    district.name = "district";
    district.upper = false;
    district.set[2].level = district.set[2].level == 1 ? -1 : district.set[2].level;
    write_level(&district, "District", "state");
    write_place(&scene);
}
