/* Checking of laws: each error with a text that has it and one that has not, from rule texts in
 * strings. `meaning` is the rule of the language that a case stands for (docs/language.md). The
 * demo law is invented. */
#include "check_world.h"

Suite *check_suite(void);

/* ---- names ---- */

static const Case name_cases[] = {
    {"unknown name", LAW(S("shall aile >= 24 in")), "aile", "did you mean 'aisle'?",
     LAW(S("shall aisle >= 24 in"))},
    {"unknown name", LAW(S("each o of openings shall width >= 24 in")), "width", "write 'o.width'",
     LAW(S("each o of openings shall o.width >= 24 in"))},
    {"unknown fact", LAW(S("each o of openings shall o.widht >= 24 in")), "widht",
     "did you mean 'width'?", LAW(S("each o of openings shall o.width >= 24 in"))},
    {"unknown word", LAW(S("each o of openings where o.use is servce shall o.width >= 24 in")),
     "servce", "did you mean 'service'?",
     LAW(S("each o of openings where o.use is service shall o.width >= 24 in"))},
    {"unknown word",
     LAW(S("each o of openings where o.use among (service, vents) "
           "shall o.width >= 24 in")),
     "vents", "did you mean 'vent'?",
     LAW(S("each o of openings where o.use among (service, vent) shall o.width >= 24 in"))},
    {"unknown topic", LAW("section \"1\" topic space.isle shall aisle >= 24 in end\n"),
     "space.isle", "did you mean 'space.aisle'?", LAW(S("shall aisle >= 24 in"))},
    {"topic not said", LAW("section \"1\" shall aisle >= 24 in end\n"), "\"1\"", "topic",
     LAW(S("shall aisle >= 24 in"))},
    {"unknown rank", LAW(S("rank priority shall aisle >= 24 in")), "priority", "no rank 'priority'",
     LAW(S("rank priority foundation shall aisle >= 24 in"))},
    {"unknown section", LAW(S("notwithstanding \"12\" shall aisle >= 24 in")), "\"12\"", "12",
     LAW(S("notwithstanding \"2\" shall aisle >= 24 in") "section \"2\" topic space.aisle shall "
                                                         "aisle >= 30 in end\n")},
    {"unknown step",
     LAW(WITH("worksheet air \"Air\" step need \"Needed\" 2 * flow in cfm end",
              "shall flow >= air.neet")),
     "neet", "did you mean 'need'?",
     LAW(WITH("worksheet air \"Air\" step need \"Needed\" 2 * flow in cfm end",
              "shall flow >= air.need"))},
    {"unknown label",
     LAW(S("shall wide: aisle >= 24 in shall high: floor >= 2 ft2 except to hihg where tested")),
     "hihg", "did you mean 'high'?",
     LAW(S("shall wide: aisle >= 24 in shall high: floor >= 2 ft2 except to high where tested"))},
    {"unknown word", LAW(S("shall tanks[\"frsh\"].capacity >= 5 gal, if provided")), "tanks[",
     "did you mean 'fresh'?", LAW(S("shall tanks[\"fresh\"].capacity >= 5 gal, if provided"))},
    {"no key", LAW(S("shall grills[\"big\"].span >= 5 in, if provided")), "grills[", "key",
     LAW(S("shall sinks[\"big\"].along >= 5 in, if provided"))},
    {"a list has no facts of its own", LAW(S("shall sinks.along >= 5 in")), "sinks", "each",
     LAW(S("shall every s of sinks: s.along >= 5 in"))},
    {"nothing within", LAW(S("shall aisle.width >= 5 in")), "width", "'aisle' is a length",
     LAW(S("shall aisle >= 5 in"))},
    {"wrong use of a name",
     LAW(WITH("worksheet air \"Air\" step need \"Needed\" 2 * flow in cfm end",
              "shall flow >= air")),
     "air", "worksheet",
     LAW(WITH("worksheet air \"Air\" step need \"Needed\" 2 * flow in cfm end",
              "shall flow >= air.need"))},
    {"defined twice", LAW(WITH("define a = 2 in\ndefine a = 3 in", "shall aisle >= a")), "a",
     "first defined here", LAW(WITH("define a = 2 in\ndefine b = 3 in", "shall aisle >= a + b"))},
    {"defined twice",
     LAW(S("reading a define w = 1 in reading a define w = 2 in shall aisle >= w")), "a",
     "two readings",
     LAW(S("reading a define w = 1 in reading b define w = 2 in shall aisle >= w"))},
    {"name is taken", LAW(WITH("define max = 2 in", "shall aisle >= 2 in")), "max", "language",
     LAW(WITH("define most = 2 in", "shall aisle >= most"))},
    {"name is taken", LAW(S("define review_date = 2 in shall aisle >= 2 in")), "review_date",
     "language", LAW(S("define date_of_review = 2 in shall aisle >= 2 in"))},
    {"defined twice", LAW(S("define a = 2 in define a = 3 in shall aisle >= a")), "a",
     "first defined here", LAW(S("define a = 2 in define b = 3 in shall aisle >= a + b"))},
    {"defined twice", LAW(S("each s of sinks each s of sinks shall s.along >= 2 in")), "s",
     "named here", LAW(S("each s of sinks each r of sinks shall s.along >= r.along"))},
    {"defined twice", LAW(S("shall w: aisle >= 2 in shall w: floor >= 2 in2")), "w",
     "label of two lines", LAW(S("shall w: aisle >= 2 in shall f: floor >= 2 in2"))},
};

