/* Words: which are words of the language here, and which are names.
 *
 * A word is a name after a dot and before a colon, in data, in the rows of a table, as a field of
 * a record, and wherever the token before asks for a value or a name; so facts may be called
 * unit, stage, level, title, first, holds, ... The words marked HARD are kept out of that: they
 * alone hold sentences together. Several words that mean one thing ("at the discretion of") are
 * read as one token, whatever white space parts them. */
#include <stdlib.h>
#include <string.h>

#include "syntax/parse.h"

typedef enum WordKind {
    HARD,    /* a word of the language everywhere but after a dot, in data, rows and records */
    SOFT,    /* a name wherever a value or name is asked for */
    INFIX,   /* the same, but on a new line of `any of` it carries on the line before */
    TEXTED,  /* soft, but surely a word of the language when a text follows */
    COMMAED, /* only after a comma outside brackets */
    FOUND    /* only in `finds` */
} WordKind;

typedef struct WordOf {
    const char *word;
    int token;
    WordKind kind;
} WordOf;

/* In order of the bytes, for bsearch. */
static const WordOf WORDS[] = {
    {"across", TOK_ACROSS, SOFT},
    {"adopts", TOK_ADOPTS, SOFT},
    {"after", TOK_AFTER, INFIX},
    {"along", TOK_ALONG, SOFT},
    {"amend", TOK_AMEND, TEXTED},
    {"amends", TOK_AMENDS, SOFT},
    {"among", TOK_AMONG, INFIX},
    {"and", TOK_AND, HARD},
    {"as", TOK_AS, SOFT},
    {"ask", TOK_ASK, TEXTED},
    {"authority", TOK_AUTHORITY, SOFT},
    {"basis", TOK_BASIS, SOFT},
    {"before", TOK_BEFORE, INFIX},
    {"beyond", TOK_BEYOND, INFIX},
    {"blank", TOK_BLANK, TEXTED},
    {"by", TOK_BY, HARD},
    {"checklist", TOK_CHECKLIST, SOFT},
    {"choice", TOK_CHOICE, SOFT},
    {"cites", TOK_CITES, TEXTED},
    {"code", TOK_CODE, SOFT},
    {"column", TOK_COLUMN, SOFT},
    {"complies", TOK_COMPLIES, FOUND},
    {"confirmed", TOK_CONFIRMED, SOFT},
    {"continued", TOK_CONTINUED, SOFT},
    {"correction", TOK_CORRECTION, FOUND},
    {"covers", TOK_COVERS, INFIX},
    {"define", TOK_DEFINE, HARD},
    {"delete", TOK_DELETE, TEXTED},
    {"each", TOK_EACH, HARD},
    {"edition", TOK_EDITION, SOFT},
    {"effective", TOK_EFFECTIVE, SOFT},
    {"emergency", TOK_EMERGENCY, SOFT},
    {"end", TOK_END, HARD},
    {"every", TOK_EVERY, HARD},
    {"except", TOK_EXCEPT, HARD},
    {"excused", TOK_EXCUSED, FOUND},
    {"extends", TOK_EXTENDS, TEXTED},
    {"fact", TOK_FACT, SOFT},
    {"filed", TOK_FILED, SOFT},
    {"finds", TOK_FINDS, TEXTED},
    {"for", TOK_FOR, INFIX},
    {"formerly", TOK_FORMERLY, TEXTED},
    {"from", TOK_FROM, TEXTED},
    {"holds", TOK_HOLDS, INFIX},
    {"if", TOK_IF, HARD},
    {"in", TOK_IN, HARD},
    {"insert", TOK_INSERT, SOFT},
    {"is", TOK_IS, HARD},
    {"jurisdiction", TOK_JURISDICTION, SOFT},
    {"key", TOK_KEY, SOFT},
    {"lapses", TOK_LAPSES, SOFT},
    {"letter", TOK_LETTER, TEXTED},
    {"limit", TOK_LIMIT, SOFT},
    {"line", TOK_LINE, TEXTED},
    {"measured", TOK_MEASURED, COMMAED},
    {"no", TOK_NO, HARD},
    {"none", TOK_NONE, HARD},
    {"not", TOK_NOT, HARD},
    {"note", TOK_NOTE, TEXTED},
    {"notwithstanding", TOK_NOTWITHSTANDING, TEXTED},
    {"of", TOK_OF, HARD},
    {"omitted", TOK_OMITTED, SOFT},
    {"on", TOK_ON, SOFT},
    {"or", TOK_OR, HARD},
    {"otherwise", TOK_OTHERWISE, HARD},
    {"overlaps", TOK_OVERLAPS, INFIX},
    {"part", TOK_PART, SOFT},
    {"passed", TOK_PASSED, SOFT},
    {"place", TOK_PLACE, SOFT},
    {"plan", TOK_PLAN, SOFT},
    {"postpones", TOK_POSTPONES, TEXTED},
    {"published", TOK_PUBLISHED, SOFT},
    {"publisher", TOK_PUBLISHER, TEXTED},
    {"rank", TOK_RANK, SOFT},
    {"ranks", TOK_RANKS, SOFT},
    {"reading", TOK_READING, SOFT},
    {"record", TOK_RECORD, SOFT},
    {"remedy", TOK_REMEDY, TEXTED},
    {"renumber", TOK_RENUMBER, TEXTED},
    {"repeals", TOK_REPEALS, TEXTED},
    {"required", TOK_REQUIRED, COMMAED},
    {"reserved", TOK_RESERVED, TEXTED},
    {"rework", TOK_REWORK, SOFT},
    {"schedule", TOK_SCHEDULE, SOFT},
    {"section", TOK_SECTION, HARD},
    {"shall", TOK_SHALL, HARD},
    {"some", TOK_SOME, HARD},
    {"stage", TOK_STAGE, SOFT},
    {"step", TOK_STEP, SOFT},
    {"stet", TOK_STET, TEXTED},
    {"table", TOK_TABLE, SOFT},
    {"that", TOK_THAT, INFIX},
    {"those", TOK_THOSE, HARD},
    {"title", TOK_TITLE, TEXTED},
    {"to", TOK_TO, HARD},
    {"topic", TOK_TOPIC, SOFT},
    {"unless", TOK_UNLESS, HARD},
    {"until", TOK_UNTIL, SOFT},
    {"vocabulary", TOK_VOCABULARY, SOFT},
    {"when", TOK_WHEN, HARD},
    {"where", TOK_WHERE, HARD},
    {"with", TOK_WITH, SOFT},
    {"within", TOK_WITHIN, INFIX},
    {"worksheet", TOK_WORKSHEET, SOFT},
    {"x", TOK_X, HARD},
    {"yes", TOK_YES, HARD},
};

