/* Scalars: from the words of a spec to a value of the type that its field has.
 *
 * Nothing is guessed: a bare number where a quantity is due, a unit of another dimension, a
 * percentage without its sign, a word that is not the choice's are refused, each with what was
 * probably meant. A stated value wholly outside its bounds is an error; a tolerance is cut to
 * them. */
#include "spec/spec_read.h"

#include <string.h>

enum { UNITS_OFFERED = 4, UNITS_MAX = 256 };

/* ---- what a datum says ---- */

bool datum_is_scalar(const Datum *datum)
{
    return datum->kind == DATUM_SCALAR || datum->kind == DATUM_QUOTED;
}

static bool text_is_blank(Text text)
{
    return text.len == 0 || text_equal(text, TEXT("~")) || text_equal(text, TEXT("null")) ||
           text_equal(text, TEXT("Null")) || text_equal(text, TEXT("NULL"));
}

/* Can it be one of the words that are no value? Nearly every scalar shows by its first byte
 * that it cannot. */
static bool may_be_word(Text text)
{
    char c = text.len == 0 ? '~' : text.data[0];
    return c == '~' || c == 'n' || c == 'N' || ascii_is_space(c);
}

bool datum_is_blank(const Datum *datum)
{
    return datum_is_scalar(datum) && may_be_word(datum->text) &&
           text_is_blank(text_trim(datum->text));
}

bool datum_is_none(const Datum *datum)
{
    return datum_is_scalar(datum) && may_be_word(datum->text) && datum_is_word(datum, TEXT("none"));
}

bool datum_is_word(const Datum *datum, Text word)
{
    return datum_is_scalar(datum) && text_equal(text_trim(datum->text), word);
}

Text datum_shown(Arena *arena, const Datum *datum)
{
    if (datum->kind == DATUM_LIST) {
        return TEXT("a list");
    }
    if (datum->kind == DATUM_MAP) {
        return TEXT("a map");
    }
    return text_format(arena, "'%.*s'", TEXT_ARG(text_shown(arena, datum->text)));
}

Text with_article(Arena *arena, Text words)
{
    char c = words.len > 0 ? words.data[0] : '\0';
    bool vowel = c == 'a' || c == 'e' || c == 'i' || c == 'o'; /* "a unit" */
    return text_format(arena, "%s %.*s", vowel ? "an" : "a", TEXT_ARG(words));
}

/* Names of dimensions and records are joined by underscores; people are not. */
static Text spaced(Arena *arena, Text name)
{
    Buffer buffer = buffer_make(arena);
    for (size_t i = 0; i < name.len; i++) {
        buffer_char(&buffer, name.data[i] == '_' ? ' ' : name.data[i]);
    }
    return buffer_done(&buffer);
}

Text type_due(Arena *arena, const Type *type)
{
    switch ((TypeClass)type->class) {
    case CLASS_NUMBER:
        return type->percent ? TEXT("a percentage")
                             : with_article(arena, spaced(arena, type_describe(arena, type)));
    case CLASS_YES_NO: return TEXT("yes or no");
    case CLASS_ITEM:
    case CLASS_LIST:
    case CLASS_DATE:
    case CLASS_SIZE: return with_article(arena, type_describe(arena, type));
    case CLASS_TEXT: return TEXT("a text");
    case CLASS_BAD:
    case CLASS_CHOICE: break;
    }
    return type_describe(arena, type);
}

Diagnostic *read_wrong_kind(Reader *reader, const Datum *datum, Text due)
{
    return diagnostic_error(reader->diags, "wrong kind", datum->place, "%.*s is due, not %.*s",
                            TEXT_ARG(due), TEXT_ARG(datum_shown(reader->arena, datum)));
}

/* A hint around some words; none when there are none. */
static void hint(Reader *reader, Diagnostic *diag, const char *before, Text words,
                 const char *after)
{
    if (words.len > 0) {
        diagnostic_note(reader->diags, diag, (Place){0}, "%s%.*s%s", before, TEXT_ARG(words),
                        after);
    }
}

/* ---- quantities ---- */

/* The place of a span within the datum's text: exact where the text stands in the source as
 * it is, the whole value where it had escapes. */
