/* Source: a file's bytes and its lines; Span and Place: where something stands in it. */
#ifndef BASE_SOURCE_H
#define BASE_SOURCE_H

#include "base/text.h"

enum { SOURCE_MAX_BYTES = 16 * 1024 * 1024 }; /* offsets are 32 bits, flex lengths are int */

/* Byte offsets, half open. */
typedef struct Span {
    uint32_t start;
    uint32_t end;
} Span;

typedef struct Source {
    Text path;  /* as the user gave it */
    Text bytes; /* followed by two zero bytes, as flex wants them */
    uint32_t *line_starts;
    uint32_t line_count;
} Source;

/* A span in a source; source NULL means no place (a command-line option, say). */
typedef struct Place {
    const Source *source;
    Span span;
} Place;

typedef struct Position {
    uint32_t line;         /* from 1 */
    uint32_t column;       /* from 1, in code points */
    uint32_t utf16_column; /* from 1, in UTF-16 units: SARIF and the language server */
} Position;

/* Reads a whole file ("-" is standard input). On failure returns NULL and writes the reason
 * (no newline, path not included) to *reason. Refuses files over SOURCE_MAX_BYTES. */
const Source *source_read(Arena *arena, const char *path, Text *reason);

/* A source from bytes in memory (copied). */
const Source *source_of(Arena *arena, Text path, Text bytes);

Position source_position(const Source *source, uint32_t offset);
Text source_line(const Source *source, uint32_t line); /* line from 1, without its line end */
Text place_text(Place place);                          /* the bytes of the span */
Span span_join(Span a, Span b);

#endif
