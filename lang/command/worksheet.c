/* shall worksheet: prints the calculation sheets of each spec in each jurisdiction. */
#include <unistd.h>

#include "command/command.h"

static const Option options[] = {SESSION_OPTIONS, {NULL, NULL, NULL}};

static void put_sheets(Session *session, const char *path, size_t *shown)
{
    Arena *arena = arena_new();
    Docket docket;
    if (session_docket(session, arena, path, &docket)) {
        ReviewOptions how = {.on = docket.on, .stage = session->stage};
        for (size_t i = 0; i < docket.law_count; i++) {
            Reviewed reviewed = {.review = review_make(arena, docket.laws[i], docket.spec, &how),
                                 .origin = docket.origin};
            reviewed.digests = session_digests(session, &reviewed.digest_count);
            Text sheets = report_worksheets(arena, &reviewed, style_of(STDOUT_FILENO));
            if (sheets.len == 0) {
                continue;
            }
            put_out((*shown)++ > 0 ? TEXT("\n\n") : TEXT(""));
            put_out(sheets);
        }
    }
    arena_free(arena);
}

static Status worksheet(Run *run)
{
    Session session;
    if (!session_open(run, &session)) {
        return session.status;
    }
    size_t shown = 0;
    for (size_t i = 0; i < run->arguments.operand_count; i++) {
        put_sheets(&session, run->arguments.operands[i], &shown);
    }
    if (shown == 0 && session.status == STATUS_COMPLIES) {
        put_out(TEXT("The law has no calculation sheet for this unit.\n"));
    }
    return session.status;
}

const Command command_worksheet = {
    .name = "worksheet",
    .summary = "prints the calculation sheets of build specs",
    .operands = "SPEC...",
    .about = "Prints the calculation sheets that the law in force has for each build spec: every "
             "step with its formula, its result and the section that asks for it.\n\n"
             "Exit status: 0 printed, 64 misuse, 65 a spec or rule file has errors, 66 a file "
             "cannot be read.",
    .options = options,
    .run = worksheet};
