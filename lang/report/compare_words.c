/* The words of a comparison: what is required, when, by which act, and in what two sides differ.
 * Nothing is said here that the comparison does not hold. */
#include "report/compare_words.h"

#include "report/cite.h"
#include "report/measure.h"
#include "report/telling.h"

/* ---- relations ---- */

const char *relation_word(Relation relation)
{
    switch (relation) {
    case RELATION_SAME: return "same";
    case RELATION_STRICTER: return "stricter";
    case RELATION_LOOSER: return "looser";
    case RELATION_DIFFERENT: return "different in kind";
    case RELATION_ONLY_HERE: return "only here";
    case RELATION_NOT_DECIDED: break;
    }
    return "not decided";
}

const char *relation_data(Relation relation)
{
    switch (relation) {
    case RELATION_DIFFERENT: return "different_in_kind";
    case RELATION_ONLY_HERE: return "only_here";
    case RELATION_NOT_DECIDED: return "not_decided";
    case RELATION_SAME:
    case RELATION_STRICTER:
    case RELATION_LOOSER: break;
    }
    return relation_word(relation);
}

const char *differs_word(unsigned bit)
{
    static const char *const words[] = {"limit",     "requirement", "condition",
                                        "exception", "absence",     "reading"};
    unsigned index = 0;
    while (index < 5 && (1U << index) != bit) {
        index++;
    }
    return words[index];
}

const char *note_word(unsigned bit)
{
    static const char *const words[] = {"rank", "authority", "advice", "stage", "rework", "waiver"};
    unsigned index = 0;
    while (index < 5 && (1U << index) != bit) {
        index++;
    }
    return words[index];
}

Text differs_words(Arena *arena, uint8_t differs)
{
    Buffer out = buffer_make(arena);
    for (unsigned bit = 1; bit <= DIFFERS_READING; bit <<= 1) {
        if ((differs & bit) != 0) {
            buffer_format(&out, "%s%s", out.len > 0 ? ", " : "", differs_word(bit));
        }
    }
    return buffer_done(&out);
}

static void put_count(Buffer *out, uint32_t count, const char *word)
{
    if (count > 0) {
        buffer_format(out, "%s%u %s", out->len > 0 ? ", " : "", count, word);
    }
}

Text counts_words(Arena *arena, const LawComparison *law)
{
    Buffer out = buffer_make(arena);
    put_count(&out, law->counts[RELATION_STRICTER], "stricter");
    put_count(&out, law->counts[RELATION_LOOSER], "looser");
    put_count(&out, law->counts[RELATION_DIFFERENT], "different in kind");
    put_count(&out, law->only[0], "only in the first");
    put_count(&out, law->only[1], "only in the second");
    put_count(&out, law->counts[RELATION_NOT_DECIDED], "not decided");
    put_count(&out, law->counts[RELATION_SAME], "the same");
    return out.len > 0 ? buffer_done(&out) : TEXT("none");
}

/* ---- what is required ---- */

/* Alternatives stand on lines of their own in the standard form; here they are one sentence. */
static Text expr_words(Arena *arena, const Expr *expr)
{
    if (expr->kind != EXPR_ANY_OF && expr->kind != EXPR_ALL_OF) {
        return syntax_print_expr(arena, expr);
    }
    Buffer out = buffer_make(arena);
    for (const Expr *at = expr->list; at != NULL; at = at->next) {
        if (out.len > 0) {
            buffer_string(&out, expr->kind == EXPR_ANY_OF ? "; or " : "; and ");
        }
        buffer_text(&out, expr_words(arena, at));
    }
    return buffer_done(&out);
}

static const char *bound_word(const Line *line)
{
    bool date = type_is_date(&line->measured->type);
    bool strict = line_is_strict(line);
    switch (line_bound(line)) {
    case BOUND_UPPER:
        return date ? (strict ? "before" : "on or before") : (strict ? "less than" : "at most");
    case BOUND_LOWER:
        return date ? (strict ? "after" : "on or after") : (strict ? "more than" : "at least");
    case BOUND_EQUAL: return date ? "on" : "exactly";
    case BOUND_UNEQUAL: break;
    }
    return date ? "not on" : "other than";
}

static const Code *constant_limit(const Line *line)
{
    const Code *code = line->limit;
    while (code != NULL && code->op == CODE_DEFINED) {
        code = code->a;
    }
    bool constant = code != NULL && code->op == CODE_CONSTANT && code->value->can == CAN_BE_PRESENT;
    return constant ? code : NULL;
}

