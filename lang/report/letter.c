/* The letter of one review, laid out as a plan reviewer's letter is: what must be corrected
 * first, each item numbered, then what must be answered, then what an official decides, and at
 * the end everything that asks nothing of the reader, a line a section. */
#include "report/letter.h"

Text counted(Arena *arena, uint32_t count, const char *one, const char *many)
{
    return text_format(arena, "%u %s", count, count == 1 ? one : many);
}

Chapter finding_chapter(const Finding *finding)
{
    if (finding->later_stage) {
        return CHAPTER_LATER;
    }
    switch ((Outcome)finding->outcome) {
    case OUTCOME_CORRECTION: return CHAPTER_CORRECTION;
    case OUTCOME_INFORMATION_REQUIRED: return CHAPTER_INFORMATION;
    case OUTCOME_OFFICIAL_DECIDES: return finding->standing ? CHAPTER_STANDING : CHAPTER_OFFICIAL;
    case OUTCOME_COMPLIES: return CHAPTER_COMPLIES;
    case OUTCOME_EXCUSED: return CHAPTER_EXCUSED;
    case OUTCOME_NOT_APPLICABLE: break;
    }
    return CHAPTER_NOT_APPLICABLE;
}

/* A line that passes by an exception, a variance or a decision. */
static bool is_granted(const Part *part)
{
    return part->outcome == OUTCOME_EXCUSED ||
           (part->outcome == OUTCOME_COMPLIES && part->decision != NULL);
}

/* Granted lines are told even where the finding as a whole complies. */
static bool belongs(const Finding *finding, Chapter chapter)
{
    Chapter own = finding_chapter(finding);
    if (chapter != CHAPTER_EXCUSED) {
        return own == chapter;
    }
    if (own != CHAPTER_EXCUSED && own != CHAPTER_COMPLIES) {
        return false;
    }
    for (uint32_t i = 0; i < finding->part_count; i++) {
        if (is_granted(&finding->parts[i])) {
            return true;
        }
    }
    return false;
}

static bool same_text(const Finding *a, const Finding *b)
{
    return a->section == b->section && a->tree == b->tree;
}

const Group *letter_groups(Letter *letter, Chapter chapter, uint32_t *count)
{
    const Review *review = letter->review;
    const Finding **chosen = ARENA_ARRAY(letter->arena, const Finding *, review->finding_count + 1);
    Group *groups = ARENA_ARRAY(letter->arena, Group, review->finding_count + 1);
    uint32_t used = 0;
    *count = 0;
    for (uint32_t i = 0; i < review->finding_count; i++) {
        const Finding *finding = &review->findings[i];
        if (!belongs(finding, chapter)) {
            continue;
        }
        if (*count == 0 || !same_text(chosen[used - 1], finding)) {
            groups[(*count)++] = (Group){&chosen[used], 0};
        }
        chosen[used++] = finding;
        groups[*count - 1].count++;
    }
    return groups;
}

static void letter_items(Letter *letter, Chapter chapter, const char *heading)
{
    uint32_t count = 0;
    const Group *groups = letter_groups(letter, chapter, &count);
    if (count == 0) {
        return;
    }
    paper_heading(&letter->paper, text_of(heading));
    for (uint32_t i = 0; i < count; i++) {
        letter_group(letter, &groups[i], chapter != CHAPTER_EXCUSED);
    }
}

Text report_text(Arena *arena, const Reviewed *reviewed, Style style, bool brief)
{
    Letter letter = {.paper = paper_make(arena, style),
                     .arena = arena,
                     .reviewed = reviewed,
                     .review = reviewed->review,
                     .brief = brief};
    letter_head(&letter);
    letter_items(&letter, CHAPTER_CORRECTION, "CORRECTIONS");
    letter_questions(&letter);
    letter_items(&letter, CHAPTER_OFFICIAL, "FOR AN OFFICIAL TO DECIDE");
    if (!brief) {
        letter_items(&letter, CHAPTER_STANDING, "OFFICIAL QUESTIONS SET ASIDE FOR THIS RUN");
        letter_items(&letter, CHAPTER_EXCUSED, "EXCUSED OR DECIDED");
        letter_folded(&letter, CHAPTER_LATER, "TO VERIFY IN THE FIELD, AT A LATER STAGE");
    }
    letter_close(&letter);
    return buffer_done(&letter.paper.out);
}
