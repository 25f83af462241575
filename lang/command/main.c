/* The program: finds the command, gives it its words, ends with its status. */
#include <string.h>
#include <unistd.h>

#include "command/command.h"
#include "report/paper.h"
#include "shall.h"

static const Command *const commands[] = {
    &command_review,   &command_worksheet, &command_proofread, &command_examples,
    &command_faircopy, &command_codebook,  &command_compare,   NULL};
enum { NAME_COLUMN = 14 };

static Text program_help(Arena *arena)
{
    Paper paper = paper_make(arena, style_of(STDOUT_FILENO));
    paper_wrap(&paper, 0, 0, TEXT("usage: shall COMMAND [OPTION]... [FILE]..."));
    paper_blank(&paper);
    paper_wrap(&paper, 0, 0,
               TEXT("Reviews build specs of mobile kitchens against the law in force in a "
                    "jurisdiction, written down in rule files."));
    paper_blank(&paper);
    for (size_t i = 0; commands[i] != NULL; i++) {
        paper_keyed(&paper, 2, NAME_COLUMN, text_of(commands[i]->name),
                    text_of(commands[i]->summary));
    }
    paper_blank(&paper);
    paper_wrap(&paper, 0, 0,
               TEXT("'shall COMMAND --help' tells more; 'shall --version' tells the version. "
                    "Exit status: 0 all complies, 1 corrections, 2 information required or an "
                    "official decides, 64 and up for misuse and bad input."));
    return buffer_done(&paper.out);
}

static const Command *find_command(const char *name)
{
    for (size_t i = 0; commands[i] != NULL; i++) {
        if (strcmp(commands[i]->name, name) == 0) {
            return commands[i];
        }
    }
    return NULL;
}

static Status unknown_command(const Run *run, const char *name)
{
    size_t count = 0;
    while (commands[count] != NULL) {
        count++;
    }
    Text *names = ARENA_ARRAY(run->arena, Text, count);
    for (size_t i = 0; i < count; i++) {
        names[i] = text_of(commands[i]->name);
    }
    long near = text_nearest(text_of(name), names, count);
    if (near < 0) {
        return misuse(run, "unknown command '%s'", name);
    }
    return misuse(run, "unknown command '%s'; did you mean '%.*s'?", name, TEXT_ARG(names[near]));
}

static bool asks_help(const char *const *words)
{
    for (; *words != NULL && strcmp(*words, "--") != 0; words++) {
        if (strcmp(*words, "--help") == 0 || strcmp(*words, "-h") == 0) {
            return true;
        }
    }
    return false;
}

static Status run_words(Run *run, const char *const *words)
{
    const char *first = words[0];
    if (first == NULL) {
        put_error(program_help(run->arena));
        return STATUS_MISUSE;
    }
    if (strcmp(first, "--help") == 0 || strcmp(first, "-h") == 0 || strcmp(first, "help") == 0) {
        put_out(program_help(run->arena));
        return STATUS_COMPLIES;
    }
    if (strcmp(first, "--version") == 0) {
        put_out(TEXT("shall " SHALL_VERSION "\n"));
        return STATUS_COMPLIES;
    }
    const Command *command = find_command(first);
    if (command == NULL) {
        return unknown_command(run, first);
    }
    run->command = command;
    if (asks_help(words + 1)) {
        put_out(command_help(run->arena, command, style_of(STDOUT_FILENO)));
        return STATUS_COMPLIES;
    }
    return arguments_read(run, words + 1) ? command->run(run) : STATUS_MISUSE;
}

int main(int argc, char **argv)
{
    Run run = {.arena = arena_new(), .program = argc > 0 ? argv[0] : "shall"};
    Status status = argc > 0 ? run_words(&run, (const char *const *)(argv + 1)) : STATUS_MISUSE;
    status = finish_output(status);
    arena_free(run.arena);
    return (int)status;
}
