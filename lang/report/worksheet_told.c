/* What the calculation sheets of a review say, one function for each thing that is told of a
 * sheet, a step, a row. Text, HTML and JSON show the same words. */
#include <stdlib.h>

#include "report/measure.h"
#include "report/worksheet.h"

/* ---- steps ---- */

static void tell_comparison(Arena *arena, const StepResult *result, ToldStep *out)
{
    Truth truth = (Truth)result->value.truth;
    Part part = {.line = result->step->line,
                 .has_measure = true,
                 .measured = result->measured,
                 .limit = result->limit,
                 .waits = result->value.waits,
                 .outcome = truth == TRUTH_TRUE    ? OUTCOME_COMPLIES
                            : truth == TRUTH_FALSE ? OUTCOME_CORRECTION
                                                   : OUTCOME_INFORMATION_REQUIRED};
    bool known = false;
    Text proposed = numbers_value(arena, &result->measured, &part.line->measured->type,
                                  measure_unit(arena, &part), &known);
    out->proposed = known ? measured_words(arena, &part) : proposed;
    out->required = limit_words(arena, &part);
    out->margin = truth == TRUTH_UNKNOWN ? TEXT("") : margin_words(arena, &part);
    out->verdict = truth == TRUTH_TRUE    ? VERDICT_COMPLIES
                   : truth == TRUTH_FALSE ? VERDICT_FAILS
                                          : VERDICT_OPEN;
    if (truth == TRUTH_TRUE) {
        out->value = TEXT("complies");
    } else if (truth == TRUTH_FALSE) {
        out->value = out->margin.len > 0 ? out->margin : TEXT("does not comply");
    }
}

/* Definitions are told where a sheet first uses them; a cell of a schedule tells its own. */
static ToldStep tell_step(Numbers *n, const StepResult *result)
{
    const StepCode *step = result->step;
    const Code *code = step->value->op == CODE_DEFINED ? step->value->a : step->value;
    bool known = false;
    ToldStep out = {.result = result, .formula = step_formula(n->arena, step->tree)};
    n->traces = NULL;
    n->trace_count = 0;
    out.value = numbers_value(n->arena, &result->value, &step->value->type, step->unit, &known);
    if (step->line != NULL) {
        tell_comparison(n->arena, result, &out);
    }
    out.numbers = bare_words(numbers_words(n, code));
    if (text_equal(out.numbers, out.value) || text_equal(out.numbers, out.formula) ||
        text_equal(out.numbers, TEXT("?"))) {
        out.numbers = TEXT("");
    }
    out.traces = n->traces;
    out.trace_count = n->trace_count;
    bool decided = result->value.kind == VALUE_TRUTH && result->value.truth != TRUTH_UNKNOWN;
    if (!decided) { /* what a definite answer carries is on which bounds it rests */
        out.wanted = waits_flatten(n->arena, result->value.waits, &out.wanted_count);
        if (out.wanted_count == 1 && out.wanted[0].reason == REASON_PRECISION) {
            out.wanted_count = 0; /* nothing that anybody could state */
        }
    }
    numbers_inputs(n, step->value);
    return out;
}

/* ---- schedules ---- */

static Text row_items(Arena *arena, const SheetRow *row)
{
    Buffer out = buffer_make(arena);
    for (uint32_t i = 0; i < row->item_count; i++) {
        const Item *item = row->items[i];
        buffer_string(&out, i > 0 ? ", " : "");
        buffer_text(&out, item->key.len > 0 ? item->key : spec_path(arena, item, NULL));
    }
    return buffer_done(&out);
}

static void eachs_inputs(Numbers *n, const Worksheet *sheet)
{
    for (uint32_t i = 0; i < sheet->each_count; i++) {
        numbers_inputs(n, sheet->eachs[i].list);
        numbers_inputs(n, sheet->eachs[i].where);
    }
}

