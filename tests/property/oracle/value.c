/* Values that may be one of many, and three-valued truth (Kleene's strong logic). A truth says what it
 * can be, and when it is open, why. */
#include "oracle.h"

#include <string.h>

Truth truth_of(bool yes)
{
    return (Truth){.can = yes ? CAN_YES : CAN_NO};
}

Truth truth_open(unsigned why)
{
    return (Truth){.can = CAN_BOTH, .why = why};
}

static Truth truth_make(unsigned can, Truth a, Truth b)
{
    if (can != CAN_BOTH) {
        return (Truth){.can = can};
    }
    return truth_open((truth_is(a, CAN_BOTH) ? a.why : 0) | (truth_is(b, CAN_BOTH) ? b.why : 0));
}

Truth truth_and(Truth a, Truth b)
{
    return truth_make((a.can & b.can & CAN_YES) | ((a.can | b.can) & CAN_NO), a, b);
}

Truth truth_or(Truth a, Truth b)
{
    return truth_make(((a.can | b.can) & CAN_YES) | (a.can & b.can & CAN_NO), a, b);
}

Truth truth_not(Truth a)
{
    unsigned can =
        (a.can & CAN_YES ? (unsigned)CAN_NO : 0) | (a.can & CAN_NO ? (unsigned)CAN_YES : 0);
    return (Truth){.can = can, .why = a.why};
}

/* Every case is judged; where both agree, so does the result. */
Truth truth_cases(Truth which, Truth yes, Truth no)
{
    if (!truth_is(which, CAN_BOTH)) {
        return truth_is(which, CAN_YES) ? yes : no;
    }
    Truth t = truth_make(yes.can | no.can, yes, no);
    t.why |= truth_is(t, CAN_BOTH) ? which.why : 0;
    return t;
}

enum { WORDS_MOST = WORD_SETS * 64 };

/* All words of all choices, each once; they live as long as the law. */
static struct {
    const char *word[WORDS_MOST];
    int n;
} words;

int word_id(const char *word)
{
    for (int i = 0; i < words.n; i++) {
        if (strcmp(words.word[i], word) == 0) {
            return i;
        }
    }
    if (words.n == WORDS_MOST) {
        give_up("too many words of choices");
    }
    words.word[words.n] = word;
    return words.n++;
}

static bool words_have(const Words *set, int id)
{
    return (set->bit[id / 64] >> (id % 64) & 1) != 0;
}

static void words_add(Words *set, int id)
{
    set->bit[id / 64] |= (uint64_t)1 << (id % 64);
}

Val *val_new(ValKind kind)
{
    Val *v = NEW(Val);
    v->kind = kind;
    return v;
}

const Val *val_number(Range range, unsigned why, bool whole)
{
    Val *v = val_new(VAL_NUMBER);
    v->range = range;
    v->why = why;
    v->whole = whole;
    return v;
}

const Val *val_truth(Truth t)
{
    Val *v = val_new(VAL_TRUTH);
    v->can = t.can;
    v->why = t.why;
    return v;
}

const Val *val_word(const char *word, const Choice *choice)
{
    Val *v = val_new(VAL_WORD);
    words_add(&v->words, word_id(word));
    v->choice = choice;
    return v;
}

const Val *val_absent(void)
{
    Val *v = val_new(VAL_VOID);
    v->absent = true;
    return v;
}

const Val *val_broken(unsigned why)
{
    Val *v = val_new(VAL_VOID);
    v->broken = true;
    v->why = why | WHY_NO_RULE;
    return v;
}

const Val *val_item(const Item *item)
{
    Val *v = val_new(VAL_ITEM);
    v->item = ARRAY(const Item *, 1);
    v->item[0] = item;
    v->items = 1;
    return v;
}

static void join_items(Val *v, const Val *a, const Val *b)
{
    v->item = ARRAY(const Item *, a->items + b->items);
    v->items = a->items;
    memcpy(v->item, a->item, sizeof(Item *) * (size_t)a->items);
    for (int i = 0; i < b->items; i++) {
        bool known = false;
        for (int k = 0; k < a->items; k++) {
            known = known || a->item[k] == b->item[i];
        }
        if (!known) {
            v->item[v->items++] = b->item[i];
        }
    }
}