/* In the unit of the other side, the own one beside it. */
static Text limit_value_words(Arena *arena, const Line *line, const Line *other)
{
    const Code *code = constant_limit(line);
    if (code == NULL) {
        return line->limit->expr == NULL ? TEXT("the limit") : expr_words(arena, line->limit->expr);
    }
    const Type *type = &line->limit->type;
    Text own = value_words(arena, code->value, type, line->unit, NULL);
    bool number = type->class == CLASS_NUMBER && line->unit != NULL;
    if (!number || other == NULL || other->unit == NULL || other->measured == NULL ||
        constant_limit(other) == NULL ||
        !dimension_equal(other->unit->dimension, line->unit->dimension)) {
        return own;
    }
    Text like = value_words(arena, code->value, type, other->unit, NULL);
    return text_equal(like, own) ? own
                                 : text_format(arena, "%.*s (%.*s)", TEXT_ARG(like), TEXT_ARG(own));
}

static Text measured_line_words(Arena *arena, const Line *line, const Line *other)
{
    Part part = {.line = line};
    Text name = measure_name(arena, &part);
    if (name.len == 0) {
        name = line->measured->expr == NULL ? TEXT("the measure")
                                            : expr_words(arena, line->measured->expr);
    }
    Text limit = limit_value_words(arena, line, other);
    return text_format(arena, "%.*s %s %.*s", TEXT_ARG(name), bound_word(line), TEXT_ARG(limit));
}

static Text plain_line_words(Arena *arena, const Line *line, const Line *other)
{
    if (line->discretion) {
        return text_format(arena, "%.*s, at the discretion of the %.*s", TEXT_ARG(line->what),
                           TEXT_ARG(line->official));
    }
    Buffer out = buffer_make(arena);
    if (line->measured != NULL) {
        buffer_text(&out, measured_line_words(arena, line, other));
    } else {
        buffer_string(&out, line->negated ? "not: " : "");
        buffer_text(&out, expr_words(arena, line->tree->requirement));
    }
    buffer_string(&out, line->absence == ABSENCE_REQUIRED      ? ", required"
                        : line->absence == ABSENCE_IF_PROVIDED ? ", if provided"
                                                               : "");
    return buffer_done(&out);
}

/* Two sides in the same words differ in what the words mean: their definitions are told. */
enum { DEFINITIONS_MAX = 6 };

typedef struct Defined {
    Buffer *out;
    const Code *seen[DEFINITIONS_MAX];
    uint32_t count;
} Defined;

static void put_defined(Defined *defined, const Code *code, unsigned depth)
{
    if (code == NULL || depth == 0) {
        return;
    }
    bool named = (code->op == CODE_DEFINED || code->op == CODE_CALL) && code->expr != NULL &&
                 code->a != NULL && code->a->expr != NULL && code->a->expr != code->expr;
    for (uint32_t i = 0; named && i < defined->count; i++) {
        named = defined->seen[i] != code->a;
    }
    if (named && defined->count < DEFINITIONS_MAX) {
        defined->seen[defined->count++] = code->a;
        Arena *arena = defined->out->arena;
        buffer_format(defined->out, "; %.*s is %.*s",
                      TEXT_ARG(syntax_print_expr(arena, code->expr)),
                      TEXT_ARG(expr_words(arena, code->a->expr)));
    }
    put_defined(defined, code->a, depth - 1);
    put_defined(defined, code->b, depth - 1);
    put_defined(defined, code->c, depth - 1);
    for (uint32_t i = 0; code->args != NULL && i < code->count; i++) {
        put_defined(defined, code->args[i], depth - 1);
    }
}

enum { DEFINED_DEPTH = 12 };

Text required_words(Arena *arena, const ComparedLine *line, int side)
{
    const Line *own = line->side[side].line;
    const Line *other = line->side[1 - side].line;
    if (own == NULL) {
        return TEXT("");
    }
    Text words = plain_line_words(arena, own, side == 1 ? other : NULL);
    bool differs = (line->differs & (DIFFERS_LIMIT | DIFFERS_REQUIREMENT)) != 0;
    if (!differs || other == NULL ||
        !text_equal(plain_line_words(arena, own, NULL), plain_line_words(arena, other, NULL))) {
        return words;
    }
    Buffer out = buffer_make(arena);
    buffer_text(&out, words);
    Defined defined = {.out = &out};
    put_defined(&defined, own->requirement, DEFINED_DEPTH);
    return buffer_done(&out);
}

