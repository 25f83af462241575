/* syntax/: from text to tree. The rules are those of docs/language.md, sections 1 and 2; all
 * demo law is invented. */
#include <stdio.h>

#include "syntax_read.h"

/* ---- binding: docs/language.md, section 2, "Binding, loosest first" ---- */

typedef struct Grouping {
    const char *written;
    const char *means;
} Grouping;

static const Grouping GROUPINGS[] = {
    {"a + b * c", "a + (b * c)"},
    {"a - b - c", "(a - b) - c"},
    {"a / b * c", "(a / b) * c"},
    {"a * 12 in x 2 in", "a * (12 in x 2 in)"},
    {"-a x b", "(-a) x b"},
    {"-a.b", "-(a.b)"},
    {"- 3 in + b", "(- 3 in) + b"},
    {"15% of a + b", "(15% of a) + b"},
    {"15% of a * b", "(15% of a) * b"},
    {"1/3 of -a", "1/3 of (-a)"},
    {"a + b < c * d", "(a + b) < (c * d)"},
    {"not a < b", "not (a < b)"},
    {"not a and b", "(not a) and b"},
    {"not not a", "not (not a)"},
    {"a and b or c and d", "(a and b) or (c and d)"},
    {"a or b and c", "a or (b and c)"},
    {"a or b or c", "(a or b) or c"},
    {"a is b and c is not d", "(a is b) and (c is not d)"},
    {"a is none or b", "(a is none) or b"},
    {"a within 1/8 in of b + c and d", "(a within 1/8 in of (b + c)) and d"},
    {"a holds 1 in x 2 in x 3 in in any orientation and b",
     "(a holds (1 in x 2 in x 3 in) in any orientation) and b"},
    {"a before b or c after d", "(a before b) or (c after d)"},
    {"a among (b, c) and d", "(a among (b, c)) and d"},
    {"gap between a and b < c and d", "((gap between a and b) < c) and d"},
    {"overhang of a beyond b >= c", "(overhang of a beyond b) >= c"},
    {"a covers b and c overlaps d", "(a covers b) and (c overlaps d)"},
    {"every s of l: a or b", "every s of l: (a or b)"},
    {"every s of l where a and b: c", "every s of l where (a and b): c"},
    {"a or every s of l: b or c", "a or (every s of l: (b or c))"},
    {"some s of l: a if b otherwise c", "(some s of l: a) if b otherwise c"},
    {"total of t.c for t of l where a and b", "total of t.c for t of l where (a and b)"},
    {"total of t.c for t of l where a > 3 in and b",
     "total of t.c for t of l where ((a > 3 in) and b)"},
    {"a >= total of t.c for t of l where d", "a >= (total of t.c for t of l where d)"},
    {"count of l >= 2", "(count of l) >= 2"},
    {"count of s of l where a >= 2", "count of s of l where (a >= 2)"},
    {"total of b for s of those t of l where a where c",
     "total of b for s of (those t of l where a) where c"},
    {"first s of l where a by s.b + 1", "first s of l where a by (s.b + 1)"},
    {"a that b covers", "(a that b covers)"},
    {"a if b otherwise c if d otherwise e", "a if b otherwise (c if d otherwise e)"},
    {"a or b if c or d otherwise e or f", "(a or b) if (c or d) otherwise (e or f)"},
    {"round up to 1 of a / 4", "round up to 1 of (a / 4)"},
    {"round up to 1 of a + b >= c", "(round up to 1 of (a + b)) >= c"},
    {"a * round down to 5 cfm of b * c", "a * (round down to 5 cfm of (b * c))"},
    {"round to nearest 1 of a + b half up * c", "(round to nearest 1 of (a + b) half up) * c"},
    {"total of (count of s.c) for s of l", "total of ((count of s.c)) for s of l"},
};

/* The two below are read differently: a check that the dump tells them apart. */
static const Grouping DIFFERENCES[] = {
    {"a + b * c", "(a + b) * c"},
    {"a - b - c", "a - (b - c)"},
    {"a x b", "(b x a)"},
    {"a is b", "a = b"},
    {"a < b", "a before b"},
    {"some s of l, at least 3: a", "some s of l, at least 2: a"},
    {"a holds b", "a holds b in any orientation"},
    {"round to nearest 1 of a half up", "round to nearest 1 of a half even"},
    {"24 in", "2 ft"}, /* the same length, another spelling */
    {"24 in", "24 in (610 mm)"},
};

