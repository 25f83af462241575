/* One finding as JSON: what it is about, its outcome, every line with measured, limit and margin,
 * what it waits for, and where the law that judged it comes from. */
#include "report/cite.h"
#include "report/measure.h"
#include "report/review_json.h"

void json_wanted(Json *json, Arena *arena, const Wanted *wanted)
{
    json_open_flat(json, '{');
    json_put_string(json, "reason", reason_data((Reason)wanted->reason));
    bool fact = wanted->item != NULL;
    json_put_text_or_null(json, "path",
                          fact ? spec_path(arena, wanted->item, wanted->field) : TEXT(""));
    json_put_text_or_null(json, "what", wanted->what);
    json_key(json, "place");
    json_fact_place(json, wanted->item, wanted->field);
    json_close(json, '}');
}

/* Why no text of the section stands for the unit; "" when one does. */
static Text outside_data(uint8_t outside)
{
    switch ((Outside)outside) {
    case OUTSIDE_UNITS: return TEXT("other_units");
    case OUTSIDE_PLACE: return TEXT("another_jurisdiction");
    case OUTSIDE_NOT: break;
    }
    return TEXT("");
}

void json_decision(Json *json, Arena *arena, const Decision *decision)
{
    static const char *const kinds[] = {"variance", "approved", "refused", "approval"};
    if (decision == NULL) {
        json_null(json);
        return;
    }
    json_open_flat(json, '{');
    json_put_string(json, "kind", kinds[decision->kind]);
    json_put_text_or_null(json, "section", decision->section);
    json_put_text_or_null(json, "code", decision->code);
    json_put_text_or_null(json, "jurisdiction", decision->jurisdiction);
    json_put_text_or_null(json, "office", decision->office);
    json_put_text_or_null(json, "document", decision->document);
    json_day(json, "from", decision->from);
    json_day(json, "until", decision->until);
    json_put_text(json, "text", decision_words(arena, decision));
    json_key(json, "place");
    json_place(json, decision->place);
    json_close(json, '}');
}

/* ---- lines ---- */

static void put_margin(Json *json, Arena *arena, const Part *part)
{
    Margin margin = measure_margin(arena, part);
    json_key(json, "margin");
    if (!margin.known) {
        json_null(json);
        return;
    }
    const Unit *unit = margin_unit(arena, part);
    bool date = type_is_date(&part->line->measured->type);
    Rational amount = date || unit == NULL ? margin.low : unit_from_si(arena, unit, margin.low);
    if (!margin.spare) {
        amount = rational_negate(arena, amount); /* a miss is below zero */
    }
    json_open_flat(json, '{');
    json_put_text(json, "exact", rational_print_exact(arena, amount));
    json_put_text(json, "decimal", rational_print(arena, amount, 9, 0, NULL));
    json_put_text_or_null(json, "unit",
                          date           ? TEXT("days")
                          : unit == NULL ? TEXT("")
                                         : unit->spelling);
    json_put_bool(json, "at_least", !margin.exact && !margin.root);
    json_key(json, "percent");
    if (margin.has_percent) {
        json_text(json, rational_print(arena, margin.percent, 3, 0, NULL));
    } else {
        json_null(json);
    }
    json_put_text(json, "text", margin_words(arena, part));
    json_close(json, '}');
}

static const char *compare_data(const Line *line)
{
    static const char *const plain[] = {"<", "<=", ">", ">=", "=", "!="};
    static const char *const negated[] = {">=", ">", "<=", "<", "!=", "="};
    return line->negated ? negated[line->compare] : plain[line->compare];
}

static void put_measure(Json *json, Arena *arena, const Part *part)
{
    const Line *line = part->line;
    const Unit *unit = measure_unit(arena, part);
    if (!part->has_measure) {
        json_key(json, "measured");
        json_null(json);
        json_key(json, "limit");
        json_null(json);
        json_key(json, "margin");
        json_null(json);
        return;
    }
    json_put_string(json, "compare", compare_data(line));
    json_key(json, "measured");
    json_value(json, arena, &part->measured, &line->measured->type, unit, &part->limit);
    json_key(json, "limit");
    json_value(json, arena, &part->limit, &line->limit->type, unit, &part->measured);
    put_margin(json, arena, part);
}

static void put_source(Json *json, const Provenance *provenance)
{
    json_key(json, "source");
    if (provenance == NULL) {
        json_null(json);
        return;
    }
    json_open_flat(json, '{');
    json_put_text_or_null(json, "sheet", provenance->sheet);
    json_put_text_or_null(json, "item", provenance->item);
    json_put_text_or_null(json, "from", text_of(source_word((FactSource)provenance->source)));
    json_close(json, '}');
}

