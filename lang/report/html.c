/* Pages: the frame, the style sheet, and the few elements that every report uses.
 *
 * The style sheet is a drafting office's: one ink, hairlines, a serif for what is read and a fixed
 * width for the text of rules. Colours follow the reader's screen; on paper they are black on
 * white, rows and sections are not broken where they fit on a page, and the margins suit Letter
 * and A4 alike. A policy in the head forbids scripts and the network even to a text that would
 * slip through. */
#include "report/html.h"

#include "report/safe.h"

static const char *const HEAD =
    "<meta charset=\"utf-8\">\n"
    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
    "<meta name=\"color-scheme\" content=\"light dark\">\n"
    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
    "style-src 'unsafe-inline'\">\n";

/* One entry for each matter: a literal must not be longer than every compiler reads. */
static const char *const SHEET[] = {
    /* colours */
    ":root { color-scheme: light dark;\n"
    "  --paper: #fbfaf7; --ink: #1e2022; --quiet: #5c6066; --line: #c8c6bf; --soft: #f1efe9;\n"
    "  --link: #24517a; --up: #8a3a12; --down: #2d5f3a; }\n"
    "@media (prefers-color-scheme: dark) { :root {\n"
    "  --paper: #17191b; --ink: #e4e2dc; --quiet: #a0a3a6; --line: #3d4246; --soft: #1f2225;\n"
    "  --link: #94bde2; --up: #e3a27c; --down: #93c79f; } }\n",
    /* the page */
    "* { box-sizing: border-box; }\n"
    "html { font: 17px/1.5 Charter, 'Bitstream Charter', Cambria, Georgia, serif; }\n"
    "body { margin: 0; background: var(--paper); color: var(--ink); }\n"
    "main { max-width: 58rem; margin: 0 auto; padding: 2.5rem 1.5rem 5rem; }\n"
    "a { color: var(--link); text-decoration-thickness: 1px; text-underline-offset: 0.15em; }\n"
    "a:focus-visible { outline: 2px solid var(--link); outline-offset: 2px; }\n"
    "p, ul, ol, dl { margin: 0.6rem 0; }\n",
    /* headings */
    "h1, h2, h3, h4 { line-height: 1.25; font-weight: 600; text-wrap: balance; }\n"
    "h1 { font-size: 1.9rem; margin: 0 0 0.3rem; }\n"
    "h2 { font-size: 1.35rem; margin: 3rem 0 0.8rem; padding-bottom: 0.3rem;\n"
    "  border-bottom: 1px solid var(--line); }\n"
    "h3 { font-size: 1.08rem; margin: 0 0 0.3rem; }\n"
    "h4 { font-size: 1rem; margin: 1rem 0 0.2rem; }\n"
    ".number, .digits { font-variant-numeric: tabular-nums; }\n"
    ".number { text-align: right; }\n"
    ".quiet { color: var(--quiet); font-size: 0.88rem; }\n"
    ".quiet a { color: inherit; }\n"
    ".day { white-space: nowrap; }\n"
    "nav a { text-decoration: none; } nav a:hover { text-decoration: underline; }\n"
    ".gone { text-decoration: line-through; text-decoration-thickness: 1px; }\n"
    ".window { margin: 0.9rem 0 0.3rem; font-style: italic; }\n"
    ".tag { border: 1px solid currentcolor; border-radius: 2px; padding: 0 0.35em;\n"
    "  font-size: 0.82rem; white-space: nowrap; }\n"
    ".tag.up { color: var(--up); } .tag.down { color: var(--down); }\n"
    ".tag.other { color: var(--quiet); }\n",
    /* keys and values, lists of contents */
    "dl { display: grid; grid-template-columns: minmax(7rem, max-content) 1fr;\n"
    "  gap: 0.15rem 1.2rem; }\n"
    "dt { color: var(--quiet); } dd { margin: 0; min-width: 0; overflow-wrap: anywhere; }\n"
    "nav ul { list-style: none; padding: 0; columns: 24rem 2; column-gap: 2.5rem; }\n"
    "nav li { break-inside: avoid; padding-left: 1.2rem; text-indent: -1.2rem; }\n"
    "@media (max-width: 36rem) { dl { grid-template-columns: 1fr; }\n"
    "  dd { margin-bottom: 0.4rem; } }\n",
    /* sections and the text of rules */
    "section { margin: 2.2rem 0; }\n"
    "section > header { margin-bottom: 0.4rem; }\n"
    "section:target > header { box-shadow: -0.9rem 0 0 -0.6rem var(--link); }\n"
    "pre { font: 0.82rem/1.5 'DejaVu Sans Mono', Menlo, Consolas, 'Liberation Mono', monospace;\n"
    "  margin: 0.4rem 0 0.6rem; padding: 0.6rem 0.9rem; background: var(--soft);\n"
    "  border-left: 2px solid var(--line); white-space: pre; overflow-x: auto; tab-size: 2; }\n",
    /* tables */
    ".wide { overflow-x: auto; margin: 0.8rem 0; }\n"
    "table { border-collapse: collapse; font-size: 0.92rem; min-width: 60%; }\n"
    "th, td { text-align: left; vertical-align: top; padding: 0.3rem 1rem 0.3rem 0;\n"
    "  border-bottom: 1px solid var(--line); }\n"
    "th { font-weight: 600; } thead th { color: var(--quiet); border-bottom-width: 2px; }\n"
    "td.number, th.number { text-align: right; }\n"
    "td.number:not(:first-child) { min-width: 7.5em; }\n",
    /* calculation sheets: each begins a page, and its lines stay whole */
    ".sheet { margin: 3rem 0; } .sheet h3 { margin: 1.8rem 0 0.3rem; }\n"
    ".sheet table { min-width: 100%; } .sheet th .quiet, .sheet th .open { font-weight: 400; }\n"
    ".lines thead th:nth-child(1), .lines thead th:nth-child(3), .compared thead th:nth-child(4),\n"
    "  .compared thead th:nth-child(5), .facts thead th:nth-child(2),\n"
    "  .schedule thead th:nth-child(n + 2) { text-align: right; }\n"
    ".lines td:first-child { white-space: nowrap; } .note { font-style: italic; }\n"
    ".formula { font: 0.8rem/1.45 'DejaVu Sans Mono', Menlo, Consolas, 'Liberation Mono', "
    "monospace;\n"
    "  color: var(--quiet); overflow-wrap: anywhere; }\n"
    ".result { font-weight: 600; }\n"
    ".fails { color: var(--up); } .complies { color: var(--down); } .open { font-style: italic; "
    "}\n",
    /* paper */
    "@page { margin: 18mm 17mm 20mm;\n"
    "  @bottom-right { content: counter(page) ' / ' counter(pages); font-size: 8pt; } }\n"
    "@media print {\n"
    "  :root { color-scheme: light; --paper: #fff; --ink: #000; --quiet: #333; --line: #999;\n"
    "    --soft: #fff; --link: #000; --up: #000; --down: #000; }\n"
    "  html { font-size: 10.5pt; } main { max-width: none; padding: 0; }\n"
    "  a { text-decoration: none; } nav ul { columns: 2; }\n"
    "  h1, h2, h3, h4, .window, section > header { break-after: avoid; }\n"
    "  tr, pre, dt, li { break-inside: avoid; } thead { display: table-header-group; }\n"
    "  section { break-inside: avoid-page; }\n"
    "  .sheet { break-inside: auto; break-before: page; margin-top: 0; }\n"
    "  .head ~ .head { break-before: page; } .head + .sheet { break-before: auto; }\n"
    "  p, dd { orphans: 3; widows: 3; }\n"
    "  pre { white-space: pre-wrap; overflow: visible; } .wide { overflow: visible; }\n"
    "}\n"};

