/* Measures: numbers of a judged line in the unit of the law, and the words around them.
 *
 * Two different values are never printed with equal digits (quantity_print sees the other one).
 * A percentage is told only of kinds with ratios: 42 degF is not 2.4 % more than 41 degF. */
#include "report/measure.h"

Bound line_bound(const Line *line)
{
    switch ((CompareOp)line->compare) {
    case COMPARE_LESS:
    case COMPARE_LESS_EQUAL: return line->negated ? BOUND_LOWER : BOUND_UPPER;
    case COMPARE_GREATER:
    case COMPARE_GREATER_EQUAL: return line->negated ? BOUND_UPPER : BOUND_LOWER;
    case COMPARE_EQUAL: return line->negated ? BOUND_UNEQUAL : BOUND_EQUAL;
    case COMPARE_NOT_EQUAL: break;
    }
    return line->negated ? BOUND_EQUAL : BOUND_UNEQUAL;
}

bool line_is_strict(const Line *line)
{
    bool strict = line->compare == COMPARE_LESS || line->compare == COMPARE_GREATER;
    bool ordered =
        strict || line->compare == COMPARE_LESS_EQUAL || line->compare == COMPARE_GREATER_EQUAL;
    return ordered && strict != line->negated;
}

bool type_is_date(const Type *type)
{
    return type->class == CLASS_DATE;
}

Range value_range(Arena *arena, const Value *value, bool *root)
{
    *root = value->root > 1;
    if (!*root) {
        return value->range;
    }
    Range range = value->range;
    bool point = range_is_exact(&range);
    Rational high = point ? range.low : range.high;
    Rational unused = RATIONAL_ZERO;
    if (point && rational_root_exact(arena, range.low, value->root, &high)) {
        *root = false;
        return range_exact(high);
    }
    Range out = {.flags = range.flags & (uint8_t)~RANGE_EXACT};
    if ((range.flags & RANGE_NO_LOW) == 0) {
        rational_root_bounds(arena, range.low, value->root, &out.low, &unused);
    }
    if ((range.flags & RANGE_NO_HIGH) == 0) {
        rational_root_bounds(arena, high, value->root, &unused, &out.high);
    }
    *root = point;
    return out;
}

/* ---- values in words ---- */

static Text date_words(Arena *arena, const Range *range)
{
    bool has_low = (range->flags & RANGE_NO_LOW) == 0;
    bool has_high = range_is_exact(range) || (range->flags & RANGE_NO_HIGH) == 0;
    if (!has_low && !has_high) {
        return TEXT("any day");
    }
    Text low = has_low ? date_print(arena, (Day)rational_floor(arena, range->low).num) : TEXT("");
    if (range_is_exact(range)) {
        return low;
    }
    Text high =
        has_high ? date_print(arena, (Day)rational_floor(arena, range->high).num) : TEXT("");
    if (!has_high) {
        return text_format(arena, "%.*s or later", TEXT_ARG(low));
    }
    if (!has_low) {
        return text_format(arena, "%.*s or earlier", TEXT_ARG(high));
    }
    return text_format(arena, "%.*s to %.*s", TEXT_ARG(low), TEXT_ARG(high));
}

/* The other value, where it is one number from which this one must look different. */
static bool number_beside(Arena *arena, const Value *other, Rational *number)
{
    if (other == NULL || other->kind != VALUE_RANGE || other->can != CAN_BE_PRESENT) {
        return false;
    }
    bool root = false;
    Range range = value_range(arena, other, &root);
    *number = range.low;
    return root || range_is_exact(&range);
}

/* So narrow that it is no range in the trade: what encloses a value that no fraction says. */
static bool is_enclosure(Arena *arena, const Range *range)
{
    if (range_is_exact(range) || (range->flags & (RANGE_NO_LOW | RANGE_NO_HIGH)) != 0) {
        return false;
    }
    Rational width = rational_sub(arena, range->high, range->low);
    Rational share = rational_mul(arena, range->low, RATIONAL(1, 1000000000));
    if (rational_sign(share) < 0) {
        share = rational_sub(arena, RATIONAL_ZERO, share);
    }
    return rational_order(width, share) < 0;
}

static Text number_words(Arena *arena, const Value *value, const Type *type, const Unit *unit,
                         const Value *other)
{
    bool root = false;
    Range range = value_range(arena, value, &root);
    if (unit == NULL && !dimension_is_number(type->dimension)) {
        unit = unit_default(arena, type->dimension);
    }
    if (unit == NULL && type->percent) {
        unit = unit_find(arena, TEXT("%"), false);
    }
    if (!range_is_exact(&range) && !root && !is_enclosure(arena, &range)) {
        return range_print(arena, &range, unit);
    }
    Rational beside = RATIONAL_ZERO;
    bool has_beside = number_beside(arena, other, &beside);
    return quantity_print(arena, range.low, unit, has_beside ? &beside : NULL);
}

