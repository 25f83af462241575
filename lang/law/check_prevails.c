/* Which section is silent where which other applies: `notwithstanding` in a section, `prevails
 * over` in a block, which speaks of every pair of sections of one topic, and the check that no
 * two silence each other. */
#include "law/check.h"

/* One section over another, and where that is said. */
typedef struct Pair {
    uint32_t loser;
    Place place;
    struct Pair *next;
} Pair;

typedef struct Pairs {
    Pair **of; /* by section, the last one first */
    uint32_t *count;
} Pairs;

static const Pair *find_pair(const Pairs *pairs, uint32_t winner, uint32_t loser)
{
    const Pair *pair = pairs->of[winner];
    while (pair != NULL && pair->loser != loser) {
        pair = pair->next;
    }
    return pair;
}

static void add_pair(Check *c, Pairs *pairs, uint32_t winner, uint32_t loser, Place place)
{
    if (winner == loser || find_pair(pairs, winner, loser) != NULL) {
        return;
    }
    Pair *pair = ARENA_NEW(c->arena, Pair);
    *pair = (Pair){loser, place, pairs->of[winner]};
    pairs->of[winner] = pair;
    pairs->count[winner]++;
}

/* ---- notwithstanding ---- */

static bool code_names(const CodeTree *code, const TargetTree *target)
{
    for (const SectionTree *section = code->sections; section != NULL; section = section->next) {
        if (target_covers(target->number, target->part, section->number, section->part)) {
            return true;
        }
    }
    for (const OmittedTree *omitted = code->omitted; omitted != NULL; omitted = omitted->next) {
        if (target_covers(target->number, target->part, omitted->target.number,
                          omitted->target.part)) {
            return true;
        }
    }
    return false;
}

/* A section that is not in force here may still be one of a code: then there is nothing to say. */
static void target_unknown(Check *c, const SectionTree *section, const TargetTree *target)
{
    for (uint32_t i = 0; i < c->tree->code_count; i++) {
        if (code_names(c->tree->codes[i], target)) {
            return;
        }
    }
    Text *numbers = ARENA_ARRAY(c->arena, Text, c->law->section_count + 1);
    for (uint32_t i = 0; i < c->law->section_count; i++) {
        numbers[i] = c->law->sections[i].number;
    }
    diagnostic_error(
        c->diags, "unknown section", (Place){section->source, target->span},
        "there is no section '%.*s' to prevail over%.*s", TEXT_ARG(target->number),
        TEXT_ARG(nearest_hint(c->arena, target->number, numbers, c->law->section_count)));
}

/* Sections under a number that covers them, or of a topic. */
typedef struct Listed {
    uint32_t index;
    struct Listed *next; /* in order */
    struct Listed *last; /* of the list, on its first member */
} Listed;

static void list_add(Check *c, Map *map, const void *key, uint32_t index)
{
    Listed *listed = ARENA_NEW(c->arena, Listed);
    listed->index = index;
    listed->last = listed;
    Listed *first = map_get(map, key);
    if (first == NULL) {
        (void)map_put(map, key, listed);
    } else {
        first->last->next = listed;
        first->last = listed;
    }
}

/* Under its number, and each number above it: they are cut at punctuation. */
static void index_section(Check *c, Map *map, Text number, uint32_t index)
{
    for (size_t len = number.len; len > 0; len--) {
        bool cut = len == number.len ||
                   !(ascii_is_digit(number.data[len]) || ascii_is_letter(number.data[len]));
        if (cut) {
            list_add(c, map, names_intern(c->library->names, (Text){number.data, len}), index);
        }
    }
}

static void add_targets(Check *c, const Map *map, uint32_t index, Pairs *pairs)
{
    const SectionTree *tree = c->law->sections[index].tree->section;
    for (const TargetTree *target = tree->notwithstanding; target != NULL; target = target->next) {
        const Name *name = names_find(c->library->names, target->number);
        bool found = false;
        for (const Listed *at = name == NULL ? NULL : map_get(map, name); at != NULL;
             at = at->next) {
            const Section *other = &c->law->sections[at->index];
            if (at->index != index && section_answers(other, target->number, target->part)) {
                found = true;
                add_pair(c, pairs, index, at->index, (Place){tree->source, target->span});
            }
        }
        if (!found) {
            target_unknown(c, tree, target);
        }
    }
}

static void add_notwithstanding(Check *c, Pairs *pairs)
{
    Map *map = NULL;
    for (uint32_t i = 0; i < c->law->section_count; i++) {
        if (c->law->sections[i].tree->section->notwithstanding == NULL) {
            continue;
        }
        if (map == NULL) {
            map = map_new(c->arena);
            for (uint32_t j = 0; j < c->law->section_count; j++) {
                index_section(c, map, c->law->sections[j].number, j);
                index_section(c, map, c->law->sections[j].former_number, j);
            }
        }
        add_targets(c, map, i, pairs);
    }
}

