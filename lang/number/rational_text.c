/* Rational: reading decimal digits, and printing decimals rounded in a chosen direction.
 *
 * Small numbers of at most 18 places are printed by 128-bit arithmetic (2^63 * 10^18 < 2^127),
 * all others by GMP; tests hold the two against each other. */
#include "number/rational.h"

#include <string.h>

enum {
    PLACES_SMALL = 18, /* 10^18 is the largest power of ten in an int64 */
    DIGITS_WIDE = 40   /* 2^127 has 39 digits */
};

static int64_t power_of_ten(unsigned exponent)
{
    int64_t power = 1;
    while (exponent-- > 0) {
        power *= 10;
    }
    return power;
}

/* True when text is digits, or digits, a point, digits; *point is the place of the point. */
static bool is_decimal(Text text, size_t *point)
{
    *point = text.len;
    for (size_t i = 0; i < text.len; i++) {
        if (text.data[i] == '.' && *point == text.len) {
            *point = i;
        } else if (!ascii_is_digit(text.data[i])) {
            return false;
        }
    }
    return *point > 0 && *point != text.len - 1 && text.len > 0;
}

static Rational parse_long(Arena *arena, Text digits, size_t places)
{
    mpq_t value;
    mpq_init(value);
    mpz_set_str(mpq_numref(value), text_string(arena, digits), 10);
    mpz_ui_pow_ui(mpq_denref(value), 10, places);
    mpq_canonicalize(value);
    Rational result = rational_from_mpq(arena, value);
    mpq_clear(value);
    return result;
}

bool rational_parse_decimal(Arena *arena, Text digits, Rational *out)
{
    size_t point = 0;
    if (!is_decimal(digits, &point)) {
        return false;
    }
    Buffer buffer = buffer_make(arena);
    int64_t small = 0;
    bool is_long = digits.len > PLACES_SMALL;
    for (size_t i = 0; i < digits.len; i++) {
        if (digits.data[i] == '.') {
            continue;
        }
        if (is_long) {
            buffer_char(&buffer, digits.data[i]);
        } else {
            small = small * 10 + (digits.data[i] - '0');
        }
    }
    size_t places = point == digits.len ? 0 : digits.len - point - 1;
    *out = is_long ? parse_long(arena, buffer_done(&buffer), places)
                   : RATIONAL(small, power_of_ten((unsigned)places));
    return true;
}

/* Tells whether a magnitude cut down to `digits` must be raised by one in the last place;
 * `half` orders what was cut against a half (-1, 0, 1). */
static bool is_raised(bool negative, int direction, bool exact, int half)
{
    if (exact) {
        return false;
    }
    if (direction == 0) {
        return half >= 0;
    }
    return negative ? direction < 0 : direction > 0;
}

/* Digits of |a| * 10^places, rounded. */
static Text scale_small(Arena *arena, Rational a, unsigned places, int direction, bool *exact)
{
    Wide scaled = (Wide)a.num * power_of_ten(places);
    bool negative = scaled < 0;
    scaled = negative ? -scaled : scaled;
    Wide whole = scaled / a.den;
    Wide rest = scaled % a.den;
    *exact = rest == 0;
    int half = (rest * 2 > a.den) - (rest * 2 < a.den);
    whole += is_raised(negative, direction, *exact, half) ? 1 : 0;
    char digits[DIGITS_WIDE];
    size_t at = sizeof digits;
    do {
        digits[--at] = (char)('0' + (int)(whole % 10));
        whole /= 10;
    } while (whole > 0);
    return text_copy(arena, (Text){digits + at, sizeof digits - at});
}

static Text scale_big(Arena *arena, Rational a, unsigned places, int direction, bool *exact)
{
    mpq_t value;
    mpz_t whole;
    mpz_t rest;
    mpq_init(value);
    mpz_inits(whole, rest, NULL);
    rational_to_mpq(a, value);
    bool negative = mpq_sgn(value) < 0;
    mpq_abs(value, value);
    mpz_ui_pow_ui(whole, 10, places);
    mpz_mul(mpq_numref(value), mpq_numref(value), whole);
    mpz_fdiv_qr(whole, rest, mpq_numref(value), mpq_denref(value));
    *exact = mpz_sgn(rest) == 0;
    mpz_mul_2exp(rest, rest, 1);
    int half = mpz_cmp(rest, mpq_denref(value));
    if (is_raised(negative, direction, *exact, half)) {
        mpz_add_ui(whole, whole, 1);
    }
    char *digits = arena_alloc(arena, mpz_sizeinbase(whole, 10) + 2);
    mpz_get_str(digits, 10, whole);
    mpz_clears(whole, rest, NULL);
    mpq_clear(value);
    return text_of(digits);
}

Text rational_print(Arena *arena, Rational a, unsigned places, int direction, bool *exact)
{
    bool is_exact = true;
    bool is_small = a.den != 0 && places <= PLACES_SMALL;
    Text digits = is_small ? scale_small(arena, a, places, direction, &is_exact)
                           : scale_big(arena, a, places, direction, &is_exact);
    if (exact != NULL) {
        *exact = is_exact;
    }
    while (places > 0 && digits.data[digits.len - 1] == '0' && digits.len > 1) {
        digits.len--;
        places--;
    }
    bool is_zero = digits.len == 1 && digits.data[0] == '0';
    if (places == 0 || is_zero) {
        return rational_sign(a) < 0 && !is_zero ? text_format(arena, "-%.*s", TEXT_ARG(digits))
                                                : digits;
    }
    Buffer buffer = buffer_make(arena);
    buffer_string(&buffer, rational_sign(a) < 0 ? "-" : "");
    size_t whole = digits.len > places ? digits.len - places : 0;
    buffer_text(&buffer, whole == 0 ? TEXT("0") : (Text){digits.data, whole});
    buffer_char(&buffer, '.');
    for (size_t zeros = digits.len; zeros < places; zeros++) {
        buffer_char(&buffer, '0');
    }
    buffer_text(&buffer, (Text){digits.data + whole, digits.len - whole});
    return buffer_done(&buffer);
}

Text rational_print_exact(Arena *arena, Rational a)
{
    mpq_t value;
    mpq_init(value);
    rational_to_mpq(a, value);
    size_t size = mpz_sizeinbase(mpq_numref(value), 10) + mpz_sizeinbase(mpq_denref(value), 10);
    char *text = arena_alloc(arena, size + 3); /* a sign, a slash, a zero byte */
    mpq_get_str(text, 10, value);
    mpq_clear(value);
    return text_of(text);
}
