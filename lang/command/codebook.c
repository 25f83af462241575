/* shall codebook: the consolidated text in force in a jurisdiction on a day, or every state that
 * sections of it have had; as text or as one HTML file. */
#include <string.h>
#include <unistd.h>

#include "command/command.h"
#include "report/codebook.h"

static const Option options[] = {
    {"--on", "DATE", "the text in force on this date; without it, today"},
    {"--rules", "PATH", "a rule file or a directory of them; again for several"},
    {"--html", "FILE", "writes one HTML file instead of text; with - to standard output"},
    {"--history", "SECTION",
     "every state of this section over time, instead of the whole; again for several"},
    {"--code", "NAME", "this code alone"},
    {NULL, NULL, NULL}};

typedef struct Asked {
    Run *run;
    Rules rules;
    const JurisdictionTree *jurisdiction;
    const PlaceTree *place; /* in the place of a jurisdiction; NULL */
    const Name *code;       /* NULL: all */
    Day on;
    DateOrigin origin;
    Status status;
} Asked;

/* ---- what is asked ---- */

/* Each once, in the order given. */
static Text name_list(Arena *arena, const Text *names, size_t count)
{
    Buffer out = buffer_make(arena);
    for (size_t i = 0; i < count; i++) {
        bool is_new = true;
        for (size_t j = 0; j < i; j++) {
            is_new = is_new && !text_equal(names[i], names[j]);
        }
        if (is_new) {
            buffer_format(&out, "%s%.*s", i > 0 ? ", " : "", TEXT_ARG(names[i]));
        }
    }
    return buffer_done(&out);
}

static bool read_words(Run *run, Asked *asked)
{
    bool given = false;
    asked->status = STATUS_MISUSE;
    if (run->arguments.operand_count != 1) {
        (void)misuse(run, run->arguments.operand_count == 0 ? "no jurisdiction is named"
                                                            : "one jurisdiction at a time");
        return false;
    }
    if (!read_day(run, "--on", &given, &asked->on)) {
        return false;
    }
    asked->origin = given ? DATE_GIVEN : DATE_TODAY;
    if (!given) {
        asked->on = today();
    }
    if (!rules_read(run, &asked->rules, NULL, 0)) {
        asked->status = STATUS_NO_INPUT;
        return false;
    }
    asked->status = STATUS_BAD_INPUT;
    Text name = text_of(run->arguments.operands[0]);
    bool has_text = !has_option(&run->arguments, "--history"); /* a place's is that of several */
    if (has_text && library_jurisdiction(asked->rules.library, name) == NULL) {
        asked->place = library_place(asked->rules.library, name);
    }
    if (asked->place != NULL) {
        return rules_place_sound(run, &asked->rules, asked->place);
    }
    asked->jurisdiction = rules_jurisdiction(run, &asked->rules, name);
    return asked->jurisdiction != NULL && rules_sound(run, &asked->rules, asked->jurisdiction);
}

static Text where_of(const Asked *asked)
{
    return asked->place != NULL ? asked->place->name->text : asked->jurisdiction->name->text;
}

/* The code of --code among those of some laws. */
static bool find_code(Asked *asked, const LawTree *const *laws, uint32_t law_count)
{
    const char *value = last_value(&asked->run->arguments, "--code");
    if (value == NULL) {
        return true;
    }
    size_t room = 0;
    for (uint32_t i = 0; i < law_count; i++) {
        room += laws[i]->code_count;
    }
    Text *names = ARENA_ARRAY(asked->run->arena, Text, room + 1);
    size_t count = 0;
    for (uint32_t i = 0; i < law_count; i++) {
        for (uint32_t c = 0; c < laws[i]->code_count; c++) {
            const Name *name = laws[i]->codes[c]->name;
            if (text_equal(name->text, text_of(value))) {
                asked->code = name;
                return true;
            }
            names[count++] = name->text;
        }
    }
    long near = text_nearest(text_of(value), names, count);
    Text where = where_of(asked);
    if (near >= 0) {
        complain(asked->run, "no code '%s' is in force in '%.*s'; did you mean '%.*s'?", value,
                 TEXT_ARG(where), TEXT_ARG(names[near]));
    } else {
        complain(asked->run, "no code '%s' is in force in '%.*s' (there are: %.*s)", value,
                 TEXT_ARG(where), TEXT_ARG(name_list(asked->run->arena, names, count)));
    }
    return false;
}

