/* Tables: from the tree to keys, labels and cells that are proved to fit, and the asking of a
 * table in an expression. A table with any error is not made; asking it is bad code. */
#include "law/check.h"

static Place table_place(const Source *source, Span span)
{
    return (Place){source, span};
}

/* ---- shape ---- */

static uint32_t count_labels(const LabelTree *label)
{
    uint32_t count = 0;
    for (; label != NULL; label = label->next) {
        count++;
    }
    return count;
}

static uint32_t count_cells(const CellTree *cell)
{
    uint32_t count = 0;
    for (; cell != NULL; cell = cell->next) {
        count++;
    }
    return count;
}

static uint32_t count_rows(const RowTree *row)
{
    uint32_t count = 0;
    for (; row != NULL; row = row->next) {
        count++;
    }
    return count;
}

static uint32_t count_keys(const KeyTree *key)
{
    uint32_t count = 0;
    for (; key != NULL; key = key->next) {
        count++;
    }
    return count;
}

/* The parser has counted keys and cells, and reported what does not fit. */
static bool has_shape(const TableTree *tree)
{
    uint32_t keys = count_keys(tree->keys);
    uint32_t columns = keys == 2 ? count_labels(tree->columns) : 1;
    for (const RowTree *row = tree->rows; row != NULL; row = row->next) {
        if (count_cells(row->cells) != columns) {
            return false;
        }
    }
    return tree->rows != NULL && keys > 0 && keys <= 2 && columns > 0;
}

/* ---- cells ---- */

typedef struct CellReader {
    Check *c;
    const TableTree *tree;
    const Source *source;
    Table *table;
    const CellTree *first; /* the cell that set the type */
    bool all_whole;
    bool good;
} CellReader;

static void cell_kind_error(CellReader *reader, const CellTree *cell, Text what)
{
    Check *c = reader->c;
    reader->good = false;
    Place place = table_place(reader->source, cell->span);
    Diagnostic *diag = diagnostic_error(c->diags, "different kinds", place,
                                        "'%.*s' is %.*s, and the cells of this table are not",
                                        TEXT_ARG(quote_span(c->arena, place)), TEXT_ARG(what));
    Place first = table_place(reader->source, reader->first != NULL ? reader->first->span
                                                                    : reader->tree->unit_span);
    diagnostic_note(c->diags, diag, first, "'%.*s' is %.*s", TEXT_ARG(quote_span(c->arena, first)),
                    TEXT_ARG(type_words(c->arena, &reader->table->type)));
}

static void fit_type(CellReader *reader, const CellTree *cell, Type type)
{
    if (reader->table->type.class == CLASS_BAD) {
        reader->table->type = type;
        reader->first = cell;
    } else if (!type_matches(&reader->table->type, &type)) {
        cell_kind_error(reader, cell, type_words(reader->c->arena, &type));
    }
}

/* A bare number takes the unit of the table. */
static void read_quantity(CellReader *reader, const CellTree *cell, Value *out)
{
    Check *c = reader->c;
    const Quantity *quantity = cell->quantity;
    const Unit *unit = reader->table->unit;
    check_twin(c, quantity, table_place(reader->source, cell->span));
    if (quantity->measured) {
        reader->good = false;
        diagnostic_error(c->diags, "tolerance in a rule", table_place(reader->source, cell->span),
                         "what the law states has no tolerance");
        return;
    }
    Type type = type_number(quantity->dimension);
    type.percent = quantity->percent;
    Rational number = quantity->range.low;
    if (unit != NULL && quantity->unit == NULL && !quantity->percent) {
        type = reader->table->type;
        number = unit_to_si(c->arena, unit, number);
    } else if (unit == NULL && quantity->unit != NULL && reader->table->unit == NULL) {
        reader->table->unit = quantity->unit; /* shown, where the table says none */
    }
    reader->all_whole = reader->all_whole && !type.percent && dimension_is_number(type.dimension) &&
                        rational_is_whole(number);
    *out = (Value){.kind = VALUE_RANGE, .can = CAN_BE_PRESENT, .range = range_exact(number)};
    fit_type(reader, cell, type);
}

static void read_word(CellReader *reader, const CellTree *cell, Value *out)
{
    const Choice *choice = reader->table->type.choice;
    int index = choice == NULL ? -1 : choice_index(choice, cell->word);
    if (index >= 0) {
        *out = (Value){.kind = VALUE_WORDS, .can = CAN_BE_PRESENT, .words = UINT64_C(1) << index};
        return;
    }
    if (choice == NULL) { /* words among numbers; the search for the choice has reported others */
        cell_kind_error(reader, cell, TEXT("a word"));
    }
    reader->good = false;
}

