/* The program's own keys at the top level of a spec: names for the report, jurisdictions, dates,
 * permits and the shop's tolerances. Those that need a form of their own are in
 * spec_decisions.c. */
#include "spec/spec_read.h"

enum { CLASSES_MAX = 64 };

/* ---- forms ---- */

static bool has_key(const Form *form, Text key)
{
    for (size_t i = 0; i < form->count; i++) {
        if (text_equal(key, text_of(form->keys[i]))) {
            return true;
        }
    }
    return false;
}

static void say_unknown_key(const Form *form, const Datum *member)
{
    Reader *reader = form->reader;
    Diagnostic *diag =
        diagnostic_error(reader->diags, "unknown key", member->key_place, "%s has no '%.*s'",
                         form->what, TEXT_ARG(text_shown(reader->arena, member->key)));
    Text *keys = ARENA_ARRAY(reader->arena, Text, form->count);
    Buffer all = buffer_make(reader->arena);
    for (size_t i = 0; i < form->count; i++) {
        keys[i] = text_of(form->keys[i]);
        buffer_string(&all, i == 0 ? "" : ", ");
        buffer_text(&all, keys[i]);
    }
    long nearest = text_nearest(member->key, keys, form->count);
    if (nearest >= 0) {
        diagnostic_note(reader->diags, diag, (Place){0}, "did you mean '%s'?", form->keys[nearest]);
    } else {
        diagnostic_note(reader->diags, diag, (Place){0}, "its keys: %.*s",
                        TEXT_ARG(buffer_done(&all)));
    }
}

bool form_open(Form *form, Reader *reader, const Datum *datum, const char *what,
               const char *const *keys, size_t count)
{
    *form = (Form){reader, datum, what, keys, count};
    if (datum->kind != DATUM_MAP) {
        (void)read_wrong_kind(reader, datum,
                              text_format(reader->arena, "a map that describes %s", what));
        return false;
    }
    for (const Datum *member = datum->first; member != NULL && read_on(reader, member);
         member = member->next) {
        if (!has_key(form, member->key)) {
            say_unknown_key(form, member);
        }
    }
    return true;
}

const Datum *form_member(const Form *form, const char *key, bool required)
{
    for (const Datum *member = form->map->first; member != NULL; member = member->next) {
        if (text_equal(member->key, text_of(key)) && !datum_is_blank(member)) {
            return member;
        }
    }
    if (required) {
        diagnostic_error(form->reader->diags, "missing key", form->map->place, "%s names its '%s'",
                         form->what, key);
    }
    return NULL;
}

Text text_read(Reader *reader, const Datum *datum, Text due)
{
    if (!datum_is_scalar(datum)) {
        (void)read_wrong_kind(reader, datum, due);
        return TEXT("");
    }
    if (datum_is_blank(datum) || (datum->kind == DATUM_SCALAR && datum_is_none(datum))) {
        return TEXT("");
    }
    return text_trim(datum->text);
}

Text form_text(const Form *form, const char *key, bool required)
{
    const Datum *member = form_member(form, key, required);
    return member == NULL ? TEXT("") : text_read(form->reader, member, TEXT("a text"));
}

static bool read_day(Reader *reader, const Datum *datum, Day *out)
{
    Day last = 0;
    if (!datum_is_scalar(datum)) {
        (void)read_wrong_kind(reader, datum, TEXT("a date"));
        return false;
    }
    if (!date_read(reader, datum, out, &last)) {
        return false;
    }
    if (*out != last) {
        diagnostic_error(reader->diags, "not a date", datum->place,
                         "'%.*s' is not a date in full: year, month and day are due",
                         TEXT_ARG(text_shown(reader->arena, datum->text)));
        return false;
    }
    return true;
}

bool form_day(const Form *form, const char *key, bool required, Day *out)
{
    const Datum *member = form_member(form, key, required);
    return member != NULL && read_day(form->reader, member, out);
}

/* ---- names and dates ---- */

static void read_vocabulary(Reader *reader, const Datum *datum)
{
    Text name = text_read(reader, datum, TEXT("the vocabulary's name"));
    const Name *own = reader->vocabulary->name;
    if (name.len > 0 && own != NULL && !text_equal(name, own->text)) {
        diagnostic_error(reader->diags, "unknown vocabulary", datum->place,
                         "the spec is read with vocabulary '%.*s', not '%.*s'", TEXT_ARG(own->text),
                         TEXT_ARG(text_shown(reader->arena, name)));
    }
}

static void read_unit_name(Reader *reader, const Datum *datum)
{
    reader->spec->unit_name = text_read(reader, datum, TEXT("a text"));
}

static void read_builder(Reader *reader, const Datum *datum)
{
    reader->spec->builder = text_read(reader, datum, TEXT("a text"));
}

static void read_cycle(Reader *reader, const Datum *datum)
{
    reader->spec->cycle = text_read(reader, datum, TEXT("a text"));
}

