/* Expressions, settings and data that do not fit on one line, or that hold comments or `any of`:
 * where they break and how they go on. A broken line begins with an operator, or follows one, so
 * that within `any of` it never reads as a new alternative. */
#include "syntax/faircopy.h"

#include <string.h>

/* ---- where an expression breaks ---- */

static uint32_t later(uint32_t a, uint32_t b)
{
    return a > b ? a : b;
}

static uint32_t last_break(const Expr *expr);

/* A part that stands on a line of its own. */
static uint32_t break_at(const Expr *part)
{
    return part == NULL ? 0 : later(part->span.start, last_break(part));
}

static uint32_t last_break_of_list(const Expr *list)
{
    const Expr *last = list;
    while (last->next != NULL) {
        last = last->next;
    }
    return last == list ? last_break(last) : break_at(last);
}

static uint32_t last_break_of_over(const Expr *expr)
{
    if (expr->b != NULL) {
        return break_at(expr->b);
    }
    bool has_value = expr->kind == EXPR_AGGREGATE && expr->c != NULL;
    return later(has_value ? expr->name_span.start : 0, last_break(expr->a));
}

/* The last place before which this expression would be broken, if it were; 0: it never is. */
static uint32_t last_break(const Expr *expr)
{
    switch (expr->kind) {
    case EXPR_OR:
    case EXPR_AND:
    case EXPR_COMPARE:
    case EXPR_ADD:
    case EXPR_SUBTRACT:
    case EXPR_DIVIDE:
    case EXPR_HOLDS:
    case EXPR_IF_NONE: return break_at(expr->b);
    case EXPR_MULTIPLY: return expr->flag ? last_break(expr->b) : break_at(expr->b);
    case EXPR_NOT:
    case EXPR_NEGATE:
    case EXPR_IS_NONE: return last_break(expr->a);
    case EXPR_SIZE: return break_at(expr->c != NULL ? expr->c : expr->b);
    case EXPR_AMONG: return later(last_break(expr->a), last_break_of_list(expr->list));
    case EXPR_CALL: return last_break_of_list(expr->list);
    case EXPR_WITHIN: return later(expr->b->span.start, last_break(expr->c));
    case EXPR_QUANTIFIER:
    case EXPR_CHOICE:
    case EXPR_FIRST: return break_at(expr->c);
    case EXPR_AGGREGATE:
    case EXPR_THOSE: return last_break_of_over(expr);
    case EXPR_ROUND: return last_break(expr->b);
    default: return 0;
    }
}

bool copy_is_whole(const Printer *printer, const Expr *expr)
{
    return !expr_has_block(expr) && !copy_has_comment(printer, last_break(expr)) &&
           copy_fits(printer, expr_flat(printer->arena, expr));
}

static void put_word(Printer *printer, const char *word)
{
    copy_string(printer, word);
    copy_string(printer, " ");
}

/* A part on a line of its own, behind a word. */
static void put_under(Printer *printer, const char *word, const Expr *part, size_t indent)
{
    copy_wrap(printer, part->span.start, indent);
    put_word(printer, word);
    copy_expr(printer, part, indent + strlen(word) + 1);
}

/* ---- chains: a or b or c; a + b - c ---- */

static int chain_level(const Expr *expr)
{
    switch (expr->kind) {
    case EXPR_OR: return 1;
    case EXPR_AND: return 2;
    case EXPR_ADD:
    case EXPR_SUBTRACT: return 3;
    case EXPR_MULTIPLY: return expr->flag ? 0 : 4;
    case EXPR_DIVIDE: return 4;
    default: return 0;
    }
}

static void put_chain(Printer *printer, const Expr *expr, int level, size_t indent)
{
    bool goes_on = chain_level(expr->a) == level && !expr->a->parens;
    if (goes_on) {
        put_chain(printer, expr->a, level, indent);
    } else {
        copy_expr(printer, expr->a, indent);
    }
    put_under(printer, expr_operator(expr), expr->b, indent);
}

/* ---- lists ---- */

static void put_members(Printer *printer, const Expr *list)
{
    copy_string(printer, "(");
    size_t indent = copy_column(printer);
    for (const Expr *member = list; member != NULL; member = member->next) {
        copy_expr(printer, member, indent);
        if (member->next != NULL) {
            copy_string(printer, ",");
            copy_wrap(printer, member->next->span.start, indent);
        }
    }
    copy_string(printer, ")");
}

