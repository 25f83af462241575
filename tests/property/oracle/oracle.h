/* The oracle: a second, slow evaluator of rule files, written from docs/language.md alone. The tests
 * hold its verdicts against the program's. It shares no code with lang/ and works in another style:
 * every number is a GMP rational, names are compared as strings, expressions are walked as trees. */
#ifndef ORACLE_H
#define ORACLE_H

#include <gmp.h>
#include <jansson.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* ---- pool.c: memory that is never freed singly, and the end of the program ---- */

#define NEW(Type) ((Type *)pool_get(sizeof(Type)))
#define ARRAY(Type, count) ((Type *)pool_get(sizeof(Type) * (size_t)(count)))

void pool_start(void); /* also gives GMP its memory */
void *pool_get(size_t size);
size_t pool_mark(void);
void pool_reset(size_t mark); /* forgets all that was taken since the mark */
char *pool_text(const char *start, size_t length);
char *pool_format(const char *format, ...) __attribute__((format(printf, 1, 2)));
_Noreturn void give_up(const char *format, ...) __attribute__((format(printf, 1, 2)));
bool same(const char *a, const char *b); /* two NULLs are the same */

/* A list that grows in the pool. */
typedef struct Vec {
    void **at;
    int n, room;
} Vec;
void vec_add(Vec *vec, void *thing);

/* ---- number.c: ends and ranges ---- */

/* The root-th root of v; closed unless open; inf means without bound (v is then not read). */
typedef struct End {
    mpq_t v;
    unsigned long root;
    bool inf, open;
} End;

typedef struct Range {
    End lo, hi;
} Range;

enum { UNDECIDED = 2 };

Range range_of(mpq_srcptr value);
Range range_ends(mpq_srcptr lo, mpq_srcptr hi);
Range range_whole_line(void);
Range range_small(long numerator, unsigned long denominator);
bool range_exact(const Range *r);
bool range_is_zero(const Range *r);
int end_order(const End *a, int a_side, const End *b, int b_side); /* -1 0 1 or UNDECIDED */
Range range_rational(Range r, bool *rooted);                       /* roots enclosed by rationals */
Range range_add(Range a, Range b);
Range range_minus(Range a);
Range range_multiply(Range a, Range b);
bool range_has_zero(const Range *r);
Range range_inverse(Range r); /* of its part other than zero */
Range range_max(Range a, Range b);
Range range_min(Range a, Range b);
Range range_hull(Range a, Range b);
Range range_cut(Range a, const Range *bounds);
Range range_power(Range x, long p, unsigned long q, bool *broken, bool *nothing);
typedef enum Rounding { ROUND_UP, ROUND_DOWN, ROUND_HALF_UP, ROUND_HALF_EVEN } Rounding;
Range range_round(Range r, mpq_srcptr step, Rounding how);
unsigned range_less(const Range *a, const Range *b, bool or_equal); /* what a < b can be */
unsigned range_equal(const Range *a, const Range *b);
char *end_show(const End *e);

/* ---- units.c: quantities as people write them ---- */

typedef struct Quantity {
    Range range;
    bool bare;      /* a number without unit */
    bool tolerance; /* written with +- */
} Quantity;

bool number_read(const char **at, mpq_t out, bool spaced); /* spaced: 6 1/2 may be written */
bool unit_read(const char **at, mpq_t factor, mpq_t offset);
bool quantity_read(const char **at, bool in_spec, bool joined, Quantity *out);
bool unit_apply(const char *unit, mpq_srcptr number, mpq_t out);

/* ---- dates ---- */

long date_days(long year, long month, long day);
bool date_read(const char **at, Range *out); /* seconds since 1970; a partial date is a range */

/* ---- the tree of a rule file ---- */

typedef struct Words {
    uint64_t bit[8];
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
    Range bounds;
} Field;

