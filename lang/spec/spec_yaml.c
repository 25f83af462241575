/* YAML, through libyaml's events.
 *
 * Takes the bytes of a spec, hands scalars, lists and maps to the builder with byte spans, and
 * says in plain words what libyaml says in its own. Never the document loader: it is quadratic
 * and without limits. libyaml's marks count characters; they are turned into byte offsets by a
 * counter that runs along with them, so that a file costs one walk (none when it is ASCII).
 * What YAML has and a spec does not need (aliases, merge keys, tags, a second document, UTF-16)
 * is refused where it stands. */
#include "spec/spec_build.h"

#include <string.h>
#include <yaml.h>

typedef struct Marks {
    Text bytes;
    size_t start; /* after a byte order mark, which libyaml does not count */
    bool ascii;   /* characters are bytes */
    size_t index; /* the character ... */
    size_t at;    /* ... that begins at this byte */
} Marks;

static bool is_ascii(Text text)
{
    size_t i = 0;
    for (; i + sizeof(uint64_t) <= text.len; i += sizeof(uint64_t)) {
        uint64_t eight;
        memcpy(&eight, text.data + i, sizeof eight);
        if ((eight & UINT64_C(0x8080808080808080)) != 0) {
            return false;
        }
    }
    for (; i < text.len; i++) {
        if ((unsigned char)text.data[i] >= 0x80) {
            return false;
        }
    }
    return true;
}

static Marks marks_of(Text bytes)
{
    size_t start = text_starts(bytes, TEXT("\xef\xbb\xbf")) ? 3 : 0;
    Text rest = {bytes.data + start, bytes.len - start};
    return (Marks){.bytes = bytes, .start = start, .ascii = is_ascii(rest), .at = start};
}

static bool is_continuation(char c)
{
    return ((unsigned char)c & 0xc0) == 0x80;
}

/* Marks hardly ever go back, and then by a few characters. */
static uint32_t byte_of(Marks *marks, size_t index)
{
    size_t len = marks->bytes.len;
    if (marks->ascii) {
        size_t at = marks->start + index;
        return (uint32_t)(at < len ? at : len);
    }
    const char *data = marks->bytes.data;
    while (marks->index < index && marks->at < len) {
        do {
            marks->at++;
        } while (marks->at < len && is_continuation(data[marks->at]));
        marks->index++;
    }
    while (marks->index > index && marks->at > marks->start) {
        do {
            marks->at--;
        } while (marks->at > marks->start && is_continuation(data[marks->at]));
        marks->index--;
    }
    return (uint32_t)marks->at;
}

static Span span_of(Marks *marks, yaml_mark_t start, yaml_mark_t end)
{
    uint32_t first = byte_of(marks, start.index);
    uint32_t last = byte_of(marks, end.index);
    return (Span){first, last > first ? last : first};
}

/* ---- what libyaml says ---- */

typedef struct Saying {
    const char *theirs; /* the beginning of libyaml's words */
    const char *ours;
    const char *hint; /* NULL */
} Saying;

