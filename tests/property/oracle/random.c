/* Chance that is the same for the same seed, and a text that grows. */
#include "cases.h"

#include <stdio.h>
#include <string.h>

/* splitmix64 */
unsigned chance(Chance *c, unsigned below)
{
    uint64_t x = c->state + 0x9e3779b97f4a7c15U;
    c->state = x;
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9U;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebU;
    x ^= x >> 31;
    return (unsigned)(x % below);
}

bool chance_in(Chance *c, unsigned percent)
{
    return chance(c, 100) < percent;
}

void writef(Writer *w, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    int length = vsnprintf(NULL, 0, format, args);
    va_end(args);
    size_t want = w->length + (size_t)length + 1;
    if (want > w->room) {
        char *old = w->text;
        w->room = want * 2;
        w->text = pool_get(w->room);
        if (old != NULL) {
            memcpy(w->text, old, w->length);
        }
    }
    va_start(args, format);
    (void)vsnprintf(w->text + w->length, w->room - w->length, format, args);
    va_end(args);
    w->length += (size_t)length;
}
