/* Readings: which ones a jurisdiction's law applies.
 *
 * Readings of one text, or of those that a code shares, are alternatives when they define a same
 * name, directly or by way of others; of alternatives at most one governs. An inner level goes
 * before an outer one, `in` a section before the whole code, a later date before an earlier one;
 * two at once are an error. A shared reading is taken in the whole code, so it cannot be applied
 * `in` one section. */
#include "law/assembly.h"

/* ---- which one of a set governs ---- */

/* Positive when a goes before b, 0 when neither does. */
static int order_applied(const Change *a, const Change *b)
{
    if (a->level != b->level) {
        return a->level > b->level ? 1 : -1;
    }
    bool a_in = a->tree->targets != NULL;
    bool b_in = b->tree->targets != NULL;
    if (a_in != b_in) {
        return a_in ? 1 : -1;
    }
    return (a->block->from > b->block->from) - (a->block->from < b->block->from);
}

/* The last application of a reading: `in` the section or in the whole code. */
static const Change *find_applied(const CodeState *code, const Applied *in_section,
                                  const Name *name)
{
    const Applied *whole =
        code->applied_by_name == NULL ? NULL : map_get(code->applied_by_name, name);
    const Change *found = whole == NULL ? NULL : whole->change;
    for (; in_section != NULL; in_section = in_section->next) {
        const Change *change = in_section->change;
        if (change->tree->label == name && (found == NULL || order_applied(change, found) >= 0)) {
            found = change;
        }
    }
    return found;
}

static void report_two(Assembly *assembly, const Change *first, const Change *second)
{
    Diagnostic *diag =
        diagnostic_error(assembly->diags, "two readings at once", change_place(second),
                         "the readings '%.*s' and '%.*s' of one text are applied on one day",
                         TEXT_ARG(first->tree->label->text), TEXT_ARG(second->tree->label->text));
    diagnostic_note(assembly->diags, diag, change_place(first), "the other one");
}

static bool share_name(const ReadingTree *a, const ReadingTree *b)
{
    for (const DefineTree *left = a->defines; left != NULL; left = left->next) {
        for (const DefineTree *right = b->defines; right != NULL; right = right->next) {
            if (left->name == right->name) {
                return true;
            }
        }
    }
    return false;
}

typedef struct Candidate {
    const ReadingTree *reading;
    const Change *applied; /* NULL: not applied */
    uint32_t group;        /* equal for alternatives */
} Candidate;

/* Joins the groups of the readings before `at` that share a name with it. */
static void join_groups(Candidate *found, uint32_t at)
{
    for (uint32_t i = 0; i < at; i++) {
        uint32_t joined = found[i].group;
        if (joined == at || !share_name(found[i].reading, found[at].reading)) {
            continue;
        }
        for (uint32_t j = 0; j < at; j++) {
            found[j].group = found[j].group == joined ? at : found[j].group;
        }
    }
}

static Candidate *find_candidates(Assembly *assembly, const CodeState *code,
                                  const Applied *in_section, const ReadingTree *set,
                                  uint32_t *count)
{
    *count = 0;
    for (const ReadingTree *reading = set; reading != NULL; reading = reading->next) {
        (*count)++;
    }
    Candidate *found = ARENA_ARRAY(assembly->arena, Candidate, *count);
    uint32_t at = 0;
    for (const ReadingTree *reading = set; reading != NULL; reading = reading->next, at++) {
        found[at] = (Candidate){reading, find_applied(code, in_section, reading->name), at};
        join_groups(found, at);
        assembly->steps++;
    }
    return found;
}

/* True when no alternative goes before it. */
static bool governs(Assembly *assembly, const Candidate *found, uint32_t count, uint32_t which)
{
    for (uint32_t i = 0; i < count; i++) {
        if (i == which || found[i].applied == NULL || found[i].group != found[which].group) {
            continue;
        }
        const Change *mine = found[which].applied;
        const Change *other = found[i].applied;
        int order = order_applied(other, mine);
        if (order == 0 && i < which) {
            bool is_later = mine->block == other->block
                                ? mine->tree->span.start > other->tree->span.start
                                : mine->block->span.start > other->block->span.start;
            report_two(assembly, is_later ? other : mine, is_later ? mine : other);
        }
        if (order > 0 || (order == 0 && i < which)) {
            return false;
        }
    }
    return true;
}

