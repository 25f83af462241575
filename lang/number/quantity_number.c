/* Quantities: the number part. Whole numbers with commas, decimals, fractions, mixed numbers and
 * percentages; in specs also "6 1/2" and the fraction signs of Unicode.
 *
 * What looks like a number of another convention (010, 0x10, 1e3, 12:30, 1_000, 1,40, .75) is
 * refused with the reason and with what was probably meant: YAML and programming languages
 * would read each of them as some other value, in silence. */
#include "number/quantity_number.h"

size_t scan_fault(Scan *scan, size_t start, size_t end, const char *hint, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    Buffer message = buffer_make(scan->arena);
    buffer_vformat(&message, format, args);
    va_end(args);
    *scan->fault = (QuantityFault){.span = {(uint32_t)start, (uint32_t)end},
                                   .message = buffer_done(&message),
                                   .hint = text_of(hint)};
    return 0;
}

char scan_char(const Scan *scan, size_t at)
{
    return at < scan->text.len ? scan->text.data[at] : '\0';
}

Text scan_slice(const Scan *scan, size_t start, size_t end)
{
    return start == end ? (Text){"", 0} : (Text){scan->text.data + start, end - start};
}

uint32_t scan_code(const Scan *scan, size_t at, size_t *len)
{
    uint32_t code = 0;
    *len = at < scan->text.len ? utf8_next(scan->text, at, &code) : 0;
    return code;
}

/* Spaces and tabs; in specs also the spaces that word processors put in. A quantity does not
 * run on over the end of a line. */
size_t scan_blanks(const Scan *scan, size_t at)
{
    for (;;) {
        size_t len = 0;
        uint32_t code = scan_code(scan, at, &len);
        bool is_fine = code == 0xa0 || code == 0x2009 || code == 0x202f; /* unbroken, thin */
        if (code != ' ' && code != '\t' && !(is_fine && scan->style == QUANTITY_SPEC)) {
            return at;
        }
        at += len;
    }
}

/* The fraction signs of Unicode, U+00BC..BE and U+2150..215E. */
static bool read_sign_fraction(const Scan *scan, size_t at, int *num, int *den, size_t *len)
{
    static const struct {
        uint32_t code;
        int num;
        int den;
    } signs[] = {{0xbc, 1, 4},    {0xbd, 1, 2},   {0xbe, 3, 4},   {0x2150, 1, 7}, {0x2151, 1, 9},
                 {0x2152, 1, 10}, {0x2153, 1, 3}, {0x2154, 2, 3}, {0x2155, 1, 5}, {0x2156, 2, 5},
                 {0x2157, 3, 5},  {0x2158, 4, 5}, {0x2159, 1, 6}, {0x215a, 5, 6}, {0x215b, 1, 8},
                 {0x215c, 3, 8},  {0x215d, 5, 8}, {0x215e, 7, 8}};
    uint32_t code = scan_code(scan, at, len);
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
        if (signs[i].code == code) {
            *num = signs[i].num;
            *den = signs[i].den;
            return true;
        }
    }
    return false;
}

bool scan_is_number(const Scan *scan, size_t at)
{
    int num = 0;
    int den = 0;
    size_t len = 0;
    return ascii_is_digit(scan_char(scan, at)) ||
           (scan->style == QUANTITY_SPEC && read_sign_fraction(scan, at, &num, &den, &len));
}

static size_t skip_digits(const Scan *scan, size_t at)
{
    while (ascii_is_digit(scan_char(scan, at))) {
        at++;
    }
    return at;
}

/* The slice without the bytes that are no digits. */
static Text digits_of(const Scan *scan, size_t start, size_t end)
{
    Buffer buffer = buffer_make(scan->arena);
    for (size_t i = start; i < end; i++) {
        if (ascii_is_digit(scan->text.data[i])) {
            buffer_char(&buffer, scan->text.data[i]);
        }
    }
    return buffer_done(&buffer);
}

/* "write X" for a hint. */
__attribute__((format(printf, 2, 3))) static const char *advise(Scan *scan, const char *format, ...)
{
    Buffer buffer = buffer_make(scan->arena);
    va_list args;
    va_start(args, format);
    buffer_vformat(&buffer, format, args);
    va_end(args);
    return text_string(scan->arena, buffer_done(&buffer));
}

