/* shall compare --between: each jurisdiction's law in two states, of two dates or of two rule
 * libraries, and the builds that come out otherwise. */
#include <string.h>
#include <sys/stat.h>

#include "command/compare_inner.h"

/* ---- from and to ---- */

static bool whole_date(const char *word, Day *day)
{
    Day last = 0;
    const char *reason = "";
    return date_parse(text_of(word), day, &last, &reason) && *day == last;
}

static bool exists(const char *path)
{
    struct stat about;
    return stat(path, &about) == 0;
}

/* The same arguments, with the rule files of one state. */
static Run *run_with_rules(Run *run, const char *path)
{
    Run *inner = ARENA_NEW(run->arena, Run);
    *inner = *run;
    size_t count = run->arguments.given_count;
    inner->arguments.given = ARENA_ARRAY(run->arena, Given, count + 1);
    for (size_t i = 0; i < count; i++) {
        inner->arguments.given[i] = run->arguments.given[i];
    }
    for (const Option *option = run->command->options; option->name != NULL; option++) {
        if (strcmp(option->name, "--rules") == 0) {
            inner->arguments.given[inner->arguments.given_count++] = (Given){option, path, NULL};
        }
    }
    return inner;
}

static bool open_libraries(Comparer *comparer, const Given *between)
{
    Run *run = comparer->run;
    if (has_option(&run->arguments, "--rules")) {
        comparer->status =
            misuse(run, "--rules has no place beside --between with two rule directories");
        return false;
    }
    return comparer_open(comparer, run_with_rules(run, between->value), &comparer->sessions[0]) &&
           comparer_open(comparer, run_with_rules(run, between->second), &comparer->sessions[1]);
}

static bool open_dates(Comparer *comparer, Day from, Day to)
{
    if (has_option(&comparer->run->arguments, "--on")) {
        comparer->status =
            misuse(comparer->run, "--on has no place beside --between with two dates");
        return false;
    }
    if (!comparer_open(comparer, comparer->run, &comparer->sessions[0])) {
        return false;
    }
    comparer->sessions[1] = comparer->sessions[0];
    comparer->sessions[0].on = from;
    comparer->sessions[1].on = to;
    comparer->sessions[0].has_on = comparer->sessions[1].has_on = true;
    return true;
}

/* Meant as a date: why it is none; "" otherwise. */
static const char *why_no_date(const char *word)
{
    Day first = 0;
    Day last = 0;
    const char *reason = "";
    bool meant = ascii_is_digit(word[0]) && strchr(word, '-') != NULL && !exists(word);
    if (!meant) {
        return "";
    }
    return date_parse(text_of(word), &first, &last, &reason) ? "it is not one day" : reason;
}

static bool refuse_states(Comparer *comparer, const Given *between, bool from, bool to)
{
    const char *word = from ? between->second : between->value;
    const char *reason = why_no_date(word);
    if (reason[0] != '\0') {
        comparer->status = misuse(comparer->run, "--between: '%s' is no date: %s", word, reason);
        return false;
    }
    if (from != to) {
        comparer->status = misuse(
            comparer->run,
            "--between: '%s' is a date and '%s' is none; two dates or two rule "
            "directories",
            from ? between->value : between->second, from ? between->second : between->value);
    } else {
        comparer->status =
            misuse(comparer->run, "--between: '%s' is neither a date nor a rule file or directory",
                   exists(between->value) ? between->second : between->value);
    }
    return false;
}

/* ---- jurisdictions ---- */

/* A spec as read for each state, and where it is passed over. */
typedef struct SpecRead {
    const Spec *spec[2]; /* NULL: it has errors, which have been shown */
    Buffer without, foreign;
} SpecRead;

typedef struct States {
    Comparer *comparer;
    bool named;        /* on the command line; else all that either state has */
    SpecRead *specs;   /* where nothing is named: read once */
    Operand *operands; /* by name, two */
} States;

static bool is_known(const Session *session, Text name)
{
    const Library *library = session->rules.library;
    return library_jurisdiction(library, name) != NULL || library_place(library, name) != NULL;
}

static bool check_names(Comparer *comparer)
{
    for (size_t i = 0; i < comparer->name_count; i++) {
        if (!is_known(&comparer->sessions[0], comparer->names[i]) &&
            !is_known(&comparer->sessions[1], comparer->names[i])) {
            (void)rules_jurisdiction(comparer->run, &comparer->sessions[1].rules,
                                     comparer->names[i]);
            comparer->status = worse_status(comparer->status, STATUS_BAD_INPUT);
            return false;
        }
    }
    return true;
}

