/* From data to a spec: facts into the slots of the vocabulary.
 *
 * Takes the tree of data (of a YAML or JSON file, or of a worked example), gives a Spec in which
 * every item has a slot per field of its record. Whatever is wrong is reported at its place, and
 * counts as not stated. Keys are looked for first where the declaration order expects them, so
 * that a spec laid out as its vocabulary costs no hashing. */
#include "spec/spec_read.h"

static void read_fact(Reader *reader, Item *item, const Field *field, const Datum *datum);

bool read_on(Reader *reader, const Datum *datum)
{
    const Diagnostics *diags = reader->diags;
    if (!reader->full && diags->errors + diags->warnings - reader->messages >= SPEC_ERRORS_MAX) {
        reader->full = true;
        diagnostic_error(reader->diags, "too many faults", datum->place,
                         "the rest of the spec was not looked at");
    }
    return !reader->full;
}

/* ---- keys ---- */

static const Field *find_field(const Reader *reader, const Record *record, uint32_t *expected,
                               Text key)
{
    if (*expected < record->count && text_equal(record->fields[*expected].name->text, key)) {
        return &record->fields[(*expected)++];
    }
    const Field *field = record_field(record, names_find(reader->names, key));
    if (field != NULL) {
        *expected = field->index + 1;
    }
    return field;
}

static void say_unknown(Reader *reader, const Record *record, const Datum *datum)
{
    Text key = datum->key;
    Text shown = text_shown(reader->arena, key);
    Diagnostic *diag = record->name == NULL
                           ? diagnostic_error(reader->diags, "unknown fact", datum->key_place,
                                              "the vocabulary has no fact '%.*s'", TEXT_ARG(shown))
                           : diagnostic_error(reader->diags, "unknown fact", datum->key_place,
                                              "'%.*s' has no field '%.*s'",
                                              TEXT_ARG(record->name->text), TEXT_ARG(shown));
    const Field *nearest = record_nearest(reader->arena, record, key);
    Text word = record->name == NULL ? program_nearest(key) : TEXT("");
    if (nearest != NULL) {
        diagnostic_note(reader->diags, diag, nearest->place, "did you mean '%.*s'?",
                        TEXT_ARG(nearest->name->text));
    } else if (word.len > 0) {
        diagnostic_note(reader->diags, diag, (Place){0}, "did you mean '%.*s'?", TEXT_ARG(word));
    }
}

/* ---- where a value comes from ---- */

static Place place_or(Place place, Place other)
{
    return place.span.end > place.span.start ? place : other;
}

static Text note_read(Reader *reader, const Datum *datum)
{
    return datum == NULL || datum_is_blank(datum) ? TEXT("")
                                                  : text_read(reader, datum, TEXT("a text"));
}

static uint8_t source_read_word(Reader *reader, const Datum *datum)
{
    static const struct {
        const char *word;
        uint8_t source;
    } sources[] = {{"drawing", SOURCE_DRAWING},
                   {"cut_sheet", SOURCE_CUT_SHEET},
                   {"measured", SOURCE_MEASURED},
                   {"promised", SOURCE_PROMISED}};
    for (size_t i = 0; i < sizeof sources / sizeof sources[0]; i++) {
        if (datum_is_word(datum, text_of(sources[i].word))) {
            return sources[i].source;
        }
    }
    if (!datum_is_blank(datum)) {
        Diagnostic *diag = diagnostic_error(reader->diags, "unknown word", datum->place,
                                            "%.*s is no source of a fact",
                                            TEXT_ARG(datum_shown(reader->arena, datum)));
        diagnostic_note(reader->diags, diag, (Place){0},
                        "sources: drawing, cut_sheet, measured, promised");
    }
    return SOURCE_UNSAID;
}

/* `{value: 24 in, sheet: A-2, item: 7, source: drawing}`: gives the value, or NULL after an error.
 * Any other datum is its own value. */
static const Datum *unwrap(Reader *reader, const Datum *datum, Fact *fact)
{
    static const char *const keys[] = {"value", "sheet", "item", "source"};
    Form form;
    if (datum->kind != DATUM_MAP || !datum_is_sourced(datum)) {
        return datum;
    }
    if (!form_open(&form, reader, datum, "a fact with its source", keys, 4)) {
        return NULL;
    }
    Provenance *provenance = ARENA_NEW(reader->arena, Provenance);
    const Datum *source = form_member(&form, "source", false);
    provenance->sheet = note_read(reader, form_member(&form, "sheet", false));
    provenance->item = note_read(reader, form_member(&form, "item", false));
    provenance->source = source == NULL ? SOURCE_UNSAID : source_read_word(reader, source);
    fact->provenance = provenance;
    return form_member(&form, "value", false);
}

