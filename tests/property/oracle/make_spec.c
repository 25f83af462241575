/* Makes build specs by chance, for a vocabulary and for what rules ask: facts stated, not stated, absent,
 * measured with a tolerance; values at a limit, just under, just over; partial dates; empty lists and
 * lists that are not complete; permits, variances, decisions and approvals. */
#include "cases.h"

#include <string.h>

static bool pick_beside(const Vec *from, const char *field, Chance *c, const Beside **out)
{
    int n = 0;
    for (int i = 0; i < from->n; i++) {
        const Beside *b = from->at[i];
        if (same(b->field, field) && chance(c, (unsigned)++n) == 0) {
            *out = b;
        }
    }
    return n > 0;
}

static void some_number(const Harvest *h, const Field *field, Chance *c, mpq_t out)
{
    static const struct {
        long n;
        unsigned long d;
    } OFF[] = {{0, 1}, {0, 1}, {1, 16}, {-1, 16}, {1, 1000}, {-1, 1000}, {1, 1}, {-1, 1}};
    const Beside *b = NULL;
    mpq_t step, times;
    mpq_inits(step, times, NULL);
    spell_step(field, step);
    if (chance_in(c, 75) && pick_beside(&h->numbers, field->name, c, &b)) {
        unsigned which = chance(c, sizeof OFF / sizeof OFF[0]);
        mpq_set_si(times, OFF[which].n, OFF[which].d);
        mpq_mul(times, times, step);
        mpq_add(out, b->number, times);
        return;
    }
    mpq_set_ui(times, chance(c, 100), chance_in(c, 30) ? 2 : 1);
    mpq_canonicalize(times);
    mpq_mul(out, times, step);
    if (same(field->type.dimension, "temperature")) {
        (void)unit_apply("degF", times, out);
    }
}

static bool in_bounds(const Field *field, mpq_srcptr value)
{
    Range r = range_of(value);
    return range_equal(&r, &field->bounds) != CAN_NO;
}

/* " +- 1/8 in", in the usual unit */
static const char *some_tolerance(const Field *field, Chance *c)
{
    static const char *const PARTS[] = {"1/16", "1/8", "1/2", "1", "2", "0.001"};
    const char *unit = spell_unit(field);
    const char *part = PARTS[chance(c, sizeof PARTS / sizeof PARTS[0])];
    if (same(field->type.dimension, "percent")) {
        return pool_format(" +- %s%%", part);
    }
    return unit == NULL ? pool_format(" +- %s", part) : pool_format(" +- %s %s", part, unit);
}

static json_t *make_number(const Harvest *h, const Field *field, Chance *c, bool whole)
{
    mpq_t value;
    mpq_init(value);
    for (int tries = 0; tries < 8; tries++) {
        some_number(h, field, c, value);
        if (field->type.kind == TYPE_COUNT) {
            mpz_fdiv_q(mpq_numref(value), mpq_numref(value), mpq_denref(value));
            mpz_set_ui(mpq_denref(value), 1);
        }
        const char *text = in_bounds(field, value) ? spell_number(field, value, c) : NULL;
        if (text != NULL && field->type.kind != TYPE_COUNT && !whole && chance_in(c, 12)) {
            text = pool_format("%s%s", text, some_tolerance(field, c));
        }
        if (text != NULL) {
            return json_string(text);
        }
    }
    return NULL;
}

const char *date_text(long days)
{
    long year = 1970 + days / 366, month = 12, day = 31; /* a lower guess, then forward */
    while (date_days(year + 1, 1, 1) <= days) {
        year++;
    }
    while (date_days(year, month, 1) > days) {
        month--;
    }
    day = days - date_days(year, month, 1) + 1;
    return pool_format("%04ld-%02ld-%02ld", year, month, day);
}

static json_t *make_date(const Harvest *h, const char *field, Chance *c, bool whole)
{
    const Beside *b = NULL;
    long days = date_days(2024, 1, 1) + (long)chance(c, 730);
    if (chance_in(c, 60) && pick_beside(&h->dates, field, c, &b)) {
        days = mpz_get_si(mpq_numref(b->number)) / 86400 + (long)chance(c, 3) - 1;
    }
    const char *text = date_text(days);
    if (!whole && chance_in(c, 20)) {
        text = pool_format("%.*s", chance_in(c, 50) ? 4 : 7, text);
    }
    return json_string(text);
}

static json_t *make_size(const Harvest *h, const Field *field, Chance *c)
{
    Field side = *field;
    side.type = (Type){.kind = TYPE_NUMBER, .dimension = "length"};
    const char *text = NULL;
    for (int i = 0; i < 3; i++) {
        mpq_t value;
        mpq_init(value);
        do {
            some_number(h, &side, c, value);
        } while (mpq_sgn(value) <= 0);
        text = pool_format("%s%s%s", i == 0 ? "" : text, i == 0 ? "" : " x ",
                           spell_number(&side, value, c));
    }
    return json_string(text);
}

