/* A line as it reads when an ordinance has changed only its limit: the line of the body with the
 * new limit on the right side of its comparison, for whoever prints it. */
#include "law/law.h"

/* Would the limit be read otherwise where it is to stand, on the right of a comparison? */
static bool wants_parens(const Expr *limit)
{
    switch (limit->kind) {
    case EXPR_OR:
    case EXPR_AND:
    case EXPR_NOT:
    case EXPR_COMPARE:
    case EXPR_IS_NONE:
    case EXPR_AMONG:
    case EXPR_WITHIN:
    case EXPR_HOLDS:
    case EXPR_COVERS:
    case EXPR_OVERLAPS:
    case EXPR_QUANTIFIER:
    case EXPR_CHOICE: return !limit->parens;
    default: return false;
    }
}

LineTree line_in_force(Arena *arena, const TextTree *text, const LineTree *line)
{
    const LimitChange *change = NULL;
    for (uint32_t i = 0; i < text->limit_count; i++) {
        change = text->limits[i].line == line ? &text->limits[i] : change;
    }
    if (change == NULL) {
        return *line;
    }
    Expr *limit = ARENA_NEW(arena, Expr);
    *limit = *change->limit;
    limit->parens = limit->parens || wants_parens(limit);
    Expr *requirement = ARENA_NEW(arena, Expr);
    *requirement = *line->requirement;
    requirement->b = limit;
    requirement->depth = (uint16_t)(requirement->depth + limit->depth);
    LineTree copy = *line;
    copy.requirement = requirement;
    return copy;
}