struct Record {
    const char *name;
    Field field[128];
    int n;
    int key;                          /* which field names an item, or -1 */
    int along, length, across, width; /* fields that place an item in the plan, or -1 */
    const struct Item *unknown;       /* an item of which nothing is stated */
};

typedef struct Vocabulary {
    const char *name;
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
    bool continued;
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
    int line;
} Expected;

struct Example {
    const char *title, *from, *file;
    int line;
    Vec settings; /* with, then unit has */
    Vec expected;
    long on; /* days; LONG_MIN: not said */
};

/* ---- read.c, read_expr.c, read_law.c, read_more.c ---- */

typedef enum TokenKind {
    TOKEN_END,
    TOKEN_WORD,
    TOKEN_NUMBER,
    TOKEN_TEXT,
    TOKEN_DATE,
    TOKEN_SIGN
} TokenKind;

typedef struct Token {
    TokenKind kind;
    const char *start;
    const char *text; /* of a word, text or sign */
    int line;
    bool first; /* on its line */
} Token;

typedef struct Reader {
    const char *file, *at;
    int line;
    Token token;
    bool lines; /* a new line ends an expression */
    Law *law;
    const Vocabulary *vocabulary;
} Reader;

_Noreturn void read_error(const Reader *r, const char *what);
void read_next(Reader *r);
void read_from(Reader *r, const char *at); /* goes on behind a literal */
bool at_word(const Reader *r, const char *word);
bool at_sign(const Reader *r, const char *sign);
bool take_word(Reader *r, const char *word);
bool take_sign(Reader *r, const char *sign);
void want_word(Reader *r, const char *word);
void want_sign(Reader *r, const char *sign);
const char *want_name(Reader *r);
const char *want_text(Reader *r);
Range want_date(Reader *r);
Quantity want_quantity(Reader *r, bool joined);
long want_days(Reader *r);

Expr *read_expr(Reader *r);
Expr *read_sum(Reader *r); /* without comparisons */
Expr *read_fallback(Reader *r, Expr *whole, bool speaks_of_left);
Expr *expr_new(Op op, Expr *a, Expr *b);

void read_law_file(Law *law, const char *path);
void read_vocabulary(Reader *r);
Type read_type(Reader *r);
Define *read_define(Reader *r);
Section *read_section(Reader *r);
bool read_body(Reader *r, Section *s);
bool read_permit(Reader *r, Section *s);
bool read_standing(Reader *r, Standing *standing);
bool read_units(Reader *r, Vec *units);
Exception *read_exception(Reader *r);
Target *read_target(Reader *r);
void read_targets(Reader *r, Vec *targets);
const char *read_dotted(Reader *r);
void read_phrase(Reader *r);
void want_words(Reader *r, const char *words);
bool next_is(const Reader *r, const char *word); /* the word behind this one */
const char *read_edition(Reader *r);
void read_code(Reader *r);
void read_jurisdiction(Reader *r);
bool read_shared(Reader *r, Holder *h);
bool read_worked(Reader *r, Vec *examples);
Table *read_table(Reader *r);
Worksheet *read_worksheet(Reader *r);
Example *read_example(Reader *r);
const Choice *choice_find(const Vocabulary *v, const char *name);
Vocabulary *vocabulary_find(const Law *law, const char *name);

/* ---- value.c: values, three-valued truth ---- */

enum { CAN_NO = 1, CAN_YES = 2, CAN_BOTH = 3 };
enum { WHY_FACT = 1, WHY_SPREAD = 2, WHY_NO_RULE = 4, WHY_OFFICIAL = 8, WHY_ROOT = 16 };

typedef struct Truth {
    unsigned can, why;
} Truth;

Truth truth_of(bool yes);
Truth truth_open(unsigned why);
Truth truth_and(Truth a, Truth b);
Truth truth_or(Truth a, Truth b);
Truth truth_not(Truth a);
Truth truth_cases(Truth which, Truth yes, Truth no);
static inline bool truth_is(Truth t, unsigned can)
{
    return t.can == can;
}

