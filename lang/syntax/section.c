/* Constructors for clauses and sections. Clauses come as parts, in the order of the file; here
 * they are sorted into the fields of their section, and what is said twice, or cannot be said
 * where it stands, is reported. */
#include "syntax/parse.h"

#include "syntax/syntax.h"

/* ---- parts ---- */

PartTree *part_new(Parse *parse, Span span, PartKind kind, void *node)
{
    PartTree *part = ARENA_NEW(parse->arena, PartTree);
    part->kind = (uint8_t)kind;
    part->span = span;
    part->node = node;
    return part;
}

PartTree *part_text(Parse *parse, Span span, PartKind kind, Quoted text)
{
    PartTree *part = part_new(parse, span, kind, NULL);
    part->text = text.text;
    part->at = text.span;
    return part;
}

PartTree *part_name(Parse *parse, Span span, PartKind kind, Named name, int detail)
{
    PartTree *part = part_new(parse, span, kind, NULL);
    part->name = name.name;
    part->at = name.span;
    part->detail = (uint8_t)detail;
    return part;
}

/* A word out of a fixed set; -1 with a message and the nearest. */
static int find_word(Parse *parse, Named name, const char *what, const Text *words, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (text_equal(name.name->text, words[i])) {
            return (int)i;
        }
    }
    Diagnostic *diag = parse_error(parse, "unknown word", name.span, "'%.*s' is no %s",
                                   TEXT_ARG(name.name->text), what);
    long nearest = text_nearest(name.name->text, words, count);
    if (nearest >= 0) {
        parse_hint(parse, diag, "did you mean '%.*s'?", TEXT_ARG(words[nearest]));
    }
    Buffer all = buffer_make(parse->arena);
    for (size_t i = 0; i < count; i++) {
        buffer_format(&all, "%s%.*s", i > 0 ? ", " : "", TEXT_ARG(words[i]));
    }
    Text list = buffer_done(&all);
    parse_hint(parse, diag, "there are %.*s", TEXT_ARG(list));
    return -1;
}

PartTree *part_stage(Parse *parse, Span span, WordList words)
{
    Text stages[STAGE_OPERATION + 1];
    for (int stage = STAGE_INTAKE; stage <= STAGE_OPERATION; stage++) {
        stages[stage] = text_of(stage_word((Stage)stage));
    }
    PartTree *part = part_new(parse, span, PART_STAGE, NULL);
    part->at = span_join(words.first->span, words.last->span);
    for (const Word *word = words.first; word != NULL; word = word->next) {
        int stage =
            find_word(parse, (Named){word->name, word->span}, "stage", stages, STAGE_OPERATION + 1);
        part->detail |= (uint8_t)(stage >= 0 ? 1U << (unsigned)stage : 0U);
    }
    return part;
}

PartTree *part_rework(Parse *parse, Span span, Named word)
{
    Text reworks[REWORK_PAPER];
    for (int rework = REWORK_FRAME; rework <= REWORK_PAPER; rework++) {
        reworks[rework - 1] = text_of(rework_word((Rework)rework));
    }
    PartTree *part = part_new(parse, span, PART_REWORK, NULL);
    part->at = word.span;
    part->detail = (uint8_t)(find_word(parse, word, "stage of rework", reworks, REWORK_PAPER) + 1);
    return part;
}

PartTree *part_basis(Parse *parse, Span span, Named word, Quoted title, Dated on)
{
    Text bases[BASIS_INVENTED];
    for (int basis = BASIS_READ; basis <= BASIS_INVENTED; basis++) {
        bases[basis - 1] = text_of(basis_word((BasisKind)basis));
    }
    int found = find_word(parse, word, "basis", bases, BASIS_INVENTED) + 1;
    bool is_titled = title.span.end > title.span.start;
    if (found != BASIS_UNSAID && is_titled != (found == BASIS_READ)) {
        Diagnostic *diag = parse_error(parse, "basis", span,
                                       "a title and a date go with 'basis read', and only with it");
        parse_hint(parse, diag, "write 'basis read \"title\" on 2025-07-01'");
    }
    BasisTree *basis = ARENA_NEW(parse->arena, BasisTree);
    *basis = (BasisTree){(uint8_t)found, title.text, on.day, span};
    return part_new(parse, span, PART_BASIS, basis);
}

