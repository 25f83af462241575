/* Jurisdictions: blocks, what they change in sections, and what they do to other acts and levels. */
#include "oracle.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

static void read_fate(Reader *r, Change *c)
{
    if (take_word(r, "carries")) {
        want_word(r, "over");
        c->carries = true;
        if (take_word(r, "to")) {
            c->carries_to = want_text(r);
        }
    } else if (take_word(r, "lapses")) {
        c->lapses = true;
    }
}

static void read_amended_body(Reader *r, Change *c)
{
    c->kind = CHANGE_READ;
    c->section = NEW(Section);
    while (!take_word(r, "end")) {
        if (!read_permit(r, c->section) && !read_body(r, c->section)) {
            read_error(r, "a clause is expected");
        }
    }
}

static void read_put_exception(Reader *r, Change *c)
{
    want_word(r, "except");
    c->exception = read_exception(r);
    want_word(r, "end");
}

static void read_amend(Reader *r, Change *c)
{
    vec_add(&c->targets, read_target(r));
    if (take_word(r, "limit")) {
        c->kind = CHANGE_LIMIT;
        if (!at_word(r, "to")) {
            c->label = want_name(r);
        }
        want_word(r, "to");
        c->limit = read_expr(r);
    } else if (take_word(r, "exception")) {
        c->kind = CHANGE_EXCEPTION;
        c->name = want_text(r);
        want_words(r, "to read");
        read_put_exception(r, c);
    } else {
        want_word(r, "to");
        if (take_word(r, "delete")) {
            want_word(r, "exception");
            c->kind = CHANGE_EXCEPTION;
            c->name = want_text(r);
        } else if (take_word(r, "add")) {
            c->kind = CHANGE_ADD;
            read_put_exception(r, c);
        } else {
            want_word(r, "read");
            read_amended_body(r, c);
        }
    }
}

static void read_topics(Reader *r, Vec *topics)
{
    if (take_word(r, "on")) {
        do {
            vec_add(topics, pool_format("%s", read_dotted(r)));
        } while (take_sign(r, ","));
    }
}

static void read_from_day(Reader *r, Change *c)
{
    if (take_word(r, "from")) {
        c->day = want_days(r);
    }
}

static void read_not(Reader *r, Change *c)
{
    want_words(r, "not to be");
    if (take_word(r, "waived")) {
        c->kind = CHANGE_NOT_WAIVED;
        read_targets(r, &c->targets);
        return;
    }
    want_words(r, "amended locally");
    c->kind = CHANGE_LOCK;
    c->every = take_word(r, "in");
    if (c->every) {
        want_words(r, "any section");
    } else {
        read_targets(r, &c->targets);
    }
    read_from_day(r, c);
}

/* What a block does to other acts. */
static bool read_upon_act(Reader *r, Change *c)
{
    if (take_word(r, "repeals")) {
        c->kind = CHANGE_REPEALS;
        c->name = want_text(r);
        if (take_word(r, "in")) {
            read_targets(r, &c->targets);
        }
    } else if (at_word(r, "extends") || at_word(r, "postpones")) {
        c->kind = at_word(r, "extends") ? CHANGE_EXTENDS : CHANGE_POSTPONES;
        read_next(r);
        c->name = want_text(r);
        want_word(r, "until");
        c->day = want_days(r);
    } else {
        return false;
    }
    return true;
}

/* What a block says of other levels and codes. */
static bool read_between(Reader *r, Change *c)
{
    if (take_word(r, "locally")) {
        want_words(r, "at least as strict in");
        c->kind = CHANGE_FLOOR;
        read_targets(r, &c->targets);
    } else if (at_word(r, "not")) {
        read_not(r, c);
    } else if (take_word(r, "preempts")) {
        want_words(r, "local law");
        c->kind = CHANGE_PREEMPTS;
        read_topics(r, &c->topics);
        read_from_day(r, c);
    } else if (take_word(r, "prevails")) {
        want_word(r, "over");
        c->kind = CHANGE_PREVAILS;
        c->name = want_name(r);
        read_topics(r, &c->topics);
    } else {
        return false;
    }
    return true;
}

