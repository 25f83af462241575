/* Memory, numbers and quantities of the oracle. */
#ifndef ORACLE_BASICS_H
#define ORACLE_BASICS_H

#include <gmp.h>
#include <jansson.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* ---- pool.c: memory that is never freed singly, and the end of the program ---- */

#define NEW(Type) ((Type *)pool_get(sizeof(Type)))
#define ARRAY(Type, count) ((Type *)pool_get(sizeof(Type) * (size_t)(count)))

void pool_start(void); /* also gives GMP its memory */
void *pool_get(size_t size);
size_t pool_mark(void);
void pool_reset(size_t mark); /* forgets all that was taken since the mark */
char *pool_text(const char *start, size_t length);
char *pool_format(const char *format, ...) __attribute__((format(printf, 1, 2)));
_Noreturn void give_up(const char *format, ...) __attribute__((format(printf, 1, 2)));
bool same(const char *a, const char *b); /* two NULLs are the same */

/* A list that grows in the pool. */
typedef struct Vec {
    void **at;
    int n, room;
} Vec;
void vec_add(Vec *vec, void *thing);

/* ---- number.c: ends and ranges ---- */

/* The root-th root of v; closed unless open; inf means without bound (v is then not read). */
typedef struct End {
    mpq_t v;
    unsigned long root;
    bool inf, open;
} End;

typedef struct Range {
    End lo, hi;
} Range;

enum { UNDECIDED = 2 };

Range range_of(mpq_srcptr value);
Range range_ends(mpq_srcptr lo, mpq_srcptr hi);
Range range_whole_line(void);
Range range_small(long numerator, unsigned long denominator);
bool range_exact(const Range *r);
bool range_is_zero(const Range *r);
int end_order(const End *a, int a_side, const End *b, int b_side); /* -1 0 1 or UNDECIDED */
Range range_rational(Range r, bool *rooted);                       /* roots enclosed by rationals */
Range range_add(Range a, Range b);
Range range_minus(Range a);
Range range_multiply(Range a, Range b);
bool range_has_zero(const Range *r);
Range range_inverse(Range r); /* of its part other than zero */
Range range_max(Range a, Range b);
Range range_min(Range a, Range b);
Range range_hull(Range a, Range b);
Range range_cut(Range a, const Range *bounds);
Range range_power(Range x, long p, unsigned long q, bool *broken, bool *nothing);
typedef enum Rounding { ROUND_UP, ROUND_DOWN, ROUND_HALF_UP, ROUND_HALF_EVEN } Rounding;
Range range_round(Range r, mpq_srcptr step, Rounding how);
unsigned range_less(const Range *a, const Range *b, bool or_equal); /* what a < b can be */
unsigned range_equal(const Range *a, const Range *b);
char *end_show(const End *e);

/* ---- units.c: quantities as people write them ---- */

typedef struct Quantity {
    Range range;
    bool bare;      /* a number without unit */
    bool tolerance; /* written with +- */
} Quantity;

bool number_read(const char **at, mpq_t out, bool spaced); /* spaced: 6 1/2 may be written */
bool unit_read(const char **at, mpq_t factor, mpq_t offset);
bool quantity_read(const char **at, bool in_spec, bool joined, Quantity *out);
bool unit_apply(const char *unit, mpq_srcptr number, mpq_t out);

/* ---- dates ---- */

long date_days(long year, long month, long day);
bool date_read(const char **at, Range *out); /* seconds since 1970; a partial date is a range */

#endif
