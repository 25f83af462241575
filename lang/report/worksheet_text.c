/* Calculation sheets as a reviewer expects them: for each step what it is, the formula, the
 * result with its unit, and the section that asks for it. */
#include "report/letter.h"
#include "report/measure.h"

static Text sheet_items(Arena *arena, const WorksheetResult *sheet)
{
    Buffer out = buffer_make(arena);
    for (uint32_t i = 0; i < sheet->item_count; i++) {
        buffer_string(&out, i > 0 ? ", " : "");
        buffer_text(&out, spec_path(arena, sheet->items[i], NULL));
    }
    return buffer_done(&out);
}

static void put_waits(Paper *paper, const Value *value)
{
    uint32_t count = 0;
    const Wanted *wanted = waits_flatten(paper->arena, value->waits, &count);
    if (count > 0) {
        paper_format(paper, 6, 8, "waits for %.*s",
                     TEXT_ARG(wanted_list_words(paper->arena, wanted, count)));
    }
}

static void put_step(Paper *paper, const StepResult *result)
{
    const StepCode *step = result->step;
    Text value = value_words(paper->arena, &result->value, &step->value->type, step->unit, NULL);
    Text formula = syntax_print_expr(paper->arena, step->tree->value);
    paper_apart(paper, 2, 4, step->title, value);
    Text cites = TEXT("");
    if (step->cites.len > 0) {
        cites = text_format(paper->arena, "   [%.*s]", TEXT_ARG(step->cites));
    }
    paper_format(paper, 6, 8, "%.*s = %.*s%.*s", TEXT_ARG(step->name->text), TEXT_ARG(formula),
                 TEXT_ARG(cites));
    put_waits(paper, &result->value);
}

Text report_worksheets(Arena *arena, const Reviewed *reviewed, Style style)
{
    const Review *review = reviewed->review;
    uint32_t count = 0;
    const WorksheetResult *sheets = review_worksheets(arena, review, &count);
    if (count == 0) {
        return TEXT("");
    }
    Paper paper = paper_make(arena, style);
    const LawTree *law = review->law->tree;
    Text unit = review->spec->unit_name;
    paper_format(&paper, 0, 0, BOLD_ON "CALCULATION SHEETS" BOLD_OFF " under the law of %.*s, %.*s",
                 TEXT_ARG(jurisdiction_words(law->jurisdiction)),
                 TEXT_ARG(date_print(arena, review->on)));
    paper_rule(&paper);
    if (unit.len > 0) {
        paper_keyed(&paper, 0, LETTER_KEYS, TEXT("Unit"), unit);
    }
    paper_keyed(&paper, 0, LETTER_KEYS, TEXT("Build spec"), review->spec->source->path);
    if (law->place != NULL) {
        paper_keyed(&paper, 0, LETTER_KEYS, TEXT("Place"), place_words_of(law->place));
    }
    put_digests(&paper, reviewed);
    for (uint32_t i = 0; i < count; i++) {
        Text items = sheet_items(arena, &sheets[i]);
        paper_heading(&paper, items.len == 0 ? sheets[i].worksheet->title
                                             : text_format(arena, "%.*s: %.*s",
                                                           TEXT_ARG(sheets[i].worksheet->title),
                                                           TEXT_ARG(items)));
        for (uint32_t s = 0; s < sheets[i].step_count; s++) {
            put_step(&paper, &sheets[i].steps[s]);
        }
    }
    paper_blank(&paper);
    paper_rule(&paper);
    paper_wrap(&paper, 0, 0,
               TEXT("The applicant answers for the figures that go in. A sum shows what a rule "
                    "asks; it approves nothing."));
    return buffer_done(&paper.out);
}
