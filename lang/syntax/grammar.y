/* The grammar of rule files: docs/language.md, section 2.
 *
 * Takes tokens from shall_yylex (feed.c), which has already decided which words are names, where
 * a new line starts a new alternative or row, and where a forgotten `end` belongs. Gives the tree
 * through constructors (build.h), one call each; nothing is typed, looked up or folded here.
 * After an error the parser goes on at the next clause, row, alternative or block. */

%require "3.8"
%define api.pure full
%define api.prefix {shall_yy}
%define api.token.prefix {TOK_}
%define api.value.type union
%define api.location.type {Span}
%define api.header.include {"grammar.h"}
%define parse.error custom
%define parse.lac full
%locations
%expect 0
%param {Parse *parse}
%initial-action { @$ = (Span){0, 0}; }

%code requires {
#include "syntax/build.h"
}

%code {
#include "syntax/parse.h"

#define YYLLOC_DEFAULT(Current, Rhs, N)                                                            \
    ((Current) = (N) > 0 ? (Span){YYRHSLOC(Rhs, 1).start, YYRHSLOC(Rhs, N).end}                    \
                         : (Span){YYRHSLOC(Rhs, 0).end, YYRHSLOC(Rhs, 0).end})

/* At the end of a part that was skipped: the next mistake is reported again. */
#define RESUME                                                                                     \
    do {                                                                                           \
        if (parse_goes_on(parse, yychar == TOK_SHALL_YYEMPTY)) {                                   \
            yyerrok;                                                                               \
        }                                                                                          \
    } while (0)

static void yyerror(const Span *span, Parse *parse, const char *message);
}

/* Where the parse starts: feed.c sends one of these first. */
%token YYEOF 0 "the end of the file" START_FILE "the start" START_SETTINGS "the start of settings"
/* Names and literals. */
%token <Named> NAME "a name"
%token <Quoted> TEXT "a text in quotes"
%token <Amount> NUMBER "a number" QUANTITY "a quantity"
%token <Dated> DATE "a date"
%token DATE_PART "a month"
/* Where lines matter. */
%token ALT "a new line" ROW "a new row"
/* Signs. */
%token LPAREN "(" RPAREN ")" LBRACKET "[" RBRACKET "]" LBRACE "{" RBRACE "}" COMMA "," COLON ":"
%token DOT "." RANGE ".." PLUS "+" MINUS "-" TIMES "*" DIVIDE "/"
%token LESS "<" LESS_EQUAL "<=" GREATER ">" GREATER_EQUAL ">=" EQUAL "=" NOT_EQUAL "!="

/* Blocks. */
%token VOCABULARY "vocabulary" CODE "code" JURISDICTION "jurisdiction" END "end" RECORD "record"
%token CHOICE "choice" FACT "fact" TOPIC "topic" SECTION "section" TABLE "table"
%token WORKSHEET "worksheet" WORKED_EXAMPLE "worked example" PLACE "place" CONTINUED "continued"
%token RESERVED "reserved" CHECKLIST "checklist" OMITTED "omitted" READING "reading" DEFINE "define"
%token CONFIRMED "confirmed"
/* Vocabularies. */
%token YES_NO "yes/no" ONE_OF "one of" LIST_OF "list of" ALWAYS_PRESENT "always present" KEY "key"
%token ASK "ask" BUILT_AS "built as" IN_STEPS_OF "in steps of" AT_LEAST "at least" AT_MOST "at most"
%token MORE_THAN "more than" LESS_THAN "less than" PLAN "plan" ALONG "along" ACROSS "across"
/* Codes and sections. */
%token EDITION "edition" TITLE "title" PUBLISHER "publisher" RANKS "ranks" RANK "rank"
%token AUTHORITY "authority" STAGE "stage" REWORK "rework" BASIS "basis" MAY_CITE "may cite"
%token MAY_ADVISE "may advise" PART "part" EACH "each" EACH_PAIR "each pair" WHEN "when"
%token WHERE "where" SHALL "shall" SHALL_NOT "shall not" EXCEPT "except" UNLESS "unless" BY "by"
%token TO "to" IF_PROVIDED "if provided" REQUIRED "required" IF_NONE "if none"
%token WITH_APPROVAL_OF "with approval of" AT_THE_DISCRETION_OF "at the discretion of"
%token REMEDY "remedy" NOTWITHSTANDING "notwithstanding" STET "stet"
%token FOR_UNITS_PERMITTED "for units permitted" NOT_FOR_UNITS "not for units under permit"
%token EXISTING_UNITS_FROM "existing units from" FOR_UNITS_WHERE "for units where"
%token PUBLISHED "published" FORMERLY "formerly" NOT_WAIVED "not to be waived" BLANK "blank"
%token CITED_AS "cited as" ALSO_AT "also at" LETTER "letter" LINE "line"
/* Tables and worksheets. */
%token NEXT_HIGHER "next higher" NEXT_LOWER "next lower" CITES "cites" NO_RULE "no rule" STEP "step"
%token IN "in" SCHEDULE "schedule" COLUMN "column" NOTE "note"
%token <Quoted> IN_UNIT "in and a unit"
/* Jurisdictions. */
%token WITHIN "within" ADOPTS "adopts" AMENDS "amends" IN_FORCE "in force" FROM "from" UNTIL "until"
%token AMEND "amend" TO_READ "to read" LIMIT "limit" DELETE "delete" INSERT "insert"
%token APPLIES_READING "applies reading" LOCALLY "locally at least as strict in"
%token NOT_LOCALLY "not to be amended locally" CARRIES_OVER "carries over" LAPSES "lapses"
%token EACH_EDITION "each edition" AFTER_PUBLICATION "after publication" PASSED "passed"
%token FILED "filed" EFFECTIVE "effective" EMERGENCY "emergency"
%token NOT_LOCALLY_ANYWHERE "not to be amended locally in any section" TO_ADD "to add"
%token TO_DELETE_EXCEPTION "to delete exception" EXCEPTION "exception"
%token DELETE_AND_RESERVE "delete and reserve" RENUMBER "renumber" AS "as"
%token PREEMPTS "preempts local law on" PREVAILS_OVER "prevails over" REPEALS "repeals"
%token EXTENDS "extends" POSTPONES "postpones" DECIDED_BY "decided by"
/* Worked examples. */
%token WITH "with" ON "on" UNIT_HAS "unit has" FINDS "finds" FOR "for" AND_MORE "and more"
%token COMPLIES "complies" CORRECTION "correction" EXCUSED "excused"
%token INFORMATION_REQUIRED "information required" OFFICIAL_DECIDES "official decides"
%token NOT_APPLICABLE "not applicable" MEASURED "measured" WAITS_FOR "waits for"
/* Expressions. */
%token YES "yes" NO "no" NONE "none" AND "and" OR "or" NOT "not" IF "if" OTHERWISE "otherwise"
%token OF "of" X "x" THAT "that" IS "is" IS_NOT "is not" IS_NONE "is none" IS_NOT_NONE "is not none"
%token AMONG "among" BEFORE "before" AFTER "after" ON_OR_AFTER "on or after"
%token ON_OR_BEFORE "on or before" HOLDS "holds" IN_ANY_ORIENTATION "in any orientation"
%token COVERS "covers" OVERLAPS "overlaps" EVERY "every" SOME "some" NO_ITEM "no (of a list)"
%token AT_LEAST_ONE "at least one" IF_EMPTY "if empty" TOTAL_OF "total of" LEAST_OF "least of"
%token GREATEST_OF "greatest of" COUNT_OF "count of" THOSE "those" FIRST "first" ANY_OF "any of"
%token ALL_OF "all of" GAP_BETWEEN "gap between" OVERHANG_OF "overhang of" BEYOND "beyond"
%token ROUND_UP_TO "round up to" ROUND_DOWN_TO "round down to" ROUND_TO_NEAREST "round to nearest"
%token HALF_UP "half up" HALF_EVEN "half even" APPROVAL_OF "approval of"

