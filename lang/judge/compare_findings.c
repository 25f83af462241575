/* Findings side by side. A row is a section, as the laws were aligned, and the items that it was
 * judged of, known by their paths, so that two readings of one spec give the same rows. */
#include "judge/compare_findings.h"

/* ---- two findings ---- */

FindingClass finding_class(const Finding *finding)
{
    if (finding == NULL) {
        return FINDING_PASSES;
    }
    switch ((Outcome)finding->outcome) {
    case OUTCOME_CORRECTION: return FINDING_FAILS;
    case OUTCOME_INFORMATION_REQUIRED:
    case OUTCOME_OFFICIAL_DECIDES: return FINDING_OPEN;
    case OUTCOME_COMPLIES:
    case OUTCOME_EXCUSED:
    case OUTCOME_NOT_APPLICABLE: break;
    }
    return FINDING_PASSES;
}

static bool ranges_equal(const Range *a, const Range *b)
{
    bool a_exact = range_is_exact(a);
    if (a_exact != range_is_exact(b)) {
        return false;
    }
    if (a_exact) {
        return rational_order(a->low, b->low) == 0;
    }
    return a->flags == b->flags &&
           ((a->flags & RANGE_NO_LOW) != 0 || rational_order(a->low, b->low) == 0) &&
           ((a->flags & RANGE_NO_HIGH) != 0 || rational_order(a->high, b->high) == 0);
}

/* Of the kinds that are measured: numbers, dates, ordered words. */
static bool values_equal(const Value *a, const Value *b)
{
    if (a->kind != b->kind || a->can != b->can) {
        return false;
    }
    if ((a->can & CAN_BE_PRESENT) == 0) {
        return true;
    }
    if (a->kind == VALUE_RANGE) {
        return a->root == b->root && ranges_equal(&a->range, &b->range);
    }
    return a->kind != VALUE_WORDS || a->words == b->words;
}

static bool parts_equal(const Part *a, const Part *b)
{
    return a->outcome == b->outcome && a->has_measure == b->has_measure &&
           (!a->has_measure ||
            (a->line->compare == b->line->compare && a->line->negated == b->line->negated &&
             values_equal(&a->measured, &b->measured) && values_equal(&a->limit, &b->limit)));
}

FindingChange finding_change(const Finding *before, const Finding *after)
{
    if (finding_class(before) != finding_class(after)) {
        return FINDING_CLASS;
    }
    if (before == NULL || after == NULL) {
        return FINDING_SAME;
    }
    if (before->outcome != after->outcome || before->part_count != after->part_count) {
        return FINDING_DETAIL;
    }
    for (uint32_t i = 0; i < before->part_count; i++) {
        if (!parts_equal(&before->parts[i], &after->parts[i])) {
            return FINDING_DETAIL;
        }
    }
    return FINDING_SAME;
}

/* ---- rows ---- */

typedef struct Rows {
    Arena *arena;
    Names *names;
    Map *keys; /* Section -> Name: what it is known by */
    Map *rows; /* Name -> ComparedFinding */
    ComparedFinding **list;
    uint32_t count, cap;
    uint32_t review_count;
} Rows;

static void put_key(Rows *rows, const Section *section, const Name *key)
{
    union {
        const Name *held;
        void *put;
    } as = {.held = key};
    (void)map_put(rows->keys, section, as.put);
}

/* Sections aligned with one of the first law are known by that one; others by their number. */
static void add_keys(Rows *rows, const LawComparison *law)
{
    const Section *first = law->law[0]->sections;
    for (uint32_t t = 0; t < law->topic_count; t++) {
        for (uint32_t i = 0; i < law->topics[t].section_count; i++) {
            const Section *one = law->topics[t].sections[i].section[0];
            const Section *other = law->topics[t].sections[i].section[1];
            Text words;
            if (one != NULL) {
                words = text_format(rows->arena, "#%zu", (size_t)(one - first));
            } else {
                Text part = other->part == NULL ? TEXT("") : other->part->text;
                words = text_format(rows->arena, "%.*s %.*s %.*s",
                                    TEXT_ARG(other->tree->code->name->text),
                                    TEXT_ARG(other->number), TEXT_ARG(part));
            }
            const Name *key = names_intern(rows->names, words);
            if (one != NULL) {
                put_key(rows, one, key);
            }
            if (other != NULL) {
                put_key(rows, other, key);
            }
        }
    }
}

static Text row_words(Rows *rows, const Finding *finding, const Name *section, uint32_t again)
{
    Buffer out = buffer_make(rows->arena);
    buffer_format(&out, "%.*s|%d|%u", TEXT_ARG(section->text), finding->floor, again);
    if (finding->list_field != NULL && finding->list_item != NULL) {
        buffer_format(&out, "|%.*s",
                      TEXT_ARG(spec_path(rows->arena, finding->list_item, finding->list_field)));
    }
    for (uint32_t i = 0; i < finding->item_count; i++) {
        if (finding->items[i]->phantom) {
            buffer_string(&out, "|?");
        } else {
            buffer_format(&out, "|%.*s", TEXT_ARG(spec_path(rows->arena, finding->items[i], NULL)));
        }
    }
    return buffer_done(&out);
}