static const Saying sayings[] = {
    {"mapping values are not allowed",
     "this ':' follows no key: is it part of a text, or is the line indented wrongly?",
     "quote a text that has ': ' in it"},
    {"found a tab character", "a tab is used as indentation", "indent with spaces"},
    {"found character that cannot start any token", "this character cannot begin a value",
     "indent with spaces, not tabs; quote a text that begins with @, ` or %"},
    {"did not find expected key", "this line does not begin in the column of the keys above it",
     "give all keys of one map the same indentation"},
    {"did not find expected '-' indicator",
     "this line does not begin in the column of the list's '-' above it", NULL},
    {"could not find expected ':'", "a line without ':'",
     "write 'key: value'; quote a text that runs over several lines"},
    {"did not find expected ',' or '}'", "a ',' or the closing '}' is missing before this", NULL},
    {"did not find expected ',' or ']'", "a ',' or the closing ']' is missing before this", NULL},
    {"found unexpected end of stream", "a quote is opened and never closed", NULL},
    {"found unexpected document indicator", "a quote is not closed before this line", NULL},
    {"did not find expected <document start>", "nothing may follow the end of the spec", NULL},
    {"found unknown escape character", "an unknown escape after '\\'",
     "write '\\\\' for a backslash, or use single quotes"},
    {"did not find expected hexdecimal number", "an escape needs hexadecimal digits", NULL},
    {"found invalid Unicode character escape code", "this escape is no character", NULL},
    {"found unexpected ':'", "a ':' after a key needs a space behind it", NULL},
    {"block sequence entries are not allowed", "a list cannot begin here",
     "begin it on a line of its own"},
    {"did not find expected node content", "a value is missing here", NULL},
    {"found undefined tag handle", "tags ('!') are not read", "quote a text that begins with '!'"},
    {"did not find URI escaped octet", "tags ('!') are not read", NULL},
    {"did not find expected alphabetic or numeric character",
     "'&' and '*' name anchors and aliases, which are not read",
     "quote a text that begins with & or *"},
    {"did not find expected whitespace or line break",
     "'!', '&' and '*' begin tags, anchors and aliases, which are not read",
     "quote a text that begins with one of them"},
};

/* What stands there tells more than libyaml's words in two cases. */
static const Saying *find_saying(Text bytes, uint32_t at, const char *theirs)
{
    static const Saying tab = {"", "a tab is used as indentation", "indent with spaces"};
    static const Saying after_quote = {"", "something follows the closing quote of this value",
                                       "quote the whole value"};
    size_t before = at;
    if (at < bytes.len && bytes.data[at] == '\t') {
        return &tab;
    }
    while (before > 0 && (bytes.data[before - 1] == ' ' || bytes.data[before - 1] == '\t')) {
        before--;
    }
    if (before > 0 && (bytes.data[before - 1] == '"' || bytes.data[before - 1] == '\'') &&
        strncmp(theirs, "did not find expected key", 25) == 0) {
        return &after_quote;
    }
    for (size_t i = 0; i < sizeof sayings / sizeof sayings[0]; i++) {
        if (strncmp(theirs, sayings[i].theirs, strlen(sayings[i].theirs)) == 0) {
            return &sayings[i];
        }
    }
    return NULL;
}

static Span character_at(Marks *marks, yaml_mark_t mark)
{
    uint32_t start = byte_of(marks, mark.index);
    return (Span){start, byte_of(marks, mark.index + 1)};
}

static void say_syntax(Builder *builder, Marks *marks, const yaml_parser_t *parser)
{
    const char *theirs = parser->problem != NULL ? parser->problem : "it cannot be read";
    Span span = character_at(marks, parser->problem_mark);
    const Saying *saying = find_saying(marks->bytes, span.start, theirs);
    bool unclosed = saying != NULL && strstr(saying->ours, "never closed") != NULL;
    if (unclosed) { /* the end of the file says little: where the quote begins says all */
        span = character_at(marks, parser->context_mark);
    }
    Diagnostic *diag = saying != NULL
                           ? build_fault(builder, "yaml syntax", span, "%s", saying->ours)
                           : build_fault(builder, "yaml syntax", span, "YAML: %s", theirs);
    if (saying != NULL && saying->hint != NULL) {
        diagnostic_note(builder->diags, diag, (Place){0}, "%s", saying->hint);
    }
    if (parser->context != NULL && !unclosed &&
        parser->context_mark.index < parser->problem_mark.index) {
        Place begin = {builder->source, character_at(marks, parser->context_mark)};
        diagnostic_note(builder->diags, diag, begin, "in what begins here");
    }
    builder->stopped = true;
}