static json_t *make_text(const Harvest *h, const Field *field, Chance *c)
{
    const Beside *b = NULL;
    return json_string(
        chance_in(c, 50) && pick_beside(&h->texts, field->name, c, &b) ? b->text : "of no concern");
}

static json_t *make_record(const Harvest *h, const Record *record, Chance *c, bool whole, int place)
{
    json_t *object = json_object();
    for (int i = 0; i < record->n; i++) {
        const Field *field = &record->field[i];
        json_t *value = NULL;
        if (i == record->key && field->type.kind == TYPE_TEXT) {
            value = json_string(pool_format("%c%d", record->name[0], place));
        } else {
            value = make_fact(h, field, c, whole);
        }
        if (value != NULL) {
            (void)json_object_set_new(object, field->name, value);
        }
    }
    return object;
}

static json_t *make_list(const Harvest *h, const Field *field, Chance *c, bool whole)
{
    json_t *array = json_array();
    int n = chance_in(c, 10) ? 0 : 1 + (int)chance(c, 4);
    for (int i = 0; i < n; i++) {
        (void)json_array_append_new(array, make_record(h, field->type.record, c, whole, i + 1));
    }
    if (!whole && chance_in(c, 12)) {
        (void)json_array_append_new(array, json_string("and more"));
    }
    return array;
}

/* NULL: not stated */
json_t *make_fact(const Harvest *h, const Field *field, Chance *c, bool whole)
{
    if (field->gathered) {
        return NULL; /* its items are stated where they belong */
    }
    if (!whole && chance_in(c, 15)) {
        return chance_in(c, 20) ? json_null() : NULL;
    }
    /* quoted none would be text for a text fact, and JSON has no other */
    if (!field->always && field->type.kind != TYPE_TEXT && chance_in(c, 20)) {
        return json_string("none");
    }
    switch (field->type.kind) {
    case TYPE_NUMBER:
    case TYPE_COUNT: return make_number(h, field, c, whole);
    case TYPE_TEXT: return make_text(h, field, c);
    case TYPE_YES_NO: return chance_in(c, 50) ? json_string("yes") : json_string("no");
    case TYPE_DATE: return make_date(h, field->name, c, whole);
    case TYPE_SIZE: return make_size(h, field, c);
    case TYPE_CHOICE:
        return json_string(field->type.choice->word[chance(c, (unsigned)field->type.choice->n)]);
    case TYPE_RECORD: return make_record(h, field->type.record, c, whole, 0);
    case TYPE_LIST: return make_list(h, field, c, whole);
    }
    return NULL;
}

/* ---- papers ---- */

static const Record *listed_in(const Record *record, const char *list)
{
    for (int i = 0; i < record->n; i++) {
        const Type *type = &record->field[i].type;
        if (type->kind == TYPE_LIST && same(record->field[i].name, list)) {
            return type->record;
        }
    }
    return NULL;
}

/* One of the records that are such a record, or made as it. */
static const Record *some_made(const Vocabulary *v, const Record *base, Chance *c)
{
    const Record *found = base;
    int n = 0;
    for (int i = 0; i < v->records.n; i++) {
        const Record *record = v->records.at[i];
        if (record->base == base && chance(c, (unsigned)++n) == 0) {
            found = record;
        }
    }
    return found;
}

/* The first letter of the names that make_record gives to the items of a section. */
static char item_letter(const Vocabulary *v, const Section *s, Chance *c)
{
    const Expr *list = ((const Each *)s->eachs.at[0])->list;
    const Record *record = listed_in(&v->facts, list->text);
    for (int i = 0; record == NULL && i < v->records.n; i++) {
        record = listed_in(v->records.at[i], list->text);
    }
    return record == NULL ? 'p' : some_made(v, record, c)->name[0];
}

static json_t *some_items(const Vocabulary *v, const Section *s, Chance *c)
{
    if (chance_in(c, 40)) {
        return json_string("all items");
    }
    json_t *items = json_array();
    (void)json_array_append_new(
        items, json_string(pool_format("%c%u", item_letter(v, s, c), chance(c, 4))));
    return items;
}

static const char *some_place(const Harvest *h, const char *here, Chance *c)
{
    const Vec *all = &h->law->jurisdictions;
    return chance_in(c, 80) ? here
                            : ((const Jurisdiction *)all->at[chance(c, (unsigned)all->n)])->name;
}

static void set_text(json_t *object, const char *key, const char *text)
{
    (void)json_object_set_new(object, key, json_string(text));
}

static void set_paper(json_t *paper, const Harvest *h, const char *here, const char *from, long day,
                      Chance *c)
{
    set_text(paper, "jurisdiction", some_place(h, here, c));
    long given = day - 10 + (chance_in(c, 15) ? 11 : (long)chance(c, 11));
    set_text(paper, from, date_text(given));
    set_text(paper, "document", "letter");
    if (chance_in(c, 50) && given < day && !same(from, "date")) {
        set_text(paper, "expires", date_text(day - 1 + (long)chance(c, 4)));
    }
}