/* When a phrase is one. */
typedef enum Gate {
    ALWAYS,
    AFTER_COMMA,
    AFTER_OTHERWISE,
    AFTER_TARGET, /* the section to amend */
    AFTER_EXCEPT, /* or its label */
    AFTER_ADOPTS, /* and the name of a code */
    AFTER_MONTH,  /* a number and a name */
    IN_PLACE,     /* after a name */
    BEFORE_COLON,
    BEFORE_TEXT,
    BEFORE_PAIR, /* a, b */
    IN_EXAMPLE,
    IN_DATA,
    IN_FINDS
} Gate;

typedef struct PhraseOf {
    const char *phrase;
    int token;
    Gate gate;
} PhraseOf;

/* Of phrases that begin alike, the longer first. */
static const PhraseOf PHRASES[] = {
    {"after publication", TOK_AFTER_PUBLICATION, AFTER_MONTH},
    {"all of", TOK_ALL_OF, ALWAYS},
    {"also at", TOK_ALSO_AT, BEFORE_TEXT},
    {"always present", TOK_ALWAYS_PRESENT, ALWAYS},
    {"and more", TOK_AND_MORE, IN_DATA},
    {"any of", TOK_ANY_OF, ALWAYS},
    {"applies reading", TOK_APPLIES_READING, ALWAYS},
    {"approval of", TOK_APPROVAL_OF, ALWAYS},
    {"at least one", TOK_AT_LEAST_ONE, ALWAYS},
    {"at least", TOK_AT_LEAST, ALWAYS},
    {"at most", TOK_AT_MOST, ALWAYS},
    {"at the discretion of", TOK_AT_THE_DISCRETION_OF, ALWAYS},
    {"built as", TOK_BUILT_AS, ALWAYS},
    {"carries over", TOK_CARRIES_OVER, ALWAYS},
    {"cited as", TOK_CITED_AS, BEFORE_TEXT},
    {"count of", TOK_COUNT_OF, ALWAYS},
    {"delete and reserve", TOK_DELETE_AND_RESERVE, ALWAYS},
    {"decided by", TOK_DECIDED_BY, IN_PLACE},
    {"each edition", TOK_EACH_EDITION, AFTER_ADOPTS},
    {"each pair", TOK_EACH_PAIR, BEFORE_PAIR},
    {"exception", TOK_EXCEPTION, AFTER_TARGET},
    {"existing units from", TOK_EXISTING_UNITS_FROM, ALWAYS},
    {"for units where", TOK_FOR_UNITS_WHERE, ALWAYS},
    {"for units permitted", TOK_FOR_UNITS_PERMITTED, ALWAYS},
    {"gap between", TOK_GAP_BETWEEN, ALWAYS},
    {"greatest of", TOK_GREATEST_OF, ALWAYS},
    {"half even", TOK_HALF_EVEN, ALWAYS},
    {"half up", TOK_HALF_UP, ALWAYS},
    {"if empty", TOK_IF_EMPTY, BEFORE_COLON},
    {"if none", TOK_IF_NONE, ALWAYS},
    {"if provided", TOK_IF_PROVIDED, AFTER_COMMA},
    {"in any orientation", TOK_IN_ANY_ORIENTATION, ALWAYS},
    {"in force", TOK_IN_FORCE, ALWAYS},
    {"in steps of", TOK_IN_STEPS_OF, ALWAYS},
    {"information required", TOK_INFORMATION_REQUIRED, IN_FINDS},
    {"is not none", TOK_IS_NOT_NONE, ALWAYS},
    {"is not absent", TOK_IS_NOT_NONE, ALWAYS},
    {"is not present", TOK_IS_NONE, ALWAYS},
    {"is not", TOK_IS_NOT, ALWAYS},
    {"is none", TOK_IS_NONE, ALWAYS},
    {"is absent", TOK_IS_NONE, ALWAYS},
    {"is present", TOK_IS_NOT_NONE, ALWAYS},
    {"least of", TOK_LEAST_OF, ALWAYS},
    {"less than", TOK_LESS_THAN, ALWAYS},
    {"list of", TOK_LIST_OF, ALWAYS},
    {"locally at least as strict in", TOK_LOCALLY, ALWAYS},
    {"may advise", TOK_MAY_ADVISE, ALWAYS},
    {"may cite", TOK_MAY_CITE, ALWAYS},
    {"more than", TOK_MORE_THAN, ALWAYS},
    {"next higher", TOK_NEXT_HIGHER, ALWAYS},
    {"next lower", TOK_NEXT_LOWER, ALWAYS},
    {"no rule", TOK_NO_RULE, AFTER_OTHERWISE},
    {"not applicable", TOK_NOT_APPLICABLE, IN_FINDS},
    {"not for units under permit", TOK_NOT_FOR_UNITS, ALWAYS},
    {"not to be amended locally in any section", TOK_NOT_LOCALLY_ANYWHERE, ALWAYS},
    {"not to be waived", TOK_NOT_WAIVED, ALWAYS},
    {"not to be amended locally", TOK_NOT_LOCALLY, ALWAYS},
    {"official decides", TOK_OFFICIAL_DECIDES, IN_FINDS},
    {"on or after", TOK_ON_OR_AFTER, ALWAYS},
    {"on or before", TOK_ON_OR_BEFORE, ALWAYS},
    {"one of", TOK_ONE_OF, ALWAYS},
    {"overhang of", TOK_OVERHANG_OF, ALWAYS},
    {"preempts local law on", TOK_PREEMPTS, ALWAYS},
    {"prevails over", TOK_PREVAILS_OVER, ALWAYS},
    {"round down to", TOK_ROUND_DOWN_TO, ALWAYS},
    {"round to nearest", TOK_ROUND_TO_NEAREST, ALWAYS},
    {"round up to", TOK_ROUND_UP_TO, ALWAYS},
    {"shall not", TOK_SHALL_NOT, ALWAYS},
    {"to add", TOK_TO_ADD, AFTER_TARGET},
    {"to delete exception", TOK_TO_DELETE_EXCEPTION, AFTER_TARGET},
    {"to read", TOK_TO_READ, AFTER_TARGET},
    {"total of", TOK_TOTAL_OF, ALWAYS},
    {"unit has", TOK_UNIT_HAS, IN_EXAMPLE},
    {"waits for", TOK_WAITS_FOR, IN_FINDS},
    {"with approval of", TOK_WITH_APPROVAL_OF, AFTER_EXCEPT},
    {"worked example", TOK_WORKED_EXAMPLE, ALWAYS},
};

