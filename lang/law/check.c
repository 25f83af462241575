/* law_check: from the law in force as trees to the law that is judged. Every text of every section
 * is compiled, every definition, table and worksheet is checked whether used or not, and every
 * error is reported at its place. Nothing here depends on which law asks: a text that several laws
 * share gives the same messages in each, and sorting drops the repeats. */
#include "law/check.h"

/* ---- vocabulary ---- */

/* One vocabulary serves all codes of a law; the library has reported unknown ones. */
static const Vocabulary *find_vocabulary(Check *c)
{
    const Vocabulary *found = NULL;
    const CodeTree *first = NULL;
    for (uint32_t i = 0; i < c->tree->code_count; i++) {
        const CodeTree *code = c->tree->codes[i];
        const Vocabulary *vocabulary = library_vocabulary(c->library, code->vocabulary);
        if (found == NULL) {
            found = vocabulary;
            first = code;
        } else if (vocabulary != NULL && vocabulary != found) {
            Diagnostic *diag = diagnostic_error(
                c->diags, "two vocabularies", (Place){code->source, code->name_span},
                "'%.*s' and '%.*s' are in force together, and have different vocabularies",
                TEXT_ARG(first->name->text), TEXT_ARG(code->name->text));
            diagnostic_note(c->diags, diag, (Place){first->source, first->name_span},
                            "the other code");
        }
    }
    return found;
}

/* ---- sections ---- */

static void check_section(Check *c, uint32_t index)
{
    const SectionTreeInForce *tree = &c->tree->sections[index];
    Section *section = &c->law->sections[index];
    c->section = tree->section;
    check_standing(c, tree, section);
    TextInForce *texts = ARENA_ARRAY(c->arena, TextInForce, tree->text_count + 1);
    for (uint32_t i = 0; i < tree->text_count; i++) {
        texts[i] = check_text(c, tree, &tree->texts[i]);
    }
    check_units(c, tree, texts, section);
    section->texts = texts;
    section->text_count = tree->text_count;
    c->section = NULL;
}

/* Sections are few that were renumbered. */
static void find_former(Law *law)
{
    for (uint32_t i = 0; i < law->section_count; i++) {
        Text former = law->sections[i].tree->former_number;
        bool is_free = former.len > 0;
        for (uint32_t j = 0; is_free && j < law->section_count; j++) {
            is_free = law->sections[j].tree->code != law->sections[i].tree->code ||
                      !text_equal(law->sections[j].number, former);
        }
        law->sections[i].former_number = is_free ? former : TEXT("");
    }
}

bool section_answers(const Section *section, Text number, const Name *part)
{
    return target_covers(number, part, section->number, section->part) ||
           (section->former_number.len > 0 &&
            target_covers(number, part, section->former_number, section->part));
}

/* ---- what no section uses ---- */

static void check_unused(Check *c, Definition *definition, const Scope *home)
{
    Attempt attempt;
    if (!definition->ever) {
        attempt_begin(c, &attempt);
        text_begin(c, home);
        (void)definition_compile(c, definition, home);
        (void)attempt_end(c, &attempt);
    }
}

static void check_shared(Check *c, Global *global, const Scope *home)
{
    for (uint32_t i = 0; i < global->group->count; i++) {
        if (global->alternatives[i] != NULL) {
            global->group->chosen = i;
            check_unused(c, global->alternatives[i], home);
        }
    }
    global->group->chosen = 0;
}

static void check_globals(Check *c, const Container *container)
{
    const Scope *home = container_scope(c, container);
    for (Global *global = container->globals; global != NULL; global = global->next) {
        switch ((GlobalKind)global->kind) {
        case GLOBAL_DEFINE: check_unused(c, &global->definition, home); break;
        case GLOBAL_SHARED: check_shared(c, global, home); break;
        case GLOBAL_TABLE: (void)global_table(c, global); break;
        case GLOBAL_WORKSHEET: break; /* all are checked */
        }
    }
}

/* ---- the law ---- */

Law *law_check(Arena *arena, const Library *library, const LawTree *tree, bool proofread,
               Diagnostics *diags)
{
    Law *law = ARENA_NEW(arena, Law);
    law->tree = tree;
    Check check = {.arena = arena,
                   .library = library,
                   .tree = tree,
                   .diags = diags,
                   .proofread = proofread,
                   .had_errors = diags->errors > 0,
                   .law = law};
    check.vocabulary = find_vocabulary(&check);
    law->vocabulary = check.vocabulary;
    if (check.vocabulary == NULL) {
        return law;
    }
    containers_make(&check);
    law->sections = ARENA_ARRAY(arena, Section, tree->section_count + 1);
    law->section_count = tree->section_count;
    for (uint32_t i = 0; i < tree->code_count; i++) {
        check_code_standing(&check, tree->codes[i]);
    }
    for (uint32_t i = 0; i < tree->section_count; i++) {
        check_section(&check, i);
    }
    check_holdings(&check);
    find_former(law);
    check_prevails(&check);
    check_worksheets(&check);
    check_found_steps(&check);
    for (uint32_t i = 0; i < check.container_count; i++) {
        check_globals(&check, &check.containers[i]);
    }
    if (proofread) {
        proof_law(&check);
    }
    return law;
}
