/* A finding looked at again: parts of its text are evaluated once more, for its items, so that a
 * report can tell the values that led to it. The fast path of a review pays nothing for it. */
#ifndef JUDGE_AGAIN_H
#define JUDGE_AGAIN_H

#include "judge/judge.h"

typedef struct Again Again;

/* NULL for a finding that stands at a list, or that judged nothing: it has no items. */
Again *again_make(Arena *arena, const Review *review, const Finding *finding);
/* The same for a worksheet, its items bound; again_row binds those of a row of a schedule too. */
Again *again_of_sheet(Arena *arena, const Review *review, const WorksheetResult *sheet);
void again_row(Again *again, const Worksheet *schedule, const SheetRow *row);
/* Binds the variable of a quantifier or list, to look at one member. */
void again_bind(Again *again, uint32_t slot, const Item *item);
Value again_value(Again *again, const Code *code);

#endif