static ComparedFinding *add_row(Rows *rows, const Name *key)
{
    if (rows->count == rows->cap) {
        rows->cap = rows->cap == 0 ? 64 : rows->cap * 2;
        ComparedFinding **grown = ARENA_ARRAY(rows->arena, ComparedFinding *, rows->cap);
        for (uint32_t i = 0; i < rows->count; i++) {
            grown[i] = rows->list[i];
        }
        rows->list = grown;
    }
    ComparedFinding *row = ARENA_NEW(rows->arena, ComparedFinding);
    row->findings = ARENA_ARRAY(rows->arena, const Finding *, rows->review_count);
    rows->list[rows->count++] = row;
    (void)map_put(rows->rows, key, row);
    return row;
}

static void add_finding(Rows *rows, uint32_t review, const Finding *finding)
{
    const Name *section = map_get(rows->keys, finding->section);
    if (section == NULL) {
        return;
    }
    for (uint32_t again = 0;; again++) { /* several floors speak of the same items */
        const Name *key = names_intern(rows->names, row_words(rows, finding, section, again));
        ComparedFinding *row = map_get(rows->rows, key);
        row = row == NULL ? add_row(rows, key) : row;
        if (row->findings[review] == NULL) {
            row->findings[review] = finding;
            return;
        }
    }
}

/* A law without a floor answers for it with its text. */
static void fill_floors(Rows *rows)
{
    uint32_t count = rows->count;
    for (uint32_t i = 0; i < count; i++) {
        const ComparedFinding *row = rows->list[i];
        uint32_t has = 0;
        while (row->findings[has] == NULL) {
            has++;
        }
        if (!row->findings[has]->floor) {
            continue;
        }
        Finding plain = *row->findings[has];
        plain.floor = false;
        const Name *section = map_get(rows->keys, plain.section);
        const Name *key = names_find(rows->names, row_words(rows, &plain, section, 0));
        const ComparedFinding *text = key == NULL ? NULL : map_get(rows->rows, key);
        for (uint32_t r = 0; text != NULL && r < rows->review_count; r++) {
            if (row->findings[r] == NULL) {
                row->findings[r] = text->findings[r];
            }
        }
    }
}

static FindingChange row_change(const ComparedFinding *row, uint32_t count)
{
    FindingChange worst = FINDING_SAME;
    for (uint32_t i = 1; i < count; i++) {
        FindingChange change = finding_change(row->findings[0], row->findings[i]);
        worst = change > worst ? change : worst;
    }
    return worst;
}

/* Keeps the order within each kind of change. */
static void sort_rows(Rows *rows, FindingComparison *out)
{
    ComparedFinding *sorted = ARENA_ARRAY(rows->arena, ComparedFinding, rows->count + 1);
    for (int change = FINDING_CLASS; change >= FINDING_SAME; change--) {
        for (uint32_t i = 0; i < rows->count; i++) {
            if (rows->list[i]->change == change) {
                sorted[out->row_count++] = *rows->list[i];
                out->counts[change]++;
            }
        }
    }
    out->rows = sorted;
}

FindingComparison *findings_compare(Arena *arena, const Review *const *reviews,
                                    uint32_t review_count, const LawComparison *const *laws)
{
    Rows rows = {.arena = arena,
                 .names = names_new(arena),
                 .keys = map_new(arena),
                 .rows = map_new(arena),
                 .review_count = review_count};
    for (uint32_t i = 0; i + 1 < review_count; i++) {
        add_keys(&rows, laws[i]);
    }
    for (uint32_t r = 0; r < review_count; r++) {
        for (uint32_t i = 0; i < reviews[r]->finding_count; i++) {
            add_finding(&rows, r, &reviews[r]->findings[i]);
        }
    }
    fill_floors(&rows);
    for (uint32_t i = 0; i < rows.count; i++) {
        rows.list[i]->change = (uint8_t)row_change(rows.list[i], review_count);
    }
    FindingComparison *out = ARENA_NEW(arena, FindingComparison);
    out->reviews = reviews;
    out->review_count = review_count;
    sort_rows(&rows, out);
    return out;
}

/* ---- why ---- */

static bool names_equal(const JurisdictionTree *a, const JurisdictionTree *b)
{
    return a == NULL || b == NULL ? a == b : text_equal(a->name->text, b->name->text);
}

static bool has_link(const TextTree *tree, const Link *link)
{
    for (uint32_t i = 0; i < tree->chain_count; i++) {
        const Link *own = &tree->chain[i];
        if (own->verb == link->verb && own->from == link->from && text_equal(own->by, link->by) &&
            names_equal(own->jurisdiction, link->jurisdiction)) {
            return true;
        }
    }
    return false;
}