PartTree *part_day(Parse *parse, Span span, PartKind kind, Day day)
{
    PartTree *part = part_new(parse, span, kind, NULL);
    part->day = day;
    return part;
}

PartTree *part_permit(Parse *parse, Span span, PermitKind kind, Day day)
{
    PermitTree *permit = ARENA_NEW(parse->arena, PermitTree);
    *permit = (PermitTree){(uint8_t)kind, day, span};
    return part_new(parse, span, PART_PERMIT, permit);
}

PartTree *part_stet(Parse *parse, Span span, Text message, Text reason)
{
    StetTree *stet = ARENA_NEW(parse->arena, StetTree);
    *stet = (StetTree){.message = message, .reason = reason, .span = span};
    return part_new(parse, span, PART_STET, stet);
}

Quoted phrase_add(Parse *parse, Quoted phrase, Named word)
{
    enum { PHRASE_MAX = 80 };
    if (phrase.text.len > PHRASE_MAX) {
        parse_error(parse, "ranks", word.span, "a rank of more than %d letters", PHRASE_MAX);
        return phrase;
    }
    if (phrase.text.len == 0) {
        return (Quoted){word.name->text, word.span};
    }
    Text joined =
        text_format(parse->arena, "%.*s %.*s", TEXT_ARG(phrase.text), TEXT_ARG(word.name->text));
    return (Quoted){joined, span_join(phrase.span, word.span)};
}

PhraseList phrases_add(Parse *parse, PhraseList list, Quoted phrase)
{
    enum { RANKS_MAX = 64 };
    if (list.texts == NULL) {
        list.texts = ARENA_ARRAY(parse->arena, Text, RANKS_MAX);
        list.span = phrase.span;
    }
    if (list.count == RANKS_MAX) {
        parse_error(parse, "ranks", phrase.span, "a code has at most %d ranks", RANKS_MAX);
        return list;
    }
    list.texts[list.count++] = phrase.text;
    list.span = span_join(list.span, phrase.span);
    return list;
}

PartTree *part_ranks(Parse *parse, Span span, PhraseList phrases)
{
    PartTree *part = part_new(parse, span, PART_RANKS, phrases.texts);
    part->detail = (uint8_t)phrases.count;
    part->at = phrases.span;
    return part;
}

/* ---- clauses ---- */

TargetTree *target_new(Parse *parse, Span span, Quoted number, Named part)
{
    TargetTree *target = ARENA_NEW(parse->arena, TargetTree);
    target->number = number.text;
    target->part = part.name;
    target->span = span;
    target->source = parse->source;
    return target;
}

EachTree *each_new(Parse *parse, Span span, Named a, Named b, Expr *list, Expr *where)
{
    EachTree *each = ARENA_NEW(parse->arena, EachTree);
    each->pair = b.name != NULL;
    each->a = a.name;
    each->a_span = a.span;
    each->b = b.name;
    each->b_span = b.span;
    each->list = list;
    each->where = where;
    each->span = span;
    return each;
}

ParamTree *param_new(Parse *parse, Span span, Named name, TypeTree type)
{
    ParamTree *param = ARENA_NEW(parse->arena, ParamTree);
    param->name = name.name;
    param->span = span;
    param->type = type;
    return param;
}

DefineTree *define_new(Parse *parse, Span span, Named name, ParamList params, Expr *value,
                       Expr *fallback)
{
    DefineTree *define = ARENA_NEW(parse->arena, DefineTree);
    define->name = name.name;
    define->name_span = name.span;
    define->span = span;
    define->params = params.first;
    define->value = value;
    define->fallback = fallback;
    define->source = parse->source;
    return define;
}

ReadingTree *reading_new(Parse *parse, Span span, Named name, DefineList defines)
{
    ReadingTree *reading = ARENA_NEW(parse->arena, ReadingTree);
    reading->name = name.name;
    reading->name_span = name.span;
    reading->defines = defines.first;
    reading->span = span;
    reading->source = parse->source;
    return reading;
}

