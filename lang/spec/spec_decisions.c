/* What officials have granted or decided, as a spec records it: variances, decisions, approvals.
 *
 * A record is as narrow as its paper, so each names its section (or what is approved), its
 * jurisdiction, its dates and its document; one that leaves these out is an error, not a wider
 * grant. Whether it works, and where, is for judge/ to say. */
#include "spec/spec_read.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* ---- items ---- */

static void read_items(Reader *reader, const Datum *datum, Decision *decision)
{
    ItemPick **tail = &decision->items;
    if (datum == NULL || datum_is_none(datum)) {
        return;
    }
    if (datum_is_word(datum, TEXT("all items"))) {
        decision->all_items = true;
        return;
    }
    if (datum->kind == DATUM_MAP) {
        Diagnostic *diag = read_wrong_kind(reader, datum, TEXT("a list of names"));
        diagnostic_note(reader->diags, diag, (Place){0}, "or write 'all items'");
        return;
    }
    for (const Datum *member = datum->kind == DATUM_LIST ? datum->first : datum; member != NULL;
         member = datum->kind == DATUM_LIST ? member->next : NULL) {
        Text name = TEXT("");
        if (read_on(reader, member)) {
            name = text_read(reader, member, TEXT("the name of an item"));
        }
        if (name.len > 0) {
            ItemPick *pick = ARENA_NEW(reader->arena, ItemPick);
            pick->name = name;
            pick->place = member->place;
            *tail = pick;
            tail = &pick->next;
        }
    }
}

/* ---- limits ---- */

/* "12 in x 14 in x 10 in", and not a unit with an x in it. */
static bool looks_like_size(Text text)
{
    size_t crosses = 0;
    for (size_t at = 0; at < text.len;) {
        uint32_t code = 0;
        size_t len = utf8_next(text, at, &code);
        bool apart = at > 0 && !ascii_is_letter(text.data[at - 1]);
        crosses += code == 0xd7 || ((code == 'x' || code == 'X') && apart);
        at += len;
    }
    return crosses == 2;
}

/* "2025-07-01": four digits and a dash, which begin no quantity. */
static bool looks_like_date(Text text)
{
    for (size_t i = 0; i < 4; i++) {
        if (i >= text.len || !ascii_is_digit(text.data[i])) {
            return false;
        }
    }
    return text.len > 4 && text.data[4] == '-';
}

/* The limit in place; what it limits is known only to the section. */
static void read_limit(Reader *reader, const Datum *datum, Decision *decision)
{
    Value *limit = &decision->limit;
    Text text = text_trim(datum->text);
    bool inexact = false;
    if (!datum_is_scalar(datum)) {
        (void)read_wrong_kind(reader, datum, TEXT("a quantity, a date or a size"));
        return;
    }
    if (looks_like_size(text)) {
        decision->has_limit = size_read(reader, datum, limit, &decision->limit_unit, &inexact);
    } else if (looks_like_date(text)) {
        Day first = 0;
        Day last = 0;
        decision->has_limit = date_read(reader, datum, &first, &last);
        limit->range = date_range(first, last);
        inexact = first != last;
    } else {
        Quantity quantity;
        decision->has_limit = quantity_read(reader, datum, &quantity);
        if (decision->has_limit) {
            limit->range = quantity.range;
            decision->limit_unit = quantity.unit;
            inexact = !range_is_exact(&quantity.range);
        }
    }
    if (decision->has_limit && inexact) {
        diagnostic_error(reader->diags, "wrong limit", datum->place,
                         "a limit is exact: '%.*s' is a range",
                         TEXT_ARG(text_shown(reader->arena, datum->text)));
        decision->has_limit = false;
    }
    limit->can = CAN_BE_PRESENT;
}

/* ---- the three kinds ---- */

/* Section, part, jurisdiction, document: what all have. */
static void read_common(const Form *form, Decision *decision, bool section_required)
{
    const Reader *reader = form->reader;
    (void)reader;
    decision->section = form_text(form, "section", section_required);
    decision->jurisdiction = form_text(form, "jurisdiction", true);
    decision->document = form_text(form, "document", true);
    decision->place = form->map->place;
    decision->until = DAY_FOREVER;
}

/* `expires`: a day, or none. */
static void read_expiry(const Form *form, Decision *decision)
{
    const Datum *member = form_member(form, "expires", false);
    if (member == NULL || datum_is_none(member)) {
        return;
    }
    if (form_day(form, "expires", false, &decision->until) && decision->until < decision->from) {
        diagnostic_error(form->reader->diags, "not a date", member->place,
                         "%s expires before it begins", form->what);
    }
}