/* Commas part groups of exactly three digits, the first group has one to three. */
static bool are_commas_good(Text run)
{
    size_t group = 0;
    size_t commas = 0;
    for (size_t i = 0; i < run.len; i++) {
        if (run.data[i] != ',') {
            group++;
        } else {
            if (commas == 0 ? group > 3 : group != 3) {
                return false;
            }
            commas++;
            group = 0;
        }
    }
    return commas == 0 || group == 3;
}

static size_t refuse_commas(Scan *scan, size_t at, size_t end)
{
    Text run = scan_slice(scan, at, end);
    size_t comma = 0;
    while (run.data[comma] != ',') {
        comma++;
    }
    Text digits = digits_of(scan, at, end);
    Text rest = {run.data + comma + 1, run.len - comma - 1};
    const char *hint =
        digits.len + 1 == run.len
            ? advise(scan,
                     "write %.*s, or %.*s.%.*s for a decimal, or a space after the comma "
                     "between two numbers",
                     TEXT_ARG(digits), (int)comma, run.data, TEXT_ARG(rest))
            : advise(scan, "write %.*s", TEXT_ARG(digits));
    return scan_fault(scan, at, end, hint,
                      "'%.*s' has a comma that does not stand before a group of three digits",
                      TEXT_ARG(run));
}

/* 0x10, 0b1, 0o7: the prefixes of programming languages. */
static size_t refuse_prefix(Scan *scan, size_t at)
{
    size_t end = at + 1;
    while (ascii_is_letter(scan_char(scan, end)) || ascii_is_digit(scan_char(scan, end))) {
        end++;
    }
    Text word = scan_slice(scan, at, end);
    return scan_fault(scan, at, end, "write it in decimal digits",
                      "'%.*s' is a number of a programming language", TEXT_ARG(word));
}

static bool is_prefix(const Scan *scan, size_t at)
{
    char mark = ascii_lower(scan_char(scan, at + 1));
    char next = ascii_lower(scan_char(scan, at + 2));
    if (scan_char(scan, at) != '0' || ascii_is_digit(scan_char(scan, at + 1))) {
        return false;
    }
    bool is_hex = ascii_is_digit(next) || (next >= 'a' && next <= 'f');
    return (mark == 'x' && is_hex) || ((mark == 'b' || mark == 'o') && ascii_is_digit(next));
}

/* 010: base 8 to YAML and to C. */
static size_t refuse_zero(Scan *scan, size_t at, size_t end, Text digits)
{
    while (digits.len > 1 && digits.data[0] == '0') {
        digits = (Text){digits.data + 1, digits.len - 1};
    }
    char next = scan_char(scan, end);
    const char *hint = next == '.' || next == '/' ? "leave the zeros before it out"
                                                  : advise(scan, "write %.*s", TEXT_ARG(digits));
    return scan_fault(scan, at, end, hint,
                      "'%.*s' begins with a zero, which some read as a number in base 8",
                      TEXT_ARG(scan_slice(scan, at, end)));
}

/* Digits with commas; the place after them. */
static size_t scan_whole(Scan *scan, size_t at)
{
    size_t end = at;
    bool underscore = false;
    while (ascii_is_digit(scan_char(scan, end)) ||
           ((scan_char(scan, end) == ',' || scan_char(scan, end) == '_') &&
            ascii_is_digit(scan_char(scan, end + 1)))) {
        underscore = underscore || scan_char(scan, end) == '_';
        end++;
    }
    Text run = scan_slice(scan, at, end);
    Text digits = digits_of(scan, at, end);
    if (digits.len > QUANTITY_DIGITS_MAX) {
        return scan_fault(scan, at, end, NULL, "a number has at most %d digits; this one has %zu",
                          QUANTITY_DIGITS_MAX, digits.len);
    }
    if (underscore) {
        return scan_fault(scan, at, end, advise(scan, "write %.*s", TEXT_ARG(digits)),
                          "'%.*s' has an underscore between its digits", TEXT_ARG(run));
    }
    if (is_prefix(scan, at)) {
        return refuse_prefix(scan, at);
    }
    if (run.data[0] == '0' && digits.len > 1) {
        return refuse_zero(scan, at, end, digits);
    }
    return are_commas_good(run) ? end : refuse_commas(scan, at, end);
}

/* 1.400,5 and 1.400.000: thousands and decimals as other countries part them. */
static size_t refuse_second_mark(Scan *scan, size_t at, size_t mark)
{
    size_t end = skip_digits(scan, mark + 1);
    bool is_underscore = scan_char(scan, mark) == '_';
    Text before = is_underscore ? scan_slice(scan, at, mark) : digits_of(scan, at, mark);
    Text after = scan_slice(scan, mark + 1, end);
    const char *parting = scan_char(scan, mark) == ',' ? "." : "";
    return scan_fault(scan, at, end,
                      advise(scan, "write %.*s%s%.*s, or put a space between two numbers",
                             TEXT_ARG(before), parting, TEXT_ARG(after)),
                      "'%.*s' has a second mark after its decimal point",
                      TEXT_ARG(scan_slice(scan, at, end)));
}

