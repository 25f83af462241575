/* What the actions of the grammar call: lists in the making and the constructors of the tree.
 * Everything lives in the arena of the parse. Private to syntax/. */
#ifndef SYNTAX_BUILD_H
#define SYNTAX_BUILD_H

#include "syntax/tree.h"

typedef struct Parse Parse;

/* NOLINTBEGIN(bugprone-macro-parentheses): a type cannot stand in parentheses */

/* A list in the making: the nodes hang together by `next`, in the order in which they came. */
#define LIST_OF(Type, List, prefix)                        \
    typedef struct List {                                  \
        Type *first;                                       \
        Type *last;                                        \
    } List;                                                \
    static inline List prefix##_add(List list, Type *node) \
    {                                                      \
        if (node == NULL) {                                \
            return list;                                   \
        }                                                  \
        if (list.first == NULL) {                          \
            return (List){node, node};                     \
        }                                                  \
        list.last->next = node;                            \
        return (List){list.first, node};                   \
    }                                                      \
    static inline List prefix##_one(Type *node)            \
    {                                                      \
        return (List){node, node};                         \
    }

/* NOLINTEND(bugprone-macro-parentheses) */

LIST_OF(Expr, ExprList, exprs)
LIST_OF(Datum, DatumList, data)
LIST_OF(FieldTree, FieldList, fields)
LIST_OF(ParamTree, ParamList, params)
LIST_OF(KeyTree, KeyList, keys)
LIST_OF(LabelTree, LabelList, labels)
LIST_OF(CellTree, CellList, cells)
LIST_OF(DefineTree, DefineList, defines)
LIST_OF(LineTree, LineList, lines)
LIST_OF(TargetTree, TargetList, targets)
LIST_OF(SettingTree, SettingList, settings)
LIST_OF(PartTree, PartList, parts)

/* Values of tokens: what was read, and where. */
typedef struct Named {
    const Name *name;
    Span span;
} Named;

typedef struct Quoted {
    Text text;
    Span span;
} Quoted;

typedef struct Amount {
    const Quantity *quantity;
    Span span;
} Amount;

typedef struct Dated {
    Day day;
    Span span;
    bool wrong; /* no such day: reported */
} Dated;

typedef struct WordList {
    Word *first;
    Word *last;
    unsigned count;
    bool ordered;
} WordList;

/* Phrases ("priority foundation"), as texts. */
typedef struct PhraseList {
    Text *texts;
    size_t count;
    Span span;
} PhraseList;

/* What may follow a requirement. */
typedef struct Absence {
    uint8_t kind; /* AbsenceKind */
    Expr *fallback;
} Absence;

typedef struct Empty {
    uint8_t kind; /* Emptiness */
    Amount number;
} Empty;

typedef struct RowList {
    RowTree *first;
    RowTree *last;
    bool has_otherwise;
    uint8_t otherwise; /* OtherwiseKind */
    Span otherwise_span;
    CellTree *cell;
} RowList;

typedef struct Fate {
    uint8_t kind; /* FateKind */
    Text carried_to;
    Span span;
} Fate;

/* ---- expressions: tree.c ---- */

Expr *expr_bad(Parse *parse, Span span);
Expr *expr_quantity(Parse *parse, Span span, Amount amount);
Expr *expr_text(Parse *parse, Span span, Text text);
Expr *expr_date(Parse *parse, Span span, Day day);
Expr *expr_word(Parse *parse, Span span, ExprKind kind); /* yes, no */
Expr *expr_name(Parse *parse, Named name);
Expr *expr_field(Parse *parse, Span span, Expr *of, Named name);
Expr *expr_item(Parse *parse, Span span, Expr *list, Text key);
Expr *expr_one(Parse *parse, Span span, ExprKind kind, bool flag, Expr *a);
Expr *expr_two(Parse *parse, Span span, ExprKind kind, Expr *a, Expr *b);
Expr *expr_holds(Parse *parse, Span span, Expr *a, Expr *b, bool any_orientation);
Expr *expr_three(Parse *parse, Span span, ExprKind kind, Expr *a, Expr *b, Expr *c);
Expr *expr_compare(Parse *parse, Span span, CompareOp op, bool worded, Expr *a, Expr *b);
Expr *expr_size(Parse *parse, Span span, Expr *a, Expr *b);
Expr *expr_share(Parse *parse, Span span, Amount share, Expr *of);
Expr *expr_within(Parse *parse, Span span, Expr *a, Amount slack, Expr *of);
Expr *expr_round(Parse *parse, Span span, RoundOp op, Amount step, Expr *value);
Expr *expr_among(Parse *parse, Span span, Expr *a, ExprList list);
Expr *expr_listed(Parse *parse, Span span, ExprKind kind, ExprList list); /* any of, all of */
Expr *expr_call(Parse *parse, Span span, Named name, ExprList arguments);
Expr *expr_over(Parse *parse, Span span, ExprKind kind, Named name, Expr *list, Expr *where,
                Expr *body);