START_TEST(test_names)
{
    run_error(&name_cases[_i]);
}
END_TEST

/* Words win over variables on the right of a comparison, and elsewhere they are no words. */
START_TEST(test_words_win)
{
    Checked checked = check_text_of(LAW(S("each vent of openings where vent.use is vent "
                                          "shall vent.width >= 24 in")),
                                    false);
    ck_assert_msg(checked.world.diags.errors == 0, "%s", world_errors(&checked.world));
    const EachCode *each = &checked.law->sections[0].texts[0].readings[0].eachs[0];
    ck_assert_int_eq(each->where->op, CODE_COMPARE_WORDS);
    ck_assert_int_eq(each->where->b->op, CODE_CONSTANT);
    ck_assert_uint_eq(each->where->b->value->words, UINT64_C(1) << 2);
    done(&checked);
}
END_TEST

/* ---- kinds ---- */

static const Case kind_cases[] = {
    {"different kinds", LAW(S("shall aisle >= 40 gal")), "aisle >= 40 gal", "'40 gal' is a volume",
     LAW(S("shall aisle >= 40 in"))},
    {"different kinds", LAW(S("shall aisle + floor >= 40 in")), "aisle + floor",
     "'floor' is an area", LAW(S("shall aisle + aisle >= 40 in"))},
    {"different kinds", LAW(S("shall tested is 5")), "tested is 5", "'tested' is yes or no",
     LAW(S("shall tested is yes"))},
    {"different kinds", LAW(S("shall aisle >= (5 in if tested otherwise 3 gal)")), "(5 in if",
     "'3 gal' is a volume", LAW(S("shall aisle >= (5 in if tested otherwise 3 in)"))},
    {"different kinds", LAW(S("shall aisle >= 5 in if tested otherwise 3 in")), "aisle >= 5 in if",
     "write '(5 in if tested otherwise 3 in)'",
     LAW(S("shall aisle >= (5 in if tested otherwise 3 in)"))},
    {"different kinds", LAW(S("shall aisle >= max(5 in, 3 gal)")), "3 gal", "'3 gal' is a volume",
     LAW(S("shall aisle >= max(5 in, 3 ft)"))},
    {"different kinds", LAW(S("shall gas_pressure <= 11 psia")), "gas_pressure",
     "absolute pressure", LAW(S("shall gas_pressure <= 11 psig"))},
    {"unit missing", LAW(S("shall aisle >= 24")), "24", "write '24 in' if",
     LAW(S("shall aisle >= 24 in"))},
    {"unit missing", LAW(S("shall aisle >= headroom + 2, if provided")), "2", "write '2 in' if",
     LAW(S("shall aisle >= headroom + 2 in, if provided"))},
    {"unit missing", LAW(S("shall slope <= 0.02")), "0.02", "no % sign",
     LAW(S("shall slope <= 2%"))},
    {"percent of what", LAW(S("shall flow >= flow + 15%")), "15%", "flow + 15% of flow",
     LAW(S("shall flow >= 15% of flow"))},
    {"percent of what", LAW(S("shall slope >= slope - 15%")), "15%", "of what",
     LAW(S("shall slope >= 15% of slope"))},
    {"tolerance in a rule", LAW(S("shall aisle >= 24 in +- 1/8 in")), "24 in", "tolerance",
     LAW(S("shall aisle within 1/8 in of 24 in"))},
    {"equality with a tolerance", LAW(S("shall aisle = 24 in")), "aisle = 24 in",
     "aisle within ... of 24 in", LAW(S("shall aisle within 1/8 in of 24 in"))},
    {"equality with a tolerance", LAW(S("shall sqrt(floor) is 24 in")), "sqrt", "within",
     LAW(S("shall sqrt(floor) >= 24 in"))},
    {"nothing is measured", LAW(S("shall 24 in <= aisle")), "24 in", "limit on the right",
     LAW(S("shall aisle >= 24 in"))},
    {"nothing is measured", LAW(S("define a = 2 in shall a <= aisle")), "a", "limit",
     LAW(S("define a = 2 in shall aisle >= a"))},
    {"no order", LAW(S("each g of grills shall g.style <= island")), "g.style", "no order",
     LAW(S("each g of grills shall g.duty <= medium"))},
    {"no order", LAW(S("shall tested < yes")), "tested", "no order", LAW(S("shall tested = yes"))},
    {"no order", LAW(S("shall note > \"a\", required")), "note", "'is' only",
     LAW(S("shall note is \"a\", required"))},
    {"no order", LAW(S("define s = greatest of g.style for g of grills shall count of grills > 0")),
     "g.style", "'<'",
     LAW(S("define s = greatest of g.duty for g of grills shall count of grills > 0"))},
    {"not a date", LAW(S("shall aisle before 24 in")), "aisle", "dates",
     LAW(S("shall built before 2024-01-01"))},
    {"cannot be compared", LAW(S("shall basin >= 2 in x 2 in x 2 in")), "basin", "holds",
     LAW(S("shall basin holds 2 in x 2 in x 2 in"))},
    {"cannot be compared", LAW(S("each s of sinks shall s is s")), "s is s", "facts",
     LAW(S("each s of sinks shall s.name is s.name"))},
    {"not a size", LAW(S("shall basin holds aisle")), "aisle", "'aisle' is a length",
     LAW(S("shall basin holds aisle x 2 in x 2 in"))},
    {"not a size", LAW(S("shall basin holds 2 in x 3 in")), "2 in x 3 in", "three sides",
     LAW(S("shall basin holds 2 in x 3 in x 4 in"))},
    {"different kinds", LAW(S("shall basin holds 2 in x 3 gal x 4 in")), "3 gal", "lengths",
     LAW(S("shall basin holds 2 in x 3 in x 4 in in any orientation"))},
    {"not a condition", LAW(S("shall aisle")), "aisle", "'aisle' is a length",
     LAW(S("shall tested"))},
    {"not a condition", LAW(S("shall tested and seats")), "seats", "a number",
     LAW(S("shall tested and seats > 2"))},
    {"not a list", LAW(S("each a of aisle shall aisle >= 2 in")), "aisle", "a list is due",
     LAW(S("each s of sinks shall aisle >= 2 in"))},
    {"not a number", LAW(S("shall aisle >= 2 * tested")), "tested", "yes or no",
     LAW(S("shall aisle >= 2 * aisle"))},
    {"no such root", LAW(S("shall aisle >= sqrt(aisle)")), "sqrt(aisle)", "'aisle' is a length",
     LAW(S("shall aisle >= sqrt(floor)"))},
    {"not an exponent", LAW(S("shall floor >= power(aisle, seats)")), "seats", "power",
     LAW(S("shall floor >= power(aisle, 2)"))},
    {"no step", LAW(S("shall aisle >= round up to 0 in of aisle")), "0 in", "above zero",
     LAW(S("shall aisle >= round up to 1/2 in of aisle"))},
    {"cannot be totalled", LAW(S("shall count of sinks >= total of s.name for s of sinks")),
     "s.name", "no total", LAW(S("shall aisle >= total of s.along for s of sinks"))},
    {"not an item", LAW(S("each s of sinks shall gap between s and sinks >= 2 in")), "sinks",
     "one item", LAW(S("each pair s, r of sinks shall gap between s and r >= 2 in"))},
    {"no place in the plan",
     LAW(S("each o of openings each s of sinks shall gap between s and o >= 2 in")), "o",
     "no place", LAW(S("each pair s, r of sinks shall gap between s and r >= 2 in"))},
    {"no place in the plan",
     LAW(S("each g of grills each s of sinks shall gap between s and g >= 2 in")), "gap",
     "along a line only", LAW(S("each pair g, f of grills shall gap between g and f >= 2 in"))},
    {"cannot be chosen",
     LAW(S("each s of sinks each r of sinks define m = s if tested otherwise r "
           "shall m.along >= 2 in")),
     "s if", "chooses values",
     LAW(S("each s of sinks each r of sinks "
           "shall aisle >= (s.along if tested otherwise r.along)"))},
    {"nothing required", LAW(S("when tested")), "\"1\"", "shall",
     LAW(S("when tested shall aisle >= 2 in"))},
    {"each prevails over the other",
     LAW(S("notwithstanding \"2\" shall aisle >= 2 in") "section \"2\" topic space.aisle "
                                                        "notwithstanding \"1\" shall aisle >= 2 in "
                                                        "end\n"),
     "\"1\"", "neither is judged",
     LAW(S("notwithstanding \"2\" shall aisle >= 2 in") "section \"2\" topic space.aisle shall "
                                                        "aisle >= 2 in end\n")},
};

