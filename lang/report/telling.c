/* The words of a finding, one function for each thing that is said of it. Text reports, JSON and
 * the forms to come say the same words. */
#include "report/telling.h"

#include <string.h>

#include "report/cite.h"
#include "report/measure.h"

Telling telling_of(Arena *arena, const Review *review, const Finding *finding)
{
    return (Telling){arena, review, finding, again_make(arena, review, finding)};
}

/* ---- items and places ---- */

static bool is_ancestor(const Item *item, const Item *of)
{
    for (of = of->parent; of != NULL; of = of->parent) {
        if (of == item) {
            return true;
        }
    }
    return false;
}

const Item *telling_inner(const Telling *telling)
{
    const Finding *finding = telling->finding;
    if (finding->item_count == 0) {
        return NULL;
    }
    const Item *last = finding->items[finding->item_count - 1];
    for (uint32_t i = 0; i + 1 < finding->item_count; i++) {
        if (!is_ancestor(finding->items[i], last)) {
            return NULL;
        }
    }
    return last;
}

Text telling_items(const Telling *telling)
{
    const Finding *finding = telling->finding;
    if (finding->list_field != NULL && finding->list_item != NULL) {
        return spec_path(telling->arena, finding->list_item, finding->list_field);
    }
    Buffer out = buffer_make(telling->arena);
    for (uint32_t i = 0; i < finding->item_count; i++) {
        const Item *item = finding->items[i];
        if (i + 1 < finding->item_count && is_ancestor(item, finding->items[i + 1])) {
            continue; /* the inner item's path tells it */
        }
        buffer_string(&out, out.len > 0 ? ", " : "");
        buffer_text(&out, spec_path(telling->arena, item, NULL));
    }
    return buffer_done(&out);
}

static bool first_fact_place(const Telling *telling, Place *place)
{
    for (uint32_t i = 0; i < telling->finding->part_count; i++) {
        uint32_t count = 0;
        const Term *terms = part_terms(telling, &telling->finding->parts[i], &count);
        for (uint32_t t = 0; t < count; t++) {
            if (terms[t].item != NULL) {
                *place = fact_place(terms[t].item, terms[t].field);
                return true;
            }
        }
    }
    return false;
}

Place telling_place(const Telling *telling)
{
    const Finding *finding = telling->finding;
    if (finding->list_field != NULL && finding->list_item != NULL) {
        return fact_place(finding->list_item, finding->list_field);
    }
    if (finding->item_count > 0) {
        const Item *item = finding->items[finding->item_count - 1];
        return item->phantom ? fact_place(item, item->field) : (Place){item->source, item->span};
    }
    Place place = {0};
    if (first_fact_place(telling, &place)) {
        return place;
    }
    const Item *unit = telling->review->spec->unit;
    return (Place){unit->source, {unit->span.start, unit->span.start}};
}

Place part_place(const Telling *telling, const Part *part)
{
    uint32_t count = 0;
    const Term *terms = part_terms(telling, part, &count);
    const Term *only = NULL;
    for (uint32_t i = 0; i < count; i++) {
        if (terms[i].item != NULL && only == NULL) {
            only = &terms[i];
        }
    }
    return only == NULL ? telling_place(telling) : fact_place(only->item, only->field);
}

Text place_words(Arena *arena, Place place)
{
    if (place.source == NULL) {
        return TEXT("");
    }
    Position at = source_position(place.source, place.span.start);
    return text_format(arena, "%.*s:%u:%u", TEXT_ARG(place.source->path), at.line, at.column);
}

/* ---- what a line asks ---- */

static bool is_name_byte(char c)
{
    return ascii_is_letter(c) || ascii_is_digit(c) || c == '_';
}

/* Puts `instead` in the place of a variable; with nothing to put, its dot goes too. */
static Text replace_variable(Arena *arena, Text text, Text variable, Text instead)
{
    Buffer out = buffer_make(arena);
    bool quoted = false;
    for (size_t i = 0; i < text.len; i++) {
        quoted ^= text.data[i] == '"' && (i == 0 || text.data[i - 1] != '\\');
        Text rest = {text.data + i, text.len - i};
        char after = rest.len > variable.len ? rest.data[variable.len] : '\0';
        bool starts = i == 0 || (!is_name_byte(text.data[i - 1]) && text.data[i - 1] != '.');
        if (quoted || !starts || !text_starts(rest, variable) || is_name_byte(after) ||
            (instead.len == 0 && after != '.')) {
            buffer_char(&out, text.data[i]);
            continue;
        }
        buffer_text(&out, instead);
        i += variable.len - (instead.len == 0 ? 0 : 1);
    }
    return buffer_done(&out);
}

