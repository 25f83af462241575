/* Quantities: a number with its unit, further parts (7 ft 6-1/2 in), a tolerance and a twin.
 *
 * Takes text that begins with a quantity, gives its range in SI units and the place after it, or
 * a fault with the span, the reason and a hint. In rule files a word that is no unit ends the
 * quantity, for it may be a keyword; a misspelling of a unit that people are known to write
 * ("inches") is a fault in both styles. Whatever stands glued to a quantity is refused, so that
 * 24 in/2, 24-36 and 0..10 are never read as something that was not meant. */
#include "number/quantity_number.h"

/* A number with its unit, or several such parts added up. */
typedef struct Value {
    Rational si;
    const Unit *unit; /* of the first part; NULL for a bare number */
    Rational step;    /* in that unit */
    uint8_t decimals;
    bool fraction;
    bool percent;
    bool negative;
} Value;

static bool is_word_start(uint32_t code)
{
    /* degree, superscripts, micro, ohm, and the degree signs with their letters */
    bool is_sign = code == 0xb0 || code == 0xb2 || code == 0xb3 || code == 0xb5 || code == 0x3a9 ||
                   code == 0x2103 || code == 0x2109;
    return is_sign || (code < 0x80 && ascii_is_letter((char)code));
}

/* The end of the word at `at`; `at` itself when there is none. */
static size_t word_end(const Scan *scan, size_t at)
{
    size_t end = at;
    for (;;) {
        size_t len = 0;
        uint32_t code = scan_code(scan, end, &len);
        bool is_tail = end > at && (code == '_' || (code < 0x80 && ascii_is_digit((char)code)));
        if (len == 0 || (!is_word_start(code) && !is_tail)) {
            return end;
        }
        end += len;
    }
}

/* The end of word/word/word at `at`. */
static size_t unit_word_end(const Scan *scan, size_t at)
{
    size_t end = word_end(scan, at);
    while (end > at && scan_char(scan, end) == '/') {
        size_t next = word_end(scan, end + 1);
        if (next == end + 1) {
            break;
        }
        end = next;
    }
    return end;
}

static bool is_word(const Scan *scan, size_t at, Text word)
{
    size_t end = word_end(scan, at);
    return text_equal(scan_slice(scan, at, end), word);
}

static const char *write_hint(Scan *scan, Text spelling)
{
    if (text_equal(spelling, TEXT("%"))) {
        return "write % right after the number";
    }
    return text_string(scan->arena, text_format(scan->arena, "write %.*s", TEXT_ARG(spelling)));
}

/* The hint for a word that is no unit; NULL when nothing is near. For a compound the first of
 * its factors that is unknown is looked up. */
static const char *hint_unit(Scan *scan, Text word)
{
    Text spelling;
    bool is_alias = false;
    bool found = unit_suggest(word, &spelling, &is_alias);
    if (found && is_alias) {
        return write_hint(scan, spelling);
    }
    for (size_t i = 0, start = 0; i <= word.len; i++) {
        if (i < word.len && word.data[i] != '/' && word.data[i] != ' ') {
            continue;
        }
        Text factor = {word.data + start, i - start};
        start = i + 1;
        if (i < word.len || start - 1 - factor.len > 0) {
            if (unit_find(scan->arena, factor, false) == NULL && !text_equal(factor, TEXT("per")) &&
                unit_suggest(factor, &spelling, NULL)) {
                return write_hint(scan, text_format(scan->arena, "%.*s for '%.*s'",
                                                    TEXT_ARG(spelling), TEXT_ARG(factor)));
            }
        }
    }
    return found ? text_string(scan->arena,
                               text_format(scan->arena, "did you mean %.*s?", TEXT_ARG(spelling)))
                 : NULL;
}

static size_t refuse_unit(Scan *scan, size_t at, size_t end)
{
    Text word = scan_slice(scan, at, end);
    return scan_fault(scan, at, end, hint_unit(scan, word), "unknown unit '%.*s'", TEXT_ARG(word));
}

