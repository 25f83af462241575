/* What the parser has to complain about, in the words of the language: what was found, after
 * what, what can stand there, and for the slips that people make what to write. */
#include "syntax/parse.h"

#include <string.h>

enum { SHOWN_MAX = 32, LISTED_MAX = 5, COMPLAINTS_MAX = 100 };

/* ---- what was expected ---- */

/* Where all of `marks` can come, what can come is told in one word; the `members` go unsaid. */
typedef struct Group {
    const char *said;
    const char *const *marks;
    const char *const *members;
} Group;

static const char *const VALUE_MARKS[] = {"a number", "(", NULL};
static const char *const VALUES[] = {"a name",
                                     "a number",
                                     "a quantity",
                                     "a text in quotes",
                                     "a date",
                                     "yes",
                                     "no",
                                     "(",
                                     "-",
                                     "not",
                                     "every",
                                     "some",
                                     "no (of a list)",
                                     "total of",
                                     "least of",
                                     "greatest of",
                                     "count of",
                                     "those",
                                     "first",
                                     "any of",
                                     "all of",
                                     "gap between",
                                     "overhang of",
                                     "round up to",
                                     "round down to",
                                     "round to nearest",
                                     "approval of",
                                     "blank",
                                     NULL};
static const char *const DATUM_MARKS[] = {"a number", "{", NULL};
static const char *const DATA[] = {"a name", "a number", "a quantity", "a text in quotes",
                                   "a date", "a month",  "yes",        "no",
                                   "none",   "[",        "{",          NULL};
static const char *const AMOUNT_MARKS[] = {"a number", "a quantity", NULL};
static const char *const AMOUNTS[] = {"a number", "a quantity", NULL};
static const char *const OPERATOR_MARKS[] = {"+", "and", NULL};
static const char *const OPERATORS[] = {"or",
                                        "and",
                                        "<",
                                        "<=",
                                        ">",
                                        ">=",
                                        "=",
                                        "!=",
                                        "is",
                                        "is not",
                                        "is none",
                                        "is not none",
                                        "among",
                                        "before",
                                        "after",
                                        "on or after",
                                        "on or before",
                                        "within",
                                        "holds",
                                        "in any orientation",
                                        "+",
                                        "-",
                                        "*",
                                        "/",
                                        "x",
                                        "covers",
                                        "overlaps",
                                        "that",
                                        "if",
                                        ".",
                                        "[",
                                        "(",
                                        NULL};
static const char *const CLAUSE_MARKS[] = {"remedy", "notwithstanding", NULL};
static const char *const CLAUSES[] = {"topic",
                                      "rank",
                                      "authority",
                                      "stage",
                                      "rework",
                                      "basis",
                                      "for units permitted",
                                      "not for units under permit",
                                      "existing units from",
                                      "for units where",
                                      "formerly",
                                      "also at",
                                      "confirmed",
                                      "not to be waived",
                                      "each",
                                      "each pair",
                                      "when",
                                      "define",
                                      "reading",
                                      "shall",
                                      "shall not",
                                      "except",
                                      "at the discretion of",
                                      "remedy",
                                      "notwithstanding",
                                      "stet",
                                      NULL};
static const char *const CODE_MARKS[] = {"section", "publisher", NULL};
static const char *const CODE_PARTS[] = {"published", "reserved",   "for units where", "title",
                                         "publisher", "vocabulary", "ranks",           "rank",
                                         "authority", "stage",      "rework",          "basis",
                                         "section",   "omitted",    "define",          "table",
                                         "worksheet", "reading",    "worked example",  "cited as",
                                         NULL};
static const char *const LAW_MARKS[] = {"adopts", "worksheet", NULL};
static const char *const LAW_PARTS[] = {"adopts",    "amends",    "define",
                                        "table",     "worksheet", "worked example",
                                        "checklist", "confirmed", NULL};
static const char *const CHANGE_MARKS[] = {"amend", "delete", NULL};
static const char *const CHANGES[] = {"amend",
                                      "delete and reserve",
                                      "renumber",
                                      "not to be amended locally in any section",
                                      "not to be waived",
                                      "preempts local law on",
                                      "prevails over",
                                      "for units where",
                                      "repeals",
                                      "extends",
                                      "postpones",
                                      "passed",
                                      "filed",
                                      "effective",
                                      "emergency",
                                      "delete",
                                      "insert",
                                      "applies reading",
                                      "locally at least as strict in",
                                      "not to be amended locally",
                                      NULL};
static const char *const QUALIFIER_MARKS[] = {"always present", "at least", NULL};
static const char *const QUALIFIERS[] = {"always present", "key",      "ask",     "built as",
                                         "in steps of",    "at least", "at most", "more than",
                                         "less than",      NULL};
