/* command: the option reader, the order of statuses, files written whole or not at all. */
#include <check.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "command/command.h"

static Arena *arena;
static char folder[] = "/tmp/shall-test-XXXXXX";

static const Option options[] = {
    {"--in", "JURISDICTION", "whose law"}, {"--brief", NULL, "less"}, {NULL, NULL, NULL}};
static const Command command = {.name = "try",
                                .summary = "",
                                .operands = "FILE...",
                                .about = "One.\n\nTwo.",
                                .options = options};

static void setup(void)
{
    arena = arena_new();
    strcpy(folder, "/tmp/shall-test-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
}

static void teardown(void)
{
    (void)rmdir(folder);
    arena_free(arena);
}

static Run read_words(const char *const *words, bool *ok)
{
    Run run = {.arena = arena, .program = "shall", .command = &command};
    *ok = arguments_read(&run, words);
    return run;
}

START_TEST(test_options)
{
    const char *const words[] = {"a",        "--in", "x,y",     "-", "--brief",
                                 "--in=z=1", "--",   "--brief", NULL};
    bool ok = false;
    Run run = read_words(words, &ok);
    ck_assert(ok);
    ck_assert_uint_eq(run.arguments.operand_count, 3);
    ck_assert_str_eq(run.arguments.operands[0], "a");
    ck_assert_str_eq(run.arguments.operands[1], "-");
    ck_assert_str_eq(run.arguments.operands[2], "--brief");
    ck_assert(has_option(&run.arguments, "--brief"));
    ck_assert_str_eq(last_value(&run.arguments, "--in"), "z=1");
    size_t count = 0;
    const Text *values = all_values(arena, &run.arguments, "--in", ',', &count);
    ck_assert_uint_eq(count, 3);
    ck_assert(text_equal(values[1], TEXT("y")));
    (void)all_values(arena, &run.arguments, "--in", 0, &count);
    ck_assert_uint_eq(count, 2);
}
END_TEST

START_TEST(test_options_refused)
{
    const char *const unknown[] = {"--inn", NULL};
    const char *const without[] = {"--in", NULL};
    const char *const with[] = {"--brief=1", NULL};
    const char *const short_one[] = {"-x", NULL};
    const char *const *const all[] = {unknown, without, with, short_one};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        bool ok = true;
        (void)read_words(all[i], &ok);
        ck_assert_msg(!ok, "%s", all[i][0]);
    }
}
END_TEST

START_TEST(test_help)
{
    Text help = command_help(arena, &command, (Style){60, false});
    ck_assert_str_eq(text_string(arena, help), "usage: shall try [OPTION]... FILE...\n"
                                               "\n"
                                               "One.\n"
                                               "\n"
                                               "Two.\n"
                                               "\n"
                                               "  --in JURISDICTION       whose law\n"
                                               "  --brief                 less\n"
                                               "  --help                  this text\n");
}
END_TEST

/* A correction outweighs an open question; what could not be judged outweighs both. */
START_TEST(test_worse)
{
    ck_assert_int_eq(worse_status(STATUS_COMPLIES, STATUS_OPEN), STATUS_OPEN);
    ck_assert_int_eq(worse_status(STATUS_OPEN, STATUS_CORRECTION), STATUS_CORRECTION);
    ck_assert_int_eq(worse_status(STATUS_CORRECTION, STATUS_OPEN), STATUS_CORRECTION);
    ck_assert_int_eq(worse_status(STATUS_CORRECTION, STATUS_BAD_INPUT), STATUS_BAD_INPUT);
    ck_assert_int_eq(worse_status(STATUS_NO_INPUT, STATUS_OPEN), STATUS_NO_INPUT);
    ck_assert_int_eq(worse_status(STATUS_COMPLIES, STATUS_COMPLIES), STATUS_COMPLIES);
}
END_TEST

/* ---- files ---- */

static const char *in_folder(const char *name)
{
    return text_string(arena, text_format(arena, "%s/%s", folder, name));
}

static Text content_of(const char *path)
{
    Text reason;
    const Source *source = source_read(arena, path, &reason);
    ck_assert_ptr_nonnull(source);
    return source->bytes;
}

START_TEST(test_write)
{
    Run run = {.arena = arena, .program = "shall"};
    const char *path = in_folder("new");
    ck_assert_int_eq(write_file(&run, path, TEXT("one\n")), STATUS_COMPLIES);
    ck_assert(text_equal(content_of(path), TEXT("one\n")));
    /* the rights of a file that is replaced stay */
    ck_assert_int_eq(chmod(path, 0640), 0);
    ck_assert_int_eq(write_file(&run, path, TEXT("two\n")), STATUS_COMPLIES);
    ck_assert(text_equal(content_of(path), TEXT("two\n")));
    struct stat about;
    ck_assert_int_eq(stat(path, &about), 0);
    ck_assert_uint_eq(about.st_mode & 0777, 0640);
    ck_assert_int_eq(unlink(path), 0);
    ck_assert_int_eq(rmdir(folder), 0); /* nothing was left beside it */
}
END_TEST

START_TEST(test_write_link)
{
    Run run = {.arena = arena, .program = "shall"};
    const char *path = in_folder("file");
    const char *link = in_folder("link");
    ck_assert_int_eq(write_file(&run, path, TEXT("one\n")), STATUS_COMPLIES);
    ck_assert_int_eq(symlink("file", link), 0);
    ck_assert_int_eq(write_file(&run, link, TEXT("two\n")), STATUS_COMPLIES);
    ck_assert(text_equal(content_of(path), TEXT("two\n")));
    struct stat about;
    ck_assert_int_eq(lstat(link, &about), 0);
    ck_assert(S_ISLNK(about.st_mode));
    ck_assert_int_eq(unlink(link), 0);
    ck_assert_int_eq(unlink(path), 0);
}
END_TEST

START_TEST(test_write_refused)
{
    Run run = {.arena = arena, .program = "shall"};
    ck_assert_int_eq(write_file(&run, in_folder("no/file"), TEXT("x")), STATUS_NOT_CREATED);
    ck_assert_int_eq(write_file(&run, folder, TEXT("x")), STATUS_NOT_CREATED);
    ck_assert_int_eq(write_file(&run, "/dev/full", TEXT("x")), STATUS_NOT_WRITTEN);
    ck_assert_int_eq(write_file(&run, "/dev/null", TEXT("x")), STATUS_COMPLIES);
}
END_TEST

Suite *command_suite(void);
Suite *command_suite(void)
{
    Suite *suite = suite_create("command");
    TCase *tcase = tcase_create("command");
    tcase_add_checked_fixture(tcase, setup, teardown);
    tcase_add_test(tcase, test_options);
    tcase_add_test(tcase, test_options_refused);
    tcase_add_test(tcase, test_help);
    tcase_add_test(tcase, test_worse);
    tcase_add_test(tcase, test_write);
    tcase_add_test(tcase, test_write_link);
    tcase_add_test(tcase, test_write_refused);
    suite_add_tcase(suite, tcase);
    return suite;
}