/* The last act in a chain that another does not have. */
static const Link *last_other(const TextTree *tree, const TextTree *other)
{
    for (uint32_t i = tree->chain_count; i-- > 0;) {
        if (other == NULL || !has_link(other, &tree->chain[i])) {
            return &tree->chain[i];
        }
    }
    return NULL;
}

static const Link *deletion(const LawTree *law, const Section *section)
{
    for (uint32_t i = 0; section != NULL && i < law->deleted_count; i++) {
        const DeletedTree *deleted = &law->deleted[i];
        if (deleted->section == section->tree->section ||
            (text_equal(deleted->section->number, section->number) &&
             text_equal(deleted->code->name->text, section->tree->code->name->text))) {
            return &deleted->link;
        }
    }
    return NULL;
}

static const ComparedSection *find_pair(const LawComparison *law, const Section *section, int side)
{
    for (uint32_t t = 0; t < law->topic_count; t++) {
        const ComparedTopic *topic = &law->topics[t];
        for (uint32_t i = 0; i < topic->section_count; i++) {
            if (topic->sections[i].section[side] == section) {
                return &topic->sections[i];
            }
        }
    }
    return NULL;
}

static bool text_changed(const LawComparison *law, const Section *after)
{
    const ComparedSection *pair = find_pair(law, after, 1);
    for (uint32_t k = 0; pair != NULL && k < pair->line_count; k++) {
        if (pair->lines[k].relation != RELATION_SAME) {
            return true;
        }
    }
    return false;
}

/* The section that a law has in the place of another's; NULL: none. */
static const Section *counterpart(const LawComparison *law, const Section *section, int side)
{
    const ComparedSection *pair = find_pair(law, section, side);
    return pair == NULL ? NULL : pair->section[1 - side];
}

static const TextTree *first_tree(const Section *section)
{
    return section == NULL || section->text_count == 0 ? NULL : section->texts[0].tree;
}

/* The innermost act that has run out; else the one that brought the code into force. */
static const Link *ended_link(const TextTree *tree, Day on)
{
    if (tree == NULL || tree->chain_count == 0) {
        return NULL;
    }
    for (uint32_t i = tree->chain_count; i-- > 0;) {
        const BlockTree *block = tree->chain[i].block;
        if (block != NULL && block->until < on) {
            return &tree->chain[i];
        }
    }
    return &tree->chain[0];
}

static Cause cause_gone(const LawComparison *law, const Finding *before)
{
    const Link *link = deletion(law->law[1]->tree, before->section);
    if (link != NULL) {
        return (Cause){.kind = CAUSE_DELETED, .link = link, .section = before->section};
    }
    link = ended_link(before->tree, law->law[1]->tree->on);
    return (Cause){
        .kind = link == NULL ? CAUSE_TEXT : CAUSE_ENDED, .link = link, .section = before->section};
}

/* Where a text is written: the last limit that was changed, else its lines. */
static Place text_place(const TextTree *tree)
{
    if (tree == NULL) {
        return (Place){0};
    }
    if (tree->limit_count > 0) {
        const LimitChange *limit = &tree->limits[tree->limit_count - 1];
        return (Place){limit->source, limit->limit->span};
    }
    const LineTree *line = tree->body->lines;
    return (Place){tree->source, line == NULL ? (Span){0, 0} : line->span};
}

Cause finding_cause(const LawComparison *law, const Finding *before, const Finding *after)
{
    const Section *old = before == NULL ? NULL : before->section;
    const Section *new = after == NULL ? NULL : after->section;
    if (old == NULL && new != NULL) {
        old = counterpart(law, new, 1);
    } else if (new == NULL && old != NULL) {
        new = counterpart(law, old, 0);
    }
    if (before != NULL && new == NULL) {
        return cause_gone(law, before);
    }
    const TextTree *was = before != NULL && before->tree != NULL ? before->tree : first_tree(old);
    const TextTree *is = after != NULL && after->tree != NULL ? after->tree : first_tree(new);
    const Link *link = is == NULL ? NULL : last_other(is, was);
    if (link != NULL) {
        return (Cause){.kind = CAUSE_ACT, .link = link, .section = new};
    }
    link = was == NULL || is == NULL ? NULL : last_other(was, is);
    if (link != NULL) {
        return (Cause){.kind = CAUSE_ENDED, .link = link, .section = new};
    }
    bool changed = old == NULL || text_changed(law, new);
    if (changed) {
        return (Cause){.kind = CAUSE_TEXT, .section = new, .place = text_place(is)};
    }
    bool same_day = law->law[0]->tree->on == law->law[1]->tree->on;
    return (Cause){.kind = same_day ? CAUSE_VOCABULARY : CAUSE_DATE, .section = new};
}
