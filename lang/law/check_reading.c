/* Readings: which are alternatives to each other, which one a jurisdiction applies, and the
 * combinations of the others, each of which is judged (meaning.md rule 14). */
#include "law/check.h"

/* ---- groups ---- */

static uint32_t reading_count(const ReadingTree *readings)
{
    uint32_t count = 0;
    for (; readings != NULL; readings = readings->next) {
        count++;
    }
    return count;
}

/* Joins reading `index` to the group of every reading that defines one of its names. */
static void join_groups(Map *group_of_name, const ReadingTree *reading, uint32_t *group_of,
                        uint32_t index)
{
    group_of[index] = index;
    for (const DefineTree *define = reading->defines; define != NULL; define = define->next) {
        uint32_t *other = map_get(group_of_name, define->name);
        if (other == NULL) {
            map_put(group_of_name, define->name, &group_of[index]);
            continue;
        }
        uint32_t from = group_of[index];
        uint32_t to = *other;
        for (uint32_t i = 0; i <= index && from != to; i++) {
            group_of[i] = group_of[i] == from ? to : group_of[i];
        }
    }
}

static void fill_group(Check *c, ReadingGroup *group, const ReadingTree *readings,
                       const uint32_t *group_of, uint32_t id, uint32_t count)
{
    group->readings = ARENA_ARRAY(c->arena, const ReadingTree *, count);
    uint32_t i = 0;
    for (; readings != NULL; readings = readings->next, i++) {
        if (group_of[i] == id) {
            group->readings[group->count++] = readings;
        }
    }
}

static Place reading_place(const ReadingTree *reading)
{
    return (Place){reading->source, reading->name_span};
}

static void check_name_once(Check *c, const ReadingTree *readings, const ReadingTree *reading)
{
    while (readings != reading && readings->name != reading->name) {
        readings = readings->next;
    }
    if (readings != reading && reading->name != NULL) {
        Diagnostic *diag =
            diagnostic_error(c->diags, "defined twice", reading_place(reading),
                             "two readings have the name '%.*s'", TEXT_ARG(reading->name->text));
        diagnostic_note(c->diags, diag, reading_place(readings), "first here");
    }
}

ReadingGroups reading_groups(Check *c, const ReadingTree *readings)
{
    ReadingGroups groups = {0};
    uint32_t count = reading_count(readings);
    if (count == 0) {
        return groups;
    }
    if (count > READING_TREES_MAX) {
        diagnostic_error(c->diags, "too many readings", reading_place(readings),
                         "%u readings, and at most %d can be told apart", count, READING_TREES_MAX);
        return groups;
    }
    uint32_t *group_of = ARENA_ARRAY(c->arena, uint32_t, count);
    Map *group_of_name = map_new(c->arena);
    uint32_t i = 0;
    for (const ReadingTree *reading = readings; reading != NULL; reading = reading->next) {
        check_name_once(c, readings, reading);
        join_groups(group_of_name, reading, group_of, i++);
    }
    groups.items = ARENA_ARRAY(c->arena, ReadingGroup, count);
    for (i = 0; i < count; i++) {
        bool first = true;
        for (uint32_t j = 0; j < i; j++) {
            first = first && group_of[j] != group_of[i];
        }
        if (first) {
            fill_group(c, &groups.items[groups.count++], readings, group_of, group_of[i], count);
        }
    }
    return groups;
}

static void fix_group(ReadingGroup *group, const Name *applied)
{
    for (uint32_t i = 0; i < group->count; i++) {
        if (group->readings[i]->name == applied) {
            group->chosen = i;
            group->fixed = true;
        }
    }
}

void reading_groups_fix(ReadingGroups groups, const Name *const *applied, uint32_t count)
{
    for (uint32_t a = 0; a < count; a++) { /* the innermost level is the last */
        for (uint32_t g = 0; g < groups.count; g++) {
            fix_group(&groups.items[g], applied[a]);
        }
    }
}

/* ---- combinations ---- */

Readings readings_begin(Check *c, const ReadingGroups *groups, uint32_t count)
{
    Readings readings = {0};
    uint32_t total = 0;
    for (uint32_t i = 0; i < count; i++) {
        total += groups[i].count;
    }
    if (total == 0) {
        return readings;
    }
    readings.groups = ARENA_ARRAY(c->arena, ReadingGroup *, total);
    for (uint32_t i = 0; i < count; i++) {
        for (uint32_t g = 0; g < groups[i].count; g++) {
            ReadingGroup *group = &groups[i].items[g];
            group->used = false;
            group->fixed = false;
            group->chosen = 0;
            readings.groups[readings.count++] = group;
        }
    }
    return readings;
}

static bool is_open(const ReadingGroup *group)
{
    return group->used && !group->fixed;
}

uint32_t readings_combinations(const Readings *readings)
{
    uint32_t count = 1;
    for (uint32_t i = 0; i < readings->count; i++) {
        if (is_open(readings->groups[i])) {
            uint32_t ways = readings->groups[i]->count;
            count *= ways <= READINGS_MAX ? ways : READINGS_MAX + 1;
            count = count <= READINGS_MAX ? count : READINGS_MAX + 1;
        }
    }
    return count;
}

bool readings_next(const Readings *readings)
{
    for (uint32_t i = 0; i < readings->count; i++) {
        ReadingGroup *group = readings->groups[i];
        if (!is_open(group)) {
            continue;
        }
        if (++group->chosen < group->count) {
            return true;
        }
        group->chosen = 0;
    }
    return false;
}

void readings_rewind(const Readings *readings)
{
    for (uint32_t i = 0; i < readings->count; i++) {
        ReadingGroup *group = readings->groups[i];
        group->chosen = group->fixed ? group->chosen : 0;
    }
}

const Name *readings_name(Check *c, const Readings *readings)
{
    Buffer buffer = buffer_make(c->arena);
    const Name *single = NULL;
    uint32_t count = 0;
    for (uint32_t i = 0; i < readings->count; i++) {
        const ReadingGroup *group = readings->groups[i];
        if (group->used) {
            single = group->readings[group->chosen]->name;
            buffer_format(&buffer, "%s%.*s", count++ > 0 ? ", " : "", TEXT_ARG(single->text));
        }
    }
    return count <= 1 ? single : names_intern(c->library->names, buffer_done(&buffer));
}
