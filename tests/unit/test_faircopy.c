/* syntax/: the fair copy. Its form is that of the examples of docs/language.md; that it parses to
 * the same tree, is its own fair copy and keeps every comment is checked of each. */
#include "syntax_read.h"

typedef struct Copy {
    const char *messy; /* clauses of a section */
    const char *fair;
} Copy;

static const Copy COPIES[] = {
    /* bodies under one another, two columns after the longest word */
    {"topic a.b each   o of openings\nshall o.width<=24 in remedy \"x\"",
     "    topic   a.b\n"
     "    each    o of openings\n"
     "    shall   o.width <= 24 in\n"
     "    remedy  \"x\"\n"},
    /* defines and labels that follow one another are aligned, a blank line parts them */
    {"define a=1\ndefine abc = 2\n\n\ndefine b = 3\nshall w: a\nshall height:b",
     "    define  a   = 1\n"
     "    define  abc = 2\n"
     "\n"
     "    define  b = 3\n"
     "    shall   w:      a\n"
     "    shall   height: b\n"},
    {"shall any of\na\nall of\n b\n c end\nend, if provided", "    shall  any of\n"
                                                              "             a\n"
                                                              "             all of\n"
                                                              "               b\n"
                                                              "               c\n"
                                                              "             end\n"
                                                              "           end, if provided\n"},
    {"except where a by \"1\" unless b shall c\nshall not d", "    except  where a  by \"1\"\n"
                                                              "            unless b\n"
                                                              "            shall c\n"
                                                              "            shall not d\n"},
    {"reading one define a = 1 reading three define a = 3", "    reading  one    define a = 1\n"
                                                            "    reading  three  define a = 3\n"},
    {"each pair a, b of c where d\nat   the discretion of \"o\" \"what\"",
     "    each pair a, b of c where d\n"
     "    at the discretion of \"o\"  \"what\"\n"},
    /* parentheses stay as written, blanks within a quantity become single */
    {"shall ((a + b)) > 7  ft   6-1/2 in and (c)", "    shall  (a + b) > 7 ft 6-1/2 in and (c)\n"},
    {"shall - 3 in < --c\n -a", "    shall  - 3 in  --c\n             < -a\n"},
    {"shall a is absent or b is present and - -c > - 5",
     "    shall  a is none or b is not none and - -c > - 5\n"},
    /* long lines break before an operator, or after what asks for more */
    {"shall aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa >= bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb + "
     "cccccccccccccccccccccccccccccc",
     "    shall  aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\n"
     "             >= bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb + cccccccccccccccccccccccccccccc\n"},
    {"define a = total of t.cccccccccccccccccccccccccccccccccc for t of tanks where t.dddddddddd "
     "is "
     "eeeeeeeeeeeeeeeeeeee, or 0 gal if none",
     "    define  a = total of t.cccccccccccccccccccccccccccccccccc for t of tanks\n"
     "                where t.dddddddddd is eeeeeeeeeeeeeeeeeeee, or 0 gal if none\n"},
    {"when aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa is yes and bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb is no "
     "and "
     "ccccccccccccccccc > 3 in",
     "    when  aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa is yes\n"
     "          and bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb is no\n"
     "          and ccccccccccccccccc > 3 in\n"},
    {"shall every uuuuuuuuuuuuuuuuuuuuuuuu of utensilssssssssssssssssssss, at least one: "
     "cccccccccccccccccccccc holds uuuuuuuuuuuuuuuuuuuuuuuu",
     "    shall  every uuuuuuuuuuuuuuuuuuuuuuuu of utensilssssssssssssssssssss, at least one:\n"
     "             cccccccccccccccccccccc holds uuuuuuuuuuuuuuuuuuuuuuuu\n"},
    {"shall max(aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa, "
     "bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb, "
     "ccccccccccc)",
     "    shall  max(aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa,\n"
     "               bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb,\n"
     "               ccccccccccc)\n"},
    /* comments stay where they are */
    {"-- before\nshall a -- beside\n\n-- apart\n\nshall b -- last", "    -- before\n"
                                                                    "    shall  a  -- beside\n"
                                                                    "\n"
                                                                    "    -- apart\n"
                                                                    "\n"
                                                                    "    shall  b  -- last\n"},
    {"shall any of -- first\n -- of a\n a -- of b\n b\n -- of the end\nend",
     "    shall  any of  -- first\n"
     "             -- of a\n"
     "             a  -- of b\n"
     "             b\n"
     "             -- of the end\n"
     "           end\n"},
    {"when a -- why a\n and b -- why b\n or c", "    when  a  -- why a\n"
                                                "          and b  -- why b\n"
                                                "          or c\n"},
};

