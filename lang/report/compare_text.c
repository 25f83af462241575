/* A comparison as text for people: what is compared, how much of it differs, then topic by topic
 * each requirement that differs, with both sides under each other; then each build. */
#include "report/cite.h"
#include "report/compare_words.h"
#include "report/letter.h"

enum { HEAD_COLUMN = 12, SIDE_INDENT = 4, SIDE_COLUMN_LEAST = 12, SIDE_COLUMN_MOST = 26 };

typedef struct Sheet {
    Paper paper;
    Arena *arena;
    const Compared *compared;
    const CompareGroup *group;
} Sheet;

/* ---- head ---- */

static Text within_words(Arena *arena, const CompareSide *side)
{
    const LawTree *law = side->law->tree;
    Buffer out = buffer_make(arena);
    if (law->place != NULL) {
        return side->title;
    }
    for (uint32_t i = law->level_count; i-- > 0;) {
        buffer_string(&out, out.len > 0 ? ", within " : "");
        buffer_text(&out, jurisdiction_words(law->levels[i]));
    }
    return buffer_done(&out);
}

static void put_holders(Sheet *sheet, const CompareSide *side)
{
    uint32_t count = 0;
    const Text *holders = side_holders(sheet->arena, side, &count);
    for (uint32_t i = 0; i < count; i++) {
        paper_wrap(&sheet->paper, HEAD_COLUMN, HEAD_COLUMN + 2, holders[i]);
    }
}

static void put_head(Sheet *sheet)
{
    const Compared *compared = sheet->compared;
    if (compared->states) {
        paper_format(&sheet->paper, 0, 0, BOLD_ON "CHANGE OF LAW" BOLD_OFF " from %.*s to %.*s",
                     TEXT_ARG(compared->from), TEXT_ARG(compared->to));
    } else {
        paper_format(&sheet->paper, 0, 0,
                     BOLD_ON "COMPARISON" BOLD_OFF " under the law of %.*s (%s)",
                     TEXT_ARG(date_print(sheet->arena, compared->on)),
                     compared->origin == DATE_TODAY ? "today" : "the date given with --on");
    }
    paper_rule(&sheet->paper);
    for (size_t i = 0; i < compared->topic_count; i++) {
        paper_keyed(&sheet->paper, 0, HEAD_COLUMN, i == 0 ? TEXT("Topics") : TEXT(""),
                    compared->topics[i]);
    }
    for (uint32_t i = 0; !compared->states && i < sheet->group->side_count; i++) {
        const CompareSide *side = &sheet->group->sides[i];
        Text key = text_format(sheet->arena, "%s", i == 0 ? "First" : i == 1 ? "Second" : "And");
        paper_keyed(&sheet->paper, 0, HEAD_COLUMN, key, within_words(sheet->arena, side));
        put_holders(sheet, side);
    }
}

static void put_rules(Sheet *sheet)
{
    for (int state = 0; state < 2; state++) {
        for (uint32_t i = 0; i < sheet->compared->digest_count[state]; i++) {
            paper_keyed(&sheet->paper, 0, HEAD_COLUMN,
                        state == 0 && i == 0 ? TEXT("Rules") : TEXT(""),
                        digest_words(sheet->arena, &sheet->compared->digests[state][i]));
        }
    }
}

static unsigned side_column(const Sheet *sheet)
{
    size_t widest = SIDE_COLUMN_LEAST;
    for (uint32_t i = 0; i < sheet->group->side_count; i++) {
        size_t width = utf8_width(sheet->group->sides[i].title) + 2;
        widest = width > widest ? width : widest;
    }
    return (unsigned)(widest > SIDE_COLUMN_MOST ? SIDE_COLUMN_MOST : widest);
}

/* ---- requirements ---- */

static Text pair_relation(const Sheet *sheet, const ComparePair *pair, const ComparedLine *line)
{
    const CompareSide *sides = sheet->group->sides;
    const char *word = relation_word((Relation)line->relation);
    if (line->relation == RELATION_STRICTER || line->relation == RELATION_LOOSER) {
        return text_format(sheet->arena, "%.*s %s", TEXT_ARG(sides[pair->b].title), word);
    }
    if (line->relation == RELATION_ONLY_HERE) {
        uint32_t here = line->side[0].line != NULL ? pair->a : pair->b;
        return text_format(sheet->arena, "%s: %.*s", word, TEXT_ARG(sides[here].title));
    }
    return text_of(word);
}

