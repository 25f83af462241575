/* A session: options that say under which law, on which date and at which stage specs are judged;
 * then one docket for each spec. The rule files are read once, each law is assembled and checked
 * once for its jurisdiction and date. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "command/command.h"

static const Place NOWHERE = {NULL, {0, 0}};

/* Corrections are worse than open questions, though 1 < 2; what was not judged is worst. */
Status worse_status(Status a, Status b)
{
    if (a >= STATUS_MISUSE || b >= STATUS_MISUSE) {
        return a > b ? a : b;
    }
    if (a == STATUS_CORRECTION || b == STATUS_CORRECTION) {
        return STATUS_CORRECTION;
    }
    return a > b ? a : b;
}

/* ---- options ---- */

static bool read_date(Session *session)
{
    const char *value = last_value(&session->run->arguments, "--on");
    if (value == NULL) {
        return true;
    }
    Day last = 0;
    const char *reason = "";
    if (!date_parse(text_of(value), &session->on, &last, &reason)) {
        (void)misuse(session->run, "--on: '%s' is no date: %s", value, reason);
        return false;
    }
    if (session->on != last) {
        (void)misuse(session->run, "--on wants a whole date such as 2025-07-01, not '%s'", value);
        return false;
    }
    session->has_on = true;
    return true;
}

static bool read_stage(Session *session)
{
    const char *value = last_value(&session->run->arguments, "--stage");
    session->stage = STAGE_PLAN;
    if (value == NULL) {
        return true;
    }
    for (int stage = STAGE_INTAKE; stage <= STAGE_OPERATION; stage++) {
        if (strcmp(value, stage_word((Stage)stage)) == 0) {
            session->stage = (Stage)stage;
            return true;
        }
    }
    (void)misuse(session->run,
                 "--stage: '%s' is no stage (intake, plan, rough_in, final, operation)", value);
    return false;
}

static void unknown_jurisdiction(Session *session, Text name)
{
    Run *run = session->run;
    Text near = library_nearest_jurisdiction(session->rules.library, name);
    if (session->rules.diags.errors > 0 && !session->rules.told) {
        put_diagnostics(run->arena, &session->rules.diags); /* it may stand in a broken file */
        session->rules.told = true;
    }
    if (near.len > 0) {
        complain(run, "no rule file has the jurisdiction '%.*s'; did you mean '%.*s'?",
                 TEXT_ARG(name), TEXT_ARG(near));
    } else {
        complain(run, "no rule file has the jurisdiction '%.*s'", TEXT_ARG(name));
    }
    session->status = STATUS_BAD_INPUT;
}

static bool read_jurisdictions(Session *session)
{
    Run *run = session->run;
    size_t count = 0;
    const Text *names = all_values(run->arena, &run->arguments, "--in", ',', &count);
    if (count == 0 && has_option(&run->arguments, "--in")) {
        session->status = misuse(run, "--in names no jurisdiction");
        return false;
    }
    session->jurisdictions = ARENA_ARRAY(run->arena, const JurisdictionTree *, count + 1);
    for (size_t i = 0; i < count; i++) {
        const JurisdictionTree *found = library_jurisdiction(session->rules.library, names[i]);
        if (found == NULL) {
            unknown_jurisdiction(session, names[i]);
            return false;
        }
        session->jurisdictions[session->jurisdiction_count++] = found;
    }
    return true;
}

bool session_open(Run *run, Session *session)
{
    *session = (Session){.run = run, .status = STATUS_COMPLIES};
    if (run->arguments.operand_count == 0) {
        session->status = misuse(run, "no build spec is named");
        return false;
    }
    if (!read_date(session) || !read_stage(session)) {
        session->status = STATUS_MISUSE;
        return false;
    }
    if (!rules_read(run, &session->rules)) {
        session->status = STATUS_NO_INPUT;
        return false;
    }
    return read_jurisdictions(session);
}

/* ---- the date ---- */

