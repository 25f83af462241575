/* Warnings of proofreading: what is not wrong, and deserves a look. A section lets one stand with
 * `stet "name" "reason"`. */
#include "law/check.h"

/* The names of the warnings, for stet. */
static const char *const warning_names[] = {
    "printed twin disagrees",    "absence answered in vain", "never none",
    "decided by the vocabulary", "no worked example",        "unused definition",
    "unknown section",           "no such item required",    "blank not filled in"};

enum { WARNING_NAMES = sizeof warning_names / sizeof *warning_names };

static bool is_silenced(const Check *c, const char *name)
{
    const SectionTree *section = c->section;
    /* A definition of the code stands outside the section that happens to ask for it. */
    if (section == NULL || (c->context.scope != NULL && !c->context.scope->sees_items)) {
        return false;
    }
    for (const StetTree *stet = section->stets; stet != NULL; stet = stet->next) {
        if (text_equal(stet->message, text_of(name))) {
            return true;
        }
    }
    return false;
}

void proof_warning(Check *c, const char *name, Place place, const char *format, ...)
{
    if (!c->proofread || is_silenced(c, name)) {
        return;
    }
    Buffer message = buffer_make(c->arena);
    va_list args;
    va_start(args, format);
    buffer_vformat(&message, format, args);
    va_end(args);
    diagnostic_warning(c->diags, name, place, "%.*s", TEXT_ARG(buffer_done(&message)));
}

/* ---- blanks ---- */

/* The act by which the code came into force here. */
static const Link *adopting_link(const TextTree *text)
{
    for (uint32_t i = 0; text != NULL && i < text->chain_count; i++) {
        if (text->chain[i].verb == LINK_ADOPTED) {
            return &text->chain[i];
        }
    }
    return NULL;
}

void proof_blank(Check *c, Place place, Text what)
{
    if (!c->proofread || c->tree->jurisdiction == NULL || is_silenced(c, "blank not filled in")) {
        return;
    }
    Diagnostic *diag = diagnostic_warning(c->diags, "blank not filled in", place,
                                          "nobody has filled in \"%.*s\"", TEXT_ARG(what));
    const Link *link = adopting_link(c->text);
    if (link != NULL) {
        diagnostic_note(c->diags, diag, link->place,
                        "adopted here: fill it in with 'amend \"%.*s\" limit to ...'",
                        TEXT_ARG(c->section == NULL ? TEXT("") : c->section->number));
    }
}

/* ---- comparisons that the vocabulary's bounds already decide ---- */

void proof_compare(Check *c, const Expr *e, const Code *code)
{
    Range a;
    Range b;
    if (!c->proofread || code->op != CODE_COMPARE || !code_range(c, code->a, &a) ||
        !code_range(c, code->b, &b)) {
        return;
    }
    Truth truth = range_relate((CompareOp)code->sub, &a, &b);
    if (truth == TRUTH_UNKNOWN) {
        return;
    }
    const Unit *unit = code->a->unit;
    if (unit == NULL) {
        unit = unit_default(c->arena, code->a->type.dimension);
    }
    proof_warning(c, "decided by the vocabulary", check_place(c, e->span),
                  "this %s holds: by the vocabulary '%.*s' is %.*s",
                  truth == TRUTH_TRUE ? "always" : "never", TEXT_ARG(quote_code(c->arena, code->a)),
                  TEXT_ARG(range_print(c->arena, &a, unit)));
}

/* ---- unused definitions ---- */

static void warn_unused(Check *c, const Name *name, Place place)
{
    proof_warning(c, "unused definition", place, "'%.*s' is not used", TEXT_ARG(name->text));
}

static void unused_defines(Check *c, const Map *names, const DefineTree *define,
                           const Source *source)
{
    for (; define != NULL; define = define->next) {
        if (map_get(names, define->name) == NULL) {
            warn_unused(c, define->name, (Place){source, define->name_span});
        }
    }
}

static bool has_new_exceptions(const TextTree *text)
{
    for (uint32_t i = 0; i < text->chain_count; i++) {
        if (text->chain[i].verb == LINK_EXCEPTION) {
            return true;
        }
    }
    return false;
}

static void proof_text(Check *c, const TextTree *text)
{
    const BodyTree *body = text->body;
    /* A limit or an exception that is replaced may have been the only user. */
    if (text->limit_count > 0 || has_new_exceptions(text) ||
        (body->defines == NULL && body->readings == NULL)) {
        return;
    }
    Map *names = map_new(c->arena);
    mention_body(names, c->library->names, body);
    unused_defines(c, names, body->defines, text->source);
    for (const ReadingTree *reading = body->readings; reading != NULL; reading = reading->next) {
        unused_defines(c, names, reading->defines, text->source);
    }
}

