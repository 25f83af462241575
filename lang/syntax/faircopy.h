/* The printer of the fair copy, in its pieces. Private to syntax/. */
#ifndef SYNTAX_FAIRCOPY_H
#define SYNTAX_FAIRCOPY_H

#include "syntax/syntax.h"

enum {
    COPY_WIDTH = 100, /* columns of a line */
    COPY_STEP = 2,    /* columns of one level */
    COPY_DEEP = 4     /* columns by which a wrapped head stands in */
};

typedef struct Printer {
    Arena *arena;
    const FileTree *file; /* NULL: a bare expression, without source and comments */
    Buffer out;
    size_t line;    /* where the line begins in out */
    size_t width;   /* COPY_WIDTH, or no limit */
    size_t comment; /* the next to print */
    bool fresh;     /* a block has just begun: no blank line here */
    bool apart;     /* what comes next is set off by a blank line */
} Printer;

/* ---- lines: faircopy.c ---- */

/* Begins a line for what stands at `offset`: the comments before it, a blank line if one is due,
 * the indentation. */
void copy_line(Printer *printer, uint32_t offset, size_t indent);
/* The same within one clause: no blank line. */
void copy_wrap(Printer *printer, uint32_t offset, size_t indent);
void copy_end(Printer *printer, Span span, size_t indent); /* the `end` of the block */
size_t copy_column(const Printer *printer);
bool copy_fits(const Printer *printer, Text text); /* on this line */
/* Is a comment not printed yet that stands before `offset`? What would be broken there is broken
 * then, so that the comment keeps its place. */
bool copy_has_comment(const Printer *printer, uint32_t offset);
bool copy_is_apart(const Printer *printer, uint32_t offset); /* a blank line before it */

void copy_string(Printer *printer, const char *string);
void copy_text(Printer *printer, Text text);
void copy_name(Printer *printer, const Name *name);
void copy_pad(Printer *printer, size_t column); /* spaces up to the column, at least one */
Text text_quoted(Arena *arena, Text text);      /* with quotes and escapes */
void copy_quoted(Printer *printer, Text text);
Text copy_spelling(const Printer *printer, Span span); /* as written, blanks made single */

/* ---- expressions and data: faircopy_expr.c, faircopy_broken.c ---- */

Text expr_flat(Arena *arena, const Expr *expr); /* on one line, `any of` apart */
void expr_flat_into(Buffer *out, const Expr *expr);
bool expr_has_block(const Expr *expr);                  /* `any of`, `all of`: never on one line */
void expr_put_emptiness(Buffer *out, const Expr *expr); /* ", at least one:" */
const char *expr_operator(const Expr *expr);            /* ">=", "and", "is not", ... */
void copy_expr(Printer *printer, const Expr *expr, size_t indent);
bool copy_is_whole(const Printer *printer, const Expr *expr); /* fits on the line unbroken */
void copy_fallback(Printer *printer, const Expr *fallback, size_t indent);
Text type_flat(Arena *arena, const TypeTree *type);
void copy_datum(Printer *printer, const Datum *datum);
Text settings_flat(Arena *arena, const SettingTree *settings);
/* The settings of one `unit has` or `with`; gives the first of the next `unit has`. */
const SettingTree *copy_settings(Printer *printer, const SettingTree *settings);

/* ---- blocks ---- */

/* How far the defines of a run are padded so that their = stand under one another. */
size_t define_width(const DefineTree *define);
void copy_define(Printer *printer, const DefineTree *define, size_t width, size_t indent);
void copy_section(Printer *printer, const SectionTree *section, size_t indent);
void copy_clauses(Printer *printer, const PartTree *parts, size_t indent);
void copy_standing(Printer *printer, const PartTree *part, size_t column);
const char *part_word(const PartTree *part); /* "shall", "each pair"; NULL: not in the column */
void copy_each(Printer *printer, const EachTree *each, size_t column);
void copy_target(Printer *printer, const TargetTree *target);
void copy_targets(Printer *printer, const TargetTree *targets);
void copy_table(Printer *printer, const TableTree *table, size_t indent);
void copy_worksheet(Printer *printer, const WorksheetTree *worksheet, size_t indent);
void copy_checklist(Printer *printer, const ChecklistTree *checklist, size_t indent);
void copy_confirmed(Printer *printer, const ConfirmedTree *confirmed);
void copy_vocabulary(Printer *printer, const VocabularyTree *vocabulary);
void copy_for_units(Printer *printer, const Expr *scope, size_t column);
void copy_exception(Printer *printer, const ExceptionTree *exception, size_t column);
void copy_edition(Printer *printer, Text edition);
/* What codes and jurisdictions have alike. */
bool part_is_tall(const PartTree *part); /* set off by blank lines */
size_t copy_run_width(const Printer *printer, const PartTree *part);
void copy_common(Printer *printer, const PartTree *part, size_t width, size_t indent);
void copy_code(Printer *printer, const CodeTree *code);
void copy_jurisdiction(Printer *printer, const JurisdictionTree *jurisdiction);
void copy_place(Printer *printer, const PlaceTree *place);

#endif
