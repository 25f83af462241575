/* What the files of the assembly share: codes, sections and texts while changes are applied to
 * them. Nobody else includes this. */
#ifndef LAW_ASSEMBLY_H
#define LAW_ASSEMBLY_H

#include "law/law.h"

/* Days on which something is out of force, both included. */
typedef struct Gap {
    Day from, until;
    struct Gap *next; /* by first day */
} Gap;

/* One section of a change, apart because an act repeals it alone. */
typedef struct ChangeUnit {
    const ChangeTree *change;
    const TargetTree *target; /* NULL: the section that it inserts */
    struct BlockRef *block;
    Day from;     /* not before its block's; suspended before it began: later */
    Day repealed; /* DAY_FOREVER */
    Place repealed_place;
    Gap *gaps;
    struct ChangeUnit *next; /* in order of writing */
} ChangeUnit;

/* A block of a level, with what other acts of the level make of its dates. */
typedef struct BlockRef {
    const BlockTree *block;   /* as it stands on the date */
    const BlockTree *written; /* of a rolling adoption: one edition's */
    const JurisdictionTree *jurisdiction;
    uint32_t level;
    uint32_t order; /* in the jurisdiction */
    Day said;       /* the first day by its own words */
    Day from;       /* as it is postponed, or suspended before it began */
    Day until;      /* as it is extended, whatever repeals it */
    Place until_place;
    Day repealed; /* DAY_FOREVER; not after `from`: it never takes effect */
    Place repealed_place;
    Gap *gaps;         /* while it is suspended */
    ChangeUnit *units; /* NULL: no act repeals a part of it */
    struct BlockRef *next_of_act;
} BlockRef;

enum { SECTION_TEXTS_MAX = 256 };

/* One change that takes effect on the date, with the block and level it comes from. */
typedef struct Change {
    const ChangeTree *tree;
    const BlockTree *block;
    const JurisdictionTree *jurisdiction;
    uint32_t level;
    bool carried;            /* from an edition that has given way */
    const ScopeTree *inside; /* the units for which it is made; NULL: all. Set when it is applied */
    const ScopeTree *outside; /* its negation */
    struct Change *next;
} Change;

/* A link of a chain with its level; `before` leads to the one it follows, so that the texts of
 * a section share what they have in common. */
typedef struct ChangeLink {
    Link link;
    uint32_t level;
    uint32_t order; /* in which the links were made */
    const struct ChangeLink *before;
} ChangeLink;

typedef struct TextState {
    TextTree tree;           /* all but its chain */
    const ChangeLink *links; /* the last one; NULL: as the code has it */
    const ChangeLink *words; /* that made it read as it does: not a renumbering; NULL: the code */
    uint32_t level;          /* floors: the level that keeps it */
    const Change *deleted;   /* for its units, while others keep a text; NULL */
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
    const Change *deleted;          /* NULL while in force */
    const Change *guard;            /* outermost `not to be amended locally` without `from` */
    const Change *dated;            /* of those with `from`, the one whose day comes first */
    const Change *waiver;           /* outermost `not to be waived` */
    const Change *displacing;       /* the last change of it that a level above has displaced */
    const Change *floor;            /* innermost `locally at least as strict` that binds */
    const Change *declared_floor;   /* of the level that makes its changes: binds those below */
    const Change *kept;             /* the floor whose text is among `floors` */
    Applied *applied;               /* readings applied `in` it */
    Text former_number;             /* as written, of one that is renumbered; "" */
    bool displaced;                 /* by a level above: found, but not in force */
    bool inserted;                  /* stands by its number: inserted, or renumbered */
    uint32_t order;                 /* as written; then as inserted */
    struct SectionNode *nodes;      /* under which it is found, now and formerly */
    struct SectionState *next;      /* in that order */
    struct SectionState *followers; /* inserted ones that stand after it */
    struct SectionState *next_follower;
} SectionState;

typedef struct SectionNode {
    SectionState *state;
    const Change *gone; /* renumbered away from here by this */
    bool shadow;        /* a number that it would have, were its renumbering not displaced */
    struct SectionNode *next;
    struct SectionNode *of_state;
} SectionNode;

/* What is found under a number, deleted sections too, in the order in which they came. */
typedef struct SectionList {
    const Name *number;
    SectionNode *exact; /* sections of this number */
    SectionNode **exact_end;
    SectionNode *covered; /* these and their subdivisions */
    SectionNode **covered_end;
    Change *deletion;                     /* of the number with all parts; so, too: */
    const Change *guard, *dated, *waiver; /* as of a section */
    const TargetTree *reserved;           /* where the code holds it free */
} SectionList;