static Place place_within(const Datum *datum, Text text, Span span)
{
    const Source *source = datum->place.source;
    uintptr_t bytes = source == NULL ? 0 : (uintptr_t)source->bytes.data;
    uintptr_t at = (uintptr_t)text.data;
    if (source == NULL || at < bytes || at + text.len > bytes + source->bytes.len) {
        return datum->place;
    }
    uint32_t start = (uint32_t)(at - bytes);
    return (Place){source, {start + span.start, start + span.end}};
}

bool quantity_read(Reader *reader, const Datum *datum, Quantity *out)
{
    Text text = text_trim(datum->text);
    QuantityFault fault = {0};
    if (quantity_parse(reader->arena, text, QUANTITY_SPEC, out, &fault)) {
        return true;
    }
    Diagnostic *diag =
        diagnostic_error(reader->diags, "not a quantity", place_within(datum, text, fault.span),
                         "%.*s", TEXT_ARG(fault.message));
    hint(reader, diag, "", fault.hint, "");
    return false;
}

bool quantity_is_bare(const Quantity *quantity)
{
    return quantity->unit == NULL && !quantity->percent && dimension_is_number(quantity->dimension);
}

/* "in, ft, mm, cm": the field's own unit first. */
static Text units_of(Arena *arena, const Field *field)
{
    Text names[UNITS_MAX];
    size_t count = unit_names(names, UNITS_MAX);
    Buffer buffer = buffer_make(arena);
    size_t offered = 0;
    if (field->unit != NULL) {
        buffer_text(&buffer, field->unit->spelling);
        offered++;
    }
    for (size_t i = 0; i < count && i < UNITS_MAX && offered < UNITS_OFFERED; i++) {
        const Unit *unit = unit_find(arena, names[i], field->type.dimension.kind == KIND_PLAIN);
        if (unit != NULL && dimension_equal(unit->dimension, field->type.dimension) &&
            (field->unit == NULL || !text_equal(unit->spelling, field->unit->spelling))) {
            buffer_string(&buffer, offered++ > 0 ? ", " : "");
            buffer_text(&buffer, unit->spelling);
        }
    }
    return buffer_done(&buffer);
}

/* The one word that mends a unit of a neighbouring dimension; NULL when there is none. */
static const char *neighbour(const Quantity *found, Dimension due)
{
    static const struct {
        const char *written, *due, *hint;
    } pairs[] = {
        {"lb", "force", "'lb' is a mass, 'lbf' a force"},
        {"lbf", "mass", "'lbf' is a force, 'lb' a mass"},
        {"oz", "volume", "'oz' is a mass, 'floz' a volume"},
        {"floz", "mass", "'floz' is a volume, 'oz' a mass"},
    };
    Dimension dimension;
    if (due.temperature == 1 && due.kind == KIND_PLAIN && found->dimension.kind == KIND_POINT) {
        return "write 'rise' after a difference: 60 degF rise";
    }
    if (due.kind == KIND_POINT && found->dimension.kind == KIND_PLAIN &&
        found->dimension.temperature == 1) {
        return "a temperature is written without 'rise': 41 degF";
    }
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        if (found->unit != NULL && text_equal(found->unit->spelling, text_of(pairs[i].written)) &&
            dimension_find(text_of(pairs[i].due), &dimension) && dimension_equal(dimension, due)) {
            return pairs[i].hint;
        }
    }
    return NULL;
}

static void say_no_unit(Reader *reader, const Field *field, const Datum *datum)
{
    Text text = text_trim(datum->text);
    Text due = type_due(reader->arena, &field->type);
    Diagnostic *diag =
        diagnostic_error(reader->diags, "no unit", datum->place, "'%.*s' has no unit: %.*s is due",
                         TEXT_ARG(text_shown(reader->arena, text)), TEXT_ARG(due));
    if (field->unit != NULL) {
        hint(reader, diag, "did you mean '",
             text_format(reader->arena, "%.*s %.*s", TEXT_ARG(text_shown(reader->arena, text)),
                         TEXT_ARG(field->unit->spelling)),
             "'?");
    }
}

