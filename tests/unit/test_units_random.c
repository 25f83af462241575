/* For units where: which of a section's texts stands for a unit. Laws of random amendments, each
 * for some units only, some for units permitted from a date on, are judged for every way of
 * stating facts or leaving them out, and compared with what every completion says: on a complete
 * spec the last amendment that speaks of the unit governs; on an open one a class is definite
 * exactly when all completions agree (docs/language.md, rules 2, 3, 7 and 17). All law here is
 * invented. */
#include <check.h>
#include <stdio.h>

#include "judge/judge.h"

#include "law_world.h"

/* ---- random laws ---- */

enum { CONDITIONS = 3, BODIES = 3, FACTS = CONDITIONS + BODIES, AMENDMENTS_MAX = 4, LAWS = 60 };

static const char bench[] = "vocabulary bench\n"
                            "  fact a yes/no always present\n"
                            "  fact b yes/no always present\n"
                            "  fact c yes/no always present\n"
                            "  fact p yes/no always present\n"
                            "  fact q yes/no always present\n"
                            "  fact r yes/no always present\n"
                            "  topic test.all \"All\"\n"
                            "end\n"
                            "code trial edition 1\n"
                            "  basis invented\n"
                            "  section \"0\" topic test.all\n"
                            "    for units where a is yes shall p is yes end\n"
                            "  section \"1\" topic test.all\n"
                            "    for units where b is yes shall q is yes end\n"
                            "  section \"2\" topic test.all\n"
                            "    for units where c is yes shall r is yes end\n"
                            "end\n";
static const char fact_names[] = "abcpqr";

typedef struct Amendment {
    int condition; /* -1: for all units */
    int body;
    bool new_units; /* permitted on or after the day alone */
} Amendment;

typedef struct Sample {
    World world;
    bool scoped; /* the first text is for some units only, and leaves no other */
    Amendment amendments[AMENDMENTS_MAX];
    int count;
    Law *law;
    Day day;
} Sample;

static uint32_t next_random(uint32_t *state)
{
    *state = *state * 1664525u + 1013904223u;
    return *state >> 16;
}

static const SectionTree *model(const Sample *s, int index)
{
    const SectionTree *section = s->world.library->codes[0]->sections;
    for (; index > 0; index--)
        section = section->next;
    return section;
}

static void add_scope(Sample *s, TextTree *text, int condition, bool negated)
{
    ScopeTree *scopes = ARENA_ARRAY(s->world.arena, ScopeTree, text->scope_count + 1);
    for (uint32_t i = 0; i < text->scope_count; i++)
        scopes[i] = text->scopes[i];
    const SectionTree *section = model(s, condition);
    scopes[text->scope_count++] = (ScopeTree){.conditions = section->body.scopes,
                                              .negated = negated,
                                              .source = section->source,
                                              .code = s->world.library->codes[0]};
    text->scopes = scopes;
}

static void set_body(const Sample *s, TextTree *text, int body)
{
    text->body = &model(s, body)->body;
    text->source = model(s, body)->source;
}

/* What remains of each text for the units of which the amendment does not speak, and its own. */
static uint32_t amend(Sample *s, TextTree *texts, uint32_t count, const Amendment *amendment)
{
    uint32_t kept = 0;
    TextTree before[64];
    memcpy(before, texts, count * sizeof *texts);
    for (uint32_t i = 0; i < count; i++) {
        TextTree other = before[i];
        if (amendment->condition >= 0) {
            add_scope(s, &other, amendment->condition, true);
            texts[kept++] = other;
        }
        other = before[i];
        if (amendment->new_units && other.permitted_from < s->day) {
            if (amendment->condition >= 0)
                add_scope(s, &other, amendment->condition, false);
            if (other.permitted_before > s->day)
                other.permitted_before = s->day;
            texts[kept++] = other;
        }
    }
    TextTree *own = &texts[kept++];
    *own = (TextTree){.permitted_from = amendment->new_units ? s->day : INT32_MIN,
                      .permitted_before = DAY_FOREVER};
    set_body(s, own, amendment->body);
    if (amendment->condition >= 0)
        add_scope(s, own, amendment->condition, false);
    return kept;
}

static Sample make_sample(uint32_t seed)
{
    Sample s = {.world = WORLD(bench), .day = world_day("2020-01-01")};
    uint32_t state = seed * 2654435761u + 17;
    LawTree *tree = law_of_code(s.world.arena, s.world.library, s.world.library->codes[0]);
    TextTree *texts = ARENA_ARRAY(s.world.arena, TextTree, 256);
    s.scoped = next_random(&state) % 2 == 0;
    texts[0] = (TextTree){.permitted_from = INT32_MIN, .permitted_before = DAY_FOREVER};
    set_body(&s, &texts[0], 0);
    if (s.scoped)
        add_scope(&s, &texts[0], 0, false);
    uint32_t count = 1;
    s.count = (int)(next_random(&state) % (AMENDMENTS_MAX + 1));
    for (int i = 0; i < s.count; i++) {
        Amendment *one = &s.amendments[i];
        one->condition = (int)(next_random(&state) % (CONDITIONS + 1)) - 1;
        one->body = (int)(next_random(&state) % BODIES);
        one->new_units = next_random(&state) % 3 == 0;
        count = amend(&s, texts, count, one);
    }
    tree->sections[0].texts = texts;
    tree->sections[0].text_count = count;
    tree->section_count = 1;
    s.law = law_check(s.world.arena, s.world.library, tree, false, &s.world.diags);
    ck_assert_str_eq(world_errors(&s.world), "");
    return s;
}

