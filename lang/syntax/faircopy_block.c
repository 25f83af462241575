/* Codes and worked examples in the fair copy. */
#include "syntax/faircopy.h"

#include <string.h>

/* ---- worked examples ---- */

enum { EXAMPLE_COLUMN = 10 }; /* after "unit has" and "finds" */

static bool is_with_due(Printer *printer, const ExampleTree *example)
{
    return example->with != NULL && copy_has_comment(printer, example->with->span.start);
}

static void put_example_head(Printer *printer, const ExampleTree *example, size_t indent)
{
    copy_string(printer, "worked example ");
    copy_quoted(printer, example->title);
    if (example->from.len > 0) {
        copy_string(printer, " from ");
        copy_quoted(printer, example->from);
    }
    if (example->with != NULL) {
        Text with = text_format(printer->arena, " with %.*s",
                                TEXT_ARG(settings_flat(printer->arena, example->with)));
        if (copy_fits(printer, with) && !is_with_due(printer, example)) {
            copy_string(printer, " with ");
        } else {
            copy_wrap(printer, example->with->span.start, indent + COPY_DEEP);
            copy_string(printer, "with ");
        }
        (void)copy_settings(printer, example->with);
    }
    if (example->dated) {
        Text on = text_format(printer->arena, " on %.*s",
                              TEXT_ARG(date_print(printer->arena, example->on)));
        if (!copy_fits(printer, on)) {
            copy_wrap(printer, 0, indent + COPY_DEEP);
            on = (Text){on.data + 1, on.len - 1};
        }
        copy_text(printer, on);
    }
}

static void put_expected(Printer *printer, const ExpectedTree *expected, size_t indent)
{
    copy_string(printer, "finds");
    copy_pad(printer, indent + EXAMPLE_COLUMN);
    if (expected->step != NULL) {
        copy_string(printer, "step ");
        copy_text(printer, expr_flat(printer->arena, expected->step));
    } else {
        copy_target(printer, &expected->target);
    }
    if (expected->label != NULL) {
        copy_string(printer, " ");
        copy_name(printer, expected->label);
    }
    for (const Datum *item = expected->items; item != NULL; item = item->next) {
        copy_string(printer, item == expected->items ? " for " : ", ");
        copy_quoted(printer, item->text);
    }
    if (expected->step != NULL) {
        copy_string(printer, " = ");
        copy_datum(printer, expected->measured);
        if (expected->within != NULL) {
            copy_string(printer, " within ");
            copy_text(printer, copy_spelling(printer, expected->within_span));
        }
        return;
    }
    copy_string(printer, " ");
    copy_string(printer, outcome_word((Outcome)expected->outcome));
    if (expected->measured != NULL) {
        copy_string(printer, ", measured ");
        copy_datum(printer, expected->measured);
    }
    if (expected->limit != NULL) {
        copy_string(printer, ", limit ");
        copy_datum(printer, expected->limit);
    }
    for (const Expr *path = expected->waits; path != NULL; path = path->next) {
        Text text = expr_flat(printer->arena, path);
        copy_string(printer, ",");
        if (!copy_fits(printer, text_format(printer->arena, " waits for %.*s,", TEXT_ARG(text)))) {
            copy_wrap(printer, path->span.start, indent + EXAMPLE_COLUMN + COPY_STEP);
        } else {
            copy_string(printer, " ");
        }
        copy_string(printer, "waits for ");
        copy_text(printer, text);
    }
}

static void put_facts(Printer *printer, const ExampleTree *example, size_t indent)
{
    for (const SettingTree *fact = example->facts; fact != NULL;) {
        copy_line(printer, fact->lead.start, indent);
        copy_string(printer, "unit has");
        copy_pad(printer, indent + EXAMPLE_COLUMN);
        fact = copy_settings(printer, fact);
    }
}

static void put_example(Printer *printer, const ExampleTree *example, size_t indent)
{
    put_example_head(printer, example, indent);
    printer->fresh = true;
    put_facts(printer, example, indent + COPY_STEP);
    for (const ExpectedTree *expected = example->expected; expected != NULL;
         expected = expected->next) {
        copy_line(printer, expected->span.start, indent + COPY_STEP);
        put_expected(printer, expected, indent + COPY_STEP);
    }
    copy_end(printer, example->span, indent);
}

/* ---- what codes and jurisdictions share ---- */

void copy_edition(Printer *printer, Text edition)
{
    bool is_bare =
        edition.len > 0 && ascii_is_digit(edition.data[0]) && edition.data[edition.len - 1] != '.';
    for (size_t i = 0; i < edition.len; i++) {
        char c = edition.data[i];
        bool is_double = c == '.' && i + 1 < edition.len && edition.data[i + 1] == '.';
        is_bare = is_bare && !is_double &&
                  (ascii_is_digit(c) || ascii_is_letter(c) || c == '_' || c == '.');
    }
    copy_string(printer, " edition ");
    copy_text(printer, is_bare ? edition : text_quoted(printer->arena, edition));
}

/* Blocks of several lines stand apart from what is around them. */
bool part_is_tall(const PartTree *part)
{
    switch (part->kind) {
    case PART_SECTION:
    case PART_TABLE:
    case PART_WORKSHEET:
    case PART_CHECKLIST:
    case PART_READING:
    case PART_EXAMPLE:
    case PART_BLOCK: return true;
    default: return false;
    }
}

size_t copy_run_width(const Printer *printer, const PartTree *part)
{
    size_t width = 0;
    for (const PartTree *next = part; next != NULL && next->kind == PART_DEFINE;
         next = next->next) {
        if (next != part && copy_is_apart(printer, next->span.start)) {
            break;
        }
        size_t wanted = define_width(next->node);
        width = wanted > width ? wanted : width;
    }
    return width;
}

