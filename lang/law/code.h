/* Code: the checked form of an expression. Names are resolved to slots, types and dimensions
 * are proved, limits are converted to SI; what is left is evaluation. Made by law/check for one
 * law (one jurisdiction on one date) and never changed; judge/ evaluates it. */
#ifndef LAW_CODE_H
#define LAW_CODE_H

#include "law/value.h"

typedef struct Code Code;
typedef struct Table Table;

typedef enum CodeOp {
    CODE_BAD,      /* after an error; never evaluated */
    CODE_CONSTANT, /* value */
    CODE_FACT,     /* field of the unit */
    CODE_FIELD,    /* a (item), field */
    CODE_BY_KEY,   /* a (list), text: the item so named, or none */
    CODE_VARIABLE, /* slot */
    CODE_WORDS,    /* all words of the choice of its type: what least and greatest go through */
    CODE_DEFINED,  /* slot; a: evaluated once per frame, when first asked for */
    CODE_CALL,     /* args evaluated into slots slot..slot+count-1, then a */
    CODE_REVIEW_DATE,
    CODE_PERMIT_DATE,
    CODE_NOT, /* a */
    CODE_AND, /* a, b; in the order written */
    CODE_OR,
    CODE_ANY_OF, /* args */
    CODE_ALL_OF,
    CODE_COMPARE,       /* sub: CompareOp; a, b ranges (numbers, dates, counts) */
    CODE_COMPARE_WORDS, /* a, b choices: equality, or order when the choice is ordered */
    CODE_COMPARE_TRUTH, /* a, b yes/no: equality */
    CODE_COMPARE_TEXT,  /* a, b: equality */
    CODE_IS_NONE,       /* a; flag: negated */
    CODE_AMONG,         /* a; args (same class as a) */
    CODE_WITHIN,        /* a within value (tolerance, >= 0) of b */
    CODE_ADD,
    CODE_SUBTRACT,
    CODE_MULTIPLY,
    CODE_DIVIDE,
    CODE_NEGATE,
    CODE_MIN,
    CODE_MAX,   /* args */
    CODE_ROOT,  /* a to the 1/sub */
    CODE_POWER, /* a to the sub (whole, 0..) */
    CODE_ROUND, /* sub: RoundOp; value: step; a */
    CODE_SIZE,  /* args: three lengths */
    CODE_HOLDS, /* a, b sizes; flag: any orientation */
    CODE_COVERS,
    CODE_OVERLAPS,
    CODE_GAP,
    CODE_OVERHANG,   /* a, b items with a plan */
    CODE_QUANTIFIER, /* sub: QuantifierOp; slot; a list, b where, c body; emptiness; number */
    CODE_TOTAL,
    CODE_LEAST,
    CODE_GREATEST, /* slot; a list, b where, c value */
    CODE_COUNT,    /* slot; a list, b where or NULL */
    CODE_THOSE,    /* slot; a list, b where */
    CODE_COVERED,  /* a list, b item: members of a that b covers */
    CODE_FIRST,    /* slot; a list, b where, c key */
    CODE_IF,       /* a if b otherwise c */
    CODE_IF_NONE,  /* a, or b if none */
    CODE_TABLE,    /* table; args: one or two keys */
    CODE_APPROVAL, /* text */
    CODE_BLANK     /* text, in words: nobody has filled it in; no value */
} CodeOp;

struct Code {
    uint8_t op;
    uint8_t sub;
    uint8_t emptiness;
    bool flag;
    uint32_t slot;
    uint32_t count; /* of args */
    uint32_t number;
    uint32_t depth; /* of nested code, definitions included; 1 for a leaf */
    const Code *a, *b, *c;
    const Code **args;
    union {
        const Value *value;
        const Field *field;
        const Table *table;
        const Text *text;
    };
    Type type;
    const Expr *expr;     /* where it stands; NULL for what the checker made */
    const Source *source; /* of expr */
    const Unit *unit;     /* constants: as written; else the unit to show, or NULL */
};

/* ---- tables ---- */

typedef struct TableKey {
    const Name *name;
    Type type;
    uint8_t mode;    /* KeyMode */
    Range *ranges;   /* numeric keys: one per label, ascending; exact or intervals */
    uint64_t *words; /* choice: one bit each; yes/no: 1 no, 2 yes */
    uint32_t count;
} TableKey;

struct Table {
    const Name *name;
    Type type; /* of the cells */
    const Unit *unit;
    Text cites;
    TableKey keys[2];
    uint32_t key_count;
    Value *cells;       /* row major: cells[row * columns + column]; can == NONE for a none cell */
    uint32_t columns;   /* 1 with one key */
    bool has_otherwise; /* otherwise a value; else no rule */
    Value otherwise;
    const TableTree *tree;
    const Source *source;
};

/* ---- sections, checked ---- */

typedef struct EachCode {
    bool pair;
    uint32_t slot_a, slot_b;
    const Code *list;
    const Code *where; /* NULL */
    const EachTree *tree;
} EachCode;

typedef struct Line {
    const Name *label; /* NULL */
    uint32_t index;    /* 1.. in the order written; substituting lines continue the count */
    bool negated;      /* shall not */
    bool discretion;
    Text official, what;
    const Code *requirement; /* NULL for discretion */
    uint8_t absence;         /* AbsenceKind */
    const Code **maybe_none; /* if provided, required: the paths that may be absent */
    uint32_t maybe_none_count;
    /* A line that is one comparison of quantities, dates or ordered choices: */
    const Code *measured; /* with its fallback applied; NULL otherwise */
    const Code *limit;
    uint8_t compare;  /* CompareOp, as written */
    const Unit *unit; /* of the law, for measured, limit and margin */
    const LineTree *tree;
    const Source *source;
} Line;

typedef struct Exception {
    uint64_t covers; /* bit i: line i of the text's lines; all ones: all */
    bool by_approval;
    Text approval;
    const Code *condition; /* NULL: by approval alone */
    Text by;
    const Code **unless;
    Text *unless_by;
    uint32_t unless_count;
    const Line *lines; /* substituting; in place of every covered line */
    uint32_t line_count;
    const ExceptionTree *tree;
} Exception;

/* One text of a section under one reading. */
typedef struct SectionText {
    const Name *reading; /* NULL when the section has none */
    const EachCode *eachs;
    uint32_t each_count;
    const Code **whens;
    uint32_t when_count;
    const Line *lines;
    uint32_t line_count;
    const Exception *exceptions;
    uint32_t exception_count;
    uint32_t slots;         /* size of the frame */
    bool reads_review_date; /* somewhere in it */
    Text remedy;
    BasisTree basis;
    const BodyTree *tree;
    const Source *source;
} SectionText;

typedef struct StepCode {
    const Name *name;
    Text title;
    const Code *value;
    const Unit *unit;
    const Line *line; /* of a comparison: what is proposed and what is required; else NULL */
    Text cites;
    const StepTree *tree;
} StepCode;

/* A schedule is one too, in the frame of its worksheet: its steps are the columns. */
typedef struct Worksheet {
    const Name *name;
    Text title;
    const Name *reading; /* NULL: it can be read in one way */
    const EachCode *eachs;
    uint32_t each_count;
    const Code **whens; /* all must be able to hold */
    uint32_t when_count;
    const StepCode *steps;
    uint32_t step_count;
    const struct Worksheet *schedules;
    uint32_t schedule_count;
    const CodeTree *code;                 /* that holds it, or */
    const JurisdictionTree *jurisdiction; /* NULL */
    uint32_t slots;
    const WorksheetTree *tree;
    const Source *source;
} Worksheet;

#endif