static void put_alternatives(Printer *printer, const Expr *expr, size_t indent)
{
    copy_string(printer, expr_operator(expr));
    for (const Expr *member = expr->list; member != NULL; member = member->next) {
        copy_wrap(printer, member->span.start, indent + COPY_STEP);
        copy_expr(printer, member, indent + COPY_STEP);
    }
    Span span = expr->span;
    span.end -= expr->parens ? 1 : 0;
    copy_end(printer, span, indent);
}

/* `name of list`, and under it what selects. */
static void put_over(Printer *printer, const Expr *expr, size_t indent)
{
    copy_name(printer, expr->name);
    copy_string(printer, " of ");
    copy_expr(printer, expr->a, indent + COPY_STEP);
    if (expr->b != NULL) {
        put_under(printer, "where", expr->b, indent + COPY_STEP);
    }
}

static void put_quantifier(Printer *printer, const Expr *expr, size_t indent)
{
    Buffer head = buffer_make(printer->arena);
    buffer_format(&head, "%s %.*s of ", expr_operator(expr), TEXT_ARG(expr->name->text));
    expr_flat_into(&head, expr->a);
    if (expr->b != NULL) {
        buffer_string(&head, " where ");
        expr_flat_into(&head, expr->b);
    }
    Buffer tail = buffer_make(printer->arena);
    expr_put_emptiness(&tail, expr);
    Text text = text_format(printer->arena, "%.*s%.*s", TEXT_ARG(buffer_done(&head)),
                            TEXT_ARG(buffer_done(&tail)));
    bool has_block = expr_has_block(expr->a) || expr_has_block(expr->b);
    bool has_comment = copy_has_comment(printer, last_break_of_over(expr));
    if (!has_block && !has_comment && copy_fits(printer, text)) {
        copy_text(printer, text);
    } else {
        put_word(printer, expr_operator(expr));
        put_over(printer, expr, indent);
        copy_text(printer, buffer_done(&tail));
    }
    copy_wrap(printer, expr->c->span.start, indent + COPY_STEP);
    copy_expr(printer, expr->c, indent + COPY_STEP);
}

static void put_aggregate(Printer *printer, const Expr *expr, size_t indent)
{
    put_word(printer, expr_operator(expr));
    if (expr->name == NULL) {
        copy_expr(printer, expr->a, indent + COPY_STEP);
        return;
    }
    if (expr->c != NULL) {
        Text value = expr_flat(printer->arena, expr->c);
        Text list = expr_flat(printer->arena, expr->a);
        Text whole = text_format(printer->arena, "%.*s for %.*s of %.*s", TEXT_ARG(value),
                                 TEXT_ARG(expr->name->text), TEXT_ARG(list));
        bool has_block = expr_has_block(expr->c) || expr_has_block(expr->a);
        copy_expr(printer, expr->c, indent + COPY_STEP);
        if (!has_block && copy_column(printer) + whole.len - value.len <= printer->width &&
            !copy_has_comment(printer, later(expr->name_span.start, last_break(expr->a)))) {
            copy_string(printer, " ");
        } else {
            copy_wrap(printer, expr->name_span.start, indent + COPY_STEP);
        }
        copy_string(printer, "for ");
    }
    put_over(printer, expr, indent);
}

static void put_listed(Printer *printer, const Expr *expr, size_t indent)
{
    put_word(printer, expr_operator(expr));
    put_over(printer, expr, indent);
    if (expr->c != NULL) {
        put_under(printer, "by", expr->c, indent + COPY_STEP);
    }
}

/* ---- the rest ---- */

static void put_pair(Printer *printer, const Expr *expr, size_t indent)
{
    copy_expr(printer, expr->a, indent);
    put_under(printer, expr_operator(expr), expr->b, indent + COPY_STEP);
}

static void put_negated(Printer *printer, const Expr *expr, size_t indent)
{
    Text text = expr_flat(printer->arena, expr->a);
    bool touches = text.len > 0 && (ascii_is_digit(text.data[0]) || text.data[0] == '-');
    copy_string(printer, touches ? "- " : "-");
    copy_expr(printer, expr->a, indent + COPY_STEP);
}

static void put_size(Printer *printer, const Expr *expr, size_t indent)
{
    copy_expr(printer, expr->a, indent);
    put_under(printer, "x", expr->b, indent + COPY_STEP);
    if (expr->c != NULL) {
        put_under(printer, "x", expr->c, indent + COPY_STEP);
    }
}

static void put_rounded(Printer *printer, const Expr *expr, size_t indent)
{
    put_word(printer, expr_operator(expr));
    copy_text(printer, expr->a->text);
    copy_string(printer, " of ");
    copy_expr(printer, expr->b, indent + COPY_STEP);
    if (expr->op == ROUND_HALF_UP || expr->op == ROUND_HALF_EVEN) {
        copy_string(printer, expr->op == ROUND_HALF_UP ? " half up" : " half even");
    }
}