static void say_dimension(Reader *reader, const Field *field, const Datum *datum,
                          const Quantity *quantity)
{
    Arena *arena = reader->arena;
    Text text = text_shown(arena, text_trim(datum->text));
    Text due = type_due(arena, &field->type);
    Text found =
        quantity->percent ? TEXT("a percentage")
        : dimension_is_number(quantity->dimension)
            ? TEXT("a number")
            : with_article(arena, spaced(arena, dimension_name(arena, quantity->dimension)));
    Diagnostic *diag =
        diagnostic_error(reader->diags, "wrong unit", datum->place, "'%.*s' is %.*s: %.*s is due",
                         TEXT_ARG(text), TEXT_ARG(found), TEXT_ARG(due));
    const char *mend = neighbour(quantity, field->type.dimension);
    if (mend != NULL) {
        diagnostic_note(reader->diags, diag, (Place){0}, "%s", mend);
    } else if (!dimension_is_number(field->type.dimension)) {
        hint(reader, diag, "units: ", units_of(arena, field), "");
    }
}

static bool out_of_bounds(Reader *reader, const Field *field, const Datum *datum)
{
    Text bounds = range_print(reader->arena, &field->bounds, field->unit);
    Diagnostic *diag = diagnostic_error(reader->diags, "out of bounds", datum->place,
                                        "'%.*s' is outside what '%.*s' can be: %.*s",
                                        TEXT_ARG(text_shown(reader->arena, text_trim(datum->text))),
                                        TEXT_ARG(field->name->text), TEXT_ARG(bounds));
    diagnostic_note(reader->diags, diag, field->place, "declared here");
    return false;
}

static bool say_not_whole(Reader *reader, const Datum *datum, bool measured)
{
    diagnostic_error(reader->diags, "not a whole number", datum->place,
                     "'%.*s' is a count: a whole number%s",
                     TEXT_ARG(text_shown(reader->arena, text_trim(datum->text))),
                     measured ? ", without a tolerance" : "");
    return false;
}

static bool say_no_percent(Reader *reader, const Datum *datum)
{
    Text text = text_shown(reader->arena, text_trim(datum->text));
    Diagnostic *diag = diagnostic_error(reader->diags, "no percent sign", datum->place,
                                        "'%.*s' has no percent sign", TEXT_ARG(text));
    hint(reader, diag, "did you mean '", text, "%'?");
    return false;
}

/* Percentages and counts have rules of their own. */
static bool check_number(Reader *reader, const Field *field, const Datum *datum,
                         const Quantity *quantity)
{
    const Type *type = &field->type;
    if (type->percent && !quantity->percent) {
        return say_no_percent(reader, datum);
    }
    if (!type->percent && quantity->percent) {
        say_dimension(reader, field, datum, quantity);
        return false;
    }
    if (type->whole && (quantity->measured || !rational_is_whole(quantity->range.low))) {
        return say_not_whole(reader, datum, quantity->measured);
    }
    return true;
}

static bool read_number(Reader *reader, const Field *field, const Datum *datum, Fact *fact)
{
    Quantity quantity;
    const Range *bounds = &field->bounds;
    if (!quantity_read(reader, datum, &quantity)) {
        return false;
    }
    if (!dimension_equal(quantity.dimension, field->type.dimension)) {
        if (quantity_is_bare(&quantity)) {
            say_no_unit(reader, field, datum);
        } else {
            say_dimension(reader, field, datum, &quantity);
        }
        return false;
    }
    if (dimension_is_number(field->type.dimension) &&
        !check_number(reader, field, datum, &quantity)) {
        return false;
    }
    fact->value.range = quantity.range;
    if (range_is_exact(&quantity.range)) {
        if (bounds->flags != (RANGE_NO_LOW | RANGE_NO_HIGH) &&
            !range_contains(bounds, quantity.range.low)) {
            return out_of_bounds(reader, field, datum);
        }
    } else if (!range_meet(reader->arena, &quantity.range, bounds, &fact->value.range)) {
        return out_of_bounds(reader, field, datum);
    }
    fact->value.kind = VALUE_RANGE;
    fact->unit = quantity.unit;
    fact->inexact = !range_is_exact(&fact->value.range);
    return true;
}

/* ---- sizes ---- */

enum { SIDES = 3 };

/* Cuts the text at its x's; how many pieces there are, the first three in `pieces`. */
static size_t cut_sides(Text text, Text pieces[SIDES])
{
    size_t count = 0;
    size_t start = 0;
    for (size_t at = 0; at <= text.len;) {
        uint32_t code = 'x';
        size_t len = 1;
        if (at < text.len) {
            len = utf8_next(text, at, &code);
        }
        if (code == 'x' || code == 'X' || code == 0xd7) { /* or the sign of multiplication */
            if (count < SIDES) {
                pieces[count] = text_trim((Text){text.data + start, at - start});
            }
            count++;
            start = at + len;
        }
        at += len;
    }
    return count;
}

