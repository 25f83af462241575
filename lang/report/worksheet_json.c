/* Calculation sheets as JSON: every line, cell and fact that the text shows, values as data.
 * docs/json.md describes it. The same input gives the same bytes. */
#include "report/review_json.h"
#include "report/worksheet.h"
#include "shall.h"

enum { FORMAT_VERSION = 1 };

static void put_wanted(Json *json, Arena *arena, const Wanted *wanted, uint32_t count)
{
    json_key(json, "waits");
    json_open(json, '[');
    for (uint32_t i = 0; i < count; i++) {
        json_wanted(json, arena, &wanted[i]);
    }
    json_close(json, ']');
}

static void put_items(Json *json, Arena *arena, const SheetRow *row)
{
    json_key(json, "items");
    json_open_flat(json, '[');
    for (uint32_t i = 0; i < row->item_count; i++) {
        const Item *item = row->items[i];
        json_text(json, item->key.len > 0 ? item->key : spec_path(arena, item, NULL));
    }
    json_close(json, ']');
}

static const char *verdict_data(Verdict verdict)
{
    switch (verdict) {
    case VERDICT_COMPLIES: return "complies";
    case VERDICT_FAILS: return "fails";
    case VERDICT_OPEN:
    case VERDICT_NONE: break;
    }
    return "open";
}

static void put_comparison(Json *json, Arena *arena, const ToldStep *step)
{
    json_key(json, "comparison");
    if (step->verdict == VERDICT_NONE) {
        json_null(json);
        return;
    }
    const StepResult *result = step->result;
    const Line *line = result->step->line;
    json_open(json, '{');
    json_key(json, "proposed");
    json_value(json, arena, &result->measured, &line->measured->type, line->unit, NULL);
    json_key(json, "required");
    json_value(json, arena, &result->limit, &line->limit->type, line->unit, NULL);
    json_put_text(json, "required_text", step->required);
    json_put_string(json, "verdict", verdict_data((Verdict)step->verdict));
    json_put_text_or_null(json, "margin", step->margin);
    json_close(json, '}');
}

/* What a step and a cell have in common. */
static void put_result(Json *json, Arena *arena, const ToldStep *step)
{
    const StepCode *code = step->result->step;
    json_put_text_or_null(json, "numbers", step->numbers);
    json_key(json, "value");
    json_value(json, arena, &step->result->value, &code->value->type, code->unit, NULL);
    json_put_text(json, "text", step->value);
    put_comparison(json, arena, step);
    json_key(json, "traces");
    json_open(json, '[');
    for (uint32_t i = 0; i < step->trace_count; i++) {
        json_text(json, step->traces[i]);
    }
    json_close(json, ']');
    put_wanted(json, arena, step->wanted, step->wanted_count);
}

static void put_step(Json *json, Arena *arena, const ToldPart *part)
{
    const StepCode *code = part->step.result->step;
    json_put_string(json, "kind", "step");
    json_put_count(json, "line", part->line);
    json_put_text(json, "name", code->name->text);
    json_put_text(json, "title", code->title);
    json_put_text_or_null(json, "cites", code->cites);
    json_put_text(json, "formula", part->step.formula);
    put_result(json, arena, &part->step);
}

static void put_row(Json *json, Arena *arena, const ToldSchedule *told, const ToldRow *row)
{
    json_open(json, '{');
    put_items(json, arena, row->row);
    json_put_bool(json, "further", row->cells == NULL);
    put_wanted(json, arena, row->wanted, row->wanted_count);
    json_key(json, "cells");
    json_open(json, '[');
    for (uint32_t i = 0; row->cells != NULL && i < told->schedule->step_count; i++) {
        json_open(json, '{');
        put_result(json, arena, &row->cells[i]);
        json_close(json, '}');
    }
    json_close(json, ']');
    json_close(json, '}');
}

static void put_schedule(Json *json, Arena *arena, const ToldPart *part)
{
    const ToldSchedule *told = &part->schedule;
    json_put_string(json, "kind", "schedule");
    json_put_count(json, "line", part->line);
    json_put_text(json, "name", told->schedule->name->text);
    json_put_text(json, "title", told->schedule->title);
    json_key(json, "columns");
    json_open(json, '[');
    for (uint32_t i = 0; i < told->schedule->step_count; i++) {
        json_open_flat(json, '{');
        json_put_text(json, "name", told->schedule->steps[i].name->text);
        json_put_text(json, "title", told->schedule->steps[i].title);
        json_put_text(json, "formula", told->formulas[i]);
        json_close(json, '}');
    }
    json_close(json, ']');
    json_key(json, "rows");
    json_open(json, '[');
    for (uint32_t i = 0; i < told->row_count; i++) {
        put_row(json, arena, told, &told->rows[i]);
    }
    json_close(json, ']');
}

