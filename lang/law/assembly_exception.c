/* Changes of one exception: put in, taken out, or made anew, in every text of the section or in
 * none.
 *
 * An exception is named by its `by` text, which exactly one exception of the text must have. Each
 * text gets a body of its own, with the lines of the former one; the body's `parts` stay as they
 * were written. One that is put in stands before those it finds, as the first that holds governs;
 * those that one act puts in stand in the order in which it writes them. */
#include "law/assembly.h"

static const ExceptionTree *next_of(const ExceptionTree *exception, Text by)
{
    while (exception != NULL && !text_equal(exception->by, by)) {
        exception = exception->next;
    }
    return exception;
}

static Place exception_place(const TextState *text, const ExceptionTree *exception)
{
    return (Place){exception->source != NULL ? exception->source : text->tree.source,
                   exception->span};
}

/* Put in or made anew by the same act. */
static bool is_of_act(const ExceptionTree *exception, const Change *change)
{
    const BlockTree *block = change->block;
    return exception->source == block->source && exception->span.start >= block->span.start &&
           exception->span.end <= block->span.end;
}

/* ---- what is in the way ---- */

static void note_exceptions(Assembly *assembly, Diagnostic *diag, const SectionState *state,
                            const TextState *text)
{
    const ExceptionTree *exception = text->tree.body->exceptions;
    if (exception == NULL) {
        diagnostic_note(assembly->diags, diag, section_place(state->section),
                        "this text has no exception");
    }
    for (; exception != NULL; exception = exception->next) {
        Place place = exception_place(text, exception);
        if (exception->by.len > 0) {
            diagnostic_note(assembly->diags, diag, place, "an exception by '%.*s'",
                            TEXT_ARG(exception->by));
        } else {
            diagnostic_note(assembly->diags, diag, place, "an exception that says no 'by'");
        }
    }
}

static void report_count(Assembly *assembly, const SectionState *state, const TextState *text,
                         const Change *change, bool several)
{
    Text words = number_words(assembly->arena, state->section->number, state->section->part);
    Diagnostic *diag = diagnostic_error(
        assembly->diags, several ? "several exceptions" : "no such exception",
        (Place){change->block->source, change->tree->cite_span},
        several ? "%.*s has more than one exception by '%.*s'" : "%.*s has no exception by '%.*s'",
        TEXT_ARG(words), TEXT_ARG(change->tree->cite));
    note_exceptions(assembly, diag, state, text);
}

static bool has_line(const ExceptionTree *exception, const LineTree *line)
{
    const LineTree *at = exception->lines;
    while (at != NULL && at != line) {
        at = at->next;
    }
    return at != NULL;
}

/* The same act has changed the exception, or a limit in it. */
static bool is_undone(Assembly *assembly, const SectionState *state, const TextState *text,
                      const ExceptionTree *exception, const Change *change)
{
    if (is_of_act(exception, change)) {
        assembly_report_undone(assembly, state->section, exception_place(text, exception), change);
        return true;
    }
    for (uint32_t i = 0; i < text->tree.limit_count; i++) {
        const LimitChange *limit = &text->tree.limits[i];
        if (limit->block == change->block && has_line(exception, limit->line)) {
            assembly_report_undone(assembly, state->section, (Place){limit->source, limit->span},
                                   change);
            return true;
        }
    }
    return false;
}

static bool may_change(Assembly *assembly, const SectionState *state, const TextState *text,
                       const Change *change)
{
    if (change->tree->kind == CHANGE_EXCEPTION_INSERT) {
        return true;
    }
    const ExceptionTree *found = next_of(text->tree.body->exceptions, change->tree->cite);
    bool several = found != NULL && next_of(found->next, change->tree->cite) != NULL;
    if (found == NULL || several) {
        report_count(assembly, state, text, change, several);
        return false;
    }
    return !is_undone(assembly, state, text, found, change);
}

/* ---- the new text ---- */

static ExceptionTree *copy_exception(Assembly *assembly, const ExceptionTree *exception)
{
    ExceptionTree *copy = ARENA_NEW(assembly->arena, ExceptionTree);
    *copy = *exception;
    copy->next = NULL;
    return copy;
}

static ExceptionTree *write_exception(Assembly *assembly, const Change *change)
{
    ExceptionTree *copy = copy_exception(assembly, change->tree->exception);
    copy->source = change->block->source;
    copy->jurisdiction = change->jurisdiction;
    return copy;
}

/* Limits of lines that are no more go with them. */
static void drop_limits(Assembly *assembly, TextTree *text, const ExceptionTree *gone)
{
    LimitChange *limits = ARENA_ARRAY(assembly->arena, LimitChange, text->limit_count);
    uint32_t count = 0;
    for (uint32_t i = 0; i < text->limit_count; i++) {
        if (!has_line(gone, text->limits[i].line)) {
            limits[count++] = text->limits[i];
        }
    }
    text->limits = limits;
    text->limit_count = count;
}

static void change_text(Assembly *assembly, TextState *text, const Change *change)
{
    BodyTree *body = ARENA_NEW(assembly->arena, BodyTree);
    *body = *text->tree.body;
    bool is_due = change->tree->kind == CHANGE_EXCEPTION_INSERT; /* and not put in yet */
    const ExceptionTree *found = is_due ? NULL : next_of(body->exceptions, change->tree->cite);
    ExceptionTree *first = NULL;
    ExceptionTree **end = &first;
    for (const ExceptionTree *at = body->exceptions; at != NULL; at = at->next) {
        if (is_due && !is_of_act(at, change)) {
            *end = write_exception(assembly, change);
            end = &(*end)->next;
            is_due = false;
        }
        if (at != found) {
            *end = copy_exception(assembly, at);
        } else if (change->tree->kind == CHANGE_EXCEPTION_TO_READ) {
            *end = write_exception(assembly, change);
        }
        end = *end == NULL ? end : &(*end)->next;
    }
    if (is_due) {
        *end = write_exception(assembly, change);
    }
    body->exceptions = first;
    text->tree.body = body;
    if (found != NULL && text->tree.limit_count > 0) {
        drop_limits(assembly, &text->tree, found);
    }
    text->links = assembly_link(assembly, change, LINK_EXCEPTION, text->links);
    text->words = text->links;
}

bool assembly_change_exception(Assembly *assembly, SectionState *state, const Change *change)
{
    for (const TextState *text = state->texts; text != NULL; text = text->next) {
        if (text_is_touched(text, change) && !may_change(assembly, state, text, change)) {
            return false;
        }
    }
    TextState *texts = NULL;
    if (!assembly_split_texts(assembly, state, change, &texts)) {
        return false;
    }
    for (TextState *text = texts; text != NULL; text = text->next) {
        if (text_is_inside(text, change)) {
            change_text(assembly, text, change);
        }
    }
    state->texts = texts;
    return true;
}