bool datum_is_sourced(const Datum *datum)
{
    for (const Datum *member = datum->first; member != NULL; member = member->next) {
        if (text_equal(member->key, TEXT("value"))) {
            return datum->kind == DATUM_MAP;
        }
    }
    return false;
}

/* ---- items ---- */

static bool take_slots(Reader *reader, const Datum *datum, const Record *record, uint32_t items)
{
    uint64_t wanted = (uint64_t)record->count * items;
    if (wanted > SPEC_SLOTS_MAX - reader->slots) {
        diagnostic_error(reader->diags, "too many values", datum->place,
                         "a spec has at most %d facts, stated or not, in all its items",
                         SPEC_SLOTS_MAX);
        return false;
    }
    reader->slots += (uint32_t)wanted;
    return true;
}

static void fill_item(Reader *reader, Item *item, const Datum *datum)
{
    uint32_t expected = 0;
    if (reader->depth >= SPEC_DEPTH_MAX) {
        diagnostic_error(reader->diags, "nested too deeply", datum->place,
                         "a spec is nested at most %d deep", SPEC_DEPTH_MAX);
        return;
    }
    reader->depth++;
    for (const Datum *member = datum->first; member != NULL; member = member->next) {
        if (!read_on(reader, member)) {
            break;
        }
        const Field *field = find_field(reader, item->record, &expected, member->key);
        if (field != NULL) {
            read_fact(reader, item, field, member);
        } else if (item->parent != NULL || !program_read(reader, member)) {
            say_unknown(reader, item->record, member);
        }
    }
    reader->depth--;
}

/* The item's name: the text of its key. */
static void name_item(Reader *reader, Item *item)
{
    const Field *key = item->record->key;
    const Fact *fact = key == NULL ? NULL : &item->facts[key->index];
    item->key = TEXT("");
    if (fact == NULL || fact->state != FACT_STATED) {
        return;
    }
    switch ((ValueKind)fact->value.kind) {
    case VALUE_TEXT: item->key = fact->value.text; break;
    case VALUE_RANGE: item->key = rational_print_exact(reader->arena, fact->value.range.low); break;
    case VALUE_WORDS:
        for (uint32_t i = 0; i < key->type.choice->count; i++) {
            if (fact->value.words == UINT64_C(1) << i) {
                item->key = key->type.choice->words[i]->text;
            }
        }
        break;
    case VALUE_TRUTH:
    case VALUE_SIZE:
    case VALUE_ITEM:
    case VALUE_LIST: break;
    }
}

static bool is_no(const Datum *datum)
{
    return datum_is_word(datum, TEXT("no")) || datum_is_word(datum, TEXT("false"));
}

/* A scalar where an item or a list is due. */
static void say_no_item(Reader *reader, const Field *field, const Datum *datum)
{
    Text due = type_due(reader->arena, &field->type);
    Diagnostic *diag = read_wrong_kind(reader, datum, due);
    if (is_no(datum)) {
        diagnostic_note(reader->diags, diag, (Place){0}, "write none if there is none");
    } else if (datum_is_scalar(datum)) {
        diagnostic_note(reader->diags, diag, (Place){0}, "write its fields as 'key: value'");
    } else if (field->type.class == CLASS_LIST) {
        diagnostic_note(reader->diags, diag, (Place){0}, "begin each item of a list with '- '");
    }
}

static bool read_record(Reader *reader, Item *parent, const Field *field, const Datum *datum,
                        Fact *fact)
{
    const Record *record = field->type.record;
    if (datum->kind != DATUM_MAP) {
        say_no_item(reader, field, datum);
        return false;
    }
    if (!take_slots(reader, datum, record, 1)) {
        return false;
    }
    Item *item = ARENA_NEW(reader->arena, Item);
    item->record = record;
    item->parent = parent;
    item->field = field;
    item->span = datum->place.span;
    item->source = datum->place.source;
    item->facts = ARENA_ARRAY(reader->arena, Fact, record->count);
    fill_item(reader, item, datum);
    name_item(reader, item);
    fact->value.kind = VALUE_ITEM;
    fact->value.known = true;
    fact->value.item = item;
    return true;
}

/* ---- lists ---- */

static bool is_and_more(const Datum *datum)
{
    return datum_is_word(datum, TEXT("and more"));
}

