/* Text: a borrowed slice of bytes; Buffer: a text being built; ASCII and UTF-8 helpers that
 * do not depend on the locale. */
#ifndef BASE_TEXT_H
#define BASE_TEXT_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"

/* Not ended by a zero byte; print with %.*s and TEXT_ARG. */
typedef struct Text {
    const char *data;
    size_t len;
} Text;

#define TEXT(literal) ((Text){(literal), sizeof(literal) - 1})
#define TEXT_ARG(text) (int)(text).len, (text).data

Text text_of(const char *string); /* borrows; NULL gives the empty text */
Text text_copy(Arena *arena, Text text);
char *text_string(Arena *arena, Text text); /* a copy ended by a zero byte */
static inline bool text_equal(Text a, Text b)
{
    return a.len == b.len && (a.len == 0 || memcmp(a.data, b.data, a.len) == 0);
}

int text_order(Text a, Text b); /* byte order, as memcmp; a prefix comes first */
bool text_starts(Text text, Text prefix);
bool text_ends(Text text, Text suffix);
Text text_trim(Text text); /* without ASCII white space at either end */

static inline bool ascii_is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Letters only; no underscore. */
static inline bool ascii_is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static inline bool ascii_is_space(char c)
{
    return c == ' ' || (c >= '\t' && c <= '\r');
}

static inline char ascii_lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* The code point that starts at `at` (below the length) and its length in bytes; a byte that
 * starts no well-formed sequence has length 1 and gives UTF8_BAD. */
size_t utf8_next(Text text, size_t at, uint32_t *code);
enum { UTF8_BAD = 0xfffd };
size_t utf8_count(Text text); /* code points; each byte of a bad sequence counts one */
size_t utf8_width(Text text); /* terminal cells: combining marks 0, wide East Asian and emoji 2 */
bool utf8_valid(Text text, size_t *bad_offset);

/* Distance of two words by insertions, deletions, changes and swaps of neighbours, at most
 * `limit` + 1 (the search stops there). */
size_t text_distance(Text a, Text b, size_t limit);

/* Index of the nearest of `count` candidates within distance max(1, len/3) of `word`, or -1;
 * one that differs in case only comes first. */
long text_nearest(Text word, const Text *candidates, size_t count);

typedef struct Buffer {
    Arena *arena;
    char *data;
    size_t len;
    size_t cap;
} Buffer;

Buffer buffer_make(Arena *arena);
void buffer_char(Buffer *buffer, char c);
void buffer_text(Buffer *buffer, Text text);
void buffer_string(Buffer *buffer, const char *string);
void buffer_format(Buffer *buffer, const char *format, ...) __attribute__((format(printf, 2, 3)));
void buffer_vformat(Buffer *buffer, const char *format, va_list args)
    __attribute__((format(printf, 2, 0)));
void buffer_spaces(Buffer *buffer, size_t count);
Text buffer_done(const Buffer *buffer); /* the text so far; it stays valid when the buffer grows */

/* printf into the arena. */
Text text_format(Arena *arena, const char *format, ...) __attribute__((format(printf, 2, 3)));

#endif
