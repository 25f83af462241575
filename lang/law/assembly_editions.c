/* Editions: which edition of each code is in force, and which changes take effect in it.
 *
 * Of the adoptions of one code by a jurisdiction and the levels above it, the latest governs; an
 * adoption gives way to a later one of another edition at its level or above. A change belongs to
 * the edition of its block: when that has given way, the change says whether it carries over or
 * lapses. Declarations that have no fate (floors, no local change, readings) end with their
 * edition. A change of an edition that is adopted on a later date waits for it. */
#include <stdlib.h>

#include "law/assembly.h"

typedef struct BlockRef {
    const BlockTree *block;
    const JurisdictionTree *jurisdiction;
    uint32_t level;
    uint32_t order; /* in the jurisdiction */
} BlockRef;

/* The blocks of one code, in order of level, date, writing. */
typedef struct Run {
    const BlockRef *refs;
    uint32_t count;
    const BlockRef **current; /* by level: the adoption that governs there on the date, or NULL */
    CodeState *code;          /* in force at the innermost level, or NULL */
    Change **end;
} Run;

static int order_numbers(int64_t a, int64_t b)
{
    return (a > b) - (a < b);
}

static int order_refs(const void *left, const void *right)
{
    const BlockRef *a = left;
    const BlockRef *b = right;
    int order = text_order(a->block->code->text, b->block->code->text);
    if (order == 0) {
        order = order_numbers(a->level, b->level);
    }
    if (order == 0) {
        order = order_numbers(a->block->from, b->block->from);
    }
    return order != 0 ? order : order_numbers(a->order, b->order);
}

static BlockRef *collect_blocks(Assembly *assembly, uint32_t *count)
{
    *count = 0;
    for (uint32_t level = 0; level < assembly->level_count; level++) {
        const BlockTree *block = assembly->levels[level]->blocks;
        for (; block != NULL; block = block->next) {
            *count += block->code != NULL;
        }
    }
    BlockRef *refs = ARENA_ARRAY(assembly->arena, BlockRef, *count);
    uint32_t at = 0;
    for (uint32_t level = 0; level < assembly->level_count; level++) {
        const BlockTree *block = assembly->levels[level]->blocks;
        for (uint32_t order = 0; block != NULL; block = block->next, order++) {
            if (block->code != NULL) {
                refs[at++] = (BlockRef){block, assembly->levels[level], level, order};
            }
        }
    }
    qsort(refs, *count, sizeof *refs, order_refs);
    return refs;
}

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

/* A later adoption of another edition, at its level or above, has begun. */
static bool has_given_way(const Assembly *assembly, const Run *run, const BlockRef *adoption)
{
    for (uint32_t i = 0; i < run->count; i++) {
        const BlockRef *other = &run->refs[i];
        if (!other->block->amends && other->level <= adoption->level &&
            has_begun(assembly, other) && other->block->from > adoption->block->from &&
            !is_same_edition(other, adoption)) {
            return true;
        }
    }
    return false;
}