START_TEST(clauses_are_copied_in_the_standard_form)
{
    Arena *arena = arena_new();
    Read read = read_bytes(in_section(arena, COPIES[_i].messy));
    expect_clean(&read, COPIES[_i].messy);
    Text copy = check_copy(&read);
    Text fair =
        text_format(arena, "code c edition 1\n  section \"1\"\n%s  end\nend\n", COPIES[_i].fair);
    ck_assert_msg(text_equal(copy, fair), "expected\n%.*s\nfound\n%.*s", TEXT_ARG(fair),
                  TEXT_ARG(copy));
    read_free(&read);
    arena_free(arena);
}
END_TEST

/* L is a name of forty letters: each of these needs more than a line. */
static const char *const LONG[] = {
    "not (L or L and L)",
    "-(L + L - L)",
    "L x L x L holds L",
    "L among (L, L, L)",
    "L + L within 1/8 in of L * L / L",
    "L if L and L otherwise L",
    "round up to 1 of L * L + L > 2",
    "round to nearest 1 of L + L + L half even = 3",
    "every a of L where L and L, at least one: L",
    "some a of those b of L where L or L, at least 3: L",
    "(L, or L + L if none) > 3",
    "15% of (L + L + L) > 3",
    "(first a of L where L by L) is L",
    "(least of L for a of L) > 3 and (greatest of L for a of L where L or L) < 4",
    "L holds L + L in any orientation",
    "not any of\n L is L\n L\nend",
    "(L or L or L) is none",
    "L covers L and L overlaps L",
    "gap between L and L > (overhang of L beyond L)",
    "max(L, min(L, L), -any of\n L\n L\nend) > 4",
    "approval of \"L L L\"",
    "(L that L covers) is L",
};

START_TEST(what_is_too_long_is_broken_where_it_may_be)
{
    enum { NAME_LEN = 40, BEHIND = 20 };
    Arena *arena = arena_new();
    Buffer text = buffer_make(arena);
    buffer_string(&text, "shall ");
    unsigned number = 0;
    for (const char *at = LONG[_i]; *at != '\0'; at++) {
        if (*at == 'L') {
            buffer_format(&text, "name_%02u_%0*u", number++, NAME_LEN - 8, 0U);
        } else {
            buffer_char(&text, *at);
        }
    }
    buffer_string(&text, ", or 12 in if none");
    Read read = read_bytes(in_section(arena, text_string(arena, buffer_done(&text))));
    expect_clean(&read, LONG[_i]);
    Text copy = check_copy(&read);
    size_t start = 0;
    size_t longest = 0;
    for (size_t i = 0; i < copy.len; i++) {
        if (copy.data[i] == '\n') {
            longest = i - start > longest ? i - start : longest;
            start = i + 1;
        }
    }
    bool is_leaf = strstr(LONG[_i], "gap") != NULL || strstr(LONG[_i], "approval") != NULL ||
                   strstr(LONG[_i], "covers") != NULL;
    ck_assert_msg(is_leaf || longest <= 100 + BEHIND, "a line of %zu columns in\n%.*s", longest,
                  TEXT_ARG(copy));
    read_free(&read);
    arena_free(arena);
}
END_TEST

