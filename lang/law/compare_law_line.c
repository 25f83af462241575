/* Lines of two texts, and the exceptions over them. A relation holds for the whole line: it joins
 * what is known of the conditions of the text, of the requirement, of what holds of a thing that
 * is not there, and of the exceptions that cover it. */
#include "law/compare_law_inner.h"

/* ---- verdicts ---- */

Verdict verdict_same(void)
{
    return (Verdict){.same = true, .first = true, .second = true};
}

Verdict verdict_join(Verdict a, Verdict b)
{
    bool scale = (a.scale && (b.scale || b.same)) || (b.scale && a.same);
    return (Verdict){.same = a.same && b.same,
                     .first = a.first && b.first,
                     .second = a.second && b.second,
                     .scale = scale,
                     .differs = (uint8_t)(a.differs | b.differs)};
}

Relation verdict_relation(Verdict verdict)
{
    if (verdict.same) {
        return RELATION_SAME;
    }
    if (verdict.first != verdict.second) {
        return verdict.second ? RELATION_STRICTER : RELATION_LOOSER;
    }
    return verdict.first || verdict.scale ? RELATION_NOT_DECIDED : RELATION_DIFFERENT;
}

static Verdict different(uint8_t how)
{
    return (Verdict){.differs = how};
}

ComparedLine *line_add(Comparing *c, LineList *lines)
{
    if (lines->count == lines->cap) {
        lines->cap = lines->cap == 0 ? 4 : lines->cap * 2;
        ComparedLine *grown = ARENA_ARRAY(c->arena, ComparedLine, lines->cap);
        for (uint32_t i = 0; i < lines->count; i++) {
            grown[i] = lines->list[i];
        }
        lines->list = grown;
    }
    c->steps++;
    return &lines->list[lines->count++];
}

/* ---- what one line asks ---- */

static Verdict compare_discretion(const Line *a, const Line *b)
{
    bool same = a->discretion && b->discretion && text_equal(a->official, b->official) &&
                text_equal(a->what, b->what);
    return same ? verdict_same() : different(DIFFERS_REQUIREMENT);
}

static Verdict compare_requirement(Comparing *c, const TextSide *a, const Line *x,
                                   const TextSide *b, const Line *y)
{
    (void)form_of(c, a->reading, x->requirement);
    (void)form_of(c, b->reading, y->requirement);
    Claim one = {x->requirement, x->negated};
    Claim other = {y->requirement, y->negated};
    if (claim_is_same(c, one, other)) {
        return verdict_same();
    }
    Verdict out = {.differs = DIFFERS_REQUIREMENT};
    bool strict = false;
    char bound = claim_bound(one, &strict);
    if (bound != 0 && bound == claim_bound(other, &strict) &&
        form_known(c, x->requirement->a) == form_known(c, y->requirement->a)) {
        out.differs = DIFFERS_LIMIT;
        out.scale = bound == '<' || bound == '>';
    }
    c->budget = BUDGET;
    out.second = claim_implies(c, other, one);
    c->budget = BUDGET;
    out.first = claim_implies(c, one, other);
    return out;
}

/* ---- what is not there ---- */

static bool has_paths(Comparing *c, const TextSide *in, const Line *all, const TextSide *from,
                      const Line *of)
{
    for (uint32_t i = 0; i < of->maybe_none_count; i++) {
        const Form *form = form_of(c, from->reading, of->maybe_none[i]);
        uint32_t j = 0;
        while (j < all->maybe_none_count && form_of(c, in->reading, all->maybe_none[j]) != form) {
            j++;
        }
        if (j == all->maybe_none_count) {
            return false;
        }
    }
    return true;
}

static AbsenceKind absence_of(const Line *line)
{
    bool asked = line->maybe_none_count > 0; /* ", or VALUE if none" is in the requirement */
    return asked && line->absence == ABSENCE_IF_PROVIDED ? ABSENCE_IF_PROVIDED
           : asked && line->absence == ABSENCE_REQUIRED  ? ABSENCE_REQUIRED
                                                         : ABSENCE_UNSAID;
}

