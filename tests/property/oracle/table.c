/* Tables. Each key touches one or more places of its axis; the answer is one of all cells that the
 * places meet in. What no label covers is no rule, unless the table says otherwise. */
#include "oracle.h"

/* A place on an axis: a label, or a point between label a and label b (the part `share` towards b). */
typedef struct Spot {
    int a, b; /* -1: no label covers it */
    mpq_t share;
} Spot;

static void place_add(Vec *places, int a, int b)
{
    Spot *p = NEW(Spot);
    p->a = a;
    p->b = b;
    mpq_init(p->share);
    vec_add(places, p);
}

static bool has_whole_number(const Range *r)
{
    if (r->lo.inf || r->hi.inf) {
        return true;
    }
    mpz_t first, last;
    mpz_inits(first, last, NULL);
    mpz_cdiv_q(first, mpq_numref(r->lo.v), mpq_denref(r->lo.v));
    mpz_fdiv_q(last, mpq_numref(r->hi.v), mpq_denref(r->hi.v));
    bool lo_whole = mpz_cmp_ui(mpq_denref(r->lo.v), 1) == 0,
         hi_whole = mpz_cmp_ui(mpq_denref(r->hi.v), 1) == 0;
    if (r->lo.open && lo_whole) {
        mpz_add_ui(first, first, 1);
    }
    if (r->hi.open && hi_whole) {
        mpz_sub_ui(last, last, 1);
    }
    return mpz_cmp(first, last) <= 0;
}

/* Do two ranges share a number (a whole one, if whole)? */
static bool meet(const Range *a, const Range *b, bool whole)
{
    Range cut = range_cut(*a, b);
    int order = end_order(&cut.lo, -1, &cut.hi, 1);
    bool some = order < 0 || (order == 0 && !cut.lo.open && !cut.hi.open);
    return some && (!whole || has_whole_number(&cut));
}

static const Label *label_at(const Vec *labels, int i)
{
    return labels->at[i];
}

/* From the end of one range to the beginning of the next; without a range, without end. */
static Range between(const Range *before, const Range *after)
{
    Range gap = range_whole_line();
    if (before != NULL && !before->hi.inf) {
        gap.lo = before->hi;
        gap.lo.open = !before->hi.open;
    }
    if (after != NULL && !after->lo.inf) {
        gap.hi = after->lo;
        gap.hi.open = !after->lo.open;
    }
    return gap;
}

/* The labels' order by value. */
static int *sorted(const Vec *labels)
{
    int *order = ARRAY(int, labels->n + 1);
    for (int i = 0; i < labels->n; i++) {
        int k = i;
        while (k > 0 && end_order(&label_at(labels, order[k - 1])->range.lo, -1,
                                  &label_at(labels, i)->range.lo, -1) > 0) {
            order[k] = order[k - 1];
            k--;
        }
        order[k] = i;
    }
    return order;
}

static bool without_end(const Range *r, bool upper)
{
    return upper ? r->hi.inf : r->lo.inf;
}

static void places_exact(const Vec *labels, const Range *key, bool whole, Vec *places)
{
    int *order = sorted(labels);
    bool hole = false;
    for (int i = 0; i < labels->n; i++) {
        if (meet(key, &label_at(labels, i)->range, whole)) {
            place_add(places, i, i);
        }
    }
    for (int i = 0; i <= labels->n; i++) {
        const Range *before = i > 0 ? &label_at(labels, order[i - 1])->range : NULL;
        const Range *after = i < labels->n ? &label_at(labels, order[i])->range : NULL;
        bool beyond = (before != NULL && without_end(before, true)) ||
                      (after != NULL && without_end(after, false));
        Range gap = between(before, after);
        hole = hole || (!beyond && meet(key, &gap, whole));
    }
    if (hole) {
        place_add(places, -1, -1);
    }
}

/* Steps: next higher is (label before, label], next lower is [label, label behind). */
static void places_steps(const Vec *labels, const Range *key, bool whole, bool higher, Vec *places)
{
    int *order = sorted(labels), n = labels->n;
    for (int i = 0; i <= n; i++) {
        Range step = range_whole_line();
        if (i > 0) {
            step.lo = label_at(labels, order[i - 1])->range.lo;
            step.lo.open = higher;
        }
        if (i < n) {
            step.hi = label_at(labels, order[i])->range.hi;
            step.hi.open = !higher;
        }
        if (meet(key, &step, whole)) {
            int place = higher ? (i < n ? order[i] : -1) : (i > 0 ? order[i - 1] : -1);
            place_add(places, place, place);
        }
    }
}

static void place_between(Vec *places, const Vec *labels, int a, int b, mpq_srcptr value)
{
    mpq_t width;
    mpq_init(width);
    place_add(places, a, b);
    Spot *p = places->at[places->n - 1];
    mpq_sub(p->share, value, label_at(labels, a)->range.lo.v);
    mpq_sub(width, label_at(labels, b)->range.lo.v, label_at(labels, a)->range.lo.v);
    mpq_div(p->share, p->share, width);
}

