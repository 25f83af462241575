/* A streaming writer of JSON: two blanks for each depth, one member on a line, small
 * things on one line, so that a difference between two reports can be read. */
#include "report/json.h"

#include "report/safe.h"

Json json_make(Arena *arena)
{
    return (Json){.out = buffer_make(arena)};
}

static void new_line(Json *json)
{
    buffer_char(&json->out, '\n');
    buffer_spaces(&json->out, (size_t)2 * json->depth);
}

/* Before every value: the comma and line that part it from the one before. */
static void begin_value(Json *json)
{
    if (json->after_key) {
        json->after_key = false;
        return;
    }
    if (json->depth == 0) {
        return;
    }
    bool first = !json->has_member[json->depth - 1];
    json->has_member[json->depth - 1] = true;
    if (!first) {
        buffer_char(&json->out, ',');
    }
    if (json->flat == 0) {
        new_line(json);
    } else if (!first) {
        buffer_char(&json->out, ' ');
    }
}

void json_open(Json *json, char bracket)
{
    begin_value(json);
    buffer_char(&json->out, bracket);
    json->has_member[json->depth++] = false;
}

void json_open_flat(Json *json, char bracket)
{
    json_open(json, bracket);
    if (json->flat == 0) {
        json->flat = json->depth;
    }
}

void json_close(Json *json, char bracket)
{
    bool had = json->has_member[--json->depth];
    if (json->flat == 0 && had) {
        new_line(json);
    }
    if (json->flat > json->depth) {
        json->flat = 0;
    }
    buffer_char(&json->out, bracket);
}

static void put_escaped(Buffer *out, uint32_t code)
{
    static const char hex[] = "0123456789abcdef";
    if (code > 0xffff) {
        uint32_t rest = code - 0x10000;
        put_escaped(out, 0xd800 + (rest >> 10));
        put_escaped(out, 0xdc00 + (rest & 0x3ff));
        return;
    }
    buffer_string(out, "\\u");
    for (int shift = 12; shift >= 0; shift -= 4) {
        buffer_char(out, hex[code >> shift & 0xf]);
    }
}

static void put_quoted(Buffer *out, Text text)
{
    buffer_char(out, '"');
    for (size_t i = 0; i < text.len;) {
        uint32_t code = 0;
        size_t len = utf8_next(text, i, &code);
        if (code == '"' || code == '\\') {
            buffer_char(out, '\\');
            buffer_char(out, (char)code);
        } else if (code == '\n') {
            buffer_string(out, "\\n");
        } else if (code == '\t') {
            buffer_string(out, "\\t");
        } else if (code_is_hidden(code) || code == UTF8_BAD) {
            put_escaped(out, code);
        } else {
            buffer_text(out, (Text){text.data + i, len});
        }
        i += len;
    }
    buffer_char(out, '"');
}

void json_key(Json *json, const char *key)
{
    begin_value(json);
    put_quoted(&json->out, text_of(key));
    buffer_string(&json->out, ": ");
    json->after_key = true;
}

void json_text(Json *json, Text text)
{
    begin_value(json);
    put_quoted(&json->out, text);
}

void json_string(Json *json, const char *string)
{
    json_text(json, text_of(string));
}

void json_count(Json *json, uint64_t number)
{
    begin_value(json);
    buffer_format(&json->out, "%llu", (unsigned long long)number);
}

void json_bool(Json *json, bool value)
{
    begin_value(json);
    buffer_string(&json->out, value ? "true" : "false");
}

void json_null(Json *json)
{
    begin_value(json);
    buffer_string(&json->out, "null");
}

void json_put_text(Json *json, const char *key, Text text)
{
    json_key(json, key);
    json_text(json, text);
}

void json_put_text_or_null(Json *json, const char *key, Text text)
{
    json_key(json, key);
    if (text.len > 0) {
        json_text(json, text);
    } else {
        json_null(json);
    }
}

void json_put_string(Json *json, const char *key, const char *string)
{
    json_key(json, key);
    json_string(json, string);
}

void json_put_count(Json *json, const char *key, uint64_t number)
{
    json_key(json, key);
    json_count(json, number);
}

void json_put_bool(Json *json, const char *key, bool value)
{
    json_key(json, key);
    json_bool(json, value);
}

Text json_done(const Json *json)
{
    return buffer_done(&json->out);
}
