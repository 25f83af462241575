/* What values of a type are held as, and the relation of two ranges by a comparison's sign: used
 * where facts are read, where code is proved and where it is evaluated. */
#include "law/value.h"

uint8_t value_kind(const Type *type)
{
    switch ((TypeClass)type->class) {
    case CLASS_YES_NO: return VALUE_TRUTH;
    case CLASS_CHOICE: return VALUE_WORDS;
    case CLASS_TEXT: return VALUE_TEXT;
    case CLASS_SIZE: return VALUE_SIZE;
    case CLASS_ITEM: return VALUE_ITEM;
    case CLASS_LIST: return VALUE_LIST;
    case CLASS_BAD:
    case CLASS_NUMBER:
    case CLASS_DATE: break;
    }
    return VALUE_RANGE;
}

Truth range_relate(CompareOp op, const Range *a, const Range *b)
{
    switch (op) {
    case COMPARE_LESS: return range_less(a, b);
    case COMPARE_LESS_EQUAL: return range_less_equal(a, b);
    case COMPARE_GREATER: return range_less(b, a);
    case COMPARE_GREATER_EQUAL: return range_less_equal(b, a);
    case COMPARE_EQUAL: return range_equal(a, b);
    case COMPARE_NOT_EQUAL: break;
    }
    return truth_not(range_equal(a, b));
}
