/* yaml: the doors of the file itself. Each trap of YAML and of libyaml 0.2.5 that the project has
 * met, limits, JSON, and places as byte offsets in texts that are not ASCII. */
#include "spec_help.h"

#include <time.h>

#include "spec/spec_build.h"

typedef struct Case {
    const char *text;
    const char *expected;
} Case;

static const Case doors[] = {
    /* commas */
    {"{exhaust: 1,400 cfm}\n",
     "1:11 number cut at a comma: YAML reads '1,400 cfm' as '1' and a key without a value | quote "
     "it: \"1,400 cfm\"\n"},
    {"{exhaust: 1,400,000 cfm, menu: x}\n",
     "1:11 number cut at a comma: YAML reads '1,400,000 cfm' as '1' and a key without a value | "
     "quote it: \"1,400,000 cfm\"\n"},
    {"jurisdictions: [1,400 cfm]\n",
     "1:17 number cut at a comma: YAML reads '1,400 cfm' as '1' and a further item | quote it: "
     "\"1,400 cfm\"\n"},
    {"jurisdictions: [1, 400]\n", ""},
    {"jurisdictions: [a,b]\n", ""},
    {"exhaust: 1,400 cfm\n", ""},
    {"{menu, duty: light}\n", "1:2 key without a value: 'menu' is a key without ':' and value\n"},
    {"{menu: , duty: ~, water: }\n", ""},
    {"? menu\n", "1:3 key without a value: 'menu' is a key without ':' and value\n"},
    /* comments that cut */
    {"menu: Unit #3\n",
     "1:12 caution value cut short: '#' begins a comment: the value is 'Unit' | quote the value if "
     "this belongs to it; write '# ' for a comment\n"},
    {"menu: #3\n", "1:7 caution value cut short: '#' begins a comment: no value is stated | quote "
                   "the value if this belongs to it; write '# ' for a comment\n"},
    {"menu: Unit # three\n", ""},
    {"menu: Unit#3\n", ""},
    {"menu: \"Unit #3\"\n", ""},
    {"menu: \"Unit\" #3\n", ""},
    {"menu: Unit ## three\n", ""},
    {"menu: Unit #\n", ""},
    {"#menu\nmenu: x\n#end", ""},
    /* duplicate keys */
    {"menu: a\nduty: light\nmenu: b\n",
     "3:1 duplicate key: 'menu' is stated twice, here and on line 1 | 1:1 first stated here\n"},
    {"hood:\n  height: 1 in\n  height: 2 in\n",
     "3:3 duplicate key: 'height' is stated twice, here and on line 2 | 2:3 first stated here\n"},
    {"menu: a\n\"menu\": b\n",
     "2:1 duplicate key: 'menu' is stated twice, here and on line 1 | 1:1 first stated here\n"},
    {"{\"menu\": \"a\",\n\"menu\": \"b\"}",
     "2:1 duplicate key: 'menu' is stated twice, here and on line 1 | 1:2 first stated here\n"},
    /* what YAML has and a spec does not need */
    {"menu: &m x\nduty: *m\n", "2:7 alias: aliases ('*m') are not read: write the value out\n"},
    {"*m : x\n", "1:1 alias: aliases ('*m') are not read: write the value out\n"
                 "1:1 key is no word: a key is a word, not a list or a map\n"},
    {"menu: &m x\n", ""}, /* a name that nobody uses does no harm */
    {"hood: &h {height: 1 in}\ntanks:\n  - <<: x\n",
     "3:5 merge key: merge keys ('<<') are not read: write the facts out\n"},
    {"menu: !!str 12\n", ""},
    {"menu: !!str none\n", ""},
    {"menu: !!int 12\n",
     "1:7 tag: tags are not read: 'tag:yaml.org,2002:int' | quote a text that begins with '!'\n"},
    {"menu: !new x\n", "1:7 tag: tags are not read: '!new' | quote a text that begins with '!'\n"},
    {"hood: !!map {}\n",
     "1:7 tag: tags are not read: 'tag:yaml.org,2002:map' | quote a text that begins with '!'\n"},
    {"tanks: !x []\n", "1:8 tag: tags are not read: '!x' | quote a text that begins with '!'\n"},
    {"menu: a\n---\nmenu: b\n",
     "2:1 several documents: a file holds one spec: a second document begins here\n"},
    {"--- # one\nmenu: a\n...\n", ""},
    {"%YAML 1.2\n---\nmenu: a\n", ""},
    {"? [menu]\n: x\n", "1:3 key is no word: a key is a word, not a list or a map\n"},
    {"menu: {{ menu }}\n", "1:8 key is no word: a key is a word, not a list or a map\n"},
    {"\"\": x\n", "1:1 key is no word: a key is missing before ':'\n"},
    /* encodings */
    {"\xef\xbb\xbfmenu: x\n", ""},
    {"\xff\xfem", "1:1 not UTF-8: the file is written in UTF-16 | save the file as UTF-8\n"},
    {"menu: \xc3\xa9\nduty: \xff\n", "2:7 not UTF-8: this byte is not UTF-8 | save the file as "
                                     "UTF-8\n"},
    {"\xef\xbb\xbfmenu: \xc3\xa9\nduty: \x1b[31m\n",
     "2:7 control character: a control character (1b) stands in the file\n"},
    {"menu: \xc0\x80\n", "1:7 not UTF-8: this byte is not UTF-8 | save the file as UTF-8\n"},
    {"menu: \xed\xa0\x80\n", "1:7 not UTF-8: this byte is not UTF-8 | save the file as UTF-8\n"},
    {"menu: x\r\nduty: light\r\n", ""},
    {"menu: x\rduty: light\r", ""},
    /* the form */
    {"hood:\n\theight: 1 in\n",
     "2:1 yaml syntax: a tab is used as indentation | indent with spaces\n"},
    {"hood:\n  height: 1 in\n\titem: x\n",
     "3:1 yaml syntax: a tab is used as indentation | indent with spaces | 2:11 in what begins "
     "here\n"},
    {"menu: x: y\n", "1:8 yaml syntax: this ':' follows no key: is it part of a text, or is the "
                     "line indented wrongly? | quote a text that has ': ' in it\n"},
    {"menu: \"x\n", "1:7 yaml syntax: a quote is opened and never closed\n"},
    {"menu: 'it's'\n", "1:11 yaml syntax: something follows the closing quote of this value | "
                       "quote the whole value | 1:1 in what begins here\n"},
    {"menu: @x\n", "1:7 yaml syntax: this character cannot begin a value | indent with spaces, "
                   "not tabs; quote a text that begins with @, ` or %\n"},
    {"tanks: [{lids: 1}\nmenu: x\n", "2:1 yaml syntax: a ',' or the closing ']' is missing before "
                                     "this | 1:8 in what begins here\n"},
    {"hood: {height: 1 in\nmenu: x\n", "2:5 yaml syntax: a ',' or the closing '}' is missing "
                                       "before this | 1:7 in what begins here\n"},
    {"hood:\n  height: 1 in\n item: x\n",
     "3:2 yaml syntax: this line does not begin in the column of the keys above it | give all keys "
     "of one map the same indentation | 1:1 in what begins here\n"},
    {"menu: \"\\q\"\n", "1:8 yaml syntax: an unknown escape after '\\' | write '\\\\' for a "
                        "backslash, or use single quotes | 1:7 in what begins here\n"},
    {"menu: x\n...\nduty: light\n", "3:1 yaml syntax: nothing may follow the end of the spec\n"},
    {"{\"menu\": \"x\"} y\n", "1:15 yaml syntax: nothing may follow the end of the spec\n"},
    {"", "1:1 caution empty spec: nothing is stated\n"},
    {"# nothing\n", "1:1 caution empty spec: nothing is stated\n"},
    {"--- ~\n", ""},
    {"{}", ""},
};

