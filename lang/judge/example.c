/* Worked examples: the proofs that a rule file carries. Each states a few facts, is judged under
 * its code alone or under its jurisdiction's law, and says what must be found. */
#include <string.h>

#include "judge/eval.h"

typedef struct Bench {
    Arena *arena;
    const Library *library;
    const Map *asked; /* NULL: every source */
    Text specs_root;
    Diagnostics *diags;
    ExampleResult *list;
    uint32_t count, cap;
} Bench;

static ExampleResult *bench_add(Bench *bench, const ExampleTree *example)
{
    if (bench->count == bench->cap) {
        uint32_t cap = bench->cap == 0 ? 64 : bench->cap * 2;
        ExampleResult *grown = ARENA_ARRAY(bench->arena, ExampleResult, cap);
        if (bench->count > 0)
            memcpy(grown, bench->list, bench->count * sizeof *grown);
        bench->list = grown;
        bench->cap = cap;
    }
    ExampleResult *result = &bench->list[bench->count++];
    result->example = example;
    result->held = true;
    result->place = (Place){example->source, example->span};
    return result;
}

/* ---- the spec of an example ---- */

static const Datum *base_data(Bench *bench, const ExampleTree *example, bool *failed)
{
    if (example->from.len == 0)
        return NULL;
    char *path = text_string(
        bench->arena, text_format(bench->arena, "%.*s%s%.*s", TEXT_ARG(bench->specs_root),
                                  bench->specs_root.len > 0 ? "/" : "", TEXT_ARG(example->from)));
    Text reason;
    const Source *source = source_read(bench->arena, path, &reason);
    if (source == NULL) {
        diagnostic_error(bench->diags, "unreadable spec",
                         (Place){example->source, example->from_span}, "cannot read '%.*s': %.*s",
                         TEXT_ARG(example->from), TEXT_ARG(reason));
        *failed = true;
        return NULL;
    }
    return spec_data(bench->arena, source, bench->diags);
}

static const Spec *example_spec(Bench *bench, const ExampleTree *example,
                                const Vocabulary *vocabulary)
{
    bool failed = false;
    size_t errors = bench->diags->errors;
    const Datum *data = base_data(bench, example, &failed);
    if (failed)
        return NULL;
    data = spec_apply(bench->arena, vocabulary, data, example->with, example->source, bench->diags);
    data =
        spec_apply(bench->arena, vocabulary, data, example->facts, example->source, bench->diags);
    if (bench->diags->errors > errors)
        return NULL;
    const Spec *spec = spec_from_data(bench->arena, bench->library->names, vocabulary, data,
                                      example->source, bench->diags);
    return bench->diags->errors > errors ? NULL : spec;
}

/* ---- what was found ---- */

static bool names_items(const Finding *finding, const Datum *items)
{
    uint32_t i = 0;
    for (const Datum *item = items; item != NULL; item = item->next, i++)
        if (i >= finding->item_count || !text_equal(finding->items[i]->key, item->text))
            return false;
    return i == finding->item_count;
}

static bool is_target(const Section *section, const TargetTree *target)
{
    return text_equal(section->number, target->number) && section->part == target->part;
}

/* The finding meant: of the items named, else the worst of the section. */
static const Finding *find_meant(const Review *review, const ExpectedTree *expected)
{
    const Finding *worst = NULL;
    const Datum *items = expected->items;
    if (items != NULL && items->kind == DATUM_LIST)
        items = items->first;
    for (uint32_t i = 0; i < review->finding_count; i++) {
        const Finding *finding = &review->findings[i];
        if (!is_target(finding->section, &expected->target))
            continue;
        if (items != NULL && !names_items(finding, items))
            continue;
        if (worst == NULL || outcome_severity(finding->outcome) < outcome_severity(worst->outcome))
            worst = finding;
    }
    return worst;
}

static const Part *find_part(const Finding *finding, const Name *label)
{
    const Part *fallback = NULL;
    for (uint32_t i = 0; i < finding->part_count; i++) {
        const Part *part = &finding->parts[i];
        if (label != NULL && part->line->label == label)
            return part;
        if (label == NULL && part->outcome == finding->outcome && fallback == NULL)
            fallback = part;
    }
    return fallback;
}