static ToldRow tell_row(Numbers *n, const Worksheet *schedule, const SheetRow *row)
{
    ToldRow out = {.row = row, .items = row_items(n->arena, row)};
    out.wanted = waits_flatten(n->arena, row->waits, &out.wanted_count);
    if (row->steps == NULL) {
        out.items = out.items.len == 0
                        ? TEXT("further items")
                        : text_format(n->arena, "%.*s, further items", TEXT_ARG(out.items));
        return out;
    }
    again_row(n->again, schedule, row);
    n->seen = map_new(n->arena);
    Map *told = n->told;
    n->told = map_new(n->arena);
    eachs_inputs(n, schedule);
    ToldStep *cells = ARENA_ARRAY(n->arena, ToldStep, schedule->step_count + 1);
    for (uint32_t i = 0; i < schedule->step_count; i++) {
        cells[i] = tell_step(n, &row->steps[i]);
    }
    n->told = told;
    out.cells = cells;
    return out;
}

static ToldSchedule tell_schedule(Numbers *n, const ScheduleResult *result)
{
    const Worksheet *schedule = result->schedule;
    ToldSchedule out = {.schedule = schedule, .row_count = result->row_count};
    Text *formulas = ARENA_ARRAY(n->arena, Text, schedule->step_count + 1);
    for (uint32_t i = 0; i < schedule->step_count; i++) {
        formulas[i] = step_formula(n->arena, schedule->steps[i].tree);
    }
    ToldRow *rows = ARENA_ARRAY(n->arena, ToldRow, result->row_count + 1);
    n->schedule = schedule;
    for (uint32_t i = 0; i < result->row_count; i++) {
        rows[i] = tell_row(n, schedule, &result->rows[i]);
    }
    n->schedule = NULL;
    out.formulas = formulas;
    out.rows = rows;
    return out;
}

/* ---- sheets ---- */

static uint32_t count_parts(const PartTree *part)
{
    uint32_t count = 0;
    for (; part != NULL; part = part->next) {
        count++;
    }
    return count;
}

/* In the order written; of steps and schedules the n-th written is the n-th worked out. */
static void tell_parts(Numbers *n, ToldSheet *out)
{
    const WorksheetResult *result = out->result;
    const PartTree *part = result->worksheet->tree->parts;
    ToldPart *parts = ARENA_ARRAY(n->arena, ToldPart, count_parts(part) + 1);
    uint32_t step = 0, schedule = 0, line = 0;
    for (; part != NULL; part = part->next) {
        ToldPart *told = &parts[out->part_count];
        again_row(n->again, result->worksheet, &result->row);
        if (part->kind == PART_STEP && step < result->worksheet->step_count) {
            *told = (ToldPart){.kind = TOLD_STEP, .line = ++line};
            told->step = tell_step(n, &result->row.steps[step++]);
        } else if (part->kind == PART_SCHEDULE && schedule < result->schedule_count) {
            *told = (ToldPart){.kind = TOLD_SCHEDULE, .line = ++line};
            told->schedule = tell_schedule(n, &result->schedules[schedule++]);
        } else if (part->kind == PART_NOTE) {
            *told = (ToldPart){.kind = TOLD_NOTE, .note = part->text};
        } else {
            continue;
        }
        out->part_count++;
    }
    out->parts = parts;
}

static int input_order(const void *a, const void *b)
{
    const ToldInput *x = a, *y = b;
    if (x->place.span.start != y->place.span.start) {
        return x->place.span.start < y->place.span.start ? -1 : 1;
    }
    if (x->field->index != y->field->index) {
        return x->field->index < y->field->index ? -1 : 1;
    }
    return text_order(x->path, y->path);
}

static Text origin_of(Arena *arena, const Worksheet *sheet, Text *basis)
{
    *basis = TEXT("");
    if (sheet->code == NULL) {
        return jurisdiction_words(sheet->jurisdiction);
    }
    if (sheet->code->basis.kind != BASIS_UNSAID) {
        *basis = basis_words(arena, sheet->code->basis);
    }
    return code_words(arena, sheet->code);
}