static void join_present(Val *v, const Val *a, const Val *b)
{
    switch (a->kind) {
    case VAL_NUMBER:
        v->range = range_hull(a->range, b->range);
        v->whole = a->whole && b->whole;
        break;
    case VAL_TRUTH: v->can = a->can | b->can; break;
    case VAL_WORD:
        for (int i = 0; i < WORD_SETS; i++) {
            v->words.bit[i] = a->words.bit[i] | b->words.bit[i];
        }
        v->choice = a->choice != NULL ? a->choice : b->choice;
        break;
    case VAL_TEXT: v->text = a->text != NULL && same(a->text, b->text) ? a->text : NULL; break;
    case VAL_SIZE:
        for (int i = 0; i < a->sides && i < b->sides; i++) {
            v->side[i] = val_join(a->side[i], b->side[i]);
        }
        break;
    case VAL_ITEM: join_items(v, a, b); break;
    case VAL_LIST: give_up("one of two lists is not a value");
    case VAL_VOID: break;
    }
}

const Val *val_join(const Val *a, const Val *b)
{
    const Val *present = a->kind == VAL_VOID ? b : a;
    Val *v = NEW(Val);
    *v = *present;
    v->absent = a->absent || b->absent;
    v->broken = a->broken || b->broken;
    v->why = a->why | b->why;
    if (a->kind != VAL_VOID && b->kind != VAL_VOID) {
        if (a->kind != b->kind) {
            give_up("values of two kinds meet");
        }
        join_present(v, a, b);
    }
    return v;
}

static Items *items_unknown(Record *record)
{
    Items *items = NEW(Items);
    items->more = true;
    items->further = item_unknown(record);
    return items;
}

const Val *val_unknown(const Field *field)
{
    static const ValKind KINDS[] = {
        [TYPE_NUMBER] = VAL_NUMBER, [TYPE_COUNT] = VAL_NUMBER, [TYPE_TEXT] = VAL_TEXT,
        [TYPE_YES_NO] = VAL_TRUTH,  [TYPE_DATE] = VAL_NUMBER,  [TYPE_SIZE] = VAL_SIZE,
        [TYPE_CHOICE] = VAL_WORD,   [TYPE_RECORD] = VAL_ITEM,  [TYPE_LIST] = VAL_LIST};
    const Type *type = &field->type;
    Val *v = val_new(KINDS[type->kind]);
    v->why = WHY_FACT;
    v->absent = !field->always;
    v->range = field->bounds;
    v->whole = type->kind == TYPE_COUNT;
    v->can = CAN_BOTH;
    v->choice = type->choice;
    for (int i = 0; type->choice != NULL && i < type->choice->n; i++) {
        words_add(&v->words, word_id(type->choice->word[i]));
    }
    v->sides = type->kind == TYPE_SIZE ? 3 : 0;
    for (int i = 0; i < v->sides; i++) {
        v->side[i] = val_number(range_whole_line(), WHY_FACT, false);
    }
    if (type->kind == TYPE_RECORD) {
        v->item = ARRAY(const Item *, 1);
        v->item[0] = item_unknown(type->record);
        v->items = 1;
    }
    v->list = type->kind == TYPE_LIST ? items_unknown(type->record) : NULL;
    return v;
}

const Item *item_unknown(Record *record)
{
    if (record->unknown == NULL) {
        Item *item = NEW(Item);
        item->record = record;
        item->field = ARRAY(const Val *, record->n);
        for (int i = 0; i < record->n; i++) {
            item->field[i] = val_unknown(&record->field[i]);
        }
        record->unknown = item;
    }
    return record->unknown;
}

Truth val_is_absent(const Val *v)
{
    if (!v->absent) {
        return truth_of(false);
    }
    return v->kind == VAL_VOID && !v->broken ? truth_of(true) : truth_open(v->why | WHY_FACT);
}

static int rank_of(const Choice *choice, int id)
{
    for (int i = 0; i < choice->n; i++) {
        if (strcmp(choice->word[i], words.word[id]) == 0) {
            return i;
        }
    }
    return -1;
}

static int words_list(const Words *set, int *id)
{
    int n = 0;
    for (int i = 0; i < words.n; i++) {
        if (words_have(set, i)) {
            id[n++] = i;
        }
    }
    return n;
}

static bool words_relate(Op op, const Choice *choice, int a, int b)
{
    int ra = op == OP_EQ || op == OP_NE || choice == NULL ? a : rank_of(choice, a);
    int rb = op == OP_EQ || op == OP_NE || choice == NULL ? b : rank_of(choice, b);
    return op == OP_EQ   ? ra == rb
           : op == OP_NE ? ra != rb
           : op == OP_LT ? ra < rb
           : op == OP_LE ? ra <= rb
           : op == OP_GT ? ra > rb
                         : ra >= rb;
}

