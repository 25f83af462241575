/* Jurisdictions, their blocks and changes, and places in the fair copy. */
#include "syntax/faircopy.h"

/* ---- changes ---- */

static void put_fate(Printer *printer, const ChangeTree *change)
{
    if (change->fate == FATE_LAPSES) {
        copy_string(printer, "  lapses");
    } else if (change->fate == FATE_CARRIES_OVER) {
        copy_string(printer, "  carries over");
        if (change->carried_to.len > 0) {
            copy_string(printer, " to ");
            copy_quoted(printer, change->carried_to);
        }
    }
}

static void put_exception_change(Printer *printer, const ChangeTree *change, size_t indent)
{
    if (change->kind == CHANGE_EXCEPTION_TO_READ) {
        copy_string(printer, " exception ");
        copy_quoted(printer, change->cite);
        copy_string(printer, " to read");
    } else {
        copy_string(printer, " to add");
    }
    printer->fresh = true;
    copy_line(printer, change->exception->span.start, indent + COPY_STEP);
    copy_exception(printer, change->exception, indent + COPY_STEP);
}

static void put_amendment(Printer *printer, const ChangeTree *change, size_t indent)
{
    copy_string(printer, "amend ");
    copy_target(printer, change->targets);
    if (change->kind == CHANGE_LIMIT) {
        copy_string(printer, " limit ");
        if (change->label != NULL) {
            copy_name(printer, change->label);
            copy_string(printer, " ");
        }
        copy_string(printer, "to ");
        copy_expr(printer, change->limit, indent + COPY_DEEP);
        return;
    }
    if (change->kind == CHANGE_EXCEPTION_DELETE) {
        copy_string(printer, " to delete exception ");
        copy_quoted(printer, change->cite);
        return;
    }
    Span span = {change->span.start, change->read_end.end};
    if (change->kind != CHANGE_TO_READ) {
        put_exception_change(printer, change, indent);
        copy_end(printer, span, indent);
        return;
    }
    copy_string(printer, " to read");
    printer->fresh = true;
    copy_clauses(printer, change->body.parts, indent + COPY_STEP);
    copy_end(printer, span, indent);
}

static void put_from(Printer *printer, const ChangeTree *change)
{
    if (change->day != DAY_UNSAID) {
        copy_string(printer, " from ");
        copy_text(printer, date_print(printer->arena, change->day));
    }
}

static void put_topics(Printer *printer, const Word *topic)
{
    for (const char *between = ""; topic != NULL; topic = topic->next, between = ", ") {
        copy_string(printer, between);
        copy_name(printer, topic->name);
    }
}

static void put_no_local(Printer *printer, const ChangeTree *change)
{
    copy_string(printer, "not to be amended locally ");
    if (change->targets == NULL) {
        copy_string(printer, "in any section");
    } else {
        copy_targets(printer, change->targets);
    }
    put_from(printer, change);
}

static void put_prevails(Printer *printer, const ChangeTree *change)
{
    copy_string(printer, "prevails over ");
    copy_name(printer, change->code);
    if (change->topics != NULL) {
        copy_string(printer, " on ");
        put_topics(printer, change->topics);
    }
}

/* What one act says of another. */
static void put_act(Printer *printer, const ChangeTree *change)
{
    copy_string(printer, change->kind == CHANGE_REPEALS   ? "repeals "
                         : change->kind == CHANGE_EXTENDS ? "extends "
                                                          : "postpones ");
    copy_quoted(printer, change->act);
    if (change->kind != CHANGE_REPEALS) {
        copy_string(printer, " until ");
        copy_text(printer, date_print(printer->arena, change->day));
    } else if (change->targets != NULL) {
        copy_string(printer, " in ");
        copy_targets(printer, change->targets);
    }
}

static void put_change(Printer *printer, const ChangeTree *change, size_t indent)
{
    switch ((ChangeKind)change->kind) {
    case CHANGE_TO_READ:
    case CHANGE_EXCEPTION_TO_READ:
    case CHANGE_EXCEPTION_DELETE:
    case CHANGE_EXCEPTION_INSERT:
    case CHANGE_LIMIT: put_amendment(printer, change, indent); break;
    case CHANGE_DELETE:
        copy_string(printer, change->reserve ? "delete and reserve " : "delete ");
        copy_targets(printer, change->targets);
        break;
    case CHANGE_INSERT:
        copy_string(printer, "insert ");
        copy_section(printer, change->section, indent);
        break;
    case CHANGE_APPLIES_READING:
        copy_string(printer, "applies reading ");
        copy_name(printer, change->label);
        if (change->targets != NULL) {
            copy_string(printer, " in ");
            copy_target(printer, change->targets);
        }
        break;
    case CHANGE_LOCAL_FLOOR:
        copy_string(printer, "locally at least as strict in ");
        copy_targets(printer, change->targets);
        break;
    case CHANGE_NO_LOCAL: put_no_local(printer, change); break;
    case CHANGE_NO_WAIVER:
        copy_string(printer, "not to be waived ");
        copy_targets(printer, change->targets);
        break;
    case CHANGE_RENUMBER:
        copy_string(printer, "renumber ");
        copy_target(printer, change->targets);
        copy_string(printer, " as ");
        copy_quoted(printer, change->number);
        break;
    case CHANGE_PREEMPTS:
        copy_string(printer, "preempts local law on ");
        put_topics(printer, change->topics);
        put_from(printer, change);
        break;
    case CHANGE_PREVAILS: put_prevails(printer, change); break;
    case CHANGE_FOR_UNITS: copy_for_units(printer, change->scope, indent + COPY_DEEP); break;
    case CHANGE_REPEALS:
    case CHANGE_EXTENDS:
    case CHANGE_POSTPONES: put_act(printer, change); break;
    }
    put_fate(printer, change);
}