static void put_side(Sheet *sheet, const ComparePair *pair, const ComparedLine *line, int which)
{
    Arena *arena = sheet->arena;
    const ComparedSide *side = &line->side[which];
    if (side->line == NULL) {
        return;
    }
    Buffer words = buffer_make(arena);
    buffer_text(&words, required_words(arena, line, which));
    bool conditions = side->exception != NULL || line->relation == RELATION_DIFFERENT ||
                      line->relation == RELATION_ONLY_HERE ||
                      (line->differs & ~(unsigned)DIFFERS_LIMIT) != 0;
    Text applies = conditions ? applies_words(arena, side) : TEXT("");
    if (applies.len > 0) {
        buffer_format(&words, " (%.*s)", TEXT_ARG(applies));
    }
    Text act = side_act(arena, side);
    Text number = side_number(arena, side);
    buffer_format(&words, ". %.*s%s%.*s", TEXT_ARG(number), act.len > 0 ? ", " : "", TEXT_ARG(act));
    uint32_t index = which == 0 ? pair->a : pair->b;
    paper_keyed(&sheet->paper, SIDE_INDENT, side_column(sheet) + SIDE_INDENT,
                sheet->group->sides[index].title, buffer_done(&words));
}

static Text line_heading(Arena *arena, const ComparedLine *line)
{
    const ComparedSide *one = &line->side[0];
    const ComparedSide *other = &line->side[1];
    const ComparedSide *first = one->line != NULL ? one : other;
    Buffer out = buffer_make(arena);
    buffer_text(&out, side_number(arena, first));
    if (one->line != NULL && other->line != NULL) {
        Text number = section_words(arena, other->section);
        if (!text_equal(section_words(arena, one->section), number)) {
            buffer_format(&out, " / %.*s", TEXT_ARG(number));
        }
    }
    buffer_format(&out, "  %.*s", TEXT_ARG(first->section->heading));
    return buffer_done(&out);
}

static void put_line(Sheet *sheet, const ComparePair *pair, const ComparedLine *line)
{
    paper_blank(&sheet->paper);
    paper_apart(&sheet->paper, 2, SIDE_INDENT, line_heading(sheet->arena, line),
                pair_relation(sheet, pair, line));
    Text units = units_words(sheet->arena, line);
    if (units.len > 0) {
        paper_format(&sheet->paper, SIDE_INDENT, SIDE_INDENT, "Of %.*s:", TEXT_ARG(units));
    }
    put_side(sheet, pair, line, 0);
    put_side(sheet, pair, line, 1);
}

static void put_section(Sheet *sheet, const ComparePair *pair, const ComparedSection *section)
{
    for (uint32_t i = 0; i < section->line_count; i++) {
        if (line_is_shown(sheet->compared, &section->lines[i])) {
            put_line(sheet, pair, &section->lines[i]);
        }
    }
    if (section->notes != 0) {
        paper_blank(&sheet->paper);
        paper_format(&sheet->paper, 2, SIDE_INDENT, "%.*s, beside what it requires: %.*s",
                     TEXT_ARG(section_words(sheet->arena, section->section[0])),
                     TEXT_ARG(notes_words(sheet->arena, section)));
    }
}

static void put_topic(Sheet *sheet, const ComparePair *pair, const ComparedTopic *topic)
{
    if (!topic_is_shown(sheet->compared, topic)) {
        return;
    }
    Text title = topic->title.len > 0 ? topic->title : topic->name;
    paper_heading(&sheet->paper, title.len > 0 ? title : TEXT("Without topic"));
    for (uint32_t i = 0; i < topic->section_count; i++) {
        if (section_is_shown(sheet->compared, &topic->sections[i])) {
            put_section(sheet, pair, &topic->sections[i]);
        }
    }
}