Expr *expr_aggregate(Parse *parse, Span span, AggregateOp op, Named name, Expr *list, Expr *where,
                     Expr *value);
Expr *expr_quantifier(Parse *parse, Span span, QuantifierOp op, Named name, Expr *list, Expr *where,
                      Empty empty, Expr *body);
Expr *expr_parens(Span span, Expr *inner);
Expr *expr_approval(Parse *parse, Span span, Text of);
Expr *expr_blank(Parse *parse, Span span, Text what);

/* ---- data: datum.c ---- */

Datum *datum_slice(Parse *parse, Span span); /* as written, blanks made single */
Datum *datum_quoted(Parse *parse, Quoted quoted);
Datum *datum_group(Parse *parse, Span span, DatumKind kind, DatumList members);
Datum *datum_member(Parse *parse, Named key, Datum *value);

/* ---- vocabularies: vocabulary.c ---- */

const Name *name_dotted(Parse *parse, const Name *before, Named after);
WordList words_add(Parse *parse, WordList list, char mark, Named name); /* mark: 0 , < */
TypeTree type_named(Parse *parse, Named name);
TypeTree type_of(Span span, TypeKind kind, const Name *name, WordList words);
FieldTree *field_new(Parse *parse, Span span, Named name, TypeTree type);
FieldTree *field_flag(Parse *parse, FieldTree *field, Span span, bool key);
FieldTree *field_low(Parse *parse, FieldTree *field, Span span, Amount low, bool open);
FieldTree *field_high(Parse *parse, FieldTree *field, Span span, Amount high, bool open);
FieldTree *field_step(Parse *parse, FieldTree *field, Span span, Amount step);
FieldTree *field_built(Parse *parse, FieldTree *field, Span span, Named as);
FieldTree *field_ask(Parse *parse, FieldTree *field, Span span, Quoted question);
ChoiceTree *choice_new(Parse *parse, Span span, Named name, WordList words);
RecordTree *record_new(Parse *parse, Named name);
RecordTree *record_as(RecordTree *record, Named base);
RecordTree *record_continued(RecordTree *record);
RecordTree *record_done(RecordTree *record, Span span, FieldList fields,
                        const RecordTree *plan); /* plan: NULL */
RecordTree *record_plan(Parse *parse, Span span, Named from, Named along);
RecordTree *record_across(RecordTree *plan, Span span, Named from, Named across);
TopicTree *topic_new(Parse *parse, Span span, Named name, Text title);
VocabularyTree *vocabulary_new(Parse *parse, Span span, Named name, bool continued, PartList parts);

/* ---- clauses and sections: section.c ---- */

/* The parts of a standing that were met, to find what is said twice. */
typedef struct StandingSeen {
    const PartTree *rank, *authority, *stage, *rework;
} StandingSeen;

void refuse_second(Parse *parse, const PartTree *part, const PartTree **seen, const char *word);
/* False when the part is none of a standing. */
bool standing_put(Parse *parse, StandingTree *standing, StandingSeen *seen, const PartTree *part);
PartTree *part_new(Parse *parse, Span span, PartKind kind, void *node);
PartTree *part_text(Parse *parse, Span span, PartKind kind, Quoted text);
PartTree *part_name(Parse *parse, Span span, PartKind kind, Named name, int detail);
PartTree *part_stage(Parse *parse, Span span, WordList words);
PartTree *part_rework(Parse *parse, Span span, Named word);
PartTree *part_basis(Parse *parse, Span span, Named word, Quoted title, Dated on);
PartTree *part_ranks(Parse *parse, Span span, PhraseList phrases);
PartTree *part_day(Parse *parse, Span span, PartKind kind, Day day);
PartTree *part_permit(Parse *parse, Span span, PermitKind kind, Day day);
PartTree *part_stet(Parse *parse, Span span, Text message, Text reason);
PhraseList phrases_add(Parse *parse, PhraseList list, Quoted phrase);
Quoted phrase_add(Parse *parse, Quoted phrase, Named word);