/* The law on some days, or false after the errors of all of them. */
static bool assemble(const Asked *asked, const Day *days, uint32_t count, const LawTree **laws)
{
    Run *run = asked->run;
    Diagnostics diags = diagnostics_make(run->arena);
    for (uint32_t i = 0; i < count; i++) {
        laws[i] =
            law_assemble(run->arena, asked->rules.library, asked->jurisdiction, days[i], &diags);
    }
    put_diagnostics(run->arena, &diags);
    return diags.errors == 0;
}

static Status put_result(Run *run, Text text, bool as_file)
{
    if (!as_file) {
        put_out(text);
        return STATUS_COMPLIES;
    }
    return write_file(run, last_value(&run->arguments, "--html"), text);
}

/* ---- the whole ---- */

static Status report_none(const Asked *asked, const JurisdictionTree *jurisdiction)
{
    complain(asked->run, "no code is in force in '%.*s' on %.*s",
             TEXT_ARG(jurisdiction->name->text),
             TEXT_ARG(date_print(asked->run->arena, asked->on)));
    return STATUS_BAD_INPUT;
}

static Status put_codebook(Asked *asked)
{
    Run *run = asked->run;
    const LawTree *law = NULL;
    if (!assemble(asked, &asked->on, 1, &law)) {
        return STATUS_BAD_INPUT;
    }
    if (law->code_count == 0) {
        return report_none(asked, asked->jurisdiction);
    }
    if (!find_code(asked, &law, 1)) {
        return STATUS_BAD_INPUT;
    }
    Codebook book = {asked->rules.library, law, asked->origin, asked->code};
    bool as_file = has_option(&run->arguments, "--html");
    Text text = as_file ? codebook_html(run->arena, &book)
                        : codebook_text(run->arena, &book, style_of(STDOUT_FILENO));
    return put_result(run, text, as_file);
}

/* The law of each jurisdiction in what it decides there; false after the errors of all of them. */
static bool assemble_place(const Asked *asked, const JurisdictionTree *const *jurisdictions,
                           uint32_t count, const LawTree **laws)
{
    Run *run = asked->run;
    Diagnostics diags = diagnostics_make(run->arena);
    for (uint32_t i = 0; i < count; i++) {
        laws[i] = law_assemble_in(run->arena, asked->rules.library, asked->place, jurisdictions[i],
                                  asked->on, &diags);
    }
    put_diagnostics(run->arena, &diags);
    for (uint32_t i = 0; i < count && diags.errors == 0; i++) {
        if (laws[i]->code_count == 0) {
            (void)report_none(asked, jurisdictions[i]);
            return false;
        }
    }
    return diags.errors == 0;
}

static Status put_place(Asked *asked)
{
    Run *run = asked->run;
    uint32_t count = 0;
    const JurisdictionTree *const *jurisdictions =
        place_jurisdictions(run->arena, asked->rules.library, asked->place, &count);
    const LawTree **laws = ARENA_ARRAY(run->arena, const LawTree *, count + 1);
    Codebook *books = ARENA_ARRAY(run->arena, Codebook, count + 1);
    if (!assemble_place(asked, jurisdictions, count, laws) || !find_code(asked, laws, count)) {
        return STATUS_BAD_INPUT;
    }
    size_t told = 0;
    for (uint32_t i = 0; i < count; i++) {
        books[told] = (Codebook){asked->rules.library, laws[i], asked->origin, asked->code};
        told += asked->code == NULL || book_codes(&books[told], NULL) > 0;
    }
    bool as_file = has_option(&run->arguments, "--html");
    Text text = as_file ? codebook_place_html(run->arena, books, told)
                        : codebook_place_text(run->arena, books, told, style_of(STDOUT_FILENO));
    return put_result(run, text, as_file);
}

