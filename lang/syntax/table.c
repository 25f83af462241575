/* Constructors for tables: keys, labels, cells, rows. The shape is checked here (as many cells
 * as columns, one `otherwise`, at the end); what labels mean is for law/. */
#include "syntax/parse.h"

/* ---- keys ---- */

KeyTree *key_new(Parse *parse, Span span, Named name, const TypeTree *type)
{
    (void)span;
    KeyTree *key = ARENA_NEW(parse->arena, KeyTree);
    key->name = name.name;
    key->name_span = name.span;
    key->typed = type != NULL;
    if (type != NULL) {
        key->type = *type;
    }
    return key;
}

KeyTree *key_mode(KeyTree *key, KeyMode mode)
{
    key->mode = (uint8_t)mode;
    key->mode_said = true;
    return key;
}

KeyTree *key_mode_word(Parse *parse, KeyTree *key, Named word)
{
    if (text_equal(word.name->text, TEXT("interpolated"))) {
        return key_mode(key, KEY_INTERPOLATED);
    }
    if (!text_equal(word.name->text, TEXT("exact"))) {
        Diagnostic *diag =
            parse_error(parse, "unknown word", word.span,
                        "'%.*s' does not say how a key is looked up", TEXT_ARG(word.name->text));
        parse_hint(parse, diag, "there are exact, next higher, next lower, interpolated");
    }
    return key_mode(key, KEY_EXACT);
}

/* ---- labels ---- */

static LabelTree *make_label(Parse *parse, Span span, LabelKind kind)
{
    LabelTree *label = ARENA_NEW(parse->arena, LabelTree);
    label->kind = (uint8_t)kind;
    label->span = span;
    return label;
}

LabelTree *label_word(Parse *parse, Span span, LabelKind kind, Named name)
{
    LabelTree *label = make_label(parse, span, kind);
    label->name = name.name;
    return label;
}

LabelTree *label_quantity(Parse *parse, Span span, Amount low)
{
    LabelTree *label = make_label(parse, span, LABEL_QUANTITY);
    label->low = low.quantity;
    return label;
}

/* `25 .. 49 mg/L`: a bare lower end has the unit of the upper. */
static const Quantity *with_unit(Parse *parse, const Quantity *bare, const Quantity *other)
{
    if (bare->unit != NULL || bare->percent || other->unit == NULL || other->percent) {
        return bare;
    }
    Quantity *quantity = ARENA_NEW(parse->arena, Quantity);
    *quantity = *bare;
    quantity->unit = other->unit;
    quantity->dimension = other->dimension;
    quantity->range.low = unit_to_si(parse->arena, other->unit, bare->range.low);
    quantity->range.high =
        unit_to_si(parse->arena, other->unit,
                   range_is_exact(&bare->range) ? bare->range.low : bare->range.high);
    return quantity;
}

LabelTree *label_between(Parse *parse, Span span, Amount low, Amount high)
{
    LabelTree *label = make_label(parse, span, LABEL_BETWEEN);
    label->low = with_unit(parse, low.quantity, high.quantity);
    label->high = high.quantity;
    return label;
}

static bool is_upper(CompareOp op)
{
    return op == COMPARE_LESS || op == COMPARE_LESS_EQUAL;
}

static bool is_open(CompareOp op)
{
    return op == COMPARE_LESS || op == COMPARE_GREATER;
}

static void put_bound(LabelTree *label, CompareOp op, Amount amount)
{
    if (is_upper(op)) {
        label->high = amount.quantity;
        label->high_open = is_open(op);
    } else {
        label->low = amount.quantity;
        label->low_open = is_open(op);
    }
}

LabelTree *label_bound(Parse *parse, Span span, Named name, CompareOp op, Amount amount)
{
    LabelTree *label = make_label(parse, span, LABEL_BOUND);
    label->name = name.name;
    put_bound(label, op, amount);
    return label;
}

