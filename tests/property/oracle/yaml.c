/* Build specs as they are kept in specs/: mappings and lists by indentation or in brackets, plain and
 * quoted scalars, comments. Every scalar becomes a string; one that is left empty becomes null. */
#include "oracle.h"

#include <stdio.h>
#include <string.h>

typedef struct Yaml {
    const char *path;
    char *line[4096]; /* without comment; blanks at the end taken away */
    int n, at;
} Yaml;

static int indent_of(const char *line)
{
    return (int)strspn(line, " ");
}

/* Where the comment begins: a # at the start or behind a blank, outside quotes. */
static size_t comment_at(const char *line)
{
    char quote = '\0';
    size_t i = 0;
    for (; line[i] != '\0' && line[i] != '\n'; i++) {
        if (quote != '\0') {
            quote = line[i] == quote ? '\0' : quote;
        } else if (line[i] == '"' || (line[i] == '\'' && (i == 0 || line[i - 1] == ' '))) {
            quote = line[i];
        } else if (line[i] == '#' && (i == 0 || line[i - 1] == ' ')) {
            break;
        }
    }
    return i;
}

static void read_lines(Yaml *y, FILE *f)
{
    char buffer[4096];
    while (fgets(buffer, sizeof buffer, f) != NULL) {
        size_t n = comment_at(buffer);
        while (n > 0 && (buffer[n - 1] == ' ' || buffer[n - 1] == '\r')) {
            n--;
        }
        if (n > 0 && y->n < 4096) {
            y->line[y->n++] = pool_text(buffer, n);
        }
    }
}

static json_t *scalar(const char *start, size_t n)
{
    while (n > 0 && start[n - 1] == ' ') {
        n--;
    }
    if (n == 0 || (n == 1 && *start == '~')) {
        return json_null();
    }
    return json_string(pool_text(start, n));
}

static json_t *flow(const char **at);

static json_t *quoted(const char **at)
{
    const char quote = *(*at)++, *start = *at;
    *at += strcspn(start, quote == '"' ? "\"" : "'");
    json_t *text = json_string(pool_text(start, (size_t)(*at - start)));
    (*at)++;
    return text;
}

static void skip_blanks(const char **at)
{
    *at += strspn(*at, " ,");
}

static json_t *flow_list(const char **at)
{
    json_t *list = json_array();
    (*at)++;
    for (skip_blanks(at); **at != ']' && **at != '\0'; skip_blanks(at)) {
        (void)json_array_append_new(list, flow(at));
    }
    *at += **at == ']';
    return list;
}

static json_t *flow_record(const char **at)
{
    json_t *record = json_object();
    (*at)++;
    for (skip_blanks(at); **at != '}' && **at != '\0'; skip_blanks(at)) {
        size_t n = strcspn(*at, ":");
        const char *name = pool_text(*at, n);
        *at += n + ((*at)[n] == ':');
        *at += strspn(*at, " ");
        (void)json_object_set_new(record, name, flow(at));
    }
    *at += **at == '}';
    return record;
}

static json_t *flow(const char **at)
{
    if (**at == '[') {
        return flow_list(at);
    }
    if (**at == '{') {
        return flow_record(at);
    }
    if (**at == '"' || **at == '\'') {
        return quoted(at);
    }
    const char *start = *at;
    *at += strcspn(start, ",]}");
    return scalar(start, (size_t)(*at - start));
}

/* A value on the line; what stands in brackets may go on over the next lines. */
static json_t *inline_value(Yaml *y, const char *text)
{
    if (*text != '[' && *text != '{') {
        return *text == '"' || *text == '\'' ? quoted(&text) : scalar(text, strlen(text));
    }
    for (int depth = 1; depth > 0;) {
        depth = 0;
        for (const char *p = text; *p != '\0'; p++) {
            depth += *p == '[' || *p == '{';
            depth -= *p == ']' || *p == '}';
        }
        if (depth > 0 && y->at < y->n) {
            const char *more = y->line[y->at++];
            text = pool_format("%s %s", text, more + indent_of(more));
        } else if (depth > 0) {
            give_up("%s: a bracket is not closed", y->path);
        }
    }
    return flow(&text);
}

static json_t *block(Yaml *y, int indent);

/* Behind "name:" with nothing on the line: what stands deeper, or a list as deep. */
static json_t *nested(Yaml *y, int indent)
{
    if (y->at >= y->n) {
        return json_null();
    }
    const char *next = y->line[y->at];
    int deep = indent_of(next);
    return deep > indent || (deep == indent && next[deep] == '-') ? block(y, deep) : json_null();
}

static size_t name_length(const char *text)
{
    const char *colon = strstr(text, ": ");
    size_t n = strlen(text);
    if (strchr("[{\"'", *text) != NULL) {
        return 0;
    }
    return colon != NULL ? (size_t)(colon - text) : n > 0 && text[n - 1] == ':' ? n - 1 : 0;
}

static json_t *block_list(Yaml *y, int indent)
{
    json_t *list = json_array();
    while (y->at < y->n && indent_of(y->line[y->at]) == indent && y->line[y->at][indent] == '-') {
        char *line = y->line[y->at];
        const char *rest = line + indent + 1 + strspn(line + indent + 1, " ");
        if (name_length(rest) > 0) { /* its first field stands behind the dash */
            line[indent] = ' ';
            (void)json_array_append_new(list, block(y, indent_of(line)));
        } else {
            y->at++;
            (void)json_array_append_new(list, inline_value(y, rest));
        }
    }
    return list;
}

static json_t *block(Yaml *y, int indent)
{
    if (y->line[y->at][indent] == '-') {
        return block_list(y, indent);
    }
    json_t *record = json_object();
    while (y->at < y->n && indent_of(y->line[y->at]) == indent) {
        const char *text = y->line[y->at++] + indent;
        size_t n = name_length(text);
        if (n == 0) {
            give_up("%s: '%s' is no field", y->path, text);
        }
        const char *rest = text + n + 1 + strspn(text + n + 1, " ");
        json_t *value = *rest == '\0' ? nested(y, indent) : inline_value(y, rest);
        (void)json_object_set_new(record, pool_text(text, n), value);
    }
    return record;
}

json_t *yaml_load(const char *path)
{
    FILE *f = fopen(path, "r");
    if (f == NULL) {
        give_up("%s: cannot be read", path);
    }
    Yaml *y = NEW(Yaml);
    y->path = path;
    read_lines(y, f);
    (void)fclose(f);
    return y->n == 0 ? json_object() : block(y, indent_of(y->line[0]));
}