/* ---- when it applies ---- */

static void put_clause(Buffer *out, const char *word, Text words)
{
    buffer_format(out, "%s%s%.*s", out->len > 0 ? "; " : "", word, TEXT_ARG(words));
}

static void put_eachs(Buffer *out, const SectionText *text)
{
    for (uint32_t i = 0; i < text->each_count; i++) {
        const EachTree *tree = text->eachs[i].tree;
        Buffer words = buffer_make(out->arena);
        buffer_format(&words, "%.*s", TEXT_ARG(tree->a->text));
        if (tree->pair) {
            buffer_format(&words, ", %.*s", TEXT_ARG(tree->b->text));
        }
        buffer_format(&words, " of %.*s", TEXT_ARG(expr_words(out->arena, tree->list)));
        if (tree->where != NULL) {
            buffer_format(&words, " where %.*s", TEXT_ARG(expr_words(out->arena, tree->where)));
        }
        put_clause(out, tree->pair ? "each pair " : "each ", buffer_done(&words));
    }
}

/* Not those of a place that the units of the line tell. */
static void put_scopes(Buffer *out, const TextInForce *text)
{
    for (uint32_t i = 0; i < text->scope_count; i++) {
        const ScopeTree *scope = text->scopes[i].tree;
        if (scope->holder != NULL && text->decides != NULL) {
            continue;
        }
        Buffer words = buffer_make(out->arena);
        for (const Expr *at = scope->conditions; at != NULL; at = at->next) {
            buffer_string(&words, words.len > 0 ? " and " : "");
            buffer_text(&words, expr_words(out->arena, at));
        }
        put_clause(out, scope->negated ? "for units other than where " : "for units where ",
                   buffer_done(&words));
    }
}

static void put_exceptions(Buffer *out, const ComparedSide *side)
{
    const SectionText *text = side->reading;
    uint32_t index = side->line == NULL ? 0 : side->line->index - 1;
    for (uint32_t i = 0; side->exception == NULL && i < text->exception_count; i++) {
        const Exception *exception = &text->exceptions[i];
        if ((exception->covers >> (index < 64 ? index : 63) & 1) == 0) {
            continue;
        }
        Buffer words = buffer_make(out->arena);
        if (exception->by_approval) {
            buffer_format(&words, "with approval of the %.*s", TEXT_ARG(exception->approval));
        }
        if (exception->tree->condition != NULL) {
            buffer_format(&words, "%swhere %.*s", words.len > 0 ? " " : "",
                          TEXT_ARG(expr_words(out->arena, exception->tree->condition)));
        }
        for (const UnlessTree *at = exception->tree->unless; at != NULL; at = at->next) {
            buffer_format(&words, " unless %.*s", TEXT_ARG(expr_words(out->arena, at->condition)));
        }
        for (uint32_t k = 0; k < exception->line_count; k++) {
            buffer_format(&words, "%s%.*s", k == 0 ? ": " : " and ",
                          TEXT_ARG(plain_line_words(out->arena, &exception->lines[k], NULL)));
        }
        put_clause(out, "except ", buffer_done(&words));
    }
}

Text applies_words(Arena *arena, const ComparedSide *side)
{
    Buffer out = buffer_make(arena);
    if (side->reading == NULL || side->line == NULL) {
        return TEXT("");
    }
    put_scopes(&out, side->text);
    PermitTree exempt = side->text->tree->exempt;
    if (exempt.kind == PERMIT_NOT_BEFORE || exempt.kind == PERMIT_NOT_ON) {
        put_clause(&out,
                   exempt.kind == PERMIT_NOT_ON ? "not for units under permit on "
                                                : "not for units under permit before ",
                   date_print(arena, exempt.day));
    }
    put_eachs(&out, side->reading);
    for (const Expr *when = side->reading->tree->whens; when != NULL; when = when->next) {
        put_clause(&out, "when ", expr_words(arena, when));
    }
    if (side->exception != NULL && side->exception->tree->condition != NULL) {
        put_clause(&out, "in the exception where ",
                   expr_words(arena, side->exception->tree->condition));
    }
    put_exceptions(&out, side);
    if (side->text->reading_count > 1) {
        buffer_format(&out, "%sread in %u ways", out.len > 0 ? "; " : "",
                      side->text->reading_count);
    } else if (side->reading->reading != NULL) {
        buffer_format(&out, "%sread as %.*s", out.len > 0 ? "; " : "",
                      TEXT_ARG(side->reading->reading->text));
    }
    return buffer_done(&out);
}