static Text dump_requirement(Arena *arena, const char *expr)
{
    Read read =
        read_bytes(in_section(arena, text_string(arena, text_format(arena, "when %s", expr))));
    expect_clean(&read, expr);
    Dump dump = {.out = buffer_make(read.arena)};
    dump_expr(&dump, first_section(&read)->body.whens);
    Text text = text_copy(arena, buffer_done(&dump.out));
    read_free(&read);
    return text;
}

START_TEST(operators_bind_as_documented)
{
    Arena *arena = arena_new();
    const Grouping *grouping = &GROUPINGS[_i];
    Text written = dump_requirement(arena, grouping->written);
    Text means = dump_requirement(arena, grouping->means);
    ck_assert_msg(text_equal(written, means), "'%s':\n%.*s\n'%s':\n%.*s", grouping->written,
                  TEXT_ARG(written), grouping->means, TEXT_ARG(means));
    arena_free(arena);
}
END_TEST

START_TEST(what_is_written_otherwise_is_read_otherwise)
{
    Arena *arena = arena_new();
    Text a = dump_requirement(arena, DIFFERENCES[_i].written);
    Text b = dump_requirement(arena, DIFFERENCES[_i].means);
    ck_assert_msg(!text_equal(a, b), "'%s' and '%s' give one tree", DIFFERENCES[_i].written,
                  DIFFERENCES[_i].means);
    arena_free(arena);
}
END_TEST

/* ---- names: section 1 ---- */

/* Words of the language that are names wherever a name or value must stand. */
static const char *const SOFT[] = {"adopts",       "after",       "along",
                                   "amend",        "amends",      "among",
                                   "ask",          "authority",   "basis",
                                   "before",       "beyond",      "choice",
                                   "cites",        "code",        "complies",
                                   "correction",   "covers",      "delete",
                                   "edition",      "excused",     "fact",
                                   "finds",        "first",       "for",
                                   "from",         "holds",       "insert",
                                   "jurisdiction", "key",         "lapses",
                                   "limit",        "measured",    "notwithstanding",
                                   "omitted",      "on",          "overlaps",
                                   "part",         "plan",        "publisher",
                                   "rank",         "ranks",       "reading",
                                   "record",       "remedy",      "required",
                                   "rework",       "stage",       "step",
                                   "stet",         "table",       "that",
                                   "title",        "topic",       "until",
                                   "vocabulary",   "with",        "within",
                                   "worksheet",    "unit",        "level",
                                   "use",          "size",        "type",
                                   "date",         "label",       "class",
                                   "text",         "count",       "percent",
                                   "total",        "least",       "greatest",
                                   "gap",          "overhang",    "approval",
                                   "round",        "list",        "one",
                                   "any",          "all",         "at",
                                   "more",         "less",        "next",
                                   "higher",       "lower",       "exact",
                                   "interpolated", "half",        "up",
                                   "down",         "nearest",     "always",
                                   "present",      "built",       "steps",
                                   "may",          "information", "official",
                                   "applicable",   "applies",     "locally",
                                   "carries",      "worked",      "example",
                                   "waits",        "empty",       "provided",
                                   "absent",       "memory",      "practice",
                                   "invented",     "read",        "number",
                                   "mixed"};

