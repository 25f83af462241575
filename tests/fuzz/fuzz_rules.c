/* Any bytes as a rule file: the parser gives a tree and messages, never a crash. What it takes
 * without an error is fair-copied, and the copy must parse to the same tree, be its own fair copy,
 * and have lost no comment. */
#include <stdio.h>
#include <stdlib.h>

#include "../unit/tree_dump.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

typedef struct Parsed {
    FileTree *file;
    size_t errors;
} Parsed;

static Parsed parse(Arena *arena, Text text)
{
    Diagnostics diags = diagnostics_make(arena);
    const Source *source = source_of(arena, TEXT("fuzz.shall"), text);
    FileTree *file = syntax_parse(arena, names_new(arena), source, &diags);
    return (Parsed){file, diags.errors};
}

/* All comments in order, blanks and dashes left out: two at the end of one line become one. */
static Text comments_of(Arena *arena, const FileTree *file)
{
    Buffer out = buffer_make(arena);
    for (size_t i = 0; i < file->comment_count; i++) {
        Text text = place_text((Place){file->source, file->comments[i].span});
        for (size_t at = 0; at < text.len; at++) {
            if (!ascii_is_space(text.data[at]) && text.data[at] != '-') {
                buffer_char(&out, text.data[at]);
            }
        }
    }
    return buffer_done(&out);
}

static void require_equal(Text a, Text b, const char *what)
{
    if (!text_equal(a, b)) {
        fprintf(stderr, "%s differ:\n%.*s\n----\n%.*s\n", what, TEXT_ARG(a), TEXT_ARG(b));
        abort();
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    enum { SIZE_TAKEN_MAX = 64 * 1024 };
    if (size > SIZE_TAKEN_MAX) {
        return 0;
    }
    Arena *arena = arena_new();
    Parsed first = parse(arena, (Text){(const char *)data, size});
    if (first.errors == 0) {
        Text copy = syntax_faircopy(arena, first.file);
        Parsed second = parse(arena, copy);
        if (second.errors > 0) {
            fprintf(stderr, "the fair copy does not parse:\n%.*s\n", TEXT_ARG(copy));
            abort();
        }
        require_equal(tree_dump(arena, first.file, true), tree_dump(arena, second.file, true),
                      "the trees");
        require_equal(comments_of(arena, first.file), comments_of(arena, second.file),
                      "the comments");
        require_equal(copy, syntax_faircopy(arena, second.file), "the fair copies");
    }
    arena_free(arena);
    return 0;
}