enum {
    WORD_COUNT = sizeof WORDS / sizeof WORDS[0],
    PHRASE_COUNT = sizeof PHRASES / sizeof PHRASES[0]
};

static int order_word(const void *key, const void *entry)
{
    const Text *text = key;
    const char *word = ((const WordOf *)entry)->word;
    for (size_t i = 0; i < text->len; i++) {
        if (text->data[i] != word[i]) {
            return (unsigned char)text->data[i] - (unsigned char)word[i];
        }
    }
    return word[text->len] == '\0' ? 0 : -1;
}

static const WordOf *find_word(Text word)
{
    return bsearch(&word, WORDS, WORD_COUNT, sizeof WORDS[0], order_word);
}

bool is_word_of_language(Text word)
{
    return find_word(word) != NULL;
}

void index_phrases(Parse *parse)
{
    memset(parse->phrases, PHRASE_COUNT, sizeof parse->phrases);
    for (size_t i = PHRASE_COUNT; i-- > 0;) {
        parse->phrases[PHRASES[i].phrase[0] - 'a'] = (uint8_t)i;
    }
}

/* ---- what stands around ---- */

static bool is_after(const Parse *parse, int kind)
{
    return parse->before.kind == kind;
}

static char next_char(const Parse *parse, size_t at)
{
    return source_at(parse, skip_blanks(parse, at));
}

