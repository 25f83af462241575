/* The codebook on a terminal: head as in a letter, then each code, its sections in order, the text
 * of rules with its own line breaks, what is told of it below. */
#include "report/cite.h"
#include "report/codebook.h"
#include "report/safe.h"

enum { KEY_COLUMN = 15 };

static size_t copy_width(const Paper *paper)
{
    return paper->style.width - BOOK_INDENT;
}

/* ---- pieces ---- */

/* Where the rest of a line goes on that is too long for the page: below its body, where that
 * begins early enough, else four columns in. */
static size_t hanging(Text line, size_t width)
{
    size_t start = 0;
    while (start < line.len && line.data[start] == ' ') {
        start++;
    }
    for (size_t i = start; i + 2 < line.len && i < width / 2; i++) {
        if (line.data[i] == ' ' && line.data[i + 1] == ' ' && line.data[i + 2] != ' ') {
            return i + 2;
        }
    }
    return start + 4;
}

/* A line of a text, which is broken where it has to be: what stands in quotes may be long. */
static void put_line(Paper *paper, Text line)
{
    size_t width = copy_width(paper);
    size_t hang = hanging(line, width);
    size_t indent = 0;
    while (indent + utf8_width(line) > width) {
        size_t cut = 0;
        for (size_t i = 1; i + 1 < line.len; i++) {
            bool fits = cut == 0 || indent + utf8_width((Text){line.data, i}) <= width;
            bool is_body = indent > 0 || i > hang;
            cut = line.data[i] == ' ' && is_body && fits ? i : cut;
        }
        if (cut == 0) {
            break;
        }
        buffer_text(&paper->out, (Text){line.data, cut});
        buffer_char(&paper->out, '\n');
        line = text_trim((Text){line.data + cut, line.len - cut});
        indent = hang;
        buffer_spaces(&paper->out, BOOK_INDENT + indent);
    }
    buffer_text(&paper->out, line);
}

void book_text_copy(Paper *paper, Text text)
{
    size_t start = 0;
    for (size_t i = 0; i <= text.len && text.len > 0; i++) {
        if (i < text.len && text.data[i] != '\n') {
            continue;
        }
        Text line = {text.data + start, i - start};
        if (line.len > 0) {
            buffer_spaces(&paper->out, BOOK_INDENT);
            put_line(paper, text_harmless(paper->arena, line));
        }
        buffer_char(&paper->out, '\n');
        start = i + 1;
    }
}

void book_text_rows(Paper *paper, const BookRows *rows)
{
    for (uint32_t i = 0; i < rows->count; i++) {
        const BookRow *row = &rows->list[i];
        Text place = book_place(paper->arena, row->place);
        Text value = row->value;
        if (place.len > 0) {
            value = text_format(paper->arena, "%.*s (%.*s)", TEXT_ARG(value), TEXT_ARG(place));
        }
        paper_keyed(paper, BOOK_INDENT, BOOK_KEYS, row->key, value);
    }
}

void book_text_section(Paper *paper, const LawTree *law, const SectionTreeInForce *section)
{
    for (uint32_t i = 0; i < section->text_count; i++) {
        const TextTree *text = &section->texts[i];
        Text window = book_window(paper->arena, law, section, text);
        if (window.len > 0) {
            paper_blank(paper);
            paper_format(paper, BOOK_INDENT - 2, BOOK_INDENT, "%.*s:", TEXT_ARG(window));
        }
        paper_blank(paper);
        book_text_copy(paper, book_clauses(paper->arena, text, copy_width(paper)));
        if (i + 1 < section->text_count && book_same_history(text, text + 1)) {
            continue;
        }
        BookRows rows = book_history(paper->arena, section, text);
        paper_blank(paper);
        book_text_rows(paper, &rows);
    }
    BookRows rows = book_declared(paper->arena, law, section);
    if (section->text_count > 1 && rows.count > 0) {
        paper_blank(paper); /* of the section, and not of its last text */
    }
    book_text_rows(paper, &rows);
}

