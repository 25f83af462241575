/* The states of sections, laid out on a terminal and on a page. */
#include "report/cite.h"
#include "report/codebook.h"
#include "report/html.h"

static Text track_title(Arena *arena, const BookTrack *track)
{
    Text number = book_number(arena, track->number, track->part);
    Text title = track->code->title.len > 0 ? track->code->title : track->code->name->text;
    return text_format(arena, "%.*s, %.*s", TEXT_ARG(number), TEXT_ARG(title));
}

static Text heading_of(const BookState *state)
{
    return state->entry.section == NULL ? TEXT("") : state->entry.section->heading;
}

/* ---- on a terminal ---- */

static void put_state(Paper *paper, const BookHistory *history, const BookState *state)
{
    paper_blank(paper);
    paper_format(paper, 2, BOOK_INDENT, BOLD_ON "%.*s" BOLD_OFF ": %.*s",
                 TEXT_ARG(history_days(paper->arena, state)),
                 TEXT_ARG(history_words(paper->arena, history, state)));
    book_text_rows(paper, &state->acts);
    if (state->kind != STATE_IN_FORCE) {
        return;
    }
    const SectionTreeInForce *section = state->entry.in_force;
    paper_blank(paper);
    paper_wrap(paper, BOOK_INDENT, BOOK_INDENT, heading_of(state));
    paper_wrap(paper, BOOK_INDENT, BOOK_INDENT,
               book_standing(paper->arena, history->library, section->code, section->section));
    book_text_section(paper, state->law, section);
}

Text history_text(Arena *arena, const BookHistory *history, Style style)
{
    Paper paper = paper_make(arena, style);
    paper_format(&paper, 0, 0, BOLD_ON "HISTORY" BOLD_OFF " of sections in %.*s",
                 TEXT_ARG(jurisdiction_words(history->jurisdiction)));
    for (uint32_t i = 0; i < history->track_count; i++) {
        const BookTrack *track = &history->tracks[i];
        paper_blank(&paper);
        paper_rule(&paper);
        paper_format(&paper, 0, BOOK_INDENT, BOLD_ON "%.*s" BOLD_OFF,
                     TEXT_ARG(track_title(arena, track)));
        for (uint32_t s = 0; s < track->state_count; s++) {
            put_state(&paper, history, &track->states[s]);
        }
    }
    return buffer_done(&paper.out);
}

/* ---- on a page ---- */

static void put_page_state(Buffer *out, const BookHistory *history, const BookState *state)
{
    buffer_string(out, "<section>\n<header>");
    buffer_string(out, "<h3>");
    html_words(out, text_format(out->arena, "%.*s: %.*s", TEXT_ARG(history_days(out->arena, state)),
                                TEXT_ARG(history_words(out->arena, history, state))));
    buffer_string(out, "</h3>");
    buffer_string(out, "</header>\n");
    book_page_rows(out, &state->acts);
    if (state->kind == STATE_IN_FORCE) {
        const SectionTreeInForce *section = state->entry.in_force;
        if (heading_of(state).len > 0) {
            html_element(out, "p", NULL, heading_of(state));
            buffer_char(out, '\n');
        }
        html_element(out, "p", "quiet",
                     book_standing(out->arena, history->library, section->code, section->section));
        buffer_char(out, '\n');
        book_page_section(out, state->law, section);
    }
    buffer_string(out, "</section>\n");
}

static Text track_anchor(Arena *arena, const BookTrack *track)
{
    Text number = book_number(arena, track->number, track->part);
    return html_id(arena, text_format(arena, "%.*s-%.*s", TEXT_ARG(track->code->name->text),
                                      TEXT_ARG(number)));
}

static void put_tracks(Buffer *out, const BookHistory *history)
{
    buffer_string(out, "<nav aria-label=\"Sections\"><ul>\n");
    for (uint32_t i = 0; i < history->track_count; i++) {
        buffer_string(out, "<li>");
        html_link(out, track_anchor(out->arena, &history->tracks[i]),
                  track_title(out->arena, &history->tracks[i]));
        buffer_string(out, "</li>\n");
    }
    buffer_string(out, "</ul></nav>\n");
}

Text history_html(Arena *arena, const BookHistory *history)
{
    Buffer out = buffer_make(arena);
    Text where = jurisdiction_words(history->jurisdiction);
    html_open(&out, text_format(arena, "%.*s: history of sections", TEXT_ARG(where)));
    html_heading(&out, 1, TEXT(""), where);
    buffer_string(&out, "<p>History of sections: each state with the day on which it begins and "
                        "the acts that made it so.</p>\n");
    put_tracks(&out, history);
    for (uint32_t i = 0; i < history->track_count; i++) {
        const BookTrack *track = &history->tracks[i];
        html_heading(&out, 2, track_anchor(arena, track), track_title(arena, track));
        for (uint32_t s = 0; s < track->state_count; s++) {
            put_page_state(&out, history, &track->states[s]);
        }
    }
    html_close(&out);
    return buffer_done(&out);
}