static void put_terms(Json *json, const Telling *telling, const Part *part)
{
    uint32_t count = 0;
    const Term *terms = part_terms(telling, part, &count);
    json_key(json, "terms");
    json_open(json, '[');
    for (uint32_t i = 0; i < count; i++) {
        const Term *term = &terms[i];
        const Fact *fact = term->item == NULL ? NULL : item_fact(term->item, term->field);
        json_open_flat(json, '{');
        json_put_text(json, "name", term->name);
        json_put_text_or_null(json, "path",
                              fact == NULL ? TEXT("")
                                           : spec_path(telling->arena, term->item, term->field));
        json_key(json, "stated");
        if (fact == NULL) {
            json_null(json); /* computed */
        } else {
            json_bool(json, fact->state != FACT_UNSTATED);
        }
        json_key(json, "value");
        json_value(json, telling->arena, &term->value, term->type, term->unit, NULL);
        json_key(json, "place");
        json_fact_place(json, fact == NULL ? NULL : term->item, term->field);
        put_source(json, fact == NULL ? NULL : fact->provenance);
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void put_wanted_list(Json *json, Arena *arena, const char *key, const Waits *waits,
                            bool asked_only)
{
    uint32_t count = 0;
    const Wanted *wanted = waits_flatten(arena, waits, &count);
    json_key(json, key);
    json_open(json, '[');
    for (uint32_t i = 0; i < count; i++) {
        if (!asked_only || reason_asks((Reason)wanted[i].reason)) {
            json_wanted(json, arena, &wanted[i]);
        }
    }
    json_close(json, ']');
}

static void put_line(Json *json, const Telling *telling, const Part *part)
{
    Arena *arena = telling->arena;
    const Line *line = part->line;
    json_open(json, '{');
    json_put_text_or_null(json, "label", line->label == NULL ? TEXT("") : line->label->text);
    json_put_string(json, "outcome", outcome_data((Outcome)part->outcome));
    json_put_bool(json, "absent", part->absent);
    json_put_bool(json, "applies_unsure", part->applies_unsure);
    if (line->discretion) {
        json_put_text(json, "official", line->official);
        json_put_text(json, "question", line->what);
    } else {
        json_put_text(json, "requirement", part_requirement(telling, part));
    }
    put_measure(json, arena, part);
    json_key(json, "place");
    json_place(json, part_place(telling, part));
    put_terms(json, telling, part);
    put_wanted_list(json, arena, "waits", part->waits, false);
    put_wanted_list(json, arena, "rests_on_bounds_of", part->bounds, true);
    json_put_text_or_null(json, "grounds", part_grounds(telling, part));
    json_key(json, "decision");
    json_decision(json, arena, part->decision);
    json_close(json, '}');
}

static void put_lines(Json *json, const Telling *telling)
{
    json_key(json, "lines");
    json_open(json, '[');
    for (uint32_t i = 0; i < telling->finding->part_count; i++) {
        put_line(json, telling, &telling->finding->parts[i]);
    }
    json_close(json, ']');
}

/* ---- the finding ---- */

static void put_section(Json *json, const Section *section)
{
    json_put_text(json, "code", section->tree->code->name->text);
    json_put_text(json, "edition", section->tree->code->edition);
    json_put_text(json, "section", section->number);
    json_put_text_or_null(json, "part", section->part == NULL ? TEXT("") : section->part->text);
    json_put_text(json, "heading", section->heading);
    json_put_text_or_null(json, "topic",
                          section->topic == NULL ? TEXT("") : section->topic->name->text);
    json_put_text_or_null(json, "rank", section->rank);
    json_put_text_or_null(json, "authority",
                          section->authority == NULL ? TEXT("") : section->authority->text);
    json_put_bool(json, "advisory", section->advises);
    json_key(json, "stages");
    json_open_flat(json, '[');
    for (int stage = STAGE_INTAKE; stage <= STAGE_OPERATION; stage++) {
        if ((section->stages >> stage & 1) != 0) {
            json_string(json, stage_word((Stage)stage));
        }
    }
    json_close(json, ']');
    json_put_text_or_null(json, "rework", text_of(rework_word((Rework)section->rework)));
}

static void put_items(Json *json, const Telling *telling)
{
    const Finding *finding = telling->finding;
    json_key(json, "items");
    json_open_flat(json, '[');
    for (uint32_t i = 0; i < finding->item_count; i++) {
        const Item *item = finding->items[i];
        json_text(json, item->key.len > 0 ? item->key : spec_path(telling->arena, item, NULL));
    }
    json_close(json, ']');
    json_put_text_or_null(json, "path", telling_items(telling));
    json_key(json, "place");
    json_place(json, telling_place(telling));
}

void json_chain(Json *json, const TextTree *tree)
{
    json_key(json, "chain");
    json_open(json, '[');
    for (uint32_t i = 0; tree != NULL && i < tree->chain_count; i++) {
        const Link *link = &tree->chain[i];
        json_open_flat(json, '{');
        json_put_string(json, "verb", link_data((LinkVerb)link->verb));
        json_put_text_or_null(json, "jurisdiction",
                              link->jurisdiction == NULL ? TEXT("")
                                                         : link->jurisdiction->name->text);
        json_put_text_or_null(json, "by", link->by);
        json_day(json, "from", link->from);
        json_key(json, "place");
        json_place(json, link->place);
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void put_readings(Json *json, const Telling *telling)
{
    json_key(json, "readings");
    json_open(json, '[');
    for (const Finding *at = telling->finding->readings; at != NULL; at = at->next_reading) {
        Telling reading = telling_of(telling->arena, telling->review, at);
        json_open(json, '{');
        json_put_text_or_null(json, "reading",
                              at->text->reading == NULL ? TEXT("") : at->text->reading->text);
        json_put_string(json, "outcome", outcome_data((Outcome)at->outcome));
        put_lines(json, &reading);
        json_close(json, '}');
    }
    json_close(json, ']');
}

void json_basis(Json *json, BasisTree basis)
{
    json_key(json, "basis");
    json_open_flat(json, '{');
    json_put_string(json, "kind",
                    basis.kind == BASIS_UNSAID ? "not_stated" : basis_word((BasisKind)basis.kind));
    json_put_text_or_null(json, "title", basis.kind == BASIS_READ ? basis.title : TEXT(""));
    json_day(json, "date", basis.kind == BASIS_READ ? basis.day : DAY_FOREVER);
    json_close(json, '}');
}

static void put_twins(Json *json, const SectionTree *section)
{
    json_key(json, "also_at");
    json_open(json, '[');
    for (const TargetTree *at = section->also_at; at != NULL; at = at->next) {
        json_text(json, at->number);
    }
    json_close(json, ']');
}

static void put_confirmed(Json *json, Arena *arena, const Review *review, const Finding *finding)
{
    uint32_t count = 0;
    const ConfirmedTree **list =
        section_confirmations(arena, review->law->tree, finding->section->tree, &count);
    json_key(json, "confirmed");
    json_open(json, '[');
    for (uint32_t i = 0; i < count; i++) {
        json_open(json, '{');
        json_put_text(json, "office", list[i]->office);
        json_put_text(json, "date", date_print(arena, list[i]->day));
        json_put_text(json, "letter", list[i]->letter);
        json_put_bool(json, "of_older_text", confirmed_is_old(list[i], finding->tree));
        json_close(json, '}');
    }
    json_close(json, ']');
}

void json_finding(Json *json, Arena *scratch, const Review *review, const Finding *finding)
{
    Telling telling = telling_of(scratch, review, finding);
    bool fails = finding->outcome == OUTCOME_CORRECTION;
    json_open(json, '{');
    put_section(json, finding->section);
    put_items(json, &telling);
    json_put_string(json, "outcome", outcome_data((Outcome)finding->outcome));
    json_put_bool(json, "later_stage", finding->later_stage);
    json_put_bool(json, "set_aside", finding->standing);
    json_put_bool(json, "floor", finding->floor);
    json_put_bool(json, "silenced", finding->silenced);
    json_put_text_or_null(json, "outside", outside_data(finding->outside));
    json_put_bool(json, "no_such_item", finding->nothing_to_judge);
    put_lines(json, &telling);
    put_readings(json, &telling);
    json_key(json, "waits");
    json_open(json, '[');
    for (uint32_t i = 0; i < finding->wanted_count; i++) {
        json_wanted(json, scratch, &finding->wanted[i]);
    }
    json_close(json, ']');
    json_put_text_or_null(json, "remedy", fails ? telling_remedy(&telling) : TEXT(""));
    json_put_text(json, "citation", citation_words(scratch, finding));
    json_chain(json, finding->tree);
    put_twins(json, finding->section->tree->section);
    put_confirmed(json, scratch, review, finding);
    json_basis(json, finding_basis(finding));
    json_close(json, '}');
}
