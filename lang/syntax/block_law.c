/* Constructors for jurisdictions with their blocks and changes, and for places. */
#include "syntax/parse.h"

#define LINK(end, tree) (*(end) = (tree), (end) = &(*(end))->next)

/* ---- jurisdictions ---- */

JurisdictionTree *jurisdiction_head(Parse *parse, Named name, Text title, Named within)
{
    JurisdictionTree *jurisdiction = ARENA_NEW(parse->arena, JurisdictionTree);
    jurisdiction->name = name.name;
    jurisdiction->name_span = name.span;
    jurisdiction->title = title;
    jurisdiction->within = within.name;
    jurisdiction->within_span = within.span;
    jurisdiction->source = parse->source;
    return jurisdiction;
}

JurisdictionTree *jurisdiction_piece(Parse *parse, Named name)
{
    JurisdictionTree *jurisdiction = jurisdiction_head(parse, name, (Text){0}, (Named){0});
    jurisdiction->continued = true;
    return jurisdiction;
}

JurisdictionTree *jurisdiction_new(Parse *parse, Span span, JurisdictionTree *jurisdiction,
                                   PartList parts)
{
    jurisdiction->span = span;
    jurisdiction->parts = parts.first;
    BlockTree **block = &jurisdiction->blocks;
    DefineTree **define = &jurisdiction->defines;
    TableTree **table = &jurisdiction->tables;
    WorksheetTree **worksheet = &jurisdiction->worksheets;
    ChecklistTree **checklist = &jurisdiction->checklists;
    ConfirmedTree **confirmed = &jurisdiction->confirmed;
    ExampleTree **example = &jurisdiction->examples;
    for (const PartTree *part = parts.first; part != NULL; part = part->next) {
        if (part->kind == PART_BLOCK) {
            LINK(block, part->node);
        } else if (part->kind == PART_DEFINE) {
            LINK(define, part->node);
        } else if (part->kind == PART_TABLE) {
            LINK(table, part->node);
        } else if (part->kind == PART_WORKSHEET) {
            LINK(worksheet, part->node);
        } else if (part->kind == PART_CHECKLIST) {
            LINK(checklist, part->node);
        } else if (part->kind == PART_CONFIRMED) {
            confirmed_in_law(parse, part->node);
            LINK(confirmed, part->node);
        } else if (part->kind == PART_EXAMPLE) {
            LINK(example, part->node);
        }
    }
    return jurisdiction;
}

/* ---- blocks ---- */

static BlockTree *block_make(Parse *parse, Span span, bool amends, Named code, Quoted by)
{
    BlockTree *block = ARENA_NEW(parse->arena, BlockTree);
    block->amends = amends;
    block->code = code.name;
    block->code_span = code.span;
    block->until = DAY_FOREVER;
    block->by = by.text;
    block->by_span = by.span;
    block->passed = block->filed = block->effective = DAY_UNSAID;
    block->span = span;
    block->source = parse->source;
    return block;
}

BlockTree *block_new(Parse *parse, Span span, bool amends, Named code, Text edition, Dated from,
                     Dated until, Quoted by)
{
    BlockTree *block = block_make(parse, span, amends, code, by);
    block->edition = edition;
    block->from = from.day;
    block->from_span = from.span;
    block->until = until.day;
    block->until_span = until.span;
    if (until.day < from.day && !until.wrong && !from.wrong) {
        parse_error(parse, "date", until.span, "the last day in force is before the first");
    }
    return block;
}

/* Month by its English name, 1..12; 0 after a message. */
static uint8_t read_month(Parse *parse, Named month)
{
    static const char *const months[] = {"January",   "February", "March",    "April",
                                         "May",       "June",     "July",     "August",
                                         "September", "October",  "November", "December"};
    enum { MONTHS = sizeof months / sizeof months[0] };
    Text names[MONTHS];
    for (size_t i = 0; i < MONTHS; i++) {
        names[i] = text_of(months[i]);
        if (text_equal(month.name->text, names[i])) {
            return (uint8_t)(i + 1);
        }
    }
    Diagnostic *diag =
        parse_error(parse, "date", month.span, "'%.*s' is no month", TEXT_ARG(month.name->text));
    long nearest = text_nearest(month.name->text, names, MONTHS);
    if (nearest >= 0) {
        parse_hint(parse, diag, "did you mean '%.*s'?", TEXT_ARG(names[nearest]));
    }
    return 0;
}