static void put_within(Printer *printer, const Expr *expr, size_t indent)
{
    copy_expr(printer, expr->a, indent);
    copy_wrap(printer, expr->b->span.start, indent + COPY_STEP);
    put_word(printer, "within");
    copy_text(printer, expr->b->text);
    copy_string(printer, " of ");
    copy_expr(printer, expr->c, indent + COPY_STEP);
}

static void put_choice(Printer *printer, const Expr *expr, size_t indent)
{
    copy_expr(printer, expr->a, indent);
    put_under(printer, "if", expr->b, indent + COPY_STEP);
    put_under(printer, "otherwise", expr->c, indent + COPY_STEP);
}

static void put_node(Printer *printer, const Expr *expr, size_t indent)
{
    switch (expr->kind) {
    case EXPR_OR:
    case EXPR_AND:
    case EXPR_ADD:
    case EXPR_SUBTRACT:
    case EXPR_DIVIDE: put_chain(printer, expr, chain_level(expr), indent); break;
    case EXPR_MULTIPLY:
        if (expr->flag) {
            copy_text(printer, expr->a->text);
            copy_string(printer, " of ");
            copy_expr(printer, expr->b, indent + COPY_STEP);
        } else {
            put_chain(printer, expr, chain_level(expr), indent);
        }
        break;
    case EXPR_NOT:
        put_word(printer, "not");
        copy_expr(printer, expr->a, indent + COPY_STEP);
        break;
    case EXPR_NEGATE: put_negated(printer, expr, indent); break;
    case EXPR_SIZE: put_size(printer, expr, indent); break;
    case EXPR_IS_NONE:
        copy_expr(printer, expr->a, indent);
        copy_string(printer, expr->flag ? " is not none" : " is none");
        break;
    case EXPR_COMPARE: put_pair(printer, expr, indent); break;
    case EXPR_HOLDS:
        put_pair(printer, expr, indent);
        copy_string(printer, expr->flag ? " in any orientation" : "");
        break;
    case EXPR_AMONG:
        copy_expr(printer, expr->a, indent);
        copy_string(printer, " among ");
        put_members(printer, expr->list);
        break;
    case EXPR_CALL:
        copy_name(printer, expr->name);
        put_members(printer, expr->list);
        break;
    case EXPR_WITHIN: put_within(printer, expr, indent); break;
    case EXPR_QUANTIFIER: put_quantifier(printer, expr, indent); break;
    case EXPR_AGGREGATE: put_aggregate(printer, expr, indent); break;
    case EXPR_THOSE:
    case EXPR_FIRST: put_listed(printer, expr, indent); break;
    case EXPR_ANY_OF:
    case EXPR_ALL_OF: put_alternatives(printer, expr, indent); break;
    case EXPR_ROUND: put_rounded(printer, expr, indent); break;
    case EXPR_CHOICE: put_choice(printer, expr, indent); break;
    case EXPR_IF_NONE:
        copy_expr(printer, expr->a, indent);
        copy_fallback(printer, expr->b, indent);
        break;
    default: {
        Expr bare = *expr;
        bare.parens = false;
        copy_text(printer, expr_flat(printer->arena, &bare));
        break;
    }
    }
}

void copy_expr(Printer *printer, const Expr *expr, size_t indent)
{
    if (copy_is_whole(printer, expr)) {
        copy_text(printer, expr_flat(printer->arena, expr));
        return;
    }
    if (expr->parens) {
        copy_string(printer, "(");
        indent++;
    }
    put_node(printer, expr, indent);
    copy_string(printer, expr->parens ? ")" : "");
}

void copy_fallback(Printer *printer, const Expr *fallback, size_t indent)
{
    Text text = text_format(printer->arena, ", or %.*s if none",
                            TEXT_ARG(expr_flat(printer->arena, fallback)));
    if (copy_is_whole(printer, fallback) && copy_fits(printer, text) &&
        !copy_has_comment(printer, fallback->span.start)) {
        copy_text(printer, text);
        return;
    }
    copy_string(printer, ",");
    copy_wrap(printer, fallback->span.start, indent + COPY_STEP);
    copy_string(printer, "or ");
    copy_expr(printer, fallback, indent + COPY_STEP);
    copy_string(printer, " if none");
}

/* ---- data ---- */

