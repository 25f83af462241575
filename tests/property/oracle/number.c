/* Ranges of exact numbers. An end is a rational, a root of a rational, or no end at all; it may be
 * open. Rationals are compared as they are, a root with a rational by powers, and two roots by
 * enclosures far finer than any spec. 0 times infinity is 0. */
#include "oracle.h"

#include <stdio.h>
#include <string.h>

enum { ROOT_BITS = 256 };

static End end_make(mpq_srcptr v, bool open)
{
    End e = {.root = 1, .inf = false, .open = open};
    mpq_init(e.v);
    mpq_set(e.v, v);
    return e;
}

static End end_zero(bool open)
{
    End e = {.root = 1, .inf = false, .open = open};
    mpq_init(e.v);
    return e;
}

static End end_none(void)
{
    End e = end_zero(true);
    e.inf = true;
    return e;
}

Range range_ends(mpq_srcptr lo, mpq_srcptr hi)
{
    return (Range){.lo = end_make(lo, false), .hi = end_make(hi, false)};
}

Range range_of(mpq_srcptr value)
{
    return range_ends(value, value);
}

Range range_whole_line(void)
{
    return (Range){.lo = end_none(), .hi = end_none()};
}

Range range_small(long numerator, unsigned long denominator)
{
    mpq_t q;
    mpq_init(q);
    mpq_set_si(q, numerator, denominator);
    mpq_canonicalize(q);
    return range_of(q);
}

/* lower <= v^(1/n) < upper */
static void root_enclose(mpq_srcptr v, unsigned long n, mpq_t lower, mpq_t upper)
{
    mpz_t z;
    mpz_init(z);
    mpz_mul_2exp(z, mpq_numref(v), n * ROOT_BITS);
    mpz_fdiv_q(z, z, mpq_denref(v));
    mpz_root(z, z, n);
    mpq_set_z(lower, z);
    mpq_div_2exp(lower, lower, ROOT_BITS);
    mpz_add_ui(z, z, 1);
    mpq_set_z(upper, z);
    mpq_div_2exp(upper, upper, ROOT_BITS);
}

static void mpq_power(mpq_t out, mpq_srcptr v, unsigned long n)
{
    mpz_pow_ui(mpq_numref(out), mpq_numref(v), n);
    mpz_pow_ui(mpq_denref(out), mpq_denref(v), n);
}

static int sign_of(int n)
{
    return (n > 0) - (n < 0);
}

/* A root (of a positive number) against a rational. */
static int root_order(const End *root, mpq_srcptr q)
{
    if (mpq_sgn(q) <= 0) {
        return 1;
    }
    mpq_t power;
    mpq_init(power);
    mpq_power(power, q, root->root);
    return sign_of(mpq_cmp(root->v, power));
}

static int roots_order(const End *a, const End *b)
{
    mpq_t a_lo, a_hi, b_lo, b_hi;
    mpq_inits(a_lo, a_hi, b_lo, b_hi, NULL);
    root_enclose(a->v, a->root, a_lo, a_hi);
    root_enclose(b->v, b->root, b_lo, b_hi);
    return mpq_cmp(a_hi, b_lo) <= 0 ? -1 : mpq_cmp(b_hi, a_lo) <= 0 ? 1 : UNDECIDED;
}

int end_order(const End *a, int a_side, const End *b, int b_side)
{
    if (a->inf || b->inf) {
        return sign_of((a->inf ? a_side : 0) - (b->inf ? b_side : 0));
    }
    if (a->root == 1 && b->root == 1) {
        return sign_of(mpq_cmp(a->v, b->v));
    }
    if (b->root == 1) {
        return root_order(a, b->v);
    }
    return a->root == 1 ? -root_order(b, a->v) : roots_order(a, b);
}

bool range_exact(const Range *r)
{
    return !r->lo.inf && !r->hi.inf && r->lo.root == r->hi.root && mpq_equal(r->lo.v, r->hi.v) != 0;
}

bool range_is_zero(const Range *r)
{
    return range_exact(r) && mpq_sgn(r->lo.v) == 0;
}

Range range_rational(Range r, bool *rooted)
{
    mpq_t lower, upper;
    if (r.lo.root > 1) {
        mpq_inits(lower, upper, NULL);
        root_enclose(r.lo.v, r.lo.root, lower, upper);
        r.lo = end_make(lower, false);
        *rooted = true;
    }
    if (r.hi.root > 1) {
        mpq_inits(lower, upper, NULL);
        root_enclose(r.hi.v, r.hi.root, lower, upper);
        r.hi = end_make(upper, false);
        *rooted = true;
    }
    return r;
}

static End end_add(const End *a, const End *b)
{
    if (a->inf || b->inf) {
        return end_none();
    }
    End e = end_zero(a->open || b->open);
    mpq_add(e.v, a->v, b->v);
    return e;
}

