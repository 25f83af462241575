/* What the files of the vocabulary share. */
#ifndef LAW_VOCABULARY_INNER_H
#define LAW_VOCABULARY_INNER_H

#include "law/vocabulary.h"

typedef struct Maker {
    Arena *arena;
    Vocabulary *made;
    const Source *source;
    Diagnostics *diags;
} Maker;

/* The trees that make a vocabulary: itself, or the pieces of a joined one. */
size_t piece_count(const VocabularyTree *tree);
const VocabularyTree *piece_at(const VocabularyTree *tree, size_t i);

/* Names the place of what was declared first. */
void declared_twice(Maker *maker, const char *what, const Name *name, Span span, Place first);
/* A type's own name may not hide a dimension, nor a choice a record. */
bool type_name_check(Maker *maker, const char *what, const Name *name, Span span);

/* Records and facts; choices are declared. */
void records_make(Maker *maker);

Choice *choice_make(Maker *maker, const Name *name, const Word *words, bool ordered, Span span);

/* Type, bounds, step, unit and tolerance class of a field that has its name and place. */
void field_resolve(Maker *maker, Field *field, const FieldTree *tree);

/* The plan of a record whose fields are resolved. */
void plan_resolve(Maker *maker, Record *record, const RecordTree *tree);

#endif
