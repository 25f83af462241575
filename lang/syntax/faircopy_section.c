/* Clauses and sections in the fair copy. The bodies of a section's clauses stand under one
 * another, two columns after its longest word; the = of defines that follow one another, and the
 * requirements of labelled lines, do too. */
#include "syntax/faircopy.h"

#include <string.h>

enum { DEFINE_WIDTH_MAX = 32, LABEL_WIDTH_MAX = 24 };

/* ---- pieces ---- */

void copy_target(Printer *printer, const TargetTree *target)
{
    copy_quoted(printer, target->number);
    if (target->part != NULL) {
        copy_string(printer, " part ");
        copy_name(printer, target->part);
    }
}

void copy_targets(Printer *printer, const TargetTree *targets)
{
    for (const TargetTree *target = targets; target != NULL; target = target->next) {
        copy_target(printer, target);
        copy_string(printer, target->next != NULL ? ", " : "");
    }
}

static Text params_flat(Arena *arena, const ParamTree *params)
{
    Buffer out = buffer_make(arena);
    for (const ParamTree *param = params; param != NULL; param = param->next) {
        Text type = type_flat(arena, &param->type);
        buffer_format(&out, "%s%.*s: %.*s", param == params ? "(" : ", ",
                      TEXT_ARG(param->name->text), TEXT_ARG(type));
    }
    buffer_string(&out, params != NULL ? ")" : "");
    return buffer_done(&out);
}

size_t define_width(const DefineTree *define)
{
    size_t width = define->params == NULL ? define->name->text.len : 0;
    return width <= DEFINE_WIDTH_MAX ? width : 0;
}

/* On one line, without the word `define`; with blocks it is no shorter than it says. */
static Text define_flat(Arena *arena, const DefineTree *define)
{
    Buffer out = buffer_make(arena);
    buffer_text(&out, define->name->text);
    buffer_text(&out, params_flat(arena, define->params));
    buffer_string(&out, " = ");
    expr_flat_into(&out, define->value);
    if (define->fallback != NULL) {
        buffer_string(&out, ", or ");
        expr_flat_into(&out, define->fallback);
        buffer_string(&out, " if none");
    }
    return buffer_done(&out);
}

/* The word `define` stands already. */
void copy_define(Printer *printer, const DefineTree *define, size_t width, size_t indent)
{
    size_t start = copy_column(printer);
    copy_name(printer, define->name);
    copy_text(printer, params_flat(printer->arena, define->params));
    copy_pad(printer, start + width + 1);
    copy_string(printer, "= ");
    copy_expr(printer, define->value, indent + COPY_STEP);
    if (define->fallback != NULL) {
        copy_fallback(printer, define->fallback, indent);
    }
}

void copy_each(Printer *printer, const EachTree *each, size_t column)
{
    copy_string(printer, each->pair ? "each pair" : "each");
    copy_pad(printer, column);
    copy_name(printer, each->a);
    if (each->pair) {
        copy_string(printer, ", ");
        copy_name(printer, each->b);
    }
    copy_string(printer, " of ");
    copy_expr(printer, each->list, column + COPY_STEP);
    if (each->where == NULL) {
        return;
    }
    Text where = text_format(printer->arena, " where %.*s",
                             TEXT_ARG(expr_flat(printer->arena, each->where)));
    if (copy_fits(printer, where) && copy_is_whole(printer, each->where) &&
        !copy_has_comment(printer, each->where->span.start)) {
        copy_text(printer, where);
        return;
    }
    copy_wrap(printer, each->where->span.start, column + COPY_STEP);
    copy_string(printer, "where ");
    copy_expr(printer, each->where, column + COPY_STEP + strlen("where "));
}

static void put_stages(Printer *printer, unsigned stages)
{
    const char *comma = "";
    for (int stage = STAGE_INTAKE; stage <= STAGE_OPERATION; stage++) {
        if ((stages & (1U << (unsigned)stage)) != 0) {
            copy_string(printer, comma);
            copy_string(printer, stage_word((Stage)stage));
            comma = ", ";
        }
    }
}

