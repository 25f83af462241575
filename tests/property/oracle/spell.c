/* Numbers written as people write them, in one of the units of their dimension. */
#include "cases.h"

#include <string.h>

typedef struct Spelling {
    const char *dimension;
    const char *unit[5];
} Spelling;

/* The first unit is the usual one; its size is also the step by which a limit is missed. */
static const Spelling SPELLINGS[] = {
    {"length", {"in", "ft", "mm", "cm", "m"}},
    {"area", {"in2", "ft2", "cm2", "m2", NULL}},
    {"volume", {"gal", "L", "qt", "ft3", NULL}},
    {"mass", {"lb", "kg", "oz", NULL, NULL}},
    {"temperature", {"degF", "degC", NULL, NULL, NULL}},
    {"temperature_difference", {"degF rise", "degC rise", NULL, NULL, NULL}},
    {"flow", {"gpm", "cfm", "gph", NULL, NULL}},
    {"velocity", {"fpm", "m/s", "mph", NULL, NULL}},
    {"power", {"W", "kW", "Btu/h", NULL, NULL}},
    {"pressure", {"psi", "kPa", "inwc", NULL, NULL}},
    {"mesh", {"per in", "per ft", "per cm", NULL, NULL}},
    {"concentration", {"mg/L", "lb/gal", NULL, NULL, NULL}},
    {"illuminance", {"fc", "lx", NULL, NULL, NULL}},
    {"time", {"min", "s", "h", "days", NULL}},
    {"voltage", {"V", "kV", NULL, NULL, NULL}},
    {"current", {"A", "mA", NULL, NULL, NULL}},
    {"energy", {"Btu", "kJ", "kWh", NULL, NULL}},
    {"force", {"lbf", "N", NULL, NULL, NULL}},
    {"density", {"mg/m3", "lb/ft3", NULL, NULL, NULL}},
    {"mass_per_area", {"oz/ft2", "lb/ft2", NULL, NULL, NULL}},
    {"luminous_flux", {"lm", "lm", NULL, NULL, NULL}},
    {"heat_per_mass", {"Btu/lb", "kJ/kg", NULL, NULL, NULL}},
    {"resistance", {"ohm", "ohm", NULL, NULL, NULL}},
};

static const Spelling *spelling_of(const Field *field)
{
    for (size_t i = 0; i < sizeof SPELLINGS / sizeof SPELLINGS[0]; i++) {
        if (same(SPELLINGS[i].dimension, field->type.dimension)) {
            return &SPELLINGS[i];
        }
    }
    return NULL;
}

/* Decimal where it ends soon, otherwise a fraction or mixed number; NULL when it can be neither. */
static const char *spell_plain(mpq_srcptr q, bool mixed)
{
    mpz_t scaled, rest, ten;
    mpz_inits(scaled, rest, ten, NULL);
    for (unsigned long digits = 0; digits <= 18; digits++) {
        mpz_ui_pow_ui(ten, 10, digits);
        mpz_mul(scaled, mpq_numref(q), ten);
        if (mpz_divisible_p(scaled, mpq_denref(q)) == 0) {
            continue;
        }
        mpz_divexact(scaled, scaled, mpq_denref(q));
        bool negative = mpz_sgn(scaled) < 0;
        mpz_abs(scaled, scaled);
        mpz_tdiv_qr(scaled, rest, scaled, ten);
        char *whole = mpz_get_str(NULL, 10, scaled), *part = mpz_get_str(NULL, 10, rest);
        const char *sign = negative ? "-" : "";
        const char *zeros = digits == 0 ? "" : &"000000000000000000"[18 - (digits - strlen(part))];
        return digits == 0 ? pool_format("%s%s", sign, whole)
                           : pool_format("%s%s.%s%s", sign, whole, zeros, part);
    }
    if (mpq_sgn(q) < 0) {
        return NULL;
    }
    if (!mixed) { /* without a unit a mixed number is refused */
        return mpq_get_str(NULL, 10, q);
    }
    mpz_tdiv_qr(scaled, rest, mpq_numref(q), mpq_denref(q));
    char *n = mpz_get_str(NULL, 10, rest), *d = mpz_get_str(NULL, 10, mpq_denref(q));
    if (mpz_sgn(scaled) == 0) {
        return pool_format("%s/%s", n, d);
    }
    return pool_format("%s-%s/%s", mpz_get_str(NULL, 10, scaled), n, d);
}