/* 12x12, 24" x 36", with the letter or the sign. */
static bool is_size_mark(const Scan *scan, size_t at)
{
    size_t len = 0;
    uint32_t code = scan_code(scan, at, &len);
    size_t end = word_end(scan, at);
    bool is_letter =
        (code == 'x' || code == 'X') && (end == at + 1 || ascii_is_digit(scan_char(scan, at + 1)));
    return code == 0xd7 || is_letter;
}

static size_t refuse_size(Scan *scan, size_t start, size_t at)
{
    const char *hint = scan->style == QUANTITY_SPEC
                           ? "state each side on its own"
                           : "put spaces around 'x', and a unit after each side";
    size_t len = 0;
    (void)scan_code(scan, at, &len);
    return scan_fault(scan, start, at + len, hint, "two sides of a size stand in one quantity");
}

/* The marks of feet and inches in specs: ' and ", the primes, and the quotation marks that word
 * processors put in their place. */
static Text mark_unit(const Scan *scan, size_t at, size_t *end)
{
    size_t len = 0;
    uint32_t code = scan_code(scan, at, &len);
    *end = at + len;
    if (code == '\'' || code == 0x2032 || code == 0x2019) {
        return TEXT("ft");
    }
    if (code == '"' || code == 0x2033 || code == 0x201d) {
        return TEXT("in");
    }
    return TEXT("");
}

/* A mark at `at`: its unit, the place after it; 0 with no fault when there is none. */
static size_t scan_mark(Scan *scan, size_t at, const Unit **unit, bool *faulty)
{
    size_t end = 0;
    Text spelling = mark_unit(scan, at, &end);
    if (spelling.len == 0) {
        return 0;
    }
    if (scan->style == QUANTITY_RULE) {
        *faulty = true;
        return scan_fault(scan, at, end, text_equal(spelling, TEXT("ft")) ? "write ft" : "write in",
                          "marks for feet and inches are read in specs only");
    }
    size_t next_end = 0;
    Text next = mark_unit(scan, end, &next_end);
    if (text_equal(spelling, TEXT("ft")) && text_equal(next, spelling)) {
        *faulty = true;
        return scan_fault(scan, at, next_end, "write \" or in for inches",
                          "two foot marks stand where one mark is meant");
    }
    *unit = unit_find(scan->arena, spelling, false);
    return end;
}

/* Carries a unit that ends at `end` on over " per X" as long as that makes a unit. */
static size_t extend_per(Scan *scan, size_t at, size_t end, const Unit **unit, bool *faulty)
{
    for (;;) {
        size_t per = scan_blanks(scan, end);
        if (per == end || !is_word(scan, per, TEXT("per"))) {
            return end;
        }
        size_t first = scan_blanks(scan, per + 3);
        size_t last = unit_word_end(scan, first);
        const Unit *longer = unit_find(scan->arena, scan_slice(scan, at, last), false);
        if (longer != NULL) {
            *unit = longer;
            end = last;
            continue;
        }
        bool is_alias = false;
        Text spelling;
        (void)unit_suggest(scan_slice(scan, first, last), &spelling, &is_alias);
        if (scan->style == QUANTITY_SPEC || is_alias) {
            *faulty = true;
            return refuse_unit(scan, first, last);
        }
        return end;
    }
}

/* Reads " rise" after a temperature unit, which makes it a difference. */
static size_t extend_rise(Scan *scan, size_t at, size_t end, const Unit **unit)
{
    Dimension of = (*unit)->dimension;
    bool is_temperature = of.temperature == 1 && of.length == 0 && of.mass == 0 && of.time == 0;
    size_t rise = scan_blanks(scan, end);
    if (!is_temperature || rise == end || !is_word(scan, rise, TEXT("rise"))) {
        return end;
    }
    *unit = unit_find(scan->arena, scan_slice(scan, at, end), true);
    return rise + 4;
}