static void put_part(Json *json, Arena *arena, const ToldPart *part)
{
    json_open(json, '{');
    if (part->kind == TOLD_STEP) {
        put_step(json, arena, part);
    } else if (part->kind == TOLD_SCHEDULE) {
        put_schedule(json, arena, part);
    } else {
        json_put_string(json, "kind", "note");
        json_put_text(json, "text", part->note);
    }
    json_close(json, '}');
}

static void put_input(Json *json, Arena *arena, const ToldInput *input)
{
    const Fact *fact = item_fact(input->item, input->field);
    const Provenance *from = input->provenance;
    bool stated = fact->state == FACT_STATED;
    json_open(json, '{');
    json_put_text(json, "path", input->path);
    json_put_string(json, "state",
                    stated                     ? "stated"
                    : fact->state == FACT_NONE ? "none"
                                               : "not_stated");
    json_put_text_or_null(json, "written", stated ? input->written : TEXT(""));
    json_key(json, "value");
    if (stated) {
        json_value(json, arena, &fact->value, &input->field->type, fact->unit, NULL);
    } else {
        json_null(json);
    }
    json_key(json, "place");
    json_place(json, input->place);
    json_put_text_or_null(json, "sheet", from == NULL ? TEXT("") : from->sheet);
    json_put_text_or_null(json, "item", from == NULL ? TEXT("") : from->item);
    json_put_text_or_null(json, "source",
                          from == NULL ? TEXT("") : text_of(source_word((FactSource)from->source)));
    json_close(json, '}');
}

static void put_sheet(Json *json, Arena *arena, const ToldSheet *sheet)
{
    const Worksheet *own = sheet->result->worksheet;
    json_open(json, '{');
    json_put_text(json, "name", own->name->text);
    json_put_text(json, "title", own->title);
    json_put_text_or_null(json, "reading", own->reading == NULL ? TEXT("") : own->reading->text);
    json_put_text_or_null(json, "code", own->code == NULL ? TEXT("") : own->code->name->text);
    json_put_text_or_null(json, "edition", own->code == NULL ? TEXT("") : own->code->edition);
    json_put_text_or_null(json, "jurisdiction",
                          own->jurisdiction == NULL ? TEXT("") : own->jurisdiction->name->text);
    json_put_text(json, "origin", sheet->origin);
    json_put_text_or_null(json, "basis", sheet->basis);
    put_items(json, arena, &sheet->result->row);
    json_put_bool(json, "further", sheet->result->row.steps == NULL);
    put_wanted(json, arena, sheet->wanted, sheet->wanted_count);
    json_key(json, "parts");
    json_open(json, '[');
    for (uint32_t i = 0; i < sheet->part_count; i++) {
        put_part(json, arena, &sheet->parts[i]);
    }
    json_close(json, ']');
    json_key(json, "facts");
    json_open(json, '[');
    for (uint32_t i = 0; i < sheet->input_count; i++) {
        put_input(json, arena, &sheet->inputs[i]);
    }
    json_close(json, ']');
    json_close(json, '}');
}

static void put_sheets(Json *json, Arena *arena, const Worksheets *sheets)
{
    const Review *review = sheets->reviewed->review;
    const Spec *spec = review->spec;
    const LawTree *law = review->law->tree;
    json_open(json, '{');
    json_put_text(json, "spec", spec->source->path);
    json_put_text(json, "spec_sha256", bytes_sha256(arena, spec->source->bytes));
    json_put_text_or_null(json, "unit", spec->unit_name);
    json_put_text_or_null(json, "builder", spec->builder);
    json_put_text_or_null(json, "cycle", spec->cycle);
    json_put_text(json, "vocabulary", spec->vocabulary->name->text);
    json_put_text(json, "jurisdiction", law->jurisdiction->name->text);
    json_put_text(json, "jurisdiction_title", law->jurisdiction->title);
    json_put_text_or_null(json, "place", law->place == NULL ? TEXT("") : law->place->name->text);
    json_day(json, "on", review->on);
    json_put_string(json, "on_from", origin_data(sheets->reviewed->origin));
    json_law(json, arena, law);
    json_digests(json, sheets->reviewed);
    json_key(json, "sheets");
    json_open(json, '[');
    for (uint32_t i = 0; i < sheets->count; i++) {
        put_sheet(json, arena, &sheets->sheets[i]);
    }
    json_close(json, ']');
    json_close(json, '}');
}

Text worksheets_json(Arena *arena, const Worksheets *const *list, size_t count)
{
    Json json = json_make(arena);
    json_open(&json, '{');
    json_key(&json, "shall");
    json_open(&json, '{');
    json_put_string(&json, "version", SHALL_VERSION);
    json_close(&json, '}');
    json_put_count(&json, "format", FORMAT_VERSION);
    json_key(&json, "worksheets");
    json_open(&json, '[');
    for (size_t i = 0; i < count; i++) {
        put_sheets(&json, arena, list[i]);
    }
    json_close(&json, ']');
    json_close(&json, '}');
    buffer_char(&json.out, '\n');
    return json_done(&json);
}