static void put_flat(Buffer *out, const Datum *datum)
{
    const char *open = datum->kind == DATUM_LIST ? "[" : "{";
    const char *close = datum->kind == DATUM_LIST ? "]" : "}";
    switch ((DatumKind)datum->kind) {
    case DATUM_SCALAR: buffer_text(out, datum->text); return;
    case DATUM_QUOTED: buffer_text(out, text_quoted(out->arena, datum->text)); return;
    case DATUM_LIST:
    case DATUM_MAP: break;
    }
    buffer_string(out, open);
    buffer_string(out, datum->first != NULL ? " " : "");
    for (const Datum *member = datum->first; member != NULL; member = member->next) {
        if (datum->kind == DATUM_MAP) {
            buffer_format(out, "%.*s: ", TEXT_ARG(member->key));
        }
        put_flat(out, member);
        buffer_string(out, member->next != NULL ? ", " : " ");
    }
    buffer_string(out, close);
}

static uint32_t datum_start(const Datum *datum)
{
    return datum->key.len > 0 ? datum->key_place.span.start : datum->place.span.start;
}

/* The last place before which this datum would be broken, if it were; 0: it never is. */
static uint32_t last_break_of_datum(const Datum *datum)
{
    if (datum->first == NULL) {
        return 0;
    }
    const Datum *last = datum->first;
    while (last->next != NULL) {
        last = last->next;
    }
    return later(last == datum->first ? 0 : datum_start(last), last_break_of_datum(last));
}

/* Items of a list each have their line; members of a map fill lines. */
static void put_next(Printer *printer, const Datum *next, bool is_map, size_t indent)
{
    copy_string(printer, ",");
    uint32_t start = datum_start(next);
    if (is_map) {
        Buffer flat = buffer_make(printer->arena);
        buffer_format(&flat, " %.*s: ", TEXT_ARG(next->key));
        put_flat(&flat, next);
        buffer_string(&flat, " },");
        uint32_t last = later(start, last_break_of_datum(next));
        if (copy_fits(printer, buffer_done(&flat)) && !copy_has_comment(printer, last)) {
            copy_string(printer, " ");
            return;
        }
    }
    copy_wrap(printer, start, indent);
}

void copy_datum(Printer *printer, const Datum *datum)
{
    Buffer flat = buffer_make(printer->arena);
    put_flat(&flat, datum);
    bool is_single = datum->kind == DATUM_SCALAR || datum->kind == DATUM_QUOTED;
    if (is_single || datum->first == NULL ||
        (copy_fits(printer, buffer_done(&flat)) &&
         !copy_has_comment(printer, last_break_of_datum(datum)))) {
        copy_text(printer, buffer_done(&flat));
        return;
    }
    bool is_map = datum->kind == DATUM_MAP;
    copy_string(printer, is_map ? "{ " : "[ ");
    size_t indent = copy_column(printer);
    for (const Datum *member = datum->first; member != NULL; member = member->next) {
        if (is_map) {
            copy_text(printer, member->key);
            copy_string(printer, ": ");
        }
        copy_datum(printer, member);
        if (member->next != NULL) {
            put_next(printer, member->next, is_map, indent);
        }
    }
    copy_string(printer, is_map ? " }" : " ]");
}

/* The setting after this one in its `unit has`; NULL: the last. */
static const SettingTree *next_setting(const SettingTree *setting)
{
    return setting->next == NULL || setting->next->lead.end > 0 ? NULL : setting->next;
}

Text settings_flat(Arena *arena, const SettingTree *settings)
{
    Buffer flat = buffer_make(arena);
    for (const SettingTree *setting = settings; setting != NULL; setting = next_setting(setting)) {
        expr_flat_into(&flat, setting->path);
        buffer_string(&flat, " = ");
        put_flat(&flat, setting->value);
        buffer_string(&flat, next_setting(setting) != NULL ? ", " : "");
    }
    return buffer_done(&flat);
}

const SettingTree *copy_settings(Printer *printer, const SettingTree *settings)
{
    const SettingTree *last = settings;
    while (next_setting(last) != NULL) {
        last = next_setting(last);
    }
    Text flat = settings_flat(printer->arena, settings);
    uint32_t last_of_all =
        later(last == settings ? 0 : last->span.start, last_break_of_datum(last->value));
    if (copy_fits(printer, flat) && !copy_has_comment(printer, last_of_all)) {
        copy_text(printer, flat);
        return last->next;
    }
    size_t indent = copy_column(printer);
    for (const SettingTree *setting = settings; setting != NULL; setting = next_setting(setting)) {
        copy_text(printer, expr_flat(printer->arena, setting->path));
        copy_string(printer, " = ");
        copy_datum(printer, setting->value);
        if (next_setting(setting) != NULL) {
            copy_string(printer, ",");
            copy_wrap(printer, setting->next->span.start, indent);
        }
    }
    return last->next;
}