/* ---- codes ---- */

static void put_entry(Paper *paper, const Codebook *book, const BookEntry *entry)
{
    paper_blank(paper);
    paper_format(paper, 0, BOOK_INDENT, BOLD_ON "%.*s" BOLD_OFF,
                 TEXT_ARG(book_title(paper->arena, entry->section)));
    if (entry->deleted != NULL) {
        Text place = book_place(paper->arena, entry->deleted->link.place);
        paper_format(paper, BOOK_INDENT, BOOK_INDENT, "%.*s (%.*s)",
                     TEXT_ARG(book_deleted(paper->arena, entry->deleted)), TEXT_ARG(place));
        return;
    }
    Text standing =
        book_standing(paper->arena, book->library, entry->in_force->code, entry->section);
    paper_wrap(paper, BOOK_INDENT, BOOK_INDENT, standing);
    book_text_section(paper, book->law, entry->in_force);
}

static void put_beside(Paper *paper, const Codebook *book, const CodeTree *code)
{
    BookRows displaced = book_displaced_rows(paper->arena, book->law, code);
    if (displaced.count > 0) {
        paper_heading(paper, TEXT("Displaced local law"));
        paper_blank(paper);
        book_text_rows(paper, &displaced);
    }
    Text reserved = book_reserved(paper->arena, code);
    if (reserved.len > 0) {
        paper_heading(paper, TEXT("Numbers held free"));
        paper_blank(paper);
        paper_wrap(paper, BOOK_INDENT, BOOK_INDENT, reserved);
    }
}

static void put_left_out(Paper *paper, const CodeTree *code)
{
    if (code->omitted == NULL) {
        return;
    }
    paper_heading(paper, TEXT("Left out of the rule files"));
    paper_blank(paper);
    for (const OmittedTree *at = code->omitted; at != NULL; at = at->next) {
        Text number = book_number(paper->arena, at->target.number, at->target.part);
        paper_keyed(paper, 0, BOOK_KEYS, number, at->reason);
    }
}

static void put_matter(Paper *paper, const char *heading, Text text)
{
    if (text.len > 0) {
        paper_heading(paper, text_of(heading));
        paper_blank(paper);
        book_text_copy(paper, text);
    }
}

static void put_code(Paper *paper, const Codebook *book, const CodeTree *code)
{
    paper_blank(paper);
    paper_rule(paper);
    paper_format(paper, 0, 0, BOLD_ON "%.*s" BOLD_OFF, TEXT_ARG(code_words(paper->arena, code)));
    BookRows acts = book_acts(paper->arena, book->law, code);
    paper_blank(paper);
    book_text_rows(paper, &acts);
    uint32_t count = 0;
    const BookEntry *entries = book_entries(paper->arena, book->law, code, &count);
    for (uint32_t i = 0; i < count; i++) {
        put_entry(paper, book, &entries[i]);
    }
    put_matter(paper, "Definitions, tables and readings of the code",
               book_code_matter(paper->arena, code, copy_width(paper)));
    put_beside(paper, book, code);
    put_left_out(paper, code);
}

/* ---- the whole ---- */

static void put_head(Paper *paper, const Codebook *book)
{
    Text on = date_print(paper->arena, book->law->on);
    paper_format(paper, 0, 0, BOLD_ON "CODEBOOK" BOLD_OFF " of %.*s: the law in force on %.*s%s",
                 TEXT_ARG(book_whose(paper->arena, book->law)), TEXT_ARG(on),
                 book->origin == DATE_TODAY ? " (today)" : "");
    paper_rule(paper);
    paper_keyed(paper, 0, KEY_COLUMN, TEXT("Jurisdiction"), book_levels(paper->arena, book->law));
    uint32_t count = book_codes(book, NULL);
    const CodeTree **codes = ARENA_ARRAY(paper->arena, const CodeTree *, count + 1);
    (void)book_codes(book, codes);
    for (uint32_t i = 0; i < count; i++) {
        Text words =
            text_format(paper->arena, "%.*s: %.*s", TEXT_ARG(code_words(paper->arena, codes[i])),
                        TEXT_ARG(book_acts_words(paper->arena, book->law, codes[i])));
        paper_keyed(paper, 0, KEY_COLUMN, i == 0 ? TEXT("Codes") : TEXT(""), words);
    }
    paper_keyed(paper, 0, KEY_COLUMN, TEXT("Sections"), book_counts(paper->arena, book));
}

