/* A build spec, given as JSON (a YAML spec reads the same), becomes values by the vocabulary. What is
 * left out, null or empty is not stated; the word none states absence; [] states an empty list. */
#include "oracle.h"

#include <stdio.h>
#include <string.h>

static const char *scalar_text(json_t *value)
{
    if (json_is_string(value)) {
        return pool_format("%s", json_string_value(value));
    }
    if (json_is_integer(value)) {
        return pool_format("%lld", (long long)json_integer_value(value));
    }
    if (json_is_real(value)) {
        return pool_format("%.15g", json_real_value(value));
    }
    if (json_is_boolean(value)) {
        return json_is_true(value) ? "yes" : "no";
    }
    return NULL;
}

static const Val *read_number(const Field *field, const char *text)
{
    Quantity q;
    const char *p = text;
    if (!quantity_read(&p, true, true, &q) || *p != '\0') {
        give_up("spec: '%s' is no quantity for '%s'", text, field->name);
    }
    Range range = q.tolerance ? range_cut(q.range, &field->bounds) : q.range;
    return val_number(range, range_exact(&range) ? 0 : WHY_SPREAD, field->type.kind == TYPE_COUNT);
}

static const Val *read_date(const Field *field, const char *text)
{
    Range range;
    const char *p = text;
    if (!date_read(&p, &range) || *p != '\0') {
        give_up("spec: '%s' is no date for '%s'", text, field->name);
    }
    return val_number(range, range_exact(&range) ? 0 : WHY_FACT, false);
}

static const Val *read_size(const Field *field, const char *text)
{
    Val *v = val_new(VAL_SIZE);
    const char *p = text;
    for (v->sides = 0; v->sides < 3; v->sides++) {
        Quantity q;
        p += strspn(p, " x");
        if (!quantity_read(&p, true, true, &q)) {
            give_up("spec: '%s' is no size for '%s'", text, field->name);
        }
        v->side[v->sides] = val_number(q.range, range_exact(&q.range) ? 0 : WHY_SPREAD, false);
        v->why |= v->side[v->sides]->why;
    }
    return v;
}

static const Val *read_word_fact(const Field *field, const char *text)
{
    const Choice *choice = field->type.choice;
    for (int i = 0; i < choice->n; i++) {
        if (same(choice->word[i], text)) {
            return val_word(choice->word[i], choice);
        }
    }
    give_up("spec: '%s' is no word for '%s'", text, field->name);
}

static const Val *read_scalar(const Field *field, const char *text)
{
    Val *v = NULL;
    switch (field->type.kind) {
    case TYPE_NUMBER:
    case TYPE_COUNT: return read_number(field, text);
    case TYPE_DATE: return read_date(field, text);
    case TYPE_SIZE: return read_size(field, text);
    case TYPE_CHOICE: return read_word_fact(field, text);
    case TYPE_YES_NO: return val_truth(truth_of(same(text, "yes") || same(text, "true")));
    case TYPE_TEXT:
        v = val_new(VAL_TEXT);
        v->text = text;
        return v;
    case TYPE_RECORD:
    case TYPE_LIST: break;
    }
    give_up("spec: '%s' is not what '%s' holds", text, field->name);
}

static Item *read_item(const Record *record, json_t *object, json_t *list, const char *path)
{
    Item *item = NEW(Item);
    item->record = record;
    item->field = ARRAY(const Val *, record->n);
    item->list = list;
    for (int i = 0; i < record->n; i++) {
        const char *name = record->field[i].name;
        const char *inner = path == NULL ? name : pool_format("%s.%s", path, name);
        item->field[i] = fact_read(&record->field[i], json_object_get(object, name), inner);
    }
    item->path = path;
    return item;
}

/* The text of the key, or NULL where it is not stated. */
static const char *key_text(const Record *record, json_t *object)
{
    json_t *key = record->key < 0 ? NULL : json_object_get(object, record->field[record->key].name);
    json_t *value = json_is_object(key) ? json_object_get(key, "value") : key;
    const char *text = value == NULL ? NULL : scalar_text(value);
    return text == NULL || text[0] == '\0' ? NULL : text;
}

