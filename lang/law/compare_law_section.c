/* Two sections in all their texts. The days of a permit are parted wherever either section parts
 * them, and the texts that stand for units of each part are compared. A text kept as a floor
 * beside a local one is compared with the other side's floor, or with its only text. */
#include "law/compare_law_inner.h"

enum {
    EDGES_MAX = 66, /* days on which permits part the texts of two sections */
    TEXTS_MAX = 8   /* for units of one permit; of more nothing is claimed */
};

static TextSide side_of(const Standing *standing, const TextInForce *text, Day from)
{
    return (TextSide){
        .standing = standing, .text = text, .reading = &text->readings[0], .from = from};
}

static ComparedSide compared_side(const TextSide *side)
{
    return (ComparedSide){.section = side->standing == NULL ? NULL : side->standing->section,
                          .text = side->text,
                          .reading = side->reading};
}

static ComparedLine line_like(const TextSide *a, const TextSide *b, Day from, Day before,
                              bool floor)
{
    return (ComparedLine){.side = {compared_side(a), compared_side(b)},
                          .permitted_from = from,
                          .permitted_before = before,
                          .floor = floor};
}

static void add_alone(Comparing *c, const ComparedLine *like, int side, LineList *out)
{
    const SectionText *reading = like->side[side].reading;
    for (uint32_t i = 0; reading != NULL && i < reading->line_count; i++) {
        ComparedLine *line = line_add(c, out);
        *line = *like;
        line->side[side].line = &reading->lines[i];
        line->relation = RELATION_ONLY_HERE;
    }
}

/* ---- readings ---- */

static bool reading_names_equal(const SectionText *a, const SectionText *b)
{
    return a->reading == NULL || b->reading == NULL
               ? a->reading == b->reading
               : text_equal(a->reading->text, b->reading->text);
}

static bool readings_are_same(Comparing *c, const TextSide *a, const TextSide *b)
{
    if (a->text->reading_count != b->text->reading_count) {
        return false;
    }
    for (uint32_t i = 0; i < a->text->reading_count; i++) {
        TextSide one = *a;
        TextSide other = *b;
        one.reading = &a->text->readings[i];
        other.reading = &b->text->readings[i];
        if (!reading_names_equal(one.reading, other.reading) || !texts_are_same(c, &one, &other)) {
            return false;
        }
    }
    return true;
}

/* Where either side leaves a reading open, all readings together are the same or nothing is. */
static void compare_texts(Comparing *c, const TextSide *a, const TextSide *b, Day from, Day before,
                          bool floor, LineList *out)
{
    ComparedLine like = line_like(a, b, from, before, floor);
    uint32_t first = out->count;
    compare_lines(c, a, b, &like, out);
    if (a->text->reading_count == 1 && b->text->reading_count == 1) {
        return;
    }
    bool same = readings_are_same(c, a, b);
    for (uint32_t i = first; i < out->count; i++) {
        ComparedLine *line = &out->list[i];
        if (line->relation != RELATION_ONLY_HERE) {
            line->relation = same ? RELATION_SAME : RELATION_DIFFERENT;
            line->differs = same ? 0 : DIFFERS_READING;
        }
    }
}

/* ---- texts for one part of the permit days ---- */

/* The texts of one side that stand for units of some permits; of several, each for the units
 * that its scopes name. Scopes that all of them share are conditions of the whole section. */
typedef struct Stands {
    TextSide list[TEXTS_MAX];
    uint32_t count;
    bool full;
} Stands;

static bool covers(const TextInForce *text, Day from, Day before)
{
    return text->tree->permitted_from <= from && before <= text->tree->permitted_before;
}

static bool has_scope(Comparing *c, const TextInForce *text, const Form *form)
{
    for (uint32_t i = 0; i < text->scope_count; i++) {
        if (form_of_scope(c, text, &text->scopes[i]) == form) {
            return true;
        }
    }
    return false;
}

static void share_scopes(Comparing *c, Stands *stands)
{
    const TextInForce *first = stands->list[0].text;
    if (stands->count == 0 || first == NULL) {
        return;
    }
    const Form **shared = ARENA_ARRAY(c->arena, const Form *, first->scope_count + 1);
    uint32_t count = 0;
    for (uint32_t i = 0; i < first->scope_count; i++) {
        const Form *form = form_of_scope(c, first, &first->scopes[i]);
        uint32_t k = 1;
        while (k < stands->count && has_scope(c, stands->list[k].text, form)) {
            k++;
        }
        if (k == stands->count) {
            shared[count++] = form;
        }
    }
    for (uint32_t k = 0; k < stands->count; k++) {
        stands->list[k].scopes = shared;
        stands->list[k].scope_count = count;
    }
}

