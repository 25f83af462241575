/* What a codebook tells of one section: its text with the limits that are in force, for whom it is,
 * its chain and basis, what is declared of it; and what codes and levels hold beside sections. */
#include "report/cite.h"
#include "report/codebook.h"

static const Place NOWHERE = {NULL, {0, 0}};

/* ---- the text in force ---- */

static ExceptionTree *copy_exception(Arena *arena, const TextTree *text,
                                     const ExceptionTree *exception)
{
    ExceptionTree *copy = ARENA_NEW(arena, ExceptionTree);
    *copy = *exception;
    LineTree **end = &copy->lines;
    for (LineTree *line = exception->lines; line != NULL; line = line->next) {
        *end = ARENA_NEW(arena, LineTree);
        **end = line_in_force(arena, text, line);
        (*end)->next = NULL;
        end = &(*end)->next;
    }
    return copy;
}

/* What the reader is told in other words: standing beside the heading, permits as a window. */
static bool is_told_apart(const PartTree *part)
{
    switch (part->kind) {
    case PART_ABOUT:
    case PART_RANK:
    case PART_AUTHORITY:
    case PART_STAGE:
    case PART_REWORK:
    case PART_BASIS:
    case PART_PERMIT:
    case PART_FOR_UNITS:
    case PART_NOTWITHSTANDING:
    case PART_FORMERLY:
    case PART_ALSO_AT:
    case PART_CONFIRMED:
    case PART_NO_WAIVER:
    case PART_STET: return true;
    default: return false;
    }
}

typedef struct PartList {
    Arena *arena;
    PartTree *first;
    PartTree **end;
} PartList;

static void add_part(PartList *out, const PartTree *part, void *node)
{
    PartTree *copy = ARENA_NEW(out->arena, PartTree);
    *copy = *part;
    copy->node = node;
    copy->next = NULL;
    *out->end = copy;
    out->end = &copy->next;
}

/* All exceptions of the body at once, where the first of its own stands: an ordinance may have put
 * one in that no part of the body holds. `at` is a part of the body's own source. */
static void add_exceptions(PartList *out, const TextTree *text, const PartTree *at)
{
    PartTree part = {.kind = PART_EXCEPTION, .span = at->span};
    const ExceptionTree *exception = text->body->exceptions;
    for (; exception != NULL; exception = exception->next) {
        bool is_own = exception->source == NULL || exception->source == text->source;
        part.span = is_own ? exception->span : part.span;
        add_part(out, &part, copy_exception(out->arena, text, exception));
    }
}

Text book_clauses(Arena *arena, const TextTree *text, size_t width)
{
    PartList out = {.arena = arena};
    out.end = &out.first;
    bool excepted = false;
    const PartTree *last = NULL;
    for (const PartTree *part = text->body->parts; part != NULL; last = part, part = part->next) {
        if (is_told_apart(part)) {
            continue;
        }
        if (!excepted && (part->kind == PART_EXCEPTION || part->kind == PART_REMEDY)) {
            add_exceptions(&out, text, part);
            excepted = true;
        }
        if (part->kind == PART_LINE) {
            LineTree *line = ARENA_NEW(arena, LineTree);
            *line = line_in_force(arena, text, part->node);
            add_part(&out, part, line);
        } else if (part->kind != PART_EXCEPTION) {
            add_part(&out, part, part->node);
        }
    }
    if (!excepted && last != NULL) {
        add_exceptions(&out, text, last);
    }
    return out.first == NULL ? TEXT("")
                             : syntax_print_clauses(arena, text->source, out.first, width);
}

/* ---- for whom it is ---- */

static void put_permits(Buffer *out, const TextTree *text)
{
    bool has_from = text->permitted_from != INT32_MIN;
    bool has_before = text->permitted_before != DAY_FOREVER;
    if (has_from || has_before) {
        buffer_string(out, "for units permitted");
    }
    if (has_from) {
        buffer_format(out, " on or after %.*s",
                      TEXT_ARG(date_print(out->arena, text->permitted_from)));
    }
    if (has_before) {
        buffer_format(out, "%s before %.*s", has_from ? " and" : "",
                      TEXT_ARG(date_print(out->arena, text->permitted_before)));
    }
}

