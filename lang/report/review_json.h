/* Pieces of the JSON report, parted over two files. Private to them; docs/json.md describes what
 * is written. */
#ifndef REPORT_REVIEW_JSON_H
#define REPORT_REVIEW_JSON_H

#include "report/json.h"
#include "report/report.h"
#include "report/telling.h"

void json_place(Json *json, Place place); /* an object, or null without a source */
/* The place of a fact; null without an item. */
void json_fact_place(Json *json, const Item *item, const Field *field);
void json_day(Json *json, const char *key, Day day);
/* A value as data: what it can be, exactly, as decimals and in words. */
void json_value(Json *json, Arena *arena, const Value *value, const Type *type, const Unit *unit,
                const Value *other);
void json_wanted(Json *json, Arena *arena, const Wanted *wanted);
void json_chain(Json *json, const TextTree *tree); /* the key `chain` and its links */
void json_decision(Json *json, Arena *arena, const Decision *decision); /* or null */
void json_basis(Json *json, BasisTree basis);

/* Keys of a review that other documents have too: the law applied, the digests of the rules. */
void json_law(Json *json, Arena *scratch, const LawTree *law);
void json_digests(Json *json, const Reviewed *reviewed);
const char *origin_data(DateOrigin origin); /* "given", "submitted", "today" */

/* review_json_finding.c; scratch is reset by the caller after each finding. */
void json_finding(Json *json, Arena *scratch, const Review *review, const Finding *finding);

#endif