/* The ends of the range and the labels inside it: a straight line is extreme at one of them. */
static void places_straight(const Vec *labels, const Range *key, Vec *places)
{
    int *order = sorted(labels), n = labels->n;
    Range inside = {.lo = label_at(labels, order[0])->range.lo,
                    .hi = label_at(labels, order[n - 1])->range.hi};
    Range below = between(NULL, &inside), above = between(&inside, NULL);
    if (meet(key, &below, false) || meet(key, &above, false)) {
        place_add(places, -1, -1);
    }
    if (!meet(key, &inside, false)) {
        return;
    }
    Range cut = range_cut(*key, &inside);
    for (int i = 0; i < n; i++) {
        if (meet(&cut, &label_at(labels, order[i])->range, false)) {
            place_add(places, order[i], order[i]);
        }
    }
    for (int i = 0; i + 1 < n; i++) {
        mpq_srcptr a = label_at(labels, order[i])->range.lo.v,
                   b = label_at(labels, order[i + 1])->range.lo.v;
        if (mpq_cmp(cut.lo.v, a) >= 0 && mpq_cmp(cut.lo.v, b) < 0) {
            place_between(places, labels, order[i], order[i + 1], cut.lo.v);
        }
        if (mpq_cmp(cut.hi.v, a) > 0 && mpq_cmp(cut.hi.v, b) <= 0) {
            place_between(places, labels, order[i], order[i + 1], cut.hi.v);
        }
    }
}

static void places_words(const Vec *labels, const Val *key, Vec *places)
{
    Words left = key->words;
    for (int i = 0; i < labels->n; i++) {
        const char *word = label_at(labels, i)->word;
        int id = word == NULL ? -1 : word_id(word);
        if (id >= 0 && (left.bit[id / 64] >> (id % 64) & 1) != 0) {
            place_add(places, i, i);
            left.bit[id / 64] &= ~((uint64_t)1 << (id % 64));
        }
    }
    for (int i = 0; i < 8; i++) {
        if (left.bit[i] != 0) {
            place_add(places, -1, -1);
            return;
        }
    }
}

static void places_truth(const Vec *labels, const Val *key, Vec *places)
{
    unsigned left = key->can;
    for (int i = 0; i < labels->n; i++) {
        unsigned can =
            same(label_at(labels, i)->word, "yes") ? (unsigned)CAN_YES : (unsigned)CAN_NO;
        if ((left & can) != 0) {
            place_add(places, i, i);
            left &= ~can;
        }
    }
    if (left != 0) {
        place_add(places, -1, -1);
    }
}

static Vec places_of(const Vec *labels, const Key *how, const Val *key)
{
    Vec places = {0};
    bool rooted = false;
    if (key->kind == VAL_WORD) {
        places_words(labels, key, &places);
    } else if (key->kind == VAL_TRUTH) {
        places_truth(labels, key, &places);
    } else {
        Range range = range_rational(key->range, &rooted);
        bool whole = key->whole || how->whole;
        if (how->mode == KEY_EXACT) {
            places_exact(labels, &range, whole, &places);
        } else if (how->mode == KEY_STRAIGHT) {
            places_straight(labels, &range, &places);
        } else {
            places_steps(labels, &range, whole, how->mode == KEY_HIGHER, &places);
        }
    }
    return places;
}

static const Val *mix(const Val *a, const Val *b, mpq_srcptr share)
{
    if (mpq_sgn(share) == 0) {
        return a;
    }
    const Val *part = val_number(range_of(share), 0, false);
    return val_arithmetic(OP_ADD, a, val_arithmetic(OP_MUL, part, val_arithmetic(OP_SUB, b, a)));
}

static const Val *cell_at(const Env *env, const Table *t, int row, int column)
{
    int columns = t->keys == 2 ? t->columns.n : 1;
    const Expr *cell = t->cells.at[row * columns + column];
    return cell->op == OP_NAME ? val_word(cell->text, NULL) : evaluate(env, cell);
}

static const Val *cell_between(const Env *env, const Table *t, const Spot *row, const Spot *column)
{
    if (column == NULL) {
        return mix(cell_at(env, t, row->a, 0), cell_at(env, t, row->b, 0), row->share);
    }
    const Val *first =
        mix(cell_at(env, t, row->a, column->a), cell_at(env, t, row->b, column->a), row->share);
    const Val *second =
        mix(cell_at(env, t, row->a, column->b), cell_at(env, t, row->b, column->b), row->share);
    return mix(first, second, column->share);
}

static const Val *answer(const Env *env, const Table *t, const Spot *row, const Spot *column)
{
    if (row->a >= 0 && (column == NULL || column->a >= 0)) {
        return cell_between(env, t, row, column);
    }
    if (t->otherwise == NULL) {
        return val_broken(0);
    }
    return t->otherwise->op == OP_NAME ? val_word(t->otherwise->text, NULL)
                                       : evaluate(env, t->otherwise);
}

const Val *table_ask(const Env *env, const Table *t, const Val *const *key)
{
    Vec places[2] = {{0}, {0}};
    unsigned why = 0;
    bool broken = false;
    for (int i = 0; i < t->keys; i++) {
        why |= key[i]->why;
        broken = broken || key[i]->broken;
        if (key[i]->kind == VAL_VOID) {
            return val_broken(why | WHY_FACT);
        }
        places[i] = places_of(i == 0 ? &t->rows : &t->columns, &t->key[i], key[i]);
    }
    const Val *out = NULL;
    for (int i = 0; i < places[0].n; i++) {
        for (int k = 0; k < (t->keys == 2 ? places[1].n : 1); k++) {
            const Val *cell =
                answer(env, t, places[0].at[i], t->keys == 2 ? places[1].at[k] : NULL);
            out = out == NULL ? cell : val_join(out, cell);
        }
    }
    if (out == NULL) {
        return val_broken(why);
    }
    Val *v = NEW(Val);
    *v = *out;
    v->broken = v->broken || broken;
    v->why |= why;
    return v;
}
