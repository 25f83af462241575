/* The stream of tokens that the parser reads: the scanner's, put in order.
 *
 * Puts in what layout says (a new row of a table, a new alternative of `any of`), puts in an
 * `end` that was forgotten where a word follows that cannot stand inside the open block (one
 * message, and the parser goes on undisturbed), and after a syntax error skips to the next place
 * where the parser can go on. Keeps the open blocks, by which all this is known. */
#include "syntax/parse.h"

static Opener *top_block(Parse *parse)
{
    return parse->opener_count > 0 ? &parse->openers[parse->opener_count - 1] : NULL;
}

/* The brackets that were open when the innermost block began. */
static unsigned floor_brackets(const Parse *parse)
{
    return parse->opener_count > 0 ? parse->openers[parse->opener_count - 1].brackets : 0;
}

static uint32_t column_of(const Parse *parse, uint32_t offset)
{
    return source_position(parse->source, offset).column;
}

/* ---- blocks ---- */

static bool is_opening(const Parse *parse, const Token *token)
{
    bool in_code = token->kind == TOK_VOCABULARY && top_opener(parse) == TOK_CODE;
    bool is_omitted = token->kind == TOK_SECTION && parse->before.kind == TOK_OMITTED;
    return (token_flags(token->kind) & TOKEN_OPENS) != 0 && !in_code && !is_omitted;
}

static void open_block(Parse *parse, const Token *token)
{
    if (parse->opener_count == OPENERS_MAX) {
        complain_stop(parse, token->span);
        return;
    }
    parse->openers[parse->opener_count++] = (Opener){.kind = token->kind,
                                                     .span = token->span,
                                                     .first = token->first,
                                                     .brackets = parse->brackets};
}

static void close_block(Parse *parse, const Token *end)
{
    Opener *block = top_block(parse);
    parse->end_is_lost = block == NULL;
    if (block == NULL) {
        return;
    }
    bool is_forgotten = end->span.start == end->span.end;
    if (!is_forgotten && parse->odd_opener.kind == 0 && block->first && end->first &&
        column_of(parse, block->span.start) != column_of(parse, end->span.start)) {
        parse->odd_opener = *block;
        parse->odd_end = end->span;
    }
    parse->brackets = block->brackets;
    parse->opener_count--;
    if (parse->opener_count == 0) {
        parse->odd_opener = (Opener){0};
    }
}

static void count_bracket(Parse *parse, const Token *token)
{
    switch (token->kind) {
    case TOK_LPAREN:
    case TOK_LBRACKET:
    case TOK_LBRACE:
        if (++parse->brackets > BRACKETS_MAX) {
            complain_stop(parse, token->span);
        }
        return;
    case TOK_RPAREN:
    case TOK_RBRACKET:
    case TOK_RBRACE: parse->brackets -= parse->brackets > floor_brackets(parse) ? 1 : 0; return;
    default: return;
    }
}

/* Takes note of a token that leaves. */
/* `items that h covers`: here nothing need follow `covers`. */
static void note_covered(Parse *parse, const Token *token)
{
    parse->is_covered = token->kind == TOK_COVERS && parse->is_after_that;
    if (token->kind == TOK_THAT) {
        parse->is_after_that = true;
    } else if (token->kind == TOK_COVERS || (token_flags(token->kind) & TOKEN_CLAUSE) != 0) {
        parse->is_after_that = false;
    }
}

static void note_token(Parse *parse, const Token *token)
{
    if (token->kind == TOK_END) {
        close_block(parse, token);
    } else if (is_opening(parse, token)) {
        open_block(parse, token);
    } else {
        count_bracket(parse, token);
    }
    Opener *block = top_block(parse);
    if (token->kind == TOK_ROW && block != NULL) {
        block->rows = true;
    }
    if ((token_flags(token->kind) & TOKEN_CLAUSE) != 0 || token->kind == TOK_END) {
        parse->is_finding = token->kind == TOK_FINDS;
        parse->is_planning = false;
    }
    parse->is_planning = parse->is_planning || token->kind == TOK_PLAN;
    note_covered(parse, token);
    if (parse->before.span.start < parse->before.span.end) {
        parse->last = parse->before.span;
    }
    parse->before_those = parse->before_that;
    parse->before_that = parse->before.kind;
    parse->before = *token;
}

