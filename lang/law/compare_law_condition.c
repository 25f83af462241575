/* All that decides whether a text applies to a unit, compared in one place: the items of its each
 * lines, their conditions and those of its when lines, the units that its scopes name, the permits
 * that exempt, the sections that prevail over it. A condition more, and the text asks less. */
#include "law/compare_law_inner.h"

typedef struct Conditions {
    const SectionText *reading;
    const Form *items;
    Claim *claims;
    uint32_t count;
    Day exempt_before;   /* units permitted before it are exempt; INT32_MIN: none */
    const Form **turned; /* scopes of which not all may hold: taken as they are */
    uint32_t turned_count;
} Conditions;

static const Form *form_of_items(Comparing *c, const SectionText *text)
{
    Buffer out = buffer_make(c->arena);
    buffer_string(&out, "items");
    for (uint32_t i = 0; i < text->each_count; i++) {
        const EachCode *each = &text->eachs[i];
        buffer_format(&out, " %u%s", form_of(c, text, each->list)->number,
                      each->pair ? " pair" : "");
    }
    return form_of_words(c, buffer_done(&out));
}

static void add_claim(Comparing *c, Conditions *out, const Code *code)
{
    if (code != NULL) {
        (void)form_of(c, out->reading, code);
        out->claims[out->count++] = (Claim){code, false};
    }
}

static Day exempt_before(PermitTree permit)
{
    if (permit.kind == PERMIT_NOT_BEFORE) {
        return permit.day;
    }
    if (permit.kind == PERMIT_NOT_ON) {
        return permit.day + 1; /* on that day or earlier */
    }
    return INT32_MIN; /* the other clauses part the texts of a section */
}

const Form *form_of_scope(Comparing *c, const TextInForce *text, const ScopeCode *scope)
{
    Buffer out = buffer_make(c->arena);
    buffer_string(&out, scope->negated ? "not all" : "all");
    for (uint32_t i = 0; i < scope->count; i++) {
        buffer_format(&out, " %u", form_of(c, &text->readings[0], scope->conditions[i])->number);
    }
    return form_of_words(c, buffer_done(&out));
}

static bool scope_counts(const TextSide *side, const Form *form)
{
    for (uint32_t i = 0; i < side->scope_count; i++) {
        if (side->scopes[i] == form) {
            return true;
        }
    }
    return false;
}

static uint32_t count_claims(const TextSide *side)
{
    uint32_t count = side->reading->each_count + side->reading->when_count;
    for (uint32_t i = 0; i < side->text->scope_count; i++) {
        count += side->text->scopes[i].count;
    }
    return count;
}

static void add_scopes(Comparing *c, const TextSide *side, Conditions *out)
{
    const TextInForce *text = side->text;
    out->turned = ARENA_ARRAY(c->arena, const Form *, text->scope_count + 1);
    for (uint32_t i = 0; i < text->scope_count; i++) {
        const ScopeCode *scope = &text->scopes[i];
        const Form *form = form_of_scope(c, text, scope);
        if (!scope_counts(side, form)) {
            continue;
        }
        if (scope->negated) {
            out->turned[out->turned_count++] = form;
        }
        for (uint32_t k = 0; !scope->negated && k < scope->count; k++) {
            add_claim(c, out, scope->conditions[k]);
        }
    }
}

static Conditions conditions_of(Comparing *c, const TextSide *side)
{
    const SectionText *reading = side->reading;
    Conditions out = {.reading = reading, .items = form_of_items(c, reading)};
    out.claims = ARENA_ARRAY(c->arena, Claim, count_claims(side) + 1);
    for (uint32_t i = 0; i < reading->each_count; i++) {
        add_claim(c, &out, reading->eachs[i].where);
    }
    for (uint32_t i = 0; i < reading->when_count; i++) {
        add_claim(c, &out, reading->whens[i]);
    }
    add_scopes(c, side, &out);
    out.exempt_before = exempt_before(side->text->tree->exempt);
    if (out.exempt_before <= side->from) {
        out.exempt_before = INT32_MIN; /* nobody of whom this is said */
    }
    return out;
}

static bool has_turned(const Conditions *all, const Conditions *of)
{
    for (uint32_t i = 0; i < of->turned_count; i++) {
        uint32_t j = 0;
        while (j < all->turned_count && all->turned[j] != of->turned[i]) {
            j++;
        }
        if (j == all->turned_count) {
            return false;
        }
    }
    return true;
}

/* Wherever `from` applies, `to` does too, as far as the conditions written in them go. */
static bool conditions_imply(Comparing *c, const Conditions *from, const Conditions *to)
{
    if (from->items != to->items || from->exempt_before < to->exempt_before ||
        !has_turned(from, to)) {
        return false;
    }
    for (uint32_t i = 0; i < to->count; i++) {
        uint32_t j = 0;
        while (j < from->count && !claim_implies(c, from->claims[j], to->claims[i])) {
            j++;
        }
        if (j == from->count) {
            return false;
        }
    }
    return true;
}

static bool has_claims(const Comparing *c, const Conditions *all, const Conditions *of)
{
    if (!has_turned(all, of)) {
        return false;
    }
    for (uint32_t i = 0; i < of->count; i++) {
        uint32_t j = 0;
        while (j < all->count && !claim_is_same(c, all->claims[j], of->claims[i])) {
            j++;
        }
        if (j == all->count) {
            return false;
        }
    }
    return true;
}

static bool has_silencers(const Standing *all, const Standing *of)
{
    for (uint32_t i = 0; i < of->silencer_count; i++) {
        uint32_t j = 0;
        while (j < all->silencer_count && all->silencers[j] != of->silencers[i]) {
            j++;
        }
        if (j == all->silencer_count) {
            return false;
        }
    }
    return true;
}

Verdict compare_conditions(Comparing *c, const TextSide *a, const TextSide *b)
{
    Conditions one = conditions_of(c, a);
    Conditions other = conditions_of(c, b);
    bool fewer = has_silencers(b->standing, a->standing); /* all that silence a silence b */
    bool more = has_silencers(a->standing, b->standing);
    Verdict out = {.same = one.items == other.items && one.exempt_before == other.exempt_before &&
                           fewer && more && has_claims(c, &one, &other) &&
                           has_claims(c, &other, &one)};
    c->budget = BUDGET;
    out.second = out.same || (more && conditions_imply(c, &one, &other));
    c->budget = BUDGET;
    out.first = out.same || (fewer && conditions_imply(c, &other, &one));
    out.differs = out.same ? 0 : DIFFERS_CONDITION;
    return out;
}

const Form *form_of_conditions(Comparing *c, const Section *section)
{
    Buffer out = buffer_make(c->arena);
    buffer_string(&out, "applies");
    for (uint32_t i = 0; i < section->text_count; i++) {
        const TextInForce *text = &section->texts[i];
        buffer_format(&out, " text %d %d %u", text->tree->permitted_from,
                      text->tree->permitted_before, text->tree->floor);
        for (uint32_t k = 0; k < text->scope_count; k++) {
            buffer_format(&out, " %u", form_of_scope(c, text, &text->scopes[k])->number);
        }
        for (uint32_t r = 0; r < text->reading_count; r++) {
            TextSide side = {.text = text, .reading = &text->readings[r], .from = INT32_MIN};
            Conditions one = conditions_of(c, &side);
            buffer_format(&out, " %u %d", one.items->number, one.exempt_before);
            for (uint32_t k = 0; k < one.count; k++) {
                buffer_format(&out, ",%u", form_known(c, one.claims[k].code)->number);
            }
        }
    }
    return form_of_words(c, buffer_done(&out));
}
