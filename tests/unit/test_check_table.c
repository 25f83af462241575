/* Tables: keys, labels, cells and what they leave out. meaning: the cells of a table never overlap,
 * and what no label covers is answered. The demo law is invented. */
#include "check_world.h"

Suite *check_table_suite(void);

#define T(table) LAW("table t " table "\nend\n" S("shall aisle >= 2 in"))

static const Case key_cases[] = {
    {"unknown word", T("by duty in cfm\nlight 100\nmedum 200\nheavy 300"), "medum",
     "did you mean 'medium'?", T("by duty in cfm\nlight 100\nmedium 200\nheavy 300")},
    {"unknown word", T("by load : duty in cfm\nlight 100\nmedum 200\nheavy 300"), "medum",
     "did you mean 'medium'?", T("by load : duty in cfm\nlight 100\nmedium 200\nheavy 300")},
    {"unknown word", T("by sort in cfm\nred 100\nblue 200"), "red", "any choice",
     T("by style in cfm\nwall 100\nisland 200")},
    {"labels overlap", T("by duty in cfm\nlight 100\nmedium 200\nlight 300\nheavy 2"), "light",
     "first here", T("by duty in cfm\nheavy 100\nmedium 200\nlight 300")},
    {"labels overlap", T("by tested in cfm\nyes 100\nyes 200\nno 2"), "yes", "first here",
     T("by tested in cfm\nyes 100\nno 2")},
    {"table with a gap", T("by duty in cfm\nlight 100\nheavy 300"), "heavy", "'medium'",
     T("by duty in cfm\nlight 100\nheavy 300\notherwise no rule")},
    {"table with a gap", T("by tested in cfm\nyes 100"), "yes", "'no'",
     T("by tested in cfm\nyes 100\notherwise 3")},
    {"different kinds", T("by duty in cfm\nlight 100\n5 gal 200\notherwise no rule"), "5 gal",
     "which is a choice", T("by duty in cfm\nlight 100\nheavy 200\notherwise no rule")},
    {"different kinds", T("by level in cfm\n5 gal 100\n5 lb 200\notherwise no rule"), "5 lb",
     "as here", T("by level in cfm\n5 gal 100\n5 L 200\notherwise no rule")},
    {"different kinds", T("by level : length in cfm\n5 gal 100\notherwise no rule"), "5 gal",
     "a length", T("by level : length in cfm\n5 in 100\notherwise no rule")},
    {"labels overlap", T("by level in cfm\n5 gal 100\n20 qt 200\notherwise no rule"), "20 qt",
     "the other label", T("by level in cfm\n5 gal 100\n21 qt 200\notherwise no rule")},
    /* meaning, rule 15: with `pH <= 10 | pH <= 8` both columns match pH 7 */
    {"labels overlap", T("by pH\npH <= 10 100\npH <= 8 75\notherwise no rule"), "pH <= 8",
     "the other label", T("by pH\n8 < pH <= 10 100\npH <= 8 75\notherwise no rule")},
    {"labels overlap", T("by pH\n1 .. 3 1\n3 .. 5 2\notherwise no rule"), "3 .. 5",
     "the other label", T("by pH\n1 .. 3 1\n3 < pH <= 5 2\notherwise no rule")},
    {"empty label", T("by pH\n3 .. 1 1\notherwise no rule"), "3 .. 1", "no value",
     T("by pH\n1 .. 3 1\notherwise no rule")},
    {"empty label", T("by pH\n3 < pH <= 3 1\notherwise no rule"), "3 < pH", "no value",
     T("by pH\n3 <= pH <= 3 1\notherwise no rule")},
    /* gaps on a key that has no smallest step */
    {"table with a gap", T("by conc in degF\n25 .. 49 mg/L 120\n50 .. 99 mg/L 75"), "50 .. 99",
     "between 49 mg/L and 50 mg/L",
     T("by conc in degF\n25 .. 49 mg/L 120\n50 .. 99 mg/L 75\notherwise no rule")},
    {"table with a gap", T("by pH\npH < 3 1\npH > 3 2"), "pH > 3", "3 itself",
     T("by pH\npH < 3 1\npH >= 3 2")},
    {"table with a gap", T("by pH\n0 <= pH < 3 1\npH >= 3 2"), "0 <= pH", "below 0",
     T("by pH\npH < 3 1\npH >= 3 2")},
    {"table with a gap", T("by pH\npH < 3 1\n3 <= pH <= 9 2"), "3 <= pH", "above 9",
     T("by pH\npH < 3 1\n3 <= pH <= 9 2\n pH > 9 4")},
    {"table with a gap", T("by seats : count\n0 1\n1 .. 3 2\n5 .. 9 2\nseats >= 10 4"), "5 .. 9",
     "between 3 and 5", T("by seats : count\n0 1\n1 .. 3 2\n4 .. 9 2\nseats >= 10 4")},
    {"table with a gap", T("by conc\n5 mg/L 1\n10 mg/L 2"), "10 mg/L", "between 5 mg/L and 10",
     T("by conc next higher\n5 mg/L 1\n10 mg/L 2")},
    {"unknown name", T("by acidity\npH < 3 1\nacidity >= 3 2"), "pH < 3", "the key is 'acidity'",
     T("by acidity\nacidity < 3 1\nacidity >= 3 2")},
    {"wrong use of a name", T("by level : text\n5 gal 100\notherwise no rule"), "text",
     "not a text", T("by level : volume\n5 gal 100\notherwise no rule")},
    {"tolerance in a rule", T("by level\n5 gal +- 1 gal 100\notherwise no rule"), "5 gal",
     "no tolerance", T("by level\n5 gal 100\notherwise no rule")},
    {"type not said",
     "vocabulary other\n  fact first one of red, blue\n  fact second one of red, green\nend\n",
     NULL, NULL, NULL},
};

