/* The library (all rule files read) and the law in force (one jurisdiction on one date). */
#ifndef LAW_LAW_H
#define LAW_LAW_H

#include "law/code.h"
#include "syntax/syntax.h"

/* ---- library ---- */

/* One path given with --rules: a library of its own. */
typedef struct Digest {
    Text path; /* as given; a directory's ends with a slash */
    uint32_t files;
    Text sha256; /* 64 hexadecimal digits, over each file in order of its path in the library:
                    that path, NUL, length in bytes in decimal digits, NUL, content */
} Digest;

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
    PlaceTree **places; /* by name */
    uint32_t place_count;
    const Map *needed; /* names of the jurisdictions whose codes are read; NULL: of all */
    const struct LibraryRoot *roots; /* the paths given, each a library of its own */
    uint32_t root_count;
} Library;

/* Parses files (directories are walked for *.shall; "-" is standard input) into one library,
 * resolves vocabularies, finds double definitions, unknown codes, cycles of `within`. Errors in
 * diags; always returns a library. */
Library *library_read(Arena *arena, Names *names, const char *const *paths, size_t count,
                      Diagnostics *diags);
/* The same for judging alone: worked examples are passed over unread. */
Library *library_read_law(Arena *arena, Names *names, const char *const *paths, size_t count,
                          Diagnostics *diags);
/* The same for the law of some jurisdictions and places: codes that none of them names are passed
 * over unread, and so are their errors. Everything when one of the venues is not known. */
Library *library_read_for(Arena *arena, Names *names, const char *const *paths, size_t count,
                          const Text *venues, size_t venue_count, Diagnostics *diags);
/* The same from sources in memory, in the order given. */
Library *library_of(Arena *arena, Names *names, const Source *const *sources, size_t count,
                    Diagnostics *diags);
const Vocabulary *library_vocabulary(const Library *library,
                                     const Name *name); /* NULL name: the only one */
const CodeTree *library_code(const Library *library, const Name *name, Text edition);
const JurisdictionTree *library_jurisdiction(const Library *library, Text name); /* NULL */
const PlaceTree *library_place(const Library *library, Text name);               /* NULL */
/* Of jurisdictions and places; "" when none is near. */
Text library_nearest_jurisdiction(const Library *library, Text name);
/* One for each path given, in that order; none of a library in memory. Reads every byte of every
 * file: to be asked when a report is to show them. */
const Digest *library_digests(Arena *arena, const Library *library, uint32_t *count);
Text bytes_sha256(Arena *arena, Text bytes); /* 64 hexadecimal digits */

/* ---- assembly: which text is in force, still as trees ---- */

typedef enum LinkVerb {
    LINK_ADOPTED,
    LINK_AMENDED,
    LINK_LIMIT,
    LINK_INSERTED,
    LINK_EXCEPTION, /* an exception put in, taken out or made anew */
    LINK_RENUMBERED
} LinkVerb;