/* Today, where the program runs; SOURCE_DATE_EPOCH, in universal time, where it is set. */
static Day today(void)
{
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    struct tm now = {0};
    time_t at = time(NULL);
    if (epoch != NULL && epoch[0] != '\0') {
        at = (time_t)strtoll(epoch, NULL, 10);
        (void)gmtime_r(&at, &now);
    } else {
        (void)localtime_r(&at, &now);
    }
    return date_day(now.tm_year + 1900, now.tm_mon + 1, now.tm_mday);
}

static void set_date(const Session *session, Docket *docket)
{
    if (session->has_on) {
        docket->on = session->on;
        docket->origin = DATE_GIVEN;
    } else if (docket->spec->has_submitted) {
        docket->on = docket->spec->submitted;
        docket->origin = DATE_SUBMITTED;
    } else {
        docket->on = today();
        docket->origin = DATE_TODAY;
    }
}

/* ---- the law ---- */

static const Law *make_law(Session *session, const JurisdictionTree *jurisdiction, Day on)
{
    Run *run = session->run;
    if (!rules_sound(run, &session->rules, jurisdiction)) {
        return NULL;
    }
    Diagnostics diags = diagnostics_make(run->arena);
    const Library *library = session->rules.library;
    const LawTree *tree = law_assemble(run->arena, library, jurisdiction, on, &diags);
    const Law *law = diags.errors > 0 ? NULL : law_check(run->arena, library, tree, false, &diags);
    put_diagnostics(run->arena, &diags);
    return diags.errors > 0 ? NULL : law;
}

static const Law *find_law(Session *session, const JurisdictionTree *jurisdiction, Day on)
{
    for (const LawKept *kept = session->laws; kept != NULL; kept = kept->next) {
        if (kept->jurisdiction == jurisdiction && kept->on == on) {
            return kept->law;
        }
    }
    LawKept *kept = ARENA_NEW(session->run->arena, LawKept);
    *kept = (LawKept){jurisdiction, on, make_law(session, jurisdiction, on), session->laws};
    session->laws = kept;
    return kept->law;
}

/* ---- the spec ---- */

static Text vocabulary_list(Session *session)
{
    const Library *library = session->rules.library;
    Buffer out = buffer_make(session->run->arena);
    for (uint32_t i = 0; i < library->vocabulary_count; i++) {
        buffer_format(&out, "%s%.*s", i > 0 ? ", " : "",
                      TEXT_ARG(library->vocabularies[i]->name->text));
    }
    return buffer_done(&out);
}

/* The vocabulary that the spec names, else that of its law, else the only one. */
static const Vocabulary *find_vocabulary(Session *session, Arena *arena, const Source *source)
{
    const Rules *rules = &session->rules;
    Text name = spec_vocabulary_name(arena, source);
    const Vocabulary *found = NULL;
    if (name.len > 0) {
        const Name *known = names_find(rules->names, name);
        found = known == NULL ? NULL : library_vocabulary(rules->library, known);
        if (found == NULL) {
            complain(session->run, "%.*s: no rule file has the vocabulary '%.*s' (there are: %.*s)",
                     TEXT_ARG(source->path), TEXT_ARG(name), TEXT_ARG(vocabulary_list(session)));
        }
        return found;
    }
    if (session->jurisdiction_count > 0) {
        found = rules_vocabulary(rules, session->jurisdictions[0]);
    }
    if (found == NULL) {
        found = library_vocabulary(rules->library, NULL);
    }
    if (found == NULL) {
        complain(session->run, "%.*s: name the vocabulary ('vocabulary:'), one of %.*s",
                 TEXT_ARG(source->path), TEXT_ARG(vocabulary_list(session)));
    }
    return found;
}

static const Spec *read_spec(Session *session, Arena *arena, const char *path)
{
    Run *run = session->run;
    Text reason = TEXT("");
    const Source *source = source_read(arena, path, &reason);
    if (source == NULL) {
        complain(run, "cannot read '%s': %.*s", path, TEXT_ARG(reason));
        session->status = worse_status(session->status, STATUS_NO_INPUT);
        return NULL;
    }
    const Vocabulary *vocabulary = find_vocabulary(session, arena, source);
    const Spec *spec = NULL;
    if (vocabulary != NULL) {
        Diagnostics diags = diagnostics_make(arena);
        spec = spec_read(arena, session->rules.names, vocabulary, source, &diags);
        put_diagnostics(arena, &diags);
        spec = diags.errors > 0 ? NULL : spec;
    }
    if (spec == NULL) {
        session->status = worse_status(session->status, STATUS_BAD_INPUT);
    }
    return spec;
}

