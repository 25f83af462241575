/* What a codebook tells, as words: sections in order with the deleted ones among them, the text of
 * each with its limits as they are in force, for whom it is, and how it came to be so.
 *
 * Takes a law as assembly leaves it and never looks at a verdict. What a text says is written by
 * the printer of the fair copy from a copy of its clauses in which the changed limits stand. */
#include "report/codebook.h"

#include <stdlib.h>

#include "report/cite.h"

#define EN_SPACE "\xe2\x80\x82" /* keeps a number and its heading together, and apart */

/* ---- rows ---- */

BookRows book_rows(Arena *arena)
{
    return (BookRows){.arena = arena};
}

void book_add(BookRows *rows, const char *key, Text value, Place place)
{
    if (rows->count == rows->room) {
        uint32_t room = rows->room == 0 ? 8 : rows->room * 2;
        BookRow *list = ARENA_ARRAY(rows->arena, BookRow, room);
        for (uint32_t i = 0; i < rows->count; i++) {
            list[i] = rows->list[i];
        }
        rows->list = list;
        rows->room = room;
    }
    rows->list[rows->count++] = (BookRow){text_of(key), value, place};
}

/* ---- names ---- */

Text book_number(Arena *arena, Text number, const Name *part)
{
    if (part == NULL) {
        return number;
    }
    return text_format(arena, "%.*s part %.*s", TEXT_ARG(number), TEXT_ARG(part->text));
}

Text book_title(Arena *arena, const SectionTree *section)
{
    Text number = book_number(arena, section->number, section->part);
    if (section->heading.len == 0) {
        return number;
    }
    return text_format(arena, "%.*s" EN_SPACE "%.*s", TEXT_ARG(number), TEXT_ARG(section->heading));
}

Text book_levels(Arena *arena, const LawTree *law)
{
    Buffer out = buffer_make(arena);
    for (uint32_t i = law->level_count; i-- > 0;) {
        buffer_string(&out, out.len > 0 ? ", within " : "");
        buffer_text(&out, jurisdiction_words(law->levels[i]));
    }
    return buffer_done(&out);
}

Text book_whose(Arena *arena, const LawTree *law)
{
    Text title = jurisdiction_words(law->jurisdiction);
    if (law->place == NULL) {
        return title;
    }
    return text_format(arena, "%.*s in %.*s", TEXT_ARG(title), TEXT_ARG(place_title(law->place)));
}

BookRows book_holders(Arena *arena, const Library *library, const PlaceTree *place)
{
    BookRows rows = book_rows(arena);
    for (const HolderTree *row = place->holders; row != NULL; row = row->next) {
        const JurisdictionTree *who = library_jurisdiction(library, row->jurisdiction->text);
        Text title = who == NULL ? row->jurisdiction->text : jurisdiction_words(who);
        book_add(&rows, text_string(arena, row->authority->text), holder_words(arena, row, title),
                 (Place){place->source, row->span});
    }
    return rows;
}

Text book_place(Arena *arena, Place place)
{
    if (place.source == NULL) {
        return TEXT("");
    }
    Position at = source_position(place.source, place.span.start);
    return text_format(arena, "%.*s:%u", TEXT_ARG(place.source->path), at.line);
}

void book_put_dates(Buffer *out, const BlockTree *block)
{
    static const char *const words[] = {"passed", "filed", "effective"};
    const Day days[] = {block->passed, block->filed, block->effective};
    buffer_string(out, block->emergency ? ", emergency" : "");
    for (size_t i = 0; i < sizeof days / sizeof *days; i++) {
        if (days[i] != DAY_UNSAID) {
            buffer_format(out, ", %s %.*s", words[i], TEXT_ARG(date_print(out->arena, days[i])));
        }
    }
}

Text book_act(Arena *arena, const JurisdictionTree *jurisdiction, const BlockTree *block)
{
    Text from = date_print(arena, block->from);
    Buffer out = buffer_make(arena);
    buffer_format(&out, "%.*s, %.*s, in force from %.*s",
                  TEXT_ARG(jurisdiction_words(jurisdiction)), TEXT_ARG(block->by), TEXT_ARG(from));
    if (block->until != DAY_FOREVER) {
        buffer_format(&out, " until %.*s", TEXT_ARG(date_print(arena, block->until)));
    }
    book_put_dates(&out, block);
    return buffer_done(&out);
}