/* Loosest first. */
%precedence SHORT              /* an exception or reading goes on as long as it can */
%precedence SHALL SHALL_NOT DEFINE error
%right IF OTHERWISE
%precedence LISTED              /* quantifiers and lists reach as far right as they can */
%precedence WHERE
%left OR
%left AND
%precedence NOT
%nonassoc LESS LESS_EQUAL GREATER GREATER_EQUAL EQUAL NOT_EQUAL IS IS_NOT IS_NONE IS_NOT_NONE
          AMONG BEFORE AFTER ON_OR_AFTER ON_OR_BEFORE WITHIN HOLDS
%precedence IN_ANY_ORIENTATION
%precedence ROUNDED
%left PLUS MINUS
%left TIMES DIVIDE
%left X
%precedence SIGN

%nterm <Expr *> expr condition for_units path where requirement alternative fallback fallback_opt
%nterm <ExprList> exprs alternatives <Empty> emptiness <Amount> quantity <CompareOp> relation
%nterm <RoundOp> round half <QuantifierOp> quantifier <AggregateOp> aggregate <WordList> words
%nterm <WordList> commas_of_names topics on_topics <TypeTree> type simple_type <FieldTree *> field
%nterm <FieldList> fields <RecordTree *> record plan record_head <Named> named_head dotted part
%nterm <Named> label <PartTree *> vocabulary_part code_part standing clause worksheet_part
%nterm <PartTree *> jurisdiction_part holder_part <ConfirmedTree *> confirmed
%nterm <ChecklistTree *> checklist_head <CheckLineTree *> check_line <PartList> vocabulary_parts
%nterm <PartList> code_parts clauses worksheet_parts schedule_parts <PartList> jurisdiction_parts
%nterm <PartList> holders checklist_lines <Quoted> phrase by from_text cites in_unit
%nterm <PhraseList> phrases <CodeTree *> code_head <SectionTree *> section section_head
%nterm <Text> edition heading <TargetTree *> target <TargetList> targets <EachTree *> each
%nterm <DefineTree *> define <ParamTree *> param <ParamList> params param_list
%nterm <ReadingTree *> reading <DefineList> defines <LineTree *> line discretion <LineList> lines
%nterm <bool> shall adopts continued <Absence> absence <ExceptionTree *> exception exception_head
%nterm <ExceptionTree *> exception_narrowed <PermitKind> permit <TableTree *> table table_head
%nterm <TableTree *> wide_table_head <KeyTree *> key named_key <LabelTree *> row_label label_from
%nterm <LabelList> columns <CellTree *> cell <CellList> cells <RowList> rows
%nterm <WorksheetTree *> worksheet worksheet_head <JurisdictionTree *> jurisdiction_head
%nterm <BlockTree *> block block_head block_dated <PlaceTree *> place_head <HolderTree *> holder
%nterm <Dated> until on_date from_date <ChangeTree *> change amendment <ChangeKind> put_off
%nterm <Fate> fate <ExampleTree *> example example_head example_body <SettingTree *> setting
%nterm <SettingList> settings with <Datum *> datum datum_item member <DatumList> items members
%nterm <DatumList> named_items item_names <ExpectedTree *> expected <Outcome> outcome

%%

start: START_FILE file | START_SETTINGS settings { file_settings(parse, $2); };

file: %empty | file item | file error { RESUME; };
item:
  "vocabulary" named_head continued vocabulary_parts "end" {
    file_add(parse, ITEM_VOCABULARY, vocabulary_new(parse, @$, $2, $3, $4)); }
| "code" code_head code_parts "end" {
    file_add(parse, ITEM_CODE, code_new(parse, @$, $2, $3)); }
| "jurisdiction" jurisdiction_head jurisdiction_parts "end" {
    file_add(parse, ITEM_JURISDICTION, jurisdiction_new(parse, @$, $2, $3)); }
| "place" place_head holders "end" {
    file_add(parse, ITEM_PLACE, place_new(parse, @$, $2, $3)); }
;
named_head: NAME | error { $$ = (Named){.span = @$}; };

/* ---- vocabulary ---- */

vocabulary_parts:
  %empty { $$ = (PartList){0}; }
| vocabulary_parts vocabulary_part { $$ = parts_add($1, $2); yyerrok; }
| vocabulary_parts error { $$ = $1; RESUME; }
;
vocabulary_part:
  "choice" NAME "one of" words {
    $$ = part_new(parse, @$, PART_CHOICE, choice_new(parse, @$, $2, $4)); }
| record { $$ = part_new(parse, @$, PART_RECORD, $1); }
| "fact" field { $$ = part_new(parse, @$, PART_FACT, $2); }
| "topic" dotted TEXT { $$ = part_new(parse, @$, PART_TOPIC, topic_new(parse, @$, $2, $3.text)); }
;
words:
  NAME { $$ = words_add(parse, (WordList){0}, 0, $1); }
