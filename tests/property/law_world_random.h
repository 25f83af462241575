/* Libraries made by chance for the properties of the law in force: a few codes, one of them in two
 * editions, a state, a county and a town, and acts of all kinds through two years. A library is a
 * model first (Made...), then text, so that law_world_reduce.h works out from the model alone
 * what is in force on a day. All of it is invented. */
#ifndef LAW_WORLD_RANDOM_H
#define LAW_WORLD_RANDOM_H

#include <stdio.h>
#include <stdlib.h>

#include "law/law.h"

enum {
    MADE_LEVELS = 3,
    MADE_CODES = 3,    /* the third is the county's own */
    MADE_EDITIONS = 2, /* of the first code */
    MADE_SECTIONS_MAX = 10,
    MADE_ACTS_MAX = 64,
    MADE_CHANGES_MAX = 6,
    MADE_EXCEPTIONS_MAX = 3,
    MADE_KNOWN_MAX = 48,
    MADE_TOPICS = 4,
    MADE_CONDITIONS = 3,
    MADE_DAYS = 730 /* from made_start() */
};

/* ---- chance ---- */

typedef struct Random {
    uint64_t state;
} Random;

static inline uint64_t random_next(Random *random)
{
    uint64_t z = random->state += UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

static inline uint32_t random_below(Random *random, uint32_t count)
{
    return (uint32_t)(random_next(random) % count);
}

static inline bool random_chance(Random *random, uint32_t percent)
{
    return random_below(random, 100) < percent;
}

/* COUNT or SEED of the environment. */
static inline uint64_t setting(const char *name, uint64_t usual)
{
    const char *value = getenv(name);
    return value == NULL || value[0] == '\0' ? usual : strtoull(value, NULL, 10);
}

/* ---- the model ---- */

typedef struct MadeException {
    uint8_t cite;      /* 1..: "Note 1" */
    uint8_t condition; /* index */
    uint8_t limit;     /* in; 0: it excuses */
} MadeException;

typedef struct MadeBody {
    bool two_lines;        /* width and height, labelled; else width alone */
    uint8_t width, height; /* in; width 0: left blank by the code */
    bool allowed;          /* the shared definition "allowance" is added */
    uint8_t permit;        /* PermitKind */
    Day day;
    uint8_t scope; /* for units where: index of the condition + 1; 0: none */
    MadeException exceptions[MADE_EXCEPTIONS_MAX];
    uint8_t exception_count;
} MadeBody;

typedef struct MadeSection {
    Text number;
    uint8_t topic;
    bool never_waived;
    MadeBody body;
} MadeSection;

typedef struct MadeChange {
    uint8_t kind; /* ChangeKind */
    Text target;  /* "": none */
    MadeBody body;
    MadeSection section;     /* insert */
    bool second;             /* limit: of the line on height */
    uint8_t limit;           /* in */
    MadeException exception; /* read, inserted */
    uint8_t cite;            /* of the exception meant */
    bool reserve;
    Text number;    /* renumber */
    uint8_t topics; /* bit set; 0: all */
    uint8_t scope;  /* for units where: index + 1 */
    uint8_t reading;
    uint8_t code; /* prevails over */
    uint32_t act; /* repeals, extends, postpones */
    Day day;      /* DAY_UNSAID */
    uint8_t fate; /* FateKind */
    Text carried_to;
    uint8_t topic; /* of the section meant */
} MadeChange;

typedef struct MadeAct {
    uint32_t name; /* "Act 7" */
    uint8_t level, code, edition;
    bool adopts;
    uint8_t month;   /* each edition, from the first of it after publication; 0: not so */
    Day from, until; /* DAY_FOREVER */
    bool dated;      /* with the days of its history */
    MadeChange changes[MADE_CHANGES_MAX];
    uint8_t change_count;
    bool on_acts; /* repeals, extends, postpones: nothing else in it */
} MadeAct;

typedef struct MadeCode {
    MadeSection sections[MADE_SECTIONS_MAX];
    uint32_t section_count;
    bool there;    /* else there is no such edition */
    uint8_t scope; /* for units where, of all its sections: index + 1 */
    Day published; /* DAY_UNSAID */
} MadeCode;

typedef struct Made {
    Arena *arena;
    uint64_t seed;
    MadeCode codes[MADE_CODES][MADE_EDITIONS];
    MadeAct acts[MADE_ACTS_MAX];
    uint32_t act_count;
    uint32_t levels; /* 2 or 3 */
    Day second_from; /* of the second edition of the first code; DAY_FOREVER: none */
} Made;

static const char *const made_levels[MADE_LEVELS] = {"halloway", "quillmark", "brim"};
static const char *const made_topics[MADE_TOPICS] = {"t.a", "t.a.x", "t.b", "t.c"};
static const char *const made_conditions[MADE_CONDITIONS] = {"kind is cart", "width <= 10 in",
                                                             "screened is yes"};
static const char *const made_readings[2] = {"loose", "tight"};

static inline Day made_start(void)
{
    return date_day(2023, 1, 1);
}

/* True when the number is the target or a subdivision of it; numbers here have no other cuts that
 * matter. Written apart from the assembly's own on purpose. */
static inline bool made_covers(Text target, Text number)
{
    if (target.len == 0 || !text_starts(number, target)) {
        return false;
    }
    return number.len == target.len || number.data[target.len] == '(' ||
           number.data[target.len] == '.';
}

/* The number of a section under another number of what it is a subdivision of. */
static inline Text made_moved(Arena *arena, Text number, Text from, Text to)
{
    return text_format(arena, "%.*s%.*s", TEXT_ARG(to), (int)(number.len - from.len),
                       number.data + from.len);
}

/* ---- text ---- */

static inline void put_date(Buffer *out, const char *word, Day day)
{
    buffer_format(out, " %s %.*s", word, TEXT_ARG(date_print(out->arena, day)));
}

static inline void put_permit(Buffer *out, const MadeBody *body)
{
    switch ((PermitKind)body->permit) {
    case PERMIT_ALL: return;
    case PERMIT_ON_OR_AFTER: put_date(out, "for units permitted on or after", body->day); break;
    case PERMIT_BEFORE: put_date(out, "for units permitted before", body->day); break;
    case PERMIT_NOT_BEFORE: put_date(out, "not for units under permit before", body->day); break;
    case PERMIT_NOT_ON: put_date(out, "not for units under permit on", body->day); break;
    case PERMIT_EXISTING_FROM: put_date(out, "existing units from", body->day); break;
    }
    buffer_string(out, "\n");
}

static inline void put_exception(Buffer *out, const MadeException *exception)
{
    buffer_format(out, "    except where %s by \"Note %u\"", made_conditions[exception->condition],
                  exception->cite);
    if (exception->limit > 0) {
        buffer_format(out, " shall width <= %u in", exception->limit);
    }
    buffer_string(out, "\n");
}

static inline void put_body(Buffer *out, const MadeBody *body)
{
    put_permit(out, body);
    if (body->scope > 0) {
        buffer_format(out, "    for units where %s\n", made_conditions[body->scope - 1]);
    }
    buffer_format(out, "    shall %swidth <= ", body->two_lines ? "wide: " : "");
    if (body->width == 0) {
        buffer_string(out, "blank \"the width\"");
    } else {
        buffer_format(out, "%u in%s", body->width, body->allowed ? " + allowance" : "");
    }
    buffer_string(out, "\n");
    if (body->two_lines) {
        buffer_format(out, "    shall high: height <= %u in\n", body->height);
    }
    for (uint32_t i = 0; i < body->exception_count; i++) {
        put_exception(out, &body->exceptions[i]);
    }
}

static inline void put_section(Buffer *out, const MadeSection *section)
{
    buffer_format(out, "  section \"%.*s\" \"Heading\"\n    topic %s\n", TEXT_ARG(section->number),
                  made_topics[section->topic]);
    if (section->never_waived) {
        buffer_string(out, "    not to be waived\n");
    }
    put_body(out, &section->body);
    buffer_string(out, "  end\n");
}

static inline void put_topics(Buffer *out, uint8_t topics)
{
    const char *part = " on ";
    for (uint32_t i = 0; i < MADE_TOPICS; i++) {
        if ((topics & 1u << i) != 0) {
            buffer_format(out, "%s%s", part, made_topics[i]);
            part = ", ";
        }
    }
}

static inline void put_fate(Buffer *out, const MadeChange *change)
{
    if (change->fate == FATE_LAPSES) {
        buffer_string(out, " lapses");
    } else if (change->fate == FATE_CARRIES_OVER) {
        buffer_string(out, " carries over");
        if (change->carried_to.len > 0) {
            buffer_format(out, " to \"%.*s\"", TEXT_ARG(change->carried_to));
        }
    }
}

static inline void put_act_change(Buffer *out, const MadeChange *change)
{
    const char *verb = change->kind == CHANGE_REPEALS   ? "repeals"
                       : change->kind == CHANGE_EXTENDS ? "extends"
                                                        : "postpones";
    buffer_format(out, "  %s \"Act %u\"", verb, change->act);
    if (change->kind != CHANGE_REPEALS) {
        put_date(out, "until", change->day);
    } else if (change->target.len > 0) {
        buffer_format(out, " in \"%.*s\"", TEXT_ARG(change->target));
    }
}

static inline void put_change(Buffer *out, const MadeChange *change)
{
    Text target = change->target;
    switch ((ChangeKind)change->kind) {
    case CHANGE_TO_READ:
        buffer_format(out, "  amend \"%.*s\" to read\n", TEXT_ARG(target));
        put_body(out, &change->body);
        buffer_string(out, "  end");
        break;
    case CHANGE_LIMIT:
        buffer_format(out, "  amend \"%.*s\" limit%s to %u in", TEXT_ARG(target),
                      !change->body.two_lines ? ""
                      : change->second        ? " high"
                                              : " wide",
                      change->limit);
        break;
    case CHANGE_DELETE:
        buffer_format(out, "  delete %s\"%.*s\"", change->reserve ? "and reserve " : "",
                      TEXT_ARG(target));
        break;
    case CHANGE_INSERT:
        buffer_string(out, "  insert\n");
        put_section(out, &change->section);
        break;
    case CHANGE_APPLIES_READING:
        buffer_format(out, "  applies reading %s", made_readings[change->reading]);
        if (target.len > 0) {
            buffer_format(out, " in \"%.*s\"", TEXT_ARG(target));
        }
        break;
    case CHANGE_LOCAL_FLOOR:
        buffer_format(out, "  locally at least as strict in \"%.*s\"", TEXT_ARG(target));
        break;
    case CHANGE_NO_LOCAL:
        buffer_format(out, "  not to be amended locally \"%.*s\"", TEXT_ARG(target));
        if (change->day != DAY_UNSAID) {
            put_date(out, "from", change->day);
        }
        break;
    case CHANGE_EXCEPTION_TO_READ:
        buffer_format(out, "  amend \"%.*s\" exception \"Note %u\" to read\n", TEXT_ARG(target),
                      change->cite);
        put_exception(out, &change->exception);
        buffer_string(out, "  end");
        break;
    case CHANGE_EXCEPTION_DELETE:
        buffer_format(out, "  amend \"%.*s\" to delete exception \"Note %u\"", TEXT_ARG(target),
                      change->cite);
        break;
    case CHANGE_EXCEPTION_INSERT:
        buffer_format(out, "  amend \"%.*s\" to add\n", TEXT_ARG(target));
        put_exception(out, &change->exception);
        buffer_string(out, "  end");
        break;
    case CHANGE_RENUMBER:
        buffer_format(out, "  renumber \"%.*s\" as \"%.*s\"", TEXT_ARG(target),
                      TEXT_ARG(change->number));
        break;
    case CHANGE_NO_WAIVER:
        buffer_format(out, "  not to be waived \"%.*s\"", TEXT_ARG(target));
        break;
    case CHANGE_PREEMPTS:
        buffer_string(out, "  preempts local law");
        put_topics(out, change->topics);
        if (change->day != DAY_UNSAID) {
            put_date(out, "from", change->day);
        }
        break;
    case CHANGE_PREVAILS:
        buffer_format(out, "  prevails over code_%u", change->code);
        put_topics(out, change->topics);
        break;
    case CHANGE_FOR_UNITS:
        buffer_format(out, "  for units where %s", made_conditions[change->scope - 1]);
        break;
    case CHANGE_REPEALS:
    case CHANGE_EXTENDS:
    case CHANGE_POSTPONES: put_act_change(out, change); break;
    }
    put_fate(out, change);
    buffer_string(out, "\n");
}

static inline void put_act(Buffer *out, const MadeAct *act)
{
    static const char *const months[] = {"",      "January", "February", "March",
                                         "April", "May",     "June",     "July"};
    buffer_format(out, "  %s code_%u ", act->adopts ? "adopts" : "amends", act->code);
    if (act->month > 0) {
        buffer_format(out, "each edition in force from 1 %s after publication", months[act->month]);
    } else {
        buffer_format(out, "edition %u in force", act->edition + 1u);
        put_date(out, "from", act->from);
        if (act->until != DAY_FOREVER) {
            put_date(out, "until", act->until);
        }
    }
    buffer_format(out, " by \"Act %u\"", act->name);
    if (act->dated) {
        put_date(out, "passed", act->from - 40);
        put_date(out, "filed", act->from - 20);
        put_date(out, "effective", act->from);
    }
    buffer_string(out, "\n");
    for (uint32_t i = 0; i < act->change_count; i++) {
        put_change(out, &act->changes[i]);
    }
}

static inline void put_vocabulary(Buffer *out)
{
    buffer_string(out, "vocabulary unit\n  fact width length always present at least 0 in\n"
                       "  fact height length always present at least 0 in\n"
                       "  fact kind one of cart, trailer always present\n"
                       "  fact screened yes/no always present\n");
    for (uint32_t i = 0; i < MADE_TOPICS; i++) {
        buffer_format(out, "  topic %s \"Topic\"\n", made_topics[i]);
    }
    buffer_string(out, "end\n");
}

static inline void put_code_head(Buffer *out, const Made *made, uint32_t code, uint32_t edition)
{
    const MadeCode *tree = &made->codes[code][edition];
    buffer_string(out, "  title \"Code\"\n  basis invented\n");
    if (tree->published != DAY_UNSAID) {
        put_date(out, " published", tree->published);
        buffer_string(out, "\n");
    }
    if (tree->scope > 0) {
        buffer_format(out, "  for units where %s\n", made_conditions[tree->scope - 1]);
    }
    buffer_string(out, "  reading loose define allowance = 2 in\n"
                       "  reading tight define allowance = 1 in\n");
}

static inline void put_code(Buffer *out, const Made *made, uint32_t code, uint32_t edition)
{
    const MadeCode *tree = &made->codes[code][edition];
    buffer_format(out, "code code_%u edition %u\n", code, edition + 1);
    put_code_head(out, made, code, edition);
    for (uint32_t i = 0; i < tree->section_count; i++) {
        put_section(out, &tree->sections[i]);
    }
    buffer_string(out, "end\n");
}

static inline void put_level_head(Buffer *out, uint32_t level)
{
    buffer_format(out, "jurisdiction %s \"Level %u\"", made_levels[level], level);
    if (level > 0) {
        buffer_format(out, " within %s", made_levels[level - 1]);
    }
    buffer_string(out, "\n");
}

/* The whole library in one file. */
static inline Text made_text(Arena *arena, const Made *made)
{
    Buffer out = buffer_make(arena);
    put_vocabulary(&out);
    for (uint32_t code = 0; code < MADE_CODES; code++) {
        for (uint32_t edition = 0; edition < MADE_EDITIONS; edition++) {
            if (made->codes[code][edition].there) {
                put_code(&out, made, code, edition);
            }
        }
    }
    for (uint32_t level = 0; level < made->levels; level++) {
        put_level_head(&out, level);
        for (uint32_t i = 0; i < made->act_count; i++) {
            if (made->acts[i].level == level) {
                put_act(&out, &made->acts[i]);
            }
        }
        buffer_string(&out, "end\n");
    }
    return buffer_done(&out);
}

static inline Library *made_library(Arena *arena, Text text, Diagnostics *diags)
{
    const Source *source = source_of(arena, TEXT("made.shall"), text);
    return library_of(arena, names_new(arena), &source, 1, diags);
}

static inline void made_complain(const Diagnostics *diags)
{
    for (const Diagnostic *diag = diags->first; diag != NULL; diag = diag->next) {
        if (diag->severity == SEVERITY_ERROR) {
            Position at = {0, 0, 0};
            if (diag->place.source != NULL) {
                at = source_position(diag->place.source, diag->place.span.start);
            }
            printf("  %u:%u %s: %.*s\n", at.line, at.column, diag->name, TEXT_ARG(diag->message));
        }
    }
}

/* Does it change one section, so that it has a fate when the edition gives way? */
static inline bool is_of_section(const MadeChange *change)
{
    switch ((ChangeKind)change->kind) {
    case CHANGE_TO_READ:
    case CHANGE_LIMIT:
    case CHANGE_DELETE:
    case CHANGE_INSERT:
    case CHANGE_EXCEPTION_TO_READ:
    case CHANGE_EXCEPTION_DELETE:
    case CHANGE_EXCEPTION_INSERT:
    case CHANGE_RENUMBER: return true;
    case CHANGE_APPLIES_READING:
    case CHANGE_LOCAL_FLOOR:
    case CHANGE_NO_LOCAL:
    case CHANGE_NO_WAIVER:
    case CHANGE_PREEMPTS:
    case CHANGE_PREVAILS:
    case CHANGE_FOR_UNITS:
    case CHANGE_REPEALS:
    case CHANGE_EXTENDS:
    case CHANGE_POSTPONES: break;
    }
    return false;
}

#endif