START_TEST(test_kinds)
{
    run_error(&kind_cases[_i]);
}
END_TEST

/* meaning: temperatures are points on a scale. */
static const Case point_cases[] = {
    {"points are not added", LAW(S("shall warm >= cold + 10 degF")), "cold + 10 degF",
     "'10 degF rise'", LAW(S("shall warm >= cold + 10 degF rise"))},
    {"points are not scaled", LAW(S("shall warm >= 2 * cold")), "cold", "a point on a scale",
     LAW(S("shall warm - cold >= 2 * (cold - warm)"))},
    {"points are not scaled", LAW(S("shall warm >= 50% of cold")), "cold", "a point on a scale",
     LAW(S("shall warm - cold >= 50% of (cold - warm)"))},
    {"points are not scaled", LAW(S("shall warm >= -cold")), "cold", "negate",
     LAW(S("shall warm - cold >= -(cold - warm)"))},
    {"different kinds", LAW(S("shall warm - cold >= 10 degF")),
     "warm - cold >=", "'10 degF' is a temperature", LAW(S("shall warm - cold >= 10 degF rise"))},
    {"a point where a difference is due", LAW(S("shall warm within 2 degF of 41 degF")), "2 degF",
     "'2 degF rise'", LAW(S("shall warm within 2 degF rise of 41 degF"))},
    {"different kinds", LAW(S("shall warm >= 10 degF rise - cold")), "10 degF rise - cold",
     "subtract", LAW(S("shall warm >= cold - 10 degF rise"))},
    {"different kinds", LAW(S("shall built >= built + built")), "built + built", "a date",
     LAW(S("shall built >= built + 30 days"))},
    {"different kinds", LAW(S("shall built >= 30 days - built")), "30 days - built", "a date",
     LAW(S("shall review_date - built <= 30 days"))},
    {"different kinds", LAW(S("shall built - aisle >= 2024-01-01")), "built - aisle", "a length",
     LAW(S("shall built - 2 days >= 2024-01-01"))},
};

