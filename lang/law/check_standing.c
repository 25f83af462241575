/* What a section has besides its text: topic, rank, authority, stages, rework, and whether it can
 * be waived. What it does not say it has from its code. */
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
    out->never_waived = tree->never_waived;
    out->rework = own->rework != REWORK_UNSAID ? own->rework : code->rework;
}
