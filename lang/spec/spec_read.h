/* What the readers of data share: spec_read.c (items and lists), spec_value.c (scalars),
 * spec_program.c and spec_decisions.c (the program's own keys). */
#ifndef SPEC_SPEC_READ_H
#define SPEC_SPEC_READ_H

#include "spec/spec.h"
#include "spec/spec_build.h"

/* Variances, decisions and approvals, as they are read. */
typedef struct DecisionList {
    Decision *decisions;
    uint32_t count;
} DecisionList;

enum { DECISION_LISTS = 3 };

typedef struct Reader {
    Arena *arena;
    const Names *names;
    const Vocabulary *vocabulary;
    Diagnostics *diags;
    Spec *spec;
    uint32_t slots; /* facts made so far, stated or not */
    uint32_t depth; /* of the item being read */
    DecisionList lists[DECISION_LISTS];
    size_t messages; /* in diags before this spec */
    bool full;       /* so many since that the rest is not looked at */
} Reader;

/* False when there are so many messages that reading ends; said once, at the datum. */
bool read_on(Reader *reader, const Datum *datum);

/* What a scalar says apart from any type. Quoted and plain are the same here; a text fact
 * looks at the quotes itself. */
bool datum_is_scalar(const Datum *datum);
bool datum_is_blank(const Datum *datum);            /* empty, ~, null: nothing is stated */
bool datum_is_word(const Datum *datum, Text word);  /* without the blanks at its ends */
bool datum_is_none(const Datum *datum);             /* the word none */
bool datum_is_sourced(const Datum *datum);          /* a map with `value:` */
Text datum_shown(Arena *arena, const Datum *datum); /* "'24'", "a list", "a map" */

/* "a length", "an area". */
Text with_article(Arena *arena, Text words);
/* The types' names as people say them: "a length", "one of service, vent", "a list of openings". */
Text type_due(Arena *arena, const Type *type);

/* "WHAT is due, not FOUND" at the datum. */
Diagnostic *read_wrong_kind(Reader *reader, const Datum *datum, Text due);

/* A scalar into a value of the field's type; false after an error. */
bool value_read(Reader *reader, const Field *field, const Datum *datum, Fact *fact);

/* The whole text as a quantity; faults are reported at their place within it. */
bool quantity_read(Reader *reader, const Datum *datum, Quantity *out);
bool quantity_is_bare(const Quantity *quantity);
bool size_read(Reader *reader, const Datum *datum, Value *value, const Unit **unit, bool *inexact);
bool date_read(Reader *reader, const Datum *datum, Day *first, Day *last);

/* The program's keys at the top level; false when the key is none of them. */
bool program_read(Reader *reader, const Datum *datum);
/* The nearest of the program's keys, or "". */
Text program_nearest(Text key);
bool program_has_key(Text key);

/* ---- a map with keys of the program: {jurisdiction, date} ---- */

typedef struct Form {
    Reader *reader;
    const Datum *map;
    const char *what;        /* "a permit" */
    const char *const *keys; /* all that it may have */
    size_t count;
} Form;

/* False when the datum is no map; unknown keys are reported. */
bool form_open(Form *form, Reader *reader, const Datum *datum, const char *what,
               const char *const *keys, size_t count);
/* The member, or NULL when it is not stated (which is an error when it is required). */
const Datum *form_member(const Form *form, const char *key, bool required);
Text form_text(const Form *form, const char *key, bool required); /* "" when not stated */
/* A date in full; false when it is not stated or wrong. */
bool form_day(const Form *form, const char *key, bool required, Day *out);
/* The text of a scalar of the program's own; "" after an error. */
Text text_read(Reader *reader, const Datum *datum, Text due);

void read_variances(Reader *reader, const Datum *datum);
void read_decisions(Reader *reader, const Datum *datum);
void read_approvals(Reader *reader, const Datum *datum);
/* Puts the three lists into the spec, in one order whatever the order of the keys. */
void decisions_join(Reader *reader);

#endif
