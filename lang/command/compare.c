/* shall compare: the law of two or more jurisdictions, or of one in two states, and the findings
 * of build specs under them. */
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "command/compare_inner.h"

static const Option options[] = {
    {"--between", "FROM TO",
     "what changed in the law: FROM and TO are two dates, or two rule files or directories"},
    {"--on", "DATE", "the law of this date; without it, today, and for a spec its 'submitted'"},
    {"--stage", "STAGE", "intake, plan, rough_in, final or operation; without it, plan"},
    {"--rules", "PATH", "a rule file or a directory of them; again for several"},
    {"--topic", "TOPIC", "this topic and those below it alone; again for several"},
    {"--all", NULL, "also what is the same"},
    {"--json", "FILE", "writes JSON too; with - to standard output, instead of the text"},
    {"--html", "FILE", "writes one HTML file too; with - to standard output, instead of the text"},
    {NULL, NULL, NULL}};

/* ---- operands ---- */

static bool is_spec(const char *word)
{
    static const char *const endings[] = {".yaml", ".yml", ".json"};
    struct stat about;
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
        if (text_ends(text_of(word), text_of(endings[i]))) {
            return true;
        }
    }
    return strcmp(word, "-") == 0 || (stat(word, &about) == 0 && S_ISREG(about.st_mode));
}

static void split_operands(Comparer *comparer)
{
    Run *run = comparer->run;
    size_t count = run->arguments.operand_count;
    comparer->specs = ARENA_ARRAY(run->arena, const char *, count + 1);
    comparer->names = ARENA_ARRAY(run->arena, Text, count + 1);
    for (size_t i = 0; i < count; i++) {
        const char *word = run->arguments.operands[i];
        if (is_spec(word)) {
            comparer->specs[comparer->spec_count++] = word;
        } else {
            comparer->names[comparer->name_count++] = text_of(word);
        }
    }
}

/* ---- what both kinds of comparison need ---- */

/* A session wants operands; a comparison of laws alone has none for it. */
bool comparer_open(Comparer *comparer, Run *run, Session *session)
{
    static const char *const none[] = {"-", NULL};
    Run *inner = ARENA_NEW(run->arena, Run);
    *inner = *run;
    const char **operands = ARENA_ARRAY(run->arena, const char *, 1);
    operands[0] = none[0];
    inner->arguments.operands = operands;
    inner->arguments.operand_count = 1;
    if (session_open(inner, session, true)) {
        return true;
    }
    comparer->status = worse_status(comparer->status, session->status);
    return false;
}

/* ---- jurisdictions ---- */

static Operand *find_operands(Comparer *comparer, Session *session)
{
    Operand *operands = ARENA_ARRAY(comparer->run->arena, Operand, comparer->name_count + 1);
    for (size_t i = 0; i < comparer->name_count; i++) {
        Text name = comparer->names[i];
        if (!operand_find(comparer, session, name, &operands[i])) {
            return NULL;
        }
        if (operands[i].venue_count == 0) {
            (void)rules_jurisdiction(comparer->run, &session->rules, name);
            comparer->status = worse_status(comparer->status, STATUS_BAD_INPUT);
            return NULL;
        }
    }
    return operands;
}

static bool find_sides(Comparer *comparer, Session *session, const Operand *operands, Day on,
                       CompareGroup *group)
{
    CompareSide *sides = ARENA_ARRAY(comparer->run->arena, CompareSide, comparer->name_count);
    for (size_t i = 0; i < comparer->name_count; i++) {
        const LawUnion *law = NULL;
        if (!operand_law(comparer, session, &operands[i], on, WANT_ALL, &law)) {
            return false;
        }
        sides[i] = (CompareSide){law->law, operands[i].name, operands[i].title};
    }
    group->sides = sides;
    group->side_count = (uint32_t)comparer->name_count;
    return true;
}

/* Every two laws once: those with the first one first, in order. */
static void compare_pairs(Comparer *comparer, CompareGroup *group)
{
    Arena *arena = comparer->run->arena;
    uint32_t n = group->side_count;
    ComparePair *pairs = ARENA_ARRAY(arena, ComparePair, (size_t)n * (n - 1) / 2 + 1);
    for (uint32_t a = 0; a < n; a++) {
        for (uint32_t b = a + 1; b < n; b++) {
            pairs[group->pair_count++] =
                (ComparePair){a, b,
                              law_compare(arena, group->sides[a].law, group->sides[b].law,
                                          comparer->topics, comparer->topic_count)};
        }
    }
    group->pairs = pairs;
}

static bool make_build(Comparer *comparer, Session *session, const Operand *operands,
                       const char *path, CompareBuild *out)
{
    Seat *seats = ARENA_ARRAY(comparer->run->arena, Seat, comparer->name_count);
    session->venues = operands[0].venues;
    session->venue_count = operands[0].venue_count;
    const Spec *spec = session_spec(session, comparer->run->arena, path);
    comparer->status = worse_status(comparer->status, session->status);
    for (size_t i = 0; spec != NULL && i < comparer->name_count; i++) {
        seats[i] = seat_of(session, &operands[i], spec);
    }
    return spec != NULL &&
           comparer_build(comparer, seats, (uint32_t)comparer->name_count, WANT_ALL, out);
}

