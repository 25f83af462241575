/* What a law says, as text, for comparing two laws by content: no pointers and no places, and dates
 * of acts only where asked. */
#ifndef LAW_CONTENT_H
#define LAW_CONTENT_H

#include <stdio.h>

#include "law/law.h"

typedef struct Content {
    Buffer out;
    bool acts_dated; /* with the days of acts, and with what is displaced */
} Content;

static inline void content_day(Content *content, const char *word, Day day)
{
    if (day != INT32_MIN && day != DAY_FOREVER) {
        buffer_format(&content->out, " %s %.*s", word,
                      TEXT_ARG(date_print(content->out.arena, day)));
    }
}

static inline void content_name(Content *content, const char *word, const Name *name)
{
    if (name != NULL) {
        buffer_format(&content->out, " %s %.*s", word, TEXT_ARG(name->text));
    }
}

static inline void content_expr(Content *content, const char *word, const Expr *expr)
{
    if (expr != NULL) {
        Text text = syntax_print_expr(content->out.arena, expr);
        buffer_format(&content->out, " %s %.*s", word, TEXT_ARG(text));
    }
}

static inline void content_line(Content *content, const LineTree *line)
{
    buffer_format(&content->out, "    shall%s", line->negated ? " not" : "");
    content_name(content, "", line->label);
    content_expr(content, ":", line->requirement);
    buffer_format(&content->out, " absence %u", line->absence);
    content_expr(content, "or", line->fallback);
    if (line->discretion) {
        buffer_format(&content->out, " %.*s: %.*s", TEXT_ARG(line->official), TEXT_ARG(line->what));
    }
    buffer_string(&content->out, "\n");
}

static inline void content_exception(Content *content, const ExceptionTree *exception)
{
    buffer_string(&content->out, "    except");
    content_name(content, "to", exception->to);
    content_expr(content, "where", exception->condition);
    buffer_format(&content->out, " approval '%.*s' by '%.*s'", TEXT_ARG(exception->approval),
                  TEXT_ARG(exception->by));
    for (const UnlessTree *unless = exception->unless; unless != NULL; unless = unless->next) {
        content_expr(content, "unless", unless->condition);
        buffer_format(&content->out, " by '%.*s'", TEXT_ARG(unless->by));
    }
    buffer_string(&content->out, "\n");
    for (const LineTree *line = exception->lines; line != NULL; line = line->next) {
        buffer_string(&content->out, "    ");
        content_line(content, line);
    }
}

static inline void content_defines(Content *content, const DefineTree *define)
{
    for (; define != NULL; define = define->next) {
        content_name(content, "define", define->name);
        content_expr(content, "=", define->value);
        content_expr(content, "or", define->fallback);
    }
    buffer_string(&content->out, "\n");
}

static inline void content_body(Content *content, const BodyTree *body)
{
    for (const EachTree *each = body->eachs; each != NULL; each = each->next) {
        content_name(content, each->pair ? "each pair" : "each", each->a);
        content_name(content, ",", each->b);
        content_expr(content, "of", each->list);
        content_expr(content, "where", each->where);
        buffer_string(&content->out, "\n");
    }
    for (const Expr *when = body->whens; when != NULL; when = when->next) {
        content_expr(content, "when", when);
    }
    content_defines(content, body->defines);
    for (const ReadingTree *reading = body->readings; reading != NULL; reading = reading->next) {
        content_name(content, "reading", reading->name);
        content_defines(content, reading->defines);
    }
    for (const LineTree *line = body->lines; line != NULL; line = line->next) {
        content_line(content, line);
    }
    const ExceptionTree *exception = body->exceptions;
    for (; exception != NULL; exception = exception->next) {
        content_exception(content, exception);
    }
    buffer_format(&content->out, "    remedy '%.*s' basis %u\n", TEXT_ARG(body->remedy),
                  body->basis.kind);
}

static inline void content_link(Content *content, const Link *link)
{
    buffer_format(&content->out, " [%u", link->verb);
    content_name(content, "", link->jurisdiction == NULL ? NULL : link->jurisdiction->name);
    buffer_format(&content->out, " %.*s", TEXT_ARG(link->by));
    if (content->acts_dated) {
        content_day(content, "from", link->from);
    }
    buffer_string(&content->out, "]");
}

static inline void content_text(Content *content, const TextTree *text)
{
    buffer_format(&content->out, "  %s", text->floor ? "floor" : "text");
    content_name(content, "of", text->jurisdiction == NULL ? NULL : text->jurisdiction->name);
    content_day(content, "from", text->permitted_from);
    content_day(content, "before", text->permitted_before);
    if (text->exempt.kind != PERMIT_ALL) {
        content_day(content, text->exempt.kind == PERMIT_NOT_ON ? "not on" : "not before",
                    text->exempt.day);
    }
    for (uint32_t i = 0; i < text->scope_count; i++) {
        const ScopeTree *scope = &text->scopes[i];
        buffer_format(&content->out, " %s", scope->negated ? "not for" : "for");
        for (const Expr *expr = scope->conditions; expr != NULL; expr = expr->next) {
            content_expr(content, "units", expr);
        }
    }
    for (uint32_t i = 0; i < text->chain_count; i++) {
        content_link(content, &text->chain[i]);
    }
    buffer_string(&content->out, "\n");
    content_body(content, text->body);
    for (uint32_t i = 0; i < text->limit_count; i++) {
        const LimitChange *limit = &text->limits[i];
        content_expr(content, "   limit of", limit->line->requirement);
        content_expr(content, "is", limit->limit);
        content_name(content, "by", limit->jurisdiction->name);
        buffer_string(&content->out, "\n");
    }
}

