/* Value: what an expression can be, with all that is not known of it.
 *
 * One struct serves constants, facts and results. `can` says which of present, absent (none)
 * and no value (division by zero, a table without a cell) are possible; `waits` holds the facts
 * on which any doubt rests and is NULL when there is none. meaning.md rules 1, 3, 16, 18. */
#ifndef LAW_VALUE_H
#define LAW_VALUE_H

#include "law/vocabulary.h"

typedef struct Item Item; /* spec/spec.h */

typedef enum Reason {
    REASON_NOT_STATED, /* a fact left out */
    REASON_STRADDLES,  /* a measured value's tolerance, a partial date */
    REASON_MORE_ITEMS, /* a list that ends in "and more" */
    REASON_NO_RULE,    /* no value: a table without a cell, division by zero */
    REASON_OFFICIAL,   /* a decision not recorded */
    REASON_PRECISION   /* inside the enclosure of an irrational value */
} Reason;

/* A set of things waited for: a leaf, or the union of two sets. In the review's arena. */
typedef struct Waits {
    const struct Waits *left, *right; /* both NULL on a leaf */
    const Item *item;                 /* whose field is wanted; NULL when no fact is */
    const Field *field;
    Text what;      /* official, no rule: in words */
    uint8_t reason; /* Reason, leaves only */
} Waits;

typedef enum ValueKind {
    VALUE_RANGE, /* numbers; dates, in days */
    VALUE_TRUTH, /* conditions and yes/no */
    VALUE_WORDS, /* a choice: the set of its possible words */
    VALUE_TEXT,
    VALUE_SIZE, /* three ranges */
    VALUE_ITEM, /* one item, or one of several candidates */
    VALUE_LIST
} ValueKind;

enum { CAN_BE_PRESENT = 1, CAN_BE_NONE = 2, CAN_BE_NOTHING = 4 }; /* NOTHING: no value */

/* Members of a list. A doubtful member has its doubt; an open list may have further members. */
typedef struct Member {
    const Item *item;
    const Waits *doubt; /* NULL: surely a member */
} Member;

typedef struct List {
    const Record *record;
    const Member *members;
    uint32_t count;
    bool open;          /* not stated, or "and more" */
    const Waits *waits; /* why it is open */
} List;

typedef struct Value {
    uint8_t kind;       /* ValueKind */
    uint8_t can;        /* CAN_BE_... */
    uint8_t root;       /* n > 1: the value is the nth root of `range`, which is exact about it */
    uint8_t truth;      /* Truth, for VALUE_TRUTH */
    bool known;         /* VALUE_TEXT: text is the value */
    const Waits *waits; /* NULL: no doubt at all */
    union {
        Range range;
        uint64_t words;
        Text text;
        const Range *size; /* three */
        const Item *item;  /* VALUE_ITEM: the item; NULL only when it cannot be present */
        const List *list;  /* VALUE_LIST; VALUE_ITEM with `known` false: candidates */
    };
} Value;

uint8_t value_kind(const Type *type); /* ValueKind of the values of a type */
Truth range_relate(CompareOp op, const Range *a, const Range *b);

#endif
