/* The report of a comparison: laws of several jurisdictions, or of one jurisdiction in two states,
 * requirement by requirement, and the findings of build specs under them. docs/compare.md says
 * what is written. */
#ifndef REPORT_COMPARE_H
#define REPORT_COMPARE_H

#include "judge/compare_findings.h"
#include "report/report.h"

/* One law among those that are compared. */
typedef struct CompareSide {
    const Law *law; /* NULL: none is in force, or no library has the jurisdiction */
    Text name;      /* of the jurisdiction */
    Text title;     /* how the report calls this side: "Quillmark County", "on 2025-01-01" */
} CompareSide;

typedef struct ComparePair {
    uint32_t a, b; /* sides */
    const LawComparison *law;
} ComparePair;

/* A build under every law of a group. */
typedef struct CompareBuild {
    const Spec *spec;                 /* as read for the first side */
    const Review **reviews;           /* by side */
    const LawComparison *const *laws; /* the first side's with each other, on the build's dates */
    const FindingComparison *findings;
    DateOrigin origin;
} CompareBuild;

typedef struct CompareGroup {
    Text title; /* of the jurisdiction whose two states these are; "" */
    const CompareSide *sides;
    uint32_t side_count;
    const ComparePair *pairs; /* those with the first side first; none where a law is missing */
    uint32_t pair_count;
    const CompareBuild *builds;
    uint32_t build_count;
} CompareGroup;

typedef struct Compared {
    bool states;              /* of two states of the law; else jurisdictions */
    Text from, to;            /* states: what was given */
    const Digest *digests[2]; /* of the rule files; the second of states in two libraries */
    uint32_t digest_count[2];
    Day on; /* of the laws, where both sides have one date */
    DateOrigin origin;
    const CompareGroup *groups;
    uint32_t group_count;
    const Text *topics; /* that it is limited to */
    size_t topic_count;
    bool all; /* also what is the same */
} Compared;

/* True when nothing at all differs. */
bool compared_is_same(const Compared *compared);

Text compare_text(Arena *arena, const Compared *compared, Style style);
Text compare_json(Arena *arena, const Compared *compared);
Text compare_html(Arena *arena, const Compared *compared);

#endif