static void read_cell(CellReader *reader, const CellTree *cell, Value *out)
{
    switch ((CellKind)cell->kind) {
    case CELL_QUANTITY: read_quantity(reader, cell, out); return;
    case CELL_YES:
    case CELL_NO:
        *out = (Value){.kind = VALUE_TRUTH,
                       .can = CAN_BE_PRESENT,
                       .truth = cell->kind == CELL_YES ? TRUTH_TRUE : TRUTH_FALSE};
        fit_type(reader, cell, type_of_class(CLASS_YES_NO));
        return;
    case CELL_WORD: read_word(reader, cell, out); return;
    case CELL_NONE: out->can = CAN_BE_NONE; return;
    }
}

/* The unit of the table, by its spelling. */
static bool read_unit(CellReader *reader)
{
    Check *c = reader->c;
    const TableTree *tree = reader->tree;
    if (tree->unit.len == 0) {
        return true;
    }
    const Unit *unit = unit_find(c->arena, tree->unit, false);
    if (unit == NULL && text_equal(tree->unit, TEXT("percent"))) {
        unit = unit_find(c->arena, TEXT("%"), false);
    }
    if (unit == NULL) { /* the scanner has reported it */
        return false;
    }
    reader->table->unit = unit;
    reader->table->type = type_number(unit->dimension);
    reader->table->type.percent = text_equal(unit->spelling, TEXT("%"));
    return true;
}

/* The choice of cells that are words. */
static bool read_words(CellReader *reader, uint32_t cells)
{
    Check *c = reader->c;
    const Name **words = ARENA_ARRAY(c->arena, const Name *, cells + 1);
    Span *spans = ARENA_ARRAY(c->arena, Span, cells + 1);
    uint32_t count = 0;
    for (const RowTree *row = reader->tree->rows; row != NULL; row = row->next) {
        for (const CellTree *cell = row->cells; cell != NULL; cell = cell->next) {
            if (cell->kind == CELL_WORD) {
                words[count] = cell->word;
                spans[count++] = cell->span;
            }
        }
    }
    if (count == 0) {
        return true;
    }
    const Choice *choice =
        choice_of_words(c, reader->tree->name, words, spans, count, reader->source, "cells");
    if (choice == NULL) {
        return false;
    }
    reader->table->type = (Type){.class = CLASS_CHOICE, .choice = choice};
    return true;
}

static bool is_interpolated(const Table *table)
{
    return table->keys[0].mode == KEY_INTERPOLATED ||
           (table->key_count == 2 && table->keys[1].mode == KEY_INTERPOLATED);
}

static bool read_cells(CellReader *reader, const uint32_t *row_order, const uint32_t *column_order)
{
    Table *table = reader->table;
    Check *c = reader->c;
    const TableTree *tree = reader->tree;
    uint32_t rows = count_rows(tree->rows);
    table->cells = ARENA_ARRAY(c->arena, Value, (size_t)rows * table->columns);
    if (!read_unit(reader) || (table->unit == NULL && !read_words(reader, rows * table->columns))) {
        return false;
    }
    uint32_t row_index = 0;
    for (const RowTree *row = tree->rows; row != NULL; row = row->next, row_index++) {
        uint32_t column = 0;
        for (const CellTree *cell = row->cells; cell != NULL; cell = cell->next, column++) {
            uint32_t to = row_order[row_index] * table->columns + column_order[column];
            read_cell(reader, cell, &table->cells[to]);
        }
    }
    if (tree->otherwise == OTHERWISE_CELL && tree->otherwise_cell != NULL) {
        table->has_otherwise = true;
        read_cell(reader, tree->otherwise_cell, &table->otherwise);
    }
    if (table->type.class == CLASS_BAD) {
        diagnostic_error(c->diags, "table out of shape",
                         table_place(reader->source, tree->name_span),
                         "every cell of this table is none");
        return false;
    }
    table->type.whole =
        reader->all_whole && table->type.class == CLASS_NUMBER && !is_interpolated(table);
    return reader->good;
}

/* What a none cell is, when it is asked, depends on the type that the others have. */
static void settle_none(Value *value, const Type *type)
{
    if (value->can != CAN_BE_NONE) {
        return;
    }
    value->truth = TRUTH_UNKNOWN;
    value->kind = type->class == CLASS_CHOICE   ? VALUE_WORDS
                  : type->class == CLASS_YES_NO ? VALUE_TRUTH
                                                : VALUE_RANGE;
}

static void settle_cells(Table *table)
{
    uint32_t count = table->keys[0].count * table->columns;
    for (uint32_t i = 0; i < count; i++) {
        settle_none(&table->cells[i], &table->type);
    }
    settle_none(&table->otherwise, &table->type);
}

static bool table_has_none(const Table *table)
{
    uint32_t count = table->keys[0].count * table->columns;
    for (uint32_t i = 0; i < count; i++) {
        if (table->cells[i].can == CAN_BE_NONE) {
            return true;
        }
    }
    return table->has_otherwise && table->otherwise.can == CAN_BE_NONE;
}

