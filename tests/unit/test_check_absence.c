/* Absence is stated, never implied: what may be none is answered where it is used, or ruled out by a
 * condition in force there. An empty list proves nothing in an alternative. The demo law is
 * invented. */
#include "check_world.h"

Suite *check_absence_suite(void);

/* ---- absence (meaning: absence is stated, never implied) ---- */

#define UNANSWERED "absence is not answered"

static const Case absence_cases[] = {
    {UNANSWERED, LAW(S("shall headroom >= 74 in")), "headroom", "', if provided'",
     LAW(S("shall headroom >= 74 in, if provided"))},
    {UNANSWERED, LAW(S("shall headroom >= 74 in")), "headroom", "', required'",
     LAW(S("shall headroom >= 74 in, required"))},
    {UNANSWERED, LAW(S("shall headroom >= 74 in")), "headroom", "VALUE if none",
     LAW(S("shall headroom >= 74 in, or 0 in if none"))},
    {UNANSWERED, LAW(S("shall headroom >= 74 in")), "headroom", "'when headroom is not none'",
     LAW(S("when headroom is not none shall headroom >= 74 in"))},
    {UNANSWERED, LAW(S("shall hood.length >= 74 in")), "hood.length", "'when hood is not none'",
     LAW(S("when hood is not none shall hood.length >= 74 in"))},
    {UNANSWERED, LAW(S("each s of sinks shall s.splash.height >= 6 in")), "s.splash.height",
     "'when s.splash is not none'",
     LAW(S("each s of sinks where s.splash is not none shall s.splash.height >= 6 in"))},
    /* the left side of `and`; a word; what stands behind a definition */
    {UNANSWERED, LAW(S("shall headroom > 1 in and headroom is not none")), "headroom", "none",
     LAW(S("shall headroom is not none and headroom > 1 in"))},
    {UNANSWERED, LAW(S("shall headroom is none and headroom > 1 in")), "headroom", "none",
     LAW(S("shall headroom is none or headroom > 1 in"))},
    {UNANSWERED, LAW(S("when side_duty is not light shall side_duty <= medium")), "side_duty",
     "none", LAW(S("when side_duty among (light, heavy) shall side_duty <= medium"))},
    {UNANSWERED, LAW(S("when not tested shall listed")), "listed", "none",
     LAW(S("when listed shall listed"))},
    {UNANSWERED, LAW(S("define w = hood.length * 2 shall aisle >= w")), "w", "'hood.length'",
     LAW(S("define w = hood.length * 2 when hood is not none shall aisle >= w"))},
    {UNANSWERED, LAW(S("define w = hood.length * 2 shall aisle >= w")), "w", "none",
     LAW(S("define w = hood.length * 2, or 0 in if none shall aisle >= w"))},
    {UNANSWERED, LAW(WITH("define w = hood.length * 2", "shall aisle >= w")), "w", "none",
     LAW(WITH("define w = hood.length * 2\ndefine has = hood is not none and tested",
              "when has shall aisle >= w"))},
    /* a word in a condition needs no answer, a quantity does */
    {UNANSWERED, LAW(S("when headroom > 60 in shall aisle >= 2 in")), "headroom", "none",
     LAW(S("when side_duty is light or listed or note is \"x\" shall aisle >= 2 in"))},
    {UNANSWERED, LAW(S("shall side_duty is light")), "side_duty", "none",
     LAW(S("shall side_duty is light, required"))},
    {UNANSWERED, LAW(S("shall aisle >= (5 in if headroom > 60 in otherwise 4 in)")), "headroom",
     "none", LAW(S("shall aisle >= (5 in if side_duty is light otherwise 4 in)"))},
    {UNANSWERED, LAW(S("when side_duty < heavy shall aisle >= 2 in")), "side_duty", "none",
     LAW(S("when (side_duty, or light if none) < heavy shall aisle >= 2 in"))},
    /* inside a list, item by item */
    {UNANSWERED,
     LAW(S("shall aisle * aisle * aisle >= total of t.spare for t of tanks, "
           "or 0 gal if none")),
     "t.spare", "item by item",
     LAW(S("shall aisle * aisle * aisle >= total of (t.spare, or 0 gal if none) for t of tanks"))},
    {UNANSWERED, LAW(S("shall every s of sinks: s.splash.height >= 6 in, if provided")),
     "s.splash.height", "item by item",
     LAW(S("shall every s of sinks where s.splash is not none: s.splash.height >= 6 in"))},
    {UNANSWERED, LAW(S("shall some s of sinks: s.hot is yes")), "s.hot", "item by item",
     LAW(S("shall some s of sinks where s.hot is yes: s.along > 2 in"))},
    {UNANSWERED, LAW(S("when some s of sinks: s.splash.height > 1 in shall aisle >= 2 in")),
     "s.splash.height", "item by item",
     LAW(S("when some s of sinks: s.hot is yes shall aisle >= 2 in"))},
    {UNANSWERED, LAW(S("shall (count of g of grills where g.rate > 5 cfm) >= 1")), "g.rate",
     "item by item",
     LAW(S("shall (count of g of grills where g.rate is not none and g.rate > 5 cfm) >= 1"))},
    {UNANSWERED,
     LAW(S("define r(s: sink) = s.splash.height * 2 each t of sinks "
           "shall t.along >= r(t)")),
     "s.splash.height", "item by item",
     LAW(S("define r(s: sink) = (s.splash.height, or 0 in if none) * 2 each t of sinks "
           "shall t.along >= r(t)"))},
    {UNANSWERED, LAW(S("define f(l: length) = 2 * l shall aisle >= f(headroom)")), "headroom",
     "none", LAW(S("define f(l: length) = 2 * l shall aisle >= f(headroom), if provided"))},
    /* of nothing there is no least and no greatest */
    {UNANSWERED, LAW(S("shall aisle >= greatest of s.along for s of sinks")), "greatest", "none",
     LAW(S("shall aisle >= (greatest of s.along for s of sinks, or 0 in if none)"))},
    {UNANSWERED,
     LAW(S("each s of sinks where s.use is handwashing "
           "shall s.along >= greatest of r.along for r of sinks where r.use is handwashing")),
     "greatest", "none",
     LAW(S("each s of sinks where s.use is handwashing "
           "shall s.along >= greatest of r.along for r of sinks"))},
    {UNANSWERED, LAW(S("define f = first s of sinks by s.along shall aisle >= f.along")), "f.along",
     "'when f is not none'",
     LAW(S("define f = first s of sinks by s.along when f is not none shall aisle >= f.along"))},
    {UNANSWERED, LAW(S("shall tanks[\"waste\"].capacity >= 5 gal")), "tanks[", "none",
     LAW(S("shall tanks[\"waste\"].capacity >= 5 gal, required"))},
    /* an exception */
    {UNANSWERED, LAW(S("shall headroom >= 74 in except where tested")), "headroom", "none",
     LAW(S("shall headroom >= 74 in except where headroom is none"))},
    {UNANSWERED, LAW(S("shall aisle >= 4 in except where tested shall headroom >= 74 in")),
     "headroom", "none",
     LAW(S("shall aisle >= 4 in except where headroom is not none shall headroom >= 74 in"))},
    {UNANSWERED, LAW(S("shall headroom >= 74 in except where headroom is none unless tested")),
     "headroom", "none", LAW(S("shall aisle >= 2 in except where headroom is none unless tested"))},
    /* the right side, when `or … if none` speaks of the left */
    {UNANSWERED, LAW(S("shall headroom >= hood.length, or 0 in if none")), "hood.length", "none",
     LAW(S("shall headroom >= (hood.length, or 0 in if none), or 0 in if none"))},
    /* a step has to show a value */
    {UNANSWERED,
     LAW(WITH("worksheet w \"W\" step a \"A\" headroom in ft end", "shall aisle >= 2 in")),
     "headroom", "none",
     LAW(WITH("worksheet w \"W\" step a \"A\" headroom, or 0 in if none in ft end",
              "shall aisle >= w.a"))},
    {"no value can stand for it", LAW(S("define h = hood, or 2 in if none shall aisle > 2 in")),
     "hood", "facts", LAW(S("shall (hood.length, or 2 in if none) > 2 in"))},
};

