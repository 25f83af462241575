/* Text and Buffer: slices of bytes, their order, the ASCII classes, the distance of two words,
 * and texts built piece by piece in an arena.
 *
 * Nothing here asks the locale, and nothing needs a zero byte at the end of a text. Code
 * points are the business of utf8.c. */
#include "base/text.h"

#include <stdio.h>
#include <string.h>

Text text_of(const char *string)
{
    return string == NULL ? (Text){"", 0} : (Text){string, strlen(string)};
}

char *text_string(Arena *arena, Text text)
{
    char *copy = arena_alloc_raw(arena, text.len + 1);
    if (text.len > 0) {
        memcpy(copy, text.data, text.len);
    }
    copy[text.len] = '\0';
    return copy;
}

Text text_copy(Arena *arena, Text text)
{
    return (Text){text_string(arena, text), text.len};
}

int text_order(Text a, Text b)
{
    size_t shorter = a.len < b.len ? a.len : b.len;
    int order = shorter == 0 ? 0 : memcmp(a.data, b.data, shorter);
    if (order == 0) {
        return (a.len > b.len) - (a.len < b.len);
    }
    return order < 0 ? -1 : 1;
}

bool text_starts(Text text, Text prefix)
{
    return prefix.len <= text.len && text_equal((Text){text.data, prefix.len}, prefix);
}

bool text_ends(Text text, Text suffix)
{
    return suffix.len <= text.len &&
           text_equal((Text){text.data + (text.len - suffix.len), suffix.len}, suffix);
}

Text text_trim(Text text)
{
    while (text.len > 0 && ascii_is_space(text.data[0])) {
        text.data++;
        text.len--;
    }
    while (text.len > 0 && ascii_is_space(text.data[text.len - 1])) {
        text.len--;
    }
    return text;
}

/* Longer words than this are names nobody mistypes by one letter. */
enum { DISTANCE_WORD_MAX = 64 };

static size_t least_of(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* One row of the table of distances; gives the least of the row. */
static size_t distance_row(Text a, Text b, size_t i, const size_t *before2, const size_t *before,
                           size_t *row)
{
    size_t least = row[0] = i;
    for (size_t j = 1; j <= b.len; j++) {
        size_t change = before[j - 1] + (a.data[i - 1] != b.data[j - 1]);
        row[j] = least_of(change, least_of(before[j], row[j - 1]) + 1);
        if (i > 1 && j > 1 && a.data[i - 1] == b.data[j - 2] && a.data[i - 2] == b.data[j - 1]) {
            row[j] = least_of(row[j], before2[j - 2] + 1);
        }
        least = least_of(least, row[j]);
    }
    return least;
}

size_t text_distance(Text a, Text b, size_t limit)
{
    if (text_equal(a, b)) {
        return 0;
    }
    size_t gap = a.len > b.len ? a.len - b.len : b.len - a.len;
    if (gap > limit || a.len > DISTANCE_WORD_MAX || b.len > DISTANCE_WORD_MAX) {
        return limit + 1;
    }
    size_t rows[3][DISTANCE_WORD_MAX + 1];
    for (size_t j = 0; j <= b.len; j++) {
        rows[0][j] = rows[2][j] = j;
    }
    for (size_t i = 1; i <= a.len; i++) {
        size_t least = distance_row(a, b, i, rows[(i + 1) % 3], rows[(i + 2) % 3], rows[i % 3]);
        if (least > limit) { /* then the row before is all at the limit, and a swap adds one */
            return limit + 1;
        }
    }
    return least_of(rows[a.len % 3][b.len], limit + 1);
}

static bool equal_but_case(Text a, Text b)
{
    if (a.len != b.len) {
        return false;
    }
    for (size_t i = 0; i < a.len; i++) {
        if (ascii_lower(a.data[i]) != ascii_lower(b.data[i])) {
            return false;
        }
    }
    return true;
}

long text_nearest(Text word, const Text *candidates, size_t count)
{
    size_t limit = word.len / 3 > 1 ? word.len / 3 : 1;
    size_t best = limit + 1;
    long found = -1;
    for (size_t i = 0; i < count; i++) {
        if (equal_but_case(word, candidates[i])) {
            return (long)i;
        }
        size_t distance = text_distance(word, candidates[i], limit);
        if (distance < best) {
            best = distance;
            found = (long)i;
        }
    }
    return found;
}

enum { BUFFER_FIRST = 64 };

Buffer buffer_make(Arena *arena)
{
    return (Buffer){.arena = arena};
}

/* Room for `more` bytes beyond the text so far. The former bytes stay in the arena: a text
 * that was handed out by buffer_done before goes on being valid. */
static void make_room(Buffer *buffer, size_t more)
{
    if (buffer->cap - buffer->len >= more) {
        return;
    }
    size_t cap = buffer->cap == 0 ? BUFFER_FIRST : buffer->cap * 2;
    while (cap - buffer->len < more) {
        cap *= 2;
    }
    char *data = arena_alloc_raw(buffer->arena, cap);
    if (buffer->len > 0) {
        memcpy(data, buffer->data, buffer->len);
    }
    buffer->data = data;
    buffer->cap = cap;
}

void buffer_char(Buffer *buffer, char c)
{
    make_room(buffer, 1);
    buffer->data[buffer->len++] = c;
}

void buffer_text(Buffer *buffer, Text text)
{
    if (text.len > 0) {
        make_room(buffer, text.len);
        memcpy(buffer->data + buffer->len, text.data, text.len);
        buffer->len += text.len;
    }
}

void buffer_string(Buffer *buffer, const char *string)
{
    buffer_text(buffer, text_of(string));
}

void buffer_format(Buffer *buffer, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    buffer_vformat(buffer, format, args);
    va_end(args);
}

void buffer_vformat(Buffer *buffer, const char *format, va_list args)
{
    va_list again;
    va_copy(again, args);
    make_room(buffer, BUFFER_FIRST / 2);
    size_t room = buffer->cap - buffer->len;
    int wanted = vsnprintf(buffer->data + buffer->len, room, format, args);
    if (wanted >= 0 && (size_t)wanted >= room) {
        make_room(buffer, (size_t)wanted + 1);
        wanted = vsnprintf(buffer->data + buffer->len, (size_t)wanted + 1, format, again);
    }
    va_end(again);
    if (wanted > 0) {
        buffer->len += (size_t)wanted;
    }
}

void buffer_spaces(Buffer *buffer, size_t count)
{
    if (count > 0) {
        make_room(buffer, count);
        memset(buffer->data + buffer->len, ' ', count);
        buffer->len += count;
    }
}

Text buffer_done(const Buffer *buffer)
{
    return buffer->len == 0 ? (Text){"", 0} : (Text){buffer->data, buffer->len};
}

Text text_format(Arena *arena, const char *format, ...)
{
    Buffer buffer = buffer_make(arena);
    va_list args;
    va_start(args, format);
    buffer_vformat(&buffer, format, args);
    va_end(args);
    return buffer_done(&buffer);
}
