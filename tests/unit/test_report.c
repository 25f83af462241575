/* report: the words and figures of one line, text made harmless, paper, JSON. Rules are those of
 * docs/language.md (what is measured, limits, temperatures, percent) and, for JSON, RFC 8259. */
#include <check.h>
#include <string.h>

#include "report/json.h"
#include "report/measure.h"
#include "report/paper.h"
#include "report/safe.h"

static Arena *arena;

static void setup(void)
{
    arena = arena_new();
}

static void teardown(void)
{
    arena_free(arena);
}

static void expect(Text got, const char *want)
{
    ck_assert_str_eq(text_string(arena, got), want);
}

/* ---- measures ---- */

/* A line `measured compare limit`, judged. */
typedef struct Judged {
    CompareOp compare;
    bool negated;
    const char *unit;       /* NULL: a bare number */
    const char *low, *high; /* measured; equal: exact */
    const char *limit;
    Outcome outcome;
    const char *measured_words, *limit_words, *margin;
} Judged;

static const Judged judged[] = {
    /* meaning.md rule 10: left is measured, right is limit */
    {COMPARE_LESS_EQUAL, false, "in", "25", "25", "24", OUTCOME_CORRECTION, "25 in",
     "at most 24 in", "over by 1 in (4.2%)"},
    {COMPARE_LESS_EQUAL, false, "in", "24", "24", "24", OUTCOME_COMPLIES, "24 in", "at most 24 in",
     "exactly at the limit"},
    {COMPARE_LESS, false, "in", "24", "24", "24", OUTCOME_CORRECTION, "24 in", "less than 24 in",
     "at the limit, which is not allowed itself"},
    {COMPARE_GREATER_EQUAL, false, "gal", "45.5", "45.5", "46", OUTCOME_CORRECTION, "45.5 gal",
     "at least 46 gal", "short by 0.5 gal (1.1%)"},
    {COMPARE_GREATER_EQUAL, false, "gal", "46", "46", "40", OUTCOME_COMPLIES, "46 gal",
     "at least 40 gal", "6 gal (15%) to spare"},
    /* shall not turns the bound round */
    {COMPARE_GREATER, true, "in", "25", "25", "24", OUTCOME_CORRECTION, "25 in", "at most 24 in",
     "over by 1 in (4.2%)"},
    {COMPARE_LESS, true, "in", "25", "25", "24", OUTCOME_COMPLIES, "25 in", "at least 24 in",
     "1 in (4.2%) to spare"},
    {COMPARE_GREATER_EQUAL, true, "in", "24", "24", "24", OUTCOME_CORRECTION, "24 in",
     "less than 24 in", "at the limit, which is not allowed itself"},
    /* rule 21: temperatures have differences and no ratios */
    {COMPARE_LESS_EQUAL, false, "degF", "43", "43", "41", OUTCOME_CORRECTION, "43 degF",
     "at most 41 degF", "over by 2 degF"},
    /* gauge pressure has no ratios either; its differences are plain */
    {COMPARE_LESS_EQUAL, false, "psig", "12", "12", "10", OUTCOME_CORRECTION, "12 psig",
     "at most 10 psig", "over by 2 psi"},
    /* percent of a limit of zero says nothing */
    {COMPARE_LESS_EQUAL, false, "in", "1", "1", "0", OUTCOME_CORRECTION, "1 in", "at most 0 in",
     "over by 1 in"},
    /* a percentage is not told as a percentage of a percentage */
    {COMPARE_GREATER_EQUAL, false, "%", "75", "75", "80", OUTCOME_CORRECTION, "75%", "at least 80%",
     "short by 5%"},
    /* different values never look equal (product.md) */
    {COMPARE_LESS_EQUAL, false, "gal", "24.00001", "24.00001", "24", OUTCOME_CORRECTION,
     "24.00001 gal", "at most 24 gal", "over by 0.00001 gal (under 0.1%)"},
    /* ranges: what is sure of them */
    {COMPARE_LESS_EQUAL, false, "in", "25", "26", "24", OUTCOME_CORRECTION, "25 in to 26 in",
     "at most 24 in", "over by at least 1 in (4.2%)"},
    {COMPARE_GREATER_EQUAL, false, "in", "25", "26", "24", OUTCOME_COMPLIES, "25 in to 26 in",
     "at least 24 in", "at least 1 in (4.2%) to spare"},
    /* open: no margin is sure */
    {COMPARE_LESS_EQUAL, false, "in", "23", "25", "24", OUTCOME_INFORMATION_REQUIRED,
     "23 in to 25 in", "at most 24 in", ""},
    {COMPARE_EQUAL, false, NULL, "3", "3", "2", OUTCOME_CORRECTION, "3", "exactly 2",
     "differs by 1 (50%)"},
    {COMPARE_NOT_EQUAL, false, NULL, "2", "2", "2", OUTCOME_CORRECTION, "2", "other than 2", ""},
};

