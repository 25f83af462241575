/* Section numbers: which ones a target covers, and their natural order.
 *
 * A number is text. It is cut only before punctuation or white space, and never before a closing
 * bracket, so "5-401.11" covers "5-401.11(A)" but not "5-401.110". */
#include "law/assembly.h"

static bool is_word(uint32_t code)
{
    if (code < 0x80) {
        return ascii_is_digit((char)code) || ascii_is_letter((char)code);
    }
    bool is_latin_sign = code == 0xa0 || code == 0xa7 || code == 0xb6 || code == 0xb7;
    bool is_general_sign = code >= 0x2000 && code <= 0x206f; /* dashes, quotes, spaces */
    return !is_latin_sign && !is_general_sign;
}

static bool is_cut(Text number, size_t at)
{
    uint32_t code = 0;
    (void)utf8_next(number, at, &code);
    return !is_word(code) && code != ')' && code != ']' && code != '}';
}

bool target_covers(Text target_number, const Name *target_part, Text number, const Name *part)
{
    if (target_part != NULL && target_part != part) {
        return false;
    }
    if (target_number.len == 0 || !text_starts(number, target_number)) {
        return false;
    }
    return number.len == target_number.len || is_cut(number, target_number.len);
}

size_t number_cut(Text number, size_t length)
{
    while (length > 1) {
        length--;
        bool starts_character = ((unsigned char)number.data[length] & 0xc0) != 0x80;
        if (starts_character && is_cut(number, length)) {
            return length;
        }
    }
    return 0;
}

/* The run of digits at `at`, without leading zeros; *end is behind it. */
static Text digits_at(Text number, size_t at, size_t *end)
{
    size_t start = at;
    while (at < number.len && ascii_is_digit(number.data[at])) {
        at++;
    }
    while (start + 1 < at && number.data[start] == '0') {
        start++;
    }
    *end = at;
    return (Text){number.data + start, at - start};
}

int number_order(Text a, Text b)
{
    size_t i = 0;
    size_t j = 0;
    while (i < a.len && j < b.len) {
        if (ascii_is_digit(a.data[i]) && ascii_is_digit(b.data[j])) {
            Text left = digits_at(a, i, &i);
            Text right = digits_at(b, j, &j);
            int order =
                left.len != right.len ? (left.len > right.len ? 1 : -1) : text_order(left, right);
            if (order != 0) {
                return order;
            }
        } else if (a.data[i] != b.data[j]) {
            return (unsigned char)a.data[i] > (unsigned char)b.data[j] ? 1 : -1;
        } else {
            i++;
            j++;
        }
    }
    if (i < a.len || j < b.len) {
        return i < a.len ? 1 : -1;
    }
    return text_order(a, b); /* "01" and "1" */
}

Text number_words(Arena *arena, Text number, const Name *part)
{
    if (part == NULL) {
        return text_format(arena, "'%.*s'", TEXT_ARG(number));
    }
    return text_format(arena, "'%.*s' part %.*s", TEXT_ARG(number), TEXT_ARG(part->text));
}
