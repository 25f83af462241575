/* The fair copy: a rule file in the standard form.
 *
 * Takes a tree without errors and gives the text that parses to the same tree: two columns a
 * level, bodies of clauses under one another, lines of at most a hundred columns where the
 * language lets them be broken, one blank line where there were any and around sections. Comments
 * stay where they were: at the end of a line, or on lines of their own before what they precede.
 * A fair copy of a fair copy is itself. */
#include "syntax/faircopy.h"

#include <string.h>

/* ---- text ---- */

void copy_string(Printer *printer, const char *string)
{
    buffer_string(&printer->out, string);
}

void copy_text(Printer *printer, Text text)
{
    buffer_text(&printer->out, text);
}

void copy_name(Printer *printer, const Name *name)
{
    buffer_text(&printer->out, name->text);
}

size_t copy_column(const Printer *printer)
{
    return utf8_width((Text){printer->out.data + printer->line, printer->out.len - printer->line});
}

void copy_pad(Printer *printer, size_t column)
{
    size_t at = copy_column(printer);
    buffer_spaces(&printer->out, at < column ? column - at : 1);
}

bool copy_fits(const Printer *printer, Text text)
{
    return copy_column(printer) + utf8_width(text) <= printer->width;
}

Text text_quoted(Arena *arena, Text text)
{
    Buffer buffer = buffer_make(arena);
    buffer_char(&buffer, '"');
    for (size_t i = 0; i < text.len; i++) {
        if (text.data[i] == '"' || text.data[i] == '\\') {
            buffer_char(&buffer, '\\');
        }
        buffer_char(&buffer, text.data[i]);
    }
    buffer_char(&buffer, '"');
    return buffer_done(&buffer);
}

void copy_quoted(Printer *printer, Text text)
{
    copy_text(printer, text_quoted(printer->arena, text));
}

Text copy_spelling(const Printer *printer, Span span)
{
    Text text = place_text((Place){printer->file->source, span});
    Buffer buffer = buffer_make(printer->arena);
    for (size_t i = 0; i < text.len; i++) {
        if (!ascii_is_space(text.data[i])) {
            buffer_char(&buffer, text.data[i]);
        } else if (i > 0 && !ascii_is_space(text.data[i - 1])) {
            buffer_char(&buffer, ' ');
        }
    }
    return buffer_done(&buffer);
}

/* ---- lines ---- */

bool copy_is_apart(const Printer *printer, uint32_t offset)
{
    Text bytes = printer->file->source->bytes;
    unsigned lines = 0;
    while (offset > 0 && ascii_is_space(bytes.data[offset - 1])) {
        lines += bytes.data[offset - 1] == '\n';
        offset--;
    }
    return lines > 1 && offset > 0;
}

/* The start of a line: the newline that ends the one before, a blank line, the indentation. */
static void start_line(Printer *printer, bool blank, size_t indent)
{
    if (printer->out.len > 0) {
        buffer_char(&printer->out, '\n');
        if (blank) {
            buffer_char(&printer->out, '\n');
        }
    }
    printer->line = printer->out.len;
    buffer_spaces(&printer->out, indent);
    printer->fresh = false;
    printer->apart = false;
}

bool copy_has_comment(const Printer *printer, uint32_t offset)
{
    return printer->file != NULL && printer->comment < printer->file->comment_count &&
           printer->file->comments[printer->comment].span.start < offset;
}

static bool is_blank_due(const Printer *printer, uint32_t offset, size_t indent)
{
    bool was_blank = printer->file != NULL && copy_is_apart(printer, offset);
    return printer->fresh ? was_blank && indent <= COPY_STEP : was_blank || printer->apart;
}

static void copy_comments(Printer *printer, uint32_t offset, size_t indent)
{
    while (copy_has_comment(printer, offset)) {
        const Comment *comment = &printer->file->comments[printer->comment++];
        if (comment->own_line || printer->out.len == 0) {
            start_line(printer, is_blank_due(printer, comment->span.start, indent), indent);
        } else {
            copy_string(printer, "  ");
        }
        copy_text(printer, place_text((Place){printer->file->source, comment->span}));
    }
}

void copy_line(Printer *printer, uint32_t offset, size_t indent)
{
    copy_comments(printer, offset, indent);
    start_line(printer, is_blank_due(printer, offset, indent), indent);
}

void copy_wrap(Printer *printer, uint32_t offset, size_t indent)
{
    copy_comments(printer, offset, indent);
    start_line(printer, false, indent);
}

void copy_end(Printer *printer, Span span, size_t indent)
{
    printer->apart = false;
    copy_comments(printer, span.end - 1, indent + COPY_STEP);
    start_line(printer, false, indent);
    copy_string(printer, "end");
}

/* ---- files ---- */

static uint32_t item_start(const ItemTree *item)
{
    switch ((ItemKind)item->kind) {
    case ITEM_VOCABULARY: return item->vocabulary->span.start;
    case ITEM_CODE: return item->code->span.start;
    case ITEM_JURISDICTION: return item->jurisdiction->span.start;
    case ITEM_PLACE: return item->place->span.start;
    }
    return 0;
}

static void copy_item(Printer *printer, const ItemTree *item)
{
    copy_line(printer, item_start(item), 0);
    switch ((ItemKind)item->kind) {
    case ITEM_VOCABULARY: copy_vocabulary(printer, item->vocabulary); break;
    case ITEM_CODE: copy_code(printer, item->code); break;
    case ITEM_JURISDICTION: copy_jurisdiction(printer, item->jurisdiction); break;
    case ITEM_PLACE: copy_place(printer, item->place); break;
    }
    printer->apart = true;
}

Text syntax_faircopy(Arena *arena, const FileTree *file)
{
    Printer printer = {
        .arena = arena, .file = file, .out = buffer_make(arena), .width = COPY_WIDTH};
    for (const ItemTree *item = file->items; item != NULL; item = item->next) {
        copy_item(&printer, item);
    }
    copy_comments(&printer, UINT32_MAX, 0);
    if (printer.out.len > 0) {
        buffer_char(&printer.out, '\n');
    }
    return buffer_done(&printer.out);
}

Text syntax_print_expr(Arena *arena, const Expr *expr)
{
    Printer printer = {.arena = arena, .out = buffer_make(arena), .width = SIZE_MAX};
    copy_expr(&printer, expr, 0);
    return buffer_done(&printer.out);
}