typedef enum ValKind {
    VAL_VOID, /* nothing but absent, or no value */
    VAL_NUMBER,
    VAL_TRUTH,
    VAL_WORD,
    VAL_TEXT,
    VAL_SIZE,
    VAL_ITEM,
    VAL_LIST
} ValKind;

typedef struct Val Val;
typedef struct Item Item;

typedef struct Member {
    const Item *item;
    Truth in;
} Member;

typedef struct Items {
    Member *member;
    int n;
    bool more;           /* further items are possible */
    const Item *further; /* what such an item can be */
} Items;

/* A value is one of the things that are possible: present (kind, and what it can be), absent, or no
 * value at all. */
struct Val {
    ValKind kind;
    bool absent, broken;
    bool whole; /* a number without fraction */
    unsigned why;
    Range range;
    unsigned can;
    Words words;
    const Choice *choice;
    const char *text; /* NULL: any */
    const Val *side[3];
    int sides;
    const Item **item; /* one of these */
    int items;
    const Items *list;
};

struct Item {
    const Record *record;
    const Val **field;
    const char *name;   /* NULL: not stated */
    const char *path;   /* names it where its key does not */
    const json_t *list; /* which list it stands in */
};

int word_id(const char *word);
Val *val_new(ValKind kind);
const Val *val_number(Range range, unsigned why, bool whole);
const Val *val_truth(Truth t);
const Val *val_word(const char *word, const Choice *choice);
const Val *val_absent(void);
const Val *val_broken(unsigned why);
const Val *val_join(const Val *a, const Val *b); /* either of them */
const Val *val_unknown(const Field *field);
const Item *item_unknown(Record *record);
Truth val_is_absent(const Val *v);
Truth val_compare(Op op, const Val *a, const Val *b, bool condition);

/* ---- facts.c: a build spec, from JSON ---- */

typedef struct Review {
    const Law *law;
    const Vocabulary *vocabulary;
    json_t *spec;
    const Item *facts;
    const char *jurisdiction;
    Vec chain; /* names of the jurisdiction and of those around it */
    Range date;
    const Val *permit;
    bool known_date;
} Review;

const Val *fact_read(const Field *field, json_t *value, const char *path);
void review_start(Review *review, const Law *law, const Vocabulary *v, json_t *spec,
                  const char *jurisdiction, const Range *date);
Truth review_approval(const Review *review, const char *of);

/* ---- evaluate.c and its like ---- */

typedef struct Var {
    const char *name;
    const Val *value;
    const struct Var *next;
} Var;

typedef struct Env {
    const Var *vars, *each; /* all variables; those of the section alone */
    const Vec *local;       /* definitions of the text */
    const Vec *reading;     /* of the reading that is judged */
    const Vec *shared;      /* of the code's reading */
    const Holder *holders;
    const Review *review;
    bool condition;
    Truth *presence; /* gathers whether what a line asks about is there */
} Env;

const Val *evaluate(const Env *env, const Expr *e);
Truth evaluate_truth(const Env *env, const Expr *e);
const Val *evaluate_against(const Env *env, const Expr *e,
                            const Val *other); /* a word of other's choice */
void evaluate_pair(const Env *env, const Expr *e, const Val **left, const Val **right);
Truth val_condition(const Env *env, const Val *v);
const Val *val_field(const Val *v, const char *name);
const Val *val_arithmetic(Op op, const Val *a, const Val *b);
const Val *evaluate_members(const Env *env, const Expr *e); /* quantifiers and lists */
const Items *evaluate_list(const Env *env, const Expr *e);
Truth member_holds(const Env *env, const Expr *where, const char *name, const Member *m);
Env env_bind(const Env *env, const char *name, const Item *item, Var *room);
const Val *val_item(const Item *item);

const Val *val_greater_words(const Val *a, const Val *b, bool most, bool both_sure);

