/* Judging: a spec against the law in force, as meaning.md says. A review is a pure function of
 * (spec, law, date, stage); it changes neither, and all it makes lives in the arena given. */
#ifndef JUDGE_JUDGE_H
#define JUDGE_JUDGE_H

#include "law/law.h"
#include "spec/spec.h"

/* Facts waited for, flattened, in order of place in the file. */
typedef struct Wanted {
    uint8_t reason;   /* Reason */
    const Item *item; /* NULL when no fact is wanted */
    const Field *field;
    Text what;
} Wanted;

/* One line of a finding, judged. */
typedef struct Part {
    const Line *line;
    const Exception *exception; /* that excuses, or whose line stands here; NULL */
    uint8_t outcome;            /* Outcome */
    bool has_measure;           /* measured and limit are set: the line is one comparison */
    bool absent;                /* `required`, and stated to be absent */
    bool applies_unsure;        /* complies, though whether it applies is not stated */
    uint8_t satisfied;          /* Truth: the requirement holds or is excused */
    Value measured, limit;      /* ranges */
    const Waits *waits;         /* open outcomes: what is waited for */
    const Waits *bounds; /* definite ones: unstated facts on whose vocabulary bounds it rests */
    const struct Decision *decision; /* that excused or decided it; NULL */
} Part;

enum {
    FINDING_ITEMS_MAX = 8,
    FINDINGS_MAX = 200000 /* of one section: pairs of a long list grow as its square */
};

/* Why a finding is not applicable to the unit as a whole. */
typedef enum Outside {
    OUTSIDE_NOT,
    OUTSIDE_UNITS, /* the section is for other units */
    OUTSIDE_PLACE  /* another jurisdiction decides here */
} Outside;

typedef struct Finding {
    const Section *section;
    const SectionText *text;
    const TextTree *tree;                 /* its chain */
    const Item *items[FINDING_ITEMS_MAX]; /* of the each lines, in order; pairs give two */
    uint32_t item_count;
    const Item *list_item; /* a finding at a list: the list's owner and field */
    const Field *list_field;
    uint8_t outcome; /* Outcome, the worst of the parts */
    uint8_t applies; /* Truth: conditions, permit clauses */
    const Waits *applies_waits;
    const Waits *waits;             /* open outcomes: all that its parts wait for */
    bool nothing_to_judge;          /* not applicable: no such item stated */
    bool later_stage;               /* to be verified in the field: sets no status */
    bool floor;                     /* by the upper level's text kept as a floor */
    bool silenced;                  /* not applicable: a section prevails over it */
    uint8_t outside;                /* Outside: no text of the section stands for the unit */
    bool standing;                  /* official decides, and the gate was told to ignore it */
    bool by_reading;                /* official decides: readings differ; see readings */
    const struct Finding *readings; /* results under each reading, chained by next_reading */
    const struct Finding *next_reading;
    struct Finding *last_reading; /* end of that chain, while it is built */
    const Part *parts;
    uint32_t part_count;
    const Wanted *wanted; /* flattened from the open parts */
    uint32_t wanted_count;
} Finding;

typedef enum CautionKind {
    CAUTION_VARIANCE_LAPSED,
    CAUTION_VARIANCE_EARLY,
    CAUTION_VARIANCE_UNMATCHED,
    CAUTION_VARIANCE_UNNEEDED,
    CAUTION_VARIANCE_OLD_TEXT,
    CAUTION_TIGHT_TOLERANCE,
    CAUTION_RIVALS,
    CAUTION_DECISION_UNMATCHED,
    CAUTION_VARIANCE_NEVER, /* on a section that is never waived */
    CAUTION_DISPLACED       /* a local rule that a level above has displaced */
} CautionKind;

/* What has no outcome of its own: listed apart. */
typedef struct Caution {
    uint8_t kind;             /* CautionKind */
    const Decision *decision; /* variance and decision kinds */
    const Finding *finding;   /* tight tolerance, rivals */
    const Finding *other;     /* rivals */
    const Part *part;
    const DisplacedTree *displaced;
    const Tolerance *tolerance;
    Rational slack; /* tight tolerance: limit less measured, SI; zero when not exact */
    bool has_slack;
} Caution;

