/* Finds the rule files: files as they are named, directories with all that is below them.
 *
 * Gives each file once, in byte order of path, however often and in whatever order it was named.
 * Names that begin with a dot are passed over in directories: they are the files of editors and
 * version control. A directory without a rule file is an error, as is one that cannot be read;
 * reading goes on with the others. */
#include "law/library_paths.h"

#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/name.h"

enum { DIRECTORIES_DEEP_MAX = 64 }; /* each holds one open: well below what a process may */

static const Place NOWHERE = {NULL, {0, 0}};

typedef struct Path {
    Text text; /* ended by a zero byte */
    struct Path *next;
} Path;

typedef struct Walk {
    Arena *arena;
    Diagnostics *diags;
    Path *first;
    size_t count;
} Walk;

/* A directory that is being read, and the one it is in. */
typedef struct Above {
    const struct Above *above;
    dev_t device;
    ino_t file;
    uint32_t depth;
} Above;

static void report_unreadable(Walk *walk, Text path, int error)
{
    char words[256];
    if (strerror_r(error, words, sizeof words) != 0) {
        words[0] = '\0';
    }
    diagnostic_error(walk->diags, "unreadable file", NOWHERE, "'%.*s' cannot be read: %s",
                     TEXT_ARG(path), words);
}

static void add_path(Walk *walk, Text text)
{
    Path *path = ARENA_NEW(walk->arena, Path);
    path->text = text;
    path->next = walk->first;
    walk->first = path;
    walk->count++;
}

static bool is_inside(const Above *above, const struct stat *about)
{
    for (; above != NULL; above = above->above) {
        if (above->device == about->st_dev && above->file == about->st_ino) {
            return true;
        }
    }
    return false;
}

static void walk_directory(Walk *walk, Text path, const struct stat *about, const Above *above);

static void walk_entry(Walk *walk, Text path, const Above *above)
{
    struct stat about;
    if (stat(path.data, &about) != 0) {
        if (text_ends(path, TEXT(".shall"))) {
            report_unreadable(walk, path, errno);
        }
        return; /* a dangling link to something else is no business of ours */
    }
    if (S_ISDIR(about.st_mode)) {
        walk_directory(walk, path, &about, above);
    } else if (text_ends(path, TEXT(".shall"))) {
        add_path(walk, path);
    }
}

static void walk_directory(Walk *walk, Text path, const struct stat *about, const Above *above)
{
    Above here = {above, about->st_dev, about->st_ino, above == NULL ? 1 : above->depth + 1};
    if (is_inside(above, about)) {
        return; /* a link back: what is there is being read */
    }
    if (here.depth > DIRECTORIES_DEEP_MAX) {
        diagnostic_error(walk->diags, "unreadable file", NOWHERE,
                         "'%.*s' is not read: directories are nested deeper than %d",
                         TEXT_ARG(path), DIRECTORIES_DEEP_MAX);
        return;
    }
    DIR *directory = opendir(path.data);
    if (directory == NULL) {
        report_unreadable(walk, path, errno);
        return;
    }
    for (;;) {
        errno = 0;
        const struct dirent *entry = readdir(directory);
        if (entry == NULL) {
            break;
        }
        if (entry->d_name[0] != '.') {
            const char *slash = text_ends(path, TEXT("/")) ? "" : "/";
            Text inner = text_format(walk->arena, "%.*s%s%s", TEXT_ARG(path), slash, entry->d_name);
            walk_entry(walk, text_copy(walk->arena, inner), &here);
        }
    }
    if (errno != 0) {
        report_unreadable(walk, path, errno);
    }
    (void)closedir(directory);
}

static void walk_path(Walk *walk, const char *name)
{
    Text path = text_of(name);
    if (text_equal(path, TEXT("-"))) {
        add_path(walk, path);
        return;
    }
    while (path.len > 1 && text_ends(path, TEXT("/"))) {
        path.len--;
    }
    path = text_copy(walk->arena, path);
    struct stat about;
    if (stat(path.data, &about) != 0) {
        report_unreadable(walk, path, errno);
        return;
    }
    if (!S_ISDIR(about.st_mode)) {
        add_path(walk, path);
        return;
    }
    size_t before = walk->count;
    size_t errors = walk->diags->errors;
    walk_directory(walk, path, &about, NULL);
    if (walk->count == before && walk->diags->errors == errors) {
        diagnostic_error(walk->diags, "no rule files", NOWHERE,
                         "'%.*s' holds no file whose name ends in .shall", TEXT_ARG(path));
    }
}

static int order_paths(const void *left, const void *right)
{
    const Text *a = left;
    const Text *b = right;
    return text_order(*a, *b);
}

/* True for a file that was read before, perhaps under another path. */
static bool is_known(Arena *arena, Names *known, Map *seen, Text path)
{
    struct stat about;
    Text key = path;
    if (!text_equal(path, TEXT("-")) && stat(path.data, &about) == 0) {
        key = text_format(arena, "%llu/%llu", (unsigned long long)about.st_dev,
                          (unsigned long long)about.st_ino);
    }
    const Name *name = names_intern(known, key);
    return map_put(seen, name, known) != NULL;
}

const Source **library_sources(Arena *arena, const char *const *paths, size_t count,
                               size_t *file_count, Diagnostics *diags)
{
    Walk walk = {arena, diags, NULL, 0};
    for (size_t i = 0; i < count; i++) {
        walk_path(&walk, paths[i]);
    }
    Text *found = ARENA_ARRAY(arena, Text, walk.count);
    size_t at = 0;
    for (const Path *path = walk.first; path != NULL; path = path->next) {
        found[at++] = path->text;
    }
    qsort(found, walk.count, sizeof *found, order_paths);

    const Source **sources = ARENA_ARRAY(arena, const Source *, walk.count);
    Names *known = names_new(arena);
    Map *seen = map_new(arena);
    *file_count = 0;
    for (size_t i = 0; i < walk.count; i++) {
        if (is_known(arena, known, seen, found[i])) {
            continue;
        }
        Text reason;
        const Source *source = source_read(arena, found[i].data, &reason);
        if (source != NULL) {
            sources[(*file_count)++] = source;
        } else {
            diagnostic_error(diags, "unreadable file", NOWHERE, "'%.*s' cannot be read: %.*s",
                             TEXT_ARG(found[i]), TEXT_ARG(reason));
        }
    }
    return sources;
}
