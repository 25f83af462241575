/* The tree of a rule file, as the grammar builds it and the fair copy prints it. Nodes live in
 * the library's arena and are never changed after parsing. Nothing here knows types or looks
 * names up: that is law/. Lists are chained by `next`, in the order of the file. */
#ifndef SYNTAX_TREE_H
#define SYNTAX_TREE_H

#include "syntax/tree_expr.h"

/* ---- what a block holds, in the order of the file ---- */

typedef enum PartKind {
    PART_BAD, /* after a syntax error */
    /* vocabulary */
    PART_CHOICE,
    PART_RECORD,
    PART_FACT,
    PART_TOPIC,
    /* code */
    PART_TITLE,
    PART_PUBLISHER,
    PART_VOCABULARY,
    PART_PUBLISHED,
    PART_RANKS,
    PART_CITED_AS,
    PART_RANK,
    PART_AUTHORITY,
    PART_STAGE,
    PART_REWORK,
    PART_BASIS,
    PART_SECTION,
    PART_OMITTED,
    PART_RESERVED,
    PART_DEFINE,
    PART_TABLE,
    PART_WORKSHEET,
    PART_READING,
    PART_EXAMPLE,
    /* section */
    PART_ABOUT,
    PART_PERMIT,
    PART_FOR_UNITS, /* also of a code */
    PART_EACH,
    PART_WHEN,
    PART_LINE,
    PART_EXCEPTION,
    PART_REMEDY,
    PART_NOTWITHSTANDING,
    PART_FORMERLY,
    PART_NO_WAIVER,
    PART_STET,
    PART_ALSO_AT,
    PART_CONFIRMED, /* also of a jurisdiction */
    /* worksheet, jurisdiction */
    PART_STEP,
    PART_SCHEDULE,
    PART_NOTE,
    PART_BLOCK,
    PART_CHECKLIST,
    /* checklist */
    PART_CHECK_LINE,
    /* place */
    PART_HOLDER
} PartKind;

/* The same nodes that the lists of a block hold by kind, once more in the order in which they
 * stand, for the fair copy; law/ does not need it. */
typedef struct PartTree {
    uint8_t kind;   /* PartKind */
    uint8_t detail; /* authority: 1 may cite, 2 may advise; stage: bit set; rework: Rework */
    Span span;
    Span at;          /* of the main word or text */
    Day day;          /* published */
    const Name *name; /* about (dotted), authority, vocabulary */
    Text text;        /* title, publisher, rank, remedy */
    void *node;       /* the tree of the kind; a list of targets; Texts of ranks (detail: count) */
    struct PartTree *next;
} PartTree;

/* ---- vocabulary ---- */

typedef struct Word {
    const Name *name;
    Span span;
    struct Word *next;
} Word;

typedef enum TypeKind {
    TYPE_NAMED, /* a record, a choice or a dimension: name says */
    TYPE_TEXT,
    TYPE_YES_NO,
    TYPE_DATE,
    TYPE_COUNT,
    TYPE_PERCENT,
    TYPE_SIZE,
    TYPE_ONE_OF, /* words, ordered */
    TYPE_LIST,   /* of name */
    TYPE_EVERY   /* every item of the record `name`, and of those made as it */
} TypeKind;

typedef struct TypeTree {
    uint8_t kind; /* TypeKind */
    bool ordered;
    const Name *name;
    Word *words;
    Span span;
} TypeTree;

typedef struct FieldTree {
    const Name *name;
    Span name_span;
    Span span;
    TypeTree type;
    bool always_present;
    bool key;
    const Quantity *low, *high, *step; /* NULL when not written */
    Span low_span, high_span, step_span;
    bool low_open, high_open; /* more than, less than */
    const Name *built_as;     /* NULL */
    Text ask;
    struct FieldTree *next;
} FieldTree;

typedef struct RecordTree {
    const Name *name;
    Span name_span;
    Span span;
    FieldTree *fields;
    const Name *as; /* the record whose fields it begins with; NULL */
    Span as_span;
    bool continued; /* further fields of a record declared elsewhere */
    const Name *plan_x, *plan_along, *plan_y, *plan_across; /* NULL where not written */
    Span plan_span;
    struct RecordTree *next;
} RecordTree;

typedef struct ChoiceTree {
    const Name *name;
    Span name_span;
    Span span;
    Word *words;
    bool ordered;
    struct ChoiceTree *next;
} ChoiceTree;

typedef struct TopicTree {
    const Name *name; /* dotted */
    Span name_span;
    Text title;
    Span span;
    struct TopicTree *next;
} TopicTree;

