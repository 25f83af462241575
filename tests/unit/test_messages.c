/* syntax/: what is said about a text that is wrong, where the parser goes on, and what it does
 * with hostile input. The rules are those of docs/language.md, sections 1 and 2. */
#include "syntax_read.h"

/* ---- each message ---- */

typedef struct Fault {
    const char *text;    /* clauses of a section, or a whole file when it begins with ! */
    const char *message; /* a part of the one message, notes in brackets */
} Fault;

static const Fault FAULTS[] = {
    /* slips of other notations */
    {"shall a == b", "3:9 sign: write '=' for '=='"},
    {"define a := b", "write '=' for ':='"},
    {"shall a <> b", "write '!=' for '<>'"},
    {"shall a =< b", "write '<=' for '=<'"},
    {"shall a => b", "write '>=' for '=>'"},
    {"shall a && b", "write 'and' for '&&'"},
    {"shall a || b", "write 'or' for '||'"},
    {"shall a & b", "write 'and' for '&'"},
    {"shall !a", "write 'not' for '!'"},
    {"shall a \xE2\x89\xA4 b", "write '<=' for '\xE2\x89\xA4'"},
    {"shall a \xE2\x89\xA5 b", "write '>=' for '\xE2\x89\xA5'"},
    {"shall a \xE2\x89\xA0 b", "write '!=' for '\xE2\x89\xA0'"},
    {"shall a >= 2 in \xC3\x97 3 in", "write 'x' for '\xC3\x97'"},
    {"shall a \xE2\x88\x92 b > 1", "write '-' for '\xE2\x88\x92'"},
    {"shall a <= 41 \xC2\xB0"
     "F",
     "unknown unit '\xC2\xB0"
     "F' (write degF)"},
    {"shall a.b \xC2\xB0 > 1", "sign: '\xC2\xB0' is written degF or degC"},
    {"shall a <= 6\xC2\xBD in", "(write fractions as 6-1/2"},
    {"shall a <= \xC2\xBD", "quantity: write '1/2' for '\xC2\xBD'"},
    {"shall a ** 2 > 3", "powers are written power(a, b)"},
    {"shall a ^ 2 > 3", "powers are written power(a, b)"},
    {"shall a;", "a clause needs no ';' at its end"},
    {"shall a > % 3", "'%' stands right after its number"},
    {"shall a > 3 @", "'@' has no meaning here"},
    {"shall caf\xC3\xA9 > 3", "names have the letters a to z"},
    {"# text", "comment: a comment begins with two dashes (write '-- ...')"},
    {"// text", "a comment begins with two dashes"},
    {"/* text\n text */ shall a", "a comment begins with two dashes"},
    {"remedy 'x'", "quotes: a text stands in plain double quotes"},
    {"remedy \xE2\x80\x9Cx\xE2\x80\x9D", "a text stands in plain double quotes"},
    {"remedy \"x", "unfinished text: this text has no closing quote on its line"},
    {"remedy \"a\\nb\"", "escape: a backslash in a text stands before"},
    /* quantities, dates, spaces */
    {"except where a > 24\" by \"x\"",
     "marks for feet and inches are read in specs only (write in)"},
    {"shall a > 3 galn", "unknown unit: unknown unit 'galn' (did you mean 'gal'?)"},
    {"shall a > 24 inches", "unknown unit 'inches' (write in)"},
    {"shall a > 24in", "a space is missing between '24' and its unit"},
    {"shall a-b > 1", "spacing: '-' between two values has a space on both sides"},
    {"shall a -3 > 1", "'-' between two values has a space on both sides"},
    {"shall a/b > 1", "'/' between two values has a space on both sides"},
    {"shall a > 6-1/2", "the mixed number '6-1/2' has no unit"},
    {"shall a before 2025-02-30", "date: '2025-02-30' is no date"},
    {"shall a before 2025-02", "a date here has its day (write '2025-02-01')"},
    {"shall a x b x c x d holds e", "size: a size has two or three sides"},
    {"shall every s of l, at least 3: s.a", "goes with 'some' only"},
    {"shall some s of l, at least 0: s.a", "a whole number of items"},
    /* what was expected */
    {"each s in sinks",
     "3:8 syntax: expected 'of' after 's', found 'in' (items are taken of a list"},
    {"shall every u in l: u.a", "expected 'of' after 'u', found 'in'"},
    {"shall a = none", "expected a value after '=', found 'none' (absence is asked for"},
    {"shall a < b < c", "found '<' (comparisons do not chain"},
    {"shall if a then b", "found 'if' (a choice is written"},
    {"define a = b if c else d", "found 'else' (a choice is written"},
    {"shall a in (b, c)", "found 'in' (membership is written 'x among (a, b)')"},
    {"shall a at least 3 in", "found 'at least' (in a comparison write '>=')"},
    {"shall a exceeds 3 in", "found 'exceeds' (write '>')"},
    {"o must be 3 in", "after '\"1\"', found 'o' (a text stands in double quotes)"},
    {"shall x > 3", "found 'x' ('x' builds sizes and cannot be a name)"},
    {"define a b", "expected '(' or '=' after 'a', found 'b'"},
    {"define by = 3", "expected a name after 'define', found 'by' (that is a word of the language"},
    {"remedy reduce it", "expected a text in quotes after 'remedy', found 'reduce' (a text stands"},
    {"shall (a + b",
     "expected an operator, ')' or ',' after 'b', found 'end' (a bracket is still open)"},
    {"shall a + \"", "unfinished text"},
    {"shall a.", "expected a name after '.', found 'end'"},
    {"shall max(a, )", "expected a value after ',', found ')'"},
    {"shall 3 zzzzzz > 1", "a word after a number is read as its unit if it is one; this is none"},
    {"stage plan, finl", "unknown word: 'finl' is no stage (did you mean 'final'?)"},
    {"rework steal", "'steal' is no stage of rework (did you mean 'steel'?)"},
    {"basis guess", "'guess' is no basis"},
    {"basis read", "basis: a title and a date go with 'basis read'"},
    {"basis memory \"x\" on 2025-01-01", "a title and a date go with 'basis read', and only"},
    {"remedy \"a\"\nremedy \"b\"", "4:1 said twice: 'remedy' is said twice here (first here)"},
    {"rank a rank b", "'rank' is said twice here"},
    {"shall any of a b end", "expected an operator, a new line or 'end' after 'a', found 'b'"},
    /* whole files */
    {"!code c", "'end' of 'code' is missing before the end of the file ('code' begins here)"},
    {"!code c edition 1 end end", "this 'end' closes nothing: no block is open here"},
    {"!section \"1\" end",
     "expected 'vocabulary', 'code', 'jurisdiction' or 'place', found 'section'"},
    {"!vocabulary v choice c one of a < b, c end", "choice: the words of a choice are all parted"},
    {"!vocabulary v choice c one of a, a end", "'a' stands here twice (first here)"},
    {"!vocabulary v fact a length at least 0 in at least 1 in end", "a lower bound is said twice"},
    {"!vocabulary v fact a length at least 0 inn end", "unknown unit 'inn' (did you mean 'in'?)"},
    {"!vocabulary v fact a lenth 3 in end", "expected a qualifier such as 'always present'"},
    {"!vocabulary v record r a 3 end end", "expected a type after 'a', found '3'"},
    {"!code c edition 1 table t by k\n a 1 2\nend end",
     "table: this row has 2 cells, the table 1 column"},
    {"!code c edition 1 table t by k\nend end", "table 't' has no rows"},
    {"!code c edition 1 table t by k\n otherwise no rule\n a 1\nend end",
     "'otherwise' is the last row of a table"},
    {"!code c edition 1 table t by k\n 25..49 1\nend end", "'..' stands right after '25'"},
    {"!code c edition 1 table t by k\n 8 < k >= 9 1\nend end", "both signs of a label point"},
    {"!code c edition 1 table t by k sideways\n a 1\nend end",
     "does not say how a key is looked up"},
    {"!code c edition 1 table t by k in foot\n a 1\nend end",
     "unknown unit 'foot' (did you mean 'ft'?)"},
    {"!code c edition 1 worked example \"a\" finds \"1\" fine end end",
     "expected an outcome such as 'complies' or 'correction'"},
    {"!code c edition 1 worked example \"a\" finds \"1\" complies, limit 3, limit 4 end end",
     "'limit' is said twice here"},
    {"!jurisdiction j \"J\" adopts c edition 1 in force 2025-01-01 by \"x\" end",
     "expected 'from' after 'in force', found '2025-01-01'"},
    {"!jurisdiction j \"J\" adopts c edition 1 in force from 2025-01-01 until 2024-01-01 by \"x\" "
     "end",
     "the last day in force is before the first"},
    {"!jurisdiction j \"J\" adopts c edition 1 in force from 2025-01-01 by \"x\"\n"
     "amend \"1\" to read topic a.b end end",
     "amendment: 'to read' leaves this clause as it was"},
    {"!import \"x\"", "found 'import' (nothing is included"},
    {"!code c edition 1 \xFF\xFE\xFD end", "unreadable: this is not UTF-8 text"},
    {"!code c edition 1 title \"\xFF\" end", "unreadable: this text holds bytes"},
    {"!code c edition 1 \x01\x02 end", "a control character (byte 1) is no text"},
};

