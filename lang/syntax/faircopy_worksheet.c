/* Worksheets, checklists and confirmations in the fair copy. */
#include "syntax/faircopy.h"

#include <string.h>

/* ---- worksheets ---- */

typedef struct StepWidths {
    size_t name;
    size_t title;
    size_t define;
} StepWidths;

static StepWidths step_widths(Printer *printer, const PartTree *parts)
{
    enum { TITLE_WIDTH_MAX = 48 };
    StepWidths widths = {0};
    for (const PartTree *part = parts; part != NULL; part = part->next) {
        if (part->kind == PART_DEFINE) {
            size_t define = define_width(part->node);
            widths.define = define > widths.define ? define : widths.define;
        }
        if (part->kind != PART_STEP) {
            continue;
        }
        const StepTree *step = part->node;
        size_t title = utf8_width(text_quoted(printer->arena, step->title));
        widths.name = step->name->text.len > widths.name ? step->name->text.len : widths.name;
        widths.title = title > widths.title && title <= TITLE_WIDTH_MAX ? title : widths.title;
    }
    return widths;
}

static void put_step(Printer *printer, const char *word, const StepTree *step,
                     const StepWidths *widths, size_t indent)
{
    size_t title = indent + strlen(word) + widths->name + COPY_STEP;
    copy_string(printer, word);
    copy_name(printer, step->name);
    copy_pad(printer, title);
    copy_quoted(printer, step->title);
    size_t least = copy_column(printer) + COPY_STEP;
    size_t value = title + widths->title + COPY_STEP;
    value = value > least ? value : least;
    if (value + utf8_width(expr_flat(printer->arena, step->value)) <= printer->width) {
        copy_pad(printer, value);
    } else {
        copy_wrap(printer, step->value->span.start, indent + COPY_DEEP);
    }
    copy_expr(printer, step->value, copy_column(printer));
    if (step->fallback != NULL) {
        copy_fallback(printer, step->fallback, indent + COPY_DEEP);
    }
    if (step->unit.len > 0) {
        copy_string(printer, "  in ");
        copy_text(printer, step->unit);
    }
    if (step->cites.len > 0) {
        copy_string(printer, "  cites ");
        copy_quoted(printer, step->cites);
    }
}

static void put_sheet(Printer *printer, const char *word, const WorksheetTree *worksheet,
                      size_t indent)
{
    copy_string(printer, word);
    copy_name(printer, worksheet->name);
    copy_string(printer, "  ");
    copy_quoted(printer, worksheet->title);
    printer->fresh = true;
    size_t inner = indent + COPY_STEP;
    bool is_schedule = word[0] == 's';
    StepWidths widths = step_widths(printer, worksheet->parts);
    for (const PartTree *part = worksheet->parts; part != NULL; part = part->next) {
        copy_line(printer, part->span.start, inner);
        if (part->kind == PART_EACH) {
            copy_each(printer, part->node, inner + strlen("define "));
        } else if (part->kind == PART_STEP) {
            put_step(printer, is_schedule ? "column " : "step ", part->node, &widths, inner);
        } else if (part->kind == PART_WHEN) {
            copy_string(printer, "when ");
            copy_expr(printer, part->node, inner + strlen("when "));
        } else if (part->kind == PART_SCHEDULE) {
            put_sheet(printer, "schedule ", part->node, inner);
        } else if (part->kind == PART_NOTE) {
            copy_string(printer, "note ");
            copy_quoted(printer, part->text);
        } else {
            copy_string(printer, "define ");
            copy_define(printer, part->node, widths.define, inner + strlen("define "));
        }
    }
    copy_end(printer, worksheet->span, indent);
}

void copy_worksheet(Printer *printer, const WorksheetTree *worksheet, size_t indent)
{
    put_sheet(printer, "worksheet ", worksheet, indent);
}

/* ---- checklists and confirmations ---- */

static void put_check_line(Printer *printer, const CheckLineTree *line, size_t indent)
{
    copy_string(printer, "line ");
    copy_quoted(printer, line->title);
    Buffer out = buffer_make(printer->arena);
    if (line->targets == NULL && line->omitted.len == 0 && line->official.len == 0) {
        return;
    }
    if (line->targets == NULL) {
        bool is_omitted = line->omitted.len > 0;
        Text said = is_omitted ? line->omitted : line->official;
        buffer_string(&out, is_omitted ? "omitted " : "at the discretion of ");
        buffer_text(&out, text_quoted(printer->arena, said));
    }
    for (const TargetTree *target = line->targets; target != NULL; target = target->next) {
        buffer_string(&out, target == line->targets ? "cites " : ", ");
        buffer_text(&out, text_quoted(printer->arena, target->number));
        if (target->part != NULL) {
            buffer_format(&out, " part %.*s", TEXT_ARG(target->part->text));
        }
    }
    Text answer = buffer_done(&out);
    if (copy_fits(printer, text_format(printer->arena, "  %.*s", TEXT_ARG(answer)))) {
        copy_string(printer, "  ");
    } else {
        copy_wrap(printer, 0, indent + COPY_DEEP);
    }
    copy_text(printer, answer);
}

void copy_checklist(Printer *printer, const ChecklistTree *checklist, size_t indent)
{
    copy_string(printer, "checklist ");
    copy_name(printer, checklist->name);
    copy_string(printer, "  ");
    copy_quoted(printer, checklist->title);
    if (checklist->from.len > 0) {
        copy_string(printer, " from ");
        copy_quoted(printer, checklist->from);
    }
    printer->fresh = true;
    for (const CheckLineTree *line = checklist->lines; line != NULL; line = line->next) {
        copy_line(printer, line->span.start, indent + COPY_STEP);
        put_check_line(printer, line, indent + COPY_STEP);
    }
    copy_end(printer, checklist->span, indent);
}

void copy_confirmed(Printer *printer, const ConfirmedTree *confirmed)
{
    copy_string(printer, "confirmed ");
    if (confirmed->targets != NULL) {
        copy_targets(printer, confirmed->targets);
        copy_string(printer, " ");
    }
    copy_string(printer, "by ");
    copy_quoted(printer, confirmed->office);
    copy_string(printer, " on ");
    copy_text(printer, date_print(printer->arena, confirmed->day));
    copy_string(printer, " letter ");
    copy_quoted(printer, confirmed->letter);
}
