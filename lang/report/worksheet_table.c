/* Tables on paper: columns as wide as what stands in them. Where that is too wide the widest are
 * broken over lines, and where even their longest words do not fit each row becomes a paragraph. */
#include "report/safe.h"
#include "report/worksheet.h"

enum { COLUMN_GAP = 2, LINES_MAX = 64, COLUMNS_MAX = 64 };

typedef struct Widths {
    unsigned natural[COLUMNS_MAX]; /* of the longest text */
    unsigned least[COLUMNS_MAX];   /* of the longest word */
    unsigned used[COLUMNS_MAX];
} Widths;

/* ---- breaking a text at its blanks ---- */

typedef struct Lines {
    Text list[LINES_MAX];
    uint32_t count;
} Lines;

static size_t end_of_word(Text text, size_t at)
{
    while (at < text.len && text.data[at] != ' ') {
        at++;
    }
    return at;
}

static void break_text(Text text, unsigned width, Lines *out)
{
    out->count = 0;
    size_t start = 0;
    while (start < text.len && out->count < LINES_MAX) {
        size_t end = end_of_word(text, start);
        while (end < text.len) {
            size_t next = end_of_word(text, end + 1);
            if (utf8_width((Text){text.data + start, next - start}) > width) {
                break;
            }
            end = next;
        }
        bool last = out->count + 1 == LINES_MAX;
        out->list[out->count++] = (Text){text.data + start, (last ? text.len : end) - start};
        start = end < text.len ? end + 1 : end;
    }
}

static unsigned longest_word(Text text)
{
    unsigned longest = 0;
    for (size_t at = 0; at < text.len;) {
        size_t end = end_of_word(text, at);
        unsigned width = (unsigned)utf8_width((Text){text.data + at, end - at});
        longest = width > longest ? width : longest;
        at = end + 1;
    }
    return longest;
}

/* ---- widths ---- */

static void measure_text(Widths *widths, uint32_t column, Text text)
{
    unsigned whole = (unsigned)utf8_width(text);
    unsigned word = longest_word(text);
    widths->natural[column] = whole > widths->natural[column] ? whole : widths->natural[column];
    widths->least[column] = word > widths->least[column] ? word : widths->least[column];
}

static unsigned total_width(const Widths *widths, uint32_t columns)
{
    unsigned total = 0;
    for (uint32_t i = 0; i < columns; i++) {
        total += widths->used[i] + (i > 0 ? COLUMN_GAP : 0);
    }
    return total;
}

/* Takes from the widest column that can give, until all fit; false when none can. */
static bool settle_widths(Widths *widths, uint32_t columns, unsigned room)
{
    for (uint32_t i = 0; i < columns; i++) {
        widths->used[i] = widths->natural[i];
    }
    while (total_width(widths, columns) > room) {
        uint32_t widest = columns;
        for (uint32_t i = 0; i < columns; i++) {
            if (widths->used[i] > widths->least[i] &&
                (widest == columns || widths->used[i] > widths->used[widest])) {
                widest = i;
            }
        }
        if (widest == columns) {
            return false;
        }
        widths->used[widest]--;
    }
    return true;
}

/* ---- rows ---- */

static void put_cells(Paper *paper, unsigned indent, const PaperTable *table, const Widths *widths,
                      const Text *cells)
{
    Lines *lines = ARENA_ARRAY(paper->arena, Lines, table->columns);
    uint32_t height = 1;
    for (uint32_t i = 0; i < table->columns; i++) {
        break_text(cells[i], widths->used[i], &lines[i]);
        height = lines[i].count > height ? lines[i].count : height;
    }
    for (uint32_t l = 0; l < height; l++) {
        Buffer out = buffer_make(paper->arena);
        size_t used = 0, due = 0; /* columns written, and where the next text begins */
        for (uint32_t i = 0; i < table->columns; i++) {
            Text text = l < lines[i].count ? lines[i].list[l] : TEXT("");
            size_t width = utf8_width(text);
            size_t lead = table->right[i] && width < widths->used[i] ? widths->used[i] - width : 0;
            if (width > 0) {
                buffer_spaces(&out, due + lead - used);
                buffer_text(&out, text);
                used = due + lead + width;
            }
            due += widths->used[i] + COLUMN_GAP;
        }
        buffer_spaces(&paper->out, out.len > 0 ? indent : 0);
        buffer_text(&paper->out, buffer_done(&out));
        buffer_char(&paper->out, '\n');
    }
}

static void put_line(Paper *paper, unsigned indent, const PaperTable *table, const Widths *widths)
{
    buffer_spaces(&paper->out, indent);
    for (uint32_t i = 0; i < table->columns; i++) {
        buffer_spaces(&paper->out, i > 0 ? COLUMN_GAP : 0);
        for (unsigned k = 0; k < widths->used[i]; k++) {
            buffer_char(&paper->out, '-');
        }
    }
    buffer_char(&paper->out, '\n');
}

static void put_paragraphs(Paper *paper, unsigned indent, const PaperTable *table)
{
    for (uint32_t r = 0; r < table->rows; r++) {
        const Text *cells = table->cells + (size_t)r * table->columns;
        paper_format(paper, indent, indent + 2, "%.*s", TEXT_ARG(cells[0]));
        for (uint32_t i = 1; i < table->columns; i++) {
            if (cells[i].len > 0) {
                paper_format(paper, indent + 2, indent + 4, "%.*s: %.*s", TEXT_ARG(table->heads[i]),
                             TEXT_ARG(cells[i]));
            }
        }
    }
}

void paper_table(Paper *paper, unsigned indent, const PaperTable *table)
{
    Widths widths = {0};
    PaperTable plain = *table;
    size_t count = (size_t)table->rows * table->columns;
    Text *texts = ARENA_ARRAY(paper->arena, Text, count + table->columns);
    for (size_t i = 0; i < count + table->columns; i++) { /* the heads, then the cells */
        Text raw = i < table->columns ? table->heads[i] : table->cells[i - table->columns];
        texts[i] = text_harmless(paper->arena, raw);
        if (table->columns <= COLUMNS_MAX) {
            measure_text(&widths, (uint32_t)(i % table->columns), texts[i]);
        }
    }
    plain.heads = texts;
    plain.cells = texts + table->columns;
    unsigned room = paper->style.width > indent ? paper->style.width - indent : 1;
    if (table->columns > COLUMNS_MAX || !settle_widths(&widths, table->columns, room)) {
        put_paragraphs(paper, indent, &plain);
        return;
    }
    put_cells(paper, indent, &plain, &widths, plain.heads);
    put_line(paper, indent, &plain, &widths);
    for (uint32_t r = 0; r < table->rows; r++) {
        put_cells(paper, indent, &plain, &widths, plain.cells + (size_t)r * table->columns);
    }
}
