/* The laws of the jurisdictions that decide in a place, put together for comparing.
 *
 * Takes laws as law_check leaves them, each with the sections whose authority its jurisdiction
 * holds there, and the conditions of the place among their scopes. Gives one law in which a section
 * that several of them have stands once: of one authority no two decide for the same unit, so their
 * texts stand side by side in it, each for the units of its jurisdiction. Where all who hold the
 * authority have one text, it stands alone, whoever decides. What a section says beside its texts,
 * and which others silence it, must be the same; otherwise the sections stay apart. */
#include "law/compare_law.h"

/* Sections of several laws that are one. */
typedef struct Joined {
    LawMember *first;
    LawMember **end;
    uint32_t index;
    struct Joined *next_of_key;
    struct Joined *next;
} Joined;

/* Which sections silence a section, and which it silences, by their keys. */
typedef struct Silence {
    Text *over, *under;
} Silence;

typedef struct Uniting {
    Arena *arena;
    Names *names;
    Map *by_key; /* Name -> Joined */
    const Law *const *laws;
    uint32_t count;
    Silence *silences; /* by law */
    Joined *first;
    Joined **end;
    uint32_t joined_count;
    uint32_t **index; /* by law and section: of the whole */
} Uniting;

static const Section *section_of(const Uniting *uniting, const LawMember *member)
{
    return &uniting->laws[member->part]->sections[member->section];
}

static Text key_of(const Uniting *uniting, const Section *section)
{
    const CodeTree *code = section->tree->code;
    Text part = section->part == NULL ? TEXT("") : section->part->text;
    return text_format(uniting->arena, "%.*s %.*s \"%.*s\" %.*s", TEXT_ARG(code->name->text),
                       TEXT_ARG(code->edition), TEXT_ARG(section->number), TEXT_ARG(part));
}

static Silence find_silence(const Uniting *uniting, const Law *law)
{
    Arena *arena = uniting->arena;
    Buffer *over = ARENA_ARRAY(arena, Buffer, law->section_count + 1);
    Buffer *under = ARENA_ARRAY(arena, Buffer, law->section_count + 1);
    Silence out = {ARENA_ARRAY(arena, Text, law->section_count + 1),
                   ARENA_ARRAY(arena, Text, law->section_count + 1)};
    for (uint32_t i = 0; i < law->section_count; i++) {
        over[i] = under[i] = buffer_make(arena);
    }
    for (uint32_t i = 0; i < law->section_count; i++) {
        const Section *section = &law->sections[i];
        for (uint32_t k = 0; k < section->prevail_count; k++) {
            uint32_t loser = section->prevails[k];
            buffer_format(&over[i], "%.*s;", TEXT_ARG(key_of(uniting, &law->sections[loser])));
            buffer_format(&under[loser], "%.*s;", TEXT_ARG(key_of(uniting, section)));
        }
    }
    for (uint32_t i = 0; i < law->section_count; i++) {
        out.over[i] = buffer_done(&over[i]);
        out.under[i] = buffer_done(&under[i]);
    }
    return out;
}

/* ---- one text ---- */

static bool same_chain(const TextTree *a, const TextTree *b)
{
    for (uint32_t i = 0; i < a->chain_count; i++) {
        const Link *one = &a->chain[i];
        const Link *other = &b->chain[i];
        if (one->verb != other->verb || one->from != other->from ||
            one->place.source != other->place.source ||
            one->place.span.start != other->place.span.start) {
            return false;
        }
    }
    return true;
}

/* The next scope that is not the place's; its index, or scope_count. */
static uint32_t next_own(const TextInForce *text, uint32_t at)
{
    while (at < text->scope_count && text->scopes[at].tree->holder != NULL) {
        at++;
    }
    return at;
}