static void put_exempt(Buffer *out, const TextTree *text)
{
    if (text->exempt.kind == PERMIT_ALL) {
        return;
    }
    buffer_format(out, "%snot for units under permit %s %.*s", out->len > 0 ? ", " : "",
                  text->exempt.kind == PERMIT_NOT_ON ? "on" : "before",
                  TEXT_ARG(date_print(out->arena, text->exempt.day)));
}

static void put_conditions(Buffer *out, const ScopeTree *scope)
{
    const Expr *at = scope->conditions;
    for (; at != NULL; at = at->next) {
        bool loose =
            scope->conditions->next != NULL && (at->kind == EXPR_OR || at->kind == EXPR_CHOICE);
        Text words = syntax_print_expr(out->arena, at);
        buffer_format(out, loose ? "%s(%.*s)" : "%s%.*s", at == scope->conditions ? "" : " and ",
                      TEXT_ARG(words));
    }
}

/* Those for which the text stands, then those for which another does. */
static void put_scopes(Buffer *out, const TextTree *text)
{
    for (int negated = 0; negated <= 1; negated++) {
        for (uint32_t i = 0; i < text->scope_count; i++) {
            const ScopeTree *scope = &text->scopes[i];
            if (scope->negated == (negated == 1)) {
                buffer_format(out, "%s%sfor units where ", out->len > 0 ? ", " : "",
                              scope->negated ? "not " : "");
                put_conditions(out, scope);
            }
        }
    }
}

/* ---- how it came to be so ---- */

static Text link_words(Arena *arena, const Link *link)
{
    Buffer out = buffer_make(arena);
    if (link->jurisdiction != NULL) {
        buffer_text(&out, jurisdiction_words(link->jurisdiction));
    }
    if (link->by.len > 0) {
        buffer_format(&out, "%s%.*s", out.len > 0 ? ", " : "", TEXT_ARG(link->by));
    }
    if (link->from != INT32_MIN) {
        buffer_format(&out, ", in force from %.*s", TEXT_ARG(date_print(arena, link->from)));
    }
    if (link->block != NULL) {
        book_put_dates(&out, link->block);
    }
    return buffer_done(&out);
}

BookRows book_history(Arena *arena, const SectionTreeInForce *section, const TextTree *text)
{
    BookRows rows = book_rows(arena);
    for (uint32_t i = 0; i < text->chain_count; i++) {
        const Link *link = &text->chain[i];
        book_add(&rows, link_word((LinkVerb)link->verb), link_words(arena, link), link->place);
    }
    const PermitTree *permit = &text->body->permit;
    if (permit->kind == PERMIT_EXISTING_FROM) {
        Text words = text_format(arena, "under this text from %.*s",
                                 TEXT_ARG(date_print(arena, permit->day)));
        book_add(&rows, "existing units", words, (Place){text->source, permit->span});
    }
    bool is_own = text->body->basis.kind != BASIS_UNSAID;
    const BasisTree *basis = is_own ? &text->body->basis : &section->code->basis;
    const Source *source = is_own ? text->source : section->code->source;
    bool is_said = basis->kind != BASIS_UNSAID;
    book_add(&rows, "basis", basis_words(arena, *basis),
             is_said ? (Place){source, basis->span} : NOWHERE);
    return rows;
}

bool book_same_history(const TextTree *a, const TextTree *b)
{
    if (a->chain_count != b->chain_count || a->body->basis.kind != b->body->basis.kind ||
        a->body->basis.day != b->body->basis.day ||
        !text_equal(a->body->basis.title, b->body->basis.title)) {
        return false;
    }
    for (uint32_t i = 0; i < a->chain_count; i++) {
        const Place *one = &a->chain[i].place;
        const Place *two = &b->chain[i].place;
        if (one->source != two->source || one->span.start != two->span.start) {
            return false;
        }
    }
    return true;
}

/* ---- what is declared of it ---- */

static Place section_place(const SectionTree *section)
{
    return (Place){section->source, section->number_span};
}

