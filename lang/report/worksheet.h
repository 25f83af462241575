/* Calculation sheets being told: the words that every form of them shows. Private to the files
 * report/worksheet_*.c. */
#ifndef REPORT_WORKSHEET_H
#define REPORT_WORKSHEET_H

#include "report/cite.h"
#include "report/paper.h"
#include "report/telling.h"

/* A fact that a sheet reads. */
typedef struct ToldInput {
    const Item *item;
    const Field *field;
    Text path;
    Text written;                 /* as in the spec; "not stated", "none" */
    Place place;                  /* of the value; where it is not stated, of its item */
    const Provenance *provenance; /* NULL */
} ToldInput;

typedef enum Verdict { VERDICT_NONE, VERDICT_COMPLIES, VERDICT_FAILS, VERDICT_OPEN } Verdict;

/* A step, or a column in one row. */
typedef struct ToldStep {
    const StepResult *result;
    Text formula;    /* as written */
    Text numbers;    /* the same with the numbers put in; "" where that would say no more */
    Text value;      /* "60 gph", "yes", "complies", "not known" */
    uint8_t verdict; /* Verdict, of a comparison of quantities; else VERDICT_NONE */
    Text proposed, required, margin; /* of such a comparison; margin "" where there is none */
    const Text *traces;              /* what was rounded, and what was looked up */
    uint32_t trace_count;
    const Wanted *wanted;
    uint32_t wanted_count;
} ToldStep;

typedef struct ToldRow {
    const SheetRow *row;
    Text items;
    const ToldStep *cells; /* NULL: further items */
    const Wanted *wanted;  /* for which it waits whether the row is there */
    uint32_t wanted_count;
} ToldRow;

typedef struct ToldSchedule {
    const Worksheet *schedule;
    const Text *formulas; /* of its columns */
    const ToldRow *rows;
    uint32_t row_count;
} ToldSchedule;

typedef enum ToldKind { TOLD_STEP, TOLD_SCHEDULE, TOLD_NOTE } ToldKind;

/* A part of a sheet, in the order written; steps and schedules are numbered. */
typedef struct ToldPart {
    uint8_t kind; /* ToldKind */
    uint32_t line;
    ToldStep step;
    ToldSchedule schedule;
    Text note;
} ToldPart;

typedef struct ToldSheet {
    const WorksheetResult *result;
    Text title;  /* with its items: "Exhaust: hoods["main"]" */
    Text items;  /* "" */
    Text origin; /* "Exhaust Code, edition 2024"; the title of the jurisdiction */
    Text basis;  /* "" unsaid */
    const ToldPart *parts;
    uint32_t part_count;
    const ToldInput *inputs; /* in the order of the spec */
    uint32_t input_count;
    const Wanted *wanted; /* for which it waits whether there is such a sheet */
    uint32_t wanted_count;
} ToldSheet;

struct Worksheets {
    Arena *arena;
    const Reviewed *reviewed;
    const ToldSheet *sheets;
    uint32_t count;
};

/* "specs/x.yaml, sha256 1f3a5c...", with the first digits. */
Text worksheet_spec(Arena *arena, const Spec *spec);
/* The caution at the end of every set of sheets. */
Text worksheet_caution(void);
Text worksheet_place(Arena *arena, Place place); /* "line 12" */
/* Of a long list the first ones: every fact that is not stated stands among those that went in. */
Text worksheet_waits(Arena *arena, const Wanted *wanted, uint32_t count);
/* "sheet P-1, item 4, cut sheet"; "not said" where the source is not. */
Text worksheet_source(Arena *arena, const Provenance *provenance);

/* ---- worksheet_numbers.c: formulas with their numbers, and the facts that they read ---- */

typedef struct Numbers {
    Arena *arena;
    const Review *review;
    Again *again;
    const Worksheet *sheet;    /* whose steps, and */
    const Worksheet *schedule; /* whose columns are told in their own units; NULL */
    Text *traces;
    uint32_t trace_count;
    Map *told; /* definitions that a trace of this step tells */
    ToldInput *inputs;
    uint32_t input_count, input_cap;
    Map *facts; /* those already among the inputs */
    Map *seen;  /* definitions already walked for these items */
} Numbers;

/* The formula of a step as written, its fallback too. */
Text step_formula(Arena *arena, const StepTree *step);
/* The same with the values put in that its names have; traces are collected. */
Text numbers_words(Numbers *n, const Code *code);
Text bare_words(Text words); /* without the parentheses around all of it */
/* A value as it stands in a sheet; *known is false of one that is not. */
Text numbers_value(Arena *arena, const Value *value, const Type *type, const Unit *unit,
                   bool *known);
void numbers_inputs(Numbers *n, const Code *code);

/* ---- worksheet_table.c: a table on paper ---- */

typedef struct PaperTable {
    const Text *heads;
    const bool *right; /* by column: aligned to the right */
    uint32_t columns;
    const Text *cells; /* row major */
    uint32_t rows;
} PaperTable;

/* Columns side by side where they fit, words broken over lines; else each row as a paragraph. */
void paper_table(Paper *paper, unsigned indent, const PaperTable *table);

#endif