static Text applied_words(Arena *arena, const Applied *applied)
{
    Text words = book_act(arena, applied->jurisdiction, applied->block);
    if (text_equal(applied->block->edition, applied->code->edition)) {
        return words;
    }
    return text_format(arena, "%.*s (of edition %.*s, carried over)", TEXT_ARG(words),
                       TEXT_ARG(applied->block->edition));
}

static bool is_applied(const LawTree *law, const CodeTree *code, const Name *reading)
{
    for (uint32_t i = 0; i < law->reading_count; i++) {
        if (law->readings[i] == reading && law->reading_codes[i] == code) {
            return true;
        }
    }
    return false;
}

/* Readings that an act applies in the whole of its code. */
static void add_readings(BookRows *rows, const LawTree *law, const Applied *applied)
{
    const BlockTree *block = applied->block;
    for (const ChangeTree *change = block->changes; change != NULL; change = change->next) {
        if (change->kind == CHANGE_APPLIES_READING && change->targets == NULL &&
            is_applied(law, applied->code, change->label)) {
            Text words = text_format(rows->arena, "%.*s: %.*s", TEXT_ARG(change->label->text),
                                     TEXT_ARG(applied_words(rows->arena, applied)));
            book_add(rows, "reading applied", words, (Place){block->source, change->span});
        }
    }
}

/* `prevails over`: which other codes give way to this one. */
static void add_precedences(BookRows *rows, const LawTree *law, const CodeTree *code)
{
    for (uint32_t i = 0; i < law->precedence_count; i++) {
        const PrecedenceTree *at = &law->precedences[i];
        if (at->winner != code) {
            continue;
        }
        Buffer out = buffer_make(rows->arena);
        buffer_text(&out, code_words(rows->arena, at->loser));
        for (const Word *topic = at->topics; topic != NULL; topic = topic->next) {
            buffer_format(&out, "%s%.*s", topic == at->topics ? " on " : ", ",
                          TEXT_ARG(topic->name->text));
        }
        buffer_format(&out, ": %.*s, %.*s", TEXT_ARG(jurisdiction_words(at->link.jurisdiction)),
                      TEXT_ARG(at->link.by));
        book_add(rows, "prevails over", buffer_done(&out), at->place);
    }
}

BookRows book_acts(Arena *arena, const LawTree *law, const CodeTree *code)
{
    uint32_t count = 0;
    const Applied *applied = law_applied(arena, law, &count);
    BookRows rows = book_rows(arena);
    for (uint32_t i = 0; i < count; i++) {
        const BlockTree *block = applied[i].block;
        if (applied[i].code == code) {
            book_add(&rows, block->amends ? "amended" : "adopted",
                     applied_words(arena, &applied[i]), (Place){block->source, block->code_span});
            add_readings(&rows, law, &applied[i]);
        }
    }
    add_precedences(&rows, law, code);
    return rows;
}

Text book_acts_words(Arena *arena, const LawTree *law, const CodeTree *code)
{
    uint32_t count = 0;
    const Applied *applied = law_applied(arena, law, &count);
    Buffer out = buffer_make(arena);
    for (uint32_t i = 0; i < count; i++) {
        if (applied[i].code == code) {
            buffer_format(&out, "%s%s by %.*s", out.len > 0 ? "; " : "",
                          applied[i].block->amends ? "amended" : "adopted",
                          TEXT_ARG(applied_words(arena, &applied[i])));
        }
    }
    return buffer_done(&out);
}

/* Of a place, a jurisdiction's codes are those in which it decides something. */
static bool is_told(const Codebook *book, const CodeTree *code)
{
    const LawTree *law = book->law;
    bool told = law->place == NULL;
    for (uint32_t i = 0; i < law->section_count && !told; i++) {
        told = law->sections[i].code == code;
    }
    for (uint32_t i = 0; i < law->deleted_count && !told; i++) {
        told = law->deleted[i].code == code;
    }
    for (uint32_t i = 0; i < law->displaced_count && !told; i++) {
        told = law->displaced[i].code == code;
    }
    return told && (book->code == NULL || book->code == code->name);
}

uint32_t book_codes(const Codebook *book, const CodeTree **codes)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < book->law->code_count; i++) {
        if (is_told(book, book->law->codes[i])) {
            if (codes != NULL) {
                codes[count] = book->law->codes[i];
            }
            count++;
        }
    }
    return count;
}

/* ---- sections in order ---- */

/* Where a section stands in its code: as written there; else after the written section before it in
 * number. */
typedef struct Standing {
    size_t written; /* from 1 */
    bool inserted;
    Text number;
} Standing;

