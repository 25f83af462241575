/* Checking a law: private to law/check*.c and law/table*.c.
 *
 * One Check serves one law. Each text of a section (and each worksheet) is compiled into a frame
 * of its own: slots, variables, definitions. What a name means depends on the scope in which it is
 * written, never on who asks: a definition of a code sees the code, one of a county sees the
 * county, the levels above it and the code.
 *
 * Absence travels beside the code: every path that may be none and is not yet answered stands in
 * `absents`. The paths of a subexpression are those after a mark taken before it was compiled. */
#ifndef LAW_CHECK_H
#define LAW_CHECK_H

#include "law/law.h"

enum {
    CODE_DEPTH_MAX = 1000,   /* evaluation recurses: definitions within definitions count too */
    PARAMS_MAX = 16,         /* of one definition; the evaluator keeps arguments on its stack */
    TEXT_LINES_MAX = 64,     /* an exception covers a set of lines: 64 bits */
    READINGS_MAX = 32,       /* combinations of readings of one text */
    READING_TREES_MAX = 256, /* of one text or code */
    LOCALS_LISTED_MAX = 16,  /* definitions of a text that are searched one by one */
    EACH_ITEMS_MAX = 8       /* variables of the each lines of one text */
};

typedef struct Scope Scope;
typedef struct Container Container;

/* A path that may be none. */
typedef struct Absent {
    const Code *path;
    const Code *origin; /* of a definition: a path in it that may be none; else NULL */
    bool soft;          /* an equality of words or yes/no: false in a condition when absent */
    bool deep;          /* the value that was asked is not itself none because of it */
} Absent;

/* What holds where an expression stands: a condition, known to be true or false; or, with
 * `member`, a list that surely has a member. */
typedef struct Guard {
    const Code *code;
    bool truth;
    bool member;
} Guard;

typedef struct Variable {
    const Name *name;
    Type type;
    uint32_t slot;
    Place place;
    const struct Variable *outer;
} Variable;

typedef enum DefinitionState { DEFINITION_NEW, DEFINITION_OPEN, DEFINITION_DONE } DefinitionState;

/* A define or a step, and its code in the frame of the text `stamp`. */
typedef struct Definition {
    const Name *name;
    Place place; /* of the name */
    const ParamTree *params;
    const Expr *value;
    const Expr *fallback; /* NULL */
    const StepTree *step; /* NULL for a define */
    bool ever;            /* compiled in some text of this law */
    uint32_t stamp;
    uint8_t state; /* DefinitionState */
    bool failed;
    bool reads_facts;
    bool inexact;        /* rests on a fact that can carry a tolerance, or on a root */
    const Expr *vacuous; /* a quantifier in it that is true of an empty list, unsaid */
    uint32_t slot;       /* of its value, or of its first parameter */
    uint32_t param_count;
    const Variable *variables; /* the parameters */
    const Code *code;
    Absent *absents;
    uint32_t absent_count;
    struct Definition *within; /* the definition that asked for it, while it is compiled */
} Definition;

/* Readings that are alternatives to each other: they define some same name. */
typedef struct ReadingGroup {
    const ReadingTree **readings;
    uint32_t count;
    uint32_t chosen;
    bool fixed; /* a jurisdiction applies the chosen one */
    bool used;
} ReadingGroup;

typedef struct ReadingGroups {
    ReadingGroup *items;
    uint32_t count;
} ReadingGroups;

/* The groups that a text or worksheet chooses from. */
typedef struct Readings {
    ReadingGroup **groups;
    uint32_t count;
} Readings;

typedef struct WorksheetScope {
    const WorksheetTree *tree;
    Definition *definitions; /* defines, then steps */
    uint32_t count;
    Map *by_name; /* when there are many; else NULL */
    uint32_t define_count;
    struct WorksheetScope *schedules; /* of which the definitions are the columns */
    uint32_t schedule_count;
} WorksheetScope;

typedef enum GlobalKind { GLOBAL_DEFINE, GLOBAL_SHARED, GLOBAL_TABLE, GLOBAL_WORKSHEET } GlobalKind;

/* What a code or jurisdiction names. */
typedef struct Global {
    const Name *name;
    Place place;
    uint8_t kind;          /* GlobalKind */
    Definition definition; /* define */
    ReadingGroup *group;   /* shared: alternatives[i] of reading i of the group, or NULL */
    Definition **alternatives;
    const TableTree *table_tree;
    const Table *table; /* NULL after errors */
    bool table_made;
    WorksheetScope worksheet;
    bool used;
    struct Global *next; /* in the container, as written */
} Global;

