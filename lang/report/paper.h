/* Paper: text being laid out in columns of a terminal or a page. Every line passes through
 * text_harmless here, so that no caller needs to think of it. */
#ifndef REPORT_PAPER_H
#define REPORT_PAPER_H

#include "report/report.h"

typedef struct Paper {
    Arena *arena;
    Buffer out;
    Style style;
} Paper;

/* In a text given to the paper, between these two bytes stands what is bold on a terminal. */
#define BOLD_ON "\x01"
#define BOLD_OFF "\x02"

Paper paper_make(Arena *arena, Style style);
void paper_blank(Paper *paper); /* one empty line, never two */
void paper_rule(Paper *paper);  /* a line across the page */
/* A heading with an empty line before it: capitals, bold. */
void paper_heading(Paper *paper, Text text);
/* A paragraph, broken at spaces (never between a number and its unit): the first line indented
 * by `first`, the others by `rest`. An empty text gives nothing. */
void paper_wrap(Paper *paper, unsigned first, unsigned rest, Text text);
void paper_format(Paper *paper, unsigned first, unsigned rest, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/* `key` in a column of its own, the value wrapped beside it. */
void paper_keyed(Paper *paper, unsigned indent, unsigned column, Text key, Text value);
/* Left text, and at the right margin another; where both do not fit, below it, and all but the
 * first line indented by `rest`. */
void paper_apart(Paper *paper, unsigned first, unsigned rest, Text left, Text right);

#endif