/* ---- history ---- */

/* "114259.2 part size", as in a rule file. */
static bool add_section(Asked *asked, BookHistory *history, Text wanted)
{
    Run *run = asked->run;
    static const char word[] = " part ";
    Text number = wanted;
    const Name *part = NULL;
    for (size_t i = 1; i + sizeof word - 1 < wanted.len; i++) {
        if (memcmp(wanted.data + i, word, sizeof word - 1) == 0) {
            size_t start = i + sizeof word - 1;
            number = text_trim((Text){wanted.data, i});
            part = names_intern(asked->rules.names,
                                text_trim((Text){wanted.data + start, wanted.len - start}));
        }
    }
    if (history_add(run->arena, history, number, part)) {
        return true;
    }
    Text near = history_nearest(run->arena, history, number);
    if (near.len > 0) {
        complain(run, "'%.*s' has never had a section '%.*s'; did you mean '%.*s'?",
                 TEXT_ARG(asked->jurisdiction->name->text), TEXT_ARG(wanted), TEXT_ARG(near));
    } else {
        complain(run, "'%.*s' has never had a section '%.*s'",
                 TEXT_ARG(asked->jurisdiction->name->text), TEXT_ARG(wanted));
    }
    return false;
}

static Status put_history(Asked *asked)
{
    Run *run = asked->run;
    size_t wanted = 0;
    const Text *sections = all_values(run->arena, &run->arguments, "--history", 0, &wanted);
    if (wanted == 0) {
        return misuse(run, "--history names no section");
    }
    uint32_t count = 0;
    const Day *days = law_dates(run->arena, asked->rules.library, asked->jurisdiction, &count);
    const LawTree **laws = ARENA_ARRAY(run->arena, const LawTree *, count + 1);
    if (!assemble(asked, days, count, laws) || !find_code(asked, laws, count)) {
        return STATUS_BAD_INPUT;
    }
    BookHistory history = {.library = asked->rules.library,
                           .jurisdiction = asked->jurisdiction,
                           .laws = laws,
                           .law_count = count,
                           .on = asked->on,
                           .code = asked->code};
    bool found = true;
    for (size_t i = 0; i < wanted; i++) {
        found = add_section(asked, &history, sections[i]) && found;
    }
    if (!found) {
        return STATUS_BAD_INPUT;
    }
    bool as_file = has_option(&run->arguments, "--html");
    Text text = as_file ? history_html(run->arena, &history)
                        : history_text(run->arena, &history, style_of(STDOUT_FILENO));
    return put_result(run, text, as_file);
}

static Status codebook(Run *run)
{
    Asked asked = {.run = run};
    if (!read_words(run, &asked)) {
        return asked.status;
    }
    if (has_option(&run->arguments, "--history")) {
        return put_history(&asked);
    }
    return asked.place != NULL ? put_place(&asked) : put_codebook(&asked);
}

const Command command_codebook = {
    .name = "codebook",
    .summary = "prints the consolidated text in force in a jurisdiction",
    .operands = "JURISDICTION",
    .about =
        "Prints the text in force as a person would read it: each code with the acts that adopt "
        "and amend it, then every section in order, with amended texts and limits in place, and "
        "below it how it came to be so. Where units of different permit dates have different "
        "texts, each is headed with the units it is for. Deleted sections are named in their "
        "place, sections left out of the rule files at the end of their code. Of a place: who "
        "decides what there, then the law of each in what it decides.\n\n"
        "With --history, every state that a section has had instead, and those that are to come: "
        "from which day until which, by whose act, and the text of those days. A number stands "
        "for its subdivisions too.\n\n"
        "Exit status: 0 printed, 64 misuse, 65 no such jurisdiction, section or code, or a rule "
        "file has errors, 66 a file cannot be read, 73 or 74 a file cannot be written.",
    .options = options,
    .run = codebook};
