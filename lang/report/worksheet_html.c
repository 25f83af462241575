/* Calculation sheets as a page: a head for each spec and law, then a sheet to a printed page, its
 * lines in one table, each schedule in a table of its own, and the facts that went in. */
#include "report/html.h"
#include "report/letter.h"
#include "report/worksheet.h"

typedef struct Page {
    Buffer *out;
    Arena *arena;
    bool compares; /* a step of this sheet compares what is proposed with what is required */
} Page;

static void put_paragraph(Page *page, const char *class_name, Text text)
{
    html_element(page->out, "p", class_name, text);
    buffer_char(page->out, '\n');
}

static void put_waits(Page *page, const char *lead, const Wanted *wanted, uint32_t count)
{
    if (count > 0) {
        Text words = worksheet_waits(page->arena, wanted, count);
        html_element(page->out, "div", "open",
                     text_format(page->arena, "%s waits for %.*s", lead, TEXT_ARG(words)));
    }
}

/* ---- the lines of a sheet ---- */

static const char *result_class(const ToldStep *step)
{
    switch ((Verdict)step->verdict) {
    case VERDICT_COMPLIES: return "result number complies";
    case VERDICT_FAILS: return "result number fails";
    case VERDICT_OPEN:
    case VERDICT_NONE: break;
    }
    return step->wanted_count > 0 ? "number open" : "result number";
}

static void put_step(Page *page, const ToldPart *part)
{
    Buffer *out = page->out;
    const ToldStep *step = &part->step;
    const StepCode *code = step->result->step;
    html_row_open(out);
    html_cell(out, "number", text_format(page->arena, "%u", part->line));
    buffer_string(out, "<th scope=\"row\">");
    html_text(out, code->title);
    html_element(out, "div", "formula",
                 text_format(page->arena, "%.*s = %.*s", TEXT_ARG(code->name->text),
                             TEXT_ARG(step->formula)));
    if (step->numbers.len > 0) {
        html_element(out, "div", "formula",
                     text_format(page->arena, "= %.*s", TEXT_ARG(step->numbers)));
    }
    for (uint32_t i = 0; i < step->trace_count; i++) {
        html_element(out, "div", "quiet", step->traces[i]);
    }
    put_waits(page, "", step->wanted, step->wanted_count);
    buffer_string(out, "</th>");
    if (page->compares) {
        html_cell(out, "number", step->proposed);
        html_cell(out, "number", step->required);
    }
    bool spare = step->verdict == VERDICT_COMPLIES && step->margin.len > 0;
    html_cell(out, result_class(step),
              text_format(page->arena, "%.*s%s%.*s", TEXT_ARG(step->value), spare ? ", " : "",
                          TEXT_ARG(spare ? step->margin : TEXT(""))));
    html_cell(out, NULL, code->cites);
    html_row_close(out);
}

static void open_lines(Page *page)
{
    static const Text plain[] = {{"Line", 4}, {"Step", 4}, {"Result", 6}, {"Section", 7}};
    static const Text both[] = {{"Line", 4},     {"Step", 4},   {"Proposed", 8},
                                {"Required", 8}, {"Result", 6}, {"Section", 7}};
    if (page->compares) {
        html_table_open(page->out, "lines compared", both, sizeof both / sizeof *both);
    } else {
        html_table_open(page->out, "lines", plain, sizeof plain / sizeof *plain);
    }
}

/* ---- schedules ---- */

static void put_row(Page *page, const ToldSchedule *told, const ToldRow *row)
{
    Buffer *out = page->out;
    html_row_open(out);
    buffer_string(out, "<th scope=\"row\">");
    html_text(out, row->items);
    put_waits(page, row->cells == NULL ? "whether there are any" : "whether it belongs here",
              row->wanted, row->wanted_count);
    buffer_string(out, "</th>");
    for (uint32_t i = 0; i < told->schedule->step_count; i++) {
        const ToldStep *cell = row->cells == NULL ? NULL : &row->cells[i];
        if (cell == NULL) {
            html_cell(out, NULL, TEXT(""));
            continue;
        }
        buffer_format(out, "<td class=\"%s\">", result_class(cell));
        html_text(out, cell->value);
        put_waits(page, "", cell->wanted, cell->wanted_count);
        buffer_string(out, "</td>");
    }
    html_row_close(out);
}

static void put_schedule(Page *page, const ToldPart *part)
{
    const ToldSchedule *told = &part->schedule;
    const Worksheet *schedule = told->schedule;
    html_heading(page->out, 3, TEXT(""),
                 text_format(page->arena, "%u. %.*s", part->line, TEXT_ARG(schedule->title)));
    if (told->row_count == 0) {
        put_paragraph(page, "quiet", TEXT("no such items"));
        return;
    }
    Text *heads = ARENA_ARRAY(page->arena, Text, schedule->step_count + 1);
    heads[0] = TEXT("Item");
    for (uint32_t i = 0; i < schedule->step_count; i++) {
        heads[i + 1] = schedule->steps[i].title;
    }
    html_table_open(page->out, "schedule", heads, schedule->step_count + 1);
    for (uint32_t i = 0; i < told->row_count; i++) {
        put_row(page, told, &told->rows[i]);
    }
    html_table_close(page->out);
    for (uint32_t i = 0; i < schedule->step_count; i++) {
        html_element(page->out, "div", "formula",
                     text_format(page->arena, "%.*s = %.*s",
                                 TEXT_ARG(schedule->steps[i].name->text),
                                 TEXT_ARG(told->formulas[i])));
    }
    buffer_char(page->out, '\n');
}

/* ---- facts ---- */