/* The decimals after a whole number that ends at `point`. */
static size_t scan_decimals(Scan *scan, size_t at, size_t point)
{
    Text whole = scan_slice(scan, at, point);
    if (scan_char(scan, point + 1) == '.') {
        return scan_fault(scan, at, point + 2, "put a space on either side of '..'",
                          "'..' stands right after '%.*s'", TEXT_ARG(whole));
    }
    size_t end = skip_digits(scan, point + 1);
    if (end == point + 1) {
        return scan_fault(scan, at, end, advise(scan, "write %.*s", TEXT_ARG(whole)),
                          "'%.*s.' has no digit after its point", TEXT_ARG(whole));
    }
    if (end - at > QUANTITY_DIGITS_MAX) {
        return scan_fault(scan, at, end, NULL, "a number has at most %d digits",
                          QUANTITY_DIGITS_MAX);
    }
    char next = scan_char(scan, end);
    bool is_mark = next == ',' || next == '_' || next == '.';
    return is_mark && ascii_is_digit(scan_char(scan, end + 1)) ? refuse_second_mark(scan, at, end)
                                                               : end;
}

/* 1e3. */
static bool is_exponent(const Scan *scan, size_t at)
{
    if (ascii_lower(scan_char(scan, at)) != 'e') {
        return false;
    }
    char next = scan_char(scan, at + 1);
    return ascii_is_digit(next) ||
           ((next == '-' || next == '+') && ascii_is_digit(scan_char(scan, at + 2)));
}

static size_t refuse_exponent(Scan *scan, size_t at, size_t mark, Rational value)
{
    enum { EXPONENT_SHOWN = 12 };
    size_t first = mark + 1;
    bool minus = scan_char(scan, first) == '-';
    first += minus || scan_char(scan, first) == '+' ? 1 : 0;
    size_t end = skip_digits(scan, first);
    Rational exponent = RATIONAL_ZERO;
    const char *hint = "write all its digits";
    if (end - first <= 2 &&
        rational_parse_decimal(scan->arena, scan_slice(scan, first, end), &exponent) &&
        exponent.num <= EXPONENT_SHOWN) {
        Rational scale = rational_power(scan->arena, RATIONAL(10, 1), (unsigned)exponent.num);
        value = minus ? rational_div(scan->arena, value, scale)
                      : rational_mul(scan->arena, value, scale);
        Text digits = rational_print(scan->arena, value, QUANTITY_DIGITS_MAX, 0, NULL);
        hint = advise(scan, "write %.*s", TEXT_ARG(digits));
    }
    return scan_fault(scan, at, end, hint, "'%.*s' is written with an exponent",
                      TEXT_ARG(scan_slice(scan, at, end)));
}

static size_t refuse_clock(Scan *scan, size_t at, size_t colon)
{
    size_t end = skip_digits(scan, colon + 1);
    Text first = scan_slice(scan, at, colon);
    Text second = scan_slice(scan, colon + 1, end);
    return scan_fault(scan, at, end,
                      advise(scan, "write a time as %.*s h %.*s min, a length as %.*s ft %.*s in",
                             TEXT_ARG(first), TEXT_ARG(second), TEXT_ARG(first), TEXT_ARG(second)),
                      "'%.*s' is written with a colon, which some read as a number in base 60",
                      TEXT_ARG(scan_slice(scan, at, end)));
}