static const char *const OUTCOME_MARKS[] = {"complies", "correction", NULL};
static const char *const OUTCOMES[] = {
    "complies",         "correction",     "excused", "information required",
    "official decides", "not applicable", NULL};
static const char *const TYPE_MARKS[] = {"yes/no", "list of", NULL};
static const char *const TYPES[] = {"a name", "yes/no", "list of", "one of", "every", NULL};
static const char *const FILE_MARKS[] = {"code", "jurisdiction", NULL};
static const char *const FILE_PARTS[] = {"vocabulary",          "code", "jurisdiction", "place",
                                         "the end of the file", NULL};

/* The first that fits speaks; groups may follow one another (an operator or the next clause). */
static const Group GROUPS[] = {
    {"a value such as '24 in' or a name", DATUM_MARKS, DATA},
    {"a value", VALUE_MARKS, VALUES},
    {"a number or quantity", AMOUNT_MARKS, AMOUNTS},
    {"an operator", OPERATOR_MARKS, OPERATORS},
    {"a clause such as 'shall' or 'remedy'", CLAUSE_MARKS, CLAUSES},
    {"a part of the code such as 'section' or 'define'", CODE_MARKS, CODE_PARTS},
    {"a block such as 'adopts' or 'amends'", LAW_MARKS, LAW_PARTS},
    {"a change such as 'amend' or 'delete'", CHANGE_MARKS, CHANGES},
    {"a qualifier such as 'always present' or 'at least'", QUALIFIER_MARKS, QUALIFIERS},
    {"an outcome such as 'complies' or 'correction'", OUTCOME_MARKS, OUTCOMES},
    {"a type", TYPE_MARKS, TYPES},
    {"'vocabulary', 'code', 'jurisdiction' or 'place'", FILE_MARKS, FILE_PARTS},
};

typedef struct Expected {
    const char **words;
    size_t count;
} Expected;

static bool is_expected(const Expected *expected, const char *word)
{
    for (size_t i = 0; i < expected->count; i++) {
        if (strcmp(expected->words[i], word) == 0) {
            return true;
        }
    }
    return false;
}

static bool has_all(const Expected *expected, const char *const *marks)
{
    for (size_t i = 0; marks[i] != NULL; i++) {
        if (!is_expected(expected, marks[i])) {
            return false;
        }
    }
    return true;
}

static bool is_member(const char *const *members, const char *word)
{
    for (size_t i = 0; members[i] != NULL; i++) {
        if (strcmp(members[i], word) == 0) {
            return true;
        }
    }
    return false;
}

static void drop(Expected *expected, const char *const *members)
{
    size_t kept = 0;
    for (size_t i = 0; i < expected->count; i++) {
        if (!is_member(members, expected->words[i])) {
            expected->words[kept++] = expected->words[i];
        }
    }
    expected->count = kept;
}

/* "a name" and "the end of the file" are said as they are, words of the language in quotes. */
static const char *quoted(Parse *parse, const char *word)
{
    static const char *const plain[] = {
        "a name",  "a number",   "a quantity", "a text in quotes",    "a date",
        "a month", "a new line", "a new row",  "the end of the file", NULL};
    if (is_member(plain, word)) {
        return word;
    }
    if (strcmp(word, "in and a unit") == 0) {
        return "'in'";
    }
    return text_string(parse->arena, text_format(parse->arena, "'%s'", word));
}

/* "a value", "an operator or the next clause", "'of'"; "" when too much could stand there. */
static Text name_expected(Parse *parse, Expected *expected)
{
    enum { SAID_MAX = 16 };
    const char *said[SAID_MAX];
    size_t count = 0;
    for (size_t i = 0; i < sizeof GROUPS / sizeof GROUPS[0] && count < SAID_MAX; i++) {
        if (has_all(expected, GROUPS[i].marks)) {
            said[count++] = GROUPS[i].said;
            drop(expected, GROUPS[i].members);
        }
    }
    if (count == 0 && expected->count > LISTED_MAX) {
        return TEXT("");
    }
    for (size_t i = 0; i < expected->count && count < LISTED_MAX; i++) {
        said[count++] = quoted(parse, expected->words[i]);
    }
    Buffer buffer = buffer_make(parse->arena);
    for (size_t i = 0; i < count; i++) {
        buffer_string(&buffer, i == 0 ? "" : (i + 1 == count ? " or " : ", "));
        buffer_string(&buffer, said[i]);
    }
    return buffer_done(&buffer);
}

/* ---- what was found ---- */

