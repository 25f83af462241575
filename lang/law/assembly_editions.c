/* Editions: which edition of each code is in force, and which changes take effect in it.
 *
 * Of the adoptions of one code by a jurisdiction and the levels above it, the latest governs; an
 * adoption gives way to a later one of another edition at its level or above. A change belongs to
 * the edition of its block: when that has given way, the change says whether it carries over or
 * lapses. Declarations that have no fate (floors, no local change, readings) end with their
 * edition. No edition is amended before the day on which it was to be adopted; where that day is
 * postponed, its changes wait. Acts on acts belong to no edition: assembly_acts has done them. */
#include "law/assembly.h"

/* The latest adoption that has begun at a level or above it, and the latest of another edition. */
typedef struct Latest {
    const BlockRef *adoption;
    const BlockRef *other;
} Latest;

/* The adoptions of one edition. */
typedef struct Edition {
    const BlockRef *adoption;
    struct Edition *next;
} Edition;

/* The blocks of one code, in order of level, date, writing. */
typedef struct Run {
    const BlockRef *refs;
    uint32_t count;
    const BlockRef **adoptions; /* those of the blocks that adopt */
    uint32_t adoption_count;
    Map *editions;            /* Name of an edition -> Edition */
    Latest *latest;           /* by level */
    const BlockRef **current; /* by level: the adoption that governs there on the date, or NULL */
    CodeState *code;          /* in force at the innermost level, or NULL */
    Change **end;
} Run;

static Place block_place(const BlockRef *ref)
{
    return (Place){ref->block->source, ref->block->code_span};
}

static Text day_words(const Assembly *assembly, Day day)
{
    return date_print(assembly->arena, day);
}

/* ---- adoptions ---- */

static bool has_begun(const Assembly *assembly, const BlockRef *ref)
{
    return ref->block->from <= assembly->on;
}

static bool is_in_force(const Assembly *assembly, const BlockRef *ref)
{
    return has_begun(assembly, ref) && assembly->on <= ref->block->until;
}

static bool is_same_edition(const BlockRef *a, const BlockRef *b)
{
    return text_equal(a->block->edition, b->block->edition);
}

static void find_adoptions(Assembly *assembly, Run *run)
{
    run->adoptions = ARENA_ARRAY(assembly->arena, const BlockRef *, run->count);
    run->editions = map_new(assembly->arena);
    for (uint32_t i = 0; i < run->count; i++) {
        const BlockRef *ref = &run->refs[i];
        if (!ref->block->amends) {
            const Name *name = names_intern(assembly->names, ref->block->edition);
            Edition *edition = ARENA_NEW(assembly->arena, Edition);
            edition->adoption = ref;
            edition->next = map_put(run->editions, name, edition);
            run->adoptions[run->adoption_count++] = ref;
        }
    }
}

static bool is_later(const BlockRef *ref, const BlockRef *than)
{
    return than == NULL || ref->block->from >= than->block->from;
}

static void add_latest(Latest *latest, const BlockRef *ref)
{
    bool same = latest->adoption != NULL && is_same_edition(latest->adoption, ref);
    if (is_later(ref, latest->adoption)) {
        latest->other = same ? latest->other : latest->adoption;
        latest->adoption = ref;
    } else if (!same && is_later(ref, latest->other)) {
        latest->other = ref;
    }
}

static void find_latest(Assembly *assembly, Run *run)
{
    run->latest = ARENA_ARRAY(assembly->arena, Latest, assembly->level_count);
    uint32_t at = 0;
    for (uint32_t level = 0; level < assembly->level_count; level++) {
        run->latest[level] = level == 0 ? (Latest){NULL, NULL} : run->latest[level - 1];
        for (; at < run->adoption_count && run->adoptions[at]->level == level; at++) {
            if (has_begun(assembly, run->adoptions[at])) {
                add_latest(&run->latest[level], run->adoptions[at]);
            }
        }
    }
}

/* What stood in for a suspended adoption, and has ended, does not take its place for good. */
static bool stood_in(const Assembly *assembly, const BlockRef *other, const BlockRef *adoption)
{
    return !is_in_force(assembly, other) &&
           gaps_first_day(adoption->gaps, other->block->from) != other->block->from;
}

