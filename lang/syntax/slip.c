/* Slips: what other notations write and this language does not. Each is one message that says
 * what to write; the token that was meant goes to the parser, so that nothing else follows. */
#include "syntax/parse.h"

#include <string.h>

typedef struct Slip {
    const char *written;
    const char *meant; /* as the language writes it */
    int token;
} Slip;

static const Slip SLIPS[] = {
    {"==", "=", TOK_EQUAL},
    {":=", "=", TOK_EQUAL},
    {"<>", "!=", TOK_NOT_EQUAL},
    {"=<", "<=", TOK_LESS_EQUAL},
    {"=>", ">=", TOK_GREATER_EQUAL},
    {"&&", "and", TOK_AND},
    {"||", "or", TOK_OR},
    {"&", "and", TOK_AND},
    {"|", "or", TOK_OR},
    {"!", "not", TOK_NOT},
    {"\xE2\x89\xA4", "<=", TOK_LESS_EQUAL},
    {"\xE2\x89\xA5", ">=", TOK_GREATER_EQUAL},
    {"\xE2\x89\xA0", "!=", TOK_NOT_EQUAL},
    {"\xC3\x97", "x", TOK_X},
    {"\xC3\xB7", "/", TOK_DIVIDE},
    {"\xE2\x88\x92", "-", TOK_MINUS},
    {"\xE2\x80\x93", "-", TOK_MINUS},
    {"\xE2\x80\x94", "-", TOK_MINUS},
    {"\xC2\xB7", "*", TOK_TIMES},
};

/* Signs that stand for a number or a unit; what is meant depends on what stands around them. */
static const Slip PARTS[] = {
    {"\xC2\xBD", "1/2", 0},     {"\xC2\xBC", "1/4", 0},     {"\xC2\xBE", "3/4", 0},
    {"\xE2\x85\x9B", "1/8", 0}, {"\xE2\x85\x9C", "3/8", 0}, {"\xE2\x85\x9D", "5/8", 0},
    {"\xE2\x85\x9E", "7/8", 0}, {"\xE2\x85\x93", "1/3", 0}, {"\xE2\x85\x94", "2/3", 0},
};

static bool starts_at(const Parse *parse, size_t at, const char *text)
{
    for (size_t i = 0; text[i] != '\0'; i++) {
        if (source_at(parse, at + i) != text[i]) {
            return false;
        }
    }
    return true;
}

static size_t line_end(const Parse *parse, size_t at)
{
    while (at < parse->source->bytes.len && source_at(parse, at) != '\n') {
        at++;
    }
    return at;
}

/* ---- comments of other languages ---- */

static bool skip_comment(Parse *parse, Span *span)
{
    bool is_block = starts_at(parse, span->start, "/*");
    if (!is_block && !starts_at(parse, span->start, "//") && source_at(parse, span->start) != '#') {
        return false;
    }
    uint32_t len = source_at(parse, span->start) == '#' ? 1 : 2;
    Span mark = {span->start, span->start + len};
    Diagnostic *diag = parse_error(parse, "comment", mark, "a comment begins with two dashes");
    parse_hint(parse, diag, "write '-- ...'");
    size_t end = line_end(parse, span->start);
    for (size_t at = span->start + 2; is_block && at < parse->source->bytes.len; at++) {
        if (starts_at(parse, at, "*/")) {
            end = at + 2;
            break;
        }
    }
    span->end = (uint32_t)end;
    return true;
}

/* ---- quotes of other kinds ---- */

static const char *closing_quote(const Parse *parse, size_t at, size_t *len)
{
    static const char *const pairs[][2] = {
        {"'", "'"},
        {"`", "`"},
        {"\xE2\x80\x9C", "\xE2\x80\x9D"},
        {"\xE2\x80\x9D", "\xE2\x80\x9D"},
        {"\xE2\x80\x9E", "\xE2\x80\x9C"},
        {"\xE2\x80\x98", "\xE2\x80\x99"},
        {"\xE2\x80\x99", "\xE2\x80\x99"},
        {"\xC2\xAB", "\xC2\xBB"},
    };
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        if (starts_at(parse, at, pairs[i][0])) {
            *len = strlen(pairs[i][0]);
            return pairs[i][1];
        }
    }
    return NULL;
}

static bool read_quoted(Parse *parse, SHALL_YYSTYPE *value, Span *span)
{
    size_t len = 0;
    const char *closing = closing_quote(parse, span->start, &len);
    if (closing == NULL) {
        return false;
    }
    size_t first = span->start + len;
    size_t end = line_end(parse, span->start);
    size_t at = first;
    while (at < end && !starts_at(parse, at, closing)) {
        at++;
    }
    span->end = (uint32_t)(at < end ? at + strlen(closing) : end);
    parse_error(parse, "quotes", *span, "a text stands in plain double quotes, \"...\"");
    value->TOK_TEXT = (Quoted){source_slice(parse, (Span){(uint32_t)first, (uint32_t)at}), *span};
    return true;
}

/* ---- single signs ---- */

