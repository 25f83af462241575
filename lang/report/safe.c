/* Makes text harmless: what a spec calls its unit may hold escape sequences, marks that turn the
 * direction of writing, or bytes that are no UTF-8. All of it stays visible, none of it acts. */
#include "report/safe.h"

bool code_is_hidden(uint32_t code)
{
    return code < 0x20 || (code >= 0x7f && code < 0xa0) || code == 0xad || /* soft hyphen */
           code == 0x61c || code == 0x180e ||
           (code >= 0x200b && code <= 0x200f) || /* zero width, left and right marks */
           (code >= 0x2028 && code <= 0x202e) || /* separators, embeddings, overrides */
           (code >= 0x2060 && code <= 0x206f) || /* joiners, isolates */
           code == 0xfeff || (code >= 0xfff9 && code <= 0xfffb) ||
           (code >= 0xe0000 && code <= 0xe007f); /* tags */
}

static bool is_plain(Text text)
{
    for (size_t i = 0; i < text.len; i++) {
        if ((unsigned char)text.data[i] < 0x20 || (unsigned char)text.data[i] >= 0x7f) {
            return false;
        }
    }
    return true;
}

Text text_harmless(Arena *arena, Text text)
{
    if (is_plain(text)) {
        return text;
    }
    Buffer out = buffer_make(arena);
    for (size_t i = 0; i < text.len;) {
        uint32_t code = 0;
        size_t len = utf8_next(text, i, &code);
        if (code == '\t' || code == '\n' || code == '\r') {
            buffer_char(&out, ' ');
        } else if (code_is_hidden(code)) {
            buffer_format(&out, "<U+%04X>", (unsigned)code);
        } else if (code == UTF8_BAD) {
            buffer_string(&out, "\xef\xbf\xbd");
        } else {
            buffer_text(&out, (Text){text.data + i, len});
        }
        i += len;
    }
    return buffer_done(&out);
}