| words "," NAME { $$ = words_add(parse, $1, ',', $3); }
| words "<" NAME { $$ = words_add(parse, $1, '<', $3); }
;
record:
  "record" record_head fields "end" { $$ = record_done($2, @$, $3, NULL); }
| "record" record_head fields plan "end" { $$ = record_done($2, @$, $3, $4); }
;
record_head:
  NAME { $$ = record_new(parse, $1); }
| NAME "as" NAME { $$ = record_as(record_new(parse, $1), $3); }
| NAME "continued" { $$ = record_continued(record_new(parse, $1)); }
| error { $$ = record_new(parse, (Named){.span = @$}); }
;
fields:
  %empty { $$ = (FieldList){0}; }
| fields field { $$ = fields_add($1, $2); yyerrok; }
| fields error { $$ = $1; RESUME; }
;
field:
  NAME type { $$ = field_new(parse, @$, $1, $2); }
| field "always present" { $$ = field_flag(parse, $1, @2, false); }
| field "key" { $$ = field_flag(parse, $1, @2, true); }
| field "at least" quantity { $$ = field_low(parse, $1, @$, $3, false); }
| field "more than" quantity { $$ = field_low(parse, $1, @$, $3, true); }
| field "at most" quantity { $$ = field_high(parse, $1, @$, $3, false); }
| field "less than" quantity { $$ = field_high(parse, $1, @$, $3, true); }
| field "in steps of" quantity { $$ = field_step(parse, $1, @$, $3); }
| field "built as" NAME { $$ = field_built(parse, $1, @$, $3); }
| field "ask" TEXT { $$ = field_ask(parse, $1, @$, $3); }
;
type: simple_type | "one of" words { $$ = type_of(@$, TYPE_ONE_OF, NULL, $2); };
simple_type:
  NAME { $$ = type_named(parse, $1); }
| "yes/no" { $$ = type_of(@$, TYPE_YES_NO, NULL, (WordList){0}); }
| "list of" NAME { $$ = type_of(@$, TYPE_LIST, $2.name, (WordList){0}); }
| "every" NAME { $$ = type_of(@$, TYPE_EVERY, $2.name, (WordList){0}); }
;
plan:
  "plan" NAME "along" NAME { $$ = record_plan(parse, @$, $2, $4); }
| "plan" NAME "along" NAME "," NAME "across" NAME {
    $$ = record_across(record_plan(parse, @$, $2, $4), @$, $6, $8); }
;
dotted: NAME | dotted "." NAME {
    $$ = (Named){name_dotted(parse, $1.name, $3), @$}; };

/* ---- codes ---- */

code_head:
  NAME "edition" edition continued { $$ = code_head(parse, $1, $3, $4); }
| NAME "edition" edition "as" "edition" edition {
    $$ = code_as(code_head(parse, $1, $3, false), $6, @6); }
| error { $$ = code_head(parse, (Named){.span = @$}, (Text){0}, false); }
;
continued: %empty { $$ = false; } | "continued" { $$ = true; };
edition: TEXT { $$ = $1.text; };
code_parts:
  %empty { $$ = (PartList){0}; }
| code_parts code_part { $$ = parts_add($1, $2); yyerrok; }
| code_parts error { $$ = $1; RESUME; }
;
code_part:
  "title" TEXT { $$ = part_text(parse, @$, PART_TITLE, $2); }
| "publisher" TEXT { $$ = part_text(parse, @$, PART_PUBLISHER, $2); }
| "vocabulary" NAME { $$ = part_name(parse, @$, PART_VOCABULARY, $2, 0); }
| "published" DATE { $$ = part_day(parse, @$, PART_PUBLISHED, $2.day); }
| "ranks" phrases { $$ = part_ranks(parse, @$, $2); }
| "cited as" TEXT { $$ = part_text(parse, @$, PART_CITED_AS, $2); }
| standing
| section { $$ = part_new(parse, @$, PART_SECTION, $1); }
| "omitted" "section" target TEXT {
    $$ = part_new(parse, @$, PART_OMITTED, omitted_new(parse, @$, $3, $4.text)); }
| "reserved" targets { $$ = part_new(parse, @$, PART_RESERVED, $2.first); }
| for_units { $$ = part_new(parse, @$, PART_FOR_UNITS, $1); }
| define { $$ = part_new(parse, @$, PART_DEFINE, $1); }
| table { $$ = part_new(parse, @$, PART_TABLE, $1); }
| worksheet { $$ = part_new(parse, @$, PART_WORKSHEET, $1); }
| reading { $$ = part_new(parse, @$, PART_READING, $1); }
| example { $$ = part_new(parse, @$, PART_EXAMPLE, $1); }
;
standing:
  "rank" phrase { $$ = part_text(parse, @$, PART_RANK, $2); }
| "authority" NAME { $$ = part_name(parse, @$, PART_AUTHORITY, $2, 0); }
| "authority" NAME "may cite" { $$ = part_name(parse, @$, PART_AUTHORITY, $2, 1); }
| "authority" NAME "may advise" { $$ = part_name(parse, @$, PART_AUTHORITY, $2, 2); }
| "stage" commas_of_names { $$ = part_stage(parse, @$, $2); }
| "rework" NAME { $$ = part_rework(parse, @$, $2); }
| "basis" NAME { $$ = part_basis(parse, @$, $2, (Quoted){0}, (Dated){0}); }
| "basis" NAME TEXT "on" DATE { $$ = part_basis(parse, @$, $2, $3, $5); }
;
commas_of_names:
  NAME { $$ = words_add(parse, (WordList){0}, 0, $1); }
| commas_of_names "," NAME { $$ = words_add(parse, $1, ',', $3); }
;
phrase:
  NAME { $$ = phrase_add(parse, (Quoted){0}, $1); }
| phrase NAME { $$ = phrase_add(parse, $1, $2); }
;
phrases:
  phrase { $$ = phrases_add(parse, (PhraseList){0}, $1); }
| phrases "," phrase { $$ = phrases_add(parse, $1, $3); }
;

/* ---- sections ---- */

section: "section" section_head clauses "end" { $$ = section_new(parse, @$, $2, $3); };
section_head:
  TEXT part heading { $$ = section_head(parse, $1, $2, $3); }
