/* shall faircopy: lays rule files out in the standard form, comments kept. */
#include <string.h>

#include "command/command.h"

static const Option options[] = {
    {"--verify", NULL, "changes nothing: names the files that are not in the standard form"},
    {NULL, NULL, NULL}};

static Status settle_copy(Run *run, const char *path, const Source *source, Text fair)
{
    bool same = text_equal(source->bytes, fair);
    if (has_option(&run->arguments, "--verify")) {
        if (same) {
            return STATUS_COMPLIES;
        }
        put_out(text_format(run->arena, "%s: not in the standard form\n", path));
        return STATUS_CORRECTION;
    }
    if (same && strcmp(path, "-") != 0) {
        return STATUS_COMPLIES;
    }
    return write_file(run, path, fair);
}

static Status copy_file(Run *run, const char *path)
{
    Text reason = TEXT("");
    const Source *source = source_read(run->arena, path, &reason);
    if (source == NULL) {
        complain(run, "cannot read '%s': %.*s", path, TEXT_ARG(reason));
        return STATUS_NO_INPUT;
    }
    Diagnostics diags = diagnostics_make(run->arena);
    const FileTree *file = syntax_parse(run->arena, names_new(run->arena), source, &diags);
    put_diagnostics(run->arena, &diags);
    if (diags.errors > 0) {
        return STATUS_BAD_INPUT;
    }
    return settle_copy(run, path, source, syntax_faircopy(run->arena, file));
}

static Status faircopy(Run *run)
{
    if (run->arguments.operand_count == 0) {
        return misuse(run, "no rule file is named");
    }
    Status status = STATUS_COMPLIES;
    for (size_t i = 0; i < run->arguments.operand_count; i++) {
        status = worse_status(status, copy_file(run, run->arguments.operands[i]));
    }
    return status;
}

const Command command_faircopy = {
    .name = "faircopy",
    .summary = "lays rule files out in the standard form",
    .operands = "FILE...",
    .about = "Writes each rule file anew in the standard form, comments kept; a file that is in it "
             "already is not touched, one with errors is left as it is. A file is written whole or "
             "not at all. With - standard input is copied to standard output.\n\n"
             "Exit status: 0 done, 1 with --verify: some file is not in the standard form, 65 a "
             "file has errors, 66 cannot be read, 73 or 74 cannot be written.",
    .options = options,
    .run = faircopy};
