/* What levels above preempt, and which code prevails over which.
 *
 * `preempts local law on` works in all codes: sections that lower levels insert, or adopt with
 * codes of their own, are found by targets but not in force, and lower levels' changes of sections
 * on those topics have no effect. Each is listed with its act and the one that displaces it. */
#include "law/assembly.h"

/* ---- preemption ---- */

static Day displacing_day(const Change *by)
{
    return by->tree->day != DAY_UNSAID ? by->tree->day : by->block->from;
}

void assembly_find_preemptions(Assembly *assembly)
{
    Preemption **end = &assembly->preemptions;
    for (uint32_t i = 0; i < assembly->code_count; i++) {
        const Change *change = assembly->codes[i].changes;
        for (; change != NULL; change = change->next) {
            if (change->tree->kind == CHANGE_PREEMPTS && displacing_day(change) <= assembly->on) {
                *end = ARENA_NEW(assembly->arena, Preemption);
                (*end)->change = change;
                end = &(*end)->next;
            }
        }
    }
}

/* "size" covers "size.width". */
static bool topic_covers(const Name *topic, const Name *of)
{
    return topic == of || (text_starts(of->text, topic->text) && of->text.len > topic->text.len &&
                           of->text.data[topic->text.len] == '.');
}

static bool topics_cover(const Word *topics, const Name *topic)
{
    while (topics != NULL && !topic_covers(topics->name, topic)) {
        topics = topics->next;
    }
    return topics != NULL;
}

const Change *assembly_preempted(Assembly *assembly, const Name *topic, uint32_t level)
{
    const Change *found = NULL;
    const Preemption *at = topic == NULL ? NULL : assembly->preemptions;
    for (; at != NULL; at = at->next) {
        const Change *change = at->change;
        bool is_first =
            found == NULL || displacing_day(change) < displacing_day(found) ||
            (displacing_day(change) == displacing_day(found) && change->level < found->level);
        assembly->steps++;
        if (change->level < level && is_first && topics_cover(change->tree->topics, topic)) {
            found = change;
        }
    }
    return found;
}

/* ---- what is displaced ---- */

static Link link_of(const Change *change, Day from)
{
    return (Link){change_traits(change->tree)->verb,
                  change->jurisdiction,
                  change->block->by,
                  from,
                  change_place(change),
                  change->block};
}

static void add_displaced(Assembly *assembly, const DisplacedTree *tree)
{
    Displaced *displaced = ARENA_NEW(assembly->arena, Displaced);
    displaced->tree = *tree;
    if (assembly->displaced_end == NULL) {
        assembly->displaced_end = &assembly->displaced;
    }
    *assembly->displaced_end = displaced;
    assembly->displaced_end = &displaced->next;
    assembly->displaced_count++;
}

void assembly_displace(Assembly *assembly, const CodeState *code, SectionState *state,
                       const Change *change, const Change *by)
{
    if (state->displacing == change) {
        return; /* its target covers the section under two numbers */
    }
    state->displacing = change;
    DisplacedTree tree = {code->code, change->tree, state->section,
                          link_of(change, change->block->from), link_of(by, displacing_day(by))};
    add_displaced(assembly, &tree);
}

void assembly_preempt_code(Assembly *assembly, CodeState *code)
{
    uint32_t level = 0;
    while (level < assembly->level_count && code->adoptions[level] == NULL) {
        level++;
    }
    if (level == assembly->level_count || assembly->preemptions == NULL) {
        return;
    }
    const BlockTree *block = code->adoptions[level];
    Link local = {LINK_ADOPTED,
                  assembly->levels[level],
                  block->by,
                  block->from,
                  (Place){block->source, block->code_span},
                  block};
    for (SectionState *state = code->first; state != NULL; state = state->next) {
        const Change *by = assembly_preempted(assembly, state->section->topic, level);
        if (by != NULL) {
            DisplacedTree tree = {code->code, NULL, state->section, local,
                                  link_of(by, displacing_day(by))};
            state->displaced = true;
            add_displaced(assembly, &tree);
        }
    }
}

void assembly_put_displaced(Assembly *assembly, LawTree *law)
{
    law->displaced = ARENA_ARRAY(assembly->arena, DisplacedTree, assembly->displaced_count);
    for (const Displaced *at = assembly->displaced; at != NULL; at = at->next) {
        law->displaced[law->displaced_count++] = at->tree;
    }
}

