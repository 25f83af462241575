/* shall.h: the public interface of libshall. A program reads rule files once, then reviews any
 * number of build specs under the law of any jurisdiction on any date.
 *
 * Texts are UTF-8, ended by a zero byte, and live as long as the thing that gave them. The
 * library prints nothing, reads neither environment nor clock, and keeps nothing outside the
 * objects below: different threads may use different rules at once. One fault ends the process:
 * the system refusing memory. */
#ifndef SHALL_H
#define SHALL_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

#define SHALL_VERSION "0.1.0"

/* "0.1.0", of the library that is linked. */
const char *shall_version(void);

/* ---- rule files ---- */

typedef struct ShallRules ShallRules;

/* Reads rule files; directories are walked for *.shall. Never NULL. */
ShallRules *shall_rules_read(const char *const *paths, size_t count);
void shall_rules_free(ShallRules *rules); /* NULL is allowed; reviews first */
/* Errors found in the files, and the messages as text, one `file:line:column: error: ...` for
 * each, with source lines. Rules with errors review nothing. */
size_t shall_rules_errors(const ShallRules *rules);
const char *shall_rules_messages(const ShallRules *rules);

/* ---- reviews ---- */

typedef struct ShallReview ShallReview;

/* Reviews one build spec (YAML or JSON, `size` bytes; `name` stands in places) under the law of a
 * jurisdiction on a date, "2025-07-01". Never NULL. */
ShallReview *shall_review(const ShallRules *rules, const char *name, const char *spec, size_t size,
                          const char *jurisdiction, const char *on);
void shall_review_free(ShallReview *review); /* NULL is allowed */
/* 0 complies, 1 corrections, 2 information required or an official decides; 65 when the spec,
 * the jurisdiction, the date or the law has errors, and then the messages say which. */
int shall_review_status(const ShallReview *review);
const char *shall_review_messages(const ShallReview *review);
/* The report as text for people, and as the JSON of `shall review --json`; "" with status 65. */
const char *shall_review_text(const ShallReview *review);
const char *shall_review_json(const ShallReview *review);

#ifdef __cplusplus
}
#endif

#endif