START_TEST(test_doors)
{
    Bench bench = bench_usual();
    bench_read(&bench, doors[_i].text);
    bench_expect(&bench, doors[_i].expected);
    bench_close(&bench);
}
END_TEST

/* What is wrong in the file does not hide what is right in it. */
START_TEST(test_goes_on)
{
    Bench bench = bench_usual();
    bench_read(&bench, "exhaust: *x\nmenu: noodles\nmenu: rice\n<<: y\nduty: !t light\nhood: "
                       "{height: 1,400 in, item: z}\nweight: 3 lb\n");
    ck_assert_uint_eq(bench.diags.errors, 5);
    bench_expect_value(&bench, bench.spec->unit, "exhaust", "unstated");
    bench_expect_value(&bench, bench.spec->unit, "menu", "noodles"); /* the first stands */
    bench_expect_value(&bench, bench.spec->unit, "duty", "unstated");
    bench_expect_value(&bench, bench.spec->unit, "weight", "3 lb");
    const Item *hood = bench_fact(&bench, bench.spec->unit, "hood")->value.item;
    bench_expect_value(&bench, hood, "height", "1,400 in"); /* mended, and said so */
    bench_expect_value(&bench, hood, "item", "z");
    bench_read(&bench, "menu: noodles\nhood: {height: 3 in, item: \"x\nduty: light\n");
    ck_assert_uint_eq(bench.diags.errors, 1);
    bench_expect_value(&bench, bench.spec->unit, "menu", "noodles");
    bench_close(&bench);
}
END_TEST