static bool side_read(Reader *reader, const Datum *datum, Text piece, Quantity *out)
{
    Datum side = *datum;
    side.text = piece;
    side.place = place_within(datum, piece, (Span){0, (uint32_t)piece.len});
    return quantity_read(reader, &side, out);
}

/* "12 x 14 x 10 in": the unit of the last side is that of all when no other has one. */
static void share_unit(Arena *arena, Quantity sides[SIDES])
{
    const Unit *unit = sides[SIDES - 1].unit;
    if (unit == NULL || !quantity_is_bare(&sides[0]) || !quantity_is_bare(&sides[1])) {
        return;
    }
    for (size_t i = 0; i + 1 < SIDES; i++) {
        Range *range = &sides[i].range;
        range->low = unit_to_si(arena, unit, range->low);
        if (!range_is_exact(range)) {
            range->high = unit_to_si(arena, unit, range->high);
        }
        sides[i].dimension = sides[SIDES - 1].dimension;
        sides[i].unit = unit;
    }
}

static bool say_size(Reader *reader, const Datum *datum, const char *why)
{
    Diagnostic *diag =
        diagnostic_error(reader->diags, "not a size", datum->place, "'%.*s' is no size: %s",
                         TEXT_ARG(text_shown(reader->arena, datum->text)), why);
    diagnostic_note(reader->diags, diag, (Place){0}, "as 12 in x 14 in x 10 in");
    return false;
}

bool size_read(Reader *reader, const Datum *datum, Value *value, const Unit **unit, bool *inexact)
{
    Text pieces[SIDES];
    Quantity sides[SIDES];
    Dimension length;
    Range *ranges = ARENA_ARRAY(reader->arena, Range, SIDES);
    if (cut_sides(datum->text, pieces) != SIDES) {
        return say_size(reader, datum, "it has three lengths, with x between them");
    }
    for (size_t i = 0; i < SIDES; i++) {
        if (pieces[i].len == 0) {
            return say_size(reader, datum, "a length is missing beside an x");
        }
        if (!side_read(reader, datum, pieces[i], &sides[i])) {
            return false;
        }
    }
    share_unit(reader->arena, sides);
    if (!dimension_find(TEXT("length"), &length)) {
        return false;
    }
    *inexact = false;
    for (size_t i = 0; i < SIDES; i++) {
        if (!dimension_equal(sides[i].dimension, length)) {
            return say_size(reader, datum,
                            quantity_is_bare(&sides[i])
                                ? "give each side a unit, or all the one after the last"
                                : "each side is a length");
        }
        if (rational_sign(sides[i].range.low) < 0) {
            return say_size(reader, datum, "no side is less than zero");
        }
        ranges[i] = sides[i].range;
        *inexact = *inexact || !range_is_exact(&ranges[i]);
    }
    value->kind = VALUE_SIZE;
    value->size = ranges;
    *unit = sides[0].unit;
    return true;
}

/* ---- dates, words ---- */

bool date_read(Reader *reader, const Datum *datum, Day *first, Day *last)
{
    const char *reason = NULL;
    if (date_parse(text_trim(datum->text), first, last, &reason)) {
        return true;
    }
    diagnostic_error(reader->diags, "not a date", datum->place, "'%.*s' is no date: %s",
                     TEXT_ARG(text_shown(reader->arena, datum->text)), reason);
    return false;
}

static bool read_date(Reader *reader, const Datum *datum, Fact *fact)
{
    Day first = 0;
    Day last = 0;
    if (!date_read(reader, datum, &first, &last)) {
        return false;
    }
    fact->value.kind = VALUE_RANGE;
    fact->value.range = date_range(first, last);
    fact->inexact = first != last;
    return true;
}

