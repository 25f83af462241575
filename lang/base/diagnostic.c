/* Diagnostics: records of what is wrong with a file, kept in a list until somebody draws them.
 *
 * Nothing is dropped and nothing printed here. Sorting is stable, so that two messages at one
 * place stay in the order in which the stages found them. */
#include "base/diagnostic.h"

Diagnostics diagnostics_make(Arena *arena)
{
    return (Diagnostics){.arena = arena};
}

__attribute__((format(printf, 3, 0))) static Diagnostic *make(Diagnostics *diags, Place place,
                                                              const char *format, va_list args)
{
    Diagnostic *diag = ARENA_NEW(diags->arena, Diagnostic);
    Buffer message = buffer_make(diags->arena);
    buffer_vformat(&message, format, args);
    diag->place = place;
    diag->message = buffer_done(&message);
    return diag;
}

static void append(Diagnostics *diags, Diagnostic *diag)
{
    if (diags->last == NULL) {
        diags->first = diag;
    } else {
        diags->last->next = diag;
    }
    diags->last = diag;
}

Diagnostic *diagnostic_error(Diagnostics *diags, const char *name, Place place, const char *format,
                             ...)
{
    va_list args;
    va_start(args, format);
    Diagnostic *diag = make(diags, place, format, args);
    va_end(args);
    diag->severity = SEVERITY_ERROR;
    diag->name = name;
    append(diags, diag);
    diags->errors++;
    return diag;
}

Diagnostic *diagnostic_warning(Diagnostics *diags, const char *name, Place place,
                               const char *format, ...)
{
    va_list args;
    va_start(args, format);
    Diagnostic *diag = make(diags, place, format, args);
    va_end(args);
    diag->severity = SEVERITY_WARNING;
    diag->name = name;
    append(diags, diag);
    diags->warnings++;
    return diag;
}

void diagnostic_note(Diagnostics *diags, Diagnostic *to, Place place, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    Diagnostic *note = make(diags, place, format, args);
    va_end(args);
    note->severity = SEVERITY_NOTE;
    Diagnostic **end = &to->notes;
    while (*end != NULL) {
        end = &(*end)->next;
    }
    *end = note;
}

static int order_number(size_t a, size_t b)
{
    return (a > b) - (a < b);
}

/* Messages without a place come first: they are about the whole run. */
static int order_places(Place a, Place b)
{
    if (a.source == NULL || b.source == NULL) {
        return (a.source != NULL) - (b.source != NULL);
    }
    int order = text_order(a.source->path, b.source->path);
    return order != 0 ? order : order_number(a.span.start, b.span.start);
}

static int order_diagnostics(const Diagnostic *a, const Diagnostic *b)
{
    int order = order_places(a->place, b->place);
    return order != 0 ? order : text_order(text_of(a->name), text_of(b->name));
}

/* Joins two sorted lists; on a tie the first list's comes first. */
static Diagnostic *merge_lists(Diagnostic *a, Diagnostic *b)
{
    Diagnostic *first = NULL;
    Diagnostic **end = &first;
    while (a != NULL && b != NULL) {
        Diagnostic **least = order_diagnostics(a, b) <= 0 ? &a : &b;
        *end = *least;
        end = &(*least)->next;
        *least = *end;
    }
    *end = a != NULL ? a : b;
    return first;
}

enum { RUNS_MAX = 64 }; /* run i holds 2^i messages: more than memory can */

static Diagnostic *sort_list(Diagnostic *list)
{
    Diagnostic *runs[RUNS_MAX] = {NULL};
    while (list != NULL) {
        Diagnostic *run = list;
        list = list->next;
        run->next = NULL;
        size_t i = 0;
        while (i < RUNS_MAX - 1 && runs[i] != NULL) {
            run = merge_lists(runs[i], run);
            runs[i++] = NULL;
        }
        runs[i] = run;
    }
    Diagnostic *sorted = NULL;
    for (size_t i = 0; i < RUNS_MAX; i++) {
        sorted = merge_lists(runs[i], sorted); /* higher runs are older: they go first */
    }
    return sorted;
}

static bool is_repeat(const Diagnostic *a, const Diagnostic *b)
{
    return a->severity == b->severity && order_diagnostics(a, b) == 0 &&
           (a->place.source == NULL || a->place.span.end == b->place.span.end) &&
           text_equal(a->message, b->message);
}

/* Among the messages from `from` on that stand at its place: is there the same one? */
static bool is_said_before(const Diagnostic *from, const Diagnostic *diag)
{
    for (; from != diag; from = from->next) {
        if (is_repeat(from, diag)) {
            return true;
        }
    }
    return false;
}

void diagnostics_sort(Diagnostics *diags)
{
    diags->first = sort_list(diags->first);
    diags->last = NULL;
    const Diagnostic *group = diags->first; /* the first message of this place and name */
    Diagnostic **link = &diags->first;
    while (*link != NULL) {
        Diagnostic *diag = *link;
        if (order_diagnostics(group, diag) != 0) {
            group = diag;
        }
        if (is_said_before(group, diag)) {
            *link = diag->next;
            *(diag->severity == SEVERITY_ERROR ? &diags->errors : &diags->warnings) -= 1;
        } else {
            diags->last = diag;
            link = &diag->next;
        }
    }
}

void diagnostics_join(Diagnostics *into, Diagnostics *from)
{
    if (from->first == NULL) {
        return;
    }
    *(into->last == NULL ? &into->first : &into->last->next) = from->first;
    into->last = from->last;
    into->errors += from->errors;
    into->warnings += from->warnings;
    *from = diagnostics_make(from->arena);
}