/* A vocabulary, or a further piece of one; joined as codes are. */
typedef struct VocabularyTree {
    const Name *name;
    Span name_span;
    bool continued;
    Span span;
    ChoiceTree *choices;
    RecordTree *records;
    FieldTree *facts;
    TopicTree *topics;
    PartTree *parts;
    const Source *source;
    const struct VocabularyTree *const *pieces; /* of a joined one: the main one first */
    size_t piece_count;                         /* else 0 */
    struct VocabularyTree *next;
} VocabularyTree;

/* ---- definitions, tables, worksheets ---- */

typedef struct ParamTree {
    const Name *name;
    Span span;
    TypeTree type;
    struct ParamTree *next;
} ParamTree;

typedef struct DefineTree {
    const Name *name;
    Span name_span;
    Span span;
    ParamTree *params; /* NULL: a value */
    Expr *value;
    Expr *fallback; /* , or E if none; NULL */
    const Source *source;
    struct DefineTree *next;
} DefineTree;

typedef enum KeyMode { KEY_EXACT, KEY_NEXT_HIGHER, KEY_NEXT_LOWER, KEY_INTERPOLATED } KeyMode;

typedef struct KeyTree {
    const Name *name;
    Span name_span;
    bool typed;
    TypeTree type;
    uint8_t mode; /* KeyMode */
    bool mode_said;
    struct KeyTree *next;
} KeyTree;

typedef enum LabelKind {
    LABEL_WORD,
    LABEL_YES,
    LABEL_NO,
    LABEL_QUANTITY,
    LABEL_BETWEEN,
    LABEL_BOUND
} LabelKind;

typedef struct LabelTree {
    uint8_t kind;               /* LabelKind */
    const Name *name;           /* word; or the key's name in a bound */
    const Quantity *low, *high; /* quantity (low), between, bound (NULL: no end) */
    bool low_open, high_open;
    Span span;
    struct LabelTree *next;
} LabelTree;

typedef enum CellKind { CELL_QUANTITY, CELL_WORD, CELL_YES, CELL_NO, CELL_NONE } CellKind;

typedef struct CellTree {
    uint8_t kind; /* CellKind */
    const Quantity *quantity;
    const Name *word;
    Span span;
    struct CellTree *next;
} CellTree;

typedef struct RowTree {
    LabelTree *label;
    CellTree *cells;
    Span span;
    struct RowTree *next;
} RowTree;

typedef enum OtherwiseKind { OTHERWISE_UNSAID, OTHERWISE_NO_RULE, OTHERWISE_CELL } OtherwiseKind;

typedef struct TableTree {
    const Name *name;
    Span name_span;
    Span span;
    KeyTree *keys; /* one or two */
    Text unit;     /* "" when not written; bare numbers in cells take it */
    Span unit_span;
    Text cites;
    LabelTree *columns; /* two keys only */
    RowTree *rows;
    uint8_t otherwise; /* OtherwiseKind */
    CellTree *otherwise_cell;
    Span otherwise_span;
    const Source *source;
    struct TableTree *next;
} TableTree;

/* ---- sections ---- */

typedef struct EachTree {
    bool pair;
    const Name *a, *b; /* b: pairs only */
    Span a_span, b_span;
    Expr *list;
    Expr *where; /* NULL */
    Span span;
    struct EachTree *next;
} EachTree;

typedef struct ReadingTree {
    const Name *name;
    Span name_span;
    DefineTree *defines;
    Span span;
    const Source *source;
    struct ReadingTree *next;
} ReadingTree;

typedef enum AbsenceKind {
    ABSENCE_UNSAID,
    ABSENCE_IF_PROVIDED,
    ABSENCE_REQUIRED,
    ABSENCE_VALUE
} AbsenceKind;

/* A line of a section: shall, shall not, or at the discretion of. */
typedef struct LineTree {
    bool negated;      /* shall not */
    bool discretion;   /* official and what; no requirement */
    const Name *label; /* NULL */
    Span label_span;
    Expr *requirement;
    uint8_t absence; /* AbsenceKind */
    Expr *fallback;
    Text official, what;
    Span span;
    struct LineTree *next;
} LineTree;

typedef struct UnlessTree {
    Expr *condition;
    Text by;
    Span by_span;
    struct UnlessTree *next;
} UnlessTree;

typedef struct ExceptionTree {
    const Name *to; /* label; NULL: all lines */
    Span to_span;
    Text approval;   /* with approval of; "" */
    Expr *condition; /* NULL with approval alone */
    Text by;         /* "" */
    Span by_span;
    UnlessTree *unless;
    LineTree *lines; /* substituting exception */
    Span span;
    /* Set by the assembly where an ordinance wrote the exception; NULL: who wrote the body. */
    const Source *source;
    const struct JurisdictionTree *jurisdiction;
    struct ExceptionTree *next;
} ExceptionTree;