static bool same_scopes(const TextInForce *a, const TextInForce *b)
{
    uint32_t i = next_own(a, 0);
    uint32_t j = next_own(b, 0);
    while (i < a->scope_count && j < b->scope_count &&
           a->scopes[i].tree->conditions == b->scopes[j].tree->conditions &&
           a->scopes[i].negated == b->scopes[j].negated) {
        i = next_own(a, i + 1);
        j = next_own(b, j + 1);
    }
    return i == a->scope_count && j == b->scope_count;
}

static bool same_readings(const TextInForce *a, const TextInForce *b)
{
    for (uint32_t i = 0; i < a->reading_count && i < b->reading_count; i++) {
        if (a->readings[i].reading != b->readings[i].reading) {
            return false;
        }
    }
    return a->reading_count == b->reading_count;
}

/* One text of one section that the same acts made what it is, for the same units. */
static bool same_text(const TextInForce *a, const TextInForce *b)
{
    const TextTree *one = a->tree;
    const TextTree *other = b->tree;
    return one->chain_count == other->chain_count && same_chain(one, other) &&
           one->source == other->source && one->jurisdiction == other->jurisdiction &&
           one->limit_count == other->limit_count && one->floor == other->floor &&
           one->permitted_from == other->permitted_from &&
           one->permitted_before == other->permitted_before &&
           one->exempt.kind == other->exempt.kind && one->exempt.day == other->exempt.day &&
           same_scopes(a, b) && same_readings(a, b);
}

static bool same_texts(const Section *a, const Section *b)
{
    const SectionTree *one = a->tree->section;
    const SectionTree *other = b->tree->section;
    if (one->source != other->source || one->number_span.start != other->number_span.start ||
        a->text_count != b->text_count) {
        return false;
    }
    for (uint32_t i = 0; i < a->text_count; i++) {
        if (!same_text(&a->texts[i], &b->texts[i])) {
            return false;
        }
    }
    return true;
}

/* ---- joining ---- */

static bool same_standing(const Section *a, const Section *b)
{
    return a->topic == b->topic && a->authority == b->authority && a->advises == b->advises &&
           a->stages == b->stages && a->rework == b->rework && text_equal(a->rank, b->rank) &&
           a->never_waived == b->never_waived &&
           text_equal(a->tree->former_number, b->tree->former_number);
}

static bool may_join(const Uniting *uniting, const Joined *joined, uint32_t part, uint32_t section)
{
    const LawMember *first = joined->first;
    const LawMember *last = first;
    while (last->next != NULL) {
        last = last->next;
    }
    const Silence *silence = &uniting->silences[first->part];
    const Silence *its = &uniting->silences[part];
    const Section *one = section_of(uniting, first);
    const Section *other = &uniting->laws[part]->sections[section];
    return last->part != part && same_standing(one, other) &&
           text_equal(silence->over[first->section], its->over[section]) &&
           text_equal(silence->under[first->section], its->under[section]) &&
           (one->authority != NULL || same_texts(one, other));
}

static Joined *add_joined(Uniting *uniting)
{
    Joined *joined = ARENA_NEW(uniting->arena, Joined);
    joined->end = &joined->first;
    joined->index = uniting->joined_count++;
    *uniting->end = joined;
    uniting->end = &joined->next;
    return joined;
}

static void add_section(Uniting *uniting, uint32_t part, uint32_t section)
{
    const Section *own = &uniting->laws[part]->sections[section];
    const Name *key = names_intern(uniting->names, key_of(uniting, own));
    Joined *of_key = map_get(uniting->by_key, key);
    Joined *joined = of_key;
    while (joined != NULL && !may_join(uniting, joined, part, section)) {
        joined = joined->next_of_key;
    }
    if (joined == NULL) {
        joined = add_joined(uniting);
        joined->next_of_key = of_key;
        (void)map_put(uniting->by_key, key, joined);
    }
    LawMember *member = ARENA_NEW(uniting->arena, LawMember);
    *member = (LawMember){part, section, NULL};
    *joined->end = member;
    joined->end = &member->next;
    uniting->index[part][section] = joined->index;
}

/* ---- what a joined section says ---- */

