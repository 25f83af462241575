/* base: arena, text, UTF-8, names, maps, sources, diagnostics.
 *
 * What can be stated twice is: word distances against a plain recursive definition, sorting
 * against the order of insertion, maps against a plain array. */
#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/diagnostic.h"
#include "base/name.h"

#define ck_text(text, expected) check_text((text), (expected), __LINE__)

static void check_text(Text text, const char *expected, int line)
{
    ck_assert_msg(text_equal(text, text_of(expected)), "line %d: '%.*s' instead of '%s'", line,
                  TEXT_ARG(text), expected);
}

/* A small generator of its own, so that a failing case can be found again. */
static uint32_t next_random(uint32_t *state)
{
    *state = *state * 1664525u + 1013904223u;
    return *state >> 8;
}

START_TEST(arena_gives_zeroed_aligned_memory)
{
    Arena *arena = arena_new();
    for (size_t size = 0; size < 5000; size = size * 2 + 1) {
        unsigned char *piece = arena_alloc(arena, size);
        ck_assert_ptr_nonnull(piece);
        ck_assert_uint_eq((uintptr_t)piece % 16, 0);
        for (size_t i = 0; i < size; i++) {
            ck_assert_uint_eq(piece[i], 0);
        }
        memset(piece, 0xff, size); /* a neighbour that overlaps would see it */
    }
    ck_assert_ptr_ne(arena_alloc(arena, 0), arena_alloc(arena, 0));
    arena_free(arena);
    arena_free(NULL);
}
END_TEST

#if defined(__SANITIZE_ADDRESS__)
#include <sanitizer/asan_interface.h>

START_TEST(arena_has_red_zones)
{
    Arena *arena = arena_new();
    ArenaMark mark = arena_mark(arena);
    char *piece = arena_alloc(arena, 13);
    char *next = arena_alloc(arena, 32);
    ck_assert(!__asan_address_is_poisoned(piece + 12));
    ck_assert(__asan_address_is_poisoned(piece + 13));
    ck_assert(__asan_address_is_poisoned(next - 1));
    ck_assert(__asan_address_is_poisoned(next + 32));
    arena_reset(arena, mark);
    ck_assert(__asan_address_is_poisoned(piece));
    arena_free(arena);
}
END_TEST
#endif

START_TEST(arena_grows_past_its_blocks)
{
    Arena *arena = arena_new();
    size_t sizes[] = {16 * 1024, 1, 3 * 1024 * 1024, 7, 1024 * 1024, 100};
    unsigned char *pieces[6];
    for (int i = 0; i < 6; i++) {
        pieces[i] = arena_alloc(arena, sizes[i]);
        memset(pieces[i], i + 1, sizes[i]);
    }
    for (int i = 0; i < 6; i++) {
        ck_assert_uint_eq(pieces[i][0], (unsigned)i + 1);
        ck_assert_uint_eq(pieces[i][sizes[i] - 1], (unsigned)i + 1);
    }
    ck_assert_uint_ge(arena_used(arena), 4 * 1024 * 1024);
    arena_free(arena);
}
END_TEST

START_TEST(arena_goes_back_to_a_mark)
{
    Arena *arena = arena_new();
    ArenaMark empty = arena_mark(arena);
    char *kept = arena_alloc(arena, 100);
    memset(kept, 'k', 100);
    ArenaMark mark = arena_mark(arena);
    size_t used = arena_used(arena);
    for (int round = 0; round < 50; round++) {
        for (int i = 0; i < 40; i++) {
            unsigned char *piece = arena_alloc(arena, 5000);
            ck_assert_uint_eq(piece[4999], 0); /* memory that is used again is zeroed again */
            memset(piece, 0xee, 5000);
        }
        ck_assert_uint_gt(arena_used(arena), used);
        arena_reset(arena, mark);
        ck_assert_uint_eq(arena_used(arena), used);
        ck_assert_int_eq(kept[99], 'k');
    }
    arena_reset(arena, empty);
    ck_assert_uint_eq(arena_used(arena), 0);
    arena_free(arena);
}
END_TEST