const Val *plan_gap(const Val *a, const Val *b);
const Val *plan_overhang(const Val *a, const Val *b);
Truth plan_covers(const Val *a, const Val *b);
Truth plan_overlaps(const Val *a, const Val *b);
const Val *table_ask(const Env *env, const Table *table, const Val *const *key);

/* ---- join.c: one law of many files ---- */

void law_join(Law *law); /* pieces, and adoptions of each edition */

/* ---- law.c: the law in force ---- */

/* For which units, in the words of whom. */
typedef struct Gate {
    const Vec *units; /* Expr; or NULL */
    const Holder *holders;
} Gate;

typedef struct Active {
    const Section *text; /* NULL: deleted for some units */
    const char *number, *part;
    const Code *code;
    const Holder *holders;
    struct Active *former; /* for units for which the text does not speak */
    struct Active *then;   /* or NULL: texts, one of which stands in the place of this one's */
    Gate made;             /* of the block that made the text */
    Gate gates[2];         /* of the code, as written and as adopted */
    const Expr *seat;      /* where the jurisdiction decides in a place, or NULL */
    Vec over;              /* Over: what it prevails over */
    const char *reading;   /* applied by a jurisdiction */
    const char *shared;    /* the same, of the code's readings */
    long since;            /* the day from which the text is in force; 0: not said */
    long born;             /* the same of its words as a whole; a change of a part makes none new */
    int changed;           /* the level that wrote the text, 0 outermost */
    int adopted;           /* the level that adopted the code */
    bool kept;             /* upper text beside a local one */
    bool not_waived;
} Active;

typedef struct Over {
    const char *code, *topic;
} Over;

/* What one jurisdiction decides in the place asked for; all, if it is asked for itself. */
typedef struct Share {
    const char *jurisdiction;
    Vec actives;
} Share;

void active_visit(Active *active, void (*visit)(Active *, const void *), const void *with);
Vec law_in_force(const Law *law, const char *jurisdiction, long day);
Vec law_shares(const Law *law, const char *place, long day); /* of a place or a jurisdiction */
Vec law_of_code(const Code *code);
const Code *code_find(const Law *law, const char *name, const char *edition);
bool permit_chooses(const Permit *permit);               /* between a text and the former one */
Vec law_chain(const Law *law, const char *jurisdiction); /* Jurisdiction, from the inside out */
bool number_covers(const char *number, const char *part, const char *of_number,
                   const char *of_part);
bool topic_covers(const char *topic, const char *of);

/* ---- judge.c ---- */

typedef struct Result {
    Outcome outcome;
    unsigned why;
    bool split;  /* readings differ */
    bool either; /* and one of them is open: information or an official may be what is lacking */
} Result;

typedef struct Judged {
    const char *label;
    Result result;
    const Val *measured, *limit;
} Judged;

typedef struct Finding {
    const Active *active;
    const char *number, *part;
    const Item *item[8];
    int items;
    bool at_list;
    bool
        mixed; /* silenced perhaps, of two texts, or with lines of an exception: its lines are shown otherwise */
    Result result;
    Judged *line;
    int lines;
} Finding;

Vec judge_all(const Review *review, const Vec *law);
Result result_of(Truth applies, Truth requirement, Truth excused);
Result result_cases(Truth which, Result yes, Result no);
Result result_readings(Result a, Result b);
Result result_worse(Result a, Result b);
const char *outcome_name(Outcome outcome, bool spaced);
const char *finding_name(const Finding *f, int which);
Vec judge_merge(const Vec *a, const Vec *b, const Truth *which); /* NULL: two readings */
Judged judge_line(const Env *env, const Active *active, const Line *line, const Item *const *items,
                  int count, Truth applies);

/* ---- yaml.c, examples.c, output.c ---- */

json_t *yaml_load(const char *path);

int examples_run(const Law *law, const char *specs);
void findings_print(const Vec *findings);
bool review_paper(const Review *review, json_t *paper, const char *from, const Active *active,
                  const char *label, const Item *const *items, int count);

#endif
