/* JSON, read by its own rules.
 *
 * YAML holds JSON but for a few corners (a pair of \u escapes for one character, a line end before
 * the colon, keys of more than 1,024 characters), and libyaml stumbles over those. A text that
 * is JSON throughout is therefore read here; any other is left to the YAML reader, which then
 * says what is wrong with it. Texts without escapes are slices of the source. */
#include "spec/spec_build.h"

typedef struct Json {
    Builder *builder;
    Text text;
    size_t at;
} Json;

static void skip_blanks(Json *json)
{
    while (json->at < json->text.len) {
        char c = json->text.data[json->at];
        if (c != ' ' && c != '\t' && c != '\n' && c != '\r') {
            break;
        }
        json->at++;
    }
}

static char peek(const Json *json)
{
    return json->at < json->text.len ? json->text.data[json->at] : '\0';
}

static bool take(Json *json, char c)
{
    if (json->at >= json->text.len || json->text.data[json->at] != c) {
        return false;
    }
    json->at++;
    return true;
}

static int hex_value(char c)
{
    char lower = ascii_lower(c);
    return ascii_is_digit(c) ? c - '0' : lower >= 'a' && lower <= 'f' ? lower - 'a' + 10 : -1;
}

/* Four hexadecimal digits at `at`. */
static bool read_hex(Text text, size_t at, uint32_t *code)
{
    *code = 0;
    for (size_t i = at; i < at + 4; i++) {
        int digit = i < text.len ? hex_value(text.data[i]) : -1;
        if (digit < 0) {
            return false;
        }
        *code = *code * 16 + (uint32_t)digit;
    }
    return true;
}

static void put_utf8(Buffer *buffer, uint32_t code)
{
    if (code < 0x80) {
        buffer_char(buffer, (char)code);
        return;
    }
    if (code < 0x800) {
        buffer_char(buffer, (char)(0xc0 | code >> 6));
    } else {
        if (code < 0x10000) {
            buffer_char(buffer, (char)(0xe0 | code >> 12));
        } else {
            buffer_char(buffer, (char)(0xf0 | code >> 18));
            buffer_char(buffer, (char)(0x80 | (code >> 12 & 0x3f)));
        }
        buffer_char(buffer, (char)(0x80 | (code >> 6 & 0x3f)));
    }
    buffer_char(buffer, (char)(0x80 | (code & 0x3f)));
}

/* One \u escape, or two that make one character; `at` is after the 'u'. Lone halves are none. */
static bool read_escape_u(Text text, size_t *at, Buffer *buffer)
{
    uint32_t code = 0;
    uint32_t low = 0;
    if (!read_hex(text, *at, &code) || (code >= 0xdc00 && code <= 0xdfff)) {
        return false;
    }
    *at += 4;
    if (code >= 0xd800 && code <= 0xdbff) {
        if (*at + 2 > text.len || text.data[*at] != '\\' || text.data[*at + 1] != 'u' ||
            !read_hex(text, *at + 2, &low) || low < 0xdc00 || low > 0xdfff) {
            return false;
        }
        *at += 6;
        code = 0x10000 + (code - 0xd800) * 0x400 + (low - 0xdc00);
    }
    put_utf8(buffer, code);
    return true;
}

static bool read_escape(Text text, size_t *at, Buffer *buffer)
{
    static const char names[] = "\"\\/bfnrt";
    static const char codes[] = "\"\\/\b\f\n\r\t";
    char c = *at < text.len ? text.data[*at] : '\0';
    *at += 1;
    if (c == 'u') {
        return read_escape_u(text, at, buffer);
    }
    for (size_t i = 0; i < sizeof names - 1; i++) {
        if (c == names[i]) {
            buffer_char(buffer, codes[i]);
            return true;
        }
    }
    return false;
}

/* A string; the text is at its opening quote. */
static bool read_string(Json *json, Scalar *out)
{
    Text text = json->text;
    size_t start = json->at;
    size_t at = start + 1;
    size_t plain = at; /* what is not in the buffer yet */
    Buffer buffer = buffer_make(json->builder->arena);
    while (at < text.len && text.data[at] != '"') {
        unsigned char c = (unsigned char)text.data[at];
        if (c < 0x20) {
            return false;
        }
        if (c == '\\') {
            buffer_text(&buffer, (Text){text.data + plain, at - plain});
            at++;
            if (!read_escape(text, &at, &buffer)) {
                return false;
            }
            plain = at;
        } else if (c < 0x80) {
            at++;
        } else {
            uint32_t code = 0;
            size_t len = utf8_next(text, at, &code);
            if (len == 1) {
                return false;
            }
            at += len;
        }
    }
    if (at >= text.len) {
        return false;
    }
    Text rest = {text.data + plain, at - plain};
    if (plain > start + 1) {
        buffer_text(&buffer, rest);
        rest = buffer_done(&buffer);
    }
    json->at = at + 1;
    *out = (Scalar){rest, {(uint32_t)start, (uint32_t)json->at}, true};
    return true;
}