/* A word that is no unit: does it end the quantity here, or is it a fault? */
static bool is_keyword_allowed(const Scan *scan, Text word, bool attached)
{
    Text spelling;
    bool is_alias = false;
    bool has_slash = false;
    (void)unit_suggest(word, &spelling, &is_alias);
    for (size_t i = 0; i < word.len; i++) {
        has_slash = has_slash || word.data[i] == '/';
    }
    return scan->style == QUANTITY_RULE && !attached && !is_alias && !has_slash;
}

/* Reads a unit after a number that ends at `number`. Gives the place after the unit; 0 when there
 * is none, with *faulty when that is a fault. */
static size_t scan_unit(Scan *scan, size_t start, size_t number, bool difference, const Unit **unit,
                        bool *faulty)
{
    size_t at = scan_blanks(scan, number);
    bool attached = at == number;
    *unit = NULL;
    size_t end = scan_mark(scan, at, unit, faulty);
    if (end != 0 || *faulty) {
        return end;
    }
    if (is_size_mark(scan, at) && (attached || scan->style == QUANTITY_SPEC)) {
        *faulty = true;
        return refuse_size(scan, start, at);
    }
    end = unit_word_end(scan, at);
    if (end == at) {
        return 0;
    }
    if (is_word(scan, at, TEXT("per"))) {
        end = unit_word_end(scan, scan_blanks(scan, end));
    }
    Text word = scan_slice(scan, at, end);
    *unit = unit_find(scan->arena, word, difference);
    if (*unit == NULL) {
        if (is_keyword_allowed(scan, word, attached) ||
            (scan->style == QUANTITY_RULE && is_word(scan, at, TEXT("per")))) {
            return 0;
        }
        *faulty = true;
        return refuse_unit(scan, at, end);
    }
    if (attached && scan->style == QUANTITY_RULE) {
        *faulty = true;
        Text digits = scan_slice(scan, start, number);
        return scan_fault(scan, start, end,
                          write_hint(scan, text_format(scan->arena, "%.*s %.*s", TEXT_ARG(digits),
                                                       TEXT_ARG(word))),
                          "a space is missing between '%.*s' and its unit", TEXT_ARG(digits));
    }
    end = extend_per(scan, at, end, unit, faulty);
    return *faulty ? 0 : extend_rise(scan, at, end, unit);
}

/* Reads a number and its unit, if it has one. Gives the place after it, 0 on a fault. */
static size_t scan_part(Scan *scan, size_t at, bool difference, Value *out)
{
    *out = (Value){.si = RATIONAL_ZERO, .step = RATIONAL_ONE};
    Written number;
    size_t end = scan_number(scan, at, &number);
    if (end == 0) {
        return 0;
    }
    const Unit *unit = NULL;
    bool faulty = false;
    size_t after = number.percent ? 0 : scan_unit(scan, at, end, difference, &unit, &faulty);
    if (faulty) {
        return 0;
    }
    if (number.percent) {
        unit = unit_find(scan->arena, TEXT("%"), false);
    }
    size_t last = after != 0 ? after : end;
    if (number.mixed && unit == NULL) {
        return scan_fault(scan, at, end, "name the unit, or write a fraction, as 13/2",
                          "the mixed number '%.*s' has no unit",
                          TEXT_ARG(scan_slice(scan, at, end)));
    }
    *out = (Value){.si = unit == NULL ? number.value : unit_to_si(scan->arena, unit, number.value),
                   .unit = unit,
                   .step = number.step,
                   .decimals = number.decimals,
                   .fraction = number.fraction,
                   .percent = number.percent,
                   .negative = number.negative};
    return last;
}

/* Can a further part follow one in this unit? Lengths, masses, times and volumes are told in
 * several units; a temperature or a flow is not. */
