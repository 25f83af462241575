/* Two laws, section by section. Sections are aligned by code and number first, whoever amended
 * them; what is left over, within one topic, by what it measures. Work grows with the sections and
 * what is written in them: names and forms are looked up, not searched for. */
#include "law/compare_law.h"

#include "law/compare_law_inner.h"

/* One law being compared. */
typedef struct Half {
    const Law *law;
    Standing *standings;   /* by section */
    const Section **other; /* by section: the one that it is aligned with */
    uint8_t *aligned;      /* by section: Aligned */
    bool *taken;           /* by section: in the comparison (its topic was asked for) */
} Half;

typedef struct TopicList {
    Map *by_name; /* Name of the names of the comparison -> index + 1 */
    ComparedTopic *list;
    uint32_t count, cap;
} TopicList;

bool topic_covers(Text topic, Text name)
{
    return text_starts(name, topic) && (name.len == topic.len || name.data[topic.len] == '.');
}

static Text topic_name(const Section *section)
{
    return section->topic == NULL ? TEXT("") : section->topic->name->text;
}

static bool is_asked_for(const Section *section, const Text *topics, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (topic_covers(topics[i], topic_name(section))) {
            return true;
        }
    }
    return count == 0;
}

/* ---- keys ---- */

static Text key_of_number(Comparing *c, const Section *section, Text number, const Name *part)
{
    Text word = part == NULL ? TEXT("") : part->text;
    return text_format(c->arena, "%.*s %.*s part %.*s", TEXT_ARG(section->tree->code->name->text),
                       TEXT_ARG(number), TEXT_ARG(word));
}

/* By the number that the code gave it, whatever an ordinance made of it. */
static Text key_of(Comparing *c, const Section *section)
{
    Text former = section->tree->former_number;
    return key_of_number(c, section, former.len > 0 ? former : section->number, section->part);
}

/* What a section that nobody else has by its number may be known by: what it measures. */
static const Form *measure_of(Comparing *c, const Section *section)
{
    const SectionText *text = section->text_count == 0 ? NULL : &section->texts[0].readings[0];
    Buffer out = buffer_make(c->arena);
    buffer_format(&out, "%.*s:", TEXT_ARG(topic_name(section)));
    for (uint32_t i = 0; text != NULL && i < text->each_count; i++) {
        buffer_format(&out, " each %u", form_of(c, text, text->eachs[i].list)->number);
    }
    for (uint32_t i = 0; text != NULL && i < text->line_count; i++) {
        const Line *line = &text->lines[i];
        const Code *code = line->measured != NULL ? line->measured : line->requirement;
        buffer_format(&out, " %u", form_of(c, text, code)->number);
    }
    return form_of_words(c, buffer_done(&out));
}

/* ---- sections that prevail ---- */

static void find_silencers(Comparing *c, Half *half)
{
    const Law *law = half->law;
    for (uint32_t i = 0; i < law->section_count; i++) {
        for (uint32_t k = 0; k < law->sections[i].prevail_count; k++) {
            half->standings[law->sections[i].prevails[k]].silencer_count++;
        }
    }
    for (uint32_t i = 0; i < law->section_count; i++) {
        Standing *standing = &half->standings[i];
        standing->silencers = ARENA_ARRAY(c->arena, const Form *, standing->silencer_count + 1);
        standing->silencer_count = 0;
    }
    for (uint32_t i = 0; i < law->section_count; i++) {
        const Section *section = &law->sections[i];
        if (section->prevail_count == 0) {
            continue;
        }
        Text words = text_format(c->arena, "prevails %.*s %u", TEXT_ARG(key_of(c, section)),
                                 form_of_conditions(c, section)->number);
        const Form *form = form_of_words(c, words);
        for (uint32_t k = 0; k < section->prevail_count; k++) {
            Standing *silent = &half->standings[section->prevails[k]];
            silent->silencers[silent->silencer_count++] = form;
        }
    }
}