/* Blocks of alternatives are printed on lines of their own: here they become one sentence. */
static Text print_expr(const Telling *telling, const Expr *expr)
{
    if (expr->kind != EXPR_ANY_OF && expr->kind != EXPR_ALL_OF) {
        return syntax_print_expr(telling->arena, expr);
    }
    Buffer out = buffer_make(telling->arena);
    for (const Expr *at = expr->list; at != NULL; at = at->next) {
        if (out.len > 0) {
            buffer_string(&out, expr->kind == EXPR_ANY_OF ? "; or " : "; and ");
        }
        buffer_text(&out, print_expr(telling, at));
    }
    return buffer_done(&out);
}

Text telling_expr(const Telling *telling, const Expr *expr)
{
    const Finding *finding = telling->finding;
    if (expr == NULL) {
        return TEXT("");
    }
    Text text = print_expr(telling, expr);
    const Item *inner = telling_inner(telling);
    uint32_t at = 0;
    for (uint32_t i = 0; i < finding->text->each_count; i++) {
        const EachTree *each = finding->text->eachs[i].tree;
        const Name *variables[2] = {each->a, each->pair ? each->b : NULL};
        for (int v = 0; v < 2 && variables[v] != NULL && at < finding->item_count; v++, at++) {
            const Item *item = finding->items[at];
            Text path = item == inner ? TEXT("") : spec_path(telling->arena, item, NULL);
            text = replace_variable(telling->arena, text, variables[v]->text, path);
        }
    }
    return text;
}

Text part_requirement(const Telling *telling, const Part *part)
{
    const LineTree *line = part->line->tree;
    if (line == NULL) {
        return TEXT("");
    }
    LineTree changed = line_in_force(telling->arena, telling->finding->tree, line);
    return telling_expr(telling, changed.requirement);
}

/* ---- remedy ---- */

static const Part *first_failing(const Finding *finding, bool with_measure)
{
    for (uint32_t i = 0; i < finding->part_count; i++) {
        const Part *part = &finding->parts[i];
        if (part->outcome == OUTCOME_CORRECTION && (!with_measure || part->has_measure)) {
            return part;
        }
    }
    return NULL;
}

static Text filled(const Telling *telling, Text name)
{
    const Part *part = first_failing(telling->finding, true);
    if (part != NULL && text_equal(name, TEXT("limit"))) {
        return limit_safe(telling->arena, part);
    }
    if (part != NULL && text_equal(name, TEXT("measured"))) {
        return measured_words(telling->arena, part);
    }
    Term term = {0};
    if (telling_definition(telling, name, &term)) {
        return value_words(telling->arena, &term.value, term.type, term.unit, NULL);
    }
    return text_format(telling->arena, "{%.*s}", TEXT_ARG(name));
}

Text telling_remedy(const Telling *telling)
{
    Text remedy = telling->finding->text == NULL ? TEXT("") : telling->finding->text->remedy;
    Buffer out = buffer_make(telling->arena);
    for (size_t i = 0; i < remedy.len; i++) {
        const char *end = NULL;
        if (remedy.data[i] == '{') {
            end = memchr(remedy.data + i, '}', remedy.len - i);
        }
        if (end == NULL) {
            buffer_char(&out, remedy.data[i]);
            continue;
        }
        Text name = {remedy.data + i + 1, (size_t)(end - remedy.data) - i - 1};
        buffer_text(&out, filled(telling, name));
        i += name.len + 1;
    }
    return buffer_done(&out);
}

/* ---- what is waited for ---- */

