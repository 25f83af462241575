/* The reader of the number part of a quantity, shared by quantity_number.c and quantity_scan.c. */
#ifndef NUMBER_QUANTITY_NUMBER_H
#define NUMBER_QUANTITY_NUMBER_H

#include "number/quantity.h"

enum { QUANTITY_DIGITS_MAX = 60 }; /* no measure has more; keeps hostile input cheap */

typedef struct Scan {
    Arena *arena;
    Text text;
    QuantityStyle style;
    QuantityFault *fault;
} Scan;

/* A number as written. */
typedef struct Written {
    Rational value;
    Rational step; /* one in its last place */
    uint8_t decimals;
    bool negative;
    bool fraction;
    bool mixed;
    bool percent;
} Written;

/* Sets the fault; always 0, so that a reader can `return scan_fault(...)`. A hint of NULL is
 * none. */
size_t scan_fault(Scan *scan, size_t start, size_t end, const char *hint, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

char scan_char(const Scan *scan, size_t at);                  /* zero beyond the end */
Text scan_slice(const Scan *scan, size_t start, size_t end);  /* of the text */
uint32_t scan_code(const Scan *scan, size_t at, size_t *len); /* code point; 0 beyond the end */
size_t scan_blanks(const Scan *scan, size_t at);              /* the place after them */
bool scan_is_number(const Scan *scan, size_t at);             /* does an unsigned one start here? */

/* Reads the number at `at` with its sign and percent sign; the place after it, 0 on a fault. */
size_t scan_number(Scan *scan, size_t at, Written *out);

#endif