static bool may_interpolate(Check *c, const Table *table, const Source *source)
{
    if (!is_interpolated(table) || (table->type.class == CLASS_NUMBER && !table_has_none(table))) {
        return true;
    }
    diagnostic_error(c->diags, "cannot be interpolated",
                     table_place(source, table->tree->name_span),
                     "between cells that are words or none there is no straight line");
    return false;
}

/* ---- making ---- */

static const LabelTree **row_labels(Check *c, const TableTree *tree, uint32_t count)
{
    const LabelTree **labels = ARENA_ARRAY(c->arena, const LabelTree *, count + 1);
    uint32_t i = 0;
    for (const RowTree *row = tree->rows; row != NULL; row = row->next) {
        labels[i++] = row->label;
    }
    return labels;
}

static const LabelTree **column_labels(Check *c, const TableTree *tree, uint32_t count)
{
    const LabelTree **labels = ARENA_ARRAY(c->arena, const LabelTree *, count + 1);
    uint32_t i = 0;
    for (const LabelTree *label = tree->columns; label != NULL; label = label->next) {
        labels[i++] = label;
    }
    return labels;
}

const Table *table_make(Check *c, const TableTree *tree)
{
    const Source *source = tree->source;
    if (!has_shape(tree)) {
        return NULL;
    }
    Table *table = ARENA_NEW(c->arena, Table);
    table->name = tree->name;
    table->cites = tree->cites;
    table->tree = tree;
    table->source = source;
    table->key_count = count_keys(tree->keys);
    uint32_t rows = count_rows(tree->rows);
    table->columns = table->key_count == 2 ? count_labels(tree->columns) : 1;
    uint32_t *row_order = ARENA_ARRAY(c->arena, uint32_t, rows + 1);
    uint32_t *column_order = ARENA_ARRAY(c->arena, uint32_t, table->columns + 1);
    const LabelTree **labels = row_labels(c, tree, rows);
    bool good = table_key_make(c, tree, source, 0, labels, rows, &table->keys[0], row_order);
    if (table->key_count == 2) {
        const LabelTree **columns = column_labels(c, tree, table->columns);
        good = table_key_make(c, tree, source, 1, columns, table->columns, &table->keys[1],
                              column_order) &&
               good;
    }
    CellReader reader = {
        .c = c, .tree = tree, .source = source, .table = table, .all_whole = true, .good = true};
    if (!read_cells(&reader, row_order, column_order) || !good) {
        return NULL;
    }
    settle_cells(table);
    return may_interpolate(c, table, source) ? table : NULL;
}

/* ---- asking ---- */

static bool check_key(Check *c, const Table *table, uint32_t index, const Code *code)
{
    const TableKey *key = &table->keys[index];
    if (is_bad(code) || type_matches(&code->type, &key->type)) {
        return !is_bad(code);
    }
    Diagnostic *diag = diagnostic_error(
        c->diags, "different kinds", code_place(code), "'%.*s' is %.*s, and %.*s is due",
        TEXT_ARG(quote_code(c->arena, code)), TEXT_ARG(type_words(c->arena, &code->type)),
        TEXT_ARG(type_words(c->arena, &key->type)));
    diagnostic_note(c->diags, diag, (Place){table->source, table->tree->name_span},
                    "for the key '%.*s' of this table", TEXT_ARG(key->name->text));
    return false;
}

const Code *check_table(Check *c, Global *global, const Expr *e)
{
    const Table *table = global->table;
    uint32_t given = 0;
    for (const Expr *arg = e->list; arg != NULL; arg = arg->next) {
        given++;
    }
    if (table == NULL) {
        return code_bad(c, e);
    }
    if (given != table->key_count) {
        Diagnostic *diag = diagnostic_error(c->diags, "parameters missing", check_place(c, e->span),
                                            "the table '%.*s' has %u key%s, and is given %u",
                                            TEXT_ARG(table->name->text), table->key_count,
                                            table->key_count == 1 ? "" : "s", given);
        diagnostic_note(c->diags, diag, global->place, "defined here");
        return code_bad(c, e);
    }
    Code *code = code_make(c, CODE_TABLE, e, table->type);
    code->table = table;
    code->unit = table->unit;
    code->args = ARENA_ARRAY(c->arena, const Code *, given);
    uint32_t mark = c->absent_count;
    uint32_t inexact = c->context.inexact;
    bool good = true;
    for (const Expr *arg = e->list; arg != NULL; arg = arg->next) {
        const TableKey *key = &table->keys[code->count];
        const Code *value = check_value(c, arg, key->type.choice);
        good = check_key(c, table, code->count, value) && good;
        code->args[code->count++] = value;
    }
    absents_deepen(c, mark); /* asked by none, a table does not answer none */
    c->context.inexact = is_interpolated(table) ? c->context.inexact : inexact;
    if (!good) {
        return code_bad(c, e);
    }
    const Code *done = code_done(c, code);
    if (table_has_none(table)) {
        absent_add(c, done);
    }
    return done;
}
