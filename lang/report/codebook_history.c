/* Every state of a section over time: the laws on each day on which the law changes are held against
 * each other, and where what a section says, or by whose act it says so, differs from the day
 * before, a state begins.
 *
 * A section is followed by code, number and part through the editions of its code; what it says is
 * compared as the words that the reader is shown, so that no difference is told that cannot be
 * seen. */
#include <stdlib.h>

#include "report/cite.h"
#include "report/codebook.h"

/* ---- one law ---- */

static BookEntry find_entry(const LawTree *law, const BookTrack *track)
{
    BookEntry found = {NULL, NULL, NULL};
    for (uint32_t i = 0; i < law->section_count; i++) {
        const SectionTreeInForce *at = &law->sections[i];
        if (at->code->name == track->code->name && at->section->part == track->part &&
            text_equal(at->section->number, track->number)) {
            return (BookEntry){at->section, at, NULL};
        }
    }
    for (uint32_t i = 0; i < law->deleted_count; i++) {
        const DeletedTree *at = &law->deleted[i];
        if (at->code->name == track->code->name && at->section->part == track->part &&
            text_equal(at->section->number, track->number)) {
            found = (BookEntry){at->section, NULL, at};
        }
    }
    return found;
}

/* Of a section that is not there: that a level above has displaced it. */
static const DisplacedTree *find_displaced(const LawTree *law, const BookTrack *track)
{
    for (uint32_t i = 0; i < law->displaced_count; i++) {
        const DisplacedTree *at = &law->displaced[i];
        if (at->section != NULL && at->code->name == track->code->name &&
            at->section->part == track->part && text_equal(at->section->number, track->number) &&
            (at->change == NULL || at->change->kind == CHANGE_INSERT)) {
            return at;
        }
    }
    return NULL;
}

static void put_rows(Buffer *out, const BookRows *rows)
{
    for (uint32_t i = 0; i < rows->count; i++) {
        Text place = book_place(out->arena, rows->list[i].place);
        buffer_format(out, "%.*s %.*s %.*s\n", TEXT_ARG(rows->list[i].key),
                      TEXT_ARG(rows->list[i].value), TEXT_ARG(place));
    }
}

/* All that a reader is shown of a state, as one text. */
static Text state_signature(Arena *arena, const BookHistory *history, const LawTree *law,
                            const BookEntry *entry, const DisplacedTree *displaced)
{
    Buffer out = buffer_make(arena);
    if (entry->deleted != NULL) {
        return text_format(arena, "%.*s, edition %.*s",
                           TEXT_ARG(book_deleted(arena, entry->deleted)),
                           TEXT_ARG(entry->deleted->code->edition));
    }
    if (entry->in_force == NULL) {
        return displaced == NULL ? TEXT("") : book_displaced(arena, displaced);
    }
    const SectionTreeInForce *section = entry->in_force;
    Text standing = book_standing(arena, history->library, section->code, entry->section);
    buffer_format(&out, "edition %.*s %.*s\n%.*s\n", TEXT_ARG(section->code->edition),
                  TEXT_ARG(book_title(arena, entry->section)), TEXT_ARG(standing));
    for (uint32_t i = 0; i < section->text_count; i++) {
        const TextTree *text = &section->texts[i];
        BookRows rows = book_history(arena, section, text);
        buffer_format(&out, "%.*s:\n%.*s\n", TEXT_ARG(book_window(arena, law, section, text)),
                      TEXT_ARG(book_clauses(arena, text, BOOK_PAGE_WIDTH)));
        put_rows(&out, &rows);
    }
    BookRows rows = book_declared(arena, law, section);
    put_rows(&out, &rows);
    return buffer_done(&out);
}

/* ---- the acts of a day ---- */

enum { ACTS_NEAR = 8 };

static bool is_target(const ChangeTree *change, const BookTrack *track)
{
    const SectionTree *inserted = change->section;
    if (inserted != NULL && inserted->part == track->part &&
        text_equal(inserted->number, track->number)) {
        return true;
    }
    for (const TargetTree *target = change->targets; target != NULL; target = target->next) {
        if (target_covers(target->number, target->part, track->number, track->part)) {
            return true;
        }
    }
    return false;
}

