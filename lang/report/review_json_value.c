/* Values as JSON: exact rationals as text, their decimals beside them, in the unit that people
 * read; ranges by their ends, choices by their words, absence and "no value" said as such. */
#include "report/measure.h"
#include "report/review_json.h"

enum { DECIMAL_PLACES = 9 };

void json_place(Json *json, Place place)
{
    if (place.source == NULL) {
        json_null(json);
        return;
    }
    Position start = source_position(place.source, place.span.start);
    Position end = source_position(place.source, place.span.end);
    json_open_flat(json, '{');
    json_put_text(json, "file", place.source->path);
    json_put_count(json, "line", start.line);
    json_put_count(json, "column", start.column);
    json_put_count(json, "end_line", end.line);
    json_put_count(json, "end_column", end.column);
    json_close(json, '}');
}

void json_fact_place(Json *json, const Item *item, const Field *field)
{
    if (item == NULL) {
        json_null(json);
    } else {
        json_place(json, fact_place(item, field));
    }
}

void json_day(Json *json, const char *key, Day day)
{
    json_key(json, key);
    if (day == INT32_MIN || day == DAY_FOREVER) {
        json_null(json);
    } else {
        json_text(json, date_print(json->out.arena, day));
    }
}

static void put_number(Json *json, Arena *arena, Rational si, const Unit *unit)
{
    Rational number = unit == NULL ? si : unit_from_si(arena, unit, si);
    json_put_text(json, "exact", rational_print_exact(arena, number));
    json_put_text(json, "decimal", rational_print(arena, number, DECIMAL_PLACES, 0, NULL));
}

static void put_end(Json *json, Arena *arena, const char *key, bool has, Rational si, bool open,
                    const Unit *unit)
{
    json_key(json, key);
    if (!has) {
        json_null(json);
        return;
    }
    json_open_flat(json, '{');
    put_number(json, arena, si, unit);
    json_put_bool(json, "included", !open);
    json_close(json, '}');
}

static void put_range(Json *json, Arena *arena, const Range *range, const Unit *unit)
{
    put_end(json, arena, "low", (range->flags & RANGE_NO_LOW) == 0, range->low,
            (range->flags & RANGE_LOW_OPEN) != 0, unit);
    put_end(json, arena, "high", (range->flags & RANGE_NO_HIGH) == 0, range->high,
            (range->flags & RANGE_HIGH_OPEN) != 0, unit);
}

static void put_dates(Json *json, Arena *arena, const Range *range)
{
    bool point = range_is_exact(range);
    bool has_low = (range->flags & RANGE_NO_LOW) == 0;
    bool has_high = point || (range->flags & RANGE_NO_HIGH) == 0;
    Rational high = point ? range->low : range->high;
    json_put_string(json, "kind", "date");
    json_day(json, "first", has_low ? (Day)rational_floor(arena, range->low).num : INT32_MIN);
    json_day(json, "last", has_high ? (Day)rational_floor(arena, high).num : DAY_FOREVER);
}

static void put_quantity(Json *json, Arena *arena, const Value *value, const Type *type,
                         const Unit *unit)
{
    bool root = false;
    Range range = value_range(arena, value, &root);
    if (unit == NULL && !dimension_is_number(type->dimension)) {
        unit = unit_default(arena, type->dimension);
    }
    bool exact = range_is_exact(&range);
    json_put_string(json, "kind", exact ? "quantity" : root ? "enclosure" : "range");
    if (exact) {
        put_number(json, arena, range.low, unit);
    } else {
        put_range(json, arena, &range, unit);
    }
    json_put_text_or_null(json, "unit", unit == NULL ? TEXT("") : unit->spelling);
}

static void put_words(Json *json, uint64_t words, const Choice *choice)
{
    json_put_string(json, "kind", "choice");
    json_key(json, "words");
    json_open(json, '[');
    for (uint32_t i = 0; choice != NULL && i < choice->count; i++) {
        if ((words >> i & 1) != 0) {
            json_text(json, choice->words[i]->text);
        }
    }
    json_close(json, ']');
}

static void put_present(Json *json, Arena *arena, const Value *value, const Type *type,
                        const Unit *unit)
{
    switch ((ValueKind)value->kind) {
    case VALUE_RANGE:
        if (type_is_date(type)) {
            put_dates(json, arena, &value->range);
        } else {
            put_quantity(json, arena, value, type, unit);
        }
        return;
    case VALUE_TRUTH:
        json_put_string(json, "kind", "yes_no");
        json_put_string(json, "value",
                        value->truth == TRUTH_TRUE    ? "yes"
                        : value->truth == TRUTH_FALSE ? "no"
                                                      : "unknown");
        return;
    case VALUE_WORDS: put_words(json, value->words, type->choice); return;
    case VALUE_TEXT: json_put_string(json, "kind", "text"); return;
    case VALUE_SIZE: json_put_string(json, "kind", "size"); return;
    case VALUE_ITEM: json_put_string(json, "kind", "item"); return;
    case VALUE_LIST: json_put_string(json, "kind", "list"); return;
    }
}

void json_value(Json *json, Arena *arena, const Value *value, const Type *type, const Unit *unit,
                const Value *other)
{
    json_open_flat(json, '{');
    if ((value->can & CAN_BE_PRESENT) != 0) {
        put_present(json, arena, value, type, unit);
    } else {
        json_put_string(json, "kind", (value->can & CAN_BE_NONE) != 0 ? "none" : "no_value");
    }
    json_put_text(json, "text", value_words(arena, value, type, unit, other));
    if ((value->can & CAN_BE_PRESENT) != 0 && value->can != CAN_BE_PRESENT) {
        json_put_bool(json, "perhaps_none", (value->can & CAN_BE_NONE) != 0);
        json_put_bool(json, "perhaps_no_value", (value->can & CAN_BE_NOTHING) != 0);
    }
    json_close(json, '}');
}
