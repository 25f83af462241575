/* vocabulary: declarations resolved to types, bounds and slots; every message of it. */
#include "spec_help.h"

START_TEST(test_types)
{
    static const char *const described[][2] = {
        {"name", "text"},          {"use", "one of service, delivery, entry, vent"},
        {"clear_width", "length"}, {"self_closing", "yes/no"},
        {"pan", "size"},           {"guard", "guard"},
    };
    Bench bench = bench_usual();
    const Record *opening = bench.vocabulary->records[0];
    for (size_t i = 0; i < sizeof described / sizeof described[0]; i++) {
        const Field *field = bench_field(&bench, opening, described[i][0]);
        Text found = type_describe(bench.arena, &field->type);
        ck_assert_msg(text_equal(found, text_of(described[i][1])), "%s is '%.*s'", described[i][0],
                      TEXT_ARG(found));
        ck_assert_ptr_eq(field->owner, opening);
        ck_assert_ptr_eq(&opening->fields[field->index], field);
    }
    const Record *tank = bench.vocabulary->records[2];
    Text inner = type_describe(bench.arena, &bench_field(&bench, tank, "inner")->type);
    ck_assert(text_equal(inner, TEXT("list of tank")));
    ck_assert_ptr_eq(bench_field(&bench, tank, "inner")->type.record, tank);
    ck_assert(bench_field(&bench, tank, "lids")->type.whole);
    ck_assert(bench_field(&bench, tank, "fill")->type.percent);
    const Field *duty = bench_field(&bench, &bench.vocabulary->unit, "duty");
    ck_assert(duty->type.choice->ordered);
    ck_assert_int_eq(choice_index(duty->type.choice, names_find(bench.names, TEXT("medium"))), 1);
    ck_assert_int_eq(choice_index(duty->type.choice, names_find(bench.names, TEXT("service"))), -1);
    Text ordered = type_describe(bench.arena, &duty->type);
    ck_assert(text_equal(ordered, TEXT("one of light < medium < extra_heavy")));
    ck_assert_ptr_eq(opening->key, &opening->fields[0]);
    ck_assert_ptr_eq(opening->plan_along, bench_field(&bench, opening, "clear_width"));
    ck_assert_ptr_eq(opening->plan_y, bench_field(&bench, opening, "from_curb"));
    ck_assert(bench_field(&bench, &bench.vocabulary->unit, "weight")->always_present);
    bench_close(&bench);
}
END_TEST

START_TEST(test_bounds)
{
    static const char rules[] = "vocabulary v\n"
                                "  fact a length at least 2 ft in steps of 1/8 in\n"
                                "  fact b length more than 0 in less than 600 mm\n"
                                "  fact c volume\n"
                                "  fact d count at least 2 at most 2\n"
                                "  fact e percent\n"
                                "  fact f temperature at least 41 degF in steps of 1 degF rise\n"
                                "end\n";
    static const struct {
        const char *name, *bounds, *unit;
    } rows[] = {{"a", "at least 2 ft", "ft"},
                {"b", "more than 0 in, less than 23.622047 in", "in"},
                {"c", "any", "gal"},
                {"d", "2", ""},
                {"e", "any", "%"},
                {"f", "at least 41 degF", "degF"}};
    Bench bench = bench_open(rules);
    bench_expect(&bench, "");
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const Field *field = bench_field(&bench, &bench.vocabulary->unit, rows[i].name);
        Text bounds = range_print(bench.arena, &field->bounds, field->unit);
        if (i != 1) { /* how a range with open ends is worded is tested with numbers */
            ck_assert_msg(text_equal(bounds, text_of(rows[i].bounds)), "%s: '%.*s'", rows[i].name,
                          TEXT_ARG(bounds));
        }
        Text unit = field->unit == NULL ? TEXT("") : field->unit->spelling;
        ck_assert_msg(text_equal(unit, text_of(rows[i].unit)), "%s: unit '%.*s'", rows[i].name,
                      TEXT_ARG(unit));
    }
    const Range *b = &bench_field(&bench, &bench.vocabulary->unit, "b")->bounds;
    ck_assert_uint_eq(b->flags, RANGE_LOW_OPEN | RANGE_HIGH_OPEN);
    ck_assert_int_eq(rational_order(b->high, RATIONAL(6, 10)), 0);
    const Field *a = bench_field(&bench, &bench.vocabulary->unit, "a");
    ck_assert(a->has_step);
    ck_assert_int_eq(rational_order(a->step, RATIONAL(3175, 1000000)), 0); /* 1/8 in, 25.4 mm/in */
    bench_close(&bench);
}
END_TEST

typedef struct Case {
    const char *rules;
    const char *expected;
} Case;

