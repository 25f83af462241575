/* The library (all rule files read) and the law in force (one jurisdiction on one date). */
#ifndef LAW_LAW_H
#define LAW_LAW_H

#include "law/code.h"
#include "syntax/syntax.h"

/* ---- library ---- */

typedef struct Library {
    Arena *arena;
    Names *names;
    FileTree *files; /* in order of path, whatever the order they were given in */
    Vocabulary **vocabularies;
    uint32_t vocabulary_count;
    CodeTree **codes; /* by name, then edition */
    uint32_t code_count;
    JurisdictionTree **jurisdictions; /* by name */
    uint32_t jurisdiction_count;
} Library;

/* Parses files (directories are walked for *.shall; "-" is standard input) into one library,
 * resolves vocabularies, finds double definitions, unknown codes, cycles of `within`. Errors in
 * diags; always returns a library. */
Library *library_read(Arena *arena, Names *names, const char *const *paths, size_t count,
                      Diagnostics *diags);
/* The same for judging alone: worked examples are passed over unread. */
Library *library_read_law(Arena *arena, Names *names, const char *const *paths, size_t count,
                          Diagnostics *diags);
/* The same from sources in memory, in the order given. */
Library *library_of(Arena *arena, Names *names, const Source *const *sources, size_t count,
                    Diagnostics *diags);
const Vocabulary *library_vocabulary(const Library *library,
                                     const Name *name); /* NULL name: the only one */
const CodeTree *library_code(const Library *library, const Name *name, Text edition);
const JurisdictionTree *library_jurisdiction(const Library *library, Text name); /* NULL */
Text library_nearest_jurisdiction(const Library *library, Text name);            /* "" */

/* ---- assembly: which text is in force, still as trees ---- */

typedef enum LinkVerb { LINK_ADOPTED, LINK_AMENDED, LINK_LIMIT, LINK_INSERTED } LinkVerb;

/* One link of a citation's chain, outermost first. */
typedef struct Link {
    uint8_t verb;                         /* LinkVerb */
    const JurisdictionTree *jurisdiction; /* NULL in a code judged by itself */
    Text by;                              /* ordinance */
    Day from;
    Place place;
} Link;

/* The right side of one comparison line, replaced. */
typedef struct LimitChange {
    const Name *label;    /* as the change names it; NULL: the one comparison line */
    const LineTree *line; /* of the body, perhaps of a substituting exception */
    Expr *limit;
    const Source *source;
    const JurisdictionTree
        *jurisdiction; /* whose definitions the limit may use, besides the code's */
    const BlockTree *block;
    Span span;
} LimitChange;

/* One text of a section: a body, perhaps with limits replaced, for some permit dates. */
typedef struct TextTree {
    const BodyTree *body;
    const Source *source;                 /* of body */
    const JurisdictionTree *jurisdiction; /* that wrote the body and whose definitions it may use,
                                             besides the code's; NULL: the code wrote it */
    LimitChange *limits;                  /* each of another line */
    uint32_t limit_count;
    Day permitted_from;   /* for units permitted on or after; INT32_MIN: any */
    Day permitted_before; /* and before; DAY_FOREVER: any */
    PermitTree exempt;    /* not for units under permit before | on; PERMIT_ALL: none */
    const Link *chain;
    uint32_t chain_count;
    bool floor; /* kept beside a local text by `locally at least as strict` */
} TextTree;

typedef struct SectionTreeInForce {
    const SectionTree *section; /* number, part, heading, topic and standing */
    const CodeTree *code; /* whose standing and definitions it has; inserted: the code amended */
    const JurisdictionTree
        *jurisdiction; /* that inserted or last amended it; NULL: the code itself */
    TextTree *texts;   /* by permit date, then the floors; floors apart, one for each
                                    permit date, or none where the code itself has none */
    uint32_t text_count;
    const Name **readings; /* that govern in it, applied `in` it or in the whole code: of
                                    alternatives (of a text, or shared in the code) at most one */
    uint32_t reading_count;
} SectionTreeInForce;

/* A section of a code in force that the jurisdiction or a level above deletes. */
typedef struct DeletedTree {
    const SectionTree *section;
    const CodeTree *code;
    Link link; /* who deletes it; its verb says nothing */
} DeletedTree;

typedef struct LawTree {
    const JurisdictionTree *jurisdiction; /* NULL: a code by itself */
    const JurisdictionTree **levels;      /* outermost first */
    uint32_t level_count;
    const CodeTree **codes;
    Day *code_from;
    uint32_t code_count;
    const Name **readings;          /* applied in a whole code; of alternatives the last one
                                             governs */
    const CodeTree **reading_codes; /* in which code each is */
    uint32_t reading_count;
    SectionTreeInForce *sections; /* in order of code, then as written, inserted ones after
                                             the section before them in number */
    uint32_t section_count;
    DeletedTree *deleted; /* in order of code, then as written */
    uint32_t deleted_count;
    Day on;      /* INT32_MIN: a code by itself */
    Day *events; /* dates after `on` when the law changes, ascending */
    uint32_t event_count;
    uint64_t steps; /* looks at a section while assembling, for tests: they
                                             grow linearly with sections and changes */
} LawTree;

/* The law of a jurisdiction on a date. Errors (orphans, ties, local changes of what may not be
 * amended, changes without a fate on that date) in diags. A change with an error is left out. */
LawTree *law_assemble(Arena *arena, const Library *library, const JurisdictionTree *jurisdiction,
                      Day on, Diagnostics *diags);
LawTree *law_of_code(Arena *arena, const Library *library, const CodeTree *code);
/* Every review date on which anything in the jurisdiction's chain starts, ends, or splits by permit
 * date, ascending. */
Day *law_dates(Arena *arena, const Library *library, const JurisdictionTree *jurisdiction,
               uint32_t *count);
/* True when `target` names the section, one of its parts or one of its subdivisions; a target
 * without part (NULL) covers every part. */
bool target_covers(Text target_number, const Name *target_part, Text number, const Name *part);

/* ---- the law, checked ---- */

typedef struct TextInForce {
    const SectionText *readings; /* one per reading to be judged; one when there is none */
    uint32_t reading_count;
    const TextTree *tree;
} TextInForce;

typedef struct Section {
    const SectionTreeInForce *tree;
    Text number;
    const Name *part;
    Text heading;
    const Topic *topic; /* NULL after an error */
    Text rank;
    const Name *authority; /* NULL */
    bool advises;
    uint8_t stages; /* bit set; at least one */
    uint8_t rework;
    const TextInForce *texts;
    uint32_t text_count;
    const uint32_t *prevails; /* indices of the sections silent where this one applies */
    uint32_t prevail_count;
} Section;

typedef struct Law {
    const LawTree *tree;
    const Vocabulary *vocabulary;
    Section *sections;
    uint32_t section_count;
    Worksheet *worksheets;
    uint32_t worksheet_count;
    uint32_t max_slots; /* the largest frame of any section or worksheet */
} Law;

/* Checks names, types, dimensions, tables and absence in every text of the law and compiles
 * it. Errors in diags (each once, whatever number of laws share the text); a law with errors is
 * not to be judged. Warnings of proofreading are added when `proofread` is true. */
Law *law_check(Arena *arena, const Library *library, const LawTree *tree, bool proofread,
               Diagnostics *diags);

#endif