/* ---- places ---- */

/* Every scalar's place must hold its text, whatever stands before it. */
static void check_places(const Datum *datum)
{
    if (datum->kind == DATUM_SCALAR || datum->kind == DATUM_QUOTED) {
        Text written = place_text(datum->place);
        if (datum->kind == DATUM_QUOTED && written.len >= 2) {
            written = (Text){written.data + 1, written.len - 2};
        }
        ck_assert_msg(text_equal(written, datum->text), "'%.*s' stands where '%.*s' is due",
                      TEXT_ARG(written), TEXT_ARG(datum->text));
    }
    for (const Datum *member = datum->first; member != NULL; member = member->next) {
        if (member->key.len > 0) {
            Text key = place_text(member->key_place);
            ck_assert_msg(text_equal(key, member->key), "key '%.*s' for '%.*s'", TEXT_ARG(key),
                          TEXT_ARG(member->key));
        }
        ck_assert_uint_le(datum->place.span.start, member->place.span.start);
        ck_assert_uint_ge(datum->place.span.end, member->place.span.end);
        check_places(member);
    }
}

static const char *const placed[] = {
    "a: b\nc: [d, 'e', \"f\"]\ng: {h: i}\n",
    "\xc3\xa9: \xf0\x9f\x98\x80\nb: [x, '\xc3\xa9', \"\xf0\x9f\x98\x80\"]\nk: {\xe2\x82\xac: z}\n",
    "\xef\xbb\xbf\xc3\xa9t\xc3\xa9: x # \xf0\x9f\x98\x80\xf0\x9f\x98\x80\nb:\t c\t \nd: e\n",
    "a:\r\n  - \xc3\xa9: 1\r\n    f: 2\r\n  - g\r\nh: i\r\n",
    "a: \xc3\xa9\xe2\x80\xa8"
    "b: c\xc2\x85"
    "d: e\n", /* breaks of 2 and 3 bytes */
    "- - - a\n    - \xf0\x9f\x98\x80\n- b\n",
    "[\xc3\xa9: x, \xc3\xa9: y, [], {}]\n", /* maps of one pair, whose mark goes back */
};

START_TEST(test_places)
{
    Arena *arena = arena_new();
    Diagnostics diags = diagnostics_make(arena);
    const Source *source = source_of(arena, TEXT("s.yaml"), text_of(placed[_i]));
    const Datum *root = spec_data(arena, source, &diags);
    ck_assert_uint_eq(diags.errors, 0);
    ck_assert_ptr_nonnull(root);
    check_places(root);
    arena_free(arena);
}
END_TEST

/* Columns are counted in characters; UTF-16 units beside them. */
START_TEST(test_columns)
{
    Bench bench = bench_usual();
    bench_read(&bench, "menu: \"\xf0\x9f\x98\x80\xc3\xa9\"\n"
                       "hood: {item: \"\xf0\x9f\x98\x80\", height: 6 gal}\n");
    ck_assert_uint_eq(bench.diags.errors, 1);
    Position at = source_position(bench.source, bench.diags.first->place.span.start);
    ck_assert_uint_eq(at.line, 2);
    ck_assert_uint_eq(at.column, 27);
    ck_assert_uint_eq(at.utf16_column, 28);
    ck_assert(text_equal(place_text(bench.diags.first->place), TEXT("6 gal")));
    bench_close(&bench);
}
END_TEST

/* A block text ends with its last line, a block map with its last value. */
START_TEST(test_block_places)
{
    Arena *arena = arena_new();
    Diagnostics diags = diagnostics_make(arena);
    const Source *source = source_of(arena, TEXT("s.yaml"),
                                     TEXT("a: |\n  one\n  two\n\n# c\nb:\n  c: 1\n\n# d\ne: f\n"));
    const Datum *root = spec_data(arena, source, &diags);
    const Datum *a = root->first;
    ck_assert(text_equal(a->text, TEXT("one\ntwo")));
    ck_assert(text_equal(place_text(a->place), TEXT("|\n  one\n  two")));
    ck_assert(text_equal(place_text(a->next->place), TEXT("c: 1")));
    ck_assert_uint_eq(root->count, 3);
    arena_free(arena);
}
END_TEST

