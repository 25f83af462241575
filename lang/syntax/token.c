/* What is known of tokens apart from the grammar: after which a value must come, which cannot
 * begin an expression, at which the parser can go on after an error, which open a block. By
 * these a word is told from a name, a sign from an operator, a new row from a wrapped line. */
#include "syntax/parse.h"

#define FLAGS(token, flags) [TOK_##token - 256] = (flags)
#define WANTS_VALUE TOKEN_WANTS_VALUE
#define WANTS_NAME (TOKEN_WANTS_VALUE | TOKEN_WANTS_NAME)
#define OPERATOR (TOKEN_WANTS_VALUE | TOKEN_INFIX)
#define CLAUSE TOKEN_CLAUSE
#define OPENS (TOKEN_CLAUSE | TOKEN_OPENS)

static const uint8_t FLAGS_OF[] = {
    FLAGS(START_SETTINGS, WANTS_VALUE),
    FLAGS(ALT, WANTS_VALUE),
    FLAGS(ROW, WANTS_VALUE),
    /* signs */
    FLAGS(LPAREN, WANTS_VALUE),
    FLAGS(LBRACKET, OPERATOR),
    FLAGS(LBRACE, WANTS_VALUE),
    FLAGS(RPAREN, TOKEN_INFIX),
    FLAGS(RBRACKET, TOKEN_INFIX),
    FLAGS(RBRACE, TOKEN_INFIX),
    FLAGS(COMMA, OPERATOR),
    FLAGS(COLON, OPERATOR),
    FLAGS(DOT, OPERATOR),
    FLAGS(RANGE, OPERATOR),
    FLAGS(PLUS, OPERATOR),
    FLAGS(MINUS, OPERATOR),
    FLAGS(TIMES, OPERATOR),
    FLAGS(DIVIDE, OPERATOR),
    FLAGS(LESS, OPERATOR),
    FLAGS(LESS_EQUAL, OPERATOR),
    FLAGS(GREATER, OPERATOR),
    FLAGS(GREATER_EQUAL, OPERATOR),
    FLAGS(EQUAL, OPERATOR),
    FLAGS(NOT_EQUAL, OPERATOR),
    /* blocks */
    FLAGS(VOCABULARY, OPENS | WANTS_NAME),
    FLAGS(CODE, OPENS | WANTS_NAME),
    FLAGS(JURISDICTION, OPENS | WANTS_NAME),
    FLAGS(PLACE, OPENS | WANTS_NAME),
    FLAGS(RECORD, OPENS | WANTS_NAME),
    FLAGS(CHOICE, CLAUSE | WANTS_NAME),
    FLAGS(FACT, CLAUSE | WANTS_NAME),
    FLAGS(TOPIC, CLAUSE | WANTS_NAME),
    FLAGS(SECTION, OPENS),
    FLAGS(TABLE, OPENS | WANTS_NAME),
    FLAGS(WORKSHEET, OPENS | WANTS_NAME),
    FLAGS(WORKED_EXAMPLE, OPENS),
    FLAGS(CHECKLIST, OPENS | WANTS_NAME),
    FLAGS(CONFIRMED, CLAUSE),
    FLAGS(OMITTED, CLAUSE),
    FLAGS(RESERVED, CLAUSE),
    FLAGS(READING, CLAUSE | WANTS_NAME),
    FLAGS(DEFINE, CLAUSE | WANTS_NAME),
    FLAGS(END, TOKEN_INFIX),
    /* vocabularies */
    FLAGS(ONE_OF, WANTS_NAME),
    FLAGS(LIST_OF, WANTS_NAME),
    FLAGS(BUILT_AS, WANTS_NAME),
    FLAGS(IN_STEPS_OF, WANTS_VALUE),
    FLAGS(AT_LEAST, OPERATOR),
    FLAGS(AT_MOST, OPERATOR),
    FLAGS(MORE_THAN, OPERATOR),
    FLAGS(LESS_THAN, OPERATOR),
    FLAGS(PLAN, WANTS_NAME),
    FLAGS(ALONG, WANTS_NAME),
    FLAGS(ACROSS, WANTS_NAME),
    /* codes and sections */
    FLAGS(TITLE, CLAUSE),
    FLAGS(PUBLISHER, CLAUSE),
    FLAGS(RANKS, CLAUSE | WANTS_NAME),
    FLAGS(RANK, CLAUSE | WANTS_NAME),
    FLAGS(AUTHORITY, CLAUSE | WANTS_NAME),
    FLAGS(STAGE, CLAUSE | WANTS_NAME),
    FLAGS(REWORK, CLAUSE | WANTS_NAME),
    FLAGS(BASIS, CLAUSE | WANTS_NAME),
    FLAGS(PART, WANTS_NAME),
    FLAGS(EACH, CLAUSE | WANTS_NAME),
    FLAGS(EACH_PAIR, CLAUSE | WANTS_NAME),
    FLAGS(WHEN, CLAUSE | WANTS_VALUE),
    FLAGS(WHERE, OPERATOR),
    FLAGS(SHALL, CLAUSE | WANTS_VALUE),
    FLAGS(SHALL_NOT, CLAUSE | WANTS_VALUE),
    FLAGS(EXCEPT, CLAUSE),
    FLAGS(UNLESS, CLAUSE | WANTS_VALUE),
    FLAGS(BY, OPERATOR),
    FLAGS(TO, OPERATOR),
    FLAGS(IF_PROVIDED, TOKEN_INFIX),
    FLAGS(REQUIRED, TOKEN_INFIX),
    FLAGS(IF_NONE, TOKEN_INFIX),
    FLAGS(AT_THE_DISCRETION_OF, CLAUSE),
    FLAGS(REMEDY, CLAUSE),
    FLAGS(NOTWITHSTANDING, CLAUSE),
    FLAGS(STET, CLAUSE),
    FLAGS(FOR_UNITS_PERMITTED, CLAUSE),
    FLAGS(NOT_FOR_UNITS, CLAUSE),
    FLAGS(EXISTING_UNITS_FROM, CLAUSE),
    FLAGS(FOR_UNITS_WHERE, CLAUSE | WANTS_VALUE),
    FLAGS(FORMERLY, CLAUSE),
    FLAGS(ALSO_AT, CLAUSE),
    FLAGS(CITED_AS, CLAUSE),
    FLAGS(NOT_WAIVED, CLAUSE),
    FLAGS(PUBLISHED, CLAUSE),
    FLAGS(BLANK, 0),
    /* tables and worksheets */
    FLAGS(STEP, CLAUSE | WANTS_NAME),
    FLAGS(SCHEDULE, OPENS | WANTS_NAME),
    FLAGS(COLUMN, CLAUSE | WANTS_NAME),
    FLAGS(NOTE, CLAUSE),
    FLAGS(LINE, CLAUSE),
    FLAGS(IN, OPERATOR),
    FLAGS(IN_UNIT, TOKEN_INFIX),
    FLAGS(CITES, TOKEN_INFIX),
    /* jurisdictions */
    FLAGS(WITHIN, OPERATOR),
    FLAGS(ADOPTS, CLAUSE | WANTS_NAME),
    FLAGS(AMENDS, CLAUSE | WANTS_NAME),
    FLAGS(AMEND, CLAUSE),
    FLAGS(TO_READ, TOKEN_OPENS),
    FLAGS(DELETE, CLAUSE),
    FLAGS(INSERT, CLAUSE),
    FLAGS(APPLIES_READING, CLAUSE | WANTS_NAME),
    FLAGS(LOCALLY, CLAUSE),
    FLAGS(NOT_LOCALLY, CLAUSE),
    FLAGS(NOT_LOCALLY_ANYWHERE, CLAUSE),
    FLAGS(TO_ADD, TOKEN_OPENS),
    FLAGS(DELETE_AND_RESERVE, CLAUSE),
    FLAGS(RENUMBER, CLAUSE),
    FLAGS(PREEMPTS, CLAUSE | WANTS_NAME),
    FLAGS(PREVAILS_OVER, CLAUSE | WANTS_NAME),
    FLAGS(REPEALS, CLAUSE),
    FLAGS(EXTENDS, CLAUSE),
    FLAGS(POSTPONES, CLAUSE),
    FLAGS(DECIDED_BY, WANTS_NAME),
    /* worked examples */
    FLAGS(WITH, TOKEN_WANTS_VALUE),
    FLAGS(UNIT_HAS, CLAUSE | WANTS_VALUE),
    FLAGS(FINDS, CLAUSE),
    FLAGS(FOR, TOKEN_INFIX | WANTS_NAME),
    FLAGS(WAITS_FOR, WANTS_VALUE),
    FLAGS(MEASURED, WANTS_VALUE),
    FLAGS(LIMIT, 0),
    /* expressions */
    FLAGS(AND, OPERATOR),
    FLAGS(OR, OPERATOR),
    FLAGS(NOT, WANTS_VALUE),
    FLAGS(IF, OPERATOR),
    FLAGS(OTHERWISE, OPERATOR),
    FLAGS(OF, OPERATOR),
    FLAGS(X, OPERATOR),
    FLAGS(THAT, OPERATOR),
    FLAGS(IS, OPERATOR),
    FLAGS(IS_NOT, OPERATOR),
    FLAGS(IS_NONE, TOKEN_INFIX),
    FLAGS(IS_NOT_NONE, TOKEN_INFIX),
    FLAGS(AMONG, OPERATOR),
    FLAGS(BEFORE, OPERATOR),
    FLAGS(AFTER, OPERATOR),
    FLAGS(ON_OR_AFTER, OPERATOR),
    FLAGS(ON_OR_BEFORE, OPERATOR),
    FLAGS(HOLDS, OPERATOR),
    FLAGS(IN_ANY_ORIENTATION, TOKEN_INFIX),
    FLAGS(COVERS, OPERATOR),
    FLAGS(OVERLAPS, OPERATOR),
    FLAGS(EVERY, WANTS_NAME),
    FLAGS(SOME, WANTS_NAME),
    FLAGS(NO_ITEM, WANTS_NAME),
    FLAGS(TOTAL_OF, WANTS_VALUE),
    FLAGS(LEAST_OF, WANTS_VALUE),
    FLAGS(GREATEST_OF, WANTS_VALUE),
    FLAGS(COUNT_OF, WANTS_VALUE),
    FLAGS(THOSE, WANTS_NAME),
    FLAGS(FIRST, WANTS_NAME),
    FLAGS(ANY_OF, TOKEN_OPENS | WANTS_VALUE),
    FLAGS(ALL_OF, TOKEN_OPENS | WANTS_VALUE),
    FLAGS(GAP_BETWEEN, WANTS_VALUE),
    FLAGS(OVERHANG_OF, WANTS_VALUE),
    FLAGS(BEYOND, OPERATOR),
    FLAGS(ROUND_UP_TO, WANTS_VALUE),
    FLAGS(ROUND_DOWN_TO, WANTS_VALUE),
    FLAGS(ROUND_TO_NEAREST, WANTS_VALUE),
    FLAGS(HALF_UP, TOKEN_INFIX),
    FLAGS(HALF_EVEN, TOKEN_INFIX),
    FLAGS(AT_LEAST_ONE, 0),
    FLAGS(APPROVAL_OF, 0),
};