static void put_inputs(Page *page, const ToldSheet *sheet)
{
    static const Text heads[] = {{"Fact", 4}, {"As stated", 9}, {"Spec", 4}, {"From", 4}};
    if (sheet->input_count == 0) {
        return;
    }
    html_heading(page->out, 3, TEXT(""), TEXT("Facts that went in"));
    html_table_open(page->out, "facts", heads, sizeof heads / sizeof *heads);
    for (uint32_t i = 0; i < sheet->input_count; i++) {
        const ToldInput *input = &sheet->inputs[i];
        bool stated = item_fact(input->item, input->field)->state != FACT_UNSTATED;
        html_row_open(page->out);
        html_row_head(page->out, input->path);
        html_cell(page->out, "number", input->written);
        html_cell(page->out, NULL, worksheet_place(page->arena, input->place));
        html_cell(page->out, NULL,
                  stated ? worksheet_source(page->arena, input->provenance) : TEXT(""));
        html_row_close(page->out);
    }
    html_table_close(page->out);
}

/* ---- sheets ---- */

/* Steps that follow each other share a table. */
static void put_parts(Page *page, const ToldSheet *sheet)
{
    bool open = false;
    page->compares = false;
    for (uint32_t i = 0; i < sheet->part_count; i++) {
        page->compares |=
            sheet->parts[i].kind == TOLD_STEP && sheet->parts[i].step.verdict != VERDICT_NONE;
    }
    for (uint32_t i = 0; i < sheet->part_count; i++) {
        const ToldPart *part = &sheet->parts[i];
        if (part->kind == TOLD_STEP && !open) {
            open_lines(page);
        } else if (part->kind != TOLD_STEP && open) {
            html_table_close(page->out);
        }
        open = part->kind == TOLD_STEP;
        if (open) {
            put_step(page, part);
        } else if (part->kind == TOLD_SCHEDULE) {
            put_schedule(page, part);
        } else {
            put_paragraph(page, "note",
                          text_format(page->arena, "Note: %.*s", TEXT_ARG(part->note)));
        }
    }
    if (open) {
        html_table_close(page->out);
    }
}

/* A sheet may be handed in by itself: it names the unit, and the law and day. */
static void put_sheet(Page *page, const Worksheets *set, const ToldSheet *sheet)
{
    const Review *review = set->reviewed->review;
    const Spec *spec = review->spec;
    Text unit = spec->unit_name.len > 0 ? spec->unit_name : spec->source->path;
    buffer_string(page->out, "<section class=\"sheet\">\n");
    html_heading(page->out, 2, TEXT(""), sheet->title);
    put_paragraph(page, "quiet",
                  text_format(page->arena, "%.*s; law of %.*s, %.*s. %.*s%s%.*s", TEXT_ARG(unit),
                              TEXT_ARG(jurisdiction_words(review->law->tree->jurisdiction)),
                              TEXT_ARG(date_print(page->arena, review->on)),
                              TEXT_ARG(sheet->origin), sheet->basis.len > 0 ? "; basis: " : "",
                              TEXT_ARG(sheet->basis)));
    put_waits(page, "Whether there is such a sheet", sheet->wanted, sheet->wanted_count);
    put_parts(page, sheet);
    put_inputs(page, sheet);
    buffer_string(page->out, "</section>\n");
}

static void put_keyed(Page *page, const char *key, Text value)
{
    if (value.len > 0) {
        html_element(page->out, "dt", NULL, text_of(key));
        buffer_string(page->out, "<dd>");
        html_words(page->out, value);
        buffer_string(page->out, "</dd>\n");
    }
}

static void put_head(Page *page, const Reviewed *reviewed)
{
    const Review *review = reviewed->review;
    const Spec *spec = review->spec;
    const LawTree *law = review->law->tree;
    Text day = date_print(page->arena, review->on);
    buffer_string(page->out, "<header class=\"head\">\n");
    html_heading(page->out, 1, TEXT(""), TEXT("Calculation sheets"));
    buffer_string(page->out, "<dl>\n");
    put_keyed(page, "Unit", spec->unit_name);
    put_keyed(page, "Builder", spec->builder);
    put_keyed(page, "Cycle", spec->cycle);
    put_keyed(page, "Build spec", worksheet_spec(page->arena, spec));
    put_keyed(page, "Law of", jurisdiction_words(law->jurisdiction));
    put_keyed(page, "Date",
              text_format(page->arena, "%.*s (%s)", TEXT_ARG(day), origin_words(reviewed->origin)));
    if (law->place != NULL) {
        put_keyed(page, "Place", place_words_of(law->place));
    }
    for (uint32_t i = 0; i < reviewed->digest_count; i++) {
        put_keyed(page, "Rules", digest_words(page->arena, &reviewed->digests[i]));
    }
    buffer_string(page->out, "</dl>\n</header>\n");
}

Text worksheets_html(Arena *arena, const Worksheets *const *list, size_t count)
{
    Buffer out = buffer_make(arena);
    Page page = {.out = &out, .arena = arena};
    Text unit = count == 1 ? list[0]->reviewed->review->spec->unit_name : TEXT("");
    html_open(&out, text_format(arena, "Calculation sheets%s%.*s", unit.len > 0 ? ": " : "",
                                TEXT_ARG(unit)));
    for (size_t i = 0; i < count; i++) {
        put_head(&page, list[i]->reviewed);
        for (uint32_t s = 0; s < list[i]->count; s++) {
            put_sheet(&page, list[i], &list[i]->sheets[s]);
        }
    }
    if (count == 0) {
        put_paragraph(&page, NULL, TEXT("The law has no calculation sheet for this unit."));
    }
    put_paragraph(&page, "quiet", worksheet_caution());
    html_close(&out);
    return buffer_done(&out);
}