/* One link of a citation's chain, outermost first. */
typedef struct Link {
    uint8_t verb;                         /* LinkVerb */
    const JurisdictionTree *jurisdiction; /* NULL in a code judged by itself */
    Text by;                              /* ordinance */
    Day from;
    Place place;
    const BlockTree *block; /* its act, with the other dates; NULL in a code by itself */
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

/* `for units where`: conditions chained by next, all of which must hold, or, negated, not all. */
typedef struct ScopeTree {
    const Expr *conditions;
    bool negated;
    const Source *source;                 /* of the conditions */
    const CodeTree *code;                 /* whose definitions they may use, and */
    const JurisdictionTree *jurisdiction; /* those of this one and its levels; NULL: of a code */
    const HolderTree *holder; /* a row of a place, NULL: of a text; what it says is whether the
                                 jurisdiction decides at all */
} ScopeTree;

/* One text of a section: a body, perhaps with limits replaced, for some permit dates. */
typedef struct TextTree {
    const BodyTree *body;
    const Source *source;                 /* of body */
    const JurisdictionTree *jurisdiction; /* that wrote the body and whose definitions it may use,
                                             besides the code's; NULL: the code wrote it */
    LimitChange *limits;                  /* each of another line */
    uint32_t limit_count;
    Day permitted_from;      /* for units permitted on or after; INT32_MIN: any */
    Day permitted_before;    /* and before; DAY_FOREVER: any */
    const ScopeTree *scopes; /* the units for which it stands: all of these hold */
    uint32_t scope_count;
    PermitTree exempt; /* not for units under permit before | on; PERMIT_ALL: none */
    const Link *chain;
    uint32_t chain_count;
    bool floor; /* kept beside a local text by `locally at least as strict` */
} TextTree;

/* The line with the limit that has replaced its own; the line itself when none has. */
LineTree line_in_force(Arena *arena, const TextTree *text, const LineTree *line);

typedef struct SectionTreeInForce {
    const SectionTree *section; /* number, part, heading, topic and standing */
    const CodeTree *code; /* whose standing and definitions it has; inserted: the code amended */
    const JurisdictionTree
        *jurisdiction; /* that inserted or last amended it; NULL: the code itself */
    TextTree *texts;   /* by permit date, then the floors. Floors apart, exactly one stands for each
                          review date (that of the law), permit date and unit of which the section
                          speaks, and none for any other: of texts whose permit dates overlap, each
                          has a condition among its scopes that another one has negated. Where the
                          code, its adoption or the section is for some units or permits only, or a
                          text is deleted for some (see `deleted`), none stands for the others. No
                          floor stands where the text in force is the floor's own */
    uint32_t text_count;
    const TextTree *deleted; /* by permit date: former texts, deleted for the units for which they
                                stood; the last link of the chain tells by whom */
    uint32_t deleted_count;
    const Name **readings; /* that govern in it, applied `in` it or in the whole code: of
                                    alternatives (of a text, or shared in the code) at most one */
    uint32_t reading_count;
    bool never_waived;
    Place never_waived_place; /* where that is said */
    Text former_number;       /* renumbered by an act: the number as first written; "" */
} SectionTreeInForce;

/* A section of a code in force that the jurisdiction or a level above deletes. */
typedef struct DeletedTree {
    const SectionTree *section;
    const CodeTree *code;
    Link link; /* who deletes it; its verb says nothing */
} DeletedTree;

/* A local act's change, or section of a local code, that a level above has displaced by the date. */
typedef struct DisplacedTree {
    const CodeTree *code;
    const ChangeTree *change;   /* of a section; NULL: a section of a code adopted locally */
    const SectionTree *section; /* of which it is, or which it inserts */
    Link local, by;             /* the act displaced, and the act that displaces it; by.from is the
                                   day from which it does, not that of the act */
} DisplacedTree;

/* `prevails over`: the sections of one code over those of the other, topic by topic. */
typedef struct PrecedenceTree {
    const CodeTree *winner, *loser;
    const Word *topics; /* dotted, each with all below it; NULL: every topic */
    Link link;
    Place place;
} PrecedenceTree;

/* A block of a level as it stands on the date: postponed, extended, suspended or repealed by other
 * acts, or one edition's of a rolling adoption. */
typedef struct ActTree {
    const JurisdictionTree *jurisdiction;
    const BlockTree *block;
} ActTree;

typedef struct LawTree {
    const PlaceTree *place;               /* in which the jurisdiction decides; NULL */
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
    SectionTreeInForce *sections; /* in order of code, then as written, inserted and renumbered
                                     ones after the section before them in number */
    uint32_t section_count;
    DeletedTree *deleted; /* in order of code, then as written */
    uint32_t deleted_count;
    DisplacedTree *displaced; /* in order of code, level, date in force, writing */
    uint32_t displaced_count;
    PrecedenceTree *precedences; /* in order of the winner's code, then as its changes */
    uint32_t precedence_count;
    Day on;              /* INT32_MIN: a code by itself */
    Day *events;         /* dates after `on` when the law changes, ascending */
    const ActTree *acts; /* that take effect on any day, in order of code, level, date */
    uint32_t event_count;
    uint32_t act_count;
    uint64_t steps; /* looks at a section while assembling, for tests: they
                                             grow linearly with sections and changes */
} LawTree;

/* The law of a jurisdiction on a date. Errors (orphans, ties, local changes of what may not be
 * amended, changes without a fate on that date) in diags. A change with an error is left out. */
LawTree *law_assemble(Arena *arena, const Library *library, const JurisdictionTree *jurisdiction,
                      Day on, Diagnostics *diags);
/* The same in a place: only the sections whose authority the jurisdiction holds there (and those
 * that name no authority), with the place's conditions among their scopes. An authority that the
 * place gives to nobody is an error. */
LawTree *law_assemble_in(Arena *arena, const Library *library, const PlaceTree *place,
                         const JurisdictionTree *jurisdiction, Day on, Diagnostics *diags);
/* The jurisdictions of a place, each once, in the order of its rows. */
const JurisdictionTree **place_jurisdictions(Arena *arena, const Library *library,
                                             const PlaceTree *place, uint32_t *count);
LawTree *law_of_code(Arena *arena, const Library *library, const CodeTree *code);
/* Checks a place without a spec: the law of each of its jurisdictions on every date on which it
 * changes, the authorities that its rows name, and that somebody decides in every case. Errors and
 * warnings in diags. */
void place_proofread(Arena *arena, const Library *library, const PlaceTree *place,
                     Diagnostics *diags);
/* Every review date on which anything in the jurisdiction's chain starts, ends, or splits by permit
 * date, ascending. */
Day *law_dates(Arena *arena, const Library *library, const JurisdictionTree *jurisdiction,
               uint32_t *count);
/* The last day on which a block of the jurisdiction itself begins, as acts leave it; INT32_MIN when
 * it has none. */
Day law_latest_block(Arena *arena, const Library *library, const JurisdictionTree *jurisdiction);
/* True when `target` names the section, one of its parts or one of its subdivisions; a target
 * without part (NULL) covers every part. */
bool target_covers(Text target_number, const Name *target_part, Text number, const Name *part);
/* ---- printed checklists and confirmations: checklist.c ---- */

/* A line of a checklist of a level of the law, with the sections in force that answer it. */
typedef struct CheckAnswer {
    const ChecklistTree *list;
    const CheckLineTree *line;
    const SectionTreeInForce **sections; /* each once, in order of the law */
    uint32_t section_count;
    const TargetTree *missing; /* the first section cited that is not in force; NULL */
} CheckAnswer;

/* Every line of every checklist, outermost level first. */
const CheckAnswer *law_checklists(Arena *arena, const LawTree *law, uint32_t *count);
/* Nothing answers it, nor does it say why nothing could. */
bool answer_is_open(const CheckAnswer *answer);
/* What offices have confirmed of the section's reading: its own `confirmed by`, then those of the
 * levels. */
const ConfirmedTree **section_confirmations(Arena *arena, const LawTree *law,
                                            const SectionTreeInForce *section, uint32_t *count);
/* Checks the checklists and confirmations of a jurisdiction under its law of that date: what names
 * no section in force, and lines that nothing answers. Warnings in diags. */
void checklists_proofread(Arena *arena, const LawTree *law, Diagnostics *diags);

/* Natural order of section numbers: runs of digits as numbers, "6-14.2" before "6-14.10". */
int number_order(Text a, Text b);

/* ---- the law, checked ---- */

typedef struct ScopeCode {
    const Code **conditions; /* of the unit: no item is bound */
    uint32_t count;
    bool negated;
    bool reads_review_date;
    uint32_t slots;
    uint32_t atom; /* of those of its section: two that say the same, negated or not, have one */
    const ScopeTree *tree;
} ScopeCode;

typedef struct TextInForce {
    const SectionText *readings; /* one per reading to be judged; one when there is none */
    uint32_t reading_count;
    const ScopeCode *scopes;
    uint32_t scope_count;
    const TextTree *tree;
    const JurisdictionTree *decides; /* whose it is, where law_unite joins several; else NULL */
} TextInForce;

typedef struct Section {
    const SectionTreeInForce *tree;
    Text number;
    Text former_number; /* before an ordinance renumbered it, while no other section of its code
                           has that number; "" */
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
    const ScopeCode **atoms; /* the conditions on units of its texts, each once */
    uint32_t atom_count;
    bool never_waived;
    const uint32_t *prevails; /* indices of the sections silent where this one applies */
    uint32_t prevail_count;
} Section;

/* Does a target of that number and part (NULL: every part) mean the section? What rested on the
 * number that it had rests on it still. */
bool section_answers(const Section *section, Text number, const Name *part);

/* A row of the law's place in which its jurisdiction is named. */
typedef struct Holding {
    const HolderTree *tree;
    const ScopeCode *scopes; /* all must hold: its own condition, and not those before it */
    uint32_t scope_count;
} Holding;

typedef struct Law {
    const LawTree *tree;
    const Vocabulary *vocabulary;
    Section *sections;
    uint32_t section_count;
    Worksheet *worksheets;
    uint32_t worksheet_count;
    const Holding *holdings; /* of a law in a place */
    uint32_t holding_count;
    uint32_t max_slots; /* the largest frame of any section or worksheet */
} Law;

/* Checks names, types, dimensions, tables and absence in every text of the law and compiles
 * it. Errors in diags (each once, whatever number of laws share the text); a law with errors is
 * not to be judged. Warnings of proofreading are added when `proofread` is true. */
Law *law_check(Arena *arena, const Library *library, const LawTree *tree, bool proofread,
               Diagnostics *diags);

/* The worksheet of that name, of the innermost level that has one, else of the first code: one for
 * each way in which it can be read, *count of them, together. NULL: there is none. */
const Worksheet *law_worksheet(const Law *law, const Name *name, uint32_t *count);

#endif