static bool has_lines(const Exception *x)
{
    return x != NULL && x->to == NULL && x->lines.n > 0;
}

static bool changes_so(const Change *c, const char *number)
{
    bool here = false;
    for (int i = 0; has_lines(c->exception) && i < c->targets.n; i++) {
        here = here || same(((const Target *)c->targets.at[i])->number, number);
    }
    return here;
}

/* May an exception put one line in the place of several here? Which variance then covers it is not plain. */
static bool substituted(const Harvest *h, const char *number)
{
    for (int i = 0; i < h->sections.n; i++) {
        const Section *s = h->sections.at[i];
        for (int k = 0; same(s->number, number) && k < s->exceptions.n; k++) {
            if (has_lines(s->exceptions.at[k])) {
                return true;
            }
        }
    }
    for (int i = 0; i < h->law->jurisdictions.n; i++) {
        const Jurisdiction *j = h->law->jurisdictions.at[i];
        for (int k = 0; k < j->blocks.n; k++) {
            const Block *block = j->blocks.at[k];
            for (int m = 0; m < block->changes.n; m++) {
                if (changes_so(block->changes.at[m], number)) {
                    return true;
                }
            }
        }
    }
    return false;
}

static json_t *make_paper(const Harvest *h, const char *here, const char *from, long day, Chance *c)
{
    const Section *s = h->sections.at[chance(c, (unsigned)h->sections.n)];
    bool decision = same(from, "date");
    const Line *line = s->lines.n > 0 ? s->lines.at[chance(c, (unsigned)s->lines.n)] : NULL;
    json_t *paper = json_object();
    for (int tries = 0; decision && tries < 200 && (line == NULL || line->expr != NULL); tries++) {
        s = h->sections.at[chance(c, (unsigned)h->sections.n)];
        line = s->lines.n > 0 ? s->lines.at[chance(c, (unsigned)s->lines.n)] : NULL;
    }
    set_text(paper, "section", s->number);
    if (s->part != NULL) {
        set_text(paper, "part", s->part);
    }
    if (chance_in(c, 20)) {
        const Vec *codes = &h->law->codes;
        set_text(paper, "code", ((const Code *)codes->at[chance(c, (unsigned)codes->n)])->name);
    }
    if (line != NULL && line->label != NULL && (decision || !substituted(h, s->number)) &&
        chance_in(c, 60)) {
        set_text(paper, "line", line->label);
    }
    if (s->eachs.n > 0) {
        (void)json_object_set_new(paper, "items", some_items(vocabulary_find(h->law, NULL), s, c));
    }
    set_text(paper, "office", "county health officer");
    if (decision) {
        set_text(paper, "decision", chance_in(c, 60) ? "approved" : "refused");
    }
    set_paper(paper, h, here, from, day, c);
    return paper;
}

static json_t *make_papers(const Harvest *h, const char *here, const char *from, long day,
                           Chance *c)
{
    json_t *papers = json_array();
    for (unsigned n = chance(c, 4); n > 0; n--) {
        (void)json_array_append_new(papers, make_paper(h, here, from, day, c));
    }
    return papers;
}

static json_t *make_approvals(const Harvest *h, const char *here, long day, Chance *c)
{
    json_t *papers = json_array();
    for (unsigned n = chance(c, 3); n > 0 && h->approvals.n > 0; n--) {
        json_t *paper = json_object();
        set_text(paper, "of", h->approvals.at[chance(c, (unsigned)h->approvals.n)]);
        set_paper(paper, h, here, "date", day, c);
        (void)json_array_append_new(papers, paper);
    }
    return papers;
}

static json_t *make_permits(const Harvest *h, const char *here, Chance *c)
{
    if (chance_in(c, 40)) {
        return json_string("none");
    }
    json_t *permits = json_array(), *permit = json_object();
    set_text(permit, "jurisdiction", some_place(h, here, c));
    (void)json_object_set_new(permit, "date", make_date(h, "permit_date", c, false));
    (void)json_array_append_new(permits, permit);
    return permits;
}

json_t *make_spec(const Harvest *h, const Vocabulary *v, const char *jurisdiction, long day,
                  uint64_t seed, bool whole)
{
    Chance c = {seed * 0xd1342543de82ef95U + 1};
    json_t *spec = make_record(h, &v->facts, &c, whole, 1);
    (void)json_object_set_new(spec, "vocabulary", json_string(v->name));
    if (chance_in(&c, 70) || whole) {
        (void)json_object_set_new(spec, "permits", make_permits(h, jurisdiction, &c));
    }
    if (chance_in(&c, 40)) {
        (void)json_object_set_new(spec, "variances",
                                  make_papers(h, jurisdiction, "granted", day, &c));
    }
    if (chance_in(&c, 40)) {
        (void)json_object_set_new(spec, "decisions", make_papers(h, jurisdiction, "date", day, &c));
    }
    if (chance_in(&c, 40)) {
        (void)json_object_set_new(spec, "approvals", make_approvals(h, jurisdiction, day, &c));
    }
    return spec;
}