START_TEST(test_absence)
{
    run_error(&absence_cases[_i]);
}
END_TEST

/* meaning: after a comparison the fallback speaks of its left side, else of the whole. */
START_TEST(test_fallback)
{
    Checked left = check_text_of(LAW(S("shall headroom >= 74 in, or 0 in if none")), false);
    ck_assert_int_eq(first_line(&left)->measured->op, CODE_IF_NONE);
    ck_assert_int_eq(first_line(&left)->limit->op, CODE_CONSTANT);
    done(&left);
    Checked whole = check_text_of(LAW(S("shall headroom > 1 in and listed, or no if none")), false);
    const Line *line = first_line(&whole);
    ck_assert_int_eq(line->requirement->op, CODE_IF); /* no, if either path is none */
    ck_assert_int_eq(line->requirement->b->op, CODE_ANY_OF);
    ck_assert_uint_eq(line->requirement->b->count, 2);
    ck_assert_ptr_null(line->measured);
    done(&whole);
    Checked provided =
        check_text_of(LAW(S("shall headroom >= hood.length + headroom, if provided")), false);
    line = first_line(&provided);
    ck_assert_int_eq(line->absence, ABSENCE_IF_PROVIDED);
    ck_assert_uint_eq(line->maybe_none_count, 2); /* headroom once */
    done(&provided);
}
END_TEST

/* ---- alternatives (meaning: an empty list proves nothing in an alternative) ---- */

static const Case alternative_cases[] = {
    {"empty list in an alternative",
     LAW(S("shall any of\n aisle >= 4 in\n every s of sinks: s.along > 2 in\n end")), "every",
     "at least one",
     LAW(S("shall any of\n aisle >= 4 in\n every s of sinks, at least one: s.along > 2 in\n end"))},
    {"empty list in an alternative", LAW(S("shall aisle >= 4 in or no s of sinks: s.along > 2 in")),
     "no s", "if empty",
     LAW(S("shall aisle >= 4 in or no s of sinks, or yes if empty: s.along > 2 in"))},
    {"empty list in an alternative",
     LAW(S("define all_big = every s of sinks: s.along > 2 in shall aisle >= 4 in or all_big")),
     "all_big", "at least one",
     LAW(S("define all_big = every s of sinks: s.along > 2 in shall aisle >= 4 in and all_big"))},
    {"empty list in an alternative",
     LAW(S("when aisle >= 4 in or every s of sinks: s.along > 2 in shall aisle >= 2 in")), "every",
     "at least one",
     LAW(S("when aisle >= 4 in or some s of sinks: s.along > 2 in shall aisle >= 2 in"))},
};

START_TEST(test_alternatives)
{
    run_error(&alternative_cases[_i]);
}
END_TEST

Suite *check_absence_suite(void)
{
    TCase *tcase = tcase_create("absence");
    LOOP(tcase, test_absence, absence_cases);
    LOOP(tcase, test_alternatives, alternative_cases);
    tcase_add_test(tcase, test_fallback);
    Suite *suite = suite_create("check_absence");
    suite_add_tcase(suite, tcase);
    return suite;
}