static bool read_yes_no(Reader *reader, const Datum *datum, Fact *fact)
{
    static const char *const yes[] = {"yes", "true"};
    static const char *const no[] = {"no", "false"};
    static const char *const nearly_yes[] = {"y", "on", "yes", "true"};
    static const char *const nearly_no[] = {"n", "off", "no", "false"};
    Text text = text_trim(datum->text);
    for (size_t i = 0; i < 2; i++) {
        bool is_yes = text_equal(text, text_of(yes[i]));
        if (is_yes || text_equal(text, text_of(no[i]))) {
            fact->value.kind = VALUE_TRUTH;
            fact->value.truth = is_yes ? TRUTH_TRUE : TRUTH_FALSE;
            return true;
        }
    }
    char small[8] = "";
    for (size_t i = 0; i < text.len && text.len < sizeof small; i++) {
        small[i] = ascii_lower(text.data[i]);
    }
    Diagnostic *diag = read_wrong_kind(reader, datum, TEXT("yes or no"));
    for (size_t i = 0; i < 4; i++) {
        if (strcmp(small, nearly_yes[i]) == 0 || strcmp(small, nearly_no[i]) == 0) {
            diagnostic_note(reader->diags, diag, (Place){0}, "write '%s'",
                            strcmp(small, nearly_yes[i]) == 0 ? "yes" : "no");
        }
    }
    return false;
}

static bool say_word(Reader *reader, const Field *field, const Datum *datum)
{
    const Choice *choice = field->type.choice;
    Arena *arena = reader->arena;
    Text text = text_trim(datum->text);
    Text words[CHOICE_WORDS_MAX];
    Diagnostic *diag =
        diagnostic_error(reader->diags, "unknown word", datum->place,
                         "'%.*s' is no word of '%.*s': %.*s", TEXT_ARG(text_shown(arena, text)),
                         TEXT_ARG(field->name->text), TEXT_ARG(type_describe(arena, &field->type)));
    Buffer joined = buffer_make(arena); /* "Back shelf" is back_shelf */
    for (size_t i = 0; i < text.len && text.len <= SPEC_KEY_MAX; i++) {
        char c = text.data[i];
        buffer_char(&joined, c == ' ' || c == '-' ? '_' : c);
    }
    for (uint32_t i = 0; i < choice->count; i++) {
        words[i] = choice->words[i]->text;
    }
    long nearest = text_nearest(buffer_done(&joined), words, choice->count);
    if (nearest >= 0) {
        hint(reader, diag, "did you mean '", words[nearest], "'?");
    }
    return false;
}

static bool read_word(Reader *reader, const Field *field, const Datum *datum, Fact *fact)
{
    const Choice *choice = field->type.choice;
    Text text = text_trim(datum->text);
    for (uint32_t i = 0; i < choice->count; i++) {
        if (text_equal(choice->words[i]->text, text)) {
            fact->value.kind = VALUE_WORDS;
            fact->value.words = UINT64_C(1) << i;
            return true;
        }
    }
    return say_word(reader, field, datum);
}

static bool read_text(Reader *reader, const Datum *datum, Fact *fact)
{
    Text text = datum->text;
    bool almost_none = text.len == 4 && ascii_lower(text.data[0]) == 'n' &&
                       ascii_lower(text.data[1]) == 'o' && ascii_lower(text.data[2]) == 'n' &&
                       ascii_lower(text.data[3]) == 'e';
    if (datum->kind == DATUM_SCALAR && almost_none) {
        Diagnostic *diag = diagnostic_warning(reader->diags, "text none", datum->place,
                                              "'%.*s' is read as a text", TEXT_ARG(text));
        diagnostic_note(reader->diags, diag, (Place){0},
                        "write none for what is absent, or quote the text");
    }
    fact->value.kind = VALUE_TEXT;
    fact->value.known = true;
    fact->value.text = text;
    return true;
}

bool value_read(Reader *reader, const Field *field, const Datum *datum, Fact *fact)
{
    switch ((TypeClass)field->type.class) {
    case CLASS_NUMBER: return read_number(reader, field, datum, fact);
    case CLASS_YES_NO: return read_yes_no(reader, datum, fact);
    case CLASS_CHOICE: return read_word(reader, field, datum, fact);
    case CLASS_TEXT: return read_text(reader, datum, fact);
    case CLASS_DATE: return read_date(reader, datum, fact);
    case CLASS_SIZE: return size_read(reader, datum, &fact->value, &fact->unit, &fact->inexact);
    case CLASS_BAD:
    case CLASS_ITEM:
    case CLASS_LIST: break;
    }
    return false;
}