/* `8 < pH` bounds pH from below. */
LabelTree *label_from(Parse *parse, Span span, Amount amount, CompareOp op, Named name)
{
    static const CompareOp turned[] = {[COMPARE_LESS] = COMPARE_GREATER,
                                       [COMPARE_LESS_EQUAL] = COMPARE_GREATER_EQUAL,
                                       [COMPARE_GREATER] = COMPARE_LESS,
                                       [COMPARE_GREATER_EQUAL] = COMPARE_LESS_EQUAL};
    return label_bound(parse, span, name, turned[op], amount);
}

LabelTree *label_upto(Parse *parse, Span span, LabelTree *from, CompareOp op, Amount amount)
{
    bool had_low = from->low != NULL;
    from->span = span;
    if (is_upper(op) != had_low) {
        parse_error(parse, "table", span, "both signs of a label point the same way");
        return from;
    }
    put_bound(from, op, amount);
    from->low = with_unit(parse, from->low, from->high);
    from->high = with_unit(parse, from->high, from->low);
    return from;
}

/* ---- cells and rows ---- */

CellTree *cell_new(Parse *parse, Span span, CellKind kind, Named word, Amount amount)
{
    CellTree *cell = ARENA_NEW(parse->arena, CellTree);
    cell->kind = (uint8_t)kind;
    cell->word = word.name;
    cell->quantity = amount.quantity;
    cell->span = span;
    return cell;
}

static void check_last(Parse *parse, const RowList *rows, Span span)
{
    if (rows->has_otherwise) {
        parse_error(parse, "table", span, "'otherwise' is the last row of a table");
    }
}

RowList rows_add(Parse *parse, RowList rows, LabelTree *label, CellList cells)
{
    RowTree *row = ARENA_NEW(parse->arena, RowTree);
    row->label = label;
    row->cells = cells.first;
    row->span = span_join(label->span, cells.last->span);
    check_last(parse, &rows, row->span);
    if (rows.first == NULL) {
        rows.first = row;
    } else {
        rows.last->next = row;
    }
    rows.last = row;
    return rows;
}

RowList rows_otherwise(Parse *parse, RowList rows, Span span, CellTree *cell)
{
    check_last(parse, &rows, span);
    rows.has_otherwise = true;
    rows.otherwise = cell == NULL ? OTHERWISE_NO_RULE : OTHERWISE_CELL;
    rows.otherwise_span = span;
    rows.cell = cell;
    return rows;
}

/* ---- tables ---- */

TableTree *table_head(Parse *parse, Named name, KeyList keys, Quoted unit, Quoted cites)
{
    TableTree *table = ARENA_NEW(parse->arena, TableTree);
    table->name = name.name;
    table->name_span = name.span;
    table->keys = keys.first;
    table->unit = unit.text;
    table->unit_span = unit.span;
    table->cites = cites.text;
    table->source = parse->source;
    return table;
}

static void check_shape(Parse *parse, const TableTree *table)
{
    size_t columns = table->columns == NULL ? 1 : 0;
    for (const LabelTree *label = table->columns; label != NULL; label = label->next) {
        columns++;
    }
    for (const RowTree *row = table->rows; row != NULL; row = row->next) {
        size_t cells = 0;
        for (const CellTree *cell = row->cells; cell != NULL; cell = cell->next) {
            cells++;
        }
        if (cells != columns) {
            parse_error(parse, "table", row->span,
                        "this row has %zu cell%s, the table %zu column%s", cells,
                        cells == 1 ? "" : "s", columns, columns == 1 ? "" : "s");
        }
    }
}

TableTree *table_new(Parse *parse, Span span, TableTree *table, LabelList columns, RowList rows)
{
    if (table == NULL) { /* its head could not be read */
        table = ARENA_NEW(parse->arena, TableTree);
        table->span = span;
        return table;
    }
    table->span = span;
    table->columns = columns.first;
    table->rows = rows.first;
    table->otherwise = rows.otherwise;
    table->otherwise_cell = rows.cell;
    table->otherwise_span = rows.otherwise_span;
    if (rows.first == NULL) {
        parse_error(parse, "table", table->name_span, "table '%.*s' has no rows",
                    TEXT_ARG(table->name->text));
    }
    check_shape(parse, table);
    return table;
}
