/* Unknowns: facts are taken out of the demo specs one at a time. Each finding must keep its class
 * (pass, fail, open) or become open, waiting for the fact that was taken; read backwards, adding a
 * fact never turns a pass into a failure or back. Findings at a list stand for those of its items
 * (meaning rules 2, 5 and 17). Prints "N passed, N failed". */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "judge/judge.h"

typedef struct Bench {
    Arena *arena; /* of the library and the base reviews */
    Names *names;
    const Law *law;
    ReviewOptions options;
    const Source *source;
    const Datum *root;
    const Review *base;
    unsigned long passed, failed;
} Bench;

/* ---- the spec without one fact ---- */

static Datum *copy_without(Arena *arena, const Datum *datum, const Datum *skip)
{
    Datum *copy = ARENA_NEW(arena, Datum);
    *copy = *datum;
    copy->first = copy->next = NULL;
    copy->count = 0;
    Datum **end = &copy->first;
    for (const Datum *member = datum->first; member != NULL; member = member->next) {
        if (member == skip) {
            continue;
        }
        *end = copy_without(arena, member, skip);
        end = &(*end)->next;
        copy->count++;
    }
    return copy;
}

static const Review *review_of(const Bench *bench, Arena *arena, const Datum *root)
{
    Diagnostics diags = diagnostics_make(arena);
    const Spec *spec =
        spec_from_data(arena, bench->names, bench->law->vocabulary, root, bench->source, &diags);
    if (spec == NULL || diags.errors > 0) {
        fprintf(stderr, "a reduced spec has errors: %.*s\n", TEXT_ARG(diags.first->message));
        exit(1);
    }
    return review_make(arena, bench->law, spec, &bench->options);
}

/* ---- comparing ---- */

static int class_of(uint8_t outcome)
{
    if (outcome == OUTCOME_CORRECTION) {
        return 1;
    }
    return outcome == OUTCOME_INFORMATION_REQUIRED || outcome == OUTCOME_OFFICIAL_DECIDES ? 2 : 0;
}

/* Items of two readings of the spec are the same when their keys are, all the way up. */
static bool same_item(const Item *a, const Item *b)
{
    for (; a != NULL && b != NULL; a = a->parent, b = b->parent) {
        if (a->field != b->field || !text_equal(a->key, b->key) || a->index != b->index) {
            return false;
        }
    }
    return a == b;
}

static bool same_finding(const Finding *a, const Finding *b)
{
    if (a->section != b->section || a->floor != b->floor || a->item_count != b->item_count ||
        a->list_field != b->list_field) {
        return false;
    }
    for (uint32_t i = 0; i < a->item_count; i++) {
        if (!same_item(a->items[i], b->items[i])) {
            return false;
        }
    }
    return true;
}

static bool wants(Arena *arena, const Finding *finding, Text path)
{
    for (uint32_t i = 0; i < finding->wanted_count; i++) {
        const Wanted *wanted = &finding->wanted[i];
        if (wanted->item != NULL &&
            text_equal(spec_path(arena, wanted->item, wanted->field), path)) {
            return true;
        }
    }
    return false;
}

static bool may_follow(Arena *arena, const Finding *before, const Finding *after, Text path)
{
    if (class_of(before->outcome) == class_of(after->outcome)) {
        return true;
    }
    return class_of(after->outcome) == 2 && wants(arena, after, path);
}

/* Does a finding of the section at a list, or at nothing at all, stand for one that has gone? */
static bool stands_in(Arena *arena, const Review *after, const Finding *gone, Text path)
{
    for (uint32_t i = 0; i < after->finding_count; i++) {
        const Finding *finding = &after->findings[i];
        if (finding->section != gone->section) {
            continue;
        }
        if (finding->list_field != NULL || finding->nothing_to_judge ||
            finding->item_count < gone->item_count) {
            if (may_follow(arena, gone, finding, path)) {
                return true;
            }
        }
    }
    return false;
}

/* Nothing to judge before: what may be judged now must pass, or wait for what was taken. */
static bool all_follow(Arena *arena, const Review *after, const Finding *nothing, Text path)
{
    for (uint32_t i = 0; i < after->finding_count; i++) {
        if (after->findings[i].section == nothing->section &&
            !may_follow(arena, nothing, &after->findings[i], path)) {
            return false;
        }
    }
    return true;
}

static const Finding *find_same(const Review *review, const Finding *like)
{
    for (uint32_t i = 0; i < review->finding_count; i++) {
        if (same_finding(&review->findings[i], like)) {
            return &review->findings[i];
        }
    }
    return NULL;
}

