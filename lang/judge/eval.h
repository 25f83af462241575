/* Evaluation of checked code over one spec: private to judge/.
 *
 * Every value carries what is not known of it (law/value.h). For a truth, `waits` has two
 * readings: on an unknown one, what it waits for; on a definite one, the facts on whose
 * vocabulary bounds it rests, so that a report can say so (meaning.md rule 25). */
#ifndef JUDGE_EVAL_H
#define JUDGE_EVAL_H

#include "judge/judge.h"

typedef struct Eval {
    Arena *arena;
    const Spec *spec;
    const Law *law;
    Day on;
    Value today;     /* review_date: `on`, or a range of days when change is looked for */
    Value permit;    /* VALUE_RANGE in days; unknown when not stated */
    bool permit_new; /* no permit here: a new unit */
    Value *frame;
    uint8_t *ready; /* by slot: a definition already evaluated for this tuple */
    uint32_t frame_size;
    bool assume_present;     /* the line answers absence itself: words are compared as present */
    bool widen;              /* lengths are read with the shop's tolerance (built_to) */
    const Section *section;  /* whose approvals count */
    const Section *overflow; /* made more than FINDINGS_MAX findings; NULL */
    Value *gathered;         /* by slot of the unit: gathered lists already made; NULL */
    uint8_t *decision_use;   /* by decision of the spec: USE_ bits */
} Eval;

/* What became of a recorded variance or decision. */
enum {
    USE_MATCHED = 1,
    USE_NEEDED = 2,
    USE_LAPSED = 4,
    USE_EARLY = 8,
    USE_OLD_TEXT = 16,
    USE_NEVER = 32 /* a variance on a section that is never waived */
};

Eval *eval_new(Arena *arena, const Law *law, const Spec *spec, Day on);

/* ---- things waited for ---- */

const Waits *waits_fact(Arena *arena, Reason reason, const Item *item, const Field *field);
const Waits *waits_word(Arena *arena, Reason reason, Text what);
const Waits *waits_join(Arena *arena, const Waits *a, const Waits *b); /* either may be NULL */
bool waits_only_official(const Waits *waits);

/* ---- values ---- */

Value value_truth(Truth truth, const Waits *waits);
Value value_exact(Rational number);
uint64_t words_all(const Choice *choice);
Value value_of_words(uint64_t words);                  /* any of a set of words of a choice */
Value value_nothing(uint8_t kind, const Waits *waits); /* no value at all */
Value value_none(uint8_t kind, const Waits *waits);
/* Any of two values, as when a condition between them is unknown; adds `waits`. */
void value_join(Eval *e, const Value *a, const Value *b, const Waits *waits, Value *out);
/* What a field can be when it is not stated. */
void value_unstated(Eval *e, const Item *item, const Field *field, const Waits *waits, Value *out);

/* ---- evaluation ---- */

void eval(Eval *e, const Code *code, Value *out);
Value eval_truth(Eval *e, const Code *code);
void eval_reset(Eval *e); /* forgets the definitions: the items have changed */
/* The field of an item value. */
void eval_field(Eval *e, const Value *item, const Field *field, Value *out);

Value truth_of_and(Eval *e, const Value *a, const Value *b);
Value truth_of_or(Eval *e, const Value *a, const Value *b);
Value truth_of_not(Value a);
/* (c and x) or (not c and y) or (x and y), on both rails (meaning.md rule 3). */
Value truth_of_choice(Eval *e, const Value *c, const Value *x, const Value *y);

/* eval_number.c */
void eval_arithmetic(Eval *e, const Code *code, Value *out);
void number_add(Eval *e, const Value *a, const Value *b, Value *out);
void number_subtract(Eval *e, const Value *a, const Value *b, Value *out);
void number_multiply(Eval *e, const Value *a, const Value *b, Value *out);
void number_extreme(Eval *e, const Value *a, const Value *b, bool greatest, Value *out);
void number_settle(Eval *e, Value *value); /* a root becomes its enclosure */
Value number_compare(Eval *e, CompareOp op, const Value *a, const Value *b);

/* eval_gather.c: a list of the unit that is gathered from other facts. */
void eval_gather(Eval *e, const Item *unit, const Field *field, Value *out);

