/* Formulas of a sheet with their numbers put in, and the facts that they read. The text of a
 * formula is taken from the rule file; where a name, a look-up or a total stands, its value is put
 * instead. What is not known stands as '?'. */
#include "report/measure.h"
#include "report/worksheet.h"

enum { PARTS_MAX = 64, MEMBERS_SHOWN = 8, TRACES_MAX = 16, WRITTEN_MAX = 60 };

Text step_formula(Arena *arena, const StepTree *step)
{
    Text value = syntax_print_expr(arena, step->value);
    if (step->fallback == NULL) {
        return value;
    }
    return text_format(arena, "%.*s, or %.*s if none", TEXT_ARG(value),
                       TEXT_ARG(syntax_print_expr(arena, step->fallback)));
}

/* Without the parentheses around all of it. */
Text bare_words(Text words)
{
    unsigned depth = 0;
    for (size_t i = 0; i < words.len; i++) {
        depth += words.data[i] == '(';
        depth -= words.data[i] == ')' && depth > 0;
        if (depth == 0 && i + 1 < words.len) {
            return words;
        }
    }
    return words.len > 2 ? (Text){words.data + 1, words.len - 2} : words;
}

/* ---- values ---- */

Text numbers_value(Arena *arena, const Value *value, const Type *type, const Unit *unit,
                   bool *known)
{
    Value present = *value;
    *known = true;
    if ((value->can & CAN_BE_PRESENT) == 0) {
        return value_words(arena, value, type, unit, NULL);
    }
    present.can = CAN_BE_PRESENT;
    bool any_word = value->kind == VALUE_WORDS && type->choice != NULL && type->choice->count > 1 &&
                    (uint32_t)__builtin_popcountll(value->words) == type->choice->count;
    bool open = any_word || (value->kind == VALUE_TRUTH && value->truth == TRUTH_UNKNOWN) ||
                (value->kind == VALUE_TEXT && !value->known) ||
                (value->kind == VALUE_RANGE && !value_says_something(&present));
    if (open) {
        *known = false;
        return TEXT("not known");
    }
    return value_words(arena, value, type, unit, NULL);
}

/* A step is told in the unit that it asks for. */
static const Unit *step_unit(const Worksheet *sheet, const Code *code)
{
    for (uint32_t i = 0; sheet != NULL && i < sheet->step_count; i++) {
        const Code *value = sheet->steps[i].value;
        if (value->op == CODE_DEFINED && value->slot == code->slot && value->a == code->a) {
            return sheet->steps[i].unit;
        }
    }
    return NULL;
}

static const Item *item_of(Numbers *n, const Code *code)
{
    if (code->op == CODE_FACT) {
        return n->review->spec->unit;
    }
    Value item = again_value(n->again, code->a);
    return item.kind == VALUE_ITEM && item.known ? item.item : NULL;
}

static const Unit *unit_told(Numbers *n, const Code *code)
{
    const Unit *unit = NULL;
    if (code->op == CODE_DEFINED) {
        unit = step_unit(n->sheet, code);
        unit = unit != NULL ? unit : step_unit(n->schedule, code);
    } else if (code->op == CODE_FACT || code->op == CODE_FIELD) {
        const Item *item = item_of(n, code);
        const Fact *fact = item == NULL ? NULL : item_fact(item, code->field);
        unit = fact == NULL ? NULL : fact->unit;
    }
    return unit != NULL ? unit : code->unit;
}

static Text told_value(Numbers *n, const Code *code)
{
    Value value = again_value(n->again, code);
    if (value.kind == VALUE_ITEM && value.known && value.item != NULL && value.item->key.len == 0) {
        return value.item->phantom ? TEXT("?") : spec_path(n->arena, value.item, NULL);
    }
    bool known = false;
    Text words = numbers_value(n->arena, &value, &code->type, unit_told(n, code), &known);
    if (!known) {
        return TEXT("?");
    }
    return value_is_point(&value) ? words : text_format(n->arena, "(%.*s)", TEXT_ARG(words));
}

/* ---- traces ---- */

static void add_trace(Numbers *n, Text trace)
{
    for (uint32_t i = 0; i < n->trace_count; i++) {
        if (text_equal(n->traces[i], trace)) {
            return;
        }
    }
    if (n->traces == NULL) {
        n->traces = ARENA_ARRAY(n->arena, Text, TRACES_MAX);
    }
    if (n->trace_count < TRACES_MAX) {
        n->traces[n->trace_count++] = trace;
    }
}

