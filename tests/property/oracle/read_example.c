/* Worked examples of rule files. What a unit has is kept as JSON, so that it is read like any spec. */
#include "oracle.h"

#include <limits.h>
#include <string.h>

static json_t *read_datum(Reader *r);

static json_t *read_datum_list(Reader *r)
{
    json_t *array = json_array();
    want_sign(r, "[");
    while (!take_sign(r, "]")) {
        if (take_word(r, "and")) {
            want_word(r, "more");
            (void)json_array_append_new(array, json_string("and more"));
        } else {
            (void)json_array_append_new(array, read_datum(r));
        }
        (void)take_sign(r, ",");
    }
    return array;
}

static json_t *read_datum_record(Reader *r)
{
    json_t *object = json_object();
    want_sign(r, "{");
    while (!take_sign(r, "}")) {
        const char *name = want_name(r);
        want_sign(r, ":");
        (void)json_object_set_new(object, name, read_datum(r));
        (void)take_sign(r, ",");
    }
    return object;
}

/* The text of a quantity or size, as it stands. */
static const char *read_amount(Reader *r)
{
    const char *start = r->token.start, *end = start;
    for (;;) {
        Quantity q;
        end = r->token.start;
        if (!quantity_read(&end, false, true, &q)) {
            read_error(r, "a quantity is expected");
        }
        read_from(r, end);
        if (!at_word(r, "x")) {
            return pool_text(start, (size_t)(end - start));
        }
        read_next(r);
    }
}

static json_t *read_datum(Reader *r)
{
    if (at_sign(r, "[")) {
        return read_datum_list(r);
    }
    if (at_sign(r, "{")) {
        return read_datum_record(r);
    }
    if (r->token.kind == TOKEN_TEXT) {
        return json_string(want_text(r));
    }
    if (r->token.kind == TOKEN_WORD) {
        return json_string(want_name(r));
    }
    if (r->token.kind == TOKEN_DATE) {
        const char *start = r->token.start;
        (void)want_date(r);
        return json_string(pool_text(start, 10));
    }
    const char *start = r->token.start;
    if (strspn(start, "0123456789") == 4 && start[4] == '-' &&
        strspn(start + 5, "0123456789") == 2 &&
        strchr("/.-", start[7]) == NULL) { /* a partial date */
        read_from(r, start + 7);
        return json_string(pool_text(start, 7));
    }
    return json_string(read_amount(r));
}

static Setting *read_setting(Reader *r)
{
    Setting *s = NEW(Setting);
    do {
        Step *step = NEW(Step);
        step->name = want_name(r);
        vec_add(&s->path, step);
        while (take_sign(r, "[")) {
            Step *key = NEW(Step);
            key->name = want_text(r);
            key->key = true;
            vec_add(&s->path, key);
            want_sign(r, "]");
        }
    } while (take_sign(r, "."));
    want_sign(r, "=");
    s->value = read_datum(r);
    return s;
}

static bool at_outcome(const Reader *r)
{
    static const char *const WORDS[] = {"complies", "correction", "information",
                                        "official", "excused",    "not"};
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
        if (at_word(r, WORDS[i])) {
            return true;
        }
    }
    return false;
}

static Outcome read_outcome(Reader *r)
{
    if (take_word(r, "information")) {
        want_word(r, "required");
        return INFORMATION_REQUIRED;
    }
    if (take_word(r, "official")) {
        want_word(r, "decides");
        return OFFICIAL_DECIDES;
    }
    if (take_word(r, "not")) {
        want_word(r, "applicable");
        return NOT_APPLICABLE;
    }
    Outcome outcome = at_word(r, "complies")  ? COMPLIES
                      : at_word(r, "excused") ? EXCUSED
                                              : CORRECTION;
    read_next(r);
    return outcome;
}

static const char *read_datum_text(Reader *r)
{
    json_t *datum = read_datum(r);
    const char *text = json_string_value(datum);
    text = text == NULL ? NULL : pool_format("%s", text);
    json_decref(datum);
    return text;
}

static void read_expected_rest(Reader *r, Expected *x)
{
    while (take_sign(r, ",")) {
        if (take_word(r, "measured")) {
            x->measured = read_datum_text(r);
        } else if (take_word(r, "limit")) {
            x->limit = read_datum_text(r);
        } else {
            want_word(r, "waits");
            want_word(r, "for");
            (void)read_sum(r);
        }
    }
}

static void read_names(Reader *r, Expected *x)
{
    if (take_word(r, "for")) {
        do {
            vec_add(&x->names, pool_format("%s", want_text(r)));
        } while (take_sign(r, ","));
    }
}

static void read_expected_step(Reader *r, Expected *x)
{
    want_word(r, "step");
    x->sheet = want_name(r);
    want_sign(r, ".");
    x->step = want_name(r);
    read_names(r, x);
    want_sign(r, "=");
    x->value = read_datum_text(r);
    if (take_word(r, "within")) {
        Range *within = NEW(Range);
        *within = want_quantity(r, true).range;
        x->within = within;
    }
}

static Expected *read_expected(Reader *r)
{
    Expected *x = NEW(Expected);
    x->line = r->token.line;
    if (at_word(r, "step")) {
        read_expected_step(r, x);
        return x;
    }
    x->number = want_text(r);
    if (take_word(r, "part")) {
        x->part = want_name(r);
    }
    if (!at_word(r, "for") && !at_outcome(r)) {
        x->label = want_name(r);
    }
    read_names(r, x);
    x->outcome = read_outcome(r);
    read_expected_rest(r, x);
    return x;
}

static void read_settings(Reader *r, Example *e)
{
    do {
        vec_add(&e->settings, read_setting(r));
    } while (take_sign(r, ","));
}

Example *read_example(Reader *r)
{
    Example *e = NEW(Example);
    e->file = r->file;
    e->line = r->token.line;
    e->title = want_text(r);
    e->on = LONG_MIN;
    if (take_word(r, "from")) {
        e->from = want_text(r);
    }
    if (take_word(r, "with")) {
        read_settings(r, e);
    }
    if (take_word(r, "on")) {
        e->on = want_days(r);
    }
    while (take_word(r, "unit")) {
        want_word(r, "has");
        read_settings(r, e);
    }
    while (take_word(r, "finds")) {
        vec_add(&e->expected, read_expected(r));
    }
    want_word(r, "end");
    return e;
}