/* Runs a function in a child and gives its exit status and what it wrote to standard error. */
static int run_child(void (*function)(void), char *words, size_t size)
{
    int ends[2];
    ck_assert_int_eq(pipe(ends), 0);
    fflush(NULL);
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        dup2(ends[1], STDERR_FILENO);
        function();
        _exit(0);
    }
    close(ends[1]);
    ssize_t len = read(ends[0], words, size - 1);
    words[len < 0 ? 0 : len] = '\0';
    close(ends[0]);
    int status = 0;
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static Arena
    *volatile asked; /* not on the stack, where valgrind takes it for lost at the child's end */

static void ask_for_too_much(void)
{
    asked = arena_new();
    (void)arena_alloc_raw(asked, SIZE_MAX / 2 + 1);
}

static void ask_for_too_many(void)
{
    asked = arena_new();
    (void)arena_alloc_array(asked, SIZE_MAX / 4, 8); /* the product wraps to a small one */
}

START_TEST(arena_ends_the_process_when_memory_is_refused)
{
    char words[200];
    ck_assert_int_eq(run_child(ask_for_too_much, words, sizeof words), 71); /* EX_OSERR */
    ck_assert_str_eq(words, "shall: the system has no more memory\n");
    ck_assert_int_eq(run_child(ask_for_too_many, words, sizeof words), 71);
    ck_assert_str_eq(words, "shall: the system has no more memory\n");
}
END_TEST

START_TEST(texts_compare_and_cut)
{
    Arena *arena = arena_new();
    ck_text(text_of(NULL), "");
    ck_assert(text_equal(TEXT(""), (Text){NULL, 0}));
    ck_assert(!text_equal(TEXT("ab"), TEXT("abc")));
    ck_assert_int_eq(text_order(TEXT("ab"), TEXT("abc")), -1);
    ck_assert_int_eq(text_order(TEXT("abc"), TEXT("ab")), 1);
    ck_assert_int_eq(text_order(TEXT("abc"), TEXT("abc")), 0);
    ck_assert_int_eq(text_order(TEXT("Z"), TEXT("a")), -1);
    ck_assert_int_eq(text_order(TEXT("\xff"), TEXT("a")), 1); /* bytes are unsigned */
    ck_assert(text_starts(TEXT("section"), TEXT("sect")));
    ck_assert(!text_starts(TEXT("sec"), TEXT("sect")));
    ck_assert(text_ends(TEXT("a.shall"), TEXT(".shall")));
    ck_assert(!text_ends(TEXT("shall"), TEXT(".shall")));
    ck_assert(text_ends(TEXT("x"), TEXT("")));
    ck_text(text_trim(TEXT(" \t\r\n\v\f x y \n")), "x y");
    ck_text(text_trim(TEXT(" \n ")), "");
    char *string = text_string(arena, (Text){"abcdef", 3});
    ck_assert_str_eq(string, "abc");
    ck_text(text_copy(arena, TEXT("same")), "same");
    arena_free(arena);
}
END_TEST

START_TEST(ascii_classes_know_ascii_only)
{
    for (int i = 0; i < 256; i++) {
        char c = (char)i;
        bool upper = i >= 'A' && i <= 'Z';
        ck_assert_int_eq(ascii_is_digit(c), strchr("0123456789", i) != NULL && i != 0);
        ck_assert_int_eq(ascii_is_letter(c), upper || (i >= 'a' && i <= 'z'));
        ck_assert_int_eq(ascii_is_space(c), strchr(" \t\n\v\f\r", i) != NULL && i != 0);
        ck_assert_int_eq(ascii_lower(c), upper ? (char)(i + 32) : c);
    }
}
END_TEST