static void put_counts(Sheet *sheet, const ComparePair *pair)
{
    Arena *arena = sheet->arena;
    const CompareSide *sides = sheet->group->sides;
    Text counts = counts_words(arena, pair->law);
    paper_blank(&sheet->paper);
    if (sheet->compared->states) {
        paper_format(&sheet->paper, 0, 0, BOLD_ON "Requirements: %.*s." BOLD_OFF, TEXT_ARG(counts));
    } else {
        paper_format(&sheet->paper, 0, 0, BOLD_ON "Requirements, %.*s against %.*s: %.*s." BOLD_OFF,
                     TEXT_ARG(sides[pair->b].title), TEXT_ARG(sides[pair->a].title),
                     TEXT_ARG(counts));
    }
}

static void put_pair(Sheet *sheet, const ComparePair *pair)
{
    put_counts(sheet, pair);
    if (law_comparison_is_same(pair->law) && !sheet->compared->all) {
        paper_wrap(&sheet->paper, 0, 0, TEXT("Nothing in the law differs."));
        return;
    }
    for (uint32_t i = 0; i < pair->law->topic_count; i++) {
        put_topic(sheet, pair, &pair->law->topics[i]);
    }
}

/* ---- builds ---- */

static Text build_words(Arena *arena, const CompareBuild *build)
{
    Text name = build->spec->unit_name;
    Text path = build->spec->source->path;
    return name.len == 0 ? path : text_format(arena, "%.*s (%.*s)", TEXT_ARG(name), TEXT_ARG(path));
}

static Text status_words(Arena *arena, const Review *review)
{
    const uint32_t *counts = review->counts;
    return text_format(
        arena, "%s, %s, %s; exit status %d",
        text_string(arena, counted(arena, counts[OUTCOME_CORRECTION], "correction", "corrections")),
        text_string(arena, counted(arena, counts[OUTCOME_INFORMATION_REQUIRED],
                                   "waits for information", "wait for information")),
        text_string(arena, counted(arena, counts[OUTCOME_OFFICIAL_DECIDES], "for an official",
                                   "for an official")),
        review_status(review));
}

static void put_row(Sheet *sheet, const CompareBuild *build, const ComparedFinding *row)
{
    Arena *arena = sheet->arena;
    const FindingComparison *findings = build->findings;
    const Finding *first = row_first(findings, row, NULL);
    paper_blank(&sheet->paper);
    Text items = row_items(arena, findings, row);
    paper_format(&sheet->paper, 2, SIDE_INDENT, "%.*s  %.*s%s%.*s%s",
                 TEXT_ARG(section_words(arena, first->section)), TEXT_ARG(first->section->heading),
                 items.len > 0 ? ": " : "", TEXT_ARG(items), first->floor ? " (floor)" : "");
    for (uint32_t i = 0; i < findings->review_count; i++) {
        paper_keyed(&sheet->paper, SIDE_INDENT, side_column(sheet) + SIDE_INDENT,
                    sheet->group->sides[i].title, finding_words(arena, row->findings[i]));
    }
    if (sheet->compared->states && row->change != FINDING_SAME) {
        Cause cause = finding_cause(build->laws[0], row->findings[0], row->findings[1]);
        paper_keyed(&sheet->paper, SIDE_INDENT, side_column(sheet) + SIDE_INDENT, TEXT("because"),
                    cause_words(arena, &cause));
    }
}

static void put_rows(Sheet *sheet, const CompareBuild *build, FindingChange change,
                     const char *heading)
{
    const FindingComparison *findings = build->findings;
    if (findings->counts[change] == 0) {
        return;
    }
    paper_blank(&sheet->paper);
    paper_wrap(&sheet->paper, 0, 0, text_of(heading));
    for (uint32_t i = 0; i < findings->row_count; i++) {
        if (findings->rows[i].change == change) {
            put_row(sheet, build, &findings->rows[i]);
        }
    }
}