static const Case shape_cases[] = {
    {"different kinds", T("by duty in cfm\nlight 100\nmedium wall\nheavy 300"), "wall",
     "'wall' is a word", T("by duty in cfm\nlight 100\nmedium 200\nheavy 300")},
    {"table out of shape", T("by pH next higher\n1 .. 3 1\n5 2"), "1 .. 3", "a single value",
     T("by pH next higher\n3 1\n5 2")},
    {"table out of shape", T("by duty next higher in cfm\nlight 1\nmedium 2\nheavy 3"), "duty",
     "a key that is a quantity", T("by duty in cfm\nlight 1\nmedium 2\nheavy 3")},
    {"table out of shape", T("by pH interpolated\n3 1"), "pH", "two labels",
     T("by pH interpolated\n3 1\n4 2")},
    {"table out of shape", T("by pH next higher\n3 none\n4 none"), "t", "every cell",
     T("by pH next higher\n3 none\n4 2")},
    {"cannot be interpolated", T("by pH interpolated\n3 none\n4 2"), "t", "no straight line",
     T("by pH interpolated\n3 1\n4 2")},
    {"different kinds", T("by pH next higher in cfm\n3 5\n4 2 gal"), "2 gal", "is a volume",
     T("by pH next higher in cfm\n3 5\n4 2 gpm")},
    {"different kinds", T("by pH next higher\n3 5 in\n4 2 gal"), "2 gal", "'5 in' is a length",
     T("by pH next higher\n3 5 in\n4 2 ft")},
    {"different kinds", T("by pH next higher\n3 5 in\n4 yes"), "yes", "yes or no",
     T("by pH next higher\n3 no\n4 yes")},
    {"different kinds", T("by pH next higher in cfm\n3 5\n4 2\notherwise 3 gal"), "3 gal",
     "is a volume", T("by pH next higher in cfm\n3 5\n4 2\notherwise 3 gpm")},
    {"unknown word", T("by pH next higher\n3 light\n4 hevy"), "hevy", "did you mean 'heavy'?",
     T("by pH next higher\n3 light\n4 heavy")},
    {"tolerance in a rule", T("by pH next higher\n3 5 in +- 1 in\n4 6 in"), "5 in", "no tolerance",
     T("by pH next higher\n3 5 in\n4 6 in")},
};