/* ---- precedence of codes ---- */

static const CodeTree *find_code(const Assembly *assembly, const Name *name)
{
    for (uint32_t i = 0; i < assembly->code_count; i++) {
        if (assembly->codes[i].code->name == name) {
            return assembly->codes[i].code;
        }
    }
    return NULL;
}

static Place code_place(const Change *change)
{
    return (Place){change->block->source, change->tree->code_span};
}

/* False after an error: the library has no code of that name. */
static bool is_known(Assembly *assembly, const Change *change)
{
    const Library *library = assembly->library;
    Text *names = ARENA_ARRAY(assembly->arena, Text, library->code_count);
    for (uint32_t i = 0; i < library->code_count; i++) {
        if (library->codes[i]->name == change->tree->code) {
            return true;
        }
        names[i] = library->codes[i]->name->text;
    }
    Text name = change->tree->code->text;
    Diagnostic *diag = diagnostic_error(assembly->diags, "unknown code", code_place(change),
                                        "no file defines the code '%.*s'", TEXT_ARG(name));
    long nearest = text_nearest(name, names, library->code_count);
    if (nearest >= 0) {
        diagnostic_note(assembly->diags, diag, (Place){NULL, {0, 0}}, "did you mean '%.*s'?",
                        TEXT_ARG(names[nearest]));
    }
    return false;
}

static bool topics_overlap(const Word *a, const Word *b)
{
    if (a == NULL || b == NULL) {
        return true;
    }
    for (const Word *topic = a; topic != NULL; topic = topic->next) {
        if (topics_cover(b, topic->name)) {
            return true;
        }
    }
    for (const Word *topic = b; topic != NULL; topic = topic->next) {
        if (topics_cover(a, topic->name)) {
            return true;
        }
    }
    return false;
}

/* Neither of two codes can prevail over the other and be prevailed over on one topic. */
static bool is_contradicted(Assembly *assembly, const LawTree *law, const PrecedenceTree *tree)
{
    for (uint32_t i = 0; i < law->precedence_count; i++) {
        const PrecedenceTree *other = &law->precedences[i];
        if (other->winner == tree->loser && other->loser == tree->winner &&
            topics_overlap(other->topics, tree->topics)) {
            Diagnostic *diag = diagnostic_error(
                assembly->diags, "each prevails over the other", tree->place,
                "'%.*s' prevails over '%.*s', and is prevailed over by it on the same topic",
                TEXT_ARG(tree->winner->name->text), TEXT_ARG(tree->loser->name->text));
            diagnostic_note(assembly->diags, diag, other->place, "the other way round");
            return true;
        }
    }
    return false;
}

static void put_precedence(Assembly *assembly, LawTree *law, const CodeState *code,
                           const Change *change)
{
    if (change->tree->code == code->code->name) {
        diagnostic_error(assembly->diags, "prevails over itself", code_place(change),
                         "the code '%.*s' cannot prevail over itself",
                         TEXT_ARG(change->tree->code->text));
        return;
    }
    const CodeTree *loser = find_code(assembly, change->tree->code);
    if (!is_known(assembly, change) || loser == NULL) {
        return; /* not in force: it prevails over nothing */
    }
    PrecedenceTree tree = {code->code, loser, change->tree->topics,
                           link_of(change, change->block->from), change_place(change)};
    if (!is_contradicted(assembly, law, &tree)) {
        law->precedences[law->precedence_count++] = tree;
    }
}

void assembly_put_precedences(Assembly *assembly, LawTree *law)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < assembly->code_count; i++) {
        for (const Change *at = assembly->codes[i].changes; at != NULL; at = at->next) {
            count += at->tree->kind == CHANGE_PREVAILS;
        }
    }
    law->precedences = ARENA_ARRAY(assembly->arena, PrecedenceTree, count);
    for (uint32_t i = 0; i < assembly->code_count; i++) {
        const CodeState *code = &assembly->codes[i];
        for (const Change *at = code->changes; at != NULL; at = at->next) {
            if (at->tree->kind == CHANGE_PREVAILS) {
                put_precedence(assembly, law, code, at);
            }
        }
    }
}