static inline void content_number(Content *content, const CodeTree *code, Text number,
                                  const Name *part)
{
    buffer_format(&content->out, "%.*s %.*s %.*s", TEXT_ARG(code->name->text),
                  TEXT_ARG(code->edition), TEXT_ARG(number));
    content_name(content, "part", part);
}

static inline void content_section(Content *content, const SectionTreeInForce *section)
{
    const SectionTree *tree = section->section;
    content_number(content, section->code, tree->number, tree->part);
    buffer_format(&content->out, " was '%.*s' \"%.*s\"", TEXT_ARG(section->former_number),
                  TEXT_ARG(tree->heading));
    content_name(content, "on", tree->topic);
    content_name(content, "last changed by",
                 section->jurisdiction == NULL ? NULL : section->jurisdiction->name);
    buffer_format(&content->out, "%s", section->never_waived ? " never waived" : "");
    for (uint32_t i = 0; i < section->reading_count; i++) {
        content_name(content, "reading", section->readings[i]);
    }
    buffer_string(&content->out, "\n");
    for (uint32_t i = 0; i < section->text_count; i++) {
        content_text(content, &section->texts[i]);
    }
}

static inline void content_displaced(Content *content, const DisplacedTree *displaced)
{
    Text number = TEXT("");
    if (displaced->section != NULL) {
        number = displaced->section->number;
    } else if (displaced->change != NULL && displaced->change->targets != NULL) {
        number = displaced->change->targets->number;
    }
    buffer_string(&content->out, "displaced ");
    content_number(content, displaced->code, number, NULL);
    content_link(content, &displaced->local);
    content_link(content, &displaced->by);
    buffer_string(&content->out, "\n");
}

static inline void content_precedence(Content *content, const PrecedenceTree *precedence)
{
    content_name(content, "prevails", precedence->winner->name);
    content_name(content, "over", precedence->loser->name);
    for (const Word *topic = precedence->topics; topic != NULL; topic = topic->next) {
        content_name(content, "on", topic->name);
    }
    content_link(content, &precedence->link);
    buffer_string(&content->out, "\n");
}

static inline Text law_content(Arena *arena, const LawTree *law, bool acts_dated)
{
    Content content = {buffer_make(arena), acts_dated};
    for (uint32_t i = 0; i < law->code_count; i++) {
        content_name(&content, "code", law->codes[i]->name);
        buffer_format(&content.out, " %.*s", TEXT_ARG(law->codes[i]->edition));
        if (acts_dated) {
            content_day(&content, "from", law->code_from[i]);
        }
        buffer_string(&content.out, "\n");
    }
    for (uint32_t i = 0; i < law->reading_count; i++) {
        content_name(&content, "reading", law->readings[i]);
        content_name(&content, "in", law->reading_codes[i]->name);
        buffer_string(&content.out, "\n");
    }
    for (uint32_t i = 0; i < law->section_count; i++) {
        content_section(&content, &law->sections[i]);
    }
    for (uint32_t i = 0; i < law->deleted_count; i++) {
        buffer_string(&content.out, "deleted ");
        const SectionTree *section = law->deleted[i].section;
        content_number(&content, law->deleted[i].code, section->number, section->part);
        content_link(&content, &law->deleted[i].link);
        buffer_string(&content.out, "\n");
    }
    for (uint32_t i = 0; i < law->displaced_count && acts_dated; i++) {
        content_displaced(&content, &law->displaced[i]);
    }
    for (uint32_t i = 0; i < law->precedence_count; i++) {
        content_precedence(&content, &law->precedences[i]);
    }
    return buffer_done(&content.out);
}

/* The first line in which two contents differ, for a message. */
static inline void content_differ(Text a, Text b)
{
    size_t start = 0;
    for (size_t i = 0; i < a.len && i < b.len && a.data[i] == b.data[i]; i++) {
        start = a.data[i] == '\n' ? i + 1 : start;
    }
    size_t end_a = start;
    size_t end_b = start;
    while (end_a < a.len && a.data[end_a] != '\n') {
        end_a++;
    }
    while (end_b < b.len && b.data[end_b] != '\n') {
        end_b++;
    }
    printf("  one:   %.*s\n  other: %.*s\n", (int)(end_a - start), a.data + start,
           (int)(end_b - start), b.data + start);
}

#endif