static Half half_of(Comparing *c, const Law *law, const Text *topics, size_t topic_count)
{
    uint32_t count = law->section_count + 1;
    Half half = {.law = law,
                 .standings = ARENA_ARRAY(c->arena, Standing, count),
                 .other = ARENA_ARRAY(c->arena, const Section *, count),
                 .aligned = ARENA_ARRAY(c->arena, uint8_t, count),
                 .taken = ARENA_ARRAY(c->arena, bool, count)};
    for (uint32_t i = 0; i < law->section_count; i++) {
        half.standings[i].section = &law->sections[i];
        half.aligned[i] = ALIGNED_ALONE;
        half.taken[i] = is_asked_for(&law->sections[i], topics, topic_count);
    }
    find_silencers(c, &half);
    return half;
}

/* ---- alignment ---- */

/* Sections of one key, in order; those of one law wait here for those of the other. */
typedef struct Waiting {
    uint32_t section;
    struct Waiting *next;
} Waiting;

typedef struct Queue {
    Waiting *first, *last;
} Queue;

static Queue *queue_of(Comparing *c, Map *queues, const void *key)
{
    Queue *queue = map_get(queues, key);
    if (queue == NULL) {
        queue = ARENA_NEW(c->arena, Queue);
        (void)map_put(queues, key, queue);
    }
    return queue;
}

static const void *align_key(Comparing *c, const Section *section, Aligned how)
{
    return how == ALIGNED_TOPIC ? measure_of(c, section) : form_of_words(c, key_of(c, section));
}

/* A number that both laws have, of two topics, is two sections: each county numbered its own. */
static bool may_align(const Section *a, const Section *b)
{
    return a->tree->section == b->tree->section || text_equal(topic_name(a), topic_name(b));
}

static void align(Comparing *c, Half *a, Half *b, Aligned how)
{
    Map *queues = map_new(c->arena);
    for (uint32_t i = 0; i < a->law->section_count; i++) {
        if (a->other[i] == NULL && a->taken[i]) {
            Queue *queue = queue_of(c, queues, align_key(c, &a->law->sections[i], how));
            Waiting *waiting = ARENA_NEW(c->arena, Waiting);
            waiting->section = i;
            *(queue->first == NULL ? &queue->first : &queue->last->next) = waiting;
            queue->last = waiting;
        }
    }
    for (uint32_t j = 0; j < b->law->section_count; j++) {
        const Section *section = &b->law->sections[j];
        if (b->other[j] != NULL || !b->taken[j]) {
            continue;
        }
        Queue *queue = map_get(queues, align_key(c, section, how));
        Waiting *waiting = queue == NULL ? NULL : queue->first;
        c->steps++;
        if (waiting == NULL || !may_align(&a->law->sections[waiting->section], section)) {
            continue;
        }
        queue->first = waiting->next;
        a->other[waiting->section] = section;
        b->other[j] = &a->law->sections[waiting->section];
        a->aligned[waiting->section] = (uint8_t)how;
        b->aligned[j] = (uint8_t)how;
    }
}

/* Sections left over of `from` that say under which number they stood in an earlier edition, with
 * the section of `to` that still has that number. */
static void align_former(Comparing *c, Half *from, Half *to)
{
    Map *by_key = map_new(c->arena);
    for (uint32_t i = 0; i < to->law->section_count; i++) {
        if (to->other[i] == NULL && to->taken[i]) {
            (void)map_put(by_key, align_key(c, &to->law->sections[i], ALIGNED_CITATION),
                          &to->law->sections[i]);
        }
    }
    for (uint32_t i = 0; i < from->law->section_count; i++) {
        const Section *section = &from->law->sections[i];
        const TargetTree *former = section->tree->section->formerly;
        for (; former != NULL && from->other[i] == NULL && from->taken[i]; former = former->next) {
            Text key = key_of_number(c, section, former->number, former->part);
            const Section *found = map_get(by_key, form_of_words(c, key));
            uint32_t j = found == NULL ? 0 : (uint32_t)(found - to->law->sections);
            if (found != NULL && to->other[j] == NULL) {
                from->other[i] = found;
                to->other[j] = section;
                from->aligned[i] = to->aligned[j] = ALIGNED_CITATION;
            }
        }
    }
}