/* Of one side, of whoever decides there, several texts stand for the units of a line. */
static bool has_several(const ComparedLine *line, const ComparedSide *side)
{
    uint32_t count = 0;
    for (uint32_t i = 0; side->text != NULL && i < side->section->text_count; i++) {
        const TextInForce *text = &side->section->texts[i];
        count += text->decides == side->text->decides && !text->tree->floor &&
                 text->tree->permitted_from <= line->permitted_from &&
                 line->permitted_before <= text->tree->permitted_before;
    }
    return count > 1;
}

static bool is_told(const JurisdictionTree *told, const JurisdictionTree *decides)
{
    return decides == NULL || (told != NULL && text_equal(told->name->text, decides->name->text));
}

/* In a place, for whom several texts stand side by side, it is said under whom. */
static void put_parted(Buffer *out, const ComparedLine *line)
{
    const char *comma = out->len > 0 ? ", " : "";
    const JurisdictionTree *told = NULL;
    for (int i = 0; i < 2; i++) {
        const TextInForce *text = line->side[i].text;
        if (text != NULL && !is_told(told, text->decides)) {
            buffer_format(out, "%s%s%.*s", told == NULL ? comma : "",
                          told == NULL ? "units under " : " and ",
                          TEXT_ARG(jurisdiction_words(text->decides)));
            told = text->decides;
        }
    }
    if (told == NULL) {
        buffer_format(out, "%sunits for which both texts stand", comma);
    } else if (has_several(line, &line->side[0]) || has_several(line, &line->side[1])) {
        buffer_string(out, " for which both texts stand");
    }
}

Text units_words(Arena *arena, const ComparedLine *line)
{
    Buffer out = buffer_make(arena);
    if (line->permitted_from != INT32_MIN) {
        buffer_format(&out, "units permitted on or after %.*s",
                      TEXT_ARG(date_print(arena, line->permitted_from)));
    }
    if (line->permitted_before != DAY_FOREVER) {
        buffer_format(&out, "%s%.*s", out.len > 0 ? " and before " : "units permitted before ",
                      TEXT_ARG(date_print(arena, line->permitted_before)));
    }
    if (line->parted) {
        put_parted(&out, line);
    }
    if (line->floor) {
        buffer_format(&out, "%sthe text that stays in force as a floor", out.len > 0 ? ", " : "");
    }
    return buffer_done(&out);
}

/* ---- places ---- */

Text holder_title(const LawTree *law, const HolderTree *row)
{
    for (uint32_t i = 0; i < law->level_count; i++) {
        if (text_equal(law->levels[i]->name->text, row->jurisdiction->text)) {
            return jurisdiction_words(law->levels[i]);
        }
    }
    return row->jurisdiction->text; /* without law in force */
}

const CompareSide *group_side(const CompareGroup *group)
{
    return &group->sides[group->side_count > 1 && group->sides[1].law != NULL ? 1 : 0];
}

const Text *side_holders(Arena *arena, const CompareSide *side, uint32_t *count)
{
    const LawTree *law = side->law == NULL ? NULL : side->law->tree;
    *count = 0;
    if (law == NULL || law->place == NULL) {
        return NULL;
    }
    uint32_t room = 1;
    for (const HolderTree *row = law->place->holders; row != NULL; row = row->next) {
        room++;
    }
    Text *list = ARENA_ARRAY(arena, Text, room);
    for (const HolderTree *row = law->place->holders; row != NULL; row = row->next) {
        Text words = holder_words(arena, row, holder_title(law, row));
        list[(*count)++] =
            text_format(arena, "%.*s: %.*s", TEXT_ARG(row->authority->text), TEXT_ARG(words));
    }
    return list;
}

/* ---- citations ---- */

Text side_number(Arena *arena, const ComparedSide *side)
{
    const Name *label = side->line == NULL ? NULL : side->line->label;
    Text section = section_words(arena, side->section);
    return label == NULL
               ? section
               : text_format(arena, "%.*s %.*s", TEXT_ARG(section), TEXT_ARG(label->text));
}

