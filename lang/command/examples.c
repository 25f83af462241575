/* shall examples: runs the worked examples that rule files carry. */
#include "command/command.h"
#include "report/safe.h"

static const Option options[] = {
    {"--rules", "PATH", "rule files that the ones named may need (a vocabulary, codes, levels)"},
    {"--specs", "PATH",
     "the directory in which paths after 'from' begin; without it, the one "
     "above 'rules'"},
    {NULL, NULL, NULL}};

/* The directory above the last folder called "rules" on the way to a file. */
static Text above_rules(Run *run, const char *path)
{
    const char *full = path_full(run->arena, path);
    Text rest = text_of(full);
    for (size_t end = rest.len; end > 0; end--) {
        Text tail = {full + end - 1, rest.len - end + 1};
        if (text_starts(tail, TEXT("/rules")) && (tail.len == 6 || tail.data[6] == '/')) {
            return (Text){full, end - 1};
        }
    }
    return TEXT("");
}

static Text specs_root(Run *run)
{
    const char *given = last_value(&run->arguments, "--specs");
    if (given != NULL) {
        return text_of(given);
    }
    for (size_t i = 0; i < run->arguments.operand_count; i++) {
        Text root = above_rules(run, run->arguments.operands[i]);
        if (root.len > 0) {
            return root;
        }
    }
    return TEXT(".");
}

/* "place: worked example "title": what was expected and what was found". */
static void put_failure(Run *run, const ExampleResult *result)
{
    Position at = source_position(result->place.source, result->place.span.start);
    Text line = text_format(run->arena, "%.*s:%u:%u: \"%.*s\": %.*s",
                            TEXT_ARG(result->place.source->path), at.line, at.column,
                            TEXT_ARG(result->example->title), TEXT_ARG(result->message));
    put_out(text_harmless(run->arena, line));
    put_out(TEXT("\n"));
}

static Status run_examples(Run *run, Rules *rules, const Map *asked)
{
    uint32_t count = 0;
    size_t held = 0;
    size_t failed = 0;
    const ExampleResult *results =
        examples_run(run->arena, rules->library, asked, specs_root(run), &count, &rules->diags);
    for (uint32_t i = 0; i < count; i++) {
        if (results[i].held) {
            held++;
        } else {
            failed++;
            put_failure(run, &results[i]);
        }
    }
    put_diagnostics(run->arena, &rules->diags);
    put_out(text_format(run->arena, "worked examples: %zu held, %zu failed\n", held, failed));
    if (rules->diags.errors > 0) {
        return STATUS_BAD_INPUT;
    }
    return failed > 0 ? STATUS_CORRECTION : STATUS_COMPLIES;
}

static Status examples(Run *run)
{
    if (run->arguments.operand_count == 0) {
        return misuse(run, "no rule file is named");
    }
    Rules rules;
    Map *asked = NULL;
    rules_read_asked(run, run->arguments.operands, run->arguments.operand_count, &rules, &asked);
    if (rules.diags.errors > 0) {
        put_diagnostics(run->arena, &rules.diags);
        return STATUS_BAD_INPUT;
    }
    return run_examples(run, &rules, asked);
}

const Command command_examples = {
    .name = "examples",
    .summary = "runs the worked examples of rule files",
    .operands = "RULES...",
    .about = "Runs the worked examples that rule files carry: each states some facts and says what "
             "a review must find. Those that fail are told with their place, what was expected and "
             "what was found; the last line counts.\n\n"
             "Exit status: 0 all hold, 1 at least one fails, 65 the rule files have errors, 64 "
             "misuse.",
    .options = options,
    .run = examples};