static bool takes_place(const Assembly *assembly, const BlockRef *other, const BlockRef *adoption)
{
    return other != NULL && other->block->from > adoption->block->from &&
           !is_same_edition(other, adoption) && !stood_in(assembly, other, adoption);
}

/* A later adoption of another edition, at its level or above, has begun. */
static bool has_given_way(const Assembly *assembly, const Run *run, const BlockRef *adoption)
{
    const Latest *latest = &run->latest[adoption->level];
    if (adoption->gaps == NULL) {
        return takes_place(assembly, latest->adoption, adoption) ||
               takes_place(assembly, latest->other, adoption);
    }
    for (uint32_t i = 0; i < run->adoption_count; i++) {
        const BlockRef *other = run->adoptions[i];
        if (other->level <= adoption->level && has_begun(assembly, other) &&
            takes_place(assembly, other, adoption)) {
            return true;
        }
    }
    return false;
}

static void find_current(Assembly *assembly, Run *run)
{
    run->current = ARENA_ARRAY(assembly->arena, const BlockRef *, assembly->level_count);
    for (uint32_t i = 0; i < run->adoption_count; i++) {
        const BlockRef *ref = run->adoptions[i];
        if (!is_in_force(assembly, ref) || has_given_way(assembly, run, ref)) {
            continue;
        }
        for (uint32_t level = ref->level; level < assembly->level_count; level++) {
            const BlockRef *best = run->current[level];
            if (best == NULL || ref->block->from >= best->block->from) {
                run->current[level] = ref;
            }
        }
    }
}

/* Why a rolling adoption adopts the edition on that day. */
static void note_published(Assembly *assembly, Diagnostic *diag, const BlockRef *ref)
{
    const CodeTree *code = library_code(assembly->library, ref->block->code, ref->block->edition);
    if (code != NULL) {
        diagnostic_note(assembly->diags, diag, (Place){code->source, code->name_span},
                        "edition '%.*s' was published on %.*s", TEXT_ARG(code->edition),
                        TEXT_ARG(day_words(assembly, code->published)));
    }
}

static void report_overlap(Assembly *assembly, const BlockRef *earlier, const BlockRef *later)
{
    Diagnostic *diag;
    if (earlier->block->from == later->block->from) {
        diag = diagnostic_error(assembly->diags, "adoptions overlap", block_place(later),
                                "'%.*s' is adopted twice from %.*s",
                                TEXT_ARG(later->block->code->text),
                                TEXT_ARG(day_words(assembly, later->block->from)));
    } else if (is_same_edition(earlier, later)) {
        diag =
            diagnostic_error(assembly->diags, "adoptions overlap", block_place(later),
                             "'%.*s' edition '%.*s' is adopted while it is in force already",
                             TEXT_ARG(later->block->code->text), TEXT_ARG(later->block->edition));
    } else {
        diag = diagnostic_error(assembly->diags, "adoptions overlap", block_place(later),
                                "edition '%.*s' is adopted from %.*s, before edition '%.*s' ends",
                                TEXT_ARG(later->block->edition),
                                TEXT_ARG(day_words(assembly, later->block->from)),
                                TEXT_ARG(earlier->block->edition));
    }
    const BlockRef *refs[] = {earlier, later};
    for (size_t i = 0; i < 2; i++) {
        if (refs[i]->block->rolling) {
            note_published(assembly, diag, refs[i]);
        }
    }
    if (earlier->until != DAY_FOREVER) {
        diagnostic_note(assembly->diags, diag, earlier->until_place, "in force until %.*s",
                        TEXT_ARG(day_words(assembly, earlier->until)));
    } else if (!earlier->block->rolling) {
        diagnostic_note(assembly->diags, diag, block_place(earlier), "the other adoption");
    }
}

/* In one level, against the latest adoption: another edition without `until` gives way, and so has
 * the same one where another came between; whatever else is still in force says something that is
 * not so. */
static void check_overlaps(Assembly *assembly, const Run *run)
{
    for (uint32_t start = 0, end = 0; start < run->adoption_count; start = end) {
        const BlockRef *latest = NULL;
        uint32_t level = run->adoptions[start]->level;
        for (; end < run->adoption_count && run->adoptions[end]->level == level; end++) {
            latest = is_in_force(assembly, run->adoptions[end]) ? run->adoptions[end] : latest;
        }
        for (uint32_t i = start; latest != NULL && run->adoptions[i] != latest; i++) {
            const BlockRef *ref = run->adoptions[i];
            bool may_give_way =
                is_same_edition(ref, latest)
                    ? has_given_way(assembly, run, ref)
                    : ref->until == DAY_FOREVER && ref->block->from < latest->block->from;
            if (is_in_force(assembly, ref) && !may_give_way) {
                report_overlap(assembly, ref, latest);
            }
        }
    }
}