static Verdict compare_absence(Comparing *c, const TextSide *a, const Line *x, const TextSide *b,
                               const Line *y)
{
    AbsenceKind one = absence_of(x);
    AbsenceKind other = absence_of(y);
    if (one == ABSENCE_UNSAID && other == ABSENCE_UNSAID) {
        return verdict_same();
    }
    bool less = has_paths(c, b, y, a, x); /* all that may be none in x may be so in y */
    bool more = has_paths(c, a, x, b, y);
    if (one == other && less && more) {
        return verdict_same();
    }
    Verdict out = different(DIFFERS_ABSENCE);
    if (one == ABSENCE_UNSAID || other == ABSENCE_UNSAID || !less || !more) {
        return out;
    }
    out.second = other == ABSENCE_REQUIRED; /* of one thing: what is absent is a failure */
    out.first = !out.second;
    return out;
}

static Verdict compare_line(Comparing *c, const TextSide *a, const Line *x, const TextSide *b,
                            const Line *y)
{
    if (x->discretion || y->discretion) {
        return compare_discretion(x, y);
    }
    return verdict_join(compare_requirement(c, a, x, b, y), compare_absence(c, a, x, b, y));
}

/* ---- exceptions ---- */

typedef struct Exempting { /* the exceptions over one line, in order */
    const Exception *list[TEXT_EXCEPTIONS_MAX];
    const Form *forms[TEXT_EXCEPTIONS_MAX]; /* of when each governs */
    uint32_t count;
    bool full;
} Exempting;

/* Of how many lines it speaks; 0: of all, however many there are. */
static uint32_t lines_covered(const SectionText *text, const Exception *exception)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < text->line_count; i++) {
        count += (uint32_t)(exception->covers >> (i < 64 ? i : 63) & 1);
    }
    return count == text->line_count ? 0 : count;
}

static const Form *form_of_exception(Comparing *c, const SectionText *text,
                                     const Exception *exception)
{
    Buffer out = buffer_make(c->arena);
    buffer_format(&out, "except %u %zu:%.*s %u", exception->by_approval, exception->approval.len,
                  TEXT_ARG(exception->approval), form_of(c, text, exception->condition)->number);
    for (uint32_t i = 0; i < exception->unless_count; i++) {
        buffer_format(&out, " unless %u", form_of(c, text, exception->unless[i])->number);
    }
    buffer_format(&out, "%s over %u", exception->line_count > 0 ? " instead" : "",
                  lines_covered(text, exception));
    return form_of_words(c, buffer_done(&out));
}

static void gather_exceptions(Comparing *c, const SectionText *text, uint32_t line, Exempting *out)
{
    out->count = 0;
    out->full = false;
    for (uint32_t i = 0; i < text->exception_count; i++) {
        const Exception *exception = &text->exceptions[i];
        if ((exception->covers >> (line < 64 ? line : 63) & 1) == 0) {
            continue;
        }
        if (out->count == TEXT_EXCEPTIONS_MAX) {
            out->full = true;
            return;
        }
        out->list[out->count] = exception;
        out->forms[out->count++] = form_of_exception(c, text, exception);
    }
}

static bool comes_later(const Exempting *in, uint32_t from, const Form *form)
{
    for (uint32_t i = from; i < in->count; i++) {
        if (in->forms[i] == form) {
            return true;
        }
    }
    return false;
}

/* Of an exception that one side alone has: does it surely ask less than the line that it covers?
 * One that only excuses does; one with a line of its own, where nothing else covers that line. */
static bool asks_less(Comparing *c, const TextSide *side, const Line *covered,
                      const Exception *exception, uint32_t others)
{
    if (exception->line_count == 0) {
        return true;
    }
    if (exception->line_count > 1 || others > 0) {
        return false;
    }
    Verdict verdict = compare_line(c, side, covered, side, &exception->lines[0]);
    return verdict.same || verdict.first;
}