static const Copy FILES[] = {
    {"", ""},
    {"-- alone", "-- alone\n"},
    {"vocabulary v\n\nchoice cc one of a, b\nchoice d one of a<b\nrecord r key_name text key\n"
     "w length at least 0 in always present ask \"How wide?\" end\nfact f r\nend",
     "vocabulary v\n"
     "\n"
     "  choice cc  one of a, b\n"
     "  choice d   one of a < b\n"
     "\n"
     "  record r\n"
     "    key_name  text    key\n"
     "    w         length  always present  at least 0 in  ask \"How wide?\"\n"
     "  end\n"
     "\n"
     "  fact f  r\n"
     "end\n"},
    {"code c edition 1\ntitle \"T\" publisher \"P\"\ntable t by duty , style exact in cfm/ft cites "
     "\"5\"\n"
     "wall double\nlight 200   1,400 -- why\nextra_heavy none 3\notherwise 4\nend\n"
     "table u by k\n8<k<=10 1\n25..49\tx\nend end",
     NULL},
    {"code c edition 1\ntitle \"T\" publisher \"P\"\ntable t by duty , style exact in cfm/ft cites "
     "\"5\"\n"
     "wall double\nlight 200   1,400 -- why\nextra_heavy none 3\notherwise 4\nend\n"
     "table u by k\n8<k<=10 1\n25 .. 49\tx\nend end",
     "code c edition 1\n"
     "  title      \"T\"\n"
     "  publisher  \"P\"\n"
     "\n"
     "  table t by duty, style exact in cfm/ft  cites \"5\"\n"
     "                 wall  double\n"
     "    light         200   1,400  -- why\n"
     "    extra_heavy  none       3\n"
     "    otherwise 4\n"
     "  end\n"
     "\n"
     "  table u by k\n"
     "    8 < k <= 10  1\n"
     "    25 .. 49     x\n"
     "  end\n"
     "end\n"},
    {"code c edition \"a b\" worked example \"x\" from \"s.yaml\" with a = 1 on 2025-01-01\n"
     "unit has a = [{b:1,c:{d: e}},[ ]],b=\"q\\\"\"\nfinds \"1\" l for \"x\" complies,limit 3 in, "
     "measured 4 in end end",
     "code c edition \"a b\"\n"
     "  worked example \"x\" from \"s.yaml\" with a = 1 on 2025-01-01\n"
     "    unit has  a = [ { b: 1, c: { d: e } }, [] ], b = \"q\\\"\"\n"
     "    finds     \"1\" l for \"x\" complies, measured 4 in, limit 3 in\n"
     "  end\n"
     "end\n"},
    {"jurisdiction j \"J\" adopts c edition 1 in force from 2025-01-01 by \"x\"\ndelete \"1\"\n"
     "amend \"2\" to read shall a end lapses\ndelete \"3\" carries over to \"4\"\nend",
     "jurisdiction j \"J\"\n"
     "  adopts c edition 1  in force from 2025-01-01  by \"x\"\n"
     "    delete \"1\"\n"
     "\n"
     "    amend \"2\" to read\n"
     "      shall  a\n"
     "    end  lapses\n"
     "\n"
     "    delete \"3\"  carries over to \"4\"\n"
     "end\n"},
};

START_TEST(files_are_copied_in_the_standard_form)
{
    Read read = read_text(FILES[_i].messy);
    if (FILES[_i].fair == NULL) {
        ck_assert_uint_gt(read.diags.errors, 0); /* what the next one mends */
    } else {
        expect_clean(&read, FILES[_i].messy);
        Text copy = check_copy(&read);
        ck_assert_msg(text_equal(copy, text_of(FILES[_i].fair)), "expected\n%s\nfound\n%.*s",
                      FILES[_i].fair, TEXT_ARG(copy));
    }
    read_free(&read);
}
END_TEST

START_TEST(every_production_is_copied)
{
    Arena *arena = arena_new();
    Read read = read_bytes(file_text(arena, EVERYTHING));
    Text copy = check_copy(&read);
    size_t line = 0;
    for (size_t i = 0; i < copy.len; i++) {
        ck_assert_msg(copy.data[i] != '\n' || i == 0 || copy.data[i - 1] != ' ',
                      "a blank at the end of a line: %.*s", (int)(i - line), copy.data + line);
        line = copy.data[i] == '\n' ? i + 1 : line;
    }
    read_free(&read);
    arena_free(arena);
}
END_TEST