/* eval_list.c */
void eval_quantifier(Eval *e, const Code *code, Value *out);
void eval_aggregate(Eval *e, const Code *code, Value *out);
void eval_selection(Eval *e, const Code *code, Value *out); /* those, covered */
void eval_first(Eval *e, const Code *code, Value *out);
/* An item that stands for further items of a list, or for one that is not stated. */
const Item *phantom_item(Eval *e, const Item *parent, const Field *field, const Record *record);
Value value_item(const Item *item);

/* eval_plan.c */
void eval_plan(Eval *e, const Code *code, Value *out);
Value plan_covers(Eval *e, const Value *outer, const Value *inner);

/* eval_table.c */
void eval_table(Eval *e, const Code *code, Value *out);

/* decision.c: does a recorded decision belong to this law, and speak of this section? */
bool decision_in_law(const Law *law, const Decision *decision);
bool decision_names(const Decision *decision, const Section *section);
bool decision_has_items(const Decision *decision, const Item *const *items, uint32_t item_count);
/* Of one kind, in force, for a line (its label, NULL: any) and the items of a tuple; NULL when there is none.
 * Notes what became of those that do not serve. `text_from` is the date of the text judged. */
const Decision *decision_find(Eval *e, DecisionKind kind, const Name *label,
                              const Item *const *items, uint32_t item_count, Day text_from);

/* eval.c: any two values of one class, compared. */
Value compare_values(Eval *e, CompareOp op, const Value *a, const Value *b);

/* ---- which texts stand (stand.c) ---- */

/* Of the texts of a section that are floors, or of those that are none. */
typedef struct Stands {
    Value *texts;       /* by text: whether it stands for the unit */
    Value covered;      /* whether any does */
    const Waits *waits; /* on which it rests which one does */
    uint32_t shown;     /* when none does: the text to show (UINT32_MAX: there is none), and */
    uint8_t outside;    /* Outside: why */
} Stands;

void section_stands(Eval *e, const Section *section, bool floor, Stands *out);
Value text_not_exempt(Eval *e, const TextTree *tree); /* not for units under permit ... */
Value scope_holds(Eval *e, const ScopeCode *scope);   /* all its conditions: not negated */
const Held *holdings_held(Eval *e);

/* ---- judging (section.c, line.c, merge.c) ---- */

typedef struct Findings {
    Finding *list;
    uint32_t count, cap;
} Findings;

Finding *findings_add(Arena *arena, Findings *findings);

/* The items of one tuple and whether the section applies to them. */
typedef struct Tuple {
    const Item *items[FINDING_ITEMS_MAX];
    uint32_t count;
    Value applies;
} Tuple;

/* Judges one text under one reading, for every tuple of its items. `applies` is what is known
 * before its own conditions (permit clauses). */
void judge_text(Eval *e, const SectionText *text, const TextTree *tree, const Value *applies,
                Findings *out);
/* The lines of a text for one tuple (line.c). */
void judge_lines(Eval *e, const SectionText *text, const TextTree *tree, const Tuple *tuple,
                 Finding *finding);
/* The outcome and waits of a finding from its parts. */
void finding_conclude(Eval *e, Finding *finding);
/* A section in all its texts: permit dates, readings, floors (merge.c). */
void judge_section(Eval *e, const Section *section, Findings *out);
/* A failure that depends on something unknown: open, waiting for it, in its lines too. */
void finding_await(Eval *e, Finding *finding, const Waits *waits);
bool finding_same_items(const Finding *a, const Finding *b);
bool outcome_passes(uint8_t outcome);

/* ---- worksheets (worksheet.c) ---- */

/* Binds the items of a row to the variables of its worksheet or schedule. */
void sheet_bind(Eval *e, const Worksheet *sheet, const SheetRow *row);
void sheet_step(Eval *e, const StepCode *step, StepResult *out);

/* Two findings of rival texts, the worse one first. */
typedef struct Rivals {
    const Finding *one, *other;
} Rivals;

const Rivals *review_rivals(Arena *arena, const Review *review, uint32_t *count);
void review_cautions(Eval *e, Review *review);
#endif
