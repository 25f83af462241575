/* Two laws compared by the form of their rules, requirement by requirement. A relation is claimed
 * only where it follows from the form, for every unit whatever; docs/compare.md says when. What
 * is recorded for one jurisdiction alone (permits, variances, decisions) is left aside. */
#ifndef LAW_COMPARE_LAW_H
#define LAW_COMPARE_LAW_H

#include "law/law.h"

/* What the second law is, seen from the first. */
typedef enum Relation {
    RELATION_SAME,
    RELATION_STRICTER,  /* whatever the first one faults the second faults, and perhaps more */
    RELATION_LOOSER,    /* the other way round */
    RELATION_DIFFERENT, /* different in kind: no more, no less, something else */
    RELATION_ONLY_HERE, /* one law alone has it: the side that is not NULL */
    RELATION_NOT_DECIDED
} Relation;

enum { RELATION_COUNT = 6 };

/* In what two requirements differ; several may hold. */
enum {
    DIFFERS_LIMIT = 1,
    DIFFERS_REQUIREMENT = 2, /* what is measured or asked */
    DIFFERS_CONDITION = 4,   /* each, where, when, permits, sections that prevail */
    DIFFERS_EXCEPTION = 8,
    DIFFERS_ABSENCE = 16, /* what holds of a thing that is not there */
    DIFFERS_READING = 32
};

/* In what two sections differ that changes no requirement: noted, no relation. */
enum {
    NOTE_RANK = 1,
    NOTE_AUTHORITY = 2,
    NOTE_ADVICE = 4,
    NOTE_STAGE = 8,
    NOTE_REWORK = 16,
    NOTE_WAIVER = 32 /* one law lets nobody waive it */
};

/* One side of a requirement; line NULL: it is not there. */
typedef struct ComparedSide {
    const Section *section;
    const TextInForce *text;
    const SectionText *reading;
    const Line *line;
    const Exception *exception; /* whose line it is; NULL: a line of the section */
} ComparedSide;

typedef struct ComparedLine {
    ComparedSide side[2];
    uint8_t relation; /* Relation */
    uint8_t differs;
    Day permitted_from, permitted_before; /* the units it is said of; INT32_MIN, DAY_FOREVER: all */
    bool parted; /* and of those alone for whom both texts stand, as their scopes say */
    bool floor;  /* of a text kept beside a local one */
} ComparedLine;

typedef enum Aligned {
    ALIGNED_CITATION, /* the same section of the same code, whoever amended it */
    ALIGNED_TOPIC,    /* another section of the same topic that measures the same */
    ALIGNED_ALONE     /* one law alone has it */
} Aligned;

typedef struct ComparedSection {
    const Section *section[2]; /* NULL: that law has none */
    uint8_t aligned;           /* Aligned */
    uint8_t notes;             /* NOTE_ bits */
    const ComparedLine *lines;
    uint32_t line_count;
} ComparedSection;

typedef struct ComparedTopic {
    Text name; /* "" for sections without */
    Text title;
    const ComparedSection *sections;
    uint32_t section_count;
} ComparedTopic;

typedef struct LawComparison {
    const Law *law[2];
    const ComparedTopic *topics; /* in the order of the vocabulary, those of the second law last */
    uint32_t topic_count;
    uint32_t counts[RELATION_COUNT]; /* of lines */
    uint32_t only[2];                /* of those only here: in the first, in the second */
    uint32_t noted;                  /* sections with notes */
    uint64_t steps;                  /* nodes and pairs looked at, for tests: linear in sections */
} LawComparison;

/* ---- the law of a place ---- */

/* A section of the law of one jurisdiction, among those that are one section of the place's. */
typedef struct LawMember {
    uint32_t part, section;
    struct LawMember *next;
} LawMember;

/* The laws of the jurisdictions that decide in a place, as one law to be compared; nothing is
 * judged by it. What several of them hold of one section is one section: with the text that they
 * have in common where they all have it, else with the text of each for the units for which that
 * jurisdiction decides. Sections without authority that differ stay apart. */
typedef struct LawUnion {
    const Law *law; /* of its tree: place, jurisdiction (titled as the place), levels (of all of
                       them), day, what is deleted */
    const Law *const *parts;
    uint32_t part_count;
    const LawMember *const *members; /* by section of the law, in order of the parts */
} LawUnion;

/* One law or several, of one day, place and vocabulary; one alone stays what it is. */
const LawUnion *law_unite(Arena *arena, const Law *const *laws, uint32_t count);

/* ---- two laws ---- */

/* Topics (dotted, or how they begin) limit what is compared; none: everything. */
LawComparison *law_compare(Arena *arena, const Law *a, const Law *b, const Text *topics,
                           size_t topic_count);
/* True when nothing at all differs, notes included. */
bool law_comparison_is_same(const LawComparison *comparison);
/* Is `name` the topic, or one below it? */
bool topic_covers(Text topic, Text name);

#endif
