/* A comparison as JSON: every pair of laws, every requirement with both sides, every finding that
 * the laws tell apart. docs/compare.md describes it. The same input gives the same bytes. */
#include "report/cite.h"
#include "report/compare_words.h"
#include "report/review_json.h"
#include "shall.h"

enum { FORMAT_VERSION = 1 };

static void put_bits(Json *json, const char *key, unsigned bits, const char *(*word)(unsigned bit))
{
    json_key(json, key);
    json_open_flat(json, '[');
    for (unsigned bit = 1; bit != 0 && bit <= bits; bit <<= 1) {
        if ((bits & bit) != 0) {
            json_string(json, word(bit));
        }
    }
    json_close(json, ']');
}

/* ---- the law ---- */

/* Where the line is written, or the limit that an ordinance gave it. */
static Place line_place(const ComparedSide *side)
{
    const TextTree *tree = side->text->tree;
    const Line *line = side->line;
    for (uint32_t i = 0; i < tree->limit_count; i++) {
        if (tree->limits[i].line == line->tree) {
            return (Place){tree->limits[i].source, tree->limits[i].limit->span};
        }
    }
    return (Place){line->source, line->tree == NULL ? (Span){0, 0} : line->tree->span};
}

static void put_side(Json *json, Arena *arena, const char *key, const ComparedLine *line, int which)
{
    const ComparedSide *side = &line->side[which];
    json_key(json, key);
    if (side->line == NULL) {
        json_null(json);
        return;
    }
    const Line *own = side->line;
    json_open(json, '{');
    json_put_text(json, "code", side->section->tree->code->name->text);
    json_put_text(json, "edition", side->section->tree->code->edition);
    json_put_text(json, "section", side->section->number);
    json_put_text_or_null(json, "part",
                          side->section->part == NULL ? TEXT("") : side->section->part->text);
    json_put_text_or_null(json, "line", own->label == NULL ? TEXT("") : own->label->text);
    json_put_text(json, "heading", side->section->heading);
    json_put_text(json, "requires", required_words(arena, line, which));
    json_put_text_or_null(json, "applies", applies_words(arena, side));
    json_put_bool(json, "in_exception", side->exception != NULL);
    json_put_text_or_null(json, "unit", own->unit == NULL ? TEXT("") : own->unit->spelling);
    json_put_text(json, "citation", side_citation(arena, side));
    json_chain(json, side->text->tree);
    json_key(json, "place");
    json_place(json, line_place(side));
    json_close(json, '}');
}

static void put_line(Json *json, Arena *arena, const ComparedLine *line)
{
    json_open(json, '{');
    json_put_string(json, "relation", relation_data((Relation)line->relation));
    put_bits(json, "differs", line->differs, differs_word);
    json_put_text_or_null(json, "units", units_words(arena, line));
    json_put_bool(json, "floor", line->floor);
    put_side(json, arena, "first", line, 0);
    put_side(json, arena, "second", line, 1);
    json_close(json, '}');
}

static void put_section(Json *json, const Compared *compared, const ComparedSection *section)
{
    static const char *const aligned[] = {"citation", "topic", "alone"};
    Arena *scratch = arena_new();
    json_open(json, '{');
    json_put_string(json, "aligned_by", aligned[section->aligned]);
    json_put_text_or_null(json, "first",
                          section->section[0] == NULL ? TEXT("") : section->section[0]->number);
    json_put_text_or_null(json, "second",
                          section->section[1] == NULL ? TEXT("") : section->section[1]->number);
    put_bits(json, "noted", section->notes, note_word);
    json_put_text_or_null(json, "notes", notes_words(scratch, section));
    json_key(json, "requirements");
    json_open(json, '[');
    for (uint32_t i = 0; i < section->line_count; i++) {
        if (line_is_shown(compared, &section->lines[i])) {
            put_line(json, scratch, &section->lines[i]);
        }
    }
    json_close(json, ']');
    json_close(json, '}');
    arena_free(scratch);
}