static Text choice_words(Arena *arena, uint64_t words, const Choice *choice)
{
    Buffer out = buffer_make(arena);
    for (uint32_t i = 0; choice != NULL && i < choice->count; i++) {
        if ((words >> i & 1) != 0) {
            buffer_format(&out, "%s%.*s", out.len > 0 ? " or " : "",
                          TEXT_ARG(choice->words[i]->text));
        }
    }
    return buffer_done(&out);
}

static Text size_words(Arena *arena, const Range *size)
{
    const Unit *inch = unit_find(arena, TEXT("in"), false);
    Text side[3];
    for (int i = 0; i < 3; i++) {
        side[i] = range_print(arena, &size[i], inch);
    }
    return text_format(arena, "%.*s x %.*s x %.*s", TEXT_ARG(side[0]), TEXT_ARG(side[1]),
                       TEXT_ARG(side[2]));
}

static Text list_words(Arena *arena, const List *list)
{
    if (list->count == 0) {
        return list->open ? TEXT("not stated") : TEXT("an empty list");
    }
    return text_format(arena, "%u %s%s", list->count, list->count == 1 ? "item" : "items",
                       list->open ? " and more" : "");
}

static Text present_words(Arena *arena, const Value *value, const Type *type, const Unit *unit,
                          const Value *other)
{
    switch ((ValueKind)value->kind) {
    case VALUE_RANGE:
        return type_is_date(type) ? date_words(arena, &value->range)
                                  : number_words(arena, value, type, unit, other);
    case VALUE_TRUTH:
        return value->truth == TRUTH_TRUE    ? TEXT("yes")
               : value->truth == TRUTH_FALSE ? TEXT("no")
                                             : TEXT("yes or no");
    case VALUE_WORDS: return choice_words(arena, value->words, type->choice);
    case VALUE_TEXT:
        return value->known ? text_format(arena, "\"%.*s\"", TEXT_ARG(value->text))
                            : TEXT("any text");
    case VALUE_SIZE: return value->size == NULL ? TEXT("any size") : size_words(arena, value->size);
    case VALUE_ITEM:
        return value->known && value->item != NULL && value->item->key.len > 0
                   ? text_format(arena, "\"%.*s\"", TEXT_ARG(value->item->key))
                   : TEXT("an item");
    case VALUE_LIST: return value->list == NULL ? TEXT("a list") : list_words(arena, value->list);
    }
    return TEXT("");
}

Text value_words(Arena *arena, const Value *value, const Type *type, const Unit *unit,
                 const Value *other)
{
    if ((value->can & CAN_BE_PRESENT) == 0) {
        return (value->can & CAN_BE_NONE) != 0 ? TEXT("none") : TEXT("no value");
    }
    Text present = present_words(arena, value, type, unit, other);
    if ((value->can & CAN_BE_NONE) != 0) {
        return text_format(arena, "%.*s, or none", TEXT_ARG(present));
    }
    return present;
}

/* ---- a line's two sides ---- */

const Unit *measure_unit(Arena *arena, const Part *part)
{
    const Line *line = part->line;
    if (line->unit != NULL || line->measured == NULL) {
        return line->unit;
    }
    const Type *type = &line->measured->type;
    if (type->class != CLASS_NUMBER || dimension_is_number(type->dimension)) {
        return type->percent ? unit_find(arena, TEXT("%"), false) : NULL;
    }
    return unit_default(arena, type->dimension);
}

Text measured_words(Arena *arena, const Part *part)
{
    if (part->absent) {
        return TEXT("absent");
    }
    if (!part->has_measure) {
        return TEXT("");
    }
    return value_words(arena, &part->measured, &part->line->measured->type,
                       measure_unit(arena, part), &part->limit);
}

bool value_says_something(const Value *value)
{
    if (value->kind != VALUE_RANGE || range_is_exact(&value->range)) {
        return true;
    }
    bool has_low = (value->range.flags & RANGE_NO_LOW) == 0;
    bool has_high = (value->range.flags & RANGE_NO_HIGH) == 0;
    return has_high || (has_low && rational_sign(value->range.low) > 0);
}

static const char *limit_word(const Line *line, bool date)
{
    bool strict = line_is_strict(line);
    switch (line_bound(line)) {
    case BOUND_UPPER:
        return date ? (strict ? "before" : "on or before") : (strict ? "less than" : "at most");
    case BOUND_LOWER:
        return date ? (strict ? "after" : "on or after") : (strict ? "more than" : "at least");
    case BOUND_EQUAL: return date ? "on" : "exactly";
    case BOUND_UNEQUAL: break;
    }
    return date ? "not on" : "other than";
}