static bool is_named(const ChangeTree *change, const SectionTree *section)
{
    for (const TargetTree *target = change->targets; target != NULL; target = target->next) {
        if (target_covers(target->number, target->part, section->number, section->part)) {
            return true;
        }
    }
    return change->targets == NULL;
}

/* A declaration is of one edition and does not carry over. */
static bool declares(const Applied *applied, const CodeTree *code)
{
    return applied->code == code && text_equal(applied->block->edition, code->edition);
}

static bool governs(const SectionTreeInForce *section, const Name *reading)
{
    for (uint32_t i = 0; i < section->reading_count; i++) {
        if (section->readings[i] == reading) {
            return true;
        }
    }
    return false;
}

/* A reading of its own; one that the code shares is told with the code. */
static bool has_reading(const SectionTreeInForce *section, const Name *name)
{
    for (uint32_t i = 0; i < section->text_count; i++) {
        const ReadingTree *reading = section->texts[i].body->readings;
        for (; reading != NULL; reading = reading->next) {
            if (reading->name == name) {
                return true;
            }
        }
    }
    return false;
}

/* What a declaration says of a section; "" when it says nothing, or is no declaration. */
static Text declared_words(Arena *arena, const SectionTreeInForce *section,
                           const ChangeTree *change)
{
    if (!is_named(change, section->section)) {
        return TEXT("");
    }
    if (change->kind == CHANGE_LOCAL_FLOOR) {
        return TEXT("at least as strict: ");
    }
    if (change->kind == CHANGE_NO_LOCAL) {
        return TEXT("not to be amended: ");
    }
    if (change->kind == CHANGE_APPLIES_READING && governs(section, change->label) &&
        has_reading(section, change->label)) {
        return text_format(arena, "%.*s: ", TEXT_ARG(change->label->text));
    }
    return TEXT("");
}

static const char *declared_key(const ChangeTree *change)
{
    return change->kind == CHANGE_APPLIES_READING ? "reading applied" : "local law";
}

/* Readings of the text of which none is applied. */
static void add_open_readings(BookRows *rows, const SectionTreeInForce *section)
{
    Buffer out = buffer_make(rows->arena);
    uint32_t count = 0;
    for (uint32_t i = 0; i < section->text_count; i++) {
        const ReadingTree *reading = section->texts[i].body->readings;
        bool told = i > 0 && section->texts[i].body == section->texts[i - 1].body;
        for (; reading != NULL && !told; reading = reading->next, count++) {
            if (governs(section, reading->name)) {
                return;
            }
            buffer_format(&out, "%s%.*s", count > 0 ? ", " : "", TEXT_ARG(reading->name->text));
        }
    }
    if (count > 0) {
        Text words = text_format(rows->arena,
                                 "%.*s: none is applied here; where they differ, "
                                 "an official decides",
                                 TEXT_ARG(buffer_done(&out)));
        book_add(rows, "readings", words, NOWHERE);
    }
}

/* Numbers that it had, and that it is never waived. */
static void add_own(BookRows *rows, const SectionTreeInForce *section)
{
    if (section->former_number.len > 0) {
        book_add(rows, "in the code", section->former_number, section_place(section->section));
    }
    Buffer out = buffer_make(rows->arena);
    for (const TargetTree *at = section->section->formerly; at != NULL; at = at->next) {
        Text number = book_number(rows->arena, at->number, at->part);
        buffer_format(&out, "%s%.*s", out.len > 0 ? ", " : "", TEXT_ARG(number));
    }
    if (out.len > 0) {
        book_add(rows, "formerly", buffer_done(&out), section_place(section->section));
    }
    out = buffer_make(rows->arena);
    for (const TargetTree *at = section->section->also_at; at != NULL; at = at->next) {
        buffer_format(&out, "%s%.*s", out.len > 0 ? ", " : "", TEXT_ARG(at->number));
    }
    if (out.len > 0) {
        book_add(rows, "also at", buffer_done(&out), section_place(section->section));
    }
    if (section->never_waived) {
        book_add(rows, "variances", TEXT("none: not to be waived"), section->never_waived_place);
    }
}

