/* Paths as the system knows them: links followed, dots resolved. The one file that needs an
 * interface of X/Open beside POSIX. */
#define _XOPEN_SOURCE 700 /* NOLINT(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp) */
#include <stdlib.h>
#include <string.h>

#include "command/command.h"

const char *path_full(Arena *arena, const char *path)
{
    char *full = realpath(path, NULL);
    const char *kept = full == NULL ? NULL : text_string(arena, text_of(full));
    free(full);
    return kept;
}

const char *path_shortened(Arena *arena, const char *path)
{
    const char *here = path_full(arena, ".");
    const char *full = path_full(arena, path);
    if (here == NULL || full == NULL) {
        return path;
    }
    size_t len = strlen(here);
    return strncmp(full, here, len) == 0 && full[len] == '/' ? full + len + 1 : full;
}