/* ---- sections that measure one thing among others ---- */

#define NOBODY UINT32_C(0) /* else the index of a section, plus 1 */
#define SEVERAL UINT32_MAX

/* What each line of a section left over is known by, within its topic. */
static const Form *line_measure(Comparing *c, const Section *section, uint32_t line)
{
    const SectionText *text = &section->texts[0].readings[0];
    const Line *own = &text->lines[line];
    const Code *code = own->measured != NULL ? own->measured : own->requirement;
    Buffer out = buffer_make(c->arena);
    buffer_format(&out, "line %.*s", TEXT_ARG(topic_name(section)));
    for (uint32_t i = 0; i < text->each_count; i++) {
        buffer_format(&out, " %u", form_of(c, text, text->eachs[i].list)->number);
    }
    buffer_format(&out, ": %u", form_of(c, text, code)->number);
    return form_of_words(c, buffer_done(&out));
}

static uint32_t measure_count(const Half *half, uint32_t index)
{
    const Section *section = &half->law->sections[index];
    bool left = half->taken[index] && half->other[index] == NULL && section->text_count > 0;
    return left ? section->texts[0].readings[0].line_count : 0;
}

static uint32_t *owner_of(Comparing *c, Map *owners, const Form *form)
{
    uint32_t *owner = map_get(owners, form);
    if (owner == NULL) {
        owner = ARENA_NEW(c->arena, uint32_t);
        (void)map_put(owners, form, owner);
    }
    return owner;
}

/* By measure: the one section left over that has it. */
static Map *measure_owners(Comparing *c, const Half *half)
{
    Map *owners = map_new(c->arena);
    for (uint32_t i = 0; i < half->law->section_count; i++) {
        for (uint32_t k = 0; k < measure_count(half, i); k++) {
            uint32_t *owner = owner_of(c, owners, line_measure(c, &half->law->sections[i], k));
            *owner = *owner == NOBODY || *owner == i + 1 ? i + 1 : SEVERAL;
        }
    }
    return owners;
}

/* The one section of the other law that shares a measure with this one; else NOBODY. */
static uint32_t *find_partners(Comparing *c, const Half *half, Map *own, Map *its)
{
    uint32_t *partners = ARENA_ARRAY(c->arena, uint32_t, half->law->section_count + 1);
    for (uint32_t i = 0; i < half->law->section_count; i++) {
        for (uint32_t k = 0; k < measure_count(half, i); k++) {
            const Form *form = line_measure(c, &half->law->sections[i], k);
            uint32_t other = *owner_of(c, its, form);
            if (*owner_of(c, own, form) != i + 1 || other == NOBODY || other == SEVERAL) {
                continue;
            }
            partners[i] = partners[i] == NOBODY || partners[i] == other ? other : SEVERAL;
        }
    }
    return partners;
}

/* Sections of one topic of which some lines measure the same thing, and no others' do. */
static void align_lines(Comparing *c, Half *a, Half *b)
{
    Map *a_owners = measure_owners(c, a);
    Map *b_owners = measure_owners(c, b);
    uint32_t *a_partners = find_partners(c, a, a_owners, b_owners);
    uint32_t *b_partners = find_partners(c, b, b_owners, a_owners);
    for (uint32_t i = 0; i < a->law->section_count; i++) {
        uint32_t j = a_partners[i];
        if (j != NOBODY && j != SEVERAL && b_partners[j - 1] == i + 1) {
            a->other[i] = &b->law->sections[j - 1];
            b->other[j - 1] = &a->law->sections[i];
            a->aligned[i] = b->aligned[j - 1] = ALIGNED_TOPIC;
        }
    }
}

