/* The words of a rule file. The reader looks one token ahead and may be copied to look further; a
 * literal is read from the text itself, because units are words only behind a number. */
#include "oracle.h"

#include <string.h>

void read_error(const Reader *r, const char *what)
{
    give_up("%s:%d: %s, not '%.30s'", r->file, r->token.line, what, r->token.start);
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Moves behind blanks and comments; true when a line ended. */
static bool skip(Reader *r)
{
    bool ended = false;
    for (;;) {
        if (*r->at == '\n') {
            r->line++;
            ended = true;
            r->at++;
        } else if (*r->at == ' ' || *r->at == '\t' || *r->at == '\r') {
            r->at++;
        } else if (r->at[0] == '-' && r->at[1] == '-') {
            r->at += strcspn(r->at, "\n");
        } else {
            return ended;
        }
    }
}

static void text_token(Reader *r)
{
    char *out = pool_get(strcspn(r->at, "\n") + 1), *o = out;
    const char *p = r->at + 1;
    while (*p != '"' && *p != '\n' && *p != '\0') {
        p += *p == '\\';
        *o++ = *p++;
    }
    if (*p != '"') {
        read_error(r, "a text ends on its line");
    }
    r->token.kind = TOKEN_TEXT;
    r->token.text = out;
    r->at = p + 1;
}

static void sign_token(Reader *r)
{
    static const char *const PAIRS[] = {"<=", ">=", "!=", "..", "+-"};
    size_t n = 1;
    for (size_t i = 0; i < sizeof PAIRS / sizeof PAIRS[0]; i++) {
        n = strncmp(r->at, PAIRS[i], 2) == 0 ? 2 : n;
    }
    r->token.kind = TOKEN_SIGN;
    r->token.text = pool_text(r->at, n);
    r->at += n;
}

static bool looks_like_date(const char *p)
{
    return strspn(p, "0123456789") == 4 && p[4] == '-' && strspn(p + 5, "0123456789") == 2 &&
           p[7] == '-' && strspn(p + 8, "0123456789") == 2;
}

void read_next(Reader *r)
{
    bool begin = r->token.start == NULL;
    bool first = skip(r) || begin;
    r->token = (Token){.start = r->at, .line = r->line, .first = first};
    if (*r->at == '\0') {
        r->token.kind = TOKEN_END;
    } else if (is_letter(*r->at)) {
        size_t n = 0;
        while (is_letter(r->at[n]) || is_digit(r->at[n]) || r->at[n] == '_') {
            n++;
        }
        r->token.kind = TOKEN_WORD;
        r->token.text = pool_text(r->at, n);
        r->at += n;
    } else if (looks_like_date(r->at)) {
        r->token.kind = TOKEN_DATE;
        r->at += 10;
    } else if (is_digit(*r->at)) {
        r->token.kind = TOKEN_NUMBER; /* its end is found by whoever reads it */
    } else if (*r->at == '"') {
        text_token(r);
    } else {
        sign_token(r);
    }
}

void read_from(Reader *r, const char *at)
{
    r->at = at;
    read_next(r);
}

bool at_word(const Reader *r, const char *word)
{
    return r->token.kind == TOKEN_WORD && strcmp(r->token.text, word) == 0;
}

bool at_sign(const Reader *r, const char *sign)
{
    return r->token.kind == TOKEN_SIGN && strcmp(r->token.text, sign) == 0;
}

bool take_word(Reader *r, const char *word)
{
    if (!at_word(r, word)) {
        return false;
    }
    read_next(r);
    return true;
}

bool take_sign(Reader *r, const char *sign)
{
    if (!at_sign(r, sign)) {
        return false;
    }
    read_next(r);
    return true;
}

void want_word(Reader *r, const char *word)
{
    if (!take_word(r, word)) {
        read_error(r, pool_format("'%s' is expected", word));
    }
}

void want_words(Reader *r, const char *words)
{
    while (*words != '\0') {
        size_t n = strcspn(words, " ");
        want_word(r, pool_text(words, n));
        words += n + strspn(words + n, " ");
    }
}

/* Of a sign or text, its beginning is asked. */
bool next_is(const Reader *r, const char *word)
{
    Reader look = *r;
    read_next(&look);
    return at_word(&look, word) || (look.token.kind != TOKEN_WORD && *look.token.start == *word);
}

void want_sign(Reader *r, const char *sign)
{
    if (!take_sign(r, sign)) {
        read_error(r, pool_format("'%s' is expected", sign));
    }
}

const char *want_name(Reader *r)
{
    if (r->token.kind != TOKEN_WORD) {
        read_error(r, "a name is expected");
    }
    const char *name = r->token.text;
    read_next(r);
    return name;
}

const char *want_text(Reader *r)
{
    if (r->token.kind != TOKEN_TEXT) {
        read_error(r, "a text is expected");
    }
    const char *text = r->token.text;
    read_next(r);
    return text;
}

Range want_date(Reader *r)
{
    const char *p = r->token.start;
    Range date;
    if (r->token.kind != TOKEN_DATE || !date_read(&p, &date)) {
        read_error(r, "a date is expected");
    }
    read_next(r);
    return date;
}

long want_days(Reader *r)
{
    Range date = want_date(r);
    return mpz_get_si(mpq_numref(date.lo.v)) / 86400;
}

Quantity want_quantity(Reader *r, bool joined)
{
    const char *p = r->token.start;
    Quantity quantity;
    if (!quantity_read(&p, false, joined, &quantity)) {
        read_error(r, "a quantity is expected");
    }
    read_from(r, p);
    return quantity;
}
