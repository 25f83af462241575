/* A comparison as one HTML page: the counts, a table for each topic with both sides of every
 * requirement that differs, the grid of builds, and each build's findings side by side. */
#include "report/cite.h"
#include "report/compare_words.h"
#include "report/html.h"

typedef struct Page {
    Buffer *out;
    Arena *arena;
    const Compared *compared;
    const CompareGroup *group;
} Page;

static void put_paragraph(Page *page, const char *class_name, Text text)
{
    html_element(page->out, "p", class_name, text);
    buffer_char(page->out, '\n');
}

static void put_holders(Page *page, const CompareSide *side)
{
    uint32_t count = 0;
    const Text *holders = side_holders(page->arena, side, &count);
    Buffer out = buffer_make(page->arena);
    for (uint32_t i = 0; i < count; i++) {
        buffer_format(&out, "%s%.*s", i > 0 ? "; " : "", TEXT_ARG(holders[i]));
    }
    if (count > 0) {
        put_paragraph(page, "quiet",
                      text_format(page->arena, "%.*s: who decides: %.*s.",
                                  TEXT_ARG(place_title(side->law->tree->place)),
                                  TEXT_ARG(buffer_done(&out))));
    }
}

/* ---- head ---- */

static Text title_words(const Page *page)
{
    const Compared *compared = page->compared;
    if (compared->states) {
        return text_format(page->arena, "Change of law from %.*s to %.*s", TEXT_ARG(compared->from),
                           TEXT_ARG(compared->to));
    }
    Buffer out = buffer_make(page->arena);
    for (uint32_t i = 0; i < compared->groups[0].side_count; i++) {
        buffer_format(&out, "%s%.*s", i > 0 ? " and " : "",
                      TEXT_ARG(compared->groups[0].sides[i].title));
    }
    buffer_string(&out, " compared");
    return buffer_done(&out);
}

static void put_rules(Page *page)
{
    const Compared *compared = page->compared;
    for (int state = 0; state < 2; state++) {
        for (uint32_t i = 0; i < compared->digest_count[state]; i++) {
            put_paragraph(page, "quiet", digest_words(page->arena, &compared->digests[state][i]));
        }
    }
}

static void put_head(Page *page)
{
    const Compared *compared = page->compared;
    html_heading(page->out, 1, TEXT(""), title_words(page));
    if (!compared->states) {
        put_paragraph(
            page, "quiet",
            text_format(page->arena, "Under the law of %.*s (%s).",
                        TEXT_ARG(date_print(page->arena, compared->on)),
                        compared->origin == DATE_TODAY ? "today" : "the date given with --on"));
        for (uint32_t i = 0; i < compared->groups[0].side_count; i++) {
            put_holders(page, &compared->groups[0].sides[i]);
        }
    }
    Buffer topics = buffer_make(page->arena);
    for (size_t i = 0; i < compared->topic_count; i++) {
        buffer_format(&topics, "%s%.*s", i == 0 ? "Topics: " : ", ", TEXT_ARG(compared->topics[i]));
    }
    if (topics.len > 0) {
        put_paragraph(page, "quiet", buffer_done(&topics));
    }
}

/* ---- requirements ---- */

static void put_relation(Page *page, const ComparePair *pair, const ComparedLine *line)
{
    const CompareSide *sides = page->group->sides;
    Buffer *out = page->out;
    buffer_string(out, "<td>");
    html_element(out, "span", "tag other", text_of(relation_word((Relation)line->relation)));
    if (line->relation == RELATION_STRICTER || line->relation == RELATION_LOOSER) {
        buffer_string(out, "<br>");
        html_element(out, "span", "quiet", sides[pair->b].title);
    } else if (line->relation == RELATION_ONLY_HERE) {
        buffer_string(out, "<br>");
        html_element(out, "span", "quiet",
                     sides[line->side[0].line != NULL ? pair->a : pair->b].title);
    }
    Text differs = differs_words(page->arena, line->differs);
    if (differs.len > 0 && line->relation != RELATION_ONLY_HERE) {
        buffer_string(out, "<br>");
        html_element(out, "span", "quiet", text_format(page->arena, "by %.*s", TEXT_ARG(differs)));
    }
    buffer_string(out, "</td>");
}

static void put_side(Page *page, const ComparedLine *line, int which)
{
    const ComparedSide *side = &line->side[which];
    Buffer *out = page->out;
    buffer_string(out, "<td>");
    if (side->line == NULL) {
        html_element(out, "span", "quiet", TEXT("no such requirement"));
        buffer_string(out, "</td>");
        return;
    }
    html_text(out, required_words(page->arena, line, which));
    Text applies = applies_words(page->arena, side);
    if (applies.len > 0) {
        buffer_string(out, "<br>");
        html_element(out, "span", "window", applies);
    }
    buffer_string(out, "<br>");
    html_element(out, "span", "quiet", side_citation(page->arena, side));
    buffer_string(out, "</td>");
}