static Text jurisdiction_list(Session *session)
{
    const Library *library = session->rules.library;
    Buffer out = buffer_make(session->run->arena);
    for (uint32_t i = 0; i < library->jurisdiction_count; i++) {
        buffer_format(&out, "%s%.*s", i > 0 ? ", " : "",
                      TEXT_ARG(library->jurisdictions[i]->name->text));
    }
    return buffer_done(&out);
}

/* The jurisdictions of --in, else those that the spec names, each known. */
static const JurisdictionTree **find_jurisdictions(Session *session, Arena *arena, const Spec *spec,
                                                   size_t *count)
{
    if (session->jurisdiction_count > 0) {
        *count = session->jurisdiction_count;
        return session->jurisdictions;
    }
    *count = 0;
    const JurisdictionTree **found =
        ARENA_ARRAY(arena, const JurisdictionTree *, spec->jurisdiction_count + 1);
    if (spec->jurisdiction_count == 0) {
        session->status = worse_status(
            session->status,
            misuse(session->run,
                   "%.*s: under whose law? Say --in JURISDICTION, or 'jurisdictions:' in the spec "
                   "(there are: %.*s)",
                   TEXT_ARG(spec->source->path), TEXT_ARG(jurisdiction_list(session))));
        return NULL;
    }
    Diagnostics diags = diagnostics_make(arena);
    for (uint32_t i = 0; i < spec->jurisdiction_count; i++) {
        Text name = spec->jurisdictions[i];
        const JurisdictionTree *one = library_jurisdiction(session->rules.library, name);
        if (one != NULL) {
            found[(*count)++] = one;
            continue;
        }
        Diagnostic *diag =
            diagnostic_error(&diags, "unknown jurisdiction", spec->jurisdiction_places[i],
                             "no rule file has the jurisdiction '%.*s'", TEXT_ARG(name));
        Text near = library_nearest_jurisdiction(session->rules.library, name);
        if (near.len > 0) {
            diagnostic_note(&diags, diag, NOWHERE, "did you mean '%.*s'?", TEXT_ARG(near));
        }
    }
    put_diagnostics(arena, &diags);
    if (diags.errors > 0) {
        session->status = worse_status(session->status, STATUS_BAD_INPUT);
        return NULL;
    }
    return found;
}

static bool fits(Session *session, const Spec *spec, const Law *law)
{
    if (law->vocabulary == NULL) {
        complain(session->run, "no code is in force in '%.*s' on %.*s",
                 TEXT_ARG(law->tree->jurisdiction->name->text),
                 TEXT_ARG(date_print(session->run->arena, law->tree->on)));
        return false;
    }
    if (law->vocabulary == spec->vocabulary) {
        return true;
    }
    complain(session->run, "%.*s is written in the vocabulary '%.*s', the law of '%.*s' in '%.*s'",
             TEXT_ARG(spec->source->path), TEXT_ARG(spec->vocabulary->name->text),
             TEXT_ARG(law->tree->jurisdiction->name->text), TEXT_ARG(law->vocabulary->name->text));
    return false;
}

bool session_docket(Session *session, Arena *arena, const char *path, Docket *docket)
{
    *docket = (Docket){.spec = read_spec(session, arena, path)};
    if (docket->spec == NULL) {
        return false;
    }
    size_t count = 0;
    const JurisdictionTree **jurisdictions =
        find_jurisdictions(session, arena, docket->spec, &count);
    if (jurisdictions == NULL) {
        return false;
    }
    set_date(session, docket);
    docket->laws = ARENA_ARRAY(arena, const Law *, count + 1);
    for (size_t i = 0; i < count; i++) {
        const Law *law = find_law(session, jurisdictions[i], docket->on);
        if (law != NULL && fits(session, docket->spec, law)) {
            docket->laws[docket->law_count++] = law;
        } else {
            session->status = worse_status(session->status, STATUS_BAD_INPUT);
        }
    }
    return true;
}
