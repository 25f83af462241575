/* The letter: one review as text for people. Private to the letter's own files. */
#ifndef REPORT_LETTER_H
#define REPORT_LETTER_H

#include "report/cite.h"
#include "report/paper.h"
#include "report/telling.h"

enum { LETTER_INDENT = 5 }; /* room for " 12. " */

typedef struct Letter {
    Paper paper;
    Arena *arena;
    const Reviewed *reviewed;
    const Review *review;
    bool brief;
    uint32_t number; /* of the last item; items are numbered through the whole letter */
} Letter;

/* What a finding counts as in the letter: its chapter. */
typedef enum Chapter {
    CHAPTER_CORRECTION,
    CHAPTER_INFORMATION,
    CHAPTER_OFFICIAL,
    CHAPTER_STANDING, /* official questions that the gate was told to pass over */
    CHAPTER_LATER,    /* to verify in the field */
    CHAPTER_EXCUSED,
    CHAPTER_COMPLIES,
    CHAPTER_NOT_APPLICABLE
} Chapter;

Chapter finding_chapter(const Finding *finding);

/* Findings of one chapter that one text of one section judged, one after another: they share
 * number, remedy and citation. */
typedef struct Group {
    const Finding **findings;
    uint32_t count;
} Group;

const Group *letter_groups(Letter *letter, Chapter chapter, uint32_t *count);

void letter_head(Letter *letter); /* letter_head.c: title block, law applied, counts */
enum { LETTER_KEYS = 15 };        /* room for "Jurisdiction   " */
/* "the date given with --on" */
const char *origin_words(DateOrigin origin);
/* The code of applied[*at] with each ordinance that adopts or amends it; *at goes on behind them. */
Text code_applied_words(Arena *arena, const Applied *applied, uint32_t count, uint32_t *at);
/* A line for each library: its path, its files, its digest. */
void put_digests(Paper *paper, const Reviewed *reviewed);
/* letter_place.c: "Quillmark County, within State of Halloway"; what a law in a place decides
 * there; whether a row of the place holds. */
Text levels_words(Arena *arena, const LawTree *law);
Text decides_words(Arena *arena, const Review *review);
Text place_words_of(const PlaceTree *place);
/* letter_item.c: a heading with the next number, and at the margin a place; one item of the
 * letter; the lines of a finding. */
void letter_numbered(Letter *letter, Text heading, Text place);
void letter_group(Letter *letter, const Group *group, bool numbered);
void letter_reasons(Letter *letter, const Telling *telling, unsigned indent);
void letter_questions(Letter *letter); /* letter_questions.c: all of INFORMATION REQUIRED */
void letter_folded(Letter *letter, Chapter chapter, const char *heading); /* letter_fold.c */
void letter_close(Letter *letter); /* letter_close.c: what was not looked at, cautions */

/* "1 correction", "3 corrections". */
Text counted(Arena *arena, uint32_t count, const char *one, const char *many);

#endif
