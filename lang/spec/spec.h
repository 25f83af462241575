/* A build spec, read into the slots of its vocabulary, each fact with its place in the file.
 * YAML and JSON come through one door, worked examples through the same one. */
#ifndef SPEC_SPEC_H
#define SPEC_SPEC_H

#include "law/value.h"

typedef enum FactState { FACT_UNSTATED, FACT_NONE, FACT_STATED } FactState;
typedef enum FactSource {
    SOURCE_UNSAID,
    SOURCE_DRAWING,
    SOURCE_CUT_SHEET,
    SOURCE_MEASURED,
    SOURCE_PROMISED
} FactSource;

typedef struct Provenance {
    uint8_t source; /* FactSource */
    Text sheet;     /* "" */
    Text item;      /* "" */
} Provenance;

typedef struct Fact {
    Value value;      /* stated: the value; waits are NULL here, judge/ adds what is waited for */
    const Unit *unit; /* as written; NULL */
    const Provenance *provenance; /* NULL */
    Span span;                    /* of the value; of the key when unstated is written out */
    uint8_t state;                /* FactState */
    bool inexact;                 /* a range wider than a point: measured, or a partial date */
} Fact;

/* One record of the spec; the unit itself is an item with no parent. */
struct Item {
    const Record *record;
    const Item *parent; /* NULL: the unit */
    const Field *field; /* of parent, through which it is reached */
    uint32_t index;     /* in the parent's list, from 0 */
    bool in_list;
    bool phantom; /* stands for an item that is not stated: it has no facts */
    Text key;     /* its key's text, or "" */
    Span span;
    const Source *source;
    Fact *facts; /* by Field.index; NULL for a phantom */
};

typedef struct Permit {
    Text jurisdiction;
    Day first, last; /* a partial date is a range of days */
    Place place;
} Permit;

typedef struct ItemPick { /* items a variance or decision speaks of */
    Text name;
    Place place;
    struct ItemPick *next;
} ItemPick;

typedef enum DecisionKind {
    DECISION_VARIANCE,
    DECISION_APPROVED,
    DECISION_REFUSED,
    DECISION_APPROVAL
} DecisionKind;

/* A variance, a decision or a named approval, as recorded. */
typedef struct Decision {
    uint8_t kind;    /* DecisionKind */
    Text section;    /* "" for an approval not tied to one */
    Text code;       /* variances, decisions: only of that code; "": of any */
    Text part, line; /* "" unsaid */
    Text of;         /* approvals: what is approved, as the code words it */
    Text jurisdiction, office, document;
    Day from, until; /* until: DAY_FOREVER when not stated */
    bool all_items;
    ItemPick *items;
    bool has_limit;
    Value limit; /* variance: the limit in place */
    const Unit *limit_unit;
    Place place;
} Decision;

typedef struct Tolerance { /* built_to */
    const Name *class;     /* NULL: all */
    Rational amount;       /* SI, length */
    const Unit *unit;
    Place place;
} Tolerance;

typedef struct Spec {
    const Source *source;
    const Vocabulary *vocabulary;
    Item *unit;
    Text unit_name, builder, cycle;
    Text *jurisdictions;
    Place *jurisdiction_places;
    uint32_t jurisdiction_count;
    bool has_submitted;
    Day submitted;
    bool permits_stated; /* false: not stated; true with no permits: none (a new unit) */
    Permit *permits;
    uint32_t permit_count;
    Tolerance *tolerances;
    uint32_t tolerance_count;
    Decision *decisions;
    uint32_t decision_count;
} Spec;

/* Reads a spec's bytes. Errors in diags, each at its place; NULL only when nothing could be
 * read at all. All memory is the arena's. */
Spec *spec_read(Arena *arena, Names *names, const Vocabulary *vocabulary, const Source *source,
                Diagnostics *diags);

/* The vocabulary that a spec names (`vocabulary:`), looked for without reading the rest; "" when
 * it names none. */
Text spec_vocabulary_name(Arena *arena, const Source *source);

/* The same for the jurisdictions and places that it names (`jurisdictions:`). */
Text *spec_jurisdiction_names(Arena *arena, const Source *source, size_t *count);

/* From the generic form (worked examples); `settings` are applied in order over `base` (may be
 * NULL), which is not changed. */
Datum *spec_data(Arena *arena, const Source *source, Diagnostics *diags); /* YAML or JSON to data */
Datum *spec_apply(Arena *arena, const Vocabulary *vocabulary, const Datum *base,
                  const SettingTree *settings, const Source *source, Diagnostics *diags);
Spec *spec_from_data(Arena *arena, Names *names, const Vocabulary *vocabulary, const Datum *root,
                     const Source *source, Diagnostics *diags);

/* "openings[\"serving\"].clear_width"; field NULL: the item's own path. */
Text spec_path(Arena *arena, const Item *item, const Field *field);
Place fact_place(const Item *item, const Field *field);      /* of the value, or of its item */
const Fact *item_fact(const Item *item, const Field *field); /* NULL for a phantom */

#endif
