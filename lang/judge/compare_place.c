/* The reviews of one spec under the laws of the jurisdictions that decide in a place, as one: each
 * requirement once, however many of them have it, and the place passes it where all of them do. */
#include <inttypes.h>

#include "judge/compare_findings.h"

typedef struct Kept {
    Finding *finding;
    uint32_t part; /* the last that had such a finding */
} Kept;

typedef struct Uniting {
    Arena *arena;
    const LawUnion *law;
    const Review *const *reviews;
    uint32_t **from; /* by part: the findings of section s are [from[s], from[s + 1]) */
    Names *names;
    Map *by_key; /* Name -> Kept */
    Finding *list;
    uint32_t count;
} Uniting;

static uint32_t *find_ranges(Arena *arena, const Law *law, const Review *review)
{
    uint32_t *from = ARENA_ARRAY(arena, uint32_t, law->section_count + 1);
    uint32_t at = 0;
    for (uint32_t i = 0; i < law->section_count; i++) {
        from[i] = at;
        while (at < review->finding_count && review->findings[at].section == &law->sections[i]) {
            at++;
        }
    }
    from[law->section_count] = at;
    return from;
}

/* The items are those of one spec, read once; of several floors one part may have several findings
 * for the same items. */
static const Name *key_of(Uniting *uniting, uint32_t section, const Finding *finding,
                          uint32_t again)
{
    Buffer out = buffer_make(uniting->arena);
    buffer_format(&out, "%u %d %u %" PRIuPTR " %" PRIuPTR, section, finding->floor, again,
                  (uintptr_t)finding->list_item, (uintptr_t)finding->list_field);
    for (uint32_t i = 0; i < finding->item_count; i++) {
        buffer_format(&out, " %" PRIuPTR, (uintptr_t)finding->items[i]);
    }
    return names_intern(uniting->names, buffer_done(&out));
}

static bool is_worse(const Finding *finding, const Finding *than)
{
    if ((finding->outside == OUTSIDE_PLACE) != (than->outside == OUTSIDE_PLACE)) {
        return than->outside == OUTSIDE_PLACE;
    }
    return outcome_severity((Outcome)finding->outcome) < outcome_severity((Outcome)than->outcome);
}

static void put_finding(Uniting *uniting, Kept *kept, uint32_t section, const Finding *finding)
{
    *kept->finding = *finding;
    kept->finding->section = &uniting->law->law->sections[section];
}

static void add_finding(Uniting *uniting, uint32_t section, uint32_t part, const Finding *finding)
{
    const Name *key = NULL;
    Kept *kept = NULL;
    uint32_t again = 0;
    do {
        key = key_of(uniting, section, finding, again++);
        kept = map_get(uniting->by_key, key);
    } while (kept != NULL && kept->part == part);
    if (kept == NULL) {
        kept = ARENA_NEW(uniting->arena, Kept);
        kept->finding = &uniting->list[uniting->count++];
        (void)map_put(uniting->by_key, key, kept);
        put_finding(uniting, kept, section, finding);
    } else if (is_worse(finding, kept->finding)) {
        put_finding(uniting, kept, section, finding);
    }
    kept->part = part;
}

/* What others decide is told only where nobody does. */
static void drop_others(Uniting *uniting, uint32_t start)
{
    bool some = false;
    uint32_t kept = start;
    for (uint32_t i = start; i < uniting->count; i++) {
        some = some || uniting->list[i].outside != OUTSIDE_PLACE;
    }
    for (uint32_t i = start; i < uniting->count && some; i++) {
        if (uniting->list[i].outside != OUTSIDE_PLACE) {
            uniting->list[kept++] = uniting->list[i];
        }
    }
    uniting->count = some ? kept : uniting->count;
}

static void add_section(Uniting *uniting, uint32_t section)
{
    const LawMember *first = uniting->law->members[section];
    uint32_t start = uniting->count;
    for (const LawMember *at = first; at != NULL; at = at->next) {
        const uint32_t *from = &uniting->from[at->part][at->section];
        for (uint32_t i = from[0]; i < from[1]; i++) {
            add_finding(uniting, section, at->part, &uniting->reviews[at->part]->findings[i]);
        }
    }
    if (first != NULL && first->next != NULL) {
        drop_others(uniting, start);
    }
}

const Review *reviews_unite(Arena *arena, const LawUnion *law, const Review *const *reviews)
{
    if (law->part_count == 1) {
        return reviews[0];
    }
    Uniting uniting = {.arena = arena,
                       .law = law,
                       .reviews = reviews,
                       .from = ARENA_ARRAY(arena, uint32_t *, law->part_count),
                       .names = names_new(arena),
                       .by_key = map_new(arena)};
    uint32_t room = 1;
    for (uint32_t i = 0; i < law->part_count; i++) {
        uniting.from[i] = find_ranges(arena, law->parts[i], reviews[i]);
        room += reviews[i]->finding_count;
    }
    uniting.list = ARENA_ARRAY(arena, Finding, room);
    for (uint32_t i = 0; i < law->law->section_count; i++) {
        add_section(&uniting, i);
    }
    Review *out = ARENA_NEW(arena, Review);
    out->spec = reviews[0]->spec;
    out->law = law->law;
    out->on = reviews[0]->on;
    out->stage = reviews[0]->stage;
    out->findings = uniting.list;
    out->finding_count = uniting.count;
    for (uint32_t i = 0; i < uniting.count; i++) {
        review_count(out, &uniting.list[i]);
    }
    return out;
}
