/* What the files of the assembly share: codes, sections and texts while changes are applied to
 * them. Nobody else includes this. */
#ifndef LAW_ASSEMBLY_H
#define LAW_ASSEMBLY_H

#include "law/law.h"

/* One change that takes effect on the date, with the block and level it comes from. */
typedef struct Change {
    const ChangeTree *tree;
    const BlockTree *block;
    const JurisdictionTree *jurisdiction;
    uint32_t level;
    bool carried; /* from an edition that has given way */
    struct Change *next;
} Change;

/* A link of a chain with its level; `before` leads to the one it follows, so that the texts of
 * a section share what they have in common. */
typedef struct ChangeLink {
    Link link;
    uint32_t level;
    const struct ChangeLink *before;
} ChangeLink;

typedef struct TextState {
    TextTree tree;           /* all but its chain */
    const ChangeLink *links; /* the last one; NULL: as the code has it */
    uint32_t level;          /* floors: the level that keeps it */
    struct TextState *next;  /* by permit date */
} TextState;

typedef struct History { /* changes of one section, the last one first */
    const Change *change;
    const struct History *before;
} History;

typedef struct Applied { /* a reading that is applied */
    const Change *change;
    struct Applied *next; /* in order of level, date in force, writing */
} Applied;

typedef struct SectionState {
    const SectionTree *section;
    const JurisdictionTree *jurisdiction; /* that inserted or last changed it */
    TextState *texts;
    TextState *floors;
    const History *history;
    const Change *deleted; /* NULL while in force */
    const Change *guard;   /* outermost `not to be amended locally` */
    const Change *floor;   /* innermost `locally at least as strict` */
    const Change *kept;    /* the floor whose text is among `floors` */
    Applied *applied;      /* readings applied `in` it */
    bool inserted;
    uint32_t order;                 /* as written; then as inserted */
    struct SectionState *next;      /* in that order */
    struct SectionState *followers; /* inserted ones that stand after it */
    struct SectionState *next_follower;
} SectionState;

typedef struct SectionNode {
    SectionState *state;
    struct SectionNode *next;
} SectionNode;

/* What is found under a number, deleted sections too, in the order in which they came. */
typedef struct SectionList {
    const Name *number;
    SectionNode *exact; /* sections of this number */
    SectionNode **exact_end;
    SectionNode *covered; /* these and their subdivisions */
    SectionNode **covered_end;
    Change *deletion; /* of the number with all parts */
    Change *guard;    /* outermost `not to be amended locally` of it */
} SectionList;

/* A code in force. */
typedef struct CodeState {
    const CodeTree *code;
    const BlockTree **adoptions; /* by level: the block that adopts this edition, or NULL */
    Day from;
    Change *changes;      /* in order of level, date in force, writing */
    Map *by_number;       /* number or what is left of it at a cut -> SectionList */
    Applied *applied;     /* readings applied in the whole code */
    Map *applied_by_name; /* Name -> the last Applied of the whole code */
    const Name **shared;  /* that govern among the readings the code shares */
    uint32_t shared_count;
    SectionState *first;
    SectionState *last;
    uint32_t section_count; /* deleted ones too */
} CodeState;

typedef struct Assembly {
    Arena *arena;
    Names *names; /* section numbers; the library's own names are left alone */
    const Library *library;
    Diagnostics *diags;
    const JurisdictionTree **levels; /* outermost first */
    uint32_t level_count;
    Day on;
    CodeState *codes; /* by name */
    uint32_t code_count;
    uint64_t steps;
} Assembly;

/* assembly_number.c */

/* Length of the next shorter prefix at a cut ("5-401.11(A)", "5-401.11", "5-401", "5"), 0 when
 * there is none. */
size_t number_cut(Text number, size_t length);
/* "'6-14.2(B)'", "'114259.2' part size" */
Text number_words(Arena *arena, Text number, const Name *part);

/* assembly_editions.c */

/* Finds the codes in force, their editions, and the changes that take effect in each. */
void assembly_find_codes(Assembly *assembly);

/* assembly_target.c */

TextState *assembly_make_text(Assembly *assembly, const BodyTree *body, const Source *source,
                              const JurisdictionTree *jurisdiction);
SectionState *assembly_add_section(Assembly *assembly, CodeState *code, SectionState *state);
/* What stands under a number; NULL when nothing ever did. */
SectionList *assembly_find_list(Assembly *assembly, const CodeState *code, Text number);
/* True when a target of that part hits the section. */
bool section_is_hit(const SectionState *state, const Name *part);
/* The number that a target means in the edition in force. */
Text target_number(const Change *change, const TargetTree *target);
/* The one section in force that the target names; NULL after an error. */
SectionState *assembly_find_one(Assembly *assembly, const CodeState *code, const Change *change,
                                const TargetTree *target);
/* The target hits nothing that is in force. */
void assembly_report_missing(Assembly *assembly, const CodeState *code, const Change *change,
                             const TargetTree *target);
Place change_place(const Change *change);
Place section_place(const SectionTree *section);

/* assembly_changes.c */

void assembly_apply_changes(Assembly *assembly, CodeState *code);
/* A later link of the chain of a text. */
const ChangeLink *assembly_link(Assembly *assembly, const Change *change, LinkVerb verb,
                                const ChangeLink *before);

/* assembly_limit.c */

/* Replaces a limit in every text of the section. Each text must have exactly one line that the
 * change can mean; otherwise an error, and nothing is changed. */
bool assembly_change_limit(Assembly *assembly, SectionState *state, const Change *change);

/* assembly_clauses.c */

/* Finds clauses that rest on deleted sections. */
void assembly_check_clauses(Assembly *assembly, const CodeState *code);

/* assembly_readings.c */

/* Which readings govern in the whole code; finds readings applied that the code does not have. */
void assembly_find_readings(Assembly *assembly, CodeState *code);
/* The readings that govern in a section, at most one of each set. */
const Name **assembly_choose_readings(Assembly *assembly, const CodeState *code,
                                      const SectionState *state, uint32_t *count);

/* assembly_dates.c */

Day *assembly_dates(Arena *arena, const Library *library, const JurisdictionTree *const *levels,
                    uint32_t level_count, Day after, uint32_t *count);

#endif
