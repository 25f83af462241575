/* What a section has besides its text: topic, rank, authority, stages, rework, and the sections
 * over which it prevails. What it does not say it has from its code. */
#include "law/check.h"

/* ---- topic ---- */

static void topic_unknown(Check *c, const SectionTree *section)
{
    const Vocabulary *vocabulary = c->vocabulary;
    Text *names = ARENA_ARRAY(c->arena, Text, vocabulary->topic_count + 1);
    for (uint32_t i = 0; i < vocabulary->topic_count; i++) {
        names[i] = vocabulary->topics[i].name->text;
    }
    diagnostic_error(
        c->diags, "unknown topic", (Place){section->source, section->topic_span},
        "the vocabulary has no topic '%.*s'%.*s", TEXT_ARG(section->topic->text),
        TEXT_ARG(nearest_hint(c->arena, section->topic->text, names, vocabulary->topic_count)));
}

static const Topic *find_topic(Check *c, const SectionTree *section)
{
    if (section->topic == NULL) {
        diagnostic_error(c->diags, "topic not said", (Place){section->source, section->number_span},
                         "section '%.*s' does not say its topic", TEXT_ARG(section->number));
        return NULL;
    }
    const Topic *topic = map_get(c->vocabulary->topic_by_name, section->topic);
    if (topic == NULL) {
        topic_unknown(c, section);
    }
    return topic;
}

/* ---- rank ---- */

static void check_rank(Check *c, const CodeTree *code, Text rank, Place place)
{
    if (rank.len == 0) {
        return;
    }
    for (size_t i = 0; i < code->rank_count; i++) {
        if (text_equal(code->ranks[i], rank)) {
            return;
        }
    }
    Diagnostic *diag = diagnostic_error(
        c->diags, "unknown rank", place, "the code declares no rank '%.*s'%.*s", TEXT_ARG(rank),
        TEXT_ARG(nearest_hint(c->arena, rank, code->ranks, code->rank_count)));
    diagnostic_note(c->diags, diag, (Place){code->source, code->name_span},
                    code->rank_count == 0 ? "it has no 'ranks'" : "the code");
}

void check_code_standing(Check *c, const CodeTree *code)
{
    check_rank(c, code, code->standing.rank, (Place){code->source, code->standing.rank_span});
}

void check_standing(Check *c, const SectionTreeInForce *tree, Section *out)
{
    const SectionTree *section = tree->section;
    const StandingTree *own = &section->standing;
    const StandingTree *code = &tree->code->standing;
    out->tree = tree;
    out->number = section->number;
    out->part = section->part;
    out->heading = section->heading;
    out->topic = find_topic(c, section);
    out->rank = own->rank.len > 0 ? own->rank : code->rank;
    check_rank(c, tree->code, own->rank, (Place){section->source, own->rank_span});
    out->authority = own->authority != NULL ? own->authority : code->authority;
    out->advises = own->authority != NULL ? own->advises : code->advises;
    out->stages = own->stages != 0 ? own->stages : code->stages;
    if (out->stages == 0) {
        out->stages = 1u << STAGE_PLAN;
    }
    out->rework = own->rework != REWORK_UNSAID ? own->rework : code->rework;
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

static bool prevails_over(const Section *section, uint32_t index)
{
    for (uint32_t i = 0; i < section->prevail_count; i++) {
        if (section->prevails[i] == index) {
            return true;
        }
    }
    return false;
}

/* Of two that silence each other neither would be judged. */
static void check_mutual(Check *c, uint32_t index)
{
    const Section *section = &c->law->sections[index];
    for (uint32_t i = 0; i < section->prevail_count; i++) {
        const Section *other = &c->law->sections[section->prevails[i]];
        if (section->prevails[i] < index && prevails_over(other, index)) {
            const SectionTree *tree = section->tree->section;
            Diagnostic *diag = diagnostic_error(
                c->diags, "each prevails over the other",
                (Place){tree->source, tree->notwithstanding->span},
                "'%.*s' and '%.*s' each prevail over the other, so that neither is judged",
                TEXT_ARG(section->number), TEXT_ARG(other->number));
            diagnostic_note(
                c->diags, diag,
                (Place){other->tree->section->source, other->tree->section->notwithstanding->span},
                "the other one");
        }
    }
}

/* Sections by what covers them: their number, and each number above it. */
typedef struct Covered {
    uint32_t index;
    struct Covered *next; /* in order */
    struct Covered *last; /* of the list, on its first member */
} Covered;

static void index_section(Check *c, Map *map, uint32_t index)
{
    Text number = c->law->sections[index].number;
    for (size_t len = number.len; len > 0; len--) {
        if (len < number.len &&
            (ascii_is_digit(number.data[len]) || ascii_is_letter(number.data[len]))) {
            continue; /* numbers are cut at punctuation */
        }
        const Name *name = names_intern(c->library->names, (Text){number.data, len});
        Covered *covered = ARENA_NEW(c->arena, Covered);
        covered->index = index;
        covered->last = covered;
        Covered *first = map_get(map, name);
        if (first == NULL) {
            (void)map_put(map, name, covered);
        } else {
            first->last->next = covered;
            first->last = covered;
        }
    }
}

static uint32_t find_target(Check *c, const Map *map, uint32_t index, const TargetTree *target,
                            uint32_t *found)
{
    const Name *name = names_find(c->library->names, target->number);
    uint32_t count = 0;
    for (const Covered *at = name == NULL ? NULL : map_get(map, name); at != NULL; at = at->next) {
        const Section *other = &c->law->sections[at->index];
        if (at->index != index &&
            target_covers(target->number, target->part, other->number, other->part)) {
            if (found != NULL) {
                found[count] = at->index;
            }
            count++;
        }
    }
    return count;
}

static void find_prevails(Check *c, const Map *map, uint32_t index)
{
    Section *section = &c->law->sections[index];
    const SectionTree *tree = section->tree->section;
    uint32_t count = 0;
    for (const TargetTree *target = tree->notwithstanding; target != NULL; target = target->next) {
        uint32_t covered = find_target(c, map, index, target, NULL);
        if (covered == 0) {
            target_unknown(c, tree, target);
        }
        count += covered;
    }
    uint32_t *prevails = ARENA_ARRAY(c->arena, uint32_t, count + 1);
    section->prevail_count = 0;
    for (const TargetTree *target = tree->notwithstanding; target != NULL; target = target->next) {
        section->prevail_count +=
            find_target(c, map, index, target, prevails + section->prevail_count);
    }
    section->prevails = prevails;
}

void check_prevails(Check *c)
{
    Map *map = NULL;
    for (uint32_t i = 0; i < c->law->section_count; i++) {
        if (c->law->sections[i].tree->section->notwithstanding == NULL) {
            continue;
        }
        if (map == NULL) {
            map = map_new(c->arena);
            for (uint32_t j = 0; j < c->law->section_count; j++) {
                index_section(c, map, j);
            }
        }
        find_prevails(c, map, i);
    }
    for (uint32_t i = 0; i < c->law->section_count; i++) {
        check_mutual(c, i);
    }
}
