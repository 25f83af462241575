/* Editions that begin as another edition of their code (`code C edition 2022 as edition 2017`).
 *
 * Gives a tree of its own with all that the other edition holds, but what the new one writes
 * itself and what it leaves out (`omitted section`, `reserved`). Where its head is silent the other
 * head speaks. What its head says of basis holds for every section that it takes over, whatever the
 * section says: to have read the old edition is not to have read the new. Worked examples stay with
 * the edition that they prove. */
#include "law/library_inner.h"

typedef struct Deriving {
    Arena *arena;
    const CodeTree *own, *base;
    CodeTree *made;
} Deriving;

/* ---- sections ---- */

static bool is_rewritten(const Deriving *d, const SectionTree *section)
{
    for (const SectionTree *own = d->own->sections; own != NULL; own = own->next) {
        bool same_part = own->part == NULL || section->part == NULL || own->part == section->part;
        if (same_part && text_equal(own->number, section->number)) {
            return true;
        }
    }
    return false;
}

static bool is_left_out(const Deriving *d, Text number, const Name *part)
{
    for (const OmittedTree *at = d->own->omitted; at != NULL; at = at->next) {
        if (target_covers(at->target.number, at->target.part, number, part)) {
            return true;
        }
    }
    for (const TargetTree *at = d->own->reserved; at != NULL; at = at->next) {
        if (target_covers(at->number, at->part, number, part)) {
            return true;
        }
    }
    return false;
}

static SectionTree *take_over(const Deriving *d, const SectionTree *section)
{
    SectionTree *copy = ARENA_NEW(d->arena, SectionTree);
    *copy = *section;
    copy->next = NULL;
    copy->taken_over = true;
    if (d->own->basis.kind != BASIS_UNSAID) {
        copy->body.basis = d->own->basis;
    } else if (copy->body.basis.kind == BASIS_UNSAID) {
        copy->body.basis = d->base->basis;
    }
    return copy;
}

/* Each rewritten one in the place of the old one, new ones at the end. */
static void derive_sections(const Deriving *d)
{
    SectionTree **end = &d->made->sections;
    *end = NULL;
    Map *placed = map_new(d->arena);
    for (const SectionTree *at = d->base->sections; at != NULL; at = at->next) {
        bool rewritten = is_rewritten(d, at);
        for (SectionTree *own = rewritten ? d->own->sections : NULL; own != NULL; own = own->next) {
            if (text_equal(own->number, at->number) && map_put(placed, own, own) == NULL) {
                SectionTree *copy = ARENA_NEW(d->arena, SectionTree);
                *copy = *own;
                *end = copy;
                end = &copy->next;
            }
        }
        if (!rewritten && !is_left_out(d, at->number, at->part)) {
            *end = take_over(d, at);
            end = &(*end)->next;
        }
        *end = NULL;
    }
    for (SectionTree *own = d->own->sections; own != NULL; own = own->next) {
        if (map_get(placed, own) == NULL) {
            SectionTree *copy = ARENA_NEW(d->arena, SectionTree);
            *copy = *own;
            *end = copy;
            end = &copy->next;
        }
    }
    *end = NULL;
}

/* ---- what sections use ---- */

/* NOLINTBEGIN(bugprone-macro-parentheses): a type cannot stand in parentheses */
/* The list of its own, then those of the base that it does not name anew. */
#define DERIVE(Type, function)                                               \
    static Type **function##_add(Arena *arena, Type **end, const Type *from) \
    {                                                                        \
        *end = ARENA_NEW(arena, Type);                                       \
        **end = *from;                                                       \
        (*end)->next = NULL;                                                 \
        return &(*end)->next;                                                \
    }                                                                        \
    static Type *function(Arena *arena, const Type *own, const Type *base)   \
    {                                                                        \
        Type *first = NULL;                                                  \
        Type **end = &first;                                                 \
        Map *named = map_new(arena);                                         \
        for (; own != NULL; own = own->next) {                               \
            end = function##_add(arena, end, own);                           \
            if (own->name != NULL) {                                         \
                (void)map_put(named, own->name, named);                      \
            }                                                                \
        }                                                                    \
        for (; base != NULL; base = base->next) {                            \
            if (base->name == NULL || map_get(named, base->name) == NULL) {  \
                end = function##_add(arena, end, base);                      \
            }                                                                \
        }                                                                    \
        return first;                                                        \
    }
/* NOLINTEND(bugprone-macro-parentheses) */

DERIVE(DefineTree, derive_defines)
DERIVE(TableTree, derive_tables)
DERIVE(WorksheetTree, derive_worksheets)
DERIVE(ReadingTree, derive_readings)

static void derive_matter(const Deriving *d)
{
    d->made->defines = derive_defines(d->arena, d->own->defines, d->base->defines);
    d->made->tables = derive_tables(d->arena, d->own->tables, d->base->tables);
    d->made->worksheets = derive_worksheets(d->arena, d->own->worksheets, d->base->worksheets);
    d->made->readings = derive_readings(d->arena, d->own->readings, d->base->readings);
}

static bool is_written(const Deriving *d, const TargetTree *target)
{
    for (const SectionTree *at = d->made->sections; at != NULL; at = at->next) {
        if (target_covers(target->number, target->part, at->number, at->part)) {
            return true;
        }
    }
    return false;
}

