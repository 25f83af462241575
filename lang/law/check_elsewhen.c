/* What a jurisdiction names of codes that are in force on other dates only. Its definitions and
 * worksheets have no dates of their own: one that names a step of an edition stands as long as
 * that edition is in force, and on other dates is left out without a message. */
#include "law/check.h"

/* ---- does a code name it? ---- */

static bool defines_name(const DefineTree *define, const Name *name)
{
    while (define != NULL && define->name != name) {
        define = define->next;
    }
    return define != NULL;
}

static bool code_names(const CodeTree *code, const Name *name, const Name *step)
{
    for (const WorksheetTree *sheet = code->worksheets; sheet != NULL; sheet = sheet->next) {
        const StepTree *at = sheet->steps;
        while (step != NULL && at != NULL && at->name != step) {
            at = at->next;
        }
        if (sheet->name == name && (step == NULL || at != NULL)) {
            return true;
        }
    }
    const TableTree *table = code->tables;
    while (table != NULL && table->name != name) {
        table = table->next;
    }
    bool found = table != NULL || defines_name(code->defines, name);
    for (const ReadingTree *at = code->readings; at != NULL && !found; at = at->next) {
        found = defines_name(at->defines, name);
    }
    return found && step == NULL;
}

/* Some edition that the block puts in force. */
static bool block_names(const Check *c, const BlockTree *block, const Name *name, const Name *step)
{
    for (uint32_t i = 0; i < c->library->code_count && !block->amends; i++) {
        const CodeTree *code = c->library->codes[i];
        bool adopted = code->name == block->code &&
                       (block->rolling || text_equal(code->edition, block->edition));
        if (adopted && code_names(code, name, step)) {
            return true;
        }
    }
    return false;
}

void elsewhen_note(Check *c, const Name *name, const Name *step)
{
    for (uint32_t i = 0; i < c->tree->level_count && c->attempt != NULL; i++) {
        for (const BlockTree *block = c->tree->levels[i]->blocks; block != NULL;
             block = block->next) {
            c->attempt->elsewhen = c->attempt->elsewhen || block_names(c, block, name, step);
        }
    }
}

/* ---- an attempt ---- */

void attempt_begin(Check *c, Attempt *attempt)
{
    *attempt = (Attempt){.diags = diagnostics_make(c->arena), .former = c->diags};
    c->diags = &attempt->diags;
    c->attempt = attempt;
}

bool attempt_end(Check *c, Attempt *attempt)
{
    Diagnostics *to = attempt->former;
    const Diagnostics *from = &attempt->diags;
    c->diags = to;
    c->attempt = NULL;
    if (attempt->elsewhen || from->first == NULL) {
        return !attempt->elsewhen;
    }
    if (to->last == NULL) {
        to->first = from->first;
    } else {
        to->last->next = from->first;
    }
    to->last = from->last;
    to->errors += from->errors;
    to->warnings += from->warnings;
    return true;
}
