/* Calculation sheets as text: the head of the set, then each sheet with its lines (what it is, the
 * formula, the numbers put in, the result with its unit, the section that asks for it), its
 * schedules as tables, its notes, and the facts that went in with their places. */
#include "report/letter.h"
#include "report/worksheet.h"

enum { STEP_INDENT = 6 };

/* ---- steps ---- */

static void put_waits(Paper *paper, unsigned indent, const Wanted *wanted, uint32_t count)
{
    if (count > 0) {
        paper_format(paper, indent, indent + 2, "waits for %.*s",
                     TEXT_ARG(worksheet_waits(paper->arena, wanted, count)));
    }
}

static void put_comparison(Paper *paper, const ToldStep *step)
{
    if (step->verdict == VERDICT_NONE) {
        return;
    }
    bool spare = step->verdict == VERDICT_COMPLIES && step->margin.len > 0;
    paper_format(paper, STEP_INDENT, STEP_INDENT + 2, "proposed %.*s | required %.*s%s%.*s",
                 TEXT_ARG(step->proposed), TEXT_ARG(step->required), spare ? " | " : "",
                 TEXT_ARG(spare ? step->margin : TEXT("")));
}

static void put_step(Paper *paper, const ToldPart *part)
{
    const ToldStep *step = &part->step;
    const StepCode *code = step->result->step;
    Text head = text_format(paper->arena, "%u. %.*s", part->line, TEXT_ARG(code->title));
    paper_apart(paper, 2, STEP_INDENT, head, step->value);
    paper_format(paper, STEP_INDENT, STEP_INDENT + 2, "%.*s = %.*s%s%.*s%s",
                 TEXT_ARG(code->name->text), TEXT_ARG(step->formula),
                 code->cites.len > 0 ? "   [" : "", TEXT_ARG(code->cites),
                 code->cites.len > 0 ? "]" : "");
    if (step->numbers.len > 0) {
        paper_format(paper, STEP_INDENT, STEP_INDENT + 2, "= %.*s", TEXT_ARG(step->numbers));
    }
    for (uint32_t i = 0; i < step->trace_count; i++) {
        paper_wrap(paper, STEP_INDENT, STEP_INDENT + 2, step->traces[i]);
    }
    put_comparison(paper, step);
    put_waits(paper, STEP_INDENT, step->wanted, step->wanted_count);
}

/* ---- schedules ---- */

static bool is_number(const StepCode *column)
{
    TypeClass class = (TypeClass)column->value->type.class;
    return class == CLASS_NUMBER || class == CLASS_DATE;
}

static void put_rows(Paper *paper, const ToldSchedule *told)
{
    const Worksheet *schedule = told->schedule;
    uint32_t columns = schedule->step_count + 1;
    Text *heads = ARENA_ARRAY(paper->arena, Text, columns);
    bool *right = ARENA_ARRAY(paper->arena, bool, columns);
    Text *cells = ARENA_ARRAY(paper->arena, Text, (size_t)columns * told->row_count + 1);
    heads[0] = TEXT("Item");
    for (uint32_t i = 1; i < columns; i++) {
        heads[i] = schedule->steps[i - 1].title;
        right[i] = is_number(&schedule->steps[i - 1]);
    }
    for (uint32_t r = 0; r < told->row_count; r++) {
        const ToldRow *row = &told->rows[r];
        bool doubtful = row->wanted_count > 0;
        cells[(size_t)r * columns] =
            text_format(paper->arena, "%.*s%s", TEXT_ARG(row->items), doubtful ? " (?)" : "");
        for (uint32_t i = 1; i < columns; i++) {
            Text value = row->cells == NULL ? TEXT("") : row->cells[i - 1].value;
            bool known = !text_equal(value, TEXT("not known"));
            cells[(size_t)r * columns + i] = known ? value : TEXT("?");
        }
    }
    paper_table(paper, STEP_INDENT, &(PaperTable){heads, right, columns, cells, told->row_count});
}

static bool same_wanted(const Wanted *a, const Wanted *b)
{
    return a->item == b->item && a->field == b->field && a->reason == b->reason &&
           text_equal(a->what, b->what);
}

/* All that the cells of a row wait for, each once. */
static void put_open_cells(Paper *paper, const ToldRow *row, uint32_t columns)
{
    uint32_t total = 0, count = 0;
    for (uint32_t i = 0; i < columns; i++) {
        total += row->cells[i].wanted_count;
    }
    Wanted *all = ARENA_ARRAY(paper->arena, Wanted, total + 1);
    for (uint32_t i = 0; i < columns; i++) {
        for (uint32_t w = 0; w < row->cells[i].wanted_count; w++) {
            const Wanted *wanted = &row->cells[i].wanted[w];
            uint32_t at = 0;
            while (at < count && !same_wanted(&all[at], wanted)) {
                at++;
            }
            all[at] = *wanted;
            count += at == count;
        }
    }
    if (count > 0) {
        paper_format(paper, STEP_INDENT, STEP_INDENT + 2, "%.*s: waits for %.*s",
                     TEXT_ARG(row->items), TEXT_ARG(worksheet_waits(paper->arena, all, count)));
    }
}

