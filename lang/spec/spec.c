/* A spec's bytes to a spec: JSON where the text is JSON throughout, YAML otherwise. */
#include "spec/spec.h"

#include "spec/spec_build.h"

/* Puts the messages of one list at the end of another. */
static void move_messages(Diagnostics *from, Diagnostics *to)
{
    if (from->first == NULL) {
        return;
    }
    if (to->last == NULL) {
        to->first = from->first;
    } else {
        to->last->next = from->first;
    }
    to->last = from->last;
    to->errors += from->errors;
    to->warnings += from->warnings;
}

/* `until`: reading stops when this key of the top level has been read; NULL for all. */
static Datum *read_data(Arena *arena, const Source *source, const char *until, Diagnostics *diags)
{
    Diagnostics messages = diagnostics_make(diags->arena);
    Builder *builder = build_start(arena, source, &messages);
    builder->until = until;
    if (!spec_json(builder)) {
        messages = diagnostics_make(diags->arena);
        builder = build_start(arena, source, &messages);
        builder->until = until;
        spec_yaml(builder);
    }
    Datum *root = build_end(builder);
    move_messages(&messages, diags);
    return root;
}

Datum *spec_data(Arena *arena, const Source *source, Diagnostics *diags)
{
    return read_data(arena, source, NULL, diags);
}

Text spec_vocabulary_name(Arena *arena, const Source *source)
{
    Diagnostics ignored = diagnostics_make(arena);
    const Datum *root = read_data(arena, source, "vocabulary", &ignored);
    if (root == NULL || root->kind != DATUM_MAP) {
        return TEXT("");
    }
    for (const Datum *member = root->first; member != NULL; member = member->next) {
        if (text_equal(member->key, TEXT("vocabulary"))) {
            return text_trim(member->text);
        }
    }
    return TEXT("");
}

Text *spec_jurisdiction_names(Arena *arena, const Source *source, size_t *count)
{
    Diagnostics ignored = diagnostics_make(arena);
    const Datum *root = read_data(arena, source, "jurisdictions", &ignored);
    const Datum *member = root == NULL || root->kind != DATUM_MAP ? NULL : root->first;
    while (member != NULL && !text_equal(member->key, TEXT("jurisdictions"))) {
        member = member->next;
    }
    *count = 0;
    Text *names = ARENA_ARRAY(arena, Text, member == NULL ? 1 : member->count + 1);
    for (const Datum *at = member == NULL ? NULL : member->first; at != NULL; at = at->next) {
        names[(*count)++] = text_trim(at->text);
    }
    return names;
}

Spec *spec_read(Arena *arena, Names *names, const Vocabulary *vocabulary, const Source *source,
                Diagnostics *diags)
{
    size_t errors = diags->errors;
    const Datum *root = spec_data(arena, source, diags);
    if (root == NULL) {
        if (diags->errors > errors) {
            return NULL;
        }
        diagnostic_warning(diags, "empty spec", (Place){source, {0, 0}}, "nothing is stated");
    }
    return spec_from_data(arena, names, vocabulary, root, source, diags);
}
