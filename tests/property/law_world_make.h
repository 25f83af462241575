/* Makes the models of law_world_random.h. Acts are made level by level in order of date, as they
 * take effect, with a rough record of what each leaves, so that most of the laws have no error; a
 * repeal or an end may still pull the ground from under a later act. */
#ifndef LAW_WORLD_MAKE_H
#define LAW_WORLD_MAKE_H

#include "law_world_random.h"

/* A section as the acts so far have left it, were all of them in force. */
typedef struct Known {
    Text number;
    uint8_t topic;
    MadeBody body;
    bool gone;
    bool split;        /* several texts */
    Day since;         /* its number is not older */
    int guard;         /* level that keeps it for itself; MADE_LEVELS: none */
    Day guard_from;    /* DAY_UNSAID: always */
    int floor;         /* level that keeps its text as a floor; MADE_LEVELS: none */
    uint32_t last_act; /* that changed it */
    uint8_t next_cite;
} Known;

typedef struct KnownCode {
    Known list[MADE_KNOWN_MAX];
    uint32_t count;
} KnownCode;

typedef struct Maker {
    Random random;
    Made *made;
    KnownCode known[MADE_CODES][MADE_EDITIONS];
    bool used[MADE_LEVELS][2 * MADE_DAYS]; /* days of acts: no two of one level on one day */
    bool targeted[MADE_ACTS_MAX];          /* by an act on acts */
    uint32_t numbers;                      /* new section numbers so far */
    Text second_of[MADE_SECTIONS_MAX];     /* number in the second edition; "": not there */
} Maker;

static inline bool maker_chance(Maker *maker, uint32_t percent)
{
    return random_chance(&maker->random, percent);
}

static inline uint8_t maker_pick(Maker *maker, uint32_t count)
{
    return (uint8_t)random_below(&maker->random, count);
}

static inline Day maker_day(Maker *maker, Day from, uint32_t span)
{
    return from + (Day)random_below(&maker->random, span);
}

/* ---- bodies and codes ---- */

static inline MadeException make_exception(Maker *maker, uint8_t cite)
{
    uint8_t limit = maker_chance(maker, 50) ? (uint8_t)(30 + maker_pick(maker, 30)) : 0;
    return (MadeException){cite, maker_pick(maker, MADE_CONDITIONS), limit};
}

static inline void make_permit(Maker *maker, MadeBody *body, Day around)
{
    if (maker_chance(maker, 65)) {
        return;
    }
    body->permit = (uint8_t)(1 + random_below(&maker->random, PERMIT_EXISTING_FROM));
    body->day = maker_day(maker, around - 150, 400);
    if (body->permit == PERMIT_EXISTING_FROM) {
        body->day = maker_day(maker, around + 10, 300);
    }
}

static inline MadeBody make_body(Maker *maker, bool two_lines, Day around)
{
    MadeBody body = {.two_lines = two_lines,
                     .width = (uint8_t)(10 + maker_pick(maker, 40)),
                     .height = (uint8_t)(10 + maker_pick(maker, 40)),
                     .allowed = maker_chance(maker, 25)};
    make_permit(maker, &body, around);
    if (maker_chance(maker, 8)) {
        body.scope = (uint8_t)(1 + maker_pick(maker, MADE_CONDITIONS));
    }
    uint32_t exceptions = maker_chance(maker, 40) ? 1 + random_below(&maker->random, 2) : 0;
    for (uint32_t i = 0; i < exceptions; i++) {
        body.exceptions[body.exception_count++] = make_exception(maker, (uint8_t)(1 + i));
    }
    return body;
}

static inline bool is_split(const MadeBody *body)
{
    return body->permit == PERMIT_ON_OR_AFTER || body->permit == PERMIT_BEFORE ||
           body->permit == PERMIT_EXISTING_FROM || body->scope > 0;
}

static inline Known *know(KnownCode *code, Text number, uint8_t topic, const MadeBody *body)
{
    if (code->count == MADE_KNOWN_MAX) {
        return NULL;
    }
    Known *known = &code->list[code->count++];
    *known = (Known){.number = number,
                     .topic = topic,
                     .body = *body,
                     .since = INT32_MIN,
                     .guard = MADE_LEVELS,
                     .floor = MADE_LEVELS,
                     .last_act = UINT32_MAX,
                     .next_cite = 5};
    return known;
}