static const char *const SOFT_PLACES[] = {
    "code c edition 1\nsection \"1\"\nshall %s is %s\nwhen q.%s + %s > 3 in\nend\nend\n",
    "code c edition 1\nsection \"1\"\nshall %s: %s\nshall not (%s or a.%s)\nend\nend\n",
    "code c edition 1\nsection \"1\"\nshall any of\n a is yes\n %s is yes\n not %s\n max(%s, %s)\n"
    "end\nend\nend\n",
    "code c edition 1\ndefine %s = %s * 2\ndefine f(%s: length) = -%s\nend\n",
    "code c edition 1\nsection \"1\"\neach %s of %s where %s\nshall every %s of a: yes\nend\nend\n",
    "code c edition 1\nsection \"1\" part %s\nexcept to %s where %s\ntopic a.%s\nend\nend\n",
    "vocabulary v\nfact %s text\nfact a %s\nchoice %s one of a, %s\nend\n",
    "code c edition 1\nworked example \"a\" unit has %s = %s, a = { %s: %s }\nend\nend\n",
    "code c edition 1\ntable %s by %s exact\n  x1  %s\n  %s  3\nend\nend\n",
    "code c edition 1\nworksheet %s \"w\"\nstep %s \"s\" %s\nstep a \"b\" %s in ft\nend\nend\n",
};

enum { BLOCK_PLACE = 2 };

/* In `any of` these carry on the line before, where they begin a line. */
static bool is_infix(const char *word)
{
    static const char *const infix[] = {"after", "among", "before",   "beyond", "covers",
                                        "for",   "holds", "overlaps", "that",   "within"};
    for (size_t i = 0; i < sizeof infix / sizeof infix[0]; i++) {
        if (strcmp(infix[i], word) == 0) {
            return true;
        }
    }
    return false;
}

START_TEST(words_of_the_language_are_names_where_names_stand)
{
    Arena *arena = arena_new();
    for (size_t i = 0; i < sizeof SOFT / sizeof SOFT[0]; i++) {
        const char *word = SOFT[i];
        if (_i == BLOCK_PLACE && is_infix(word)) {
            continue;
        }
        Buffer text = buffer_make(arena);
        for (const char *at = SOFT_PLACES[_i]; *at != '\0'; at++) {
            if (*at == '%') {
                buffer_string(&text, word);
                at++;
            } else {
                buffer_char(&text, *at);
            }
        }
        Read read = read_bytes(buffer_done(&text));
        expect_clean(&read, text_string(arena, buffer_done(&text)));
        (void)check_copy(&read);
        read_free(&read);
    }
    arena_free(arena);
}
END_TEST

START_TEST(a_clause_may_follow_items_that_something_covers)
{
    static const char *const clauses[] = {
        "rank core",   "reading r define b = 1", "topic a.b",   "stage plan",
        "rework trim", "basis memory",           "authority f", "remedy \"r\"",
        "shall yes"};
    for (size_t i = 0; i < sizeof clauses / sizeof clauses[0]; i++) {
        char text[200];
        snprintf(
            text, sizeof text,
            "code c edition 1\nsection \"1\"\ndefine under = items that h covers\n%s\nend\nend\n",
            clauses[i]);
        Read read = read_text(text);
        expect_clean(&read, text);
        read_free(&read);
    }
}
END_TEST

START_TEST(worked_examples_are_passed_over)
{
    Read read = read_text("");
    const char *text = "code c edition 1\nworked example \"an end\" -- end\n"
                       "unit has a = { end: 1 }, b = [ \"end\" ]\nfinds \"1\" complies\nend\n"
                       "section \"1\" shall a end\nend\n";
    const Source *source = source_of(read.arena, TEXT("t.shall"), text_of(text));
    const FileTree *file = syntax_parse_law(read.arena, read.names, source, &read.diags);
    ck_assert_uint_eq(read.diags.errors, 0);
    ck_assert_ptr_null(file->items->code->examples);
    ck_assert_ptr_nonnull(file->items->code->sections);
    read_free(&read);
}
END_TEST

static const char *const HARD[] = {
    "and",  "by",    "define", "each",   "end",  "every", "except",    "if",      "in",
    "is",   "no",    "none",   "not",    "of",   "or",    "otherwise", "section", "shall",
    "some", "those", "to",     "unless", "when", "where", "x",         "yes"};

/* In records and data also those that hold sentences together, but for `end` and the words of
 * values; after a dot every word. */
