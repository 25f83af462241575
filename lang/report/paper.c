/* Paper: wraps and indents, counting the cells that a terminal gives to each character.
 *
 * A word longer than the line is left whole: a path that is broken cannot be pasted. Marks for
 * bold take no room. Lines never end in blanks. */
#include "report/paper.h"

#include <string.h>

#include "number/unit.h"
#include "report/safe.h"

static const char *const MARK_BOLD = "\x1b[1m";
static const char *const MARK_PLAIN = "\x1b[0m";

Paper paper_make(Arena *arena, Style style)
{
    return (Paper){.arena = arena, .out = buffer_make(arena), .style = style};
}

void paper_blank(Paper *paper)
{
    Text so_far = buffer_done(&paper->out);
    if (so_far.len == 0 || text_ends(so_far, TEXT("\n\n"))) {
        return;
    }
    buffer_char(&paper->out, '\n');
}

void paper_rule(Paper *paper)
{
    for (unsigned i = 0; i < paper->style.width; i++) {
        buffer_char(&paper->out, '-');
    }
    buffer_char(&paper->out, '\n');
}

/* A word as it will stand on the page, its marks kept apart from what has width. */
typedef struct PaperWord {
    Text raw;
    size_t width;
} PaperWord;

static bool is_mark(char c)
{
    return c == BOLD_ON[0] || c == BOLD_OFF[0];
}

static PaperWord next_word(Text text, size_t *at)
{
    while (*at < text.len && (text.data[*at] == ' ' || text.data[*at] == '\n' ||
                              text.data[*at] == '\t' || text.data[*at] == '\r')) {
        (*at)++;
    }
    size_t start = *at;
    while (*at < text.len && text.data[*at] != ' ' && text.data[*at] != '\n' &&
           text.data[*at] != '\t' && text.data[*at] != '\r') {
        (*at)++;
    }
    return (PaperWord){{text.data + start, *at - start}, 0};
}

/* The word's harmless form, marks left in; and its width without them. */
static void settle_word(Paper *paper, PaperWord *word)
{
    Buffer whole = buffer_make(paper->arena);
    size_t at = 0;
    while (at < word->raw.len) {
        size_t end = at;
        while (end < word->raw.len && !is_mark(word->raw.data[end])) {
            end++;
        }
        Text piece = text_harmless(paper->arena, (Text){word->raw.data + at, end - at});
        buffer_text(&whole, piece);
        word->width += utf8_width(piece);
        if (end < word->raw.len) {
            buffer_char(&whole, word->raw.data[end++]);
        }
        at = end;
    }
    word->raw = buffer_done(&whole);
}

static void put_word(Paper *paper, Text word)
{
    for (size_t i = 0; i < word.len; i++) {
        if (!is_mark(word.data[i])) {
            buffer_char(&paper->out, word.data[i]);
        } else if (paper->style.marks) {
            buffer_string(&paper->out, word.data[i] == BOLD_ON[0] ? MARK_BOLD : MARK_PLAIN);
        }
    }
}

static Text bare_word(Text word)
{
    while (word.len > 0 &&
           (is_mark(word.data[word.len - 1]) || strchr(".,;:)", word.data[word.len - 1]) != NULL)) {
        word.len--;
    }
    while (word.len > 0 && (is_mark(word.data[0]) || word.data[0] == '(')) {
        word.data++;
        word.len--;
    }
    return word;
}

/* A number and its unit stay on one line. */
static bool belong_together(Paper *paper, Text before, Text after)
{
    before = bare_word(before);
    after = bare_word(after);
    return before.len > 0 && ascii_is_digit(before.data[before.len - 1]) && after.len > 0 &&
           after.len < 16 && !ascii_is_digit(after.data[0]) &&
           unit_find(paper->arena, after, false) != NULL;
}

typedef struct PaperLine {
    unsigned used; /* columns, the indent included */
    bool empty;    /* nothing but the indent so far */
    bool has_mark; /* bold goes on */
} PaperLine;