/* From the tables of well-formed byte sequences in the Unicode Standard (3.9, table 3-7). */
START_TEST(utf8_tells_good_from_bad)
{
    static const char *const good[] = {"",
                                       "abc",
                                       "\x7f",
                                       "\xc2\x80",
                                       "\xdf\xbf",
                                       "\xe0\xa0\x80",
                                       "\xed\x9f\xbf",
                                       "\xee\x80\x80",
                                       "\xef\xbf\xbd",
                                       "\xef\xbf\xbf",
                                       "\xf0\x90\x80\x80",
                                       "\xf4\x8f\xbf\xbf"};
    static const struct {
        const char *bytes;
        size_t bad;
        size_t count;
    } wrong[] = {{"\x80", 0, 1},
                 {"a\xc0\xaf", 1, 3},
                 {"\xc1\xbf", 0, 2},
                 {"ab\xe0\x80\x80", 2, 5},
                 {"\xe0\x9f\xbf", 0, 3},
                 {"\xed\xa0\x80", 0, 3},
                 {"\xf0\x8f\xbf\xbf", 0, 4},
                 {"\xf4\x90\x80\x80", 0, 4},
                 {"\xf5\x80\x80\x80", 0, 4},
                 {"\xc3", 0, 1},
                 {"\xc3\x28", 0, 2},
                 {"\xe2\x82", 0, 2},
                 {"\xf0\x9f\x98", 0, 3},
                 {"\xff", 0, 1}};
    size_t bad = 0;
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        ck_assert_msg(utf8_valid(text_of(good[i]), &bad), "good %zu", i);
    }
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        Text text = text_of(wrong[i].bytes);
        ck_assert_msg(!utf8_valid(text, &bad), "wrong %zu", i);
        ck_assert_uint_eq(bad, wrong[i].bad);
        ck_assert_uint_eq(utf8_count(text), wrong[i].count);
    }
    uint32_t code = 0;
    ck_assert_uint_eq(utf8_next(TEXT("x\xc2\xbd"), 1, &code), 2);
    ck_assert_uint_eq(code, 0xbd);
}
END_TEST

START_TEST(utf8_counts_and_widths)
{
    ck_assert_uint_eq(utf8_count(TEXT("7\xe2\x80\xb2 6\xc2\xbd\xe2\x80\xb3")), 6);
    ck_assert_uint_eq(utf8_width(TEXT("7\xe2\x80\xb2 6\xc2\xbd\xe2\x80\xb3")), 6);
    ck_assert_uint_eq(utf8_width(TEXT("e\xcc\x81")), 1);                /* e, combining acute */
    ck_assert_uint_eq(utf8_width(TEXT("\xe6\xbc\xa2\xe5\xad\x97")), 4); /* two ideographs */
    ck_assert_uint_eq(utf8_width(TEXT("\xf0\x9f\x9a\x9a")), 2);         /* delivery truck */
    ck_assert_uint_eq(utf8_width(TEXT("\xe2\x80\x8b")), 0);             /* zero width space */
    ck_assert_uint_eq(utf8_width(TEXT("\xef\xbc\xa1")), 2);             /* full-width A */
    ck_assert_uint_eq(utf8_width(TEXT("\xff")), 1);
    ck_assert_uint_eq(utf8_width(TEXT("")), 0);
}
END_TEST

/* The definition of the distance, without a table: by the last letters. */
static size_t plain_distance(const char *a, size_t m, const char *b, size_t n)
{
    if (m == 0 || n == 0) {
        return m + n;
    }
    size_t best = plain_distance(a, m - 1, b, n - 1) + (a[m - 1] != b[n - 1]);
    size_t other = plain_distance(a, m - 1, b, n) + 1;
    best = other < best ? other : best;
    other = plain_distance(a, m, b, n - 1) + 1;
    best = other < best ? other : best;
    if (m > 1 && n > 1 && a[m - 1] == b[n - 2] && a[m - 2] == b[n - 1]) {
        other = plain_distance(a, m - 2, b, n - 2) + 1;
        best = other < best ? other : best;
    }
    return best;
}

