/* What the property tests ask: the program's reviews against the oracle's, two reviews of the program
 * against each other, and what a review prints. Each ends with "N passed, N failed". */
#include "cases.h"

#include <stdio.h>
#include <string.h>

typedef struct Tally {
    long passed, failed;
} Tally;

static json_t *load(const char *path)
{
    json_error_t error;
    json_t *json = json_load_file(path, 0, &error);
    if (json == NULL) {
        give_up("%s:%d: %s", path, error.line, error.text);
    }
    return json;
}

static int close_tally(const Tally *tally)
{
    printf("%ld passed, %ld failed\n", tally->passed, tally->failed);
    return tally->failed > 0 || tally->passed == 0;
}

static void count(Tally *tally, const char *where, const char *fault)
{
    tally->passed += fault == NULL;
    tally->failed += fault != NULL;
    if (fault != NULL) {
        printf("%s: %s\n", where, fault);
    }
}

Vec rows_now(const Law *law, const Vec *shares, const json_t *of, const Options *o, json_t *spec)
{
    const char *jurisdiction = json_string_value(json_object_get(of, "jurisdiction"));
    for (int i = 0; i < shares->n; i++) {
        const Share *share = shares->at[i];
        if (same(share->jurisdiction, jurisdiction)) {
            Review review;
            review_start(&review, law, vocabulary_find(law, NULL), spec, jurisdiction, &o->date);
            Vec findings = judge_all(&review, &share->actives);
            return rows_of(&findings);
        }
    }
    give_up("'%s' decides nothing in '%s'", jurisdiction, o->in);
}

static const char *spec_of(const json_t *review)
{
    const char *path = json_string_value(json_object_get(review, "spec"));
    return path == NULL ? "" : path;
}

int check_against(const Law *law, const Vec *shares, const Options *o)
{
    Tally tally = {0, 0};
    json_t *report = load(o->review[0]), *reviews = json_object_get(report, "reviews");
    for (size_t i = 0; i < json_array_size(reviews); i++) {
        size_t mark = pool_mark();
        const json_t *review = json_array_get(reviews, i);
        json_t *spec = load(spec_of(review));
        Vec mine = rows_now(law, shares, review, o, spec), theirs = rows_of_review(review);
        count(&tally, spec_of(review), rows_differ(&mine, &theirs));
        json_decref(spec);
        pool_reset(mark);
    }
    json_decref(report);
    return close_tally(&tally);
}

/* Two reports of the same number of specs, the second of twins of the first. */
int check_twins(const Options *o, bool narrow)
{
    Tally tally = {0, 0};
    json_t *a = load(o->review[0]), *b = load(o->review[1]);
    const json_t *first = json_object_get(a, "reviews"), *second = json_object_get(b, "reviews");
    if (json_array_size(first) != json_array_size(second)) {
        printf("%zu reviews, and %zu of their twins\n", json_array_size(first),
               json_array_size(second));
        tally.failed++;
    }
    for (size_t i = 0; i < json_array_size(first) && i < json_array_size(second); i++) {
        size_t mark = pool_mark();
        Vec x = rows_of_review(json_array_get(first, i)),
            y = rows_of_review(json_array_get(second, i));
        count(&tally, spec_of(json_array_get(first, i)),
              narrow ? rows_narrowed(&x, &y) : rows_changed(&x, &y));
        pool_reset(mark);
    }
    json_decref(a);
    json_decref(b);
    return close_tally(&tally);
}

/* The exact number of a printed value, in SI units; false where it is a range, a word, … */
static bool exact_value(const json_t *value, mpq_t out)
{
    const char *exact = json_string_value(json_object_get(value, "exact"));
    const char *unit = json_string_value(json_object_get(value, "unit"));
    if (exact == NULL || !number_read(&exact, out, false) || *exact != '\0') {
        return false;
    }
    if (unit == NULL || unit[0] == '\0') {
        return true;
    }
    mpq_t si;
    mpq_init(si);
    if (!unit_apply(unit, out, si)) {
        return false;
    }
    mpq_set(out, si);
    return true;
}

/* Equal digits for different values would say that a limit is met. */
static const char *shown_badly(const json_t *line)
{
    const json_t *measured = json_object_get(line, "measured"),
                 *limit = json_object_get(line, "limit");
    const char *a = json_string_value(json_object_get(measured, "text"));
    const char *b = json_string_value(json_object_get(limit, "text"));
    mpq_t x, y;
    mpq_inits(x, y, NULL);
    if (a == NULL || b == NULL || !exact_value(measured, x) || !exact_value(limit, y)) {
        return "";
    }
    bool same_text = strcmp(a, b) == 0, same_value = mpq_equal(x, y) != 0;
    return same_text && !same_value ? pool_format("'%s' is printed for two values", a) : NULL;
}

int check_shown(const Options *o)
{
    Tally tally = {0, 0};
    json_t *report = load(o->review[0]);
    const json_t *reviews = json_object_get(report, "reviews");
    for (size_t i = 0; i < json_array_size(reviews); i++) {
        const json_t *findings = json_object_get(json_array_get(reviews, i), "findings");
        for (size_t k = 0; k < json_array_size(findings); k++) {
            const json_t *f = json_array_get(findings, k), *lines = json_object_get(f, "lines");
            size_t mark = pool_mark();
            for (size_t n = 0; n < json_array_size(lines); n++) {
                const char *fault = shown_badly(json_array_get(lines, n));
                if (fault == NULL || fault[0] != '\0') { /* empty: nothing to compare */
                    count(&tally, json_string_value(json_object_get(f, "section")), fault);
                }
            }
            pool_reset(mark);
        }
    }
    json_decref(report);
    return close_tally(&tally);
}
