/* Runs every suite of this folder, and closes with Check's own summary line.
 *
 * The list of suites is made by the Makefile from the names test_X.c. With --sets FILE, each test
 * set that was run outside (cases, facts, properties, ...) is one check more, so that the summary
 * line counts them: a line of FILE is NAME, exit status and closing words, parted by tabs. */
#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SUITE(name) Suite *name##_suite(void);
#include "suites.h"
#undef SUITE

enum { SETS_MAX = 64, LINE_MAX_LEN = 512 };

static char sets[SETS_MAX][LINE_MAX_LEN];
static int set_count;

START_TEST(test_set_passed)
{
    const char *name = sets[_i];
    const char *status = strchr(name, '\t');
    ck_assert_ptr_nonnull(status);
    const char *words = strchr(status + 1, '\t');
    ck_assert_ptr_nonnull(words);
    ck_assert_msg(strtol(status + 1, NULL, 10) == 0, "%.*s: %s", (int)(status - name), name,
                  words + 1);
}
END_TEST

static Suite *sets_suite(const char *path)
{
    FILE *file = fopen(path, "r");
    if (!file) {
        perror(path);
        exit(2);
    }
    while (set_count < SETS_MAX && fgets(sets[set_count], LINE_MAX_LEN, file)) {
        sets[set_count][strcspn(sets[set_count], "\n")] = '\0';
        set_count++;
    }
    fclose(file);
    TCase *tcase = tcase_create("set");
    tcase_add_loop_test(tcase, test_set_passed, 0, set_count);
    Suite *suite = suite_create("the other test sets");
    suite_add_tcase(suite, tcase);
    return suite;
}

int main(int argc, char **argv)
{
    SRunner *runner = srunner_create(NULL);
#define SUITE(name) srunner_add_suite(runner, name##_suite());
#include "suites.h"
#undef SUITE
    if (argc == 3 && strcmp(argv[1], "--sets") == 0)
        srunner_add_suite(runner, sets_suite(argv[2]));
    srunner_run_all(runner, CK_SILENT);
    int run = srunner_ntests_run(runner);
    int failed = srunner_ntests_failed(runner);
    if (failed > 0) /* the failures first, so that the summary line is the last */
        srunner_print(runner, CK_NORMAL);
    if (run == 0)
        fputs("no unit test was run\n", stderr);
    srunner_print(runner, CK_MINIMAL);
    srunner_free(runner);
    return fflush(stdout) == 0 && run > 0 && failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
