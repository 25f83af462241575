/* The codebook: the consolidated text in force of one jurisdiction on one day, and the states that
 * one section has had over time. What both forms of it, text and HTML, tell is gathered here as
 * words; the forms only lay them out. */
#ifndef REPORT_CODEBOOK_H
#define REPORT_CODEBOOK_H

#include "report/paper.h"

typedef struct Codebook {
    const Library *library;
    const LawTree *law;
    DateOrigin origin;
    const Name *code; /* this one alone; NULL: all that are in force */
} Codebook;

Text codebook_text(Arena *arena, const Codebook *book, Style style);
Text codebook_html(Arena *arena, const Codebook *book);
/* Of a place: who decides what, then the law of each jurisdiction in what it decides there. All of
 * one day. */
Text codebook_place_text(Arena *arena, const Codebook *books, size_t count, Style style);
Text codebook_place_html(Arena *arena, const Codebook *books, size_t count);

/* ---- what is told: codebook.c ---- */

/* A section of a code: in force, or deleted where it stood. */
typedef struct BookEntry {
    const SectionTree *section;
    const SectionTreeInForce *in_force; /* NULL: deleted */
    const DeletedTree *deleted;         /* NULL: in force */
} BookEntry;

/* One line of a section's history, or of what is said of it. */
typedef struct BookRow {
    Text key; /* "adopted", "limit changed", "basis" */
    Text value;
    Place place; /* source NULL: none */
} BookRow;

typedef struct BookRows {
    Arena *arena;
    BookRow *list;
    uint32_t count, room;
} BookRows;

BookRows book_rows(Arena *arena);
void book_add(BookRows *rows, const char *key, Text value, Place place);

/* The sections of a code of the law, in order, deleted ones among them. */
const BookEntry *book_entries(Arena *arena, const LawTree *law, const CodeTree *code,
                              uint32_t *count);
uint32_t book_codes(const Codebook *book, const CodeTree **codes); /* NULL: counts them */
Text book_title(Arena *arena, const SectionTree *section); /* "6-14.2(B) Width of openings" */
Text book_number(Arena *arena, Text number, const Name *part);
Text book_levels(Arena *arena, const LawTree *law); /* "Quillmark County, within State of ..." */
Text book_whose(Arena *arena,
                const LawTree *law); /* "Quillmark County", or what of it in a place */
/* "Halloway Reg. 97", by whom, since when. */
Text book_act(Arena *arena, const JurisdictionTree *jurisdiction, const BlockTree *block);
/* When it was passed, filed and made effective, and whether in an emergency, after a comma each. */
void book_put_dates(Buffer *out, const BlockTree *block);
Text book_place(Arena *arena, Place place); /* "rules/quillmark.shall:16"; "" without a source */
/* Every act that adopts or changes a code in force, and the shared readings applied in it, one row
 * each. */
BookRows book_acts(Arena *arena, const LawTree *law, const CodeTree *code);
/* "adopted by ..., amended by ...". */
Text book_acts_words(Arena *arena, const LawTree *law, const CodeTree *code);
/* Topic, rank, authority, stages, rework, and what it prevails over, in one line. */
Text book_standing(Arena *arena, const Library *library, const CodeTree *code,
                   const SectionTree *section);
/* The clauses of one text with its limits as they are in force: the one place where a TextTree
 * becomes words. */
Text book_clauses(Arena *arena, const TextTree *text, size_t width);
/* For which units a text is, or beside which it is kept; "" when it is the only one, for all. */
Text book_window(Arena *arena, const LawTree *law, const SectionTreeInForce *section,
                 const TextTree *text);