static Read read_fault(const Fault *fault)
{
    if (fault->text[0] == '!') {
        return read_text(fault->text + 1);
    }
    Arena *arena = arena_new();
    Read read = read_bytes(in_section(arena, fault->text));
    arena_free(arena);
    return read;
}

START_TEST(each_mistake_is_one_message_with_its_cure)
{
    const Fault *fault = &FAULTS[_i];
    Read read = read_fault(fault);
    char *messages = text_string(read.arena, read_messages(&read));
    ck_assert_msg(read.diags.errors == 1, "'%s' gives %zu errors:\n%s", fault->text,
                  read.diags.errors, messages);
    ck_assert_msg(strstr(messages, fault->message) != NULL, "'%s':\nexpected %s\nfound    %s",
                  fault->text, fault->message, messages);
    read_free(&read);
}
END_TEST

START_TEST(a_zero_byte_is_one_message)
{
    Read read = read_bytes(TEXT("code c edition 1 \0\0\0 end"));
    ck_assert_uint_eq(read.diags.errors, 1);
    ck_assert(text_starts(read.diags.first->message, TEXT("a control character (byte 0)")));
    read_free(&read);
}
END_TEST

/* No message speaks of the inside of the parser. */
START_TEST(messages_are_in_the_words_of_the_language)
{
    static const char *const inside[] = {"unexpected",  "token",       "$end",
                                         "TOK_",        "YYEOF",       "identifier",
                                         "nonterminal", "(of a list)", "and a unit"};
    for (size_t i = 0; i < sizeof FAULTS / sizeof FAULTS[0]; i++) {
        Read read = read_fault(&FAULTS[i]);
        char *messages = text_string(read.arena, read_messages(&read));
        for (size_t j = 0; j < sizeof inside / sizeof inside[0]; j++) {
            ck_assert_msg(strstr(messages, inside[j]) == NULL, "'%s' in: %s", inside[j], messages);
        }
        read_free(&read);
    }
}
END_TEST