Range range_add(Range a, Range b)
{
    bool rooted = false;
    a = range_rational(a, &rooted);
    b = range_rational(b, &rooted);
    return (Range){.lo = end_add(&a.lo, &b.lo), .hi = end_add(&a.hi, &b.hi)};
}

static End end_minus(End e)
{
    End m = end_zero(e.open);
    m.inf = e.inf;
    mpq_neg(m.v, e.v);
    return m;
}

Range range_minus(Range a)
{
    bool rooted = false;
    a = range_rational(a, &rooted);
    return (Range){.lo = end_minus(a.hi), .hi = end_minus(a.lo)};
}

/* A number that may lie without bound on either side. */
typedef struct Reach {
    int without; /* -1, 0, 1 */
    End end;
} Reach;

static Reach reach_product(const End *a, int a_side, const End *b, int b_side)
{
    int sa = a->inf ? a_side : mpq_sgn(a->v), sb = b->inf ? b_side : mpq_sgn(b->v);
    if (sa == 0 || sb == 0) {
        bool reached = (sa == 0 && !a->open) || (sb == 0 && !b->open);
        return (Reach){0, end_zero(!reached)};
    }
    if (a->inf || b->inf) {
        return (Reach){sa * sb, end_none()};
    }
    Reach r = {0, end_zero(a->open || b->open)};
    mpq_mul(r.end.v, a->v, b->v);
    return r;
}

static int reach_order(const Reach *a, const Reach *b)
{
    return a->without != 0 || b->without != 0 ? sign_of(a->without - b->without)
                                              : mpq_cmp(a->end.v, b->end.v);
}

Range range_multiply(Range a, Range b)
{
    bool rooted = false;
    a = range_rational(a, &rooted);
    b = range_rational(b, &rooted);
    Reach r[] = {reach_product(&a.lo, -1, &b.lo, -1), reach_product(&a.lo, -1, &b.hi, 1),
                 reach_product(&a.hi, 1, &b.lo, -1), reach_product(&a.hi, 1, &b.hi, 1)};
    Reach least = r[0], most = r[0];
    for (int i = 1; i < 4; i++) {
        int low = reach_order(&r[i], &least), high = reach_order(&r[i], &most);
        if (low < 0 || (low == 0 && !r[i].end.open)) {
            least = r[i];
        }
        if (high > 0 || (high == 0 && !r[i].end.open)) {
            most = r[i];
        }
    }
    return (Range){.lo = least.end, .hi = most.end};
}

static int end_sign(const End *e, int side)
{
    return e->inf ? side : mpq_sgn(e->v);
}

bool range_has_zero(const Range *r)
{
    int lo = end_sign(&r->lo, -1), hi = end_sign(&r->hi, 1);
    return (lo < 0 && hi > 0) || (lo == 0 && !r->lo.open) || (hi == 0 && !r->hi.open);
}

static End end_inverse(const End *e)
{
    if (e->inf) {
        return end_zero(true);
    }
    if (mpq_sgn(e->v) == 0) {
        return end_none();
    }
    End i = end_zero(e->open);
    mpq_inv(i.v, e->v);
    return i;
}

Range range_inverse(Range r)
{
    bool rooted = false;
    r = range_rational(r, &rooted);
    if (end_sign(&r.lo, -1) < 0 && end_sign(&r.hi, 1) > 0) {
        return range_whole_line();
    }
    return (Range){.lo = end_inverse(&r.hi), .hi = end_inverse(&r.lo)};
}

/* The lesser of two ends on one side; of two that meet, the open one when `tight`. */
static End end_pick(const End *a, const End *b, int side, int want, bool tight)
{
    int order = end_order(a, side, b, side);
    if (order == 0 || order == UNDECIDED) {
        return (a->open == tight) ? *a : *b;
    }
    return order == want ? *a : *b;
}

Range range_max(Range a, Range b)
{
    return (Range){.lo = end_pick(&a.lo, &b.lo, -1, 1, true),
                   .hi = end_pick(&a.hi, &b.hi, 1, 1, false)};
}

Range range_min(Range a, Range b)
{
    return (Range){.lo = end_pick(&a.lo, &b.lo, -1, -1, false),
                   .hi = end_pick(&a.hi, &b.hi, 1, -1, true)};
}

Range range_hull(Range a, Range b)
{
    return (Range){.lo = end_pick(&a.lo, &b.lo, -1, -1, false),
                   .hi = end_pick(&a.hi, &b.hi, 1, 1, false)};
}

Range range_cut(Range a, const Range *bounds)
{
    return (Range){.lo = end_pick(&a.lo, &bounds->lo, -1, 1, true),
                   .hi = end_pick(&a.hi, &bounds->hi, 1, -1, true)};
}

