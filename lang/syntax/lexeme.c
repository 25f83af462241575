/* Lexemes that a pattern cannot read: quantities and dates, texts, signs that depend on what
 * stands around them, comments. Each function starts at span->start in the source, reports what
 * is wrong with what it reads, and sets span->end to where the scanner goes on. After a fault it
 * gives a token of the kind that was meant, so that one slip is one message. */
#include "syntax/parse.h"

#include <string.h>

Text source_slice(const Parse *parse, Span span)
{
    return place_text((Place){parse->source, span});
}

static bool is_comment(const Parse *parse, size_t at)
{
    return source_at(parse, at) == '-' && source_at(parse, at + 1) == '-';
}

static size_t line_end(const Parse *parse, size_t at)
{
    while (at < parse->source->bytes.len && source_at(parse, at) != '\n') {
        at++;
    }
    return at;
}

size_t skip_blanks(const Parse *parse, size_t at)
{
    for (;;) {
        if (ascii_is_space(source_at(parse, at))) {
            at++;
        } else if (is_comment(parse, at)) {
            at = line_end(parse, at);
        } else {
            return at;
        }
    }
}

Text source_spelling(Parse *parse, Span span)
{
    Buffer buffer = buffer_make(parse->arena);
    for (size_t at = span.start; at < span.end;) {
        size_t next = skip_blanks(parse, at);
        if (next > at) {
            buffer_char(&buffer, ' ');
            at = next;
        } else {
            buffer_char(&buffer, source_at(parse, at++));
        }
    }
    return buffer_done(&buffer);
}

static bool is_name_char(char c)
{
    return ascii_is_letter(c) || ascii_is_digit(c) || c == '_';
}

Text word_at(const Parse *parse, size_t at)
{
    size_t end = at;
    while (is_name_char(source_at(parse, end)) &&
           (end > at || ascii_is_letter(source_at(parse, at)))) {
        end++;
    }
    return source_slice(parse, (Span){(uint32_t)at, (uint32_t)end});
}

size_t phrase_end(const Parse *parse, size_t at, const char *phrase)
{
    for (; *phrase != '\0'; phrase++) {
        if (*phrase == ' ') {
            if (is_name_char(source_at(parse, at))) {
                return 0;
            }
            at = skip_blanks(parse, at);
        } else if (source_at(parse, at) != *phrase) {
            return 0;
        } else {
            at++;
        }
    }
    return is_name_char(source_at(parse, at)) ? 0 : at;
}

/* ---- comments ---- */

void lex_comment(Parse *parse, Span span)
{
    FileTree *file = parse->file;
    if (file->comment_count == parse->comment_cap) {
        size_t cap = parse->comment_cap == 0 ? 16 : parse->comment_cap * 2;
        Comment *comments = ARENA_ARRAY(parse->arena, Comment, cap);
        if (file->comment_count > 0) {
            memcpy(comments, file->comments, sizeof(Comment) * file->comment_count);
        }
        file->comments = comments;
        parse->comment_cap = cap;
    }
    while (span.end > span.start && ascii_is_space(source_at(parse, span.end - 1))) {
        span.end--;
    }
    size_t before = span.start;
    while (before > 0 && source_at(parse, before - 1) != '\n' &&
           ascii_is_space(source_at(parse, before - 1))) {
        before--;
    }
    bool own_line = before == 0 || source_at(parse, before - 1) == '\n';
    file->comments[file->comment_count++] = (Comment){span, own_line};
}

void lex_comments_in(Parse *parse, size_t start, size_t end)
{
    for (size_t at = start; at < end; at++) {
        if (is_comment(parse, at)) {
            size_t stop = line_end(parse, at);
            lex_comment(parse, (Span){(uint32_t)at, (uint32_t)stop});
            at = stop;
        }
    }
}

/* ---- texts ---- */

static void check_escape(Parse *parse, size_t at)
{
    char c = source_at(parse, at + 1);
    if (c != '"' && c != '\\') {
        Diagnostic *diag =
            parse_error(parse, "escape", ((Span){(uint32_t)at, (uint32_t)at + 2}),
                        "a backslash in a text stands before a quote or a backslash only");
        parse_hint(parse, diag, "write \\\\ for a backslash");
    }
}