START_TEST(after_a_dot_every_word_is_a_name)
{
    Arena *arena = arena_new();
    for (size_t i = 0; i < sizeof HARD / sizeof HARD[0]; i++) {
        const char *word = HARD[i];
        Text clauses = text_format(arena, "shall a.%s >= b.%s.c\ntopic a.%s", word, word, word);
        Read read = read_bytes(in_section(arena, text_string(arena, clauses)));
        expect_clean(&read, word);
        (void)check_copy(&read);
        read_free(&read);
        Text bare = text_format(arena, "define %s = 3", word);
        read = read_bytes(in_section(arena, text_string(arena, bare)));
        ck_assert_msg(read.diags.errors > 0, "'%s' as a name: no error", word);
        read_free(&read);
    }
    arena_free(arena);
}
END_TEST

START_TEST(fields_of_records_may_have_nearly_any_name)
{
    Arena *arena = arena_new();
    Buffer text = buffer_make(arena);
    buffer_string(&text, "vocabulary v\nrecord r\n");
    for (size_t i = 0; i < sizeof SOFT / sizeof SOFT[0]; i++) {
        if (strcmp(SOFT[i], "key") != 0) {
            buffer_format(&text, "  %s text\n", SOFT[i]);
        }
    }
    for (size_t i = 0; i < sizeof HARD / sizeof HARD[0]; i++) {
        if (strcmp(HARD[i], "end") != 0) {
            buffer_format(&text, "  %s one of a, b\n", HARD[i]);
        }
    }
    buffer_string(&text, "end\nend\n");
    Read read = read_bytes(buffer_done(&text));
    expect_clean(&read, "fields");
    (void)check_copy(&read);
    read_free(&read);
    arena_free(arena);
}
END_TEST

/* ---- the whole grammar ---- */

START_TEST(every_production_is_read)
{
    Arena *arena = arena_new();
    Read read = read_bytes(file_text(arena, EVERYTHING));
    expect_clean(&read, EVERYTHING);
    const VocabularyTree *vocabulary = read.file->items->vocabulary;
    const RecordTree *opening = vocabulary->records;
    ck_assert(text_equal(opening->plan_along->text, TEXT("width")));
    ck_assert(text_equal(opening->plan_across->text, TEXT("depth")));
    ck_assert_int_eq(opening->fields->key, true);
    ck_assert_int_eq(opening->fields->next->next->type.kind, TYPE_ONE_OF);
    const CodeTree *code = read.file->items->next->code;
    ck_assert_uint_eq(code->rank_count, 3);
    ck_assert(text_equal(code->ranks[1], TEXT("priority foundation")));
    ck_assert_uint_eq(code->standing.stages, 1U << STAGE_PLAN | 1U << STAGE_FINAL);
    ck_assert_int_eq(code->standing.rework, REWORK_STEEL);
    ck_assert(text_equal(code->edition, TEXT("2024.1")));
    const SectionTree *section = code->sections;
    ck_assert(text_equal(section->topic->text, TEXT("opening.size")));
    ck_assert(section->standing.advises);
    ck_assert_int_eq(section->body.basis.day, date_day(2026, 11, 25));
    ck_assert(text_equal(section->notwithstanding->next->part->text, TEXT("b")));
    const JurisdictionTree *county = read.file->items->next->next->next->jurisdiction;
    ck_assert(text_equal(county->within->text, TEXT("halloway")));
    const ChangeTree *change = county->blocks->changes;
    ck_assert_int_eq(change->fate, FATE_CARRIES_OVER);
    ck_assert_int_eq(change->next->fate, FATE_LAPSES);
    ck_assert(text_equal(change->next->next->carried_to, TEXT("6")));
    ck_assert_int_eq(county->blocks->until, DAY_FOREVER);
    read_free(&read);
    arena_free(arena);
}
END_TEST

START_TEST(line_ends_tabs_and_a_byte_order_mark_change_nothing)
{
    Arena *arena = arena_new();
    Text plain = file_text(arena, EVERYTHING);
    Buffer other = buffer_make(arena);
    buffer_string(&other, "\xEF\xBB\xBF");
    for (size_t i = 0; i < plain.len; i++) {
        if (plain.data[i] == '\n') {
            buffer_string(&other, "\t\r\n");
        } else {
            buffer_char(&other, plain.data[i]);
        }
    }
    Read a = read_bytes(plain);
    Read b = read_bytes(buffer_done(&other));
    expect_clean(&b, "CRLF");
    ck_assert(text_equal(tree_dump(arena, a.file, true), tree_dump(arena, b.file, true)));
    ck_assert(text_equal(syntax_faircopy(arena, a.file), syntax_faircopy(arena, b.file)));
    read_free(&a);
    read_free(&b);
    arena_free(arena);
}
END_TEST

