/* What the files of the library share. Nobody else includes this. */
#ifndef LAW_LIBRARY_INNER_H
#define LAW_LIBRARY_INNER_H

#include "law/law.h"

/* ---- library_paths.c ---- */

/* A rule file as its library names it. */
typedef struct RootFile {
    Text path;            /* below the directory given; of a file given by itself, its last word */
    const Source *source; /* read once, whatever the paths that lead to it */
} RootFile;

/* One of the paths given: what it leads to, in byte order of path. */
typedef struct LibraryRoot {
    Text path; /* as given; a directory's ends with a slash */
    RootFile *files;
    uint32_t file_count;
} LibraryRoot;

typedef struct RuleFiles {
    const Source **sources; /* each file once, in byte order of path */
    size_t count;
    LibraryRoot *roots; /* in the order given */
    uint32_t root_count;
} RuleFiles;

/* Reads the files, and every *.shall in the directories and below them. What cannot be read is an
 * error. */
RuleFiles library_files(Arena *arena, const char *const *paths, size_t count, Diagnostics *diags);

/* ---- library_index.c ---- */

/* Fills the lists of the library from its files: sorted by name, pieces joined. Reports what is
 * defined twice. */
void library_index(Library *library, Diagnostics *diags);
Place code_name_place(const CodeTree *code);
Place jurisdiction_name_place(const JurisdictionTree *jurisdiction);
Place place_name_place(const PlaceTree *place);
/* Index of the first code of that name, or where it would stand. */
uint32_t library_find_code(const Library *library, Text name);
void report_twice(Diagnostics *diags, Place second, Place first, const char *what, Text name);
/* "did you mean ...?", when one of the names is near. */
void note_nearest(Diagnostics *diags, Diagnostic *diag, Text word, const Text *names, size_t count);

/* ---- library_pieces.c ---- */

/* The main one with its pieces, in that order. It is a tree of its own: nothing that was parsed is
 * changed. Reports what a piece may not say. */
CodeTree *code_join(Arena *arena, const CodeTree *main, CodeTree *const *pieces, size_t count,
                    Diagnostics *diags);
JurisdictionTree *jurisdiction_join(Arena *arena, const JurisdictionTree *main,
                                    JurisdictionTree *const *pieces, size_t count);
/* Its lists are those of the pieces: vocabulary_make goes through them. */
VocabularyTree *vocabulary_join(Arena *arena, const VocabularyTree *main,
                                VocabularyTree *const *pieces, size_t count);
/* A piece that continues nothing. */
void report_lone_vocabulary(const Library *library, const VocabularyTree *piece,
                            Diagnostics *diags);
void report_lone_code(const Library *library, const CodeTree *piece, Diagnostics *diags);
void report_lone_jurisdiction(const Library *library, const JurisdictionTree *piece,
                              Diagnostics *diags);

/* What the section does not say of rank, authority, stage and rework. */
void section_fill_standing(const StandingTree *said, SectionTree *section);

/* ---- library_edition.c ---- */

/* Makes the editions that begin as another one whole. */
void library_derive_editions(Library *library, Diagnostics *diags);

/* ---- library.c, library_needed.c ---- */

Library *library_start(Arena *arena, Names *names);
/* Once the files are parsed: finds what they define and checks the names. */
void library_finish(Library *library, Diagnostics *diags);
/* False for a jurisdiction none of whose law was asked for: its codes are not read. */
bool library_needs(const Library *library, const Name *jurisdiction);

/* ---- library_places.c ---- */

void library_check_places(const Library *library, Diagnostics *diags);

#endif