/* The chain of a text and its basis. */
BookRows book_history(Arena *arena, const SectionTreeInForce *section, const TextTree *text);
/* True when the next text of a section has the same history: it is then told once. */
bool book_same_history(const TextTree *a, const TextTree *b);
/* Who decides in the place of a law, one row for each authority and case. */
BookRows book_holders(Arena *arena, const Library *library, const PlaceTree *place);
/* Floors, what may not be amended locally, readings. */
BookRows book_declared(Arena *arena, const LawTree *law, const SectionTreeInForce *section);
Text book_displaced(Arena *arena, const DisplacedTree *displaced);
/* "displaced by State of Halloway, Halloway Reg. 97, from 2025-01-01". */
Text book_displacing(Arena *arena, const DisplacedTree *displaced);
/* Local sections of a code, or of a local one, that are displaced as a whole: number and by whom. */
BookRows book_displaced_rows(Arena *arena, const LawTree *law, const CodeTree *code);
Text book_reserved(Arena *arena, const CodeTree *code);      /* numbers held free; "" for none */
BookRows book_digests(Arena *arena, const Library *library); /* path; files, start of the digest */
Text book_deleted(Arena *arena, const DeletedTree *deleted);
/* "96 sections in force, 2 deleted, 12 left out of the rule files." */
Text book_counts(Arena *arena, const Codebook *book);

/* Definitions, tables, worksheets and shared readings, of a code or of a level that amends. */
Text book_code_matter(Arena *arena, const CodeTree *code, size_t width);
Text book_level_matter(Arena *arena, const JurisdictionTree *level, size_t width);

/* A printed checklist of a level: a row per line, with what answers it. */
BookRows book_checklist(Arena *arena, const LawTree *law, const ChecklistTree *list);
Text book_checklist_title(Arena *arena, const ChecklistTree *list);

/* ---- forms, for the history too ---- */

enum { BOOK_INDENT = 5, BOOK_KEYS = 21, BOOK_PAGE_WIDTH = 92 };

/* The texts of a section, each with its history: codebook_text.c. */
void book_text_section(Paper *paper, const LawTree *law, const SectionTreeInForce *section);
void book_text_copy(Paper *paper, Text text); /* indented, its lines as they are */
void book_text_rows(Paper *paper, const BookRows *rows);
/* The same on a page: codebook_html.c. */
void book_page_section(Buffer *out, const LawTree *law, const SectionTreeInForce *section);
void book_page_copy(Buffer *out, Text text);
void book_page_rows(Buffer *out, const BookRows *rows);

/* ---- every state of a section: codebook_history.c ---- */

typedef enum StateKind { STATE_ABSENT, STATE_IN_FORCE, STATE_DELETED } StateKind;

typedef struct BookState {
    uint8_t kind; /* StateKind */
    Day from;
    Day until; /* DAY_FOREVER: it still stands */
    const LawTree *law;
    BookEntry entry;                /* not of an absent one */
    const DisplacedTree *displaced; /* an absent one that a level above has displaced; NULL */
    BookRows acts;                  /* what made it so */
} BookState;

/* One section of one code, through the editions of the code. */
typedef struct BookTrack {
    const CodeTree *code; /* of the first law that has it */
    Text number;
    const Name *part;
    BookState *states;
    uint32_t state_count;
} BookTrack;

typedef struct BookHistory {
    const Library *library;
    const JurisdictionTree *jurisdiction;
    const LawTree *const *laws; /* on each day on which the law changes, ascending */
    uint32_t law_count;
    Day on;           /* the day whose state is pointed out */
    const Name *code; /* this one alone; NULL */
    BookTrack *tracks;
    uint32_t track_count, track_room;
} BookHistory;

/* Adds the sections that the number covers, in any law; false when there are none. */
bool history_add(Arena *arena, BookHistory *history, Text number, const Name *part);
Text history_nearest(Arena *arena, const BookHistory *history, Text number); /* "" */
Text history_days(Arena *arena, const BookState *state); /* "from 2022-09-01 until 2024-12-31" */
Text history_words(Arena *arena, const BookHistory *history, const BookState *state);
Text history_text(Arena *arena, const BookHistory *history, Style style);
Text history_html(Arena *arena, const BookHistory *history);

#endif
