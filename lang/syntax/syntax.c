/* The entry points of the floor: a rule file to its tree, settings of a command line to theirs,
 * and the words of the language for what the tree holds as numbers. One exit each, so that what
 * flex holds is always given back; nothing is kept between two calls. */
#include "syntax/syntax.h"

#include "syntax/parse.h"

static void run(Parse *parse, Arena *arena, Names *names, const Source *source, Diagnostics *diags,
                int start, bool without_examples, const Map *wanted)
{
    *parse = (Parse){.arena = arena,
                     .names = names,
                     .source = source,
                     .diags = diags,
                     .line_broken = true,
                     .without_examples = without_examples,
                     .wanted = wanted};
    parse->file = ARENA_NEW(arena, FileTree);
    parse->file->source = source;
    parse->pending.kind = start;
    if (start == TOK_START_SETTINGS) {
        parse->openers[parse->opener_count++].kind = start;
    }
    index_phrases(parse);
    if (wanted != NULL && passes_file(parse)) {
        return;
    }
    scanner_open(parse);
    (void)shall_yyparse(parse);
    scanner_close(parse);
}

FileTree *syntax_parse(Arena *arena, Names *names, const Source *source, Diagnostics *diags)
{
    Parse parse;
    run(&parse, arena, names, source, diags, TOK_START_FILE, false, NULL);
    return parse.file;
}

FileTree *syntax_parse_law(Arena *arena, Names *names, const Source *source, Diagnostics *diags)
{
    Parse parse;
    run(&parse, arena, names, source, diags, TOK_START_FILE, true, NULL);
    return parse.file;
}

FileTree *syntax_parse_codes(Arena *arena, Names *names, const Source *source, const Map *wanted,
                             Diagnostics *diags)
{
    Parse parse;
    run(&parse, arena, names, source, diags, TOK_START_FILE, true, wanted);
    return parse.file;
}

SettingTree *syntax_parse_settings(Arena *arena, Names *names, const Source *source,
                                   Diagnostics *diags)
{
    Parse parse;
    size_t errors = diags->errors;
    run(&parse, arena, names, source, diags, TOK_START_SETTINGS, false, NULL);
    return diags->errors == errors ? parse.settings : NULL;
}

/* ---- words ---- */

const char *stage_word(Stage stage)
{
    switch (stage) {
    case STAGE_INTAKE: return "intake";
    case STAGE_PLAN: return "plan";
    case STAGE_ROUGH_IN: return "rough_in";
    case STAGE_FINAL: return "final";
    case STAGE_OPERATION: return "operation";
    }
    return "";
}

const char *rework_word(Rework rework)
{
    switch (rework) {
    case REWORK_UNSAID: return "";
    case REWORK_FRAME: return "frame";
    case REWORK_ORDER: return "order";
    case REWORK_STEEL: return "steel";
    case REWORK_ROUGH_IN: return "rough_in";
    case REWORK_TRIM: return "trim";
    case REWORK_PAPER: return "paper";
    }
    return "";
}

const char *outcome_word(Outcome outcome)
{
    switch (outcome) {
    case OUTCOME_COMPLIES: return "complies";
    case OUTCOME_CORRECTION: return "correction";
    case OUTCOME_INFORMATION_REQUIRED: return "information required";
    case OUTCOME_OFFICIAL_DECIDES: return "official decides";
    case OUTCOME_EXCUSED: return "excused";
    case OUTCOME_NOT_APPLICABLE: return "not applicable";
    }
    return "";
}

const char *outcome_data(Outcome outcome)
{
    switch (outcome) {
    case OUTCOME_COMPLIES: return "complies";
    case OUTCOME_CORRECTION: return "correction";
    case OUTCOME_INFORMATION_REQUIRED: return "information_required";
    case OUTCOME_OFFICIAL_DECIDES: return "official_decides";
    case OUTCOME_EXCUSED: return "excused";
    case OUTCOME_NOT_APPLICABLE: return "not_applicable";
    }
    return "";
}

const char *basis_word(BasisKind basis)
{
    switch (basis) {
    case BASIS_UNSAID: return "";
    case BASIS_READ: return "read";
    case BASIS_MEMORY: return "memory";
    case BASIS_PRACTICE: return "practice";
    case BASIS_INVENTED: return "invented";
    }
    return "";
}
