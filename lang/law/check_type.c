/* Types: which go together, how they are said in words, and the messages that show two places
 * ("'o.clear_width' is a length" / "'40 gal' is a volume"). A bad type never gives a message:
 * what made it bad was reported where it arose. */
#include "law/check.h"

Type type_number(Dimension dimension)
{
    return (Type){.class = CLASS_NUMBER, .dimension = dimension};
}

Type type_of_class(TypeClass class)
{
    return (Type){.class = (uint8_t) class};
}

bool is_bad(const Code *code)
{
    return code->type.class == CLASS_BAD;
}

bool is_special(Dimension dimension)
{
    return dimension.kind != KIND_PLAIN;
}

Dimension plain_dimension(Dimension dimension)
{
    dimension.kind = KIND_PLAIN;
    return dimension;
}

/* Two fields may each list the same words. */
static bool choices_match(const Choice *a, const Choice *b)
{
    if (a == b) {
        return true;
    }
    if (a == NULL || b == NULL || a->count != b->count || a->ordered != b->ordered) {
        return false;
    }
    for (uint32_t i = 0; i < a->count; i++) {
        if (a->words[i] != b->words[i]) {
            return false;
        }
    }
    return true;
}

bool type_matches(const Type *a, const Type *b)
{
    if (a->class != b->class) {
        return false;
    }
    switch ((TypeClass)a->class) {
    case CLASS_NUMBER: return dimension_equal(a->dimension, b->dimension);
    case CLASS_CHOICE: return choices_match(a->choice, b->choice);
    case CLASS_ITEM:
    case CLASS_LIST: return a->record == b->record;
    case CLASS_BAD:
    case CLASS_YES_NO:
    case CLASS_TEXT:
    case CLASS_DATE:
    case CLASS_SIZE: break;
    }
    return true;
}

/* ---- in words ---- */

static Text with_article(Arena *arena, Text noun)
{
    bool vowel = false;
    if (noun.len > 0) {
        char first = ascii_lower(noun.data[0]);
        vowel = first == 'a' || first == 'e' || first == 'i' || first == 'o' || first == 'u';
    }
    return text_format(arena, "%s %.*s", vowel ? "an" : "a", TEXT_ARG(noun));
}

static Text choice_words(Arena *arena, const Choice *choice)
{
    enum { SHOWN = 8 };
    Buffer buffer = buffer_make(arena);
    buffer_string(&buffer, "one of ");
    for (uint32_t i = 0; i < choice->count && i < SHOWN; i++) {
        buffer_format(&buffer, "%s%.*s", i == 0 ? "" : ", ", TEXT_ARG(choice->words[i]->text));
    }
    if (choice->count > SHOWN) {
        buffer_string(&buffer, ", ...");
    }
    return buffer_done(&buffer);
}

static Text record_words(const Record *record)
{
    return record->name == NULL ? TEXT("unit") : record->name->text;
}

static Text number_words(Arena *arena, const Type *type)
{
    if (!dimension_is_number(type->dimension)) {
        return with_article(arena, dimension_name(arena, type->dimension));
    }
    return type->percent ? TEXT("a percentage") : TEXT("a number");
}

Text type_words(Arena *arena, const Type *type)
{
    switch ((TypeClass)type->class) {
    case CLASS_BAD: break;
    case CLASS_NUMBER: return number_words(arena, type);
    case CLASS_YES_NO: return TEXT("yes or no");
    case CLASS_CHOICE: return choice_words(arena, type->choice);
    case CLASS_TEXT: return TEXT("a text");
    case CLASS_DATE: return TEXT("a date");
    case CLASS_SIZE: return TEXT("a size");
    case CLASS_ITEM: return with_article(arena, record_words(type->record));
    case CLASS_LIST:
        return text_format(arena, "a list of %.*s", TEXT_ARG(record_words(type->record)));
    }
    return TEXT("unclear");
}

/* ---- places ---- */

Place check_place(const Check *c, Span span)
{
    return (Place){c->context.source, span};
}

Place code_place(const Code *code)
{
    return (Place){code->source, code->expr->span};
}