| error { $$ = section_head(parse, (Quoted){.span = @$}, (Named){0}, (Text){0}); }
;
part: %empty { $$ = (Named){0}; } | "part" NAME { $$ = $2; };
heading: %empty { $$ = (Text){0}; } | TEXT { $$ = $1.text; };
target: TEXT part { $$ = target_new(parse, @$, $1, $2); };
targets: target { $$ = targets_one($1); } | targets "," target { $$ = targets_add($1, $3); };

clauses:
  %empty { $$ = (PartList){0}; }
| clauses clause { $$ = parts_add($1, $2); yyerrok; }
| clauses error { $$ = $1; RESUME; }
;
clause:
  "topic" dotted { $$ = part_name(parse, @$, PART_ABOUT, $2, 0); }
| standing
| permit DATE { $$ = part_permit(parse, @$, $1, $2.day); }
| for_units { $$ = part_new(parse, @$, PART_FOR_UNITS, $1); }
| each { $$ = part_new(parse, @$, PART_EACH, $1); }
| "when" condition { $$ = part_new(parse, @$, PART_WHEN, $2); }
| define { $$ = part_new(parse, @$, PART_DEFINE, $1); }
| reading { $$ = part_new(parse, @$, PART_READING, $1); }
| line { $$ = part_new(parse, @$, PART_LINE, $1); }
| discretion { $$ = part_new(parse, @$, PART_LINE, $1); }
| exception %prec SHORT { $$ = part_new(parse, @$, PART_EXCEPTION, $1); }
| "remedy" TEXT { $$ = part_text(parse, @$, PART_REMEDY, $2); }
| "formerly" targets { $$ = part_new(parse, @$, PART_FORMERLY, $2.first); }
| "also at" targets { $$ = part_new(parse, @$, PART_ALSO_AT, $2.first); }
| confirmed { $$ = part_new(parse, @$, PART_CONFIRMED, $1); }
| "not to be waived" { $$ = part_new(parse, @$, PART_NO_WAIVER, NULL); }
| "notwithstanding" targets { $$ = part_new(parse, @$, PART_NOTWITHSTANDING, $2.first); }
| "stet" TEXT TEXT { $$ = part_stet(parse, @$, $2.text, $3.text); }
;
confirmed:
  "confirmed" "by" TEXT "on" DATE "letter" TEXT { $$ = confirmed_new(parse, @$, NULL, $3, $5, $7); }
| "confirmed" targets "by" TEXT "on" DATE "letter" TEXT {
    $$ = confirmed_new(parse, @$, $2.first, $4, $6, $8); }
;
permit:
  "for units permitted" "on or after" { $$ = PERMIT_ON_OR_AFTER; }
| "for units permitted" "before" { $$ = PERMIT_BEFORE; }
| "not for units under permit" "before" { $$ = PERMIT_NOT_BEFORE; }
| "not for units under permit" "on" { $$ = PERMIT_NOT_ON; }
| "existing units from" { $$ = PERMIT_EXISTING_FROM; }
;
each:
  "each" NAME "of" expr where { $$ = each_new(parse, @$, $2, (Named){0}, $4, $5); }
| "each pair" NAME "," NAME "of" expr where { $$ = each_new(parse, @$, $2, $4, $6, $7); }
;
for_units: "for units where" condition { $$ = $2; };
where: %empty { $$ = NULL; } | "where" condition { $$ = $2; };
condition: expr;

define: "define" NAME params "=" expr fallback_opt {
    $$ = define_new(parse, @$, $2, $3, $5, $6); };
params: %empty { $$ = (ParamList){0}; } | "(" param_list ")" { $$ = $2; };
param_list: param { $$ = params_one($1); } | param_list "," param { $$ = params_add($1, $3); };
param: NAME ":" simple_type { $$ = param_new(parse, @$, $1, $3); };
fallback: "," "or" expr "if none" { $$ = $3; };
fallback_opt: %empty { $$ = NULL; } | fallback;

reading: "reading" NAME defines %prec SHORT { $$ = reading_new(parse, @$, $2, $3); };
defines: define { $$ = defines_one($1); } | defines define { $$ = defines_add($1, $2); };

line:
  shall requirement absence { $$ = line_new(parse, @$, $1, (Named){0}, $2, $3); }
| shall label requirement absence { $$ = line_new(parse, @$, $1, $2, $3, $4); }
;
shall: "shall" { $$ = false; } | "shall not" { $$ = true; };
label: NAME ":" { $$ = $1; };
requirement: expr;
absence:
  %empty { $$ = (Absence){0}; }
| "," "if provided" { $$ = (Absence){ABSENCE_IF_PROVIDED, NULL}; }
| "," "required" { $$ = (Absence){ABSENCE_REQUIRED, NULL}; }
| fallback { $$ = (Absence){ABSENCE_VALUE, $1}; }
;
discretion:
  "at the discretion of" TEXT TEXT {
    $$ = line_discretion(parse, @$, $2.text, (Named){0}, $3.text); }
| "at the discretion of" TEXT label TEXT { $$ = line_discretion(parse, @$, $2.text, $3, $4.text); }
;

exception:
  exception_narrowed %prec SHORT { $$ = exception_lines($1, @$, (LineList){0}); }
| exception_narrowed lines %prec SHORT { $$ = exception_lines($1, @$, $2); }
;
exception_narrowed:
  exception_head
| exception_narrowed "unless" condition by { $$ = exception_unless(parse, $1, @$, $3, $4); }
;
exception_head:
  "except" "where" condition by { $$ = exception_new(parse, @$, (Named){0}, (Text){0}, $3, $4); }
| "except" "with approval of" TEXT where by {
    $$ = exception_new(parse, @$, (Named){0}, $3.text, $4, $5); }
| "except" "to" NAME "where" condition by { $$ = exception_new(parse, @$, $3, (Text){0}, $5, $6); }
| "except" "to" NAME "with approval of" TEXT where by {
    $$ = exception_new(parse, @$, $3, $5.text, $6, $7); }
;
lines: line { $$ = lines_one($1); } | lines line { $$ = lines_add($1, $2); };
by: %empty { $$ = (Quoted){0}; } | "by" TEXT { $$ = $2; };

/* ---- tables ---- */

table:
  "table" table_head rows "end" { $$ = table_new(parse, @$, $2, (LabelList){0}, $3); }
| "table" wide_table_head ROW columns rows "end" { $$ = table_new(parse, @$, $2, $4, $5); }
;
table_head:
  NAME "by" key in_unit cites { $$ = table_head(parse, $1, keys_one($3), $4, $5); }