LineTree *line_new(Parse *parse, Span span, bool negated, Named label, Expr *requirement,
                   Absence absence)
{
    LineTree *line = ARENA_NEW(parse->arena, LineTree);
    line->negated = negated;
    line->label = label.name;
    line->label_span = label.span;
    line->requirement = requirement;
    line->absence = absence.kind;
    line->fallback = absence.fallback;
    line->span = span;
    return line;
}

LineTree *line_discretion(Parse *parse, Span span, Text official, Named label, Text what)
{
    LineTree *line = line_new(parse, span, false, label, NULL, (Absence){0});
    line->discretion = true;
    line->official = official;
    line->what = what;
    return line;
}

ExceptionTree *exception_new(Parse *parse, Span span, Named to, Text approval, Expr *condition,
                             Quoted by)
{
    ExceptionTree *exception = ARENA_NEW(parse->arena, ExceptionTree);
    exception->to = to.name;
    exception->to_span = to.span;
    exception->approval = approval;
    exception->condition = condition;
    exception->by = by.text;
    exception->by_span = by.span;
    exception->span = span;
    return exception;
}

ExceptionTree *exception_unless(Parse *parse, ExceptionTree *exception, Span span, Expr *condition,
                                Quoted by)
{
    UnlessTree *unless = ARENA_NEW(parse->arena, UnlessTree);
    *unless = (UnlessTree){condition, by.text, by.span, NULL};
    unless->next = exception->unless; /* turned round when the exception is complete */
    exception->unless = unless;
    exception->span = span;
    return exception;
}

ExceptionTree *exception_lines(ExceptionTree *exception, Span span, LineList lines)
{
    UnlessTree *inverse = exception->unless;
    exception->unless = NULL;
    while (inverse != NULL) {
        UnlessTree *next = inverse->next;
        inverse->next = exception->unless;
        exception->unless = inverse;
        inverse = next;
    }
    exception->lines = lines.first;
    exception->span = span;
    return exception;
}

OmittedTree *omitted_new(Parse *parse, Span span, const TargetTree *target, Text reason)
{
    OmittedTree *omitted = ARENA_NEW(parse->arena, OmittedTree);
    omitted->target = *target;
    omitted->reason = reason;
    omitted->span = span;
    omitted->source = parse->source;
    return omitted;
}

/* ---- sorting the parts ---- */

void refuse_second(Parse *parse, const PartTree *part, const PartTree **seen, const char *word)
{
    if (*seen != NULL) {
        Diagnostic *diag =
            parse_error(parse, "said twice", part->span, "'%s' is said twice here", word);
        parse_see(parse, diag, (*seen)->span, "first here");
    } else {
        *seen = part;
    }
}

bool standing_put(Parse *parse, StandingTree *standing, StandingSeen *seen, const PartTree *part)
{
    switch (part->kind) {
    case PART_RANK:
        refuse_second(parse, part, &seen->rank, "rank");
        standing->rank = part->text;
        standing->rank_span = part->at;
        return true;
    case PART_AUTHORITY:
        refuse_second(parse, part, &seen->authority, "authority");
        standing->authority = part->name;
        standing->authority_span = part->at;
        standing->advises = part->detail == 2;
        return true;
    case PART_STAGE:
        refuse_second(parse, part, &seen->stage, "stage");
        standing->stages = part->detail;
        standing->stages_span = part->at;
        return true;
    case PART_REWORK:
        refuse_second(parse, part, &seen->rework, "rework");
        standing->rework = part->detail;
        return true;
    default: return false;
    }
}

/* Where the next node of each kind goes, and the parts of which there can be one. */
typedef struct BodyEnds {
    EachTree **each;
    Expr **when;
    DefineTree **define;
    ReadingTree **reading;
    LineTree **line;
    ExceptionTree **exception;
    Expr **scope;
    const PartTree *remedy, *basis, *permit;
} BodyEnds;

static BodyEnds body_ends(BodyTree *body)
{
    return (BodyEnds){.each = &body->eachs,
                      .when = &body->whens,
                      .define = &body->defines,
                      .reading = &body->readings,
                      .line = &body->lines,
                      .scope = &body->scopes,
                      .exception = &body->exceptions};
}