struct Container {
    const CodeTree *code;                 /* or */
    const JurisdictionTree *jurisdiction; /* NULL */
    const Source *source;
    Map *by_name; /* Name -> Global */
    Global *globals;
    Global **end;
    ReadingGroups groups; /* shared readings of a code */
};

/* The containers that a text sees, nearest first; scopes[i] is that of what containers[i] holds. */
typedef struct Chain {
    const CodeTree *code;
    const JurisdictionTree *jurisdiction; /* NULL: the code's own */
    Container **containers;
    Scope *scopes;
    uint32_t count;
    struct Chain *next;
} Chain;

/* Where a name is looked up, outward from the variables. */
struct Scope {
    Definition *locals; /* of a section or worksheet */
    uint32_t local_count;
    Map *local_by_name; /* when there are many; else NULL */
    const Chain *chain;
    uint32_t from;      /* the first container of the chain that is seen */
    bool sees_items;    /* the variables of the text's each lines */
    const Scope *home;  /* in which the locals are compiled; NULL: this one */
    const Scope *outer; /* of a schedule: that of its worksheet, whose definitions are compiled */
    const Source *source;
};

/* What changes when the checker goes into a definition and comes back. */
typedef struct Context {
    const Scope *scope;
    const Source *source;
    const Variable *variables; /* innermost first */
    uint32_t guard_base;       /* guards before it are not in force here */
    uint32_t alternatives;     /* how many any-of and or branches it stands in */
    bool condition;            /* within when, where and their kin: an absent choice is no word */
    const Expr *vacuous;
    uint32_t facts, inexact; /* counted up as facts are read */
} Context;

/* Something of a jurisdiction being compiled; its messages are kept apart until it is known that
 * it names nothing that is in force on other dates only. */
typedef struct Attempt {
    Diagnostics diags;
    Diagnostics *former;
    bool elsewhen;
} Attempt;

typedef struct Check {
    Arena *arena;
    const Library *library;
    const LawTree *tree;
    const Vocabulary *vocabulary;
    Diagnostics *diags;
    bool proofread;
    bool had_errors;       /* before the check: something may be missing from the trees */
    Container *containers; /* codes, then levels */
    uint32_t container_count;
    Chain *chains;
    Chain *facts_alone; /* holds nothing; NULL until asked for */
    Map *units;         /* conditions on units, compiled (check_units.c) */
    Law *law;

    /* of the text being compiled */
    uint32_t stamp;
    uint32_t slots;
    uint32_t depth; /* of the recursion of the checker */
    bool reads_review_date;
    const SectionTree *section;     /* NULL outside sections */
    const Variable *text_variables; /* of the each lines so far */
    Definition *compiling;
    Context context;
    const Expr *limited; /* a comparison whose right side an amendment replaces */
    const Expr *limit;
    const Scope *limit_scope;
    const Expr *requirement;        /* of the line: its right side may be a blank */
    const TextTree *text;           /* of the section being compiled; NULL elsewhere */
    const WorksheetTree *worksheet; /* being compiled; NULL elsewhere */
    uint32_t
        item_guards; /* the guards before it hold for every value of the worksheet or schedule */

    Attempt *attempt; /* NULL: none is being made */

    Guard *guards;
    uint32_t guard_count, guard_cap;
    Absent *absents;
    uint32_t absent_count, absent_cap;
} Check;

/* ---- check_type.c: types in words, and two-place messages ---- */

Type type_number(Dimension dimension);
Type type_of_class(TypeClass class);
bool type_matches(const Type *a, const Type *b);
Text type_words(Arena *arena, const Type *type); /* "a length", "one of 'service', 'entry'" */
Place check_place(const Check *c, Span span);
Place code_place(const Code *code);
Text quote_span(Arena *arena, Place place); /* as written, on one line, cut when long */
Text quote_code(Arena *arena, const Code *code);
/* Notes what each of two expressions is. */
void note_types(Check *c, Diagnostic *to, const Code *a, const Code *b);
/* Reports unless both are of one type, of which bare numbers and missing signs get a hint.
 * `what` is the verb: "compare %s with %s". False after a report, or when one is bad. */
bool check_same(Check *c, const Expr *at, const char *verb, const Code *a, const Code *b);
bool is_bad(const Code *code);
bool is_special(Dimension dimension); /* a temperature point, gauge or absolute pressure */
Dimension plain_dimension(Dimension dimension);
Text nearest_hint(Arena *arena, Text word, const Text *candidates,
                  size_t count); /* "" or "; did you mean 'x'?" */
Text choice_hint(Check *c, const Choice *choice, Text word);

/* ---- check_code.c: making code ---- */

