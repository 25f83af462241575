/* What the files of the comparison share; nobody else includes it.
 *
 * A Form is what a piece of checked code says, whoever says it: definitions are seen through,
 * variables go by their position, facts and words by their names, constants by their value in SI.
 * Equal forms are one pointer. Everything here reads two laws side by side. */
#ifndef LAW_COMPARE_LAW_INNER_H
#define LAW_COMPARE_LAW_INNER_H

#include "law/compare_law.h"

typedef struct Form {
    uint32_t number;
} Form;

typedef struct Comparing {
    Arena *arena;
    Names *names;
    Map *by_words; /* Name -> Form */
    Map *by_node;  /* Code, Table, Field, Choice -> Form */
    uint32_t forms;
    bool one_place;  /* both laws are of it, and the same jurisdictions decide there */
    uint32_t budget; /* of one question; what is not answered within it is not claimed */
    uint64_t steps;
} Comparing;

/* compare_law_form.c */

const Form *form_of_words(Comparing *c, Text words);
/* Of a piece of a text's code; NULL code has a form too. */
const Form *form_of(Comparing *c, const SectionText *text, const Code *code);
/* Of code that is part of one whose form has been asked for. */
const Form *form_known(const Comparing *c, const Code *code);
const Form *form_of_keys(Comparing *c, const Table *table);
/* Definitions left aside. */
const Code *code_through(const Code *code);

/* compare_law_order.c */

/* Is a <= b (a < b when `strict`) whatever the unit? */
bool limit_at_most(Comparing *c, const Code *a, const Code *b, bool strict);
/* What code of numbers can be, by the bounds of the vocabulary. */
Range bounds_of(Comparing *c, const Code *code);

/* compare_law_imply.c */

/* A condition, perhaps negated. */
typedef struct Claim {
    const Code *code;
    bool negated;
} Claim;

/* Can x never be true while y is false? */
bool claim_implies(Comparing *c, Claim x, Claim y);
bool claim_is_same(const Comparing *c, Claim x, Claim y);
/* How a claim bounds what it measures: '<' at most, '>' at least, '=', '!' other than; 0: it is no
 * comparison. */
char claim_bound(Claim claim, bool *strict);

enum {
    BUDGET = 2000,           /* steps of one question */
    TEXT_EXCEPTIONS_MAX = 32 /* over one line; of more nothing is claimed */
};

/* What is known of two sides: which is surely at least as strict. Verdicts of parts are joined. */
typedef struct Verdict {
    bool same;
    bool first, second; /* surely at least as strict as the other */
    bool scale;         /* of one form, where only the order of two limits is not known */
    uint8_t differs;
} Verdict;

/* compare_law_condition.c: all that decides whether a text applies, in one place. */

/* A section with what is said of it from outside. */
typedef struct Standing {
    const Section *section;
    const Form **silencers; /* sections that prevail over it, as forms */
    uint32_t silencer_count;
} Standing;

typedef struct TextSide {
    const Standing *standing;
    const TextInForce *text;
    const SectionText *reading;
    const Form **scopes; /* that count as conditions; the others part the texts of a section */
    uint32_t scope_count;
    Day from; /* of units permitted from this day on */
} TextSide;

const Form *form_of_scope(Comparing *c, const TextInForce *text, const ScopeCode *scope);

Verdict compare_conditions(Comparing *c, const TextSide *a, const TextSide *b);
/* Everything on which it depends whether a section applies, as one form. */
const Form *form_of_conditions(Comparing *c, const Section *section);

/* compare_law_line.c */

Verdict verdict_same(void);
Verdict verdict_join(Verdict a, Verdict b);
Relation verdict_relation(Verdict verdict);

typedef struct LineList {
    ComparedLine *list;
    uint32_t count, cap;
} LineList;

ComparedLine *line_add(Comparing *c, LineList *lines);
/* The lines of two texts, and of their exceptions. `like` holds what they have in common. */
void compare_lines(Comparing *c, const TextSide *a, const TextSide *b, const ComparedLine *like,
                   LineList *out);
/* Is the whole of two texts the same? */
bool texts_are_same(Comparing *c, const TextSide *a, const TextSide *b);

/* compare_law_section.c */

/* All texts of two sections, or of one when the other is NULL. */
void compare_section(Comparing *c, const Standing *a, const Standing *b, LineList *out);

#endif