static Rational number(const char *digits)
{
    Rational value = RATIONAL_ZERO;
    ck_assert(rational_parse_decimal(arena, text_of(digits), &value));
    return value;
}

typedef struct Sample {
    Line line;
    Code measured, limit;
    Part part;
} Sample;

static void fill_value(Value *value, const Unit *unit, const char *low, const char *high)
{
    Rational from = number(low);
    Rational to = number(high);
    if (unit != NULL) {
        from = unit_to_si(arena, unit, from);
        to = unit_to_si(arena, unit, to);
    }
    *value = (Value){.kind = VALUE_RANGE, .can = CAN_BE_PRESENT, .range = range_between(from, to)};
}

static void fill_sample(Sample *sample, const Judged *how)
{
    memset(sample, 0, sizeof *sample);
    const Unit *unit = how->unit == NULL ? NULL : unit_find(arena, text_of(how->unit), false);
    ck_assert(how->unit == NULL || unit != NULL);
    sample->measured.type.class = CLASS_NUMBER;
    if (unit != NULL) {
        sample->measured.type.dimension = unit->dimension;
    }
    sample->limit.type = sample->measured.type;
    sample->line = (Line){.compare = (uint8_t)how->compare,
                          .negated = how->negated,
                          .unit = unit,
                          .measured = &sample->measured,
                          .limit = &sample->limit};
    sample->part.line = &sample->line;
    sample->part.has_measure = true;
    sample->part.outcome = (uint8_t)how->outcome;
    fill_value(&sample->part.measured, unit, how->low, how->high);
    fill_value(&sample->part.limit, unit, how->limit, how->limit);
}

START_TEST(test_measure)
{
    Sample sample;
    fill_sample(&sample, &judged[_i]);
    expect(measured_words(arena, &sample.part), judged[_i].measured_words);
    expect(limit_words(arena, &sample.part), judged[_i].limit_words);
    expect(margin_words(arena, &sample.part), judged[_i].margin);
}
END_TEST

/* A remedy that is followed to the digit must be enough: a limit that decimals cannot give is
 * rounded to the side that complies. */
START_TEST(test_limit_safe)
{
    Judged how = {COMPARE_GREATER_EQUAL, false, "gal", "1", "1", "1",
                  OUTCOME_CORRECTION,    "",    "",    ""};
    Sample sample;
    fill_sample(&sample, &how);
    const Unit *gallon = sample.line.unit;
    sample.part.limit.range = range_exact(unit_to_si(arena, gallon, RATIONAL(139, 3)));
    expect(limit_words(arena, &sample.part), "at least about 46.333 gal");
    expect(limit_safe(arena, &sample.part), "46.334 gal");
    sample.line.compare = COMPARE_LESS_EQUAL;
    sample.part.limit.range = range_exact(unit_to_si(arena, gallon, RATIONAL(140, 3)));
    expect(limit_safe(arena, &sample.part), "46.666 gal");
    sample.part.limit.range = range_exact(unit_to_si(arena, gallon, RATIONAL(93, 2)));
    expect(limit_safe(arena, &sample.part), "46.5 gal");
}
END_TEST

/* The square root of 2 is no rational: its enclosure is told as one value, and its margin too. */
START_TEST(test_root)
{
    Judged how = {COMPARE_LESS_EQUAL, false, NULL, "2", "2", "1", OUTCOME_CORRECTION, "", "", ""};
    Sample sample;
    fill_sample(&sample, &how);
    sample.part.measured.root = 2;
    expect(measured_words(arena, &sample.part), "about 1.414");
    expect(margin_words(arena, &sample.part), "over by about 0.414 (41.4%)");
    fill_value(&sample.part.measured, NULL, "9", "9");
    sample.part.measured.root = 2;
    expect(measured_words(arena, &sample.part), "3");
}
END_TEST