static inline void make_code(Maker *maker, uint32_t index)
{
    MadeCode *code = &maker->made->codes[index][0];
    Arena *arena = maker->made->arena;
    code->there = true;
    code->published = DAY_UNSAID;
    code->scope = maker_chance(maker, 8) ? (uint8_t)(1 + maker_pick(maker, MADE_CONDITIONS)) : 0;
    uint32_t bases = 2 + random_below(&maker->random, 3);
    for (uint32_t base = 0; base < bases; base++) {
        static const char *const tails[] = {"", "(A)", "(B)", ".1"};
        uint8_t topic = maker_pick(maker, MADE_TOPICS);
        uint32_t first = random_below(&maker->random, 2); /* with the base itself, or without */
        uint32_t last = first + random_below(&maker->random, 3);
        for (uint32_t t = first; t <= last && t < 4 && code->section_count < MADE_SECTIONS_MAX;
             t++) {
            MadeSection *section = &code->sections[code->section_count++];
            section->number = text_format(arena, "1-1%02u%s", base + 1, tails[t]);
            section->topic = topic;
            section->never_waived = maker_chance(maker, 10);
            section->body = make_body(maker, maker_chance(maker, 35), made_start() + 100);
            if (maker_chance(maker, 10)) {
                section->body.width = 0;
                section->body.allowed = false;
            }
        }
    }
    for (uint32_t i = 0; i < code->section_count; i++) {
        const MadeSection *section = &code->sections[i];
        (void)know(&maker->known[index][0], section->number, section->topic, &section->body);
    }
}

/* The second edition: most sections again, some under another number, some not. */
static inline void make_second(Maker *maker)
{
    Arena *arena = maker->made->arena;
    const MadeCode *first = &maker->made->codes[0][0];
    MadeCode *second = &maker->made->codes[0][1];
    second->there = true;
    second->published = DAY_UNSAID;
    second->scope = first->scope;
    bool moved = false;
    Text base = {NULL, 0};
    for (uint32_t i = 0; i < first->section_count; i++) {
        Text number = first->sections[i].number;
        if (base.len == 0 || !made_covers(base, number)) {
            base = (Text){number.data, 5}; /* "1-101" */
            moved = maker_chance(maker, 40);
        }
        if (maker_chance(maker, 15)) {
            continue;
        }
        MadeSection *section = &second->sections[second->section_count++];
        *section = first->sections[i];
        if (moved) {
            Text to = text_format(arena, "2-2%.*s", 2, number.data + 3);
            section->number = made_moved(arena, number, base, to);
        }
        section->body.width = section->body.width == 0 ? 0 : (uint8_t)(section->body.width + 1);
        maker->second_of[i] = section->number;
        (void)know(&maker->known[0][1], section->number, section->topic, &section->body);
    }
}

/* ---- what acts leave ---- */

static inline bool is_guarded(const KnownCode *code, Text number, uint8_t level, Day from)
{
    for (uint32_t i = 0; i < code->count; i++) {
        const Known *known = &code->list[i];
        bool near = made_covers(number, known->number) || made_covers(known->number, number);
        if (near && known->guard < level &&
            (known->guard_from == DAY_UNSAID || from >= known->guard_from)) {
            return true;
        }
    }
    return false;
}

/* Does a level above keep it, or what it is a part of, on whatever day? What is inserted there may be
 * displaced one day, with all that was said of it. */
static inline bool is_near_guarded(const KnownCode *code, Text number, uint8_t level)
{
    for (uint32_t i = 0; i < code->count; i++) {
        if (made_covers(code->list[i].number, number) && code->list[i].guard < level) {
            return true;
        }
    }
    return false;
}

/* Has the act itself changed what the number covers? */
static inline bool is_touched(const KnownCode *code, Text number, uint32_t act)
{
    for (uint32_t i = 0; i < code->count; i++) {
        const Known *known = &code->list[i];
        if (made_covers(number, known->number) && known->last_act == act) {
            return true;
        }
    }
    return false;
}

/* Does a level above keep any of what the number covers, on whatever day? A deletion would then be
 * displaced in part. */
static inline bool covers_guarded(const KnownCode *code, Text number, uint8_t level)
{
    for (uint32_t i = 0; i < code->count; i++) {
        if (made_covers(number, code->list[i].number) && code->list[i].guard < level) {
            return true;
        }
    }
    return false;
}

static inline bool is_floor(const KnownCode *code, Text number, uint8_t level)
{
    for (uint32_t i = 0; i < code->count; i++) {
        const Known *known = &code->list[i];
        if (made_covers(number, known->number) && known->floor < level) {
            return true;
        }
    }
    return false;
}