int lex_text(Parse *parse, SHALL_YYSTYPE *value, Span *span)
{
    Buffer buffer = buffer_make(parse->arena);
    size_t at = span->start + 1;
    while (at < parse->source->bytes.len && source_at(parse, at) != '"') {
        char c = source_at(parse, at);
        if (c == '\n' || (c == '\r' && source_at(parse, at + 1) == '\n')) {
            break;
        }
        bool escaped = c == '\\' && at + 1 < parse->source->bytes.len &&
                       source_at(parse, at + 1) != '\n' && source_at(parse, at + 1) != '\r';
        if (escaped) {
            check_escape(parse, at);
            c = source_at(parse, ++at);
        }
        buffer_char(&buffer, c);
        at++;
    }
    bool closed = source_at(parse, at) == '"' && at < parse->source->bytes.len;
    span->end = (uint32_t)(at + (closed ? 1 : 0));
    Text inner = {parse->source->bytes.data + span->start, span->end - span->start};
    size_t bad = 0;
    if (!closed) {
        parse_error(parse, "unfinished text", *span, "this text has no closing quote on its line");
    } else if (!utf8_valid(inner, &bad) || memchr(inner.data, '\0', inner.len) != NULL) {
        parse_error(parse, "unreadable", *span, "this text holds bytes that are not UTF-8 text");
    }
    value->TOK_TEXT = (Quoted){buffer_done(&buffer), *span};
    return TOK_TEXT;
}

/* ---- dates ---- */

static size_t digits_end(const Parse *parse, size_t at)
{
    while (ascii_is_digit(source_at(parse, at))) {
        at++;
    }
    return at;
}

/* The end of 2025-07-01 or 2025-07 at `at`; 0: another thing. */
static size_t date_end(const Parse *parse, size_t at, bool *is_full)
{
    enum { YEAR = 4, MONTH = 2 };
    size_t year = digits_end(parse, at);
    size_t month = digits_end(parse, year + 1);
    size_t day = digits_end(parse, month + 1);
    bool has_month =
        year == at + YEAR && source_at(parse, year) == '-' && month == year + 1 + MONTH;
    bool has_day = has_month && source_at(parse, month) == '-' && day > month + 1;
    size_t end = has_day ? day : month;
    *is_full = has_day;
    bool is_glued = is_name_char(source_at(parse, end)) || source_at(parse, end) == '/';
    return has_month && !is_glued ? end : 0;
}

static int lex_date(Parse *parse, SHALL_YYSTYPE *value, Span *span, size_t end, bool is_full)
{
    span->end = (uint32_t)end;
    Day first = 0;
    Day last = 0;
    const char *reason = NULL;
    bool exists = date_parse(source_slice(parse, *span), &first, &last, &reason);
    if (!exists) {
        parse_error(parse, "date", *span, "'%.*s' is no date: %s",
                    TEXT_ARG(source_slice(parse, *span)), reason);
    } else if (!is_full && is_in_data(parse)) {
        return TOK_DATE_PART;
    } else if (!is_full) {
        Diagnostic *diag = parse_error(parse, "date", *span, "a date here has its day");
        parse_hint(parse, diag, "write '%.*s-01'", TEXT_ARG(source_slice(parse, *span)));
    }
    value->TOK_DATE = (Dated){first, *span, !exists};
    return TOK_DATE;
}

/* ---- quantities ---- */

enum { QUANTITY_LEN_MAX = 160 }; /* none is longer; the rest of a line is not looked through */

static Text digits_text(const Parse *parse, size_t at)
{
    size_t end = at;
    for (;;) {
        char c = source_at(parse, end);
        bool joins = (c == '.' || c == ',' || c == '-' || c == '/') &&
                     ascii_is_digit(source_at(parse, end + 1));
        if (!ascii_is_digit(c) && !joins) {
            return source_slice(parse, (Span){(uint32_t)at, (uint32_t)end});
        }
        end++;
    }
}

/* In the rows of a table two blanks part two quantities: 10 ft  20 ft; one joins: 7 ft 6 in. */
static bool is_column_gap(const Parse *parse, size_t at)
{
    char c = source_at(parse, at);
    return c == '\t' || (c == ' ' && ascii_is_space(source_at(parse, at + 1)));
}

/* What a quantity may be read from: the rest of the line up to a comment; after `0 in steps of`
 * no more than the number, for that `in` is no unit. */