static void add_name(Comparer *comparer, Text name)
{
    for (size_t i = 0; i < comparer->name_count; i++) {
        if (text_equal(comparer->names[i], name)) {
            return;
        }
    }
    comparer->names[comparer->name_count++] = name;
}

/* The jurisdictions of both states, and the places that specs name. */
static void find_names(States *states)
{
    Comparer *comparer = states->comparer;
    size_t room = 1;
    for (int k = 0; k < 2; k++) {
        room += comparer->sessions[k].rules.library->jurisdiction_count +
                comparer->sessions[k].rules.library->place_count;
    }
    comparer->names = ARENA_ARRAY(comparer->run->arena, Text, room);
    for (int k = 0; k < 2; k++) {
        const Library *library = comparer->sessions[k].rules.library;
        for (uint32_t i = 0; i < library->jurisdiction_count; i++) {
            Text name = library->jurisdictions[i]->name->text;
            if (k == 0 || !is_known(&comparer->sessions[0], name)) {
                comparer->names[comparer->name_count++] = name;
            }
        }
    }
    for (size_t i = 0; i < comparer->spec_count; i++) {
        const Spec *spec = states->specs[i].spec[0];
        for (uint32_t k = 0; spec != NULL && k < spec->jurisdiction_count; k++) {
            if (is_known(&comparer->sessions[0], spec->jurisdictions[k]) ||
                is_known(&comparer->sessions[1], spec->jurisdictions[k])) {
                add_name(comparer, spec->jurisdictions[k]);
            }
        }
    }
}

/* ---- groups ---- */

static Day state_day(const Session *session)
{
    return session->has_on ? session->on : today();
}

/* False after messages: a law with errors is not a law that is gone. */
static bool make_group(Comparer *comparer, const Compared *compared, Text name, Operand *operands,
                       CompareGroup *group)
{
    Arena *arena = comparer->run->arena;
    CompareSide *sides = ARENA_ARRAY(arena, CompareSide, 2);
    const Text titles[2] = {compared->from, compared->to};
    group->title = name;
    for (int i = 0; i < 2; i++) {
        Session *session = &comparer->sessions[i];
        const LawUnion *law = NULL;
        if (!operand_find(comparer, session, name, &operands[i]) ||
            !operand_law(comparer, session, &operands[i], state_day(session), WANT_ANY, &law)) {
            return false;
        }
        sides[i] = (CompareSide){law == NULL ? NULL : law->law, name, titles[i]};
        group->title = operands[i].venue_count > 0 ? operands[i].title : group->title;
    }
    group->sides = sides;
    group->side_count = 2;
    if (sides[0].law != NULL && sides[1].law != NULL) {
        ComparePair *pair = ARENA_NEW(arena, ComparePair);
        *pair = (ComparePair){0, 1,
                              law_compare(arena, sides[0].law, sides[1].law, comparer->topics,
                                          comparer->topic_count)};
        group->pairs = pair;
        group->pair_count = 1;
    }
    return true;
}

/* ---- builds ---- */

/* Of the venues of both states the vocabulary is taken, where the spec names none. */
static SpecRead read_spec(Comparer *comparer, const Operand *operands, const char *path)
{
    Arena *arena = comparer->run->arena;
    SpecRead read = {.without = buffer_make(arena), .foreign = buffer_make(arena)};
    for (int i = 0; i < 2; i++) {
        Session *session = &comparer->sessions[i];
        session->venues = operands == NULL ? NULL : operands[i].venues;
        session->venue_count = operands == NULL ? 0 : operands[i].venue_count;
        read.spec[i] = i == 1 && read.spec[0] == NULL ? NULL : session_spec(session, arena, path);
        comparer->status = worse_status(comparer->status, session->status);
    }
    return read;
}

static bool spec_names(const Spec *spec, Text name)
{
    for (uint32_t i = 0; i < spec->jurisdiction_count; i++) {
        if (text_equal(spec->jurisdictions[i], name)) {
            return true;
        }
    }
    return spec->jurisdiction_count == 0;
}

static bool pass_over(Buffer *where, Text name)
{
    buffer_format(where, "%s'%.*s'", where->len > 0 ? ", " : "", TEXT_ARG(name));
    return true;
}

/* Where nobody named the jurisdiction, a spec is not for every one. True after messages too. */
static bool is_passed_over(Comparer *comparer, SpecRead *read, const Seat *seats)
{
    for (int i = 0; i < 2; i++) {
        const LawUnion *law = NULL;
        const Operand *operand = seats[i].operand;
        if (!operand_law(comparer, seats[i].session, operand, seats[i].docket.on, WANT_ANY, &law)) {
            return true;
        }
        if (law == NULL) {
            return pass_over(&read->without, operand->name);
        }
        if (law->law->vocabulary != read->spec[i]->vocabulary) {
            return pass_over(&read->foreign, operand->name);
        }
    }
    return false;
}