/* A code by itself, and the jurisdiction whose law this is: others are proofread by themselves. */
static bool is_own(const Check *c, const Container *container)
{
    return container->code != NULL ? c->tree->jurisdiction == NULL
                                   : container->jurisdiction == c->tree->jurisdiction;
}

static void proof_globals(Check *c, const Container *container)
{
    Map *names = NULL;
    for (const Global *global = container->globals; global != NULL; global = global->next) {
        if (global->used || global->kind == GLOBAL_WORKSHEET || !is_own(c, container)) {
            continue;
        }
        if (names == NULL) { /* another date, or a jurisdiction within, may use it */
            names = map_new(c->arena);
            if (container->code != NULL) {
                mention_code(names, c->library->names, container->code);
            }
            for (uint32_t i = 0; i < c->library->jurisdiction_count; i++) {
                mention_jurisdiction(names, c->library->names, c->library->jurisdictions[i]);
            }
        }
        if (map_get(names, global->name) == NULL) {
            warn_unused(c, global->name, global->place);
        }
    }
}

/* ---- numbers: worked examples, exceptions by a section ---- */

static const Name *number_name(Check *c, Text number, const Name *part)
{
    if (part == NULL) {
        return names_intern(c->library->names, number);
    }
    Text text = text_format(c->arena, "%.*s part %.*s", TEXT_ARG(number), TEXT_ARG(part->text));
    return names_intern(c->library->names, text);
}

static void know_examples(Check *c, Map *found, const ExampleTree *example)
{
    for (; example != NULL; example = example->next) {
        const ExpectedTree *expected = example->expected;
        for (; expected != NULL; expected = expected->next) {
            const TargetTree *target = &expected->target;
            (void)map_put(found, number_name(c, target->number, target->part), found);
        }
    }
}

static bool has_example(Check *c, const Map *found, const SectionTree *section)
{
    return map_get(found, number_name(c, section->number, NULL)) != NULL ||
           (section->part != NULL &&
            map_get(found, number_name(c, section->number, section->part)) != NULL);
}

/* Where the innermost jurisdiction changed or inserted the section. */
static Place change_place(const SectionTreeInForce *section)
{
    for (uint32_t t = 0; t < section->text_count; t++) {
        const TextTree *text = &section->texts[t];
        if (text->chain_count > 0) {
            return text->chain[text->chain_count - 1].place;
        }
    }
    return (Place){section->section->source, section->section->number_span};
}

static void proof_examples(Check *c)
{
    Map *found = map_new(c->arena);
    const JurisdictionTree *jurisdiction = c->tree->jurisdiction;
    if (jurisdiction != NULL) {
        know_examples(c, found, jurisdiction->examples);
    } else {
        for (uint32_t i = 0; i < c->tree->code_count; i++) {
            know_examples(c, found, c->tree->codes[i]->examples);
        }
    }
    for (uint32_t i = 0; i < c->tree->section_count; i++) {
        const SectionTreeInForce *section = &c->tree->sections[i];
        bool is_proved_before = jurisdiction == NULL && section->section->taken_over;
        if (section->jurisdiction != jurisdiction || is_proved_before ||
            has_example(c, found, section->section)) {
            continue;
        }
        c->section = section->section;
        proof_warning(c, "no worked example", change_place(section),
                      "no worked example finds section '%.*s'%s",
                      TEXT_ARG(section->section->number),
                      jurisdiction == NULL ? "" : " as it is changed here");
    }
    c->section = NULL;
}

/* The number, and what it is a subdivision of. */
static void know_number(Check *c, Map *exact, Map *above, Text number)
{
    (void)map_put(exact, names_intern(c->library->names, number), exact);
    for (size_t len = number.len; len > 0; len--) {
        char next = len < number.len ? number.data[len] : '.';
        if (!ascii_is_digit(next) && !ascii_is_letter(next)) {
            Text upper = {number.data, len};
            (void)map_put(above, names_intern(c->library->names, upper), above);
        }
    }
}

static bool is_number_known(Check *c, const Map *exact, const Map *above, Text number)
{
    const Name *name = names_find(c->library->names, number);
    if (name != NULL && map_get(above, name) != NULL) {
        return true;
    }
    for (size_t len = number.len; len > 0; len--) {
        char next = len < number.len ? number.data[len] : '.';
        name = names_find(c->library->names, (Text){number.data, len});
        if (!ascii_is_digit(next) && !ascii_is_letter(next) && name != NULL &&
            map_get(exact, name) != NULL) {
            return true;
        }
    }
    return false;
}