START_TEST(test_dates)
{
    Judged how = {COMPARE_GREATER_EQUAL, false, NULL, "0", "0", "0",
                  OUTCOME_CORRECTION,    "",    "",   ""};
    Sample sample;
    fill_sample(&sample, &how);
    sample.measured.type.class = CLASS_DATE;
    sample.limit.type.class = CLASS_DATE;
    Day day = date_day(2024, 12, 31);
    sample.part.measured.range = date_range(day, day);
    sample.part.limit.range = date_range(day + 1, day + 1);
    expect(measured_words(arena, &sample.part), "2024-12-31");
    expect(limit_words(arena, &sample.part), "on or after 2025-01-01");
    expect(margin_words(arena, &sample.part), "early by 1 day");
    sample.part.measured.range = date_range(day - 30, day);
    expect(measured_words(arena, &sample.part), "2024-12-01 to 2024-12-31");
    sample.part.measured.range = range_everything();
    expect(measured_words(arena, &sample.part), "any day");
}
END_TEST

START_TEST(test_absence)
{
    Type type = {.class = CLASS_NUMBER};
    Value none = {.kind = VALUE_RANGE, .can = CAN_BE_NONE};
    Value nothing = {.kind = VALUE_RANGE, .can = CAN_BE_NOTHING};
    Value perhaps = {.kind = VALUE_RANGE,
                     .can = CAN_BE_PRESENT | CAN_BE_NONE,
                     .range = range_exact(RATIONAL(3, 1))};
    expect(value_words(arena, &none, &type, NULL, NULL), "none");
    expect(value_words(arena, &nothing, &type, NULL, NULL), "no value");
    expect(value_words(arena, &perhaps, &type, NULL, NULL), "3, or none");
}
END_TEST

START_TEST(test_percent)
{
    expect(percent_words(arena, RATIONAL(25, 4)), "6.3%");
    expect(percent_words(arena, RATIONAL(1, 1000)), "under 0.1%");
    expect(percent_words(arena, RATIONAL_ZERO), "0%");
}
END_TEST

/* ---- text made harmless ---- */

typedef struct Pair {
    const char *from, *to;
} Pair;

static const Pair harmless[] = {
    {"Lantern Noodle", "Lantern Noodle"},
    {"caf\xc3\xa9 \xe6\xba\x80", "caf\xc3\xa9 \xe6\xba\x80"},
    {"a\x1b[31mb", "a<U+001B>[31mb"}, /* an escape sequence */
    {"a\xc2\x9b"
     "31mb",
     "a<U+009B>31mb"}, /* its one-byte twin of C1 */
    {"a\xe2\x80\xae"
     "b",
     "a<U+202E>b"}, /* turns the direction of writing */
    {"a\xe2\x81\xa6"
     "b",
     "a<U+2066>b"},
    {"a\xe2\x80\x8b"
     "b",
     "a<U+200B>b"}, /* no width at all */
    {"a\xef\xbb\xbf"
     "b",
     "a<U+FEFF>b"},
    {"a\tb\nc", "a b c"},
    {"a\x7f", "a<U+007F>"},
    {"a\xff"
     "b",
     "a\xef\xbf\xbd"
     "b"}, /* no UTF-8 */
};

START_TEST(test_harmless)
{
    expect(text_harmless(arena, text_of(harmless[_i].from)), harmless[_i].to);
}
END_TEST

/* ---- paper ---- */

