/* Shared by the tests of specs and vocabularies: a small vocabulary, and messages as lines. */
#ifndef TESTS_UNIT_SPEC_HELP_H
#define TESTS_UNIT_SPEC_HELP_H

#include <check.h>
#include <string.h>

#include "spec/spec.h"
#include "syntax/syntax.h"

static const char bench_vocabulary[] =
    "vocabulary mobile_unit\n"
    "  choice duty one of light < medium < extra_heavy\n"
    "  record opening\n"
    "    name text key\n"
    "    use one of service, delivery, entry, vent\n"
    "    clear_width length at least 0 in built as sheet_metal\n"
    "    clear_height length more than 0 in at most 10 ft built as framing\n"
    "    self_closing yes/no\n"
    "    pan size\n"
    "    guard guard\n"
    "    from_front length\n"
    "    from_curb length\n"
    "    plan from_front along clear_width, from_curb across clear_height\n"
    "  end\n"
    "  record guard\n"
    "    height length at least 0 in\n"
    "    item text\n"
    "    behind guard\n"
    "  end\n"
    "  record tank\n"
    "    number count key\n"
    "    holds one of fresh, waste\n"
    "    capacity volume more than 0 gal\n"
    "    lids count at least 0\n"
    "    fill percent at least 0% at most 100%\n"
    "    slope number\n"
    "    installed date\n"
    "    inner list of tank\n"
    "  end\n"
    "  record light\n"
    "    lamp text\n"
    "    zone one of front, rear key\n"
    "  end\n"
    "  fact openings list of opening\n"
    "  fact tanks list of tank\n"
    "  fact lights list of light\n"
    "  fact hood guard\n"
    "  fact menu text\n"
    "  fact duty duty\n"
    "  fact water temperature\n"
    "  fact rise temperature_difference\n"
    "  fact gas gauge_pressure\n"
    "  fact weight mass always present\n"
    "  fact thrust force\n"
    "  fact exhaust flow\n"
    "  fact opened date\n"
    "end\n";

typedef struct Bench {
    Arena *arena;
    Names *names;
    const Vocabulary *vocabulary;
    const Source *source; /* of the spec read last */
    Diagnostics diags;
    Spec *spec;
} Bench;

/* Every message as "line:column name: message", each note behind " | ". */
static inline Text bench_messages(Bench *bench)
{
    Buffer buffer = buffer_make(bench->arena);
    diagnostics_sort(&bench->diags);
    for (const Diagnostic *diag = bench->diags.first; diag != NULL; diag = diag->next) {
        if (diag->place.source != NULL) {
            Position at = source_position(diag->place.source, diag->place.span.start);
            buffer_format(&buffer, "%u:%u ", at.line, at.column);
        }
        buffer_format(&buffer, "%s%s: %.*s", diag->severity == SEVERITY_WARNING ? "caution " : "",
                      diag->name, TEXT_ARG(diag->message));
        for (const Diagnostic *note = diag->notes; note != NULL; note = note->next) {
            buffer_string(&buffer, " | ");
            if (note->place.source != NULL) {
                Position at = source_position(note->place.source, note->place.span.start);
                buffer_format(&buffer, "%u:%u ", at.line, at.column);
            }
            buffer_text(&buffer, note->message);
        }
        buffer_char(&buffer, '\n');
    }
    return buffer_done(&buffer);
}

static inline void bench_expect(Bench *bench, const char *expected)
{
    Text found = bench_messages(bench);
    ck_assert_msg(text_equal(found, text_of(expected)), "expected:\n%s\nfound:\n%.*s", expected,
                  TEXT_ARG(found));
}

/* Forgets the messages so far. */
static inline void bench_clear(Bench *bench)
{
    bench->diags = diagnostics_make(bench->arena);
}

