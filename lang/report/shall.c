/* The public interface (include/shall.h): rule files and reviews as objects with an arena of
 * their own. A review holds all that it made; the rules outlive it. */
#include "shall.h"

#include "report/report.h"

enum { STATUS_BAD_INPUT = 65 };

struct ShallRules {
    Arena *arena;
    Names *names;
    Library *library;
    size_t errors;
    const char *messages;
};

struct ShallReview {
    Arena *arena;
    int status;
    const char *messages;
    const char *text;
    const char *json;
};

static const Style PLAIN = {WIDTH_USUAL, false};

const char *shall_version(void)
{
    return SHALL_VERSION;
}

ShallRules *shall_rules_read(const char *const *paths, size_t count)
{
    Arena *arena = arena_new();
    ShallRules *rules = ARENA_NEW(arena, ShallRules);
    Diagnostics diags = diagnostics_make(arena);
    rules->arena = arena;
    rules->names = names_new(arena);
    rules->library = library_read(arena, rules->names, paths, count, &diags);
    rules->messages = text_string(arena, report_diagnostics(arena, &diags, PLAIN));
    rules->errors = diags.errors;
    return rules;
}

void shall_rules_free(ShallRules *rules)
{
    if (rules != NULL) {
        arena_free(rules->arena);
    }
}

size_t shall_rules_errors(const ShallRules *rules)
{
    return rules->errors;
}

const char *shall_rules_messages(const ShallRules *rules)
{
    return rules->messages;
}

/* ---- reviews ---- */

static const Place NOWHERE = {NULL, {0, 0}};

/* The law of a jurisdiction on a date; NULL with messages. It lives in the review's arena, not in
 * the library's, so that two threads may ask one library. */
static const Law *find_law(Arena *arena, const ShallRules *rules, const char *jurisdiction,
                           const char *on, Day *day, Diagnostics *diags)
{
    const char *reason = "";
    Day last = 0;
    if (!date_parse(text_of(on), day, &last, &reason) || *day != last) {
        diagnostic_error(diags, "bad date", NOWHERE, "'%s' is no date such as 2025-07-01", on);
        return NULL;
    }
    const JurisdictionTree *tree = library_jurisdiction(rules->library, text_of(jurisdiction));
    if (tree == NULL) {
        diagnostic_error(diags, "unknown jurisdiction", NOWHERE,
                         "no rule file has the jurisdiction '%s'", jurisdiction);
        return NULL;
    }
    const LawTree *law = law_assemble(arena, rules->library, tree, *day, diags);
    return diags->errors > 0 ? NULL : law_check(arena, rules->library, law, false, diags);
}

static void judge(ShallReview *out, const ShallRules *rules, const Law *law, const Spec *spec,
                  Day on)
{
    ReviewOptions options = {.on = on, .stage = STAGE_PLAN};
    Reviewed reviewed = {.review = review_make(out->arena, law, spec, &options),
                         .origin = DATE_GIVEN};
    if (reviewed.review->overflow != NULL) {
        out->messages =
            "a section has more findings than are kept: a list is longer than any unit's";
        return;
    }
    reviewed.has_change =
        review_next_change(out->arena, rules->library, reviewed.review, &reviewed.change);
    out->status = review_status(reviewed.review);
    out->text = text_string(out->arena, report_text(out->arena, &reviewed, PLAIN, false));
    JsonReport *json = json_report_start(out->arena);
    json_report_add(json, &reviewed);
    out->json = text_string(out->arena, json_report_end(json));
}

ShallReview *shall_review(const ShallRules *rules, const char *name, const char *spec, size_t size,
                          const char *jurisdiction, const char *on)
{
    Arena *arena = arena_new();
    ShallReview *out = ARENA_NEW(arena, ShallReview);
    *out = (ShallReview){arena, STATUS_BAD_INPUT, "", "", ""};
    Diagnostics diags = diagnostics_make(arena);
    Day day = 0;
    const Law *law = NULL;
    if (rules->errors > 0) {
        diagnostic_error(&diags, "rules with errors", NOWHERE, "the rule files have errors");
    } else {
        law = find_law(arena, rules, jurisdiction, on, &day, &diags);
    }
    if (law != NULL && diags.errors == 0) {
        const Source *source = source_of(arena, text_of(name), (Text){spec, size});
        const Spec *read = spec_read(arena, rules->names, law->vocabulary, source, &diags);
        if (read != NULL && diags.errors == 0) {
            judge(out, rules, law, read, day);
        }
    }
    out->messages = text_string(arena, report_diagnostics(arena, &diags, PLAIN));
    return out;
}

void shall_review_free(ShallReview *review)
{
    if (review != NULL) {
        arena_free(review->arena);
    }
}

int shall_review_status(const ShallReview *review)
{
    return review->status;
}

const char *shall_review_messages(const ShallReview *review)
{
    return review->messages;
}

const char *shall_review_text(const ShallReview *review)
{
    return review->text;
}

const char *shall_review_json(const ShallReview *review)
{
    return review->json;
}