static void put_basis(Printer *printer, const BasisTree *basis)
{
    copy_string(printer, basis_word((BasisKind)basis->kind));
    if (basis->kind == BASIS_READ) {
        copy_string(printer, " ");
        copy_quoted(printer, basis->title);
        copy_string(printer, " on ");
        copy_text(printer, date_print(printer->arena, basis->day));
    }
}

void copy_standing(Printer *printer, const PartTree *part, size_t column)
{
    copy_string(printer, part_word(part));
    copy_pad(printer, column);
    switch (part->kind) {
    case PART_AUTHORITY:
        copy_name(printer, part->name);
        copy_string(printer, part->detail == 1 ? " may cite" : "");
        copy_string(printer, part->detail == 2 ? " may advise" : "");
        return;
    case PART_STAGE: put_stages(printer, part->detail); return;
    case PART_REWORK: copy_string(printer, rework_word((Rework)part->detail)); return;
    case PART_BASIS: put_basis(printer, part->node); return;
    default: copy_text(printer, part->text); return; /* rank */
    }
}

/* ---- words ---- */

const char *part_word(const PartTree *part)
{
    switch (part->kind) {
    case PART_TITLE: return "title";
    case PART_PUBLISHER: return "publisher";
    case PART_VOCABULARY: return "vocabulary";
    case PART_PUBLISHED: return "published";
    case PART_RANKS: return "ranks";
    case PART_RANK: return "rank";
    case PART_AUTHORITY: return "authority";
    case PART_STAGE: return "stage";
    case PART_REWORK: return "rework";
    case PART_BASIS: return "basis";
    case PART_ABOUT: return "topic";
    case PART_EACH: return ((const EachTree *)part->node)->pair ? "each pair" : "each";
    case PART_WHEN: return "when";
    case PART_DEFINE: return "define";
    case PART_READING: return "reading";
    case PART_LINE: return ((const LineTree *)part->node)->discretion ? NULL : "shall";
    case PART_EXCEPTION: return "except";
    case PART_REMEDY: return "remedy";
    case PART_FORMERLY: return "formerly";
    case PART_ALSO_AT: return "also at";
    case PART_CITED_AS: return "cited as";
    case PART_STET: return "stet";
    default: return NULL;
    }
}

static size_t column_of(const PartTree *parts)
{
    size_t width = 0;
    for (const PartTree *part = parts; part != NULL; part = part->next) {
        const char *word = part_word(part);
        size_t len = word == NULL ? 0 : strlen(word);
        len = word != NULL && strcmp(word, "each pair") == 0 ? strlen("reading") : len;
        width = len > width ? len : width;
    }
    return width + COPY_STEP;
}

/* ---- lines ---- */

static size_t label_width(const LineTree *line)
{
    size_t width = line->label == NULL || line->discretion ? 0 : line->label->text.len;
    return width <= LABEL_WIDTH_MAX ? width : 0;
}

static size_t reading_width(const ReadingTree *reading)
{
    size_t width = reading->defines->next == NULL ? reading->name->text.len : 0;
    return width <= LABEL_WIDTH_MAX ? width : 0;
}

static void put_absence(Printer *printer, const LineTree *line, size_t indent)
{
    if (line->absence == ABSENCE_VALUE) {
        copy_fallback(printer, line->fallback, indent);
    } else if (line->absence != ABSENCE_UNSAID) {
        bool is_required = line->absence == ABSENCE_REQUIRED;
        Text text = is_required ? TEXT(" required") : TEXT(" if provided");
        copy_string(printer, ",");
        if (!copy_fits(printer, text)) {
            copy_wrap(printer, 0, indent + COPY_STEP);
            text = text_trim(text);
        }
        copy_text(printer, text);
    }
}