START_TEST(comments_are_kept_with_their_place)
{
    Read read = read_text("-- one\ncode c edition 1 -- two \n  -- three\nend\n");
    expect_clean(&read, "comments");
    ck_assert_uint_eq(read.file->comment_count, 3);
    ck_assert(read.file->comments[0].own_line);
    ck_assert(!read.file->comments[1].own_line);
    ck_assert(read.file->comments[2].own_line);
    Text second = place_text((Place){read.source, read.file->comments[1].span});
    ck_assert(text_equal(second, TEXT("-- two")));
    read =
        (read_free(&read), read_text("code c edition 1 section \"1\" shall at the -- in a phrase\n"
                                     "end end"));
    ck_assert_uint_eq(read.file->comment_count, 1);
    read_free(&read);
}
END_TEST

START_TEST(spans_are_bytes_of_the_source)
{
    Read read =
        read_text("code c edition 1\nsection \"1\" \"\xC3\xA9\"\nshall a.b >= 24 in\nend\nend");
    expect_clean(&read, "spans");
    const LineTree *line = first_section(&read)->body.lines;
    const Expr *expr = line->requirement;
    ck_assert(text_equal(place_text((Place){read.source, line->span}), TEXT("shall a.b >= 24 in")));
    ck_assert(text_equal(place_text((Place){read.source, expr->span}), TEXT("a.b >= 24 in")));
    ck_assert(text_equal(place_text((Place){read.source, expr->a->name_span}), TEXT("b")));
    ck_assert(text_equal(expr->b->text, TEXT("24 in")));
    read_free(&read);
}
END_TEST

/* ---- quantities, where they meet the grammar ---- */

START_TEST(quantities_end_where_words_begin)
{
    Read read = read_text(
        "vocabulary v\nfact a count at least 0 in steps of 1\nend\n"
        "code c edition 2024\ntable t by k in degF\n"
        "  25 .. 49 mg/L  -5\n  7 ft 6 in  24\n  10 ft  20\n  5 A < k <= 8 A  none\nend\nend\n"
        "jurisdiction j \"J\" adopts c edition 2024 in force from 2025-01-01 by \"x\" end\n");
    expect_clean(&read, "quantities");
    const FieldTree *fact = read.file->items->vocabulary->facts;
    ck_assert_ptr_null(fact->low->unit);
    ck_assert_ptr_nonnull(fact->step);
    const RowTree *row = read.file->items->next->code->tables->rows;
    Rational ratio =
        rational_div(read.arena, row->label->high->range.low, row->label->low->range.low);
    ck_assert_int_eq(rational_order(ratio, RATIONAL(49, 25)), 0); /* the unit of the upper end */
    ck_assert_int_eq(rational_sign(row->cells->quantity->range.low), -1);
    ck_assert_int_eq(rational_order(row->next->label->low->range.low, RATIONAL(90 * 254, 10000)),
                     0); /* 1 in = 25.4 mm: NIST SP 811 */
    ck_assert(row->next->next->next->label->low_open);
    const BlockTree *block = read.file->items->next->next->jurisdiction->blocks;
    ck_assert(text_equal(block->edition, TEXT("2024")));
    read_free(&read);
}
END_TEST

