/* Rule texts read from strings, for the tests of syntax/. */
#ifndef SYNTAX_READ_H
#define SYNTAX_READ_H

#include <check.h>
#include <string.h>

#include "tree_dump.h"

#define EVERYTHING "tests/unit/everything.shall"

typedef struct Read {
    Arena *arena;
    Names *names;
    Diagnostics diags;
    const Source *source;
    FileTree *file;
} Read;

static inline Read read_bytes(Text bytes)
{
    Read read = {.arena = arena_new()};
    read.names = names_new(read.arena);
    read.diags = diagnostics_make(read.arena);
    read.source = source_of(read.arena, TEXT("t.shall"), bytes);
    read.file = syntax_parse(read.arena, read.names, read.source, &read.diags);
    return read;
}

static inline Read read_text(const char *text)
{
    return read_bytes(text_of(text));
}

static inline void read_free(Read *read)
{
    arena_free(read->arena);
}

/* The messages as lines: line:column name: message (hint; hint). */
static inline Text read_messages(Read *read)
{
    Buffer out = buffer_make(read->arena);
    for (const Diagnostic *diag = read->diags.first; diag != NULL; diag = diag->next) {
        Position at = source_position(read->source, diag->place.span.start);
        buffer_format(&out, "%u:%u %s: %.*s", at.line, at.column, diag->name,
                      TEXT_ARG(diag->message));
        for (const Diagnostic *note = diag->notes; note != NULL; note = note->next) {
            buffer_format(&out, " (%.*s)", TEXT_ARG(note->message));
        }
        buffer_char(&out, '\n');
    }
    return buffer_done(&out);
}

static inline void expect_clean(Read *read, const char *what)
{
    if (read->diags.errors > 0) {
        Text messages = read_messages(read);
        ck_abort_msg("%s: unexpected:\n%.*s", what, TEXT_ARG(messages));
    }
}

/* A text in a section of a code. */
static inline Text in_section(Arena *arena, const char *clauses)
{
    return text_format(arena, "code c edition 1\nsection \"1\"\n%s\nend\nend\n", clauses);
}

static inline const SectionTree *first_section(const Read *read)
{
    ck_assert_ptr_nonnull(read->file->items);
    return read->file->items->code->sections;
}

static inline Text file_text(Arena *arena, const char *path)
{
    Text reason = {0};
    const Source *source = source_read(arena, path, &reason);
    ck_assert_msg(source != NULL, "%s: %.*s (run from the top of the checkout)", path,
                  TEXT_ARG(reason));
    return source->bytes;
}

/* The fair copy parses to the same tree and is its own fair copy; gives it. */
static inline Text check_copy(Read *read)
{
    Text copy = syntax_faircopy(read->arena, read->file);
    Read again = read_bytes(copy);
    expect_clean(&again, text_string(read->arena, copy));
    Text before = tree_dump(read->arena, read->file, true);
    Text after = tree_dump(read->arena, again.file, true);
    ck_assert_msg(text_equal(before, after), "the tree changed:\n%.*s\n----\n%.*s",
                  TEXT_ARG(before), TEXT_ARG(after));
    Text second = syntax_faircopy(read->arena, again.file);
    ck_assert_msg(text_equal(copy, second), "the copy changed:\n%.*s\n----\n%.*s", TEXT_ARG(copy),
                  TEXT_ARG(second));
    read_free(&again);
    return copy;
}

/* The end of the token at `at`: a text, a comment, a word or number, white space, a sign. */
static inline size_t token_end(Text text, size_t at)
{
    char c = text.data[at];
    size_t end = at + 1;
    bool is_word = ascii_is_letter(c) || ascii_is_digit(c) || c == '_';
    bool is_comment = c == '-' && end < text.len && text.data[end] == '-';
    while (end < text.len) {
        char next = text.data[end];
        bool goes_on = is_word      ? ascii_is_letter(next) || ascii_is_digit(next) || next == '_'
                       : is_comment ? next != '\n'
                       : c == '"'   ? text.data[end - 1] != '"' || end == at + 1
                                    : ascii_is_space(c) && ascii_is_space(next);
        if (!goes_on) {
            break;
        }
        end++;
    }
    return end;
}

#endif