/* One excuses where the other does, and perhaps elsewhere. */
static bool excuses_where(Comparing *c, const Exception *narrow, const Exception *wide)
{
    bool plain = narrow->line_count == 0 && wide->line_count == 0 && !narrow->by_approval &&
                 !wide->by_approval && narrow->unless_count == 0 && wide->unless_count == 0;
    c->budget = BUDGET;
    return plain &&
           claim_implies(c, (Claim){narrow->condition, false}, (Claim){wide->condition, false});
}

/* The exceptions that remain on either side when those in common are passed over. */
static Verdict compare_rest(Comparing *c, const TextSide *a, const Line *x, const Exempting *one,
                            const TextSide *b, const Line *y, const Exempting *other)
{
    Verdict out = {.same = true, .first = true, .second = true};
    uint32_t i = 0;
    uint32_t j = 0;
    while (i < one->count || j < other->count) {
        if (i < one->count && j < other->count && one->forms[i] == other->forms[j]) {
            i++;
            j++;
            continue;
        }
        out.same = false;
        out.differs = DIFFERS_EXCEPTION;
        bool own = i < one->count && !comes_later(other, j, one->forms[i]);
        bool its = j < other->count && !comes_later(one, i, other->forms[j]);
        if (own && its) {
            bool second = excuses_where(c, other->list[j], one->list[i]);
            bool first = excuses_where(c, one->list[i], other->list[j]);
            out.second = out.second && second;
            out.first = out.first && first;
            i++;
            j++;
        } else if (own) { /* the first alone has it, and asks less */
            out.first = false;
            out.second = out.second && asks_less(c, a, x, one->list[i], one->count - 1);
            i++;
        } else if (its) {
            out.second = false;
            out.first = out.first && asks_less(c, b, y, other->list[j], other->count - 1);
            j++;
        } else { /* in another order */
            return different(DIFFERS_EXCEPTION);
        }
    }
    return out;
}

/* The lines that exceptions in common put in the place of others, each pair told once. */
static void compare_substitutes(Comparing *c, const TextSide *a, const TextSide *b,
                                const ComparedLine *like, Verdict conditions, const Exempting *one,
                                const Exempting *other, Map *told, LineList *out, bool *uneven)
{
    uint32_t j = 0;
    for (uint32_t i = 0; i < one->count; i++) {
        if (!comes_later(other, j, one->forms[i])) {
            continue;
        }
        while (other->forms[j] != one->forms[i]) {
            j++;
        }
        const Exception *x = one->list[i];
        const Exception *y = other->list[j++];
        *uneven = *uneven || x->line_count != y->line_count;
        if (x->line_count != y->line_count || map_put(told, x, told) != NULL) {
            continue;
        }
        for (uint32_t k = 0; k < x->line_count; k++) {
            ComparedLine *line = line_add(c, out);
            *line = *like;
            line->side[0].line = &x->lines[k];
            line->side[1].line = &y->lines[k];
            line->side[0].exception = x;
            line->side[1].exception = y;
            Verdict verdict = compare_line(c, a, &x->lines[k], b, &y->lines[k]);
            verdict = verdict_join(verdict, conditions);
            line->relation = (uint8_t)verdict_relation(verdict);
            line->differs = verdict.differs;
        }
    }
}

/* ---- which line is which ---- */

static const Line *find_like(Comparing *c, const TextSide *a, const Line *x, const TextSide *b,
                             const bool *taken)
{
    const Form *form = x->measured == NULL ? NULL : form_of(c, a->reading, x->measured);
    for (uint32_t j = 0; j < b->reading->line_count; j++) {
        const Line *y = &b->reading->lines[j];
        if (!taken[j] && form != NULL && y->measured != NULL &&
            form_of(c, b->reading, y->measured) == form) {
            return y;
        }
    }
    return NULL;
}

static const Line *find_label(Comparing *c, const TextSide *a, const Line *x, const TextSide *b,
                              const bool *taken)
{
    (void)c;
    (void)a;
    for (uint32_t j = 0; x->label != NULL && j < b->reading->line_count; j++) {
        const Line *y = &b->reading->lines[j];
        if (!taken[j] && y->label != NULL && text_equal(y->label->text, x->label->text)) {
            return y;
        }
    }
    return NULL;
}

