/* Makes a spec on which program and oracle disagree as small as it goes: facts and items are left out one
 * by one, as long as they still disagree. The program is run on each. */
#include "cases.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct Shrink {
    const Law *law;
    const Vec *shares;
    const Options *o;
    json_t *spec;
    const char *fault;
    size_t section; /* so many bytes of the fault name code and section */
} Shrink;

static json_t *program_review(const Options *o, json_t *spec)
{
    char *path = pool_format("%s/shrink.json", o->to),
         *report = pool_format("%s/shrink-report.json", o->to);
    char *command = pool_format("'%s' review '%s' --in '%s' --on '%s' --json '%s'", o->program,
                                path, o->in, o->on, report);
    for (int i = 0; i < o->n; i++) {
        command = pool_format("%s --rules '%s'", command, o->rules[i]);
    }
    command = pool_format("%s >/dev/null 2>&1", command);
    (void)remove(report);
    if (json_dump_file(spec, path, JSON_INDENT(1)) != 0 || system(command) == -1) {
        return NULL;
    }
    return json_load_file(report, 0, NULL);
}

/* What is wrong with the spec as it now is, or NULL. */
static const char *fault_of(const Shrink *s)
{
    json_t *report = program_review(s->o, s->spec);
    const json_t *reviews = json_object_get(report, "reviews");
    const char *fault = NULL;
    for (size_t i = 0; fault == NULL && i < json_array_size(reviews); i++) {
        const json_t *review = json_array_get(reviews, i);
        Vec mine = rows_now(s->law, s->shares, review, s->o, s->spec),
            theirs = rows_of_review(review);
        fault = rows_differ(&mine, &theirs);
    }
    json_decref(report);
    bool other = fault != NULL && s->fault != NULL && strncmp(fault, s->fault, s->section) != 0;
    return other ? NULL : fault;
}

static bool shrink_value(Shrink *s, json_t *value);

static bool shrink_object(Shrink *s, json_t *object)
{
    bool smaller = false;
    int n = 0;
    const char *keys[1024];
    for (void *at = json_object_iter(object); at != NULL && n < 1024;
         at = json_object_iter_next(object, at)) {
        keys[n++] = pool_format("%s", json_object_iter_key(at));
    }
    for (int i = 0; i < n; i++) {
        if (same(keys[i], "vocabulary")) {
            continue;
        }
        json_t *value = json_incref(json_object_get(object, keys[i]));
        (void)json_object_del(object, keys[i]);
        const char *fault = fault_of(s);
        if (fault != NULL) {
            s->fault = fault;
            smaller = true;
        } else {
            (void)json_object_set(object, keys[i], value);
            smaller = shrink_value(s, value) || smaller;
        }
        json_decref(value);
    }
    return smaller;
}

static bool shrink_array(Shrink *s, json_t *array)
{
    bool smaller = false;
    for (size_t i = json_array_size(array); i > 0; i--) {
        json_t *value = json_incref(json_array_get(array, i - 1));
        (void)json_array_remove(array, i - 1);
        const char *fault = fault_of(s);
        if (fault != NULL) {
            s->fault = fault;
            smaller = true;
        } else {
            (void)json_array_insert(array, i - 1, value);
            smaller = shrink_value(s, value) || smaller;
        }
        json_decref(value);
    }
    return smaller;
}

static bool shrink_value(Shrink *s, json_t *value)
{
    return json_is_object(value)  ? shrink_object(s, value)
           : json_is_array(value) ? shrink_array(s, value)
                                  : false;
}

int shrink_spec(const Law *law, const Vec *shares, const Options *o)
{
    Shrink s = {law, shares, o, json_load_file(o->spec, 0, NULL), NULL, 0};
    s.fault = s.spec == NULL ? NULL : fault_of(&s);
    if (s.fault == NULL) {
        printf("%s: no disagreement\n", o->spec);
        json_decref(s.spec);
        return 1;
    }
    s.section = strcspn(s.fault, "|") + 1;
    s.section += strcspn(s.fault + s.section, "|") + 1;
    for (int round = 0; round < 3 && shrink_object(&s, s.spec); round++) {
    }
    char *text = json_dumps(s.spec, JSON_INDENT(1));
    printf("%s\n%s\n", s.fault, text);
    free(text);
    json_decref(s.spec);
    return 0;
}
