/* Codes and jurisdictions written in several pieces.
 *
 * Takes the main one and what continues it, in order of path; gives one tree with the lists of all,
 * main one first. The nodes of the lists are copies, since what was parsed is never changed; each
 * keeps the source it stands in. What a piece says of rank, authority, stage, rework and basis is
 * written into its sections, where they do not say it themselves, so that it holds for them and for
 * no others. */
#include "law/library_inner.h"

/* ---- what a piece may not say ---- */

static const char *main_word(const PartTree *part)
{
    switch ((int)part->kind) {
    case PART_TITLE: return "title";
    case PART_PUBLISHER: return "publisher";
    case PART_VOCABULARY: return "vocabulary";
    case PART_PUBLISHED: return "published";
    case PART_RANKS: return "ranks";
    case PART_CITED_AS: return "cited as";
    case PART_FOR_UNITS: return "for units where";
    default: return NULL;
    }
}

static void check_said(const CodeTree *main, const CodeTree *piece, Diagnostics *diags)
{
    for (const PartTree *part = piece->parts; part != NULL; part = part->next) {
        const char *word = main_word(part);
        if (word == NULL) {
            continue;
        }
        Diagnostic *diag = diagnostic_error(
            diags, "said in a piece", (Place){piece->source, part->span},
            "'%s' is of the whole code '%.*s', and not to be said in a piece of it", word,
            TEXT_ARG(main->name->text));
        diagnostic_note(diags, diag, code_name_place(main), "the code begins here");
    }
}

/* ---- joining ---- */

/* NOLINTBEGIN(bugprone-macro-parentheses): a type cannot stand in parentheses */
/* Copies the list `field` of each of the trees, one after another, into `joined`. */
#define JOIN(Type, field)                                                                     \
    do {                                                                                      \
        Type **end_ = &joined->field;                                                         \
        *end_ = NULL;                                                                         \
        for (size_t i_ = 0; i_ < joined->piece_count; i_++) {                                 \
            for (const Type *at_ = joined->pieces[i_]->field; at_ != NULL; at_ = at_->next) { \
                Type *copy_ = ARENA_NEW(arena, Type);                                         \
                *copy_ = *at_;                                                                \
                copy_->next = NULL;                                                           \
                *end_ = copy_;                                                                \
                end_ = &copy_->next;                                                          \
            }                                                                                 \
        }                                                                                     \
    } while (0)
/* NOLINTEND(bugprone-macro-parentheses) */

void section_fill_standing(const StandingTree *said, SectionTree *section)
{
    StandingTree *own = &section->standing;
    if (own->rank.len == 0) {
        own->rank = said->rank;
        own->rank_span = said->rank_span;
    }
    if (own->authority == NULL) {
        own->authority = said->authority;
        own->authority_span = said->authority_span;
        own->advises = said->advises;
    }
    if (own->stages == 0) {
        own->stages = said->stages;
        own->stages_span = said->stages_span;
    }
    if (own->rework == REWORK_UNSAID) {
        own->rework = said->rework;
    }
}

static void fill_section(const CodeTree *piece, SectionTree *section)
{
    section_fill_standing(&piece->standing, section);
    if (section->body.basis.kind == BASIS_UNSAID) {
        section->body.basis = piece->basis;
    }
}

/* Those of the main one have from the code what they do not say; those of a piece, first from it. */
static void join_sections(Arena *arena, CodeTree *joined)
{
    SectionTree **end = &joined->sections;
    *end = NULL;
    for (size_t i = 0; i < joined->piece_count; i++) {
        for (const SectionTree *at = joined->pieces[i]->sections; at != NULL; at = at->next) {
            SectionTree *copy = ARENA_NEW(arena, SectionTree);
            *copy = *at;
            copy->next = NULL;
            if (i > 0) {
                fill_section(joined->pieces[i], copy);
            }
            *end = copy;
            end = &copy->next;
        }
    }
}

/* What the sections may use. */
static void join_matter(Arena *arena, CodeTree *joined)
{
    JOIN(DefineTree, defines);
    JOIN(TableTree, tables);
    JOIN(WorksheetTree, worksheets);
    JOIN(ReadingTree, readings);
}

CodeTree *code_join(Arena *arena, const CodeTree *main, CodeTree *const *pieces, size_t count,
                    Diagnostics *diags)
{
    CodeTree *joined = ARENA_NEW(arena, CodeTree);
    const CodeTree **all = ARENA_ARRAY(arena, const CodeTree *, count + 1);
    all[0] = main;
    for (size_t i = 0; i < count; i++) {
        check_said(main, pieces[i], diags);
        all[i + 1] = pieces[i];
    }
    *joined = *main;
    joined->pieces = all;
    joined->piece_count = count + 1;
    join_sections(arena, joined);
    join_matter(arena, joined);
    JOIN(OmittedTree, omitted);
    JOIN(TargetTree, reserved);
    JOIN(ExampleTree, examples);
    return joined;
}