/* Keys are unique within their list. */
static void check_names(Reader *reader, const Datum *datum, const List *list)
{
    const Record *record = list->record;
    const Member *members = list->members;
    uint32_t count = list->count;
    if (record->key == NULL || count < 2) {
        return;
    }
    ArenaMark mark = arena_mark(reader->arena);
    Text *names = ARENA_ARRAY(reader->arena, Text, count);
    uint32_t *at = ARENA_ARRAY(reader->arena, uint32_t, count);
    uint32_t *repeat = ARENA_ARRAY(reader->arena, uint32_t, count);
    uint32_t named = 0;
    bool repeated = false;
    for (uint32_t i = 0; i < count; i++) {
        if (members[i].item->key.len > 0) {
            names[named] = members[i].item->key;
            at[named++] = i;
        }
    }
    texts_find_repeats(reader->arena, names, named, repeat);
    for (uint32_t i = 0; i < named && !reader->full; i++) {
        if (repeat[i] == 0) {
            continue;
        }
        repeated = true;
        if (!read_on(reader, datum)) {
            break;
        }
        Place place = fact_place(members[at[i]].item, record->key);
        Place first = fact_place(members[at[repeat[i] - 1]].item, record->key);
        Diagnostic *diag = diagnostic_error(
            reader->diags, "duplicate item", place, "two items of this list have the %.*s '%.*s'",
            TEXT_ARG(record->key->name->text), TEXT_ARG(text_shown(reader->arena, names[i])));
        diagnostic_note(reader->diags, diag, first, "the first of them");
    }
    if (!repeated) { /* messages may be in the same arena */
        arena_reset(reader->arena, mark);
    }
}

/* Fills items and members from a list's maps; how many there are. */
static uint32_t read_members(Reader *reader, Item *parent, const Field *field, const Datum *datum,
                             Item *items, Member *members, bool *open)
{
    const Record *record = field->type.record;
    Fact *facts = ARENA_ARRAY(reader->arena, Fact, (size_t)datum->count * record->count);
    uint32_t count = 0;
    for (const Datum *member = datum->first; member != NULL; member = member->next) {
        if (!read_on(reader, member)) {
            break;
        }
        if (is_and_more(member)) {
            *open = true;
            if (member->next != NULL) {
                diagnostic_error(reader->diags, "misplaced 'and more'", member->place,
                                 "'and more' is the last item of its list");
            }
            continue;
        }
        if (member->kind != DATUM_MAP) {
            Type type = {.class = CLASS_ITEM, .record = record};
            Diagnostic *diag = read_wrong_kind(reader, member, type_due(reader->arena, &type));
            if (is_no(member) || datum_is_none(member)) {
                diagnostic_note(reader->diags, diag, (Place){0},
                                "write [] or none for the whole list if there is none");
            }
            continue;
        }
        Item *item = &items[count];
        item->record = record;
        item->parent = parent;
        item->field = field;
        item->index = count;
        item->in_list = true;
        item->span = member->place.span;
        item->source = member->place.source;
        item->facts = facts + (size_t)count * record->count;
        members[count].item = item;
        fill_item(reader, item, member);
        name_item(reader, item);
        count++;
    }
    return count;
}

static bool read_list(Reader *reader, Item *parent, const Field *field, const Datum *datum,
                      Fact *fact)
{
    const Record *record = field->type.record;
    if (datum->kind != DATUM_LIST) {
        say_no_item(reader, field, datum);
        return false;
    }
    if (!take_slots(reader, datum, record, datum->count)) {
        return false;
    }
    List *list = ARENA_NEW(reader->arena, List);
    Item *items = ARENA_ARRAY(reader->arena, Item, datum->count);
    Member *members = ARENA_ARRAY(reader->arena, Member, datum->count);
    list->record = record;
    list->members = members;
    list->count = read_members(reader, parent, field, datum, items, members, &list->open);
    check_names(reader, datum, list);
    fact->value.kind = VALUE_LIST;
    fact->value.known = true;
    fact->value.list = list;
    return true;
}

/* ---- facts ---- */

static void read_none(Reader *reader, const Field *field, const Datum *datum, Fact *fact)
{
    if (field->always_present) {
        Diagnostic *diag =
            diagnostic_error(reader->diags, "cannot be none", datum->place,
                             "'%.*s' is always present", TEXT_ARG(field->name->text));
        diagnostic_note(reader->diags, diag, field->place, "declared here");
        return;
    }
    fact->state = FACT_NONE;
    fact->value.kind = value_kind(&field->type);
    fact->value.can = CAN_BE_NONE;
    if (field->type.class == CLASS_LIST) { /* walks over it find nothing */
        List *list = ARENA_NEW(reader->arena, List);
        list->record = field->type.record;
        fact->value.list = list;
    }
}