static void put_shared_reading(Printer *printer, const ReadingTree *reading, size_t indent)
{
    copy_string(printer, "reading ");
    copy_name(printer, reading->name);
    for (const DefineTree *define = reading->defines; define != NULL; define = define->next) {
        copy_wrap(printer, define->span.start, indent + COPY_STEP);
        copy_string(printer, "define ");
        copy_define(printer, define, 0, indent + COPY_STEP);
    }
}

/* The parts that codes and jurisdictions have alike. */
void copy_common(Printer *printer, const PartTree *part, size_t width, size_t indent)
{
    switch (part->kind) {
    case PART_DEFINE:
        copy_string(printer, "define ");
        copy_define(printer, part->node, width, indent + COPY_STEP);
        return;
    case PART_TABLE: copy_table(printer, part->node, indent); return;
    case PART_WORKSHEET: copy_worksheet(printer, part->node, indent); return;
    case PART_CHECKLIST: copy_checklist(printer, part->node, indent); return;
    case PART_CONFIRMED: copy_confirmed(printer, part->node); return;
    case PART_EXAMPLE: put_example(printer, part->node, indent); return;
    default: return;
    }
}

/* ---- codes ---- */

static size_t head_width(const PartTree *parts)
{
    size_t width = 0;
    for (const PartTree *part = parts; part != NULL; part = part->next) {
        const char *word = part->kind < PART_SECTION ? part_word(part) : NULL;
        size_t len = word == NULL ? 0 : strlen(word);
        width = len > width ? len : width;
    }
    return width;
}

static void put_head_part(Printer *printer, const PartTree *part, size_t column)
{
    switch (part->kind) {
    case PART_TITLE:
    case PART_PUBLISHER:
    case PART_VOCABULARY:
    case PART_PUBLISHED:
    case PART_CITED_AS:
    case PART_RANKS: break;
    default: copy_standing(printer, part, column); return;
    }
    copy_string(printer, part_word(part));
    copy_pad(printer, column);
    if (part->kind == PART_VOCABULARY) {
        copy_name(printer, part->name);
    } else if (part->kind == PART_PUBLISHED) {
        copy_text(printer, date_print(printer->arena, part->day));
    } else if (part->kind == PART_RANKS) {
        const Text *ranks = part->node;
        for (size_t i = 0; i < part->detail; i++) {
            copy_string(printer, i > 0 ? ", " : "");
            copy_text(printer, ranks[i]);
        }
    } else {
        copy_quoted(printer, part->text);
    }
}

static void put_omitted(Printer *printer, const OmittedTree *omitted)
{
    copy_string(printer, "omitted section ");
    copy_target(printer, &omitted->target);
    copy_string(printer, "  ");
    copy_quoted(printer, omitted->reason);
}

void copy_code(Printer *printer, const CodeTree *code)
{
    size_t column = COPY_STEP + head_width(code->parts) + COPY_STEP;
    copy_string(printer, "code ");
    copy_name(printer, code->name);
    copy_edition(printer, code->edition);
    if (code->as_edition.len > 0) {
        copy_string(printer, " as");
        copy_edition(printer, code->as_edition);
    }
    copy_string(printer, code->continued ? " continued" : "");
    printer->fresh = true;
    size_t width = 0;
    const PartTree *before = NULL;
    for (const PartTree *part = code->parts; part != NULL; part = part->next) {
        bool goes_on = before != NULL && before->kind == PART_DEFINE &&
                       !copy_is_apart(printer, part->span.start);
        width = goes_on ? width : copy_run_width(printer, part);
        printer->apart = before != NULL && (part_is_tall(part) || part_is_tall(before));
        copy_line(printer, part->span.start, COPY_STEP);
        if (part->kind == PART_SECTION) {
            copy_section(printer, part->node, COPY_STEP);
        } else if (part->kind == PART_OMITTED) {
            put_omitted(printer, part->node);
        } else if (part->kind == PART_RESERVED) {
            copy_string(printer, "reserved ");
            copy_targets(printer, part->node);
        } else if (part->kind == PART_FOR_UNITS) {
            copy_for_units(printer, part->node, COPY_STEP + COPY_STEP);
        } else if (part->kind == PART_READING) {
            put_shared_reading(printer, part->node, COPY_STEP);
        } else if (part->kind < PART_SECTION) {
            put_head_part(printer, part, column);
        } else {
            copy_common(printer, part, width, COPY_STEP);
        }
        before = part;
    }
    copy_end(printer, code->span, 0);
}

/* ---- what stands beside sections and blocks ---- */

static bool is_matter(const PartTree *part)
{
    return part->kind == PART_DEFINE || part->kind == PART_TABLE || part->kind == PART_WORKSHEET ||
           part->kind == PART_READING;
}

Text syntax_print_matter(Arena *arena, const Source *source, const PartTree *parts, size_t width)
{
    FileTree file = {.source = source}; /* without its comments */
    Printer printer = {.arena = arena, .file = &file, .out = buffer_make(arena), .width = width};
    size_t column = 0;
    const PartTree *before = NULL;
    for (const PartTree *part = parts; part != NULL; part = part->next) {
        if (!is_matter(part)) {
            continue;
        }
        bool goes_on = before != NULL && before->kind == PART_DEFINE && before->next == part &&
                       !copy_is_apart(&printer, part->span.start);
        column = goes_on ? column : copy_run_width(&printer, part);
        printer.apart = before != NULL && (part_is_tall(part) || part_is_tall(before));
        copy_line(&printer, part->span.start, 0);
        if (part->kind == PART_READING) {
            put_shared_reading(&printer, part->node, 0);
        } else {
            copy_common(&printer, part, column, 0);
        }
        before = part;
    }
    return buffer_done(&printer.out);
}