| error { $$ = NULL; }
;
wide_table_head:
  NAME "by" key "," key in_unit cites {
    $$ = table_head(parse, $1, keys_add(keys_one($3), $5), $6, $7); }
;
key:
  named_key
| named_key NAME { $$ = key_mode_word(parse, $1, $2); }
| named_key "next higher" { $$ = key_mode($1, KEY_NEXT_HIGHER); }
| named_key "next lower" { $$ = key_mode($1, KEY_NEXT_LOWER); }
;
named_key:
  NAME { $$ = key_new(parse, @$, $1, NULL); }
| NAME ":" simple_type { $$ = key_new(parse, @$, $1, &$3); }
;
in_unit: %empty { $$ = (Quoted){0}; } | IN_UNIT;
cites: %empty { $$ = (Quoted){0}; } | "cites" TEXT { $$ = $2; };
columns: row_label { $$ = labels_one($1); } | columns row_label { $$ = labels_add($1, $2); };
rows:
  %empty { $$ = (RowList){0}; }
| rows ROW row_label cells { $$ = rows_add(parse, $1, $3, $4); yyerrok; }
| rows ROW "otherwise" "no rule" { $$ = rows_otherwise(parse, $1, @3, NULL); }
| rows ROW "otherwise" cell { $$ = rows_otherwise(parse, $1, @3, $4); }
| rows ROW error { $$ = $1; RESUME; }
;
row_label:
  NAME { $$ = label_word(parse, @$, LABEL_WORD, $1); }
| "yes" { $$ = label_word(parse, @$, LABEL_YES, (Named){0}); }
| "no" { $$ = label_word(parse, @$, LABEL_NO, (Named){0}); }
| quantity { $$ = label_quantity(parse, @$, $1); }
| quantity ".." quantity { $$ = label_between(parse, @$, $1, $3); }
| NAME relation quantity { $$ = label_bound(parse, @$, $1, $2, $3); }
| label_from
| label_from relation quantity { $$ = label_upto(parse, @$, $1, $2, $3); }
;
label_from: quantity relation NAME { $$ = label_from(parse, @$, $1, $2, $3); };
relation:
  "<" { $$ = COMPARE_LESS; } | "<=" { $$ = COMPARE_LESS_EQUAL; }
| ">" { $$ = COMPARE_GREATER; } | ">=" { $$ = COMPARE_GREATER_EQUAL; }
;
cells: cell { $$ = cells_one($1); } | cells cell { $$ = cells_add($1, $2); };
cell:
  quantity { $$ = cell_new(parse, @$, CELL_QUANTITY, (Named){0}, $1); }
| NAME { $$ = cell_new(parse, @$, CELL_WORD, $1, (Amount){0}); }
| "yes" { $$ = cell_new(parse, @$, CELL_YES, (Named){0}, (Amount){0}); }
| "no" { $$ = cell_new(parse, @$, CELL_NO, (Named){0}, (Amount){0}); }
| "none" { $$ = cell_new(parse, @$, CELL_NONE, (Named){0}, (Amount){0}); }
;
quantity: NUMBER | QUANTITY;

/* ---- worksheets ---- */

worksheet: "worksheet" worksheet_head worksheet_parts "end" {
    $$ = worksheet_new(parse, @$, $2, $3); };
worksheet_head:
  NAME TEXT { $$ = worksheet_head(parse, $1, $2.text); }
| error { $$ = worksheet_head(parse, (Named){.span = @$}, (Text){0}); }
;
worksheet_parts:
  %empty { $$ = (PartList){0}; }
| worksheet_parts worksheet_part { $$ = parts_add($1, $2); yyerrok; }
| worksheet_parts error { $$ = $1; RESUME; }
;
worksheet_part:
  define { $$ = part_new(parse, @$, PART_DEFINE, $1); }
| each { $$ = part_new(parse, @$, PART_EACH, $1); }
| "when" condition { $$ = part_new(parse, @$, PART_WHEN, $2); }
| "step" NAME TEXT expr fallback_opt in_unit cites {
    $$ = part_new(parse, @$, PART_STEP, step_new(parse, @$, $2, $3.text, $4, $5, $6, $7)); }
| "schedule" worksheet_head schedule_parts "end" {
    $$ = part_new(parse, @$, PART_SCHEDULE, worksheet_new(parse, @$, $2, $3)); }
| "note" TEXT { $$ = part_text(parse, @$, PART_NOTE, $2); }
;
schedule_parts:
  %empty { $$ = (PartList){0}; }
| schedule_parts each { $$ = parts_add($1, part_new(parse, @2, PART_EACH, $2)); yyerrok; }
| schedule_parts "column" NAME TEXT expr fallback_opt in_unit {
    Span span = {@2.start, @$.end};
    $$ = parts_add($1, part_new(parse, span, PART_STEP,
        step_new(parse, span, $3, $4.text, $5, $6, $7, (Quoted){0}))); yyerrok; }
| schedule_parts error { $$ = $1; RESUME; }
;

/* ---- jurisdictions ---- */

jurisdiction_head:
  NAME TEXT { $$ = jurisdiction_head(parse, $1, $2.text, (Named){0}); }
| NAME TEXT "within" NAME { $$ = jurisdiction_head(parse, $1, $2.text, $4); }
| NAME "continued" { $$ = jurisdiction_piece(parse, $1); }
| error { $$ = jurisdiction_head(parse, (Named){.span = @$}, (Text){0}, (Named){0}); }
;
jurisdiction_parts:
  %empty { $$ = (PartList){0}; }
| jurisdiction_parts jurisdiction_part { $$ = parts_add($1, $2); yyerrok; }
| jurisdiction_parts error { $$ = $1; RESUME; }
;
jurisdiction_part:
  block %prec SHORT { $$ = part_new(parse, @$, PART_BLOCK, block_done(parse, $1)); }
| define { $$ = part_new(parse, @$, PART_DEFINE, $1); }
| table { $$ = part_new(parse, @$, PART_TABLE, $1); }
| worksheet { $$ = part_new(parse, @$, PART_WORKSHEET, $1); }
| "checklist" checklist_head checklist_lines "end" {
    $$ = part_new(parse, @$, PART_CHECKLIST, checklist_new(parse, @$, $2, $3)); }
| confirmed { $$ = part_new(parse, @$, PART_CONFIRMED, $1); }
| example { $$ = part_new(parse, @$, PART_EXAMPLE, $1); }
;
checklist_head:
  NAME TEXT from_text { $$ = checklist_head(parse, $1, $2.text, $3.text); }