static void put_topics(Json *json, const Compared *compared, const LawComparison *law)
{
    json_key(json, "topics");
    json_open(json, '[');
    for (uint32_t t = 0; t < law->topic_count; t++) {
        const ComparedTopic *topic = &law->topics[t];
        if (!topic_is_shown(compared, topic)) {
            continue;
        }
        json_open(json, '{');
        json_put_text_or_null(json, "topic", topic->name);
        json_put_text_or_null(json, "title", topic->title);
        json_key(json, "sections");
        json_open(json, '[');
        for (uint32_t i = 0; i < topic->section_count; i++) {
            if (section_is_shown(compared, &topic->sections[i])) {
                put_section(json, compared, &topic->sections[i]);
            }
        }
        json_close(json, ']');
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void put_pair(Json *json, const Compared *compared, const CompareGroup *group,
                     const ComparePair *pair)
{
    const LawComparison *law = pair->law;
    json_open(json, '{');
    json_put_text(json, "first", group->sides[pair->a].title);
    json_put_text(json, "second", group->sides[pair->b].title);
    json_key(json, "counts");
    json_open_flat(json, '{');
    for (int i = 0; i < RELATION_COUNT; i++) {
        if (i != RELATION_ONLY_HERE) {
            json_put_count(json, relation_data((Relation)i), law->counts[i]);
        }
    }
    json_put_count(json, "only_in_first", law->only[0]);
    json_put_count(json, "only_in_second", law->only[1]);
    json_put_count(json, "sections_noted", law->noted);
    json_close(json, '}');
    put_topics(json, compared, law);
    json_close(json, '}');
}

/* ---- builds ---- */

static void put_reviews(Json *json, const CompareGroup *group, const CompareBuild *build)
{
    json_key(json, "reviews");
    json_open(json, '[');
    for (uint32_t i = 0; i < group->side_count; i++) {
        const Review *review = build->reviews[i];
        json_open_flat(json, '{');
        json_put_text(json, "side", group->sides[i].title);
        json_day(json, "on", review->on);
        json_put_count(json, "status", (uint64_t)review_status(review));
        for (int outcome = OUTCOME_COMPLIES; outcome <= OUTCOME_NOT_APPLICABLE; outcome++) {
            json_put_count(json, outcome_data((Outcome)outcome), review->counts[outcome]);
        }
        json_close(json, '}');
    }
    json_close(json, ']');
}

static const char *class_data(const Finding *finding)
{
    switch (finding_class(finding)) {
    case FINDING_PASSES: return "pass";
    case FINDING_FAILS: return "fail";
    case FINDING_OPEN: break;
    }
    return "open";
}

static void put_finding(Json *json, Arena *arena, const CompareSide *side, const Finding *finding)
{
    json_open(json, '{');
    json_put_text(json, "side", side->title);
    json_put_string(json, "class", class_data(finding));
    if (finding == NULL) {
        json_key(json, "outcome");
        json_null(json);
    } else {
        json_put_string(json, "outcome", outcome_data((Outcome)finding->outcome));
        json_put_text(json, "section", section_words(arena, finding->section));
        json_put_bool(json, "advisory", finding->section->advises);
        json_put_bool(json, "later_stage", finding->later_stage);
        json_put_text(json, "text", finding_words(arena, finding));
        json_put_text(json, "citation", citation_words(arena, finding));
    }
    json_close(json, '}');
}

static void put_cause(Json *json, Arena *arena, const Cause *cause)
{
    json_key(json, "because");
    json_open_flat(json, '{');
    json_put_string(json, "kind", cause_data((CauseKind)cause->kind));
    json_put_text(json, "section", section_words(arena, cause->section));
    json_put_text_or_null(json, "by", cause->link == NULL ? TEXT("") : cause->link->by);
    json_day(json, "from", cause->link == NULL ? DAY_FOREVER : cause->link->from);
    json_put_text(json, "text", cause_words(arena, cause));
    json_close(json, '}');
}

static void put_row(Json *json, const Compared *compared, const CompareGroup *group,
                    const CompareBuild *build, const ComparedFinding *row)
{
    static const char *const changes[] = {"none", "figures", "class"};
    Arena *scratch = arena_new();
    const Finding *first = row_first(build->findings, row, NULL);
    json_open(json, '{');
    json_put_string(json, "change", changes[row->change]);
    json_put_text(json, "section", section_words(scratch, first->section));
    json_put_text(json, "heading", first->section->heading);
    json_put_text_or_null(json, "items", row_items(scratch, build->findings, row));
    json_put_bool(json, "floor", first->floor);
    if (compared->states && row->change != FINDING_SAME) {
        Cause cause = finding_cause(build->laws[0], row->findings[0], row->findings[1]);
        put_cause(json, scratch, &cause);
    }
    json_key(json, "findings");
    json_open(json, '[');
    for (uint32_t i = 0; i < group->side_count; i++) {
        put_finding(json, scratch, &group->sides[i], row->findings[i]);
    }
    json_close(json, ']');
    json_close(json, '}');
    arena_free(scratch);
}

static void put_build(Json *json, const Compared *compared, const CompareGroup *group,
                      const CompareBuild *build)
{
    const FindingComparison *findings = build->findings;
    json_open(json, '{');
    json_put_text(json, "spec", build->spec->source->path);
    json_put_text_or_null(json, "unit", build->spec->unit_name);
    put_reviews(json, group, build);
    json_key(json, "counts");
    json_open_flat(json, '{');
    json_put_count(json, "class", findings->counts[FINDING_CLASS]);
    json_put_count(json, "figures", findings->counts[FINDING_DETAIL]);
    json_put_count(json, "none", findings->counts[FINDING_SAME]);
    json_close(json, '}');
    json_key(json, "findings");
    json_open(json, '[');
    for (uint32_t i = 0; i < findings->row_count; i++) {
        if (compared->all || findings->rows[i].change != FINDING_SAME) {
            put_row(json, compared, group, build, &findings->rows[i]);
        }
    }
    json_close(json, ']');
    json_close(json, '}');
}

/* ---- the document ---- */

/* Who decides what in a place; null for a jurisdiction. */
static void put_authorities(Json *json, Arena *scratch, const CompareSide *side)
{
    const PlaceTree *place = side->law == NULL ? NULL : side->law->tree->place;
    json_key(json, "authorities");
    if (place == NULL) {
        json_null(json);
        return;
    }
    json_open(json, '[');
    for (const HolderTree *row = place->holders; row != NULL; row = row->next) {
        json_open_flat(json, '{');
        json_put_text(json, "authority", row->authority->text);
        json_put_text(json, "jurisdiction", row->jurisdiction->text);
        json_put_text_or_null(
            json, "where", row->where == NULL ? TEXT("") : syntax_print_expr(scratch, row->where));
        json_put_text_or_null(json, "by", row->by);
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void put_group(Json *json, const Compared *compared, const CompareGroup *group)
{
    Arena *scratch = arena_new();
    json_open(json, '{');
    json_put_text_or_null(json, "jurisdiction", compared->states ? group->sides[0].name : TEXT(""));
    json_key(json, "sides");
    json_open(json, '[');
    for (uint32_t i = 0; i < group->side_count; i++) {
        const CompareSide *side = &group->sides[i];
        json_open(json, '{');
        json_put_text(json, "jurisdiction", side->name);
        json_put_text(json, "title", side->title);
        json_put_bool(json, "in_force", side->law != NULL);
        json_day(json, "on", side->law == NULL ? DAY_FOREVER : side->law->tree->on);
        put_authorities(json, scratch, side);
        json_close(json, '}');
    }
    json_close(json, ']');
    json_key(json, "pairs");
    json_open(json, '[');
    for (uint32_t i = 0; i < group->pair_count; i++) {
        put_pair(json, compared, group, &group->pairs[i]);
    }
    json_close(json, ']');
    json_key(json, "builds");
    json_open(json, '[');
    for (uint32_t i = 0; i < group->build_count; i++) {
        put_build(json, compared, group, &group->builds[i]);
    }
    json_close(json, ']');
    json_close(json, '}');
    arena_free(scratch);
}

static void put_rules(Json *json, const Compared *compared)
{
    json_key(json, "digests");
    json_open(json, '[');
    for (int state = 0; state < 2; state++) {
        for (uint32_t i = 0; i < compared->digest_count[state]; i++) {
            const Digest *digest = &compared->digests[state][i];
            json_open_flat(json, '{');
            json_put_text(json, "path", digest->path);
            json_put_count(json, "files", digest->files);
            json_put_text(json, "sha256", digest->sha256);
            json_close(json, '}');
        }
    }
    json_close(json, ']');
}

Text compare_json(Arena *arena, const Compared *compared)
{
    Json json = json_make(arena);
    json_open(&json, '{');
    json_key(&json, "shall");
    json_open(&json, '{');
    json_put_string(&json, "version", SHALL_VERSION);
    json_close(&json, '}');
    json_put_count(&json, "format", FORMAT_VERSION);
    json_put_string(&json, "comparison", compared->states ? "states" : "jurisdictions");
    json_put_text_or_null(&json, "from", compared->from);
    json_put_text_or_null(&json, "to", compared->to);
    json_put_bool(&json, "all", compared->all);
    json_put_bool(&json, "same", compared_is_same(compared));
    put_rules(&json, compared);
    json_key(&json, "topics_asked");
    json_open_flat(&json, '[');
    for (size_t i = 0; i < compared->topic_count; i++) {
        json_text(&json, compared->topics[i]);
    }
    json_close(&json, ']');
    json_key(&json, "groups");
    json_open(&json, '[');
    for (uint32_t g = 0; g < compared->group_count; g++) {
        put_group(&json, compared, &compared->groups[g]);
    }
    json_close(&json, ']');
    json_close(&json, '}');
    buffer_char(&json.out, '\n');
    return json_done(&json);
}