START_TEST(test_points)
{
    run_error(&point_cases[_i]);
}
END_TEST

/* ---- definitions ---- */

static const Case define_cases[] = {
    {"definitions in a circle",
     LAW(WITH("define a = b + 1 in\ndefine b = c + 1 in\ndefine c = a + 1 in", "shall aisle >= b")),
     "a", "'c' is used by 'b'",
     LAW(WITH("define a = b + 1 in\ndefine b = c + 1 in\ndefine c = 1 in", "shall aisle >= a"))},
    {"definitions in a circle",
     LAW(WITH("define a(l: length) = a(l) + 1 in", "shall aisle >= 2 in")), "a", "by itself",
     LAW(WITH("define a(l: length) = l + 1 in", "shall aisle >= a(a(2 in))"))},
    {"definitions in a circle",
     LAW(WITH("worksheet w \"W\" step xx \"X\" yy + 1 in in ft step yy \"Y\" xx in ft end",
              "shall aisle >= 2 in")),
     "xx", "by itself",
     LAW(WITH("worksheet w \"W\" step xx \"X\" yy + 1 in in ft step yy \"Y\" aisle in ft end",
              "shall aisle >= w.xx"))},
    {"parameters missing", LAW(WITH("define f(l: length) = 2 * l", "shall aisle >= f")), "f",
     "write 'f(...)'", LAW(WITH("define f(l: length) = 2 * l", "shall aisle >= f(2 in)"))},
    {"parameters missing", LAW(WITH("define f(l: length) = 2 * l", "shall aisle >= f(2 in, 3 in)")),
     "f(", "takes 1", LAW(WITH("define f(l: length) = 2 * l", "shall aisle >= f(3 in)"))},
    {"different kinds", LAW(WITH("define f(l: length) = 2 * l", "shall aisle >= f(2 gal)")),
     "2 gal", "parameter 'l'", LAW(WITH("define f(l: length) = 2 * l", "shall aisle >= f(2 ft)"))},
    {"unknown word",
     LAW(WITH("define f(d: duty) = 2 in if d is heavvy otherwise 3 in", "shall aisle >= f(light)")),
     "heavvy", "did you mean 'heavy'?",
     LAW(WITH("define f(d: duty) = 2 in if d is heavy otherwise 3 in", "shall aisle >= f(light)"))},
    {"unknown name", LAW(WITH("define f = s.along", "each s of sinks shall s.along >= f")), "s",
     "no fact", LAW(S("define f = s.along each s of sinks shall s.along >= f"))},
    {"unknown name",
     LAW(S("define f = s.along each r of those t of sinks where t.along > f "
           "each s of sinks shall s.along >= r.along")),
     "s", "no fact",
     LAW(S("define f = s.along each s of sinks each r of those t of sinks where t.along > f "
           "shall s.along >= r.along"))},
    /* what nobody uses is checked all the same */
    {"different kinds", LAW(WITH("define f = 2 in + 3 gal", "shall aisle >= 2 in")), "2 in + 3 gal",
     "a volume", LAW(WITH("define f = 2 in + 3 in", "shall aisle >= 2 in"))},
    {"different kinds", LAW(S("define f = 2 in + 3 gal shall aisle >= 2 in")), "2 in + 3 gal",
     "a volume", LAW(S("define f = 2 in + 3 in shall aisle >= 2 in"))},
    {"wrong use of a name",
     LAW(WITH("worksheet w \"W\" each s of sinks step xx \"X\" s.along in ft end",
              "shall aisle >= w.xx")),
     "w.xx", "one value per item",
     LAW(WITH("worksheet w \"W\" each s of sinks step xx \"X\" s.along in ft "
              "step yy \"Y\" w.xx + xx in ft end",
              "shall aisle >= 2 in"))},
    {"different kinds",
     LAW(WITH("worksheet w \"W\" step xx \"X\" aisle in gal end", "shall aisle >= w.xx")), "gal",
     "'aisle' is a length",
     LAW(WITH("worksheet w \"W\" step xx \"X\" aisle in ft step d \"D\" warm - cold in degF end",
              "shall aisle >= w.xx"))},
};

START_TEST(test_definitions)
{
    run_error(&define_cases[_i]);
}
END_TEST