/* Is there a name, then `of`? */
static bool is_before_item(const Parse *parse, size_t at)
{
    size_t name = skip_blanks(parse, at);
    size_t after = name + word_at(parse, name).len;
    return after > name && phrase_end(parse, skip_blanks(parse, after), "of") > 0;
}

static bool is_before_pair(const Parse *parse, size_t at)
{
    size_t name = skip_blanks(parse, at);
    size_t after = name + word_at(parse, name).len;
    return after > name && next_char(parse, after) == ',';
}

static bool is_outside_brackets(const Parse *parse)
{
    return parse->opener_count > 0 &&
           parse->brackets == parse->openers[parse->opener_count - 1].brackets;
}

static bool is_gate_open(const Parse *parse, Gate gate, size_t end)
{
    int top = top_opener(parse);
    switch (gate) {
    case ALWAYS: return !is_in_data(parse);
    case AFTER_COMMA: return is_after(parse, TOK_COMMA) && is_outside_brackets(parse);
    case AFTER_OTHERWISE: return is_after(parse, TOK_OTHERWISE) && top == TOK_TABLE;
    case AFTER_TARGET:
        return is_after(parse, TOK_TEXT) ||
               (is_after(parse, TOK_NAME) && parse->before_that == TOK_PART);
    case AFTER_EXCEPT:
        return is_after(parse, TOK_EXCEPT) ||
               (is_after(parse, TOK_NAME) && parse->before_that == TOK_TO);
    case AFTER_ADOPTS: return is_after(parse, TOK_NAME) && parse->before_that == TOK_ADOPTS;
    case AFTER_MONTH: return is_after(parse, TOK_NAME) && parse->before_that == TOK_NUMBER;
    case IN_PLACE: return is_after(parse, TOK_NAME) && top == TOK_PLACE;
    case BEFORE_COLON:
        return (is_after(parse, TOK_YES) || is_after(parse, TOK_NO)) &&
               next_char(parse, end) == ':';
    case BEFORE_TEXT: return next_char(parse, end) == '"' && !is_in_data(parse);
    case BEFORE_PAIR: return is_before_pair(parse, end);
    case IN_EXAMPLE: return top == TOK_WORKED_EXAMPLE && !is_in_data(parse);
    case IN_DATA: return is_in_data(parse);
    case IN_FINDS: return parse->is_finding && !is_after(parse, TOK_PART);
    }
    return false;
}