static bool has_parts(const Unit *unit)
{
    static const Dimension parted[] = {{.length = 1}, {.mass = 1}, {.time = 1}, {.length = 3}};
    for (size_t i = 0; unit != NULL && i < sizeof parted / sizeof parted[0]; i++) {
        if (dimension_equal(parted[i], unit->dimension)) {
            return true;
        }
    }
    return false;
}

/* Checks that a part is a smaller unit after a whole number of the larger, and less than one of
 * it. */
static size_t check_part(Scan *scan, size_t start, size_t at, size_t end, const Value *before,
                         const Value *part)
{
    Text words = scan_slice(scan, at, end);
    if (rational_order(part->unit->factor, before->unit->factor) >= 0) {
        return scan_fault(scan, start, end, "the larger unit comes first, as 7 ft 6 in",
                          "'%.*s' is no smaller part of what stands before it", TEXT_ARG(words));
    }
    if (before->fraction || before->decimals > 0) {
        return scan_fault(scan, start, at, "write the whole in one unit",
                          "only the last part of a quantity can have a fraction");
    }
    if (rational_order(part->si, before->unit->factor) >= 0) {
        return scan_fault(scan, start, end, "carry it over into the larger unit",
                          "'%.*s' is not less than 1 %.*s", TEXT_ARG(words),
                          TEXT_ARG(before->unit->spelling));
    }
    return end;
}

static size_t refuse_part(Scan *scan, size_t at, size_t end, const Value *first, const Value *part)
{
    Text words = scan_slice(scan, at, end);
    if (part->unit == NULL) {
        return scan_fault(scan, at, end,
                          text_equal(first->unit->spelling, TEXT("ft")) ? "write in or \" after it"
                                                                        : NULL,
                          "'%.*s' has no unit", TEXT_ARG(words));
    }
    Text left = dimension_name(scan->arena, first->unit->dimension);
    Text right = dimension_name(scan->arena, part->unit->dimension);
    return scan_fault(scan, at, end, NULL, "'%.*s' is of dimension %.*s after one of %.*s",
                      TEXT_ARG(words), TEXT_ARG(right), TEXT_ARG(left));
}

/* The place where a further part may start after `end`; in specs also after a hyphen, 7'-6". */
static size_t part_start(const Scan *scan, size_t end)
{
    size_t at = scan_blanks(scan, end);
    if (at == end && scan->style == QUANTITY_SPEC && scan_char(scan, end) == '-' &&
        scan_is_number(scan, end + 1)) {
        return end + 1;
    }
    return at;
}

/* Reads a value: a part and those that follow it. */
static size_t scan_value(Scan *scan, size_t start, bool difference, Value *out)
{
    size_t end = scan_part(scan, start, difference, out);
    Value before = *out;
    while (end != 0 && has_parts(before.unit) && !before.negative) {
        size_t at = part_start(scan, end);
        if (!scan_is_number(scan, at)) {
            return end;
        }
        Value part;
        size_t next = scan_part(scan, at, difference, &part);
        bool is_same = next != 0 && part.unit != NULL &&
                       dimension_equal(part.unit->dimension, out->unit->dimension);
        if (!is_same) {
            if (scan->style == QUANTITY_RULE) {
                return end; /* another quantity, or a fault of its own */
            }
            return next == 0 ? 0 : refuse_part(scan, at, next, out, &part);
        }
        if (check_part(scan, start, at, next, &before, &part) == 0) {
            return 0;
        }
        out->si = rational_add(scan->arena, out->si, part.si);
        out->step =
            rational_div(scan->arena, rational_mul(scan->arena, part.step, part.unit->factor),
                         out->unit->factor);
        out->decimals = part.decimals;
        out->fraction = part.fraction;
        before = part;
        end = next;
    }
    return end;
}