/* Slots of one frame are distinct; a definition is compiled once. */
START_TEST(test_slots)
{
    Checked checked =
        check_text_of(LAW(WITH("define big = 2 * aisle\ndefine f(l: length) = l + big",
                               "each s of sinks define mine = s.along + big "
                               "shall s.along >= f(mine) shall aisle >= f(big) "
                               "shall every r of sinks: r.along >= mine")),
                      false);
    ck_assert_msg(checked.world.diags.errors == 0, "%s", world_errors(&checked.world));
    const SectionText *text = &checked.law->sections[0].texts[0].readings[0];
    const Code *first = text->lines[0].limit;
    const Code *second = text->lines[1].limit;
    ck_assert_int_eq(first->op, CODE_CALL);
    ck_assert_uint_eq(first->slot, second->slot);
    ck_assert_ptr_eq(first->a, second->a);
    ck_assert_int_eq(first->args[0]->op, CODE_DEFINED);
    uint32_t slots[] = {text->eachs[0].slot_a, first->slot, first->args[0]->slot,
                        second->args[0]->slot, text->lines[2].requirement->slot};
    for (size_t i = 0; i < 5; i++) {
        ck_assert_uint_lt(slots[i], text->slots);
        for (size_t j = 0; j < i; j++) {
            ck_assert_uint_ne(slots[i], slots[j]);
        }
    }
    ck_assert_uint_ge(checked.law->max_slots, text->slots);
    done(&checked);
}
END_TEST

/* A chain of definitions is as deep as evaluation may go, and no deeper. */
START_TEST(test_depth)
{
    World scratch = WORLD(check_vocabulary);
    Buffer text = buffer_make(scratch.arena);
    buffer_string(&text, "code larder edition 2024 basis invented\n");
    for (int i = 0; i < 3000; i++) {
        buffer_format(&text, "define d%d = %s%d + 1 in\n", i, i == 0 ? "aisle * " : "d",
                      i == 0 ? 1 : i - 1);
    }
    buffer_string(&text, "section \"1\" topic space.aisle shall aisle >= d2999 end\nend\n");
    Checked deep = check_text_of(text_string(scratch.arena, buffer_done(&text)), false);
    ck_assert_uint_ge(deep.world.diags.errors, 1);
    ck_assert_str_eq(deep.world.diags.first->name, "nested too deeply");
    done(&deep);
    world_free(&scratch);
}
END_TEST

/* ---- lines, limits, standing ---- */

START_TEST(test_measured)
{
    Checked checked = check_text_of(
        LAW(S("rank core authority health may advise stage final rework frame "
              "shall wide: aisle >= 2 ft shall not floor > 20 ft2 shall main_duty <= medium "
              "shall built after 2020-01-01 shall tested shall seats is 3 "
              "shall flow >= max(150% of flow, 75 gpm)")),
        false);
    ck_assert_msg(checked.world.diags.errors == 0, "%s", world_errors(&checked.world));
    const Section *section = &checked.law->sections[0];
    ck_assert_uint_eq(section->stages, 1u << STAGE_FINAL);
    ck_assert_uint_eq(section->rework, REWORK_FRAME);
    ck_assert(section->advises);
    const Line *lines = section->texts[0].readings[0].lines;
    ck_assert_int_eq(lines[0].compare, COMPARE_GREATER_EQUAL);
    ck_assert(text_equal(lines[0].unit->spelling, TEXT("ft")));
    ck_assert(text_equal(lines[0].label->text, TEXT("wide")));
    ck_assert(lines[1].negated);
    ck_assert_int_eq(lines[1].compare, COMPARE_GREATER);
    ck_assert_ptr_nonnull(lines[2].measured);
    ck_assert_ptr_nonnull(lines[3].measured);
    ck_assert_ptr_null(lines[4].measured);
    ck_assert_ptr_nonnull(lines[5].measured);
    ck_assert(text_equal(lines[6].unit->spelling, TEXT("gpm")));
    ck_assert_uint_eq(lines[6].index, 7);
    done(&checked);
    Checked plain = check_text_of(LAW(S("shall aisle >= 2 ft")), false);
    ck_assert_uint_eq(plain.law->sections[0].stages, 1u << STAGE_PLAN);
    ck_assert_uint_eq(plain.law->sections[0].texts[0].readings[0].basis.kind, BASIS_INVENTED);
    done(&plain);
}
END_TEST

START_TEST(test_exceptions)
{
    Checked checked =
        check_text_of(LAW(S("shall wide: aisle >= 2 ft shall high: floor >= 1 ft2 "
                            "except to high where tested by \"9\" unless seats > 2 by \"8\" "
                            "shall floor >= 2 ft2 shall aisle >= 1 ft "
                            "except with approval of \"screens\"")),
                      false);
    ck_assert_msg(checked.world.diags.errors == 0, "%s", world_errors(&checked.world));
    const SectionText *text = &checked.law->sections[0].texts[0].readings[0];
    ck_assert_uint_eq(text->exception_count, 2);
    ck_assert_uint_eq(text->exceptions[0].covers, 2);
    ck_assert_uint_eq(text->exceptions[0].unless_count, 1);
    ck_assert_uint_eq(text->exceptions[0].line_count, 2);
    ck_assert_uint_eq(text->exceptions[0].lines[1].index, 4);
    ck_assert(text->exceptions[1].by_approval);
    ck_assert_uint_eq(text->exceptions[1].covers, UINT64_MAX);
    done(&checked);
}
END_TEST