static bool is_tall_change(const ChangeTree *change)
{
    return change->kind == CHANGE_TO_READ || change->kind == CHANGE_INSERT ||
           change->kind == CHANGE_EXCEPTION_TO_READ || change->kind == CHANGE_EXCEPTION_INSERT;
}

static void put_force(Printer *printer, const BlockTree *block)
{
    static const char *const months[] = {"",        "January",  "February", "March",  "April",
                                         "May",     "June",     "July",     "August", "September",
                                         "October", "November", "December"};
    if (block->rolling) {
        copy_string(printer, " each edition  in force from ");
        copy_text(printer, text_format(printer->arena, "%u %s after publication",
                                       block->rolling_day, months[block->rolling_month]));
        return;
    }
    copy_edition(printer, block->edition);
    copy_string(printer, "  in force from ");
    copy_text(printer, date_print(printer->arena, block->from));
    if (block->until != DAY_FOREVER) {
        copy_string(printer, " until ");
        copy_text(printer, date_print(printer->arena, block->until));
    }
}

/* The act, and the dates that it has besides the one on which it comes into force. */
static void put_history(Printer *printer, const BlockTree *block, size_t indent)
{
    Buffer out = buffer_make(printer->arena);
    const char *const words[] = {"passed", "filed", "effective"};
    const Day days[] = {block->passed, block->filed, block->effective};
    for (size_t i = 0; i < sizeof days / sizeof days[0]; i++) {
        if (days[i] != DAY_UNSAID) {
            buffer_format(&out, " %s %.*s", words[i],
                          TEXT_ARG(date_print(printer->arena, days[i])));
        }
    }
    buffer_string(&out, block->emergency ? " emergency" : "");
    Text history = buffer_done(&out);
    Text by =
        text_format(printer->arena, "  by %.*s", TEXT_ARG(text_quoted(printer->arena, block->by)));
    bool is_whole =
        history.len == 0 || copy_fits(printer, text_format(printer->arena, "%.*s %.*s",
                                                           TEXT_ARG(by), TEXT_ARG(history)));
    copy_text(printer, by);
    if (is_whole) {
        copy_string(printer, history.len > 0 ? " " : "");
        copy_text(printer, history);
    } else {
        copy_wrap(printer, 0, indent + COPY_DEEP);
        copy_text(printer, (Text){history.data + 1, history.len - 1});
    }
}

static void put_block(Printer *printer, const BlockTree *block, size_t indent)
{
    copy_string(printer, block->amends ? "amends " : "adopts ");
    copy_name(printer, block->code);
    put_force(printer, block);
    put_history(printer, block, indent);
    printer->fresh = true;
    const ChangeTree *before = NULL;
    for (const ChangeTree *change = block->changes; change != NULL; change = change->next) {
        printer->apart = before != NULL && (is_tall_change(change) || is_tall_change(before));
        copy_line(printer, change->span.start, indent + COPY_STEP);
        put_change(printer, change, indent + COPY_STEP);
        before = change;
    }
}

void copy_jurisdiction(Printer *printer, const JurisdictionTree *jurisdiction)
{
    copy_string(printer, "jurisdiction ");
    copy_name(printer, jurisdiction->name);
    copy_string(printer, " ");
    if (jurisdiction->continued) {
        copy_string(printer, "continued");
    } else {
        copy_quoted(printer, jurisdiction->title);
    }
    if (jurisdiction->within != NULL) {
        copy_string(printer, " within ");
        copy_name(printer, jurisdiction->within);
    }
    printer->fresh = true;
    size_t width = 0;
    const PartTree *before = NULL;
    for (const PartTree *part = jurisdiction->parts; part != NULL; part = part->next) {
        bool goes_on = before != NULL && before->kind == PART_DEFINE &&
                       !copy_is_apart(printer, part->span.start);
        width = goes_on ? width : copy_run_width(printer, part);
        printer->apart = before != NULL && (part_is_tall(part) || part_is_tall(before));
        copy_line(printer, part->span.start, COPY_STEP);
        if (part->kind == PART_BLOCK) {
            put_block(printer, part->node, COPY_STEP);
        } else {
            copy_common(printer, part, width, COPY_STEP);
        }
        before = part;
    }
    copy_end(printer, jurisdiction->span, 0);
}

/* ---- places ---- */

enum { HOLDER_WIDTH_MAX = 16 }; /* a longer authority does not move the column */

void copy_place(Printer *printer, const PlaceTree *place)
{
    copy_string(printer, "place ");
    copy_name(printer, place->name);
    copy_string(printer, " ");
    copy_quoted(printer, place->title);
    printer->fresh = true;
    size_t width = 0;
    for (const HolderTree *holder = place->holders; holder != NULL; holder = holder->next) {
        size_t len = holder->authority->text.len;
        width = len > width && len <= HOLDER_WIDTH_MAX ? len : width;
    }
    for (const HolderTree *holder = place->holders; holder != NULL; holder = holder->next) {
        copy_line(printer, holder->span.start, COPY_STEP);
        copy_name(printer, holder->authority);
        copy_pad(printer, COPY_STEP + width + 1);
        copy_string(printer, "decided by ");
        copy_name(printer, holder->jurisdiction);
        if (holder->where != NULL) {
            copy_string(printer, " where ");
            copy_expr(printer, holder->where, COPY_STEP + COPY_DEEP);
        }
        copy_string(printer, holder->otherwise ? " otherwise" : "");
        if (holder->by.len > 0) {
            copy_string(printer, " by ");
            copy_quoted(printer, holder->by);
        }
    }
    copy_end(printer, place->span, 0);
}