static bool make_build(States *states, size_t name, SpecRead *read, CompareBuild *out)
{
    Comparer *comparer = states->comparer;
    const Operand *operands = &states->operands[2 * name];
    Seat seats[2];
    if (read->spec[0] == NULL || read->spec[1] == NULL ||
        (!states->named && !spec_names(read->spec[0], comparer->names[name]))) {
        return false;
    }
    for (int i = 0; i < 2; i++) {
        seats[i] = seat_of(&comparer->sessions[i], &operands[i], read->spec[i]);
    }
    if (!states->named && is_passed_over(comparer, read, seats)) {
        return false;
    }
    return comparer_build(comparer, seats, 2, WANT_SOME, out);
}

static void make_builds(States *states, size_t name, CompareGroup *group)
{
    Comparer *comparer = states->comparer;
    CompareBuild *builds =
        ARENA_ARRAY(comparer->run->arena, CompareBuild, comparer->spec_count + 1);
    for (size_t i = 0; i < comparer->spec_count; i++) {
        if (group->pair_count == 0 && states->named) {
            continue; /* new, or gone */
        }
        SpecRead own = {0};
        SpecRead *read = &own;
        if (states->named) {
            own = read_spec(comparer, &states->operands[2 * name], comparer->specs[i]);
        } else {
            read = &states->specs[i];
        }
        if (make_build(states, name, read, &builds[group->build_count])) {
            group->build_count++;
        }
    }
    group->builds = builds;
}

static void tell_passed_over(const States *states)
{
    const Comparer *comparer = states->comparer;
    for (size_t i = 0; i < comparer->spec_count && !states->named; i++) {
        const SpecRead *read = &states->specs[i];
        Text without = buffer_done(&read->without);
        Text foreign = buffer_done(&read->foreign);
        if (without.len > 0) {
            complain(comparer->run,
                     "%s is not judged in %.*s, where one state or both have no code in force",
                     comparer->specs[i], TEXT_ARG(without));
        }
        if (foreign.len > 0) {
            complain(comparer->run, "%s is not judged in %.*s, whose law has another vocabulary",
                     comparer->specs[i], TEXT_ARG(foreign));
        }
    }
}

static void read_specs(States *states)
{
    Comparer *comparer = states->comparer;
    states->specs = ARENA_ARRAY(comparer->run->arena, SpecRead, comparer->spec_count + 1);
    for (size_t i = 0; i < comparer->spec_count && !states->named; i++) {
        states->specs[i] = read_spec(comparer, NULL, comparer->specs[i]);
    }
}

/* False after messages. */
static bool make_groups(States *states, Compared *out)
{
    Comparer *comparer = states->comparer;
    Arena *arena = comparer->run->arena;
    CompareGroup *groups = ARENA_ARRAY(arena, CompareGroup, comparer->name_count + 1);
    states->operands = ARENA_ARRAY(arena, Operand, 2 * comparer->name_count + 1);
    for (size_t i = 0; i < comparer->name_count; i++) {
        if (!make_group(comparer, out, comparer->names[i], &states->operands[2 * i], &groups[i])) {
            return false;
        }
    }
    for (size_t i = 0; i < comparer->name_count; i++) {
        make_builds(states, i, &groups[i]);
    }
    tell_passed_over(states);
    out->groups = groups;
    out->group_count = (uint32_t)comparer->name_count;
    return true;
}

bool compare_states(Comparer *comparer, const Given *between, Compared *out)
{
    Run *run = comparer->run;
    Day from = 0;
    Day to = 0;
    bool from_date = whole_date(between->value, &from);
    bool to_date = whole_date(between->second, &to);
    bool dates = from_date && to_date;
    States states = {.comparer = comparer, .named = comparer->name_count > 0};
    if (!dates && (from_date || to_date || !exists(between->value) || !exists(between->second))) {
        return refuse_states(comparer, between, from_date, to_date);
    }
    if (!(dates ? open_dates(comparer, from, to) : open_libraries(comparer, between)) ||
        !check_names(comparer)) {
        return false;
    }
    out->states = true;
    out->from = text_of(between->value);
    out->to = text_of(between->second);
    read_specs(&states);
    if (!states.named) {
        find_names(&states);
    }
    if (!make_groups(&states, out)) {
        return false;
    }
    for (int i = 0; i < (dates ? 1 : 2); i++) {
        out->digests[i] = session_digests(&comparer->sessions[i], &out->digest_count[i]);
    }
    if (out->group_count == 0) {
        complain(run, "the rule files have no jurisdiction");
        comparer->status = STATUS_BAD_INPUT;
        return false;
    }
    return true;
}