static void put_line(Printer *printer, const LineTree *line, size_t column, size_t width)
{
    if (line->discretion) {
        copy_string(printer, "at the discretion of ");
        copy_quoted(printer, line->official);
        copy_string(printer, "  ");
        if (line->label != NULL) {
            copy_name(printer, line->label);
            copy_string(printer, ": ");
        }
        copy_quoted(printer, line->what);
        return;
    }
    copy_string(printer, "shall");
    copy_pad(printer, column);
    copy_string(printer, line->negated ? "not " : "");
    if (line->label != NULL) {
        size_t start = copy_column(printer);
        copy_name(printer, line->label);
        copy_string(printer, ":");
        copy_pad(printer, start + width + COPY_STEP);
    }
    copy_expr(printer, line->requirement, copy_column(printer));
    put_absence(printer, line, column);
}

/* ---- exceptions and readings ---- */

static void put_by(Printer *printer, Text by, size_t indent)
{
    if (by.len == 0) {
        return;
    }
    Text text = text_format(printer->arena, "  by %.*s", TEXT_ARG(text_quoted(printer->arena, by)));
    if (copy_fits(printer, text)) {
        copy_text(printer, text);
        return;
    }
    copy_wrap(printer, 0, indent + COPY_STEP);
    copy_string(printer, "by ");
    copy_quoted(printer, by);
}

static void put_condition(Printer *printer, const char *word, const Expr *condition)
{
    copy_string(printer, word);
    copy_expr(printer, condition, copy_column(printer));
}

void copy_exception(Printer *printer, const ExceptionTree *exception, size_t column)
{
    copy_string(printer, "except");
    copy_pad(printer, column);
    if (exception->to != NULL) {
        copy_string(printer, "to ");
        copy_name(printer, exception->to);
        copy_string(printer, " ");
    }
    if (exception->approval.len > 0 || exception->condition == NULL) {
        copy_string(printer, "with approval of ");
        copy_quoted(printer, exception->approval);
        copy_string(printer, exception->condition != NULL ? " " : "");
    }
    if (exception->condition != NULL) {
        put_condition(printer, "where ", exception->condition);
    }
    put_by(printer, exception->by, column);
    for (const UnlessTree *unless = exception->unless; unless != NULL; unless = unless->next) {
        copy_wrap(printer, unless->condition->span.start, column);
        put_condition(printer, "unless ", unless->condition);
        put_by(printer, unless->by, column);
    }
    for (const LineTree *line = exception->lines; line != NULL; line = line->next) {
        copy_wrap(printer, line->span.start, column);
        put_line(printer, line, column + strlen("shall "), 0);
    }
}

/* A single define stands beside the name of its reading, more of them below. */
static void put_reading(Printer *printer, const ReadingTree *reading, size_t column, size_t width)
{
    copy_string(printer, "reading");
    copy_pad(printer, column);
    size_t start = copy_column(printer);
    copy_name(printer, reading->name);
    const DefineTree *first = reading->defines;
    size_t beside = start + width + COPY_STEP + strlen("define ");
    bool is_beside = first->next == NULL && !copy_has_comment(printer, first->span.start) &&
                     beside + define_flat(printer->arena, first).len <= printer->width;
    for (const DefineTree *define = first; define != NULL; define = define->next) {
        if (is_beside) {
            copy_pad(printer, start + width + COPY_STEP);
        } else {
            copy_wrap(printer, define->span.start, column + COPY_STEP);
        }
        copy_string(printer, "define ");
        copy_define(printer, define, 0, column + COPY_STEP);
    }
}

/* ---- clauses ---- */

static void put_permit(Printer *printer, const PermitTree *permit)
{
    static const char *const words[] = {[PERMIT_ALL] = "",
                                        [PERMIT_ON_OR_AFTER] = "for units permitted on or after ",
                                        [PERMIT_BEFORE] = "for units permitted before ",
                                        [PERMIT_NOT_BEFORE] = "not for units under permit before ",
                                        [PERMIT_NOT_ON] = "not for units under permit on ",
                                        [PERMIT_EXISTING_FROM] = "existing units from "};
    copy_string(printer, words[permit->kind]);
    copy_text(printer, date_print(printer->arena, permit->day));
}

