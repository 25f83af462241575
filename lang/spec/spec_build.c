/* The tree of data, built from the events of a YAML or a JSON reader.
 *
 * Keeps the limits, refuses duplicate keys (both places are named) and keys that are no words,
 * and knows the comma trap: in `{width: 1,400 cfm}` and `[1,400 cfm]` YAML cuts the number at
 * its comma. It is reported and mended, so that nothing else is said of the pieces. */
#include "spec/spec_build.h"

#include <stdlib.h>
#include <string.h>

enum { PAIRWISE_MAX = 16, SHOWN_MAX = 60 };

Builder *build_start(Arena *arena, const Source *source, Diagnostics *diags)
{
    Builder *builder = ARENA_NEW(arena, Builder);
    builder->arena = arena;
    builder->source = source;
    builder->diags = diags;
    return builder;
}

Text text_shown(Arena *arena, Text text)
{
    Buffer buffer = buffer_make(arena);
    for (size_t at = 0; at < text.len;) {
        uint32_t code = 0;
        size_t len = utf8_next(text, at, &code);
        if (at + len > SHOWN_MAX) {
            buffer_string(&buffer, "...");
            break;
        }
        bool control = code < 0x20 || (code >= 0x7f && code < 0xa0) || code == 0x2028 ||
                       code == 0x2029 || (code >= 0x202a && code <= 0x202e) ||
                       (code >= 0x2066 && code <= 0x2069);
        if (control || (code == UTF8_BAD && len == 1)) {
            buffer_char(&buffer, code == '\n' || code == '\t' ? ' ' : '?');
        } else {
            buffer_text(&buffer, (Text){text.data + at, len});
        }
        at += len;
    }
    return buffer_done(&buffer);
}

Diagnostic *build_fault(Builder *builder, const char *name, Span span, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    Buffer message = buffer_make(builder->arena);
    buffer_vformat(&message, format, args);
    va_end(args);
    Place place = {builder->source, span};
    Diagnostic *diag =
        diagnostic_error(builder->diags, name, place, "%.*s", TEXT_ARG(buffer_done(&message)));
    if (++builder->faults == SPEC_FAULTS_MAX) {
        diagnostic_note(builder->diags, diag, place, "the rest of the file was not read");
        builder->stopped = true;
    }
    return diag;
}

/* ---- repeated texts ---- */

typedef struct Keyed {
    Text text;
    uint32_t index;
} Keyed;

static int order_keyed(const void *left, const void *right)
{
    const Keyed *a = left;
    const Keyed *b = right;
    int order = text_order(a->text, b->text);
    return order != 0 ? order : (a->index > b->index) - (a->index < b->index);
}

void texts_find_repeats(Arena *arena, const Text *texts, uint32_t count, uint32_t *repeat)
{
    memset(repeat, 0, count * sizeof *repeat);
    if (count <= PAIRWISE_MAX) {
        for (uint32_t i = 1; i < count; i++) {
            for (uint32_t j = 0; j < i && repeat[i] == 0; j++) {
                repeat[i] = text_equal(texts[i], texts[j]) ? j + 1 : 0;
            }
        }
        return;
    }
    ArenaMark mark = arena_mark(arena);
    Keyed *sorted = ARENA_ARRAY(arena, Keyed, count);
    for (uint32_t i = 0; i < count; i++) {
        sorted[i] = (Keyed){texts[i], i};
    }
    qsort(sorted, count, sizeof *sorted, order_keyed);
    uint32_t first = 0;
    for (uint32_t i = 1; i < count; i++) {
        if (text_equal(sorted[i].text, sorted[first].text)) {
            repeat[sorted[i].index] = sorted[first].index + 1;
        } else {
            first = i;
        }
    }
    arena_reset(arena, mark);
}

/* Reports repeated keys of a map that is complete, and takes all but the first out of it. */
static void refuse_repeats(Builder *builder, Datum *map)
{
    uint32_t few[PAIRWISE_MAX] = {0};
    Text few_keys[PAIRWISE_MAX];
    bool small = map->count <= PAIRWISE_MAX;
    Text *keys = small ? few_keys : ARENA_ARRAY(builder->arena, Text, map->count);
    uint32_t *repeat = small ? few : ARENA_ARRAY(builder->arena, uint32_t, map->count);
    uint32_t count = 0;
    for (const Datum *member = map->first; member != NULL; member = member->next) {
        keys[count++] = member->key;
    }
    texts_find_repeats(builder->arena, keys, count, repeat);
    Datum **link = &map->first;
    const Datum **firsts = NULL;
    for (uint32_t i = 0; i < count; i++) {
        Datum *member = *link;
        if (repeat[i] != 0 && firsts == NULL) { /* only now is an index needed */
            firsts = ARENA_ARRAY(builder->arena, const Datum *, count);
            uint32_t j = 0;
            for (const Datum *before = map->first; before != NULL; before = before->next) {
                firsts[j++] = before;
            }
        }
        if (repeat[i] == 0) {
            link = &member->next;
            continue;
        }
        *link = member->next;
        map->count--;
        if (builder->faults >= SPEC_FAULTS_MAX) {
            continue;
        }
        Place first = firsts[repeat[i] - 1]->key_place;
        Position position = source_position(builder->source, first.span.start);
        Diagnostic *diag =
            build_fault(builder, "duplicate key", member->key_place.span,
                        "'%.*s' is stated twice, here and on "
                        "line %u",
                        TEXT_ARG(text_shown(builder->arena, member->key)), position.line);
        diagnostic_note(builder->diags, diag, first, "first stated here");
    }
}