typedef enum PermitKind {
    PERMIT_ALL,
    PERMIT_ON_OR_AFTER,
    PERMIT_BEFORE,
    PERMIT_NOT_BEFORE,
    PERMIT_NOT_ON,
    PERMIT_EXISTING_FROM
} PermitKind; /* for units permitted on or after | before; not for units under permit before | on;
                 existing units from */

typedef struct PermitTree {
    uint8_t kind; /* PermitKind */
    Day day;
    Span span;
} PermitTree;

typedef enum BasisKind {
    BASIS_UNSAID,
    BASIS_READ,
    BASIS_MEMORY,
    BASIS_PRACTICE,
    BASIS_INVENTED
} BasisKind;

typedef struct BasisTree {
    uint8_t kind; /* BasisKind */
    Text title;   /* read */
    Day day;      /* read */
    Span span;
} BasisTree;

typedef enum Stage { STAGE_INTAKE, STAGE_PLAN, STAGE_ROUGH_IN, STAGE_FINAL, STAGE_OPERATION } Stage;
typedef enum Rework {
    REWORK_UNSAID,
    REWORK_FRAME,
    REWORK_ORDER,
    REWORK_STEEL,
    REWORK_ROUGH_IN,
    REWORK_TRIM,
    REWORK_PAPER
} Rework;

/* What a code says once for its sections, and a section may say again. */
typedef struct StandingTree {
    Text rank; /* words joined by single spaces; "" unsaid */
    Span rank_span;
    const Name *authority; /* NULL unsaid */
    Span authority_span;
    bool advises;   /* may advise */
    uint8_t stages; /* bit set of 1 << Stage; 0 unsaid */
    Span stages_span;
    uint8_t rework; /* Rework */
} StandingTree;

/* What "to read" replaces. */
typedef struct BodyTree {
    EachTree *eachs;
    Expr *whens; /* chained by next: all must hold */
    DefineTree *defines;
    ReadingTree *readings;
    LineTree *lines;
    ExceptionTree *exceptions;
    Text remedy;
    Span remedy_span;
    BasisTree basis;
    PermitTree permit;
    Expr *scopes;    /* for units where, chained by next: all must hold */
    PartTree *parts; /* of the section, or of "to read" */
} BodyTree;

/* A section's number as written in a target: section, perhaps its part. */
typedef struct TargetTree {
    Text number;
    const Name *part; /* NULL */
    Span span;
    const Source *source;
    struct TargetTree *next;
} TargetTree;

typedef struct StetTree {
    Text message; /* the name of the message to silence */
    Text reason;
    Span span;
    struct StetTree *next;
} StetTree;

/* An office has confirmed how a file reads its text. */
typedef struct ConfirmedTree {
    TargetTree *targets; /* in a jurisdiction: of which sections; NULL in a section: of its own */
    Text office, letter;
    Day day;
    Span span;
    const Source *source;
    struct ConfirmedTree *next;
} ConfirmedTree;

typedef struct SectionTree {
    Text number;
    const Name *part; /* NULL */
    Text heading;
    Span number_span;
    Span span;
    const Name *topic; /* dotted; NULL */
    Span topic_span;
    StandingTree standing;
    BodyTree body;
    TargetTree *notwithstanding;
    TargetTree *formerly; /* numbers in earlier editions */
    TargetTree *also_at;  /* twins: other numbers under which the same text stands */
    ConfirmedTree *confirmed;
    bool never_waived; /* not to be waived */
    Span never_waived_span;
    StetTree *stets;
    bool taken_over; /* from the edition as which its own begins; set by the library */
    const Source *source;
    struct SectionTree *next;
} SectionTree;

typedef struct OmittedTree {
    TargetTree target;
    Text reason;
    Span span;
    const Source *source;
    struct OmittedTree *next;
} OmittedTree;

typedef struct StepTree {
    const Name *name;
    Span name_span;
    Text title;
    Expr *value;
    Expr *fallback;
    Text unit; /* "" */
    Span unit_span;
    Text cites;
    Span span;
    struct StepTree *next;
} StepTree;

/* A schedule of a worksheet is one too: a row per tuple of its eachs, its steps the columns. It
 * sees the definitions of its worksheet, and its own columns by name. */