#define LINK(end, tree) (*(end) = (tree), (end) = &(*(end))->next)

static bool body_put(Parse *parse, BodyTree *body, BodyEnds *ends, const PartTree *part)
{
    switch (part->kind) {
    case PART_EACH: LINK(ends->each, part->node); return true;
    case PART_FOR_UNITS: LINK(ends->scope, part->node); return true;
    case PART_WHEN: LINK(ends->when, part->node); return true;
    case PART_DEFINE: LINK(ends->define, part->node); return true;
    case PART_READING: LINK(ends->reading, part->node); return true;
    case PART_LINE: LINK(ends->line, part->node); return true;
    case PART_EXCEPTION: LINK(ends->exception, part->node); return true;
    case PART_REMEDY:
        refuse_second(parse, part, &ends->remedy, "remedy");
        body->remedy = part->text;
        body->remedy_span = part->at;
        return true;
    case PART_BASIS:
        refuse_second(parse, part, &ends->basis, "basis");
        body->basis = *(const BasisTree *)part->node;
        return true;
    case PART_PERMIT:
        refuse_second(parse, part, &ends->permit, "units permitted");
        body->permit = *(const PermitTree *)part->node;
        return true;
    default: return false;
    }
}

BodyTree body_new(Parse *parse, PartList clauses)
{
    BodyTree body = {.parts = clauses.first};
    BodyEnds ends = body_ends(&body);
    for (const PartTree *part = clauses.first; part != NULL; part = part->next) {
        if (!body_put(parse, &body, &ends, part)) {
            parse_error(parse, "amendment", part->span,
                        "'to read' leaves this clause as it was: it cannot stand here");
        }
    }
    return body;
}

SectionTree *section_head(Parse *parse, Quoted number, Named part, Text heading)
{
    SectionTree *section = ARENA_NEW(parse->arena, SectionTree);
    section->number = number.text;
    section->number_span = number.span;
    section->part = part.name;
    section->heading = heading;
    section->source = parse->source;
    return section;
}

static TargetTree **copy_targets(Parse *parse, TargetTree **end, const TargetTree *target)
{
    for (; target != NULL; target = target->next) {
        TargetTree *copy = ARENA_NEW(parse->arena, TargetTree);
        *copy = *target;
        copy->next = NULL;
        LINK(end, copy); /* the part keeps its own list */
    }
    return end;
}

SectionTree *section_new(Parse *parse, Span span, SectionTree *section, PartList clauses)
{
    section->span = span;
    section->body.parts = clauses.first;
    BodyEnds ends = body_ends(&section->body);
    StandingSeen seen = {0};
    const PartTree *about = NULL;
    StetTree **stet = &section->stets;
    TargetTree **target = &section->notwithstanding;
    TargetTree **formerly = &section->formerly;
    TargetTree **also_at = &section->also_at;
    ConfirmedTree **confirmed = &section->confirmed;
    for (const PartTree *part = clauses.first; part != NULL; part = part->next) {
        if (part->kind == PART_ABOUT) {
            refuse_second(parse, part, &about, "topic");
            section->topic = part->name;
            section->topic_span = part->at;
        } else if (part->kind == PART_NOTWITHSTANDING) {
            target = copy_targets(parse, target, part->node);
        } else if (part->kind == PART_FORMERLY) {
            formerly = copy_targets(parse, formerly, part->node);
        } else if (part->kind == PART_ALSO_AT) {
            also_at = copy_targets(parse, also_at, part->node);
        } else if (part->kind == PART_CONFIRMED) {
            confirmed_in_section(parse, part->node);
            LINK(confirmed, part->node);
        } else if (part->kind == PART_NO_WAIVER) {
            section->never_waived = true;
            section->never_waived_span = part->span;
        } else if (part->kind == PART_STET) {
            LINK(stet, part->node);
        } else if (!standing_put(parse, &section->standing, &seen, part)) {
            (void)body_put(parse, &section->body, &ends, part);
        }
    }
    return section;
}