/* ---- comparing ---- */

static Text value_text(Arena *arena, const Value *value, const Part *part)
{
    if (value->kind == VALUE_RANGE && (value->can & CAN_BE_PRESENT) != 0) {
        Range range = value->range;
        if (part->line->measured->type.class == CLASS_DATE)
            return range_is_exact(&range) && range.low.den == 1
                       ? date_print(arena, (Day)range.low.num)
                       : TEXT("a range of dates");
        if (value->root > 1)
            return TEXT("a root");
        return range_print(arena, &range, part->line->unit);
    }
    if (value->kind == VALUE_WORDS && part->line->measured->type.choice != NULL &&
        value->words != 0 && (value->words & (value->words - 1)) == 0)
        return part->line->measured->type.choice->words[__builtin_ctzll(value->words)]->text;
    return TEXT("not known");
}

/* Does a computed value equal the one written in the example? */
static bool value_matches(Arena *arena, const Value *value, const Part *part, const Datum *written)
{
    if (value->can != CAN_BE_PRESENT)
        return false;
    if (value->kind == VALUE_WORDS)
        return text_equal(value_text(arena, value, part), written->text);
    if (value->kind != VALUE_RANGE)
        return false;
    Day first, last;
    const char *reason;
    if (part->line->measured->type.class == CLASS_DATE)
        return date_parse(written->text, &first, &last, &reason) && range_is_exact(&value->range) &&
               rational_order(value->range.low, RATIONAL(first, 1)) == 0;
    Quantity quantity;
    QuantityFault fault;
    if (!quantity_parse(arena, written->text, QUANTITY_SPEC, &quantity, &fault))
        return false;
    if (range_is_exact(&value->range) && value->root > 1) {
        Rational power = rational_power(arena, quantity.range.low, value->root);
        return rational_order(power, value->range.low) == 0;
    }
    if (range_is_exact(&value->range) != range_is_exact(&quantity.range))
        return false;
    if (rational_order(value->range.low, quantity.range.low) != 0)
        return false;
    return range_is_exact(&value->range) ||
           rational_order(value->range.high, quantity.range.high) == 0;
}

static void fail(ExampleResult *result, const ExpectedTree *expected, Text message)
{
    result->held = false;
    result->message = message;
    result->place = (Place){result->example->source, expected->span};
}

static void check_value(Bench *bench, ExampleResult *result, const ExpectedTree *expected,
                        const Part *part, const char *what, const Value *value,
                        const Datum *written)
{
    if (written == NULL || !result->held)
        return;
    if (!part->has_measure) {
        fail(result, expected,
             text_format(bench->arena, "expected %s %.*s, found a line that is no comparison", what,
                         TEXT_ARG(written->text)));
    } else if (!value_matches(bench->arena, value, part, written)) {
        fail(result, expected,
             text_format(bench->arena, "expected %s %.*s, found %s %.*s", what,
                         TEXT_ARG(written->text), what,
                         TEXT_ARG(value_text(bench->arena, value, part))));
    }
}

static bool waits_for(Arena *arena, const Finding *finding, Text path)
{
    for (uint32_t i = 0; i < finding->wanted_count; i++) {
        const Wanted *wanted = &finding->wanted[i];
        if (wanted->item != NULL && text_equal(spec_path(arena, wanted->item, wanted->field), path))
            return true;
    }
    return false;
}

static Text waits_text(Arena *arena, const Finding *finding)
{
    Buffer buffer = buffer_make(arena);
    for (uint32_t i = 0; i < finding->wanted_count; i++) {
        const Wanted *wanted = &finding->wanted[i];
        if (i > 0)
            buffer_string(&buffer, ", ");
        buffer_text(&buffer, wanted->item != NULL ? spec_path(arena, wanted->item, wanted->field)
                                                  : wanted->what);
    }
    return finding->wanted_count == 0 ? TEXT("nothing") : buffer_done(&buffer);
}