typedef struct WorksheetTree {
    const Name *name;
    Span name_span;
    Text title;
    EachTree *eachs;
    Expr *whens; /* chained by next: without them there is no such sheet */
    DefineTree *defines;
    StepTree *steps;
    struct WorksheetTree *schedules; /* chained by next */
    PartTree *parts;
    Span span;
    const Source *source;
    struct WorksheetTree *next;
} WorksheetTree;

/* ---- worked examples ---- */

typedef struct SettingTree {
    Expr *path; /* EXPR_NAME, EXPR_FIELD, EXPR_ITEM */
    Datum *value;
    Span lead; /* of the `unit has` right before it; empty: there is none */
    Span span;
    struct SettingTree *next;
} SettingTree;

typedef enum Outcome {
    OUTCOME_COMPLIES,
    OUTCOME_CORRECTION,
    OUTCOME_INFORMATION_REQUIRED,
    OUTCOME_OFFICIAL_DECIDES,
    OUTCOME_EXCUSED,
    OUTCOME_NOT_APPLICABLE
} Outcome;

typedef struct ExpectedTree {
    TargetTree target;
    const Name *label;       /* NULL */
    Datum *items;            /* list of names (scalars chained by next); NULL */
    uint8_t outcome;         /* Outcome */
    Datum *measured, *limit; /* NULL */
    Expr *waits;             /* paths chained by next */
    Expr *step;              /* worksheet.step: its value is `measured`; NULL: a finding */
    const Quantity *within;  /* of a step: how far it may be off; NULL: exact */
    Span within_span;
    Span span;
    struct ExpectedTree *next;
} ExpectedTree;

typedef struct ExampleTree {
    Text title;
    Text from; /* "" */
    Span from_span;
    SettingTree *with; /* changes to the spec, in order; "unit has" settings follow in `facts` */
    SettingTree *facts;
    bool dated;
    Day on;
    ExpectedTree *expected;
    Span span;
    const Source *source;
    struct ExampleTree *next;
} ExampleTree;

/* ---- a county's own printed checklist ---- */

typedef struct CheckLineTree {
    Text title;          /* the line, in our words */
    TargetTree *targets; /* the sections that answer it; NULL: */
    Text omitted;        /* why no section does, or */
    Text official;       /* who judges it by eye */
    Span span;
    struct CheckLineTree *next;
} CheckLineTree;

typedef struct ChecklistTree {
    const Name *name;
    Span name_span;
    Text title;
    Text from; /* the paper it stands on; "" */
    CheckLineTree *lines;
    PartTree *parts;
    Span span;
    const Source *source;
    struct ChecklistTree *next;
} ChecklistTree;

/* ---- codes and jurisdictions ---- */

#define DAY_FOREVER INT32_MAX
#define DAY_UNSAID INT32_MIN

/* A code, or a further piece of one. The library joins pieces to the code that they continue: what
 * it gives then holds the lists of all, and each node of them knows the source it stands in. */
typedef struct CodeTree {
    const Name *name;
    Text edition;
    bool continued;
    Text as_edition; /* begins with the sections of that edition; "" */
    Span as_span;
    Day published; /* DAY_UNSAID */
    Text title, publisher;
    Text cited_as;          /* with {section} where the number goes; "" */
    const Name *vocabulary; /* NULL: the only one in the library */
    Span vocabulary_span;
    Text *ranks; /* declared, in order */
    size_t rank_count;
    StandingTree standing;
    BasisTree basis;
    SectionTree *sections;
    OmittedTree *omitted;
    TargetTree *reserved; /* numbers held free */
    Expr *scopes;         /* for units where, of all its sections */
    DefineTree *defines;
    TableTree *tables;
    WorksheetTree *worksheets;
    ReadingTree *readings; /* shared */
    ExampleTree *examples;
    PartTree *parts;
    Span name_span;
    Span span;
    const Source *source;
    const struct CodeTree *const *pieces; /* of a joined code: as written, the main one first */
    size_t piece_count;                   /* else 0 */
    struct CodeTree *next;
} CodeTree;

typedef enum FateKind { FATE_UNSAID, FATE_CARRIES_OVER, FATE_LAPSES } FateKind;

typedef enum ChangeKind {
    CHANGE_TO_READ,
    CHANGE_LIMIT,
    CHANGE_DELETE,
    CHANGE_INSERT,
    CHANGE_APPLIES_READING,
    CHANGE_LOCAL_FLOOR,
    CHANGE_NO_LOCAL,
    CHANGE_EXCEPTION_TO_READ, /* amend T exception "CITE" to read … end */
    CHANGE_EXCEPTION_DELETE,  /* amend T delete exception "CITE" */
    CHANGE_EXCEPTION_INSERT,  /* amend T insert except … end */
    CHANGE_RENUMBER,
    CHANGE_NO_WAIVER,
    CHANGE_PREEMPTS,
    CHANGE_PREVAILS,
    CHANGE_FOR_UNITS,
    CHANGE_REPEALS,
    CHANGE_EXTENDS,
    CHANGE_POSTPONES
} ChangeKind;

