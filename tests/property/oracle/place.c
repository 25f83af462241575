/* Who decides what: the law in a place is that of each jurisdiction it names, each with the sections whose
 * authority it holds there, and sections that name no authority. */
#include "oracle.h"

static const Place *place_find(const Law *law, const char *name)
{
    for (int i = 0; i < law->places.n; i++) {
        const Place *place = law->places.at[i];
        if (same(place->name, name)) {
            return place;
        }
    }
    return NULL;
}

/* Whether the jurisdiction holds the authority: by cases, row after row. NULL: no row gives it to it. */
static Expr *holds_authority(const Place *place, const char *jurisdiction, const char *authority)
{
    Expr *e = expr_new(OP_NO, NULL, NULL);
    bool ever = false;
    for (int i = place->seats.n - 1; i >= 0; i--) {
        const Seat *seat = place->seats.at[i];
        if (!same(seat->authority, authority)) {
            continue;
        }
        bool here = same(seat->jurisdiction, jurisdiction);
        Expr *mine = expr_new(here ? OP_YES : OP_NO, NULL, NULL);
        ever = ever || here;
        if (seat->where == NULL) {
            e = mine;
        } else {
            Expr *cases = expr_new(OP_IF, seat->where, mine);
            cases->c = e;
            e = cases;
        }
    }
    return ever ? e : NULL;
}

static void set_seat(Active *active, const void *seat)
{
    active->seat = seat;
}

static const char *authority_of(const Active *active)
{
    while (active->text == NULL) {
        active = active->former;
    }
    return active->text->standing.authority;
}

static Share *share_of(const Law *law, const Place *place, const char *jurisdiction, long day)
{
    Share *share = NEW(Share);
    share->jurisdiction = jurisdiction;
    Vec actives = law_in_force(law, jurisdiction, day);
    for (int i = 0; i < actives.n; i++) {
        Active *active = actives.at[i];
        const char *authority = authority_of(active);
        Expr *seat = authority == NULL ? NULL : holds_authority(place, jurisdiction, authority);
        if (authority == NULL || seat != NULL) {
            active_visit(active, set_seat, seat);
            vec_add(&share->actives, active);
        }
    }
    return share;
}

Vec law_shares(const Law *law, const char *name, long day)
{
    Vec shares = {0};
    const Place *place = place_find(law, name);
    if (place == NULL) {
        Share *all = NEW(Share);
        *all = (Share){name, law_in_force(law, name, day)};
        vec_add(&shares, all);
        return shares;
    }
    for (int i = 0; i < place->seats.n; i++) {
        const char *jurisdiction = ((const Seat *)place->seats.at[i])->jurisdiction;
        bool told = false;
        for (int k = 0; k < shares.n; k++) {
            told = told || same(((const Share *)shares.at[k])->jurisdiction, jurisdiction);
        }
        if (!told) {
            vec_add(&shares, share_of(law, place, jurisdiction, day));
        }
    }
    return shares;
}