/* What could not be worked out, row by row. */
static void put_open_rows(Paper *paper, const ToldSchedule *told)
{
    for (uint32_t r = 0; r < told->row_count; r++) {
        const ToldRow *row = &told->rows[r];
        if (row->wanted_count > 0) {
            paper_format(paper, STEP_INDENT, STEP_INDENT + 2, "%.*s (?): %s waits for %.*s",
                         TEXT_ARG(row->items),
                         row->cells == NULL ? "whether there are any" : "whether it belongs here",
                         TEXT_ARG(worksheet_waits(paper->arena, row->wanted, row->wanted_count)));
        }
        if (row->cells != NULL) {
            put_open_cells(paper, row, told->schedule->step_count);
        }
    }
}

static void put_schedule(Paper *paper, const ToldPart *part)
{
    const ToldSchedule *told = &part->schedule;
    const Worksheet *schedule = told->schedule;
    paper_format(paper, 2, STEP_INDENT, "%u. %.*s", part->line, TEXT_ARG(schedule->title));
    if (told->row_count == 0) {
        paper_wrap(paper, STEP_INDENT, STEP_INDENT, TEXT("no such items"));
        return;
    }
    put_rows(paper, told);
    put_open_rows(paper, told);
    for (uint32_t i = 0; i < schedule->step_count; i++) {
        paper_format(paper, STEP_INDENT, STEP_INDENT + 2, "%.*s = %.*s",
                     TEXT_ARG(schedule->steps[i].name->text), TEXT_ARG(told->formulas[i]));
    }
}

/* ---- inputs ---- */

static void put_inputs(Paper *paper, const ToldSheet *sheet)
{
    enum { COLUMNS = 4 };
    static const Text heads[COLUMNS] = {{"Fact", 4}, {"As stated", 9}, {"Spec", 4}, {"From", 4}};
    static const bool right[COLUMNS] = {false, true, false, false};
    if (sheet->input_count == 0) {
        return;
    }
    Text *cells = ARENA_ARRAY(paper->arena, Text, (size_t)COLUMNS * sheet->input_count);
    for (uint32_t i = 0; i < sheet->input_count; i++) {
        const ToldInput *input = &sheet->inputs[i];
        Text *row = cells + (size_t)COLUMNS * i;
        bool stated = item_fact(input->item, input->field)->state != FACT_UNSTATED;
        row[0] = input->path;
        row[1] = input->written;
        row[2] = worksheet_place(paper->arena, input->place);
        row[3] = stated ? worksheet_source(paper->arena, input->provenance) : TEXT("");
    }
    paper_blank(paper);
    paper_wrap(paper, 2, 2, TEXT("Facts that went in"));
    paper_table(paper, STEP_INDENT,
                &(PaperTable){heads, right, COLUMNS, cells, sheet->input_count});
}

/* ---- sheets ---- */

static void put_sheet(Paper *paper, const ToldSheet *sheet)
{
    paper_heading(paper, sheet->title);
    paper_format(paper, 2, 4, "%.*s%s%.*s", TEXT_ARG(sheet->origin),
                 sheet->basis.len > 0 ? "; basis: " : "", TEXT_ARG(sheet->basis));
    if (sheet->wanted_count > 0) {
        paper_format(paper, 2, 4, "Whether there is such a sheet waits for %.*s",
                     TEXT_ARG(worksheet_waits(paper->arena, sheet->wanted, sheet->wanted_count)));
    }
    if (sheet->part_count > 0) {
        paper_blank(paper);
    }
    for (uint32_t i = 0; i < sheet->part_count; i++) {
        const ToldPart *part = &sheet->parts[i];
        if (part->kind == TOLD_STEP) {
            put_step(paper, part);
        } else if (part->kind == TOLD_SCHEDULE) {
            put_schedule(paper, part);
        } else {
            paper_format(paper, 2, STEP_INDENT, "Note: %.*s", TEXT_ARG(part->note));
        }
    }
    put_inputs(paper, sheet);
}

static void put_keyed(Paper *paper, const char *key, Text value)
{
    if (value.len > 0) {
        paper_keyed(paper, 0, LETTER_KEYS, text_of(key), value);
    }
}

static void put_head(Paper *paper, const Reviewed *reviewed)
{
    const Review *review = reviewed->review;
    const Spec *spec = review->spec;
    const LawTree *law = review->law->tree;
    paper_format(paper, 0, 0, BOLD_ON "CALCULATION SHEETS" BOLD_OFF " under the law of %.*s, %.*s",
                 TEXT_ARG(jurisdiction_words(law->jurisdiction)),
                 TEXT_ARG(date_print(paper->arena, review->on)));
    paper_rule(paper);
    put_keyed(paper, "Unit", spec->unit_name);
    put_keyed(paper, "Builder", spec->builder);
    put_keyed(paper, "Cycle", spec->cycle);
    put_keyed(paper, "Build spec", worksheet_spec(paper->arena, spec));
    put_keyed(paper, "Date",
              text_format(paper->arena, "%.*s (%s)", TEXT_ARG(date_print(paper->arena, review->on)),
                          origin_words(reviewed->origin)));
    if (law->place != NULL) {
        put_keyed(paper, "Place", place_words_of(law->place));
    }
    put_digests(paper, reviewed);
}

Text worksheets_text(Arena *arena, const Worksheets *sheets, Style style)
{
    Paper paper = paper_make(arena, style);
    put_head(&paper, sheets->reviewed);
    for (uint32_t i = 0; i < sheets->count; i++) {
        put_sheet(&paper, &sheets->sheets[i]);
    }
    paper_blank(&paper);
    paper_rule(&paper);
    paper_wrap(&paper, 0, 0, worksheet_caution());
    return buffer_done(&paper.out);
}
