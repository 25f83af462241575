/* `limit to`: replaces the right side of one comparison line.
 *
 * Without a label the text must have exactly one comparison line outside its exceptions; a label
 * names a line anywhere in the text, a substituting one of an exception too. When permit dates
 * have split a section, the change is made in each of its texts, or in none. */
#include <string.h>

#include "law/assembly.h"

static bool is_comparison(const LineTree *line)
{
    return !line->discretion && line->requirement != NULL &&
           line->requirement->kind == EXPR_COMPARE;
}

/* Walks the lines of a body and then those of its exceptions. */
typedef struct LineWalk {
    const LineTree *line;
    const ExceptionTree *exception; /* whose lines come next */
} LineWalk;

static LineWalk walk_lines(const BodyTree *body)
{
    return (LineWalk){body->lines, body->exceptions};
}

static const LineTree *next_line(LineWalk *walk)
{
    while (walk->line == NULL && walk->exception != NULL) {
        walk->line = walk->exception->lines;
        walk->exception = walk->exception->next;
    }
    const LineTree *line = walk->line;
    if (line != NULL) {
        walk->line = line->next;
    }
    return line;
}

static Diagnostic *begin_report(Assembly *assembly, const SectionState *state, const Change *change,
                                const char *name, const char *words)
{
    Text number = number_words(assembly->arena, state->section->number, state->section->part);
    bool is_labelled = change->tree->label != NULL;
    Place place = {change->block->source,
                   is_labelled ? change->tree->label_span : change->tree->span};
    return diagnostic_error(assembly->diags, name, place, "%.*s %s", TEXT_ARG(number), words);
}

static void note_line(Assembly *assembly, Diagnostic *diag, const TextTree *text,
                      const LineTree *line)
{
    Place place = {text->source, line->span};
    if (line->label != NULL) {
        diagnostic_note(assembly->diags, diag, place, "line '%.*s'", TEXT_ARG(line->label->text));
    } else {
        diagnostic_note(assembly->diags, diag, place, "a line without a label");
    }
}

static const LineTree *find_only(Assembly *assembly, const SectionState *state,
                                 const TextTree *text, const Change *change)
{
    const LineTree *found = NULL;
    uint32_t count = 0;
    for (const LineTree *line = text->body->lines; line != NULL; line = line->next) {
        if (is_comparison(line)) {
            found = line;
            count++;
        }
    }
    if (count == 1) {
        return found;
    }
    if (count == 0) {
        Diagnostic *diag = begin_report(assembly, state, change, "no limit to replace",
                                        "has no comparison whose limit could be replaced");
        diagnostic_note(assembly->diags, diag, section_place(state->section), "the section");
        return NULL;
    }
    Diagnostic *diag = begin_report(assembly, state, change, "line not named",
                                    "has several limits: name the line");
    for (const LineTree *line = text->body->lines; line != NULL; line = line->next) {
        if (is_comparison(line)) {
            note_line(assembly, diag, text, line);
        }
    }
    return NULL;
}

static void report_no_line(Assembly *assembly, const SectionState *state, const TextTree *text,
                           const Change *change)
{
    Diagnostic *diag =
        begin_report(assembly, state, change, "no such line", "has no line of this label");
    Text nearest = TEXT("");
    LineWalk walk = walk_lines(text->body);
    for (const LineTree *line = next_line(&walk); line != NULL; line = next_line(&walk)) {
        if (line->label != NULL) {
            note_line(assembly, diag, text, line);
            bool is_near = text_nearest(change->tree->label->text, &line->label->text, 1) == 0;
            nearest = is_near && nearest.len == 0 ? line->label->text : nearest;
        }
    }
    if (diag->notes == NULL) {
        diagnostic_note(assembly->diags, diag, section_place(state->section), "the section");
    }
    if (nearest.len > 0) {
        diagnostic_note(assembly->diags, diag, (Place){NULL, {0, 0}}, "did you mean '%.*s'?",
                        TEXT_ARG(nearest));
    }
}