static void break_line(Paper *paper, PaperLine *line, unsigned indent)
{
    if (line->has_mark && paper->style.marks) {
        buffer_string(&paper->out, MARK_PLAIN);
    }
    buffer_char(&paper->out, '\n');
    buffer_spaces(&paper->out, indent);
    if (line->has_mark && paper->style.marks) {
        buffer_string(&paper->out, MARK_BOLD);
    }
    line->used = indent;
    line->empty = true;
}

/* A group of words that must not be parted. */
static void put_group(Paper *paper, PaperLine *line, unsigned indent, Text group, size_t width)
{
    if (!line->empty && line->used + 1 + width > paper->style.width) {
        break_line(paper, line, indent);
    }
    if (!line->empty) {
        buffer_char(&paper->out, ' ');
        line->used++;
    }
    put_word(paper, group);
    line->used += (unsigned)width;
    line->empty = false;
    for (size_t i = 0; i < group.len; i++) {
        if (is_mark(group.data[i])) {
            line->has_mark = group.data[i] == BOLD_ON[0];
        }
    }
}

/* Words from the cursor on; the first line has been indented already. */
static void put_words(Paper *paper, PaperLine *line, unsigned indent, Text text)
{
    size_t at = 0;
    PaperWord word = next_word(text, &at);
    settle_word(paper, &word);
    while (word.raw.len > 0) {
        Buffer group = buffer_make(paper->arena);
        buffer_text(&group, word.raw);
        size_t width = word.width;
        PaperWord next = next_word(text, &at);
        settle_word(paper, &next);
        while (next.raw.len > 0 && belong_together(paper, word.raw, next.raw)) {
            buffer_char(&group, ' ');
            buffer_text(&group, next.raw);
            width += 1 + next.width;
            word = next;
            next = next_word(text, &at);
            settle_word(paper, &next);
        }
        put_group(paper, line, indent, buffer_done(&group), width);
        word = next;
    }
    if (line->has_mark && paper->style.marks) {
        buffer_string(&paper->out, MARK_PLAIN);
    }
    buffer_char(&paper->out, '\n');
}

void paper_wrap(Paper *paper, unsigned first, unsigned rest, Text text)
{
    if (text_trim(text).len == 0) {
        return;
    }
    buffer_spaces(&paper->out, first);
    PaperLine line = {.used = first, .empty = true};
    put_words(paper, &line, rest, text);
}

void paper_format(Paper *paper, unsigned first, unsigned rest, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    Buffer text = buffer_make(paper->arena);
    buffer_vformat(&text, format, args);
    va_end(args);
    paper_wrap(paper, first, rest, buffer_done(&text));
}

void paper_heading(Paper *paper, Text text)
{
    paper_blank(paper);
    paper_format(paper, 0, 0, BOLD_ON "%.*s" BOLD_OFF, TEXT_ARG(text));
}

void paper_keyed(Paper *paper, unsigned indent, unsigned column, Text key, Text value)
{
    PaperWord word = {key, 0};
    settle_word(paper, &word);
    buffer_spaces(&paper->out, indent);
    put_word(paper, word.raw);
    unsigned used = indent + (unsigned)word.width;
    if (text_trim(value).len == 0) {
        buffer_char(&paper->out, '\n');
        return;
    }
    if (used + 1 > column) {
        buffer_char(&paper->out, '\n');
        used = 0;
    }
    buffer_spaces(&paper->out, column - used);
    PaperLine line = {.used = column, .empty = true};
    put_words(paper, &line, column, value);
}

void paper_apart(Paper *paper, unsigned first, unsigned rest, Text left, Text right)
{
    PaperWord one = {left, 0};
    PaperWord two = {right, 0};
    settle_word(paper, &one);
    settle_word(paper, &two);
    size_t used = first + one.width;
    if (two.width == 0 || used + 2 + two.width > paper->style.width) {
        paper_wrap(paper, first, rest, left);
        paper_wrap(paper, rest, rest, right);
        return;
    }
    buffer_spaces(&paper->out, first);
    put_word(paper, one.raw);
    buffer_spaces(&paper->out, paper->style.width - used - two.width);
    put_word(paper, two.raw);
    buffer_char(&paper->out, '\n');
}