static void read_submitted(Reader *reader, const Datum *datum)
{
    if (!datum_is_blank(datum)) {
        reader->spec->has_submitted = read_day(reader, datum, &reader->spec->submitted);
    }
}

static void add_jurisdiction(Reader *reader, const Datum *datum)
{
    Spec *spec = reader->spec;
    Text name = text_read(reader, datum, TEXT("the name of a jurisdiction"));
    if (name.len > 0) {
        spec->jurisdictions[spec->jurisdiction_count] = name;
        spec->jurisdiction_places[spec->jurisdiction_count++] = datum->place;
    }
}

/* Reports names that stand twice, and keeps the first of each. */
static void refuse_repeated_jurisdictions(Reader *reader, const Datum *datum)
{
    Spec *spec = reader->spec;
    uint32_t count = spec->jurisdiction_count;
    uint32_t *repeat = ARENA_ARRAY(reader->arena, uint32_t, count);
    uint32_t kept = 0;
    texts_find_repeats(reader->arena, spec->jurisdictions, count, repeat);
    for (uint32_t i = 0; i < count; i++) {
        if (repeat[i] != 0 && !read_on(reader, datum)) {
            continue;
        }
        if (repeat[i] != 0) {
            diagnostic_error(reader->diags, "duplicate item", spec->jurisdiction_places[i],
                             "'%.*s' is listed twice",
                             TEXT_ARG(text_shown(reader->arena, spec->jurisdictions[i])));
            continue;
        }
        spec->jurisdictions[kept] = spec->jurisdictions[i];
        spec->jurisdiction_places[kept++] = spec->jurisdiction_places[i];
    }
    spec->jurisdiction_count = kept;
}

static void read_jurisdictions(Reader *reader, const Datum *datum)
{
    Spec *spec = reader->spec;
    uint32_t count = datum->kind == DATUM_LIST ? datum->count : 1;
    spec->jurisdictions = ARENA_ARRAY(reader->arena, Text, count);
    spec->jurisdiction_places = ARENA_ARRAY(reader->arena, Place, count);
    if (datum->kind != DATUM_LIST) {
        add_jurisdiction(reader, datum); /* one name needs no list */
        return;
    }
    for (const Datum *member = datum->first; member != NULL && read_on(reader, member);
         member = member->next) {
        add_jurisdiction(reader, member);
    }
    refuse_repeated_jurisdictions(reader, datum);
}

/* ---- permits ---- */

static void add_permit(Reader *reader, const Datum *datum)
{
    static const char *const keys[] = {"jurisdiction", "date"};
    Spec *spec = reader->spec;
    Permit permit = {.place = datum->place};
    Form form;
    if (!form_open(&form, reader, datum, "a permit", keys, 2)) {
        return;
    }
    permit.jurisdiction = form_text(&form, "jurisdiction", true);
    const Datum *date = form_member(&form, "date", true);
    if (permit.jurisdiction.len == 0 || date == NULL || datum_is_none(date)) {
        return; /* none: no permit there */
    }
    if (!datum_is_scalar(date)) {
        (void)read_wrong_kind(reader, date, TEXT("a date"));
        return;
    }
    if (date_read(reader, date, &permit.first, &permit.last)) {
        spec->permits[spec->permit_count++] = permit;
    }
}

static void refuse_repeated_permits(Reader *reader, const Datum *datum)
{
    Spec *spec = reader->spec;
    Text *names = ARENA_ARRAY(reader->arena, Text, spec->permit_count);
    uint32_t *repeat = ARENA_ARRAY(reader->arena, uint32_t, spec->permit_count);
    for (uint32_t i = 0; i < spec->permit_count; i++) {
        names[i] = spec->permits[i].jurisdiction;
    }
    texts_find_repeats(reader->arena, names, spec->permit_count, repeat);
    for (uint32_t i = 0; i < spec->permit_count; i++) {
        if (repeat[i] != 0 && read_on(reader, datum)) {
            Diagnostic *diag = diagnostic_error(reader->diags, "duplicate item",
                                                spec->permits[i].place, "two permits of '%.*s'",
                                                TEXT_ARG(text_shown(reader->arena, names[i])));
            diagnostic_note(reader->diags, diag, spec->permits[repeat[i] - 1].place,
                            "the first of them");
        }
    }
}

static void read_permits(Reader *reader, const Datum *datum)
{
    Spec *spec = reader->spec;
    if (datum_is_blank(datum)) {
        return;
    }
    if (datum_is_none(datum)) {
        spec->permits_stated = true;
        return;
    }
    if (datum->kind != DATUM_LIST) {
        Diagnostic *diag = read_wrong_kind(reader, datum, TEXT("a list of permits"));
        diagnostic_note(reader->diags, diag, (Place){0},
                        "write 'none' for a new unit, or '- {jurisdiction: ..., date: ...}'");
        return;
    }
    spec->permits_stated = true;
    spec->permits = ARENA_ARRAY(reader->arena, Permit, datum->count);
    for (const Datum *member = datum->first; member != NULL && read_on(reader, member);
         member = member->next) {
        add_permit(reader, member);
    }
    refuse_repeated_permits(reader, datum);
}

