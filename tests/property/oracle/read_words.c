/* Vocabularies, and how their pieces become one. */
#include "oracle.h"

#include <stdlib.h>
#include <string.h>

static void read_words(Reader *r, Choice *choice)
{
    do {
        if (choice->n == 64) {
            read_error(r, "too many words");
        }
        choice->word[choice->n++] = want_name(r);
        choice->ordered = choice->ordered || at_sign(r, "<");
    } while (take_sign(r, ",") || take_sign(r, "<"));
}

const Choice *choice_find(const Vocabulary *v, const char *name)
{
    for (int i = 0; v != NULL && i < v->choices.n; i++) {
        const Choice *choice = v->choices.at[i];
        if (same(choice->name, name)) {
            return choice;
        }
    }
    return NULL;
}

Vocabulary *vocabulary_find(const Law *law, const char *name)
{
    for (int i = 0; i < law->vocabularies.n; i++) {
        Vocabulary *v = law->vocabularies.at[i];
        if (name == NULL || same(v->name, name)) {
            return v;
        }
    }
    return NULL;
}

static Record *record_find(const Vocabulary *v, const char *name)
{
    for (int i = 0; v != NULL && i < v->records.n; i++) {
        Record *record = v->records.at[i];
        if (same(record->name, name)) {
            return record;
        }
    }
    return NULL;
}

static Type type_named(const Vocabulary *v, const char *name)
{
    const Choice *choice = choice_find(v, name);
    Record *record = record_find(v, name);
    if (choice != NULL) {
        return (Type){.kind = TYPE_CHOICE, .choice = choice};
    }
    if (record != NULL) {
        return (Type){.kind = TYPE_RECORD, .record = record};
    }
    if (same(name, "text")) {
        return (Type){.kind = TYPE_TEXT};
    }
    if (same(name, "date")) {
        return (Type){.kind = TYPE_DATE};
    }
    if (same(name, "size")) {
        return (Type){.kind = TYPE_SIZE};
    }
    return (Type){.kind = same(name, "count") ? TYPE_COUNT : TYPE_NUMBER, .dimension = name};
}

Type read_type(Reader *r)
{
    if (take_word(r, "yes")) {
        want_sign(r, "/");
        want_word(r, "no");
        return (Type){.kind = TYPE_YES_NO};
    }
    if (take_word(r, "one")) {
        want_word(r, "of");
        Choice *choice = NEW(Choice);
        read_words(r, choice);
        return (Type){.kind = TYPE_CHOICE, .choice = choice};
    }
    bool list = take_word(r, "list");
    if (list) {
        want_word(r, "of");
    }
    Type type = type_named(r->vocabulary, want_name(r));
    type.kind = list ? TYPE_LIST : type.kind;
    return type;
}

static void read_bound(Reader *r, Field *f, bool low, bool open)
{
    Range q = want_quantity(r, true).range;
    End *end = low ? &f->bounds.lo : &f->bounds.hi;
    *end = low ? q.lo : q.hi;
    end->open = open;
}

/* A qualifier's word may name the next field: its second word tells. */
static bool take_two(Reader *r, const char *first, const char *second)
{
    if (!at_word(r, first) || !next_is(r, second)) {
        return false;
    }
    read_next(r);
    read_next(r);
    return true;
}

static void read_qualifiers(Reader *r, Field *f)
{
    for (;;) {
        if (take_two(r, "always", "present")) {
            f->always = true;
        } else if (take_word(r, "key")) {
            f->key = true;
        } else if (take_two(r, "at", "least")) {
            read_bound(r, f, true, false);
        } else if (take_two(r, "at", "most")) {
            read_bound(r, f, false, false);
        } else if (take_two(r, "more", "than")) {
            read_bound(r, f, true, true);
        } else if (take_two(r, "less", "than")) {
            read_bound(r, f, false, true);
        } else if (take_two(r, "in", "steps")) {
            want_word(r, "of");
            (void)want_quantity(r, true);
        } else if (take_two(r, "built", "as")) {
            (void)want_name(r);
        } else if (at_word(r, "ask") && next_is(r, "\"")) {
            read_next(r);
            (void)want_text(r);
        } else {
            return;
        }
    }
}