/* +-, and in specs the sign and +/-. */
static size_t scan_plus_minus(Scan *scan, size_t end, bool *faulty)
{
    size_t at = scan_blanks(scan, end);
    size_t len = 0;
    if (scan_char(scan, at) == '+' && scan_char(scan, at + 1) == '-') {
        return at + 2;
    }
    if (scan_code(scan, at, &len) != 0xb1) {
        len = 3;
        if (scan_char(scan, at) != '+' || scan_char(scan, at + 1) != '/' ||
            scan_char(scan, at + 2) != '-') {
            return 0;
        }
    }
    if (scan->style == QUANTITY_RULE) {
        *faulty = true;
        return scan_fault(scan, at, at + len, "write +-",
                          "a tolerance is written with '+-' in rule files");
    }
    return at + len;
}

/* Checks that a tolerance can belong to a value. */
static size_t check_tolerance(Scan *scan, size_t at, size_t end, const Value *value,
                              const Value *tolerance)
{
    if (value->percent != tolerance->percent) {
        return scan_fault(scan, at, end, NULL,
                          value->percent ? "the tolerance of a percentage is a percentage"
                                         : "a tolerance is written in the unit of its value, "
                                           "not as a percentage");
    }
    if ((value->unit == NULL) != (tolerance->unit == NULL)) {
        return value->unit != NULL
                   ? scan_fault(scan, at, end,
                                write_hint(scan, text_format(scan->arena, "+- %.*s %.*s",
                                                             TEXT_ARG(scan_slice(scan, at, end)),
                                                             TEXT_ARG(value->unit->spelling))),
                                "the tolerance has no unit")
                   : scan_fault(scan, at, end, NULL, "the tolerance of a plain number has a unit");
    }
    if (value->unit == NULL) {
        return end;
    }
    Dimension of = value->unit->dimension;
    Dimension plain = of;
    plain.kind = KIND_PLAIN;
    Dimension found = tolerance->unit->dimension;
    if (dimension_equal(found, plain) || (of.kind != KIND_POINT && dimension_equal(found, of))) {
        return end;
    }
    Text left = dimension_name(scan->arena, plain);
    Text right = dimension_name(scan->arena, found);
    return scan_fault(scan, at, end, NULL,
                      "the tolerance is of dimension %.*s, its value wants %.*s", TEXT_ARG(right),
                      TEXT_ARG(left));
}

/* Reads the tolerance at `at`, after its sign. */
static size_t scan_tolerance(Scan *scan, size_t at, const Value *value, Quantity *out)
{
    size_t first = scan_blanks(scan, at);
    if (!scan_is_number(scan, first)) {
        return scan_fault(scan, at, first, "write +- 1/8 in", "a tolerance is missing after '+-'");
    }
    Value tolerance;
    size_t end = scan_value(scan, first, true, &tolerance);
    if (end == 0 || check_tolerance(scan, first, end, value, &tolerance) == 0) {
        return 0;
    }
    out->measured = true;
    out->range = range_between(rational_sub(scan->arena, value->si, tolerance.si),
                               rational_add(scan->arena, value->si, tolerance.si));
    return end;
}

static void fill_quantity(const Value *value, Quantity *out)
{
    *out = (Quantity){.range = range_exact(value->si),
                      .dimension = value->unit == NULL ? DIMENSION_NUMBER : value->unit->dimension,
                      .unit = value->unit,
                      .percent = value->percent,
                      .decimals = value->decimals,
                      .fraction = value->fraction,
                      .step = value->step};
}

/* Reads " (610 mm)" after a quantity in a rule file. What stands in parentheses and is not one
 * quantity with a unit belongs to somebody else: then gives `end`. */
