/* Settings of worked examples and of the command line, put over a spec's data:
 * `openings["serving"].clear_width = 25 in`.
 *
 * The base is copied, never changed. A path is followed through the vocabulary, so that a
 * misspelt piece is found even where the base says nothing; an item that the base does not have
 * is an error, a record that it leaves out is made. A value that replaces one of the base keeps
 * that one's key, so that findings point at the line which would change. */
#include "spec/spec_read.h"

typedef struct Applier {
    Arena *arena;
    const Vocabulary *vocabulary;
    const Source *source;
    Diagnostics *diags;
    Datum *root;
} Applier;

/* Where a fact is to be found: in which map, and which it is. */
typedef struct Spot {
    Datum *map;
    const Field *field;
} Spot;

static Datum *copy_datum(Arena *arena, const Datum *datum)
{
    Datum *copy = ARENA_NEW(arena, Datum);
    *copy = *datum;
    Datum **tail = &copy->first;
    for (const Datum *member = datum->first; member != NULL; member = member->next) {
        *tail = copy_datum(arena, member); /* as deep as the readers allow */
        tail = &(*tail)->next;
    }
    *tail = NULL;
    return copy;
}

static Place path_place(const Applier *applier, const Expr *path)
{
    bool named = path->name_span.end > path->name_span.start;
    return (Place){applier->source, named ? path->name_span : path->span};
}

static Datum *find_member(Datum *map, Text key)
{
    for (Datum *member = map->first; member != NULL; member = member->next) {
        if (text_equal(member->key, key)) {
            return member;
        }
    }
    return NULL;
}

/* The value itself, of a fact written with its source too. */
static Datum *inner(Datum *datum)
{
    return datum_is_sourced(datum) ? find_member(datum, TEXT("value")) : datum;
}

/* Puts the value under the key, in the place of what was there. */
static void put_member(Applier *applier, Datum *map, Text key, const Datum *value, Place path)
{
    Datum *old = find_member(map, key);
    Datum *node = old != NULL ? old : ARENA_NEW(applier->arena, Datum);
    Datum *next = node->next;
    Place key_place = old != NULL ? old->key_place : path;
    *node = *value;
    node->key = key;
    node->key_place = key_place;
    node->next = next;
    if (old == NULL) {
        Datum **tail = &map->first;
        while (*tail != NULL) {
            tail = &(*tail)->next;
        }
        *tail = node;
        map->count++;
    }
}

static bool say_unknown(Applier *applier, const Record *record, const Expr *path)
{
    Text name = path->name->text;
    Diagnostic *diag =
        record->name == NULL
            ? diagnostic_error(applier->diags, "unknown fact", path_place(applier, path),
                               "the vocabulary has no fact '%.*s'", TEXT_ARG(name))
            : diagnostic_error(applier->diags, "unknown fact", path_place(applier, path),
                               "'%.*s' has no field '%.*s'", TEXT_ARG(record->name->text),
                               TEXT_ARG(name));
    const Field *nearest = record_nearest(applier->arena, record, name);
    Text word = record->name == NULL ? program_nearest(name) : TEXT("");
    if (nearest != NULL) {
        diagnostic_note(applier->diags, diag, nearest->place, "did you mean '%.*s'?",
                        TEXT_ARG(nearest->name->text));
    } else if (word.len > 0) {
        diagnostic_note(applier->diags, diag, (Place){0}, "did you mean '%.*s'?", TEXT_ARG(word));
    }
    return false;
}

static bool say_path(Applier *applier, const Expr *path, Text message)
{
    diagnostic_error(applier->diags, "unknown path", path_place(applier, path), "%.*s",
                     TEXT_ARG(message));
    return false;
}

static Datum *enter(Applier *applier, const Expr *path, const Record **record);

/* Follows a name or a field. */
static bool find_spot(Applier *applier, const Expr *path, Spot *out)
{
    const Record *record = &applier->vocabulary->unit;
    Datum *map = applier->root;
    if (path->kind == EXPR_FIELD) {
        map = enter(applier, path->a, &record);
        if (map == NULL) {
            return false;
        }
    } else if (path->kind != EXPR_NAME) {
        return say_path(applier, path, TEXT("a setting begins with the path of a fact"));
    }
    *out = (Spot){map, record_field(record, path->name)};
    if (out->field == NULL && record->name == NULL && program_has_key(path->name->text)) {
        return say_path(
            applier, path,
            text_format(applier->arena, "'%.*s' is set as a whole", TEXT_ARG(path->name->text)));
    }
    return out->field != NULL || say_unknown(applier, record, path);
}