static void proof_by(Check *c, const Map *exact, const Map *above, Text by, Place place)
{
    if (by.len > 0 && !is_number_known(c, exact, above, by)) {
        proof_warning(c, "unknown section", place, "no section '%.*s' is known to grant this",
                      TEXT_ARG(by));
    }
}

static void proof_exceptions(Check *c, const Map *exact, const Map *above, const TextTree *text)
{
    const ExceptionTree *exception = text->body->exceptions;
    for (; exception != NULL; exception = exception->next) {
        bool local = exception->source != NULL;
        const Source *source = local ? exception->source : text->source;
        if ((local ? exception->jurisdiction : text->jurisdiction) != c->tree->jurisdiction) {
            continue; /* proofread in its own law */
        }
        proof_by(c, exact, above, exception->by, (Place){source, exception->by_span});
        for (const UnlessTree *unless = exception->unless; unless != NULL; unless = unless->next) {
            proof_by(c, exact, above, unless->by, (Place){source, unless->by_span});
        }
    }
}

static void know_numbers(Check *c, Map *exact, Map *above)
{
    for (uint32_t i = 0; i < c->tree->code_count; i++) {
        const CodeTree *code = c->tree->codes[i];
        for (const SectionTree *s = code->sections; s != NULL; s = s->next) {
            know_number(c, exact, above, s->number);
        }
        for (const OmittedTree *omitted = code->omitted; omitted != NULL; omitted = omitted->next) {
            know_number(c, exact, above, omitted->target.number);
        }
    }
    for (uint32_t i = 0; i < c->tree->section_count; i++) {
        know_number(c, exact, above, c->tree->sections[i].section->number);
    }
}

/* ---- topics ---- */

static bool speaks_of_each(const Section *section)
{
    for (uint32_t t = 0; t < section->text_count; t++) {
        if (section->texts[t].tree->body->eachs == NULL) {
            return false;
        }
    }
    return section->text_count > 0;
}

static bool has_stet(const Section *section, const char *name)
{
    for (const StetTree *stet = section->tree->section->stets; stet != NULL; stet = stet->next) {
        if (text_equal(stet->message, text_of(name))) {
            return true;
        }
    }
    return false;
}

/* A topic whose sections all speak of each item: with no such item, all is not applicable. */
static void proof_topics(Check *c)
{
    static const char name[] = "no such item required";
    Map *done = map_new(c->arena);
    for (uint32_t i = 0; i < c->law->section_count; i++) {
        const Section *section = &c->law->sections[i];
        if (section->topic != NULL && (!speaks_of_each(section) || has_stet(section, name))) {
            (void)map_put(done, section->topic, done);
        }
    }
    for (uint32_t i = 0; i < c->law->section_count; i++) {
        const Section *section = &c->law->sections[i];
        if (section->topic == NULL || map_put(done, section->topic, done) != NULL) {
            continue;
        }
        const SectionTree *tree = section->tree->section;
        proof_warning(c, name, (Place){tree->source, tree->topic_span},
                      "the sections on '%.*s' speak of each item, and none requires that there be "
                      "one",
                      TEXT_ARG(section->topic->name->text));
    }
}

/* ---- all ---- */

static void proof_stets(Check *c, const SectionTree *section)
{
    for (const StetTree *stet = section->stets; stet != NULL; stet = stet->next) {
        Text names[WARNING_NAMES];
        bool known = false;
        for (size_t i = 0; i < WARNING_NAMES; i++) {
            names[i] = text_of(warning_names[i]);
            known = known || text_equal(names[i], stet->message);
        }
        if (!known) {
            diagnostic_warning(
                c->diags, "unknown message", (Place){section->source, stet->span},
                "no warning has the name '%.*s'%.*s", TEXT_ARG(stet->message),
                TEXT_ARG(nearest_hint(c->arena, stet->message, names, WARNING_NAMES)));
        }
    }
}

void proof_law(Check *c)
{
    c->context.scope = NULL;
    for (uint32_t i = 0; i < c->container_count; i++) {
        proof_globals(c, &c->containers[i]);
    }
    Map *exact = map_new(c->arena);
    Map *above = map_new(c->arena);
    know_numbers(c, exact, above);
    for (uint32_t i = 0; i < c->tree->section_count; i++) {
        const SectionTreeInForce *section = &c->tree->sections[i];
        c->section = section->section;
        proof_stets(c, section->section);
        for (uint32_t t = 0; t < section->text_count; t++) {
            proof_text(c, &section->texts[t]);
            proof_exceptions(c, exact, above, &section->texts[t]);
        }
    }
    c->section = NULL;
    proof_examples(c);
    if (c->tree->jurisdiction == NULL) {
        proof_topics(c);
    }
}