/* Who decides in the place, as the spec's facts say. */
typedef struct Held {
    const Holding *holding;
    uint8_t truth; /* Truth: whether it does */
    const Waits *waits;
} Held;

typedef struct Review {
    const Spec *spec;
    const Law *law;
    Day on;
    Stage stage;
    const Section *overflow; /* a section with more than FINDINGS_MAX findings: the review is
                                not whole and not to be reported; NULL */
    const Finding *findings; /* in order of section, then item */
    uint32_t finding_count;
    const Caution *cautions;
    uint32_t caution_count;
    const Held *held;          /* one for each holding of the law */
    const Wanted *wanted;      /* over all findings, most wanted first */
    const uint32_t *wanted_by; /* how many findings wait for each */
    uint32_t wanted_count;
    uint32_t counts[6]; /* by Outcome; later stages and advisory failures left out */
    uint32_t advisory;  /* advisory corrections */
    uint32_t later;     /* findings to verify in the field */
    uint32_t standing;  /* official questions that the gate ignores */
} Review;

typedef struct ReviewOptions {
    Day on;
    Stage stage;
    const Text *standing; /* section numbers whose official questions set no status */
    uint32_t standing_count;
} ReviewOptions;

Review *review_make(Arena *arena, const Law *law, const Spec *spec, const ReviewOptions *options);

/* 0, 1 or 2, as docs/language.md says. */
int review_status(const Review *review);
/* Adds a judged finding to the counts. */
void review_count(Review *review, const Finding *finding);

/* The first day after the review's on which any of its outcomes would change, by the law, by a
 * variance or decision that starts or lapses, or by a date in the spec growing old; within two
 * years. False when there is none. */
bool review_next_change(Arena *arena, const Library *library, const Review *review, Day *day);

/* The leaves of what is waited for or rested on, without repeats, in order of the spec's file. */
const Wanted *waits_flatten(Arena *arena, const Waits *waits, uint32_t *count);

/* Worst first: correction, information required, official decides, complies, excused, not
 * applicable. */
int outcome_severity(Outcome outcome);

/* ---- worksheets ---- */

/* A step of a worksheet, or a column in one row of a schedule, computed. */
typedef struct StepResult {
    const StepCode *step;
    Value value;
    Value measured, limit; /* of a comparison of quantities: what is proposed, what is required */
} StepResult;

/* A worksheet, or a row of a schedule, for one tuple of its items. */
typedef struct SheetRow {
    const Item *items[FINDING_ITEMS_MAX];
    uint32_t item_count;
    const StepResult *steps; /* NULL: it stands for further items, which are not stated */
    const Waits *waits;      /* whether it is there at all; NULL: surely */
} SheetRow;

typedef struct ScheduleResult {
    const Worksheet *schedule;
    const SheetRow *rows;
    uint32_t row_count;
} ScheduleResult;

typedef struct WorksheetResult {
    const Worksheet *worksheet;
    SheetRow row;
    const ScheduleResult *schedules; /* one for each of the worksheet's, but of further items */
    uint32_t schedule_count;
} WorksheetResult;

/* One worksheet (NULL: all of the law), for each tuple of its items. A sheet or schedule of more
 * than FINDINGS_MAX tuples is not worked out: *overflow is it, else NULL. */
const WorksheetResult *review_worksheets(Arena *arena, const Review *review, const Worksheet *only,
                                         uint32_t *count, const Worksheet **overflow);

/* ---- worked examples ---- */

typedef struct ExampleResult {
    const ExampleTree *example;
    bool held;
    Text message; /* what was expected and what was found, when it did not hold */
    Place place;  /* of the finds line that failed */
} ExampleResult;

/* Runs the worked examples of codes and jurisdictions that stand in the sources `asked` (NULL: in
 * any). `specs_root` is the directory that `from` paths start in. */
const ExampleResult *examples_run(Arena *arena, const Library *library, const Map *asked,
                                  Text specs_root, uint32_t *count, Diagnostics *diags);

#endif
