/* What the two readers of texts (spec_yaml.c, spec_json.c) build: a tree of data. */
#ifndef SPEC_SPEC_BUILD_H
#define SPEC_SPEC_BUILD_H

#include "spec/spec.h"

/* The limits of a spec. A real one of 200 appliances has about 6,000 values and a depth of 6. */
enum {
    SPEC_DEPTH_MAX = 64,         /* walks of the tree recurse, and libyaml is quadratic in depth */
    SPEC_VALUES_MAX = 200000,    /* 96 bytes each: 19 MB */
    SPEC_SCALAR_MAX = 64 * 1024, /* bytes; a message may quote it, a report prints it */
    SPEC_KEY_MAX = 256,          /* bytes; no vocabulary has longer names */
    SPEC_FAULTS_MAX = 100,       /* of the form of a file, after which it is read no further */
    SPEC_ERRORS_MAX = 1000,      /* of its facts, cautions counted, after which none is read */
    SPEC_SLOTS_MAX = 1000000     /* facts of all items together, stated or not: 100 MB */
};

/* A list or map that is not closed yet. */
typedef struct Open {
    Datum *node;
    Datum **tail; /* where its next member goes */
    Datum *last;  /* its last member */
    bool has_key; /* maps: the key has been read, its value is due */
    bool drop;    /* the value belongs to no member that can be kept */
    Text key;
    Span key_span;
} Open;

typedef struct Builder {
    Arena *arena;
    const Source *source;
    Diagnostics *diags;
    Open stack[SPEC_DEPTH_MAX];
    uint32_t depth;
    uint32_t values;
    uint32_t faults;
    uint32_t cautions;
    bool json;          /* commas and keys are as JSON has them: no traps to look for */
    Diagnostic *mended; /* of the comma trap, when the scalar before was put together by it */
    Text cut;           /* its first piece */
    const char *until;  /* stop when this key of the top level has been read; NULL */
    bool stopped;       /* read no further */
    bool found;         /* ... because `until` was reached */
    Datum *root;
} Builder;

typedef struct Scalar {
    Text text;
    Span span;
    bool quoted;
} Scalar;

Builder *build_start(Arena *arena, const Source *source, Diagnostics *diags);
/* Each returns false when nothing more is to be read. */
bool build_open(Builder *builder, DatumKind kind, Span span);
bool build_close(Builder *builder, uint32_t end); /* end 0: with its last member */
bool build_scalar(Builder *builder, Scalar scalar);
/* A value that cannot be read: it counts as not stated. */
bool build_nothing(Builder *builder, Span span);
/* Closes what is open, without what a fault has cut off; NULL when nothing was read. */
Datum *build_end(Builder *builder);

/* Reports a fault of form; after SPEC_FAULTS_MAX of them reading stops. */
Diagnostic *build_fault(Builder *builder, const char *name, Span span, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* The two readers. JSON: false when the text is not JSON throughout (nothing is kept then). */
bool spec_json(Builder *builder);
void spec_yaml(Builder *builder);

/* Sets repeat[i] for every text that equals an earlier one, to 1 + the index of the first such
 * one. In n log n, whatever the texts. */
void texts_find_repeats(Arena *arena, const Text *texts, uint32_t count, uint32_t *repeat);

/* The user's words as a message may show them: on one line, without control characters, cut
 * at 60 bytes. */
Text text_shown(Arena *arena, Text text);

#endif