/* ---- text ---- */

static void escape(Buffer *out, Text text)
{
    for (size_t i = 0; i < text.len; i++) {
        switch (text.data[i]) {
        case '&': buffer_string(out, "&amp;"); break;
        case '<': buffer_string(out, "&lt;"); break;
        case '>': buffer_string(out, "&gt;"); break;
        case '"': buffer_string(out, "&quot;"); break;
        case '\'': buffer_string(out, "&#39;"); break;
        default: buffer_char(out, text.data[i]); break;
        }
    }
}

void html_text(Buffer *out, Text text)
{
    escape(out, text_harmless(out->arena, text));
}

void html_lines(Buffer *out, Text text)
{
    size_t start = 0;
    for (size_t i = 0; i <= text.len; i++) {
        if (i < text.len && text.data[i] != '\n') {
            continue;
        }
        html_text(out, (Text){text.data + start, i - start});
        if (i < text.len) {
            buffer_char(out, '\n');
        }
        start = i + 1;
    }
}

/* "2025-07-01" and nothing that a digit or a hyphen goes on with. */
static bool is_date(Text text, size_t at)
{
    static const char pattern[] = "dddd-dd-dd";
    size_t len = sizeof pattern - 1;
    if (at + len > text.len) {
        return false;
    }
    for (size_t i = 0; i < len; i++) {
        char c = text.data[at + i];
        if (pattern[i] == '-' ? c != '-' : !ascii_is_digit(c)) {
            return false;
        }
    }
    return at == 0 || !ascii_is_digit(text.data[at - 1]);
}