const char *reason_data(Reason reason)
{
    switch (reason) {
    case REASON_NOT_STATED: return "not_stated";
    case REASON_STRADDLES: return "straddles";
    case REASON_MORE_ITEMS: return "more_items";
    case REASON_NO_RULE: return "no_rule";
    case REASON_OFFICIAL: return "official";
    case REASON_PRECISION: break;
    }
    return "precision";
}

bool reason_asks(Reason reason)
{
    return reason == REASON_NOT_STATED || reason == REASON_MORE_ITEMS;
}

static const char *reason_words(Reason reason)
{
    switch (reason) {
    case REASON_NOT_STATED: return "not stated";
    case REASON_STRADDLES: return "measure more closely";
    case REASON_MORE_ITEMS: return "the list is not complete";
    case REASON_NO_RULE: return "the law gives no value";
    case REASON_OFFICIAL: return "an official decides";
    case REASON_PRECISION: break;
    }
    return "too close to be told apart";
}

Text wanted_list_words(Arena *arena, const Wanted *wanted, uint32_t count)
{
    Buffer out = buffer_make(arena);
    for (uint32_t i = 0; i < count; i++) {
        Text what = wanted[i].item == NULL ? wanted[i].what
                                           : spec_path(arena, wanted[i].item, wanted[i].field);
        const char *reason = reason_words((Reason)wanted[i].reason);
        bool last = i + 1 == count || wanted[i + 1].reason != wanted[i].reason;
        buffer_string(&out, i > 0 ? ", " : "");
        buffer_text(&out, what);
        if (what.len == 0) {
            buffer_string(&out, reason);
        } else if (last) {
            buffer_format(&out, " (%s)", reason);
        }
    }
    return buffer_done(&out);
}

Text wanted_question(Arena *arena, const Wanted *wanted)
{
    const Field *field = wanted->field;
    if (wanted->reason == REASON_MORE_ITEMS && field != NULL) {
        return text_format(arena, "Is the list of %.*s complete?", TEXT_ARG(field->name->text));
    }
    if (field == NULL) {
        return text_format(arena, "State %.*s.", TEXT_ARG(wanted->what));
    }
    if (field->ask.len > 0) {
        return field->ask;
    }
    return text_format(arena, "What is the %.*s?",
                       TEXT_ARG(spaced_words(arena, field->name->text)));
}

Text answer_words(Arena *arena, const Wanted *wanted)
{
    const Field *field = wanted->field;
    if (field == NULL || wanted->reason == REASON_MORE_ITEMS) {
        return TEXT("");
    }
    const char *none = field->always_present ? "" : ", or none";
    if (field->type.class == CLASS_ITEM) {
        return text_format(arena, "its facts%s", none);
    }
    return text_format(arena, "%.*s%s", TEXT_ARG(type_describe(arena, &field->type)), none);
}

static bool has_straddle(Arena *arena, const Part *part)
{
    uint32_t count = 0;
    const Wanted *wanted = waits_flatten(arena, part->waits, &count);
    for (uint32_t i = 0; i < count; i++) {
        if (wanted[i].reason == REASON_STRADDLES) {
            return true;
        }
    }
    return false;
}

Text straddle_words(Arena *arena, const Part *part)
{
    bool present = (part->measured.can & part->limit.can & CAN_BE_PRESENT) != 0;
    if (!present || !has_straddle(arena, part) || !part->has_measure ||
        part->measured.kind != VALUE_RANGE || part->measured.root > 1 ||
        part->limit.kind != VALUE_RANGE || part->limit.root > 1 ||
        range_is_exact(&part->measured.range) || !range_is_exact(&part->limit.range) ||
        (part->measured.range.flags & (RANGE_NO_LOW | RANGE_NO_HIGH)) != 0 ||
        type_is_date(&part->line->measured->type)) {
        return TEXT("");
    }
    const Range *range = &part->measured.range;
    Rational middle =
        rational_mul(arena, rational_add(arena, range->low, range->high), RATIONAL(1, 2));
    Rational gap = rational_sub(arena, middle, part->limit.range.low);
    if (rational_sign(gap) < 0) {
        gap = rational_negate(arena, gap);
    }
    if (rational_sign(gap) == 0) {
        return TEXT("the middle of the measured range is the limit itself: no closer measurement "
                    "of it can settle the answer");
    }
    Rational zero = RATIONAL_ZERO;
    Text amount = quantity_print(arena, gap, margin_unit(arena, part), &zero);
    return text_format(arena, "measure more closely: to within %.*s", TEXT_ARG(amount));
}