START_TEST(distances_follow_their_definition)
{
    uint32_t state = 7;
    for (int round = 0; round < 1500; round++) {
        char a[8];
        char b[8];
        size_t m = next_random(&state) % 7;
        size_t n = next_random(&state) % 7;
        for (size_t i = 0; i < 7; i++) {
            a[i] = (char)('a' + next_random(&state) % 3);
            b[i] = (char)('a' + next_random(&state) % 3);
        }
        size_t expected = plain_distance(a, m, b, n);
        for (size_t limit = 0; limit < 5; limit++) {
            size_t found = text_distance((Text){a, m}, (Text){b, n}, limit);
            ck_assert_uint_eq(found, expected > limit ? limit + 1 : expected);
        }
    }
    char lengthy[200];
    memset(lengthy, 'x', sizeof lengthy);
    ck_assert_uint_eq(text_distance((Text){lengthy, 200}, (Text){lengthy, 200}, 3), 0);
    ck_assert_uint_eq(text_distance((Text){lengthy, 200}, (Text){lengthy, 199}, 3), 4);
}
END_TEST

START_TEST(nearest_word_is_found)
{
    const Text words[] = {TEXT("clear_width"), TEXT("clear_height"), TEXT("use"), TEXT("Btu")};
    ck_assert_int_eq(text_nearest(TEXT("claer_width"), words, 4), 0);
    ck_assert_int_eq(text_nearest(TEXT("clear_hieght"), words, 4), 1);
    ck_assert_int_eq(text_nearest(TEXT("uses"), words, 4), 2);
    ck_assert_int_eq(text_nearest(TEXT("BTU"), words, 4), 3); /* differs in case only */
    ck_assert_int_eq(text_nearest(TEXT("depth"), words, 4), -1);
    ck_assert_int_eq(text_nearest(TEXT(""), words, 4), -1);
    ck_assert_int_eq(text_nearest(TEXT("use"), words, 0), -1);
}
END_TEST

START_TEST(buffers_build_texts)
{
    Arena *arena = arena_new();
    Buffer buffer = buffer_make(arena);
    ck_text(buffer_done(&buffer), "");
    buffer_spaces(&buffer, 3);
    buffer_string(&buffer, "ab");
    Text early = buffer_done(&buffer);
    for (int i = 0; i < 1000; i++) {
        buffer_char(&buffer, 'c');
    }
    buffer_text(&buffer, (Text){NULL, 0});
    ck_text(early, "   ab"); /* growing leaves what was handed out alone */
    ck_assert_uint_eq(buffer_done(&buffer).len, 1005);
    buffer_format(&buffer, "%0500d%s", 7, "end");
    Text whole = buffer_done(&buffer);
    ck_assert_uint_eq(whole.len, 1508);
    ck_assert(text_ends(whole, TEXT("0007end")));
    ck_text(text_format(arena, "%.*s of %d", TEXT_ARG(TEXT("two")), 3), "two of 3");
    ck_text(text_format(arena, "%s", ""), "");
    for (size_t len = 20; len < 100; len++) { /* every length about the first room */
        Text text = text_format(arena, "%*d", (int)len, 5);
        ck_assert_uint_eq(text.len, len);
        ck_assert_int_eq(text.data[len - 1], '5');
    }
    arena_free(arena);
}
END_TEST

START_TEST(names_are_one_pointer_each)
{
    enum { COUNT = 5000 };
    Arena *arena = arena_new();
    Names *names = names_new(arena);
    static const Name *known[COUNT];
    for (int i = 0; i < COUNT; i++) {
        Text text = text_format(arena, "name_%d", i);
        ck_assert_ptr_null(names_find(names, text));
        known[i] = names_intern(names, text);
        ck_text(known[i]->text, text_string(arena, text));
    }
    for (int i = 0; i < COUNT; i++) {
        Text text = text_format(arena, "name_%d", i);
        ck_assert_ptr_eq(names_find(names, text), known[i]);
        ck_assert_ptr_eq(names_intern(names, text), known[i]);
        ck_assert(i == 0 || known[i] != known[i - 1]);
    }
    const Name *one = names_intern(names, TEXT("declinate")); /* one FNV-1a hash for both */
    const Name *two = names_intern(names, TEXT("macallums"));
    ck_assert_uint_eq(one->hash, two->hash);
    ck_assert_ptr_ne(one, two);
    ck_assert_ptr_eq(names_find(names, TEXT("macallums")), two);
    const Name *empty = names_intern(names, TEXT(""));
    ck_assert_ptr_eq(names_intern(names, (Text){NULL, 0}), empty);
    char changing[] = "abc";
    const Name *copied = names_intern(names, text_of(changing));
    changing[0] = 'x';
    ck_text(copied->text, "abc");
    arena_free(arena);
}
END_TEST