static size_t scan_twin(Scan *scan, size_t end, Quantity *out)
{
    size_t open = scan_blanks(scan, end);
    size_t first = scan_blanks(scan, open + 1);
    bool is_signed = scan_char(scan, first) == '-';
    if (scan->style != QUANTITY_RULE || scan_char(scan, open) != '(' || out->unit == NULL ||
        !scan_is_number(scan, first + (is_signed ? 1 : 0))) {
        return end;
    }
    Value value;
    bool difference = out->dimension.kind == KIND_PLAIN;
    size_t last = scan_value(scan, first, difference, &value);
    if (last == 0 || value.unit == NULL || scan_char(scan, scan_blanks(scan, last)) != ')') {
        return end;
    }
    if (!dimension_equal(value.unit->dimension, out->dimension)) {
        Text left = dimension_name(scan->arena, out->dimension);
        Text right = dimension_name(scan->arena, value.unit->dimension);
        return scan_fault(scan, first, last, NULL,
                          "the value in parentheses is of dimension %.*s, the one before it of "
                          "%.*s",
                          TEXT_ARG(right), TEXT_ARG(left));
    }
    Quantity *twin = ARENA_NEW(scan->arena, Quantity);
    fill_quantity(&value, twin);
    out->twin = twin;
    return scan_blanks(scan, last) + 1;
}

static bool is_exotic(uint32_t code)
{
    bool is_fraction =
        (code >= 0xbc && code <= 0xbe) || (code >= 0x2150 && code <= 0x215e) || code == 0x2044;
    bool is_dash =
        code == 0x2010 || code == 0x2011 || code == 0x2013 || code == 0x2014 || code == 0x2212;
    return is_fraction || is_dash;
}

/* Refuses '-' or '/' between a quantity and a word or number without spaces. */
static size_t check_operator(Scan *scan, size_t end, char sign)
{
    char next = scan_char(scan, end + 1);
    if (!ascii_is_digit(next) && !ascii_is_letter(next)) {
        return end;
    }
    size_t last = unit_word_end(scan, end + 1);
    Text word = scan_slice(scan, end + 1, last);
    bool is_unit = unit_find(scan->arena, word, false) != NULL;
    const char *hint = sign == '-' ? "put spaces around '-'" : "put spaces around '/'";
    if (is_unit && sign == '-') {
        hint = "put a space between a number and its unit";
    } else if (is_unit) {
        hint = text_string(scan->arena, text_format(scan->arena, "write per %.*s", TEXT_ARG(word)));
    }
    return scan_fault(scan, end, word.len > 0 ? last : end + 1, hint,
                      "'%c%.*s' stands right after a quantity", sign, TEXT_ARG(word));
}

/* Refuses what is glued to a quantity that ends at `end`. */
static size_t check_end(Scan *scan, size_t end)
{
    size_t len = 0;
    uint32_t code = scan_code(scan, end, &len);
    if (code == '-' || code == '/') {
        return check_operator(scan, end, (char)code);
    }
    if (code == '.' && scan_char(scan, end + 1) == '.') {
        return scan_fault(scan, end, end + 2, "put a space on either side of '..'",
                          "'..' stands right after a quantity");
    }
    if (code == '.') {
        return scan_fault(scan, end, end + 1, "leave it out", "a point stands after a quantity");
    }
    if (code < 0x80 && (code == '_' || ascii_is_letter((char)code) || ascii_is_digit((char)code))) {
        return scan_fault(scan, end, end + 1, "put a space after the quantity",
                          "'%c' stands right after a quantity", (char)code);
    }
    size_t percent = scan_blanks(scan, end);
    if (scan_char(scan, percent) == '%') {
        return scan_fault(scan, end, percent + 1, "a percent sign stands right after its number",
                          "a percent sign stands apart");
    }
    if (is_exotic(code)) {
        return scan_fault(scan, end, end + len, "write fractions as 6-1/2 and minus as -",
                          "'%.*s' is not read here", TEXT_ARG(scan_slice(scan, end, end + len)));
    }
    return end;
}