/* A number in SI units, in a unit of the field's dimension. */
static const char *spell_in(mpq_srcptr si, const char *unit, bool difference)
{
    mpq_t factor, offset;
    mpq_inits(factor, offset, NULL);
    const char *p = unit;
    if (!unit_read(&p, factor, offset)) {
        return NULL;
    }
    mpq_div(factor, si, factor);
    if (!difference) {
        mpq_sub(factor, factor, offset);
    }
    const char *number = spell_plain(factor, true);
    if (number == NULL || strlen(number) > 40) {
        return NULL;
    }
    return pool_format("%s %s", number, unit);
}

static const char *spell_percent(mpq_srcptr si)
{
    mpq_t hundred;
    mpq_init(hundred);
    mpq_set_ui(hundred, 100, 1);
    mpq_mul(hundred, hundred, si);
    const char *number = spell_plain(hundred, false);
    return number == NULL || strchr(number, '/') != NULL ? NULL : pool_format("%s%%", number);
}

const char *spell_number(const Field *field, mpq_srcptr si, Chance *c)
{
    const Spelling *s = spelling_of(field);
    if (same(field->type.dimension, "percent")) {
        return spell_percent(si);
    }
    if (s == NULL) {
        return spell_plain(si, false);
    }
    int units = 0;
    while (units < 5 && s->unit[units] != NULL) {
        units++;
    }
    const char *text = NULL;
    if (chance_in(c, 40)) {
        text = spell_in(si, s->unit[chance(c, (unsigned)units)], false);
    }
    return text != NULL ? text : spell_in(si, s->unit[0], false);
}

/* The size of the usual unit. */
void spell_step(const Field *field, mpq_t step)
{
    const Spelling *s = spelling_of(field);
    mpq_t offset;
    mpq_init(offset);
    mpq_set_ui(step, 1, same(field->type.dimension, "percent") ? 100 : 1);
    if (s != NULL) {
        const char *p = s->unit[0];
        (void)unit_read(&p, step, offset);
    }
}

const char *spell_unit(const Field *field)
{
    const Spelling *s = spelling_of(field);
    return s == NULL ? NULL : s->unit[0];
}

/* The same quantity in another unit; a tolerance keeps its own. As it is where there is no other way. */
const char *spell_again(const Field *field, const char *text, Chance *c)
{
    const Spelling *s = spelling_of(field);
    const char *tolerance = strstr(text, " +- ");
    const char *center = tolerance == NULL ? text : pool_text(text, (size_t)(tolerance - text));
    Quantity q;
    const char *p = center;
    if (s == NULL || !quantity_read(&p, true, true, &q) || *p != '\0') {
        return text;
    }
    int units = 0;
    while (units < 5 && s->unit[units] != NULL) {
        units++;
    }
    for (int tries = 0; tries < 8; tries++) {
        const char *again = spell_in(q.range.lo.v, s->unit[chance(c, (unsigned)units)], false);
        if (again != NULL && strcmp(again, center) != 0) {
            return pool_format("%s%s", again, tolerance == NULL ? "" : tolerance);
        }
    }
    return text;
}

int spell_units(const char *const **dimensions, const char *const **first,
                const char *const **second)
{
    enum { MOST = sizeof SPELLINGS / sizeof SPELLINGS[0] };
    const char **d = ARRAY(const char *, MOST), **a = ARRAY(const char *, MOST),
               **b = ARRAY(const char *, MOST);
    for (int i = 0; i < MOST; i++) {
        d[i] = SPELLINGS[i].dimension;
        a[i] = SPELLINGS[i].unit[0];
        b[i] = SPELLINGS[i].unit[1];
    }
    *dimensions = d;
    *first = a;
    *second = b;
    return MOST;
}
