/* What is compared: the law of a jurisdiction, or that of a place, which is made of the laws of the
 * jurisdictions that decide there. */
#include "command/compare_inner.h"
#include "report/cite.h"

bool operand_find(Comparer *comparer, Session *session, Text name, Operand *operand)
{
    Arena *arena = comparer->run->arena;
    const Library *library = session->rules.library;
    const JurisdictionTree *jurisdiction = library_jurisdiction(library, name);
    const PlaceTree *place = jurisdiction == NULL ? library_place(library, name) : NULL;
    const JurisdictionTree **list = &jurisdiction;
    uint32_t count = jurisdiction == NULL ? 0 : 1;
    *operand = (Operand){.name = name, .title = name};
    if (jurisdiction != NULL) {
        operand->title = jurisdiction_words(jurisdiction);
    } else if (place != NULL) {
        if (!rules_place_sound(comparer->run, &session->rules, place)) {
            comparer->status = worse_status(comparer->status, STATUS_BAD_INPUT);
            return false;
        }
        operand->title = place_title(place);
        list = place_jurisdictions(arena, library, place, &count);
    }
    operand->venues = ARENA_ARRAY(arena, Venue, count + 1);
    operand->venue_count = count;
    for (uint32_t i = 0; i < count; i++) {
        operand->venues[i] = (Venue){place, list[i]};
    }
    return true;
}

static bool refuse(Comparer *comparer)
{
    comparer->status = worse_status(comparer->status, STATUS_BAD_INPUT);
    return false;
}

/* All of a place's laws are written in one vocabulary. */
static bool has_one_vocabulary(Comparer *comparer, const Operand *operand, const Law *const *laws,
                               uint32_t count)
{
    for (uint32_t i = 1; i < count; i++) {
        if (laws[i]->vocabulary != laws[0]->vocabulary) {
            complain(comparer->run,
                     "the law of '%.*s' is written in two vocabularies, '%.*s' and '%.*s'",
                     TEXT_ARG(operand->name), TEXT_ARG(laws[0]->vocabulary->name->text),
                     TEXT_ARG(laws[i]->vocabulary->name->text));
            return refuse(comparer);
        }
    }
    return true;
}

static bool report_none(Comparer *comparer, Text name, Day on)
{
    complain(comparer->run, "no code is in force in '%.*s' on %.*s", TEXT_ARG(name),
             TEXT_ARG(date_print(comparer->run->arena, on)));
    return refuse(comparer);
}

bool operand_law(Comparer *comparer, Session *session, const Operand *operand, Day on,
                 Wanting wanting, const LawUnion **law)
{
    Arena *arena = comparer->run->arena;
    const Law **laws = ARENA_ARRAY(arena, const Law *, operand->venue_count + 1);
    uint32_t count = 0;
    *law = NULL;
    for (size_t i = 0; i < operand->venue_count; i++) {
        const Law *one = session_law(session, operand->venues[i], on);
        if (one == NULL) {
            return refuse(comparer);
        }
        if (one->vocabulary != NULL) {
            laws[count++] = one;
        } else if (wanting == WANT_ALL) {
            return report_none(comparer, operand->venues[i].jurisdiction->name->text, on);
        }
    }
    if (count == 0) {
        return wanting == WANT_ANY || report_none(comparer, operand->name, on);
    }
    if (!has_one_vocabulary(comparer, operand, laws, count)) {
        return false;
    }
    *law = law_unite(arena, laws, count);
    return true;
}