/* Marks say nothing where the reader fails; the byte offset does. */
static void say_reader(Builder *builder, const yaml_parser_t *parser)
{
    uint32_t at = (uint32_t)(parser->problem_offset < builder->source->bytes.len
                                 ? parser->problem_offset
                                 : builder->source->bytes.len);
    Span span = {at, at + 1};
    if (parser->problem != NULL && strncmp(parser->problem, "control", 7) == 0) {
        build_fault(builder, "control character", span,
                    "a control character (%02x) stands in the file",
                    (unsigned)(parser->problem_value & 0xff));
    } else {
        Diagnostic *diag = build_fault(builder, "not UTF-8", span, "this byte is not UTF-8");
        diagnostic_note(builder->diags, diag, (Place){0}, "save the file as UTF-8");
    }
    builder->stopped = true;
}

/* UTF-16, with its mark or without: the second byte of ASCII in it is zero. */
static bool refuse_utf16(Builder *builder)
{
    Text bytes = builder->source->bytes;
    bool is_utf16 = text_starts(bytes, TEXT("\xff\xfe")) || text_starts(bytes, TEXT("\xfe\xff")) ||
                    (bytes.len >= 2 && (bytes.data[0] == '\0') != (bytes.data[1] == '\0'));
    if (is_utf16) {
        Diagnostic *diag =
            build_fault(builder, "not UTF-8", (Span){0, 2}, "the file is written in UTF-16");
        diagnostic_note(builder->diags, diag, (Place){0}, "save the file as UTF-8");
        builder->stopped = true;
    }
    return is_utf16;
}

/* ---- events ---- */

/* The value's own bytes where they say it as it is; else a copy. */
static Text keep_text(Builder *builder, const yaml_event_t *event, Span span, size_t quotes)
{
    Text value = {(const char *)event->data.scalar.value, event->data.scalar.length};
    Text written = place_text((Place){builder->source, span});
    if (written.len == value.len + 2 * quotes) {
        Text inner = {written.data + quotes, value.len};
        if (text_equal(inner, value)) {
            return inner;
        }
    }
    if (value.len > SPEC_SCALAR_MAX) {
        return written; /* it is refused for its length; the text itself is not shown */
    }
    return text_copy(builder->arena, value);
}

/* `Unit #3`: what follows " #" is a comment, though it hardly looks like one. */
static void caution_cut(Builder *builder, Text value, Span span)
{
    Text bytes = builder->source->bytes;
    size_t at = span.end;
    while (at < bytes.len && (bytes.data[at] == ' ' || bytes.data[at] == '\t')) {
        at++;
    }
    if (at == span.end || at + 1 >= bytes.len || bytes.data[at] != '#' ||
        builder->cautions >= SPEC_FAULTS_MAX) {
        return;
    }
    char next = bytes.data[at + 1];
    if (ascii_is_space(next) || next == '#') {
        return;
    }
    size_t end = at;
    while (end < bytes.len && bytes.data[end] != '\n' && bytes.data[end] != '\r') {
        end++;
    }
    Place place = {builder->source, {(uint32_t)at, (uint32_t)end}};
    builder->cautions++;
    Text shown = text_shown(builder->arena, value);
    Text says = value.len == 0
                    ? TEXT("no value is stated")
                    : text_format(builder->arena, "the value is '%.*s'", TEXT_ARG(shown));
    Diagnostic *diag = diagnostic_warning(builder->diags, "value cut short", place,
                                          "'#' begins a comment: %.*s", TEXT_ARG(says));
    diagnostic_note(builder->diags, diag, (Place){0},
                    "quote the value if this belongs to it; write '# ' for a comment");
}

static bool refuse_tag(Builder *builder, const yaml_char_t *tag, Span span)
{
    if (tag == NULL) {
        return false;
    }
    Text shown = text_shown(builder->arena, text_of((const char *)tag));
    Diagnostic *diag =
        build_fault(builder, "tag", span, "tags are not read: '%.*s'", TEXT_ARG(shown));
    diagnostic_note(builder->diags, diag, (Place){0}, "quote a text that begins with '!'");
    return true;
}