Text link_words(Arena *arena, const Link *link)
{
    Buffer out = buffer_make(arena);
    buffer_string(&out, link_word((LinkVerb)link->verb));
    if (link->by.len > 0) {
        buffer_format(&out, " by %.*s", TEXT_ARG(link->by));
    }
    if (link->from != INT32_MIN) {
        buffer_format(&out, ", from %.*s", TEXT_ARG(date_print(arena, link->from)));
    }
    return buffer_done(&out);
}

Text side_act(Arena *arena, const ComparedSide *side)
{
    const TextTree *tree = side->text == NULL ? NULL : side->text->tree;
    if (tree == NULL || tree->chain_count == 0) {
        return TEXT("");
    }
    return link_words(arena, &tree->chain[tree->chain_count - 1]);
}

Text side_citation(Arena *arena, const ComparedSide *side)
{
    Finding finding = {.section = side->section,
                       .tree = side->text == NULL ? NULL : side->text->tree};
    return side->section == NULL ? TEXT("") : citation_words(arena, &finding);
}

/* ---- notes ---- */

static Text stage_words(Arena *arena, uint8_t stages)
{
    Buffer out = buffer_make(arena);
    for (int stage = STAGE_INTAKE; stage <= STAGE_OPERATION; stage++) {
        if ((stages >> stage & 1) != 0) {
            buffer_format(&out, "%s%s", out.len > 0 ? " and " : "", stage_word((Stage)stage));
        }
    }
    return buffer_done(&out);
}

static Text or_none(Text text)
{
    return text.len > 0 ? text : TEXT("none");
}

static Text note_value(Arena *arena, const Section *section, unsigned bit)
{
    switch (bit) {
    case NOTE_RANK: return or_none(section->rank);
    case NOTE_AUTHORITY:
        return section->authority == NULL ? TEXT("none") : section->authority->text;
    case NOTE_ADVICE: return section->advises ? TEXT("may advise") : TEXT("may cite");
    case NOTE_STAGE: return stage_words(arena, section->stages);
    case NOTE_REWORK: return or_none(text_of(rework_word((Rework)section->rework)));
    default: break;
    }
    return section->never_waived ? TEXT("not to be waived") : TEXT("may be waived");
}

Text notes_words(Arena *arena, const ComparedSection *section)
{
    Buffer out = buffer_make(arena);
    for (unsigned bit = 1; bit <= NOTE_WAIVER; bit <<= 1) {
        if ((section->notes & bit) == 0) {
            continue;
        }
        buffer_format(&out, "%s%s: %.*s, then %.*s", out.len > 0 ? "; " : "", note_word(bit),
                      TEXT_ARG(note_value(arena, section->section[0], bit)),
                      TEXT_ARG(note_value(arena, section->section[1], bit)));
    }
    return buffer_done(&out);
}

/* ---- what is shown ---- */

bool line_is_shown(const Compared *compared, const ComparedLine *line)
{
    return compared->all || line->relation != RELATION_SAME;
}

bool section_is_shown(const Compared *compared, const ComparedSection *section)
{
    if (section->notes != 0) {
        return true;
    }
    for (uint32_t i = 0; i < section->line_count; i++) {
        if (line_is_shown(compared, &section->lines[i])) {
            return true;
        }
    }
    return false;
}

bool topic_is_shown(const Compared *compared, const ComparedTopic *topic)
{
    for (uint32_t i = 0; i < topic->section_count; i++) {
        if (section_is_shown(compared, &topic->sections[i])) {
            return true;
        }
    }
    return false;
}

bool compared_is_same(const Compared *compared)
{
    for (uint32_t g = 0; g < compared->group_count; g++) {
        const CompareGroup *group = &compared->groups[g];
        for (uint32_t i = 0; i < group->pair_count; i++) {
            if (!law_comparison_is_same(group->pairs[i].law)) {
                return false;
            }
        }
        for (uint32_t i = 0; i < group->side_count; i++) {
            if ((group->sides[i].law == NULL) != (group->sides[0].law == NULL)) {
                return false;
            }
        }
        for (uint32_t i = 0; i < group->build_count; i++) {
            const FindingComparison *findings = group->builds[i].findings;
            if (findings->counts[FINDING_CLASS] > 0 || findings->counts[FINDING_DETAIL] > 0) {
                return false;
            }
        }
    }
    return true;
}