static void put_stet(Printer *printer, const StetTree *stet)
{
    copy_quoted(printer, stet->message);
    copy_string(printer, "  ");
    copy_quoted(printer, stet->reason);
}

void copy_for_units(Printer *printer, const Expr *scope, size_t column)
{
    copy_string(printer, "for units where ");
    copy_expr(printer, scope, column);
}

static void put_clause(Printer *printer, const PartTree *part, size_t column, size_t width)
{
    switch (part->kind) {
    case PART_EACH: copy_each(printer, part->node, column); return;
    case PART_LINE: put_line(printer, part->node, column, width); return;
    case PART_EXCEPTION: copy_exception(printer, part->node, column); return;
    case PART_READING: put_reading(printer, part->node, column, width); return;
    case PART_PERMIT: put_permit(printer, part->node); return;
    case PART_FOR_UNITS: copy_for_units(printer, part->node, column); return;
    case PART_NO_WAIVER: copy_string(printer, "not to be waived"); return;
    case PART_CONFIRMED: copy_confirmed(printer, part->node); return;
    case PART_NOTWITHSTANDING:
        copy_string(printer, "notwithstanding ");
        copy_targets(printer, part->node);
        return;
    case PART_RANK:
    case PART_AUTHORITY:
    case PART_STAGE:
    case PART_REWORK:
    case PART_BASIS: copy_standing(printer, part, column); return;
    default: break;
    }
    copy_string(printer, part_word(part));
    copy_pad(printer, column);
    switch (part->kind) {
    case PART_ABOUT: copy_name(printer, part->name); break;
    case PART_WHEN: copy_expr(printer, part->node, column); break;
    case PART_ALSO_AT:
    case PART_FORMERLY: copy_targets(printer, part->node); break;
    case PART_DEFINE: copy_define(printer, part->node, width, column); break;
    case PART_REMEDY: copy_quoted(printer, part->text); break;
    default: put_stet(printer, part->node); break;
    }
}

static size_t part_width(const PartTree *part)
{
    switch (part->kind) {
    case PART_DEFINE: return define_width(part->node);
    case PART_LINE: return label_width(part->node);
    case PART_READING: return reading_width(part->node);
    default: return 0;
    }
}

/* The width that the parts of a run have in common: those of one kind with no blank line
 * between. */
static size_t run_width(const Printer *printer, const PartTree *part)
{
    size_t width = part_width(part);
    for (const PartTree *next = part->next; next != NULL; next = next->next) {
        if (next->kind != part->kind || copy_is_apart(printer, next->span.start)) {
            break;
        }
        width = part_width(next) > width ? part_width(next) : width;
    }
    return width;
}

void copy_clauses(Printer *printer, const PartTree *parts, size_t indent)
{
    size_t column = indent + column_of(parts);
    size_t width = 0;
    const PartTree *before = NULL;
    for (const PartTree *part = parts; part != NULL; part = part->next) {
        bool goes_on = before != NULL && before->kind == part->kind &&
                       !copy_is_apart(printer, part->span.start);
        width = goes_on ? width : run_width(printer, part);
        copy_line(printer, part->span.start, indent);
        put_clause(printer, part, column, width);
        before = part;
    }
}

void copy_section(Printer *printer, const SectionTree *section, size_t indent)
{
    copy_string(printer, "section ");
    copy_quoted(printer, section->number);
    if (section->part != NULL) {
        copy_string(printer, " part ");
        copy_name(printer, section->part);
    }
    if (section->heading.len > 0) {
        copy_string(printer, "  ");
        copy_quoted(printer, section->heading);
    }
    printer->fresh = true;
    copy_clauses(printer, section->body.parts, indent + COPY_STEP);
    copy_end(printer, section->span, indent);
}

Text syntax_print_clauses(Arena *arena, const Source *source, const PartTree *parts, size_t width)
{
    FileTree file = {.source = source}; /* without its comments */
    Printer printer = {.arena = arena, .file = &file, .out = buffer_make(arena), .width = width};
    copy_clauses(&printer, parts, 0);
    return buffer_done(&printer.out);
}
