/* The findings of one build under several laws, side by side: in several jurisdictions, or before
 * and after a change of the law. */
#ifndef JUDGE_COMPARE_FINDINGS_H
#define JUDGE_COMPARE_FINDINGS_H

#include "judge/judge.h"
#include "law/compare_law.h"

typedef enum FindingClass { FINDING_PASSES, FINDING_FAILS, FINDING_OPEN } FindingClass;

typedef enum FindingChange {
    FINDING_SAME,
    FINDING_DETAIL, /* outcome, limit or what was measured differ; the class does not */
    FINDING_CLASS
} FindingChange;

typedef struct ComparedFinding {
    const Finding **findings; /* by review; NULL: that law asks nothing of these items */
    uint8_t change;           /* FindingChange: the greatest, against the first */
} ComparedFinding;

typedef struct FindingComparison {
    const Review *const *reviews;
    uint32_t review_count;
    const ComparedFinding *rows; /* those whose class differs, then those that differ, then the
                                    others; in order of the first law's sections */
    uint32_t row_count;
    uint32_t counts[3]; /* by FindingChange */
} FindingComparison;

/* The reviews of a spec under the parts of a place's law, in their order, as one review under the
 * whole: findings and counts, nothing else. Of findings of one section and the same items, the
 * worst; one that says that another jurisdiction decides only where no other is there. */
const Review *reviews_unite(Arena *arena, const LawUnion *law, const Review *const *reviews);

/* `laws`: the comparisons of the first review's law with each of the others, in order: they say
 * which sections are aligned, and sections that they leave out are left out here. */
FindingComparison *findings_compare(Arena *arena, const Review *const *reviews,
                                    uint32_t review_count, const LawComparison *const *laws);

/* What a law that asks nothing says passes. */
FindingClass finding_class(const Finding *finding);
/* How the second of two findings of the same items differs from the first. */
FindingChange finding_change(const Finding *before, const Finding *after);

/* Why a finding is no longer what it was. */
typedef enum CauseKind {
    CAUSE_ACT,        /* link: the act that the text has since */
    CAUSE_DELETED,    /* link: the act that deletes the section */
    CAUSE_ENDED,      /* link: an act that the text had, and that is no longer in force */
    CAUSE_TEXT,       /* the rule files say something else */
    CAUSE_VOCABULARY, /* the text is the same on the same date: the vocabulary has other bounds for
                         a fact that is not stated */
    CAUSE_DATE /* the text is the same: a date in it, in a permit or in a decision has passed */
} CauseKind;

typedef struct Cause {
    uint8_t kind; /* CauseKind */
    const Link *link;
    const Section *section; /* that has changed */
    Place place;            /* text: where the rule files say so now */
} Cause;

/* `law` is the comparison of the law before with the law after; one finding may be NULL. */
Cause finding_cause(const LawComparison *law, const Finding *before, const Finding *after);

#endif