static bool changes(const BlockTree *block, const BookTrack *track)
{
    for (const ChangeTree *change = block->changes; change != NULL; change = change->next) {
        if (is_target(change, track)) {
            return true;
        }
    }
    return false;
}

/* Whether an act acts on one that changes the section. */
static bool acts_on(const LawTree *law, const ActTree *act, const BookTrack *track)
{
    const ChangeTree *change = act->block->changes;
    for (; change != NULL; change = change->next) {
        for (uint32_t i = 0; change->act.len > 0 && i < law->act_count; i++) {
            const ActTree *other = &law->acts[i];
            if (other->jurisdiction == act->jurisdiction &&
                other->block->code == act->block->code &&
                text_equal(other->block->by, change->act) && changes(other->block, track)) {
                return true;
            }
        }
    }
    return false;
}

/* The same act, or part of one, as it stands on the day of another law; NULL: it has none. All laws
 * have their acts in one order, but for parts: it stands near the index that it has in its own. */
static const BlockTree *find_act(const LawTree *law, const ActTree *act, uint32_t near)
{
    uint32_t start = near < ACTS_NEAR ? 0 : near - ACTS_NEAR;
    for (uint32_t k = 0; k < law->act_count; k++) {
        uint32_t i = (start + k) % law->act_count;
        const BlockTree *block = law->acts[i].block;
        if (law->acts[i].jurisdiction == act->jurisdiction && block->source == act->block->source &&
            block->from == act->block->from &&
            block->code_span.start == act->block->code_span.start &&
            text_equal(block->edition, act->block->edition)) {
            return block;
        }
    }
    return NULL;
}

/* A day of the history: the law of it, those before and after, and what is followed. */
typedef struct Turn {
    const BookHistory *history;
    uint32_t index;
    const BookTrack *track;
    bool touching; /* only acts that touch the section */
} Turn;

/* In force on the day of one of the laws and, where that is asked, changing the section. */
static bool stands_in(const Turn *turn, uint32_t index, const ActTree *act)
{
    const LawTree *law = turn->history->laws[index];
    uint32_t near = (uint32_t)(act - turn->history->laws[turn->index]->acts);
    const BlockTree *block = find_act(law, act, near);
    return block != NULL && block->from <= law->on && law->on <= block->until &&
           (!turn->touching || changes(block, turn->track));
}

static bool stands_later(const Turn *turn, const ActTree *act)
{
    for (uint32_t i = turn->index + 1; i < turn->history->law_count; i++) {
        if (stands_in(turn, i, act)) {
            return true;
        }
    }
    return false;
}

/* What an act does on the day: begins, ends for good or for a time, is in force again; NULL. */
static const char *turn_word(const Turn *turn, const ActTree *act)
{
    const LawTree *law = turn->history->laws[turn->index];
    const BlockTree *block = act->block;
    bool adopts = !block->amends;
    if (block->from == law->on) {
        bool touches = adopts || changes(block, turn->track) || acts_on(law, act, turn->track);
        return turn->touching && !touches ? NULL : adopts ? "adopted by" : "amended by";
    }
    bool ends = block->until != DAY_FOREVER && block->until + 1 == law->on;
    bool before = turn->index > 0 && stands_in(turn, turn->index - 1, act);
    bool now = stands_in(turn, turn->index, act);
    bool began = turn->index > 0 && block->from <= turn->history->laws[turn->index - 1]->on;
    if (now && !before && began) {
        return "in force again";
    }
    if (turn->track->state_count == 0 || !(ends ? adopts || before : before && !now)) {
        return NULL;
    }
    return stands_later(turn, act) ? "suspended" : "ended";
}

static void add_acts(BookRows *rows, const Turn *turn)
{
    const LawTree *law = turn->history->laws[turn->index];
    for (uint32_t i = 0; i < law->act_count; i++) {
        const BlockTree *block = law->acts[i].block;
        const char *key =
            block->code == turn->track->code->name ? turn_word(turn, &law->acts[i]) : NULL;
        if (key == NULL) {
            continue;
        }
        Text edition = text_format(rows->arena, ", edition %.*s", TEXT_ARG(block->edition));
        Text act = book_act(rows->arena, law->acts[i].jurisdiction, block);
        act = text_format(rows->arena, "%.*s%.*s", TEXT_ARG(act),
                          block->amends ? 0 : (int)edition.len, edition.data);
        book_add(rows, key, act, (Place){block->source, block->code_span});
    }
}