/* What the base leaves out or holds free, unless the new edition writes it. */
static void derive_gaps(const Deriving *d)
{
    OmittedTree **omitted = &d->made->omitted;
    TargetTree **reserved = &d->made->reserved;
    for (int side = 0; side < 2; side++) {
        const CodeTree *from = side == 0 ? d->own : d->base;
        for (const OmittedTree *at = from->omitted; at != NULL; at = at->next) {
            if (side == 0 || !is_written(d, &at->target)) {
                OmittedTree *copy = ARENA_NEW(d->arena, OmittedTree);
                *copy = *at;
                *omitted = copy;
                omitted = &copy->next;
            }
        }
        for (const TargetTree *at = from->reserved; at != NULL; at = at->next) {
            if (side == 0 || !is_written(d, at)) {
                TargetTree *copy = ARENA_NEW(d->arena, TargetTree);
                *copy = *at;
                *reserved = copy;
                reserved = &copy->next;
            }
        }
    }
    *omitted = NULL;
    *reserved = NULL;
}

/* ---- the head ---- */

static void derive_head(const Deriving *d)
{
    CodeTree *made = d->made;
    const CodeTree *base = d->base;
    made->title = made->title.len > 0 ? made->title : base->title;
    made->publisher = made->publisher.len > 0 ? made->publisher : base->publisher;
    made->cited_as = made->cited_as.len > 0 ? made->cited_as : base->cited_as;
    made->vocabulary = made->vocabulary != NULL ? made->vocabulary : base->vocabulary;
    if (made->rank_count == 0) {
        made->ranks = base->ranks;
        made->rank_count = base->rank_count;
    }
    made->scopes = made->scopes != NULL ? made->scopes : base->scopes;
    made->basis = made->basis.kind != BASIS_UNSAID ? made->basis : base->basis;
    SectionTree head = {.standing = made->standing, .body = {.basis = made->basis}};
    section_fill_standing(&base->standing, &head);
    made->standing = head.standing;
}

/* Its own pieces, then those of the base: whoever prints or digests it reads them all. */
static void derive_pieces(const Deriving *d)
{
    size_t own = d->own->piece_count == 0 ? 1 : d->own->piece_count;
    size_t base = d->base->piece_count == 0 ? 1 : d->base->piece_count;
    const CodeTree **all = ARENA_ARRAY(d->arena, const CodeTree *, own + base);
    for (size_t i = 0; i < own; i++) {
        all[i] = d->own->piece_count == 0 ? d->own : d->own->pieces[i];
    }
    for (size_t i = 0; i < base; i++) {
        all[own + i] = d->base->piece_count == 0 ? d->base : d->base->pieces[i];
    }
    d->made->pieces = all;
    d->made->piece_count = own + base;
}

static CodeTree *derive(Arena *arena, const CodeTree *own, const CodeTree *base)
{
    CodeTree *made = ARENA_NEW(arena, CodeTree);
    *made = *own;
    made->as_edition = TEXT("");
    Deriving d = {arena, own, base, made};
    derive_sections(&d);
    derive_matter(&d);
    derive_gaps(&d);
    derive_head(&d);
    derive_pieces(&d);
    return made;
}

/* ---- all editions ---- */

static void no_such_edition(const Library *library, const CodeTree *code, Diagnostics *diags)
{
    Diagnostic *diag =
        diagnostic_error(diags, "unknown edition", (Place){code->source, code->as_span},
                         "no file has edition '%.*s' of code '%.*s', as which this one begins",
                         TEXT_ARG(code->as_edition), TEXT_ARG(code->name->text));
    for (uint32_t i = 0; i < library->code_count; i++) {
        const CodeTree *other = library->codes[i];
        if (other->name == code->name && other != code) {
            diagnostic_note(diags, diag, code_name_place(other), "edition '%.*s' is here",
                            TEXT_ARG(other->edition));
        }
    }
}

static long find_edition(const Library *library, const Name *name, Text edition)
{
    for (uint32_t i = 0; i < library->code_count; i++) {
        if (library->codes[i]->name == name && text_equal(library->codes[i]->edition, edition)) {
            return (long)i;
        }
    }
    return -1;
}

/* An edition whose base is whole; one in a circle is never made, and stays as it was written. */
void library_derive_editions(Library *library, Diagnostics *diags)
{
    bool again = true;
    while (again) {
        again = false;
        for (uint32_t i = 0; i < library->code_count; i++) {
            CodeTree *code = library->codes[i];
            long base = code->as_edition.len == 0
                            ? -1
                            : find_edition(library, code->name, code->as_edition);
            if (base >= 0 && library->codes[base]->as_edition.len == 0) {
                library->codes[i] = derive(library->arena, code, library->codes[base]);
                again = true;
            }
        }
    }
    for (uint32_t i = 0; i < library->code_count; i++) {
        const CodeTree *code = library->codes[i];
        if (code->as_edition.len == 0) {
            continue;
        }
        if (find_edition(library, code->name, code->as_edition) < 0) {
            no_such_edition(library, code, diags);
        } else {
            diagnostic_error(diags, "circle of editions", (Place){code->source, code->as_span},
                             "'%.*s' edition '%.*s' begins, by way of others, as itself",
                             TEXT_ARG(code->name->text), TEXT_ARG(code->edition));
        }
    }
}
