/* Diagnostics: what is wrong with a file, as data. report/ draws them; nothing below
 * command/ prints. A diagnostic has a name in plain words ("unknown fact"), which a reader can
 * look up in docs/ and a rule file can silence with stet. */
#ifndef BASE_DIAGNOSTIC_H
#define BASE_DIAGNOSTIC_H

#include "base/source.h"

typedef enum Severity { SEVERITY_ERROR, SEVERITY_WARNING, SEVERITY_NOTE } Severity;

typedef struct Diagnostic {
    Severity severity;
    const char *name; /* plain words, static; NULL on notes */
    Place place;
    Text message;             /* lower case, no full stop, the user's words in single quotes */
    struct Diagnostic *notes; /* further places and hints, in order */
    struct Diagnostic *next;
} Diagnostic;

typedef struct Diagnostics {
    Arena *arena;
    Diagnostic *first;
    Diagnostic *last;
    size_t errors;
    size_t warnings;
} Diagnostics;

enum { DIAGNOSTICS_SHOWN_MAX = 20 }; /* per file, when drawn as text; all are kept */

Diagnostics diagnostics_make(Arena *arena);

Diagnostic *diagnostic_error(Diagnostics *diags, const char *name, Place place, const char *format,
                             ...) __attribute__((format(printf, 4, 5)));
Diagnostic *diagnostic_warning(Diagnostics *diags, const char *name, Place place,
                               const char *format, ...) __attribute__((format(printf, 4, 5)));

/* Adds a note to a diagnostic: a second place ("first defined here") or, with source NULL,
 * a hint ("did you mean 'clear_width'?"). */
void diagnostic_note(Diagnostics *diags, Diagnostic *to, Place place, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* Moves all of one list to the end of another. */
void diagnostics_join(Diagnostics *into, Diagnostics *from);

/* Puts the list in order of file, offset and name, and drops exact repeats. */
void diagnostics_sort(Diagnostics *diags);

#endif