/* Reads num/den; `at` is at the first digit of num. */
static size_t scan_fraction(Scan *scan, size_t at, Rational *out)
{
    size_t slash = skip_digits(scan, at);
    size_t end = skip_digits(scan, slash + 1);
    Text num = scan_slice(scan, at, slash);
    Text den = scan_slice(scan, slash + 1, end);
    char next = scan_char(scan, end);
    if ((next == '.' || next == ',' || next == '/' || next == '_') &&
        ascii_is_digit(scan_char(scan, end + 1))) {
        size_t last = skip_digits(scan, end + 1);
        return scan_fault(scan, at, last, NULL, "'%.*s' is not a fraction of two whole numbers",
                          TEXT_ARG(scan_slice(scan, at, last)));
    }
    Rational above = RATIONAL_ZERO;
    Rational below = RATIONAL_ZERO;
    if (num.len > QUANTITY_DIGITS_MAX || den.len > QUANTITY_DIGITS_MAX ||
        !rational_parse_decimal(scan->arena, num, &above) ||
        !rational_parse_decimal(scan->arena, den, &below)) {
        return scan_fault(scan, at, end, NULL, "a number has at most %d digits",
                          QUANTITY_DIGITS_MAX);
    }
    if (rational_sign(below) == 0) {
        return scan_fault(scan, at, end, NULL, "'%.*s/%.*s' divides by zero", TEXT_ARG(num),
                          TEXT_ARG(den));
    }
    if ((num.data[0] == '0' && num.len > 1) || den.data[0] == '0') {
        return scan_fault(scan, at, end, "leave the zero out",
                          "'%.*s/%.*s' has a number that begins with a zero", TEXT_ARG(num),
                          TEXT_ARG(den));
    }
    *out = rational_div(scan->arena, above, below);
    return end;
}

/* Is there digits, slash, digit at `at`? */
static bool is_fraction(const Scan *scan, size_t at)
{
    size_t slash = skip_digits(scan, at);
    return slash > at && scan_char(scan, slash) == '/' &&
           ascii_is_digit(scan_char(scan, slash + 1));
}

/* The step of a fraction as written: 1/den. */
static Rational fraction_step(Scan *scan, size_t end)
{
    size_t start = end;
    while (start > 0 && ascii_is_digit(scan->text.data[start - 1])) {
        start--;
    }
    Rational den = RATIONAL_ONE;
    (void)rational_parse_decimal(scan->arena, scan_slice(scan, start, end), &den);
    return rational_div(scan->arena, RATIONAL_ONE, den);
}

/* Adds the fraction at `part` to the whole number already in `out`. */
static size_t scan_mixed(Scan *scan, size_t at, size_t part, Written *out)
{
    Rational fraction = RATIONAL_ZERO;
    size_t end = scan_fraction(scan, part, &fraction);
    if (end == 0) {
        return 0;
    }
    if (rational_order(fraction, RATIONAL_ONE) >= 0) {
        return scan_fault(scan, at, end, NULL,
                          "'%.*s' is a mixed number whose fraction is not less than 1",
                          TEXT_ARG(scan_slice(scan, at, end)));
    }
    out->value = rational_add(scan->arena, out->value, fraction);
    out->step = fraction_step(scan, end);
    out->fraction = out->mixed = true;
    return end;
}

/* 24-36 and 2025-07-01: a hyphen between whole numbers. */
static size_t refuse_hyphen(Scan *scan, size_t at, size_t hyphen)
{
    size_t end = skip_digits(scan, hyphen + 1);
    if (scan_char(scan, end) == '-' && ascii_is_digit(scan_char(scan, end + 1))) {
        end = skip_digits(scan, end + 1);
        return scan_fault(scan, at, end, NULL, "'%.*s' looks like a date where a quantity stands",
                          TEXT_ARG(scan_slice(scan, at, end)));
    }
    const char *hint = scan->style == QUANTITY_SPEC
                           ? "state one value; a mixed number is written 6-1/2 in"
                           : "put spaces around '-' to subtract; a mixed number is 6-1/2 in";
    return scan_fault(scan, at, end, hint, "'%.*s' is neither a mixed number nor a subtraction",
                      TEXT_ARG(scan_slice(scan, at, end)));
}

/* A fraction sign of Unicode as the whole number or as its end. */
static size_t add_sign_fraction(Scan *scan, size_t at, bool mixed, Written *out)
{
    int num = 0;
    int den = 1;
    size_t len = 0;
    (void)read_sign_fraction(scan, at, &num, &den, &len);
    out->value = rational_add(scan->arena, out->value, RATIONAL(num, den));
    out->step = RATIONAL(1, den);
    out->fraction = true;
    out->mixed = mixed;
    return at + len;
}