/* Those that touch the section; where none does, all of its code on that day. What has ended counts
 * where the section was there before. */
static BookRows find_acts(Arena *arena, const BookHistory *history, uint32_t index,
                          const BookTrack *track)
{
    BookRows rows = book_rows(arena);
    Turn turn = {history, index, track, true};
    add_acts(&rows, &turn);
    if (rows.count == 0) {
        turn.touching = false;
        add_acts(&rows, &turn);
    }
    return rows;
}

/* ---- tracks ---- */

static bool has_track(const BookHistory *history, const CodeTree *code, const SectionTree *section)
{
    for (uint32_t i = 0; i < history->track_count; i++) {
        const BookTrack *track = &history->tracks[i];
        if (track->code->name == code->name && track->part == section->part &&
            text_equal(track->number, section->number)) {
            return true;
        }
    }
    return false;
}

static void add_track(Arena *arena, BookHistory *history, const CodeTree *code,
                      const SectionTree *section)
{
    if (has_track(history, code, section)) {
        return;
    }
    if (history->track_count == history->track_room) {
        uint32_t room = history->track_room == 0 ? 8 : history->track_room * 2;
        BookTrack *tracks = ARENA_ARRAY(arena, BookTrack, room);
        for (uint32_t i = 0; i < history->track_count; i++) {
            tracks[i] = history->tracks[i];
        }
        history->tracks = tracks;
        history->track_room = room;
    }
    history->tracks[history->track_count++] =
        (BookTrack){.code = code, .number = section->number, .part = section->part};
}

static void find_states(Arena *arena, const BookHistory *history, BookTrack *track)
{
    track->states = ARENA_ARRAY(arena, BookState, history->law_count + 1);
    Text former = TEXT("");
    for (uint32_t i = 0; i < history->law_count; i++) {
        const LawTree *law = history->laws[i];
        BookEntry entry = find_entry(law, track);
        const DisplacedTree *displaced = entry.section == NULL ? find_displaced(law, track) : NULL;
        Text now = state_signature(arena, history, law, &entry, displaced);
        if (text_equal(former, now)) {
            continue;
        }
        former = now;
        if (track->state_count > 0) {
            track->states[track->state_count - 1].until = law->on - 1;
        }
        StateKind kind = entry.in_force != NULL  ? STATE_IN_FORCE
                         : entry.deleted != NULL ? STATE_DELETED
                                                 : STATE_ABSENT;
        BookRows acts = book_rows(arena);
        if (kind != STATE_DELETED && displaced == NULL) { /* else told with the act that did it */
            acts = find_acts(arena, history, i, track);
        }
        track->states[track->state_count++] =
            (BookState){(uint8_t)kind, law->on, DAY_FOREVER, law, entry, displaced, acts};
    }
}

static int order_tracks(const void *left, const void *right)
{
    const BookTrack *a = left;
    const BookTrack *b = right;
    int order = text_order(a->code->name->text, b->code->name->text);
    if (order == 0) {
        order = number_order(a->number, b->number);
    }
    if (order == 0 && a->part != b->part) {
        order = text_order(a->part == NULL ? TEXT("") : a->part->text,
                           b->part == NULL ? TEXT("") : b->part->text);
    }
    return order;
}

static bool is_asked(const BookHistory *history, const CodeTree *code, const SectionTree *section,
                     Text number, const Name *part)
{
    return (history->code == NULL || history->code == code->name) &&
           target_covers(number, part, section->number, section->part);
}