Text quote_span(Arena *arena, Place place)
{
    enum { SHOWN = 60 };
    Text text = place_text(place);
    Buffer buffer = buffer_make(arena);
    bool space = false;
    for (size_t i = 0; i < text.len; i++) {
        if (ascii_is_space(text.data[i])) {
            space = true;
            continue;
        }
        if (space && buffer.len > 0) {
            buffer_char(&buffer, ' ');
        }
        space = false;
        /* cut between characters only */
        if (buffer.len >= SHOWN && ((unsigned char)text.data[i] & 0xc0) != 0x80) {
            buffer_string(&buffer, "...");
            break;
        }
        buffer_char(&buffer, text.data[i]);
    }
    return buffer_done(&buffer);
}

Text quote_code(Arena *arena, const Code *code)
{
    return quote_span(arena, code_place(code));
}

static void note_type(Check *c, Diagnostic *to, const Code *code)
{
    diagnostic_note(c->diags, to, code_place(code), "'%.*s' is %.*s",
                    TEXT_ARG(quote_code(c->arena, code)),
                    TEXT_ARG(type_words(c->arena, &code->type)));
}

void note_types(Check *c, Diagnostic *to, const Code *a, const Code *b)
{
    note_type(c, to, a);
    note_type(c, to, b);
}

/* ---- one type for both ---- */

static bool is_bare_number(const Code *code)
{
    return code->op == CODE_CONSTANT && code->type.class == CLASS_NUMBER && code->unit == NULL &&
           dimension_is_number(code->type.dimension);
}

/* A bare number where a quantity is due: the unit that was probably meant. */
static bool report_bare(Check *c, const Code *bare, const Code *other)
{
    if (!is_bare_number(bare) || other->type.class != CLASS_NUMBER ||
        dimension_is_number(other->type.dimension)) {
        return false;
    }
    const Unit *unit = other->unit;
    if (unit == NULL || !dimension_equal(unit->dimension, other->type.dimension)) {
        unit = unit_default(c->arena, other->type.dimension);
    }
    Text number = quote_code(c->arena, bare);
    Diagnostic *diag =
        diagnostic_error(c->diags, "unit missing", code_place(bare),
                         "'%.*s' has no unit, and %.*s is due; write '%.*s %.*s' if that is meant",
                         TEXT_ARG(number), TEXT_ARG(type_words(c->arena, &other->type)),
                         TEXT_ARG(number), TEXT_ARG(unit == NULL ? TEXT("UNIT") : unit->spelling));
    note_type(c, diag, other);
    return true;
}

/* compare with, replace by, round to; add and, choose between ... and */
static const char *joining_word(const char *verb)
{
    switch (verb[0]) {
    case 'c': return verb[1] == 'o' ? "with" : "and";
    case 'r': return verb[1] == 'e' ? "by" : "to";
    default: return "and";
    }
}

bool check_same(Check *c, const Expr *at, const char *verb, const Code *a, const Code *b)
{
    if (is_bad(a) || is_bad(b)) {
        return false;
    }
    if (type_matches(&a->type, &b->type)) {
        return true;
    }
    if (report_bare(c, a, b) || report_bare(c, b, a)) {
        return false;
    }
    Diagnostic *diag =
        diagnostic_error(c->diags, "different kinds", (Place){c->context.source, at->span},
                         "cannot %s %.*s %s %.*s", verb, TEXT_ARG(type_words(c->arena, &a->type)),
                         joining_word(verb), TEXT_ARG(type_words(c->arena, &b->type)));
    note_types(c, diag, a, b);
    return false;
}

/* ---- nearest names ---- */

Text nearest_hint(Arena *arena, Text word, const Text *candidates, size_t count)
{
    long index = text_nearest(word, candidates, count);
    if (index < 0) {
        return (Text){"", 0};
    }
    return text_format(arena, "; did you mean '%.*s'?", TEXT_ARG(candidates[index]));
}

Text choice_hint(Check *c, const Choice *choice, Text word)
{
    uint32_t count = choice->count;
    Text *candidates = ARENA_ARRAY(c->arena, Text, count + 1);
    for (uint32_t i = 0; i < count; i++) {
        candidates[i] = choice->words[i]->text;
    }
    return nearest_hint(c->arena, word, candidates, count);
}