/* ---- the comma trap ---- */

static Text bytes_between(const Builder *builder, uint32_t start, uint32_t end)
{
    return start > end ? TEXT("") : place_text((Place){builder->source, {start, end}});
}

/* Do the two, with a comma and nothing else between them, look like one number? */
static bool is_cut_number(const Builder *builder, const Datum *before, Text text, Span span)
{
    if (builder->json || before == NULL || before->kind != DATUM_SCALAR || before->text.len == 0 ||
        !ascii_is_digit(before->text.data[before->text.len - 1]) ||
        !text_equal(bytes_between(builder, before->place.span.end, span.start), TEXT(","))) {
        return false;
    }
    size_t digits = 0;
    while (digits < text.len && ascii_is_digit(text.data[digits])) {
        digits++;
    }
    return digits == 3;
}

/* Puts the pieces together again, and says once what happened to all of them. */
static void mend_number(Builder *builder, Datum *before, Span span, const char *piece)
{
    if (builder->mended == NULL) {
        builder->cut = before->text;
        builder->mended =
            build_fault(builder, "number cut at a comma", before->place.span, "%s", "");
        diagnostic_note(builder->diags, builder->mended, (Place){0}, "%s", "");
    }
    before->place.span.end = span.end;
    before->text = bytes_between(builder, before->place.span.start, span.end);
    Text shown = text_shown(builder->arena, before->text);
    builder->mended->place = before->place;
    builder->mended->message =
        text_format(builder->arena, "YAML reads '%.*s' as '%.*s' and %s", TEXT_ARG(shown),
                    TEXT_ARG(text_shown(builder->arena, builder->cut)), piece);
    builder->mended->notes->message =
        text_format(builder->arena, "quote it: \"%.*s\"", TEXT_ARG(shown));
}

/* ---- events ---- */

static Open *top(Builder *builder)
{
    return builder->depth == 0 ? NULL : &builder->stack[builder->depth - 1];
}

/* Hangs a value into what is open. */
static void add(Builder *builder, Datum *node)
{
    Open *open = top(builder);
    if (open == NULL) {
        builder->root = node;
        return;
    }
    bool drop = false;
    if (open->node->kind == DATUM_MAP) {
        node->key = open->key;
        node->key_place = (Place){builder->source, open->key_span};
        drop = open->drop;
        open->has_key = false;
        open->drop = false;
    }
    if (!drop) {
        *open->tail = node;
        open->tail = &node->next;
        open->last = node;
        open->node->count++;
    }
}

static Datum *make(Builder *builder, DatumKind kind, Span span)
{
    if (++builder->values > SPEC_VALUES_MAX) {
        build_fault(builder, "too many values", span, "a spec has at most %d values",
                    SPEC_VALUES_MAX);
        builder->stopped = true;
        return NULL;
    }
    Datum *node = ARENA_NEW(builder->arena, Datum);
    node->kind = (uint8_t)kind;
    node->place = (Place){builder->source, span};
    return node;
}

/* Is a key due where a value begins? Such a key is no word. */
static bool refuse_as_key(Builder *builder, Span span)
{
    const Open *open = top(builder);
    if (open == NULL || open->node->kind != DATUM_MAP || open->has_key) {
        return false;
    }
    build_fault(builder, "key is no word", span, "a key is a word, not a list or a map");
    builder->stopped = true; /* what follows would be taken for its value */
    return true;
}

bool build_open(Builder *builder, DatumKind kind, Span span)
{
    if (builder->stopped || refuse_as_key(builder, span)) {
        return false;
    }
    if (builder->depth == SPEC_DEPTH_MAX) {
        build_fault(builder, "nested too deeply", span, "a spec is nested at most %d deep",
                    SPEC_DEPTH_MAX);
        builder->stopped = true;
        return false;
    }
    Datum *node = make(builder, kind, span);
    if (node == NULL) {
        return false;
    }
    add(builder, node);
    builder->stack[builder->depth++] = (Open){.node = node, .tail = &node->first};
    builder->mended = NULL;
    return true;
}