static Field read_field(Reader *r)
{
    Field f = {.bounds = range_whole_line()};
    f.name = want_name(r);
    f.type = read_type(r);
    read_qualifiers(r, &f);
    return f;
}

static void record_add(Record *record, Field field)
{
    if (record->n == record->room) {
        const Field *old = record->field;
        record->room = record->room == 0 ? 8 : record->room * 2;
        record->field = ARRAY(Field, record->room);
        for (int i = 0; i < record->n; i++) {
            record->field[i] = old[i];
        }
    }
    record->key = field.key ? record->n : record->key;
    record->field[record->n++] = field;
}

static void record_clear(Record *record)
{
    record->key = record->along = record->length = record->across = record->width = -1;
}

static void read_plan(Reader *r, Record *record)
{
    want_word(r, "plan");
    record->plan[0] = want_name(r);
    want_word(r, "along");
    record->plan[1] = want_name(r);
    if (take_sign(r, ",")) {
        record->plan[2] = want_name(r);
        want_word(r, "across");
        record->plan[3] = want_name(r);
    }
}

static void read_record(Reader *r, Vocabulary *v)
{
    Record *record = NEW(Record);
    record_clear(record);
    record->name = want_name(r);
    record->continued = take_word(r, "continued");
    if (!record->continued &&
        at_word(r, "as")) { /* no field is called so with a type behind a name */
        read_next(r);
        record->as = want_name(r);
    }
    vec_add(&v->records, record);
    while (!at_word(r, "end")) {
        Reader look = *r;
        read_next(&look);
        if (at_word(r, "plan") && next_is(&look, "along")) {
            read_plan(r, record);
        } else {
            record_add(record, read_field(r));
        }
    }
    read_next(r);
}

static void read_fact(Reader *r, Vocabulary *v)
{
    Reader look = *r;
    read_next(&look);
    if (!at_word(&look, "every")) {
        record_add(&v->facts, read_field(r));
        return;
    }
    Field f = {.bounds = range_whole_line(), .gathered = true, .always = true};
    f.name = want_name(r);
    want_word(r, "every");
    f.type = (Type){.kind = TYPE_LIST, .dimension = want_name(r)};
    read_qualifiers(r, &f);
    record_add(&v->facts, f);
}

/* Read again once all are joined, it is only passed over. */
void read_vocabulary(Reader *r)
{
    Vocabulary *v = NEW(Vocabulary);
    record_clear(&v->facts);
    v->file = r->file;
    v->name = want_name(r);
    v->continued = take_word(r, "continued");
    if (!r->law->joined) {
        vec_add(&r->law->vocabularies, v);
    }
    r->vocabulary = NULL; /* names of types are resolved when all pieces are there */
    while (!take_word(r, "end")) {
        if (take_word(r, "choice")) {
            Choice *choice = NEW(Choice);
            choice->name = want_name(r);
            want_word(r, "one");
            want_word(r, "of");
            read_words(r, choice);
            vec_add(&v->choices, choice);
        } else if (take_word(r, "record")) {
            read_record(r, v);
        } else if (take_word(r, "fact")) {
            read_fact(r, v);
        } else {
            want_word(r, "topic");
            (void)read_dotted(r);
            (void)want_text(r);
        }
    }
    r->vocabulary = r->law->joined ? vocabulary_find(r->law, v->name) : NULL;
}

/* ---- one vocabulary of many pieces ---- */

bool record_is(const Record *record, const Record *base)
{
    return record == base || (record != NULL && record->base == base);
}

static int field_place(const Record *record, const char *name)
{
    for (int i = 0; i < record->n; i++) {
        if (same(record->field[i].name, name)) {
            return i;
        }
    }
    give_up("'%s' is no field of '%s'", name, record->name);
}

static void place_fields(Record *record)
{
    if (record->plan[0] != NULL) {
        record->along = field_place(record, record->plan[0]);
        record->length = field_place(record, record->plan[1]);
    }
    if (record->plan[2] != NULL) {
        record->across = field_place(record, record->plan[2]);
        record->width = field_place(record, record->plan[3]);
    }
}