/* ---- prevails over ---- */

/* The topic itself, or one below it. */
static bool is_within(Text topic, Text above)
{
    return text_starts(topic, above) && (topic.len == above.len || topic.data[above.len] == '.');
}

static bool speaks_of(const PrecedenceTree *precedence, const Topic *topic)
{
    for (const Word *word = precedence->topics; word != NULL; word = word->next) {
        if (is_within(topic->name->text, word->name->text)) {
            return true;
        }
    }
    return precedence->topics == NULL;
}

static void check_topics(Check *c, const PrecedenceTree *precedence)
{
    const Vocabulary *vocabulary = c->vocabulary;
    for (const Word *word = precedence->topics; word != NULL; word = word->next) {
        Text *names = ARENA_ARRAY(c->arena, Text, vocabulary->topic_count + 1);
        bool found = false;
        for (uint32_t i = 0; i < vocabulary->topic_count; i++) {
            names[i] = vocabulary->topics[i].name->text;
            found = found || is_within(names[i], word->name->text);
        }
        if (!found) {
            diagnostic_error(
                c->diags, "unknown topic", (Place){precedence->place.source, word->span},
                "the vocabulary has no topic '%.*s'%.*s", TEXT_ARG(word->name->text),
                TEXT_ARG(nearest_hint(c->arena, word->name->text, names, vocabulary->topic_count)));
        }
    }
}

static void add_precedence(Check *c, const Map *topics, const PrecedenceTree *precedence,
                           Pairs *pairs)
{
    check_topics(c, precedence);
    for (uint32_t i = 0; i < c->law->section_count; i++) {
        const Section *winner = &c->law->sections[i];
        if (winner->tree->code != precedence->winner || winner->topic == NULL ||
            !speaks_of(precedence, winner->topic)) {
            continue;
        }
        for (const Listed *at = map_get(topics, winner->topic); at != NULL; at = at->next) {
            if (c->law->sections[at->index].tree->code == precedence->loser) {
                add_pair(c, pairs, i, at->index, precedence->place);
            }
        }
    }
}

static void add_precedences(Check *c, Pairs *pairs)
{
    if (c->tree->precedence_count == 0) {
        return;
    }
    Map *topics = map_new(c->arena);
    for (uint32_t i = 0; i < c->law->section_count; i++) {
        if (c->law->sections[i].topic != NULL) {
            list_add(c, topics, c->law->sections[i].topic, i);
        }
    }
    for (uint32_t i = 0; i < c->tree->precedence_count; i++) {
        add_precedence(c, topics, &c->tree->precedences[i], pairs);
    }
}

/* ---- all ---- */

/* Of two that silence each other neither would be judged. */
static void check_mutual(Check *c, const Pairs *pairs, uint32_t index)
{
    const Section *section = &c->law->sections[index];
    for (const Pair *pair = pairs->of[index]; pair != NULL; pair = pair->next) {
        const Pair *back = pair->loser < index ? find_pair(pairs, pair->loser, index) : NULL;
        if (back == NULL) {
            continue;
        }
        const Section *other = &c->law->sections[pair->loser];
        Diagnostic *diag = diagnostic_error(
            c->diags, "each prevails over the other", pair->place,
            "'%.*s' and '%.*s' each prevail over the other, so that neither is judged",
            TEXT_ARG(section->number), TEXT_ARG(other->number));
        diagnostic_note(c->diags, diag, back->place, "the other one");
    }
}

static void write_pairs(Check *c, const Pairs *pairs, uint32_t index)
{
    uint32_t *prevails = ARENA_ARRAY(c->arena, uint32_t, pairs->count[index] + 1);
    uint32_t at = pairs->count[index];
    for (const Pair *pair = pairs->of[index]; pair != NULL; pair = pair->next) {
        prevails[--at] = pair->loser;
    }
    c->law->sections[index].prevails = prevails;
    c->law->sections[index].prevail_count = pairs->count[index];
}

void check_prevails(Check *c)
{
    uint32_t count = c->law->section_count;
    Pairs pairs = {.of = ARENA_ARRAY(c->arena, Pair *, count + 1),
                   .count = ARENA_ARRAY(c->arena, uint32_t, count + 1)};
    add_notwithstanding(c, &pairs);
    add_precedences(c, &pairs);
    for (uint32_t i = 0; i < count; i++) {
        check_mutual(c, &pairs, i);
        if (pairs.count[i] > 0) {
            write_pairs(c, &pairs, i);
        }
    }
}
