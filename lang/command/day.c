/* Days: the one that an option names, and today. */
#include <stdlib.h>
#include <time.h>

#include "command/command.h"

bool read_day(const Run *run, const char *name, bool *given, Day *day)
{
    const char *value = last_value(&run->arguments, name);
    Day last = 0;
    const char *reason = "";
    *given = false;
    if (value == NULL) {
        return true;
    }
    if (!date_parse(text_of(value), day, &last, &reason)) {
        (void)misuse(run, "%s: '%s' is no date: %s", name, value, reason);
        return false;
    }
    if (*day != last) {
        (void)misuse(run, "%s wants a whole date such as 2025-07-01, not '%s'", name, value);
        return false;
    }
    *given = true;
    return true;
}

/* Where the program runs; SOURCE_DATE_EPOCH, in universal time, where it is set. */
Day today(void)
{
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    struct tm now = {0};
    time_t at = time(NULL);
    if (epoch != NULL && epoch[0] != '\0') {
        at = (time_t)strtoll(epoch, NULL, 10);
        (void)gmtime_r(&at, &now);
    } else {
        (void)localtime_r(&at, &now);
    }
    return date_day(now.tm_year + 1900, now.tm_mon + 1, now.tm_mday);
}
