/* Quantities as people write them: number, units, tolerance, printed twin; and dates. Factors lead to
 * SI units and are exact (NIST SP 811 appendix B, NIST Handbook 44 appendix C). Dimensions are not
 * checked here: that is the program's work, and the oracle is given only what the program accepts. */
#include "oracle.h"

#include <string.h>

typedef struct UnitRow {
    const char *name, *factor;
} UnitRow;

/* in decimal; a bar stands for a division */
static const UnitRow UNITS[] = {
    {"in", "0.0254"},
    {"ft", "0.3048"},
    {"yd", "0.9144"},
    {"mi", "1609.344"},
    {"mm", "0.001"},
    {"cm", "0.01"},
    {"m", "1"},
    {"km", "1000"},
    {"gal", "0.003785411784"},
    {"qt", "0.000946352946"},
    {"pt", "0.000473176473"},
    {"cup", "0.0002365882365"},
    {"floz", "0.0000295735295625"},
    {"L", "0.001"},
    {"l", "0.001"},
    {"mL", "0.000001"},
    {"ml", "0.000001"},
    {"lb", "0.45359237"},
    {"oz", "0.028349523125"},
    {"ton", "907.18474"},
    {"kg", "1"},
    {"g", "0.001"},
    {"mg", "0.000001"},
    {"s", "1"},
    {"min", "60"},
    {"h", "3600"},
    {"hour", "3600"},
    {"hours", "3600"},
    {"day", "86400"},
    {"days", "86400"},
    {"week", "604800"},
    {"weeks", "604800"},
    {"K", "1"},
    {"degC", "1"},
    {"degF", "5|9"},
    {"cfm", "0.000471947443200"},
    {"cfh", "0.028316846592|3600"},
    {"gpm", "0.003785411784|60"},
    {"gph", "0.003785411784|3600"},
    {"lbf", "4.4482216152605"},
    {"ozf", "0.27801385095378125"},
    {"kN", "1000"},
    {"N", "1"},
    {"Pa", "1"},
    {"kPa", "1000"},
    {"bar", "100000"},
    {"psi", "4.4482216152605|0.00064516"},
    {"psig", "4.4482216152605|0.00064516"},
    {"psia", "4.4482216152605|0.00064516"},
    {"inwc", "249.08891"},
    {"inHg", "3386.388640341"},
    {"psf", "4.4482216152605|0.09290304"},
    {"mbar", "100"},
    {"MPa", "1000000"},
    {"W", "1"},
    {"kW", "1000"},
    {"MW", "1000000"},
    {"VA", "1"},
    {"kVA", "1000"},
    {"hp", "745.69987158227022"},
    {"J", "1"},
    {"kJ", "1000"},
    {"Wh", "3600"},
    {"kWh", "3600000"},
    {"Btu", "1055.05585262"},
    {"kBtu", "1055055.85262"},
    {"V", "1"},
    {"kV", "1000"},
    {"A", "1"},
    {"mA", "0.001"},
    {"Ah", "3600"},
    {"mV", "0.001"},
    {"MJ", "1000000"},
    {"kHz", "1000"},
    {"rpm", "1|60"},
    {"ppm", "0.000001"},
    {"ohm", "1"},
    {"lm", "1"},
    {"lx", "1"},
    {"fc", "1|0.09290304"},
    {"fpm", "0.00508"},
    {"fps", "0.3048"},
    {"mph", "0.44704"},
    {"Hz", "1"},
};

/* A decimal numeral of digits and at most one point. */
static bool decimal_read(const char **at, mpq_t out)
{
    const char *p = *at;
    char digits[128];
    int n = 0;
    unsigned long after = 0;
    bool point = false;
    for (; n < 120; p++) {
        bool thousands = *p == ',' && !point && n > 0 && strspn(p + 1, "0123456789") == 3;
        if (thousands) {
            continue;
        }
        if (*p == '.' && !point && p[1] >= '0' && p[1] <= '9') {
            point = true;
        } else if (*p >= '0' && *p <= '9') {
            digits[n++] = *p;
            after += point;
        } else {
            break;
        }
    }
    digits[n] = '\0';
    if (n == 0) {
        return false;
    }
    mpz_set_str(mpq_numref(out), digits, 10);
    mpz_ui_pow_ui(mpq_denref(out), 10, after);
    mpq_canonicalize(out);
    *at = p;
    return true;
}

/* n/d behind a number or alone, without space inside */
static bool fraction_read(const char **at, mpq_t out)
{
    const char *p = *at;
    mpq_t d;
    mpq_init(d);
    if (!decimal_read(&p, out) || *p != '/') {
        return false;
    }
    p++;
    if (!decimal_read(&p, d) || mpq_sgn(d) == 0) {
        return false;
    }
    mpq_div(out, out, d);
    *at = p;
    return true;
}

