/* What rule files say, as read: vocabularies, codes, jurisdictions, worked examples. */
#ifndef ORACLE_TREE_H
#define ORACLE_TREE_H

#include "basics.h"

enum { WORD_SETS = 24 };

typedef struct Words {
    uint64_t bit[WORD_SETS];
} Words;

typedef struct Choice {
    const char *name;
    const char *word[64];
    int n;
    bool ordered;
} Choice;

typedef enum TypeKind {
    TYPE_NUMBER,
    TYPE_COUNT,
    TYPE_TEXT,
    TYPE_YES_NO,
    TYPE_DATE,
    TYPE_SIZE,
    TYPE_CHOICE,
    TYPE_RECORD,
    TYPE_LIST
} TypeKind;

typedef struct Record Record;

typedef struct Type {
    TypeKind kind;
    const char *dimension;
    const Choice *choice;
    Record *record; /* of a record, or of the items of a list */
} Type;

typedef struct Field {
    const char *name;
    Type type;
    bool always, key;
    bool gathered; /* every RECORD: the items of all facts that are one, or made as one */
    Range bounds;
} Field;

struct Record {
    const char *name;
    Field *field;
    int n, room;
    int key;                          /* which field names an item, or -1 */
    int along, length, across, width; /* fields that place an item in the plan, or -1 */
    const char *plan[4];              /* their names, as written; NULL: none */
    bool continued;                   /* further fields of a record declared elsewhere */
    const char *as;                   /* the name of the record as which it is made, or NULL */
    const Record *base;               /* that record */
    const struct Item *unknown;       /* an item of which nothing is stated */
};

typedef struct Vocabulary {
    const char *name, *file;
    bool continued;
    Vec choices, records;
    Record facts; /* the facts, as if fields of one record */
} Vocabulary;

typedef enum Op {
    OP_NUMBER,
    OP_DATE,
    OP_TEXT,
    OP_YES,
    OP_NO,
    OP_NOTHING, /* a cell without value */
    OP_NAME,
    OP_DOT,
    OP_INDEX,
    OP_OR,
    OP_AND,
    OP_NOT,
    OP_LE,
    OP_LT,
    OP_GE,
    OP_GT,
    OP_EQ,
    OP_NE,
    OP_IS_NONE,
    OP_AMONG,
    OP_WITHIN,
    OP_ADD,
    OP_SUB,
    OP_MUL,
    OP_DIV,
    OP_MINUS,
    OP_SIZE,
    OP_HOLDS,
    OP_HOLDS_ANY,
    OP_COVERS,
    OP_OVERLAPS,
    OP_EVERY,
    OP_SOME,
    OP_NO_ONE,
    OP_TOTAL,
    OP_LEAST,
    OP_GREATEST,
    OP_COUNT,
    OP_THOSE,
    OP_COVERED,
    OP_FIRST,
    OP_GAP,
    OP_OVERHANG,
    OP_ROUND,
    OP_IF,
    OP_APPROVAL,
    OP_BLANK,
    OP_CALL,
    OP_FALLBACK,
    OP_IN_SCOPE /* a limit put in by an amendment, read with that level's names */
} Op;

typedef enum Emptiness { EMPTY_SILENT, EMPTY_AT_LEAST, EMPTY_YES, EMPTY_NO } Emptiness;

typedef struct Expr Expr;
typedef struct Holder Holder;

/* The three parts of a quantifier or list: of what (list), which (where), and what is asked (body). */
struct Expr {
    Op op;
    const char *text; /* a name, a text, the variable of a quantifier */
    Range range;
    bool whole, tolerance;
    Expr *a, *b, *c;
    Vec args;
    Emptiness empty;
    long least; /* at least so many */
    Rounding rounding;
    const Holder *holders;
    const char *file;
    int line;
};

typedef struct Param {
    const char *name;
    const Choice *choice; /* of a parameter that is a choice */
} Param;

typedef struct Define {
    const char *name;
    Vec params; /* Param */
    Expr *expr;
} Define;

typedef struct Reading {
    const char *name;
    Vec defines;
} Reading;

typedef enum KeyMode { KEY_EXACT, KEY_HIGHER, KEY_LOWER, KEY_STRAIGHT } KeyMode;

typedef struct Key {
    const char *name;
    KeyMode mode;
    const Choice *choice;
    bool whole;
} Key;

typedef struct Label {
    const char *word; /* or a range */
    Range range;
} Label;

typedef struct Table {
    const char *name;
    Key key[2];
    int keys;
    Vec rows, columns; /* Label */
    Vec cells;         /* Expr, row after row */
    Expr *otherwise;   /* NULL: no rule */
} Table;

typedef struct Worksheet {
    const char *name;
    Vec defines; /* steps are definitions too */
    Vec eachs;   /* Each */
    Vec whens;   /* Expr: for which units and items there is such a sheet */
} Worksheet;