/* ---- changes ---- */

/* The adoptions of a block's edition at its level or above. */
typedef struct Adopted {
    const BlockRef *latest; /* that has begun; NULL */
    const BlockRef *first;  /* by its own words; NULL: none adopts it */
} Adopted;

static Adopted find_adopted(Assembly *assembly, const Run *run, const BlockRef *ref)
{
    Adopted found = {NULL, NULL};
    const Name *name = names_find(assembly->names, ref->block->edition);
    for (const Edition *at = name == NULL ? NULL : map_get(run->editions, name); at != NULL;
         at = at->next) {
        const BlockRef *other = at->adoption;
        assembly->steps++;
        if (other->level > ref->level) {
            continue;
        }
        if (found.first == NULL || other->said <= found.first->said) {
            found.first = other;
        }
        if (has_begun(assembly, other) &&
            (found.latest == NULL || other->block->from > found.latest->block->from)) {
            found.latest = other;
        }
    }
    return found;
}

static void report_early(Assembly *assembly, const BlockRef *ref, const BlockRef *adoption)
{
    Text from = day_words(assembly, adoption->from);
    Diagnostic *diag =
        diagnostic_error(assembly->diags, "amended before it is adopted",
                         (Place){ref->block->source, ref->block->from_span},
                         "edition '%.*s' of '%.*s' is amended from %.*s, before it is adopted",
                         TEXT_ARG(ref->block->edition), TEXT_ARG(ref->block->code->text),
                         TEXT_ARG(day_words(assembly, ref->block->from)));
    diagnostic_note(assembly->diags, diag, block_place(adoption), "'%.*s' adopts it from %.*s",
                    TEXT_ARG(adoption->jurisdiction->name->text), TEXT_ARG(from));
    diagnostic_note(assembly->diags, diag, (Place){NULL, {0, 0}},
                    "write 'in force from %.*s' or a later day", TEXT_ARG(from));
}

static void report_not_adopted(Assembly *assembly, const Run *run, const BlockRef *ref)
{
    Diagnostic *diag = NULL;
    for (uint32_t i = 0; i < run->adoption_count; i++) {
        const BlockRef *other = run->adoptions[i];
        if (other->level > ref->level) {
            continue;
        }
        if (diag == NULL) {
            diag =
                diagnostic_error(assembly->diags, "edition not adopted", block_place(ref),
                                 "edition '%.*s' of '%.*s' is amended, but never adopted here",
                                 TEXT_ARG(ref->block->edition), TEXT_ARG(ref->block->code->text));
        }
        diagnostic_note(assembly->diags, diag, block_place(other), "'%.*s' adopts edition '%.*s'",
                        TEXT_ARG(other->jurisdiction->name->text), TEXT_ARG(other->block->edition));
    }
    if (diag != NULL) {
        return;
    }
    diag =
        diagnostic_error(assembly->diags, "code not adopted", block_place(ref),
                         "'%.*s' is amended, but neither '%.*s' nor a level above adopts it",
                         TEXT_ARG(ref->block->code->text), TEXT_ARG(ref->jurisdiction->name->text));
    const CodeTree *code = library_code(assembly->library, ref->block->code, ref->block->edition);
    if (code != NULL) {
        diagnostic_note(assembly->diags, diag, (Place){code->source, code->name_span},
                        "the code is here");
    }
}

/* False after a syntax error in the change. */
static bool is_whole(const ChangeTree *tree)
{
    switch ((ChangeKind)tree->kind) {
    case CHANGE_TO_READ:
    case CHANGE_DELETE:
    case CHANGE_LOCAL_FLOOR:
    case CHANGE_EXCEPTION_TO_READ:
    case CHANGE_EXCEPTION_DELETE:
    case CHANGE_EXCEPTION_INSERT:
    case CHANGE_RENUMBER:
    case CHANGE_NO_WAIVER: return tree->targets != NULL;
    case CHANGE_PREEMPTS: return tree->topics != NULL;
    case CHANGE_PREVAILS: return tree->code != NULL;
    case CHANGE_FOR_UNITS: return tree->scope != NULL;
    case CHANGE_NO_LOCAL:
    case CHANGE_REPEALS:
    case CHANGE_EXTENDS:
    case CHANGE_POSTPONES: return true;
    case CHANGE_LIMIT: return tree->targets != NULL && tree->limit != NULL;
    case CHANGE_INSERT: return tree->section != NULL;
    case CHANGE_APPLIES_READING: return tree->label != NULL;
    }
    return false;
}

