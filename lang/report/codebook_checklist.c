/* The printed checklists of a jurisdiction in its codebook: each line with the sections in force
 * that answer it, or why none does. */
#include "report/cite.h"
#include "report/codebook.h"

static Text sections_answering(Arena *arena, const CheckAnswer *answer)
{
    Buffer out = buffer_make(arena);
    for (uint32_t i = 0; i < answer->section_count; i++) {
        const SectionTree *section = answer->sections[i]->section;
        buffer_format(&out, "%s%.*s", i > 0 ? ", " : "",
                      TEXT_ARG(book_number(arena, section->number, section->part)));
    }
    return buffer_done(&out);
}

static Text answer_words(Arena *arena, const CheckAnswer *answer)
{
    const CheckLineTree *line = answer->line;
    if (line->omitted.len > 0) {
        return text_format(arena, "left out: %.*s", TEXT_ARG(line->omitted));
    }
    if (line->official.len > 0) {
        return text_format(arena, "at the discretion of %.*s", TEXT_ARG(line->official));
    }
    Text sections = sections_answering(arena, answer);
    if (answer->missing != NULL) {
        return text_format(arena, "%.*s%snot in force: %.*s", TEXT_ARG(sections),
                           sections.len > 0 ? "; " : "", TEXT_ARG(answer->missing->number));
    }
    return sections.len > 0 ? sections : TEXT("not covered");
}

BookRows book_checklist(Arena *arena, const LawTree *law, const ChecklistTree *list)
{
    BookRows rows = book_rows(arena);
    uint32_t count = 0;
    const CheckAnswer *answers = law_checklists(arena, law, &count);
    for (uint32_t i = 0; i < count; i++) {
        if (answers[i].list == list) {
            book_add(&rows, "line",
                     text_format(arena, "%.*s: %.*s", TEXT_ARG(answers[i].line->title),
                                 TEXT_ARG(answer_words(arena, &answers[i]))),
                     (Place){list->source, answers[i].line->span});
        }
    }
    for (uint32_t i = 0; i < rows.count; i++) {
        rows.list[i].key = text_format(arena, "line %u", i + 1);
    }
    return rows;
}

Text book_checklist_title(Arena *arena, const ChecklistTree *list)
{
    return list->from.len == 0 ? text_format(arena, "Checklist: %.*s", TEXT_ARG(list->title))
                               : text_format(arena, "Checklist: %.*s (%.*s)", TEXT_ARG(list->title),
                                             TEXT_ARG(list->from));
}
