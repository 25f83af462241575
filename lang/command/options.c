/* Options: `--name value`, `--name=value`, `--name one two` and switches, in any order among the
 * operands; `--` ends them, `-` is an operand. Tables of options also give the help, so that the two agree. */
#include <string.h>

#include "command/command.h"
#include "report/paper.h"

enum { OPTION_COLUMN = 26 };

static const Option *find_option(const Command *command, Text name)
{
    for (const Option *option = command->options; option->name != NULL; option++) {
        if (text_equal(text_of(option->name), name)) {
            return option;
        }
    }
    return NULL;
}

static Text nearest_option(Arena *arena, const Command *command, Text name)
{
    size_t count = 0;
    while (command->options[count].name != NULL) {
        count++;
    }
    Text *names = ARENA_ARRAY(arena, Text, count + 1);
    for (size_t i = 0; i < count; i++) {
        names[i] = text_of(command->options[i].name);
    }
    long near = text_nearest(name, names, count);
    return near < 0 ? TEXT("") : names[near];
}

static bool report_unknown(Run *run, Text name)
{
    Text near = nearest_option(run->arena, run->command, name);
    if (near.len > 0) {
        (void)misuse(run, "unknown option '%.*s'; did you mean '%.*s'?", TEXT_ARG(name),
                     TEXT_ARG(near));
    } else {
        (void)misuse(run, "unknown option '%.*s'", TEXT_ARG(name));
    }
    return false;
}

/* The next word as a value; NULL after a message. */
static const char *next_value(Run *run, const Option *option, const char *const **words)
{
    const char *value = (*words)[1];
    if (value == NULL) {
        bool two = strchr(option->value, ' ') != NULL;
        (void)misuse(run, "option '%s' wants %s: %s", option->name, two ? "two values" : "a value",
                     option->value);
        return NULL;
    }
    ++*words;
    return value;
}

/* One word that begins with a dash, perhaps the next one or two too. */
static bool read_option(Run *run, const char *const **words)
{
    const char *word = **words;
    const char *equals = strchr(word, '=');
    Text name = equals == NULL ? text_of(word) : (Text){word, (size_t)(equals - word)};
    const Option *option = find_option(run->command, name);
    if (option == NULL) {
        return report_unknown(run, name);
    }
    const char *value = equals == NULL ? NULL : equals + 1;
    if (option->value == NULL && value != NULL) {
        (void)misuse(run, "option '%s' takes no value", option->name);
        return false;
    }
    const char *second = NULL;
    if (option->value != NULL) {
        value = value != NULL ? value : next_value(run, option, words);
        if (value != NULL && strchr(option->value, ' ') != NULL) {
            second = next_value(run, option, words);
        }
        if (value == NULL || (second == NULL && strchr(option->value, ' ') != NULL)) {
            return false;
        }
    }
    run->arguments.given[run->arguments.given_count++] = (Given){option, value, second};
    return true;
}

bool arguments_read(Run *run, const char *const *words)
{
    size_t count = 0;
    while (words[count] != NULL) {
        count++;
    }
    run->arguments.given = ARENA_ARRAY(run->arena, Given, count + 1);
    run->arguments.operands = ARENA_ARRAY(run->arena, const char *, count + 1);
    bool ended = false;
    for (; *words != NULL; words++) {
        const char *word = *words;
        if (!ended && strcmp(word, "--") == 0) {
            ended = true;
        } else if (ended || word[0] != '-' || word[1] == '\0') {
            run->arguments.operands[run->arguments.operand_count++] = word;
        } else if (!read_option(run, &words)) {
            return false;
        }
    }
    return true;
}

bool has_option(const Arguments *arguments, const char *name)
{
    return last_value(arguments, name) != NULL;
}

const char *last_value(const Arguments *arguments, const char *name)
{
    for (size_t i = arguments->given_count; i-- > 0;) {
        if (strcmp(arguments->given[i].option->name, name) == 0) {
            const char *value = arguments->given[i].value;
            return value == NULL ? "" : value;
        }
    }
    return NULL;
}

static size_t part_values(Text value, char part, Text *out)
{
    size_t count = 0;
    size_t start = 0;
    for (size_t i = 0; i <= value.len; i++) {
        if (i < value.len && (part == 0 || value.data[i] != part)) {
            continue;
        }
        Text piece = text_trim((Text){value.data + start, i - start});
        if (piece.len > 0) {
            if (out != NULL) {
                out[count] = piece;
            }
            count++;
        }
        start = i + 1;
    }
    return count;
}

Text *all_values(Arena *arena, const Arguments *arguments, const char *name, char part,
                 size_t *count)
{
    *count = 0;
    for (size_t i = 0; i < arguments->given_count; i++) {
        if (strcmp(arguments->given[i].option->name, name) == 0) {
            *count += part_values(text_of(arguments->given[i].value), part, NULL);
        }
    }
    Text *values = ARENA_ARRAY(arena, Text, *count + 1);
    size_t used = 0;
    for (size_t i = 0; i < arguments->given_count; i++) {
        if (strcmp(arguments->given[i].option->name, name) == 0) {
            used += part_values(text_of(arguments->given[i].value), part, values + used);
        }
    }
    return values;
}

/* ---- help ---- */

static void put_paragraphs(Paper *paper, Text about)
{
    size_t start = 0;
    for (size_t i = 0; i <= about.len; i++) {
        bool ends = i == about.len ||
                    (about.data[i] == '\n' && i + 1 < about.len && about.data[i + 1] == '\n');
        if (!ends) {
            continue;
        }
        paper_blank(paper);
        paper_wrap(paper, 0, 0, (Text){about.data + start, i - start});
        start = i + 2;
        i++;
    }
}

Text command_help(Arena *arena, const Command *command, Style style)
{
    Paper paper = paper_make(arena, style);
    paper_format(&paper, 0, 4, "usage: shall %s [OPTION]... %s", command->name, command->operands);
    put_paragraphs(&paper, text_of(command->about));
    paper_blank(&paper);
    for (const Option *option = command->options; option->name != NULL; option++) {
        Text name = text_format(arena, "%s%s%s", option->name, option->value == NULL ? "" : " ",
                                option->value == NULL ? "" : option->value);
        paper_keyed(&paper, 2, OPTION_COLUMN, name, text_of(option->help));
    }
    paper_keyed(&paper, 2, OPTION_COLUMN, TEXT("--help"), TEXT("this text"));
    return buffer_done(&paper.out);
}
