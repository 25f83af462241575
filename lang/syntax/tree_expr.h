/* Expressions of a rule file, and data: the parts of the tree that everything else is made of. */
#ifndef SYNTAX_TREE_EXPR_H
#define SYNTAX_TREE_EXPR_H

#include "base/name.h"
#include "base/source.h"
#include "number/date.h"
#include "number/quantity.h"

enum { TREE_DEPTH_MAX = 200 }; /* expressions nested deeper are refused: walks recurse */

/* ---- expressions ---- */

typedef enum ExprKind {
    EXPR_BAD,      /* after a syntax error */
    EXPR_QUANTITY, /* quantity; a number, percent, or with unit */
    EXPR_TEXT,     /* text */
    EXPR_DATE,     /* day */
    EXPR_YES,
    EXPR_NO,
    EXPR_NAME,  /* name */
    EXPR_FIELD, /* a.name */
    EXPR_ITEM,  /* a["text"] */
    EXPR_OR,    /* a, b */
    EXPR_AND,
    EXPR_NOT,     /* a */
    EXPR_COMPARE, /* a op b; op a CompareOp */
    EXPR_IS_NONE, /* a; flag: "is not none" */
    EXPR_AMONG,   /* a; list */
    EXPR_WITHIN,  /* a within b (an EXPR_QUANTITY) of c */
    EXPR_ADD,
    EXPR_SUBTRACT,
    EXPR_MULTIPLY, /* a, b; flag: written "N of b" */
    EXPR_DIVIDE,
    EXPR_NEGATE,     /* a */
    EXPR_SIZE,       /* a x b [x c] */
    EXPR_HOLDS,      /* a holds b; flag: in any orientation */
    EXPR_COVERS,     /* a covers b */
    EXPR_OVERLAPS,   /* a overlaps b */
    EXPR_QUANTIFIER, /* op a QuantifierOp; name; a list, b where (NULL), c body; emptiness */
    EXPR_AGGREGATE,  /* op an AggregateOp; name; a list, b where (NULL), c value (NULL for count) */
    EXPR_THOSE,      /* name; a list, b where */
    EXPR_COVERED,    /* a that b covers: members of list a */
    EXPR_FIRST,      /* name; a list, b where (NULL), c key */
    EXPR_ANY_OF,     /* list */
    EXPR_ALL_OF,     /* list */
    EXPR_GAP,        /* gap between a and b */
    EXPR_OVERHANG,   /* overhang of a beyond b */
    EXPR_ROUND,      /* op a RoundOp; a step (EXPR_QUANTITY), b value */
    EXPR_CHOICE,     /* a if b otherwise c */
    EXPR_APPROVAL,   /* approval of text */
    EXPR_CALL,       /* name; list of arguments */
    EXPR_IF_NONE,    /* a, or b if none: in parentheses */
    EXPR_BLANK       /* text: what the adopting jurisdiction fills in */
} ExprKind;

/* "is" and "is not" are COMPARE_EQUAL and COMPARE_NOT_EQUAL with flag set; "before" and its
 * kin are LESS .. with flag set. */
typedef enum CompareOp {
    COMPARE_LESS,
    COMPARE_LESS_EQUAL,
    COMPARE_GREATER,
    COMPARE_GREATER_EQUAL,
    COMPARE_EQUAL,
    COMPARE_NOT_EQUAL
} CompareOp;
typedef enum QuantifierOp { QUANTIFIER_EVERY, QUANTIFIER_SOME, QUANTIFIER_NO } QuantifierOp;
typedef enum Emptiness {
    EMPTY_UNSAID,
    EMPTY_AT_LEAST_ONE,
    EMPTY_AT_LEAST_NUMBER,
    EMPTY_YES,
    EMPTY_NO
} Emptiness;
typedef enum AggregateOp {
    AGGREGATE_TOTAL,
    AGGREGATE_LEAST,
    AGGREGATE_GREATEST,
    AGGREGATE_COUNT
} AggregateOp;
typedef enum RoundOp { ROUND_UP, ROUND_DOWN, ROUND_HALF_UP, ROUND_HALF_EVEN } RoundOp;

typedef struct Expr {
    uint8_t kind;      /* ExprKind */
    uint8_t op;        /* by kind */
    uint8_t emptiness; /* Emptiness, quantifiers only */
    bool flag;         /* by kind */
    uint16_t depth;    /* 1 for a leaf */
    bool parens;       /* written in parentheses: the fair copy keeps them */
    Span span;
    Span name_span; /* of name, where there is one */
    const Name *name;
    Text text; /* texts; of a quantity its spelling, blanks made single */
    union {
        const Quantity *quantity;
        Day day;
        long number; /* EMPTY_AT_LEAST_NUMBER */
    };
    struct Expr *a, *b, *c;
    struct Expr *list; /* members chained by next */
    struct Expr *next;
} Expr;

/* ---- data in worked examples; spec files are read into the same form ---- */

typedef enum DatumKind { DATUM_SCALAR, DATUM_QUOTED, DATUM_LIST, DATUM_MAP } DatumKind;

typedef struct Datum {
    uint8_t kind;        /* DatumKind */
    Place place;         /* of the value */
    Place key_place;     /* of the key, for members of a map */
    Text key;            /* members of a map */
    Text text;           /* scalars: as written, quotes and escapes resolved */
    struct Datum *first; /* members, in order */
    struct Datum *next;
    uint32_t count; /* of members */
    uint16_t depth; /* 1 for a scalar */
} Datum;

#endif