/* ---- tolerances ---- */

/* The classes that fields of the vocabulary are built as; how many. */
static size_t list_classes(const Vocabulary *vocabulary, Text classes[CLASSES_MAX],
                           const Name *names[CLASSES_MAX])
{
    size_t count = 0;
    for (uint32_t i = 0; i <= vocabulary->record_count; i++) {
        const Record *record =
            i < vocabulary->record_count ? vocabulary->records[i] : &vocabulary->unit;
        for (uint32_t j = 0; j < record->count; j++) {
            const Name *class = record->fields[j].built_as;
            size_t at = 0;
            while (at < count && names[at] != class) {
                at++;
            }
            if (class != NULL && at == count && count < CLASSES_MAX) {
                names[count] = class;
                classes[count++] = class->text;
            }
        }
    }
    return count;
}

static const Name *find_class(Reader *reader, const Datum *member)
{
    Text classes[CLASSES_MAX];
    const Name *names[CLASSES_MAX];
    size_t count = list_classes(reader->vocabulary, classes, names);
    for (size_t i = 0; i < count; i++) {
        if (text_equal(classes[i], member->key)) {
            return names[i];
        }
    }
    Diagnostic *diag = diagnostic_error(reader->diags, "unknown key", member->key_place,
                                        "nothing in the vocabulary is built as '%.*s'",
                                        TEXT_ARG(text_shown(reader->arena, member->key)));
    long nearest = text_nearest(member->key, classes, count);
    if (nearest >= 0) {
        diagnostic_note(reader->diags, diag, (Place){0}, "did you mean '%.*s'?",
                        TEXT_ARG(classes[nearest]));
    }
    return NULL;
}

static void add_tolerance(Reader *reader, const Datum *datum, const Name *class)
{
    Quantity quantity;
    Dimension length;
    if (datum_is_blank(datum) || datum_is_none(datum)) {
        return;
    }
    if (!datum_is_scalar(datum)) {
        (void)read_wrong_kind(reader, datum, TEXT("a length"));
        return;
    }
    if (!quantity_read(reader, datum, &quantity)) {
        return;
    }
    if (!dimension_find(TEXT("length"), &length) || !dimension_equal(quantity.dimension, length) ||
        quantity.measured || rational_sign(quantity.range.low) < 0) {
        diagnostic_error(reader->diags, "wrong unit", datum->place,
                         "'%.*s' is no tolerance: a length, as 1/8 in, is due",
                         TEXT_ARG(text_shown(reader->arena, datum->text)));
        return;
    }
    Spec *spec = reader->spec;
    spec->tolerances[spec->tolerance_count++] =
        (Tolerance){class, quantity.range.low, quantity.unit, datum->place};
}

static void read_built_to(Reader *reader, const Datum *datum)
{
    Spec *spec = reader->spec;
    uint32_t count = datum->kind == DATUM_MAP ? datum->count : 1;
    spec->tolerances = ARENA_ARRAY(reader->arena, Tolerance, count);
    if (datum->kind != DATUM_MAP) {
        add_tolerance(reader, datum, NULL);
        return;
    }
    for (const Datum *member = datum->first; member != NULL && read_on(reader, member);
         member = member->next) {
        const Name *class = find_class(reader, member);
        if (class != NULL) {
            add_tolerance(reader, member, class);
        }
    }
}

/* ---- all of them ---- */

static const struct {
    const char *key;
    void (*read)(Reader *reader, const Datum *datum);
} program_keys[] = {
    {"vocabulary", read_vocabulary},
    {"unit_name", read_unit_name},
    {"builder", read_builder},
    {"cycle", read_cycle},
    {"jurisdictions", read_jurisdictions},
    {"submitted", read_submitted},
    {"permits", read_permits},
    {"built_to", read_built_to},
    {"variances", read_variances},
    {"decisions", read_decisions},
    {"approvals", read_approvals},
};

enum { PROGRAM_KEYS = sizeof program_keys / sizeof program_keys[0] };

static int find_program_key(Text key)
{
    for (int i = 0; i < PROGRAM_KEYS; i++) {
        if (text_equal(key, text_of(program_keys[i].key))) {
            return i;
        }
    }
    return -1;
}

bool program_has_key(Text key)
{
    return find_program_key(key) >= 0;
}

bool program_read(Reader *reader, const Datum *datum)
{
    int index = find_program_key(datum->key);
    if (index >= 0) {
        program_keys[index].read(reader, datum);
    }
    return index >= 0;
}

Text program_nearest(Text key)
{
    Text keys[PROGRAM_KEYS];
    for (int i = 0; i < PROGRAM_KEYS; i++) {
        keys[i] = text_of(program_keys[i].key);
    }
    long nearest = text_nearest(key, keys, PROGRAM_KEYS);
    return nearest < 0 ? TEXT("") : keys[nearest];
}