static void check_waits(Bench *bench, ExampleResult *result, const ExpectedTree *expected,
                        const Finding *finding)
{
    for (const Expr *path = expected->waits; path != NULL && result->held; path = path->next) {
        Text text = syntax_print_expr(bench->arena, path);
        if (!waits_for(bench->arena, finding, text))
            fail(result, expected,
                 text_format(bench->arena, "expected to wait for %.*s, found it waits for %.*s",
                             TEXT_ARG(text), TEXT_ARG(waits_text(bench->arena, finding))));
    }
}

static void check_expected(Bench *bench, ExampleResult *result, const Review *review,
                           const ExpectedTree *expected)
{
    const Finding *finding = find_meant(review, expected);
    if (finding == NULL) {
        fail(result, expected,
             text_format(bench->arena, "no finding of section \"%.*s\"%s",
                         TEXT_ARG(expected->target.number),
                         expected->items != NULL ? " for these items" : " in the law judged"));
        return;
    }
    const Part *part = find_part(finding, expected->label);
    if (expected->label != NULL && part == NULL) {
        fail(result, expected,
             text_format(bench->arena, "the finding has no line '%.*s'",
                         TEXT_ARG(expected->label->text)));
        return;
    }
    uint8_t outcome = finding->outcome;
    if (part != NULL && expected->label != NULL)
        outcome = part->outcome;
    if (outcome != expected->outcome) {
        Text waits = finding->wanted_count > 0 ? waits_text(bench->arena, finding) : TEXT("");
        fail(result, expected,
             text_format(bench->arena, "expected %s, found %s%s%.*s",
                         outcome_word(expected->outcome), outcome_word(outcome),
                         waits.len > 0 ? ", waiting for " : "", TEXT_ARG(waits)));
        return;
    }
    const Part nothing = {0};
    if (part == NULL)
        part = &nothing;
    check_value(bench, result, expected, part, "measured", &part->measured, expected->measured);
    check_value(bench, result, expected, part, "limit", &part->limit, expected->limit);
    check_waits(bench, result, expected, finding);
}

/* ---- steps of worksheets ---- */

static Text step_text(Arena *arena, const StepResult *result)
{
    const Value *value = &result->value;
    if (value->can == CAN_BE_NONE)
        return TEXT("none");
    if ((value->can & CAN_BE_PRESENT) == 0)
        return TEXT("no value");
    if (value->kind == VALUE_TRUTH && value->truth != TRUTH_UNKNOWN)
        return value->truth == TRUTH_TRUE ? TEXT("yes") : TEXT("no");
    if (value->kind == VALUE_TEXT && value->known)
        return value->text;
    Line line = {.measured = result->step->value, .unit = result->step->unit};
    return value_text(arena, value, &(Part){.line = &line});
}

/* How far off it may be, in SI: of a temperature as of a difference. */
static Range within_range(Arena *arena, const Quantity *within)
{
    if (within->unit == NULL || within->dimension.kind == KIND_PLAIN)
        return within->range;
    Rational zero = unit_to_si(arena, within->unit, RATIONAL_ZERO);
    return range_exact(rational_sub(arena, within->range.low, zero));
}

/* Wholly within `within` of what is written: of an irrational value, the interval about it. */
static bool step_near(Arena *arena, const StepResult *result, const ExpectedTree *expected)
{
    Quantity quantity;
    QuantityFault fault;
    const Value *value = &result->value;
    if (value->kind != VALUE_RANGE ||
        !quantity_parse(arena, expected->measured->text, QUANTITY_SPEC, &quantity, &fault) ||
        (value->range.flags & (RANGE_NO_LOW | RANGE_NO_HIGH)) != 0)
        return false;
    Range within = within_range(arena, expected->within);
    Range most = range_add(arena, &quantity.range, &within);
    Range least = range_sub(arena, &quantity.range, &within);
    const Range *range = &value->range;
    Rational high = range_is_exact(range) ? range->low : range->high;
    return rational_order(least.low, range->low) <= 0 && rational_order(high, most.low) <= 0;
}