static inline bool has_subdivision(const KnownCode *code, Text number)
{
    for (uint32_t i = 0; i < code->count; i++) {
        const Known *known = &code->list[i];
        if (!known->gone && made_covers(number, known->number) &&
            !text_equal(number, known->number)) {
            return true;
        }
    }
    return false;
}

static inline Known *find_known(KnownCode *code, Text number)
{
    for (uint32_t i = 0; i < code->count; i++) {
        if (!code->list[i].gone && text_equal(code->list[i].number, number)) {
            return &code->list[i];
        }
    }
    return NULL;
}

static inline MadeException *find_cite(MadeBody *body, uint8_t cite)
{
    for (uint32_t i = 0; i < body->exception_count; i++) {
        if (body->exceptions[i].cite == cite) {
            return &body->exceptions[i];
        }
    }
    return NULL;
}

/* Records a change of the section `number`; false when it could not be made. */
static inline bool leave(KnownCode *code, const MadeChange *change, Text number, uint32_t act,
                         Day from)
{
    Known *known = find_known(code, number);
    if (change->kind == CHANGE_INSERT) {
        Known *made =
            known != NULL ? NULL : know(code, number, change->section.topic, &change->section.body);
        if (made != NULL) {
            made->since = from;
            made->last_act = act;
        }
        return made != NULL;
    }
    if (change->kind == CHANGE_DELETE) {
        for (uint32_t i = 0; i < code->count; i++) {
            code->list[i].gone = code->list[i].gone || made_covers(number, code->list[i].number);
        }
        return true;
    }
    if (known == NULL || known->body.two_lines != change->body.two_lines) {
        return false;
    }
    if (change->kind == CHANGE_TO_READ) {
        known->split = is_split(&change->body);
        known->body = change->body;
    }
    known->last_act = act;
    return true;
}

static inline Text second_number(const Maker *maker, Text number)
{
    const MadeCode *first = &maker->made->codes[0][0];
    for (uint32_t i = 0; i < first->section_count; i++) {
        if (text_equal(first->sections[i].number, number)) {
            return maker->second_of[i];
        }
    }
    return TEXT("");
}

/* What becomes of a change of the first edition when the second comes. */
static inline void make_fate(Maker *maker, const MadeAct *act, MadeChange *change, uint32_t index)
{
    bool is_insert = change->kind == CHANGE_INSERT;
    Text own = is_insert ? change->section.number : change->target;
    change->fate = FATE_LAPSES;
    if (maker_chance(maker, 2)) {
        change->fate = FATE_UNSAID; /* an error from that day */
        return;
    }
    if (maker_chance(maker, 45) ||
        !(is_insert || change->kind == CHANGE_TO_READ || change->kind == CHANGE_LIMIT ||
          change->kind == CHANGE_DELETE)) {
        return;
    }
    KnownCode *second = &maker->known[0][1];
    Text number = is_insert ? own : second_number(maker, own);
    if (number.len > 0 && !is_guarded(second, number, act->level, act->from) &&
        !(change->kind == CHANGE_DELETE &&
          (find_known(second, number) == NULL || covers_guarded(second, number, act->level))) &&
        leave(second, change, number, index, act->from)) {
        change->fate = FATE_CARRIES_OVER;
        change->carried_to = text_equal(number, own) ? TEXT("") : number;
    }
}

/* ---- changes of sections ---- */

static inline Known *pick_known(Maker *maker, KnownCode *code, const MadeAct *act, uint32_t index)
{
    for (uint32_t try = 0; try < 8 && code->count > 0; try++) {
        Known *known = &code->list[random_below(&maker->random, code->count)];
        if (!known->gone && known->last_act != index && known->since < act->from &&
            !is_guarded(code, known->number, act->level, act->from)) {
            return known;
        }
    }
    return NULL;
}

static inline bool make_insert(Maker *maker, KnownCode *code, const MadeAct *act,
                               MadeChange *change, const Known *near, uint32_t index)
{
    Arena *arena = maker->made->arena;
    MadeSection *section = &change->section;
    bool below = maker_chance(maker, 60) && !is_near_guarded(code, near->number, act->level);
    section->number =
        below ? text_format(arena, "%.*s(%u)", TEXT_ARG(near->number), 10 + maker->numbers)
              : text_format(arena, "1-3%02u", 10 + maker->numbers);
    maker->numbers++;
    section->topic = below ? near->topic : maker_pick(maker, MADE_TOPICS);
    section->body = make_body(maker, maker_chance(maker, 35), act->from);
    change->topic = section->topic;
    return leave(code, change, section->number, index, act->from);
}