/* ---- forgotten ends ---- */

/* How many blocks must close until `a` or `b` is the innermost; 0 when neither is open. */
static unsigned count_above(const Parse *parse, int a, int b)
{
    for (unsigned i = parse->opener_count; i > 0; i--) {
        if (parse->openers[i - 1].kind == a || parse->openers[i - 1].kind == b) {
            return parse->opener_count - i;
        }
    }
    return 0;
}

static unsigned count_alternatives(const Parse *parse)
{
    unsigned count = 0;
    while (count < parse->opener_count) {
        int kind = parse->openers[parse->opener_count - 1 - count].kind;
        if (kind != TOK_ANY_OF && kind != TOK_ALL_OF) {
            break;
        }
        count++;
    }
    return count;
}

/* How many blocks should have ended before this token. */
static unsigned count_forgotten(const Parse *parse, const Token *token)
{
    bool at_margin = token->first && column_of(parse, token->span.start) == 1;
    switch (token->kind) {
    case 0: return is_inside(parse, TOK_START_SETTINGS) ? 0 : parse->opener_count;
    case TOK_VOCABULARY:
    case TOK_CODE:
    case TOK_PLACE:
    case TOK_JURISDICTION: return at_margin ? parse->opener_count : 0;
    case TOK_SECTION: {
        bool is_led = parse->before.kind == TOK_INSERT || parse->before.kind == TOK_OMITTED;
        return is_led ? 0 : count_above(parse, TOK_CODE, TOK_CODE);
    }
    case TOK_OMITTED:
        if (top_opener(parse) == TOK_CHECKLIST) {
            return 0;
        }
        return count_above(parse, TOK_CODE, TOK_JURISDICTION);
    case TOK_TABLE:
    case TOK_WORKSHEET:
    case TOK_WORKED_EXAMPLE: return count_above(parse, TOK_CODE, TOK_JURISDICTION);
    case TOK_STEP:
    case TOK_SCHEDULE:
    case TOK_NOTE: return count_above(parse, TOK_WORKSHEET, TOK_WORKSHEET);
    case TOK_CHECKLIST:
    case TOK_INSERT:
    case TOK_AMEND:
    case TOK_DELETE:
    case TOK_ADOPTS:
    case TOK_AMENDS:
    case TOK_APPLIES_READING:
    case TOK_LOCALLY:
    case TOK_NOT_LOCALLY_ANYWHERE:
    case TOK_DELETE_AND_RESERVE:
    case TOK_RENUMBER:
    case TOK_PREEMPTS:
    case TOK_PREVAILS_OVER:
    case TOK_REPEALS:
    case TOK_EXTENDS:
    case TOK_POSTPONES:
    case TOK_NOT_LOCALLY: return count_above(parse, TOK_JURISDICTION, TOK_JURISDICTION);
    case TOK_RECORD:
    case TOK_CHOICE:
    case TOK_FACT:
    case TOK_TOPIC: return count_above(parse, TOK_VOCABULARY, TOK_VOCABULARY);
    case TOK_SHALL:
    case TOK_SHALL_NOT:
    case TOK_EXCEPT:
    case TOK_EACH:
    case TOK_EACH_PAIR:
    case TOK_WHEN:
    case TOK_DEFINE:
    case TOK_UNLESS:
    case TOK_REMEDY:
    case TOK_AT_THE_DISCRETION_OF: return count_alternatives(parse);
    default: return 0;
    }
}

/* ---- lines ---- */

/* Is the head of the table complete, so that a new line is a row? */
static bool is_row_start(Parse *parse, const Token *token)
{
    if (top_opener(parse) != TOK_TABLE || !token->first || token->kind == TOK_END ||
        token->kind == 0 || parse->before.kind == TOK_ROW ||
        parse->brackets != floor_brackets(parse)) {
        return false;
    }
    bool is_of_head = token->kind == TOK_CITES || token->kind == TOK_IN ||
                      token->kind == TOK_IN_UNIT || token->kind == TOK_BY ||
                      token->kind == TOK_COMMA || token->kind == TOK_COLON;
    return parse->openers[parse->opener_count - 1].rows || (!is_of_head && !wants_value(parse));
}