/* ---- kitchens ---- */

enum { NO, YES, UNSTATED, WAYS };
enum { OLD_UNIT, LATE_UNIT, NEW_UNIT, ANY_UNIT, PERMITS };

typedef struct Kitchen {
    int facts[FACTS];
    int permit;
} Kitchen;

typedef enum { PASS, FAIL, OPEN } Class;

static Kitchen kitchen_of(int number)
{
    Kitchen kitchen;
    for (int i = 0; i < FACTS; i++, number /= WAYS)
        kitchen.facts[i] = number % WAYS;
    kitchen.permit = number % PERMITS;
    return kitchen;
}

static int number_of(const Kitchen *kitchen)
{
    int number = kitchen->permit;
    for (int i = FACTS; i-- > 0;)
        number = number * WAYS + kitchen->facts[i];
    return number;
}

static int kitchen_count(void)
{
    int count = PERMITS;
    for (int i = 0; i < FACTS; i++)
        count *= WAYS;
    return count;
}

static Class class_of(uint8_t outcome)
{
    if (outcome == OUTCOME_CORRECTION)
        return FAIL;
    return outcome == OUTCOME_INFORMATION_REQUIRED || outcome == OUTCOME_OFFICIAL_DECIDES ? OPEN
                                                                                          : PASS;
}

static Class judged(const Sample *s, const Kitchen *kitchen)
{
    static const char *const words[] = {"no", "yes"};
    static const char *const permits[] = {"permits: [{jurisdiction: x, date: 2019-12-31}]\n",
                                          "permits: [{jurisdiction: x, date: 2020-01-01}]\n",
                                          "permits: none\n", ""};
    Arena *arena = arena_new();
    Buffer text = buffer_make(arena);
    buffer_string(&text, permits[kitchen->permit]);
    for (int i = 0; i < FACTS; i++)
        if (kitchen->facts[i] != UNSTATED)
            buffer_format(&text, "%c: %s\n", fact_names[i], words[kitchen->facts[i]]);
    buffer_string(&text, "unit_name: any\n");
    Diagnostics diags = diagnostics_make(arena);
    const Source *source = source_of(arena, TEXT("unit.yaml"), buffer_done(&text));
    const Spec *spec = spec_read(arena, s->world.names, s->law->vocabulary, source, &diags);
    ck_assert_uint_eq(diags.errors, 0);
    const ReviewOptions options = {.on = world_day("2021-06-01"), .stage = STAGE_PLAN};
    const Review *review = review_make(arena, s->law, spec, &options);
    ck_assert_uint_eq(review->finding_count, 1);
    Class class = class_of(review->findings[0].outcome);
    ck_assert(class != OPEN || review->findings[0].wanted_count > 0);
    arena_free(arena);
    return class;
}

/* The law as it is meant: the last amendment that speaks of the unit. */
static Class meant(const Sample *s, const Kitchen *kitchen)
{
    for (int i = s->count; i-- > 0;) {
        const Amendment *one = &s->amendments[i];
        bool speaks = one->condition < 0 || kitchen->facts[one->condition] == YES;
        if (speaks && (!one->new_units || kitchen->permit != OLD_UNIT))
            return kitchen->facts[CONDITIONS + one->body] == YES ? PASS : FAIL;
    }
    if (s->scoped && kitchen->facts[0] != YES)
        return PASS;
    return kitchen->facts[CONDITIONS] == YES ? PASS : FAIL;
}

static int first_open(const Kitchen *kitchen)
{
    for (int i = 0; i < FACTS; i++)
        if (kitchen->facts[i] == UNSTATED)
            return i;
    return kitchen->permit == ANY_UNIT ? FACTS : -1;
}

/* A bit for each class that some completion has. */
static unsigned completions(const Sample *s, unsigned *known, Kitchen kitchen)
{
    int number = number_of(&kitchen);
    if (known[number] != 0)
        return known[number];
    int at = first_open(&kitchen);
    unsigned bits = at < 0 ? 1u << meant(s, &kitchen) : 0;
    for (int way = 0; at >= 0 && way < (at == FACTS ? ANY_UNIT : UNSTATED); way++) {
        Kitchen less = kitchen;
        *(at == FACTS ? &less.permit : &less.facts[at]) = way;
        bits |= completions(s, known, less);
    }
    known[number] = bits;
    return bits;
}

START_TEST(every_way_of_stating_facts)
{
    Sample s = make_sample((uint32_t)_i);
    int count = kitchen_count();
    unsigned *known = ARENA_ARRAY(s.world.arena, unsigned, (size_t)count);
    for (int i = 0; i < count; i++) {
        Kitchen kitchen = kitchen_of(i);
        unsigned bits = completions(&s, known, kitchen);
        Class class = judged(&s, &kitchen);
        Class expected = bits == 1u << PASS ? PASS : bits == 1u << FAIL ? FAIL : OPEN;
        ck_assert_msg(class == expected, "law %d, unit %d: %d, not %d", _i, i, class, expected);
    }
    world_free(&s.world);
}
END_TEST

Suite *units_random_suite(void);

Suite *units_random_suite(void)
{
    Suite *suite = suite_create("units_random");
    TCase *tcase = tcase_create("random laws");
    tcase_set_timeout(tcase, 60);
    tcase_add_loop_test(tcase, every_way_of_stating_facts, 0, LAWS);
    suite_add_tcase(suite, tcase);
    return suite;
}