typedef struct ChangeTree {
    uint8_t kind;        /* ChangeKind */
    TargetTree *targets; /* one for amend, renumber; several for delete, floor, no-local, no-waiver,
                     repeals; none or one for readings; none for no-local in any section */
    BodyTree body;       /* to read */
    Span read_end;       /* up to its `end` */
    const Name *label;   /* limit: the line; NULL. applies reading: the reading */
    Span label_span;
    Expr *limit;
    SectionTree *section;     /* insert */
    bool reserve;             /* delete and reserve */
    ExceptionTree *exception; /* exception to read, insert */
    Text cite;                /* exception to read, delete: its `by` text */
    Span cite_span;
    Text number; /* renumber: the new number */
    Span number_span;
    const Name *code; /* prevails over */
    Span code_span;
    Word *topics; /* preempts, prevails over: dotted names; NULL: all */
    Expr *scope;  /* for units where */
    Text act;     /* repeals, extends, postpones */
    Span act_span;
    Day day; /* extends, postpones: until; no-local, preempts: from; DAY_UNSAID */
    Span day_span;
    uint8_t fate;    /* FateKind */
    Text carried_to; /* "" same number */
    Span fate_span;
    Span span;
    struct ChangeTree *next;
} ChangeTree;

typedef struct BlockTree {
    bool amends;  /* else adopts */
    bool rolling; /* adopts each edition, from the next rolling day after its publication */
    uint8_t rolling_day, rolling_month; /* 1.. */
    const Name *code;
    Text edition;
    Span code_span;
    Day from, until; /* until: DAY_FOREVER when not written */
    Span from_span, until_span;
    Text by;
    Span by_span;
    Day passed, filed, effective; /* history; DAY_UNSAID */
    bool emergency;
    ChangeTree *changes;
    Span span;
    const Source *source;
    struct BlockTree *next;
} BlockTree;

/* A jurisdiction, or a further piece of one; joined as codes are. */
typedef struct JurisdictionTree {
    const Name *name;
    Span name_span;
    bool continued;
    Text title;
    const Name *within; /* NULL */
    Span within_span;
    BlockTree *blocks;
    DefineTree *defines;
    TableTree *tables;
    WorksheetTree *worksheets;
    ChecklistTree *checklists;
    ConfirmedTree *confirmed;
    ExampleTree *examples;
    PartTree *parts;
    Span span;
    const Source *source;
    const struct JurisdictionTree *const *pieces;
    size_t piece_count;
    struct JurisdictionTree *next;
} JurisdictionTree;

/* A row of a place: who holds an authority there. Of the rows of one authority the first whose
 * condition is true governs. */
typedef struct HolderTree {
    const Name *authority;
    Span authority_span;
    const Name *jurisdiction;
    Span jurisdiction_span;
    Expr *where;    /* NULL */
    bool otherwise; /* written so */
    Text by;        /* "" */
    Span span;
    struct HolderTree *next;
} HolderTree;

typedef struct PlaceTree {
    const Name *name;
    Span name_span;
    Text title;
    HolderTree *holders;
    PartTree *parts;
    Span span;
    const Source *source;
    struct PlaceTree *next;
} PlaceTree;

/* A comment, for the fair copy; `own_line` when nothing else precedes it on its line. */
typedef struct Comment {
    Span span;
    bool own_line;
} Comment;

/* What one file holds, in file order within each kind; `items` keeps the order of all. */
typedef enum ItemKind { ITEM_VOCABULARY, ITEM_CODE, ITEM_JURISDICTION, ITEM_PLACE } ItemKind;
typedef struct ItemTree {
    uint8_t kind;
    union {
        VocabularyTree *vocabulary;
        CodeTree *code;
        JurisdictionTree *jurisdiction;
        PlaceTree *place;
    };
    struct ItemTree *next;
} ItemTree;

/* A code that was passed over unread. */
typedef struct PassedTree {
    const Name *name;
    struct PassedTree *next;
} PassedTree;

typedef struct FileTree {
    const Source *source;
    ItemTree *items;
    Comment *comments;
    size_t comment_count;
    PassedTree *passed; /* of a file read for chosen codes alone */
    struct FileTree *next;
} FileTree;

#endif
