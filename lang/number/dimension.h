/* What unit.c asks of dimension.c beyond unit.h. */
#ifndef NUMBER_DIMENSION_H
#define NUMBER_DIMENSION_H

#include "number/unit.h"

/* The spelling of the unit in which a dimension is shown; empty when the table names none. */
Text dimension_default_unit(Dimension a);

/* "kg m2/s3": the coherent SI unit, for display only. */
Text dimension_coherent_unit(Arena *arena, Dimension a);

#endif