static bool take_scalar(Builder *builder, Marks *marks, const yaml_event_t *event)
{
    Span span = span_of(marks, event->start_mark, event->end_mark);
    yaml_scalar_style_t style = event->data.scalar.style;
    bool quoted = style != YAML_PLAIN_SCALAR_STYLE;
    bool block = style == YAML_LITERAL_SCALAR_STYLE || style == YAML_FOLDED_SCALAR_STYLE;
    const yaml_char_t *tag = event->data.scalar.tag;
    bool is_str = tag != NULL && strcmp((const char *)tag, YAML_STR_TAG) == 0;
    if (!is_str && refuse_tag(builder, tag, span)) {
        return build_nothing(builder, span);
    }
    Text bytes = builder->source->bytes;
    while (block && span.end > span.start && ascii_is_space(bytes.data[span.end - 1])) {
        span.end--; /* it reaches to the next token, over the lines between */
    }
    Text text = keep_text(builder, event, span, quoted && !block ? 1 : 0);
    while (block && text.len > 0 && text.data[text.len - 1] == '\n') {
        text.len--; /* the line end belongs to the form, not to the text */
    }
    if (!quoted) {
        caution_cut(builder, text, span);
    }
    return build_scalar(builder, (Scalar){text, span, quoted || is_str});
}

static bool take_event(Builder *builder, Marks *marks, const yaml_event_t *event)
{
    Span span = span_of(marks, event->start_mark, event->end_mark);
    switch (event->type) {
    case YAML_NO_EVENT:
    case YAML_STREAM_START_EVENT:
    case YAML_DOCUMENT_END_EVENT: return true;
    case YAML_STREAM_END_EVENT: return false;
    case YAML_DOCUMENT_START_EVENT:
        if (builder->root != NULL) {
            build_fault(builder, "several documents", span,
                        "a file holds one spec: a second document begins here");
            return false;
        }
        return true;
    case YAML_ALIAS_EVENT:
        build_fault(builder, "alias", span, "aliases ('*%s') are not read: write the value out",
                    (const char *)event->data.alias.anchor);
        return build_nothing(builder, span);
    case YAML_SCALAR_EVENT: return take_scalar(builder, marks, event);
    case YAML_SEQUENCE_START_EVENT:
        (void)refuse_tag(builder, event->data.sequence_start.tag, span);
        return build_open(builder, DATUM_LIST, span);
    case YAML_MAPPING_START_EVENT:
        (void)refuse_tag(builder, event->data.mapping_start.tag, span);
        return build_open(builder, DATUM_MAP, span);
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        /* in block style the end is where the next thing begins: no width, no use */
        return build_close(builder, event->start_mark.index < event->end_mark.index ? span.end : 0);
    }
    return false;
}

static void read_events(Builder *builder, yaml_parser_t *parser)
{
    Text bytes = builder->source->bytes;
    Marks marks = marks_of(bytes);
    yaml_parser_set_input_string(parser, (const unsigned char *)bytes.data, bytes.len);
    for (bool more = true; more;) {
        yaml_event_t event;
        if (!yaml_parser_parse(parser, &event)) {
            if (parser->error == YAML_READER_ERROR) {
                say_reader(builder, parser);
            } else {
                say_syntax(builder, &marks, parser);
            }
            return;
        }
        more = take_event(builder, &marks, &event);
        yaml_event_delete(&event);
    }
}

void spec_yaml(Builder *builder)
{
    yaml_parser_t parser;
    if (refuse_utf16(builder)) {
        return;
    }
    if (!yaml_parser_initialize(&parser)) {
        build_fault(builder, "yaml syntax", (Span){0, 0}, "the system has no more memory");
        return;
    }
    read_events(builder, &parser);
    yaml_parser_delete(&parser);
}
