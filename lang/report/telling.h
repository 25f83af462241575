/* A finding being told: the words that every form of report needs of it. */
#ifndef REPORT_TELLING_H
#define REPORT_TELLING_H

#include "judge/again.h"

typedef struct Telling {
    Arena *arena;
    const Review *review;
    const Finding *finding;
    Again *again; /* NULL when the finding has no items to look at again */
} Telling;

Telling telling_of(Arena *arena, const Review *review, const Finding *finding);

/* ---- terms: the facts and named values on which a judged line rests ---- */

typedef struct Term {
    Text name; /* "clear_width", "tanks[\"fresh\"].usable_volume", "potable" */
    Value value;
    const Type *type;
    const Unit *unit; /* as written in the spec; NULL: the one its type is shown in */
    const Item *item; /* a fact's owner; NULL for what was computed */
    const Field *field;
} Term;

/* Those of the left side, then of the right one (of the requirement, where it is no
 * comparison), each once. */
const Term *part_terms(const Telling *telling, const Part *part, uint32_t *count);
/* The value of a definition that the finding's text uses; false when it uses none of that name. */
bool telling_definition(const Telling *telling, Text name, Term *out);

/* The item that a finding's facts belong to by their bare names; NULL for the unit, or where
 * several items are judged that do not lie within each other. */
const Item *telling_inner(const Telling *telling);

/* ---- words ---- */

/* The items judged: "openings[\"order\"]"; the list, for a finding that stands at one; "" for the
 * unit itself. */
Text telling_items(const Telling *telling);
/* The place of the innermost item, of the list, or of the first fact that was read. */
Place telling_place(const Telling *telling);
/* Where the fact stands that a line measures; the telling's place where it measures no one fact. */
Place part_place(const Telling *telling, const Part *part);
/* "specs/x.yaml:12:5"; "" without a source. */
Text place_words(Arena *arena, Place place);
/* An expression of the finding's text, its variables replaced by the items judged: "self_closing
 * is yes"; "" for none. */
Text telling_expr(const Telling *telling, const Expr *expr);
/* What a line without a comparison asks; "shall not" is left off. */
Text part_requirement(const Telling *telling, const Part *part);
/* The remedy with {limit}, {measured} and the names of definitions filled in; "" when there is
 * none. */
Text telling_remedy(const Telling *telling);
/* Things waited for: "menu, openings[\"order\"].clear_width (not stated), aisle (measure more
 * closely)". */
Text wanted_list_words(Arena *arena, const Wanted *wanted, uint32_t count);
const char *reason_data(Reason reason); /* "not_stated", "straddles", ... */
bool reason_asks(Reason reason);        /* an answer in the spec would help */
/* The question that a wanted fact puts: its vocabulary's own words, else made of its type. */
Text wanted_question(Arena *arena, const Wanted *wanted);
/* What an answer may be: "length, or none"; "" when no fact is wanted. */
Text answer_words(Arena *arena, const Wanted *wanted);
/* How closely a straddling value must be measured; "" when it does not straddle. */
Text straddle_words(Arena *arena, const Part *part);
/* "the vocabulary's bounds of tanks (at least 0 gal)"; "" when the part rests on none. */
Text bounds_words(Arena *arena, const Part *part);
/* "sheet A-2, item 7, drawing"; "" when nothing is said. */
Text provenance_words(Arena *arena, const Provenance *provenance);
const char *source_word(FactSource source); /* "cut sheet"; "" unsaid */
/* What decided or excused a line: an exception, a variance, a decision; "" when nothing did. */
Text part_grounds(const Telling *telling, const Part *part);
Text decision_words(Arena *arena, const Decision *decision);
/* A caution as a sentence. */
Text caution_words(Arena *arena, const Review *review, const Caution *caution);
const char *caution_data(CautionKind kind);

#endif