static Stands stands_for(Comparing *c, const Standing *standing, Day from, Day before)
{
    Stands out = {.count = 0};
    for (uint32_t i = 0; standing != NULL && i < standing->section->text_count; i++) {
        const TextInForce *text = &standing->section->texts[i];
        if (text->tree->floor || !covers(text, from, before)) {
            continue;
        }
        if (out.count == TEXTS_MAX) {
            out.full = true;
            break;
        }
        out.list[out.count++] = side_of(standing, text, from);
    }
    share_scopes(c, &out);
    return out;
}

static bool stands_equal(const Stands *a, const Stands *b)
{
    if (a->count != b->count) {
        return false;
    }
    for (uint32_t i = 0; i < a->count; i++) {
        if (a->list[i].text != b->list[i].text) {
            return false;
        }
    }
    return true;
}

/* One stands for units of a scope, the other for all units but those. */
static bool are_apart(Comparing *c, const TextInForce *a, const TextInForce *b)
{
    for (uint32_t i = 0; i < a->scope_count; i++) {
        ScopeCode turned = a->scopes[i];
        turned.negated = !turned.negated;
        if (has_scope(c, b, form_of_scope(c, a, &turned))) {
            return true;
        }
    }
    return false;
}

/* In one place, two jurisdictions decide for no unit both. */
static bool are_of_others(const Comparing *c, const TextSide *a, const TextSide *b)
{
    const JurisdictionTree *one = a->text->decides;
    const JurisdictionTree *other = b->text->decides;
    const Name *authority = a->standing->section->authority;
    const Name *its = b->standing->section->authority;
    return c->one_place && one != NULL && other != NULL && authority != NULL && its != NULL &&
           text_equal(authority->text, its->text) &&
           !text_equal(one->name->text, other->name->text);
}

/* Two of the texts; where there are several, for the units for which both stand. */
static void compare_two(Comparing *c, const TextSide *one, const TextSide *other, Day from,
                        Day before, bool parted, bool full, LineList *out)
{
    uint32_t first = out->count;
    if (parted && (are_of_others(c, one, other) || are_apart(c, one->text, other->text))) {
        return;
    }
    compare_texts(c, one, other, from, before, false, out);
    for (uint32_t k = first; k < out->count; k++) {
        ComparedLine *line = &out->list[k];
        line->parted = parted;
        if (full && line->relation != RELATION_ONLY_HERE) {
            line->relation = RELATION_DIFFERENT;
            line->differs |= DIFFERS_CONDITION;
        }
    }
}

static void compare_stands(Comparing *c, const Stands *a, const Stands *b, Day from, Day before,
                           LineList *out)
{
    bool parted = a->count > 1 || b->count > 1;
    bool full = a->full || b->full;
    for (uint32_t i = 0; i < a->count; i++) {
        for (uint32_t j = 0; j < b->count; j++) {
            compare_two(c, &a->list[i], &b->list[j], from, before, parted, full, out);
        }
    }
}

static void add_stands_alone(Comparing *c, const Stands *stands, int side, Day from, Day before,
                             LineList *out)
{
    TextSide none = {0};
    for (uint32_t i = 0; i < stands->count; i++) {
        const TextSide *one = &stands->list[i];
        ComparedLine like =
            line_like(side == 0 ? one : &none, side == 0 ? &none : one, from, before, false);
        like.parted = stands->count > 1;
        add_alone(c, &like, side, out);
    }
}

/* ---- permit dates ---- */

static void add_edge(Day *edges, uint32_t *count, Day day)
{
    uint32_t at = 0;
    while (at < *count && edges[at] < day) {
        at++;
    }
    if (*count == EDGES_MAX || (at < *count && edges[at] == day)) {
        return;
    }
    for (uint32_t i = *count; i > at; i--) {
        edges[i] = edges[i - 1];
    }
    edges[at] = day;
    (*count)++;
}

static void add_edges(const Standing *standing, Day *edges, uint32_t *count)
{
    for (uint32_t i = 0; standing != NULL && i < standing->section->text_count; i++) {
        const TextTree *tree = standing->section->texts[i].tree;
        if (!tree->floor) {
            add_edge(edges, count, tree->permitted_from);
            add_edge(edges, count, tree->permitted_before);
        }
    }
}