bool number_read(const char **at, mpq_t out, bool spaced)
{
    mpq_t part;
    mpq_init(part);
    if (fraction_read(at, out)) {
        return true;
    }
    if (!decimal_read(at, out)) {
        return false;
    }
    const char *p = *at;
    if (*p == '-' || (spaced && *p == ' ')) {
        p++;
        if (fraction_read(&p, part)) {
            mpq_add(out, out, part);
            *at = p;
        }
    }
    return true;
}

static void factor_of(const char *text, mpq_t out)
{
    mpq_t below;
    mpq_init(below);
    decimal_read(&text, out);
    if (*text == '|') {
        text++;
        decimal_read(&text, below);
        mpq_div(out, out, below);
    }
}

static size_t letters(const char *p)
{
    size_t n = 0;
    while ((p[n] >= 'a' && p[n] <= 'z') || (p[n] >= 'A' && p[n] <= 'Z')) {
        n++;
    }
    return n;
}

/* One unit with its power: in, ft3. */
static bool term_read(const char **at, mpq_t factor, const char **name)
{
    const char *p = *at;
    size_t n = letters(p);
    for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0]; i++) {
        if (strlen(UNITS[i].name) != n || strncmp(UNITS[i].name, p, n) != 0) {
            continue;
        }
        char after = p[n];
        bool power = after == '2' || after == '3';
        const char *end = p + n + power;
        if (letters(end) > 0 || *end == '_' || (*end >= '0' && *end <= '9')) {
            return false; /* the beginning of a longer word */
        }
        mpq_t one;
        mpq_init(one);
        factor_of(UNITS[i].factor, one);
        mpq_set(factor, one);
        for (char k = '1'; power && k < after; k++) {
            mpq_mul(factor, factor, one);
        }
        *name = power ? "" : UNITS[i].name;
        *at = end;
        return true;
    }
    return false;
}

static const char *skip_blanks(const char *p)
{
    while (*p == ' ' || *p == '\t') {
        p++;
    }
    return p;
}

static bool word_follows(const char **at, const char *word)
{
    const char *p = skip_blanks(*at);
    size_t n = strlen(word);
    if (strncmp(p, word, n) != 0 || letters(p) != n || p[n] == '_') {
        return false;
    }
    *at = p + n;
    return true;
}

/* Units with their factor; *name is the one unit where there is only one, else empty. */
static bool units_read(const char **at, mpq_t factor, const char **name)
{
    const char *p = skip_blanks(*at);
    mpq_t term;
    mpq_init(term);
    *name = "";
    mpq_set_ui(factor, 1, 1);
    bool found = term_read(&p, factor, name);
    for (;;) {
        const char *q = p, *ignored = NULL;
        if (found && *q == '/' && letters(q + 1) > 0) {
            q++;
        } else if (word_follows(&q, "per")) {
            q = skip_blanks(q);
        } else {
            break;
        }
        if (!term_read(&q, term, &ignored)) {
            break;
        }
        mpq_div(factor, factor, term);
        *name = "";
        found = true;
        p = q;
    }
    if (found) {
        *at = p;
    }
    return found;
}

static void point_offset(const char *name, mpq_t offset)
{
    const char *text = same(name, "degF") ? "459.67" : same(name, "degC") ? "273.15" : "0";
    decimal_read(&text, offset);
}

bool unit_read(const char **at, mpq_t factor, mpq_t offset)
{
    const char *name = NULL;
    if (*skip_blanks(*at) == '%') {
        *at = skip_blanks(*at) + 1;
        mpq_set_ui(factor, 1, 100);
        return true;
    }
    if (!units_read(at, factor, &name)) {
        return false;
    }
    point_offset(name, offset);
    if (word_follows(at, "rise")) {
        mpq_set_ui(offset, 0, 1);
    }
    return true;
}

bool unit_apply(const char *unit, mpq_srcptr number, mpq_t out)
{
    mpq_t factor, offset;
    mpq_inits(factor, offset, NULL);
    if (!unit_read(&unit, factor, offset)) {
        return false;
    }
    mpq_add(out, number, offset);
    mpq_mul(out, out, factor);
    return true;
}

/* The foot and inch marks of a build spec. */
static bool mark_read(const char **at, bool in_spec, mpq_t factor, const char **name)
{
    char c = **at;
    if (!in_spec || (c != '\'' && c != '"')) {
        return units_read(at, factor, name);
    }
    const char *unit = *name = c == '"' ? "in" : "ft";
    ++*at;
    const char *ignored = NULL;
    return units_read(&unit, factor, &ignored);
}