/* ---- JSON ---- */

START_TEST(test_json)
{
    Bench bench = bench_usual();
    bench_read(&bench, "{\n\t\"menu\"\n:\"\\ud83d\\ude00 \\u00e9\\/\\n\",\"exhaust\":\"1,400 cfm\","
                       "\t\"openings\" : [\n\t{\"name\":\"a\",\"self_closing\":true,"
                       "\"clear_width\":null,\"pan\":\"none\"},{\"self_closing\":false}],"
                       "\"tanks\":[{\"lids\":3,\"slope\":-0.5}]}\n");
    bench_expect(&bench, "");
    bench_expect_value(&bench, bench.spec->unit, "menu", "\xf0\x9f\x98\x80 \xc3\xa9/\n");
    bench_expect_value(&bench, bench.spec->unit, "exhaust", "1,400 cfm");
    const Item *opening = bench_item(&bench, "openings", 0);
    bench_expect_value(&bench, opening, "self_closing", "yes");
    bench_expect_value(&bench, opening, "clear_width", "unstated");
    bench_expect_value(&bench, opening, "pan", "none");
    bench_expect_value(&bench, bench_item(&bench, "openings", 1), "self_closing", "no");
    bench_expect_value(&bench, bench_item(&bench, "tanks", 0), "slope", "-0.5");
    Place place = fact_place(opening, bench_field(&bench, opening->record, "self_closing"));
    ck_assert(text_equal(place_text(place), TEXT("true")));
    bench_close(&bench);
}
END_TEST

/* Every way to spell a value of JSON gives what the YAML reader gives, where that can read it. */
START_TEST(test_json_and_yaml_agree)
{
    static const char *const same[] = {
        "{\"a\": [1, 2.5, -3, 1e3, \"x\", \"\\u00e9\\t\\\\\", {}, [], true, null]}",
        "[{\"a\": {\"b\": {\"c\": []}}}, [[[\"\"]]]]",
        "{\"\\u0061b\": \"\\\"\", \"\xc3\xa9\": \"\xf0\x9f\x98\x80\\u20ac\\u0000\"}",
    };
    Arena *arena = arena_new();
    for (size_t i = 0; i < sizeof same / sizeof same[0]; i++) {
        Diagnostics diags = diagnostics_make(arena);
        const Source *source = source_of(arena, TEXT("s"), text_of(same[i]));
        Builder *json = build_start(arena, source, &diags);
        Builder *yaml = build_start(arena, source, &diags);
        ck_assert(spec_json(json));
        spec_yaml(yaml);
        const Datum *stack[32][2] = {{build_end(json), build_end(yaml)}};
        for (size_t depth = 1; depth > 0;) {
            const Datum *a = stack[--depth][0];
            const Datum *b = stack[depth][1];
            ck_assert_uint_eq(a->kind, b->kind);
            ck_assert(text_equal(a->text, b->text) && text_equal(a->key, b->key));
            ck_assert_uint_eq(a->count, b->count);
            ck_assert_uint_eq(a->place.span.start, b->place.span.start);
            ck_assert_uint_eq(a->place.span.end, b->place.span.end);
            a = a->first;
            for (b = b->first; b != NULL; a = a->next, b = b->next) {
                stack[depth][0] = a;
                stack[depth++][1] = b;
            }
        }
        ck_assert_uint_eq(diags.errors, 0);
    }
    arena_free(arena);
}
END_TEST

/* What is not JSON is left to YAML, with nothing said twice. */
START_TEST(test_not_json)
{
    static const char *const texts[] = {
        "{\"menu\": \"x\",}",   "{menu: x}",      "{\"menu\": 'x'}",       "[x]",
        "{\"menu\": 01}",       "{\"menu\": .5}", "{\"menu\": 1.}",        "{\"menu\": tru}",
        "{\"menu\": \"a\nb\"}", "{} # c",         "{\"menu\": \"\\x41\"}", "{\"menu\": 1e+}",
    };
    Arena *arena = arena_new();
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        Diagnostics diags = diagnostics_make(arena);
        const Source *source = source_of(arena, TEXT("s"), text_of(texts[i]));
        ck_assert_msg(!spec_json(build_start(arena, source, &diags)), "%s", texts[i]);
        const Datum *root = spec_data(arena, source, &diags);
        ck_assert_msg(root != NULL && diags.first == NULL, "%s", texts[i]);
    }
    Diagnostics diags = diagnostics_make(arena);
    const Source *source = source_of(arena, TEXT("s"), TEXT("{\"a\": \"\\ud83d\", \"a\": 1}"));
    (void)spec_data(arena, source, &diags);
    ck_assert_uint_eq(diags.errors, 1); /* half a pair is no character */
    arena_free(arena);
}
END_TEST

