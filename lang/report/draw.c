/* Draws diagnostics: a line in the form that editors and CI understand (GNU coding standards),
 * then the source line with the span marked, `^` under what is wrong and `~` under what a note
 * speaks of. Tabs are copied into the line of marks, wide characters take two marks, hidden
 * ones are shown by number; of a very long line only the neighbourhood is shown. */
#include "report/paper.h"
#include "report/safe.h"

enum { EXCERPT_INDENT = 2, EXCERPT_ROOM = 160, CONTEXT_BEFORE = 40 };

typedef struct Drawing {
    Arena *arena;
    Buffer out;
    Style style;
} Drawing;

static const char *severity_word(Severity severity)
{
    switch (severity) {
    case SEVERITY_ERROR: return "error";
    case SEVERITY_WARNING: return "warning";
    case SEVERITY_NOTE: break;
    }
    return "note";
}

static void put_bold(Drawing *drawing, Text text)
{
    text = text_harmless(drawing->arena, text);
    if (drawing->style.marks) {
        buffer_format(&drawing->out, "\x1b[1m%.*s\x1b[0m", TEXT_ARG(text));
    } else {
        buffer_text(&drawing->out, text);
    }
}

static void put_message(Drawing *drawing, Place place, Severity severity, Text message,
                        const char *name)
{
    Text where = TEXT("shall");
    if (place.source != NULL) {
        Position at = source_position(place.source, place.span.start);
        where = text_format(drawing->arena, "%.*s:%u:%u", TEXT_ARG(place.source->path), at.line,
                            at.column);
    }
    buffer_text(&drawing->out, text_harmless(drawing->arena, where));
    buffer_string(&drawing->out, ": ");
    put_bold(drawing, text_format(drawing->arena, "%s:", severity_word(severity)));
    buffer_char(&drawing->out, ' ');
    buffer_text(&drawing->out, text_harmless(drawing->arena, message));
    if (name != NULL) {
        buffer_format(&drawing->out, " [%s]", name);
    }
    buffer_char(&drawing->out, '\n');
}

/* ---- the source line and its marks ---- */

/* What is marked on one line: the span at fault, and the spans of notes on the same line. */
typedef struct Marked {
    Place primary;
    char mark; /* of the primary */
    const Diagnostic *notes;
    uint32_t line;
    uint32_t line_start;
} Marked;

static bool is_on_line(const Marked *marked, Place place)
{
    return place.source == marked->primary.source &&
           source_position(place.source, place.span.start).line == marked->line;
}

static bool covers(Span span, uint32_t at)
{
    uint32_t end = span.end > span.start ? span.end : span.start + 1;
    return span.start <= at && at < end;
}

/* A note's words within the span at fault keep their own mark: `~~~~~ ^^ ~~~~`. */
static char mark_at(const Marked *marked, uint32_t at)
{
    Span primary = marked->primary.span;
    for (const Diagnostic *note = marked->notes; note != NULL; note = note->next) {
        Span span = note->place.span;
        bool whole = span.start <= primary.start && span.end >= primary.end;
        if (is_on_line(marked, note->place) && covers(span, at) &&
            !(whole && covers(primary, at))) {
            return '~';
        }
    }
    return covers(primary, at) ? marked->mark : ' ';
}

/* Where the excerpt of a long line begins, so that the span is in it. */
static size_t excerpt_start(Text line, size_t fault)
{
    size_t start = 0;
    size_t cells = 0;
    for (size_t at = 0; at < fault && at < line.len; cells++) {
        uint32_t code = 0;
        at += utf8_next(line, at, &code);
    }
    if (utf8_count(line) <= EXCERPT_ROOM || cells <= CONTEXT_BEFORE) {
        return 0;
    }
    for (size_t skip = cells - CONTEXT_BEFORE; skip > 0; skip--) {
        uint32_t code = 0;
        start += utf8_next(line, start, &code);
    }
    return start;
}

static void put_cell(Drawing *drawing, Buffer *marks, Text cell, uint32_t code, char mark)
{
    if (code == '\t') {
        buffer_char(&drawing->out, '\t');
        if (mark != ' ') {
            buffer_char(marks, mark); /* within the tab's own room */
        }
        buffer_char(marks, '\t');
        return;
    }
    Text shown = text_harmless(drawing->arena, cell);
    buffer_text(&drawing->out, shown);
    for (size_t i = utf8_width(shown); i > 0; i--) {
        buffer_char(marks, mark);
    }
}