/* A code in force. */
typedef struct CodeState {
    const CodeTree *code;
    const BlockTree **adoptions; /* by level: the block that adopts this edition, or NULL */
    Day from;
    Change *changes;             /* in order of level, date in force, writing */
    const Change *guard, *dated; /* as of a section, of all of them */
    bool has_waivers;            /* of numbers */
    Map *by_number;              /* number or what is left of it at a cut -> SectionList */
    Applied *applied;            /* readings applied in the whole code */
    Map *applied_by_name;        /* Name -> the last Applied of the whole code */
    const Name **shared;         /* that govern among the readings the code shares */
    uint32_t shared_count;
    SectionState *first;
    SectionState *last;
    uint32_t section_count; /* deleted ones too */
} CodeState;

/* `preempts local law on`, in force on the date. */
typedef struct Preemption {
    const Change *change;
    struct Preemption *next;
} Preemption;

typedef struct Displaced {
    DisplacedTree tree;
    struct Displaced *next;
} Displaced;

typedef struct Assembly {
    Arena *arena;
    Names *names; /* section numbers; the library's own names are left alone */
    const Library *library;
    Diagnostics *diags;
    const JurisdictionTree **levels; /* outermost first */
    uint32_t level_count;
    Day on;
    BlockRef *blocks; /* that ever take effect, in order of code, level, date, writing */
    uint32_t block_count;
    CodeState *codes; /* by name */
    uint32_t code_count;
    Preemption *preemptions;
    Displaced *displaced;
    Displaced **displaced_end;
    uint32_t displaced_count;
    uint32_t link_count;
    uint64_t steps;
} Assembly;

/* assembly_number.c */

/* Length of the next shorter prefix at a cut ("5-401.11(A)", "5-401.11", "5-401", "5"), 0 when
 * there is none. */
size_t number_cut(Text number, size_t length);
/* "'6-14.2(B)'", "'114259.2' part size" */
Text number_words(Arena *arena, Text number, const Name *part);

/* assembly_blocks.c */

/* Finds the blocks of all levels, rolling adoptions one for each edition, with the dates that acts
 * on acts leave them. */
void assembly_find_blocks(Assembly *assembly);
/* The first day from `from` on that is in none of the gaps; DAY_FOREVER: none. */
Day gaps_first_day(const Gap *gaps, Day from);

/* The last day in force, suspended or not; DAY_FOREVER. */
Day block_last_day(const BlockRef *ref);

/* assembly_acts.c */

/* What the acts of one level do to each other's blocks of one code: repeal, extend, postpone. */
void assembly_settle_acts(Assembly *assembly, BlockRef *refs, uint32_t count);
bool change_is_of_act(const ChangeTree *change); /* repeals, extends, postpones */

/* assembly_editions.c */

/* Finds the codes in force, their editions, and the changes that take effect in each. */
void assembly_find_codes(Assembly *assembly);

/* assembly_target.c */

SectionState *assembly_add_section(Assembly *assembly, CodeState *code, SectionState *state);
/* Finds the section under its present number from now on; its former one is gone by the change. */
void assembly_move_section(Assembly *assembly, CodeState *code, SectionState *state,
                           const Change *change);
/* Finds the section under the number as well, if nothing in force has it. */
void assembly_shadow_section(Assembly *assembly, CodeState *code, SectionState *state, Text number);
/* Notes the numbers that the code holds free. */
void assembly_reserve(Assembly *assembly, CodeState *code);
/* What stands under a number; NULL when nothing ever did. */
SectionList *assembly_find_list(Assembly *assembly, const CodeState *code, Text number);
/* The first node, from this one on, of a section in force under its own number; NULL. */
const SectionNode *node_in_force(const SectionNode *node);
/* True of a section that is displaced, or would be found there but for a displaced act. */
bool node_is_shadow(const SectionNode *node);
/* True when a target of that part hits the section. */
bool section_is_hit(const SectionState *state, const Name *part);
/* The number that a target means in the edition in force. */
Text target_number(const Change *change, const TargetTree *target);
/* The one section in force that the target names, else one displaced; NULL after an error. */
SectionState *assembly_find_one(Assembly *assembly, const CodeState *code, const Change *change,
                                const TargetTree *target);
/* The target hits nothing that is in force. */
void assembly_report_missing(Assembly *assembly, const CodeState *code, const Change *change,
                             const TargetTree *target);
Place change_place(const Change *change);
Place section_place(const SectionTree *section);

/* assembly_texts.c */

/* A text that came into force on the day `came`, for the permit dates that its body names. */
TextState *assembly_make_text(Assembly *assembly, const BodyTree *body, const Source *source,
                              const JurisdictionTree *jurisdiction, Day came);
/* A later link of the chain of a text. */
const ChangeLink *assembly_link(Assembly *assembly, const Change *change, LinkVerb verb,
                                const ChangeLink *before);
/* The new text stands for its permit dates and units; the former ones keep the others. Here and
 * below false after an error: there would be too many texts. */