/* Declarations for the levels below, and about whole codes. */
static inline bool make_declaration(Maker *maker, const MadeAct *act, MadeChange *change,
                                    Known *known)
{
    bool innermost = act->level + 1u == maker->made->levels;
    static const uint8_t kinds[] = {CHANGE_APPLIES_READING, CHANGE_LOCAL_FLOOR, CHANGE_NO_LOCAL,
                                    CHANGE_NO_WAIVER,       CHANGE_PREEMPTS,    CHANGE_PREVAILS};
    change->kind = kinds[maker_pick(maker, sizeof kinds)];
    change->target = known->number;
    change->topic = known->topic;
    switch (change->kind) {
    case CHANGE_APPLIES_READING:
        change->reading = maker_pick(maker, 2);
        change->target = TEXT(""); /* shared readings are applied in the whole code */
        return true;
    case CHANGE_LOCAL_FLOOR:
        known->floor = act->level;
        return !innermost && known->guard == MADE_LEVELS;
    case CHANGE_NO_LOCAL:
        if (innermost || known->guard != MADE_LEVELS) {
            return false;
        }
        known->guard = act->level;
        if (maker_chance(maker, 60)) {
            change->day = known->guard_from = maker_day(maker, act->from, 300);
        } else {
            known->guard_from = DAY_UNSAID;
        }
        return true;
    case CHANGE_NO_WAIVER: return true;
    case CHANGE_PREEMPTS:
        change->target = TEXT("");
        change->topics = (uint8_t)(1u << maker_pick(maker, MADE_TOPICS));
        change->day = maker_chance(maker, 50) ? maker_day(maker, act->from, 300) : DAY_UNSAID;
        return !innermost && maker_chance(maker, 60);
    default:
        change->target = TEXT("");
        change->code = 1;
        change->topics = maker_pick(maker, 1u << MADE_TOPICS);
        return act->code == 0;
    }
}

static inline bool make_exception_change(Maker *maker, MadeChange *change, Known *known)
{
    MadeBody *body = &known->body;
    if (known->split || is_split(body)) {
        return false;
    }
    if (change->kind == CHANGE_EXCEPTION_INSERT) {
        if (body->exception_count == MADE_EXCEPTIONS_MAX) {
            return false;
        }
        change->exception = make_exception(maker, known->next_cite++);
        body->exceptions[body->exception_count++] = change->exception;
        return true;
    }
    if (body->exception_count == 0) {
        return false;
    }
    change->cite = body->exceptions[maker_pick(maker, body->exception_count)].cite;
    if (change->kind == CHANGE_EXCEPTION_TO_READ) {
        change->exception = make_exception(maker, change->cite);
        return true;
    }
    MadeException *found = find_cite(body, change->cite);
    if (found != NULL) {
        *found = body->exceptions[--body->exception_count];
    }
    return found != NULL;
}

static inline bool make_section_change(Maker *maker, KnownCode *code, const MadeAct *act,
                                       MadeChange *change, Known *known, uint32_t index,
                                       bool scoped)
{
    static const uint8_t kinds[] = {CHANGE_TO_READ,
                                    CHANGE_TO_READ,
                                    CHANGE_TO_READ,
                                    CHANGE_LIMIT,
                                    CHANGE_LIMIT,
                                    CHANGE_LIMIT,
                                    CHANGE_EXCEPTION_INSERT,
                                    CHANGE_EXCEPTION_DELETE,
                                    CHANGE_EXCEPTION_TO_READ,
                                    CHANGE_INSERT,
                                    CHANGE_INSERT,
                                    CHANGE_DELETE,
                                    CHANGE_RENUMBER};
    change->kind = kinds[maker_pick(maker, scoped ? 9 : sizeof kinds)];
    change->target = known->number;
    change->topic = known->topic;
    change->body.two_lines = known->body.two_lines;
    switch (change->kind) {
    case CHANGE_TO_READ:
        change->body = make_body(maker, known->body.two_lines, act->from);
        if (!leave(code, change, known->number, index, act->from)) {
            return false;
        }
        known->split = known->split || scoped;
        return true;
    case CHANGE_LIMIT:
        change->second = known->body.two_lines && maker_chance(maker, 50);
        change->limit = (uint8_t)(5 + maker_pick(maker, 60));
        known->split = known->split || scoped;
        return leave(code, change, known->number, index, act->from);
    case CHANGE_INSERT: return make_insert(maker, code, act, change, known, index);
    case CHANGE_DELETE:
        change->reserve = maker_chance(maker, 30);
        return !is_floor(code, known->number, act->level) &&
               !is_touched(code, known->number, index) &&
               !covers_guarded(code, known->number, act->level) &&
               leave(code, change, known->number, index, act->from);
    case CHANGE_RENUMBER:
        if (has_subdivision(code, known->number) ||
            covers_guarded(code, known->number, act->level)) {
            return false;
        }
        known->number = change->number =
            text_format(maker->made->arena, "9-%u", 10 + maker->numbers++);
        known->since = act->from;
        known->last_act = index;
        return true;
    default:
        known->last_act = index;
        if (!make_exception_change(maker, change, known)) {
            return false;
        }
        known->split = known->split || scoped;
        return true;
    }
}