static Text quantity_text(const Parse *parse, size_t at)
{
    bool in_rows = is_in_rows(parse);
    size_t sign = source_at(parse, at) == '-' ? 1 : 0;
    Text digits = digits_text(parse, at + sign);
    size_t next = skip_blanks(parse, at + sign + digits.len);
    if (phrase_end(parse, next, "in steps of") > 0) {
        return (Text){parse->source->bytes.data + at, sign + digits.len};
    }
    size_t end = at;
    while (end < at + QUANTITY_LEN_MAX && source_at(parse, end) != '\n' &&
           end < parse->source->bytes.len && !is_comment(parse, end) &&
           !(in_rows && is_column_gap(parse, end))) {
        end++;
    }
    return text_trim(source_slice(parse, (Span){(uint32_t)at, (uint32_t)end}));
}

/* Past what hangs together with a quantity that could not be read. */
static size_t skip_run(const Parse *parse, size_t at)
{
    for (;;) {
        char c = source_at(parse, at);
        bool is_mark = c == '.' || c == ',' || c == '/' || c == '-' || c == ':' || c == '+';
        bool goes_on = is_mark && is_name_char(source_at(parse, at + 1));
        bool is_inch = c == '"' || c == '\'' || c == '%' || (unsigned char)c >= 0x80;
        if (!is_name_char(c) && !goes_on && !is_inch) {
            return at;
        }
        at++;
    }
}

static int refuse_quantity(Parse *parse, SHALL_YYSTYPE *value, Span *span,
                           const QuantityFault *fault)
{
    uint32_t start = span->start;
    Span at = {start + fault->span.start, start + fault->span.end};
    bool is_unit = text_starts(fault->message, TEXT("unknown unit"));
    Diagnostic *diag = parse_error(parse, is_unit ? "unknown unit" : "quantity", at, "%.*s",
                                   TEXT_ARG(fault->message));
    if (fault->hint.len > 0) {
        parse_hint(parse, diag, "%.*s", TEXT_ARG(fault->hint));
    }
    size_t end = skip_run(parse, at.end > start ? at.end : start + 1);
    size_t next = skip_blanks(parse, end);
    Text unit = word_at(parse, next);
    if (end > at.start && next > end && unit.len > 0 &&
        unit_find(parse->arena, unit, false) != NULL) {
        end = next + unit.len;
    }
    span->end = end > at.end ? (uint32_t)end : at.end;
    static const Quantity NO_QUANTITY = {.range = {.low = {.den = 1}, .flags = RANGE_EXACT}};
    value->TOK_NUMBER = (Amount){&NO_QUANTITY, *span};
    return TOK_NUMBER;
}

/* In a vocabulary the word after a number may be the next field; it is one if a type follows. */
static bool is_qualifier_at(const Parse *parse, size_t at)
{
    static const char *const words[] = {"ask", "key",   "always", "at",     "more", "less",
                                        "in",  "built", "fact",   "record", "end"};
    size_t next = skip_blanks(parse, at);
    Text word = word_at(parse, next);
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (text_equal(word, text_of(words[i]))) {
            return true;
        }
    }
    return word.len == 0;
}

/* Phrases that may follow a bare number. */
static bool is_phrase_at(const Parse *parse, size_t at)
{
    static const char *const phrases[] = {"always present",
                                          "built as",
                                          "at least",
                                          "at most",
                                          "more than",
                                          "less than",
                                          "carries over",
                                          "may advise",
                                          "half up",
                                          "half even",
                                          "unit has",
                                          "worked example",
                                          "existing units from",
                                          "for units where",
                                          "delete and reserve",
                                          "prevails over",
                                          "preempts local law on"};
    for (size_t i = 0; i < sizeof phrases / sizeof phrases[0]; i++) {
        if (phrase_end(parse, at, phrases[i]) > 0) {
            return true;
        }
    }
    return false;
}

/* `1 May after publication` */
static bool is_month_at(const Parse *parse, size_t after_word)
{
    return phrase_end(parse, skip_blanks(parse, after_word), "after publication") > 0;
}

/* A word after a bare number that is nearly a unit and can be nothing else: takes it in, and
 * goes on with the unit that was meant, so that nothing more is said of it. */