START_TEST(test_basis)
{
    Checked unsaid = check_text_of("code larder edition 2024\n"
                                   "section \"1\" topic space.aisle shall aisle >= 2 in end\nend\n",
                                   false);
    world_expect(&unsaid.world, "basis not said", "\"1\"", "", "basis invented", __LINE__);
    done(&unsaid);
    Checked said = check_text_of("code larder edition 2024\nsection \"1\" topic space.aisle "
                                 "shall aisle >= 2 in basis practice end\nend\n",
                                 false);
    ck_assert_uint_eq(said.world.diags.errors, 0);
    done(&said);
}
END_TEST

/* ---- readings (meaning: a reading that nobody chose is not chosen by us) ---- */

static const char *reading_names(const Checked *checked, Arena *arena)
{
    Buffer out = buffer_make(arena);
    const TextInForce *text = &checked->law->sections[0].texts[0];
    for (uint32_t i = 0; i < text->reading_count; i++) {
        const Name *name = text->readings[i].reading;
        buffer_format(&out, "%s%.*s", i > 0 ? " | " : "", name == NULL ? 1 : (int)name->text.len,
                      name == NULL ? "-" : name->text.data);
    }
    return text_string(arena, buffer_done(&out));
}

static void expect_readings(const char *text, const char *expected)
{
    Checked checked = check_text_of(text, false);
    ck_assert_msg(checked.world.diags.errors == 0, "%s", world_errors(&checked.world));
    ck_assert_str_eq(reading_names(&checked, checked.world.arena), expected);
    done(&checked);
}

#define SHARED                                                                       \
    "reading wide_view define room = 2 in\nreading narrow_view define room = 3 in\n" \
    "reading other_view define more = 3 in\n"

START_TEST(test_readings)
{
    expect_readings(LAW(S("shall aisle >= 2 in")), "-");
    expect_readings(
        LAW(S("reading a define xx = 1 in reading b define xx = 2 in shall aisle >= xx")), "a | b");
    expect_readings(LAW(WITH(SHARED, "shall aisle >= 2 in")), "-");
    expect_readings(LAW(WITH(SHARED, "shall aisle >= room")), "wide_view | narrow_view");
    expect_readings(LAW(WITH(SHARED, "shall aisle >= more")), "other_view");
    expect_readings(LAW(WITH("define twice = 2 * room\n" SHARED, "shall aisle >= twice")),
                    "wide_view | narrow_view");
    expect_readings(LAW(WITH(SHARED, "reading a define xx = 1 in reading b define xx = 2 in "
                                     "shall aisle >= xx + room")),
                    "a, wide_view | b, wide_view | a, narrow_view | b, narrow_view");
}
END_TEST

static const Case reading_cases[] = {
    {"unknown name",
     LAW(S("reading a define xx = 1 in define yy = 1 in reading b define xx = 2 in "
           "shall aisle >= xx + yy")),
     "yy", "'yy'",
     LAW(S(
         "reading a define xx = 1 in define yy = 1 in reading b define xx = 2 in define yy = 2 in "
         "shall aisle >= xx + yy"))},
    {"unknown name",
     LAW(WITH("reading a define xx = 1 in define yy = 1 in\nreading b define xx = 2 in",
              "shall aisle >= xx + yy")),
     "yy", "the reading 'b' does not define 'yy'",
     LAW(WITH("reading a define xx = 1 in define yy = 1 in\n"
              "reading b define xx = 2 in define yy = 2 in",
              "shall aisle >= xx + yy"))},
    {"different kinds",
     LAW(WITH("reading a define xx = 1 in\nreading b define xx = 2 gal", "shall aisle >= xx")),
     "aisle >= xx", "a volume",
     LAW(WITH("reading a define xx = 1 in\nreading b define xx = 2 ft", "shall aisle >= xx"))},
};

START_TEST(test_reading_errors)
{
    run_error(&reading_cases[_i]);
}
END_TEST

/* ---- a jurisdiction's texts ---- */

#define HALLOWAY(changes)                           \
    "jurisdiction halloway \"State of Halloway\"\n" \
    "  adopts larder edition 2024 in force from 2025-01-01 by \"Reg. 1\"\n" changes "end\n"

static Checked check_halloway(const char *code, const char *state)
{
    Checked checked = {.world = WORLD(check_vocabulary, code, state)};
    World *world = &checked.world;
    checked.tree = world_law(world, "halloway", "2025-06-01");
    checked.law = law_check(world->arena, world->library, checked.tree, false, &world->diags);
    diagnostics_sort(&world->diags);
    return checked;
}

