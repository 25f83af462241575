/* Pages: one self-contained HTML file, without script or network, light or dark as the reader's
 * screen is, and fit to be printed. What is written through html_text and its kin is escaped and
 * made harmless here, so that no caller needs to think of it. */
#ifndef REPORT_HTML_H
#define REPORT_HTML_H

#include "base/text.h"

/* Everything up to the opening of <main>; the title is the browser's, no heading is written. */
void html_open(Buffer *out, Text title);
void html_close(Buffer *out);

void html_text(Buffer *out, Text text);  /* escaped, on one line */
void html_lines(Buffer *out, Text text); /* the same, line ends kept: for <pre> */
void html_words(Buffer *out, Text text); /* html_text, in which no date is broken over two lines */
void html_format(Buffer *out, const char *format, ...)
    __attribute__((format(printf, 2, 3))); /* printf, then escaped */

/* <tag class="...">text</tag>; class may be NULL. Classes that the style sheet knows:
 * quiet (beside the matter), tag (a small outlined word; with up, down or other: tag up),
 * number (cells aligned to the right), gone (deleted), window (who a text is for); of calculation
 * sheets: sheet, formula, result (with fails, complies or open). */
void html_element(Buffer *out, const char *tag, const char *class_name, Text text);
/* A heading of level 1 to 4; id "" for none. */
void html_heading(Buffer *out, unsigned level, Text id, Text text);
/* A link within the page. */
void html_link(Buffer *out, Text id, Text text);

/* A table that scrolls by itself where the page is narrow: its heads, then rows, then close. */
void html_table_open(Buffer *out, const char *class_name, const Text *heads, size_t count);
void html_table_close(Buffer *out);
void html_row_open(Buffer *out);
void html_row_close(Buffer *out);
void html_row_head(Buffer *out, Text text); /* <th scope="row"> */
void html_cell(Buffer *out, const char *class_name, Text text);

/* A name that can stand in id="" and after #: letters, digits, '.', '-' and '_' as they are,
 * other bytes as '~' and two hexadecimal digits, so that different texts give different names. */
Text html_id(Arena *arena, Text text);

#endif
