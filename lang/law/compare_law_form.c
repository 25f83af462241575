/* Forms: what code says. Each node is written as a short text of its own kind and the numbers of
 * its parts, and equal texts are one form, so that two rules are compared by pointers. A node is
 * looked at once, however often definitions use it; its variables go by how far away they are
 * bound, which is the same wherever it is used. */
#include "law/compare_law_inner.h"

typedef struct Binder {
    uint32_t slot;
    const struct Binder *outer;
} Binder;

typedef struct Walk {
    Comparing *c;
    const SectionText *text;
    const Binder *binders;               /* innermost first */
    uint32_t params_first, params_count; /* slots of the definition being called */
} Walk;

const Form *form_of_words(Comparing *c, Text words)
{
    const Name *name = names_intern(c->names, words);
    Form *form = map_get(c->by_words, name);
    if (form == NULL) {
        form = ARENA_NEW(c->arena, Form);
        form->number = ++c->forms;
        (void)map_put(c->by_words, name, form);
    }
    c->steps++;
    return form;
}

static const Form *keep(Comparing *c, const void *node, const Form *form)
{
    /* The map gives back what it was given; nobody writes to it. */
    union {
        const Form *held;
        void *put;
    } as = {.held = form};
    (void)map_put(c->by_node, node, as.put);
    return form;
}

static const Form *kept(const Comparing *c, const void *node)
{
    return map_get(c->by_node, node);
}

const Code *code_through(const Code *code)
{
    while (code != NULL && code->op == CODE_DEFINED) {
        code = code->a;
    }
    return code;
}

const Form *form_known(const Comparing *c, const Code *code)
{
    return kept(c, code);
}

/* ---- what is named in the vocabulary ---- */

static const Form *form_of_choice(Comparing *c, const Choice *choice)
{
    const Form *form = kept(c, choice);
    if (form != NULL) {
        return form;
    }
    Buffer out = buffer_make(c->arena);
    buffer_format(&out, "choice%c", choice->ordered ? '<' : ',');
    for (uint32_t i = 0; i < choice->count; i++) {
        buffer_format(&out, " %.*s", TEXT_ARG(choice->words[i]->text));
    }
    return keep(c, choice, form_of_words(c, buffer_done(&out)));
}

static void put_type(Comparing *c, Buffer *out, const Type *type)
{
    buffer_format(out, " %u%c", type->class, type->whole ? 'w' : '-');
    if (type->class == CLASS_NUMBER) {
        buffer_text(out, dimension_name(c->arena, type->dimension));
    }
    if (type->choice != NULL) {
        buffer_format(out, " #%u", form_of_choice(c, type->choice)->number);
    }
    if (type->record != NULL && type->record->name != NULL) {
        buffer_format(out, " %.*s", TEXT_ARG(type->record->name->text));
    }
}

static void put_name(Buffer *out, const Name *name)
{
    if (name == NULL) {
        buffer_string(out, " -");
    } else {
        buffer_format(out, " %.*s", TEXT_ARG(name->text));
    }
}

static const Form *form_of_field(Comparing *c, const Field *field)
{
    const Form *form = kept(c, field);
    if (form != NULL) {
        return form;
    }
    Buffer out = buffer_make(c->arena);
    buffer_string(&out, "fact");
    put_name(&out, field->owner == NULL ? NULL : field->owner->name);
    put_name(&out, field->name);
    put_type(c, &out, &field->type);
    buffer_string(&out, field->always_present ? " present" : "");
    return keep(c, field, form_of_words(c, buffer_done(&out)));
}

/* Which facts place an item in the plan. */
static void put_plan(Buffer *out, const Code *item)
{
    const Record *record = item == NULL ? NULL : item->type.record;
    if (record == NULL) {
        return;
    }
    const Field *fields[4] = {record->plan_x, record->plan_along, record->plan_y,
                              record->plan_across};
    for (int i = 0; i < 4; i++) {
        put_name(out, fields[i] == NULL ? NULL : fields[i]->name);
    }
}

/* ---- constants ---- */

static void put_range(Comparing *c, Buffer *out, const Range *range)
{
    bool exact = range_is_exact(range);
    buffer_format(out, " %u", exact ? RANGE_EXACT : range->flags);
    if (exact || (range->flags & RANGE_NO_LOW) == 0) {
        buffer_format(out, " %.*s", TEXT_ARG(rational_print_exact(c->arena, range->low)));
    }
    if (!exact && (range->flags & RANGE_NO_HIGH) == 0) {
        buffer_format(out, " to %.*s", TEXT_ARG(rational_print_exact(c->arena, range->high)));
    }
}