/* Where a text finds the definitions and tables beside it: a code or a jurisdiction, then the next. */
struct Holder {
    Vec defines, tables, sheets, readings;
    const Holder *next;
};

typedef struct Each {
    const char *a, *b; /* b: of a pair */
    Expr *list, *where;
} Each;

typedef enum Absence { ABSENT_SILENT, ABSENT_SKIPS, ABSENT_FAILS } Absence;

typedef struct Line {
    const char *label;
    Expr *expr; /* NULL: at an official's discretion */
    bool negated;
    Absence absence;
} Line;

typedef struct Exception {
    const char *to, *by;
    const Holder *holders; /* of one that a change put in; NULL: those of its text */
    Expr *where;
    const char *approval;
    Vec unless; /* Expr */
    Vec lines;
} Exception;

typedef enum PermitKind {
    PERMIT_FROM,
    PERMIT_BEFORE,
    PERMIT_NOT_BEFORE,
    PERMIT_NOT_ON,
    PERMIT_EXISTING /* units permitted before the text keep the former one until the date */
} PermitKind;

typedef struct Permit {
    PermitKind kind;
    Range date;
} Permit;

typedef struct Target {
    const char *number, *part;
} Target;

/* What a section has of its code unless it says otherwise. */
typedef struct Standing {
    int stage; /* the first; 0 when not said */
    const char *authority;
} Standing;

typedef struct Section {
    const char *number, *part, *topic;
    Vec eachs, whens, defines, readings, lines, exceptions, permits;
    Vec units;           /* Expr: for units where */
    Vec notwithstanding; /* Target */
    bool not_waived;
    Standing standing;
} Section;

typedef struct Example Example;

typedef struct Code {
    const char *name, *edition, *vocabulary, *file;
    const char *as; /* the edition with which it begins, or NULL */
    bool continued, taken;
    Vec without;    /* Target: omitted or reserved */
    long published; /* days; LONG_MIN: not said */
    Standing standing;
    Vec sections, examples;
    Vec units; /* Expr */
    Holder holder;
} Code;

typedef enum ChangeKind {
    CHANGE_READ,
    CHANGE_LIMIT,
    CHANGE_EXCEPTION, /* one exception reads otherwise, or is gone */
    CHANGE_ADD,       /* an exception more */
    CHANGE_DELETE,
    CHANGE_INSERT,
    CHANGE_RENUMBER,
    CHANGE_READING,
    CHANGE_FLOOR,
    CHANGE_LOCK, /* not to be amended locally */
    CHANGE_NOT_WAIVED,
    CHANGE_PREEMPTS,
    CHANGE_PREVAILS,
    CHANGE_REPEALS,
    CHANGE_EXTENDS,
    CHANGE_POSTPONES
} ChangeKind;

typedef struct Change {
    ChangeKind kind;
    Vec targets; /* Target */
    Vec topics;
    Section *section;
    Exception *exception;
    const char *label, *reading;
    const char *name; /* an exception's, an act's or a code's; the new number */
    Expr *limit;
    bool every; /* in any section */
    long day;   /* from when, or until; LONG_MIN: not said */
    bool carries, lapses;
    const char *carries_to;
} Change;

typedef struct Block {
    bool adopts;
    const char *code, *edition, *by, *file;
    long from, until; /* days; until LONG_MAX: without end */
    long month, day;  /* of each edition: so many after publication; 0: of one */
    Vec changes;
    Vec units; /* Expr */
} Block;

typedef struct Jurisdiction {
    const char *name, *within, *file;
    bool continued;
    Vec blocks, examples;
    Holder holder;
} Jurisdiction;

/* Who decides what: of several rows of an authority the first whose condition holds. */
typedef struct Seat {
    const char *authority, *jurisdiction;
    Expr *where; /* NULL: always */
} Seat;

typedef struct Place {
    const char *name;
    Vec seats;
} Place;

typedef struct Law {
    Vec vocabularies, codes, jurisdictions, places;
    bool joined; /* the vocabularies: what is read now is read with all of their pieces */
} Law;

/* ---- worked examples ---- */

typedef struct Setting {
    Vec path; /* Step */
    json_t *value;
} Setting;

typedef struct Step {
    const char *name; /* .name, or ["key"] when key is set */
    bool key;
} Step;

typedef enum Outcome {
    CORRECTION,
    INFORMATION_REQUIRED,
    OFFICIAL_DECIDES,
    COMPLIES,
    EXCUSED,
    NOT_APPLICABLE
} Outcome;

typedef struct Expected {
    const char *number, *part, *label;
    Vec names;
    Outcome outcome;
    const char *measured, *limit;
    const char *sheet, *step, *value; /* of a step of a worksheet, instead of an outcome */
    const Range *within;              /* NULL: exactly */
    int line;
} Expected;

struct Example {
    const char *title, *from, *file;
    int line;
    Vec settings; /* with, then unit has */
    Vec expected;
    long on; /* days; LONG_MIN: not said */
};

#endif
