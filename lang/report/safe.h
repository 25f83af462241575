/* Text from specs and rule files, made harmless before a terminal or an editor sees it. */
#ifndef REPORT_SAFE_H
#define REPORT_SAFE_H

#include "base/text.h"

/* True for control characters, for marks that turn the direction of writing, for invisible
 * characters and line separators: what could make a line look other than it is. */
bool code_is_hidden(uint32_t code);

/* The text on one line: tabs and line ends become spaces, hidden characters their number in
 * angle brackets (<U+202E>), bytes that are no UTF-8 the replacement character. */
Text text_harmless(Arena *arena, Text text);

#endif