size_t quantity_scan(Arena *arena, Text text, QuantityStyle style, Quantity *out,
                     QuantityFault *fault)
{
    Scan scan = {.arena = arena, .text = text, .style = style, .fault = fault};
    *out = (Quantity){.range = range_exact(RATIONAL_ZERO), .step = RATIONAL_ONE};
    Value value;
    size_t end = scan_value(&scan, 0, false, &value);
    if (end == 0) {
        return 0;
    }
    fill_quantity(&value, out);
    bool faulty = false;
    size_t tolerance = scan_plus_minus(&scan, end, &faulty);
    if (tolerance != 0) {
        end = scan_tolerance(&scan, tolerance, &value, out);
    }
    if (faulty || end == 0) {
        return 0;
    }
    end = scan_twin(&scan, end, out);
    return end == 0 ? 0 : check_end(&scan, end);
}

/* Says what is wrong with text left over after a whole quantity. */
static void refuse_rest(Scan *scan, size_t end, bool has_unit)
{
    Text rest = text_trim(scan_slice(scan, end, scan->text.len));
    size_t at = scan_blanks(scan, end);
    if (scan_char(scan, at) == '(') {
        (void)scan_fault(scan, at, scan->text.len, "state the value that governs",
                         "a second value in parentheses is not read here");
    } else if (is_size_mark(scan, at)) {
        (void)refuse_size(scan, 0, at);
    } else if (scan_is_number(scan, at)) {
        (void)scan_fault(scan, at, scan->text.len,
                         has_unit ? NULL : "thousands are parted by commas, as 1,400",
                         "'%.*s' is a second number in one place", TEXT_ARG(rest));
    } else {
        (void)scan_fault(scan, at, scan->text.len, NULL, "'%.*s' is not expected after a quantity",
                         TEXT_ARG(rest));
    }
}

/* The common case by the short way: digits, perhaps a point and digits, one space, a simple
 * unit. Whatever else it meets is left to the whole reader. */
static bool parse_plain(Arena *arena, Text text, Quantity *out)
{
    enum { DIGITS_MAX = 15, PLACES_MAX = 9 };
    int64_t number = 0, scale = 1;
    size_t at = 0, places = 0;
    while (at < text.len && ascii_is_digit(text.data[at])) {
        number = number * 10 + (text.data[at++] - '0');
        if (at > DIGITS_MAX - PLACES_MAX) {
            return false;
        }
    }
    if (at == 0 || (at > 1 && text.data[0] == '0')) {
        return false;
    }
    if (at < text.len && text.data[at] == '.') {
        for (at++; at < text.len && ascii_is_digit(text.data[at]); at++, places++) {
            if (places == PLACES_MAX) {
                return false;
            }
            number = number * 10 + (text.data[at] - '0');
            scale *= 10;
        }
        if (places == 0) {
            return false;
        }
    }
    if (at + 1 >= text.len || text.data[at] != ' ' || !ascii_is_letter(text.data[at + 1])) {
        return false;
    }
    const Unit *unit = unit_find_simple((Text){text.data + at + 1, text.len - at - 1});
    if (unit == NULL) {
        return false;
    }
    *out = (Quantity){.range = range_exact(unit_to_si(arena, unit, RATIONAL(number, scale))),
                      .dimension = unit->dimension,
                      .unit = unit,
                      .decimals = (uint8_t)places,
                      .step = RATIONAL(1, scale)};
    return true;
}

bool quantity_parse(Arena *arena, Text text, QuantityStyle style, Quantity *out,
                    QuantityFault *fault)
{
    if (parse_plain(arena, text, out)) {
        return true;
    }
    size_t blank = 0;
    while (blank < text.len && ascii_is_space(text.data[blank])) {
        blank++;
    }
    Text trimmed = text_trim(text);
    size_t end = quantity_scan(arena, trimmed, style, out, fault);
    if (end != 0 && end < trimmed.len) {
        Scan scan = {.arena = arena, .text = trimmed, .style = style, .fault = fault};
        refuse_rest(&scan, end, out->unit != NULL);
        end = 0;
    }
    if (end == 0) {
        fault->span.start += (uint32_t)blank;
        fault->span.end += (uint32_t)blank;
    }
    return end != 0;
}