/* The map of a record that a path leads to; made when the base does not state it. */
static Datum *enter_record(Applier *applier, const Expr *path, const Spot *spot)
{
    Text name = spot->field->name->text;
    Datum *member = find_member(spot->map, name);
    Datum *datum = member == NULL ? NULL : inner(member);
    if (datum != NULL && datum_is_none(datum)) {
        (void)say_path(applier, path,
                       text_format(applier->arena, "'%.*s' is stated to be none: set it as a whole",
                                   TEXT_ARG(name)));
        return NULL;
    }
    if (datum == NULL || datum->kind != DATUM_MAP) { /* whatever else it was is an error anyway */
        Datum made = {.kind = DATUM_MAP, .place = path_place(applier, path)};
        put_member(applier, spot->map, name, &made, path_place(applier, path));
        return find_member(spot->map, name);
    }
    return datum;
}

/* The item of a list that has the key. */
static Datum *find_item(Applier *applier, const Expr *path, const Record **record)
{
    Spot spot;
    if (!find_spot(applier, path->a, &spot)) {
        return NULL;
    }
    Text name = spot.field->name->text;
    const Field *key = spot.field->type.class == CLASS_LIST ? spot.field->type.record->key : NULL;
    if (key == NULL) {
        (void)say_path(applier, path,
                       text_format(applier->arena, "'%.*s' is no list whose items have names",
                                   TEXT_ARG(name)));
        return NULL;
    }
    *record = spot.field->type.record;
    Datum *list = find_member(spot.map, name);
    list = list == NULL ? NULL : inner(list);
    uint32_t count = 0;
    Text *names = ARENA_ARRAY(applier->arena, Text, list == NULL ? 0 : list->count);
    for (Datum *item = list == NULL ? NULL : list->first; item != NULL; item = item->next) {
        Datum *named = item->kind == DATUM_MAP ? find_member(item, key->name->text) : NULL;
        named = named == NULL ? NULL : inner(named);
        if (named != NULL && datum_is_word(named, text_trim(path->text))) {
            return item;
        }
        if (named != NULL && datum_is_scalar(named)) {
            names[count++] = named->text;
        }
    }
    Diagnostic *diag =
        diagnostic_error(applier->diags, "unknown path", (Place){applier->source, path->span},
                         "'%.*s' has no item named '%.*s'", TEXT_ARG(name),
                         TEXT_ARG(text_shown(applier->arena, path->text)));
    long nearest = text_nearest(path->text, names, count);
    if (nearest >= 0) {
        diagnostic_note(applier->diags, diag, (Place){0}, "did you mean '%.*s'?",
                        TEXT_ARG(text_shown(applier->arena, names[nearest])));
    }
    return NULL;
}

/* The map that a path leads to, with its record; NULL after an error. */
static Datum *enter(Applier *applier, const Expr *path, const Record **record)
{
    Spot spot;
    if (path->kind == EXPR_ITEM) {
        return find_item(applier, path, record);
    }
    if (!find_spot(applier, path, &spot)) {
        return NULL;
    }
    const Type *type = &spot.field->type;
    if (type->class == CLASS_ITEM) {
        *record = type->record;
        return enter_record(applier, path, &spot);
    }
    Text name = spot.field->name->text;
    Text due = type_due(applier->arena, type);
    (void)say_path(applier, path,
                   type->class == CLASS_LIST
                       ? text_format(applier->arena,
                                     "'%.*s' is a list: name the item, %.*s[\"...\"]",
                                     TEXT_ARG(name), TEXT_ARG(name))
                       : text_format(applier->arena, "'%.*s' has no fields: it is %.*s",
                                     TEXT_ARG(name), TEXT_ARG(due)));
    return NULL;
}

static void apply(Applier *applier, const SettingTree *setting)
{
    const Expr *path = setting->path;
    Place place = {applier->source, path->span};
    Spot spot;
    if (path->kind == EXPR_NAME && program_has_key(path->name->text)) {
        put_member(applier, applier->root, path->name->text, setting->value, place);
    } else if (path->kind == EXPR_ITEM) {
        const Record *record = NULL;
        Datum *item = find_item(applier, path, &record);
        if (item != NULL) {
            Datum *next = item->next;
            *item = *setting->value;
            item->next = next;
        }
    } else if (find_spot(applier, path, &spot)) {
        put_member(applier, spot.map, spot.field->name->text, setting->value, place);
    }
}

Datum *spec_apply(Arena *arena, const Vocabulary *vocabulary, const Datum *base,
                  const SettingTree *settings, const Source *source, Diagnostics *diags)
{
    Applier applier = {arena, vocabulary, source, diags, NULL};
    if (base != NULL && base->kind == DATUM_MAP) {
        applier.root = copy_datum(arena, base);
    } else {
        applier.root = ARENA_NEW(arena, Datum);
        applier.root->kind = DATUM_MAP;
        applier.root->place = (Place){source, {0, 0}};
    }
    for (const SettingTree *setting = settings; setting != NULL; setting = setting->next) {
        apply(&applier, setting);
    }
    return applier.root;
}