static bool is_phrase_here(const Parse *parse, const PhraseOf *phrase, size_t end)
{
    if (is_in_rows(parse) && !is_after(parse, TOK_OTHERWISE)) {
        return phrase->token == TOK_WORKED_EXAMPLE && parse->line_broken &&
               next_char(parse, end) == '"';
    }
    return is_gate_open(parse, phrase->gate, end);
}

static int find_phrase(const Parse *parse, Text word, size_t at, size_t *end)
{
    if (is_after(parse, TOK_DOT) || wants_name(parse)) {
        return LEX_NOTHING;
    }
    if (word.data[0] < 'a' || word.data[0] > 'z') {
        return LEX_NOTHING;
    }
    for (size_t i = parse->phrases[word.data[0] - 'a']; i < PHRASE_COUNT; i++) {
        const char *phrase = PHRASES[i].phrase;
        if (phrase[0] != word.data[0]) {
            break;
        }
        *end = phrase_end(parse, at, phrase);
        if (*end > 0 && is_phrase_here(parse, &PHRASES[i], *end)) {
            return PHRASES[i].token;
        }
    }
    return LEX_NOTHING;
}

/* ---- records ---- */

static bool is_type_at(const Parse *parse, size_t at)
{
    static const char *const types[] = {"text", "date", "count", "percent", "size", "yes"};
    Text word = word_at(parse, skip_blanks(parse, at));
    for (size_t i = 0; i < sizeof types / sizeof types[0]; i++) {
        if (text_equal(word, text_of(types[i]))) {
            return true;
        }
    }
    Dimension dimension;
    return phrase_end(parse, skip_blanks(parse, at), "one of") > 0 ||
           phrase_end(parse, skip_blanks(parse, at), "list of") > 0 ||
           (word.len > 0 && dimension_find(word, &dimension));
}

/* In a record nearly every word can be the name of a field. */
static bool is_word_in_record(const Parse *parse, const WordOf *word, size_t end)
{
    switch (word->token) {
    case TOK_END: return true;
    case TOK_EVERY: return is_after(parse, TOK_NAME) && !parse->line_broken;
    case TOK_AS:
    case TOK_CONTINUED: return is_after(parse, TOK_NAME) && parse->before_that == TOK_RECORD;
    case TOK_KEY: return !wants_name(parse) && parse->before_that != TOK_RECORD;
    case TOK_ASK: return next_char(parse, end) == '"';
    case TOK_PLAN: {
        size_t name = skip_blanks(parse, end);
        size_t after = name + word_at(parse, name).len;
        return phrase_end(parse, skip_blanks(parse, after), "along") > 0;
    }
    case TOK_ALONG:
    case TOK_ACROSS: return parse->is_planning && !wants_name(parse);
    case TOK_RECORD:
    case TOK_FACT:
    case TOK_CHOICE:
    case TOK_TOPIC: return !wants_name(parse) && !is_type_at(parse, end);
    default: return false;
    }
}