bool history_add(Arena *arena, BookHistory *history, Text number, const Name *part)
{
    uint32_t before = history->track_count;
    bool found = false;
    for (uint32_t i = 0; i < history->law_count; i++) {
        const LawTree *law = history->laws[i];
        for (uint32_t s = 0; s < law->section_count; s++) {
            const SectionTreeInForce *at = &law->sections[s];
            if (is_asked(history, at->code, at->section, number, part)) {
                add_track(arena, history, at->code, at->section);
                found = true;
            }
        }
        for (uint32_t s = 0; s < law->deleted_count; s++) {
            const DeletedTree *at = &law->deleted[s];
            if (is_asked(history, at->code, at->section, number, part)) {
                add_track(arena, history, at->code, at->section);
                found = true;
            }
        }
        for (uint32_t s = 0; s < law->displaced_count; s++) {
            const DisplacedTree *at = &law->displaced[s];
            if (at->section != NULL && is_asked(history, at->code, at->section, number, part)) {
                add_track(arena, history, at->code, at->section);
                found = true;
            }
        }
    }
    for (uint32_t i = before; i < history->track_count; i++) {
        find_states(arena, history, &history->tracks[i]);
    }
    if (history->track_count > before) {
        qsort(history->tracks + before, history->track_count - before, sizeof *history->tracks,
              order_tracks);
    }
    return found;
}

Text history_nearest(Arena *arena, const BookHistory *history, Text number)
{
    size_t room = 0;
    for (uint32_t i = 0; i < history->law_count; i++) {
        room += (size_t)history->laws[i]->section_count + history->laws[i]->deleted_count;
    }
    Text *numbers = ARENA_ARRAY(arena, Text, room + 1);
    size_t count = 0;
    for (uint32_t i = 0; i < history->law_count; i++) {
        const LawTree *law = history->laws[i];
        for (uint32_t s = 0; s < law->section_count; s++) {
            if (history->code == NULL || history->code == law->sections[s].code->name) {
                numbers[count++] = law->sections[s].section->number;
            }
        }
        for (uint32_t s = 0; s < law->deleted_count; s++) {
            if (history->code == NULL || history->code == law->deleted[s].code->name) {
                numbers[count++] = law->deleted[s].section->number;
            }
        }
    }
    long near = text_nearest(number, numbers, count);
    return near < 0 ? TEXT("") : numbers[near];
}

/* ---- words ---- */

Text history_days(Arena *arena, const BookState *state)
{
    Text from = date_print(arena, state->from);
    if (state->until == DAY_FOREVER) {
        return text_format(arena, "from %.*s", TEXT_ARG(from));
    }
    return text_format(arena, "from %.*s until %.*s", TEXT_ARG(from),
                       TEXT_ARG(date_print(arena, state->until)));
}

static bool was_there(const BookHistory *history, const BookState *state)
{
    for (uint32_t i = 0; i < history->track_count; i++) {
        const BookTrack *track = &history->tracks[i];
        if (state >= track->states && state < track->states + track->state_count) {
            return state > track->states;
        }
    }
    return false;
}

Text history_words(Arena *arena, const BookHistory *history, const BookState *state)
{
    bool is_now = state->from <= history->on && history->on <= state->until;
    Text now =
        is_now ? text_format(arena, "; the state on %.*s", TEXT_ARG(date_print(arena, history->on)))
               : TEXT("");
    if (state->kind == STATE_IN_FORCE) {
        return text_format(arena, "in force, edition %.*s%.*s",
                           TEXT_ARG(state->entry.in_force->code->edition), TEXT_ARG(now));
    }
    if (state->kind == STATE_DELETED) {
        Text place = book_place(arena, state->entry.deleted->link.place);
        return text_format(arena, "%.*s (%.*s)%.*s",
                           TEXT_ARG(book_deleted(arena, state->entry.deleted)), TEXT_ARG(place),
                           TEXT_ARG(now));
    }
    const char *gone = was_there(history, state) ? "no longer there" : "not there";
    if (state->displaced == NULL) {
        return text_format(arena, "%s%.*s", gone, TEXT_ARG(now));
    }
    Text place = book_place(arena, state->displaced->by.place);
    return text_format(arena, "%s: %.*s (%.*s)%.*s", gone,
                       TEXT_ARG(book_displacing(arena, state->displaced)), TEXT_ARG(place),
                       TEXT_ARG(now));
}