static bool reached(Builder *builder)
{
    const Open *open = top(builder);
    if (builder->until != NULL && builder->depth == 1 && !open->has_key && open->last != NULL &&
        text_equal(open->last->key, text_of(builder->until))) {
        builder->stopped = builder->found = true;
    }
    return !builder->stopped;
}

bool build_close(Builder *builder, uint32_t end)
{
    if (builder->depth == 0) {
        return !builder->stopped;
    }
    Open *open = top(builder);
    Datum *node = open->node;
    uint32_t last = open->last == NULL ? 0 : open->last->place.span.end;
    end = end == 0 ? last : end;
    node->place.span.end = end > node->place.span.start ? end : node->place.span.end;
    if (node->kind == DATUM_MAP) {
        refuse_repeats(builder, node);
    }
    builder->depth--;
    builder->mended = NULL;
    return reached(builder);
}

static bool add_key(Builder *builder, Open *open, Scalar scalar)
{
    open->has_key = true;
    open->drop = true;
    open->key = scalar.text;
    open->key_span = scalar.span;
    if (scalar.text.len > SPEC_KEY_MAX) {
        build_fault(builder, "key too long", scalar.span, "a key has at most %d bytes",
                    SPEC_KEY_MAX);
    } else if (scalar.text.len == 0) {
        build_fault(builder, "key is no word", scalar.span, "a key is missing before ':'");
    } else if (!scalar.quoted && text_equal(scalar.text, TEXT("<<"))) {
        build_fault(builder, "merge key", scalar.span,
                    "merge keys ('<<') are not read: write the facts out");
    } else {
        open->drop = false;
    }
    return !builder->stopped;
}

static bool has_colon(Text text)
{
    return text.len > 0 && memchr(text.data, ':', text.len) != NULL;
}

/* `{openings, tanks: []}`: a key, but neither colon nor value. */
static bool refuse_bare_key(Builder *builder, Open *open, Scalar scalar)
{
    if (builder->json || scalar.quoted || scalar.text.len > 0 || open->drop ||
        has_colon(bytes_between(builder, open->key_span.end, scalar.span.start + 1))) {
        return false;
    }
    if (is_cut_number(builder, open->last, open->key, open->key_span)) {
        mend_number(builder, open->last, open->key_span, "a key without a value");
    } else {
        build_fault(builder, "key without a value", open->key_span,
                    "'%.*s' is a key without ':' and value",
                    TEXT_ARG(text_shown(builder->arena, open->key)));
    }
    open->drop = true;
    return true;
}

bool build_scalar(Builder *builder, Scalar scalar)
{
    Open *open = top(builder);
    if (builder->stopped) {
        return false;
    }
    if (open != NULL && open->node->kind == DATUM_MAP) {
        if (!open->has_key) {
            return add_key(builder, open, scalar);
        }
        if (!refuse_bare_key(builder, open, scalar)) {
            builder->mended = NULL;
        }
    } else if (open != NULL && !scalar.quoted &&
               is_cut_number(builder, open->last, scalar.text, scalar.span)) {
        mend_number(builder, open->last, scalar.span, "a further item");
        return !builder->stopped;
    } else {
        builder->mended = NULL;
    }
    if (scalar.text.len > SPEC_SCALAR_MAX) {
        build_fault(builder, "value too long", scalar.span, "a value has at most %d bytes",
                    SPEC_SCALAR_MAX);
        scalar = (Scalar){.span = scalar.span};
    }
    Datum *node = make(builder, scalar.quoted ? DATUM_QUOTED : DATUM_SCALAR, scalar.span);
    if (node == NULL) {
        return false;
    }
    node->text = scalar.text;
    add(builder, node);
    return reached(builder);
}

bool build_nothing(Builder *builder, Span span)
{
    if (builder->stopped || refuse_as_key(builder, span)) {
        return false;
    }
    Datum *node = make(builder, DATUM_SCALAR, span);
    if (node == NULL) {
        return false;
    }
    add(builder, node);
    return !builder->stopped;
}

/* Takes the last member out of what is open: a fault may have cut it short. */
static void drop_last(Open *open)
{
    Datum **link = &open->node->first;
    if (*link == NULL) {
        return;
    }
    open->last = NULL;
    while ((*link)->next != NULL) {
        open->last = *link;
        link = &(*link)->next;
    }
    *link = NULL;
    open->tail = link;
    open->node->count--;
}

Datum *build_end(Builder *builder)
{
    bool cut = builder->stopped && !builder->found;
    while (builder->depth > 0) {
        if (cut) {
            Open *open = &builder->stack[builder->depth - 1];
            drop_last(open);
            cut = open->node->first == NULL; /* then nothing is left of it either */
        }
        (void)build_close(builder, 0);
    }
    return builder->root;
}