/* ---- words ---- */

static bool is_at_margin(const Parse *parse, size_t start)
{
    return start == 0 || source_at(parse, start - 1) == '\n';
}

static bool is_top_word(int token)
{
    return token == TOK_CODE || token == TOK_VOCABULARY || token == TOK_JURISDICTION ||
           token == TOK_PLACE;
}

/* In the rows of a table that was left open: does another block begin? */
static bool is_block_here(const Parse *parse, int token, size_t end)
{
    size_t name = skip_blanks(parse, end);
    size_t after = skip_blanks(parse, name + word_at(parse, name).len);
    if (!parse->line_broken) {
        return false;
    }
    switch (token) {
    case TOK_SECTION:
    case TOK_AMEND:
    case TOK_DELETE: return source_at(parse, name) == '"';
    case TOK_TABLE: return phrase_end(parse, after, "by") > 0;
    case TOK_CHECKLIST:
    case TOK_WORKSHEET: return after > name && source_at(parse, after) == '"';
    case TOK_ADOPTS:
    case TOK_AMENDS: return phrase_end(parse, after, "edition") > 0;
    case TOK_OMITTED:
    case TOK_INSERT: return phrase_end(parse, name, "section") > 0;
    default: return false;
    }
}

/* In data and in the rows of tables. */
static bool is_word_of_value(const Parse *parse, const WordOf *word)
{
    int before = parse->before.kind;
    bool after_number = before == TOK_NUMBER || before == TOK_QUANTITY;
    switch (word->token) {
    case TOK_YES:
    case TOK_NO:
    case TOK_NONE: return true;
    case TOK_END: return parse->line_broken || !is_in_data(parse);
    case TOK_OTHERWISE: return is_in_rows(parse) && parse->line_broken;
    case TOK_X: return is_in_data(parse) && after_number;
    default: return false;
    }
}

static bool is_soft_word(const Parse *parse, const WordOf *word, size_t end)
{
    bool is_texted = next_char(parse, end) == '"';
    bool is_asked_for = wants_value(parse);
    int before = parse->before.kind;
    if (next_char(parse, end) == ':' && word->kind != HARD) {
        return false;
    }
    if (parse->is_finding && before == TOK_TEXT && word->token != TOK_PART &&
        (word->kind == SOFT || word->kind == TEXTED)) {
        return false; /* the label of a line */
    }
    switch (word->kind) {
    case HARD: return true;
    case SOFT:
        if (word->token == TOK_LIMIT && parse->is_finding) {
            return before == TOK_COMMA && is_outside_brackets(parse);
        }
        return !is_asked_for && !is_new_alternative(parse);
    case INFIX: return !is_asked_for;
    case TEXTED:
        return (is_texted && !wants_name(parse)) || (!is_asked_for && !is_new_alternative(parse));
    case COMMAED:
        return before == TOK_COMMA && is_outside_brackets(parse) &&
               (word->token == TOK_MEASURED) == parse->is_finding &&
               !is_inside(parse, TOK_VOCABULARY);
    case FOUND: return parse->is_finding && (before == TOK_TEXT || before == TOK_NAME);
    }
    return false;
}

static bool is_word_here(const Parse *parse, const WordOf *word, size_t start, size_t end)
{
    if (is_after(parse, TOK_DOT)) { /* the end of a broken-off line is no name */
        return parse->line_broken && word->kind == HARD;
    }
    if (is_top_word(word->token) && is_at_margin(parse, start)) {
        return true;
    }
    if (word->token == TOK_PLACE) {
        return parse->opener_count == 0;
    }
    if (is_in_data(parse)) {
        return is_word_of_value(parse, word);
    }
    if (top_opener(parse) == TOK_RECORD) {
        return is_word_in_record(parse, word, end);
    }
    if (word->token == TOK_KEY || word->token == TOK_PLAN || word->token == TOK_ALONG ||
        word->token == TOK_ACROSS) {
        return false;
    }
    if (is_in_rows(parse)) {
        bool in_head = !parse->openers[parse->opener_count - 1].rows;
        bool is_of_head =
            word->token == TOK_CITES || word->token == TOK_IN || word->token == TOK_BY;
        return is_word_of_value(parse, word) || (in_head && is_of_head) ||
               is_block_here(parse, word->token, end);
    }
    return is_soft_word(parse, word, end);
}