static void find_current(Assembly *assembly, Run *run)
{
    run->current = ARENA_ARRAY(assembly->arena, const BlockRef *, assembly->level_count);
    for (uint32_t i = 0; i < run->count; i++) {
        const BlockRef *ref = &run->refs[i];
        if (ref->block->amends || !is_in_force(assembly, ref) ||
            has_given_way(assembly, run, ref)) {
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
    if (earlier->block->until == DAY_FOREVER) {
        diagnostic_note(assembly->diags, diag, block_place(earlier), "the other adoption");
    } else {
        diagnostic_note(
            assembly->diags, diag, (Place){earlier->block->source, earlier->block->until_span},
            "in force until %.*s", TEXT_ARG(day_words(assembly, earlier->block->until)));
    }
}

/* In one level, against the latest adoption: another edition without `until` gives way; whatever
 * else is still in force says something that is not so. */
static void check_overlaps(Assembly *assembly, const Run *run)
{
    for (uint32_t start = 0, end = 0; start < run->count; start = end) {
        const BlockRef *latest = NULL;
        for (; end < run->count && run->refs[end].level == run->refs[start].level; end++) {
            const BlockRef *ref = &run->refs[end];
            latest = !ref->block->amends && is_in_force(assembly, ref) ? ref : latest;
        }
        for (uint32_t i = start; latest != NULL && &run->refs[i] != latest; i++) {
            const BlockRef *ref = &run->refs[i];
            bool may_give_way = ref->block->until == DAY_FOREVER && !is_same_edition(ref, latest) &&
                                ref->block->from < latest->block->from;
            if (!ref->block->amends && is_in_force(assembly, ref) && !may_give_way) {
                report_overlap(assembly, ref, latest);
            }
        }
    }
}

/* ---- changes ---- */

/* The latest adoption of a block's edition at its level or above that has begun; *later is one
 * that has not. */
static const BlockRef *find_adoption(const Assembly *assembly, const Run *run, const BlockRef *ref,
                                     const BlockRef **later)
{
    const BlockRef *found = NULL;
    *later = NULL;
    for (uint32_t i = 0; i < run->count; i++) {
        const BlockRef *other = &run->refs[i];
        if (other->block->amends || other->level > ref->level || !is_same_edition(other, ref)) {
            continue;
        }
        if (!has_begun(assembly, other)) {
            *later = other;
        } else if (found == NULL || other->block->from >= found->block->from) {
            found = other;
        }
    }
    return found;
}

static void report_not_adopted(Assembly *assembly, const Run *run, const BlockRef *ref)
{
    Diagnostic *diag = NULL;
    for (uint32_t i = 0; i < run->count; i++) {
        const BlockRef *other = &run->refs[i];
        if (other->block->amends || other->level > ref->level) {
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

static bool has_fate(const ChangeTree *tree)
{
    switch ((ChangeKind)tree->kind) {
    case CHANGE_TO_READ:
    case CHANGE_LIMIT:
    case CHANGE_DELETE:
    case CHANGE_INSERT:
    case CHANGE_EXCEPTION_TO_READ:
    case CHANGE_EXCEPTION_DELETE:
    case CHANGE_EXCEPTION_INSERT:
    case CHANGE_RENUMBER: return true;
    case CHANGE_APPLIES_READING:
    case CHANGE_LOCAL_FLOOR:
    case CHANGE_NO_LOCAL:
    case CHANGE_NO_WAIVER:
    case CHANGE_PREEMPTS:
    case CHANGE_PREVAILS:
    case CHANGE_FOR_UNITS:
    case CHANGE_REPEALS:
    case CHANGE_EXTENDS:
    case CHANGE_POSTPONES: break;
    }
    return false;
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
    if (!has_fate(tree) || tree->fate == FATE_LAPSES) {
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

static void collect_changes(Assembly *assembly, Run *run, const BlockRef *ref)
{
    const BlockRef *current = run->current[ref->level];
    if (current != NULL && is_same_edition(current, ref)) {
        bool is_final =
            run->code != NULL && text_equal(run->code->code->edition, ref->block->edition);
        if (is_final && is_in_force(assembly, ref)) {
            for (const ChangeTree *tree = ref->block->changes; tree != NULL; tree = tree->next) {
                add_change(assembly, run, ref, tree, false);
            }
        }
        return;
    }
    const BlockRef *later = NULL;
    const BlockRef *adopted = find_adoption(assembly, run, ref, &later);
    if (adopted == NULL) {
        if (later == NULL && is_in_force(assembly, ref)) {
            report_not_adopted(assembly, run, ref);
        }
        return;
    }
    bool ended = ref->block->amends && !is_in_force(assembly, ref);
    if (current == NULL || ended || adopted->block->from >= current->block->from) {
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
            if (tree->kind == CHANGE_NO_LOCAL || tree->kind == CHANGE_LOCAL_FLOOR) {
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
    for (uint32_t i = 0; i < run->count; i++) {
        const BlockRef *ref = &run->refs[i];
        if (!ref->block->amends && is_same_edition(ref, governs) && is_in_force(assembly, ref) &&
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
    uint32_t count = 0;
    const BlockRef *refs = collect_blocks(assembly, &count);
    assembly->codes = ARENA_ARRAY(assembly->arena, CodeState, count);
    for (uint32_t start = 0, end = 0; start < count; start = end) {
        while (end < count && refs[end].block->code == refs[start].block->code) {
            end++;
        }
        Run run = {.refs = refs + start, .count = end - start};
        find_code(assembly, &run);
    }
}
