/* The oracle: a second, slow evaluator of rule files, written from docs/language.md alone. The tests
 * hold its verdicts against the program's. It shares no code with lang/ and works in another style:
 * every number is a GMP rational, names are compared as strings, expressions are walked as trees. */
#ifndef ORACLE_H
#define ORACLE_H

#include "tree.h"

/* ---- read.c, read_expr.c, read_words.c, read_law.c, read_more.c ---- */

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
Each *read_each(Reader *r);
void read_confirmed(Reader *r, bool targets);
const Choice *choice_find(const Vocabulary *v, const char *name);
Vocabulary *vocabulary_find(const Law *law, const char *name);
void vocabularies_join(Law *law);                         /* pieces, and records made as others */
bool record_is(const Record *record, const Record *base); /* or made as it */

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
    bool unpermitted; /* a new unit */
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
const Choice *words_meant(const Env *env, const Expr *list); /* an ordered choice to go through */
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
    Vec was;               /* Target: numbers it had before; what rests on those rests on it */
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
Vec law_codes(const Law *law, const char *jurisdiction, long day); /* Code */
bool active_named(const Active *active, const char *number, const char *part);
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
        by_cases; /* silenced in every case of what chooses a text, whose items differ: may be left open */
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
Env bind_each(const Env *env, const char *name, const Item *item);
Truth each_where(const Env *env, const Each *each);
Truth condition(const Env *env, const Expr *e);
Vec judge_merge(const Vec *a, const Vec *b, const Truth *which); /* NULL: two readings */
Judged judge_line(const Env *env, const Active *active, const Line *line, const Item *const *items,
                  int count, Truth applies);

/* ---- sheets.c: steps of worksheets, as worked examples prove them ---- */

/* Where an example finds worksheets: under a code, or under the codes in force in a jurisdiction. */
typedef struct Sheets {
    const Review *review;
    const Holder *holders; /* of the jurisdiction and the levels around it, or NULL */
    Vec codes;             /* Code */
} Sheets;

const char *step_differs(const Sheets *sheets, const Expected *x); /* NULL: it is so */

/* ---- yaml.c, examples.c, output.c ---- */

json_t *yaml_load(const char *path);

int examples_run(const Law *law, const char *specs);
void findings_print(const Vec *findings);
bool review_paper(const Review *review, json_t *paper, const char *from, const Active *active,
                  const char *label, const Item *const *items, int count);

#endif