/* ---- topics ---- */

static uint32_t topic_index(Comparing *c, TopicList *topics, Text name, Text title)
{
    const Name *key = names_intern(c->names, name);
    uint32_t *known = map_get(topics->by_name, key);
    if (known != NULL) {
        return *known;
    }
    if (topics->count == topics->cap) {
        topics->cap = topics->cap == 0 ? 16 : topics->cap * 2;
        ComparedTopic *grown = ARENA_ARRAY(c->arena, ComparedTopic, topics->cap);
        for (uint32_t i = 0; i < topics->count; i++) {
            grown[i] = topics->list[i];
        }
        topics->list = grown;
    }
    known = ARENA_NEW(c->arena, uint32_t);
    *known = topics->count;
    (void)map_put(topics->by_name, key, known);
    topics->list[topics->count] = (ComparedTopic){.name = name, .title = title};
    return topics->count++;
}

static void add_topics(Comparing *c, TopicList *topics, const Law *law)
{
    for (uint32_t i = 0; law->vocabulary != NULL && i < law->vocabulary->topic_count; i++) {
        const Topic *topic = &law->vocabulary->topics[i];
        (void)topic_index(c, topics, topic->name->text, topic->title);
    }
}

/* ---- sections ---- */

static bool same_word(const Name *a, const Name *b)
{
    return a == NULL || b == NULL ? a == b : text_equal(a->text, b->text);
}

static uint8_t notes_of(const Section *a, const Section *b)
{
    uint8_t notes = 0;
    if (a == NULL || b == NULL) {
        return 0;
    }
    notes |= text_equal(a->rank, b->rank) ? 0 : NOTE_RANK;
    notes |= same_word(a->authority, b->authority) ? 0 : NOTE_AUTHORITY;
    notes |= a->advises == b->advises ? 0 : NOTE_ADVICE;
    notes |= a->stages == b->stages ? 0 : NOTE_STAGE;
    notes |= a->rework == b->rework ? 0 : NOTE_REWORK;
    notes |= a->never_waived == b->never_waived ? 0 : NOTE_WAIVER;
    return notes;
}

static const Standing *standing_of(const Half *half, const Section *section)
{
    return section == NULL ? NULL : &half->standings[section - half->law->sections];
}

static ComparedSection compare_pair(Comparing *c, const Half *a, const Half *b, const Section *one,
                                    const Section *other, uint8_t aligned)
{
    LineList lines = {0};
    compare_section(c, standing_of(a, one), standing_of(b, other), &lines);
    return (ComparedSection){.section = {one, other},
                             .aligned = aligned,
                             .notes = notes_of(one, other),
                             .lines = lines.list,
                             .line_count = lines.count};
}

/* A pair to be compared, and where it stands. */
typedef struct Entry {
    const Section *section[2];
    uint32_t topic;
    uint8_t aligned;
} Entry;

/* The first side's sections in its order, then those that the second has alone. */
static Entry *list_entries(Comparing *c, const Half *a, const Half *b, TopicList *topics,
                           uint32_t *count)
{
    Entry *list = ARENA_ARRAY(c->arena, Entry, a->law->section_count + b->law->section_count + 1);
    *count = 0;
    for (uint32_t i = 0; i < a->law->section_count; i++) {
        const Section *section = &a->law->sections[i];
        if (a->taken[i]) {
            uint32_t topic = topic_index(c, topics, topic_name(section), TEXT(""));
            list[(*count)++] = (Entry){{section, a->other[i]}, topic, a->aligned[i]};
        }
    }
    for (uint32_t i = 0; i < b->law->section_count; i++) {
        const Section *section = &b->law->sections[i];
        if (b->taken[i] && b->other[i] == NULL) {
            uint32_t topic = topic_index(c, topics, topic_name(section), TEXT(""));
            list[(*count)++] = (Entry){{NULL, section}, topic, ALIGNED_ALONE};
        }
    }
    return list;
}