static void put_line(Page *page, const ComparePair *pair, const ComparedLine *line)
{
    const ComparedSide *first = line->side[0].line != NULL ? &line->side[0] : &line->side[1];
    Text units = units_words(page->arena, line);
    html_row_open(page->out);
    Buffer head = buffer_make(page->arena);
    buffer_format(&head, "%.*s %.*s", TEXT_ARG(side_number(page->arena, first)),
                  TEXT_ARG(first->section->heading));
    if (units.len > 0) {
        buffer_format(&head, " (of %.*s)", TEXT_ARG(units));
    }
    html_row_head(page->out, buffer_done(&head));
    put_side(page, line, 0);
    put_side(page, line, 1);
    put_relation(page, pair, line);
    html_row_close(page->out);
}

static void put_notes(Page *page, const ComparedSection *section)
{
    if (section->notes == 0) {
        return;
    }
    buffer_string(page->out, "<tr><td colspan=\"4\" class=\"quiet\">");
    html_format(page->out, "%.*s, beside what it requires: %.*s.",
                TEXT_ARG(section_words(page->arena, section->section[0])),
                TEXT_ARG(notes_words(page->arena, section)));
    buffer_string(page->out, "</td></tr>\n");
}

static void put_topic(Page *page, const ComparePair *pair, const ComparedTopic *topic)
{
    if (!topic_is_shown(page->compared, topic)) {
        return;
    }
    Text title = topic->title.len > 0 ? topic->title : topic->name;
    buffer_string(page->out, "<tr><th colspan=\"4\" scope=\"rowgroup\">");
    html_element(page->out, "h3", NULL, title.len > 0 ? title : TEXT("Without topic"));
    buffer_string(page->out, "</th></tr>\n");
    for (uint32_t i = 0; i < topic->section_count; i++) {
        for (uint32_t k = 0; k < topic->sections[i].line_count; k++) {
            if (line_is_shown(page->compared, &topic->sections[i].lines[k])) {
                put_line(page, pair, &topic->sections[i].lines[k]);
            }
        }
        put_notes(page, &topic->sections[i]);
    }
}

static void put_pair(Page *page, const ComparePair *pair)
{
    const CompareSide *sides = page->group->sides;
    Text counts = counts_words(page->arena, pair->law);
    html_heading(page->out, 2, TEXT(""),
                 page->compared->states
                     ? page->group->title
                     : text_format(page->arena, "%.*s against %.*s", TEXT_ARG(sides[pair->b].title),
                                   TEXT_ARG(sides[pair->a].title)));
    if (page->compared->states) {
        put_holders(page, group_side(page->group));
    }
    put_paragraph(page, NULL, text_format(page->arena, "Requirements: %.*s.", TEXT_ARG(counts)));
    if (law_comparison_is_same(pair->law) && !page->compared->all) {
        put_paragraph(page, NULL, TEXT("Nothing in the law differs."));
        return;
    }
    const Text heads[4] = {TEXT("Section"), sides[pair->a].title, sides[pair->b].title,
                           TEXT("Relation")};
    html_table_open(page->out, "compared", heads, 4);
    for (uint32_t i = 0; i < pair->law->topic_count; i++) {
        put_topic(page, pair, &pair->law->topics[i]);
    }
    html_table_close(page->out);
}

/* ---- builds ---- */

static Text build_words(Arena *arena, const CompareBuild *build)
{
    Text name = build->spec->unit_name;
    Text path = build->spec->source->path;
    return name.len == 0 ? path : text_format(arena, "%.*s (%.*s)", TEXT_ARG(name), TEXT_ARG(path));
}

static void put_grid(Page *page)
{
    const CompareGroup *group = page->group;
    Text *heads = ARENA_ARRAY(page->arena, Text, group->side_count + 1);
    heads[0] = TEXT("Build");
    for (uint32_t i = 0; i < group->side_count; i++) {
        heads[i + 1] = group->sides[i].title;
    }
    html_heading(page->out, 2, TEXT(""), TEXT("Builds"));
    put_paragraph(page, "quiet",
                  TEXT("Corrections, waiting for information, for an official to decide; the exit "
                       "status of a review in brackets."));
    html_table_open(page->out, NULL, heads, group->side_count + 1);
    for (uint32_t i = 0; i < group->build_count; i++) {
        html_row_open(page->out);
        html_row_head(page->out, build_words(page->arena, &group->builds[i]));
        for (uint32_t k = 0; k < group->side_count; k++) {
            const Review *review = group->builds[i].reviews[k];
            html_cell(page->out, "digits",
                      text_format(page->arena, "%u, %u, %u [%d]",
                                  review->counts[OUTCOME_CORRECTION],
                                  review->counts[OUTCOME_INFORMATION_REQUIRED],
                                  review->counts[OUTCOME_OFFICIAL_DECIDES], review_status(review)));
        }
        html_row_close(page->out);
    }
    html_table_close(page->out);
}

