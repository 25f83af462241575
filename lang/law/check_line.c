/* Lines and exceptions. A line that is one comparison shows what was measured, the limit and the
 * unit of the law. What may be none in a line must be answered in it, or be ruled out by what is
 * in force there: the each and when lines, the condition of an exception for the lines that it
 * puts in place, and its falsity for the lines that it would excuse or replace. */
#include "law/check.h"

/* ---- one line ---- */

static const LimitChange *find_limit(const TextTree *text, const LineTree *line)
{
    for (uint32_t i = 0; text != NULL && i < text->limit_count; i++) {
        if (text->limits[i].line == line) {
            return &text->limits[i];
        }
    }
    return NULL;
}

/* What an ordinance wrote into the text sees the text's own names, and those of its jurisdiction. */
static const Scope *written_elsewhere(Check *c, const Source *source,
                                      const JurisdictionTree *jurisdiction)
{
    const Scope *own = c->context.scope;
    Scope *scope = ARENA_NEW(c->arena, Scope);
    *scope = *own;
    scope->home = own->home != NULL ? own->home : own;
    scope->chain = chain_for(c, own->chain->code, jurisdiction);
    scope->from = 0;
    scope->source = source;
    return scope;
}

static const Code *check_requirement(Check *c, const LineTree *tree)
{
    if (tree->absence != ABSENCE_VALUE) {
        return check_truth(c, tree->requirement);
    }
    const Code *code = check_with_fallback(c, tree->requirement, tree->fallback, NULL);
    if (is_bad(code) || code->type.class == CLASS_YES_NO) {
        return code;
    }
    diagnostic_error(c->diags, "not a condition", code_place(code),
                     "'%.*s' is %.*s, and a condition is due", TEXT_ARG(quote_code(c->arena, code)),
                     TEXT_ARG(type_words(c->arena, &code->type)));
    return code_bad(c, tree->requirement);
}

/* The right side of the comparison may have been replaced, by words written elsewhere. */
static const Code *check_changed(Check *c, const LineTree *tree, const LimitChange *change)
{
    c->requirement = tree->requirement;
    if (change != NULL) {
        c->limited = tree->requirement;
        c->limit = change->limit;
        c->limit_scope = written_elsewhere(c, change->source, change->jurisdiction);
    }
    const Code *code = check_requirement(c, tree);
    c->limited = NULL;
    c->requirement = NULL;
    return code;
}

static const Unit *unit_of(Check *c, const Code *limit, const Code *measured)
{
    Dimension dimension = measured->type.dimension;
    if (limit->unit != NULL && dimension_equal(limit->unit->dimension, dimension)) {
        return limit->unit;
    }
    if (measured->unit != NULL && dimension_equal(measured->unit->dimension, dimension)) {
        return measured->unit;
    }
    return unit_default(c->arena, dimension);
}

void line_measure(Check *c, const Code *code, Line *out)
{
    bool ordered = code->op == CODE_COMPARE_WORDS && code->a->type.choice->ordered;
    if (code->op != CODE_COMPARE && !ordered) {
        return;
    }
    out->measured = code->a;
    out->limit = code->b;
    out->compare = code->sub;
    if (code->a->type.class == CLASS_NUMBER) {
        out->unit = unit_of(c, code->b, code->a);
    }
}

static void answer_absence(Check *c, const LineTree *tree, uint32_t mark, Line *out)
{
    bool asked = tree->absence == ABSENCE_IF_PROVIDED || tree->absence == ABSENCE_REQUIRED;
    if (!asked) {
        absents_unanswered(c, mark);
        return;
    }
    out->maybe_none = absents_paths(c, mark, &out->maybe_none_count);
    if (out->maybe_none_count == 0 && !is_bad(out->requirement)) {
        proof_warning(c, "absence answered in vain", check_place(c, tree->span),
                      "nothing in this line may be none, and it says '%s'",
                      tree->absence == ABSENCE_REQUIRED ? "required" : "if provided");
    }
}

static void check_line(Check *c, const LineTree *tree, const TextTree *text, Line *out)
{
    out->label = tree->label;
    out->negated = tree->negated;
    out->absence = tree->absence;
    out->tree = tree;
    out->source = c->context.source;
    if (tree->discretion) {
        out->discretion = true;
        out->official = tree->official;
        out->what = tree->what;
        return;
    }
    uint32_t mark = c->absent_count;
    out->requirement = check_changed(c, tree, find_limit(text, tree));
    line_measure(c, out->requirement, out);
    answer_absence(c, tree, mark, out);
}

/* ---- labels ---- */

static void check_labels(Check *c, const LineTree *lines)
{
    uint32_t count = 0;
    for (const LineTree *line = lines; line != NULL && count < TEXT_LINES_MAX;
         line = line->next, count++) {
        const LineTree *former = lines;
        while (former != line && (former->label != line->label || line->label == NULL)) {
            former = former->next;
        }
        if (former != line) {
            Diagnostic *diag =
                diagnostic_error(c->diags, "defined twice", check_place(c, line->label_span),
                                 "'%.*s' is the label of two lines", TEXT_ARG(line->label->text));
            diagnostic_note(c->diags, diag, check_place(c, former->label_span), "first here");
        }
    }
}

static uint32_t count_lines(const LineTree *line)
{
    uint32_t count = 0;
    for (; line != NULL; line = line->next) {
        count++;
    }
    return count;
}

/* ---- exceptions ---- */