typedef struct Numbered {
    Text number;
    size_t at;
} Numbered;

typedef struct Order {
    Map *written; /* SectionTree -> Numbered */
    Numbered *by_number;
    size_t count;
} Order;

static int order_numbered(const void *left, const void *right)
{
    const Numbered *a = left;
    const Numbered *b = right;
    int order = number_order(a->number, b->number);
    return order != 0 ? order : (a->at > b->at) - (a->at < b->at);
}

static Order order_of(Arena *arena, const CodeTree *code)
{
    Order order = {.written = map_new(arena)};
    for (const SectionTree *at = code->sections; at != NULL; at = at->next) {
        order.count++;
    }
    Numbered *list = ARENA_ARRAY(arena, Numbered, order.count + 1);
    order.by_number = ARENA_ARRAY(arena, Numbered, order.count + 1);
    size_t i = 0;
    for (const SectionTree *at = code->sections; at != NULL; at = at->next, i++) {
        list[i] = (Numbered){at->number, i + 1};
        order.by_number[i] = list[i];
        (void)map_put(order.written, at, &list[i]);
    }
    qsort(order.by_number, order.count, sizeof *order.by_number, order_numbered);
    return order;
}

static Standing standing_of(const Order *order, const SectionTree *section)
{
    const Numbered *written = map_get(order->written, section);
    if (written != NULL) {
        return (Standing){written->at, false, section->number};
    }
    size_t low = 0;
    size_t high = order->count; /* the first one after it in number */
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (number_order(order->by_number[middle].number, section->number) <= 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return (Standing){low == 0 ? 0 : order->by_number[low - 1].at, true, section->number};
}

static bool comes_before(const Order *order, const SectionTree *a, const SectionTree *b)
{
    Standing one = standing_of(order, a);
    Standing two = standing_of(order, b);
    if (one.written != two.written) {
        return one.written < two.written;
    }
    if (one.inserted != two.inserted) {
        return two.inserted;
    }
    return number_order(one.number, two.number) < 0;
}

/* The law's own order is kept; a deleted section goes before the first that follows it. */
const BookEntry *book_entries(Arena *arena, const LawTree *law, const CodeTree *code,
                              uint32_t *count)
{
    Order order = order_of(arena, code);
    BookEntry *entries =
        ARENA_ARRAY(arena, BookEntry, (size_t)law->section_count + law->deleted_count + 1);
    uint32_t gone = 0;
    *count = 0;
    for (uint32_t i = 0; i <= law->section_count; i++) {
        const SectionTreeInForce *section = i < law->section_count ? &law->sections[i] : NULL;
        if (section != NULL && section->code != code) {
            continue;
        }
        for (; gone < law->deleted_count; gone++) {
            const DeletedTree *deleted = &law->deleted[gone];
            if (deleted->code != code) {
                continue;
            }
            if (section != NULL && !comes_before(&order, deleted->section, section->section)) {
                break;
            }
            entries[(*count)++] = (BookEntry){deleted->section, NULL, deleted};
        }
        if (section != NULL) {
            entries[(*count)++] = (BookEntry){section->section, section, NULL};
        }
    }
    return entries;
}

Text book_deleted(Arena *arena, const DeletedTree *deleted)
{
    const Link *link = &deleted->link;
    return text_format(arena, "deleted by %.*s, %.*s, from %.*s",
                       TEXT_ARG(jurisdiction_words(link->jurisdiction)), TEXT_ARG(link->by),
                       TEXT_ARG(date_print(arena, link->from)));
}

/* ---- counts ---- */

static void put_count(Buffer *out, uint32_t count, const char *one, const char *many)
{
    if (count > 0) {
        buffer_format(out, "%s%u %s", out->len > 0 ? ", " : "", (unsigned)count,
                      count == 1 ? one : many);
    }
}

Text book_counts(Arena *arena, const Codebook *book)
{
    const LawTree *law = book->law;
    uint32_t in_force = 0;
    uint32_t deleted = 0;
    uint32_t omitted = 0;
    for (uint32_t i = 0; i < law->section_count; i++) {
        in_force += book->code == NULL || law->sections[i].code->name == book->code;
    }
    for (uint32_t i = 0; i < law->deleted_count; i++) {
        deleted += book->code == NULL || law->deleted[i].code->name == book->code;
    }
    uint32_t count = 0;
    const LeftOut *out_of = law_left_out(arena, law, &count);
    for (uint32_t i = 0; i < count; i++) {
        omitted += is_told(book, out_of[i].code);
    }
    Buffer out = buffer_make(arena);
    put_count(&out, in_force, "section in force", "sections in force");
    put_count(&out, deleted, "deleted", "deleted");
    put_count(&out, omitted, "left out of the rule files", "left out of the rule files");
    buffer_string(&out, out.len > 0 ? "." : "No section is in force.");
    return buffer_done(&out);
}

/* ---- standing ---- */

static Text topic_words(Arena *arena, const Library *library, const CodeTree *code,
                        const Name *name)
{
    const Vocabulary *vocabulary = library_vocabulary(library, code->vocabulary);
    const Topic *topic =
        vocabulary == NULL || name == NULL ? NULL : map_get(vocabulary->topic_by_name, name);
    if (topic == NULL) {
        return name == NULL ? TEXT("topic not said") : name->text;
    }
    return text_format(arena, "%.*s (%.*s)", TEXT_ARG(topic->title), TEXT_ARG(name->text));
}

static void put_stages(Buffer *out, unsigned stages)
{
    const char *comma = "; stage ";
    for (int stage = STAGE_INTAKE; stage <= STAGE_OPERATION; stage++) {
        if ((stages & (1U << (unsigned)stage)) != 0) {
            buffer_format(out, "%s%s", comma, stage_word((Stage)stage));
            comma = ", ";
        }
    }
}

static void put_prevails(Buffer *out, const SectionTree *section)
{
    const char *comma = "; prevails over ";
    for (const TargetTree *at = section->notwithstanding; at != NULL; at = at->next) {
        Text number = book_number(out->arena, at->number, at->part);
        buffer_format(out, "%s%.*s", comma, TEXT_ARG(number));
        comma = ", ";
    }
}

Text book_standing(Arena *arena, const Library *library, const CodeTree *code,
                   const SectionTree *section)
{
    const StandingTree *own = &section->standing;
    const StandingTree *usual = &code->standing;
    const StandingTree *who = own->authority != NULL ? own : usual;
    Text rank = own->rank.len > 0 ? own->rank : usual->rank;
    unsigned rework = own->rework != REWORK_UNSAID ? own->rework : usual->rework;
    unsigned stages = own->stages != 0 ? own->stages : usual->stages;
    Buffer out = buffer_make(arena);
    buffer_text(&out, topic_words(arena, library, code, section->topic));
    if (rank.len > 0) {
        buffer_format(&out, "; rank %.*s", TEXT_ARG(rank));
    }
    if (who->authority != NULL) {
        buffer_format(&out, "; authority %.*s%s", TEXT_ARG(who->authority->text),
                      who->advises ? " (may advise)" : "");
    }
    put_stages(&out, stages == 0 ? 1U << STAGE_PLAN : stages);
    if (rework != REWORK_UNSAID) {
        buffer_format(&out, "; rework %s", rework_word((Rework)rework));
    }
    put_prevails(&out, section);
    return buffer_done(&out);
}

/* ---- beside the sections ---- */

BookRows book_displaced_rows(Arena *arena, const LawTree *law, const CodeTree *code)
{
    BookRows rows = book_rows(arena);
    for (uint32_t i = 0; i < law->displaced_count; i++) {
        const DisplacedTree *at = &law->displaced[i];
        if (at->code != code) {
            continue;
        }
        Text number = TEXT("the whole");
        if (at->section != NULL) {
            number = book_number(arena, at->section->number, at->section->part);
        } else if (at->change != NULL && at->change->targets != NULL) {
            number = book_number(arena, at->change->targets->number, at->change->targets->part);
        }
        book_add(&rows, text_string(arena, number), book_displaced(arena, at), at->local.place);
    }
    return rows;
}

Text book_reserved(Arena *arena, const CodeTree *code)
{
    Buffer out = buffer_make(arena);
    for (const TargetTree *at = code->reserved; at != NULL; at = at->next) {
        Text number = book_number(arena, at->number, at->part);
        buffer_format(&out, "%s%.*s", out.len > 0 ? ", " : "", TEXT_ARG(number));
    }
    return buffer_done(&out);
}

BookRows book_digests(Arena *arena, const Library *library)
{
    BookRows rows = book_rows(arena);
    uint32_t count = 0;
    const Digest *digests = library_digests(arena, library, &count);
    for (uint32_t i = 0; i < count; i++) {
        book_add(&rows, "", digest_words(arena, &digests[i]), (Place){NULL, {0, 0}});
    }
    return rows;
}