/* Somebody of those joined decides, whatever the unit. */
static bool are_all(const Uniting *uniting, const Joined *joined, const Name *authority)
{
    bool sure = false;
    const HolderTree *row = uniting->laws[0]->tree->place->holders;
    for (; row != NULL; row = row->next) {
        if (row->authority != authority) {
            continue;
        }
        const LawMember *member = joined->first;
        while (member != NULL &&
               uniting->laws[member->part]->tree->jurisdiction->name != row->jurisdiction) {
            member = member->next;
        }
        if (member == NULL) {
            return false;
        }
        sure = sure || row->where == NULL;
    }
    return sure;
}

static bool is_one_text(const Uniting *uniting, const Joined *joined)
{
    const Section *first = section_of(uniting, joined->first);
    for (const LawMember *at = joined->first->next; at != NULL; at = at->next) {
        if (!same_texts(first, section_of(uniting, at))) {
            return false;
        }
    }
    return first->authority == NULL || are_all(uniting, joined, first->authority);
}

static TextInForce without_place(Arena *arena, const TextInForce *text)
{
    TextInForce out = *text;
    ScopeCode *scopes = ARENA_ARRAY(arena, ScopeCode, text->scope_count + 1);
    out.scope_count = 0;
    for (uint32_t i = next_own(text, 0); i < text->scope_count; i = next_own(text, i + 1)) {
        scopes[out.scope_count++] = text->scopes[i];
    }
    out.scopes = scopes;
    return out;
}

static void put_texts(const Uniting *uniting, const Joined *joined, Section *out)
{
    bool one = is_one_text(uniting, joined);
    uint32_t room = 1;
    for (const LawMember *at = joined->first; at != NULL; at = at->next) {
        room += section_of(uniting, at)->text_count;
    }
    TextInForce *texts = ARENA_ARRAY(uniting->arena, TextInForce, room);
    out->text_count = 0;
    for (const LawMember *at = joined->first; at != NULL; at = one ? NULL : at->next) {
        const Section *own = section_of(uniting, at);
        for (uint32_t i = 0; i < own->text_count; i++) {
            TextInForce *text = &texts[out->text_count++];
            *text = one ? without_place(uniting->arena, &own->texts[i]) : own->texts[i];
            text->decides = one ? NULL : uniting->laws[at->part]->tree->jurisdiction;
        }
    }
    out->texts = texts;
}

static void put_prevails(const Uniting *uniting, const Joined *joined, Section *out)
{
    uint32_t room = 1;
    for (const LawMember *at = joined->first; at != NULL; at = at->next) {
        room += section_of(uniting, at)->prevail_count;
    }
    uint32_t *prevails = ARENA_ARRAY(uniting->arena, uint32_t, room);
    out->prevail_count = 0;
    for (const LawMember *at = joined->first; at != NULL; at = at->next) {
        const Section *own = section_of(uniting, at);
        for (uint32_t i = 0; i < own->prevail_count; i++) {
            uint32_t loser = uniting->index[at->part][own->prevails[i]];
            uint32_t k = 0;
            while (k < out->prevail_count && prevails[k] != loser) {
                k++;
            }
            prevails[k] = loser;
            out->prevail_count += k == out->prevail_count;
        }
    }
    out->prevails = prevails;
}

static Section unite_section(const Uniting *uniting, const Joined *joined)
{
    Section out = *section_of(uniting, joined->first);
    if (joined->first->next != NULL) {
        put_texts(uniting, joined, &out);
        out.atoms = NULL; /* of judging */
        out.atom_count = 0;
    }
    put_prevails(uniting, joined, &out);
    return out;
}

/* ---- the tree ---- */

static void add_levels(LawTree *out, const LawTree *tree)
{
    for (uint32_t i = 0; i < tree->level_count; i++) {
        uint32_t at = 0;
        while (at < out->level_count && out->levels[at] != tree->levels[i]) {
            at++;
        }
        out->levels[at] = tree->levels[i];
        out->level_count += at == out->level_count;
    }
}

