/* shall worksheet: prints the calculation sheets of each spec in each jurisdiction, and writes
 * them as a page or as JSON. */
#include <string.h>
#include <unistd.h>

#include "command/command.h"

static const Option options[] = {
    SESSION_OPTIONS,
    {"--only", "NAME", "this worksheet; again, or parted by commas, for several"},
    {"--html", "FILE",
     "writes one page with all sheets; with - to standard output, instead of the text"},
    {"--json", "FILE", "writes them as JSON; with - to standard output, instead of the text"},
    {NULL, NULL, NULL}};

typedef struct Sheets {
    Run *run;
    Session session;
    const Text *only;
    size_t only_count;
    bool *found;             /* by name of only: some law has it */
    const Worksheets **list; /* those with sheets */
    size_t count, cap;
    Text *names; /* of all worksheets met, for a misspelt one */
    size_t name_count, name_cap;
} Sheets;

static void add_name(Sheets *sheets, Text name)
{
    if (sheets->name_count == sheets->name_cap) {
        sheets->name_cap = sheets->name_cap == 0 ? 32 : sheets->name_cap * 2;
        Text *grown = ARENA_ARRAY(sheets->run->arena, Text, sheets->name_cap);
        for (size_t i = 0; i < sheets->name_count; i++) {
            grown[i] = sheets->names[i];
        }
        sheets->names = grown;
    }
    sheets->names[sheets->name_count++] = name;
}

static void note_names(Sheets *sheets, const Law *law)
{
    for (uint32_t i = 0; i < law->worksheet_count && sheets->only_count > 0; i++) {
        add_name(sheets, law->worksheets[i].name->text);
        for (size_t k = 0; k < sheets->only_count; k++) {
            sheets->found[k] |= text_equal(law->worksheets[i].name->text, sheets->only[k]);
        }
    }
}

static void add_sheets(Sheets *sheets, const Worksheets *made)
{
    if (sheets->count == sheets->cap) {
        sheets->cap = sheets->cap == 0 ? 8 : sheets->cap * 2;
        const Worksheets **grown = ARENA_ARRAY(sheets->run->arena, const Worksheets *, sheets->cap);
        for (size_t i = 0; i < sheets->count; i++) {
            grown[i] = sheets->list[i];
        }
        sheets->list = grown;
    }
    sheets->list[sheets->count++] = made;
}

/* The sheets live as long as the run: a page holds those of all specs. */
static void make_sheets(Sheets *sheets, const char *path)
{
    Session *session = &sheets->session;
    Arena *arena = sheets->run->arena;
    Docket docket;
    if (!session_docket(session, arena, path, &docket)) {
        return;
    }
    ReviewOptions how = {.on = docket.on, .stage = session->stage};
    for (size_t i = 0; i < docket.law_count; i++) {
        Reviewed *reviewed = ARENA_NEW(arena, Reviewed);
        *reviewed = (Reviewed){.review = review_make(arena, docket.laws[i], docket.spec, &how),
                               .origin = docket.origin};
        reviewed->digests = session_digests(session, &reviewed->digest_count);
        note_names(sheets, docket.laws[i]);
        const Worksheet *overflow = NULL;
        const Worksheets *made =
            worksheets_make(arena, reviewed, sheets->only, sheets->only_count, &overflow);
        if (overflow != NULL) {
            complain(sheets->run,
                     "%s: '%.*s' has more than %d rows; a list is longer than any unit's", path,
                     TEXT_ARG(overflow->name->text), FINDINGS_MAX);
            session->status = worse_status(session->status, STATUS_BAD_INPUT);
        } else if (worksheets_count(made) > 0) {
            add_sheets(sheets, made);
        }
    }
}

/* False after messages: a name is no worksheet of any law met. */
static bool names_found(const Sheets *sheets)
{
    bool all = true;
    for (size_t i = 0; i < sheets->only_count; i++) {
        if (sheets->found[i]) {
            continue;
        }
        Text name = sheets->only[i];
        long near = text_nearest(name, sheets->names, sheets->name_count);
        if (near >= 0) {
            complain(sheets->run, "no law here has a worksheet '%.*s'; did you mean '%.*s'?",
                     TEXT_ARG(name), TEXT_ARG(sheets->names[near]));
        } else {
            complain(sheets->run, "no law here has a worksheet '%.*s'", TEXT_ARG(name));
        }
        all = false;
    }
    return all;
}

static void put_text(const Sheets *sheets)
{
    for (size_t i = 0; i < sheets->count; i++) {
        put_out(i > 0 ? TEXT("\n\n") : TEXT(""));
        put_out(worksheets_text(sheets->run->arena, sheets->list[i], style_of(STDOUT_FILENO)));
    }
    if (sheets->count == 0 && sheets->session.status == STATUS_COMPLIES) {
        put_out(TEXT("The law has no calculation sheet for this unit.\n"));
    }
}

static Status write_reports(const Sheets *sheets, const char *html, const char *json)
{
    Run *run = sheets->run;
    Status status = sheets->session.status;
    bool to_out =
        (json != NULL && strcmp(json, "-") == 0) || (html != NULL && strcmp(html, "-") == 0);
    if (!to_out) {
        put_text(sheets);
    }
    if (json != NULL) {
        Text text = worksheets_json(run->arena, sheets->list, sheets->count);
        status = worse_status(status, write_file(run, json, text));
    }
    if (html != NULL) {
        Text text = worksheets_html(run->arena, sheets->list, sheets->count);
        status = worse_status(status, write_file(run, html, text));
    }
    return status;
}

static Status worksheet(Run *run)
{
    Sheets sheets = {.run = run};
    const char *json = last_value(&run->arguments, "--json");
    const char *html = last_value(&run->arguments, "--html");
    if (json != NULL && html != NULL && strcmp(json, "-") == 0 && strcmp(html, "-") == 0) {
        return misuse(run, "only one of --json and --html can go to standard output");
    }
    if (!session_open(run, &sheets.session, false)) {
        return sheets.session.status;
    }
    sheets.only = all_values(run->arena, &run->arguments, "--only", ',', &sheets.only_count);
    sheets.found = ARENA_ARRAY(run->arena, bool, sheets.only_count + 1);
    for (size_t i = 0; i < run->arguments.operand_count; i++) {
        make_sheets(&sheets, run->arguments.operands[i]);
    }
    if (sheets.session.status == STATUS_COMPLIES && !names_found(&sheets)) {
        return STATUS_BAD_INPUT;
    }
    return write_reports(&sheets, html, json);
}

const Command command_worksheet = {
    .name = "worksheet",
    .summary = "prints the calculation sheets of build specs",
    .operands = "SPEC...",
    .about = "Prints the calculation sheets that the law in force has for each build spec: every "
             "step with its formula, the numbers put in, its result and the section that asks for "
             "it; schedules, a row for each item; and the facts that went in, with their place in "
             "the spec and the sheet that they were taken from.\n\n"
             "Exit status: 0 printed, 64 misuse, 65 a spec or rule file has errors or a worksheet "
             "is unknown, 66 a file cannot be read, 73 or 74 a file cannot be written.",
    .options = options,
    .run = worksheet};