static void make_builds(Comparer *comparer, Session *session, const Operand *operands,
                        CompareGroup *group)
{
    CompareBuild *builds =
        ARENA_ARRAY(comparer->run->arena, CompareBuild, comparer->spec_count + 1);
    for (size_t i = 0; i < comparer->spec_count; i++) {
        if (make_build(comparer, session, operands, comparer->specs[i],
                       &builds[group->build_count])) {
            group->build_count++;
        }
    }
    group->builds = builds;
}

static bool compare_jurisdictions(Comparer *comparer, Compared *out)
{
    Run *run = comparer->run;
    Session *session = &comparer->sessions[0];
    if (comparer->name_count < 2) {
        comparer->status =
            misuse(run, comparer->name_count == 0
                            ? "name two jurisdictions to be compared, or say --between FROM TO"
                            : "one jurisdiction is named, and two are compared; or say --between "
                              "FROM TO");
        return false;
    }
    if (!comparer_open(comparer, run, session)) {
        return false;
    }
    const Operand *operands = find_operands(comparer, session);
    out->on = session->has_on ? session->on : today();
    out->origin = session->has_on ? DATE_GIVEN : DATE_TODAY;
    CompareGroup *group = ARENA_NEW(run->arena, CompareGroup);
    if (operands == NULL || !find_sides(comparer, session, operands, out->on, group)) {
        return false;
    }
    compare_pairs(comparer, group);
    make_builds(comparer, session, operands, group);
    out->digests[0] = session_digests(session, &out->digest_count[0]);
    out->groups = group;
    out->group_count = 1;
    return true;
}

/* ---- the command ---- */

static const Given *find_between(const Arguments *arguments)
{
    for (size_t i = arguments->given_count; i-- > 0;) {
        if (strcmp(arguments->given[i].option->name, "--between") == 0) {
            return &arguments->given[i];
        }
    }
    return NULL;
}

static Status write_reports(Run *run, const Compared *compared)
{
    const char *json = last_value(&run->arguments, "--json");
    const char *html = last_value(&run->arguments, "--html");
    Status status = STATUS_COMPLIES;
    bool to_out =
        (json != NULL && strcmp(json, "-") == 0) || (html != NULL && strcmp(html, "-") == 0);
    if (!to_out) {
        put_out(compare_text(run->arena, compared, style_of(STDOUT_FILENO)));
    }
    if (json != NULL) {
        status = worse_status(status, write_file(run, json, compare_json(run->arena, compared)));
    }
    if (html != NULL) {
        status = worse_status(status, write_file(run, html, compare_html(run->arena, compared)));
    }
    return status;
}

static Status compare(Run *run)
{
    Comparer comparer = {.run = run, .status = STATUS_COMPLIES};
    Compared compared = {.all = has_option(&run->arguments, "--all")};
    const char *json = last_value(&run->arguments, "--json");
    const char *html = last_value(&run->arguments, "--html");
    if (json != NULL && html != NULL && strcmp(json, "-") == 0 && strcmp(html, "-") == 0) {
        return misuse(run, "only one of --json and --html can go to standard output");
    }
    comparer.topics =
        all_values(run->arena, &run->arguments, "--topic", ',', &comparer.topic_count);
    compared.topics = comparer.topics;
    compared.topic_count = comparer.topic_count;
    split_operands(&comparer);
    const Given *between = find_between(&run->arguments);
    bool good = between == NULL ? compare_jurisdictions(&comparer, &compared)
                                : compare_states(&comparer, between, &compared);
    if (!good) {
        return comparer.status;
    }
    Status status = compared_is_same(&compared) ? STATUS_COMPLIES : STATUS_CORRECTION;
    status = worse_status(status, write_reports(run, &compared));
    return worse_status(status, comparer.status);
}

const Command command_compare = {
    .name = "compare",
    .summary = "tells what differs between jurisdictions, or between two states of the law",
    .operands = "JURISDICTION... [SPEC...]",
    .about =
        "Compares the law of the first jurisdiction with that of each other one, requirement by "
        "requirement: same, stricter, looser, different in kind, only here, not decided. A place "
        "stands for the law of those that decide there, each in what it decides. With "
        "build specs (operands that end in .yaml, .yml or .json, or name a file), also their "
        "findings, side by side, those that change first. With --between, the law of each "
        "jurisdiction named, or of all, in two states: what changed, and which builds come out "
        "otherwise, and why.\n\n"
        "Exit status: 0 nothing differs, 1 something differs; 64 misuse, 65 a spec or rule file "
        "has errors or a jurisdiction is unknown, 66 a file cannot be read, 73 or 74 a file cannot "
        "be written.",
    .options = options,
    .run = compare};
