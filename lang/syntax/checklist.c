/* Constructors for a county's printed checklist, and for what an office has confirmed. */
#include "syntax/parse.h"

#define LINK(end, tree) (*(end) = (tree), (end) = &(*(end))->next)

/* ---- checklists ---- */

ChecklistTree *checklist_head(Parse *parse, Named name, Text title, Text from)
{
    ChecklistTree *checklist = ARENA_NEW(parse->arena, ChecklistTree);
    checklist->name = name.name;
    checklist->name_span = name.span;
    checklist->title = title;
    checklist->from = from;
    checklist->source = parse->source;
    return checklist;
}

ChecklistTree *checklist_new(Parse *parse, Span span, ChecklistTree *checklist, PartList lines)
{
    (void)parse;
    checklist->span = span;
    checklist->parts = lines.first;
    CheckLineTree **line = &checklist->lines;
    for (const PartTree *part = lines.first; part != NULL; part = part->next) {
        if (part->kind == PART_CHECK_LINE) {
            LINK(line, part->node);
        }
    }
    return checklist;
}

CheckLineTree *check_line_new(Parse *parse, Span span, Text title, TargetTree *targets)
{
    CheckLineTree *line = ARENA_NEW(parse->arena, CheckLineTree);
    line->title = title;
    line->targets = targets;
    line->span = span;
    return line;
}

CheckLineTree *check_line_open(Parse *parse, Span span, Text title, Text omitted, Text official)
{
    CheckLineTree *line = check_line_new(parse, span, title, NULL);
    line->omitted = omitted;
    line->official = official;
    return line;
}

/* ---- confirmations ---- */

ConfirmedTree *confirmed_new(Parse *parse, Span span, TargetTree *targets, Quoted office, Dated on,
                             Quoted letter)
{
    ConfirmedTree *confirmed = ARENA_NEW(parse->arena, ConfirmedTree);
    confirmed->targets = targets;
    confirmed->office = office.text;
    confirmed->letter = letter.text;
    confirmed->day = on.day;
    confirmed->span = span;
    confirmed->source = parse->source;
    return confirmed;
}

void confirmed_in_section(Parse *parse, const ConfirmedTree *confirmed)
{
    if (confirmed->targets != NULL) {
        parse_error(parse, "confirmation", confirmed->targets->span,
                    "in a section 'confirmed by' speaks of that section: no number stands here");
    }
}

void confirmed_in_law(Parse *parse, const ConfirmedTree *confirmed)
{
    if (confirmed->targets == NULL) {
        parse_error(parse, "confirmation", confirmed->span,
                    "'confirmed' names the sections whose reading the office confirms");
    }
}
