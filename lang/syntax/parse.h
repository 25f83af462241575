/* The state of one parse: what scanner, feed and grammar know together. Private to syntax/.
 *
 * Characters go to tokens in scanner.l with lexeme.c (names, quantities, texts), the stream of
 * tokens is put in order in feed.c, grammar.y reads it. The three share the token before, the
 * open blocks and the open brackets, by which a word is told from a name. */
#ifndef SYNTAX_PARSE_H
#define SYNTAX_PARSE_H

#include "base/diagnostic.h"
#include "syntax/build.h"

#include "grammar.h"

enum {
    OPENERS_MAX = 64,              /* blocks in blocks; the language has five levels */
    BRACKETS_MAX = TREE_DEPTH_MAX, /* brackets in brackets */
    LEX_NOTHING = -1               /* what was read is no token: a comment, a stray sign */
};

typedef struct Token {
    int kind;
    SHALL_YYSTYPE value;
    Span span;
    bool first; /* on its line */
} Token;

/* A block that waits for its `end`. */
typedef struct Opener {
    int kind; /* token */
    Span span;
    bool first;        /* on its line */
    bool rows;         /* a table whose rows have begun */
    unsigned brackets; /* open when it began */
} Opener;

struct Parse {
    Arena *scratch; /* what flex holds while a file is read */
    Arena *arena;
    Names *names;
    const Source *source;
    Diagnostics *diags;
    void *scanner; /* flex */
    FileTree *file;
    ItemTree *last_item;
    SettingTree *settings;

    uint32_t offset;  /* bytes read */
    bool line_broken; /* since the token before */
    Token before;     /* handed to the parser */
    int before_that;  /* and the two before it */
    int before_those;
    Span last; /* of the last token before it that stands in the source */

    Token pending; /* read, to be handed out after what was put in */
    bool has_pending;
    unsigned ends_due; /* forgotten ends still to put in */

    Opener openers[OPENERS_MAX];
    unsigned opener_count;
    unsigned brackets;
    Opener odd_opener; /* the first block whose `end` stands at another column; kind 0: none */
    Span odd_end;
    bool is_cut_short; /* the file ends before a block does */
    bool end_is_lost;  /* the last `end` closed nothing */
    bool panic;        /* skip to where the parser can go on */
    unsigned panic_height;
    unsigned serial;   /* of the token before */
    unsigned forgiven; /* serial at which the parser went on after an error */
    unsigned landing;  /* serial of the token to which was skipped */
    bool is_stopped;   /* too deep or too many errors: the rest of the file is not read */
    unsigned complaints;
    uint8_t phrases[26];   /* by first letter, the first phrase of the language (word.c) */
    bool without_examples; /* worked examples are passed over */
    const Map *wanted;     /* codes of other names are passed over; NULL: all are read */
    bool is_finding;       /* after `finds` */
    bool is_planning;      /* after `plan` */
    bool is_after_that;    /* `items that ...`, before its `covers` */
    bool is_covered;       /* right after that `covers` */

    size_t comment_cap;
};

#define parse_error(parse, name, span, ...) \
    diagnostic_error((parse)->diags, (name), (Place){(parse)->source, (span)}, __VA_ARGS__)
#define parse_hint(parse, diag, ...) \
    diagnostic_note((parse)->diags, (diag), (Place){0}, __VA_ARGS__)
#define parse_see(parse, diag, span, ...) \
    diagnostic_note((parse)->diags, (diag), (Place){(parse)->source, (span)}, __VA_ARGS__)

/* ---- scanner.l ---- */

void scanner_open(Parse *parse);
int scanner_read(Parse *parse, SHALL_YYSTYPE *value, Span *span); /* 0 at the end of the file */
void scanner_close(Parse *parse);

/* ---- the source: lexeme.c ---- */

/* The byte there; zero beyond the end. */
static inline char source_at(const Parse *parse, size_t at)
{
    return at < parse->source->bytes.len ? parse->source->bytes.data[at] : '\0';
}

Text source_slice(const Parse *parse, Span span);
Text source_spelling(Parse *parse, Span span);     /* blanks and comments made single blanks */
size_t skip_blanks(const Parse *parse, size_t at); /* white space and comments */
Text word_at(const Parse *parse, size_t at);       /* "" when no name starts there */
/* The end of a phrase ("any of") at `at`, its words parted by any white space; 0: another. */
size_t phrase_end(const Parse *parse, size_t at, const char *phrase);

/* Each reads one lexeme that starts at span->start, sets span->end and the value, and gives its
 * token or LEX_NOTHING. */
int lex_word(Parse *parse, SHALL_YYSTYPE *value, Span *span); /* word.c */
int lex_number(Parse *parse, SHALL_YYSTYPE *value, Span *span);
int lex_text(Parse *parse, SHALL_YYSTYPE *value, Span *span);
int lex_minus(Parse *parse, SHALL_YYSTYPE *value, Span *span);
int lex_spaced(Parse *parse, int token, Span *span); /* / and .. want blanks on both sides */
int lex_slip(Parse *parse, SHALL_YYSTYPE *value, Span *span); /* slip.c: ==, &&, “, ≤, # ... */
void lex_comment(Parse *parse, Span span);
void lex_comments_in(Parse *parse, size_t start, size_t end); /* passed over within a phrase */

/* ---- what is known of tokens: token.c ---- */

enum {
    TOKEN_WANTS_VALUE = 1, /* after it a value or name must come: words are names, - is a sign */
    TOKEN_WANTS_NAME = 2,  /* after it only a name can come */
    TOKEN_INFIX = 4,       /* cannot begin an expression: no new alternative begins with it */
    TOKEN_CLAUSE = 8,      /* begins a clause or block: the parser can go on here */
    TOKEN_OPENS = 16       /* waits for an `end` */
};
unsigned token_flags(int kind);
bool wants_value(const Parse *parse);        /* does the token before ask for a value or a name? */
bool wants_name(const Parse *parse);         /* only for a name? */
bool is_new_alternative(const Parse *parse); /* may an alternative begin on this new line? */
bool is_in_rows(const Parse *parse); /* in a row of a table, or at the line that begins one */
bool is_in_data(const Parse *parse); /* in the value of a setting */
const char *opener_word(int kind);   /* "section"; of a token that opens */
int top_opener(const Parse *parse);  /* kind; 0 at the level of the file */
bool is_inside(const Parse *parse, int kind);

void index_phrases(Parse *parse);    /* word.c */
bool is_word_of_language(Text word); /* word.c */
/* A file of nothing but codes that nobody wants: they are noted, and nothing more is read. */
bool passes_file(Parse *parse);

/* ---- complaints: complain.c ---- */

void complain_unexpected(Parse *parse, Span span, const char **expected, size_t count);
/* After a syntax error: may the next one be reported? fresh: the token after it is not read yet.
 * Once for each token, or the parser would turn round on it for ever. */
bool parse_goes_on(Parse *parse, bool fresh);
void complain_depth(Parse *parse, Span span);
void complain_stop(Parse *parse, Span span); /* the same; the rest of the file is not read */
void complain_missing_end(Parse *parse, const Opener *opener, const Token *before);

/* The next token as the parser gets it: feed.c. */
int shall_yylex(SHALL_YYSTYPE *value, Span *span, Parse *parse);

#endif
