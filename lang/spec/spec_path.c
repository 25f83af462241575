/* Where an item or a fact stands: its path in words, and its place in the file. */
#include "spec/spec.h"

/* A key as it stands between quotes: on one line, with quotes and backslashes escaped. */
static void put_key(Buffer *buffer, Text key)
{
    buffer_string(buffer, "[\"");
    for (size_t i = 0; i < key.len; i++) {
        char c = key.data[i];
        if (c == '"' || c == '\\') {
            buffer_char(buffer, '\\');
        }
        buffer_char(buffer, (unsigned char)c < 0x20 || c == 0x7f ? ' ' : c);
    }
    buffer_string(buffer, "\"]");
}

static void put_item(Buffer *buffer, const Item *item)
{
    if (item->parent == NULL) {
        return;
    }
    put_item(buffer, item->parent);
    if (buffer->len > 0) {
        buffer_char(buffer, '.');
    }
    buffer_text(buffer, item->field->name->text);
    if (item->in_list && item->key.len > 0) {
        put_key(buffer, item->key);
    } else if (item->in_list && !item->phantom) {
        buffer_format(buffer, "[%u]", item->index + 1u); /* counted as people count */
    }
}

Text spec_path(Arena *arena, const Item *item, const Field *field)
{
    Buffer buffer = buffer_make(arena);
    put_item(&buffer, item);
    if (field != NULL) {
        if (buffer.len > 0) {
            buffer_char(&buffer, '.');
        }
        buffer_text(&buffer, field->name->text);
    }
    return buffer_done(&buffer);
}

const Fact *item_fact(const Item *item, const Field *field)
{
    return item->phantom || item->facts == NULL ? NULL : &item->facts[field->index];
}

Place fact_place(const Item *item, const Field *field)
{
    while (item->phantom && item->parent != NULL) {
        field = item->field; /* what is not stated is missing in what is */
        item = item->parent;
    }
    const Fact *fact = field == NULL ? NULL : item_fact(item, field);
    Span span = fact != NULL && fact->span.end > fact->span.start ? fact->span : item->span;
    return (Place){item->source, span};
}
