/* Narrows a build spec: some of what is not stated is stated, a tolerance is taken away, a partial date
 * is completed, a list is completed. Every possible unit of the new spec is one of the old. */
#include "cases.h"

#include <string.h>

typedef struct Narrow {
    const Harvest *h;
    Chance c;
} Narrow;

static json_t *narrow_record(Narrow *n, const Record *record, json_t *object);

static json_t *narrow_scalar(Narrow *n, const Field *field, json_t *value)
{
    const char *text = json_string_value(value);
    const char *tolerance = text == NULL ? NULL : strstr(text, " +- ");
    if (tolerance != NULL && chance_in(&n->c, 60)) {
        return json_string(pool_text(text, (size_t)(tolerance - text)));
    }
    if (text != NULL && field->type.kind == TYPE_DATE && strlen(text) < 10 && text[0] <= '9' &&
        chance_in(&n->c, 60)) {
        const char *month = strlen(text) == 4 ? pool_format("-%02u", 1 + chance(&n->c, 12)) : "";
        return json_string(pool_format("%s%s-%02u", text, month, 1 + chance(&n->c, 28)));
    }
    return json_incref(value);
}

static json_t *narrow_list(Narrow *n, const Field *field, json_t *array)
{
    json_t *out = json_array();
    bool more = false;
    for (size_t i = 0; i < json_array_size(array); i++) {
        json_t *item = json_array_get(array, i);
        if (json_is_string(item)) {
            more = true;
        } else {
            (void)json_array_append_new(out, narrow_record(n, field->type.record, item));
        }
    }
    if (more && chance_in(&n->c, 60)) { /* one of the items that were not stated */
        json_t *full = make_fact(n->h, field, &n->c, true);
        json_t *item =
            json_is_array(full) && json_array_size(full) > 0 ? json_array_get(full, 0) : NULL;
        if (json_is_object(item)) {
            const Record *record = field->type.record;
            if (record->key >= 0) {
                (void)json_object_set_new(item, record->field[record->key].name,
                                          json_string(pool_format("%c9", record->name[0])));
            }
            (void)json_array_append(out, item);
        }
        json_decref(full);
    }
    if (more && chance_in(&n->c, 50)) {
        (void)json_array_append_new(out, json_string("and more"));
    }
    return out;
}

static json_t *narrow_fact(Narrow *n, const Field *field, json_t *value)
{
    if (value == NULL || json_is_null(value)) {
        return chance_in(&n->c, 40) ? make_fact(n->h, field, &n->c, false) : NULL;
    }
    if (json_is_array(value)) {
        return narrow_list(n, field, value);
    }
    if (json_is_object(value)) {
        return narrow_record(n, field->type.record, value);
    }
    return narrow_scalar(n, field, value);
}

static json_t *narrow_record(Narrow *n, const Record *record, json_t *object)
{
    json_t *out = json_object();
    for (int i = 0; i < record->n; i++) {
        const Field *field = &record->field[i];
        json_t *value = narrow_fact(n, field, json_object_get(object, field->name));
        if (value != NULL) {
            (void)json_object_set_new(out, field->name, value);
        }
    }
    return out;
}

json_t *narrow_spec(const Harvest *h, const Vocabulary *v, json_t *spec, uint64_t seed)
{
    static const char *const PAPERS[] = {"vocabulary", "permits", "variances", "decisions",
                                         "approvals"};
    Narrow n = {h, {seed * 0xd1342543de82ef95U + 11}};
    json_t *out = narrow_record(&n, &v->facts, spec);
    for (size_t i = 0; i < sizeof PAPERS / sizeof PAPERS[0]; i++) {
        json_t *value = json_object_get(spec, PAPERS[i]);
        if (value != NULL) {
            (void)json_object_set(out, PAPERS[i], value);
        }
    }
    if (json_object_get(spec, "permits") == NULL && chance_in(&n.c, 50)) {
        (void)json_object_set_new(out, "permits", json_string("none"));
    }
    return out;
}