START_TEST(maps_hold_what_was_put)
{
    enum { KEYS = 700 };
    Arena *arena = arena_new();
    Map *map = map_new(arena);
    static int keys[KEYS];
    static void *expected[KEYS];
    uint32_t state = 11;
    for (int i = 0; i < KEYS; i++) {
        expected[i] = NULL;
    }
    for (int round = 0; round < 5000; round++) {
        size_t i = next_random(&state) % KEYS;
        void *value = &keys[next_random(&state) % KEYS];
        ck_assert_ptr_eq(map_get(map, &keys[i]), expected[i]);
        ck_assert_ptr_eq(map_put(map, &keys[i], value), expected[i]);
        expected[i] = value;
    }
    for (int i = 0; i < KEYS; i++) {
        ck_assert_ptr_eq(map_get(map, &keys[i]), expected[i]);
    }
    arena_free(arena);
}
END_TEST

static void check_position(const Source *source, uint32_t offset, Position expected)
{
    Position found = source_position(source, offset);
    ck_assert_msg(found.line == expected.line && found.column == expected.column &&
                      found.utf16_column == expected.utf16_column,
                  "offset %u: %u:%u:%u", offset, found.line, found.column, found.utf16_column);
}

START_TEST(sources_know_lines_and_columns)
{
    Arena *arena = arena_new();
    /* 0:a 1:CR 2:LF 3-4:half 5-8:truck 9:z 10:LF 11:LF 12:e */
    Text bytes = TEXT("a\r\n\xc2\xbd\xf0\x9f\x9a\x9az\n\ne");
    const Source *source = source_of(arena, TEXT("x.shall"), bytes);
    ck_assert_uint_eq(source->line_count, 4);
    ck_assert_int_eq(source->bytes.data[bytes.len], 0);
    ck_assert_int_eq(source->bytes.data[bytes.len + 1], 0);
    ck_text(source_line(source, 1), "a");
    ck_text(source_line(source, 2), "\xc2\xbd\xf0\x9f\x9a\x9az");
    ck_text(source_line(source, 3), "");
    ck_text(source_line(source, 4), "e");
    ck_text(source_line(source, 0), "");
    ck_text(source_line(source, 5), "");
    check_position(source, 0, (Position){1, 1, 1});
    check_position(source, 2, (Position){1, 3, 3});
    check_position(source, 3, (Position){2, 1, 1});
    check_position(source, 5, (Position){2, 2, 2});
    check_position(source, 9, (Position){2, 3, 4}); /* the truck is two UTF-16 units */
    check_position(source, 11, (Position){3, 1, 1});
    check_position(source, 13, (Position){4, 2, 2});
    check_position(source, 999, (Position){4, 2, 2});
    Place place = {source, {3, 5}};
    ck_text(place_text(place), "\xc2\xbd");
    ck_text(place_text((Place){NULL, {0, 4}}), "");
    ck_text(place_text((Place){source, {12, 99}}), "e");
    Span joined = span_join((Span){3, 5}, (Span){1, 4});
    ck_assert(joined.start == 1 && joined.end == 5);
    const Source *empty = source_of(arena, TEXT("e"), TEXT(""));
    ck_assert_uint_eq(empty->line_count, 1);
    check_position(empty, 0, (Position){1, 1, 1});
    arena_free(arena);
}
END_TEST

/* A new file of the given bytes; the caller removes it. */
static void make_file(char *path, const char *bytes, size_t len)
{
    strcpy(path, "/tmp/shall_test_XXXXXX");
    int file = mkstemp(path);
    ck_assert_int_ge(file, 0);
    ck_assert_int_eq(write(file, bytes, len), (ssize_t)len);
    close(file);
}