/* ---- where the parser goes on ---- */

typedef struct Several {
    const char *text;
    const char *messages; /* the places and names of all, in order */
} Several;

static const Several SEVERALS[] = {
    /* five mistakes, five messages */
    {"code c edition 1\n"
     "  section \"1\"\n"
     "    each s in sinks\n"
     "    shall a.b ==\n"
     "    remedy reduce\n"
     "  end\n"
     "  section \"2\"\n"
     "    shall any of\n"
     "      a > 3 4\n"
     "      b is yes\n"
     "    end\n"
     "    define = 3\n"
     "  end\n"
     "end\n",
     "3:12 syntax\n4:15 sign\n5:12 syntax\n9:13 syntax\n12:12 syntax\n"},
    {"vocabulary v\n"
     "  record r\n"
     "    a 3\n"
     "    b text always\n"
     "    c text\n"
     "  end\n"
     "  fact d of e\n"
     "  choice f a, b\n"
     "  topic \"x\"\n"
     "end\n",
     "3:7 syntax\n6:3 syntax\n7:10 syntax\n8:12 syntax\n9:9 syntax\n"},
    {"code c edition 1\n"
     "  table t by k\n"
     "    a 1 +\n"
     "    b 2\n"
     "    c (3)\n"
     "  end\n"
     "  table by k\n"
     "    a 1\n"
     "  end\n"
     "  worksheet w \"W\"\n"
     "    step a 3\n"
     "    step b \"B\" +\n"
     "    step c \"C\" 1\n"
     "  end\n"
     "  define a = 1\n"
     "end\n",
     "3:9 syntax\n5:7 syntax\n7:9 syntax\n11:12 syntax\n12:16 syntax\n"},
    {"jurisdiction j \"J\"\n"
     "  adopts c 2024\n"
     "  adopts c edition 1 in force from 2025-01-01 by \"x\"\n"
     "    amend \"1\"\n"
     "    delete 2\n"
     "    amend \"3\" to read\n"
     "      shall +\n"
     "      shall a\n"
     "    end lapses\n"
     "end\n"
     "code d edition 1 section 5 end end\n",
     "2:12 syntax\n5:5 syntax\n5:12 syntax\n7:13 syntax\n11:26 syntax\n"},
    /* a forgotten end is found where the next block begins, and nothing else is said */
    {"code c edition 1\n"
     "  section \"1\"\n"
     "    shall any of\n"
     "      a\n"
     "      b\n"
     "    remedy \"x\"\n"
     "  section \"2\"\n"
     "    shall b\n"
     "  table t by k\n"
     "    a 1\n"
     "  worked example \"x\"\n"
     "    finds \"1\" complies\n"
     "jurisdiction j \"J\"\n"
     "  adopts c edition 1 in force from 2025-01-01 by \"x\"\n"
     "    amend \"1\" to read\n"
     "      shall a\n"
     "    delete \"2\"\n"
     "end\n",
     "6:5 missing end\n7:3 missing end\n9:3 missing end\n11:3 missing end\n13:1 missing end\n"
     "13:1 missing end\n17:5 missing end\n"},
    {"vocabulary v\n  record r\n    a text\n  record s\n    fact text\n  fact b text\n",
     "4:3 missing end\n6:3 missing end\n7:1 missing end\n"},
    /* of ends that do not stand under their beginnings the first is told */
    {"code c edition 1\n  section \"1\"\n    shall a\nend\n", "5:1 missing end\n"},
};

