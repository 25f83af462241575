/* The vocabulary, resolved: what a spec may state, with types and bounds. Field indices are
 * the slots of spec items, so that a fact path is a few array look-ups. */
#ifndef LAW_VOCABULARY_H
#define LAW_VOCABULARY_H

#include "base/diagnostic.h"
#include "base/name.h"
#include "syntax/tree.h"

typedef enum TypeClass {
    CLASS_BAD,    /* after an error: silences what would follow from it */
    CLASS_NUMBER, /* every quantity; see dimension, whole, percent */
    CLASS_YES_NO, /* also every condition */
    CLASS_CHOICE,
    CLASS_TEXT,
    CLASS_DATE,
    CLASS_SIZE, /* three lengths */
    CLASS_ITEM, /* one record */
    CLASS_LIST  /* of records */
} TypeClass;

enum { CHOICE_WORDS_MAX = 64 }; /* a set of words is a 64-bit mask */

typedef struct Choice {
    const Name *name; /* of the choice, or of the field for an inline one */
    const Name **words;
    uint32_t count;
    bool ordered; /* words[0] is the least */
    Place place;
} Choice;

typedef struct Record Record;

typedef struct Type {
    uint8_t class; /* TypeClass */
    bool whole;    /* count: whole numbers */
    bool percent;  /* stated with % */
    Dimension dimension;
    const Choice *choice;
    const Record *record; /* item, list */
} Type;

typedef struct Field Field;
struct Field {
    const Name *name;
    Type type;
    bool always_present;
    bool key;
    Range bounds;     /* numbers: what a stated value can be (SI); everything if unsaid */
    const Unit *unit; /* the unit in which bounds were written, or the dimension's default */
    bool has_step;
    Rational step;         /* increment of the trade, SI */
    const Name *built_as;  /* NULL */
    Text ask;              /* "" */
    bool gathers;          /* `every`: a list gathered from other facts, never stated itself */
    const Field **sources; /* those facts */
    uint32_t source_count;
    const Record *owner;
    uint32_t index; /* slot in an item of owner */
    Place place;
};

struct Record {
    const Name *name; /* NULL for the unit itself (the top level) */
    Field *fields;
    uint32_t count;
    Map *by_name;       /* Name -> Field */
    const Record *base; /* made as it, and begins with its fields; NULL */
    const Field *key;   /* NULL */
    const Field *plan_x, *plan_along, *plan_y, *plan_across; /* NULL */
    Place place;
};

typedef struct Topic {
    const Name *name;
    Text title;
    Place place;
} Topic;

typedef struct Vocabulary {
    const Name *name;
    Record unit; /* the top level: one field per fact */
    Record **records;
    uint32_t record_count;
    Choice **choices; /* named ones */
    uint32_t choice_count;
    Topic *topics;
    uint32_t topic_count;
    Map *record_by_name, *choice_by_name, *topic_by_name; /* Name -> ... */
    const VocabularyTree *tree;
    const Source *source;
} Vocabulary;

/* Resolves a vocabulary; errors in diags, and a vocabulary that can be used all the same. */
Vocabulary *vocabulary_make(Arena *arena, Names *names, const VocabularyTree *tree,
                            const Source *source, Diagnostics *diags);

const Field *record_field(const Record *record, const Name *name); /* NULL when unknown */
/* The field whose name is nearest to a misspelt one, or NULL. */
const Field *record_nearest(Arena *arena, const Record *record, Text name);
int choice_index(const Choice *choice, const Name *word); /* -1 when it is not its word */
Text type_describe(Arena *arena, const Type *type);       /* "length", "one of service, delivery" */
/* A type as written in a vocabulary, a parameter or a table key, against a vocabulary. */
bool type_resolve(Arena *arena, const Vocabulary *vocabulary, const TypeTree *tree,
                  const Source *source, Type *out, Diagnostics *diags);

#endif
