/* From paths to the sources of rule files. Only library.c includes this. */
#ifndef LAW_LIBRARY_PATHS_H
#define LAW_LIBRARY_PATHS_H

#include "base/diagnostic.h"

/* Reads the files, and every *.shall in the directories and below them; each file once, in byte
 * order of path. What cannot be read is an error. */
const Source **library_sources(Arena *arena, const char *const *paths, size_t count,
                               size_t *file_count, Diagnostics *diags);

#endif