START_TEST(test_paper)
{
    Paper paper = paper_make(arena, (Style){20, false});
    paper_wrap(&paper, 2, 4, TEXT("one two three four five"));
    paper_wrap(&paper, 0, 0, TEXT("")); /* nothing */
    paper_blank(&paper);
    paper_blank(&paper); /* never two */
    paper_wrap(&paper, 0, 0, TEXT("reduce it all to 400 in2, or"));
    paper_keyed(&paper, 0, 6, TEXT("key"), TEXT("a value that wraps"));
    paper_apart(&paper, 0, 2, TEXT("left"), TEXT("right"));
    paper_apart(&paper, 0, 2, TEXT("left that is"), TEXT("too much"));
    expect(buffer_done(&paper.out), "  one two three four\n"
                                    "    five\n"
                                    "\n"
                                    "reduce it all to\n"
                                    "400 in2, or\n"
                                    "key   a value that\n"
                                    "      wraps\n"
                                    "left           right\n"
                                    "left that is\n"
                                    "  too much\n");
}
END_TEST

START_TEST(test_paper_marks)
{
    Paper plain = paper_make(arena, (Style){20, false});
    Paper marked = paper_make(arena, (Style){20, true});
    Text text = TEXT(BOLD_ON "one two three four five" BOLD_OFF " six");
    paper_wrap(&plain, 0, 0, text);
    paper_wrap(&marked, 0, 0, text);
    expect(buffer_done(&plain.out), "one two three four\nfive six\n");
    expect(buffer_done(&marked.out), "\x1b[1mone two three four\x1b[0m\n\x1b[1mfive\x1b[0m six\n");
}
END_TEST

/* A wide character takes two cells, a combining one none (as utf8_width says). */
START_TEST(test_paper_wide)
{
    Paper paper = paper_make(arena, (Style){8, false});
    paper_wrap(&paper, 0, 0, TEXT("\xe6\xba\x80\xe6\xba\x80 \xe6\xba\x80\xe6\xba\x80 e\xcc\x81"));
    expect(buffer_done(&paper.out),
           "\xe6\xba\x80\xe6\xba\x80\n\xe6\xba\x80\xe6\xba\x80 e\xcc\x81\n");
}
END_TEST

/* ---- JSON ---- */

START_TEST(test_json)
{
    Json json = json_make(arena);
    json_open(&json, '{');
    json_put_text(&json, "text",
                  TEXT("a\"b\\c\nd\te\x01"
                       "f\xe2\x80\xaeg\xf0\x9f\x8d\x9c\xff"));
    json_put_count(&json, "count", 3);
    json_put_bool(&json, "yes", true);
    json_put_text_or_null(&json, "nothing", TEXT(""));
    json_key(&json, "empty");
    json_open(&json, '[');
    json_close(&json, ']');
    json_key(&json, "list");
    json_open(&json, '[');
    json_open_flat(&json, '{');
    json_put_count(&json, "a", 1);
    json_key(&json, "b");
    json_open(&json, '[');
    json_count(&json, 1);
    json_count(&json, 2);
    json_close(&json, ']');
    json_close(&json, '}');
    json_null(&json);
    json_close(&json, ']');
    json_close(&json, '}');
    expect(json_done(&json),
           "{\n"
           "  \"text\": \"a\\\"b\\\\c\\nd\\te\\u0001f\\u202eg\xf0\x9f\x8d\x9c\\ufffd\",\n"
           "  \"count\": 3,\n"
           "  \"yes\": true,\n"
           "  \"nothing\": null,\n"
           "  \"empty\": [],\n"
           "  \"list\": [\n"
           "    {\"a\": 1, \"b\": [1, 2]},\n"
           "    null\n"
           "  ]\n"
           "}");
}
END_TEST

Suite *report_suite(void);
Suite *report_suite(void)
{
    Suite *suite = suite_create("report");
    TCase *tcase = tcase_create("report");
    tcase_add_checked_fixture(tcase, setup, teardown);
    tcase_add_loop_test(tcase, test_measure, 0, (int)(sizeof judged / sizeof *judged));
    tcase_add_test(tcase, test_limit_safe);
    tcase_add_test(tcase, test_root);
    tcase_add_test(tcase, test_dates);
    tcase_add_test(tcase, test_absence);
    tcase_add_test(tcase, test_percent);
    tcase_add_loop_test(tcase, test_harmless, 0, (int)(sizeof harmless / sizeof *harmless));
    tcase_add_test(tcase, test_paper);
    tcase_add_test(tcase, test_paper_marks);
    tcase_add_test(tcase, test_paper_wide);
    tcase_add_test(tcase, test_json);
    suite_add_tcase(suite, tcase);
    return suite;
}
