/* Vocabularies in the fair copy: fields of a record, and facts that follow one another, in four
 * columns: name, type, what holds of it, question. */
#include "syntax/faircopy.h"

#include <string.h>

enum { TYPE_WIDTH_MAX = 24, HOLDS_WIDTH_MAX = 56 };

typedef struct Widths {
    size_t name;
    size_t type;
    size_t holds;
    size_t ask; /* of the longest question */
} Widths;

static void put_bound(Buffer *out, const Printer *printer, const char *word, Span span)
{
    Text spelling = copy_spelling(printer, span);
    buffer_format(out, "%s%s %.*s", out->len > 0 ? "  " : "", word, TEXT_ARG(spelling));
}

/* What holds of a field, but for its question. */
static Text holds_flat(const Printer *printer, const FieldTree *field)
{
    Buffer out = buffer_make(printer->arena);
    buffer_string(&out, field->key ? "key" : "");
    if (field->always_present) {
        buffer_string(&out, out.len > 0 ? "  always present" : "always present");
    }
    if (field->low != NULL) {
        put_bound(&out, printer, field->low_open ? "more than" : "at least", field->low_span);
    }
    if (field->high != NULL) {
        put_bound(&out, printer, field->high_open ? "less than" : "at most", field->high_span);
    }
    if (field->step != NULL) {
        put_bound(&out, printer, "in steps of", field->step_span);
    }
    if (field->built_as != NULL) {
        buffer_format(&out, "%sbuilt as %.*s", out.len > 0 ? "  " : "",
                      TEXT_ARG(field->built_as->text));
    }
    return buffer_done(&out);
}

static Text ask_flat(Arena *arena, const FieldTree *field)
{
    return text_format(arena, "ask %.*s", TEXT_ARG(text_quoted(arena, field->ask)));
}

static void widen(size_t *width, size_t wanted, size_t max)
{
    if (wanted > *width && wanted <= max) {
        *width = wanted;
    }
}

static void measure(const Printer *printer, const FieldTree *field, Widths *widths)
{
    widen(&widths->name, field->name->text.len, SIZE_MAX);
    widen(&widths->type, type_flat(printer->arena, &field->type).len, TYPE_WIDTH_MAX);
    widen(&widths->holds, holds_flat(printer, field).len, HOLDS_WIDTH_MAX);
    widen(&widths->ask, utf8_width(ask_flat(printer->arena, field)), SIZE_MAX);
}

/* The words of a choice, broken at its commas when they need more than a line. */
static void put_words(Printer *printer, const Word *words, bool ordered)
{
    copy_string(printer, "one of ");
    size_t indent = copy_column(printer);
    for (const Word *word = words; word != NULL; word = word->next) {
        Text text = text_format(printer->arena, "%.*s%s", TEXT_ARG(word->name->text),
                                word->next == NULL ? "" : (ordered ? " <" : ","));
        if (word != words) {
            bool fits = copy_column(printer) + 1 + text.len <= printer->width;
            if (fits) {
                copy_string(printer, " ");
            } else {
                copy_wrap(printer, word->span.start, indent);
            }
        }
        copy_text(printer, text);
    }
}

static void put_type(Printer *printer, const TypeTree *type)
{
    if (type->kind == TYPE_ONE_OF) {
        put_words(printer, type->words, type->ordered);
    } else {
        copy_text(printer, type_flat(printer->arena, type));
    }
}

/* Spaces up to the column, at least two. */
static void put_gap(Printer *printer, size_t column)
{
    size_t at = copy_column(printer);
    copy_pad(printer, column >= at + COPY_STEP ? column : at + COPY_STEP);
}

static void put_field(Printer *printer, const FieldTree *field, const Widths *widths)
{
    size_t start = copy_column(printer);
    size_t type = start + widths->name + COPY_STEP;
    size_t holds = type + widths->type + COPY_STEP;
    size_t ask = holds + widths->holds + (widths->holds > 0 ? COPY_STEP : 0);
    copy_name(printer, field->name);
    put_gap(printer, type);
    put_type(printer, &field->type);
    Text held = holds_flat(printer, field);
    if (held.len > 0) {
        put_gap(printer, holds);
        copy_text(printer, held);
    }
    if (field->ask.len == 0) {
        return;
    }
    Text question = ask_flat(printer->arena, field);
    size_t at = copy_column(printer);
    size_t column = ask >= at + COPY_STEP ? ask : at + COPY_STEP;
    bool is_beside =
        ask + widths->ask <= printer->width && column + utf8_width(question) <= printer->width;
    if (is_beside) {
        put_gap(printer, ask);
    } else { /* all of a run stand beside, or nearly all below */
        copy_wrap(printer, 0, type);
    }
    copy_text(printer, question);
}