static unsigned compare_words(Op op, const Val *a, const Val *b)
{
    const Choice *choice = a->choice != NULL ? a->choice : b->choice;
    int id_a[WORDS_MOST], id_b[WORDS_MOST];
    int n_a = words_list(&a->words, id_a), n_b = words_list(&b->words, id_b);
    unsigned can = 0;
    for (int i = 0; i < n_a * n_b; i++) {
        can |= words_relate(op, choice, id_a[i / n_b], id_b[i % n_b]) ? CAN_YES : CAN_NO;
    }
    return can;
}

static unsigned compare_truths(const Val *a, const Val *b)
{
    unsigned can = 0;
    can |= (a->can & b->can) != 0 ? (unsigned)CAN_YES : 0;
    can |= a->can == CAN_BOTH || b->can == CAN_BOTH || a->can != b->can ? (unsigned)CAN_NO : 0;
    return can;
}

static unsigned turned(unsigned can)
{
    return truth_not((Truth){.can = can}).can;
}

/* What a comparison can be, of what is present in both. */
static unsigned compare_present(Op op, const Val *a, const Val *b)
{
    if (a->kind != b->kind) {
        give_up("values of two kinds are compared");
    }
    if (a->kind == VAL_WORD) {
        return compare_words(op, a, b);
    }
    if (a->kind == VAL_NUMBER) {
        if (op == OP_EQ || op == OP_NE) {
            unsigned equal = range_equal(&a->range, &b->range);
            return op == OP_EQ ? equal : turned(equal);
        }
        bool less = op == OP_LT || op == OP_LE, or_equal = op == OP_LE || op == OP_GE;
        return less ? range_less(&a->range, &b->range, or_equal)
                    : range_less(&b->range, &a->range, or_equal);
    }
    unsigned equal = CAN_BOTH;
    if (a->kind == VAL_TRUTH) {
        equal = compare_truths(a, b);
    } else if (a->kind == VAL_TEXT && a->text != NULL && b->text != NULL) {
        equal = same(a->text, b->text) ? CAN_YES : CAN_NO;
    } else if (a->kind == VAL_ITEM && a->items == 1 && b->items == 1) {
        equal = a->item[0] == b->item[0] ? CAN_YES : CAN_NO;
    }
    return op == OP_EQ ? equal : turned(equal);
}

/* An absent word is no word: in a condition "is" is false for it. Elsewhere the line has answered for
 * absence, and what is present is compared. */
Truth val_compare(Op op, const Val *a, const Val *b, bool condition)
{
    unsigned why = a->why | b->why, can = 0;
    bool equality = op == OP_EQ || op == OP_NE;
    if (a->kind != VAL_VOID && b->kind != VAL_VOID) {
        can |= compare_present(op, a, b);
    }
    bool word = a->kind != VAL_NUMBER && b->kind != VAL_NUMBER && a->kind != VAL_SIZE &&
                b->kind != VAL_SIZE;
    if ((a->absent || b->absent) && condition && equality && word) {
        can |= op == OP_EQ ? CAN_NO : CAN_YES;
    }
    if (a->broken || b->broken || can == 0) {
        return truth_open(why |
                          (a->broken || b->broken ? (unsigned)WHY_NO_RULE : (unsigned)WHY_FACT));
    }
    return can == CAN_BOTH ? truth_open(why != 0 ? why : (unsigned)WHY_ROOT) : (Truth){.can = can};
}

/* The greater (or least) of two words: any word of either that is not below (above) all of a, nor of b
 * where b is sure too. */
const Val *val_greater_words(const Val *a, const Val *b, bool most, bool both_sure)
{
    const Choice *choice = a->choice != NULL ? a->choice : b->choice;
    Val *out = NEW(Val);
    *out = *val_join(a, b);
    int id[WORDS_MOST], n = words_list(&out->words, id);
    Words none = {{0}};
    out->words = none;
    for (int i = 0; i < n; i++) {
        const Val *word = val_word(words.word[id[i]], choice);
        Op op = most ? OP_GE : OP_LE;
        if ((compare_words(op, word, a) & CAN_YES) != 0 &&
            (!both_sure || (compare_words(op, word, b) & CAN_YES) != 0)) {
            words_add(&out->words, id[i]);
        }
    }
    return out;
}