static void put_text(Buffer *out, Text text)
{
    buffer_format(out, " %zu:", text.len);
    buffer_text(out, text);
}

static void put_value(Comparing *c, Buffer *out, const Value *value, const Type *type)
{
    buffer_format(out, " %u/%u", value->kind, value->can);
    if ((value->can & CAN_BE_PRESENT) == 0) {
        return;
    }
    switch ((ValueKind)value->kind) {
    case VALUE_RANGE: put_range(c, out, &value->range); return;
    case VALUE_TRUTH: buffer_format(out, " %u", value->truth); return;
    case VALUE_WORDS:
        for (uint32_t i = 0; type->choice != NULL && i < type->choice->count; i++) {
            if ((value->words >> i & 1) != 0) {
                put_name(out, type->choice->words[i]);
            }
        }
        return;
    case VALUE_TEXT: put_text(out, value->text); return;
    case VALUE_SIZE:
        for (int i = 0; i < 3; i++) {
            put_range(c, out, &value->size[i]);
        }
        return;
    case VALUE_ITEM:
    case VALUE_LIST: return;
    }
}

/* ---- tables ---- */

static void put_key(Comparing *c, Buffer *out, const TableKey *key)
{
    buffer_format(out, " key %u", key->mode);
    put_type(c, out, &key->type);
    for (uint32_t i = 0; i < key->count; i++) {
        if (key->ranges != NULL) {
            put_range(c, out, &key->ranges[i]);
        } else if (key->type.choice != NULL) {
            Value words = {.kind = VALUE_WORDS, .can = CAN_BE_PRESENT, .words = key->words[i]};
            put_value(c, out, &words, &key->type);
        } else {
            buffer_format(out, " %llu", (unsigned long long)key->words[i]);
        }
    }
}

const Form *form_of_keys(Comparing *c, const Table *table)
{
    Buffer out = buffer_make(c->arena);
    buffer_format(&out, "keys %u", table->columns);
    put_type(c, &out, &table->type);
    for (uint32_t i = 0; i < table->key_count; i++) {
        put_key(c, &out, &table->keys[i]);
    }
    return form_of_words(c, buffer_done(&out));
}

static const Form *form_of_table(Comparing *c, const Table *table)
{
    const Form *form = kept(c, table);
    if (form != NULL) {
        return form;
    }
    Buffer out = buffer_make(c->arena);
    buffer_format(&out, "table %u", form_of_keys(c, table)->number);
    uint32_t rows = table->columns == 0 ? 0 : table->keys[0].count;
    for (uint32_t i = 0; i < rows * table->columns; i++) {
        put_value(c, &out, &table->cells[i], &table->type);
    }
    if (table->has_otherwise) {
        buffer_string(&out, " otherwise");
        put_value(c, &out, &table->otherwise, &table->type);
    }
    return keep(c, table, form_of_words(c, buffer_done(&out)));
}

/* ---- code ---- */

static const Form *walk(const Walk *w, const Code *code);

static bool is_commutative(uint8_t op)
{
    return op == CODE_ADD || op == CODE_MULTIPLY || op == CODE_MIN || op == CODE_MAX ||
           op == CODE_AND || op == CODE_OR || op == CODE_ANY_OF || op == CODE_ALL_OF;
}

/* The slot is bound in the parts b and c. */
static bool binds(uint8_t op)
{
    return op == CODE_QUANTIFIER || op == CODE_TOTAL || op == CODE_LEAST || op == CODE_GREATEST ||
           op == CODE_COUNT || op == CODE_THOSE || op == CODE_FIRST;
}

static void put_variable(const Walk *w, Buffer *out, uint32_t slot)
{
    uint32_t away = 0;
    for (const Binder *binder = w->binders; binder != NULL; binder = binder->outer, away++) {
        if (binder->slot == slot) {
            buffer_format(out, " bound %u", away);
            return;
        }
    }
    if (slot >= w->params_first && slot - w->params_first < w->params_count) {
        buffer_format(out, " given %u", slot - w->params_first);
        return;
    }
    for (uint32_t i = 0; i < w->text->each_count; i++) {
        const EachCode *each = &w->text->eachs[i];
        if (each->slot_a == slot || (each->pair && each->slot_b == slot)) {
            buffer_format(out, " each %u%c", i, each->slot_a == slot ? 'a' : 'b');
            return;
        }
    }
    buffer_format(out, " slot %u of %p", slot, (const void *)w->text); /* like nothing else */
}