static const Case refused[] = {
    {"vocabulary v\n  fact a lenght\nend\n",
     "2:10 unknown type: 'lenght' is no dimension, record or choice | did you mean 'length'?\n"},
    {"vocabulary v\n  record tank\n    a text\n  end\n  fact a list of tnak\nend\n",
     "5:10 unknown type: 'tnak' is no dimension, record or choice | did you mean 'tank'?\n"},
    {"vocabulary v\n  fact a list of length\nend\n",
     "2:10 unknown type: a list holds records; 'length' is a dimension\n"},
    {"vocabulary v\n  choice use one of p, q\n  fact a list of use\nend\n",
     "3:10 unknown type: a list holds records; 'use' is a choice\n"},
    {"vocabulary v\n  fact a length\n  fact a volume\nend\n",
     "3:8 declared twice: fact 'a' is declared twice | 2:8 first declared here\n"},
    {"vocabulary v\n  record r\n    a text\n    a text\n  end\nend\n",
     "4:5 declared twice: field 'a' is declared twice | 3:5 first declared here\n"},
    {"vocabulary v\n  record r\n    a text\n  end\n  record r\n    b lenght\n  end\nend\n",
     "5:10 declared twice: record 'r' is declared twice | 2:10 first declared here\n"},
    {"vocabulary v\n  choice r one of p, q\n  record r\n    b text\n  end\nend\n",
     "3:10 declared twice: record 'r' is declared twice | 2:10 first declared here\n"},
    {"vocabulary v\n  choice length one of p, q\nend\n",
     "2:10 declared twice: 'length' is the name of a dimension\n"},
    {"vocabulary v\n  fact a one of p, null\nend\n",
     "2:20 word of a choice: 'null' cannot be a word of a choice: in a spec it says that nothing "
     "is stated\n"},
    {"vocabulary v\n  fact builder text\nend\n",
     "2:8 name taken: 'builder' is a word of build specs and cannot be a fact\n"},
    {"vocabulary v\n  fact review_date date\nend\n",
     "2:8 name taken: 'review_date' is a word of build specs and cannot be a fact\n"},
    {"vocabulary v\n  record r\n    value text\n    builder text\n  end\nend\n",
     "3:5 name taken: 'value' is a word of build specs and cannot be a field\n"},
    {"vocabulary v\n  record r\n    a length key\n  end\nend\n",
     "3:7 misplaced key: a key is a text, a choice or a count, not length\n"},
    {"vocabulary v\n  record r\n    a text key\n    b text key\n  end\nend\n",
     "4:5 misplaced key: record 'r' has a key already | 3:5 the first key\n"},
    {"vocabulary v\n  fact a length at least 2 gal\nend\n",
     "2:26 wrong dimension: the bound is a volume where a length is due | write it in in, for "
     "example\n"},
    {"vocabulary v\n  fact a length at least 0\nend\n",
     "2:26 wrong dimension: the bound is a number where a length is due | write it in in, for "
     "example\n"},
    {"vocabulary v\n  fact a text at most 3\nend\n",
     "2:23 wrong bound: only quantities have a bound; 'a' is text\n"},
    {"vocabulary v\n  fact a count at most 1/2\nend\n",
     "2:24 wrong bound: a bound of a count is a whole number\n"},
    {"vocabulary v\n  fact a percent at most 80\nend\n",
     "2:26 wrong bound: a bound of a percentage has its sign: %\n"},
    {"vocabulary v\n  fact a number at most 80%\nend\n",
     "2:25 wrong bound: a bound of a number has no % sign\n"},
    {"vocabulary v\n  fact a length at most 8 in +- 1 in\nend\n",
     "2:25 wrong bound: a bound is exact: it has no tolerance\n"},
    {"vocabulary v\n  fact a length at least 2 ft at most 23 in\nend\n",
     "2:39 wrong bound: no value of 'a' lies within its bounds\n"},
    {"vocabulary v\n  fact a length more than 2 ft at most 24 in\nend\n",
     "2:40 wrong bound: no value of 'a' lies within its bounds\n"},
    {"vocabulary v\n  fact a length in steps of 0 in\nend\n",
     "2:29 wrong bound: a step is more than zero\n"},
    {"vocabulary v\n  fact a temperature in steps of 1 degF\nend\n",
     "2:34 wrong dimension: the step is a temperature where a temperature difference is due | "
     "write it in degF rise, for example\n"},
    {"vocabulary v\n  fact a volume built as framing\nend\n",
     "2:8 wrong bound: a shop tolerance is a length; 'a' is volume\n"},
    {"vocabulary v\n  record r\n    x length\n    w volume\n    plan x along w\n  end\nend\n",
     "5:5 wrong dimension: a plan is drawn in lengths; 'w' is volume\n"},
    {"vocabulary v\n  record r\n    x length\n    width length\n    plan x along widht\n  "
     "end\nend\n",
     "5:5 unknown field: record 'r' has no field 'widht' | 4:5 did you mean 'width'?\n"},
    {"vocabulary v\n  topic a.b \"A\"\n  topic a.b \"B\"\nend\n",
     "3:9 declared twice: topic 'a.b' is declared twice | 2:9 first declared here\n"},
    {"vocabulary v\n  record a\n    b b always present\n  end\n  record b\n    a a always present\n"
     "  end\nend\n",
     "6:5 record without end: 'a' makes record 'a' contain itself, always present: no spec could "
     "state it\n"},
};

