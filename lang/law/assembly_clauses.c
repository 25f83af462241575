/* Clauses that rest on a section which a jurisdiction has deleted: an exception or its limit
 * granted `by` it, or a section that prevails `notwithstanding` it. Only what was deleted counts:
 * a citation of what the files never held is only a citation, and a section that is renumbered is
 * still there. */
#include "law/assembly.h"

static bool is_live(const SectionList *list, const Name *part)
{
    for (const SectionNode *node = list->exact; node != NULL; node = node->next) {
        if (node->state->deleted == NULL && section_is_hit(node->state, part)) {
            return true;
        }
    }
    return false;
}

static const Change *find_dead(const SectionList *list, const Name *part)
{
    for (const SectionNode *node = list->exact; node != NULL; node = node->next) {
        if (node->state->deleted != NULL && section_is_hit(node->state, part)) {
            return node->state->deleted;
        }
    }
    return NULL;
}

/* The deletion that took the section away, or NULL: the nearest number above it decides that is in
 * force or was deleted as a whole. */
static const Change *find_deletion(Assembly *assembly, const CodeState *code, Text number,
                                   const Name *part)
{
    for (size_t len = number.len; len > 0; len = number_cut(number, len)) {
        const SectionList *list = assembly_find_list(assembly, code, (Text){number.data, len});
        if (list == NULL) {
            continue;
        }
        const Name *asked = len == number.len ? part : NULL;
        if (is_live(list, asked)) {
            return NULL;
        }
        const Change *dead = len == number.len ? find_dead(list, asked) : NULL;
        if (dead != NULL || list->deletion != NULL) {
            return dead != NULL ? dead : list->deletion;
        }
    }
    return NULL;
}

static void check_clause(Assembly *assembly, const CodeState *code, Place place, Text number,
                         const Name *part)
{
    if (number.len == 0) {
        return;
    }
    assembly->steps++;
    const Change *deletion = find_deletion(assembly, code, number, part);
    if (deletion == NULL) {
        return;
    }
    Text words = number_words(assembly->arena, number, part);
    Diagnostic *diag =
        diagnostic_error(assembly->diags, "rests on a deleted section", place,
                         "%.*s is deleted, and this clause rests on it", TEXT_ARG(words));
    diagnostic_note(assembly->diags, diag, change_place(deletion), "'%.*s' deletes it here",
                    TEXT_ARG(deletion->jurisdiction->name->text));
}

static void check_texts(Assembly *assembly, const CodeState *code, const TextState *texts)
{
    for (; texts != NULL; texts = texts->next) {
        const ExceptionTree *exception =
            texts->deleted != NULL ? NULL : texts->tree.body->exceptions;
        for (; exception != NULL; exception = exception->next) {
            const Source *source =
                exception->source != NULL ? exception->source : texts->tree.source;
            check_clause(assembly, code, (Place){source, exception->by_span}, exception->by, NULL);
            for (const UnlessTree *unless = exception->unless; unless != NULL;
                 unless = unless->next) {
                check_clause(assembly, code, (Place){source, unless->by_span}, unless->by, NULL);
            }
        }
    }
}

void assembly_check_clauses(Assembly *assembly, const CodeState *code)
{
    for (const SectionState *state = code->first; state != NULL; state = state->next) {
        if (state->deleted != NULL || state->displaced) {
            continue;
        }
        check_texts(assembly, code, state->texts);
        check_texts(assembly, code, state->floors);
        const TargetTree *target = state->section->notwithstanding;
        for (; target != NULL; target = target->next) {
            check_clause(assembly, code, (Place){state->section->source, target->span},
                         target->number, target->part);
        }
    }
}