static const LineTree *find_labelled(Assembly *assembly, const SectionState *state,
                                     const TextTree *text, const Change *change)
{
    const LineTree *found = NULL;
    LineWalk walk = walk_lines(text->body);
    for (const LineTree *line = next_line(&walk); line != NULL; line = next_line(&walk)) {
        if (line->label != change->tree->label) {
            continue;
        }
        if (found != NULL) {
            Diagnostic *diag = begin_report(assembly, state, change, "several lines",
                                            "has two lines of this label");
            note_line(assembly, diag, text, found);
            note_line(assembly, diag, text, line);
            return NULL;
        }
        found = line;
    }
    if (found == NULL) {
        report_no_line(assembly, state, text, change);
    } else if (!is_comparison(found)) {
        Diagnostic *diag = begin_report(assembly, state, change, "no limit to replace",
                                        "has no limit in this line: it is no comparison");
        note_line(assembly, diag, text, found);
        return NULL;
    }
    return found;
}

static const LineTree *find_line(Assembly *assembly, const SectionState *state,
                                 const TextTree *text, const Change *change)
{
    return change->tree->label == NULL ? find_only(assembly, state, text, change)
                                       : find_labelled(assembly, state, text, change);
}

/* The place of the line's limit among those replaced; behind them when it is a new one. */
static uint32_t find_limit(const TextTree *text, const LineTree *line)
{
    uint32_t at = 0;
    while (at < text->limit_count && text->limits[at].line != line) {
        at++;
    }
    return at;
}

static bool is_undone(Assembly *assembly, const SectionState *state, const TextTree *text,
                      uint32_t at, const Change *change)
{
    if (at == text->limit_count || text->limits[at].block != change->block) {
        return false;
    }
    Diagnostic *diag = begin_report(assembly, state, change, "changed twice",
                                    "has this limit from the same block already");
    diagnostic_note(assembly->diags, diag, (Place){text->limits[at].source, text->limits[at].span},
                    "changed here");
    return true;
}

/* A copy, since a floor may share the limits as they were. */
static void put_limit(Assembly *assembly, TextState *text, const LineTree *line, uint32_t at,
                      const Change *change)
{
    TextTree *tree = &text->tree;
    LimitChange *limits = ARENA_ARRAY(assembly->arena, LimitChange, tree->limit_count + 1);
    if (tree->limit_count > 0) {
        memcpy(limits, tree->limits, tree->limit_count * sizeof *limits);
    }
    limits[at] = (LimitChange){.label = change->tree->label,
                               .line = line,
                               .limit = change->tree->limit,
                               .source = change->block->source,
                               .jurisdiction = change->jurisdiction,
                               .block = change->block,
                               .span = change->tree->span};
    tree->limit_count += at == tree->limit_count;
    tree->limits = limits;
    text->links = assembly_link(assembly, change, LINK_LIMIT, text->links);
    text->words = text->links;
}

bool assembly_change_limit(Assembly *assembly, SectionState *state, const Change *change)
{
    for (const TextState *text = state->texts; text != NULL; text = text->next) {
        if (!text_is_touched(text, change)) {
            continue;
        }
        const LineTree *line = find_line(assembly, state, &text->tree, change);
        if (line == NULL ||
            is_undone(assembly, state, &text->tree, find_limit(&text->tree, line), change)) {
            return false;
        }
    }
    TextState *texts = NULL;
    if (!assembly_split_texts(assembly, state, change, &texts)) {
        return false;
    }
    for (TextState *text = texts; text != NULL; text = text->next) {
        if (text_is_inside(text, change)) {
            const LineTree *line = find_line(assembly, state, &text->tree, change);
            put_limit(assembly, text, line, find_limit(&text->tree, line), change);
        }
    }
    state->texts = texts;
    return true;
}
