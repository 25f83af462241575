/* shall proofread: checks rule files without a spec, every code by itself, every jurisdiction on
 * each date on which its law changes, and every place. */
#include <stdio.h>
#include <unistd.h>

#include "command/command.h"
#include "law/one_text.h"

enum { UNITS_MAX = 512 };

static const Option options[] = {
    {"--rules", "PATH", "rule files that the ones named may need (a vocabulary, codes, levels)"},
    {"--strict", NULL, "a warning counts as an error"},
    {"--units", NULL, "lists the units and dimensions that rule files may use, and ends"},
    {NULL, NULL, NULL}};

/* ---- units ---- */

static void put_names(Arena *arena, const char *title, const Text *names, size_t count)
{
    put_out(text_format(arena, "%s\n", title));
    Buffer line = buffer_make(arena);
    unsigned width = style_of(STDOUT_FILENO).width;
    for (size_t i = 0; i < count; i++) {
        if (line.len > 0 && line.len + 2 + names[i].len > width) {
            put_out(text_format(arena, "%.*s\n", TEXT_ARG(buffer_done(&line))));
            line = buffer_make(arena);
        }
        buffer_format(&line, "  %.*s", TEXT_ARG(names[i]));
    }
    put_out(text_format(arena, "%.*s\n", TEXT_ARG(buffer_done(&line))));
}

static Status list_units(Run *run)
{
    Text names[UNITS_MAX];
    size_t count = unit_names(names, UNITS_MAX);
    put_names(run->arena, "Units (compounds are written with / or per, as in cfm/ft):", names,
              count < UNITS_MAX ? count : UNITS_MAX);
    count = dimension_names(names, UNITS_MAX);
    put_names(run->arena, "\nDimensions, as types of facts:", names,
              count < UNITS_MAX ? count : UNITS_MAX);
    return STATUS_COMPLIES;
}

/* ---- proofreading ---- */

/* Files with faults are checked too, so that one run tells them all; warnings wait until there are
 * none. */
static void proofread_codes(Run *run, Rules *rules, const Map *asked, bool sound)
{
    const Library *library = rules->library;
    for (uint32_t i = 0; i < library->code_count; i++) {
        const CodeTree *code = library->codes[i];
        if (asked_code(asked, code)) {
            const LawTree *tree = law_of_code(run->arena, library, code);
            (void)law_check(run->arena, library, tree, sound, &rules->diags);
        }
    }
}

static void proofread_jurisdictions(Run *run, Rules *rules, const Map *asked)
{
    const Library *library = rules->library;
    for (uint32_t i = 0; i < library->jurisdiction_count; i++) {
        const JurisdictionTree *jurisdiction = library->jurisdictions[i];
        if (!asked_jurisdiction(asked, jurisdiction)) {
            continue;
        }
        uint32_t count = 0;
        const Day *dates = law_dates(run->arena, library, jurisdiction, &count);
        for (uint32_t d = 0; d < count; d++) {
            const LawTree *tree =
                law_assemble(run->arena, library, jurisdiction, dates[d], &rules->diags);
            (void)law_check(run->arena, library, tree, true, &rules->diags);
            if (d + 1 == count) {
                checklists_proofread(run->arena, tree, &rules->diags);
            }
        }
        (void)law_one_text(run->arena, library, jurisdiction, &rules->diags);
    }
}

static void proofread_places(Run *run, Rules *rules, const Map *asked)
{
    const Library *library = rules->library;
    for (uint32_t i = 0; i < library->place_count; i++) {
        if (map_get(asked, library->places[i]->source) != NULL) {
            place_proofread(run->arena, library, library->places[i], &rules->diags);
        }
    }
}

static Text counted_words(Arena *arena, size_t count, const char *one, const char *many)
{
    return text_format(arena, "%zu %s", count, count == 1 ? one : many);
}

/* What deserves a look in files that were not asked for is told when they are. */
static void drop_others(Diagnostics *diags, const Map *asked)
{
    Diagnostic **at = &diags->first;
    diags->last = NULL;
    while (*at != NULL) {
        const Source *source = (*at)->place.source;
        if ((*at)->severity == SEVERITY_WARNING && source != NULL &&
            map_get(asked, source) == NULL) {
            *at = (*at)->next;
            diags->warnings--;
        } else {
            diags->last = *at;
            at = &(*at)->next;
        }
    }
}

static Status conclude(Run *run, Rules *rules, size_t files)
{
    put_diagnostics(run->arena, &rules->diags);
    size_t errors = rules->diags.errors;
    size_t warnings = rules->diags.warnings;
    Text read = counted_words(run->arena, files, "file", "files");
    if (errors + warnings == 0) {
        put_out(text_format(run->arena, "%.*s read, no fault found\n", TEXT_ARG(read)));
        return STATUS_COMPLIES;
    }
    put_out(text_format(run->arena, "%.*s read: %.*s, %.*s\n", TEXT_ARG(read),
                        TEXT_ARG(counted_words(run->arena, errors, "error", "errors")),
                        TEXT_ARG(counted_words(run->arena, warnings, "warning", "warnings"))));
    bool strict = has_option(&run->arguments, "--strict");
    return errors > 0 || (strict && warnings > 0) ? STATUS_BAD_INPUT : STATUS_COMPLIES;
}

static Status proofread(Run *run)
{
    if (has_option(&run->arguments, "--units")) {
        return list_units(run);
    }
    if (run->arguments.operand_count == 0) {
        return misuse(run, "no rule file is named");
    }
    Rules rules;
    Map *asked = NULL;
    rules_read_asked(run, run->arguments.operands, run->arguments.operand_count, &rules, &asked);
    size_t files = 0;
    for (const FileTree *file = rules.library->files; file != NULL; file = file->next) {
        files += map_get(asked, file->source) != NULL;
    }
    bool sound = rules.diags.errors == 0;
    proofread_codes(run, &rules, asked, sound);
    if (rules.diags.errors == 0) { /* else its faults would be told again for every county */
        proofread_jurisdictions(run, &rules, asked);
    }
    if (rules.diags.errors == 0) {
        proofread_places(run, &rules, asked);
    }
    drop_others(&rules.diags, asked);
    return conclude(run, &rules, files);
}

const Command command_proofread = {
    .name = "proofread",
    .summary = "checks rule files without a spec",
    .operands = "RULES...",
    .about =
        "Checks rule files, and directories of them: syntax, names, types, dimensions, tables, "
        "absence; then every code by itself, every jurisdiction on each date on which its law "
        "changes, and every place with the law of all who decide there. Each message stands with "
        "its place and the line at fault. What the files need "
        "from others (a vocabulary, a code, the state of a county) is looked up in the library.\n\n"
        "Exit status: 0 no error, 65 errors (with --strict, warnings too), 64 misuse.",
    .options = options,
    .run = proofread};