Code *code_make(Check *c, CodeOp op, const Expr *at, Type type);
const Code *code_bad(Check *c, const Expr *at);
/* Fills in what follows from the parts (depth); too deep is an error. */
const Code *code_done(Check *c, Code *code);
const Code *code_unary(Check *c, CodeOp op, const Expr *at, Type type, const Code *a);
const Code *code_binary(Check *c, CodeOp op, const Expr *at, Type type, const Code *a,
                        const Code *b);
const Code *code_constant(Check *c, const Expr *at, Type type, Value value, const Unit *unit);
const Code *code_number(Check *c, const Expr *at, Rational number);
const Code *code_word(Check *c, const Expr *at, const Choice *choice, uint32_t index);
const Code *code_truth(Check *c, const Expr *at, bool truth);
bool code_uses_slots(const Code *code, uint32_t first, uint32_t end);
bool code_range(Check *c, const Code *code,
                Range *out); /* by the vocabulary's bounds; false: not known */
uint32_t slot_new(Check *c);

/* ---- check_absence.c ---- */

void absent_add(Check *c, const Code *path);     /* unless a guard rules it out */
void absent_carry(Check *c, const Absent *from); /* the same, from a definition */
/* Of what has been carried since the mark and makes the value none, only `use` is said. */
void absents_name(Check *c, uint32_t mark, const Code *use);
bool absent_since(const Check *c, uint32_t mark); /* some that makes the value itself none */
void absents_drop_direct(Check *c, uint32_t mark);
void absents_deepen(Check *c, uint32_t mark);
void absents_soften(Check *c, uint32_t mark); /* direct ones become soft */
void absents_close_condition(Check *c, uint32_t mark);
/* Reports those that rest on the variables in slots [first, end): nobody outside can answer. */
void absents_close_binder(Check *c, uint32_t mark, uint32_t first, uint32_t end);
void absents_unanswered(Check *c, uint32_t mark); /* reports them all, and drops them */
const Code **absents_paths(Check *c, uint32_t mark,
                           uint32_t *count); /* without repeats; drops them */
/* `a`, or `fallback` if none. */
const Code *absence_fallback(Check *c, const Expr *at, const Code *a, uint32_t mark,
                             const Expr *fallback);
uint32_t guards_push(Check *c, const Code *code, bool truth); /* gives the mark to go back to */
uint32_t guards_push_member(Check *c, const Code *list);
void guards_pop(Check *c, uint32_t mark);
bool guards_prove(const Check *c, const Code *path);

/* ---- check_name.c ---- */

const Code *check_name(Check *c, const Expr *e);
bool name_is_known(const Check *c, const Name *name); /* a variable, definition, table or fact */
const Code *check_field(Check *c, const Expr *e);
const Code *check_item(Check *c, const Expr *e);
const Code *check_call(Check *c, const Expr *e);
const Variable *variable_bind(Check *c, const Name *name, Span span, Type type);
void name_unknown(Check *c, const Expr *e);

/* ---- check_define.c ---- */

bool definition_compile(Check *c, Definition *definition, const Scope *scope);
const Code *definition_use(Check *c, Definition *definition, const Scope *scope, const Expr *e);
const Code *definition_call(Check *c, Definition *definition, const Scope *scope, const Expr *e);
void definition_init(Definition *out, const DefineTree *tree);
void definition_init_step(Definition *out, const StepTree *tree, const Source *source);
/* Puts the definitions into the scope, and reports names that are defined twice. */
void scope_fill(Check *c, Scope *scope, Definition *items, uint32_t count);
/* Reports a name that the language has already given to something. */
bool name_is_free(Check *c, const Name *name, Place place);
Definition *scope_local(const Scope *scope, const Name *name);
void text_begin(Check *c, const Scope *scope); /* a new frame */

/* ---- check_expr.c, check_compare.c, check_number.c, check_list.c ---- */

/* Any value; on a name that is a word of `words` (may be NULL) it is that word. */
const Code *check_value(Check *c, const Expr *e, const Choice *words);
/* The same with ", or E if none" (fallback may be NULL), which after a comparison speaks of its
 * left side. */
const Code *check_with_fallback(Check *c, const Expr *e, const Expr *fallback, const Choice *words);
const Code *check_truth(Check *c, const Expr *e);     /* a yes/no value */
const Code *check_condition(Check *c, const Expr *e); /* the same, in when, where and their kin */
bool check_is_comparison(const Expr *e);
const Code *check_comparison(Check *c, const Expr *e, const Expr *fallback);
const Code *check_is_none(Check *c, const Expr *e);
const Code *check_quantity(Check *c, const Expr *e);
const Code *check_arithmetic(Check *c, const Expr *e);
const Code *check_round(Check *c, const Expr *e);
const Code *check_builtin(Check *c, const Expr *e, bool *found); /* max, min, sqrt, power */
const Code *check_size(Check *c, const Expr *e);
const Code *check_plan(Check *c, const Expr *e);
const Code *check_list(Check *c, const Expr *e); /* a value that must be a list */
const Code *check_quantifier(Check *c, const Expr *e);
const Code *check_aggregate(Check *c, const Expr *e);
const Code *check_those(Check *c, const Expr *e);
const Code *check_covered(Check *c, const Expr *e);
const Code *check_first(Check *c, const Expr *e);
void check_twin(Check *c, const Quantity *quantity, Place place);

