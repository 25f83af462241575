/* A county's own printed checklist held against the law in force, and what offices have confirmed.
 *
 * A line is answered by the sections in force that it cites (a target covers its parts and
 * subdivisions), left out with a reason, judged by somebody's eye, or open. */
#include "law/law.h"

static bool is_cited(const TargetTree *target, const SectionTreeInForce *section)
{
    return target_covers(target->number, target->part, section->section->number,
                         section->section->part) ||
           (section->former_number.len > 0 &&
            target_covers(target->number, target->part, section->former_number,
                          section->section->part));
}

static bool is_in_force(const LawTree *law, const TargetTree *target)
{
    for (uint32_t i = 0; i < law->section_count; i++) {
        if (is_cited(target, &law->sections[i])) {
            return true;
        }
    }
    return false;
}

static void answer_line(Arena *arena, const LawTree *law, CheckAnswer *answer)
{
    const TargetTree *targets = answer->line->targets;
    answer->sections = ARENA_ARRAY(arena, const SectionTreeInForce *, law->section_count + 1u);
    for (uint32_t i = 0; targets != NULL && i < law->section_count; i++) {
        bool cited = false;
        for (const TargetTree *at = targets; at != NULL && !cited; at = at->next) {
            cited = is_cited(at, &law->sections[i]);
        }
        if (cited) {
            answer->sections[answer->section_count++] = &law->sections[i];
        }
    }
    for (const TargetTree *at = targets; at != NULL && answer->missing == NULL; at = at->next) {
        answer->missing = is_in_force(law, at) ? NULL : at;
    }
}

const CheckAnswer *law_checklists(Arena *arena, const LawTree *law, uint32_t *count)
{
    *count = 0;
    for (uint32_t i = 0; i < law->level_count; i++) {
        for (const ChecklistTree *list = law->levels[i]->checklists; list != NULL;
             list = list->next) {
            for (const CheckLineTree *line = list->lines; line != NULL; line = line->next) {
                (*count)++;
            }
        }
    }
    CheckAnswer *answers = ARENA_ARRAY(arena, CheckAnswer, *count + 1u);
    uint32_t at = 0;
    for (uint32_t i = 0; i < law->level_count; i++) {
        for (const ChecklistTree *list = law->levels[i]->checklists; list != NULL;
             list = list->next) {
            for (const CheckLineTree *line = list->lines; line != NULL; line = line->next) {
                answers[at] = (CheckAnswer){.list = list, .line = line};
                answer_line(arena, law, &answers[at++]);
            }
        }
    }
    return answers;
}

bool answer_is_open(const CheckAnswer *answer)
{
    return answer->section_count == 0 && answer->line->omitted.len == 0 &&
           answer->line->official.len == 0;
}

/* ---- confirmations ---- */

static bool is_confirmed(const ConfirmedTree *confirmed, const SectionTreeInForce *section)
{
    for (const TargetTree *at = confirmed->targets; at != NULL; at = at->next) {
        if (is_cited(at, section)) {
            return true;
        }
    }
    return false;
}

const ConfirmedTree **section_confirmations(Arena *arena, const LawTree *law,
                                            const SectionTreeInForce *section, uint32_t *count)
{
    uint32_t most = 0;
    for (const ConfirmedTree *at = section->section->confirmed; at != NULL; at = at->next) {
        most++;
    }
    for (uint32_t i = 0; i < law->level_count; i++) {
        for (const ConfirmedTree *at = law->levels[i]->confirmed; at != NULL; at = at->next) {
            most++;
        }
    }
    const ConfirmedTree **list = ARENA_ARRAY(arena, const ConfirmedTree *, most + 1u);
    *count = 0;
    for (const ConfirmedTree *at = section->section->confirmed; at != NULL; at = at->next) {
        list[(*count)++] = at;
    }
    for (uint32_t i = 0; i < law->level_count; i++) {
        for (const ConfirmedTree *at = law->levels[i]->confirmed; at != NULL; at = at->next) {
            if (is_confirmed(at, section)) {
                list[(*count)++] = at;
            }
        }
    }
    return list;
}

/* ---- proofreading ---- */

static void note_near_number(Arena *arena, const LawTree *law, Diagnostics *diags, Diagnostic *diag,
                             Text number)
{
    Text *numbers = ARENA_ARRAY(arena, Text, law->section_count + 1u);
    for (uint32_t i = 0; i < law->section_count; i++) {
        numbers[i] = law->sections[i].section->number;
    }
    long nearest = text_nearest(number, numbers, law->section_count);
    if (nearest >= 0) {
        diagnostic_note(diags, diag, (Place){0}, "did you mean '%.*s'?",
                        TEXT_ARG(numbers[nearest]));
    }
}

static void not_in_force(Arena *arena, const LawTree *law, const TargetTree *target,
                         Diagnostics *diags)
{
    Diagnostic *diag = diagnostic_warning(
        diags, "cites no section in force", (Place){target->source, target->span},
        "no section '%.*s' is in force in %.*s on %.*s", TEXT_ARG(target->number),
        TEXT_ARG(law->jurisdiction->name->text), TEXT_ARG(date_print(arena, law->on)));
    note_near_number(arena, law, diags, diag, target->number);
}

static void check_list(Arena *arena, const LawTree *law, const ChecklistTree *list,
                       Diagnostics *diags)
{
    for (const CheckLineTree *line = list->lines; line != NULL; line = line->next) {
        if (line->targets == NULL && line->omitted.len == 0 && line->official.len == 0) {
            diagnostic_warning(diags, "line not covered", (Place){list->source, line->span},
                               "nothing answers the line '%.*s': say which sections do, or "
                               "why none does",
                               TEXT_ARG(line->title));
        }
        for (const TargetTree *at = line->targets; at != NULL; at = at->next) {
            if (!is_in_force(law, at)) {
                not_in_force(arena, law, at, diags);
            }
        }
    }
}

void checklists_proofread(Arena *arena, const LawTree *law, Diagnostics *diags)
{
    for (const ChecklistTree *list = law->jurisdiction->checklists; list != NULL;
         list = list->next) {
        check_list(arena, law, list, diags);
    }
    for (const ConfirmedTree *at = law->jurisdiction->confirmed; at != NULL; at = at->next) {
        for (const TargetTree *target = at->targets; target != NULL; target = target->next) {
            if (!is_in_force(law, target)) {
                not_in_force(arena, law, target, diags);
            }
        }
    }
}