START_TEST(data_keep_what_was_written)
{
    Read read =
        read_text("code c edition 1\nworked example \"a\" unit has a = { b: 7 ft 6 in,\n"
                  "c: [ 12 in x 2 in, \"q\\\"\", and more ], d: 24 in +- 1/8 in, e: none }\n"
                  "end\nend\n");
    expect_clean(&read, "data");
    const Datum *map = read.file->items->code->examples->facts->value;
    ck_assert_int_eq(map->kind, DATUM_MAP);
    ck_assert_uint_eq(map->count, 4);
    ck_assert(text_equal(map->first->key, TEXT("b")));
    ck_assert(text_equal(place_text(map->first->key_place), TEXT("b")));
    const Datum *list = map->first->next;
    ck_assert(text_equal(list->first->text, TEXT("12 in x 2 in")));
    ck_assert_int_eq(list->first->kind, DATUM_SCALAR);
    ck_assert_int_eq(list->first->next->kind, DATUM_QUOTED);
    ck_assert(text_equal(list->first->next->text, TEXT("q\"")));
    ck_assert(text_equal(list->first->next->next->text, TEXT("and more")));
    ck_assert(text_equal(list->next->text, TEXT("24 in +- 1/8 in")));
    ck_assert(text_equal(place_text(list->next->place), TEXT("24 in +- 1/8 in")));
    read_free(&read);
}
END_TEST

START_TEST(settings_are_read_by_themselves)
{
    Read read = read_text("");
    const Source *source =
        source_of(read.arena, TEXT("--with"),
                  TEXT("openings[\"a\"].width = 25 in, stage = final,\n b = {c: [1]}"));
    const SettingTree *setting = syntax_parse_settings(read.arena, read.names, source, &read.diags);
    expect_clean(&read, "settings");
    ck_assert_ptr_nonnull(setting);
    ck_assert(
        text_equal(syntax_print_expr(read.arena, setting->path), TEXT("openings[\"a\"].width")));
    ck_assert(text_equal(setting->value->text, TEXT("25 in")));
    ck_assert(text_equal(setting->next->value->text, TEXT("final")));
    ck_assert_ptr_null(setting->next->next->next);
    source = source_of(read.arena, TEXT("--with"), TEXT("a 3 in"));
    ck_assert_ptr_null(syntax_parse_settings(read.arena, read.names, source, &read.diags));
    ck_assert_uint_eq(read.diags.errors, 1);
    read_free(&read);
}
END_TEST

START_TEST(words_for_what_the_tree_holds)
{
    ck_assert_str_eq(stage_word(STAGE_ROUGH_IN), "rough_in");
    ck_assert_str_eq(rework_word(REWORK_UNSAID), "");
    ck_assert_str_eq(rework_word(REWORK_PAPER), "paper");
    ck_assert_str_eq(outcome_word(OUTCOME_INFORMATION_REQUIRED), "information required");
    ck_assert_str_eq(outcome_data(OUTCOME_INFORMATION_REQUIRED), "information_required");
    ck_assert_str_eq(outcome_data(OUTCOME_NOT_APPLICABLE), "not_applicable");
    ck_assert_str_eq(basis_word(BASIS_INVENTED), "invented");
}
END_TEST

Suite *syntax_suite(void)
{
    Suite *suite = suite_create("syntax");
    TCase *tests = tcase_create("tree");
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, operators_bind_as_documented, 0,
                        sizeof GROUPINGS / sizeof GROUPINGS[0]);
    tcase_add_loop_test(tests, what_is_written_otherwise_is_read_otherwise, 0,
                        sizeof DIFFERENCES / sizeof DIFFERENCES[0]);
    tcase_add_test(tests, a_clause_may_follow_items_that_something_covers);
    tcase_add_test(tests, worked_examples_are_passed_over);
    tcase_add_loop_test(tests, words_of_the_language_are_names_where_names_stand, 0,
                        sizeof SOFT_PLACES / sizeof SOFT_PLACES[0]);
    tcase_add_test(tests, after_a_dot_every_word_is_a_name);
    tcase_add_test(tests, fields_of_records_may_have_nearly_any_name);
    tcase_add_test(tests, every_production_is_read);
    tcase_add_test(tests, line_ends_tabs_and_a_byte_order_mark_change_nothing);
    tcase_add_test(tests, comments_are_kept_with_their_place);
    tcase_add_test(tests, spans_are_bytes_of_the_source);
    tcase_add_test(tests, quantities_end_where_words_begin);
    tcase_add_test(tests, data_keep_what_was_written);
    tcase_add_test(tests, settings_are_read_by_themselves);
    tcase_add_test(tests, words_for_what_the_tree_holds);
    suite_add_tcase(suite, tests);
    return suite;
}