START_TEST(the_parser_goes_on_after_a_mistake)
{
    Read read = read_text(SEVERALS[_i].text);
    Buffer places = buffer_make(read.arena);
    for (const Diagnostic *diag = read.diags.first; diag != NULL; diag = diag->next) {
        Position at = source_position(read.source, diag->place.span.start);
        buffer_format(&places, "%u:%u %s\n", at.line, at.column, diag->name);
    }
    Text found = buffer_done(&places);
    Text all = read_messages(&read);
    ck_assert_msg(text_equal(found, text_of(SEVERALS[_i].messages)),
                  "expected\n%s\nfound\n%.*s\n%.*s", SEVERALS[_i].messages, TEXT_ARG(found),
                  TEXT_ARG(all));
    read_free(&read);
}
END_TEST

START_TEST(what_is_sound_stays_in_the_tree)
{
    Read read = read_text("code c edition 1\nsection \"1\"\nshall a +\nshall b\nend\n"
                          "section \"2\"\nshall c\nend\nend\n");
    ck_assert_uint_eq(read.diags.errors, 1);
    const SectionTree *section = first_section(&read);
    ck_assert(text_equal(section->body.lines->requirement->name->text, TEXT("b")));
    ck_assert(text_equal(section->next->number, TEXT("2")));
    read_free(&read);
}
END_TEST