typedef const Line *FindLine(Comparing *c, const TextSide *a, const Line *x, const TextSide *b,
                             const bool *taken);

/* Matches the lines still alone. */
static void match_by(Comparing *c, FindLine *find, const TextSide *a, const TextSide *b,
                     const Line **found, bool *taken)
{
    for (uint32_t i = 0; i < a->reading->line_count; i++) {
        if (found[i] != NULL) {
            continue;
        }
        found[i] = find(c, a, &a->reading->lines[i], b, taken);
        if (found[i] != NULL) {
            taken[found[i] - b->reading->lines] = true;
        }
    }
}

static const Line *find_next(Comparing *c, const TextSide *a, const Line *x, const TextSide *b,
                             const bool *taken)
{
    (void)c;
    (void)a;
    (void)x;
    for (uint32_t j = 0; j < b->reading->line_count; j++) {
        if (!taken[j]) {
            return &b->reading->lines[j];
        }
    }
    return NULL;
}

/* By label; then by what is measured; then the lines left over, in order, where as many are left
 * over on either side. */
static const Line **match_lines(Comparing *c, const TextSide *a, const TextSide *b, bool *taken)
{
    uint32_t count = a->reading->line_count;
    const Line **found = ARENA_ARRAY(c->arena, const Line *, count + 1);
    match_by(c, find_label, a, b, found, taken);
    match_by(c, find_like, a, b, found, taken);
    if (count == b->reading->line_count) {
        match_by(c, find_next, a, b, found, taken);
    }
    return found;
}

static void add_alone(Comparing *c, const ComparedLine *like, int side, const Line *line,
                      LineList *out)
{
    ComparedLine *alone = line_add(c, out);
    *alone = *like;
    alone->side[side].line = line;
    alone->relation = RELATION_ONLY_HERE;
}

void compare_lines(Comparing *c, const TextSide *a, const TextSide *b, const ComparedLine *like,
                   LineList *out)
{
    Verdict conditions = compare_conditions(c, a, b);
    bool *taken = ARENA_ARRAY(c->arena, bool, b->reading->line_count + 1);
    const Line **found = match_lines(c, a, b, taken);
    Map *told = map_new(c->arena);
    Exempting one;
    Exempting other;
    for (uint32_t i = 0; i < a->reading->line_count; i++) {
        const Line *x = &a->reading->lines[i];
        const Line *y = found[i];
        if (y == NULL) {
            add_alone(c, like, 0, x, out);
            continue;
        }
        gather_exceptions(c, a->reading, i, &one);
        gather_exceptions(c, b->reading, (uint32_t)(y - b->reading->lines), &other);
        Verdict verdict = verdict_join(conditions, compare_line(c, a, x, b, y));
        verdict = verdict_join(verdict, one.full || other.full
                                            ? different(DIFFERS_EXCEPTION)
                                            : compare_rest(c, a, x, &one, b, y, &other));
        uint32_t at = out->count;
        (void)line_add(c, out);
        bool uneven = false;
        compare_substitutes(c, a, b, like, conditions, &one, &other, told, out, &uneven);
        verdict = uneven ? verdict_join(verdict, different(DIFFERS_EXCEPTION)) : verdict;
        ComparedLine *line = &out->list[at];
        *line = *like;
        line->side[0].line = x;
        line->side[1].line = y;
        line->relation = (uint8_t)verdict_relation(verdict);
        line->differs = verdict.differs;
    }
    for (uint32_t j = 0; j < b->reading->line_count; j++) {
        if (!taken[j]) {
            add_alone(c, like, 1, &b->reading->lines[j], out);
        }
    }
}

bool texts_are_same(Comparing *c, const TextSide *a, const TextSide *b)
{
    LineList lines = {0};
    ComparedLine like = {0};
    compare_lines(c, a, b, &like, &lines);
    for (uint32_t i = 0; i < lines.count; i++) {
        if (lines.list[i].relation != RELATION_SAME) {
            return false;
        }
    }
    return true;
}