static void trace_rounding(Numbers *n, const Code *code)
{
    static const char *const words[] = {"rounded up", "rounded down", "rounded half up",
                                        "rounded half even"};
    const Unit *unit = code->unit != NULL ? code->unit : code->a->unit;
    Value before = again_value(n->again, code->a);
    Value after = again_value(n->again, code);
    bool known = false;
    Text from = numbers_value(n->arena, &before, &code->type, unit, &known);
    Text to = numbers_value(n->arena, &after, &code->type, unit, &known);
    if (!known || before.can != CAN_BE_PRESENT) {
        return;
    }
    bool root = false;
    Range step = value_range(n->arena, code->value, &root);
    Text steps = range_print(n->arena, &step, unit);
    if (text_equal(from, to)) {
        add_trace(n, text_format(n->arena, "%.*s stays as it is, %s in steps of %.*s",
                                 TEXT_ARG(from), words[code->sub], TEXT_ARG(steps)));
        return;
    }
    add_trace(n, text_format(n->arena, "%.*s %s to %.*s, in steps of %.*s", TEXT_ARG(from),
                             words[code->sub], TEXT_ARG(to), TEXT_ARG(steps)));
}

static Text list_args(Numbers *n, const Code *code)
{
    Buffer out = buffer_make(n->arena);
    for (uint32_t i = 0; i < code->count; i++) {
        buffer_string(&out, i > 0 ? ", " : "");
        buffer_text(&out, bare_words(numbers_words(n, code->args[i])));
    }
    return buffer_done(&out);
}

static Text words_of_table(Numbers *n, const Code *code)
{
    Text value = told_value(n, code);
    Text cites = code->table->cites;
    add_trace(n, text_format(n->arena, "table %.*s(%.*s): %.*s%s%.*s%s",
                             TEXT_ARG(code->table->name->text), TEXT_ARG(list_args(n, code)),
                             TEXT_ARG(value), cites.len > 0 ? " [" : "", TEXT_ARG(cites),
                             cites.len > 0 ? "]" : ""));
    return value;
}

/* A definition of the code or of the sheet, which no line of its own shows. */
static Text words_of_definition(Numbers *n, const Code *code)
{
    Text value = told_value(n, code);
    bool is_step = step_unit(n->sheet, code) != NULL || step_unit(n->schedule, code) != NULL ||
                   code->a->expr == NULL || code->expr == NULL || code->expr->kind == EXPR_FIELD;
    if (is_step || map_put(n->told, code->a, n) != NULL) {
        return value;
    }
    Text numbers = bare_words(numbers_words(n, code->a));
    Text formula = syntax_print_expr(n->arena, code->a->expr);
    Text bare = bare_words(value);
    Buffer out = buffer_make(n->arena);
    buffer_format(&out, "%.*s = %.*s", TEXT_ARG(code->expr->name->text), TEXT_ARG(formula));
    if (!text_equal(numbers, bare) && !text_equal(numbers, formula)) {
        buffer_format(&out, " = %.*s", TEXT_ARG(numbers));
    }
    if (!text_equal(formula, bare)) {
        buffer_format(&out, " = %.*s", TEXT_ARG(bare));
    }
    add_trace(n, buffer_done(&out));
    return value;
}

/* ---- totals and extremes ---- */

/* The values of the members; false when they are many, or any is in doubt. */
static bool list_members(Numbers *n, const Code *code, const char *between, Buffer *out,
                         uint32_t *count)
{
    Value list = again_value(n->again, code->a);
    if (list.kind != VALUE_LIST || list.can != CAN_BE_PRESENT || list.list->open) {
        return false;
    }
    bool any_known = false;
    *count = 0;
    for (uint32_t i = 0; i < list.list->count; i++) {
        const Member *member = &list.list->members[i];
        again_bind(n->again, code->slot, member->item);
        Truth in = member->doubt == NULL ? TRUTH_TRUE : TRUTH_UNKNOWN;
        if (code->b != NULL && in == TRUTH_TRUE) {
            Value where = again_value(n->again, code->b);
            in = where.can == CAN_BE_PRESENT ? (Truth)where.truth : TRUTH_UNKNOWN;
        }
        if (in == TRUTH_UNKNOWN || *count == MEMBERS_SHOWN) {
            return false;
        }
        if (in == TRUTH_TRUE) {
            Text value = told_value(n, code->c);
            any_known = any_known || !text_equal(value, TEXT("?"));
            buffer_string(out, (*count)++ > 0 ? between : "");
            buffer_text(out, value);
        }
    }
    return any_known;
}