/* 1..31; 0 after a message. */
static uint8_t read_day(Parse *parse, Amount day, Named month, uint8_t month_number)
{
    Text digits = source_slice(parse, day.span);
    unsigned number = 0;
    for (size_t i = 0; i < digits.len; i++) {
        bool is_digit = ascii_is_digit(digits.data[i]) && digits.len <= 2;
        number = is_digit ? number * 10 + (unsigned)(digits.data[i] - '0') : 0;
    }
    Day first = 0;
    Day last = 0;
    const char *reason = "";
    Text leap = text_format(parse->arena, "2000-%02u-%02u", month_number, number);
    if (month_number != 0 && !date_parse(leap, &first, &last, &reason)) {
        parse_error(parse, "date", day.span, "'%.*s %.*s' is no day of the year", TEXT_ARG(digits),
                    TEXT_ARG(month.name->text));
        return 0;
    }
    return (uint8_t)number;
}

BlockTree *block_rolling(Parse *parse, Span span, Named code, Amount day, Named month, Quoted by)
{
    BlockTree *block = block_make(parse, span, false, code, by);
    block->rolling = true;
    block->from_span = span_join(day.span, month.span);
    block->rolling_month = read_month(parse, month);
    block->rolling_day = read_day(parse, day, month, block->rolling_month);
    return block;
}

BlockTree *block_day(Parse *parse, BlockTree *block, Span span, Day *of, Dated day)
{
    if (*of != DAY_UNSAID) {
        parse_error(parse, "said twice", day.span, "this date is said twice here");
    }
    *of = day.day;
    block->span = span;
    return block;
}

BlockTree *block_emergency(Parse *parse, BlockTree *block, Span span)
{
    if (block->until == DAY_FOREVER) {
        Diagnostic *diag = parse_error(parse, "emergency without an end", block->by_span,
                                       "an emergency rule says until when it is in force");
        parse_hint(parse, diag, "write 'in force from DATE until DATE'");
    }
    block->emergency = true;
    block->span = span;
    return block;
}

BlockTree *block_change(BlockTree *block, Span span, ChangeTree *change)
{
    change->next = block->changes;
    block->changes = change;
    block->span = span;
    return block;
}

/* Passed, filed, effective, in force: none before the one that comes first. */
static void check_days(Parse *parse, const BlockTree *block)
{
    Day days[] = {block->passed, block->filed, block->effective, block->from};
    Day before = DAY_UNSAID;
    for (size_t i = 0; !block->rolling && i < sizeof days / sizeof days[0]; i++) {
        if (days[i] != DAY_UNSAID && days[i] < before) {
            parse_error(parse, "dates out of order", block->by_span,
                        "an act is passed, then filed, then effective, then in force: these dates "
                        "come in another order");
            return;
        }
        before = days[i] == DAY_UNSAID ? before : days[i];
    }
}

BlockTree *block_done(Parse *parse, BlockTree *block)
{
    ChangeTree *inverse = block->changes;
    block->changes = NULL;
    while (inverse != NULL) {
        ChangeTree *next = inverse->next;
        inverse->next = block->changes;
        block->changes = inverse;
        inverse = next;
    }
    check_days(parse, block);
    if (block->rolling && block->changes != NULL) {
        Diagnostic *diag = parse_error(parse, "change of each edition", block->changes->span,
                                       "an adoption of each edition changes nothing by itself");
        parse_hint(parse, diag, "amend an edition in a block of its own: 'amends … edition …'");
    }
    return block;
}

/* ---- changes ---- */

ChangeTree *change_new(Parse *parse, Span span, ChangeKind kind, TargetList targets)
{
    ChangeTree *change = ARENA_NEW(parse->arena, ChangeTree);
    change->kind = (uint8_t)kind;
    change->targets = targets.first;
    change->day = DAY_UNSAID;
    change->span = span;
    return change;
}

ChangeTree *change_read(Parse *parse, Span span, TargetTree *target, PartList clauses)
{
    ChangeTree *change = change_new(parse, span, CHANGE_TO_READ, targets_one(target));
    change->body = body_new(parse, clauses);
    change->read_end = span;
    return change;
}