static End end_power(const End *e, unsigned long p)
{
    End out = end_zero(e->open);
    out.inf = e->inf;
    mpq_power(out.v, e->v, p);
    return out;
}

/* A whole power, which is monotone on either side of zero. */
static Range range_whole_power(Range x, unsigned long p)
{
    int lo = end_sign(&x.lo, -1), hi = end_sign(&x.hi, 1);
    Range out = {.lo = end_power(&x.lo, p), .hi = end_power(&x.hi, p)};
    if (p % 2 == 1 || lo >= 0) {
        return out;
    }
    if (hi <= 0) {
        return (Range){.lo = out.hi, .hi = out.lo};
    }
    return (Range){.lo = end_zero(false), .hi = end_pick(&out.lo, &out.hi, 1, 1, false)};
}

static End end_root(const End *e, unsigned long q)
{
    End out = *e;
    if (e->inf || q == 1 || mpq_sgn(e->v) == 0) {
        return out;
    }
    mpz_t n, d;
    mpz_inits(n, d, NULL);
    if (mpz_root(n, mpq_numref(e->v), q) != 0 && mpz_root(d, mpq_denref(e->v), q) != 0) {
        mpq_init(out.v);
        mpq_set_num(out.v, n);
        mpq_set_den(out.v, d);
        return out;
    }
    out.root = q;
    return out;
}

Range range_power(Range x, long p, unsigned long q, bool *broken, bool *nothing)
{
    bool rooted = false;
    x = range_rational(x, &rooted);
    if (p < 0) {
        *nothing = *nothing || range_is_zero(&x);
        *broken = *broken || range_has_zero(&x);
        if (*nothing) {
            return x;
        }
        x = range_inverse(x);
        p = -p;
    }
    if (q == 1) {
        return range_whole_power(x, (unsigned long)p);
    }
    int hi = end_sign(&x.hi, 1);
    if (hi < 0 || (hi == 0 && x.hi.open)) {
        *nothing = true;
        return x;
    }
    if (end_sign(&x.lo, -1) < 0) {
        *broken = true;
        x.lo = end_zero(false);
    }
    x = range_whole_power(x, (unsigned long)p);
    return (Range){.lo = end_root(&x.lo, q), .hi = end_root(&x.hi, q)};
}

static End end_round(const End *e, mpq_srcptr step, Rounding how)
{
    if (e->inf) {
        return *e;
    }
    End out = end_zero(false);
    mpq_t half, twice;
    mpq_inits(half, twice, NULL);
    mpq_div(out.v, e->v, step);
    if (how == ROUND_HALF_UP || how == ROUND_HALF_EVEN) {
        mpq_set_ui(half, 1, 2);
        mpq_add(out.v, out.v, half);
    }
    mpz_t z;
    mpz_init(z);
    if (how == ROUND_UP) {
        mpz_cdiv_q(z, mpq_numref(out.v), mpq_denref(out.v));
    } else {
        mpz_fdiv_q(z, mpq_numref(out.v), mpq_denref(out.v));
        bool tie = mpz_cmp_ui(mpq_denref(out.v), 1) == 0;
        if (how == ROUND_HALF_EVEN && tie && mpz_odd_p(z)) {
            mpz_sub_ui(z, z, 1);
        }
    }
    mpq_set_z(out.v, z);
    mpq_mul(out.v, out.v, step);
    return out;
}

Range range_round(Range r, mpq_srcptr step, Rounding how)
{
    bool rooted = false;
    r = range_rational(r, &rooted);
    return (Range){.lo = end_round(&r.lo, step, how), .hi = end_round(&r.hi, step, how)};
}

/* Can some number of a be less than some number of b? */
static bool can_be_less(const Range *a, const Range *b, bool or_equal)
{
    int order = end_order(&a->lo, -1, &b->hi, 1);
    return order < 0 || order == UNDECIDED ||
           (order == 0 && or_equal && !a->lo.open && !b->hi.open);
}

unsigned range_less(const Range *a, const Range *b, bool or_equal)
{
    return (can_be_less(a, b, or_equal) ? (unsigned)CAN_YES : 0) |
           (can_be_less(b, a, !or_equal) ? (unsigned)CAN_NO : 0);
}

unsigned range_equal(const Range *a, const Range *b)
{
    bool meet = can_be_less(a, b, true) && can_be_less(b, a, true);
    bool differ = can_be_less(a, b, false) || can_be_less(b, a, false);
    return (meet ? (unsigned)CAN_YES : 0) | (differ ? (unsigned)CAN_NO : 0);
}

char *end_show(const End *e)
{
    if (e->inf) {
        return pool_format("inf");
    }
    char *v = mpq_get_str(NULL, 10, e->v);
    return e->root > 1 ? pool_format("root %lu of %s", e->root, v) : v;
}