static uint64_t find_covered(Check *c, const ExceptionTree *tree, const LineTree *lines)
{
    if (tree->to == NULL) {
        return UINT64_MAX;
    }
    uint32_t index = 0;
    Text labels[TEXT_LINES_MAX];
    size_t count = 0;
    for (const LineTree *line = lines; line != NULL && index < TEXT_LINES_MAX;
         line = line->next, index++) {
        if (line->label == tree->to) {
            return UINT64_C(1) << index;
        }
        if (line->label != NULL) {
            labels[count++] = line->label->text;
        }
    }
    diagnostic_error(c->diags, "unknown label", check_place(c, tree->to_span),
                     "no line of this section has the label '%.*s'%.*s", TEXT_ARG(tree->to->text),
                     TEXT_ARG(nearest_hint(c->arena, tree->to->text, labels, count)));
    return 0;
}

static void check_unless(Check *c, const UnlessTree *tree, Exception *out)
{
    uint32_t count = 0;
    for (const UnlessTree *unless = tree; unless != NULL; unless = unless->next) {
        count++;
    }
    out->unless = ARENA_ARRAY(c->arena, const Code *, count + 1);
    out->unless_by = ARENA_ARRAY(c->arena, Text, count + 1);
    for (const UnlessTree *unless = tree; unless != NULL; unless = unless->next) {
        const Code *code = check_condition(c, unless->condition);
        out->unless[out->unless_count] = code;
        out->unless_by[out->unless_count++] = unless->by;
        (void)guards_push(c, code, false);
    }
}

static Line *check_list_of_lines(Check *c, const LineTree *tree, const TextTree *text,
                                 uint32_t first_index, uint32_t *count)
{
    *count = count_lines(tree);
    Line *lines = ARENA_ARRAY(c->arena, Line, *count + 1);
    uint32_t i = 0;
    for (; tree != NULL; tree = tree->next, i++) {
        lines[i].index = first_index + i;
        check_line(c, tree, text, &lines[i]);
    }
    return lines;
}

static void check_exception(Check *c, const ExceptionTree *tree, const BodyTree *body,
                            const TextTree *text, uint32_t first_index, Exception *out)
{
    uint32_t mark = c->absent_count;
    uint32_t guards = c->guard_count;
    Context *context = &c->context;
    const Scope *scope = context->scope;
    const Source *source = context->source;
    if (tree->source != NULL) { /* an ordinance wrote it */
        context->scope = written_elsewhere(c, tree->source, tree->jurisdiction);
        context->source = tree->source;
    }
    out->tree = tree;
    out->covers = find_covered(c, tree, body->lines);
    out->by_approval = tree->approval.len > 0;
    out->approval = tree->approval;
    out->by = tree->by;
    if (tree->condition != NULL) {
        out->condition = check_condition(c, tree->condition);
        (void)guards_push(c, out->condition, true);
    }
    check_unless(c, tree->unless, out);
    absents_unanswered(c, mark);
    check_labels(c, tree->lines);
    out->lines = check_list_of_lines(c, tree->lines, text, first_index, &out->line_count);
    guards_pop(c, guards);
    context->scope = scope;
    context->source = source;
}

static Exception *check_exceptions(Check *c, const BodyTree *body, const TextTree *text,
                                   uint32_t first_index, uint32_t *count)
{
    *count = 0;
    for (const ExceptionTree *tree = body->exceptions; tree != NULL; tree = tree->next) {
        (*count)++;
    }
    Exception *exceptions = ARENA_ARRAY(c->arena, Exception, *count + 1);
    uint32_t i = 0;
    for (const ExceptionTree *tree = body->exceptions; tree != NULL; tree = tree->next, i++) {
        check_exception(c, tree, body, text, first_index, &exceptions[i]);
        first_index += exceptions[i].line_count;
    }
    return exceptions;
}

/* ---- a body ---- */

/* Where the line stands, no exception that covers it holds. */
static void push_exceptions(Check *c, const SectionText *out, uint32_t line)
{
    for (uint32_t i = 0; i < out->exception_count; i++) {
        const Exception *exception = &out->exceptions[i];
        bool covers = (exception->covers & (UINT64_C(1) << line)) != 0;
        if (covers && exception->condition != NULL && !exception->by_approval &&
            exception->unless_count == 0) {
            (void)guards_push(c, exception->condition, false);
        }
    }
}

static void check_count(Check *c, const BodyTree *body)
{
    uint32_t count = count_lines(body->lines);
    if (count > TEXT_LINES_MAX) {
        diagnostic_error(c->diags, "too many lines", check_place(c, body->lines->span),
                         "a section has at most %d lines, and this one has %u", TEXT_LINES_MAX,
                         count);
    }
}

void check_body_lines(Check *c, const BodyTree *body, const TextTree *text, SectionText *out)
{
    check_count(c, body);
    check_labels(c, body->lines);
    uint32_t count = count_lines(body->lines);
    out->exceptions = check_exceptions(c, body, text, count + 1, &out->exception_count);
    Line *lines = ARENA_ARRAY(c->arena, Line, count + 1);
    uint32_t i = 0;
    for (const LineTree *tree = body->lines; tree != NULL; tree = tree->next, i++) {
        uint32_t guards = c->guard_count;
        if (i < TEXT_LINES_MAX) {
            push_exceptions(c, out, i);
        }
        lines[i].index = i + 1;
        check_line(c, tree, text, &lines[i]);
        guards_pop(c, guards);
    }
    out->lines = lines;
    out->line_count = count;
}
