/* Rational: the arithmetic of exact numbers.
 *
 * Small numbers are computed with 128-bit intermediates, which no product of two of them and
 * no sum of two such products can leave. A result that fits is kept as it is; one that does not
 * is reduced; what then still does not fit becomes a big number: computed by GMP in temporary
 * memory, its limbs then copied into the arena, so that nothing is left to free. Big numbers
 * are always reduced and never fit the small form; small ones need not be reduced.
 *
 * GMP's functions read numbers through views that own no memory (mpz_roinit_n). */
#include "number/rational.h"

#include <string.h>

_Static_assert(sizeof(mp_limb_t) == sizeof(uint64_t) && GMP_NUMB_BITS == 64,
               "one limb must hold one small number");
_Static_assert(sizeof(long) == sizeof(int64_t), "mpz_get_si must reach all small numbers");

struct BigRational {
    mpz_t num; /* read only: never given to a function of GMP that writes */
    mpz_t den;
};

__extension__ typedef unsigned __int128 UWide;

static UWide wide_magnitude(Wide a)
{
    return a < 0 ? -(UWide)a : (UWide)a;
}

static uint64_t gcd64(uint64_t a, uint64_t b)
{
    while (b != 0) {
        uint64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

/* Euclid in 128 bits until both fit in 64, where a division costs a tenth. */
static UWide gcd_wide(UWide a, UWide b)
{
    while (b > UINT64_MAX) {
        UWide rest = a % b;
        a = b;
        b = rest;
    }
    if (b == 0) {
        return a;
    }
    return gcd64((uint64_t)b, (uint64_t)(a % b));
}

static void set_wide(mpz_t out, Wide value)
{
    UWide magnitude = wide_magnitude(value);
    uint64_t limbs[2] = {(uint64_t)magnitude, (uint64_t)(magnitude >> 64)};
    mpz_import(out, 2, -1, sizeof limbs[0], 0, 0, limbs);
    if (value < 0) {
        mpz_neg(out, out);
    }
}

Rational rational_from_wide_big(Arena *arena, Wide num, Wide den)
{
    Wide shared = (Wide)gcd_wide(wide_magnitude(num), (UWide)den);
    num /= shared;
    den /= shared;
    if (num >= INT64_MIN && num <= INT64_MAX && den <= INT64_MAX) {
        return RATIONAL((int64_t)num, (int64_t)den);
    }
    mpq_t value;
    mpq_init(value);
    set_wide(mpq_numref(value), num);
    set_wide(mpq_denref(value), den);
    Rational result = rational_from_mpq(arena, value);
    mpq_clear(value);
    return result;
}

Rational rational_reduce(Arena *arena, Rational a)
{
    (void)arena; /* reducing never makes a number big */
    if (a.den > 1) {
        uint64_t magnitude = a.num < 0 ? -(uint64_t)a.num : (uint64_t)a.num;
        int64_t shared = (int64_t)gcd64((uint64_t)a.den, magnitude);
        return RATIONAL(a.num / shared, a.den / shared);
    }
    return a;
}

/* A reduced rational that GMP can read without allocation or copy; valid while the view and
 * the rational's arena live. */
typedef struct View {
    mpq_t value;
    mp_limb_t limbs[2];
} View;

static void view_make(View *view, Rational a)
{
    if (a.den == 0) {
        *mpq_numref(view->value) = *a.big->num;
        *mpq_denref(view->value) = *a.big->den;
        return;
    }
    a = rational_reduce(NULL, a);
    view->limbs[0] = a.num < 0 ? -(uint64_t)a.num : (uint64_t)a.num;
    view->limbs[1] = (uint64_t)a.den;
    (void)mpz_roinit_n(mpq_numref(view->value), &view->limbs[0], a.num < 0 ? -1 : a.num > 0);
    (void)mpz_roinit_n(mpq_denref(view->value), &view->limbs[1], 1);
}

void rational_to_mpq(Rational a, mpq_t out)
{
    View view;
    view_make(&view, a);
    mpq_set(out, view.value);
}

static void copy_limbs(Arena *arena, mpz_t out, const mpz_t in)
{
    size_t count = mpz_size(in);
    mp_limb_t *limbs = arena_alloc_raw(arena, count * sizeof(mp_limb_t));
    memcpy(limbs, mpz_limbs_read(in), count * sizeof(mp_limb_t));
    mp_size_t size = (mp_size_t)count;
    (void)mpz_roinit_n(out, limbs, mpz_sgn(in) < 0 ? -size : size);
}

Rational rational_from_mpq(Arena *arena, const mpq_t in)
{
    if (mpz_fits_slong_p(mpq_numref(in)) && mpz_fits_slong_p(mpq_denref(in))) {
        return RATIONAL(mpz_get_si(mpq_numref(in)), mpz_get_si(mpq_denref(in)));
    }
    BigRational *big = ARENA_NEW(arena, BigRational);
    copy_limbs(arena, big->num, mpq_numref(in));
    copy_limbs(arena, big->den, mpq_denref(in));
    return (Rational){.den = 0, .big = big};
}

int rational_order_big(Rational a, Rational b)
{
    View left;
    View right;
    view_make(&left, a);
    view_make(&right, b);
    int order = mpq_cmp(left.value, right.value);
    return (order > 0) - (order < 0);
}

int rational_sign(Rational a)
{
    if (a.den == 0) {
        return mpz_sgn(a.big->num);
    }
    return (a.num > 0) - (a.num < 0);
}

bool rational_is_whole(Rational a)
{
    return a.den == 0 ? mpz_cmp_ui(a.big->den, 1) == 0 : a.num % a.den == 0;
}

typedef void (*MpqFunction)(mpq_ptr, mpq_srcptr, mpq_srcptr);

static Rational compute(Arena *arena, MpqFunction function, Rational a, Rational b)
{
    View left;
    View right;
    view_make(&left, a);
    view_make(&right, b);
    mpq_t value;
    mpq_init(value);
    function(value, left.value, right.value);
    Rational result = rational_from_mpq(arena, value);
    mpq_clear(value);
    return result;
}

Rational rational_add_big(Arena *arena, Rational a, Rational b)
{
    return compute(arena, mpq_add, a, b);
}

Rational rational_mul_big(Arena *arena, Rational a, Rational b)
{
    return compute(arena, mpq_mul, a, b);
}

Rational rational_sub(Arena *arena, Rational a, Rational b)
{
    if (a.den == 0 || b.den == 0) {
        return compute(arena, mpq_sub, a, b);
    }
    if (a.den == b.den) {
        return rational_from_wide(arena, (Wide)a.num - b.num, a.den);
    }
    return rational_from_wide(arena, (Wide)a.num * b.den - (Wide)b.num * a.den,
                              (Wide)a.den * b.den);
}

Rational rational_div(Arena *arena, Rational a, Rational b)
{
    if (a.den == 0 || b.den == 0) {
        return compute(arena, mpq_div, a, b);
    }
    Wide num = (Wide)a.num * b.den;
    Wide den = (Wide)a.den * b.num;
    return den < 0 ? rational_from_wide(arena, -num, -den) : rational_from_wide(arena, num, den);
}

Rational rational_negate(Arena *arena, Rational a)
{
    return rational_sub(arena, RATIONAL_ZERO, a);
}

Rational rational_power(Arena *arena, Rational a, unsigned exponent)
{
    Rational result = RATIONAL_ONE;
    a = rational_reduce(arena, a);
    while (exponent > 0) {
        if (exponent % 2 == 1) {
            result = rational_mul(arena, result, a);
        }
        exponent /= 2;
        if (exponent > 0) {
            a = rational_mul(arena, a, a);
        }
    }
    return result;
}

typedef void (*MpzDivision)(mpz_ptr, mpz_srcptr, mpz_srcptr);

static Rational divide_whole(Arena *arena, MpzDivision division, const BigRational *a)
{
    mpq_t value;
    mpq_init(value);
    division(mpq_numref(value), a->num, a->den);
    Rational result = rational_from_mpq(arena, value);
    mpq_clear(value);
    return result;
}

Rational rational_floor(Arena *arena, Rational a)
{
    if (a.den == 0) {
        return divide_whole(arena, mpz_fdiv_q, a.big);
    }
    int64_t whole = a.num / a.den; /* toward zero */
    return RATIONAL(whole - (a.num % a.den < 0), 1);
}

Rational rational_ceil(Arena *arena, Rational a)
{
    if (a.den == 0) {
        return divide_whole(arena, mpz_cdiv_q, a.big);
    }
    int64_t whole = a.num / a.den;
    return RATIONAL(whole + (a.num % a.den > 0), 1);
}