/* ---- bounds, provenance, grounds ---- */

Text bounds_words(Arena *arena, const Part *part)
{
    uint32_t count = 0;
    const Wanted *wanted = waits_flatten(arena, part->bounds, &count);
    Buffer out = buffer_make(arena);
    for (uint32_t i = 0; i < count; i++) {
        const Field *field = wanted[i].field;
        if (field == NULL || wanted[i].item == NULL || !reason_asks((Reason)wanted[i].reason)) {
            continue; /* a measured value has its own bounds, not the vocabulary's */
        }
        buffer_string(&out, out.len > 0 ? ", " : "");
        buffer_text(&out, spec_path(arena, wanted[i].item, field));
        if (field->type.class == CLASS_NUMBER &&
            (field->bounds.flags & (RANGE_NO_LOW | RANGE_NO_HIGH)) !=
                (RANGE_NO_LOW | RANGE_NO_HIGH)) {
            buffer_format(&out, " (%.*s)",
                          TEXT_ARG(range_print(arena, &field->bounds, field->unit)));
        }
    }
    return buffer_done(&out);
}

const char *source_word(FactSource source)
{
    switch (source) {
    case SOURCE_DRAWING: return "drawing";
    case SOURCE_CUT_SHEET: return "cut sheet";
    case SOURCE_MEASURED: return "measured";
    case SOURCE_PROMISED: return "promised";
    case SOURCE_UNSAID: break;
    }
    return "";
}

Text provenance_words(Arena *arena, const Provenance *provenance)
{
    Buffer out = buffer_make(arena);
    if (provenance == NULL) {
        return TEXT("");
    }
    if (provenance->sheet.len > 0) {
        buffer_format(&out, "sheet %.*s", TEXT_ARG(provenance->sheet));
    }
    if (provenance->item.len > 0) {
        buffer_format(&out, "%sitem %.*s", out.len > 0 ? ", " : "", TEXT_ARG(provenance->item));
    }
    const char *source = source_word((FactSource)provenance->source);
    if (source[0] != '\0') {
        buffer_format(&out, "%s%s", out.len > 0 ? ", " : "", source);
    }
    return buffer_done(&out);
}

Text decision_words(Arena *arena, const Decision *decision)
{
    static const char *const kinds[] = {"variance", "approval", "refusal", "approval"};
    Buffer out = buffer_make(arena);
    buffer_string(&out, kinds[decision->kind]);
    if (decision->document.len > 0) {
        buffer_format(&out, " \"%.*s\"", TEXT_ARG(decision->document));
    }
    Text by = decision->office.len > 0 ? decision->office : decision->of;
    if (by.len > 0) {
        buffer_format(&out, " of the %.*s", TEXT_ARG(by));
    }
    buffer_format(&out, ", %.*s", TEXT_ARG(date_print(arena, decision->from)));
    if (decision->until != DAY_FOREVER) {
        buffer_format(&out, " to %.*s", TEXT_ARG(date_print(arena, decision->until)));
    }
    if (decision->has_limit && decision->limit.kind == VALUE_RANGE) {
        buffer_format(&out, ", limit %.*s",
                      TEXT_ARG(range_print(arena, &decision->limit.range, decision->limit_unit)));
    }
    return buffer_done(&out);
}

Text part_grounds(const Telling *telling, const Part *part)
{
    Arena *arena = telling->arena;
    if (part->decision != NULL) {
        return decision_words(arena, part->decision);
    }
    if (part->exception == NULL) {
        return TEXT("");
    }
    const Exception *exception = part->exception;
    if (exception->by.len > 0) {
        return text_format(arena, "exception of %.*s", TEXT_ARG(exception->by));
    }
    if (exception->by_approval) {
        return text_format(arena, "approval of %.*s", TEXT_ARG(exception->approval));
    }
    Text where =
        exception->tree == NULL ? TEXT("") : telling_expr(telling, exception->tree->condition);
    return text_format(arena, "exception where %.*s", TEXT_ARG(where));
}