/* The fields of the base stand before its own. */
static void begin_as(const Vocabulary *v, Record *record)
{
    const Record own = *record;
    const Record *base = record_find(v, record->as);
    if (base == NULL || base->as != NULL) {
        give_up("'%s' is made as '%s', which is no record, or made as another itself", record->name,
                record->as);
    }
    record->base = base;
    record->field = NULL;
    record->n = record->room = 0;
    for (int i = 0; i < base->n; i++) {
        record_add(record, base->field[i]);
    }
    for (int i = 0; i < own.n; i++) {
        record_add(record, own.field[i]);
    }
    for (int i = 0; i < 4 && own.plan[0] == NULL; i++) {
        record->plan[i] = base->plan[i];
    }
}

static void continue_record(const Vocabulary *v, const Record *piece)
{
    Record *record = record_find(v, piece->name);
    if (record == NULL) {
        give_up("no record is called '%s'", piece->name);
    }
    for (int i = 0; i < piece->n; i++) {
        record_add(record, piece->field[i]);
    }
    for (int i = 0; i < 4 && piece->plan[0] != NULL; i++) {
        record->plan[i] = piece->plan[i];
    }
}

/* The names of types, wherever they are declared. */
static void resolve_types(const Vocabulary *v, Record *record)
{
    for (int i = 0; i < record->n; i++) {
        Type *type = &record->field[i].type;
        if (type->dimension != NULL && type->record == NULL) {
            Type named = type_named(v, type->dimension);
            named.kind = type->kind == TYPE_LIST ? TYPE_LIST : named.kind;
            *type = named;
        }
    }
}

static int by_path(const void *a, const void *b)
{
    const Vocabulary *const *x = a;
    const Vocabulary *const *y = b;
    if ((*x)->continued != (*y)->continued) {
        return (*x)->continued ? 1 : -1;
    }
    return strcmp((*x)->file, (*y)->file);
}

static void add_piece(Vocabulary *v, const Vocabulary *piece)
{
    for (int i = 0; i < piece->choices.n; i++) {
        vec_add(&v->choices, piece->choices.at[i]);
    }
    for (int i = 0; i < piece->records.n; i++) {
        vec_add(&v->records, piece->records.at[i]);
    }
    for (int i = 0; i < piece->facts.n; i++) {
        record_add(&v->facts, piece->facts.field[i]);
    }
}

/* Records that continue others are no records of their own. */
static void settle(Vocabulary *v)
{
    Vec all = v->records;
    v->records = (Vec){0};
    for (int i = 0; i < all.n; i++) {
        if (!((const Record *)all.at[i])->continued) {
            vec_add(&v->records, all.at[i]);
        }
    }
    for (int i = 0; i < all.n; i++) {
        if (((const Record *)all.at[i])->continued) {
            continue_record(v, all.at[i]);
        }
    }
    for (int i = 0; i < v->records.n; i++) {
        Record *record = v->records.at[i];
        if (record->as != NULL) {
            begin_as(v, record);
        }
    }
    resolve_types(v, &v->facts);
    for (int i = 0; i < v->records.n; i++) {
        place_fields(v->records.at[i]);
        resolve_types(v, v->records.at[i]);
    }
    for (int i = 0; i < v->records.n; i++) {
        (void)item_unknown(v->records.at[i]);
    }
    (void)item_unknown(&v->facts);
}

void vocabularies_join(Law *law)
{
    Vec all = law->vocabularies;
    law->vocabularies = (Vec){0};
    if (all.n > 0) {
        qsort(all.at, (size_t)all.n, sizeof *all.at, by_path);
    }
    for (int i = 0; i < all.n; i++) {
        Vocabulary *piece = all.at[i];
        if (!piece->continued) {
            vec_add(&law->vocabularies, piece);
            continue;
        }
        Vocabulary *v = vocabulary_find(law, piece->name);
        if (v == NULL) {
            give_up("%s: nothing is there for '%s' to continue", piece->file, piece->name);
        }
        add_piece(v, piece);
    }
    for (int i = 0; i < law->vocabularies.n; i++) {
        settle(law->vocabularies.at[i]);
    }
    law->joined = true;
}