bool value_is_point(const Value *value)
{
    if (value->can != CAN_BE_PRESENT) {
        return false;
    }
    if (value->kind == VALUE_WORDS) {
        return value->words != 0 && (value->words & (value->words - 1)) == 0;
    }
    return value->kind != VALUE_RANGE || range_is_exact(&value->range);
}

Text limit_words(Arena *arena, const Part *part)
{
    const Line *line = part->line;
    if (!part->has_measure) {
        return TEXT("");
    }
    const Type *type = &line->limit->type;
    const Unit *unit = measure_unit(arena, part);
    if (!value_is_point(&part->limit)) {
        Value present = part->limit;
        if ((present.can & CAN_BE_PRESENT) == 0) {
            return TEXT("not given by the law for this");
        }
        present.can = CAN_BE_PRESENT;
        if (!value_says_something(&present)) {
            return TEXT("not yet known");
        }
        Text so_far = value_words(arena, &present, type, unit, NULL);
        return text_format(arena, "not yet known (%.*s)", TEXT_ARG(so_far));
    }
    Text value = value_words(arena, &part->limit, type, unit, &part->measured);
    return text_format(arena, "%s %.*s", limit_word(line, type_is_date(type)), TEXT_ARG(value));
}

Text limit_safe(Arena *arena, const Part *part)
{
    if (!part->has_measure) {
        return TEXT("");
    }
    const Type *type = &part->line->limit->type;
    const Unit *unit = measure_unit(arena, part);
    Bound bound = line_bound(part->line);
    Text plain = value_words(arena, &part->limit, type, unit, NULL);
    if (!text_starts(plain, TEXT("about ")) || part->limit.kind != VALUE_RANGE ||
        bound > BOUND_LOWER) {
        return plain;
    }
    bool root = false;
    Range range = value_range(arena, &part->limit, &root);
    bool up = bound == BOUND_LOWER;
    Rational si = up && !range_is_exact(&range) ? range.high : range.low;
    Rational number = unit == NULL ? si : unit_from_si(arena, unit, si);
    Text digits = rational_print(arena, number, 3, up ? 1 : -1, NULL);
    Rational safe = RATIONAL_ZERO;
    bool negative = text_starts(digits, TEXT("-"));
    Text bare = negative ? (Text){digits.data + 1, digits.len - 1} : digits;
    if (!rational_parse_decimal(arena, bare, &safe)) {
        return plain;
    }
    safe = negative ? rational_negate(arena, safe) : safe;
    return quantity_print(arena, unit == NULL ? safe : unit_to_si(arena, unit, safe), unit, NULL);
}

/* ---- margins ---- */

/* A unit of differences: "degF" without its zero point, "psi" for gauge pressure. */
const Unit *margin_unit(Arena *arena, const Part *part)
{
    const Unit *unit = measure_unit(arena, part);
    if (unit == NULL || unit->dimension.kind == KIND_PLAIN) {
        return unit;
    }
    Unit *difference = ARENA_NEW(arena, Unit);
    *difference = *unit;
    difference->offset = RATIONAL_ZERO;
    difference->dimension.kind = KIND_PLAIN;
    if (text_equal(unit->spelling, TEXT("psig")) || text_equal(unit->spelling, TEXT("psia"))) {
        difference->spelling = TEXT("psi");
    }
    return difference;
}

static bool has_ratio(const Type *type, const Unit *unit)
{
    if (type->class != CLASS_NUMBER || type->whole || type->percent) {
        return false;
    }
    if (unit != NULL && text_equal(unit->spelling, TEXT("%"))) {
        return false;
    }
    return type->dimension.kind == KIND_PLAIN || type->dimension.kind == KIND_ABSOLUTE;
}

static void add_percent(Arena *arena, const Part *part, const Range *limit, Margin *margin)
{
    if (!has_ratio(&part->line->measured->type, part->line->unit) ||
        rational_sign(limit->low) == 0 || (limit->flags & RANGE_NO_LOW) != 0) {
        return;
    }
    Rational base = rational_sign(limit->low) < 0 ? rational_negate(arena, limit->low) : limit->low;
    margin->percent = rational_mul(arena, rational_div(arena, margin->low, base), RATIONAL(100, 1));
    margin->has_percent = true;
}

/* The slack of an upper or lower bound: how far measured lies on the allowed side, as a range. */
static Range slack_of(Arena *arena, Bound bound, const Range *measured, const Range *limit)
{
    return bound == BOUND_UPPER ? range_sub(arena, limit, measured)
                                : range_sub(arena, measured, limit);
}

static Margin unequal_margin(Arena *arena, const Range *measured, const Range *limit)
{
    Margin margin = {0};
    if (range_is_exact(measured) && range_is_exact(limit)) {
        Rational apart = rational_sub(arena, measured->low, limit->low);
        margin.low = rational_sign(apart) < 0 ? rational_negate(arena, apart) : apart;
        margin.exact = true;
        margin.known = rational_sign(apart) != 0;
    }
    return margin;
}

