/* The JSON report: one document for all reviews of a run, in the order in which they were asked
 * for. The same input gives the same bytes. */
#include "report/review_json.h"

#include "report/cite.h"
#include "report/report.h"
#include "shall.h"

enum { FORMAT_VERSION = 1 };

const char *origin_data(DateOrigin origin)
{
    switch (origin) {
    case DATE_GIVEN: return "given";
    case DATE_SUBMITTED: return "submitted";
    case DATE_TODAY: break;
    }
    return "today";
}

void json_law(Json *json, Arena *scratch, const LawTree *law)
{
    uint32_t count = 0;
    const Applied *applied = law_applied(scratch, law, &count);
    json_key(json, "law");
    json_open(json, '[');
    for (uint32_t i = 0; i < count; i++) {
        json_open_flat(json, '{');
        json_put_text(json, "code", applied[i].code->name->text);
        json_put_text(json, "edition", applied[i].code->edition);
        json_put_text_or_null(json, "title", applied[i].code->title);
        json_put_string(json, "verb", applied[i].block->amends ? "amends" : "adopts");
        json_put_text(json, "jurisdiction", applied[i].jurisdiction->name->text);
        json_put_text(json, "by", applied[i].block->by);
        json_day(json, "from", applied[i].block->from);
        json_day(json, "until", applied[i].block->until);
        json_close(json, '}');
    }
    json_close(json, ']');
}

static const char *truth_data(Truth truth)
{
    return truth == TRUTH_TRUE ? "yes" : truth == TRUTH_FALSE ? "no" : "unknown";
}