unsigned token_flags(int kind)
{
    size_t at = kind < 256 ? sizeof FLAGS_OF : (size_t)(kind - 256);
    return at < sizeof FLAGS_OF ? FLAGS_OF[at] : 0;
}

int top_opener(const Parse *parse)
{
    return parse->opener_count > 0 ? parse->openers[parse->opener_count - 1].kind : 0;
}

bool is_inside(const Parse *parse, int kind)
{
    for (unsigned i = 0; i < parse->opener_count; i++) {
        if (parse->openers[i].kind == kind) {
            return true;
        }
    }
    return false;
}

/* The value of a step, or of a column, follows its title. */
static bool is_step_title(const Parse *parse)
{
    return parse->before.kind == TOK_TEXT && parse->before_that == TOK_NAME &&
           (parse->before_those == TOK_STEP || parse->before_those == TOK_COLUMN);
}

/* The type of a fact follows the fact's name. */
static bool is_fact_name(const Parse *parse)
{
    return parse->before.kind == TOK_NAME && parse->before_that == TOK_FACT;
}

bool wants_value(const Parse *parse)
{
    if (parse->is_covered) {
        return false;
    }
    return (token_flags(parse->before.kind) & TOKEN_WANTS_VALUE) != 0 || is_step_title(parse) ||
           is_fact_name(parse);
}