static bool step_matches(Arena *arena, const StepResult *result, const ExpectedTree *expected)
{
    const Value *value = &result->value;
    Text written = expected->measured->text;
    if (value->can != CAN_BE_PRESENT)
        return value->can == CAN_BE_NONE && text_equal(written, TEXT("none"));
    if (expected->within != NULL)
        return step_near(arena, result, expected);
    if (value->kind == VALUE_TRUTH || value->kind == VALUE_TEXT)
        return text_equal(step_text(arena, result), written);
    Line line = {.measured = result->step->value, .unit = result->step->unit};
    return value_matches(arena, value, &(Part){.line = &line}, expected->measured);
}

static void check_step(Bench *bench, ExampleResult *result, const ExpectedTree *expected,
                       const StepResult *step)
{
    if (step_matches(bench->arena, step, expected))
        return;
    Text within = TEXT("");
    if (expected->within != NULL)
        within = text_format(
            bench->arena, " within %.*s",
            TEXT_ARG(range_print(bench->arena, &expected->within->range, expected->within->unit)));
    uint32_t count = 0;
    const Wanted *wanted = waits_flatten(bench->arena, step->value.waits, &count);
    Finding waiting = {.wanted = wanted, .wanted_count = count};
    Text waits = count > 0 ? waits_text(bench->arena, &waiting) : TEXT("");
    const Expr *path = expected->step;
    fail(result, expected,
         text_format(bench->arena, "expected %.*s.%.*s = %.*s%.*s, found %.*s%s%.*s",
                     TEXT_ARG(path->a->name->text), TEXT_ARG(path->name->text),
                     TEXT_ARG(expected->measured->text), TEXT_ARG(within),
                     TEXT_ARG(step_text(bench->arena, step)), waits.len > 0 ? ", waiting for " : "",
                     TEXT_ARG(waits)));
}

static bool row_has_items(const SheetRow *row, const Datum *items)
{
    uint32_t i = 0;
    for (const Datum *item = items; item != NULL; item = item->next, i++)
        if (i >= row->item_count || !text_equal(row->items[i]->key, item->text))
            return false;
    return row->steps != NULL && i == row->item_count;
}

static const StepResult *find_step(const Worksheet *sheet, const SheetRow *row, const Name *name)
{
    for (uint32_t i = 0; i < sheet->step_count; i++)
        if (sheet->steps[i].name == name)
            return &row->steps[i];
    return NULL;
}

/* Under each way in which the worksheet can be read. */
static void check_expected_step(Bench *bench, ExampleResult *result, const Review *review,
                                const ExpectedTree *expected)
{
    uint32_t readings = 0, found = 0;
    const Worksheet *sheet = law_worksheet(review->law, expected->step->a->name, &readings);
    for (uint32_t r = 0; sheet != NULL && r < readings && result->held; r++) {
        uint32_t count = 0;
        const Worksheet *overflow = NULL;
        const WorksheetResult *sheets =
            review_worksheets(bench->arena, review, &sheet[r], &count, &overflow);
        for (uint32_t i = 0; i < count && result->held; i++) {
            if (!row_has_items(&sheets[i].row, expected->items))
                continue;
            const StepResult *step = find_step(&sheet[r], &sheets[i].row, expected->step->name);
            if (step != NULL) {
                found++;
                check_step(bench, result, expected, step);
            }
        }
    }
    if (found == 0)
        fail(result, expected,
             text_format(bench->arena, "no sheet '%.*s' with a step '%.*s'%s",
                         TEXT_ARG(expected->step->a->name->text),
                         TEXT_ARG(expected->step->name->text),
                         expected->items != NULL ? " for these items" : " in the law judged"));
}

/* ---- running ---- */

/* Of an example that proves sums alone no section is judged. */
static const Review *example_review(Bench *bench, const ExampleTree *example, const Law *law,
                                    const Spec *spec)
{
    ReviewOptions options = {.on = law->tree->on, .stage = STAGE_OPERATION};
    if (example->dated)
        options.on = example->on;
    for (const ExpectedTree *at = example->expected; at != NULL; at = at->next)
        if (at->step == NULL)
            return review_make(bench->arena, law, spec, &options);
    Review *review = ARENA_NEW(bench->arena, Review);
    *review = (Review){.spec = spec, .law = law, .on = options.on, .stage = options.stage};
    return review;
}

