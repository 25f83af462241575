/* A session: options that say under which law, on which date and at which stage specs are judged;
 * then one docket for each spec. The rule files are read once, each law is assembled and checked
 * once for its jurisdiction, its place and its date. */
#include <string.h>

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

/* ---- venues ---- */

typedef struct Venues {
    Venue *list;
    size_t count;
} Venues;

/* The place of that name, unless a jurisdiction has it too, which the library has reported. */
static const PlaceTree *find_place(const Session *session, Text name)
{
    const Library *library = session->rules.library;
    return library_jurisdiction(library, name) == NULL ? library_place(library, name) : NULL;
}

/* How many venues some names may give. */
static size_t count_venues(const Session *session, const Text *names, size_t count)
{
    size_t room = 1;
    for (size_t i = 0; i < count; i++) {
        const PlaceTree *place = find_place(session, names[i]);
        const HolderTree *row = place == NULL ? NULL : place->holders;
        room++;
        for (; row != NULL; row = row->next) {
            room++;
        }
    }
    return room;
}

/* False after messages: the rule files of the place have errors. */
static bool add_place(Session *session, Venues *venues, const PlaceTree *place)
{
    Run *run = session->run;
    if (!rules_place_sound(run, &session->rules, place)) {
        return false;
    }
    uint32_t count = 0;
    const JurisdictionTree **jurisdictions =
        place_jurisdictions(run->arena, session->rules.library, place, &count);
    for (uint32_t i = 0; i < count; i++) {
        venues->list[venues->count++] = (Venue){place, jurisdictions[i]};
    }
    return true;
}

static bool read_venues(Session *session)
{
    Run *run = session->run;
    size_t count = 0;
    const Text *names = all_values(run->arena, &run->arguments, "--in", ',', &count);
    if (count == 0 && has_option(&run->arguments, "--in")) {
        session->status = misuse(run, "--in names no jurisdiction");
        return false;
    }
    Venues venues = {ARENA_ARRAY(run->arena, Venue, count_venues(session, names, count)), 0};
    for (size_t i = 0; i < count; i++) {
        const PlaceTree *place = find_place(session, names[i]);
        const JurisdictionTree *found =
            place != NULL ? NULL : rules_jurisdiction(run, &session->rules, names[i]);
        if (place != NULL ? !add_place(session, &venues, place) : found == NULL) {
            session->status = STATUS_BAD_INPUT;
            return false;
        }
        if (found != NULL) {
            venues.list[venues.count++] = (Venue){NULL, found};
        }
    }
    session->venues = venues.list;
    session->venue_count = venues.count;
    return true;
}

/* The jurisdictions and places that the run may judge under: those of --in, else those that the
 * specs name; NULL when that is not to be known before the rules are read. */
static const Text *asked_venues(Run *run, size_t *count)
{
    const Arguments *arguments = &run->arguments;
    const Text *given = all_values(run->arena, arguments, "--in", ',', count);
    if (*count > 0) {
        return given;
    }
    Text *names = ARENA_ARRAY(run->arena, Text, 1);
    for (size_t i = 0; i < arguments->operand_count; i++) {
        Text reason = TEXT("");
        const char *path = arguments->operands[i];
        const Source *source =
            strcmp(path, "-") == 0 ? NULL : source_read(run->arena, path, &reason);
        if (source == NULL) {
            return NULL;
        }
        size_t more = 0;
        const Text *named = spec_jurisdiction_names(run->arena, source, &more);
        Text *grown = ARENA_ARRAY(run->arena, Text, *count + more + 1);
        for (size_t k = 0; k < *count + more; k++) {
            grown[k] = k < *count ? names[k] : named[k - *count];
        }
        names = grown;
        *count += more;
    }
    return names;
}

bool session_open(Run *run, Session *session, bool whole)
{
    *session = (Session){.run = run, .status = STATUS_COMPLIES};
    if (run->arguments.operand_count == 0) {
        session->status = misuse(run, "no build spec is named");
        return false;
    }
    if (!read_day(run, "--on", &session->has_on, &session->on) || !read_stage(session)) {
        session->status = STATUS_MISUSE;
        return false;
    }
    size_t count = 0;
    const Text *venues = whole ? NULL : asked_venues(run, &count);
    if (!rules_read(run, &session->rules, venues, count)) {
        session->status = STATUS_NO_INPUT;
        return false;
    }
    return read_venues(session);
}

/* ---- the date ---- */

void session_date(const Session *session, Docket *docket)
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

static const Law *make_law(Session *session, Venue venue, Day on)
{
    Run *run = session->run;
    if (!rules_sound(run, &session->rules, venue.jurisdiction)) {
        return NULL;
    }
    Diagnostics diags = diagnostics_make(run->arena);
    const Library *library = session->rules.library;
    const LawTree *tree =
        venue.place == NULL
            ? law_assemble(run->arena, library, venue.jurisdiction, on, &diags)
            : law_assemble_in(run->arena, library, venue.place, venue.jurisdiction, on, &diags);
    const Law *law = diags.errors > 0 ? NULL : law_check(run->arena, library, tree, false, &diags);
    put_diagnostics(run->arena, &diags);
    return diags.errors > 0 ? NULL : law;
}