bool wants_name(const Parse *parse)
{
    return (token_flags(parse->before.kind) & TOKEN_WANTS_NAME) != 0;
}

/* On a new line of the innermost block, outside brackets, after what can end an expression. */
static bool is_line_of_its_own(const Parse *parse)
{
    return parse->opener_count > 0 && parse->line_broken && !wants_value(parse) &&
           parse->brackets == parse->openers[parse->opener_count - 1].brackets;
}

bool is_new_alternative(const Parse *parse)
{
    int top = top_opener(parse);
    return (top == TOK_ANY_OF || top == TOK_ALL_OF) && is_line_of_its_own(parse);
}

bool is_in_rows(const Parse *parse)
{
    return top_opener(parse) == TOK_TABLE &&
           (parse->openers[parse->opener_count - 1].rows || is_line_of_its_own(parse));
}

bool is_in_data(const Parse *parse)
{
    int top = top_opener(parse);
    return (top == TOK_WORKED_EXAMPLE || top == TOK_START_SETTINGS) &&
           (parse->brackets > parse->openers[parse->opener_count - 1].brackets ||
            parse->before.kind == TOK_EQUAL);
}

const char *opener_word(int kind)
{
    switch (kind) {
    case TOK_VOCABULARY: return "vocabulary";
    case TOK_RECORD: return "record";
    case TOK_CODE: return "code";
    case TOK_SECTION: return "section";
    case TOK_TABLE: return "table";
    case TOK_WORKSHEET: return "worksheet";
    case TOK_SCHEDULE: return "schedule";
    case TOK_CHECKLIST: return "checklist";
    case TOK_JURISDICTION: return "jurisdiction";
    case TOK_PLACE: return "place";
    case TOK_TO_READ: return "to read";
    case TOK_TO_ADD: return "to add";
    case TOK_WORKED_EXAMPLE: return "worked example";
    case TOK_ANY_OF: return "any of";
    case TOK_ALL_OF: return "all of";
    default: return "block";
    }
}