static void add_change(Assembly *assembly, Run *run, const BlockRef *ref, const ChangeTree *tree,
                       bool carried)
{
    if (!is_whole(tree)) {
        return;
    }
    Change *change = ARENA_NEW(assembly->arena, Change);
    change->tree = tree;
    change->block = ref->block;
    change->jurisdiction = ref->jurisdiction;
    change->level = ref->level;
    change->carried = carried;
    *run->end = change;
    run->end = &change->next;
}

static void report_fate(Assembly *assembly, const BlockRef *ref, const ChangeTree *tree,
                        const BlockRef *later)
{
    Diagnostic *diag = diagnostic_error(
        assembly->diags, "fate not said", (Place){ref->block->source, tree->span},
        "this changes edition '%.*s' of '%.*s', which has given way to edition '%.*s'",
        TEXT_ARG(ref->block->edition), TEXT_ARG(ref->block->code->text),
        TEXT_ARG(later->block->edition));
    diagnostic_note(assembly->diags, diag, block_place(later), "edition '%.*s' from %.*s",
                    TEXT_ARG(later->block->edition),
                    TEXT_ARG(day_words(assembly, later->block->from)));
    diagnostic_note(assembly->diags, diag, (Place){NULL, {0, 0}},
                    "say 'carries over', 'carries over to \"number\"' or 'lapses'");
}

/* One change of an edition that has given way to `later`. */
static void decide_fate(Assembly *assembly, Run *run, const BlockRef *ref, const ChangeTree *tree,
                        const BlockRef *later)
{
    bool ended = !is_in_force(assembly, ref);
    if (!change_traits(tree)->has_fate || tree->fate == FATE_LAPSES) {
        return;
    }
    if (tree->fate == FATE_UNSAID) {
        if (!ended) { /* `until` says that the block ends, and its changes with it */
            report_fate(assembly, ref, tree, later);
        }
        return;
    }
    if (tree->carried_to.len > 0 && tree->targets != NULL && tree->targets->next != NULL) {
        Diagnostic *diag = diagnostic_error(
            assembly->diags, "one number for several", (Place){ref->block->source, tree->fate_span},
            "several sections cannot carry over to the one number '%.*s'",
            TEXT_ARG(tree->carried_to));
        diagnostic_note(assembly->diags, diag,
                        (Place){ref->block->source, tree->targets->next->span},
                        "delete each in a line of its own");
        return;
    }
    if (run->code != NULL && text_equal(run->code->code->edition, later->block->edition)) {
        add_change(assembly, run, ref, tree, true);
    }
}

/* Acts on acts alone are of no edition: an adoption is postponed before it begins. */
static bool is_of_acts_alone(const BlockTree *block)
{
    const ChangeTree *change = block->changes;
    while (change != NULL && change_is_of_act(change)) {
        change = change->next;
    }
    return change == NULL && block->changes != NULL;
}

static void collect_current(Assembly *assembly, Run *run, const BlockRef *ref)
{
    if (run->code == NULL || !text_equal(run->code->code->edition, ref->block->edition) ||
        !is_in_force(assembly, ref)) {
        return;
    }
    for (const ChangeTree *tree = ref->block->changes; tree != NULL; tree = tree->next) {
        if (!change_is_of_act(tree)) {
            add_change(assembly, run, ref, tree, false);
        }
    }
}