/* meaning: a limit is replaced whole; it sees the section's own names, and the county's. */
START_TEST(test_limit_replaced)
{
    const char *code = LAW(
        WITH("define shared = 9 in", "define mine = 4 in + shared shall aisle >= max(mine, 7 in)"));
    Checked checked = check_halloway(code, HALLOWAY("amend \"1\" limit to mine + ours + shared\n"
                                                    "define ours = 5 in\n"));
    ck_assert_msg(checked.world.diags.errors == 0, "%s", world_errors(&checked.world));
    const Line *line = first_line(&checked);
    ck_assert_int_eq(line->limit->op, CODE_ADD);
    ck_assert(text_equal(line->limit->source->path, TEXT("2.shall")));
    ck_assert(text_equal(line->measured->source->path, TEXT("1.shall")));
    done(&checked);
    Checked wrong = check_halloway(code, HALLOWAY("amend \"1\" limit to 4 gal\n"));
    world_expect(&wrong.world, "different kinds", "aisle", "4 gal", "a volume", __LINE__);
    done(&wrong);
    Checked code_text =
        check_halloway(LAW(S("shall aisle >= ours")), HALLOWAY("define ours = 5 in\n"));
    world_expect(&code_text.world, "unknown name", "ours", NULL, "", __LINE__);
    done(&code_text);
}
END_TEST

START_TEST(test_reading_applied)
{
    const char *code = LAW(S("reading a define xx = 1 in reading b define xx = 2 in "
                             "shall aisle >= xx"));
    Checked checked = check_halloway(code, HALLOWAY("applies reading b in \"1\"\n"));
    ck_assert_msg(checked.world.diags.errors == 0, "%s", world_errors(&checked.world));
    ck_assert_str_eq(reading_names(&checked, checked.world.arena), "b");
    done(&checked);
    Checked shared = check_halloway(LAW(WITH(SHARED, "shall aisle >= room")),
                                    HALLOWAY("applies reading narrow_view\n"));
    ck_assert_msg(shared.world.diags.errors == 0, "%s", world_errors(&shared.world));
    ck_assert_str_eq(reading_names(&shared, shared.world.arena), "narrow_view");
    done(&shared);
}
END_TEST

/* The same text checked in two laws gives each message once. */
START_TEST(test_messages_once)
{
    World world =
        WORLD(check_vocabulary, LAW(S("shall aisle >= 4 gal shall aile >= 4 in")), HALLOWAY(""));
    LawTree *state = world_law(&world, "halloway", "2025-06-01");
    LawTree *code = law_of_code(world.arena, world.library, world.library->codes[0]);
    law_check(world.arena, world.library, state, false, &world.diags);
    law_check(world.arena, world.library, code, false, &world.diags);
    diagnostics_sort(&world.diags);
    ck_assert_msg(world.diags.errors == 2, "%s", world_errors(&world));
    world_free(&world);
}
END_TEST

START_TEST(test_worksheets)
{
    Checked checked =
        check_text_of(LAW(WITH(SHARED "worksheet w \"Room\" define d = 2 * room each s of sinks "
                                      "step xx \"X\" s.along + d in ft cites \"5\" end",
                               "shall aisle >= 2 in")),
                      false);
    ck_assert_msg(checked.world.diags.errors == 0, "%s", world_errors(&checked.world));
    ck_assert_uint_eq(checked.law->worksheet_count, 2); /* one for each reading */
    const Worksheet *sheet = &checked.law->worksheets[1];
    ck_assert(text_equal(sheet->title, TEXT("Room (reading narrow_view)")));
    ck_assert_uint_eq(sheet->each_count, 1);
    ck_assert_uint_eq(sheet->step_count, 1);
    ck_assert(text_equal(sheet->steps[0].unit->spelling, TEXT("ft")));
    ck_assert_int_eq(sheet->steps[0].value->op, CODE_DEFINED);
    done(&checked);
}
END_TEST

/* Dates are days and times are seconds: the code converts. */
START_TEST(test_date_sums)
{
    Checked checked = check_text_of(
        LAW(S("shall review_date - built <= 30 days shall built + 2 days >= 2024-01-01")), false);
    ck_assert_msg(checked.world.diags.errors == 0, "%s", world_errors(&checked.world));
    const SectionText *text = &checked.law->sections[0].texts[0].readings[0];
    const Code *span = text->lines[0].measured;
    ck_assert_int_eq(span->op, CODE_MULTIPLY);
    ck_assert_int_eq(span->b->value->range.low.num, 86400);
    ck_assert(text_equal(text->lines[0].unit->spelling, TEXT("days")));
    ck_assert(text->reads_review_date);
    const Code *sum = text->lines[1].measured;
    ck_assert_int_eq(sum->op, CODE_ADD);
    ck_assert_int_eq(sum->type.class, CLASS_DATE);
    ck_assert_int_eq(sum->b->op, CODE_DIVIDE);
    done(&checked);
}
END_TEST

/* ---- warnings ---- */

#define SHOWN "worked example \"e\" finds \"1\" complies end\n"

typedef struct Warned {
    const char *name;
    const char *wrong;
    const char *at;
    const char *right;
} Warned;