static const Val *read_list(const Field *field, json_t *array, const char *path)
{
    Val *v = val_new(VAL_LIST);
    Items *items = NEW(Items);
    v->list = items;
    items->further = item_unknown(field->type.record);
    items->member = ARRAY(Member, json_array_size(array) + 1);
    for (size_t i = 0; i < json_array_size(array); i++) {
        json_t *entry = json_array_get(array, i);
        if (json_is_string(entry) && same(json_string_value(entry), "and more")) {
            items->more = true;
            v->why = WHY_FACT;
            continue;
        }
        const char *name = key_text(field->type.record, entry);
        char *place = name != NULL ? pool_format("%s[\"%s\"]", path, name)
                                   : pool_format("%s[%d]", path, items->n + 1);
        Item *item = read_item(field->type.record, entry, array, place);
        item->name = name;
        items->member[items->n++] = (Member){item, truth_of(true)};
    }
    return v;
}

const Val *fact_read(const Field *field, json_t *value, const char *path)
{
    const TypeKind kind = field->type.kind;
    if (json_is_object(value) && kind != TYPE_RECORD && json_object_get(value, "value") != NULL) {
        value = json_object_get(value, "value");
    }
    if (value == NULL || json_is_null(value)) {
        return val_unknown(field);
    }
    if (json_is_object(value) && kind == TYPE_RECORD) {
        Item *item = read_item(field->type.record, value, NULL, path);
        item->name = key_text(field->type.record, value);
        return val_item(item);
    }
    if (json_is_array(value) && kind == TYPE_LIST) {
        return read_list(field, value, path);
    }
    const char *text = scalar_text(value);
    if (text == NULL) {
        give_up("spec: '%s' holds something else", field->name);
    }
    if (text[0] == '\0') {
        return val_unknown(field);
    }
    /* Quoted "none" is text for a text fact, but JSON cannot write it plain: taken as absence here. */
    if (same(text, "none") && !(kind == TYPE_TEXT && (field->always || field->key))) {
        Val *none = val_new(VAL_VOID);
        none->absent = true;
        none->choice = field->type.choice;
        return none;
    }
    return read_scalar(field, text);
}

/* A code alone is judged without jurisdiction: there, papers of any count. */
static bool in_chain(const Review *review, const char *name)
{
    if (review->chain.n == 0) {
        return true;
    }
    for (int i = 0; i < review->chain.n; i++) {
        if (same(review->chain.at[i], name)) {
            return true;
        }
    }
    return false;
}

static const char *string_at(json_t *object, const char *key)
{
    return json_string_value(json_object_get(object, key));
}

static bool date_at(json_t *object, const char *key, Range *date)
{
    const char *text = string_at(object, key);
    return text != NULL && date_read(&text, date);
}

/* The date of the permit here or in the level around; a unit without permit is new. */
static const Val *read_permits(Review *review)
{
    static const Field DATE = {.name = "date", .type = {.kind = TYPE_DATE}};
    json_t *permits = json_object_get(review->spec, "permits");
    const char *word = json_string_value(permits);
    if (permits == NULL || json_is_null(permits) || (word != NULL && word[0] == '\0')) {
        return val_number(range_whole_line(), WHY_FACT, false);
    }
    int levels = review->chain.n == 0 ? 1 : review->chain.n;
    for (int i = 0; i < levels; i++) {
        for (size_t k = 0; k < json_array_size(permits); k++) {
            json_t *permit = json_array_get(permits, k);
            if (review->chain.n > 0 &&
                !same(string_at(permit, "jurisdiction"), review->chain.at[i])) {
                continue;
            }
            json_t *date = json_object_get(permit, "date");
            const char *text = date == NULL ? NULL : scalar_text(date);
            return text == NULL || text[0] == '\0' ? val_number(range_whole_line(), WHY_FACT, false)
                                                   : read_date(&DATE, text);
        }
    }
    review->unpermitted = true;
    return val_number(review->date, review->known_date ? 0 : WHY_FACT, false);
}

/* An item that stands alone. Where it is not stated, it may be one more, unless it is always there. */
static Member alone(const Field *field, const Val *fact)
{
    if (fact->why == 0) {
        return (Member){fact->item[0], truth_of(true)};
    }
    Item *item = NEW(Item);
    *item = *fact->item[0];
    item->path = field->name;
    return (Member){item, field->always ? truth_of(true) : truth_open(WHY_FACT)};
}

/* The items of all facts that are such a record, or made as it; where one of those facts is not stated,
 * or its list not complete, there may be further ones. */
