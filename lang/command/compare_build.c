/* A build under the law of every side: judged in each jurisdiction of a side, and the findings put
 * side by side. */
#include "command/compare_inner.h"

Seat seat_of(Session *session, const Operand *operand, const Spec *spec)
{
    Seat seat = {session, operand, {.spec = spec}};
    session_date(session, &seat.docket);
    return seat;
}

/* A review that can be reported; NULL after a message. */
static const Review *make_review(Comparer *comparer, const Seat *seat, const Law *law)
{
    ReviewOptions how = {.on = seat->docket.on, .stage = seat->session->stage};
    const Spec *spec = seat->docket.spec;
    const Review *review = review_make(comparer->run->arena, law, spec, &how);
    if (review->overflow == NULL) {
        return review;
    }
    complain(comparer->run,
             "%.*s: section \"%.*s\" has more than %d findings; a list is longer than any unit's",
             TEXT_ARG(spec->source->path), TEXT_ARG(review->overflow->number), FINDINGS_MAX);
    return NULL;
}

/* NULL after a message. */
static const Review *review_seat(Comparer *comparer, const Seat *seat, const LawUnion *law)
{
    Arena *arena = comparer->run->arena;
    const Review **reviews = ARENA_ARRAY(arena, const Review *, law->part_count);
    if (!session_fits(seat->session, seat->docket.spec, law->parts[0])) {
        return NULL;
    }
    for (uint32_t i = 0; i < law->part_count; i++) {
        reviews[i] = make_review(comparer, seat, law->parts[i]);
        if (reviews[i] == NULL) {
            return NULL;
        }
    }
    return reviews_unite(arena, law, reviews);
}

bool comparer_build(Comparer *comparer, const Seat *seats, uint32_t count, Wanting wanting,
                    CompareBuild *out)
{
    Arena *arena = comparer->run->arena;
    const LawUnion **laws = ARENA_ARRAY(arena, const LawUnion *, count);
    const Review **reviews = ARENA_ARRAY(arena, const Review *, count);
    const LawComparison **compared = ARENA_ARRAY(arena, const LawComparison *, count);
    for (uint32_t i = 0; i < count; i++) {
        const Seat *seat = &seats[i];
        bool good =
            operand_law(comparer, seat->session, seat->operand, seat->docket.on, wanting, &laws[i]);
        reviews[i] = good ? review_seat(comparer, seat, laws[i]) : NULL;
        if (reviews[i] == NULL) {
            comparer->status = worse_status(comparer->status, STATUS_BAD_INPUT);
            return false;
        }
        if (i > 0) {
            compared[i - 1] = law_compare(arena, laws[0]->law, laws[i]->law, comparer->topics,
                                          comparer->topic_count);
        }
    }
    *out = (CompareBuild){.spec = seats[0].docket.spec,
                          .reviews = reviews,
                          .laws = compared,
                          .findings = findings_compare(arena, reviews, count, compared),
                          .origin = seats[0].docket.origin};
    return true;
}