/* The place to show: the value's; the key's when there is none, or when the value was put
 * there from another file (a worked example's `with`). */
static Span fact_span(const Item *item, const Datum *member, const Datum *value)
{
    Place place = value == NULL ? member->key_place : place_or(value->place, member->key_place);
    if (place.source != item->source) {
        place = member->key_place;
    }
    return place.source == item->source ? place.span : item->span;
}

/* "appliances, sinks and counters" */
static void say_gathered(Reader *reader, const Field *field, const Datum *member)
{
    Buffer out = buffer_make(reader->arena);
    for (uint32_t i = 0; i < field->source_count; i++) {
        buffer_string(&out, i == 0 ? "" : i + 1 == field->source_count ? " and " : ", ");
        buffer_text(&out, field->sources[i]->name->text);
    }
    Diagnostic *diag = diagnostic_error(reader->diags, "gathered list", member->key_place,
                                        "'%.*s' is gathered from other facts and not stated itself",
                                        TEXT_ARG(field->name->text));
    diagnostic_note(reader->diags, diag, (Place){0}, "state its items in %.*s",
                    TEXT_ARG(buffer_done(&out)));
}

static bool is_text(const Field *field, const Datum *datum)
{
    return field->type.class == CLASS_TEXT && datum->kind == DATUM_QUOTED;
}

static void read_fact(Reader *reader, Item *item, const Field *field, const Datum *member)
{
    Fact *fact = &item->facts[field->index];
    if (field->gathers) {
        say_gathered(reader, field, member);
        return;
    }
    if (fact->span.end > fact->span.start) { /* in an example: files are checked when read */
        Diagnostic *diag = diagnostic_error(reader->diags, "duplicate key", member->key_place,
                                            "'%.*s' is stated twice", TEXT_ARG(field->name->text));
        diagnostic_note(reader->diags, diag, fact_place(item, field), "first stated here");
        return;
    }
    const Datum *datum = unwrap(reader, member, fact);
    fact->span = fact_span(item, member, datum);
    if (datum == NULL || field->type.class == CLASS_BAD) {
        return;
    }
    bool quoted_text = is_text(field, datum);
    if (!quoted_text && datum_is_blank(datum)) {
        return;
    }
    if (!quoted_text && datum_is_none(datum)) {
        read_none(reader, field, datum, fact);
        return;
    }
    bool stated = false;
    if (field->type.class == CLASS_ITEM) {
        stated = read_record(reader, item, field, datum, fact);
    } else if (field->type.class == CLASS_LIST) {
        stated = read_list(reader, item, field, datum, fact);
    } else if (!datum_is_scalar(datum)) {
        (void)read_wrong_kind(reader, datum, type_due(reader->arena, &field->type));
    } else {
        stated = value_read(reader, field, datum, fact);
    }
    if (!stated) {
        fact->value = (Value){0};
        return;
    }
    fact->value.can = CAN_BE_PRESENT;
    fact->state = FACT_STATED;
}

Spec *spec_from_data(Arena *arena, Names *names, const Vocabulary *vocabulary, const Datum *root,
                     const Source *source, Diagnostics *diags)
{
    Spec *spec = ARENA_NEW(arena, Spec);
    Reader reader = {.arena = arena,
                     .names = names,
                     .vocabulary = vocabulary,
                     .diags = diags,
                     .spec = spec,
                     .messages = diags->errors + diags->warnings};
    Item *unit = ARENA_NEW(arena, Item);
    unit->record = &vocabulary->unit;
    unit->source = source;
    unit->facts = ARENA_ARRAY(arena, Fact, vocabulary->unit.count);
    spec->source = source;
    spec->vocabulary = vocabulary;
    spec->unit = unit;
    spec->unit_name = spec->builder = spec->cycle = TEXT("");
    if (root == NULL || datum_is_blank(root)) {
        return spec;
    }
    unit->span = root->place.span;
    if (root->kind != DATUM_MAP) {
        (void)read_wrong_kind(&reader, root, TEXT("a map of facts"));
        return spec;
    }
    fill_item(&reader, unit, root);
    decisions_join(&reader);
    return spec;
}