/* Comments and line ends put in anywhere: where the text stays sound, its copy is stable, and no
 * comment is lost or changes its turn. */
static Text comments_of(Arena *arena, const FileTree *file)
{
    Buffer out = buffer_make(arena);
    for (size_t i = 0; i < file->comment_count; i++) {
        Text text = place_text((Place){file->source, file->comments[i].span});
        for (size_t at = 0; at < text.len; at++) {
            if (!ascii_is_space(text.data[at]) && text.data[at] != '-') {
                buffer_char(&out, text.data[at]);
            }
        }
    }
    return buffer_done(&out);
}

static Text disturbed(Arena *arena, Text text, uint32_t *random)
{
    static const char *const put_in[] = {"\n", "\n\n", "   ", "\n-- own\n", "-- beside %u\n", "\t"};
    enum { PUT_IN = sizeof put_in / sizeof put_in[0], ONE_IN = 60 };
    Buffer out = buffer_make(arena);
    for (size_t at = 0; at < text.len;) {
        size_t next = token_end(text, at);
        buffer_text(&out, (Text){text.data + at, next - at});
        *random = *random * 1664525U + 1013904223U;
        if (ascii_is_space(text.data[at]) && (*random >> 16) % ONE_IN == 0) {
            buffer_string(&out, put_in[(*random >> 8) % PUT_IN]);
        }
        at = next;
    }
    return buffer_done(&out);
}

START_TEST(comments_and_lines_anywhere_keep_the_copy_stable)
{
    enum { VARIANTS = 40 };
    Arena *arena = arena_new();
    Text text = file_text(arena, EVERYTHING);
    uint32_t random = (uint32_t)_i + 1;
    unsigned sound = 0;
    for (int variant = 0; variant < VARIANTS; variant++) {
        Read read = read_bytes(disturbed(arena, text, &random));
        if (read.diags.errors == 0) {
            sound++;
            Text copy = check_copy(&read);
            Read again = read_bytes(copy);
            ck_assert(text_equal(comments_of(arena, read.file), comments_of(arena, again.file)));
            read_free(&again);
        }
        read_free(&read);
    }
    ck_assert_uint_gt(sound, 0);
    arena_free(arena);
}
END_TEST

START_TEST(expressions_are_printed_for_citations)
{
    static const char *const exprs[] = {
        "gap between a and b.c >= 18 in",
        "total of t.c for t of tanks where t.d is e",
        "(a, or 0 in if none) + 15% of b",
        "every u of l, at least one: c.size holds u.size in any orientation",
        "a if b otherwise c[\"d\"]",
        "any of\n  a\n  b\nend",
    };
    Arena *arena = arena_new();
    for (size_t i = 0; i < sizeof exprs / sizeof exprs[0]; i++) {
        Text clause = text_format(arena, "when %s", exprs[i]);
        Read read = read_bytes(in_section(arena, text_string(arena, clause)));
        expect_clean(&read, exprs[i]);
        const Expr *expr = read.file->items->code->sections->body.whens;
        Text printed = syntax_print_expr(read.arena, expr);
        ck_assert_msg(text_equal(printed, text_of(exprs[i])), "expected %s, found %.*s", exprs[i],
                      TEXT_ARG(printed));
        read_free(&read);
    }
    arena_free(arena);
}
END_TEST

Suite *faircopy_suite(void)
{
    Suite *suite = suite_create("faircopy");
    TCase *tests = tcase_create("faircopy");
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, clauses_are_copied_in_the_standard_form, 0,
                        sizeof COPIES / sizeof COPIES[0]);
    tcase_add_loop_test(tests, files_are_copied_in_the_standard_form, 0,
                        sizeof FILES / sizeof FILES[0]);
    tcase_add_loop_test(tests, what_is_too_long_is_broken_where_it_may_be, 0,
                        sizeof LONG / sizeof LONG[0]);
    tcase_add_test(tests, every_production_is_copied);
    tcase_add_loop_test(tests, comments_and_lines_anywhere_keep_the_copy_stable, 0, 5);
    tcase_add_test(tests, expressions_are_printed_for_citations);
    suite_add_tcase(suite, tests);
    return suite;
}