static void count_lines(LawComparison *out, const ComparedSection *section)
{
    out->noted += section->notes != 0 ? 1 : 0;
    for (uint32_t i = 0; i < section->line_count; i++) {
        const ComparedLine *line = &section->lines[i];
        out->counts[line->relation]++;
        if (line->relation == RELATION_ONLY_HERE) {
            out->only[line->side[0].line == NULL]++;
        }
    }
}

static void fill_topics(Comparing *c, const Half *a, const Half *b, LawComparison *out)
{
    TopicList topics = {.by_name = map_new(c->arena)};
    add_topics(c, &topics, a->law);
    add_topics(c, &topics, b->law);
    uint32_t count = 0;
    Entry *entries = list_entries(c, a, b, &topics, &count);
    uint32_t *sizes = ARENA_ARRAY(c->arena, uint32_t, topics.count + 1);
    for (uint32_t i = 0; i < count; i++) {
        sizes[entries[i].topic]++;
    }
    ComparedSection **lists = ARENA_ARRAY(c->arena, ComparedSection *, topics.count + 1);
    for (uint32_t i = 0; i < topics.count; i++) {
        lists[i] = ARENA_ARRAY(c->arena, ComparedSection, sizes[i] + 1);
        topics.list[i].sections = lists[i];
    }
    for (uint32_t i = 0; i < count; i++) {
        const Entry *entry = &entries[i];
        ComparedSection *section = lists[entry->topic]++;
        *section = compare_pair(c, a, b, entry->section[0], entry->section[1], entry->aligned);
        topics.list[entry->topic].section_count++;
        count_lines(out, section);
    }
    out->topics = topics.list;
    out->topic_count = topics.count;
}

static bool rows_equal(Arena *arena, const HolderTree *a, const HolderTree *b)
{
    if ((a->where == NULL) != (b->where == NULL) ||
        !text_equal(a->authority->text, b->authority->text) ||
        !text_equal(a->jurisdiction->text, b->jurisdiction->text)) {
        return false;
    }
    return a->where == NULL ||
           text_equal(syntax_print_expr(arena, a->where), syntax_print_expr(arena, b->where));
}

/* One place, in which the same jurisdictions decide in the same cases. */
static bool is_one_place(Arena *arena, const PlaceTree *a, const PlaceTree *b)
{
    if (a == NULL || b == NULL || !text_equal(a->name->text, b->name->text)) {
        return false;
    }
    const HolderTree *one = a->holders;
    const HolderTree *other = b->holders;
    while (one != NULL && other != NULL && rows_equal(arena, one, other)) {
        one = one->next;
        other = other->next;
    }
    return one == NULL && other == NULL;
}

LawComparison *law_compare(Arena *arena, const Law *a, const Law *b, const Text *topics,
                           size_t topic_count)
{
    Comparing c = {.arena = arena,
                   .names = names_new(arena),
                   .by_words = map_new(arena),
                   .by_node = map_new(arena),
                   .one_place = is_one_place(arena, a->tree->place, b->tree->place)};
    Half one = half_of(&c, a, topics, topic_count);
    Half other = half_of(&c, b, topics, topic_count);
    align(&c, &one, &other, ALIGNED_CITATION);
    align_former(&c, &one, &other);
    align_former(&c, &other, &one);
    align(&c, &one, &other, ALIGNED_TOPIC);
    align_lines(&c, &one, &other);
    LawComparison *out = ARENA_NEW(arena, LawComparison);
    out->law[0] = a;
    out->law[1] = b;
    fill_topics(&c, &one, &other, out);
    out->steps = c.steps;
    return out;
}

bool law_comparison_is_same(const LawComparison *comparison)
{
    for (int i = 0; i < RELATION_COUNT; i++) {
        if (i != RELATION_SAME && comparison->counts[i] > 0) {
            return false;
        }
    }
    return comparison->noted == 0;
}