static void put_plan(Printer *printer, const RecordTree *record)
{
    copy_string(printer, "plan ");
    copy_name(printer, record->plan_x);
    copy_string(printer, " along ");
    copy_name(printer, record->plan_along);
    if (record->plan_y != NULL) {
        copy_string(printer, ", ");
        copy_name(printer, record->plan_y);
        copy_string(printer, " across ");
        copy_name(printer, record->plan_across);
    }
}

static void put_record(Printer *printer, const RecordTree *record, size_t indent)
{
    Widths widths = {0};
    for (const FieldTree *field = record->fields; field != NULL; field = field->next) {
        measure(printer, field, &widths);
    }
    copy_string(printer, "record ");
    copy_name(printer, record->name);
    if (record->as != NULL) {
        copy_string(printer, " as ");
        copy_name(printer, record->as);
    }
    copy_string(printer, record->continued ? " continued" : "");
    printer->fresh = true;
    for (const FieldTree *field = record->fields; field != NULL; field = field->next) {
        copy_line(printer, field->span.start, indent + COPY_STEP);
        put_field(printer, field, &widths);
    }
    if (record->plan_x != NULL) {
        copy_line(printer, record->plan_span.start, indent + COPY_STEP);
        put_plan(printer, record);
    }
    copy_end(printer, record->span, indent);
}

static size_t word_width(const PartTree *part)
{
    switch (part->kind) {
    case PART_CHOICE: return ((const ChoiceTree *)part->node)->name->text.len;
    case PART_TOPIC: return ((const TopicTree *)part->node)->name->text.len;
    default: return 0;
    }
}

/* The widths of parts of one kind that follow one another without a blank line. */
static Widths run_widths(const Printer *printer, const PartTree *part)
{
    Widths widths = {0};
    for (const PartTree *next = part; next != NULL && next->kind == part->kind; next = next->next) {
        if (next != part && copy_is_apart(printer, next->span.start)) {
            break;
        }
        if (part->kind == PART_FACT) {
            measure(printer, next->node, &widths);
        } else {
            widen(&widths.name, word_width(next), SIZE_MAX);
        }
    }
    return widths;
}

static void put_part(Printer *printer, const PartTree *part, const Widths *widths)
{
    if (part->kind == PART_FACT) {
        copy_string(printer, "fact ");
        put_field(printer, part->node, widths);
    } else if (part->kind == PART_RECORD) {
        put_record(printer, part->node, COPY_STEP);
    } else if (part->kind == PART_CHOICE) {
        const ChoiceTree *choice = part->node;
        copy_string(printer, "choice ");
        size_t start = copy_column(printer);
        copy_name(printer, choice->name);
        put_gap(printer, start + widths->name + COPY_STEP);
        put_words(printer, choice->words, choice->ordered);
    } else if (part->kind == PART_TOPIC) {
        const TopicTree *topic = part->node;
        copy_string(printer, "topic ");
        size_t start = copy_column(printer);
        copy_name(printer, topic->name);
        put_gap(printer, start + widths->name + COPY_STEP);
        copy_quoted(printer, topic->title);
    }
}

void copy_vocabulary(Printer *printer, const VocabularyTree *vocabulary)
{
    copy_string(printer, "vocabulary ");
    copy_name(printer, vocabulary->name);
    copy_string(printer, vocabulary->continued ? " continued" : "");
    printer->fresh = true;
    Widths widths = {0};
    const PartTree *before = NULL;
    for (const PartTree *part = vocabulary->parts; part != NULL; part = part->next) {
        bool goes_on = before != NULL && before->kind == part->kind &&
                       !copy_is_apart(printer, part->span.start);
        widths = goes_on ? widths : run_widths(printer, part);
        printer->apart =
            before != NULL && (part->kind == PART_RECORD || before->kind == PART_RECORD);
        copy_line(printer, part->span.start, COPY_STEP);
        put_part(printer, part, &widths);
        before = part;
    }
    copy_end(printer, vocabulary->span, 0);
}