| error { $$ = checklist_head(parse, (Named){.span = @$}, (Text){0}, (Text){0}); }
;
checklist_lines:
  %empty { $$ = (PartList){0}; }
| checklist_lines check_line {
    $$ = parts_add($1, part_new(parse, @2, PART_CHECK_LINE, $2)); yyerrok; }
| checklist_lines error { $$ = $1; RESUME; }
;
check_line:
  "line" TEXT { $$ = check_line_new(parse, @$, $2.text, NULL); }
| "line" TEXT "cites" targets { $$ = check_line_new(parse, @$, $2.text, $4.first); }
| "line" TEXT "omitted" TEXT { $$ = check_line_open(parse, @$, $2.text, $4.text, (Text){0}); }
| "line" TEXT "at the discretion of" TEXT {
    $$ = check_line_open(parse, @$, $2.text, (Text){0}, $4.text); }
;
block:
  block_dated
| block change { $$ = block_change($1, @$, $2); yyerrok; }
| block error { $$ = $1; RESUME; }
;
block_head:
  adopts NAME "edition" edition "in force" "from" DATE until "by" TEXT {
    $$ = block_new(parse, @$, $1, $2, $4, $7, $8, $10); }
| adopts NAME "each edition" "in force" "from" NUMBER NAME "after publication" "by" TEXT {
    $$ = block_rolling(parse, @$, $2, $6, $7, $10); }
;
block_dated:
  block_head
| block_dated "passed" DATE { $$ = block_day(parse, $1, @$, &$1->passed, $3); }
| block_dated "filed" DATE { $$ = block_day(parse, $1, @$, &$1->filed, $3); }
| block_dated "effective" DATE { $$ = block_day(parse, $1, @$, &$1->effective, $3); }
| block_dated "emergency" { $$ = block_emergency(parse, $1, @$); }
;
adopts: "adopts" { $$ = false; } | "amends" { $$ = true; };
until: %empty { $$ = (Dated){.day = DAY_FOREVER}; } | "until" DATE { $$ = $2; };
change:
  amendment fate { $$ = change_fate($1, @$, $2); }
| "applies reading" NAME { $$ = change_reading(parse, @$, $2, NULL); }
| "applies reading" NAME "in" target { $$ = change_reading(parse, @$, $2, $4); }
| "locally at least as strict in" targets { $$ = change_new(parse, @$, CHANGE_LOCAL_FLOOR, $2); }
| "not to be amended locally" targets from_date {
    $$ = change_day(change_new(parse, @$, CHANGE_NO_LOCAL, $2), $3); }
| "not to be amended locally in any section" from_date {
    $$ = change_day(change_new(parse, @$, CHANGE_NO_LOCAL, (TargetList){0}), $2); }
| "not to be waived" targets { $$ = change_new(parse, @$, CHANGE_NO_WAIVER, $2); }
| "preempts local law on" topics from_date {
    $$ = change_day(change_topics(parse, @$, CHANGE_PREEMPTS, (Named){0}, $2), $3); }
| "prevails over" NAME on_topics { $$ = change_topics(parse, @$, CHANGE_PREVAILS, $2, $3); }
| for_units { $$ = change_for_units(parse, @$, $1); }
| "repeals" TEXT { $$ = change_act(parse, @$, CHANGE_REPEALS, $2, (Dated){0}, (TargetList){0}); }
| "repeals" TEXT "in" targets { $$ = change_act(parse, @$, CHANGE_REPEALS, $2, (Dated){0}, $4); }
| put_off TEXT "until" DATE { $$ = change_act(parse, @$, $1, $2, $4, (TargetList){0}); }
;
put_off: "extends" { $$ = CHANGE_EXTENDS; } | "postpones" { $$ = CHANGE_POSTPONES; };
from_date: %empty { $$ = (Dated){.day = DAY_UNSAID}; } | "from" DATE { $$ = $2; };
on_topics: %empty { $$ = (WordList){0}; } | "on" topics { $$ = $2; };
topics:
  dotted { $$ = words_add(parse, (WordList){0}, 0, $1); }
| topics "," dotted { $$ = words_add(parse, $1, ',', $3); }
;
amendment:
  "amend" target "to read" clauses "end" { $$ = change_read(parse, @$, $2, $4); }
| "amend" target "limit" "to" expr { $$ = change_limit(parse, @$, $2, (Named){0}, $5); }
| "amend" target "limit" NAME "to" expr { $$ = change_limit(parse, @$, $2, $4, $6); }
| "amend" target "exception" TEXT "to read" exception "end" {
    $$ = change_exception(parse, @$, CHANGE_EXCEPTION_TO_READ, $2, $4, $6); }
| "amend" target "to delete exception" TEXT {
    $$ = change_exception(parse, @$, CHANGE_EXCEPTION_DELETE, $2, $4, NULL); }
| "amend" target "to add" exception "end" {
    $$ = change_exception(parse, @$, CHANGE_EXCEPTION_INSERT, $2, (Quoted){0}, $4); }
| "renumber" target "as" TEXT { $$ = change_renumber(parse, @$, $2, $4); }
| "delete and reserve" targets { $$ = change_reserve(change_new(parse, @$, CHANGE_DELETE, $2)); }
| "delete" targets { $$ = change_new(parse, @$, CHANGE_DELETE, $2); }
| "insert" section { $$ = change_insert(parse, @$, $2); }
;
fate:
  %empty { $$ = (Fate){.span = @$}; }
| "carries over" { $$ = (Fate){FATE_CARRIES_OVER, {0}, @$}; }
| "carries over" "to" TEXT { $$ = (Fate){FATE_CARRIES_OVER, $3.text, @$}; }
| "lapses" { $$ = (Fate){FATE_LAPSES, {0}, @$}; }
;

/* ---- places ---- */

place_head:
  NAME TEXT { $$ = place_head(parse, $1, $2.text); }
| error { $$ = place_head(parse, (Named){.span = @$}, (Text){0}); }
;
holders:
  %empty { $$ = (PartList){0}; }
| holders holder_part { $$ = parts_add($1, $2); yyerrok; }
| holders error { $$ = $1; RESUME; }
;
holder_part: holder by { $$ = part_new(parse, @$, PART_HOLDER, holder_by($1, @$, $2.text)); };
holder:
  NAME "decided by" NAME { $$ = holder_new(parse, $1, $3, NULL, false); }
