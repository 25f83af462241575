/* Looking up a table (meaning.md rule 15). A key that is not known exactly touches several
 * rows; the result is the hull of every cell touched. What no label covers is `otherwise`, or no
 * rule; a key that may miss makes the result possibly no value. */
#include "judge/eval.h"

/* Where a key falls: rows touched, with the share of the next row where it is interpolated. */
typedef struct Touch {
    uint32_t row;
    bool between;   /* interpolated: a point between row and row + 1 */
    Rational share; /* 0..1 of the way to row + 1 */
} Touch;

typedef struct Touches {
    Touch *touch;
    uint32_t count;
    bool miss;    /* part of the key is covered by no label */
    bool nothing; /* the key may be absent or have no value: then so has the cell */
} Touches;

static void touch_row(Touches *touches, uint32_t row)
{
    touches->touch[touches->count++] = (Touch){.row = row};
}

/* Words, yes/no. */
static void touch_words(const TableKey *key, const Value *value, Touches *out)
{
    uint64_t words = value->words;
    if (value->kind == VALUE_TRUTH)
        words = value->truth == TRUTH_TRUE ? 2 : value->truth == TRUTH_FALSE ? 1 : 3;
    uint64_t covered = 0;
    for (uint32_t i = 0; i < key->count; i++) {
        if ((key->words[i] & words) == 0)
            continue;
        touch_row(out, i);
        covered |= key->words[i];
    }
    out->miss = (words & ~covered) != 0;
}

/* Does `value` lie wholly inside the union of the labels, which are disjoint and ascending? */
static bool bands_cover(Arena *arena, const TableKey *key, const Range *value)
{
    Range rest = *value;
    for (uint32_t i = 0; i < key->count; i++) {
        const Range *band = &key->ranges[i];
        if (range_within(&rest, band))
            return true;
        Range common;
        if (!range_meet(arena, &rest, band, &common))
            continue;
        /* What is left lies above this band; anything below it is uncovered. */
        Range below = {.low = rest.low, .flags = rest.flags & (RANGE_NO_LOW | RANGE_LOW_OPEN)};
        below.high = band->low;
        below.flags |= (band->flags & RANGE_LOW_OPEN) != 0 ? 0 : RANGE_HIGH_OPEN;
        Range gap;
        if ((band->flags & RANGE_NO_LOW) == 0 && range_meet(arena, &rest, &below, &gap))
            return false;
        if ((band->flags & RANGE_NO_HIGH) != 0)
            return true;
        rest.low = range_is_exact(band) ? band->low : band->high;
        rest.flags = (uint8_t)((rest.flags & (RANGE_NO_HIGH | RANGE_HIGH_OPEN)) |
                               ((band->flags & RANGE_HIGH_OPEN) != 0 ? 0 : RANGE_LOW_OPEN));
        if (range_is_exact(value))
            return false;
        rest.high = value->high;
    }
    return false;
}

static void touch_exact(Eval *e, const TableKey *key, const Range *value, Touches *out)
{
    for (uint32_t i = 0; i < key->count; i++) {
        Range common;
        if (range_meet(e->arena, value, &key->ranges[i], &common))
            touch_row(out, i);
    }
    out->miss = !bands_cover(e->arena, key, value);
}

/* next higher: row i serves values in (label[i-1], label[i]]; next lower: [label[i], label[i+1]). */
static void touch_steps(Eval *e, const TableKey *key, const Range *value, Touches *out)
{
    bool higher = key->mode == KEY_NEXT_HIGHER;
    for (uint32_t i = 0; i < key->count; i++) {
        Rational label = key->ranges[i].low;
        Range served = {.low = label, .high = label};
        if (higher) {
            served.flags = i == 0 ? RANGE_NO_LOW : RANGE_LOW_OPEN;
            if (i > 0)
                served.low = key->ranges[i - 1].low;
        } else {
            served.flags = i + 1 == key->count ? RANGE_NO_HIGH : RANGE_HIGH_OPEN;
            if (i + 1 < key->count)
                served.high = key->ranges[i + 1].low;
        }
        Range common;
        if (range_meet(e->arena, value, &served, &common))
            touch_row(out, i);
    }
    Rational end = key->ranges[higher ? key->count - 1 : 0].low;
    Range good = {.low = end, .high = end, .flags = higher ? RANGE_NO_LOW : RANGE_NO_HIGH};
    out->miss = !range_within(value, &good);
}

static void touch_point(Eval *e, const TableKey *key, Rational point, Touches *out)
{
    for (uint32_t i = 0; i < key->count; i++) {
        Rational label = key->ranges[i].low;
        if (rational_order(point, label) == 0) {
            touch_row(out, i);
            return;
        }
        if (i + 1 < key->count && rational_order(point, label) > 0 &&
            rational_order(point, key->ranges[i + 1].low) < 0) {
            Rational width = rational_sub(e->arena, key->ranges[i + 1].low, label);
            Rational part = rational_sub(e->arena, point, label);
            out->touch[out->count++] = (Touch){i, true, rational_div(e->arena, part, width)};
            return;
        }
    }
}