/* The rows of the place in which this jurisdiction is named. */
static void put_authorities(Json *json, Arena *scratch, const Review *review)
{
    json_key(json, "authorities");
    json_open(json, '[');
    for (uint32_t i = 0; i < review->law->holding_count; i++) {
        const Held *held = &review->held[i];
        const HolderTree *row = held->holding->tree;
        uint32_t count = 0;
        const Wanted *wanted = waits_flatten(scratch, held->waits, &count);
        json_open(json, '{');
        json_put_text(json, "authority", row->authority->text);
        json_put_text_or_null(
            json, "where", row->where == NULL ? TEXT("") : syntax_print_expr(scratch, row->where));
        json_put_text_or_null(json, "by", row->by);
        json_put_string(json, "decides", truth_data((Truth)held->truth));
        json_key(json, "waits");
        json_open(json, '[');
        for (uint32_t w = 0; w < count && held->truth == TRUTH_UNKNOWN; w++) {
            json_wanted(json, scratch, &wanted[w]);
        }
        json_close(json, ']');
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void put_place(Json *json, Arena *scratch, const Review *review)
{
    const PlaceTree *place = review->law->tree->place;
    json_key(json, "place");
    if (place == NULL) {
        json_null(json);
    } else {
        json_open_flat(json, '{');
        json_put_text(json, "name", place->name->text);
        json_put_text(json, "title", place->title);
        json_close(json, '}');
    }
    put_authorities(json, scratch, review);
}

void json_digests(Json *json, const Reviewed *reviewed)
{
    json_key(json, "digests");
    json_open(json, '[');
    for (uint32_t i = 0; i < reviewed->digest_count; i++) {
        json_open_flat(json, '{');
        json_put_text(json, "path", reviewed->digests[i].path);
        json_put_count(json, "files", reviewed->digests[i].files);
        json_put_text(json, "sha256", reviewed->digests[i].sha256);
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void put_counts(Json *json, const Review *review)
{
    static const Outcome order[] = {OUTCOME_CORRECTION,       OUTCOME_INFORMATION_REQUIRED,
                                    OUTCOME_OFFICIAL_DECIDES, OUTCOME_COMPLIES,
                                    OUTCOME_EXCUSED,          OUTCOME_NOT_APPLICABLE};
    json_key(json, "counts");
    json_open_flat(json, '{');
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        json_put_count(json, outcome_data(order[i]), review->counts[order[i]]);
    }
    json_put_count(json, "advisory_corrections", review->advisory);
    json_put_count(json, "later_stage", review->later);
    json_put_count(json, "set_aside", review->standing);
    json_close(json, '}');
}

static void put_questions(Json *json, Arena *scratch, const Review *review)
{
    json_key(json, "questions");
    json_open(json, '[');
    for (uint32_t i = 0; i < review->wanted_count; i++) {
        const Wanted *wanted = &review->wanted[i];
        if (!reason_asks((Reason)wanted->reason)) {
            continue;
        }
        json_open_flat(json, '{');
        json_put_text(json, "question", wanted_question(scratch, wanted));
        json_put_text_or_null(
            json, "path",
            wanted->item == NULL ? TEXT("") : spec_path(scratch, wanted->item, wanted->field));
        json_put_text_or_null(json, "type",
                              wanted->field == NULL ? TEXT("")
                                                    : type_describe(scratch, &wanted->field->type));
        json_put_count(json, "findings_waiting", review->wanted_by[i]);
        json_key(json, "place");
        json_fact_place(json, wanted->item, wanted->field);
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void put_cautions(Json *json, Arena *scratch, const Review *review)
{
    json_key(json, "cautions");
    json_open(json, '[');
    for (uint32_t i = 0; i < review->caution_count; i++) {
        const Caution *caution = &review->cautions[i];
        json_open(json, '{');
        json_put_string(json, "kind", caution_data((CautionKind)caution->kind));
        json_put_text(json, "text", caution_words(scratch, review, caution));
        json_put_text_or_null(json, "section",
                              caution->finding != NULL    ? caution->finding->section->number
                              : caution->decision != NULL ? caution->decision->section
                                                          : TEXT(""));
        json_key(json, "decision");
        json_decision(json, scratch, caution->decision);
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void put_left_out(Json *json, Arena *scratch, const LawTree *law)
{
    uint32_t count = 0;
    const LeftOut *left = law_left_out(scratch, law, &count);
    json_key(json, "left_out");
    json_open(json, '[');
    for (uint32_t i = 0; i < count; i++) {
        json_open_flat(json, '{');
        json_put_text(json, "code", left[i].code->name->text);
        json_put_text(json, "edition", left[i].code->edition);
        json_put_text(json, "section", left[i].omitted->target.number);
        json_put_text_or_null(
            json, "part",
            left[i].omitted->target.part == NULL ? TEXT("") : left[i].omitted->target.part->text);
        json_put_text(json, "reason", left[i].omitted->reason);
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void put_bases(Json *json, Arena *scratch, const Review *review)
{
    uint32_t counts[BASIS_KINDS];
    count_bases(scratch, review, counts);
    json_key(json, "bases");
    json_open_flat(json, '{');
    for (int kind = BASIS_READ; kind <= BASIS_INVENTED; kind++) {
        json_put_count(json, basis_word((BasisKind)kind), counts[kind]);
    }
    json_put_count(json, "not_stated", counts[BASIS_UNSAID]);
    json_close(json, '}');
}

static void put_findings(Json *json, Arena *scratch, const Review *review)
{
    json_key(json, "findings");
    json_open(json, '[');
    for (uint32_t i = 0; i < review->finding_count; i++) {
        ArenaMark mark = arena_mark(scratch);
        json_finding(json, scratch, review, &review->findings[i]);
        arena_reset(scratch, mark);
    }
    json_close(json, ']');
}

static void put_review(Json *json, Arena *scratch, const Reviewed *reviewed)
{
    const Review *review = reviewed->review;
    const Spec *spec = review->spec;
    const LawTree *law = review->law->tree;
    json_open(json, '{');
    json_put_text(json, "spec", spec->source->path);
    json_put_text_or_null(json, "unit", spec->unit_name);
    json_put_text_or_null(json, "builder", spec->builder);
    json_put_text_or_null(json, "cycle", spec->cycle);
    json_put_text(json, "vocabulary", spec->vocabulary->name->text);
    json_put_text(json, "jurisdiction", law->jurisdiction->name->text);
    json_put_text(json, "jurisdiction_title", law->jurisdiction->title);
    json_key(json, "levels");
    json_open_flat(json, '[');
    for (uint32_t i = 0; i < law->level_count; i++) {
        json_text(json, law->levels[i]->name->text);
    }
    json_close(json, ']');
    put_place(json, scratch, review);
    json_day(json, "on", review->on);
    json_put_string(json, "on_from", origin_data(reviewed->origin));
    json_put_string(json, "stage", stage_word(review->stage));
    json_law(json, scratch, law);
    json_digests(json, reviewed);
    json_put_count(json, "status", (uint64_t)review_status(review));
    put_counts(json, review);
    put_findings(json, scratch, review);
    put_questions(json, scratch, review);
    put_cautions(json, scratch, review);
    put_left_out(json, scratch, law);
    put_bases(json, scratch, review);
    json_day(json, "next_change", reviewed->has_change ? reviewed->change : DAY_FOREVER);
    json_close(json, '}');
}

struct JsonReport {
    Json json;
};

JsonReport *json_report_start(Arena *arena)
{
    JsonReport *report = ARENA_NEW(arena, JsonReport);
    report->json = json_make(arena);
    Json *json = &report->json;
    json_open(json, '{');
    json_key(json, "shall");
    json_open(json, '{');
    json_put_string(json, "version", SHALL_VERSION);
    json_close(json, '}');
    json_put_count(json, "format", FORMAT_VERSION);
    json_key(json, "reviews");
    json_open(json, '[');
    return report;
}

void json_report_add(JsonReport *report, const Reviewed *reviewed)
{
    Arena *scratch = arena_new();
    put_review(&report->json, scratch, reviewed);
    arena_free(scratch);
}

Text json_report_end(JsonReport *report)
{
    json_close(&report->json, ']');
    json_close(&report->json, '}');
    buffer_char(&report->json.out, '\n');
    return json_done(&report->json);
}
