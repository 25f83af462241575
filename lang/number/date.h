/* Calendar dates as day numbers (proleptic Gregorian), and partial dates as ranges of days. */
#ifndef NUMBER_DATE_H
#define NUMBER_DATE_H

#include "number/range.h"

typedef int32_t Day; /* days since 1970-01-01 */

/* "2025-07-01", "2025-07" or "2025" gives first and last day (equal for a full date). Refuses
 * days that do not exist; *reason says why. */
bool date_parse(Text text, Day *first, Day *last, const char **reason);
Day date_day(int year, int month, int day);
Text date_print(Arena *arena, Day day); /* "2025-07-01" */
Range date_range(Day first, Day last);  /* in days, for comparisons */

#endif