/* What stood there, as written, cut where it gets long. */
static Text shown(Parse *parse, Span span)
{
    Text text = source_slice(parse, span);
    size_t len = 0;
    while (len < text.len && len < SHOWN_MAX && text.data[len] != '\n') {
        len++;
    }
    while (len < text.len && len > 0 && ((unsigned char)text.data[len] & 0xC0) == 0x80) {
        len--;
    }
    Text part = text_trim((Text){text.data, len});
    return len == text.len ? part : text_format(parse->arena, "%.*s...", TEXT_ARG(part));
}

static Text name_found(Parse *parse, const Token *token)
{
    switch (token->kind) {
    case 0: return TEXT("the end of the file");
    case TOK_ALT:
    case TOK_ROW: return TEXT("the end of the line");
    case TOK_TEXT:
        return text_format(parse->arena, "the text %.*s", TEXT_ARG(shown(parse, token->span)));
    default: return text_format(parse->arena, "'%.*s'", TEXT_ARG(shown(parse, token->span)));
    }
}

/* ---- what to do ---- */

typedef struct Advice {
    const char *word;
    const char *hint;
} Advice;

/* Words of other languages, and of this one where they do not fit. */
static const Advice ADVICE[] = {
    {"else", "a choice is written 'A if CONDITION otherwise B'"},
    {"elif", "a choice is written 'A if CONDITION otherwise B'"},
    {"elseif", "a choice is written 'A if CONDITION otherwise B'"},
    {"then", "a choice is written 'A if CONDITION otherwise B'"},
    {"if", "a choice is written 'A if CONDITION otherwise B'"},
    {"must", "a requirement is written 'shall'"},
    {"should", "a requirement is written 'shall'"},
    {"may", "an exception is written 'except where CONDITION'"},
    {"equals", "write 'is' or '='"},
    {"equal", "write 'is' or '='"},
    {"exceeds", "write '>'"},
    {"contains", "write 'some x of list: x.field is value'"},
    {"between", "write 'a >= low and a <= high'"},
    {"at least", "in a comparison write '>='"},
    {"at most", "in a comparison write '<='"},
    {"more than", "in a comparison write '>'"},
    {"less than", "in a comparison write '<'"},
    {"none", "absence is asked for with 'is none'"},
    {"in", "membership is written 'x among (a, b)'"},
    {"x", "'x' builds sizes and cannot be a name"},
    {"true", "write 'yes'"},
    {"false", "write 'no'"},
    {"import", "nothing is included: give the command all files or their folder"},
    {"include", "nothing is included: give the command all files or their folder"},
    {"whereas", "write 'where' or 'when'"},
    {"having", "write 'where'"},
    {"such", "write 'where'"},
};

static bool is_comparison(int kind)
{
    switch (kind) {
    case TOK_LESS:
    case TOK_LESS_EQUAL:
    case TOK_GREATER:
    case TOK_GREATER_EQUAL:
    case TOK_EQUAL:
    case TOK_NOT_EQUAL:
    case TOK_IS:
    case TOK_IS_NOT:
    case TOK_IS_NONE:
    case TOK_IS_NOT_NONE: return true;
    default: return false;
    }
}

static const char *advice_on(const Parse *parse, const Token *found, const Expected *expected)
{
    Text word = source_slice(parse, found->span);
    bool only_name = expected->count == 1 && is_expected(expected, "a name");
    if (only_name && is_word_of_language(word)) {
        return "that is a word of the language, which cannot be a name here";
    }
    if (is_comparison(found->kind) && is_expected(expected, "and")) {
        return "comparisons do not chain: write 'a < b and b < c'";
    }
    if (expected->count == 1 && is_expected(expected, "of") && text_equal(word, TEXT("in"))) {
        return "items are taken of a list: 'each t of tanks'";
    }
    if (found->kind == TOK_NAME && parse->before_that == TOK_NUMBER) {
        return "a word after a number is read as its unit if it is one; this is none";
    }
    if (is_expected(expected, "a text in quotes") && found->kind == TOK_NAME) {
        return "a text stands in double quotes";
    }
    for (size_t i = 0; i < sizeof ADVICE / sizeof ADVICE[0]; i++) {
        if (text_equal(word, text_of(ADVICE[i].word))) {
            return ADVICE[i].hint;
        }
    }
    if (is_expected(expected, "a name") && !found->first && is_word_of_language(word)) {
        return "that is a word of the language, which cannot be a name here";
    }
    return NULL;
}

static void note_open_bracket(Parse *parse, Diagnostic *diag, const Expected *expected)
{
    if (is_expected(expected, ")")) {
        parse_hint(parse, diag, "a bracket is still open");
    }
}