START_TEST(test_refused)
{
    Bench bench = bench_open(refused[_i].rules);
    bench_expect(&bench, refused[_i].expected);
    bench_close(&bench);
}
END_TEST

START_TEST(test_self_reference)
{
    Bench bench = bench_open("vocabulary v\n  record a\n    deeper a\n    more list of a\n  end\n"
                             "  fact top a always present\nend\n");
    bench_expect(&bench, "");
    const Record *a = bench.vocabulary->records[0];
    ck_assert_ptr_eq(a->fields[0].type.record, a);
    ck_assert_ptr_eq(a->fields[1].type.record, a);
    bench_close(&bench);
}
END_TEST

/* The grammar does not let a fact be a key; a tree made otherwise is refused here. */
START_TEST(test_key_of_the_unit)
{
    Bench bench = bench_usual();
    FieldTree fact = {
        .name = names_intern(bench.names, TEXT("a")), .type = {.kind = TYPE_TEXT}, .key = true};
    VocabularyTree tree = {.name = names_intern(bench.names, TEXT("v")), .facts = &fact};
    (void)vocabulary_make(bench.arena, bench.names, &tree, NULL, &bench.diags);
    bench_expect(&bench, "misplaced key: a key names the items of a list; 'a' is a fact of the "
                         "unit\n");
    bench_close(&bench);
}
END_TEST

/* A choice of 64 words uses the whole mask; one more is refused. */
START_TEST(test_choice_limit)
{
    Arena *arena = arena_new();
    Buffer rules = buffer_make(arena);
    buffer_string(&rules, "vocabulary v\n  fact a one of w0");
    for (int i = 1; i < 64; i++) {
        buffer_format(&rules, ", w%d", i);
    }
    Bench full = bench_open(
        text_string(arena, text_format(arena, "%.*s\nend\n", TEXT_ARG(buffer_done(&rules)))));
    bench_expect(&full, "");
    bench_read(&full, "a: w63\n");
    bench_expect(&full, "");
    ck_assert_uint_eq(bench_fact(&full, full.spec->unit, "a")->value.words, UINT64_C(1) << 63);
    bench_close(&full);
    buffer_string(&rules, ", w64\nend\n");
    Bench over = bench_open(text_string(arena, buffer_done(&rules)));
    ck_assert_uint_eq(over.diags.errors, 1);
    bench_close(&over);
    arena_free(arena);
}
END_TEST

START_TEST(test_type_resolve)
{
    Bench bench = bench_usual();
    const Name *name = names_intern(bench.names, TEXT("oppening"));
    TypeTree tree = {.kind = TYPE_NAMED, .name = name};
    Type type;
    ck_assert(
        !type_resolve(bench.arena, bench.vocabulary, &tree, bench.source, &type, &bench.diags));
    ck_assert_uint_eq(type.class, CLASS_BAD);
    bench_expect(&bench, "unknown type: 'oppening' is no dimension, record or choice | did you "
                         "mean 'opening'?\n");
    bench_clear(&bench);
    tree.name = names_intern(bench.names, TEXT("duty"));
    ck_assert(
        type_resolve(bench.arena, bench.vocabulary, &tree, bench.source, &type, &bench.diags));
    ck_assert_uint_eq(type.class, CLASS_CHOICE);
    bench_expect(&bench, "");
    bench_close(&bench);
}
END_TEST

Suite *vocabulary_suite(void);

Suite *vocabulary_suite(void)
{
    Suite *suite = suite_create("vocabulary");
    TCase *tcase = tcase_create("vocabulary");
    tcase_add_test(tcase, test_types);
    tcase_add_test(tcase, test_bounds);
    tcase_add_loop_test(tcase, test_refused, 0, sizeof refused / sizeof refused[0]);
    tcase_add_test(tcase, test_self_reference);
    tcase_add_test(tcase, test_key_of_the_unit);
    tcase_add_test(tcase, test_choice_limit);
    tcase_add_test(tcase, test_type_resolve);
    suite_add_tcase(suite, tcase);
    return suite;
}