| NAME "decided by" NAME "where" condition { $$ = holder_new(parse, $1, $3, $5, false); }
| NAME "decided by" NAME "otherwise" { $$ = holder_new(parse, $1, $3, NULL, true); }
;

/* ---- worked examples ---- */

example: "worked example" example_body "end" { $$ = example_new(parse, @$, $2); };
example_head: TEXT from_text with on_date { $$ = example_head(parse, $1, $2, $3, $4); };
from_text: %empty { $$ = (Quoted){0}; } | "from" TEXT { $$ = $2; };
with: %empty { $$ = (SettingList){0}; } | "with" settings { $$ = $2; };
on_date: %empty { $$ = (Dated){0}; } | "on" DATE { $$ = $2; };
example_body:
  example_head
| error { $$ = example_head(parse, (Quoted){0}, (Quoted){0}, (SettingList){0}, (Dated){0}); }
| example_body "unit has" settings { $$ = example_facts($1, @2, $3); yyerrok; }
| example_body "finds" expected { $$ = example_finds($1, @2, $3); yyerrok; }
| example_body error { $$ = $1; RESUME; }
;
settings: setting { $$ = settings_one($1); } | settings "," setting { $$ = settings_add($1, $3); };
setting: path "=" datum { $$ = setting_new(parse, @$, $1, $3); };

datum:
  datum_item
| "[" "]" { $$ = datum_group(parse, @$, DATUM_LIST, (DatumList){0}); }
| "[" items "]" { $$ = datum_group(parse, @$, DATUM_LIST, $2); }
| "{" "}" { $$ = datum_group(parse, @$, DATUM_MAP, (DatumList){0}); }
| "{" members "}" { $$ = datum_group(parse, @$, DATUM_MAP, $2); }
;
datum_item: TEXT { $$ = datum_quoted(parse, $1); } | scalar { $$ = datum_slice(parse, @$); };
scalar:
  quantity | quantity "x" quantity | quantity "x" quantity "x" quantity
| NAME | DATE | DATE_PART | "yes" | "no" | "none"
;
items:
  datum { $$ = data_one($1); }
| "and more" { $$ = data_one(datum_slice(parse, @$)); }
| items "," datum { $$ = data_add($1, $3); }
| items "," "and more" { $$ = data_add($1, datum_slice(parse, @3)); }
;
members: member { $$ = data_one($1); } | members "," member { $$ = data_add($1, $3); };
member: NAME ":" datum { $$ = datum_member(parse, $1, $3); };

expected:
  target named_items outcome { $$ = expected_new(parse, @$, $1, (Named){0}, $2, $3); }
| target NAME named_items outcome { $$ = expected_new(parse, @$, $1, $2, $3, $4); }
| "step" path named_items "=" datum { $$ = expected_step(parse, @$, $2, $3, $5); }
| expected "within" quantity { $$ = expected_within(parse, $1, @$, $3); }
| expected "," "measured" datum { $$ = expected_data(parse, $1, @$, false, $4); }
| expected "," "limit" datum { $$ = expected_data(parse, $1, @$, true, $4); }
| expected "," "waits for" path { $$ = expected_waits($1, @$, $4); }
;
named_items: %empty { $$ = (DatumList){0}; } | "for" item_names { $$ = $2; };
item_names:
  TEXT { $$ = data_one(datum_quoted(parse, $1)); }
| item_names "," TEXT { $$ = data_add($1, datum_quoted(parse, $3)); }
;
outcome:
  "complies" { $$ = OUTCOME_COMPLIES; }
| "correction" { $$ = OUTCOME_CORRECTION; }
| "information required" { $$ = OUTCOME_INFORMATION_REQUIRED; }
| "official decides" { $$ = OUTCOME_OFFICIAL_DECIDES; }
| "excused" { $$ = OUTCOME_EXCUSED; }
| "not applicable" { $$ = OUTCOME_NOT_APPLICABLE; }
;

/* ---- expressions ---- */

expr:
  quantity { $$ = expr_quantity(parse, @$, $1); }
| TEXT { $$ = expr_text(parse, @$, $1.text); }
| DATE { $$ = expr_date(parse, @$, $1.day); }
| "yes" { $$ = expr_word(parse, @$, EXPR_YES); }
| "no" { $$ = expr_word(parse, @$, EXPR_NO); }
| path
| NAME "(" exprs ")" { $$ = expr_call(parse, @$, $1, $3); }
| "(" expr ")" { $$ = expr_parens(@$, $2); }
| "(" expr fallback ")" { $$ = expr_parens(@$, expr_two(parse, @$, EXPR_IF_NONE, $2, $3)); }
| expr "or" expr { $$ = expr_two(parse, @$, EXPR_OR, $1, $3); }
| expr "and" expr { $$ = expr_two(parse, @$, EXPR_AND, $1, $3); }
| "not" expr { $$ = expr_one(parse, @$, EXPR_NOT, false, $2); }
| expr "<" expr { $$ = expr_compare(parse, @$, COMPARE_LESS, false, $1, $3); }
| expr "<=" expr { $$ = expr_compare(parse, @$, COMPARE_LESS_EQUAL, false, $1, $3); }
| expr ">" expr { $$ = expr_compare(parse, @$, COMPARE_GREATER, false, $1, $3); }
| expr ">=" expr { $$ = expr_compare(parse, @$, COMPARE_GREATER_EQUAL, false, $1, $3); }
| expr "=" expr { $$ = expr_compare(parse, @$, COMPARE_EQUAL, false, $1, $3); }
| expr "!=" expr { $$ = expr_compare(parse, @$, COMPARE_NOT_EQUAL, false, $1, $3); }
| expr "is" expr { $$ = expr_compare(parse, @$, COMPARE_EQUAL, true, $1, $3); }
| expr "is not" expr { $$ = expr_compare(parse, @$, COMPARE_NOT_EQUAL, true, $1, $3); }
| expr "before" expr { $$ = expr_compare(parse, @$, COMPARE_LESS, true, $1, $3); }
| expr "after" expr { $$ = expr_compare(parse, @$, COMPARE_GREATER, true, $1, $3); }
| expr "on or after" expr { $$ = expr_compare(parse, @$, COMPARE_GREATER_EQUAL, true, $1, $3); }
| expr "on or before" expr { $$ = expr_compare(parse, @$, COMPARE_LESS_EQUAL, true, $1, $3); }
| expr "is none" { $$ = expr_one(parse, @$, EXPR_IS_NONE, false, $1); }
| expr "is not none" { $$ = expr_one(parse, @$, EXPR_IS_NONE, true, $1); }
| expr "among" "(" exprs ")" { $$ = expr_among(parse, @$, $1, $4); }
| expr "within" quantity "of" expr %prec WITHIN { $$ = expr_within(parse, @$, $1, $3, $5); }
| expr "holds" expr { $$ = expr_holds(parse, @$, $1, $3, false); }
| expr "holds" expr "in any orientation" { $$ = expr_holds(parse, @$, $1, $3, true); }
| expr "+" expr { $$ = expr_two(parse, @$, EXPR_ADD, $1, $3); }
| expr "-" expr { $$ = expr_two(parse, @$, EXPR_SUBTRACT, $1, $3); }
| expr "*" expr { $$ = expr_two(parse, @$, EXPR_MULTIPLY, $1, $3); }
| expr "/" expr { $$ = expr_two(parse, @$, EXPR_DIVIDE, $1, $3); }
| expr "x" expr { $$ = expr_size(parse, @$, $1, $3); }
| "-" expr %prec SIGN { $$ = expr_one(parse, @$, EXPR_NEGATE, false, $2); }
| NUMBER "of" expr %prec SIGN { $$ = expr_share(parse, @$, $1, $3); }
| path "covers" path { $$ = expr_two(parse, @$, EXPR_COVERS, $1, $3); }
| path "overlaps" path { $$ = expr_two(parse, @$, EXPR_OVERLAPS, $1, $3); }
| path "that" path "covers" { $$ = expr_two(parse, @$, EXPR_COVERED, $1, $3); }
| "gap between" path "and" path { $$ = expr_two(parse, @$, EXPR_GAP, $2, $4); }
| "overhang of" path "beyond" path { $$ = expr_two(parse, @$, EXPR_OVERHANG, $2, $4); }
| quantifier NAME "of" expr where emptiness ":" expr %prec LISTED {
    $$ = expr_quantifier(parse, @$, $1, $2, $4, $5, $6, $8); }