static void put_row(Page *page, const CompareBuild *build, const ComparedFinding *row)
{
    const FindingComparison *findings = build->findings;
    const Finding *first = row_first(findings, row, NULL);
    Text items = row_items(page->arena, findings, row);
    html_row_open(page->out);
    html_row_head(page->out,
                  text_format(page->arena, "%.*s %.*s%s%.*s%s",
                              TEXT_ARG(section_words(page->arena, first->section)),
                              TEXT_ARG(first->section->heading), items.len > 0 ? ": " : "",
                              TEXT_ARG(items), first->floor ? " (floor)" : ""));
    for (uint32_t i = 0; i < findings->review_count; i++) {
        html_cell(page->out, NULL, finding_words(page->arena, row->findings[i]));
    }
    if (page->compared->states && row->change != FINDING_SAME) {
        Cause cause = finding_cause(build->laws[0], row->findings[0], row->findings[1]);
        html_cell(page->out, NULL, cause_words(page->arena, &cause));
    } else {
        html_cell(page->out, NULL,
                  row->change == FINDING_CLASS    ? TEXT("comes out otherwise")
                  : row->change == FINDING_DETAIL ? TEXT("other figures")
                                                  : TEXT("same"));
    }
    html_row_close(page->out);
}

static void put_build(Page *page, const CompareBuild *build)
{
    const CompareGroup *group = page->group;
    const FindingComparison *findings = build->findings;
    html_heading(page->out, 3, TEXT(""), build_words(page->arena, build));
    if (!page->compared->all && findings->counts[FINDING_CLASS] == 0 &&
        findings->counts[FINDING_DETAIL] == 0) {
        put_paragraph(page, NULL, TEXT("No finding of this unit differs."));
        return;
    }
    Text *heads = ARENA_ARRAY(page->arena, Text, group->side_count + 2);
    heads[0] = TEXT("Finding");
    for (uint32_t i = 0; i < group->side_count; i++) {
        heads[i + 1] = group->sides[i].title;
    }
    heads[group->side_count + 1] = page->compared->states ? TEXT("Because") : TEXT("Change");
    html_table_open(page->out, "compared", heads, group->side_count + 2);
    for (uint32_t i = 0; i < findings->row_count; i++) {
        if (page->compared->all || findings->rows[i].change != FINDING_SAME) {
            put_row(page, build, &findings->rows[i]);
        }
    }
    html_table_close(page->out);
}

/* ---- groups ---- */

static void put_group(Page *page)
{
    const CompareGroup *group = page->group;
    for (uint32_t i = 0; i < group->pair_count && group->pairs[i].a == 0; i++) {
        put_pair(page, &group->pairs[i]);
    }
    if (group->pair_count == 0) {
        html_heading(page->out, 2, TEXT(""), group->title);
        bool gone = group->sides[0].law != NULL;
        bool has_other = group->sides[1].law != NULL;
        put_paragraph(page, NULL,
                      gone        ? TEXT("Gone: no law is in force there in the second state.")
                      : has_other ? TEXT("New: no law was in force there in the first state.")
                                  : TEXT("No law is in force there in either state."));
    }
    if (group->build_count == 0) {
        return;
    }
    put_grid(page);
    for (uint32_t i = 0; i < group->build_count; i++) {
        put_build(page, &group->builds[i]);
    }
}

Text compare_html(Arena *arena, const Compared *compared)
{
    Buffer out = buffer_make(arena);
    Page page = {.out = &out, .arena = arena, .compared = compared};
    html_open(&out, title_words(&page));
    put_head(&page);
    for (uint32_t g = 0; g < compared->group_count; g++) {
        page.group = &compared->groups[g];
        put_group(&page);
    }
    put_paragraph(&page, "quiet",
                  TEXT("Relations follow from the form of the rules, for every unit whatever; "
                       "permits, variances and decisions recorded for one jurisdiction alone are "
                       "left aside. An aid for preparing a submittal, not an approval: the "
                       "authority having jurisdiction decides; the adopted text and its local "
                       "amendments govern."));
    put_rules(&page);
    html_close(&out);
    return buffer_done(&out);
}
