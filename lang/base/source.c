/* Source: reads a file whole and knows where its lines begin.
 *
 * Takes a path or bytes, gives them followed by two zero bytes (flex scans them in place) with
 * a table of line starts. A line ends with a line feed; a carriage return before it belongs to
 * the line end. Lines and columns are computed from byte offsets only when somebody asks. */
#include "base/source.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

enum { READ_FIRST = 64 * 1024, SCANNER_ZEROS = 2 };

/* Fills line_starts: one for the start, one after every line feed. */
static void find_lines(Arena *arena, Source *source)
{
    uint32_t count = 1;
    const char *start = source->bytes.data, *end = start + source->bytes.len, *at = start;
    while (at < end && (at = memchr(at, '\n', (size_t)(end - at))) != NULL) {
        at++;
        count++;
    }
    source->line_starts = ARENA_ARRAY(arena, uint32_t, count);
    source->line_count = count;
    uint32_t line = 1;
    at = start;
    while (at < end && (at = memchr(at, '\n', (size_t)(end - at))) != NULL) {
        source->line_starts[line++] = (uint32_t)(++at - start);
    }
}

static const Source *make(Arena *arena, Text path, Text bytes)
{
    Source *source = ARENA_NEW(arena, Source);
    source->path = text_copy(arena, path);
    source->bytes = bytes;
    find_lines(arena, source);
    return source;
}

const Source *source_of(Arena *arena, Text path, Text bytes)
{
    char *copy = arena_alloc(arena, bytes.len + SCANNER_ZEROS);
    if (bytes.len > 0) {
        memcpy(copy, bytes.data, bytes.len);
    }
    return make(arena, path, (Text){copy, bytes.len});
}

static Text reason_of(Arena *arena, int error)
{
    char words[256];
    if (strerror_r(error, words, sizeof words) != 0) {
        return text_format(arena, "system error %d", error);
    }
    return text_copy(arena, text_of(words));
}

/* How much to ask for first: the size of a plain file, so that it is read without a copy. */
static size_t guess_size(FILE *file)
{
    struct stat about;
    if (fstat(fileno(file), &about) == 0 && S_ISREG(about.st_mode) && about.st_size > 0 &&
        about.st_size <= SOURCE_MAX_BYTES) {
        return (size_t)about.st_size + 1;
    }
    return READ_FIRST;
}

/* Reads to the end of the file; false with a reason. */
static bool read_all(Arena *arena, FILE *file, Text *bytes, Text *reason)
{
    size_t cap = guess_size(file);
    size_t len = 0;
    char *data = arena_alloc_raw(arena, cap + SCANNER_ZEROS);
    for (;;) {
        len += fread(data + len, 1, cap - len, file);
        if (len > SOURCE_MAX_BYTES) {
            *reason = text_format(arena, "larger than %d MiB", SOURCE_MAX_BYTES / (1024 * 1024));
            return false;
        }
        if (len < cap) {
            break;
        }
        char *larger = arena_alloc_raw(arena, cap * 2 + SCANNER_ZEROS);
        memcpy(larger, data, len);
        data = larger;
        cap *= 2;
    }
    if (ferror(file)) {
        *reason = reason_of(arena, errno);
        return false;
    }
    memset(data + len, 0, SCANNER_ZEROS);
    *bytes = (Text){data, len};
    return true;
}

const Source *source_read(Arena *arena, const char *path, Text *reason)
{
    Text bytes;
    bool ok;
    if (strcmp(path, "-") == 0) {
        ok = read_all(arena, stdin, &bytes, reason);
    } else {
        FILE *file = fopen(path, "rb");
        if (file == NULL) {
            *reason = reason_of(arena, errno);
            return NULL;
        }
        ok = read_all(arena, file, &bytes, reason);
        (void)fclose(file); /* it was only read: a fault at closing loses nothing */
    }
    return ok ? make(arena, text_of(path), bytes) : NULL;
}

/* Index of the line that holds the offset. */
static uint32_t find_line(const Source *source, uint32_t offset)
{
    uint32_t low = 0;
    uint32_t high = source->line_count;
    while (high - low > 1) {
        uint32_t middle = low + (high - low) / 2;
        if (source->line_starts[middle] <= offset) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

Position source_position(const Source *source, uint32_t offset)
{
    if (offset > source->bytes.len) {
        offset = (uint32_t)source->bytes.len;
    }
    uint32_t line = find_line(source, offset);
    uint32_t start = source->line_starts[line];
    Text before = {source->bytes.data + start, offset - start};
    uint32_t column = 1;
    uint32_t utf16_column = 1;
    for (size_t i = 0; i < before.len;) {
        uint32_t code = 0;
        i += utf8_next(before, i, &code);
        column++;
        utf16_column += code > 0xffff ? 2 : 1;
    }
    return (Position){line + 1, column, utf16_column};
}

Text source_line(const Source *source, uint32_t line)
{
    if (line == 0 || line > source->line_count) {
        return TEXT("");
    }
    size_t start = source->line_starts[line - 1];
    size_t end = source->bytes.len;
    if (line < source->line_count) {
        end = source->line_starts[line] - 1u;
        if (end > start && source->bytes.data[end - 1] == '\r') {
            end--;
        }
    }
    return (Text){source->bytes.data + start, end - start};
}

Text place_text(Place place)
{
    if (place.source == NULL) {
        return TEXT("");
    }
    size_t len = place.source->bytes.len;
    size_t end = place.span.end < len ? place.span.end : len;
    size_t start = place.span.start < end ? place.span.start : end;
    return (Text){place.source->bytes.data + start, end - start};
}

Span span_join(Span a, Span b)
{
    return (Span){a.start < b.start ? a.start : b.start, a.end > b.end ? a.end : b.end};
}