START_TEST(sources_are_read_whole)
{
    Arena *arena = arena_new();
    char path[64];
    Text reason = TEXT("");
    make_file(path, "one\ntwo\0three", 13);
    const Source *source = source_read(arena, path, &reason);
    ck_assert_ptr_nonnull(source);
    ck_assert_uint_eq(source->bytes.len, 13); /* a zero byte is a byte */
    ck_text(source->path, path);
    ck_assert_int_eq(truncate(path, SOURCE_MAX_BYTES), 0);
    source = source_read(arena, path, &reason);
    ck_assert_ptr_nonnull(source);
    ck_assert_uint_eq(source->bytes.len, SOURCE_MAX_BYTES);
    ck_assert_int_eq(truncate(path, SOURCE_MAX_BYTES + 1), 0);
    ck_assert_ptr_null(source_read(arena, path, &reason));
    ck_text(reason, "larger than 16 MiB");
    unlink(path);
    ck_assert_ptr_null(source_read(arena, path, &reason));
    ck_text(reason, "No such file or directory");
    ck_assert_ptr_null(source_read(arena, "/tmp", &reason));
    ck_text(reason, "Is a directory");
    arena_free(arena);
}
END_TEST

static char pipe_path[64]; /* for the two processes at its ends */

/* Ends with 0 when standard input, a pipe of 300,000 bytes, was read whole. */
static void read_standard_input(void)
{
    FILE *input = freopen(pipe_path, "r", stdin);
    Arena *arena = arena_new();
    Text reason = TEXT("");
    const Source *source = input == NULL ? NULL : source_read(arena, "-", &reason);
    int status = source == NULL || source->bytes.len != 300000 ||
                 source->bytes.data[299999] != 'x' || !text_equal(source->path, TEXT("-"));
    arena_free(arena);
    _exit(status);
}

START_TEST(standard_input_is_read_through_a_pipe)
{
    char words[100];
    char folder[] = "/tmp/shall_test_XXXXXX";
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(pipe_path, sizeof pipe_path, "%s/input", folder);
    ck_assert_int_eq(mkfifo(pipe_path, 0600), 0);
    fflush(NULL);
    pid_t writer = fork();
    if (writer == 0) {
        FILE *file = fopen(pipe_path, "w");
        for (int i = 0; file != NULL && i < 300000; i++) {
            fputc('x', file);
        }
        _exit(file == NULL || fclose(file) != 0);
    }
    ck_assert_int_eq(run_child(read_standard_input, words, sizeof words), 0);
    int status = 1;
    ck_assert_int_eq(waitpid(writer, &status, 0), writer);
    ck_assert_int_eq(status, 0);
    unlink(pipe_path);
    rmdir(folder);
}
END_TEST

START_TEST(diagnostics_keep_messages_and_notes)
{
    Arena *arena = arena_new();
    Diagnostics diags = diagnostics_make(arena);
    const Source *source = source_of(arena, TEXT("a.shall"), TEXT("one two"));
    Diagnostic *error = diagnostic_error(&diags, "unknown fact", (Place){source, {4, 7}},
                                         "no fact is called '%s'", "two");
    diagnostic_note(&diags, error, (Place){source, {0, 3}}, "first %s", "here");
    diagnostic_note(&diags, error, (Place){NULL, {0, 0}}, "did you mean '%s'?", "one");
    Diagnostic *warning =
        diagnostic_warning(&diags, "unused name", (Place){source, {0, 3}}, "%d", 5);
    ck_assert_uint_eq(diags.errors, 1);
    ck_assert_uint_eq(diags.warnings, 1);
    ck_assert_ptr_eq(diags.first, error);
    ck_assert_ptr_eq(diags.last, warning);
    ck_text(error->message, "no fact is called 'two'");
    ck_assert_str_eq(error->name, "unknown fact");
    ck_assert_int_eq(warning->severity, SEVERITY_WARNING);
    ck_text(error->notes->message, "first here");
    ck_assert_int_eq(error->notes->severity, SEVERITY_NOTE);
    ck_text(error->notes->next->message, "did you mean 'one'?");
    ck_assert_ptr_null(error->notes->next->next);
    arena_free(arena);
}
END_TEST