static LawTree *unite_trees(const Uniting *uniting)
{
    Arena *arena = uniting->arena;
    const LawTree *first = uniting->laws[0]->tree;
    LawTree *out = ARENA_NEW(arena, LawTree);
    JurisdictionTree *titled = ARENA_NEW(arena, JurisdictionTree);
    uint32_t levels = 1;
    uint32_t deleted = 1;
    for (uint32_t i = 0; i < uniting->count; i++) {
        levels += uniting->laws[i]->tree->level_count;
        deleted += uniting->laws[i]->tree->deleted_count;
    }
    titled->name = first->place->name;
    titled->title = first->place->title;
    titled->source = first->place->source;
    titled->span = first->place->span;
    out->place = first->place;
    out->jurisdiction = titled;
    out->on = first->on;
    out->levels = ARENA_ARRAY(arena, const JurisdictionTree *, levels);
    out->deleted = ARENA_ARRAY(arena, DeletedTree, deleted);
    for (uint32_t i = 0; i < uniting->count; i++) {
        const LawTree *tree = uniting->laws[i]->tree;
        add_levels(out, tree);
        for (uint32_t k = 0; k < tree->deleted_count; k++) {
            out->deleted[out->deleted_count++] = tree->deleted[k];
        }
    }
    return out;
}

/* ---- all ---- */

static const LawUnion *unite_one(Arena *arena, const Law *const *laws)
{
    LawUnion *out = ARENA_NEW(arena, LawUnion);
    uint32_t count = laws[0]->section_count;
    LawMember *list = ARENA_ARRAY(arena, LawMember, count + 1);
    const LawMember **members = ARENA_ARRAY(arena, const LawMember *, count + 1);
    for (uint32_t i = 0; i < count; i++) {
        list[i] = (LawMember){0, i, NULL};
        members[i] = &list[i];
    }
    *out = (LawUnion){laws[0], laws, 1, members};
    return out;
}

static const LawUnion *put_union(const Uniting *uniting)
{
    Arena *arena = uniting->arena;
    Law *law = ARENA_NEW(arena, Law);
    const LawMember **members = ARENA_ARRAY(arena, const LawMember *, uniting->joined_count + 1);
    law->tree = unite_trees(uniting);
    law->vocabulary = uniting->laws[0]->vocabulary;
    law->sections = ARENA_ARRAY(arena, Section, uniting->joined_count + 1);
    for (const Joined *joined = uniting->first; joined != NULL; joined = joined->next) {
        members[law->section_count] = joined->first;
        law->sections[law->section_count++] = unite_section(uniting, joined);
    }
    for (uint32_t i = 0; i < uniting->count; i++) {
        uint32_t slots = uniting->laws[i]->max_slots;
        law->max_slots = slots > law->max_slots ? slots : law->max_slots;
    }
    LawUnion *out = ARENA_NEW(arena, LawUnion);
    *out = (LawUnion){law, uniting->laws, uniting->count, members};
    return out;
}

const LawUnion *law_unite(Arena *arena, const Law *const *laws, uint32_t count)
{
    if (count == 1) {
        return unite_one(arena, laws);
    }
    Uniting uniting = {.arena = arena,
                       .names = names_new(arena),
                       .by_key = map_new(arena),
                       .laws = laws,
                       .count = count,
                       .silences = ARENA_ARRAY(arena, Silence, count),
                       .index = ARENA_ARRAY(arena, uint32_t *, count)};
    uniting.end = &uniting.first;
    for (uint32_t i = 0; i < count; i++) {
        uniting.silences[i] = find_silence(&uniting, laws[i]);
        uniting.index[i] = ARENA_ARRAY(arena, uint32_t, laws[i]->section_count + 1);
        for (uint32_t k = 0; k < laws[i]->section_count; k++) {
            add_section(&uniting, i, k);
        }
    }
    return put_union(&uniting);
}
