/* Texts of sections: from the tree of a body to what is judged, once for each combination of
 * readings that the text uses and no jurisdiction has chosen from. */
#include "law/check.h"

/* ---- one reading ---- */

static uint32_t add_definitions(Definition *out, uint32_t count, const DefineTree *define)
{
    for (; define != NULL; define = define->next) {
        definition_init(&out[count++], define);
    }
    return count;
}

static uint32_t count_defines(const DefineTree *define)
{
    uint32_t count = 0;
    for (; define != NULL; define = define->next) {
        count++;
    }
    return count;
}

/* The definitions of the text, and those of the readings that are chosen. */
static void fill_locals(Check *c, Scope *scope, const TextTree *text, ReadingGroups groups)
{
    uint32_t count = count_defines(text->body->defines);
    for (uint32_t i = 0; i < groups.count; i++) {
        count += count_defines(groups.items[i].readings[groups.items[i].chosen]->defines);
    }
    Definition *locals = ARENA_ARRAY(c->arena, Definition, count + 1);
    count = add_definitions(locals, 0, text->body->defines);
    for (uint32_t i = 0; i < groups.count; i++) {
        const ReadingTree *reading = groups.items[i].readings[groups.items[i].chosen];
        count = add_definitions(locals, count, reading->defines);
    }
    scope_fill(c, scope, locals, count);
}

static void check_whens(Check *c, const BodyTree *body, SectionText *out)
{
    uint32_t count = 0;
    for (const Expr *when = body->whens; when != NULL; when = when->next) {
        count++;
    }
    out->whens = ARENA_ARRAY(c->arena, const Code *, count + 1);
    for (const Expr *when = body->whens; when != NULL; when = when->next) {
        uint32_t mark = c->absent_count;
        const Code *code = check_condition(c, when);
        absents_unanswered(c, mark);
        out->whens[out->when_count++] = code;
        (void)guards_push(c, code, true);
    }
}

/* What no line uses is checked all the same. */
static void check_rest(Check *c, const Scope *scope)
{
    for (uint32_t i = 0; i < scope->local_count; i++) {
        if (scope->locals[i].stamp != c->stamp) {
            (void)definition_compile(c, &scope->locals[i], scope);
        }
    }
}

static BasisTree basis_of(Check *c, const SectionTreeInForce *section, const TextTree *text)
{
    BasisTree basis =
        text->body->basis.kind != BASIS_UNSAID ? text->body->basis : section->code->basis;
    if (basis.kind == BASIS_UNSAID) {
        bool own = text->body == &section->section->body || text->body->lines == NULL;
        Place place = own ? (Place){section->section->source, section->section->number_span}
                          : (Place){text->source, text->body->lines->span};
        Diagnostic *diag = diagnostic_error(c->diags, "basis not said", place,
                                            "nothing says how the rule of section '%.*s' is known",
                                            TEXT_ARG(section->section->number));
        diagnostic_note(c->diags, diag, (Place){0},
                        "write 'basis read \"TITLE\" on DATE', 'basis memory', 'basis practice' or "
                        "'basis invented', in the section or once for the code");
    }
    return basis;
}

static void check_required(Check *c, const SectionTreeInForce *section, const TextTree *text)
{
    const BodyTree *body = text->body;
    if (body->lines == NULL && !c->had_errors) {
        diagnostic_error(c->diags, "nothing required",
                         (Place){section->section->source, section->section->number_span},
                         "section '%.*s' has no 'shall' and no 'at the discretion of'",
                         TEXT_ARG(section->section->number));
    }
}

static void compile_text(Check *c, const SectionTreeInForce *section, const TextTree *text,
                         ReadingGroups own, SectionText *out)
{
    Scope *scope = ARENA_NEW(c->arena, Scope);
    *scope = (Scope){.chain = chain_for(c, section->code, text->jurisdiction),
                     .sees_items = true,
                     .source = text->source};
    text_begin(c, scope);
    fill_locals(c, scope, text, own);
    c->text = text;
    units_guard(c, text);
    out->eachs = check_eachs(c, text->body->eachs, &out->each_count);
    check_whens(c, text->body, out);
    check_body_lines(c, text->body, text, out);
    check_rest(c, scope);
    c->text = NULL;
    out->slots = c->slots;
    out->reads_review_date = c->reads_review_date;
    out->remedy = text->body->remedy;
    out->tree = text->body;
    out->source = text->source;
}

/* ---- every reading ---- */

/* The groups that the text chooses from: its own, and those that its code shares. */
static Readings begin_readings(Check *c, const SectionTreeInForce *section, const TextTree *text,
                               ReadingGroups *own)
{
    const Container *code = container_of_code(c, section->code);
    ReadingGroups groups[2] = {reading_groups(c, text->body->readings)};
    if (code != NULL) {
        groups[1] = code->groups;
    }
    *own = groups[0];
    Readings readings = readings_begin(c, groups, 2);
    for (uint32_t i = 0; i < 2; i++) {
        reading_groups_fix(groups[i], section->readings, section->reading_count);
    }
    for (uint32_t i = 0; i < own->count; i++) {
        own->items[i].used = true;
    }
    return readings;
}

/* Compiles every combination; false when a shared reading was found to be used on the way, so
 * that there are more of them. */
static bool compile_combinations(Check *c, const SectionTreeInForce *section, const TextTree *text,
                                 const Readings *readings, ReadingGroups own, SectionText *out,
                                 uint32_t *count)
{
    uint32_t expected = readings_combinations(readings);
    *count = 0;
    do {
        SectionText *one = &out[*count];
        *one = (SectionText){0};
        compile_text(c, section, text, own, one);
        if (readings_combinations(readings) != expected) {
            return false;
        }
        one->reading = readings_name(c, readings);
        (*count)++;
    } while (readings_next(readings));
    return true;
}

TextInForce check_text(Check *c, const SectionTreeInForce *section, const TextTree *text)
{
    ReadingGroups own;
    Readings readings = begin_readings(c, section, text, &own);
    SectionText *texts = NULL;
    uint32_t count = 0;
    bool done = false;
    while (!done) {
        uint32_t combinations = readings_combinations(&readings);
        if (combinations > READINGS_MAX) {
            diagnostic_error(c->diags, "too many readings",
                             (Place){section->section->source, section->section->number_span},
                             "section '%.*s' can be read in more than %d ways",
                             TEXT_ARG(section->section->number), READINGS_MAX);
            break;
        }
        readings_rewind(&readings);
        texts = ARENA_ARRAY(c->arena, SectionText, combinations);
        done = compile_combinations(c, section, text, &readings, own, texts, &count);
    }
    BasisTree basis = basis_of(c, section, text);
    for (uint32_t i = 0; i < count; i++) {
        texts[i].basis = basis;
        c->law->max_slots = texts[i].slots > c->law->max_slots ? texts[i].slots : c->law->max_slots;
    }
    check_required(c, section, text);
    return (TextInForce){.readings = texts, .reading_count = count, .tree = text};
}