bool assembly_replace_texts(Assembly *assembly, SectionState *state, const Change *change);
/* No text stands from now on for the units of the change. */
bool assembly_leave_texts(Assembly *assembly, SectionState *state, const Change *change);
/* True of a text that the change is made in: one not known to be for other units only. */
bool text_is_touched(const TextState *text, const Change *change);
/* Copies of the texts, each that is touched twice where the change is for some units only: once
 * for them, and once for the others. */
bool assembly_split_texts(Assembly *assembly, const SectionState *state, const Change *change,
                          TextState **out);
/* True of a text in force all of whose units are those of the change. */
bool text_is_inside(const TextState *text, const Change *change);
/* Before a level changes a section of which an upper one says `locally at least as strict`. */
void assembly_keep_floor(Assembly *assembly, SectionState *state, const Change *change);
/* The floor that binds a level, NULL when none does. */
const Change *section_floor(SectionState *state, uint32_t level);
/* The floors where and for whom the local law has another text, chained. */
TextState *assembly_find_floors(Assembly *assembly, const SectionState *state);

/* assembly_scopes.c */

/* Finds for which units each change is made; takes out, with an error, what cannot be said for some
 * units only. */
void assembly_scope_changes(Assembly *assembly, CodeState *code);
/* Those of a section as written in its code, added to its text. */
void assembly_scope_section(Assembly *assembly, const CodeState *code, TextState *text);
/* What the code and its adoptions by the outer `level_count` levels say of all its texts. */
ScopeTree *assembly_code_scopes(Assembly *assembly, const CodeState *code, uint32_t level_count,
                                uint32_t *count);
void text_add_scope(Assembly *assembly, TextState *text, const ScopeTree *scope);
/* True when the first conditions of `a` are those of `b`, whatever is negated. */
bool scope_starts(const ScopeTree *a, const ScopeTree *b);
bool scope_same(const ScopeTree *a, const ScopeTree *b);

/* assembly_guard.c */

/* False after an error, or when a level above displaces the change, which is then listed. */
bool assembly_may_change(Assembly *assembly, const CodeState *code, SectionState *state,
                         const Change *change);
/* The same of a section under a number that the change brings in. True with *displaced set when
 * that displaces the change, which is not listed. */
bool assembly_may_bring(Assembly *assembly, const CodeState *code, const SectionTree *section,
                        const Change *change, const Change **displaced);
/* Two acts of one day and level, of which neither comes first. */
bool change_is_tie(const Change *first, const Change *second);
void assembly_report_tie(Assembly *assembly, const SectionTree *section, const Change *first,
                         const Change *second);
/* The later of two changes by one block undoes the earlier. */
void assembly_report_undone(Assembly *assembly, const SectionTree *section, Place first,
                            const Change *second);
/* Keeps the section, else the number, else (both NULL) the whole code. */
void assembly_guard(Assembly *assembly, CodeState *code, SectionList *list, SectionState *state,
                    const Change *change);

/* assembly_preempt.c */

/* Finds what preempts local law on the date, in all codes. */
void assembly_find_preemptions(Assembly *assembly);
/* What preempts law of that level on that topic (NULL: none); NULL. */
const Change *assembly_preempted(Assembly *assembly, const Name *topic, uint32_t level);
/* Takes sections of a code that only lower levels adopt out. */
void assembly_preempt_code(Assembly *assembly, CodeState *code);
/* Lists a change that `by` displaces. */
void assembly_displace(Assembly *assembly, const CodeState *code, SectionState *state,
                       const Change *change, const Change *by);
void assembly_put_displaced(Assembly *assembly, LawTree *law);
/* `prevails over`: between codes that are both in force. */
void assembly_put_precedences(Assembly *assembly, LawTree *law);

/* assembly_kind.c */

typedef struct ChangeTraits {
    bool has_fate; /* of a section: when the edition gives way it carries over or lapses */
    bool for_some; /* may be made for some units only */
    bool declares; /* takes effect when the level has made its changes */
    uint8_t verb;  /* LinkVerb, in the chain of what it changes */
} ChangeTraits;

const ChangeTraits *change_traits(const ChangeTree *change);

/* assembly_changes.c */

void assembly_apply_changes(Assembly *assembly, CodeState *code);
void assembly_record(Assembly *assembly, SectionState *state, const Change *change);

/* assembly_insert.c */

void assembly_insert(Assembly *assembly, CodeState *code, const Change *change);
void assembly_renumber(Assembly *assembly, CodeState *code, const Change *change);
/* Warns of subdivisions that keep the number of a section which one of the changes, up to `end`,
 * renumbers. */
void assembly_check_renumbered(Assembly *assembly, const CodeState *code, const Change *changes,
                               const Change *end);

/* assembly_exception.c */

/* Changes an exception in every text of the section, or in none after an error. */
bool assembly_change_exception(Assembly *assembly, SectionState *state, const Change *change);

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

/* The days after `after` on which the law may change, ascending. */
Day *assembly_dates(const Assembly *assembly, Day after, uint32_t *count);

#endif