/* ---- limits ---- */

typedef struct Bomb {
    const char *begin, *again, *end;
    unsigned count;
    const char *name; /* of the message that ends it */
} Bomb;

static const Bomb bombs[] = {
    {"", "[", "", 1000000, "nested too deeply"},
    {"", "{\"a\":", "", 300000, "nested too deeply"},
    {"", "{a: ", "", 300000, "nested too deeply"},
    {"", "- ", "", 300000, "nested too deeply"},
    {"", "? ", "", 200000, "key is no word"},
    {"", "[ #\n", "", 300000, "nested too deeply"},
    {"[", "1,", "1]", 300000, "too many values"},
    {"[ #\n", "1,", "1]", 300000, "too many values"},
    {"", "- x\n", "", 300000, "too many values"},
    {"{\"a\":\"", "x", "\"}", 70000, "value too long"},
    {"a: ", "x", "", 8000000, "value too long"},
    {"a: |\n", "  x\n", "", 70000, "value too long"},
    {"", "k", ": 1\n", 300, "key too long"},
    {"a: &a [x,x,x,x,x,x,x,x,x]\n", "b: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a]\n", "", 100000, "alias"},
    {"&x [*x", ", *x", "]", 100000, "alias"},
    {"", "- a #b\n", "", 200000, "value cut short"},
    {"", "k: 1\n", "", 190000, "duplicate key"},
};

/* How many times slower than usual this run is: valgrind and sanitizers take their time. */
static double slowness(void)
{
    enum { USUAL_MILLIS = 25, PIECES = 200000 };
    Arena *arena = arena_new();
    clock_t start = clock();
    for (uint32_t i = 0; i < PIECES; i++) {
        Datum *datum = ARENA_NEW(arena, Datum);
        datum->text = text_format(arena, "%u", i);
    }
    double times = (double)(clock() - start) / CLOCKS_PER_SEC * 1000 / USUAL_MILLIS;
    arena_free(arena);
    return times > 1 ? times : 1;
}

/* A clear message within a second and 64 MiB, whatever the size. */
START_TEST(test_bombs)
{
    const Bomb *bomb = &bombs[_i];
    Arena *arena = arena_new();
    Arena *spec = arena_new();
    Buffer text = buffer_make(arena);
    buffer_string(&text, bomb->begin);
    for (unsigned i = 0; i < bomb->count; i++) {
        buffer_string(&text, bomb->again);
    }
    buffer_string(&text, bomb->end);
    Diagnostics diags = diagnostics_make(spec);
    const Source *source = source_of(arena, TEXT("s"), buffer_done(&text));
    clock_t start = clock();
    (void)spec_data(spec, source, &diags);
    double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
    ck_assert_ptr_nonnull(diags.first);
    ck_assert_str_eq(diags.first->name, bomb->name);
    ck_assert_uint_le(diags.errors, SPEC_FAULTS_MAX);
    ck_assert_uint_lt(arena_used(spec), 64u << 20);
    ck_assert_msg(seconds < slowness(), "%f s", seconds);
    arena_free(spec);
    arena_free(arena);
}
END_TEST

/* One less than a limit is fine. */
START_TEST(test_just_within)
{
    Arena *arena = arena_new();
    Buffer text = buffer_make(arena);
    for (int i = 0; i < SPEC_DEPTH_MAX; i++) {
        buffer_char(&text, '[');
    }
    for (int i = 0; i < SPEC_DEPTH_MAX; i++) {
        buffer_char(&text, ']');
    }
    Buffer many = buffer_make(arena);
    buffer_string(&many, "[x");
    for (int i = 0; i < SPEC_VALUES_MAX - 2; i++) {
        buffer_string(&many, ", x");
    }
    buffer_string(&many, "]");
    Buffer longest = buffer_make(arena);
    for (int i = 0; i < SPEC_KEY_MAX; i++) {
        buffer_char(&longest, 'k');
    }
    buffer_string(&longest, ": ");
    for (int i = 0; i < SPEC_SCALAR_MAX; i++) {
        buffer_char(&longest, 'v');
    }
    const Buffer *texts[] = {&text, &many, &longest};
    for (size_t i = 0; i < 3; i++) {
        Diagnostics diags = diagnostics_make(arena);
        ck_assert_ptr_nonnull(
            spec_data(arena, source_of(arena, TEXT("s"), buffer_done(texts[i])), &diags));
        ck_assert_ptr_null(diags.first);
    }
    arena_free(arena);
}
END_TEST

