/* Any bytes as a build spec: read, checked against what every spec guarantees, and read again from
 * its data with settings put over it. The vocabulary is fixed and has every type. */
#include <stdlib.h>

#include "spec/spec.h"
#include "syntax/syntax.h"

static const char vocabulary_text[] = "vocabulary mobile_unit\n"
                                      "  choice duty one of light < medium < extra_heavy\n"
                                      "  record opening\n"
                                      "    name text key\n"
                                      "    use one of service, delivery, entry, vent\n"
                                      "    clear_width length at least 0 in built as sheet_metal\n"
                                      "    clear_height length more than 0 in at most 10 ft\n"
                                      "    self_closing yes/no\n"
                                      "    pan size\n"
                                      "    guard guard\n"
                                      "  end\n"
                                      "  record guard\n"
                                      "    height length\n"
                                      "    behind guard\n"
                                      "  end\n"
                                      "  record tank\n"
                                      "    number count key\n"
                                      "    capacity volume more than 0 gal\n"
                                      "    fill percent at least 0% at most 100%\n"
                                      "    slope number\n"
                                      "    installed date\n"
                                      "    inner list of tank\n"
                                      "  end\n"
                                      "  fact openings list of opening\n"
                                      "  fact tanks list of tank\n"
                                      "  fact hood guard\n"
                                      "  fact menu text\n"
                                      "  fact duty duty\n"
                                      "  fact water temperature\n"
                                      "  fact rise temperature_difference\n"
                                      "  fact exhaust flow always present\n"
                                      "end\n";

static const char settings_text[] =
    "openings[\"a\"].clear_width = 25 in, hood.behind.height = 8 ft, tanks = [{number: 3}, and "
    "more], tanks[\"3\"].inner = none, permits = none";

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(bool holds)
{
    if (!holds) {
        abort();
    }
}

static void check_place(Place place)
{
    if (place.source != NULL) {
        require(place.span.start <= place.span.end);
        require(place.span.end <= place.source->bytes.len);
        (void)source_position(place.source, place.span.start);
    }
}

static void check_datum(const Datum *datum, unsigned depth)
{
    uint32_t count = 0;
    require(depth <= 64);
    check_place(datum->place);
    check_place(datum->key_place);
    for (const Datum *member = datum->first; member != NULL; member = member->next) {
        check_datum(member, depth + 1);
        count++;
    }
    require(count == datum->count);
}

static void check_item(Arena *arena, const Item *item);

static void check_fact(Arena *arena, const Item *item, const Field *field)
{
    const Fact *fact = item_fact(item, field);
    const Value *value = &fact->value;
    check_place(fact_place(item, field));
    (void)spec_path(arena, item, field);
    if (fact->state != FACT_STATED) {
        require(value->can == (fact->state == FACT_NONE ? CAN_BE_NONE : 0));
        return;
    }
    require(value->can == CAN_BE_PRESENT && value->waits == NULL);
    switch ((TypeClass)field->type.class) {
    case CLASS_NUMBER:
        require(value->kind == VALUE_RANGE && range_within(&value->range, &field->bounds));
        break;
    case CLASS_CHOICE:
        require(value->kind == VALUE_WORDS && value->words != 0 &&
                (value->words & (value->words - 1)) == 0);
        break;
    case CLASS_ITEM:
        require(value->kind == VALUE_ITEM && value->item->parent == item);
        check_item(arena, value->item);
        break;
    case CLASS_LIST:
        require(value->kind == VALUE_LIST);
        for (uint32_t i = 0; i < value->list->count; i++) {
            require(value->list->members[i].item->index == i);
            check_item(arena, value->list->members[i].item);
        }
        break;
    case CLASS_YES_NO: require(value->kind == VALUE_TRUTH && value->truth != TRUTH_UNKNOWN); break;
    case CLASS_TEXT: require(value->kind == VALUE_TEXT && value->known); break;
    case CLASS_DATE: require(value->kind == VALUE_RANGE); break;
    case CLASS_SIZE: require(value->kind == VALUE_SIZE); break;
    case CLASS_BAD: require(false); break;
    }
}

static void check_item(Arena *arena, const Item *item)
{
    for (uint32_t i = 0; i < item->record->count; i++) {
        check_fact(arena, item, &item->record->fields[i]);
    }
}

static void check_messages(const Diagnostics *diags)
{
    for (const Diagnostic *diag = diags->first; diag != NULL; diag = diag->next) {
        check_place(diag->place);
        require(diag->message.len > 0 && utf8_valid(diag->message, NULL));
        for (const Diagnostic *note = diag->notes; note != NULL; note = note->next) {
            check_place(note->place);
        }
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    Arena *arena = arena_new();
    Names *names = names_new(arena);
    Diagnostics diags = diagnostics_make(arena);
    const Source *rules = source_of(arena, TEXT("v.shall"), text_of(vocabulary_text));
    const FileTree *file = syntax_parse(arena, names, rules, &diags);
    const Vocabulary *vocabulary =
        vocabulary_make(arena, names, file->items->vocabulary, rules, &diags);
    const Source *with = source_of(arena, TEXT("with"), text_of(settings_text));
    const SettingTree *settings = syntax_parse_settings(arena, names, with, &diags);
    require(diags.errors == 0 && settings != NULL);

    Text bytes = {(const char *)data, size};
    const Source *source = source_of(arena, TEXT("s.yaml"), bytes);
    const Datum *root = spec_data(arena, source, &diags);
    if (root != NULL) {
        check_datum(root, 0);
    }
    const Spec *spec = spec_read(arena, names, vocabulary, source, &diags);
    if (spec != NULL) {
        check_item(arena, spec->unit);
    }
    (void)spec_vocabulary_name(arena, source);
    const Datum *changed = spec_apply(arena, vocabulary, root, settings, with, &diags);
    check_item(arena, spec_from_data(arena, names, vocabulary, changed, source, &diags)->unit);
    check_messages(&diags);
    arena_free(arena);
    return 0;
}