START_TEST(diagnostics_are_sorted_and_said_once)
{
    Arena *arena = arena_new();
    Diagnostics diags = diagnostics_make(arena);
    diagnostics_sort(&diags);
    ck_assert_ptr_null(diags.first);
    const Source *a = source_of(arena, TEXT("a"), TEXT("0123456789"));
    const Source *b = source_of(arena, TEXT("b"), TEXT("0123456789"));
    diagnostic_error(&diags, "x", (Place){b, {1, 2}}, "5");
    diagnostic_error(&diags, "y", (Place){a, {3, 4}}, "3");
    diagnostic_warning(&diags, "x", (Place){a, {3, 4}}, "2");
    diagnostic_error(&diags, "y", (Place){a, {3, 4}}, "4");
    diagnostic_error(&diags, "x", (Place){a, {1, 2}}, "1");
    diagnostic_error(&diags, "y", (Place){a, {3, 4}}, "3"); /* said before, not just before */
    diagnostic_error(&diags, "x", (Place){NULL, {0, 0}}, "0");
    diagnostic_warning(&diags, "x", (Place){b, {1, 2}}, "6"); /* another severity */
    diagnostics_sort(&diags);
    int count = 0;
    for (Diagnostic *diag = diags.first; diag != NULL; diag = diag->next, count++) {
        ck_assert_int_eq(diag->message.data[0], '0' + count);
        ck_assert(diag->next != NULL || diags.last == diag);
    }
    ck_assert_int_eq(count, 7);
    ck_assert_uint_eq(diags.errors, 5);
    ck_assert_uint_eq(diags.warnings, 2);
    arena_free(arena);
}
END_TEST

START_TEST(sorting_is_stable)
{
    Arena *arena = arena_new();
    Diagnostics diags = diagnostics_make(arena);
    const Source *source = source_of(arena, TEXT("a"), TEXT("0123456789"));
    uint32_t state = 3;
    for (int i = 0; i < 2000; i++) {
        uint32_t at = next_random(&state) % 9;
        diagnostic_error(&diags, "x", (Place){source, {at, at + 1}}, "%d", i);
    }
    diagnostics_sort(&diags);
    int count = 1;
    for (Diagnostic *diag = diags.first; diag->next != NULL; diag = diag->next, count++) {
        uint32_t here = diag->place.span.start;
        uint32_t there = diag->next->place.span.start;
        ck_assert_uint_le(here, there);
        ck_assert(here < there || atoi(text_string(arena, diag->message)) <
                                      atoi(text_string(arena, diag->next->message)));
    }
    ck_assert_int_eq(count, 2000);
    arena_free(arena);
}
END_TEST

Suite *base_suite(void)
{
    const TTest *const tests[] = {arena_gives_zeroed_aligned_memory,
                                  arena_grows_past_its_blocks,
                                  arena_goes_back_to_a_mark,
                                  arena_ends_the_process_when_memory_is_refused,
                                  texts_compare_and_cut,
                                  ascii_classes_know_ascii_only,
                                  utf8_tells_good_from_bad,
                                  utf8_counts_and_widths,
                                  distances_follow_their_definition,
                                  nearest_word_is_found,
                                  buffers_build_texts,
                                  names_are_one_pointer_each,
                                  maps_hold_what_was_put,
                                  sources_know_lines_and_columns,
                                  sources_are_read_whole,
                                  standard_input_is_read_through_a_pipe,
                                  diagnostics_keep_messages_and_notes,
                                  diagnostics_are_sorted_and_said_once,
                                  sorting_is_stable};
    TCase *tcase = tcase_create("base");
#if defined(__SANITIZE_ADDRESS__)
    tcase_add_test(tcase, arena_has_red_zones);
#endif
    tcase_set_timeout(tcase, 60);
    for (size_t i = 0; i < sizeof tests / sizeof tests[0]; i++) {
        tcase_add_test(tcase, tests[i]);
    }
    Suite *suite = suite_create("base");
    suite_add_tcase(suite, tcase);
    return suite;
}
