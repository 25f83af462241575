/* What the two files of acts on acts share: assembly_acts finds who acts on whom and in what order,
 * assembly_repeals does it. Nobody else includes this. */
#ifndef LAW_ASSEMBLY_ACTS_H
#define LAW_ASSEMBLY_ACTS_H

#include "law/assembly.h"

typedef struct Action {
    const ChangeTree *change;
    BlockRef *by;
    struct Act *doer;
    struct Act *target; /* NULL: there is no such act */
    bool left_out;      /* part of a circle */
    struct Action *next_incoming;
    struct Action *next_outgoing;
} Action;

typedef struct UnitNode {
    ChangeUnit *unit;
    struct UnitNode *next;
} UnitNode;

/* Every block of one code that names the same ordinance. */
typedef struct Act {
    const Name *name;
    BlockRef *blocks;
    BlockRef **blocks_end;
    Action *incoming;
    Action *outgoing;
    Action **outgoing_end;
    uint32_t pending; /* incoming actions of acts that are not settled */
    bool settled;
    uint32_t walk;  /* the last search for a circle that came by */
    Map *by_number; /* Name -> UnitNode: units under their number and those above it; NULL */
    struct Act *next;
    struct Act *next_ready;
} Act;

/* assembly_acts.c */

Place action_place(const Action *action);
/* Where the act is named that the block is of. */
Place act_place(const BlockRef *ref);
/* Errors belong to the law from the day on which the act is in force. */
bool action_is_told(const Assembly *assembly, const Action *action);

/* assembly_repeals.c: all acts that act on the target are settled, and come in order of day. */

void act_extend(Assembly *assembly, const Action *action);
void act_postpone(Assembly *assembly, const Action *action);
void act_repeal(Assembly *assembly, const Action *action);

#endif