static void run_example(Bench *bench, const ExampleTree *example, const Law *law)
{
    ExampleResult *result = bench_add(bench, example);
    const Spec *spec = example_spec(bench, example, law->vocabulary);
    if (spec == NULL) {
        result->held = false;
        result->message = TEXT("its facts could not be read");
        return;
    }
    const Review *review = example_review(bench, example, law, spec);
    for (const ExpectedTree *expected = example->expected; expected != NULL && result->held;
         expected = expected->next) {
        if (expected->step != NULL)
            check_expected_step(bench, result, review, expected);
        else
            check_expected(bench, result, review, expected);
    }
}

/* NULL when the law has errors: they are in the diagnostics, and its examples do not hold. */
static const Law *checked(Bench *bench, LawTree *tree)
{
    size_t errors = bench->diags->errors;
    const Law *law = law_check(bench->arena, bench->library, tree, false, bench->diags);
    return bench->diags->errors > errors ? NULL : law;
}

static void run_unjudged(Bench *bench, const ExampleTree *example)
{
    ExampleResult *result = bench_add(bench, example);
    result->held = false;
    result->message = TEXT("the law it is judged under has errors");
}

static bool is_asked(const Bench *bench, const ExampleTree *example)
{
    return bench->asked == NULL || map_get(bench->asked, example->source) != NULL;
}

/* The first one that is asked for, from `example` on; NULL. */
static const ExampleTree *next_asked(const Bench *bench, const ExampleTree *example)
{
    while (example != NULL && !is_asked(bench, example))
        example = example->next;
    return example;
}

static void run_code(Bench *bench, const CodeTree *code)
{
    const ExampleTree *first = next_asked(bench, code->examples);
    if (first == NULL)
        return;
    const Law *law = checked(bench, law_of_code(bench->arena, bench->library, code));
    for (const ExampleTree *example = first; example != NULL;
         example = next_asked(bench, example->next)) {
        if (law != NULL)
            run_example(bench, example, law);
        else
            run_unjudged(bench, example);
    }
}

/* Each date asked for is assembled once. */
static void run_jurisdiction(Bench *bench, const JurisdictionTree *jurisdiction)
{
    enum { DATES_MAX = 32 };
    Day days[DATES_MAX];
    const Law *laws[DATES_MAX];
    uint32_t count = 0;
    Day latest = law_latest_block(bench->arena, bench->library, jurisdiction);
    for (const ExampleTree *example = next_asked(bench, jurisdiction->examples); example != NULL;
         example = next_asked(bench, example->next)) {
        Day on = example->dated ? example->on : latest;
        uint32_t at = 0;
        while (at < count && days[at] != on)
            at++;
        if (at == count) {
            size_t errors = bench->diags->errors;
            LawTree *tree =
                law_assemble(bench->arena, bench->library, jurisdiction, on, bench->diags);
            const Law *law = bench->diags->errors > errors ? NULL : checked(bench, tree);
            if (count == DATES_MAX)
                at = --count;
            days[at] = on;
            laws[at] = law;
            count++;
        }
        if (laws[at] != NULL)
            run_example(bench, example, laws[at]);
        else
            run_unjudged(bench, example);
    }
}

const ExampleResult *examples_run(Arena *arena, const Library *library, const Map *asked,
                                  Text specs_root, uint32_t *count, Diagnostics *diags)
{
    Bench bench = {.arena = arena,
                   .library = library,
                   .asked = asked,
                   .specs_root = specs_root,
                   .diags = diags};
    for (uint32_t i = 0; i < library->code_count; i++)
        run_code(&bench, library->codes[i]);
    for (uint32_t i = 0; i < library->jurisdiction_count; i++)
        run_jurisdiction(&bench, library->jurisdictions[i]);
    *count = bench.count;
    return bench.list;
}