typedef struct NameList {
    const Name **names;
    uint32_t count;
} NameList;

static void add_name(NameList *list, const Name *name)
{
    for (uint32_t i = 0; i < list->count; i++) {
        if (list->names[i] == name) {
            return;
        }
    }
    list->names[list->count++] = name;
}

/* Adds what governs of one set; the list has room. */
static void choose(Assembly *assembly, const CodeState *code, const Applied *in_section,
                   const ReadingTree *set, NameList *out)
{
    uint32_t count = 0;
    const Candidate *found = find_candidates(assembly, code, in_section, set, &count);
    for (uint32_t i = 0; i < count; i++) {
        if (found[i].applied != NULL && governs(assembly, found, count, i)) {
            add_name(out, found[i].reading->name);
        }
    }
}

static uint32_t count_readings(const ReadingTree *reading)
{
    uint32_t count = 0;
    for (; reading != NULL; reading = reading->next) {
        count++;
    }
    return count;
}

const Name **assembly_choose_readings(Assembly *assembly, const CodeState *code,
                                      const SectionState *state, uint32_t *count)
{
    *count = 0;
    if (code->applied == NULL && state->applied == NULL) {
        return NULL;
    }
    const TextState *lists[] = {state->texts, state->floors};
    uint32_t room = code->shared_count;
    for (uint32_t i = 0; i < 2; i++) {
        for (const TextState *text = lists[i]; text != NULL; text = text->next) {
            room += count_readings(text->tree.body->readings);
        }
    }
    NameList list = {ARENA_ARRAY(assembly->arena, const Name *, room), 0};
    for (uint32_t i = 0; i < code->shared_count; i++) {
        add_name(&list, code->shared[i]);
    }
    for (uint32_t i = 0; i < 2; i++) {
        for (const TextState *text = lists[i]; text != NULL; text = text->next) {
            choose(assembly, code, state->applied, text->tree.body->readings, &list);
        }
    }
    *count = list.count;
    return list.names;
}

/* ---- readings that are not there ---- */

/* The reading names of a code, each once. */
typedef struct Known {
    Map *map;
    Text *names;
    size_t count;
} Known;

static void know_readings(Assembly *assembly, Known *known, const ReadingTree *reading, bool list)
{
    for (; reading != NULL; reading = reading->next) {
        if (!list) {
            known->count++;
        } else if (map_put(known->map, reading->name, known) == NULL) {
            known->names[known->count++] = reading->name->text;
        }
        assembly->steps++;
    }
}

static void know_all(Assembly *assembly, Known *known, const CodeState *code, bool list)
{
    known->count = 0;
    know_readings(assembly, known, code->code->readings, list);
    for (const SectionState *state = code->first; state != NULL; state = state->next) {
        know_readings(assembly, known, state->section->body.readings, list);
        for (const History *at = state->history; at != NULL; at = at->before) {
            know_readings(assembly, known, at->change->tree->body.readings, list);
        }
        for (const TextState *text = state->texts; text != NULL; text = text->next) {
            know_readings(assembly, known, text->tree.body->readings, list);
        }
        for (const TextState *text = state->floors; text != NULL; text = text->next) {
            know_readings(assembly, known, text->tree.body->readings, list);
        }
    }
}