/* What stands beside the blocks. */
static void join_beside(Arena *arena, JurisdictionTree *joined)
{
    JOIN(DefineTree, defines);
    JOIN(TableTree, tables);
    JOIN(WorksheetTree, worksheets);
    JOIN(ChecklistTree, checklists);
}

JurisdictionTree *jurisdiction_join(Arena *arena, const JurisdictionTree *main,
                                    JurisdictionTree *const *pieces, size_t count)
{
    JurisdictionTree *joined = ARENA_NEW(arena, JurisdictionTree);
    const JurisdictionTree **all = ARENA_ARRAY(arena, const JurisdictionTree *, count + 1);
    all[0] = main;
    for (size_t i = 0; i < count; i++) {
        all[i + 1] = pieces[i];
    }
    *joined = *main;
    joined->pieces = all;
    joined->piece_count = count + 1;
    JOIN(BlockTree, blocks);
    join_beside(arena, joined);
    JOIN(ConfirmedTree, confirmed);
    JOIN(ExampleTree, examples);
    return joined;
}

VocabularyTree *vocabulary_join(Arena *arena, const VocabularyTree *main,
                                VocabularyTree *const *pieces, size_t count)
{
    VocabularyTree *joined = ARENA_NEW(arena, VocabularyTree);
    const VocabularyTree **all = ARENA_ARRAY(arena, const VocabularyTree *, count + 1);
    all[0] = main;
    for (size_t i = 0; i < count; i++) {
        all[i + 1] = pieces[i];
    }
    *joined = *main;
    joined->pieces = all;
    joined->piece_count = count + 1;
    return joined;
}

/* ---- pieces of nothing ---- */

/* Other editions of the same code, or the nearest name of a code. */
void report_lone_code(const Library *library, const CodeTree *piece, Diagnostics *diags)
{
    Diagnostic *diag =
        diagnostic_error(diags, "nothing to continue", code_name_place(piece),
                         "no file begins the code '%.*s' edition '%.*s', which this continues",
                         TEXT_ARG(piece->name->text), TEXT_ARG(piece->edition));
    size_t count = 0;
    bool other = false;
    for (const FileTree *file = library->files; file != NULL; file = file->next) {
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            const CodeTree *code = item->kind == ITEM_CODE ? item->code : NULL;
            if (code == NULL || code->name == NULL || code->continued) {
                continue;
            }
            count++;
            if (code->name == piece->name) {
                other = true;
                diagnostic_note(diags, diag, code_name_place(code), "edition '%.*s' is here",
                                TEXT_ARG(code->edition));
            }
        }
    }
    if (other) {
        return;
    }
    Text *names = ARENA_ARRAY(library->arena, Text, count + 1);
    count = 0;
    for (const FileTree *file = library->files; file != NULL; file = file->next) {
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            const CodeTree *code = item->kind == ITEM_CODE ? item->code : NULL;
            if (code != NULL && code->name != NULL && !code->continued) {
                names[count++] = code->name->text;
            }
        }
    }
    note_nearest(diags, diag, piece->name->text, names, count);
}

void report_lone_jurisdiction(const Library *library, const JurisdictionTree *piece,
                              Diagnostics *diags)
{
    Diagnostic *diag =
        diagnostic_error(diags, "nothing to continue", jurisdiction_name_place(piece),
                         "no file begins the jurisdiction '%.*s', which this continues",
                         TEXT_ARG(piece->name->text));
    size_t count = 0;
    for (const FileTree *file = library->files; file != NULL; file = file->next) {
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            count += item->kind == ITEM_JURISDICTION;
        }
    }
    Text *names = ARENA_ARRAY(library->arena, Text, count + 1);
    count = 0;
    for (const FileTree *file = library->files; file != NULL; file = file->next) {
        for (const ItemTree *item = file->items; item != NULL; item = item->next) {
            const JurisdictionTree *at =
                item->kind == ITEM_JURISDICTION ? item->jurisdiction : NULL;
            if (at != NULL && at->name != NULL && !at->continued) {
                names[count++] = at->name->text;
            }
        }
    }
    note_nearest(diags, diag, piece->name->text, names, count);
}

void report_lone_vocabulary(const Library *library, const VocabularyTree *piece, Diagnostics *diags)
{
    Diagnostic *diag = diagnostic_error(
        diags, "nothing to continue", (Place){piece->source, piece->name_span},
        "no file begins the vocabulary '%.*s', which this continues", TEXT_ARG(piece->name->text));
    Text *names = ARENA_ARRAY(library->arena, Text, library->vocabulary_count + 1);
    for (uint32_t i = 0; i < library->vocabulary_count; i++) {
        names[i] = library->vocabularies[i]->name->text;
    }
    note_nearest(diags, diag, piece->name->text, names, library->vocabulary_count);
}