static inline void make_changes(Maker *maker, MadeAct *act, uint32_t index)
{
    KnownCode *code = &maker->known[act->code][act->edition];
    bool two = act->code == 0 && maker->made->second_from != DAY_FOREVER;
    bool scoped = !act->adopts && maker_chance(maker, 12);
    if (scoped) {
        act->changes[act->change_count++] =
            (MadeChange){.kind = CHANGE_FOR_UNITS,
                         .scope = (uint8_t)(1 + maker_pick(maker, MADE_CONDITIONS)),
                         .day = DAY_UNSAID};
    }
    uint32_t wanted = 1 + random_below(&maker->random, MADE_CHANGES_MAX - 1);
    for (uint32_t i = 0; i < wanted && act->change_count < MADE_CHANGES_MAX; i++) {
        MadeChange change = {.day = DAY_UNSAID};
        Known *known = pick_known(maker, code, act, index);
        if (known == NULL) {
            continue;
        }
        Known before = *known;
        bool declares = !scoped && maker_chance(maker, 25);
        bool done = declares ? make_declaration(maker, act, &change, known)
                             : make_section_change(maker, code, act, &change, known, index, scoped);
        if (!done) {
            *known = before;
            continue;
        }
        if (two && act->edition == 0 && is_of_section(&change)) {
            make_fate(maker, act, &change, index);
        }
        act->changes[act->change_count++] = change;
    }
}

/* ---- acts ---- */

static inline MadeAct *make_act(Maker *maker, uint8_t level, uint8_t code, Day from)
{
    Made *made = maker->made;
    MadeAct *act = &made->acts[made->act_count];
    *act = (MadeAct){.name = made->act_count + 1,
                     .level = level,
                     .code = code,
                     .from = from,
                     .until = DAY_FOREVER,
                     .dated = maker_chance(maker, 20)};
    act->edition = code == 0 && from >= made->second_from;
    made->act_count++;
    maker->used[level][from - made_start()] = true;
    return act;
}

static inline bool is_free(const Maker *maker, uint8_t level, Day day)
{
    Day index = day - made_start();
    return index >= 0 && index < 2 * MADE_DAYS && !maker->used[level][index];
}

/* What repeals, extends or postpones an earlier act of its level. */
static inline void make_act_on_act(Maker *maker, uint8_t level)
{
    Made *made = maker->made;
    uint32_t index = random_below(&maker->random, made->act_count);
    MadeAct *target = &made->acts[index];
    if (target->level != level || target->adopts || maker->targeted[index] ||
        made->act_count == MADE_ACTS_MAX) {
        return;
    }
    MadeChange change = {.kind = CHANGE_REPEALS, .act = target->name, .day = DAY_UNSAID};
    Day end = made_start() + MADE_DAYS;
    Day last = target->until < end ? target->until : end;
    if (last <= target->from) {
        return;
    }
    Day from = maker_day(maker, target->from + 1, (uint32_t)(last - target->from));
    Day until = DAY_FOREVER;
    if (target->on_acts &&
        (target->until != DAY_FOREVER || target->changes[0].kind != CHANGE_REPEALS)) {
        return; /* what it would mean to repeal an extension is another matter */
    }
    if (!target->on_acts && target->until != DAY_FOREVER && maker_chance(maker, 60)) {
        change.kind = CHANGE_EXTENDS;
        from = maker_day(maker, target->from, (uint32_t)(target->until - target->from + 2));
        change.day = maker_day(maker, target->until + 10, 200);
    } else if (!target->on_acts && maker_chance(maker, 30)) {
        change.kind = CHANGE_POSTPONES;
        from = target->from - (Day)random_below(&maker->random, 20);
        change.day = maker_day(maker, target->from + 10, 120);
        if (!is_free(maker, level, change.day) || change.day > target->until ||
            (target->code == 0 && target->edition == 0 && change.day >= made->second_from)) {
            return;
        }
    } else if (!target->on_acts && target->change_count > 1 && maker_chance(maker, 35)) {
        const MadeChange *one = &target->changes[target->change_count - 1];
        change.target = one->kind == CHANGE_INSERT ? one->section.number : one->target;
    }
    if (change.kind == CHANGE_REPEALS && !target->on_acts && maker_chance(maker, 25)) {
        until = from + 20 + (Day)random_below(&maker->random, 200);
    }
    if (!is_free(maker, level, from) || (change.kind == CHANGE_POSTPONES && from == change.day)) {
        return;
    }
    if (change.kind == CHANGE_POSTPONES) {
        maker->used[level][change.day - made_start()] = true;
    }
    MadeAct *act = make_act(maker, level, target->code, from);
    act->until = until;
    act->on_acts = true;
    act->dated = false;
    act->changes[act->change_count++] = change;
    maker->targeted[index] = true;
}