/* ---- words that ask for more ---- */

static Text unit_candidate(const Parse *parse, size_t at, unsigned words)
{
    size_t end = at;
    for (unsigned i = 0; i < words; i++) {
        size_t next = i == 0 ? at : skip_blanks(parse, end);
        size_t stop = next;
        while (ascii_is_letter(source_at(parse, stop)) || ascii_is_digit(source_at(parse, stop)) ||
               source_at(parse, stop) == '/' || source_at(parse, stop) == '%') {
            stop++;
        }
        if (stop == next) {
            break;
        }
        end = stop;
    }
    return source_slice(parse, (Span){(uint32_t)at, (uint32_t)end});
}

/* `in` and the unit of a table or a step. */
static int lex_unit(Parse *parse, SHALL_YYSTYPE *value, Span *span)
{
    enum { WORDS_MAX = 4 }; /* lb per gal rise */
    size_t at = skip_blanks(parse, span->end);
    for (unsigned words = WORDS_MAX; words > 0; words--) {
        Text unit = unit_candidate(parse, at, words);
        if (text_equal(unit, TEXT("percent")) ||
            (unit.len > 0 && unit_find(parse->arena, unit, false) != NULL)) {
            Span unit_span = {(uint32_t)at, (uint32_t)(at + unit.len)};
            lex_comments_in(parse, span->end, at);
            value->TOK_IN_UNIT = (Quoted){unit, unit_span};
            span->end = unit_span.end;
            return TOK_IN_UNIT;
        }
    }
    Text word = unit_candidate(parse, at, 1);
    if (word.len == 0) {
        return TOK_IN;
    }
    Span at_word = {(uint32_t)at, (uint32_t)(at + word.len)};
    Diagnostic *diag =
        parse_error(parse, "unknown unit", at_word, "unknown unit '%.*s'", TEXT_ARG(word));
    Text spelling;
    if (unit_suggest(word, &spelling, NULL)) {
        parse_hint(parse, diag, "did you mean '%.*s'?", TEXT_ARG(spelling));
    }
    value->TOK_IN_UNIT = (Quoted){word, at_word};
    span->end = at_word.end;
    return TOK_IN_UNIT;
}

static int lex_name(Parse *parse, SHALL_YYSTYPE *value, Text word, Span span)
{
    value->TOK_NAME = (Named){names_intern(parse->names, word), span};
    return TOK_NAME;
}

/* Past a whole worked example that begins at `at`: its `end` is the first outside texts, comments
 * and data. */
static size_t example_end(const Parse *parse, size_t at)
{
    const Text bytes = parse->source->bytes;
    unsigned brackets = 0;
    while (at < bytes.len) {
        char c = bytes.data[at];
        if (ascii_is_letter(c)) {
            Text word = word_at(parse, at);
            at += word.len;
            if (brackets == 0 && text_equal(word, TEXT("end"))) {
                return at;
            }
            continue;
        }
        if (c == '"') {
            for (at++; at < bytes.len && bytes.data[at] != '"' && bytes.data[at] != '\n'; at++) {
                at += bytes.data[at] == '\\' ? 1 : 0;
            }
        } else if (c == '-' && source_at(parse, at + 1) == '-') {
            at = skip_blanks(parse, at);
            continue;
        }
        brackets += c == '[' || c == '{' ? 1 : 0;
        brackets -= brackets > 0 && (c == ']' || c == '}') ? 1 : 0;
        at++;
    }
    return bytes.len;
}

/* ---- codes passed over ---- */