/* ---- complaints ---- */

/* Can the parser go on at this token itself? */
static bool is_landing(const Parse *parse, const Token *token)
{
    bool is_clause = token->first && (token_flags(token->kind) & TOKEN_CLAUSE) != 0;
    return token->kind == 0 || token->kind == TOK_END || token->kind == TOK_ALT ||
           token->kind == TOK_ROW || is_clause || parse->has_pending;
}

bool parse_goes_on(Parse *parse, bool fresh)
{
    if (fresh) {
        return true;
    }
    bool is_new = parse->forgiven != parse->serial;
    parse->forgiven = parse->serial;
    return is_new && is_landing(parse, &parse->before);
}

static void begin_panic(Parse *parse, const Token *found)
{
    bool is_sync = is_landing(parse, found);
    bool opened = parse->opener_count > 0 &&
                  parse->openers[parse->opener_count - 1].span.start == found->span.start &&
                  (token_flags(found->kind) & TOKEN_OPENS) != 0;
    parse->panic = !is_sync;
    parse->panic_height = parse->opener_count - (opened ? 1 : 0);
    if (is_sync) {
        parse->brackets =
            parse->opener_count > 0 ? parse->openers[parse->opener_count - 1].brackets : 0;
    }
}

static const Token *token_found(const Parse *parse)
{
    bool is_put_in =
        parse->before.kind == TOK_END && parse->before.span.start == parse->before.span.end;
    return is_put_in ? &parse->pending : &parse->before;
}

void complain_unexpected(Parse *parse, Span span, const char **words, size_t count)
{
    if (parse->is_stopped) {
        return;
    }
    if (parse->serial == parse->landing || parse->serial == parse->forgiven) {
        begin_panic(parse, &parse->before); /* a word that cannot stand here follows from before */
        parse->panic = true;
        return;
    }
    const Token *found = token_found(parse);
    if (found->kind == 0 && parse->is_cut_short) {
        return; /* it is said already that an end is missing */
    }
    Expected expected = {words, count};
    if (found->kind == TOK_END && parse->end_is_lost) {
        parse_error(parse, "syntax", span, "this 'end' closes nothing: no block is open here");
        return;
    }
    if (++parse->complaints > COMPLAINTS_MAX) {
        parse_error(parse, "syntax", span, "more than %d mistakes: the rest is not read",
                    COMPLAINTS_MAX);
        parse->is_stopped = true;
        return;
    }
    const char *hint = advice_on(parse, found, &expected);
    Expected rest = expected;
    Text wanted = name_expected(parse, &rest);
    Text what = name_found(parse, found);
    Diagnostic *diag;
    if (wanted.len == 0) {
        diag = parse_error(parse, "syntax", found->span, "%.*s does not fit here", TEXT_ARG(what));
    } else if (parse->last.start < parse->last.end) {
        diag = parse_error(parse, "syntax", found->span, "expected %.*s after '%.*s', found %.*s",
                           TEXT_ARG(wanted), TEXT_ARG(shown(parse, parse->last)), TEXT_ARG(what));
    } else {
        diag = parse_error(parse, "syntax", found->span, "expected %.*s, found %.*s",
                           TEXT_ARG(wanted), TEXT_ARG(what));
    }
    if (hint != NULL) {
        parse_hint(parse, diag, "%s", hint);
    }
    note_open_bracket(parse, diag, &rest);
    begin_panic(parse, &parse->before);
}

void complain_depth(Parse *parse, Span span)
{
    Diagnostic *diag = parse_error(parse, "nested too deeply", span,
                                   "nested too deeply: more than %d levels", TREE_DEPTH_MAX);
    parse_hint(parse, diag, "name a part of it with 'define'");
}

void complain_stop(Parse *parse, Span span)
{
    if (!parse->is_stopped) {
        complain_depth(parse, span);
    }
    parse->is_stopped = true;
}

void complain_missing_end(Parse *parse, const Opener *opener, const Token *before)
{
    Text place = name_found(parse, before);
    parse->is_cut_short = before->kind == 0;
    const char *block = opener_word(opener->kind);
    Diagnostic *diag = parse_error(parse, "missing end", before->span,
                                   "'end' of '%s' is missing before %.*s", block, TEXT_ARG(place));
    parse_see(parse, diag, opener->span, "'%s' begins here", block);
    if (parse->odd_opener.kind != 0) {
        parse_see(parse, diag, parse->odd_end,
                  "this 'end' closed '%s', though it does not stand under it",
                  opener_word(parse->odd_opener.kind));
    }
}