static const Warned warnings[] = {
    {"no worked example", LAW(S("shall aisle >= 2 in")), "\"1\"",
     LAW(S("shall aisle >= 2 in") SHOWN)},
    {"printed twin disagrees", LAW(S("shall aisle >= 76 in (188 cm)") SHOWN), "76 in",
     LAW(S("shall aisle >= 76 in (193 cm)") SHOWN)},
    {"printed twin disagrees",
     LAW(WITH("table t by w next higher\n2 in (60 mm) 3\n4 in (102 mm) 5\nend",
              "shall acidity >= t(aisle)") SHOWN),
     "2 in",
     LAW(WITH("table t by w next higher\n2 in (51 mm) 3\n4 in (102 mm) 5\nend",
              "shall acidity >= t(aisle)") SHOWN)},
    {"unused definition", LAW(S("define a = 2 in shall aisle >= 2 in") SHOWN), "a",
     LAW(S("define a = 2 in shall aisle >= 2 in remedy \"Take {a}.\"") SHOWN)},
    {"unused definition", LAW(WITH("define a = 2 in", "shall aisle >= 2 in") SHOWN), "a",
     LAW(WITH("define a = 2 in", "shall aisle >= a") SHOWN)},
    {"decided by the vocabulary", LAW(S("shall aisle >= 0 in") SHOWN), "aisle",
     LAW(S("shall aisle > 0 in") SHOWN)},
    {"decided by the vocabulary", LAW(S("shall pass_width <= 61 in, required") SHOWN), "pass_width",
     LAW(S("shall pass_width <= 60 in - 1 in, required") SHOWN)},
    {"unknown section", LAW(S("shall aisle >= 2 in except where tested by \"9\"") SHOWN), "\"9\"",
     LAW("omitted section \"9(a)\" \"not read\"\n" S(
         "shall aisle >= 2 in except where tested by \"9\"") SHOWN)},
    {"no such item required", LAW(S("each s of sinks shall s.along >= 2 in") SHOWN), "space.aisle",
     LAW(S("each s of sinks shall s.along >= 2 in") SHOWN
         "section \"2\" topic space.aisle shall count of sinks >= 1 end\n"
         "worked example \"f\" finds \"2\" complies end\n")},
    {"absence answered in vain", LAW(S("shall aisle >= 2 in, if provided") SHOWN), "shall",
     LAW(S("shall headroom >= 2 in, if provided") SHOWN)},
    {"absence answered in vain", LAW(S("shall aisle >= 2 in, or 0 in if none") SHOWN), "0 in",
     LAW(S("shall headroom >= 2 in, or 0 in if none") SHOWN)},
    {"never none", LAW(S("shall aisle is not none") SHOWN), "aisle",
     LAW(S("shall headroom is not none") SHOWN)},
    {"unknown message", LAW(S("shall aisle >= 2 in stet \"no exmple\" \"why\"") SHOWN), "stet",
     LAW(S("shall aisle >= 2 in stet \"no worked example\" \"why\""))},
    {"no worked example", LAW(S("shall aisle >= 2 in")), "\"1\"",
     LAW(S("shall aisle >= 2 in stet \"no worked example\" \"why\""))},
};

START_TEST(test_warnings)
{
    const Warned *one = &warnings[_i];
    Checked wrong = check_text_of(one->wrong, true);
    World *world = &wrong.world;
    ck_assert_msg(world_find(world, one->name, one->at) != NULL, "no '%s' at '%s': %s", one->name,
                  one->at, world_errors(world));
    ck_assert_msg(world->diags.warnings == 1 && world->diags.errors == 0, "%s",
                  world_errors(world));
    done(&wrong);
    Checked right = check_text_of(one->right, true);
    ck_assert_msg(right.world.diags.warnings + right.world.diags.errors == 0, "in\n%s\n%s",
                  one->right, world_errors(&right.world));
    done(&right);
    Checked silent = check_text_of(one->wrong, false); /* only in proofreading */
    ck_assert_uint_eq(silent.world.diags.warnings, 0);
    done(&silent);
}
END_TEST

Suite *check_suite(void)
{
    TCase *tcase = tcase_create("check");
    LOOP(tcase, test_names, name_cases);
    LOOP(tcase, test_kinds, kind_cases);
    LOOP(tcase, test_points, point_cases);
    LOOP(tcase, test_definitions, define_cases);
    LOOP(tcase, test_reading_errors, reading_cases);
    LOOP(tcase, test_warnings, warnings);
    tcase_add_test(tcase, test_words_win);
    tcase_add_test(tcase, test_slots);
    tcase_add_test(tcase, test_depth);
    tcase_add_test(tcase, test_measured);
    tcase_add_test(tcase, test_exceptions);
    tcase_add_test(tcase, test_basis);
    tcase_add_test(tcase, test_readings);
    tcase_add_test(tcase, test_limit_replaced);
    tcase_add_test(tcase, test_reading_applied);
    tcase_add_test(tcase, test_messages_once);
    tcase_add_test(tcase, test_worksheets);
    tcase_add_test(tcase, test_date_sums);
    Suite *suite = suite_create("check");
    suite_add_tcase(suite, tcase);
    return suite;
}