/* Piecewise linear: the extremes over a range lie at its ends and at the labels inside it. */
static void touch_line(Eval *e, const TableKey *key, const Range *value, Touches *out)
{
    Range all = range_between(key->ranges[0].low, key->ranges[key->count - 1].low), part;
    out->miss = !range_within(value, &all);
    if (!range_meet(e->arena, value, &all, &part))
        return;
    touch_point(e, key, part.low, out);
    if (range_is_exact(&part))
        return;
    touch_point(e, key, part.high, out);
    for (uint32_t i = 0; i < key->count; i++)
        if (range_contains(&part, key->ranges[i].low))
            touch_row(out, i);
}

static void touch_key(Eval *e, const TableKey *key, Value *value, Touches *out)
{
    out->touch = ARENA_ARRAY(e->arena, Touch, key->count + 2);
    out->nothing = value->can != CAN_BE_PRESENT;
    if ((value->can & CAN_BE_PRESENT) == 0) {
        return;
    }
    if (value->kind != VALUE_RANGE) {
        touch_words(key, value, out);
    } else {
        number_settle(e, value);
        if (key->mode == KEY_EXACT)
            touch_exact(e, key, &value->range, out);
        else if (key->mode == KEY_INTERPOLATED)
            touch_line(e, key, &value->range, out);
        else
            touch_steps(e, key, &value->range, out);
    }
}

/* The cell at a touch of the rows and one of the columns, interpolated where asked. */
static Value cell_at(Eval *e, const Table *table, const Touch *row, const Touch *column)
{
    Value cells[2];
    for (uint32_t i = 0; i < 2; i++) {
        uint32_t at = (row->row + (i == 1 && row->between ? 1 : 0)) * table->columns;
        cells[i] = table->cells[at + column->row];
        if (!column->between)
            continue;
        Value next = table->cells[at + column->row + 1], step, share = value_exact(column->share);
        number_subtract(e, &next, &cells[i], &step);
        number_multiply(e, &step, &share, &next);
        number_add(e, &cells[i], &next, &cells[i]);
    }
    if (!row->between)
        return cells[0];
    Value step, part, result, share = value_exact(row->share);
    number_subtract(e, &cells[1], &cells[0], &step);
    number_multiply(e, &step, &share, &part);
    number_add(e, &cells[0], &part, &result);
    return result;
}

static Value no_cell(Eval *e, const Table *table, const Waits *keys)
{
    if (keys != NULL)
        return value_nothing(value_kind(&table->type), keys);
    Text what = text_format(e->arena, "a row of the table '%.*s'", TEXT_ARG(table->name->text));
    return value_nothing(value_kind(&table->type), waits_word(e->arena, REASON_NO_RULE, what));
}

/* The hull of every cell touched; false when there is none. */
static bool join_cells(Eval *e, const Table *table, const Touches *touches, const Waits *waits,
                       Value *out)
{
    static const Touch only = {0};
    bool one_key = table->key_count == 1, any = false;
    uint32_t columns = one_key ? 1 : touches[1].count;
    for (uint32_t i = 0; i < touches[0].count; i++) {
        for (uint32_t j = 0; j < columns; j++) {
            Value cell =
                cell_at(e, table, &touches[0].touch[i], one_key ? &only : &touches[1].touch[j]);
            if (any)
                value_join(e, out, &cell, waits, out);
            else
                *out = cell;
            any = true;
        }
    }
    return any;
}

void eval_table(Eval *e, const Code *code, Value *out)
{
    const Table *table = code->table;
    Touches touches[2] = {{0}};
    const Waits *waits = NULL;
    bool miss = false, nothing = false;
    for (uint32_t i = 0; i < table->key_count; i++) {
        Value key;
        eval(e, code->args[i], &key);
        touch_key(e, &table->keys[i], &key, &touches[i]);
        waits = waits_join(e->arena, waits, key.waits);
        miss = miss || touches[i].miss;
        nothing = nothing || touches[i].nothing;
    }
    bool any = join_cells(e, table, touches, waits, out);
    if (miss) {
        Value missing =
            table->has_otherwise ? table->otherwise : no_cell(e, table, any ? waits : NULL);
        if (any)
            value_join(e, out, &missing, waits, out);
        else
            *out = missing;
    }
    if (nothing) {
        Value none = no_cell(e, table, waits);
        if (any || miss)
            value_join(e, out, &none, waits, out);
        else
            *out = none;
    }
}