static bool read_upon_section(Reader *r, Change *c)
{
    if (take_word(r, "amend")) {
        read_amend(r, c);
    } else if (take_word(r, "delete")) {
        c->kind = CHANGE_DELETE;
        if (take_word(r, "and")) {
            want_word(r, "reserve");
        }
        read_targets(r, &c->targets);
    } else if (take_word(r, "insert")) {
        want_word(r, "section");
        c->kind = CHANGE_INSERT;
        c->section = read_section(r);
    } else if (take_word(r, "renumber")) {
        c->kind = CHANGE_RENUMBER;
        vec_add(&c->targets, read_target(r));
        want_word(r, "as");
        c->name = want_text(r);
    } else if (take_word(r, "applies")) {
        c->kind = CHANGE_READING;
        want_word(r, "reading");
        c->reading = want_name(r);
        if (take_word(r, "in")) {
            vec_add(&c->targets, read_target(r));
        }
    } else {
        return false;
    }
    return true;
}

static bool read_change(Reader *r, Block *block)
{
    if (read_units(r, &block->units)) {
        return true;
    }
    Change *c = NEW(Change);
    c->day = LONG_MIN;
    if (!read_upon_section(r, c) && !read_between(r, c) && !read_upon_act(r, c)) {
        return false;
    }
    read_fate(r, c);
    vec_add(&block->changes, c);
    return true;
}

static bool read_dated(Reader *r)
{
    if (take_word(r, "emergency")) {
        return true;
    }
    if (!take_word(r, "passed") && !take_word(r, "filed") && !take_word(r, "effective")) {
        return false;
    }
    (void)want_date(r);
    return true;
}

static long month_number(const char *name)
{
    static const char *const MONTHS[] = {"January",   "February", "March",    "April",
                                         "May",       "June",     "July",     "August",
                                         "September", "October",  "November", "December"};
    for (int i = 0; i < 12; i++) {
        if (same(MONTHS[i], name)) {
            return i + 1;
        }
    }
    return 0;
}

/* 1 January after publication */
static void read_after_publication(Reader *r, Block *block)
{
    char *end = NULL;
    block->day = strtol(r->token.start, &end, 10);
    read_from(r, end);
    block->month = month_number(want_name(r));
    if (block->month == 0) {
        read_error(r, "a month is expected");
    }
    want_words(r, "after publication");
}

/* A paper that the office asks for, line by line: it decides nothing. */
static void read_checklist(Reader *r)
{
    Vec ignored = {0};
    (void)want_name(r);
    (void)want_text(r);
    if (take_word(r, "from")) {
        (void)want_text(r);
    }
    while (!take_word(r, "end")) {
        want_word(r, "line");
        (void)want_text(r);
        if (take_word(r, "cites")) {
            read_targets(r, &ignored);
        } else if (take_word(r, "omitted")) {
            (void)want_text(r);
        } else if (take_word(r, "at")) {
            want_words(r, "the discretion of");
            (void)want_text(r);
        }
    }
}

/* What stands between blocks, and ends none. */
static bool read_beside(Reader *r, Jurisdiction *j)
{
    if (take_word(r, "checklist")) {
        read_checklist(r);
    } else if (take_word(r, "confirmed")) {
        read_confirmed(r, true);
    } else {
        return read_shared(r, &j->holder) || read_worked(r, &j->examples);
    }
    return true;
}

static bool read_act(Reader *r, Jurisdiction *j)
{
    Block *block = NEW(Block);
    block->adopts = at_word(r, "adopts");
    if (!take_word(r, "adopts") && !take_word(r, "amends")) {
        return false;
    }
    block->file = r->file;
    block->code = want_name(r);
    block->until = LONG_MAX;
    if (take_word(r, "each")) {
        want_words(r, "edition in force from");
        read_after_publication(r, block);
    } else {
        block->edition = read_edition(r);
        want_words(r, "in force from");
        block->from = want_days(r);
    }
    if (take_word(r, "until")) {
        block->until = want_days(r);
    }
    want_word(r, "by");
    block->by = want_text(r);
    while (read_dated(r)) {
    }
    vec_add(&j->blocks, block);
    while (read_change(r, block) || read_beside(r, j)) {
    }
    return true;
}

void read_jurisdiction(Reader *r)
{
    Jurisdiction *j = NEW(Jurisdiction);
    j->file = r->file;
    j->name = want_name(r);
    j->continued = take_word(r, "continued");
    if (!j->continued) {
        (void)want_text(r);
        if (take_word(r, "within")) {
            j->within = want_name(r);
        }
    }
    vec_add(&r->law->jurisdictions, j);
    while (!take_word(r, "end")) {
        if (!read_act(r, j) && !read_beside(r, j)) {
            read_error(r, "a part of a jurisdiction is expected");
        }
    }
}