static void check_near_unit(Parse *parse, Span *span, Quantity *quantity)
{
    size_t at = span->end;
    while (source_at(parse, at) == ' ' || source_at(parse, at) == '\t') {
        at++;
    }
    Text word = word_at(parse, at);
    Text spelling;
    if (at == span->end || word.len == 0 || is_word_of_language(word) || is_in_rows(parse) ||
        is_phrase_at(parse, at) || is_month_at(parse, at + word.len) ||
        (is_inside(parse, TOK_VOCABULARY) && !is_qualifier_at(parse, at + word.len)) ||
        !unit_suggest(word, &spelling, NULL)) {
        return;
    }
    Span at_word = {(uint32_t)at, (uint32_t)(at + word.len)};
    Diagnostic *diag =
        parse_error(parse, "unknown unit", at_word, "unknown unit '%.*s'", TEXT_ARG(word));
    parse_hint(parse, diag, "did you mean '%.*s'?", TEXT_ARG(spelling));
    span->end = at_word.end;
    const Unit *unit = unit_find(parse->arena, spelling, false);
    if (unit != NULL) {
        Rational si = unit_to_si(parse->arena, unit, quantity->range.low);
        quantity->range = range_exact(si);
        quantity->unit = unit;
        quantity->dimension = unit->dimension;
    }
}

static int lex_quantity(Parse *parse, SHALL_YYSTYPE *value, Span *span)
{
    Text text = quantity_text(parse, span->start);
    Quantity *quantity = ARENA_NEW(parse->arena, Quantity);
    QuantityFault fault = {0};
    size_t read = quantity_scan(parse->arena, text, QUANTITY_RULE, quantity, &fault);
    if (read == 0) {
        return refuse_quantity(parse, value, span, &fault);
    }
    span->end = span->start + (uint32_t)read;
    bool is_bare = quantity->unit == NULL || quantity->percent;
    value->TOK_NUMBER = (Amount){quantity, *span};
    if (quantity->unit == NULL) {
        check_near_unit(parse, span, quantity);
    }
    return is_bare ? TOK_NUMBER : TOK_QUANTITY;
}

/* The year or version after `edition`. */
static int lex_edition(Parse *parse, SHALL_YYSTYPE *value, Span *span)
{
    size_t end = span->start;
    while (is_name_char(source_at(parse, end)) ||
           (source_at(parse, end) == '.' && is_name_char(source_at(parse, end + 1)))) {
        end++;
    }
    span->end = (uint32_t)end;
    value->TOK_TEXT = (Quoted){source_slice(parse, *span), *span};
    return TOK_TEXT;
}

int lex_number(Parse *parse, SHALL_YYSTYPE *value, Span *span)
{
    if (parse->before.kind == TOK_EDITION) {
        return lex_edition(parse, value, span);
    }
    bool is_full = false;
    size_t end = date_end(parse, span->start, &is_full);
    return end > 0 ? lex_date(parse, value, span, end, is_full) : lex_quantity(parse, value, span);
}

/* ---- signs ---- */

static bool is_spaced(const Parse *parse, Span span)
{
    char before = span.start > 0 ? source_at(parse, span.start - 1) : ' ';
    char after = source_at(parse, span.end);
    return ascii_is_space(before) && (ascii_is_space(after) || is_comment(parse, span.end));
}

static void complain_spaces(Parse *parse, Span span)
{
    Text sign = source_slice(parse, span);
    Diagnostic *diag =
        parse_error(parse, "spacing", span, "'%.*s' between two values has a space on both sides",
                    TEXT_ARG(sign));
    parse_hint(parse, diag, "write 'a %.*s b'; a mixed number is written 6-1/2 in", TEXT_ARG(sign));
}

int lex_spaced(Parse *parse, int token, Span *span)
{
    if (!is_spaced(parse, *span)) {
        complain_spaces(parse, *span);
    }
    return token;
}

int lex_minus(Parse *parse, SHALL_YYSTYPE *value, Span *span)
{
    bool is_sign = wants_value(parse) || is_in_rows(parse);
    if (is_sign && ascii_is_digit(source_at(parse, span->end))) {
        return lex_quantity(parse, value, span);
    }
    if (!is_sign && !is_spaced(parse, *span)) {
        complain_spaces(parse, *span);
    }
    return TOK_MINUS;
}
