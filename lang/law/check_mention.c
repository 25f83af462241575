/* Which names a tree mentions, whatever they stand for: what is never mentioned is not used. This
 * is asked of the trees, not of the code, since a text that is not in force today may use what
 * today's texts do not. */
#include "law/check.h"

static void mention_name(Map *names, const Name *name)
{
    if (name != NULL) {
        (void)map_put(names, name, names);
    }
}

void mention_expr(Map *names, const Expr *e)
{
    for (; e != NULL; e = e->next) {
        mention_name(names, e->name);
        mention_expr(names, e->a);
        mention_expr(names, e->b);
        mention_expr(names, e->c);
        mention_expr(names, e->list);
    }
}

static void mention_defines(Map *names, const DefineTree *define)
{
    for (; define != NULL; define = define->next) {
        mention_expr(names, define->value);
        mention_expr(names, define->fallback);
    }
}

static void mention_eachs(Map *names, const EachTree *each)
{
    for (; each != NULL; each = each->next) {
        mention_expr(names, each->list);
        mention_expr(names, each->where);
    }
}

static void mention_lines(Map *names, const LineTree *line)
{
    for (; line != NULL; line = line->next) {
        mention_expr(names, line->requirement);
        mention_expr(names, line->fallback);
    }
}

static void mention_exceptions(Map *names, const ExceptionTree *exception)
{
    for (; exception != NULL; exception = exception->next) {
        mention_expr(names, exception->condition);
        mention_lines(names, exception->lines);
        for (const UnlessTree *unless = exception->unless; unless != NULL; unless = unless->next) {
            mention_expr(names, unless->condition);
        }
    }
}

/* The words in braces of a remedy. */
static void mention_text(Map *names, const Names *known, Text text)
{
    for (size_t i = 0; i < text.len; i++) {
        if (text.data[i] != '{') {
            continue;
        }
        size_t end = i + 1;
        while (end < text.len && text.data[end] != '}') {
            end++;
        }
        mention_name(names, names_find(known, (Text){text.data + i + 1, end - i - 1}));
        i = end;
    }
}

void mention_body(Map *names, const Names *known, const BodyTree *body)
{
    mention_eachs(names, body->eachs);
    mention_expr(names, body->whens);
    mention_defines(names, body->defines);
    for (const ReadingTree *reading = body->readings; reading != NULL; reading = reading->next) {
        mention_defines(names, reading->defines);
    }
    mention_lines(names, body->lines);
    mention_exceptions(names, body->exceptions);
    mention_expr(names, body->scopes);
    mention_text(names, known, body->remedy);
}

static void mention_worksheets(Map *names, const WorksheetTree *worksheet)
{
    for (; worksheet != NULL; worksheet = worksheet->next) {
        mention_eachs(names, worksheet->eachs);
        mention_defines(names, worksheet->defines);
        for (const Expr *when = worksheet->whens; when != NULL; when = when->next) {
            mention_expr(names, when);
        }
        for (const StepTree *step = worksheet->steps; step != NULL; step = step->next) {
            mention_expr(names, step->value);
            mention_expr(names, step->fallback);
        }
        mention_worksheets(names, worksheet->schedules);
    }
}

void mention_code(Map *names, const Names *known, const CodeTree *code)
{
    for (const SectionTree *section = code->sections; section != NULL; section = section->next) {
        mention_body(names, known, &section->body);
    }
    mention_expr(names, code->scopes);
    mention_defines(names, code->defines);
    for (const ReadingTree *reading = code->readings; reading != NULL; reading = reading->next) {
        mention_defines(names, reading->defines);
    }
    mention_worksheets(names, code->worksheets);
}

void mention_jurisdiction(Map *names, const Names *known, const JurisdictionTree *jurisdiction)
{
    mention_defines(names, jurisdiction->defines);
    mention_worksheets(names, jurisdiction->worksheets);
    for (const BlockTree *block = jurisdiction->blocks; block != NULL; block = block->next) {
        for (const ChangeTree *change = block->changes; change != NULL; change = change->next) {
            mention_expr(names, change->limit);
            mention_expr(names, change->scope);
            mention_exceptions(names, change->exception);
            mention_body(names, known, &change->body);
            if (change->section != NULL) {
                mention_body(names, known, &change->section->body);
            }
        }
    }
}
