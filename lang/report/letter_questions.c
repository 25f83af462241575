/* INFORMATION REQUIRED: the questions first, most wanted first, each numbered, since each wants
 * an answer; then the findings that wait for something no question can ask (a closer
 * measurement, a table without a cell); last, a line a section, who waits for the questions. */
#include <stdlib.h>

#include "report/cite.h"
#include "report/letter.h"

/* One finding that waits for one thing. */
typedef struct Demand {
    const Wanted *wanted;
    const Finding *finding;
    uint32_t order; /* of appearance */
} Demand;

typedef struct Question {
    const Demand *demands; /* in order of appearance */
    uint32_t waiting;
} Question;

static bool has_question(const Finding *finding)
{
    for (uint32_t i = 0; i < finding->wanted_count; i++) {
        if (reason_asks((Reason)finding->wanted[i].reason)) {
            return true;
        }
    }
    return false;
}

static int pointer_order(const void *a, const void *b)
{
    return ((uintptr_t)a > (uintptr_t)b) - ((uintptr_t)a < (uintptr_t)b);
}

static int wanted_order(const Wanted *a, const Wanted *b)
{
    int order = pointer_order(a->item, b->item);
    order = order != 0 ? order : pointer_order(a->field, b->field);
    order = order != 0 ? order : (int)a->reason - (int)b->reason;
    return order != 0 ? order : text_order(a->what, b->what);
}

/* Brings those that want one thing together; what order the things have is of no account. */
static int demand_order(const void *a, const void *b)
{
    const Demand *x = a;
    const Demand *y = b;
    int order = wanted_order(x->wanted, y->wanted);
    return order != 0 ? order : (x->order > y->order) - (x->order < y->order);
}

static int question_order(const void *a, const void *b)
{
    const Question *x = a;
    const Question *y = b;
    if (x->waiting != y->waiting) {
        return x->waiting > y->waiting ? -1 : 1;
    }
    return (x->demands->order > y->demands->order) - (x->demands->order < y->demands->order);
}

/* "5-401.11(A), 5-401.11(B)": each section once. */
static Text sections_of(Letter *letter, const Question *question)
{
    Buffer out = buffer_make(letter->arena);
    const Section *before = NULL;
    for (uint32_t i = 0; i < question->waiting; i++) {
        const Section *section = question->demands[i].finding->section;
        if (section != before) {
            buffer_string(&out, out.len > 0 ? ", " : "");
            buffer_text(&out, section_words(letter->arena, section));
        }
        before = section;
    }
    return buffer_done(&out);
}

static void put_question(Letter *letter, const Question *question)
{
    const Wanted *wanted = question->demands->wanted;
    Text place = TEXT("");
    if (wanted->item != NULL) {
        place = place_words(letter->arena, fact_place(wanted->item, wanted->field));
    }
    paper_blank(&letter->paper);
    letter_numbered(letter, wanted_question(letter->arena, wanted), TEXT(""));
    if (wanted->item != NULL && wanted->field != NULL) {
        Text path = spec_path(letter->arena, wanted->item, wanted->field);
        Text answer = answer_words(letter->arena, wanted);
        Text left = text_format(letter->arena, "%.*s%s%.*s", TEXT_ARG(path),
                                answer.len > 0 ? ": " : "", TEXT_ARG(answer));
        paper_apart(&letter->paper, LETTER_INDENT, LETTER_INDENT + 2, left, place);
    }
    Text waiting = counted(letter->arena, question->waiting, "finding waits", "findings wait");
    paper_format(&letter->paper, LETTER_INDENT, LETTER_INDENT + 2, "[%.*s: %.*s]",
                 TEXT_ARG(waiting), TEXT_ARG(sections_of(letter, question)));
}

typedef struct Demands {
    Demand *list;
    uint32_t count;
} Demands;

static void add_demands(Demands *demands, const Finding *finding)
{
    for (uint32_t i = 0; i < finding->wanted_count; i++) {
        if (reason_asks((Reason)finding->wanted[i].reason)) {
            demands->list[demands->count] = (Demand){&finding->wanted[i], finding, demands->count};
            demands->count++;
        }
    }
}

static Demands gather_demands(Letter *letter, const Group *groups, uint32_t count)
{
    uint32_t most = 0;
    for (uint32_t i = 0; i < letter->review->finding_count; i++) {
        most += letter->review->findings[i].wanted_count;
    }
    Demands demands = {ARENA_ARRAY(letter->arena, Demand, most + 1), 0};
    for (uint32_t i = 0; i < count; i++) {
        for (uint32_t f = 0; f < groups[i].count; f++) {
            add_demands(&demands, groups[i].findings[f]);
        }
    }
    return demands;
}

static void put_questions(Letter *letter, const Group *groups, uint32_t count)
{
    uint32_t asked = 0;
    Demands demands = gather_demands(letter, groups, count);
    const Demand *list = demands.list;
    Question *questions = ARENA_ARRAY(letter->arena, Question, demands.count + 1);
    qsort(demands.list, demands.count, sizeof *demands.list, demand_order);
    for (uint32_t i = 0; i < demands.count; i++) {
        if (i == 0 || wanted_order(list[i - 1].wanted, list[i].wanted) != 0) {
            questions[asked++] = (Question){&list[i], 0};
        }
        questions[asked - 1].waiting++;
    }
    qsort(questions, asked, sizeof *questions, question_order);
    for (uint32_t i = 0; i < asked; i++) {
        put_question(letter, &questions[i]);
    }
}

/* Findings that wait for something other than an answer: numbered items of their own. */
static void put_unasked(Letter *letter, const Group *group)
{
    Group rest = {ARENA_ARRAY(letter->arena, const Finding *, group->count), 0};
    for (uint32_t i = 0; i < group->count; i++) {
        if (!has_question(group->findings[i])) {
            rest.findings[rest.count++] = group->findings[i];
        }
    }
    if (rest.count > 0) {
        letter_group(letter, &rest, true);
    }
}

static void put_waiting(Letter *letter, const Finding *finding)
{
    Telling telling = telling_of(letter->arena, letter->review, finding);
    Text items = telling_items(&telling);
    paper_format(&letter->paper, 2, 4, "%.*s, %.*s%s%s%.*s",
                 TEXT_ARG(section_words(letter->arena, finding->section)),
                 TEXT_ARG(finding->section->heading), finding->floor ? " (kept as a floor)" : "",
                 items.len > 0 ? ": " : "", TEXT_ARG(items));
    letter_reasons(letter, &telling, 6);
}

void letter_questions(Letter *letter)
{
    uint32_t count = 0;
    const Group *groups = letter_groups(letter, CHAPTER_INFORMATION, &count);
    if (count == 0) {
        return;
    }
    uint32_t before = letter->number;
    paper_heading(&letter->paper, TEXT("INFORMATION REQUIRED"));
    put_questions(letter, groups, count);
    bool asked = letter->number > before;
    for (uint32_t i = 0; i < count; i++) {
        put_unasked(letter, &groups[i]);
    }
    if (letter->brief || !asked) {
        return;
    }
    paper_heading(&letter->paper, TEXT("Findings that wait for these answers"));
    for (uint32_t i = 0; i < count; i++) {
        for (uint32_t f = 0; f < groups[i].count; f++) {
            if (has_question(groups[i].findings[f])) {
                put_waiting(letter, groups[i].findings[f]);
            }
        }
    }
}
