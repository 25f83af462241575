/* What vocabulary.c and vocabulary_type.c share. */
#ifndef LAW_VOCABULARY_INNER_H
#define LAW_VOCABULARY_INNER_H

#include "law/vocabulary.h"

typedef struct Maker {
    Arena *arena;
    Vocabulary *made;
    const Source *source;
    Diagnostics *diags;
} Maker;

Choice *choice_make(Maker *maker, const Name *name, const Word *words, bool ordered, Span span);

/* Type, bounds, step, unit and tolerance class of a field that has its name and place. */
void field_resolve(Maker *maker, Field *field, const FieldTree *tree);

/* The plan of a record whose fields are resolved. */
void plan_resolve(Maker *maker, Record *record, const RecordTree *tree);

#endif