TargetTree *target_new(Parse *parse, Span span, Quoted number, Named part);
EachTree *each_new(Parse *parse, Span span, Named a, Named b, Expr *list, Expr *where);
DefineTree *define_new(Parse *parse, Span span, Named name, ParamList params, Expr *value,
                       Expr *fallback);
ParamTree *param_new(Parse *parse, Span span, Named name, TypeTree type);
ReadingTree *reading_new(Parse *parse, Span span, Named name, DefineList defines);
LineTree *line_new(Parse *parse, Span span, bool negated, Named label, Expr *requirement,
                   Absence absence);
LineTree *line_discretion(Parse *parse, Span span, Text official, Named label, Text what);
ExceptionTree *exception_new(Parse *parse, Span span, Named to, Text approval, Expr *condition,
                             Quoted by);
ExceptionTree *exception_unless(Parse *parse, ExceptionTree *exception, Span span, Expr *condition,
                                Quoted by);
ExceptionTree *exception_lines(ExceptionTree *exception, Span span,
                               LineList lines); /* completes it */
SectionTree *section_head(Parse *parse, Quoted number, Named part, Text heading);
SectionTree *section_new(Parse *parse, Span span, SectionTree *head, PartList clauses);
BodyTree body_new(Parse *parse, PartList clauses); /* of "to read" */
ConfirmedTree *confirmed_new(Parse *parse, Span span, TargetTree *targets, Quoted office, Dated on,
                             Quoted letter); /* targets: NULL in a section */
/* Says so when a confirmation names sections where it may not, or names none where it must. */
void confirmed_in_section(Parse *parse, const ConfirmedTree *confirmed);
void confirmed_in_law(Parse *parse, const ConfirmedTree *confirmed);
OmittedTree *omitted_new(Parse *parse, Span span, const TargetTree *target, Text reason);

/* ---- tables: table.c ---- */

KeyTree *key_new(Parse *parse, Span span, Named name, const TypeTree *type); /* type: NULL */
KeyTree *key_mode(KeyTree *key, KeyMode mode);
KeyTree *key_mode_word(Parse *parse, KeyTree *key, Named word);
LabelTree *label_word(Parse *parse, Span span, LabelKind kind, Named name);
LabelTree *label_quantity(Parse *parse, Span span, Amount low);
LabelTree *label_between(Parse *parse, Span span, Amount low, Amount high);
LabelTree *label_bound(Parse *parse, Span span, Named name, CompareOp op, Amount amount);
LabelTree *label_from(Parse *parse, Span span, Amount amount, CompareOp op, Named name);
LabelTree *label_upto(Parse *parse, Span span, LabelTree *from, CompareOp op, Amount amount);
CellTree *cell_new(Parse *parse, Span span, CellKind kind, Named word, Amount amount);
RowList rows_add(Parse *parse, RowList rows, LabelTree *label, CellList cells);
RowList rows_otherwise(Parse *parse, RowList rows, Span span, CellTree *cell); /* NULL: no rule */
TableTree *table_head(Parse *parse, Named name, KeyList keys, Quoted unit, Quoted cites);
TableTree *table_new(Parse *parse, Span span, TableTree *head, LabelList columns, RowList rows);

/* ---- codes, jurisdictions, worksheets, examples: block.c ---- */

CodeTree *code_head(Parse *parse, Named name, Text edition, bool continued);
CodeTree *code_as(CodeTree *code, Text edition, Span span); /* begins with that edition */
CodeTree *code_new(Parse *parse, Span span, CodeTree *head, PartList parts);
StepTree *step_new(Parse *parse, Span span, Named name, Text title, Expr *value, Expr *fallback,
                   Quoted unit, Quoted cites);