static void put_digests(Paper *paper, const Library *library)
{
    BookRows digests = book_digests(paper->arena, library);
    for (uint32_t i = 0; i < digests.count; i++) {
        paper_keyed(paper, 0, KEY_COLUMN, i == 0 ? TEXT("Rule files") : TEXT(""),
                    digests.list[i].value);
    }
}

static void put_checklists(Paper *paper, const LawTree *law, const JurisdictionTree *level)
{
    for (const ChecklistTree *list = level->checklists; list != NULL; list = list->next) {
        paper_blank(paper);
        paper_rule(paper);
        paper_format(paper, 0, 0, BOLD_ON "%.*s" BOLD_OFF,
                     TEXT_ARG(book_checklist_title(paper->arena, list)));
        paper_blank(paper);
        BookRows rows = book_checklist(paper->arena, law, list);
        book_text_rows(paper, &rows);
    }
}

static void put_body(Paper *paper, const Codebook *book)
{
    Arena *arena = paper->arena;
    uint32_t count = book_codes(book, NULL);
    const CodeTree **codes = ARENA_ARRAY(arena, const CodeTree *, count + 1);
    (void)book_codes(book, codes);
    for (uint32_t i = 0; i < count; i++) {
        put_code(paper, book, codes[i]);
    }
    for (uint32_t i = 0; i < book->law->level_count; i++) {
        const JurisdictionTree *level = book->law->levels[i];
        put_checklists(paper, book->law, level);
        Text text = book_level_matter(arena, level, copy_width(paper));
        if (text.len > 0) {
            paper_blank(paper);
            paper_rule(paper);
            paper_format(paper, 0, 0, BOLD_ON "Definitions and tables of %.*s" BOLD_OFF,
                         TEXT_ARG(jurisdiction_words(level)));
            paper_blank(paper);
            book_text_copy(paper, text);
        }
    }
}

Text codebook_text(Arena *arena, const Codebook *book, Style style)
{
    Paper paper = paper_make(arena, style);
    put_head(&paper, book);
    put_digests(&paper, book->library);
    put_body(&paper, book);
    return buffer_done(&paper.out);
}

Text codebook_place_text(Arena *arena, const Codebook *books, size_t count, Style style)
{
    Paper paper = paper_make(arena, style);
    const PlaceTree *place = books[0].law->place;
    BookRows holders = book_holders(arena, books[0].library, place);
    paper_format(&paper, 0, 0,
                 BOLD_ON "CODEBOOK" BOLD_OFF " of %.*s: who decides what, and the law of each on "
                         "%.*s%s",
                 TEXT_ARG(place_title(place)), TEXT_ARG(date_print(arena, books[0].law->on)),
                 books[0].origin == DATE_TODAY ? " (today)" : "");
    paper_rule(&paper);
    for (uint32_t i = 0; i < holders.count; i++) {
        const BookRow *row = &holders.list[i];
        bool again = i > 0 && text_equal(row->key, holders.list[i - 1].key);
        paper_keyed(&paper, 0, KEY_COLUMN, again ? TEXT("") : row->key, row->value);
    }
    put_digests(&paper, books[0].library);
    for (size_t i = 0; i < count; i++) {
        paper_blank(&paper);
        paper_blank(&paper);
        put_head(&paper, &books[i]);
        put_body(&paper, &books[i]);
    }
    return buffer_done(&paper.out);
}