/* One section, whatever number it has been given since. */
static bool is_same_section(const SectionTree *a, const SectionTree *b)
{
    return a == b || (a->source == b->source && a->number_span.start == b->number_span.start);
}

/* Local changes of it that a level above has displaced. */
static void add_displaced(BookRows *rows, const LawTree *law, const SectionTreeInForce *section)
{
    for (uint32_t i = 0; i < law->displaced_count; i++) {
        const DisplacedTree *displaced = &law->displaced[i];
        if (displaced->change != NULL && displaced->section != NULL &&
            is_same_section(displaced->section, section->section)) {
            book_add(rows, "displaced", book_displaced(rows->arena, displaced),
                     displaced->local.place);
        }
    }
}

Text book_displacing(Arena *arena, const DisplacedTree *displaced)
{
    const Link *by = &displaced->by;
    return text_format(arena, "displaced by %.*s, %.*s, from %.*s",
                       TEXT_ARG(jurisdiction_words(by->jurisdiction)), TEXT_ARG(by->by),
                       TEXT_ARG(date_print(arena, by->from)));
}

Text book_displaced(Arena *arena, const DisplacedTree *displaced)
{
    return text_format(arena, "%.*s; %.*s", TEXT_ARG(link_words(arena, &displaced->local)),
                       TEXT_ARG(book_displacing(arena, displaced)));
}

static void add_confirmed(BookRows *rows, const LawTree *law, const SectionTreeInForce *section)
{
    uint32_t count = 0;
    const ConfirmedTree **list = section_confirmations(rows->arena, law, section, &count);
    const TextTree *text = section->text_count > 0 ? &section->texts[0] : NULL;
    for (uint32_t i = 0; i < count; i++) {
        Text words =
            text_format(rows->arena, "by %.*s on %.*s, letter %.*s%s", TEXT_ARG(list[i]->office),
                        TEXT_ARG(date_print(rows->arena, list[i]->day)), TEXT_ARG(list[i]->letter),
                        confirmed_is_old(list[i], text) ? " (of an older text)" : "");
        book_add(rows, "reading confirmed", words, (Place){list[i]->source, list[i]->span});
    }
}

BookRows book_declared(Arena *arena, const LawTree *law, const SectionTreeInForce *section)
{
    BookRows rows = book_rows(arena);
    add_own(&rows, section);
    add_displaced(&rows, law, section);
    add_confirmed(&rows, law, section);
    uint32_t count = 0;
    const Applied *applied = law_applied(arena, law, &count);
    for (uint32_t i = 0; i < count; i++) {
        const BlockTree *block = applied[i].block;
        if (!declares(&applied[i], section->code)) {
            continue;
        }
        for (const ChangeTree *change = block->changes; change != NULL; change = change->next) {
            Text words = declared_words(arena, section, change);
            if (words.len > 0) {
                Text act = book_act(arena, applied[i].jurisdiction, block);
                words = text_format(arena, "%.*s%.*s", TEXT_ARG(words), TEXT_ARG(act));
                book_add(&rows, declared_key(change), words, (Place){block->source, change->span});
            }
        }
    }
    add_open_readings(&rows, section);
    return rows;
}

/* ---- floors ---- */

static uint32_t level_of(const LawTree *law, const JurisdictionTree *jurisdiction)
{
    uint32_t level = 0;
    while (level < law->level_count && law->levels[level] != jurisdiction) {
        level++;
    }
    return level;
}

/* Who keeps a floor: the outermost level that declares one, from the last of its own chain on. */
static const JurisdictionTree *floor_keeper(Arena *arena, const LawTree *law,
                                            const SectionTreeInForce *section, const TextTree *text)
{
    uint32_t least = 0;
    if (text->chain_count > 0) {
        least = level_of(law, text->chain[text->chain_count - 1].jurisdiction);
    }
    uint32_t count = 0;
    const Applied *applied = law_applied(arena, law, &count);
    for (uint32_t i = 0; i < count; i++) { /* the outermost level first */
        const Applied *at = &applied[i];
        if (!declares(at, section->code) || level_of(law, at->jurisdiction) < least) {
            continue;
        }
        const ChangeTree *change = at->block->changes;
        for (; change != NULL; change = change->next) {
            if (change->kind == CHANGE_LOCAL_FLOOR && is_named(change, section->section)) {
                return at->jurisdiction;
            }
        }
    }
    return NULL;
}