WorksheetTree *worksheet_head(Parse *parse, Named name, Text title);
WorksheetTree *worksheet_new(Parse *parse, Span span, WorksheetTree *head, PartList parts);
JurisdictionTree *jurisdiction_head(Parse *parse, Named name, Text title, Named within);
JurisdictionTree *jurisdiction_piece(Parse *parse, Named name); /* continued */
JurisdictionTree *jurisdiction_new(Parse *parse, Span span, JurisdictionTree *head, PartList parts);
BlockTree *block_new(Parse *parse, Span span, bool amends, Named code, Text edition, Dated from,
                     Dated until, Quoted by);
BlockTree *block_rolling(Parse *parse, Span span, Named code, Amount day, Named month, Quoted by);
BlockTree *block_day(Parse *parse, BlockTree *block, Span span, Day *of, Dated day);
BlockTree *block_emergency(Parse *parse, BlockTree *block, Span span);
BlockTree *block_change(BlockTree *block, Span span, ChangeTree *change);
BlockTree *block_done(Parse *parse, BlockTree *block);
ChangeTree *change_new(Parse *parse, Span span, ChangeKind kind, TargetList targets);
ChangeTree *change_read(Parse *parse, Span span, TargetTree *target, PartList clauses);
ChangeTree *change_limit(Parse *parse, Span span, TargetTree *target, Named label, Expr *limit);
ChangeTree *change_insert(Parse *parse, Span span, SectionTree *section);
ChangeTree *change_reading(Parse *parse, Span span, Named reading, TargetTree *in);
ChangeTree *change_day(ChangeTree *change, Dated day);
ChangeTree *change_reserve(ChangeTree *change);
ChangeTree *change_exception(Parse *parse, Span span, ChangeKind kind, TargetTree *target,
                             Quoted cite, ExceptionTree *exception);
ChangeTree *change_renumber(Parse *parse, Span span, TargetTree *target, Quoted number);
ChangeTree *change_topics(Parse *parse, Span span, ChangeKind kind, Named code, WordList topics);
ChangeTree *change_for_units(Parse *parse, Span span, Expr *scope);
ChangeTree *change_act(Parse *parse, Span span, ChangeKind kind, Quoted act, Dated day,
                       TargetList targets);
ChangeTree *change_fate(ChangeTree *change, Span span, Fate fate);
ChecklistTree *checklist_head(Parse *parse, Named name, Text title, Text from);
ChecklistTree *checklist_new(Parse *parse, Span span, ChecklistTree *head, PartList lines);
CheckLineTree *check_line_new(Parse *parse, Span span, Text title, TargetTree *targets);
CheckLineTree *check_line_open(Parse *parse, Span span, Text title, Text omitted, Text official);
PlaceTree *place_head(Parse *parse, Named name, Text title);
PlaceTree *place_new(Parse *parse, Span span, PlaceTree *head, PartList parts);
HolderTree *holder_new(Parse *parse, Named authority, Named jurisdiction, Expr *where,
                       bool otherwise);
HolderTree *holder_by(HolderTree *holder, Span span, Text by);
SettingTree *setting_new(Parse *parse, Span span, Expr *path, Datum *value);
ExampleTree *example_head(Parse *parse, Quoted title, Quoted from, SettingList with, Dated on);
ExampleTree *example_facts(ExampleTree *example, Span lead, SettingList facts);
ExampleTree *example_finds(ExampleTree *example, Span lead, ExpectedTree *expected);
ExampleTree *example_new(Parse *parse, Span span, ExampleTree *example);
ExpectedTree *expected_new(Parse *parse, Span span, const TargetTree *target, Named label,
                           DatumList items, Outcome outcome);
ExpectedTree *expected_data(Parse *parse, ExpectedTree *expected, Span span, bool limit,
                            Datum *value);
ExpectedTree *expected_step(Parse *parse, Span span, Expr *step, DatumList items, Datum *value);
ExpectedTree *expected_within(Parse *parse, ExpectedTree *expected, Span span, Amount within);
ExpectedTree *expected_waits(ExpectedTree *expected, Span span, Expr *path);

/* ---- the file ---- */

void file_add(Parse *parse, ItemKind kind, void *item);
void file_settings(Parse *parse, SettingList settings);

#endif