/* What may follow a whole number without decimals: a fraction, in one of its forms. */
static size_t scan_fraction_forms(Scan *scan, size_t at, size_t end, bool commas, Written *out)
{
    char next = scan_char(scan, end);
    if (next == '/' && ascii_is_digit(scan_char(scan, end + 1))) {
        if (commas) {
            return scan_fault(scan, at, end + 1, NULL,
                              "a fraction is two whole numbers without commas");
        }
        end = scan_fraction(scan, at, &out->value);
        out->fraction = true;
        out->step = end == 0 ? RATIONAL_ONE : fraction_step(scan, end);
        return end;
    }
    if (next == '-' && ascii_is_digit(scan_char(scan, end + 1))) {
        return is_fraction(scan, end + 1) ? scan_mixed(scan, at, end + 1, out)
                                          : refuse_hyphen(scan, at, end);
    }
    if (scan->style != QUANTITY_SPEC) {
        return end;
    }
    size_t part = scan_blanks(scan, end);
    int num = 0;
    int den = 0;
    size_t len = 0;
    if (is_fraction(scan, part)) {
        return scan_mixed(scan, at, part, out);
    }
    return read_sign_fraction(scan, part, &num, &den, &len)
               ? add_sign_fraction(scan, part, true, out)
               : end;
}

/* The number without its sign. */
static size_t scan_unsigned(Scan *scan, size_t at, Written *out)
{
    if (!ascii_is_digit(scan_char(scan, at))) {
        return add_sign_fraction(scan, at, false, out);
    }
    size_t end = scan_whole(scan, at);
    if (end == 0) {
        return 0;
    }
    Text digits = digits_of(scan, at, end);
    bool commas = digits.len != end - at;
    size_t point = end;
    if (scan_char(scan, end) == '.') {
        end = scan_decimals(scan, at, point);
        if (end == 0) {
            return 0;
        }
        Text decimals = scan_slice(scan, point, end);
        digits = text_format(scan->arena, "%.*s%.*s", TEXT_ARG(digits), TEXT_ARG(decimals));
        out->decimals = (uint8_t)(decimals.len - 1);
    }
    (void)rational_parse_decimal(scan->arena, digits, &out->value); /* digits by now */
    Rational places = rational_power(scan->arena, RATIONAL(10, 1), out->decimals);
    out->step = rational_div(scan->arena, RATIONAL_ONE, places);
    if (is_exponent(scan, end)) {
        return refuse_exponent(scan, at, end, out->value);
    }
    if (scan_char(scan, end) == ':' && ascii_is_digit(scan_char(scan, end + 1))) {
        return refuse_clock(scan, at, end);
    }
    if (end > point) {
        bool glued = scan_char(scan, end) == '/' || scan_char(scan, end) == '-';
        if (glued && ascii_is_digit(scan_char(scan, end + 1))) {
            size_t last = skip_digits(scan, end + 1);
            return scan_fault(scan, at, last, "put spaces around the operator",
                              "'%.*s' is not a fraction or mixed number of whole numbers",
                              TEXT_ARG(scan_slice(scan, at, last)));
        }
        return end;
    }
    return scan_fraction_forms(scan, at, end, commas, out);
}

static size_t refuse_no_digit(Scan *scan, size_t at)
{
    if (scan_char(scan, at) == '.' && ascii_is_digit(scan_char(scan, at + 1))) {
        size_t end = skip_digits(scan, at + 1);
        Text word = scan_slice(scan, at, end);
        return scan_fault(scan, at, end, advise(scan, "write 0%.*s", TEXT_ARG(word)),
                          "'%.*s' has no digit before its point", TEXT_ARG(word));
    }
    size_t len = 0;
    (void)scan_code(scan, at, &len);
    if (len == 0) {
        return scan_fault(scan, at, at, NULL, "a number is missing");
    }
    Text word = scan_slice(scan, at, at + len);
    return scan_fault(scan, at, at + len, NULL, "'%.*s' is not the start of a number",
                      TEXT_ARG(word));
}

size_t scan_number(Scan *scan, size_t at, Written *out)
{
    *out = (Written){.value = RATIONAL_ZERO, .step = RATIONAL_ONE};
    size_t len = 0;
    uint32_t code = scan_code(scan, at, &len);
    bool is_minus = code == '-' || (code == 0x2212 && scan->style == QUANTITY_SPEC);
    size_t first = at + (is_minus ? len : 0);
    if (!scan_is_number(scan, first)) {
        if (is_minus && scan_is_number(scan, scan_blanks(scan, first))) {
            return scan_fault(scan, at, first, "leave the space out",
                              "a minus sign stands apart from its number");
        }
        return refuse_no_digit(scan, first);
    }
    size_t end = scan_unsigned(scan, first, out);
    if (end == 0) {
        return 0;
    }
    out->negative = is_minus;
    if (is_minus) {
        out->value = rational_negate(scan->arena, out->value);
    }
    out->percent = scan_char(scan, end) == '%';
    return end + out->percent;
}