/* What a node says beside its parts. */
static void put_node(const Walk *w, Buffer *out, const Code *code)
{
    Comparing *c = w->c;
    buffer_format(out, "%u %u %u %u %u", code->op, code->sub, code->emptiness, code->flag,
                  code->op == CODE_QUANTIFIER ? code->number : 0);
    switch ((int)code->op) {
    case CODE_CONSTANT:
        put_type(c, out, &code->type);
        put_value(c, out, code->value, &code->type);
        return;
    case CODE_ROUND:
    case CODE_WITHIN: put_range(c, out, &code->value->range); return;
    case CODE_WORDS: put_type(c, out, &code->type); return;
    case CODE_FACT:
    case CODE_FIELD: buffer_format(out, " %u", form_of_field(c, code->field)->number); return;
    case CODE_TABLE: buffer_format(out, " %u", form_of_table(c, code->table)->number); return;
    case CODE_BY_KEY:
    case CODE_BLANK:
    case CODE_APPROVAL: put_text(out, *code->text); return;
    case CODE_VARIABLE: put_variable(w, out, code->slot); return;
    case CODE_COVERS:
    case CODE_OVERLAPS:
    case CODE_GAP:
    case CODE_OVERHANG:
    case CODE_COVERED:
        put_plan(out, code->a);
        put_plan(out, code->b);
        return;
    default: return;
    }
}

static void sort_numbers(uint32_t *numbers, uint32_t count)
{
    for (uint32_t i = 1; i < count; i++) {
        uint32_t number = numbers[i];
        uint32_t at = i;
        for (; at > 0 && numbers[at - 1] > number; at--) {
            numbers[at] = numbers[at - 1];
        }
        numbers[at] = number;
    }
}

static const Form *walk_call_body(const Walk *w, const Code *code)
{
    Walk body = {
        .c = w->c, .text = w->text, .params_first = code->slot, .params_count = code->count};
    return walk(&body, code->a);
}

static const Form *walk_parts(const Walk *w, const Code *code)
{
    Binder binder = {code->slot, w->binders};
    Walk inner = *w;
    if (binds(code->op)) {
        inner.binders = &binder;
    }
    uint32_t *numbers = ARENA_ARRAY(w->c->arena, uint32_t, code->count + 3);
    uint32_t count = 0;
    const Code *parts[3] = {code->a, code->b, code->c};
    for (int i = 0; i < 3; i++) {
        const Form *form = NULL;
        if (parts[i] != NULL) {
            form = code->op == CODE_CALL ? walk_call_body(w, code)
                                         : walk(i == 0 ? w : &inner, parts[i]);
        }
        if (form != NULL || !is_commutative(code->op)) {
            numbers[count++] = form == NULL ? 0 : form->number;
        }
    }
    for (uint32_t i = 0; code->args != NULL && i < code->count; i++) {
        numbers[count++] = walk(w, code->args[i])->number;
    }
    if (is_commutative(code->op)) {
        sort_numbers(numbers, count);
    }
    Buffer out = buffer_make(w->c->arena);
    put_node(w, &out, code);
    for (uint32_t i = 0; i < count; i++) {
        buffer_format(&out, ",%u", numbers[i]);
    }
    return form_of_words(w->c, buffer_done(&out));
}

static const Form *walk(const Walk *w, const Code *code)
{
    if (code == NULL) {
        return form_of_words(w->c, TEXT("nothing"));
    }
    const Form *form = kept(w->c, code);
    if (form != NULL) {
        return form;
    }
    if (code->op == CODE_DEFINED) { /* compiled outside every quantifier */
        Walk outside = {.c = w->c, .text = w->text};
        form = walk(&outside, code->a);
    } else {
        form = walk_parts(w, code);
    }
    return keep(w->c, code, form);
}

const Form *form_of(Comparing *c, const SectionText *text, const Code *code)
{
    Walk w = {.c = c, .text = text};
    return walk(&w, code);
}