Text book_window(Arena *arena, const LawTree *law, const SectionTreeInForce *section,
                 const TextTree *text)
{
    Buffer out = buffer_make(arena);
    put_permits(&out, text);
    put_exempt(&out, text);
    put_scopes(&out, text);
    Text units = buffer_done(&out);
    if (!text->floor) {
        return units;
    }
    const JurisdictionTree *keeper = floor_keeper(arena, law, section, text);
    Buffer kept = buffer_make(arena);
    buffer_string(&kept, "kept beside it");
    if (keeper != NULL) {
        buffer_format(&kept, " by %.*s", TEXT_ARG(jurisdiction_words(keeper)));
    }
    buffer_format(&kept, ", locally at least as strict%s%.*s", units.len > 0 ? ", " : "",
                  TEXT_ARG(units));
    return buffer_done(&kept);
}

/* ---- definitions and tables ---- */

/* Has the list of the whole code the node that stands there? An edition that begins as another one
 * may have written it anew. */
/* NOLINTBEGIN(bugprone-macro-parentheses): a type cannot stand in parentheses */
#define HOLDS(Type, function)                                                                \
    static bool function(const Type *list, const Type *node, const Source *source)           \
    {                                                                                        \
        while (list != NULL &&                                                               \
               (list->source != source || list->name_span.start != node->name_span.start)) { \
            list = list->next;                                                               \
        }                                                                                    \
        return list != NULL;                                                                 \
    }
/* NOLINTEND(bugprone-macro-parentheses) */

HOLDS(DefineTree, holds_define)
HOLDS(TableTree, holds_table)
HOLDS(WorksheetTree, holds_worksheet)
HOLDS(ReadingTree, holds_reading)

static bool is_still_held(const CodeTree *code, const PartTree *part, const Source *source)
{
    switch ((int)part->kind) {
    case PART_DEFINE: return holds_define(code->defines, part->node, source);
    case PART_TABLE: return holds_table(code->tables, part->node, source);
    case PART_WORKSHEET: return holds_worksheet(code->worksheets, part->node, source);
    case PART_READING: return holds_reading(code->readings, part->node, source);
    default: return false;
    }
}

static const PartTree *parts_held(Arena *arena, const CodeTree *code, const CodeTree *piece)
{
    PartTree *first = NULL;
    PartTree **end = &first;
    for (const PartTree *part = piece->parts; part != NULL; part = part->next) {
        if (is_still_held(code, part, piece->source)) {
            *end = ARENA_NEW(arena, PartTree);
            **end = *part;
            (*end)->next = NULL;
            end = &(*end)->next;
        }
    }
    return first;
}

static void put_matter(Buffer *out, const Source *source, const PartTree *parts, size_t width)
{
    Text text = syntax_print_matter(out->arena, source, parts, width);
    if (text.len > 0) {
        buffer_string(out, out->len > 0 ? "\n\n" : "");
        buffer_text(out, text);
    }
}

/* Of a joined code or level, what its pieces hold, one after another. */
Text book_code_matter(Arena *arena, const CodeTree *code, size_t width)
{
    Buffer out = buffer_make(arena);
    for (size_t i = 0; i < code->piece_count; i++) {
        put_matter(&out, code->pieces[i]->source, parts_held(arena, code, code->pieces[i]), width);
    }
    if (code->piece_count == 0) {
        put_matter(&out, code->source, code->parts, width);
    }
    return buffer_done(&out);
}

Text book_level_matter(Arena *arena, const JurisdictionTree *level, size_t width)
{
    Buffer out = buffer_make(arena);
    for (size_t i = 0; i < level->piece_count; i++) {
        put_matter(&out, level->pieces[i]->source, level->pieces[i]->parts, width);
    }
    if (level->piece_count == 0) {
        put_matter(&out, level->source, level->parts, width);
    }
    return buffer_done(&out);
}