void html_words(Buffer *out, Text text)
{
    enum { DATE_LENGTH = 10 };
    size_t start = 0;
    for (size_t i = 0; i < text.len; i++) {
        if (is_date(text, i)) {
            html_text(out, (Text){text.data + start, i - start});
            html_element(out, "span", "day", (Text){text.data + i, DATE_LENGTH});
            i += DATE_LENGTH - 1;
            start = i + 1;
        }
    }
    html_text(out, (Text){text.data + start, text.len - start});
}

void html_format(Buffer *out, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    Buffer text = buffer_make(out->arena);
    buffer_vformat(&text, format, args);
    va_end(args);
    html_text(out, buffer_done(&text));
}

/* ---- the frame ---- */

void html_open(Buffer *out, Text title)
{
    buffer_string(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n");
    buffer_string(out, HEAD);
    html_element(out, "title", NULL, title);
    buffer_string(out, "\n<style>\n");
    for (size_t i = 0; i < sizeof SHEET / sizeof *SHEET; i++) {
        buffer_string(out, SHEET[i]);
    }
    buffer_string(out, "</style>\n</head>\n<body>\n<main>\n");
}

void html_close(Buffer *out)
{
    buffer_string(out, "</main>\n</body>\n</html>\n");
}

/* ---- elements ---- */

static void open_element(Buffer *out, const char *tag, const char *class_name)
{
    buffer_format(out, "<%s", tag);
    if (class_name != NULL) {
        buffer_format(out, " class=\"%s\"", class_name);
    }
    buffer_char(out, '>');
}

void html_element(Buffer *out, const char *tag, const char *class_name, Text text)
{
    open_element(out, tag, class_name);
    html_text(out, text);
    buffer_format(out, "</%s>", tag);
}

void html_heading(Buffer *out, unsigned level, Text id, Text text)
{
    buffer_format(out, "<h%u", level);
    if (id.len > 0) {
        buffer_format(out, " id=\"%.*s\"", TEXT_ARG(id));
    }
    buffer_char(out, '>');
    html_text(out, text);
    buffer_format(out, "</h%u>\n", level);
}

void html_link(Buffer *out, Text id, Text text)
{
    buffer_format(out, "<a href=\"#%.*s\">", TEXT_ARG(id));
    html_text(out, text);
    buffer_string(out, "</a>");
}

/* ---- tables ---- */

void html_table_open(Buffer *out, const char *class_name, const Text *heads, size_t count)
{
    buffer_string(out, "<div class=\"wide\">");
    open_element(out, "table", class_name);
    buffer_string(out, "\n<thead><tr>");
    for (size_t i = 0; i < count; i++) {
        buffer_string(out, "<th scope=\"col\">");
        html_text(out, heads[i]);
        buffer_string(out, "</th>");
    }
    buffer_string(out, "</tr></thead>\n<tbody>\n");
}

void html_table_close(Buffer *out)
{
    buffer_string(out, "</tbody></table></div>\n");
}

void html_row_open(Buffer *out)
{
    buffer_string(out, "<tr>");
}

void html_row_close(Buffer *out)
{
    buffer_string(out, "</tr>\n");
}

void html_row_head(Buffer *out, Text text)
{
    buffer_string(out, "<th scope=\"row\">");
    html_text(out, text);
    buffer_string(out, "</th>");
}

void html_cell(Buffer *out, const char *class_name, Text text)
{
    html_element(out, "td", class_name, text);
}

Text html_id(Arena *arena, Text text)
{
    static const char digits[] = "0123456789abcdef";
    Buffer out = buffer_make(arena);
    for (size_t i = 0; i < text.len; i++) {
        char c = text.data[i];
        bool plain = ascii_is_letter(c) || ascii_is_digit(c) || c == '.' || c == '-' || c == '_';
        if (plain) {
            buffer_char(&out, c);
        } else {
            buffer_char(&out, '~');
            buffer_char(&out, digits[(unsigned char)c >> 4]);
            buffer_char(&out, digits[(unsigned char)c & 15]);
        }
    }
    return buffer_done(&out);
}
