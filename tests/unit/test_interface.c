/* include/shall.h: the whole way from rule file and spec to status and reports. */
#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "shall.h"

static const char rule_text[] = "vocabulary v\n"
                                "  fact aisle length always present at least 0 in\n"
                                "  topic space \"Space\"\n"
                                "end\n"
                                "code c edition 1\n"
                                "  vocabulary v ranks core rank core basis invented\n"
                                "  section \"1\" \"Aisle\"\n"
                                "    topic space\n"
                                "    shall aisle >= 30 in\n"
                                "  end\n"
                                "end\n"
                                "jurisdiction j \"Jay County\"\n"
                                "  adopts c edition 1 in force from 2025-01-01 by \"Ord. 1\"\n"
                                "end\n";

static char path[32];
static ShallRules *rules;

static void write_rules(const char *text)
{
    strcpy(path, "/tmp/shall-rules-XXXXXX");
    int file = mkstemp(path);
    ck_assert_int_ge(file, 0);
    ck_assert_int_eq(write(file, text, strlen(text)), (ssize_t)strlen(text));
    ck_assert_int_eq(close(file), 0);
    const char *paths[] = {path};
    rules = shall_rules_read(paths, 1);
}

static void setup(void)
{
    write_rules(rule_text);
}

static void teardown(void)
{
    shall_rules_free(rules);
    ck_assert_int_eq(unlink(path), 0);
}

static ShallReview *review(const char *spec, const char *jurisdiction, const char *on)
{
    return shall_review(rules, "x.yaml", spec, strlen(spec), jurisdiction, on);
}

START_TEST(test_statuses)
{
    static const struct {
        const char *spec;
        int status;
        const char *says;
    } cases[] = {{"aisle: 30 in\n", 0, "Findings: 1 complies."},
                 {"aisle: 29 in\n", 1, "short by 1 in (3.3%)"},
                 {"unit_name: A\n", 2, "Findings: 1 waits for information."}};
    ck_assert_uint_eq(shall_rules_errors(rules), 0);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        ShallReview *made = review(cases[i].spec, "j", "2025-06-01");
        ck_assert_int_eq(shall_review_status(made), cases[i].status);
        ck_assert_ptr_nonnull(strstr(shall_review_text(made), cases[i].says));
        ck_assert_ptr_nonnull(strstr(shall_review_json(made), "\"format\": 1"));
        ck_assert_str_eq(shall_review_messages(made), "");
        shall_review_free(made);
    }
}
END_TEST

START_TEST(test_refusals)
{
    static const struct {
        const char *spec, *jurisdiction, *on, *says;
    } cases[] = {{"aisle: 30\n", "j", "2025-06-01", "x.yaml:1:8: error: '30' has no unit"},
                 {"aisle: 30 in\n", "k", "2025-06-01", "no rule file has the jurisdiction 'k'"},
                 {"aisle: 30 in\n", "j", "2025-06", "'2025-06' is no date"},
                 {"aisle: 30 in\n", "j", "soon", "'soon' is no date"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        ShallReview *made = review(cases[i].spec, cases[i].jurisdiction, cases[i].on);
        ck_assert_int_eq(shall_review_status(made), 65);
        ck_assert_ptr_nonnull(strstr(shall_review_messages(made), cases[i].says));
        ck_assert_str_eq(shall_review_text(made), "");
        ck_assert_str_eq(shall_review_json(made), "");
        shall_review_free(made);
    }
}
END_TEST

START_TEST(test_bad_rules)
{
    teardown();
    write_rules("vocabulary v\n  fact aisle\nend\n");
    ck_assert_uint_gt(shall_rules_errors(rules), 0);
    ck_assert_ptr_nonnull(strstr(shall_rules_messages(rules), ": error: "));
    ShallReview *made = review("aisle: 30 in\n", "j", "2025-06-01");
    ck_assert_int_eq(shall_review_status(made), 65);
    shall_review_free(made);
    shall_review_free(NULL);
    shall_rules_free(NULL);
}
END_TEST

START_TEST(test_version)
{
    ck_assert_str_eq(shall_version(), SHALL_VERSION);
}
END_TEST

Suite *interface_suite(void);
Suite *interface_suite(void)
{
    Suite *suite = suite_create("interface");
    TCase *tcase = tcase_create("interface");
    tcase_add_checked_fixture(tcase, setup, teardown);
    tcase_add_test(tcase, test_statuses);
    tcase_add_test(tcase, test_refusals);
    tcase_add_test(tcase, test_bad_rules);
    tcase_add_test(tcase, test_version);
    suite_add_tcase(suite, tcase);
    return suite;
}