static void put_build(Sheet *sheet, const CompareBuild *build)
{
    const FindingComparison *findings = build->findings;
    paper_heading(&sheet->paper, build_words(sheet->arena, build));
    for (uint32_t i = 0; i < findings->review_count; i++) {
        paper_keyed(&sheet->paper, 0, side_column(sheet), sheet->group->sides[i].title,
                    status_words(sheet->arena, build->reviews[i]));
    }
    if (findings->counts[FINDING_CLASS] == 0 && findings->counts[FINDING_DETAIL] == 0) {
        paper_blank(&sheet->paper);
        paper_wrap(&sheet->paper, 0, 0, TEXT("No finding of this unit differs."));
    }
    put_rows(sheet, build, FINDING_CLASS, "Findings that come out otherwise (pass, fail, open):");
    put_rows(sheet, build, FINDING_DETAIL, "Findings that come out alike, with other figures:");
    if (sheet->compared->all) {
        put_rows(sheet, build, FINDING_SAME, "Findings that are the same:");
    }
}

/* Every build under every law, one line each. */
static void put_grid(Sheet *sheet)
{
    const CompareGroup *group = sheet->group;
    if (group->build_count == 0) {
        return;
    }
    paper_heading(&sheet->paper, TEXT("Builds"));
    paper_wrap(&sheet->paper, 0, 0,
               TEXT("Corrections / waiting for information / for an official to decide; in "
                    "brackets the exit status of a review."));
    if (sheet->compared->topic_count > 0) {
        paper_wrap(&sheet->paper, 0, 0, TEXT("They are of whole reviews, whatever the topics."));
    }
    for (uint32_t i = 0; i < group->build_count; i++) {
        const CompareBuild *build = &group->builds[i];
        paper_blank(&sheet->paper);
        paper_wrap(&sheet->paper, 0, SIDE_INDENT, build_words(sheet->arena, build));
        for (uint32_t k = 0; k < group->side_count; k++) {
            const Review *review = build->reviews[k];
            Text cell =
                text_format(sheet->arena, "%u / %u / %u  [%d]", review->counts[OUTCOME_CORRECTION],
                            review->counts[OUTCOME_INFORMATION_REQUIRED],
                            review->counts[OUTCOME_OFFICIAL_DECIDES], review_status(review));
            paper_keyed(&sheet->paper, SIDE_INDENT, side_column(sheet) + SIDE_INDENT,
                        group->sides[k].title, cell);
        }
    }
    for (uint32_t i = 0; i < group->build_count; i++) {
        put_build(sheet, &group->builds[i]);
    }
}

/* ---- groups ---- */

static void put_missing(Sheet *sheet)
{
    const CompareSide *sides = sheet->group->sides;
    if (sides[0].law == NULL && sides[1].law != NULL) {
        paper_format(&sheet->paper, 0, 0, "New: no law was in force there (%.*s).",
                     TEXT_ARG(sides[0].title));
    } else if (sides[0].law != NULL && sides[1].law == NULL) {
        paper_format(&sheet->paper, 0, 0, "Gone: no law is in force there any more (%.*s).",
                     TEXT_ARG(sides[1].title));
    } else if (sides[0].law == NULL) {
        paper_wrap(&sheet->paper, 0, 0, TEXT("No law is in force there in either state."));
    }
}

Text compare_text(Arena *arena, const Compared *compared, Style style)
{
    Sheet sheet = {.paper = paper_make(arena, style), .arena = arena, .compared = compared};
    sheet.group = &compared->groups[0];
    put_head(&sheet);
    put_rules(&sheet);
    for (uint32_t g = 0; g < compared->group_count; g++) {
        sheet.group = &compared->groups[g];
        if (compared->states) {
            paper_blank(&sheet.paper);
            if (g > 0) {
                paper_rule(&sheet.paper);
            }
            paper_format(&sheet.paper, 0, 0, BOLD_ON "%.*s" BOLD_OFF, TEXT_ARG(sheet.group->title));
            put_holders(&sheet, group_side(sheet.group));
            put_missing(&sheet);
        }
        for (uint32_t i = 0; i < sheet.group->pair_count && sheet.group->pairs[i].a == 0; i++) {
            put_pair(&sheet, &sheet.group->pairs[i]);
        }
        put_grid(&sheet);
    }
    paper_blank(&sheet.paper);
    paper_rule(&sheet.paper);
    paper_wrap(
        &sheet.paper, 0, 0,
        TEXT("Relations follow from the form of the rules, for every unit whatever; permits, "
             "variances and decisions recorded for one jurisdiction alone are left aside. "
             "The adopted text and its local amendments govern."));
    return buffer_done(&sheet.paper.out);
}