static void report_unknown(Assembly *assembly, const CodeState *code, const Known *known,
                           const Change *change)
{
    Text name = change->tree->label->text;
    bool is_in = change->tree->targets != NULL;
    Diagnostic *diag = diagnostic_error(assembly->diags, "unknown reading",
                                        (Place){change->block->source, change->tree->label_span},
                                        is_in ? "the section has no reading '%.*s'"
                                              : "the code has no reading '%.*s'",
                                        TEXT_ARG(name));
    diagnostic_note(assembly->diags, diag, (Place){code->code->source, code->code->name_span},
                    "'%.*s' edition '%.*s' is here", TEXT_ARG(code->code->name->text),
                    TEXT_ARG(code->code->edition));
    long nearest = text_nearest(name, known->names, known->count);
    if (nearest >= 0 && !text_equal(known->names[nearest], name)) {
        diagnostic_note(assembly->diags, diag, (Place){NULL, {0, 0}}, "did you mean '%.*s'?",
                        TEXT_ARG(known->names[nearest]));
    }
}

static const ReadingTree *find_reading(const ReadingTree *set, const Name *name)
{
    while (set != NULL && set->name != name) {
        set = set->next;
    }
    return set;
}

static bool has_reading(const TextState *texts, const Name *name)
{
    while (texts != NULL && find_reading(texts->tree.body->readings, name) == NULL) {
        texts = texts->next;
    }
    return texts != NULL;
}

/* Texts that later acts, or levels below, have replaced count too: the reading was there to be
 * applied. */
static bool has_or_had_reading(const SectionState *state, const Name *name)
{
    for (const History *at = state->history; at != NULL; at = at->before) {
        if (find_reading(at->change->tree->body.readings, name) != NULL) {
            return true;
        }
    }
    return find_reading(state->section->body.readings, name) != NULL ||
           has_reading(state->texts, name) || has_reading(state->floors, name);
}

/* Is the reading one of a section that the target covers? */
static bool is_in_target(Assembly *assembly, const CodeState *code, const Change *change)
{
    const TargetTree *target = change->tree->targets;
    const SectionList *list = assembly_find_list(assembly, code, target->number);
    for (const SectionNode *node = list == NULL ? NULL : list->covered; node != NULL;
         node = node->next) {
        assembly->steps++;
        if (has_or_had_reading(node->state, change->tree->label)) {
            return true;
        }
    }
    return list == NULL; /* the target itself is in error, and has been reported */
}

static void check_in(Assembly *assembly, const CodeState *code, const Known *known,
                     const Change *change)
{
    if (is_in_target(assembly, code, change)) {
        return;
    }
    const ReadingTree *shared = find_reading(code->code->readings, change->tree->label);
    if (shared == NULL) {
        report_unknown(assembly, code, known, change);
        return;
    }
    Diagnostic *diag = diagnostic_error(
        assembly->diags, "shared reading", (Place){change->block->source, change->tree->span},
        "'%.*s' is a reading of the whole code, and cannot be applied in one section",
        TEXT_ARG(change->tree->label->text));
    diagnostic_note(assembly->diags, diag, (Place){shared->source, shared->name_span},
                    "shared here");
}

void assembly_find_readings(Assembly *assembly, CodeState *code)
{
    bool any = code->applied != NULL;
    for (const Change *change = code->changes; change != NULL && !any; change = change->next) {
        any = change->tree->kind == CHANGE_APPLIES_READING;
    }
    if (!any) {
        return;
    }
    Known known = {map_new(assembly->arena), NULL, 0};
    know_all(assembly, &known, code, false);
    known.names = ARENA_ARRAY(assembly->arena, Text, known.count);
    know_all(assembly, &known, code, true);

    code->applied_by_name = map_new(assembly->arena);
    for (Applied *applied = code->applied; applied != NULL; applied = applied->next) {
        const Name *name = applied->change->tree->label;
        if (map_get(known.map, name) == NULL) {
            report_unknown(assembly, code, &known, applied->change);
        }
        (void)map_put(code->applied_by_name, name, applied);
    }
    for (const Change *change = code->changes; change != NULL; change = change->next) {
        if (change->tree->kind == CHANGE_APPLIES_READING && change->tree->targets != NULL) {
            check_in(assembly, code, &known, change);
        }
    }
    NameList shared = {
        ARENA_ARRAY(assembly->arena, const Name *, count_readings(code->code->readings)), 0};
    choose(assembly, code, NULL, code->code->readings, &shared);
    code->shared = shared.names;
    code->shared_count = shared.count;
}
