/* Proofreading a place: the law of each jurisdiction that it names, on every date on which that law
 * changes, as the place keeps it; then its rows against the authorities that the sections name. A
 * row for an authority that no section names decides nothing, and is most likely misspelt. */
#include "law/law.h"

static const Place NOWHERE = {NULL, {0, 0}};

typedef struct Proof {
    Arena *arena;
    const Library *library;
    const PlaceTree *place;
    Diagnostics *diags;
    Map *named;       /* authorities that sections of any law of the place name */
    Map **named_here; /* the same by jurisdiction of the place */
    const Name **names;
    uint32_t count, cap;
    const JurisdictionTree **jurisdictions;
    uint32_t jurisdiction_count;
} Proof;

static void add_name(Proof *proof, const Name *name)
{
    if (map_put(proof->named, name, proof) != NULL) {
        return;
    }
    if (proof->count == proof->cap) {
        proof->cap = proof->cap == 0 ? 8 : proof->cap * 2;
        const Name **grown = ARENA_ARRAY(proof->arena, const Name *, proof->cap);
        for (uint32_t i = 0; i < proof->count; i++) {
            grown[i] = proof->names[i];
        }
        proof->names = grown;
    }
    proof->names[proof->count++] = name;
}

static void know_authorities(Proof *proof, Map *here, const LawTree *law)
{
    for (uint32_t i = 0; i < law->section_count; i++) {
        const SectionTreeInForce *section = &law->sections[i];
        const Name *authority = section->section->standing.authority != NULL
                                    ? section->section->standing.authority
                                    : section->code->standing.authority;
        if (authority != NULL) {
            add_name(proof, authority);
            (void)map_put(here, authority, proof);
        }
    }
}

/* Faults of the law by itself are told when its jurisdiction is proofread. */
static void proof_jurisdiction(Proof *proof, uint32_t index)
{
    const JurisdictionTree *jurisdiction = proof->jurisdictions[index];
    uint32_t count = 0;
    const Day *dates = law_dates(proof->arena, proof->library, jurisdiction, &count);
    for (uint32_t d = 0; d < count; d++) {
        Diagnostics unused = diagnostics_make(proof->arena);
        know_authorities(
            proof, proof->named_here[index],
            law_assemble(proof->arena, proof->library, jurisdiction, dates[d], &unused));
        const LawTree *law = law_assemble_in(proof->arena, proof->library, proof->place,
                                             jurisdiction, dates[d], proof->diags);
        (void)law_check(proof->arena, proof->library, law, false, proof->diags);
    }
}

/* ---- rows ---- */

static void report_unknown(const Proof *proof, const HolderTree *row)
{
    Diagnostic *diag = diagnostic_error(
        proof->diags, "unknown authority", (Place){proof->place->source, row->authority_span},
        "no section of the law of this place names the authority '%.*s'",
        TEXT_ARG(row->authority->text));
    Text *names = ARENA_ARRAY(proof->arena, Text, proof->count + 1);
    for (uint32_t i = 0; i < proof->count; i++) {
        names[i] = proof->names[i]->text;
    }
    long nearest = text_nearest(row->authority->text, names, proof->count);
    if (nearest >= 0) {
        diagnostic_note(proof->diags, diag, NOWHERE, "did you mean '%.*s'?",
                        TEXT_ARG(names[nearest]));
    }
}

static void check_row(const Proof *proof, const HolderTree *row)
{
    if (map_get(proof->named, row->authority) == NULL) {
        report_unknown(proof, row);
        return;
    }
    for (uint32_t i = 0; i < proof->jurisdiction_count; i++) {
        if (proof->jurisdictions[i]->name == row->jurisdiction &&
            map_get(proof->named_here[i], row->authority) == NULL) {
            diagnostic_warning(proof->diags, "decides without a rule",
                               (Place){proof->place->source, row->span},
                               "no section of the law of '%.*s' names the authority '%.*s'",
                               TEXT_ARG(row->jurisdiction->text), TEXT_ARG(row->authority->text));
        }
    }
}

/* Of two rows with one condition the second never governs. */
static void check_condition(const Proof *proof, const HolderTree *row)
{
    const HolderTree *before = row->where == NULL ? row : proof->place->holders;
    for (; before != row; before = before->next) {
        if (before->authority == row->authority && before->where != NULL &&
            text_equal(syntax_print_expr(proof->arena, before->where),
                       syntax_print_expr(proof->arena, row->where))) {
            Diagnostic *diag = diagnostic_warning(
                proof->diags, "never reached", (Place){proof->place->source, row->span},
                "a row before this one has the same condition, and decides where it holds");
            diagnostic_note(proof->diags, diag, (Place){proof->place->source, before->span},
                            "that row");
            return;
        }
    }
}

/* Is this the last row of its authority, and has it a condition? */
static void check_last(const Proof *proof, const HolderTree *row)
{
    for (const HolderTree *later = row->next; later != NULL; later = later->next) {
        if (later->authority == row->authority) {
            return;
        }
    }
    if (row->where == NULL) {
        return;
    }
    Diagnostic *diag = diagnostic_warning(
        proof->diags, "perhaps nobody decides", (Place){proof->place->source, row->span},
        "where no condition of the rows for '%.*s' holds, nobody decides",
        TEXT_ARG(row->authority->text));
    diagnostic_note(proof->diags, diag, NOWHERE, "end them with '%.*s decided by ... otherwise'",
                    TEXT_ARG(row->authority->text));
}

void place_proofread(Arena *arena, const Library *library, const PlaceTree *place,
                     Diagnostics *diags)
{
    Proof proof = {.arena = arena,
                   .library = library,
                   .place = place,
                   .diags = diags,
                   .named = map_new(arena)};
    proof.jurisdictions = place_jurisdictions(arena, library, place, &proof.jurisdiction_count);
    proof.named_here = ARENA_ARRAY(arena, Map *, proof.jurisdiction_count + 1);
    for (uint32_t i = 0; i < proof.jurisdiction_count; i++) {
        proof.named_here[i] = map_new(arena);
        proof_jurisdiction(&proof, i);
    }
    for (const HolderTree *row = place->holders; row != NULL; row = row->next) {
        check_row(&proof, row);
        check_condition(&proof, row);
        check_last(&proof, row);
    }
}
