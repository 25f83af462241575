/* Rational: roots. Exact when both parts of the reduced fraction are perfect powers; otherwise
 * an enclosure by MPFR, whose roots are correctly rounded, toward each side. */
#include "number/rational.h"

#include <mpfr.h>

enum { ROOT_BITS = 128 }; /* 38 digits: far below any tolerance, and one small multiplication */

bool rational_root_exact(Arena *arena, Rational a, unsigned degree, Rational *root)
{
    mpq_t value;
    mpq_init(value);
    rational_to_mpq(a, value);
    bool exact = mpz_root(mpq_numref(value), mpq_numref(value), degree) != 0;
    exact = mpz_root(mpq_denref(value), mpq_denref(value), degree) != 0 && exact;
    if (exact) {
        *root = rational_from_mpq(arena, value);
    }
    mpq_clear(value);
    return exact;
}

/* The root rounded to one side. The function rises, so an argument rounded to a side gives a
 * root on that side. */
static Rational round_root(Arena *arena, mpq_t value, unsigned degree, mpfr_rnd_t side)
{
    mpfr_t root;
    mpq_t exact;
    mpfr_init2(root, ROOT_BITS);
    mpq_init(exact);
    mpfr_set_q(root, value, side);
    mpfr_rootn_ui(root, root, degree, side);
    mpfr_get_q(exact, root);
    Rational result = rational_from_mpq(arena, exact);
    mpq_clear(exact);
    mpfr_clear(root);
    return result;
}

void rational_root_bounds(Arena *arena, Rational a, unsigned degree, Rational *low, Rational *high)
{
    mpq_t value;
    mpq_init(value);
    rational_to_mpq(a, value);
    *low = round_root(arena, value, degree, MPFR_RNDD);
    *high = round_root(arena, value, degree, MPFR_RNDU);
    mpq_clear(value);
    mpfr_free_cache(); /* the constants that MPFR keeps for each thread */
}
