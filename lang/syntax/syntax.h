/* From the text of a rule file to its tree, and back to text in the standard form. */
#ifndef SYNTAX_SYNTAX_H
#define SYNTAX_SYNTAX_H

#include "base/diagnostic.h"
#include "syntax/tree.h"

/* Reads a rule file. Always returns a tree; what could not be read is left out of it, and
 * every error is in diags (many per run). Names are interned in `names`. */
FileTree *syntax_parse(Arena *arena, Names *names, const Source *source, Diagnostics *diags);

/* The same without the worked examples, which a review does not need: they are passed over
 * unread, and no example stands in the tree. */
FileTree *syntax_parse_law(Arena *arena, Names *names, const Source *source, Diagnostics *diags);

/* The same for chosen codes alone (`wanted` has their names): any other code is passed over unread
 * up to the next block that begins at the left margin, and stands in the file's list of those. */
FileTree *syntax_parse_codes(Arena *arena, Names *names, const Source *source, const Map *wanted,
                             Diagnostics *diags);

/* Reads one expression, path or setting list from text that is not a rule file (the command
 * line's --with, say). NULL after errors. */
SettingTree *syntax_parse_settings(Arena *arena, Names *names, const Source *source,
                                   Diagnostics *diags);

/* The file in the standard form, comments kept. Only for trees without errors. */
Text syntax_faircopy(Arena *arena, const FileTree *file);

/* Clauses of `source` under one another as the standard form lays them out, in lines of `width`
 * columns where they can be broken; no comments, no newline at the end. */
Text syntax_print_clauses(Arena *arena, const Source *source, const PartTree *parts, size_t width);
/* The same for what a code or a jurisdiction holds beside its sections and blocks: the definitions,
 * tables, worksheets and shared readings among its parts; "" when there are none. */
Text syntax_print_matter(Arena *arena, const Source *source, const PartTree *parts, size_t width);

/* One expression as the standard form writes it, for citations and traces. */
Text syntax_print_expr(Arena *arena, const Expr *expr);

const char *stage_word(Stage stage);
const char *rework_word(Rework rework);    /* "" for unsaid */
const char *outcome_word(Outcome outcome); /* "information required" */
const char *outcome_data(Outcome outcome); /* "information_required" */
const char *basis_word(BasisKind basis);

#endif
