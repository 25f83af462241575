/* What is true of each kind of change, said once: every kind has a row. */
#include "law/assembly.h"

static const ChangeTraits TRAITS[] = {
    [CHANGE_TO_READ] = {.has_fate = true, .for_some = true, .verb = LINK_AMENDED},
    [CHANGE_LIMIT] = {.has_fate = true, .for_some = true, .verb = LINK_LIMIT},
    [CHANGE_DELETE] = {.has_fate = true, .for_some = true, .verb = LINK_AMENDED},
    [CHANGE_INSERT] = {.has_fate = true, .for_some = true, .verb = LINK_INSERTED},
    [CHANGE_EXCEPTION_TO_READ] = {.has_fate = true, .for_some = true, .verb = LINK_EXCEPTION},
    [CHANGE_EXCEPTION_DELETE] = {.has_fate = true, .for_some = true, .verb = LINK_EXCEPTION},
    [CHANGE_EXCEPTION_INSERT] = {.has_fate = true, .for_some = true, .verb = LINK_EXCEPTION},
    [CHANGE_RENUMBER] = {.has_fate = true, .verb = LINK_RENUMBERED},
    [CHANGE_APPLIES_READING] = {.declares = true, .verb = LINK_AMENDED},
    [CHANGE_LOCAL_FLOOR] = {.declares = true, .verb = LINK_AMENDED},
    [CHANGE_NO_LOCAL] = {.declares = true, .verb = LINK_AMENDED},
    [CHANGE_NO_WAIVER] = {.declares = true, .verb = LINK_AMENDED},
    [CHANGE_PREEMPTS] = {.verb = LINK_AMENDED},
    [CHANGE_PREVAILS] = {.verb = LINK_AMENDED},
    [CHANGE_FOR_UNITS] = {.for_some = true, .verb = LINK_AMENDED},
    [CHANGE_REPEALS] = {.verb = LINK_AMENDED},
    [CHANGE_EXTENDS] = {.verb = LINK_AMENDED},
    [CHANGE_POSTPONES] = {.verb = LINK_AMENDED},
};

_Static_assert(sizeof TRAITS / sizeof *TRAITS == CHANGE_POSTPONES + 1, "a row for each kind");

const ChangeTraits *change_traits(const ChangeTree *change)
{
    return &TRAITS[change->kind];
}