/* A vocabulary with its messages, which are not looked at here. */
static inline Bench bench_open(const char *rules)
{
    Bench bench = {.arena = arena_new()};
    bench.names = names_new(bench.arena);
    bench.diags = diagnostics_make(bench.arena);
    const Source *source = source_of(bench.arena, TEXT("v.shall"), text_of(rules));
    FileTree *file = syntax_parse(bench.arena, bench.names, source, &bench.diags);
    ck_assert_msg(bench.diags.errors == 0, "%.*s", TEXT_ARG(bench_messages(&bench)));
    ck_assert_ptr_nonnull(file->items);
    bench.vocabulary =
        vocabulary_make(bench.arena, bench.names, file->items->vocabulary, source, &bench.diags);
    return bench;
}

static inline Bench bench_usual(void)
{
    Bench bench = bench_open(bench_vocabulary);
    bench_expect(&bench, "");
    return bench;
}

static inline void bench_close(Bench *bench)
{
    arena_free(bench->arena);
}

static inline void bench_read_bytes(Bench *bench, Text bytes)
{
    bench_clear(bench);
    bench->source = source_of(bench->arena, TEXT("s.yaml"), bytes);
    bench->spec =
        spec_read(bench->arena, bench->names, bench->vocabulary, bench->source, &bench->diags);
}

static inline void bench_read(Bench *bench, const char *yaml)
{
    bench_read_bytes(bench, text_of(yaml));
}

static inline const Field *bench_field(const Bench *bench, const Record *record, const char *name)
{
    const Field *field = record_field(record, names_find(bench->names, text_of(name)));
    ck_assert_msg(field != NULL, "no field %s", name);
    return field;
}

static inline const Fact *bench_fact(const Bench *bench, const Item *item, const char *name)
{
    return item_fact(item, bench_field(bench, item->record, name));
}

/* A value in words, for comparing. */
static inline Text bench_value(const Bench *bench, const Item *item, const char *name)
{
    static const char *const truths[] = {"no", "unknown", "yes"};
    const Field *field = bench_field(bench, item->record, name);
    const Fact *fact = item_fact(item, field);
    const Value *value = &fact->value;
    if (fact->state != FACT_STATED) {
        return fact->state == FACT_NONE ? TEXT("none") : TEXT("unstated");
    }
    switch ((ValueKind)value->kind) {
    case VALUE_RANGE: return range_print(bench->arena, &value->range, fact->unit);
    case VALUE_TRUTH: return text_of(truths[value->truth]);
    case VALUE_WORDS:
        for (uint32_t i = 0; i < field->type.choice->count; i++) {
            if (value->words == UINT64_C(1) << i) {
                return field->type.choice->words[i]->text;
            }
        }
        return TEXT("several");
    case VALUE_TEXT: return value->text;
    case VALUE_SIZE:
        return text_format(bench->arena, "%.*s by %.*s by %.*s",
                           TEXT_ARG(range_print(bench->arena, &value->size[0], fact->unit)),
                           TEXT_ARG(range_print(bench->arena, &value->size[1], fact->unit)),
                           TEXT_ARG(range_print(bench->arena, &value->size[2], fact->unit)));
    case VALUE_ITEM: return TEXT("item");
    case VALUE_LIST:
        return text_format(bench->arena, "%u%s", value->list->count,
                           value->list->open ? " and more" : "");
    }
    return TEXT("?");
}

static inline void bench_expect_value(const Bench *bench, const Item *item, const char *name,
                                      const char *expected)
{
    Text found = bench_value(bench, item, name);
    ck_assert_msg(text_equal(found, text_of(expected)), "%s: expected '%s', found '%.*s'", name,
                  expected, TEXT_ARG(found));
}

static inline const Item *bench_item(const Bench *bench, const char *list, uint32_t index)
{
    const Fact *fact = bench_fact(bench, bench->spec->unit, list);
    ck_assert_uint_eq(fact->value.kind, VALUE_LIST);
    ck_assert_uint_lt(index, fact->value.list->count);
    return fact->value.list->members[index].item;
}

#endif
