/* The first page for a place: for each authority the jurisdictions that decide there, in the order
 * in which they are asked, under which condition, whether that holds for this unit, and under which
 * codes. A place is told once for a spec; the letters of its jurisdictions follow. */
#include "report/letter.h"

Text levels_words(Arena *arena, const LawTree *law)
{
    Buffer out = buffer_make(arena);
    for (uint32_t i = law->level_count; i-- > 0;) {
        buffer_string(&out, out.len > 0 ? ", within " : "");
        buffer_text(&out, jurisdiction_words(law->levels[i]));
    }
    return buffer_done(&out);
}

Text place_words_of(const PlaceTree *place)
{
    return place->title.len > 0 ? place->title : place->name->text;
}

/* ---- whether a row holds ---- */

static void put_truth(Buffer *out, const Held *held, const char *holds)
{
    uint32_t count = 0;
    const Wanted *wanted = NULL;
    switch ((Truth)held->truth) {
    case TRUTH_TRUE: buffer_string(out, holds); return;
    case TRUTH_FALSE: buffer_string(out, "not for this unit"); return;
    case TRUTH_UNKNOWN: break;
    }
    wanted = waits_flatten(out->arena, held->waits, &count);
    buffer_format(out, "waits for %.*s", TEXT_ARG(wanted_list_words(out->arena, wanted, count)));
}

/* "health; fire, which waits for base.set_up_in (not stated)"; of several rows for one authority the first that
 * holds, or may. */
Text decides_words(Arena *arena, const Review *review)
{
    Buffer out = buffer_make(arena);
    for (uint32_t i = 0; i < review->law->holding_count; i++) {
        const Held *best = &review->held[i];
        const Name *authority = best->holding->tree->authority;
        bool told = false;
        for (uint32_t j = 0; j < review->law->holding_count; j++) {
            const Held *other = &review->held[j];
            if (other->holding->tree->authority == authority) {
                told = told || j < i;
                best = other->truth > best->truth ? other : best;
            }
        }
        if (told) {
            continue;
        }
        buffer_format(&out, "%s%.*s", out.len > 0 ? "; " : "", TEXT_ARG(authority->text));
        if (best->truth != TRUTH_TRUE) {
            buffer_string(&out, best->truth == TRUTH_FALSE ? ", " : ", which ");
            put_truth(&out, best, "");
        }
    }
    return buffer_done(&out);
}

/* ---- the page ---- */

typedef struct Page {
    Paper paper;
    Arena *arena;
    const Reviewed *reviewed;
    uint32_t count;
} Page;

/* NULL: its law cannot be judged. */
static const Review *review_of(const Page *page, const HolderTree *row)
{
    for (uint32_t i = 0; i < page->count; i++) {
        const Review *review = page->reviewed[i].review;
        if (review->law->tree->jurisdiction->name == row->jurisdiction) {
            return review;
        }
    }
    return NULL;
}

static const Held *held_of(const Review *review, const HolderTree *row)
{
    for (uint32_t i = 0; i < review->law->holding_count; i++) {
        if (review->held[i].holding->tree == row) {
            return &review->held[i];
        }
    }
    return NULL;
}

static void put_row(Page *page, const HolderTree *row, const Review *review)
{
    Buffer out = buffer_make(page->arena);
    Text who =
        review == NULL ? row->jurisdiction->text : levels_words(page->arena, review->law->tree);
    buffer_text(&out, holder_words(page->arena, row, who));
    const Held *held = review == NULL ? NULL : held_of(review, row);
    buffer_string(&out, ": ");
    if (held != NULL) {
        buffer_string(&out, BOLD_ON);
        put_truth(&out, held, "decides");
        buffer_string(&out, BOLD_OFF);
    } else {
        buffer_string(&out, "its law has errors, and is not judged");
    }
    paper_wrap(&page->paper, 2, 5, buffer_done(&out));
}

static bool names_authority(const Law *law, const CodeTree *code, const Name *authority)
{
    for (uint32_t i = 0; i < law->section_count; i++) {
        if (law->sections[i].tree->code == code && law->sections[i].authority == authority) {
            return true;
        }
    }
    return false;
}

/* The codes in which the jurisdiction's law has sections of the authority. */
static void put_codes(Page *page, const Law *law, const Name *authority)
{
    uint32_t count = 0;
    const Applied *applied = law_applied(page->arena, law->tree, &count);
    bool any = false;
    for (uint32_t i = 0; i < count;) {
        const CodeTree *code = applied[i].code;
        Text words = code_applied_words(page->arena, applied, count, &i);
        if (names_authority(law, code, authority)) {
            paper_wrap(&page->paper, 5, 7, words);
            any = true;
        }
    }
    if (!any) {
        paper_wrap(&page->paper, 5, 7, TEXT("no section of its law in force is of this authority"));
    }
}

/* Its rows in the order in which they are asked. */
static void put_authority(Page *page, const PlaceTree *place, const Name *authority)
{
    paper_blank(&page->paper);
    paper_format(&page->paper, 0, 0, BOLD_ON "%.*s" BOLD_OFF, TEXT_ARG(authority->text));
    for (const HolderTree *row = place->holders; row != NULL; row = row->next) {
        if (row->authority == authority) {
            const Review *review = review_of(page, row);
            put_row(page, row, review);
            if (review != NULL) {
                put_codes(page, review->law, authority);
            }
        }
    }
}

static bool is_first(const PlaceTree *place, const HolderTree *row)
{
    for (const HolderTree *at = place->holders; at != row; at = at->next) {
        if (at->authority == row->authority) {
            return false;
        }
    }
    return true;
}

static void put_line(Page *page, const char *key, Text value)
{
    if (value.len > 0) {
        paper_keyed(&page->paper, 0, LETTER_KEYS, text_of(key), value);
    }
}

Text report_first_page(Arena *arena, const Reviewed *reviewed, uint32_t count, Style style)
{
    Page page = {paper_make(arena, style), arena, reviewed, count};
    const Review *first = reviewed[0].review;
    const PlaceTree *place = first->law->tree->place;
    paper_format(&page.paper, 0, 0,
                 BOLD_ON "WHO DECIDES WHAT" BOLD_OFF " under the law of %.*s (%s)",
                 TEXT_ARG(date_print(arena, first->on)), origin_words(reviewed[0].origin));
    paper_rule(&page.paper);
    put_line(&page, "Place", place_words_of(place));
    put_line(&page, "Unit", first->spec->unit_name);
    put_line(&page, "Builder", first->spec->builder);
    put_line(&page, "Cycle", first->spec->cycle);
    put_line(&page, "Build spec", first->spec->source->path);
    put_digests(&page.paper, &reviewed[0]);
    paper_rule(&page.paper);
    for (const HolderTree *row = place->holders; row != NULL; row = row->next) {
        if (is_first(place, row)) {
            put_authority(&page, place, row->authority);
        }
    }
    return buffer_done(&page.paper.out);
}
