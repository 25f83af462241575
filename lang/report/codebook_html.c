/* The codebook as one page: a list of sections at the top, an anchor for each, the same words as on
 * the terminal. */
#include "report/cite.h"
#include "report/codebook.h"
#include "report/html.h"

/* "larder_code-5-401.11~28A~29"; of a place "osprey_fork-larder_code-...", for each jurisdiction its
 * own. */
static Text anchor_of(Arena *arena, const LawTree *law, Text words)
{
    if (law->place != NULL) {
        words = text_format(arena, "%.*s-%.*s", TEXT_ARG(law->jurisdiction->name->text),
                            TEXT_ARG(words));
    }
    return html_id(arena, words);
}

static Text anchor(Arena *arena, const LawTree *law, const CodeTree *code,
                   const SectionTree *section)
{
    Text number = book_number(arena, section->number, section->part);
    return anchor_of(arena, law,
                     text_format(arena, "%.*s-%.*s", TEXT_ARG(code->name->text), TEXT_ARG(number)));
}

/* ---- pieces ---- */

void book_page_copy(Buffer *out, Text text)
{
    buffer_string(out, "<pre>");
    html_lines(out, text);
    buffer_string(out, "</pre>\n");
}

void book_page_rows(Buffer *out, const BookRows *rows)
{
    if (rows->count == 0) {
        return;
    }
    buffer_string(out, "<dl>\n");
    for (uint32_t i = 0; i < rows->count; i++) {
        const BookRow *row = &rows->list[i];
        Text place = book_place(out->arena, row->place);
        html_element(out, "dt", NULL, row->key);
        buffer_string(out, "<dd>");
        html_words(out, row->value);
        if (place.len > 0) {
            buffer_char(out, ' ');
            html_element(out, "span", "quiet", place);
        }
        buffer_string(out, "</dd>\n");
    }
    buffer_string(out, "</dl>\n");
}

void book_page_section(Buffer *out, const LawTree *law, const SectionTreeInForce *section)
{
    for (uint32_t i = 0; i < section->text_count; i++) {
        const TextTree *text = &section->texts[i];
        Text window = book_window(out->arena, law, section, text);
        if (window.len > 0) {
            html_element(out, "p", "window", window);
            buffer_char(out, '\n');
        }
        book_page_copy(out, book_clauses(out->arena, text, BOOK_PAGE_WIDTH));
        if (i + 1 < section->text_count && book_same_history(text, text + 1)) {
            continue;
        }
        BookRows rows = book_history(out->arena, section, text);
        book_page_rows(out, &rows);
    }
    BookRows rows = book_declared(out->arena, law, section);
    book_page_rows(out, &rows);
}

/* ---- the list at the top ---- */

static void put_list_entry(Buffer *out, const LawTree *law, const CodeTree *code,
                           const BookEntry *entry)
{
    buffer_string(out, entry->deleted != NULL ? "<li class=\"quiet\">" : "<li>");
    html_link(out, anchor(out->arena, law, code, entry->section),
              book_title(out->arena, entry->section));
    buffer_string(out, entry->deleted != NULL ? " (deleted)</li>\n" : "</li>\n");
}

static void put_list(Buffer *out, const Codebook *book, const CodeTree *const *codes,
                     uint32_t code_count)
{
    buffer_string(out, "<nav aria-label=\"Sections\">\n");
    html_heading(out, 2, TEXT(""), TEXT("Sections"));
    for (uint32_t i = 0; i < code_count; i++) {
        uint32_t count = 0;
        const BookEntry *entries = book_entries(out->arena, book->law, codes[i], &count);
        html_heading(out, 3, TEXT(""), code_words(out->arena, codes[i]));
        buffer_string(out, "<ul>\n");
        for (uint32_t at = 0; at < count; at++) {
            put_list_entry(out, book->law, codes[i], &entries[at]);
        }
        buffer_string(out, "</ul>\n");
    }
    buffer_string(out, "</nav>\n");
}

/* ---- codes ---- */

static void put_entry(Buffer *out, const Codebook *book, const BookEntry *entry,
                      const CodeTree *code)
{
    Text id = anchor(out->arena, book->law, code, entry->section);
    buffer_format(out, "<section id=\"%.*s\">\n<header>", TEXT_ARG(id));
    Text title = book_title(out->arena, entry->section);
    if (entry->deleted != NULL) {
        html_element(out, "h3", "gone", title);
        buffer_string(out, "</header>\n<p>");
        html_words(out, book_deleted(out->arena, entry->deleted));
        buffer_char(out, ' ');
        html_element(out, "span", "quiet", book_place(out->arena, entry->deleted->link.place));
        buffer_string(out, "</p>\n</section>\n");
        return;
    }
    html_element(out, "h3", NULL, title);
    html_element(out, "p", "quiet", book_standing(out->arena, book->library, code, entry->section));
    buffer_string(out, "</header>\n");
    book_page_section(out, book->law, entry->in_force);
    buffer_string(out, "</section>\n");
}

static void put_beside(Buffer *out, const Codebook *book, const CodeTree *code)
{
    BookRows displaced = book_displaced_rows(out->arena, book->law, code);
    if (displaced.count > 0) {
        html_heading(out, 3, TEXT(""), TEXT("Displaced local law"));
        book_page_rows(out, &displaced);
    }
    Text reserved = book_reserved(out->arena, code);
    if (reserved.len > 0) {
        html_heading(out, 3, TEXT(""), TEXT("Numbers held free"));
        html_element(out, "p", NULL, reserved);
        buffer_char(out, '\n');
    }
}