/* The table is asked by the section. */
#define ASK(table, body) LAW("table t " table "\nend\n" S(body))
#define RATES "by duty, style in cfm\nwall island\nlight 100 1\nmedium 200 2\nheavy 300 3"

static const Case ask_cases[] = {
    {"parameters missing", ASK(RATES, "shall flow >= t(light)"), "t(light)", "2 keys",
     ASK(RATES, "shall flow >= t(light, wall)")},
    {"different kinds", ASK(RATES, "shall flow >= t(light, aisle)"), "aisle", "the key 'style'",
     ASK(RATES, "each g of grills shall flow >= t(g.duty, g.style)")},
    {"different kinds", ASK(RATES, "shall aisle >= t(light, wall)"), "aisle", "a flow",
     ASK(RATES, "shall flow >= t(light, wall)")},
    {"wrong use of a name", ASK(RATES, "shall flow >= t"), "t", "by its keys",
     ASK(RATES, "shall flow >= t(light, wall)")},
    {"unknown name", ASK(RATES, "shall flow >= t(lite, wall)"), "lite", "no fact",
     ASK(RATES, "shall flow >= t((light if tested otherwise heavy), wall)")},
    {"absence is not answered", ASK(RATES, "shall flow >= t(side_duty, wall)"), "side_duty", "none",
     ASK(RATES, "shall flow >= t(side_duty, wall), if provided")},
    {"absence is not answered",
     ASK("by duty in cfm\nlight 1\nmedium 2\nheavy none", "shall flow >= t(main_duty)"),
     "t(main_duty)", "cells that are none",
     ASK("by duty in cfm\nlight 1\nmedium 2\nheavy none", "shall flow >= t(main_duty), required")},
    {"absence is not answered",
     ASK("by duty in cfm\nlight 1\notherwise none", "shall flow >= t(main_duty)"), "t(main_duty)",
     "cells that are none",
     ASK("by duty in cfm\nlight 1\notherwise none",
         "shall flow >= (t(main_duty), or 0 cfm if none)")},
    {"equality with a tolerance",
     ASK("by level interpolated\n1 in 5\n2 in 6", "shall t(aisle) is 5"), "t(aisle)", "within",
     ASK("by level next higher\n1 in 5\n2 in 6", "shall t(aisle) is 5")},
};

START_TEST(test_keys)
{
    if (key_cases[_i].right != NULL) { /* the last one has a vocabulary of its own */
        run_error(&key_cases[_i]);
        return;
    }
    World world = WORLD("vocabulary other\n  fact one_word one of red, blue\n"
                        "  fact two_words one of red, green\n  topic a \"A\"\nend\n",
                        "code larder edition 2024 basis invented\n"
                        "table t by colour\nred 1\notherwise no rule\nend\n"
                        "table u by one_word\nred 1\notherwise no rule\nend\nend\n");
    LawTree *tree = law_of_code(world.arena, world.library, world.library->codes[0]);
    law_check(world.arena, world.library, tree, false, &world.diags);
    world_expect(&world, "type not said", "red", "", "by colour : CHOICE", __LINE__);
    world_free(&world);
}
END_TEST

START_TEST(test_shape)
{
    run_error(&shape_cases[_i]);
}
END_TEST

START_TEST(test_ask)
{
    run_error(&ask_cases[_i]);
}
END_TEST

/* Labels are stored ascending, whatever their order in the file, and the cells with them; bare
 * numbers take the table's unit. */
