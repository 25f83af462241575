/* shall review: judges each spec in each jurisdiction, writes the letters and the JSON. */
#include <string.h>
#include <unistd.h>

#include "command/command.h"

static const Option options[] = {
    SESSION_OPTIONS,
    {"--json", "FILE",
     "writes the report as JSON too; with - to standard output, instead of the text"},
    {"--standing", "SECTION",
     "sets the official questions of this section aside; again for several"},
    {"--brief", NULL, "leaves out all that asks nothing of the reader"},
    {NULL, NULL, NULL}};

typedef struct Reviewing {
    Session session;
    ReviewOptions options;
    JsonReport *json; /* NULL: none is wanted */
    bool text;
    bool brief;
    Style style;
    size_t shown;
} Reviewing;

static void put_between(Reviewing *reviewing)
{
    if (reviewing->shown++ > 0) {
        put_out(TEXT("\n\n"));
    }
}

/* False after a message: the review is not whole. */
static bool judge_law(Reviewing *reviewing, Arena *arena, const Docket *docket, const Law *law,
                      Reviewed *out)
{
    Session *session = &reviewing->session;
    *out = (Reviewed){.review = review_make(arena, law, docket->spec, &reviewing->options),
                      .origin = docket->origin};
    const Section *overflow = out->review->overflow;
    if (overflow != NULL) {
        complain(
            session->run,
            "%.*s: section \"%.*s\" has more than %d findings; a list is longer than any unit's",
            TEXT_ARG(docket->spec->source->path), TEXT_ARG(overflow->number), FINDINGS_MAX);
        return false;
    }
    out->has_change = review_next_change(arena, session->rules.library, out->review, &out->change);
    out->digests = session_digests(session, &out->digest_count);
    return true;
}

static Status put_review(Reviewing *reviewing, Arena *arena, const Reviewed *reviewed)
{
    if (reviewing->json != NULL) {
        json_report_add(reviewing->json, reviewed);
    }
    if (reviewing->text) {
        put_between(reviewing);
        put_out(report_text(arena, reviewed, reviewing->style, reviewing->brief));
    }
    return (Status)review_status(reviewed->review);
}

/* Some laws of a docket: those of one place, which has a page before its letters, or one alone. */
static Status judge_laws(Reviewing *reviewing, Arena *arena, const Docket *docket,
                         const Law *const *laws, size_t count)
{
    Reviewed *reviewed = ARENA_ARRAY(arena, Reviewed, count);
    size_t judged = 0;
    Status status = STATUS_COMPLIES;
    for (size_t i = 0; i < count; i++) {
        if (judge_law(reviewing, arena, docket, laws[i], &reviewed[judged])) {
            judged++;
        } else {
            status = STATUS_BAD_INPUT;
        }
    }
    if (reviewing->text && judged > 0 && laws[0]->tree->place != NULL) {
        put_between(reviewing);
        put_out(report_first_page(arena, reviewed, (uint32_t)judged, reviewing->style));
    }
    for (size_t i = 0; i < judged; i++) {
        status = worse_status(status, put_review(reviewing, arena, &reviewed[i]));
    }
    return status;
}

static Status judge_spec(Reviewing *reviewing, const char *path)
{
    Arena *arena = arena_new();
    Docket docket;
    Status status = STATUS_COMPLIES;
    if (session_docket(&reviewing->session, arena, path, &docket)) {
        reviewing->options.on = docket.on;
        for (size_t i = 0; i < docket.law_count;) {
            const PlaceTree *place = docket.laws[i]->tree->place;
            size_t count = 1;
            while (place != NULL && i + count < docket.law_count &&
                   docket.laws[i + count]->tree->place == place) {
                count++;
            }
            status =
                worse_status(status, judge_laws(reviewing, arena, &docket, &docket.laws[i], count));
            i += count;
        }
    }
    arena_free(arena);
    return status;
}

static Status review(Run *run)
{
    Reviewing reviewing = {.style = style_of(STDOUT_FILENO)};
    if (!session_open(run, &reviewing.session, false)) {
        return reviewing.session.status;
    }
    const char *json = last_value(&run->arguments, "--json");
    size_t standing = 0;
    reviewing.options.stage = reviewing.session.stage;
    reviewing.options.standing =
        all_values(run->arena, &run->arguments, "--standing", 0, &standing);
    reviewing.options.standing_count = (uint32_t)standing;
    reviewing.brief = has_option(&run->arguments, "--brief");
    reviewing.text = json == NULL || strcmp(json, "-") != 0;
    reviewing.json = json == NULL ? NULL : json_report_start(run->arena);
    Status status = STATUS_COMPLIES;
    for (size_t i = 0; i < run->arguments.operand_count; i++) {
        status = worse_status(status, judge_spec(&reviewing, run->arguments.operands[i]));
    }
    if (json != NULL) {
        Status written = write_file(run, json, json_report_end(reviewing.json));
        status = worse_status(status, written);
    }
    return worse_status(status, reviewing.session.status);
}

const Command command_review = {
    .name = "review",
    .summary = "judges build specs against the law in force",
    .operands = "SPEC...",
    .about =
        "Judges each build spec (YAML or JSON; - is standard input) under the law in force in each "
        "jurisdiction, and prints a letter: corrections first, each with what was measured, the "
        "limit, the margin, the remedy and the citation; then the facts that are missing, as "
        "questions; then the rest.\n\n"
        "Exit status: 0 all complies or is excused, 1 at least one correction, 2 no correction but "
        "information is required or an official decides; 64 misuse, 65 a spec or rule file has "
        "errors, 66 a file cannot be read, 73 or 74 a file cannot be written.",
    .options = options,
    .run = review};