Margin measure_margin(Arena *arena, const Part *part)
{
    Margin margin = {0};
    if (!part->has_measure || part->measured.kind != VALUE_RANGE ||
        part->limit.kind != VALUE_RANGE || part->measured.can != CAN_BE_PRESENT ||
        part->limit.can != CAN_BE_PRESENT) {
        return margin;
    }
    bool measured_root = false;
    bool limit_root = false;
    Range measured = value_range(arena, &part->measured, &measured_root);
    Range limit = value_range(arena, &part->limit, &limit_root);
    Bound bound = line_bound(part->line);
    if (bound == BOUND_EQUAL || bound == BOUND_UNEQUAL) {
        margin = unequal_margin(arena, &measured, &limit);
    } else {
        Range slack = slack_of(arena, bound, &measured, &limit);
        bool exact = range_is_exact(&slack);
        Rational high = exact ? slack.low : slack.high;
        bool misses = part->outcome == OUTCOME_CORRECTION;
        if (part->outcome == OUTCOME_EXCUSED) {
            misses = (slack.flags & RANGE_NO_LOW) != 0 || rational_sign(slack.low) < 0;
        }
        margin.known = misses ? exact || (slack.flags & RANGE_NO_HIGH) == 0
                              : (slack.flags & RANGE_NO_LOW) == 0;
        margin.low = misses ? rational_negate(arena, high) : slack.low;
        margin.known = margin.known && rational_sign(margin.low) >= 0;
        margin.spare = !misses;
        margin.exact = exact;
        margin.root = measured_root || limit_root;
    }
    bool limit_known = range_is_exact(&limit) || limit_root;
    if (margin.known && limit_known) {
        add_percent(arena, part, &limit, &margin);
    }
    return margin;
}

Text percent_words(Arena *arena, Rational percent)
{
    bool exact = false;
    Text digits = rational_print(arena, percent, 1, 0, &exact);
    if (text_equal(digits, TEXT("0")) && rational_sign(percent) != 0) {
        return TEXT("under 0.1%");
    }
    return text_format(arena, "%.*s%%", TEXT_ARG(digits));
}

static Text days_words(Arena *arena, Rational days)
{
    Text number = rational_print(arena, days, 0, 0, NULL);
    return text_format(arena, "%.*s %s", TEXT_ARG(number),
                       text_equal(number, TEXT("1")) ? "day" : "days");
}

static const char *miss_word(Bound bound, bool date)
{
    switch (bound) {
    case BOUND_UPPER: return date ? "late by " : "over by ";
    case BOUND_LOWER: return date ? "early by " : "short by ";
    case BOUND_EQUAL: return "differs by ";
    case BOUND_UNEQUAL: break;
    }
    return "";
}

Text margin_words(Arena *arena, const Part *part)
{
    Margin margin = measure_margin(arena, part);
    if (!margin.known) {
        return TEXT("");
    }
    Bound bound = line_bound(part->line);
    bool date = type_is_date(&part->line->measured->type);
    bool fails = part->outcome == OUTCOME_CORRECTION;
    if (rational_sign(margin.low) == 0) {
        return fails          ? TEXT("at the limit, which is not allowed itself")
               : margin.exact ? TEXT("exactly at the limit")
                              : TEXT("perhaps exactly at the limit");
    }
    Rational zero = RATIONAL_ZERO;
    Text amount = date ? days_words(arena, margin.low)
                       : quantity_print(arena, margin.low, margin_unit(arena, part), &zero);
    Buffer out = buffer_make(arena);
    buffer_string(&out, margin.spare ? "" : miss_word(bound, date));
    buffer_string(&out, margin.exact || margin.root ? "" : "at least ");
    buffer_text(&out, amount);
    if (margin.has_percent) {
        buffer_format(&out, " (%.*s)", TEXT_ARG(percent_words(arena, margin.percent)));
    }
    buffer_string(&out, margin.spare ? " to spare" : "");
    return buffer_done(&out);
}

/* ---- names ---- */

Text spaced_words(Arena *arena, Text name)
{
    char *copy = text_string(arena, name);
    for (size_t i = 0; i < name.len; i++) {
        copy[i] = copy[i] == '_' ? ' ' : copy[i];
    }
    return (Text){copy, name.len};
}

Text measure_name(Arena *arena, const Part *part)
{
    const Line *line = part->line;
    if (line->measured != NULL && line->measured->expr != NULL) {
        const Expr *expr = line->measured->expr;
        while (expr->kind == EXPR_IF_NONE && expr->a != NULL) {
            expr = expr->a;
        }
        if ((expr->kind == EXPR_NAME || expr->kind == EXPR_FIELD) && expr->name != NULL) {
            return spaced_words(arena, expr->name->text);
        }
    }
    return TEXT("");
}