/* The next word at the left margin that begins a block of the file. */
static size_t next_block(const Parse *parse, size_t at)
{
    const Text bytes = parse->source->bytes;
    while (at < bytes.len) {
        const char *end = memchr(bytes.data + at, '\n', bytes.len - at);
        if (end == NULL) {
            break;
        }
        at = (size_t)(end - bytes.data) + 1;
        const WordOf *known =
            ascii_is_letter(source_at(parse, at)) ? find_word(word_at(parse, at)) : NULL;
        if (known != NULL && is_top_word(known->token)) {
            return at;
        }
    }
    return bytes.len;
}

static const Name *code_name_at(const Parse *parse, size_t word_end)
{
    Text word = word_at(parse, skip_blanks(parse, word_end));
    return word.len == 0 ? NULL : names_intern(parse->names, word);
}

static void pass_code(Parse *parse, const Name *name)
{
    PassedTree *passed = ARENA_NEW(parse->arena, PassedTree);
    *passed = (PassedTree){name, parse->file->passed};
    parse->file->passed = passed;
}

bool passes_file(Parse *parse)
{
    static const Text code = {"code", 4};
    size_t start = skip_blanks(parse, 0);
    for (size_t at = start; at < parse->source->bytes.len; at = next_block(parse, at)) {
        Text word = word_at(parse, at);
        const Name *name = text_equal(word, code) ? code_name_at(parse, at + word.len) : NULL;
        if (name == NULL || !is_at_margin(parse, at) || map_get(parse->wanted, name) != NULL) {
            parse->file->passed = NULL;
            return false;
        }
        pass_code(parse, name);
    }
    return parse->file->passed != NULL;
}

/* A code at the margin that nobody wants: to the next block. */
static bool passes_code(Parse *parse, Span *span)
{
    if (parse->wanted == NULL || !is_at_margin(parse, span->start)) {
        return false;
    }
    const Name *name = code_name_at(parse, span->end);
    if (name == NULL || map_get(parse->wanted, name) != NULL) {
        return false;
    }
    pass_code(parse, name);
    span->end = (uint32_t)next_block(parse, span->end);
    parse->line_broken = true;
    return true;
}

int lex_word(Parse *parse, SHALL_YYSTYPE *value, Span *span)
{
    Text word = source_slice(parse, *span);
    size_t end = 0;
    int phrase = find_phrase(parse, word, span->start, &end);
    if (phrase == TOK_WORKED_EXAMPLE && parse->without_examples) {
        span->end = (uint32_t)example_end(parse, end);
        parse->line_broken = true;
        return LEX_NOTHING;
    }
    if (phrase != LEX_NOTHING) {
        lex_comments_in(parse, span->end, end);
        span->end = (uint32_t)end;
        return phrase;
    }
    if (text_equal(word, TEXT("yes")) && source_at(parse, span->end) == '/' &&
        text_equal(word_at(parse, span->end + 1), TEXT("no"))) {
        span->end += 3;
        return TOK_YES_NO;
    }
    if (text_equal(word, TEXT("first")) && wants_value(parse) && !wants_name(parse) &&
        is_before_item(parse, span->end)) {
        return TOK_FIRST;
    }
    const WordOf *known = find_word(word);
    if (known == NULL || !is_word_here(parse, known, span->start, span->end)) {
        return lex_name(parse, value, word, *span);
    }
    if (known->token == TOK_CODE && passes_code(parse, span)) {
        return LEX_NOTHING;
    }
    bool is_answer = is_after(parse, TOK_IS) || is_after(parse, TOK_IS_NOT) ||
                     is_after(parse, TOK_EQUAL) || is_after(parse, TOK_NOT_EQUAL);
    if (known->token == TOK_NO && !is_answer && !is_in_rows(parse) && !is_in_data(parse) &&
        is_before_item(parse, span->end)) {
        return TOK_NO_ITEM;
    }
    int top = top_opener(parse);
    bool is_sum = top == TOK_TABLE || top == TOK_WORKSHEET || top == TOK_SCHEDULE;
    if (known->token == TOK_IN && is_sum && next_char(parse, span->end) != '"') {
        return lex_unit(parse, value, span);
    }
    return known->token;
}