static Text words_of_members(Numbers *n, const Code *code)
{
    bool is_total = code->op == CODE_TOTAL;
    Buffer out = buffer_make(n->arena);
    uint32_t count = 0;
    bool told = list_members(n, code, is_total ? " + " : ", ", &out, &count);
    if (!told || count == 0) {
        return told_value(n, code);
    }
    Text members = buffer_done(&out);
    if (is_total) {
        return count == 1 ? members : text_format(n->arena, "(%.*s)", TEXT_ARG(members));
    }
    return text_format(n->arena, "%s of (%.*s)", code->op == CODE_LEAST ? "least" : "greatest",
                       TEXT_ARG(members));
}

/* ---- the text of a formula ---- */

static const Code *other_side(Numbers *n, const Code *code)
{
    if (code->op == CODE_IF_NONE) {
        Value a = again_value(n->again, code->a);
        return a.can == CAN_BE_NONE ? code->b : code->a;
    }
    Value condition = again_value(n->again, code->b);
    if (condition.can != CAN_BE_PRESENT || condition.truth == TRUTH_UNKNOWN) {
        return NULL;
    }
    return condition.truth == TRUTH_TRUE ? code->a : code->c;
}

static bool is_told_as_value(uint8_t op)
{
    switch ((int)op) {
    case CODE_FACT:
    case CODE_FIELD:
    case CODE_BY_KEY:
    case CODE_VARIABLE:
    case CODE_CALL:
    case CODE_REVIEW_DATE:
    case CODE_PERMIT_DATE:
    case CODE_QUANTIFIER:
    case CODE_COUNT:
    case CODE_THOSE:
    case CODE_COVERED:
    case CODE_FIRST:
    case CODE_COVERS:
    case CODE_OVERLAPS:
    case CODE_GAP:
    case CODE_OVERHANG:
    case CODE_APPROVAL:
    case CODE_BLANK: return true;
    default: return false;
    }
}

/* Part of a formula, on one line and without its comments. */
static void put_slice(Buffer *out, Text slice)
{
    for (size_t i = 0; i < slice.len; i++) {
        char c = slice.data[i];
        if (c == '-' && i + 1 < slice.len && slice.data[i + 1] == '-') {
            while (i < slice.len && slice.data[i] != '\n') {
                i++;
            }
            c = ' ';
        }
        bool blank = ascii_is_space(c);
        if (!blank) {
            buffer_char(out, c);
        } else if (out->len > 0 && out->data[out->len - 1] != ' ') {
            buffer_char(out, ' ');
        }
    }
}

typedef struct Pieces {
    const Code *list[PARTS_MAX];
    uint32_t count;
} Pieces;

static bool is_within(const Code *inner, const Code *outer)
{
    return inner != NULL && inner->expr != NULL && inner->source == outer->source &&
           inner->expr->span.start >= outer->expr->span.start &&
           inner->expr->span.end <= outer->expr->span.end;
}

/* In order of the text; what stands at the same place as another is the same thing. */
static void add_piece(Pieces *pieces, const Code *outer, const Code *inner)
{
    if (!is_within(inner, outer) || pieces->count == PARTS_MAX) {
        return;
    }
    uint32_t at = pieces->count;
    while (at > 0 && pieces->list[at - 1]->expr->span.start > inner->expr->span.start) {
        at--;
    }
    if (at > 0 && pieces->list[at - 1]->expr->span.end > inner->expr->span.start) {
        return;
    }
    for (uint32_t i = pieces->count++; i > at; i--) {
        pieces->list[i] = pieces->list[i - 1];
    }
    pieces->list[at] = inner;
}

static Text words_of_parts(Numbers *n, const Code *code)
{
    Pieces pieces = {0};
    add_piece(&pieces, code, code->a);
    add_piece(&pieces, code, code->b);
    add_piece(&pieces, code, code->c);
    for (uint32_t i = 0; i < code->count; i++) {
        add_piece(&pieces, code, code->args[i]);
    }
    Buffer out = buffer_make(n->arena);
    uint32_t at = code->expr->span.start;
    for (uint32_t i = 0; i < pieces.count; i++) {
        Span span = pieces.list[i]->expr->span;
        put_slice(&out, place_text((Place){code->source, {at, span.start}}));
        buffer_text(&out, numbers_words(n, pieces.list[i]));
        at = span.end;
    }
    put_slice(&out, place_text((Place){code->source, {at, code->expr->span.end}}));
    return buffer_done(&out);
}

Text numbers_words(Numbers *n, const Code *code)
{
    if (code->op == CODE_IF || code->op == CODE_IF_NONE) {
        const Code *chosen = other_side(n, code);
        if (chosen != NULL) {
            return numbers_words(n, chosen);
        }
    }
    if (code->op == CODE_TABLE) {
        return words_of_table(n, code);
    }
    if (code->op == CODE_DEFINED) {
        return words_of_definition(n, code);
    }
    bool extreme = code->op == CODE_TOTAL || code->op == CODE_LEAST || code->op == CODE_GREATEST;
    if (extreme && code->a->op != CODE_WORDS) {
        return words_of_members(n, code);
    }
    if (extreme || is_told_as_value(code->op) || code->expr == NULL) {
        return told_value(n, code);
    }
    if (code->op == CODE_ROUND) {
        trace_rounding(n, code);
    }
    return words_of_parts(n, code);
}