static size_t sequence_end(const Parse *parse, size_t at)
{
    size_t end = at + 1;
    while (((unsigned char)source_at(parse, end) & 0xC0) == 0x80) {
        end++;
    }
    return end;
}

static bool is_unreadable(const Parse *parse, size_t at, size_t *end)
{
    *end = sequence_end(parse, at);
    size_t bad = 0;
    Text sequence = source_slice(parse, (Span){(uint32_t)at, (uint32_t)*end});
    unsigned char c = (unsigned char)source_at(parse, at);
    return c < 0x20 || c == 0x7F || !utf8_valid(sequence, &bad);
}

/* Bytes that are no text, all that stand together: one message. */
static bool skip_unreadable(Parse *parse, Span *span)
{
    size_t end = 0;
    if (!is_unreadable(parse, span->start, &end)) {
        return false;
    }
    size_t next = end;
    while (end < parse->source->bytes.len && !ascii_is_space(source_at(parse, end)) &&
           is_unreadable(parse, end, &next)) {
        end = next;
    }
    span->end = (uint32_t)end;
    unsigned char c = (unsigned char)source_at(parse, span->start);
    if (c < 0x20 || c == 0x7F) {
        parse_error(parse, "unreadable", *span, "a control character (byte %u) is no text", c);
    } else {
        parse_error(parse, "unreadable", *span, "this is not UTF-8 text");
    }
    return true;
}

static int read_part(Parse *parse, SHALL_YYSTYPE *value, Span *span)
{
    for (size_t i = 0; i < sizeof PARTS / sizeof PARTS[0]; i++) {
        if (starts_at(parse, span->start, PARTS[i].written)) {
            span->end = span->start + (uint32_t)strlen(PARTS[i].written);
            parse_error(parse, "quantity", *span, "write '%s' for '%s'", PARTS[i].meant,
                        PARTS[i].written);
            QuantityFault fault;
            Quantity *quantity = ARENA_NEW(parse->arena, Quantity);
            Text meant = text_of(PARTS[i].meant);
            if (quantity_scan(parse->arena, meant, QUANTITY_RULE, quantity, &fault) == 0) {
                return LEX_NOTHING;
            }
            value->TOK_NUMBER = (Amount){quantity, *span};
            return TOK_NUMBER;
        }
    }
    return LEX_NOTHING;
}

static int read_sign(Parse *parse, Span *span)
{
    for (size_t i = 0; i < sizeof SLIPS / sizeof SLIPS[0]; i++) {
        if (starts_at(parse, span->start, SLIPS[i].written)) {
            span->end = span->start + (uint32_t)strlen(SLIPS[i].written);
            parse_error(parse, "sign", *span, "write '%s' for '%s'", SLIPS[i].meant,
                        SLIPS[i].written);
            return SLIPS[i].token;
        }
    }
    return LEX_NOTHING;
}

static int skip_other(Parse *parse, Span *span)
{
    span->end = (uint32_t)sequence_end(parse, span->start);
    Text sign = source_slice(parse, *span);
    Diagnostic *diag;
    if (text_equal(sign, TEXT("\xC2\xB0"))) {
        span->end += (uint32_t)word_at(parse, span->end).len;
        diag = parse_error(parse, "sign", *span, "'%.*s' is written degF or degC",
                           TEXT_ARG(source_slice(parse, *span)));
        parse_hint(parse, diag, "write '41 degF'");
    } else if (text_equal(sign, TEXT(";"))) {
        parse_error(parse, "sign", *span, "a clause needs no ';' at its end");
    } else if (text_equal(sign, TEXT("%"))) {
        parse_error(parse, "sign", *span, "'%%' stands right after its number, as in 115%%");
    } else if (starts_at(parse, span->start, "**") || text_equal(sign, TEXT("^"))) {
        span->end = span->start + (sign.data[0] == '*' ? 2 : 1);
        parse_error(parse, "sign", *span, "powers are written power(a, b)");
        return TOK_TIMES;
    } else if ((unsigned char)sign.data[0] >= 0x80) {
        while ((unsigned char)source_at(parse, span->end) >= 0x80 ||
               word_at(parse, span->end).len > 0 || ascii_is_digit(source_at(parse, span->end))) {
            span->end++;
        }
        diag = parse_error(parse, "sign", *span, "'%.*s' has no meaning outside a text",
                           TEXT_ARG(sign));
        parse_hint(parse, diag, "names have the letters a to z, digits and underscores");
    } else {
        parse_error(parse, "sign", *span, "'%.*s' has no meaning here", TEXT_ARG(sign));
    }
    return LEX_NOTHING;
}

int lex_slip(Parse *parse, SHALL_YYSTYPE *value, Span *span)
{
    if (skip_comment(parse, span)) {
        return LEX_NOTHING;
    }
    if (read_quoted(parse, value, span)) {
        return TOK_TEXT;
    }
    int token = read_part(parse, value, span);
    if (token == LEX_NOTHING) {
        token = read_sign(parse, span);
    }
    if (token == LEX_NOTHING && !skip_unreadable(parse, span)) {
        token = skip_other(parse, span);
    }
    return token;
}
