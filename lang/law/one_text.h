/* Exactly one text: for every review date and permit date a section in force has one text, no
 * more and no less (rule 7 of the language). The check looks at finished laws alone and knows
 * nothing of how the assembly makes them. */
#ifndef LAW_ONE_TEXT_H
#define LAW_ONE_TEXT_H

#include "law/law.h"

/* Looks at every section of one law: that no permit date has two texts for one unit; that a permit
 * date for which the section speaks as first made has a text for every unit for which it speaks;
 * that no number stands twice; and that every section of a code in force is in force, deleted or
 * displaced. Errors "two texts" and "no text" in diags, with the offending day. Gives the number
 * of pairs of section and span of permit dates that it looked at. */
uint64_t one_text_check(Arena *arena, const LawTree *law, Diagnostics *diags);

/* The same for a jurisdiction's law on every day on which it changes, and on the day before the
 * first. */
uint64_t law_one_text(Arena *arena, const Library *library, const JurisdictionTree *jurisdiction,
                      Diagnostics *diags);

#endif