static const Val *gather(const Item *facts, const Record *base)
{
    Val *v = val_new(VAL_LIST);
    Items *items = NEW(Items);
    Vec found = {0};
    for (int i = 0; i < facts->record->n; i++) {
        const Field *field = &facts->record->field[i];
        const Val *fact = facts->field[i];
        if (field->gathered || !record_is(field->type.record, base) || fact->kind == VAL_VOID) {
            continue;
        }
        if (fact->kind == VAL_ITEM) {
            vec_add(&found, NEW(Member));
            *(Member *)found.at[found.n - 1] = alone(field, fact);
            continue;
        }
        items->more = items->more || fact->list->more;
        for (int k = 0; k < fact->list->n; k++) {
            vec_add(&found, &fact->list->member[k]);
        }
    }
    items->member = ARRAY(Member, found.n + 1);
    for (int i = 0; i < found.n; i++) {
        items->member[items->n++] = *(const Member *)found.at[i];
    }
    items->further = base->unknown;
    v->list = items;
    v->why = items->more ? WHY_FACT : 0;
    return v;
}

void review_start(Review *review, const Law *law, const Vocabulary *v, json_t *spec,
                  const char *jurisdiction, const Range *date)
{
    *review = (Review){.law = law, .vocabulary = v, .spec = spec, .jurisdiction = jurisdiction};
    review->known_date = date != NULL || date_at(spec, "submitted", &review->date);
    if (date != NULL) {
        review->date = *date;
    } else if (!review->known_date) {
        review->date = range_whole_line();
    }
    Vec chain = law_chain(law, jurisdiction);
    for (int i = 0; i < chain.n; i++) {
        vec_add(&review->chain, pool_format("%s", ((const Jurisdiction *)chain.at[i])->name));
    }
    Item *facts = read_item(&v->facts, spec, NULL, NULL);
    for (int i = 0; i < v->facts.n; i++) {
        const Field *field = &v->facts.field[i];
        if (field->gathered) {
            facts->field[i] = gather(facts, field->type.record);
        }
    }
    review->facts = facts;
    review->permit = read_permits(review);
}

/* Is a paper of this kind in force here on the day of the review? */
static bool in_force(const Review *review, json_t *paper, const char *from)
{
    Range date;
    if (!in_chain(review, string_at(paper, "jurisdiction"))) {
        return false;
    }
    if (date_at(paper, from, &date) && range_less(&date, &review->date, true) != CAN_YES) {
        return false;
    }
    return !date_at(paper, "expires", &date) || range_less(&review->date, &date, true) == CAN_YES;
}

Truth review_approval(const Review *review, const char *of)
{
    json_t *approvals = json_object_get(review->spec, "approvals");
    for (size_t i = 0; i < json_array_size(approvals); i++) {
        json_t *paper = json_array_get(approvals, i);
        if (same(string_at(paper, "of"), of) && in_force(review, paper, "date")) {
            return truth_of(true);
        }
    }
    return truth_of(false);
}

static bool paper_names(json_t *paper, const Item *const *items, int count)
{
    json_t *names = json_object_get(paper, "items");
    if (count == 0 || (json_is_string(names) && same(json_string_value(names), "all items"))) {
        return true;
    }
    for (int i = 0; i < count; i++) { /* one that names a sink covers its compartments */
        for (size_t k = 0; k < json_array_size(names); k++) {
            if (same(json_string_value(json_array_get(names, k)), items[i]->name)) {
                return true;
            }
        }
    }
    return false;
}

/* Given before the present text was in force? */
static bool on_older_text(json_t *paper, const char *from, const Active *active)
{
    Range date, since = range_small(active->since * 86400, 1);
    return active->since > 0 && date_at(paper, from, &date) &&
           range_less(&date, &since, false) == CAN_YES;
}

/* Does a variance or decision speak of this section, line and these items? */
bool review_paper(const Review *review, json_t *paper, const char *from, const Active *active,
                  const char *label, const Item *const *items, int count)
{
    const char *number = string_at(paper, "section"), *part = string_at(paper, "part");
    const char *line = string_at(paper, "line"), *code = string_at(paper, "code");
    return number != NULL && (code == NULL || same(code, active->code->name)) &&
           in_force(review, paper, from) && !on_older_text(paper, from, active) &&
           active_named(active, number, part) && (line == NULL || same(line, label)) &&
           paper_names(paper, items, count);
}
