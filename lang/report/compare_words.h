/* The words of a comparison, which its text, JSON and HTML share. Private to report/compare*.c. */
#ifndef REPORT_COMPARE_WORDS_H
#define REPORT_COMPARE_WORDS_H

#include "report/compare.h"

const char *relation_word(Relation relation); /* "different in kind" */
const char *relation_data(Relation relation); /* "different_in_kind" */
const char *differs_word(unsigned bit);       /* "limit"; one bit */
const char *note_word(unsigned bit);
/* "limit, condition" */
Text differs_words(Arena *arena, uint8_t differs);

/* What one side of a requirement asks, in a sentence: "clear width at most 24 in". The limit of
 * the second side is told in the unit of the first, its own beside it. */
Text required_words(Arena *arena, const ComparedLine *line, int side);
/* When it applies: each, when and scopes, permits, exceptions; "" when always. */
Text applies_words(Arena *arena, const ComparedSide *side);
/* Who decides in the place of a side, one row each: "health: Osprey Fork County"; NULL, and none,
 * for a jurisdiction. */
const Text *side_holders(Arena *arena, const CompareSide *side, uint32_t *count);
/* Of two states, the last one with law in force. */
const CompareSide *group_side(const CompareGroup *group);
/* The title of who decides in one row. */
Text holder_title(const LawTree *law, const HolderTree *row);
/* The units of which a line of a comparison speaks; "" for all. */
Text units_words(Arena *arena, const ComparedLine *line);
/* "6-14.2(B) width" */
Text side_number(Arena *arena, const ComparedSide *side);
/* The last act that made the text what it is: "amended by Quillmark Ord. 14-203, from
 * 2025-03-01". */
Text side_act(Arena *arena, const ComparedSide *side);
/* The whole chain. */
Text side_citation(Arena *arena, const ComparedSide *side);
Text link_words(Arena *arena, const Link *link);
/* What the sections differ in beside their requirements: "rank: core, priority". */
Text notes_words(Arena *arena, const ComparedSection *section);
/* How many of each relation, in a sentence. */
Text counts_words(Arena *arena, const LawComparison *law);

/* "correction: 25 in, at most 24 in; over by 1 in (4.2%)" */
Text finding_words(Arena *arena, const Finding *finding);
Text cause_words(Arena *arena, const Cause *cause);
const char *cause_data(CauseKind kind);
/* The items of a row, of whichever finding is there. */
Text row_items(Arena *arena, const FindingComparison *findings, const ComparedFinding *row);
const Finding *row_first(const FindingComparison *findings, const ComparedFinding *row,
                         uint32_t *review);
/* A line is shown: it differs, or everything is asked for. */
bool line_is_shown(const Compared *compared, const ComparedLine *line);
bool section_is_shown(const Compared *compared, const ComparedSection *section);
bool topic_is_shown(const Compared *compared, const ComparedTopic *topic);

#endif