static ToldSheet tell_sheet(Arena *arena, const Review *review, const WorksheetResult *result)
{
    ToldSheet out = {.result = result, .title = result->worksheet->title};
    out.items = row_items(arena, &result->row);
    out.origin = origin_of(arena, result->worksheet, &out.basis);
    out.wanted = waits_flatten(arena, result->row.waits, &out.wanted_count);
    if (result->row.steps == NULL) {
        out.title = text_format(arena, "%.*s: further items", TEXT_ARG(out.title));
        return out;
    }
    if (out.items.len > 0) {
        out.title = text_format(arena, "%.*s: %.*s", TEXT_ARG(out.title), TEXT_ARG(out.items));
    }
    Numbers n = {.arena = arena,
                 .review = review,
                 .again = again_of_sheet(arena, review, result),
                 .sheet = result->worksheet,
                 .told = map_new(arena),
                 .facts = map_new(arena),
                 .seen = map_new(arena)};
    eachs_inputs(&n, result->worksheet);
    tell_parts(&n, &out);
    if (n.input_count > 1) {
        qsort(n.inputs, n.input_count, sizeof *n.inputs, input_order);
    }
    out.inputs = n.inputs;
    out.input_count = n.input_count;
    return out;
}

static bool is_wanted(const Worksheet *sheet, const Text *only, size_t only_count)
{
    for (size_t i = 0; i < only_count; i++) {
        if (text_equal(sheet->name->text, only[i])) {
            return true;
        }
    }
    return only_count == 0;
}

Worksheets *worksheets_make(Arena *arena, const Reviewed *reviewed, const Text *only,
                            size_t only_count, const Worksheet **overflow)
{
    uint32_t count = 0;
    const Review *review = reviewed->review;
    const WorksheetResult *results = review_worksheets(arena, review, NULL, &count, overflow);
    Worksheets *out = ARENA_NEW(arena, Worksheets);
    ToldSheet *sheets = ARENA_ARRAY(arena, ToldSheet, count + 1);
    *out = (Worksheets){.arena = arena, .reviewed = reviewed, .sheets = sheets};
    for (uint32_t i = 0; i < count && *overflow == NULL; i++) {
        if (is_wanted(results[i].worksheet, only, only_count)) {
            sheets[out->count++] = tell_sheet(arena, review, &results[i]);
        }
    }
    return out;
}

uint32_t worksheets_count(const Worksheets *sheets)
{
    return sheets->count;
}

/* ---- words that all forms share ---- */

Text worksheet_place(Arena *arena, Place place)
{
    if (place.source == NULL) {
        return TEXT("");
    }
    return text_format(arena, "line %u", source_position(place.source, place.span.start).line);
}

Text worksheet_waits(Arena *arena, const Wanted *wanted, uint32_t count)
{
    enum { SHOWN = 5 };
    if (count <= SHOWN + 1) {
        return wanted_list_words(arena, wanted, count);
    }
    return text_format(arena, "%.*s, and %u more below",
                       TEXT_ARG(wanted_list_words(arena, wanted, SHOWN)), count - SHOWN);
}

Text worksheet_source(Arena *arena, const Provenance *provenance)
{
    Text words = provenance_words(arena, provenance);
    if (provenance == NULL || provenance->source == SOURCE_UNSAID) {
        return text_format(arena, "%.*s%snot said", TEXT_ARG(words), words.len > 0 ? ", " : "");
    }
    return words;
}

Text worksheet_spec(Arena *arena, const Spec *spec)
{
    enum { DIGITS_SHOWN = 16 };
    return text_format(arena, "%.*s, sha256 %.*s\xe2\x80\xa6", TEXT_ARG(spec->source->path),
                       DIGITS_SHOWN, bytes_sha256(arena, spec->source->bytes).data);
}

Text worksheet_caution(void)
{
    return TEXT(
        "The applicant answers for the figures that go in. A sum shows what a rule asks; it "
        "approves nothing, and the authority having jurisdiction decides. Gas, electrical and "
        "fire suppression work belongs to licensed practice: light no gas and energize no circuit "
        "on the strength of a sheet. Weights are reckoned, not weighed: weigh the finished unit, "
        "each axle by itself, before it goes on the road.");
}