/* ---- inputs ---- */

static Text as_written(Arena *arena, const Item *item, const Field *field, const Fact *fact)
{
    if (fact->state == FACT_UNSTATED) {
        return TEXT("not stated");
    }
    if (fact->state == FACT_NONE) {
        return TEXT("none");
    }
    Text text = text_trim(place_text(fact_place(item, field)));
    bool plain = text.len > 0 && text.len <= WRITTEN_MAX;
    for (size_t i = 0; i < text.len; i++) {
        plain = plain && text.data[i] != '\n' && text.data[i] != '{' && text.data[i] != '[';
    }
    bool quoted = plain && text.len > 2 && (text.data[0] == '"' || text.data[0] == '\'') &&
                  text.data[text.len - 1] == text.data[0];
    if (quoted) {
        return (Text){text.data + 1, text.len - 2};
    }
    return plain ? text : value_words(arena, &fact->value, &field->type, fact->unit, NULL);
}

static void add_input(Numbers *n, const Item *item, const Field *field)
{
    const Fact *fact = item == NULL || item->phantom ? NULL : item_fact(item, field);
    if (fact == NULL || field->type.class == CLASS_LIST || field->type.class == CLASS_ITEM ||
        map_put(n->facts, fact, n) != NULL) {
        return;
    }
    if (n->input_count == n->input_cap) {
        n->input_cap = n->input_cap == 0 ? 16 : n->input_cap * 2;
        ToldInput *grown = ARENA_ARRAY(n->arena, ToldInput, n->input_cap);
        for (uint32_t i = 0; i < n->input_count; i++) {
            grown[i] = n->inputs[i];
        }
        n->inputs = grown;
    }
    n->inputs[n->input_count++] = (ToldInput){.item = item,
                                              .field = field,
                                              .path = spec_path(n->arena, item, field),
                                              .written = as_written(n->arena, item, field, fact),
                                              .place = fact_place(item, field),
                                              .provenance = fact->provenance};
}

static void inputs_of_members(Numbers *n, const Code *code)
{
    numbers_inputs(n, code->a);
    Value list = again_value(n->again, code->a);
    if (list.kind != VALUE_LIST || (list.can & CAN_BE_PRESENT) == 0 || list.list == NULL) {
        return;
    }
    for (uint32_t i = 0; i < list.list->count; i++) {
        again_bind(n->again, code->slot, list.list->members[i].item);
        Value where = {.truth = TRUTH_TRUE};
        if (code->b != NULL) {
            numbers_inputs(n, code->b);
            where = again_value(n->again, code->b);
        }
        if (where.truth != TRUTH_FALSE && code->c != NULL) {
            numbers_inputs(n, code->c);
        }
    }
}

static bool goes_through_list(uint8_t op)
{
    return op == CODE_QUANTIFIER || op == CODE_TOTAL || op == CODE_LEAST || op == CODE_GREATEST ||
           op == CODE_COUNT || op == CODE_THOSE || op == CODE_FIRST;
}

void numbers_inputs(Numbers *n, const Code *code)
{
    if (code == NULL) {
        return;
    }
    if (code->op == CODE_FACT || code->op == CODE_FIELD) {
        add_input(n, item_of(n, code), code->field);
        numbers_inputs(n, code->a);
        return;
    }
    /* Definitions stand outside every list: one walk serves all who use them. */
    if (code->op == CODE_DEFINED && map_put(n->seen, code->a, n) != NULL) {
        return;
    }
    if (goes_through_list(code->op) && code->a->op != CODE_WORDS) {
        inputs_of_members(n, code);
        return;
    }
    if (code->op == CODE_IF) {
        const Code *chosen = other_side(n, code);
        numbers_inputs(n, code->b);
        if (chosen != NULL) {
            numbers_inputs(n, chosen);
            return;
        }
    }
    if (code->op == CODE_CALL) {
        (void)again_value(n->again, code); /* puts the arguments in their place */
    }
    numbers_inputs(n, code->a);
    numbers_inputs(n, code->op == CODE_IF ? NULL : code->b);
    numbers_inputs(n, code->c);
    for (uint32_t i = 0; i < code->count; i++) {
        numbers_inputs(n, code->args[i]);
    }
}