static bool read_variance(Reader *reader, const Datum *datum, Decision *decision)
{
    static const char *const keys[] = {"section",      "code",   "part",    "line",
                                       "jurisdiction", "office", "granted", "expires",
                                       "document",     "items",  "limit"};
    Form form;
    size_t errors = reader->diags->errors;
    if (!form_open(&form, reader, datum, "a variance", keys, COUNT(keys))) {
        return false;
    }
    decision->kind = DECISION_VARIANCE;
    read_common(&form, decision, true);
    decision->code = form_text(&form, "code", false);
    decision->part = form_text(&form, "part", false);
    decision->line = form_text(&form, "line", false);
    decision->office = form_text(&form, "office", true);
    (void)form_day(&form, "granted", true, &decision->from);
    read_expiry(&form, decision);
    read_items(reader, form_member(&form, "items", false), decision);
    const Datum *limit = form_member(&form, "limit", false);
    if (limit != NULL && !datum_is_none(limit)) {
        read_limit(reader, limit, decision);
    }
    return reader->diags->errors == errors;
}

static bool read_decision(Reader *reader, const Datum *datum, Decision *decision)
{
    static const char *const keys[] = {"section", "code",     "part", "line",     "jurisdiction",
                                       "office",  "decision", "date", "document", "items"};
    Form form;
    size_t errors = reader->diags->errors;
    if (!form_open(&form, reader, datum, "a decision", keys, COUNT(keys))) {
        return false;
    }
    read_common(&form, decision, true);
    decision->code = form_text(&form, "code", false);
    decision->part = form_text(&form, "part", false);
    decision->line = form_text(&form, "line", false);
    decision->office = form_text(&form, "office", true);
    (void)form_day(&form, "date", true, &decision->from);
    read_items(reader, form_member(&form, "items", false), decision);
    const Datum *word = form_member(&form, "decision", true);
    if (word != NULL && datum_is_word(word, TEXT("approved"))) {
        decision->kind = DECISION_APPROVED;
    } else if (word != NULL && datum_is_word(word, TEXT("refused"))) {
        decision->kind = DECISION_REFUSED;
    } else if (word != NULL) {
        Diagnostic *diag =
            diagnostic_error(reader->diags, "unknown word", word->place, "%.*s is no decision",
                             TEXT_ARG(datum_shown(reader->arena, word)));
        diagnostic_note(reader->diags, diag, (Place){0}, "decisions: approved, refused");
    }
    return reader->diags->errors == errors;
}

static bool read_approval(Reader *reader, const Datum *datum, Decision *decision)
{
    static const char *const keys[] = {"of",      "jurisdiction", "date",
                                       "expires", "document",     "section"};
    Form form;
    size_t errors = reader->diags->errors;
    if (!form_open(&form, reader, datum, "an approval", keys, COUNT(keys))) {
        return false;
    }
    decision->kind = DECISION_APPROVAL;
    read_common(&form, decision, false);
    decision->of = form_text(&form, "of", true);
    (void)form_day(&form, "date", true, &decision->from);
    read_expiry(&form, decision);
    return reader->diags->errors == errors;
}

typedef bool (*ReadOne)(Reader *reader, const Datum *datum, Decision *decision);

static void read_list(Reader *reader, const Datum *datum, Text due, ReadOne read_one,
                      DecisionList *list)
{
    if (datum_is_blank(datum) || datum_is_none(datum)) {
        return;
    }
    if (datum->kind != DATUM_LIST) {
        (void)read_wrong_kind(reader, datum, due);
        return;
    }
    list->decisions = ARENA_ARRAY(reader->arena, Decision, datum->count);
    list->count = 0;
    for (const Datum *member = datum->first; member != NULL && read_on(reader, member);
         member = member->next) {
        Decision decision = {0};
        if (read_one(reader, member, &decision)) {
            list->decisions[list->count++] = decision;
        }
    }
}

void read_variances(Reader *reader, const Datum *datum)
{
    read_list(reader, datum, TEXT("a list of variances"), read_variance, &reader->lists[0]);
}

void read_decisions(Reader *reader, const Datum *datum)
{
    read_list(reader, datum, TEXT("a list of decisions"), read_decision, &reader->lists[1]);
}

void read_approvals(Reader *reader, const Datum *datum)
{
    read_list(reader, datum, TEXT("a list of approvals"), read_approval, &reader->lists[2]);
}

void decisions_join(Reader *reader)
{
    Spec *spec = reader->spec;
    size_t total = 0;
    for (size_t i = 0; i < DECISION_LISTS; i++) {
        total += reader->lists[i].count;
    }
    spec->decisions = ARENA_ARRAY(reader->arena, Decision, total);
    for (size_t i = 0; i < DECISION_LISTS; i++) {
        for (uint32_t j = 0; j < reader->lists[i].count; j++) {
            spec->decisions[spec->decision_count++] = reader->lists[i].decisions[j];
        }
    }
}