static void compare_windows(Comparing *c, const Standing *a, const Standing *b, LineList *out)
{
    Day edges[EDGES_MAX];
    uint32_t count = 0;
    add_edges(a, edges, &count);
    add_edges(b, edges, &count);
    for (uint32_t i = 0; i + 1 < count;) {
        Day from = edges[i++];
        Stands one = stands_for(c, a, from, edges[i]);
        Stands other = stands_for(c, b, from, edges[i]);
        for (; i + 1 < count; i++) {
            Stands next_one = stands_for(c, a, edges[i], edges[i + 1]);
            Stands next_other = stands_for(c, b, edges[i], edges[i + 1]);
            if (!stands_equal(&one, &next_one) || !stands_equal(&other, &next_other)) {
                break;
            }
        }
        if (one.count > 0 && other.count > 0) {
            compare_stands(c, &one, &other, from, edges[i], out);
        } else {
            add_stands_alone(c, &one, 0, from, edges[i], out);
            add_stands_alone(c, &other, 1, from, edges[i], out);
        }
    }
}

/* ---- floors ---- */

static const TextInForce *floor_at(const Standing *standing, uint32_t index)
{
    for (uint32_t i = 0; standing != NULL && i < standing->section->text_count; i++) {
        if (standing->section->texts[i].tree->floor && index-- == 0) {
            return &standing->section->texts[i];
        }
    }
    return NULL;
}

/* The scopes of a floor are conditions, save those of the place where they tell whose it is. */
static TextSide whole_side(Comparing *c, const Standing *standing, const TextInForce *text)
{
    if (text == NULL) {
        return (TextSide){.reading = NULL};
    }
    TextSide side = side_of(standing, text, text->tree->permitted_from);
    side.scopes = ARENA_ARRAY(c->arena, const Form *, text->scope_count + 1);
    for (uint32_t i = 0; i < text->scope_count; i++) {
        if (text->decides == NULL || text->scopes[i].tree->holder == NULL) {
            side.scopes[side.scope_count++] = form_of_scope(c, text, &text->scopes[i]);
        }
    }
    return side;
}

static bool may_match(const TextInForce *a, const TextInForce *b)
{
    const JurisdictionTree *one = a->decides;
    const JurisdictionTree *other = b->decides;
    return a->tree->permitted_from == b->tree->permitted_from &&
           a->tree->permitted_before == b->tree->permitted_before &&
           (one == NULL || other == NULL || text_equal(one->name->text, other->name->text));
}

/* What stands against a floor on the other side: a floor for the same permits, else the only
 * text. */
static const TextInForce *against(Comparing *c, const Standing *other, uint32_t index,
                                  const TextInForce *floor)
{
    const TextInForce *text = floor_at(other, index);
    if (text != NULL && may_match(text, floor)) {
        return text;
    }
    Stands stands =
        stands_for(c, other, floor->tree->permitted_from, floor->tree->permitted_before);
    return stands.count == 1 ? stands.list[0].text : NULL;
}

/* `index` is that of the floor among those of its side; `turned`: the second. */
static void compare_floor(Comparing *c, const Standing *a, const Standing *b,
                          const TextInForce *floor, uint32_t index, bool turned, LineList *out)
{
    const TextInForce *other = against(c, turned ? a : b, index, floor);
    if (turned && other != NULL && other->tree->floor) {
        return; /* both are floors: told from the first side */
    }
    const TextInForce *texts[2] = {turned ? other : floor, turned ? floor : other};
    TextSide one = whole_side(c, a, texts[0]);
    TextSide two = whole_side(c, b, texts[1]);
    Day from = floor->tree->permitted_from;
    Day before = floor->tree->permitted_before;
    uint32_t first = out->count;
    if (other != NULL) {
        compare_texts(c, &one, &two, from, before, true, out);
    } else {
        ComparedLine like = line_like(&one, &two, from, before, true);
        add_alone(c, &like, turned, out);
    }
    for (uint32_t i = first; i < out->count; i++) {
        out->list[i].parted = floor->decides != NULL || (other != NULL && other->decides != NULL);
    }
}

void compare_section(Comparing *c, const Standing *a, const Standing *b, LineList *out)
{
    compare_windows(c, a, b, out);
    for (int side = 0; side < 2; side++) {
        const Standing *own = side == 0 ? a : b;
        const TextInForce *floor = NULL;
        for (uint32_t i = 0; (floor = floor_at(own, i)) != NULL; i++) {
            compare_floor(c, a, b, floor, i, side == 1, out);
        }
    }
}