START_TEST(a_missing_end_tells_what_was_opened_and_which_end_is_odd)
{
    Read read = read_text("code c edition 1\n  section \"1\"\n    shall a\nend\n");
    const Diagnostic *diag = read.diags.first;
    ck_assert(
        text_equal(diag->message, TEXT("'end' of 'code' is missing before the end of the file")));
    const Diagnostic *note = diag->notes;
    ck_assert(text_equal(note->message, TEXT("'code' begins here")));
    ck_assert(text_equal(place_text(note->place), TEXT("code")));
    ck_assert(text_starts(note->next->message, TEXT("this 'end' closed 'section'")));
    ck_assert_uint_eq(source_position(read.source, note->next->place.span.start).line, 4);
    read_free(&read);
}
END_TEST

/* ---- hostile texts ---- */

static Text repeated(Arena *arena, const char *before, const char *part, size_t count,
                     const char *after)
{
    Buffer buffer = buffer_make(arena);
    buffer_string(&buffer, before);
    for (size_t i = 0; i < count; i++) {
        buffer_string(&buffer, part);
    }
    buffer_string(&buffer, after);
    return buffer_done(&buffer);
}

typedef struct Nested {
    const char *before, *part, *after;
    size_t count;
} Nested;

#define IN_WHEN "code c edition 1 section \"1\" when "
#define IN_EXAMPLE "code c edition 1 worked example \"x\" unit has a = "

static const Nested DEEP[] = {
    {IN_WHEN, "(", "a", 100000},
    {IN_WHEN, "not ", "a end end", 100000},
    {IN_WHEN, "1 + ", "1 end end", 200000},
    {IN_WHEN, "a or ", "a end end", 250},
    {IN_WHEN, "every a of ", "b", 50000},
    {IN_WHEN "a", ".b", " end end", 300},
    {IN_WHEN, "max(", "a", 5000},
    {IN_WHEN, "any of ", "a", 5000},
    {IN_WHEN, "1% of ", "a end end", 20000},
    {IN_WHEN "a ", "if b otherwise c ", " end end", 5000},
    {IN_EXAMPLE, "[", "", 100000},
    {IN_EXAMPLE, "{ a: ", "1", 100000},
    {IN_WHEN, "- ", "a end end", 100000},
};

START_TEST(what_lies_too_deep_is_refused_once)
{
    Arena *arena = arena_new();
    const Nested *deep = &DEEP[_i];
    Read read = read_bytes(repeated(arena, deep->before, deep->part, deep->count, deep->after));
    ck_assert_msg(read.diags.errors == 1, "%zu times '%s': %zu errors", deep->count, deep->part,
                  read.diags.errors);
    ck_assert_str_eq(read.diags.first->name, "nested too deeply");
    read_free(&read);
    arena_free(arena);
}
END_TEST

static const Nested SHALLOW[] = {
    {IN_WHEN, "1 + ", "1 end end", TREE_DEPTH_MAX - 1},
    {IN_WHEN, "not ", "a end end", TREE_DEPTH_MAX - 1},
    {IN_WHEN "a", ".b", " end end", TREE_DEPTH_MAX - 1},
    {"code c edition 1 section \"1\" ", "shall a\n", "end end", 20000},
    {"code c edition 1 define a = max(1", ", 2", ") end", 20000},
    {"vocabulary v choice c one of a", ", b1\n", " end", 0},
};

