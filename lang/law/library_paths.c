/* Finds the rule files: files as they are named, directories with all that is below them.
 *
 * Gives each file once, in byte order of path, however often and in whatever order it was named;
 * and for each path given, all files that it leads to.
 * Names that begin with a dot are passed over in directories: they are the files of editors and
 * version control. A directory without a rule file is an error, as is one that cannot be read;
 * reading goes on with the others. */
#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "law/library_inner.h"

enum { DIRECTORIES_DEEP_MAX = 64 }; /* each holds one open: well below what a process may */

static const Place NOWHERE = {NULL, {0, 0}};

typedef struct Path {
    Text text;     /* ended by a zero byte */
    uint32_t root; /* the path given that led to it */
    size_t inside; /* where its name within the library begins */
    dev_t device;
    ino_t file;
    struct Path *next;
} Path;

typedef struct Walk {
    Arena *arena;
    Diagnostics *diags;
    LibraryRoot *roots;
    uint32_t root;
    size_t inside;
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

static void add_path(Walk *walk, Text text, const struct stat *about)
{
    Path *path = ARENA_NEW(walk->arena, Path);
    *path = (Path){text, walk->root, walk->inside, about->st_dev, about->st_ino, walk->first};
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
        add_path(walk, path, &about);
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

/* Where the last word of a path begins. */
static size_t last_word(Text path)
{
    size_t at = path.len;
    while (at > 0 && path.data[at - 1] != '/') {
        at--;
    }
    return at;
}

static void walk_path(Walk *walk, const char *name)
{
    Text path = text_of(name);
    struct stat about = {0};
    walk->roots[walk->root].path = path;
    walk->inside = 0;
    if (text_equal(path, TEXT("-"))) {
        add_path(walk, path, &about);
        return;
    }
    while (path.len > 1 && text_ends(path, TEXT("/"))) {
        path.len--;
    }
    path = text_copy(walk->arena, path);
    if (stat(path.data, &about) != 0) {
        report_unreadable(walk, path, errno);
        return;
    }
    if (!S_ISDIR(about.st_mode)) {
        walk->inside = last_word(path);
        add_path(walk, path, &about);
        return;
    }
    const char *slash = text_ends(path, TEXT("/")) ? "" : "/";
    Text folder = text_format(walk->arena, "%.*s%s", TEXT_ARG(path), slash);
    walk->roots[walk->root].path = folder;
    walk->inside = folder.len;
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
    const Path *a = *(const Path *const *)left;
    const Path *b = *(const Path *const *)right;
    int order = text_order(a->text, b->text);
    return order != 0 ? order : (a->root > b->root) - (a->root < b->root);
}

static const Path **sorted_paths(const Walk *walk)
{
    const Path **sorted = ARENA_ARRAY(walk->arena, const Path *, walk->count);
    size_t at = 0;
    for (const Path *path = walk->first; path != NULL; path = path->next) {
        sorted[at++] = path;
    }
    qsort(sorted, walk->count, sizeof(const Path *), order_paths);
    return sorted;
}

/* ---- reading ---- */

typedef struct Read { /* a file that was met, perhaps not to be read */
    const Source *source;
} Read;

/* One name for a file, whatever the path to it. */
static const Name *file_name(Arena *arena, Names *known, const Path *path)
{
    if (text_equal(path->text, TEXT("-"))) {
        return names_intern(known, path->text);
    }
    Text key = text_format(arena, "%llu/%llu", (unsigned long long)path->device,
                           (unsigned long long)path->file);
    return names_intern(known, key);
}

static void add_file(Walk *walk, const Path *path, const Source *source)
{
    LibraryRoot *root = &walk->roots[path->root];
    Text inside = {path->text.data + path->inside, path->text.len - path->inside};
    root->files[root->file_count++] = (RootFile){inside, source};
}

static void read_files(Walk *walk, const Path *const *sorted, RuleFiles *files)
{
    Names *known = names_new(walk->arena);
    Map *met = map_new(walk->arena);
    for (size_t i = 0; i < walk->count; i++) {
        const Name *name = file_name(walk->arena, known, sorted[i]);
        Read *read = map_get(met, name);
        if (read == NULL) {
            Text reason = TEXT("");
            read = ARENA_NEW(walk->arena, Read);
            read->source = source_read(walk->arena, sorted[i]->text.data, &reason);
            (void)map_put(met, name, read);
            if (read->source != NULL) {
                files->sources[files->count++] = read->source;
            } else {
                diagnostic_error(walk->diags, "unreadable file", NOWHERE,
                                 "'%.*s' cannot be read: %.*s", TEXT_ARG(sorted[i]->text),
                                 TEXT_ARG(reason));
            }
        }
        if (read->source != NULL) {
            add_file(walk, sorted[i], read->source);
        }
    }
}

RuleFiles library_files(Arena *arena, const char *const *paths, size_t count, Diagnostics *diags)
{
    RuleFiles files = {.roots = ARENA_ARRAY(arena, LibraryRoot, count + 1),
                       .root_count = (uint32_t)count};
    Walk walk = {.arena = arena, .diags = diags, .roots = files.roots};
    for (size_t i = 0; i < count; i++) {
        size_t before = walk.count;
        walk.root = (uint32_t)i;
        walk_path(&walk, paths[i]);
        files.roots[i].files = ARENA_ARRAY(arena, RootFile, walk.count - before + 1);
    }
    files.sources = ARENA_ARRAY(arena, const Source *, walk.count + 1);
    read_files(&walk, sorted_paths(&walk), &files);
    return files;
}
