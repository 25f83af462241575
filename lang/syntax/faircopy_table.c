/* Tables in the fair copy: labels and cells in columns, two blanks between. */
#include "syntax/faircopy.h"

#include <string.h>

/* The signs of a label with a blank on each side, whatever was written. */
static Text label_text(const Printer *printer, const LabelTree *label)
{
    Text text = copy_spelling(printer, label->span);
    Buffer out = buffer_make(printer->arena);
    for (size_t i = 0; i < text.len; i++) {
        char c = text.data[i];
        bool is_sign = c == '<' || c == '>' || c == '=' ||
                       (c == '.' && i + 1 < text.len && text.data[i + 1] == '.');
        if (!is_sign) {
            buffer_char(&out, c);
            continue;
        }
        if (out.len > 0 && out.data[out.len - 1] != ' ') {
            buffer_char(&out, ' ');
        }
        buffer_char(&out, c);
        if (i + 1 < text.len && (text.data[i + 1] == '=' || text.data[i + 1] == '.')) {
            buffer_char(&out, text.data[++i]);
        }
        if (i + 1 < text.len && text.data[i + 1] != ' ') {
            buffer_char(&out, ' ');
        }
    }
    return buffer_done(&out);
}

typedef struct Grid {
    size_t columns; /* of cells, without the labels of rows */
    size_t *widths;
    size_t labels; /* width of the labels of rows */
    bool numbered; /* they are quantities: to the right */
} Grid;

static void widen(size_t *width, Text text)
{
    size_t wanted = utf8_width(text);
    *width = wanted > *width ? wanted : *width;
}

static Grid measure(const Printer *printer, const TableTree *table)
{
    Grid grid = {.columns = table->columns == NULL ? 1 : 0, .numbered = true};
    for (const LabelTree *label = table->columns; label != NULL; label = label->next) {
        grid.columns++;
    }
    grid.widths = ARENA_ARRAY(printer->arena, size_t, grid.columns);
    size_t i = 0;
    for (const LabelTree *label = table->columns; label != NULL; label = label->next) {
        widen(&grid.widths[i++], label_text(printer, label));
    }
    for (const RowTree *row = table->rows; row != NULL; row = row->next) {
        grid.numbered = grid.numbered && row->label->kind == LABEL_QUANTITY;
        widen(&grid.labels, label_text(printer, row->label));
        i = 0;
        for (const CellTree *cell = row->cells; cell != NULL && i < grid.columns;
             cell = cell->next) {
            widen(&grid.widths[i++], copy_spelling(printer, cell->span));
        }
    }
    return grid;
}

static void put_right(Printer *printer, Text text, size_t width)
{
    size_t has = utf8_width(text);
    buffer_spaces(&printer->out, width > has ? width - has : 0);
    copy_text(printer, text);
}

static void put_cell(Printer *printer, const Grid *grid, size_t column, Text text)
{
    copy_string(printer, "  ");
    put_right(printer, text, column < grid->columns ? grid->widths[column] : 0);
}

static void put_head(Printer *printer, const TableTree *table)
{
    static const char *const modes[] = {[KEY_EXACT] = " exact",
                                        [KEY_NEXT_HIGHER] = " next higher",
                                        [KEY_NEXT_LOWER] = " next lower",
                                        [KEY_INTERPOLATED] = " interpolated"};
    copy_string(printer, "table ");
    copy_name(printer, table->name);
    copy_string(printer, " by ");
    for (const KeyTree *key = table->keys; key != NULL; key = key->next) {
        copy_name(printer, key->name);
        if (key->typed) {
            copy_string(printer, ": ");
            copy_text(printer, type_flat(printer->arena, &key->type));
        }
        copy_string(printer, key->mode_said ? modes[key->mode] : "");
        copy_string(printer, key->next != NULL ? ", " : "");
    }
    if (table->unit.len > 0) {
        copy_string(printer, " in ");
        copy_text(printer, table->unit);
    }
    if (table->cites.len > 0) {
        copy_string(printer, "  cites ");
        copy_quoted(printer, table->cites);
    }
}

static void put_row(Printer *printer, const Grid *grid, const RowTree *row)
{
    Text label = label_text(printer, row->label);
    if (grid->numbered) {
        put_right(printer, label, grid->labels);
    } else {
        size_t start = copy_column(printer);
        copy_text(printer, label);
        size_t at = copy_column(printer);
        buffer_spaces(&printer->out, at < start + grid->labels ? start + grid->labels - at : 0);
    }
    size_t column = 0;
    for (const CellTree *cell = row->cells; cell != NULL; cell = cell->next) {
        put_cell(printer, grid, column++, copy_spelling(printer, cell->span));
    }
}

void copy_table(Printer *printer, const TableTree *table, size_t indent)
{
    Grid grid = measure(printer, table);
    put_head(printer, table);
    printer->fresh = true;
    if (table->columns != NULL) {
        copy_wrap(printer, table->columns->span.start, indent + COPY_STEP + grid.labels);
        size_t column = 0;
        for (const LabelTree *label = table->columns; label != NULL; label = label->next) {
            put_cell(printer, &grid, column++, label_text(printer, label));
        }
    }
    for (const RowTree *row = table->rows; row != NULL; row = row->next) {
        copy_line(printer, row->span.start, indent + COPY_STEP);
        put_row(printer, &grid, row);
    }
    if (table->otherwise != OTHERWISE_UNSAID) {
        copy_line(printer, table->otherwise_span.start, indent + COPY_STEP);
        copy_string(printer, "otherwise ");
        copy_text(printer, table->otherwise == OTHERWISE_CELL
                               ? copy_spelling(printer, table->otherwise_cell->span)
                               : TEXT("no rule"));
    }
    copy_end(printer, table->span, indent);
}