static void put_excerpt(Drawing *drawing, const Marked *marked)
{
    Text line = source_line(marked->primary.source, marked->line);
    size_t start = excerpt_start(line, marked->primary.span.start - marked->line_start);
    Buffer marks = buffer_make(drawing->arena);
    const char *before = start > 0 ? "..." : "";
    buffer_spaces(&drawing->out, EXCERPT_INDENT);
    buffer_string(&drawing->out, before);
    buffer_spaces(&marks, EXCERPT_INDENT + (start > 0 ? 3u : 0u));
    size_t cells = 0;
    size_t at = start;
    for (; at < line.len && cells < EXCERPT_ROOM; cells++) {
        uint32_t code = 0;
        size_t len = utf8_next(line, at, &code);
        put_cell(drawing, &marks, (Text){line.data + at, len}, code,
                 mark_at(marked, marked->line_start + (uint32_t)at));
        at += len;
    }
    buffer_string(&drawing->out, at < line.len ? "...\n" : "\n");
    if (at == line.len && marked->primary.span.start >= marked->line_start + line.len) {
        buffer_char(&marks, marked->mark); /* the fault is that the line ends here */
    }
    Text drawn = buffer_done(&marks);
    while (drawn.len > 0 &&
           (drawn.data[drawn.len - 1] == ' ' || drawn.data[drawn.len - 1] == '\t')) {
        drawn.len--;
    }
    if (drawn.len > 0) {
        buffer_text(&drawing->out, drawn);
        buffer_char(&drawing->out, '\n');
    }
}

static Marked marked_of(Place primary, char mark, const Diagnostic *notes)
{
    Marked marked = {.primary = primary, .mark = mark, .notes = notes};
    marked.line = source_position(primary.source, primary.span.start).line;
    marked.line_start = primary.source->line_starts[marked.line - 1];
    return marked;
}

/* ---- one diagnostic ---- */

static void put_diagnostic(Drawing *drawing, const Diagnostic *diag)
{
    put_message(drawing, diag->place, diag->severity, diag->message, diag->name);
    Marked marked = {0};
    if (diag->place.source != NULL) {
        marked = marked_of(diag->place, '^', diag->notes);
        put_excerpt(drawing, &marked);
    }
    for (const Diagnostic *note = diag->notes; note != NULL; note = note->next) {
        bool placed = note->place.source != NULL;
        Place place = placed ? note->place : diag->place; /* a hint stands at the fault */
        put_message(drawing, place, SEVERITY_NOTE, note->message, NULL);
        if (placed && (diag->place.source == NULL || !is_on_line(&marked, note->place))) {
            Marked other = marked_of(note->place, '~', NULL);
            put_excerpt(drawing, &other);
        }
    }
}

/* ---- the list, file by file ---- */

static bool same_file(const Diagnostic *a, const Diagnostic *b)
{
    return a->place.source == b->place.source;
}

/* Of more than are shown, errors go before warnings. */
static const Diagnostic *put_file(Drawing *drawing, const Diagnostic *first)
{
    size_t errors = 0;
    size_t all = 0;
    const Diagnostic *end = first;
    for (; end != NULL && same_file(first, end); end = end->next) {
        errors += end->severity == SEVERITY_ERROR;
        all++;
    }
    size_t errors_left = errors < DIAGNOSTICS_SHOWN_MAX ? errors : DIAGNOSTICS_SHOWN_MAX;
    size_t others_left = DIAGNOSTICS_SHOWN_MAX - errors_left;
    size_t shown = 0;
    for (const Diagnostic *diag = first; diag != end; diag = diag->next) {
        size_t *left = diag->severity == SEVERITY_ERROR ? &errors_left : &others_left;
        if (*left > 0) {
            (*left)--;
            shown++;
            put_diagnostic(drawing, diag);
        }
    }
    if (shown < all) {
        Text path = first->place.source == NULL ? TEXT("shall") : first->place.source->path;
        buffer_format(&drawing->out, "%.*s: ... and %zu more\n",
                      TEXT_ARG(text_harmless(drawing->arena, path)), all - shown);
    }
    return end;
}

Text report_diagnostics(Arena *arena, Diagnostics *diags, Style style)
{
    Drawing drawing = {.arena = arena, .out = buffer_make(arena), .style = style};
    diagnostics_sort(diags);
    const Diagnostic *next = diags->first;
    while (next != NULL) {
        next = put_file(&drawing, next);
    }
    return buffer_done(&drawing.out);
}