| aggregate expr "for" NAME "of" expr %prec LISTED {
    $$ = expr_aggregate(parse, @$, $1, $4, $6, NULL, $2); }
| aggregate expr "for" NAME "of" expr "where" expr %prec LISTED {
    $$ = expr_aggregate(parse, @$, $1, $4, $6, $8, $2); }
| "count of" NAME "of" expr "where" expr %prec LISTED {
    $$ = expr_aggregate(parse, @$, AGGREGATE_COUNT, $2, $4, $6, NULL); }
| "count of" path { $$ = expr_aggregate(parse, @$, AGGREGATE_COUNT, (Named){0}, $2, NULL, NULL); }
| "those" NAME "of" expr "where" expr %prec LISTED {
    $$ = expr_over(parse, @$, EXPR_THOSE, $2, $4, $6, NULL); }
| "first" NAME "of" expr where "by" expr %prec LISTED {
    $$ = expr_over(parse, @$, EXPR_FIRST, $2, $4, $5, $7); }
| "any of" alternatives "end" { $$ = expr_listed(parse, @$, EXPR_ANY_OF, $2); }
| "all of" alternatives "end" { $$ = expr_listed(parse, @$, EXPR_ALL_OF, $2); }
| round quantity "of" expr %prec ROUNDED { $$ = expr_round(parse, @$, $1, $2, $4); }
| "round to nearest" quantity "of" expr half { $$ = expr_round(parse, @$, $5, $2, $4); }
| expr "if" expr "otherwise" expr { $$ = expr_three(parse, @$, EXPR_CHOICE, $1, $3, $5); }
| "approval of" TEXT { $$ = expr_approval(parse, @$, $2.text); }
| "blank" TEXT { $$ = expr_blank(parse, @$, $2.text); }
;
exprs: expr { $$ = exprs_one($1); } | exprs "," expr { $$ = exprs_add($1, $3); };
alternatives:
  alternative { $$ = exprs_one($1); }
| alternatives ALT alternative { $$ = exprs_add($1, $3); }
;
alternative: expr { $$ = $1; yyerrok; } | error { $$ = expr_bad(parse, @$); RESUME; };
path:
  NAME { $$ = expr_name(parse, $1); }
| path "." NAME { $$ = expr_field(parse, @$, $1, $3); }
| path "[" TEXT "]" { $$ = expr_item(parse, @$, $1, $3.text); }
;
quantifier:
  "every" { $$ = QUANTIFIER_EVERY; }
| "some" { $$ = QUANTIFIER_SOME; }
| "no (of a list)" { $$ = QUANTIFIER_NO; }
;
emptiness:
  %empty { $$ = (Empty){0}; }
| "," "at least one" { $$ = (Empty){.kind = EMPTY_AT_LEAST_ONE}; }
| "," "at least" NUMBER { $$ = (Empty){EMPTY_AT_LEAST_NUMBER, $3}; }
| "," "or" "yes" "if empty" { $$ = (Empty){.kind = EMPTY_YES}; }
| "," "or" "no" "if empty" { $$ = (Empty){.kind = EMPTY_NO}; }
;
aggregate:
  "total of" { $$ = AGGREGATE_TOTAL; }
| "least of" { $$ = AGGREGATE_LEAST; }
| "greatest of" { $$ = AGGREGATE_GREATEST; }
;
round: "round up to" { $$ = ROUND_UP; } | "round down to" { $$ = ROUND_DOWN; };
half: "half up" { $$ = ROUND_HALF_UP; } | "half even" { $$ = ROUND_HALF_EVEN; };

%%

/* The parser found a token that fits nowhere: complain.c finds the words for it. */
static int yyreport_syntax_error(const yypcontext_t *context, Parse *parse)
{
    yysymbol_kind_t kinds[YYNTOKENS];
    const char *words[YYNTOKENS];
    int count = yypcontext_expected_tokens(context, kinds, YYNTOKENS);
    for (int i = 0; i < count; i++) {
        words[i] = yysymbol_name(kinds[i]);
    }
    complain_unexpected(parse, *yypcontext_location(context), words, count > 0 ? (size_t)count : 0);
    return 0;
}

/* The only message that bison itself has left to give: its stack is full. */
static void yyerror(const Span *span, Parse *parse, const char *message)
{
    (void)message;
    complain_stop(parse, *span);
}