static void complain(Bench *bench, const Finding *finding, const Finding *after, Text path)
{
    if (bench->failed++ >= 10) {
        return;
    }
    printf("%.*s without %.*s: section %.*s (%.*s) was %s, is %s\n", TEXT_ARG(bench->source->path),
           TEXT_ARG(path), TEXT_ARG(finding->section->number),
           TEXT_ARG(finding->item_count > 0 ? finding->items[0]->key : TEXT("-")),
           outcome_word(finding->outcome), after == NULL ? "gone" : outcome_word(after->outcome));
}

static void compare(Bench *bench, Arena *arena, const Review *after, Text path)
{
    for (uint32_t i = 0; i < bench->base->finding_count; i++) {
        const Finding *finding = &bench->base->findings[i];
        const Finding *now = find_same(after, finding);
        bool right = finding->nothing_to_judge ? all_follow(arena, after, finding, path)
                     : now != NULL             ? may_follow(arena, finding, now, path)
                                               : stands_in(arena, after, finding, path);
        if (right) {
            bench->passed++;
        } else {
            complain(bench, finding, now, path);
        }
    }
}

/* ---- every fact in turn ---- */

static void take_out(Bench *bench, const Datum *datum, Text path)
{
    Arena *arena = arena_new();
    const Review *after = review_of(bench, arena, copy_without(arena, bench->root, datum));
    compare(bench, arena, after, path);
    arena_free(arena);
}

static Text item_path(Arena *arena, const Record *record, const Datum *item, Text list,
                      unsigned index)
{
    for (const Datum *member = item->first; member != NULL && record->key != NULL;
         member = member->next) {
        if (text_equal(member->key, record->key->name->text)) {
            return text_format(arena, "%.*s[\"%.*s\"]", TEXT_ARG(list), TEXT_ARG(member->text));
        }
    }
    return text_format(arena, "%.*s[%u]", TEXT_ARG(list), index);
}

static void walk(Bench *bench, const Record *record, const Datum *map, Text path)
{
    for (const Datum *member = map->first; member != NULL; member = member->next) {
        const Name *name = names_find(bench->names, member->key);
        const Field *field = name == NULL ? NULL : record_field(record, name);
        if (field == NULL || field->key) { /* program keys; what an item is called */
            continue;
        }
        Text here = path.len == 0 ? member->key
                                  : text_format(bench->arena, "%.*s.%.*s", TEXT_ARG(path),
                                                TEXT_ARG(member->key));
        take_out(bench, member, here);
        if (field->type.class == CLASS_ITEM && member->kind == DATUM_MAP) {
            walk(bench, field->type.record, member, here);
        }
        unsigned index = 0;
        for (const Datum *item = member->first; field->type.class == CLASS_LIST && item != NULL;
             item = item->next) {
            if (item->kind == DATUM_MAP) {
                walk(bench, field->type.record, item,
                     item_path(bench->arena, field->type.record, item, here, ++index));
            }
        }
    }
}

static void try_spec(Bench *bench, const Library *library, const char *path, const char *where)
{
    Text reason;
    Diagnostics diags = diagnostics_make(bench->arena);
    bench->source = source_read(bench->arena, path, &reason);
    bench->options = (ReviewOptions){.on = date_day(2026, 3, 1), .stage = STAGE_OPERATION};
    LawTree *tree =
        law_assemble(bench->arena, library, library_jurisdiction(library, text_of(where)),
                     bench->options.on, &diags);
    bench->law = law_check(bench->arena, library, tree, false, &diags);
    bench->root = bench->source == NULL ? NULL : spec_data(bench->arena, bench->source, &diags);
    if (bench->root == NULL || diags.errors > 0) {
        fprintf(stderr, "%s: cannot be read\n", path);
        exit(1);
    }
    bench->base = review_of(bench, bench->arena, bench->root);
    walk(bench, &bench->law->vocabulary->unit, bench->root, TEXT(""));
}

int main(void)
{
    static const char *const rules[] = {"rules/vocabulary", "rules/demo"};
    static const char *const specs[] = {
        "specs/lantern-noodle.yaml", "specs/lantern-noodle-faults.yaml",
        "specs/lantern-noodle-gaps.yaml", "specs/lantern-noodle-measured.yaml"};
    static const char *const counties[] = {"quillmark", "osprey_fork"};
    Arena *arena = arena_new();
    Bench bench = {.arena = arena, .names = names_new(arena)};
    Diagnostics diags = diagnostics_make(arena);
    const Library *library = library_read(arena, bench.names, rules, 2, &diags);
    if (diags.errors > 0) {
        fprintf(stderr, "the demo rules have errors\n");
        return 1;
    }
    for (size_t i = 0; i < sizeof specs / sizeof *specs; i++) {
        for (size_t j = 0; j < sizeof counties / sizeof *counties; j++) {
            try_spec(&bench, library, specs[i], counties[j]);
        }
    }
    printf("%lu passed, %lu failed\n", bench.passed, bench.failed);
    arena_free(arena);
    return bench.failed > 0 || bench.passed == 0;
}