static void collect_changes(Assembly *assembly, Run *run, const BlockRef *ref)
{
    Adopted adopted = find_adopted(assembly, run, ref);
    bool in_error =
        ref->block->amends && is_in_force(assembly, ref) && !is_of_acts_alone(ref->block);
    if (adopted.first == NULL || (ref->block->amends && ref->from < adopted.first->said)) {
        if (in_error && adopted.first == NULL) {
            report_not_adopted(assembly, run, ref);
        } else if (in_error) {
            report_early(assembly, ref, adopted.first);
        }
        return;
    }
    const BlockRef *current = run->current[ref->level];
    if (current != NULL && is_same_edition(current, ref)) {
        collect_current(assembly, run, ref);
        return;
    }
    bool ended = ref->block->amends && !is_in_force(assembly, ref);
    if (adopted.latest == NULL || current == NULL || ended ||
        adopted.latest->block->from >= current->block->from) {
        return;
    }
    for (const ChangeTree *tree = ref->block->changes; tree != NULL; tree = tree->next) {
        decide_fate(assembly, run, ref, tree, current);
    }
}

/* ---- editions adopted over what an upper level keeps ---- */

static void report_replaced(Assembly *assembly, const BlockRef *local, const BlockRef *upper,
                            const ChangeTree *tree)
{
    Diagnostic *diag = diagnostic_error(
        assembly->diags, "edition not to be replaced locally", block_place(local),
        "edition '%.*s' would replace edition '%.*s', of which '%.*s' keeps sections in force",
        TEXT_ARG(local->block->edition), TEXT_ARG(upper->block->edition),
        TEXT_ARG(upper->jurisdiction->name->text));
    diagnostic_note(assembly->diags, diag, (Place){upper->block->source, tree->span},
                    tree->kind == CHANGE_NO_LOCAL ? "not to be amended locally"
                                                  : "locally at least as strict");
}

static void check_replaced(Assembly *assembly, const Run *run)
{
    const BlockRef *local = run->current[assembly->level_count - 1];
    for (uint32_t i = 0; local != NULL && i < run->count; i++) {
        const BlockRef *ref = &run->refs[i];
        const BlockRef *upper = run->current[ref->level];
        if (ref->level >= local->level || !is_in_force(assembly, ref) ||
            is_same_edition(ref, local) || upper == NULL || !is_same_edition(ref, upper)) {
            continue;
        }
        for (const ChangeTree *tree = ref->block->changes; tree != NULL; tree = tree->next) {
            bool guards = tree->kind == CHANGE_NO_LOCAL && tree->day <= assembly->on;
            if (guards || tree->kind == CHANGE_LOCAL_FLOOR) {
                report_replaced(assembly, local, ref, tree);
            }
        }
    }
}

/* ---- codes ---- */

static void begin_code(Assembly *assembly, Run *run)
{
    const BlockRef *governs = run->current[assembly->level_count - 1];
    const CodeTree *tree = NULL;
    if (governs != NULL) {
        tree = library_code(assembly->library, governs->block->code, governs->block->edition);
    }
    if (tree == NULL) {
        return; /* not in force; or unknown, which the library has reported */
    }
    CodeState *code = &assembly->codes[assembly->code_count++];
    code->code = tree;
    code->from = governs->block->from;
    code->adoptions = ARENA_ARRAY(assembly->arena, const BlockTree *, assembly->level_count);
    for (uint32_t i = 0; i < run->adoption_count; i++) {
        const BlockRef *ref = run->adoptions[i];
        if (is_same_edition(ref, governs) && is_in_force(assembly, ref) &&
            !has_given_way(assembly, run, ref)) {
            code->adoptions[ref->level] = ref->block;
            code->from = ref->block->from < code->from ? ref->block->from : code->from;
        }
    }
    run->code = code;
    run->end = &code->changes;
}

static void find_code(Assembly *assembly, Run *run)
{
    find_adoptions(assembly, run);
    find_latest(assembly, run);
    check_overlaps(assembly, run);
    find_current(assembly, run);
    begin_code(assembly, run);
    check_replaced(assembly, run);
    for (uint32_t i = 0; i < run->count; i++) {
        if (has_begun(assembly, &run->refs[i])) {
            collect_changes(assembly, run, &run->refs[i]);
        }
    }
}

void assembly_find_codes(Assembly *assembly)
{
    const BlockRef *refs = assembly->blocks;
    uint32_t count = assembly->block_count;
    assembly->codes = ARENA_ARRAY(assembly->arena, CodeState, count);
    for (uint32_t start = 0, end = 0; start < count; start = end) {
        while (end < count && refs[end].block->code == refs[start].block->code) {
            end++;
        }
        Run run = {.refs = refs + start, .count = end - start};
        find_code(assembly, &run);
    }
}