static inline void make_level(Maker *maker, uint8_t level)
{
    Made *made = maker->made;
    uint32_t acts = 2 + random_below(&maker->random, 5);
    Day from = made_start() + 12 + (Day)level;
    for (uint32_t i = 0; i < acts && made->act_count < MADE_ACTS_MAX; i++) {
        from = maker_day(maker, from + 2, 200);
        if (from >= made_start() + MADE_DAYS || !is_free(maker, level, from)) {
            continue;
        }
        MadeAct *act = make_act(maker, level, maker_pick(maker, level == 0 ? 2 : 3), from);
        if (maker_chance(maker, 25)) {
            act->until = maker_day(maker, from + 20, 300);
        }
        make_changes(maker, act, made->act_count - 1);
    }
    uint32_t on_acts = random_below(&maker->random, 5);
    for (uint32_t i = 0; i < on_acts; i++) {
        make_act_on_act(maker, level);
    }
}

static inline void make_adoptions(Maker *maker)
{
    Made *made = maker->made;
    bool rolls = false;
    for (uint8_t code = 0; code < 2; code++) {
        MadeAct *act = make_act(maker, 0, code, made_start() + 2 + code);
        act->adopts = true;
        act->dated = false;
        if (code == 0 && made->second_from != DAY_FOREVER && maker_chance(maker, 40)) {
            act->month = (uint8_t)(1 + maker_pick(maker, 7));
            made->codes[0][0].published = date_day(2021, 12, 31);        /* in force from 2022 on */
            made->codes[0][1].published = date_day(2023, act->month, 1); /* not of that day */
            act->from = date_day(2022, act->month, 1);
            made->second_from = date_day(2024, act->month, 1);
            rolls = true;
            continue; /* it holds no changes */
        }
        make_changes(maker, act, made->act_count - 1);
    }
    if (made->second_from != DAY_FOREVER && !rolls) {
        MadeAct *act = make_act(maker, 0, 0, made->second_from);
        act->adopts = true;
        act->dated = false;
        make_changes(maker, act, made->act_count - 1);
    }
}

static inline void make_local_code(Maker *maker)
{
    MadeAct *act = make_act(maker, 1, 2, made_start() + 7);
    act->adopts = true;
    act->dated = false;
    if (maker_chance(maker, 30)) {
        act->until = maker_day(maker, act->from + 200, 300);
    }
}

/* The same seed makes the same library. */
static inline const Made *made_new(Arena *arena, uint64_t seed)
{
    Maker *maker = ARENA_NEW(arena, Maker);
    Made *made = ARENA_NEW(arena, Made);
    maker->random.state = seed;
    maker->made = made;
    made->arena = arena;
    made->seed = seed;
    made->levels = maker_chance(maker, 40) ? 3 : 2;
    made->second_from =
        maker_chance(maker, 60) ? maker_day(maker, made_start() + 150, 400) : DAY_FOREVER;
    for (uint32_t code = 0; code < MADE_CODES; code++) {
        make_code(maker, code);
    }
    if (made->second_from != DAY_FOREVER) {
        make_second(maker);
    }
    make_adoptions(maker);
    make_local_code(maker);
    for (uint8_t level = 0; level < made->levels; level++) {
        make_level(maker, level);
    }
    return made;
}

#endif