static void put_left_out(Buffer *out, const CodeTree *code)
{
    static const Text heads[] = {{"Section", 7}, {"Why", 3}};
    if (code->omitted == NULL) {
        return;
    }
    html_heading(out, 3, TEXT(""), TEXT("Left out of the rule files"));
    html_table_open(out, NULL, heads, 2);
    for (const OmittedTree *at = code->omitted; at != NULL; at = at->next) {
        html_row_open(out);
        html_row_head(out, book_number(out->arena, at->target.number, at->target.part));
        html_cell(out, NULL, at->reason);
        html_row_close(out);
    }
    html_table_close(out);
}

static void put_code(Buffer *out, const Codebook *book, const CodeTree *code)
{
    html_heading(out, 2, anchor_of(out->arena, book->law, code->name->text),
                 code_words(out->arena, code));
    BookRows acts = book_acts(out->arena, book->law, code);
    book_page_rows(out, &acts);
    uint32_t count = 0;
    const BookEntry *entries = book_entries(out->arena, book->law, code, &count);
    for (uint32_t i = 0; i < count; i++) {
        put_entry(out, book, &entries[i], code);
    }
    Text matter = book_code_matter(out->arena, code, BOOK_PAGE_WIDTH);
    if (matter.len > 0) {
        html_heading(out, 3, TEXT(""), TEXT("Definitions, tables and readings of the code"));
        book_page_copy(out, matter);
    }
    put_beside(out, book, code);
    put_left_out(out, code);
}

/* ---- the whole ---- */

static void put_digests(Buffer *out, const Library *library)
{
    BookRows digests = book_digests(out->arena, library);
    for (uint32_t i = 0; i < digests.count; i++) {
        buffer_string(out, "<dt>Rule files</dt>\n");
        html_element(out, "dd", "quiet", digests.list[i].value);
        buffer_char(out, '\n');
    }
}

static void put_head(Buffer *out, const Codebook *book, const CodeTree *const *codes,
                     uint32_t count)
{
    const LawTree *law = book->law;
    html_heading(out, law->place == NULL ? 1 : 2, TEXT(""), book_whose(out->arena, law));
    buffer_string(out, "<p>Codebook: the law in force on ");
    html_text(out, date_print(out->arena, law->on));
    if (law->level_count > 1) {
        buffer_string(out, " in ");
        html_text(out, book_levels(out->arena, law));
    }
    buffer_string(out, ". ");
    html_text(out, book_counts(out->arena, book));
    buffer_string(out, "</p>\n<dl>\n");
    for (uint32_t i = 0; i < count; i++) {
        buffer_string(out, "<dt>");
        html_link(out, anchor_of(out->arena, law, codes[i]->name->text),
                  code_words(out->arena, codes[i]));
        buffer_string(out, "</dt>\n");
        buffer_string(out, "<dd>");
        html_words(out, book_acts_words(out->arena, law, codes[i]));
        buffer_string(out, "</dd>\n");
    }
    if (law->place == NULL) {
        put_digests(out, book->library);
    }
    buffer_string(out, "</dl>\n");
}

static void put_levels(Buffer *out, const LawTree *law)
{
    for (uint32_t i = 0; i < law->level_count; i++) {
        const JurisdictionTree *level = law->levels[i];
        for (const ChecklistTree *list = level->checklists; list != NULL; list = list->next) {
            BookRows rows = book_checklist(out->arena, law, list);
            html_heading(out, 2, TEXT(""), book_checklist_title(out->arena, list));
            book_page_rows(out, &rows);
        }
        Text text = book_level_matter(out->arena, level, BOOK_PAGE_WIDTH);
        if (text.len > 0) {
            Text title = text_format(out->arena, "Definitions and tables of %.*s",
                                     TEXT_ARG(jurisdiction_words(level)));
            html_heading(out, 2, TEXT(""), title);
            book_page_copy(out, text);
        }
    }
}

static void put_book(Buffer *out, const Codebook *book)
{
    uint32_t count = book_codes(book, NULL);
    const CodeTree **codes = ARENA_ARRAY(out->arena, const CodeTree *, count + 1);
    (void)book_codes(book, codes);
    put_head(out, book, codes, count);
    put_list(out, book, codes, count);
    for (uint32_t i = 0; i < count; i++) {
        put_code(out, book, codes[i]);
    }
    put_levels(out, book->law);
}

static void open_page(Buffer *out, Text whose, Day on)
{
    html_open(out, text_format(out->arena, "%.*s: codebook of %.*s", TEXT_ARG(whose),
                               TEXT_ARG(date_print(out->arena, on))));
}

Text codebook_html(Arena *arena, const Codebook *book)
{
    Buffer out = buffer_make(arena);
    open_page(&out, book_whose(arena, book->law), book->law->on);
    put_book(&out, book);
    html_close(&out);
    return buffer_done(&out);
}

Text codebook_place_html(Arena *arena, const Codebook *books, size_t count)
{
    Buffer out = buffer_make(arena);
    const PlaceTree *place = books[0].law->place;
    BookRows holders = book_holders(arena, books[0].library, place);
    open_page(&out, place_title(place), books[0].law->on);
    html_heading(&out, 1, TEXT(""), place_title(place));
    buffer_string(&out, "<p>Who decides what, and the law of each in force on ");
    html_text(&out, date_print(arena, books[0].law->on));
    buffer_string(&out, ".</p>\n");
    book_page_rows(&out, &holders);
    buffer_string(&out, "<dl>\n");
    put_digests(&out, books[0].library);
    buffer_string(&out, "</dl>\n");
    for (size_t i = 0; i < count; i++) {
        put_book(&out, &books[i]);
    }
    html_close(&out);
    return buffer_done(&out);
}