/* ---- table.c, table_key.c, table_cover.c ---- */

const Table *table_make(Check *c, const TableTree *tree);
bool table_key_make(Check *c, const TableTree *tree, const Source *source, uint32_t index,
                    const LabelTree **labels, uint32_t count, TableKey *key, uint32_t *order);
void table_key_cover(Check *c, const TableTree *tree, const Source *source, const TableKey *key,
                     const LabelTree *const *labels);
const Choice *choice_of_words(Check *c, const Name *hint, const Name *const *words,
                              const Span *spans, uint32_t count, const Source *source,
                              const char *what);
const Code *check_table(Check *c, Global *global, const Expr *e);

/* ---- check_scope.c ---- */

void containers_make(Check *c);
Container *container_of_code(const Check *c, const CodeTree *code);
const Chain *chain_for(Check *c, const CodeTree *code, const JurisdictionTree *jurisdiction);
/* What a container's own definitions see; a jurisdiction's see every code in force. */
const Scope *container_scope(Check *c, const Container *container);
Global *scope_find(const Scope *scope, const Name *name, const Scope **home);
const Table *global_table(Check *c, Global *global);

/* ---- check_elsewhen.c ---- */

void attempt_begin(Check *c, Attempt *attempt);
/* False: it names what is in force on other dates only, and nothing is said of it. */
bool attempt_end(Check *c, Attempt *attempt);
/* A name (or a step of the worksheet of that name) that nothing has here: may another date? */
void elsewhen_note(Check *c, const Name *name, const Name *step);

/* ---- check_reading.c ---- */

ReadingGroups reading_groups(Check *c, const ReadingTree *readings);
/* Chooses those that are applied; of alternatives the last one named. */
void reading_groups_fix(ReadingGroups groups, const Name *const *applied, uint32_t count);
Readings readings_begin(Check *c, const ReadingGroups *groups, uint32_t count);
/* How many there are, of the groups known to be used; at most READINGS_MAX + 1. */
uint32_t readings_combinations(const Readings *readings);
bool readings_next(const Readings *readings); /* false when all have been */
void readings_rewind(const Readings *readings);
const Name *readings_name(Check *c,
                          const Readings *readings); /* "a" or "a, b"; NULL when none is used */

/* ---- check_each.c, check_section.c, check_line.c, check_worksheet.c, check_standing.c ---- */

/* Of a comparison: its two sides and the unit in which they are shown. */
void line_measure(Check *c, const Code *code, Line *out);

EachCode *check_eachs(Check *c, const EachTree *tree, uint32_t *count);
void check_body_lines(Check *c, const BodyTree *body, const TextTree *text, SectionText *out);
TextInForce check_text(Check *c, const SectionTreeInForce *section, const TextTree *text);
void check_worksheets(Check *c);
void check_found_steps(Check *c); /* check_found.c: `finds step` of the law's worked examples */
void check_code_standing(Check *c, const CodeTree *code);
void check_standing(Check *c, const SectionTreeInForce *tree, Section *out); /* all but its texts */

/* ---- check_prevails.c ---- */

void check_prevails(Check *c);

/* ---- check_units.c: for units where, and the rows of a place ---- */

/* Compiles the conditions of the texts, and numbers them for the section. */
void check_units(Check *c, const SectionTreeInForce *tree, TextInForce *texts, Section *section);
void units_guard(Check *c, const TextTree *text); /* in the frame of the text */
void check_holdings(Check *c);

/* ---- check_proof.c: warnings of proofreading ---- */

void proof_warning(Check *c, const char *name, Place place, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
void proof_blank(Check *c, Place place, Text what);
void proof_compare(Check *c, const Expr *e, const Code *code);
void proof_law(Check *c);

/* ---- check_mention.c: a map holds what is mentioned ---- */

void mention_expr(Map *names, const Expr *e);
void mention_body(Map *names, const Names *known, const BodyTree *body);
void mention_code(Map *names, const Names *known, const CodeTree *code);
void mention_jurisdiction(Map *names, const Names *known, const JurisdictionTree *jurisdiction);

#endif
