/* Dates: the proleptic Gregorian calendar as day numbers, and partial dates as spans of days.
 *
 * The calendar repeats every 400 years (146,097 days). Counting years from March puts the leap
 * day last, so that the days before a month follow from one division. */
#include "number/date.h"

enum {
    DAYS_400_YEARS = 146097,
    DAYS_TO_1970 = 719468, /* from 0000-03-01 */
    YEAR_LEN = 4,
    MONTH_LEN = 7, /* "2025-07" */
    DATE_LEN = 10
};

static bool is_leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int month_days(int year, int month)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return month == 2 && is_leap(year) ? 29 : days[month - 1];
}

Day date_day(int year, int month, int day)
{
    int from_march = (month + 9) % 12; /* March is 0 */
    int y = month <= 2 ? year - 1 : year;
    int era = (y >= 0 ? y : y - 399) / 400;
    int year_of_era = y - era * 400;
    int day_of_year = (153 * from_march + 2) / 5 + day - 1;
    int day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    return era * DAYS_400_YEARS + day_of_era - DAYS_TO_1970;
}

Text date_print(Arena *arena, Day day)
{
    int64_t since = (int64_t)day + DAYS_TO_1970;
    int64_t era = (since >= 0 ? since : since - (DAYS_400_YEARS - 1)) / DAYS_400_YEARS;
    int day_of_era = (int)(since - era * DAYS_400_YEARS);
    /* Take out the leap days before this one, to divide by years of equal length. */
    int leaps = day_of_era / 1460 - day_of_era / 36524 + day_of_era / (DAYS_400_YEARS - 1);
    int year_of_era = (day_of_era - leaps) / 365;
    int day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    int from_march = (5 * day_of_year + 2) / 153;
    int month = from_march < 10 ? from_march + 3 : from_march - 9;
    int year = (int)(era * 400) + year_of_era + (month <= 2);
    return text_format(arena, "%04d-%02d-%02d", year, month,
                       day_of_year - (153 * from_march + 2) / 5 + 1);
}

/* Reads exactly `count` digits. */
static bool read_digits(Text text, size_t at, size_t count, int *value)
{
    *value = 0;
    for (size_t i = at; i < at + count; i++) {
        if (!ascii_is_digit(text.data[i])) {
            return false;
        }
        *value = *value * 10 + (text.data[i] - '0');
    }
    return true;
}

/* Splits the digits, 0 standing for a month or day that is not written. */
static bool read_parts(Text text, int *year, int *month, int *day)
{
    *month = *day = 0;
    if (text.len != YEAR_LEN && text.len != MONTH_LEN && text.len != DATE_LEN) {
        return false;
    }
    bool good = read_digits(text, 0, 4, year);
    if (good && text.len >= MONTH_LEN) {
        good = text.data[4] == '-' && read_digits(text, 5, 2, month);
    }
    if (good && text.len == DATE_LEN) {
        good = text.data[7] == '-' && read_digits(text, 8, 2, day);
    }
    return good;
}

bool date_parse(Text text, Day *first, Day *last, const char **reason)
{
    int year = 0;
    int month = 0;
    int day = 0;
    *reason = NULL;
    if (!read_parts(text, &year, &month, &day)) {
        *reason = "a date is written year-month-day, as 2025-07-01, 2025-07 or 2025";
    } else if (year == 0) {
        *reason = "there is no year 0";
    } else if (text.len >= MONTH_LEN && (month < 1 || month > 12)) {
        *reason = "months are numbered 01 to 12";
    } else if (text.len == DATE_LEN && (day < 1 || day > month_days(year, month))) {
        *reason = month == 2 && day == 29 ? "February has 28 days in that year"
                                          : "that month has no such day";
    }
    if (*reason != NULL) {
        return false;
    }
    int last_month = month == 0 ? 12 : month;
    *first = date_day(year, month == 0 ? 1 : month, day == 0 ? 1 : day);
    *last = date_day(year, last_month, day == 0 ? month_days(year, last_month) : day);
    return true;
}

Range date_range(Day first, Day last)
{
    return range_between(RATIONAL(first, 1), RATIONAL(last, 1));
}
