/* The end of the letter: cautions, what complies and what does not apply, what was not looked
 * at, on what the rules rest, until when it holds, and what such a report is not. */
#include "report/cite.h"
#include "report/letter.h"

static void close_cautions(Letter *letter)
{
    const Review *review = letter->review;
    if (review->caution_count == 0) {
        return;
    }
    paper_heading(&letter->paper, TEXT("CAUTIONS"));
    for (uint32_t i = 0; i < review->caution_count; i++) {
        paper_wrap(&letter->paper, 2, 4,
                   caution_words(letter->arena, review, &review->cautions[i]));
    }
}

static void close_left_out(Letter *letter)
{
    uint32_t count = 0;
    const LeftOut *left = law_left_out(letter->arena, letter->review->law->tree, &count);
    if (count == 0) {
        return;
    }
    Text sections = counted(letter->arena, count, "section", "sections");
    if (letter->brief) {
        paper_format(&letter->paper, 0, 2,
                     "Not covered: %.*s that the rule files leave out, with their reasons.",
                     TEXT_ARG(sections));
        return;
    }
    paper_format(&letter->paper, 0, 2, "Not covered: the rule files leave out %.*s.",
                 TEXT_ARG(sections));
    for (uint32_t i = 0; i < count; i++) {
        const OmittedTree *omitted = left[i].omitted;
        Text title = left[i].code->title.len > 0 ? left[i].code->title : left[i].code->name->text;
        paper_format(&letter->paper, 2, 4, "%.*s %.*s: %.*s", TEXT_ARG(title),
                     TEXT_ARG(omitted->target.number), TEXT_ARG(omitted->reason));
    }
}

/* Lines of the authorities' own printed lists that nothing in the rule files answers. */
static void close_checklists(Letter *letter)
{
    uint32_t count = 0, open = 0, eye = 0;
    const CheckAnswer *answers = law_checklists(letter->arena, letter->review->law->tree, &count);
    for (uint32_t i = 0; i < count; i++) {
        open += answers[i].line->omitted.len > 0 || answer_is_open(&answers[i]);
        eye += answers[i].line->official.len > 0;
    }
    if (open + eye == 0) {
        return;
    }
    paper_format(&letter->paper, 0, 2,
                 "The authorities' own printed checklists have %.*s: not covered here %u, judged "
                 "by eye %u.",
                 TEXT_ARG(counted(letter->arena, count, "line", "lines")), open, eye);
    for (uint32_t i = 0; !letter->brief && i < count; i++) {
        const CheckLineTree *line = answers[i].line;
        if (line->omitted.len > 0 || answer_is_open(&answers[i])) {
            paper_format(&letter->paper, 2, 4, "%.*s: %.*s", TEXT_ARG(line->title),
                         TEXT_ARG(line->omitted.len > 0 ? line->omitted : TEXT("not covered")));
        }
    }
}

static void close_bases(Letter *letter)
{
    static const char *const names[BASIS_KINDS] = {"not stated", "read in the source", "memory",
                                                   "common practice", "invented"};
    static const BasisKind order[BASIS_KINDS] = {BASIS_READ, BASIS_PRACTICE, BASIS_MEMORY,
                                                 BASIS_INVENTED, BASIS_UNSAID};
    uint32_t counts[BASIS_KINDS];
    count_bases(letter->arena, letter->review, counts);
    Buffer out = buffer_make(letter->arena);
    for (int i = 0; i < BASIS_KINDS; i++) {
        if (counts[order[i]] > 0) {
            buffer_format(&out, "%s%s %u", out.len > 0 ? ", " : "", names[order[i]],
                          counts[order[i]]);
        }
    }
    if (out.len == 0) {
        return;
    }
    paper_format(&letter->paper, 0, 2, "Basis of the sections judged: %.*s.",
                 TEXT_ARG(buffer_done(&out)));
    uint32_t doubtful = counts[BASIS_MEMORY] + counts[BASIS_PRACTICE] + counts[BASIS_UNSAID];
    if (doubtful > 0) {
        paper_format(&letter->paper, 0, 2,
                     "Check the adopted text of %.*s before anyone relies on it.",
                     TEXT_ARG(counted(letter->arena, doubtful, "section", "sections")));
    }
}

static void close_change(Letter *letter)
{
    const Reviewed *reviewed = letter->reviewed;
    if (reviewed->has_change) {
        paper_format(&letter->paper, 0, 2,
                     "These findings hold until %.*s, when at least one of them would change.",
                     TEXT_ARG(date_print(letter->arena, reviewed->change)));
    } else {
        paper_wrap(&letter->paper, 0, 2,
                   TEXT("No date in the next two years changes these findings by itself."));
    }
}

void letter_close(Letter *letter)
{
    close_cautions(letter);
    if (!letter->brief) {
        letter_folded(letter, CHAPTER_COMPLIES, "COMPLIES");
        letter_folded(letter, CHAPTER_NOT_APPLICABLE, "NOT APPLICABLE");
    }
    paper_blank(&letter->paper);
    paper_rule(&letter->paper);
    close_left_out(letter);
    close_checklists(letter);
    close_bases(letter);
    close_change(letter);
    paper_blank(&letter->paper);
    paper_wrap(&letter->paper, 0, 0,
               TEXT("This is an aid for preparing a submittal, not an approval. The authority "
                    "having jurisdiction decides; the adopted text and its local amendments "
                    "govern; what is overlooked here must still be corrected. The facts are "
                    "the applicant's. Gas, electrical and fire suppression work belongs to "
                    "licensed practice: light no gas and energize no circuit on the strength "
                    "of this report."));
}