const Law *session_law(Session *session, Venue venue, Day on)
{
    for (const LawKept *kept = session->laws; kept != NULL; kept = kept->next) {
        if (kept->venue.place == venue.place && kept->venue.jurisdiction == venue.jurisdiction &&
            kept->on == on) {
            return kept->law;
        }
    }
    LawKept *kept = ARENA_NEW(session->run->arena, LawKept);
    *kept = (LawKept){venue, on, make_law(session, venue, on), session->laws};
    session->laws = kept;
    return kept->law;
}

const Digest *session_digests(Session *session, uint32_t *count)
{
    if (session->digests == NULL) {
        session->digests =
            library_digests(session->run->arena, session->rules.library, &session->digest_count);
    }
    *count = session->digest_count;
    return session->digests;
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
    if (session->venue_count > 0) {
        found = rules_vocabulary(rules, session->venues[0].jurisdiction);
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

const Spec *session_spec(Session *session, Arena *arena, const char *path)
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

/* Jurisdictions, then places. */
static Text venue_list(Session *session)
{
    const Library *library = session->rules.library;
    Buffer out = buffer_make(session->run->arena);
    for (uint32_t i = 0; i < library->jurisdiction_count; i++) {
        buffer_format(&out, "%s%.*s", out.len > 0 ? ", " : "",
                      TEXT_ARG(library->jurisdictions[i]->name->text));
    }
    for (uint32_t i = 0; i < library->place_count; i++) {
        buffer_format(&out, "%s%.*s", out.len > 0 ? ", " : "",
                      TEXT_ARG(library->places[i]->name->text));
    }
    return buffer_done(&out);
}

static void report_unknown(Session *session, Diagnostics *diags, Place place, Text name)
{
    Diagnostic *diag = diagnostic_error(diags, "unknown jurisdiction", place,
                                        "no rule file has the jurisdiction '%.*s'", TEXT_ARG(name));
    Text near = library_nearest_jurisdiction(session->rules.library, name);
    if (near.len > 0) {
        diagnostic_note(diags, diag, NOWHERE, "did you mean '%.*s'?", TEXT_ARG(near));
    }
}

/* Those that the spec names. */
static bool spec_venues(Session *session, Arena *arena, const Spec *spec, Venues *venues)
{
    uint32_t count = spec->jurisdiction_count;
    if (count == 0) {
        session->status = worse_status(
            session->status,
            misuse(session->run,
                   "%.*s: under whose law? Say --in JURISDICTION, or 'jurisdictions:' in the spec "
                   "(there are: %.*s)",
                   TEXT_ARG(spec->source->path), TEXT_ARG(venue_list(session))));
        return false;
    }
    venues->list = ARENA_ARRAY(arena, Venue, count_venues(session, spec->jurisdictions, count));
    Diagnostics diags = diagnostics_make(arena);
    bool good = true;
    for (uint32_t i = 0; i < count; i++) {
        Text name = spec->jurisdictions[i];
        const PlaceTree *place = find_place(session, name);
        const JurisdictionTree *one = library_jurisdiction(session->rules.library, name);
        if (place != NULL) {
            good = add_place(session, venues, place) && good;
        } else if (one != NULL) {
            venues->list[venues->count++] = (Venue){NULL, one};
        } else {
            report_unknown(session, &diags, spec->jurisdiction_places[i], name);
        }
    }
    put_diagnostics(arena, &diags);
    if (diags.errors > 0 || !good) {
        session->status = worse_status(session->status, STATUS_BAD_INPUT);
        return false;
    }
    return true;
}

/* Those of --in, else those that the spec names, each known. */
static bool find_venues(Session *session, Arena *arena, const Spec *spec, Venues *venues)
{
    if (session->venue_count > 0) {
        *venues = (Venues){session->venues, session->venue_count};
        return true;
    }
    return spec_venues(session, arena, spec, venues);
}

bool session_fits(Session *session, const Spec *spec, const Law *law)
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
    *docket = (Docket){.spec = session_spec(session, arena, path)};
    if (docket->spec == NULL) {
        return false;
    }
    Venues venues = {NULL, 0};
    if (!find_venues(session, arena, docket->spec, &venues)) {
        return false;
    }
    session_date(session, docket);
    docket->laws = ARENA_ARRAY(arena, const Law *, venues.count + 1);
    for (size_t i = 0; i < venues.count; i++) {
        const Law *law = session_law(session, venues.list[i], docket->on);
        if (law != NULL && session_fits(session, docket->spec, law)) {
            docket->laws[docket->law_count++] = law;
        } else {
            session->status = worse_status(session->status, STATUS_BAD_INPUT);
        }
    }
    return true;
}