/* Wide maps are checked for duplicates without comparing every pair. */
START_TEST(test_wide_map)
{
    Arena *arena = arena_new();
    Buffer text = buffer_make(arena);
    for (int i = 0; i < 150000; i++) {
        buffer_format(&text, "k%d: 1\n", i == 149999 ? 3 : i);
    }
    Diagnostics diags = diagnostics_make(arena);
    const Source *source = source_of(arena, TEXT("s"), buffer_done(&text));
    clock_t start = clock();
    const Datum *root = spec_data(arena, source, &diags);
    ck_assert_msg((double)(clock() - start) / CLOCKS_PER_SEC < 2 * slowness(), "slow");
    ck_assert_uint_eq(root->count, 149999);
    ck_assert_uint_eq(diags.errors, 1);
    ck_assert(text_equal(diags.first->message, TEXT("'k3' is stated twice, here and on line 4")));
    arena_free(arena);
}
END_TEST

START_TEST(test_repeats)
{
    Arena *arena = arena_new();
    enum { COUNT = 500 };
    Text texts[COUNT];
    uint32_t repeat[COUNT];
    uint32_t state = 1;
    for (uint32_t count = 0; count < COUNT; count += count < 40 ? 1 : 92) {
        for (uint32_t i = 0; i < count; i++) {
            state = state * 1664525u + 1013904223u;
            texts[i] = text_format(arena, "%u", (state >> 8) % (count + 1));
        }
        texts_find_repeats(arena, texts, count, repeat);
        for (uint32_t i = 0; i < count; i++) {
            uint32_t first = 0;
            while (!text_equal(texts[first], texts[i])) {
                first++;
            }
            ck_assert_uint_eq(repeat[i], first == i ? 0 : first + 1);
        }
    }
    arena_free(arena);
}
END_TEST

START_TEST(test_vocabulary_name)
{
    static const char *const rows[][2] = {
        {"vocabulary: mobile_unit\nmenu: x\n", "mobile_unit"},
        {"menu: x\nhood: {vocabulary: no}\nvocabulary: 'v'\n", "v"},
        {"{\"menu\": {}, \"vocabulary\": \"v\"}", "v"},
        {"menu: x\n", ""},
        {"- vocabulary: v\n", ""},
        {"vocabulary:\n  - v\n", ""},
        {"vocabulary: v\nmenu: [\n", "v"},
        {"", ""},
    };
    Arena *arena = arena_new();
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        Text name = spec_vocabulary_name(arena, source_of(arena, TEXT("s"), text_of(rows[i][0])));
        ck_assert_msg(text_equal(name, text_of(rows[i][1])), "%s: '%.*s'", rows[i][0],
                      TEXT_ARG(name));
    }
    arena_free(arena);
}
END_TEST

Suite *yaml_suite(void);

Suite *yaml_suite(void)
{
    Suite *suite = suite_create("yaml");
    TCase *tcase = tcase_create("yaml");
    tcase_add_loop_test(tcase, test_doors, 0, sizeof doors / sizeof doors[0]);
    tcase_add_test(tcase, test_goes_on);
    tcase_add_loop_test(tcase, test_places, 0, sizeof placed / sizeof placed[0]);
    tcase_add_test(tcase, test_columns);
    tcase_add_test(tcase, test_block_places);
    tcase_add_test(tcase, test_json);
    tcase_add_test(tcase, test_json_and_yaml_agree);
    tcase_add_test(tcase, test_not_json);
    tcase_add_loop_test(tcase, test_bombs, 0, sizeof bombs / sizeof bombs[0]);
    tcase_add_test(tcase, test_just_within);
    tcase_add_test(tcase, test_wide_map);
    tcase_add_test(tcase, test_repeats);
    tcase_add_test(tcase, test_vocabulary_name);
    tcase_set_timeout(tcase, 60); /* for sanitizers and valgrind */
    suite_add_tcase(suite, tcase);
    return suite;
}