static bool is_alternative_start(Parse *parse, const Token *token)
{
    int top = top_opener(parse);
    return (top == TOK_ANY_OF || top == TOK_ALL_OF) && token->first && token->kind != 0 &&
           !wants_value(parse) && (token_flags(token->kind) & TOKEN_INFIX) == 0 &&
           parse->brackets == floor_brackets(parse);
}

/* ---- after an error ---- */

static bool is_landing(Parse *parse, const Token *token)
{
    if (token->kind == 0 || token->kind == TOK_END) {
        return true;
    }
    switch (top_opener(parse)) {
    case TOK_TABLE: return token->first;
    case TOK_ANY_OF:
    case TOK_ALL_OF: return token->first && (token_flags(token->kind) & TOKEN_INFIX) == 0;
    case TOK_RECORD:
        if (token->first && token->kind == TOK_NAME) {
            return true;
        }
        break;
    default: break;
    }
    return token->first && (token_flags(token->kind) & TOKEN_CLAUSE) != 0;
}

/* Is this token passed over on the way to where the parser can go on? */
static bool is_skipped(Parse *parse, const Token *token)
{
    while (parse->opener_count > parse->panic_height && count_forgotten(parse, token) > 0) {
        parse->opener_count--; /* opened in what is skipped: nothing more to say */
    }
    if (parse->opener_count > parse->panic_height && token->kind != 0) {
        return true;
    }
    if (!is_landing(parse, token)) {
        return true;
    }
    parse->panic = false;
    parse->brackets = floor_brackets(parse);
    return false;
}

/* ---- the stream ---- */

static Token read_token(Parse *parse)
{
    Token token = {0};
    if (parse->is_stopped) {
        token.span = (Span){(uint32_t)parse->source->bytes.len, (uint32_t)parse->source->bytes.len};
        return token;
    }
    token.kind = scanner_read(parse, &token.value, &token.span);
    token.first = parse->line_broken;
    parse->line_broken = false;
    return token;
}

static Token put_in(int kind, const Token *before)
{
    return (Token){.kind = kind, .span = {before->span.start, before->span.start}};
}

/* The forgotten end stands right after what was read last. */
static Token put_end(Parse *parse)
{
    uint32_t at = parse->before.span.end;
    parse->ends_due--;
    return (Token){.kind = TOK_END, .span = {at, at}};
}

static Token arrange(Parse *parse)
{
    if (parse->ends_due > 0) {
        return put_end(parse);
    }
    if (parse->has_pending) {
        parse->has_pending = false;
        return parse->pending;
    }
    Token token = read_token(parse);
    while (parse->panic && is_skipped(parse, &token)) {
        note_token(parse, &token);
        token = read_token(parse);
    }
    parse->pending = token;
    parse->ends_due = parse->is_stopped ? 0 : count_forgotten(parse, &token);
    for (unsigned i = 0; i < parse->ends_due; i++) {
        complain_missing_end(parse, &parse->openers[parse->opener_count - 1 - i], &token);
    }
    if (parse->ends_due > 0) {
        parse->has_pending = true;
        return put_end(parse);
    }
    bool is_row = is_row_start(parse, &token);
    if (is_row || is_alternative_start(parse, &token)) {
        parse->has_pending = true;
        return put_in(is_row ? TOK_ROW : TOK_ALT, &token);
    }
    return token;
}

int shall_yylex(SHALL_YYSTYPE *value, Span *span, Parse *parse)
{
    if (parse->before.kind == 0) {
        parse->before = parse->pending; /* the token that says what is read */
        return parse->before.kind;
    }
    bool was_panic = parse->panic;
    Token token = arrange(parse);
    note_token(parse, &token);
    parse->serial++;
    parse->landing = was_panic ? parse->serial : parse->landing;
    *value = token.value;
    *span = token.span;
    return token.kind;
}