START_TEST(what_is_long_but_not_deep_is_read)
{
    Arena *arena = arena_new();
    const Nested *long_one = &SHALLOW[_i];
    Read read = read_bytes(
        repeated(arena, long_one->before, long_one->part, long_one->count, long_one->after));
    expect_clean(&read, long_one->part);
    (void)check_copy(&read);
    read_free(&read);
    arena_free(arena);
}
END_TEST

START_TEST(a_file_of_mistakes_is_given_up)
{
    Arena *arena = arena_new();
    Read read = read_bytes(repeated(arena, "code c edition 1\n", "shall )\ntitle \n", 50000, ""));
    ck_assert_uint_eq(read.diags.errors, 101);
    ck_assert(text_starts(read.diags.last->message, TEXT("more than 100 mistakes")));
    read_free(&read);
    arena_free(arena);
}
END_TEST

static bool is_in_item(const Read *whole, size_t at)
{
    for (const ItemTree *item = whole->file->items; item != NULL; item = item->next) {
        Span span = item->kind == ITEM_VOCABULARY ? item->vocabulary->span
                    : item->kind == ITEM_CODE     ? item->code->span
                    : item->kind == ITEM_PLACE    ? item->place->span
                                                  : item->jurisdiction->span;
        if (span.start < at && at < span.end) {
            return true;
        }
    }
    return false;
}

/* A file that breaks off in a block is in error; one that breaks off between blocks is not. */
START_TEST(every_prefix_is_read_without_harm)
{
    Arena *arena = arena_new();
    Text text = file_text(arena, EVERYTHING);
    Read whole = read_bytes(text);
    for (size_t at = 0; at < text.len; at = token_end(text, at)) {
        Read read = read_bytes((Text){text.data, at});
        ck_assert_msg((read.diags.errors > 0) == is_in_item(&whole, at),
                      "the first %zu bytes: %zu errors", at, read.diags.errors);
        read_free(&read);
    }
    read_free(&whole);
    arena_free(arena);
}
END_TEST

/* What is still sound without one of its tokens is sound in its fair copy too. */
START_TEST(every_token_can_be_left_out)
{
    Arena *arena = arena_new();
    Text text = file_text(arena, EVERYTHING);
    size_t sound = 0;
    for (size_t at = 0; at < text.len;) {
        size_t next = token_end(text, at);
        Text without = text_format(arena, "%.*s%.*s", (int)at, text.data, (int)(text.len - next),
                                   text.data + next);
        Read read = read_bytes(without);
        if (read.diags.errors == 0) {
            (void)check_copy(&read);
            sound++;
        }
        read_free(&read);
        at = next;
    }
    ck_assert_uint_gt(sound, 100);
    arena_free(arena);
}
END_TEST

Suite *messages_suite(void)
{
    Suite *suite = suite_create("messages");
    TCase *tests = tcase_create("messages");
    tcase_set_timeout(tests, 300);
    tcase_add_loop_test(tests, each_mistake_is_one_message_with_its_cure, 0,
                        sizeof FAULTS / sizeof FAULTS[0]);
    tcase_add_test(tests, a_zero_byte_is_one_message);
    tcase_add_test(tests, messages_are_in_the_words_of_the_language);
    tcase_add_loop_test(tests, the_parser_goes_on_after_a_mistake, 0,
                        sizeof SEVERALS / sizeof SEVERALS[0]);
    tcase_add_test(tests, what_is_sound_stays_in_the_tree);
    tcase_add_test(tests, a_missing_end_tells_what_was_opened_and_which_end_is_odd);
    tcase_add_loop_test(tests, what_lies_too_deep_is_refused_once, 0, sizeof DEEP / sizeof DEEP[0]);
    tcase_add_loop_test(tests, what_is_long_but_not_deep_is_read, 0,
                        sizeof SHALLOW / sizeof SHALLOW[0]);
    tcase_add_test(tests, a_file_of_mistakes_is_given_up);
    tcase_add_test(tests, every_prefix_is_read_without_harm);
    tcase_add_test(tests, every_token_can_be_left_out);
    suite_add_tcase(suite, tests);
    return suite;
}
