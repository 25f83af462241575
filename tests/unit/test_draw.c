/* report: diagnostics drawn. The first line is that of the GNU coding standards ("Formatting
 * Error Messages"); marks stand under what they mark on any terminal. */
#include <check.h>
#include <string.h>

#include "report/report.h"

static Arena *arena;
static Diagnostics diags;

static void setup(void)
{
    arena = arena_new();
    diags = diagnostics_make(arena);
}

static void teardown(void)
{
    arena_free(arena);
}

static const Source *source(const char *bytes)
{
    return source_of(arena, TEXT("x.shall"), text_of(bytes));
}

/* The first place of a word in a source. */
static Place at(const Source *in, const char *word)
{
    const char *whole = text_string(arena, in->bytes);
    const char *found = strstr(whole, word);
    ck_assert_ptr_nonnull(found);
    uint32_t start = (uint32_t)(found - whole);
    return (Place){in, {start, start + (uint32_t)strlen(word)}};
}

static void expect_drawn(const char *want)
{
    Text got = report_diagnostics(arena, &diags, (Style){80, false});
    ck_assert_str_eq(text_string(arena, got), want);
}

START_TEST(test_plain)
{
    const Source *in = source("one two\nthree four\n");
    diagnostic_error(&diags, "odd word", at(in, "four"), "'%s' is odd", "four");
    expect_drawn("x.shall:2:7: error: 'four' is odd [odd word]\n"
                 "  three four\n"
                 "        ^^^^\n");
}
END_TEST

START_TEST(test_without_place)
{
    diagnostic_error(&diags, "unreadable file", (Place){NULL, {0, 0}}, "'a' cannot be read");
    expect_drawn("shall: error: 'a' cannot be read [unreadable file]\n");
}
END_TEST

START_TEST(test_notes)
{
    const Source *in = source("gallons = feet\nfeet\n");
    const Source *other = source_of(arena, TEXT("y.shall"), TEXT("first here\n"));
    Diagnostic *diag = diagnostic_error(&diags, "clash", at(in, "feet"), "clash");
    diagnostic_note(&diags, diag, at(in, "gallons"), "this is a volume");
    diagnostic_note(&diags, diag, at(other, "here"), "defined here");
    diagnostic_note(&diags, diag, (Place){NULL, {0, 0}}, "did you mean 'foot'?");
    expect_drawn("x.shall:1:11: error: clash [clash]\n"
                 "  gallons = feet\n"
                 "  ~~~~~~~   ^^^^\n"
                 "x.shall:1:1: note: this is a volume\n"
                 "y.shall:1:7: note: defined here\n"
                 "  first here\n"
                 "        ~~~~\n"
                 "x.shall:1:11: note: did you mean 'foot'?\n");
}
END_TEST

/* Tabs are copied, so that marks stand right whatever a tab is wide. */
START_TEST(test_tabs)
{
    const Source *in = source("\ta\tbad\n");
    diagnostic_warning(&diags, "odd", at(in, "bad"), "odd");
    expect_drawn("x.shall:1:4: warning: odd [odd]\n"
                 "  \ta\tbad\n"
                 "  \t \t^^^\n");
}
END_TEST

/* Two cells for a wide character, none for a combining one; columns count code points. */
START_TEST(test_wide)
{
    const Source *in = source("\xe6\xba\x80 e\xcc\x81 bad\n");
    diagnostic_error(&diags, "odd", at(in, "bad"), "odd");
    expect_drawn("x.shall:1:6: error: odd [odd]\n"
                 "  \xe6\xba\x80 e\xcc\x81 bad\n"
                 "       ^^^\n");
}
END_TEST

START_TEST(test_hidden)
{
    const Source *in = source("a\xe2\x80\xae"
                              "b bad\n");
    diagnostic_error(&diags, "odd", at(in, "bad"), "odd \x1b[31m");
    expect_drawn("x.shall:1:5: error: odd <U+001B>[31m [odd]\n"
                 "  a<U+202E>b bad\n"
                 "             ^^^\n");
}
END_TEST