/* The inches behind feet, the ounces behind pounds. */
static void join_read(const char **at, bool in_spec, const char *first, mpq_t sum)
{
    bool feet = same(first, "ft");
    if (!feet && !same(first, "lb")) {
        return;
    }
    const char *p = skip_blanks(*at), *name = NULL;
    mpq_t number, factor;
    mpq_inits(number, factor, NULL);
    if (in_spec && *p == '-') {
        p = skip_blanks(p + 1);
    }
    if (number_read(&p, number, in_spec) && mark_read(&p, in_spec, factor, &name) &&
        same(name, feet ? "in" : "oz")) {
        mpq_mul(number, number, factor);
        mpq_add(sum, sum, number);
        *at = p;
    }
}

/* "+- 1/8 in": the range around the value. */
static void tolerance_read(const char **at, bool in_spec, Quantity *out)
{
    const char *p = skip_blanks(*at), *name = NULL;
    bool plain = strncmp(p, "+-", 2) == 0 || strncmp(p, "\xc2\xb1", 2) == 0;
    if (!plain) {
        return;
    }
    p = skip_blanks(p + 2);
    mpq_t half, factor;
    mpq_inits(half, factor, NULL);
    if (!number_read(&p, half, in_spec)) {
        return;
    }
    if (*p == '%') {
        p++;
        mpq_set_ui(factor, 1, 100);
    } else if (!mark_read(&p, in_spec, factor, &name)) {
        mpq_set_ui(factor, 1, 1);
    }
    (void)word_follows(&p, "rise");
    mpq_mul(half, half, factor);
    mpq_t hi;
    mpq_init(hi);
    mpq_add(hi, out->range.hi.v, half);
    mpq_sub(half, out->range.lo.v, half);
    out->range = range_ends(half, hi);
    out->tolerance = true;
    *at = p;
}

/* "(610 mm)": the printed twin, which never governs. */
static void twin_read(const char **at)
{
    const char *p = skip_blanks(*at), *name = NULL;
    mpq_t number, factor;
    mpq_inits(number, factor, NULL);
    if (*p != '(') {
        return;
    }
    p = skip_blanks(p + 1);
    if (*p == '-') {
        p++;
    }
    if (number_read(&p, number, false) && units_read(&p, factor, &name)) {
        p = skip_blanks(p);
        if (*p == ')') {
            *at = p + 1;
        }
    }
}

bool quantity_read(const char **at, bool in_spec, bool joined, Quantity *out)
{
    const char *p = *at, *name = "";
    mpq_t number, factor, offset;
    mpq_inits(number, factor, offset, NULL);
    bool negative = *p == '-';
    if (negative) {
        p = in_spec ? skip_blanks(p + 1) : p + 1;
    }
    if (!number_read(&p, number, in_spec)) {
        return false;
    }
    *out = (Quantity){0};
    if (negative) {
        mpq_neg(number, number);
    }
    if (*p == '%') {
        p++;
        mpq_set_ui(factor, 100, 1);
        mpq_div(number, number, factor);
    } else if (mark_read(&p, in_spec, factor, &name)) {
        if (!word_follows(&p, "rise")) {
            point_offset(name, offset);
        }
        mpq_add(number, number, offset);
        mpq_mul(number, number, factor);
        if (joined) {
            join_read(&p, in_spec, name, number);
        }
    } else {
        out->bare = true;
    }
    out->range = range_of(number);
    tolerance_read(&p, in_spec, out);
    if (!out->bare) {
        twin_read(&p);
    }
    *at = p;
    return true;
}

long date_days(long year, long month, long day)
{
    year -= month <= 2;
    long era = (year >= 0 ? year : year - 399) / 400, of_era = year - era * 400;
    long of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
    return era * 146097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719468;
}

static bool digits_read(const char **at, int count, long *out)
{
    const char *p = *at;
    *out = 0;
    for (int i = 0; i < count; i++, p++) {
        if (*p < '0' || *p > '9') {
            return false;
        }
        *out = *out * 10 + (*p - '0');
    }
    if (*p >= '0' && *p <= '9') {
        return false;
    }
    *at = p;
    return true;
}

bool date_read(const char **at, Range *out)
{
    const char *p = *at;
    long year = 0, month = 0, day = 0, first = 0, last = 0;
    if (!digits_read(&p, 4, &year)) {
        return false;
    }
    if (*p != '-') {
        first = date_days(year, 1, 1);
        last = date_days(year, 12, 31);
    } else {
        p++;
        if (!digits_read(&p, 2, &month) || month < 1 || month > 12) {
            return false;
        }
        if (*p != '-') {
            first = date_days(year, month, 1);
            last = (month == 12 ? date_days(year + 1, 1, 1) : date_days(year, month + 1, 1)) - 1;
        } else {
            p++;
            if (!digits_read(&p, 2, &day)) {
                return false;
            }
            first = last = date_days(year, month, day);
        }
    }
    *out = (Range){.lo = range_small(first * 86400, 1).lo, .hi = range_small(last * 86400, 1).hi};
    *at = p;
    return true;
}