static size_t skip_digits(Text text, size_t at)
{
    while (at < text.len && ascii_is_digit(text.data[at])) {
        at++;
    }
    return at;
}

/* The place after a number that begins at `at`; `at` itself when none does. */
static size_t number_end(Text text, size_t at)
{
    size_t start = at;
    at += at < text.len && text.data[at] == '-';
    size_t whole = at;
    at = skip_digits(text, at);
    if (at == whole || (text.data[whole] == '0' && at > whole + 1)) {
        return start;
    }
    if (at < text.len && text.data[at] == '.') {
        size_t digits = at + 1;
        at = skip_digits(text, digits);
        if (at == digits) {
            return start;
        }
    }
    if (at < text.len && (text.data[at] == 'e' || text.data[at] == 'E')) {
        at++;
        at += at < text.len && (text.data[at] == '+' || text.data[at] == '-');
        size_t digits = at;
        at = skip_digits(text, digits);
        if (at == digits) {
            return start;
        }
    }
    return at;
}

/* true, false, null or a number. */
static bool read_plain(Json *json, Scalar *out)
{
    static const char *const words[] = {"true", "false", "null"};
    Text rest = {json->text.data + json->at, json->text.len - json->at};
    size_t len = number_end(json->text, json->at) - json->at;
    for (size_t i = 0; i < sizeof words / sizeof words[0] && len == 0; i++) {
        len = text_starts(rest, text_of(words[i])) ? text_of(words[i]).len : 0;
    }
    *out = (Scalar){{rest.data, len}, {(uint32_t)json->at, (uint32_t)(json->at + len)}, false};
    json->at += len;
    return len > 0;
}

/* A value's beginning: a whole scalar, or the opening of a list or map. */
static bool read_value(Json *json, bool *opened)
{
    Builder *builder = json->builder;
    Scalar scalar;
    skip_blanks(json);
    char c = peek(json);
    Span here = {(uint32_t)json->at, (uint32_t)(json->at + 1)};
    *opened = c == '{' || c == '[';
    if (*opened) {
        json->at++;
        (void)build_open(builder, c == '{' ? DATUM_MAP : DATUM_LIST, here);
        return true;
    }
    if (!(c == '"' ? read_string(json, &scalar) : read_plain(json, &scalar))) {
        return false;
    }
    (void)build_scalar(builder, scalar);
    return true;
}

static bool read_key(Json *json)
{
    Scalar key;
    skip_blanks(json);
    if (peek(json) != '"' || !read_string(json, &key)) {
        return false;
    }
    (void)build_scalar(json->builder, key);
    skip_blanks(json);
    return take(json, ':');
}

/* Reads until all that was opened is closed; false when it is not JSON. */
static bool read_all(Json *json)
{
    Builder *builder = json->builder;
    bool first = false; /* nothing read yet in what is open */
    if (!read_value(json, &first)) {
        return false;
    }
    while (builder->depth > 0 && !builder->stopped) {
        bool is_map = builder->stack[builder->depth - 1].node->kind == DATUM_MAP;
        skip_blanks(json);
        if (take(json, is_map ? '}' : ']')) {
            (void)build_close(builder, (uint32_t)json->at);
            first = false;
            continue;
        }
        if ((!first && !take(json, ',')) || (is_map && !read_key(json))) {
            return false;
        }
        if (!builder->stopped && !read_value(json, &first)) {
            return false;
        }
    }
    skip_blanks(json);
    return builder->stopped || json->at == json->text.len;
}

bool spec_json(Builder *builder)
{
    Text bytes = builder->source->bytes;
    Json json = {builder, bytes, text_starts(bytes, TEXT("\xef\xbb\xbf")) ? 3 : 0};
    skip_blanks(&json);
    char c = peek(&json);
    if (c != '{' && c != '[') {
        return false;
    }
    builder->json = true;
    return read_all(&json);
}
