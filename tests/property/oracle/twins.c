/* Twins of a build spec: the same with its keys in another order, or with its quantities in other units,
 * or narrowed. */
#include "cases.h"

typedef struct Walk {
    Twin twin;
    Chance c;
} Walk;

static json_t *twin_record(Walk *w, const Record *record, json_t *object);

static const Field *field_named(const Record *record, const char *name)
{
    for (int i = 0; record != NULL && i < record->n; i++) {
        if (same(record->field[i].name, name)) {
            return &record->field[i];
        }
    }
    return NULL;
}

static json_t *twin_value(Walk *w, const Field *field, json_t *value)
{
    const char *text = json_string_value(value);
    const Record *record = field == NULL ? NULL : field->type.record;
    if (json_is_object(value)) {
        return twin_record(w, record, value);
    }
    if (json_is_array(value)) {
        json_t *out = json_array();
        for (size_t i = 0; i < json_array_size(value); i++) {
            json_t *item = json_array_get(value, i);
            (void)json_array_append_new(out, json_is_object(item) ? twin_record(w, record, item)
                                                                  : json_incref(item));
        }
        return out;
    }
    bool quantity =
        field != NULL && field->type.kind == TYPE_NUMBER && text != NULL && !same(text, "none");
    if (w->twin == TWIN_SPELLING && quantity) {
        return json_string(spell_again(field, text, &w->c));
    }
    return json_incref(value);
}

/* The keys in any order; jansson keeps the order in which they are set. */
static json_t *twin_record(Walk *w, const Record *record, json_t *object)
{
    json_t *out = json_object();
    int n = 0;
    const char *keys[1024];
    for (void *at = json_object_iter(object); at != NULL && n < 1024;
         at = json_object_iter_next(object, at)) {
        keys[n++] = json_object_iter_key(at);
    }
    for (int i = n - 1; w->twin == TWIN_ORDER && i > 0; i--) {
        int k = (int)chance(&w->c, (unsigned)i + 1);
        const char *key = keys[i];
        keys[i] = keys[k];
        keys[k] = key;
    }
    for (int i = 0; i < n; i++) {
        const Field *field = field_named(record, keys[i]);
        (void)json_object_set_new(out, keys[i],
                                  twin_value(w, field, json_object_get(object, keys[i])));
    }
    return out;
}

json_t *make_twin(const Harvest *h, const Vocabulary *v, json_t *spec, Twin twin, uint64_t seed)
{
    Walk w = {twin, {seed * 0xd1342543de82ef95U + 23}};
    return twin == TWIN_NARROW ? narrow_spec(h, v, spec, seed) : twin_record(&w, &v->facts, spec);
}