ChangeTree *change_limit(Parse *parse, Span span, TargetTree *target, Named label, Expr *limit)
{
    ChangeTree *change = change_new(parse, span, CHANGE_LIMIT, targets_one(target));
    change->label = label.name;
    change->label_span = label.span;
    change->limit = limit;
    return change;
}

ChangeTree *change_insert(Parse *parse, Span span, SectionTree *section)
{
    ChangeTree *change = change_new(parse, span, CHANGE_INSERT, (TargetList){0});
    change->section = section;
    return change;
}

ChangeTree *change_reading(Parse *parse, Span span, Named reading, TargetTree *in)
{
    TargetList targets = targets_add((TargetList){0}, in);
    ChangeTree *change = change_new(parse, span, CHANGE_APPLIES_READING, targets);
    change->label = reading.name;
    change->label_span = reading.span;
    return change;
}

ChangeTree *change_day(ChangeTree *change, Dated day)
{
    change->day = day.day;
    change->day_span = day.span;
    return change;
}

ChangeTree *change_reserve(ChangeTree *change)
{
    change->reserve = true;
    return change;
}

ChangeTree *change_exception(Parse *parse, Span span, ChangeKind kind, TargetTree *target,
                             Quoted cite, ExceptionTree *exception)
{
    ChangeTree *change = change_new(parse, span, kind, targets_one(target));
    change->cite = cite.text;
    change->cite_span = cite.span;
    change->exception = exception;
    change->read_end = span;
    return change;
}

ChangeTree *change_renumber(Parse *parse, Span span, TargetTree *target, Quoted number)
{
    ChangeTree *change = change_new(parse, span, CHANGE_RENUMBER, targets_one(target));
    change->number = number.text;
    change->number_span = number.span;
    return change;
}

ChangeTree *change_topics(Parse *parse, Span span, ChangeKind kind, Named code, WordList topics)
{
    ChangeTree *change = change_new(parse, span, kind, (TargetList){0});
    change->code = code.name;
    change->code_span = code.span;
    change->topics = topics.first;
    return change;
}

ChangeTree *change_for_units(Parse *parse, Span span, Expr *scope)
{
    ChangeTree *change = change_new(parse, span, CHANGE_FOR_UNITS, (TargetList){0});
    change->scope = scope;
    return change;
}

ChangeTree *change_act(Parse *parse, Span span, ChangeKind kind, Quoted act, Dated day,
                       TargetList targets)
{
    ChangeTree *change = change_new(parse, span, kind, targets);
    change->act = act.text;
    change->act_span = act.span;
    change->day = day.day;
    change->day_span = day.span;
    return change;
}

ChangeTree *change_fate(ChangeTree *change, Span span, Fate fate)
{
    change->fate = fate.kind;
    change->carried_to = fate.carried_to;
    change->fate_span = fate.span;
    change->span = span;
    return change;
}

/* ---- places ---- */

PlaceTree *place_head(Parse *parse, Named name, Text title)
{
    PlaceTree *place = ARENA_NEW(parse->arena, PlaceTree);
    place->name = name.name;
    place->name_span = name.span;
    place->title = title;
    place->source = parse->source;
    return place;
}

PlaceTree *place_new(Parse *parse, Span span, PlaceTree *place, PartList parts)
{
    (void)parse;
    place->span = span;
    place->parts = parts.first;
    HolderTree **holder = &place->holders;
    for (const PartTree *part = parts.first; part != NULL; part = part->next) {
        LINK(holder, part->node);
    }
    return place;
}

HolderTree *holder_new(Parse *parse, Named authority, Named jurisdiction, Expr *where,
                       bool otherwise)
{
    HolderTree *holder = ARENA_NEW(parse->arena, HolderTree);
    holder->authority = authority.name;
    holder->authority_span = authority.span;
    holder->jurisdiction = jurisdiction.name;
    holder->jurisdiction_span = jurisdiction.span;
    holder->where = where;
    holder->otherwise = otherwise;
    return holder;
}

HolderTree *holder_by(HolderTree *holder, Span span, Text by)
{
    holder->by = by;
    holder->span = span;
    return holder;
}
