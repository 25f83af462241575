/* Whether two pieces of checked code, of one vocabulary, are the same calculation. */
#ifndef LAW_SAME_H
#define LAW_SAME_H

#include "law/code.h"

enum { SAME_STEPS_MAX = 2000, SAME_BOUND_MAX = 64 };

/* Slots of the two sides that stand for the same item or argument; zeroed at first. */
typedef struct Same {
    uint32_t a[SAME_BOUND_MAX], b[SAME_BOUND_MAX];
    uint32_t count;
    uint32_t steps;
} Same;

bool same_bind(Same *same, uint32_t a, uint32_t b); /* false when there are too many */
bool same_code(Same *same, const Code *a, const Code *b);
bool same_value(const Value *a, const Value *b); /* of constants, and of what is exact */

#endif