START_TEST(test_order)
{
    Checked checked = check_text_of(
        ASK("by level, duty in gpm\nheavy light medium\n20 gal .. 30 gal 1 2 3\nlevel < 20 gal 4 5 "
            "6 cfm\nlevel > 30 gal 7 none 9",
            "each k of tanks each g of grills shall flow >= t(k.capacity, g.duty), if provided"),
        false);
    ck_assert_msg(checked.world.diags.errors == 0, "%s", world_errors(&checked.world));
    const Line *line = &checked.law->sections[0].texts[0].readings[0].lines[0];
    ck_assert_int_eq(line->limit->op, CODE_TABLE);
    const Table *table = line->limit->table;
    ck_assert_uint_eq(table->columns, 3);
    ck_assert_uint_eq(table->keys[0].count, 3);
    ck_assert(table->keys[0].ranges[0].flags == (RANGE_NO_LOW | RANGE_HIGH_OPEN));
    ck_assert(table->keys[0].ranges[1].flags == 0);
    ck_assert(table->keys[0].ranges[2].flags == (RANGE_NO_HIGH | RANGE_LOW_OPEN));
    ck_assert_uint_eq(table->keys[1].words[0], 4);
    ck_assert_uint_eq(table->keys[1].words[1], 1);
    ck_assert_uint_eq(table->keys[1].words[2], 2);
    const Unit *gpm = unit_find(checked.world.arena, TEXT("gpm"), false);
    const Unit *cfm = unit_find(checked.world.arena, TEXT("cfm"), false);
    static const int rows[3][3] = {{4, 5, 6}, {1, 2, 3}, {7, 0, 9}};
    for (uint32_t row = 0; row < 3; row++) {
        for (uint32_t column = 0; column < 3; column++) {
            const Value *cell = &table->cells[row * 3 + column];
            int number = rows[row][column];
            if (number == 0) {
                ck_assert_uint_eq(cell->can, CAN_BE_NONE);
                ck_assert_uint_eq(cell->kind, VALUE_RANGE);
                continue;
            }
            Rational si =
                unit_to_si(checked.world.arena, number == 6 ? cfm : gpm, RATIONAL(number, 1));
            ck_assert_uint_eq(cell->can, CAN_BE_PRESENT);
            ck_assert_int_eq(rational_order(cell->range.low, si), 0);
        }
    }
    ck_assert_uint_eq(line->maybe_none_count, 1);
    ck_assert_ptr_eq(line->maybe_none[0], line->limit);
    done(&checked);
}
END_TEST

/* Many labels, in falling order: sorted, and none lost. */
START_TEST(test_many_labels)
{
    enum { LABELS = 1000 };
    World scratch = WORLD(check_vocabulary);
    Buffer text = buffer_make(scratch.arena);
    buffer_string(&text, "code larder edition 2024 basis invented\ntable t by pH next lower\n");
    for (int i = LABELS; i > 0; i--) {
        buffer_format(&text, "%d %d\n", i * 7 % 1009, i * 7 % 1009 * 2);
    }
    buffer_string(&text,
                  "end\nsection \"1\" topic space.aisle shall acidity >= t(acidity) end\nend\n");
    Checked checked = check_text_of(text_string(scratch.arena, buffer_done(&text)), false);
    ck_assert_msg(checked.world.diags.errors == 0, "%s", world_errors(&checked.world));
    const Table *table = checked.law->sections[0].texts[0].readings[0].lines[0].limit->table;
    for (uint32_t i = 0; i < LABELS; i++) {
        Rational label = table->keys[0].ranges[i].low;
        ck_assert(i == 0 || rational_order(table->keys[0].ranges[i - 1].low, label) < 0);
        ck_assert_int_eq(table->cells[i].range.low.num, label.num * 2);
    }
    done(&checked);
    world_free(&scratch);
}
END_TEST

Suite *check_table_suite(void)
{
    TCase *tcase = tcase_create("table");
    LOOP(tcase, test_keys, key_cases);
    LOOP(tcase, test_shape, shape_cases);
    LOOP(tcase, test_ask, ask_cases);
    tcase_add_test(tcase, test_order);
    tcase_add_test(tcase, test_many_labels);
    Suite *suite = suite_create("check_table");
    suite_add_tcase(suite, tcase);
    return suite;
}