/* What is missing at the end of a line, and at the end of the file. */
START_TEST(test_ends)
{
    const Source *in = source("shall\nend");
    diagnostic_error(&diags, "odd", (Place){in, {5, 5}}, "at the line's end");
    diagnostic_error(&diags, "odd", (Place){in, {9, 9}}, "at the file's end");
    expect_drawn("x.shall:1:6: error: at the line's end [odd]\n"
                 "  shall\n"
                 "       ^\n"
                 "x.shall:2:4: error: at the file's end [odd]\n"
                 "  end\n"
                 "     ^\n");
}
END_TEST

/* A span over several lines is marked on its first one. */
START_TEST(test_lines)
{
    const Source *in = source("one two\nthree\n");
    diagnostic_error(&diags, "odd", (Place){in, {4, 13}}, "odd");
    expect_drawn("x.shall:1:5: error: odd [odd]\n"
                 "  one two\n"
                 "      ^^^\n");
}
END_TEST

START_TEST(test_long_line)
{
    char *bytes = text_string(arena, text_format(arena, "%0500d bad %0500d\n", 0, 0));
    const Source *in = source(bytes);
    diagnostic_error(&diags, "odd", at(in, "bad"), "odd");
    char *got = text_string(arena, report_diagnostics(arena, &diags, (Style){80, false}));
    ck_assert_ptr_nonnull(strstr(got, "x.shall:1:502: error: odd [odd]\n  ...000"));
    ck_assert_ptr_nonnull(strstr(got, " bad 0"));
    ck_assert_ptr_nonnull(strstr(got, "000...\n"));
    const char *marks = strstr(got, "...\n");
    ck_assert_uint_eq(strspn(marks + 4, " "), 2 + 3 + 40);
    ck_assert_uint_lt(strlen(got), 500);
}
END_TEST

/* Of a file with more than are shown, the errors come first. */
START_TEST(test_cap)
{
    const Source *in = source("abcdefghijklmnopqrstuvwxyz\n");
    for (uint32_t i = 0; i < 22; i++) {
        diagnostic_warning(&diags, "warned", (Place){in, {i, i + 1}}, "warned %u", i);
    }
    diagnostic_error(&diags, "wrong", (Place){in, {25, 26}}, "wrong");
    char *got = text_string(arena, report_diagnostics(arena, &diags, (Style){80, false}));
    ck_assert_ptr_nonnull(strstr(got, "error: wrong [wrong]"));
    ck_assert_ptr_nonnull(strstr(got, "warned 18 "));
    ck_assert_ptr_null(strstr(got, "warned 19 "));
    ck_assert_ptr_nonnull(strstr(got, "x.shall: ... and 3 more\n"));
}
END_TEST

START_TEST(test_marks)
{
    const Source *in = source("bad\n");
    diagnostic_error(&diags, "odd", at(in, "bad"), "odd");
    Text got = report_diagnostics(arena, &diags, (Style){80, true});
    ck_assert_str_eq(text_string(arena, got), "x.shall:1:1: \x1b[1merror:\x1b[0m odd [odd]\n"
                                              "  bad\n"
                                              "  ^^^\n");
}
END_TEST

Suite *draw_suite(void);
Suite *draw_suite(void)
{
    Suite *suite = suite_create("draw");
    TCase *tcase = tcase_create("draw");
    tcase_add_checked_fixture(tcase, setup, teardown);
    tcase_add_test(tcase, test_plain);
    tcase_add_test(tcase, test_without_place);
    tcase_add_test(tcase, test_notes);
    tcase_add_test(tcase, test_tabs);
    tcase_add_test(tcase, test_wide);
    tcase_add_test(tcase, test_hidden);
    tcase_add_test(tcase, test_ends);
    tcase_add_test(tcase, test_lines);
    tcase_add_test(tcase, test_long_line);
    tcase_add_test(tcase, test_cap);
    tcase_add_test(tcase, test_marks);
    suite_add_tcase(suite, tcase);
    return suite;
}
