/* A tree as text, spans left out: two texts that mean the same give the same dump. Every field of
 * every node is in it, so that a fair copy which loses one is found. */
#ifndef TREE_DUMP_H
#define TREE_DUMP_H

#include "syntax/syntax.h"

typedef struct Dump {
    Buffer out;
    bool parens; /* tell apart what is in parentheses */
} Dump;

static inline void dump_text(Dump *dump, Text text)
{
    buffer_format(&dump->out, " <%.*s>", TEXT_ARG(text));
}

static inline void dump_name(Dump *dump, const Name *name)
{
    if (name == NULL) {
        buffer_string(&dump->out, " ~");
    } else {
        buffer_format(&dump->out, " %.*s", TEXT_ARG(name->text));
    }
}

static inline void dump_number(Dump *dump, long number)
{
    buffer_format(&dump->out, " %ld", number);
}

static inline void dump_quantity(Dump *dump, const Quantity *quantity)
{
    if (quantity == NULL) {
        buffer_string(&dump->out, " ~");
        return;
    }
    Text low = rational_print_exact(dump->out.arena, quantity->range.low);
    buffer_format(&dump->out, " [%.*s", TEXT_ARG(low));
    if (!range_is_exact(&quantity->range)) {
        Text high = rational_print_exact(dump->out.arena, quantity->range.high);
        buffer_format(&dump->out, " to %.*s", TEXT_ARG(high));
    }
    if (quantity->unit != NULL) {
        buffer_format(&dump->out, " %.*s", TEXT_ARG(quantity->unit->spelling));
    }
    buffer_format(&dump->out, "%s%s", quantity->percent ? "%" : "",
                  quantity->measured ? " measured" : "");
    if (quantity->twin != NULL) {
        dump_quantity(dump, quantity->twin);
    }
    buffer_string(&dump->out, "]");
}

static inline void dump_expr(Dump *dump, const Expr *expr)
{
    if (expr == NULL) {
        buffer_string(&dump->out, " ~");
        return;
    }
    bool parens = dump->parens && expr->parens;
    buffer_format(&dump->out, " (%d.%d.%d.%d%s", expr->kind, expr->op, expr->emptiness, expr->flag,
                  parens ? "p" : "");
    dump_name(dump, expr->name);
    if (expr->kind == EXPR_QUANTITY) {
        dump_quantity(dump, expr->quantity);
    } else if (expr->kind == EXPR_TEXT || expr->kind == EXPR_ITEM || expr->kind == EXPR_APPROVAL) {
        dump_text(dump, expr->text);
    } else if (expr->kind == EXPR_DATE) {
        dump_number(dump, expr->day);
    } else if (expr->kind == EXPR_QUANTIFIER) {
        dump_number(dump, expr->number);
    }
    dump_expr(dump, expr->a);
    dump_expr(dump, expr->b);
    dump_expr(dump, expr->c);
    for (const Expr *member = expr->list; member != NULL; member = member->next) {
        buffer_string(&dump->out, ",");
        dump_expr(dump, member);
    }
    buffer_string(&dump->out, ")");
}

static inline void dump_datum(Dump *dump, const Datum *datum)
{
    if (datum == NULL) {
        buffer_string(&dump->out, " ~");
        return;
    }
    buffer_format(&dump->out, " {%d", datum->kind);
    dump_text(dump, datum->key);
    dump_text(dump, datum->text);
    dump_number(dump, (long)datum->count);
    for (const Datum *member = datum->first; member != NULL; member = member->next) {
        dump_datum(dump, member);
    }
    buffer_string(&dump->out, "}");
}

/* ---- vocabulary ---- */

static inline void dump_words(Dump *dump, const Word *word)
{
    for (; word != NULL; word = word->next) {
        dump_name(dump, word->name);
    }
}

static inline void dump_type(Dump *dump, const TypeTree *type)
{
    buffer_format(&dump->out, " type %d %d", type->kind, type->ordered);
    dump_name(dump, type->name);
    dump_words(dump, type->words);
}

static inline void dump_fields(Dump *dump, const FieldTree *field)
{
    for (; field != NULL; field = field->next) {
        buffer_string(&dump->out, "\n  field");
        dump_name(dump, field->name);
        dump_type(dump, &field->type);
        buffer_format(&dump->out, " %d %d %d %d", field->always_present, field->key,
                      field->low_open, field->high_open);
        dump_quantity(dump, field->low);
        dump_quantity(dump, field->high);
        dump_quantity(dump, field->step);
        dump_name(dump, field->built_as);
        dump_text(dump, field->ask);
    }
}

static inline void dump_vocabulary(Dump *dump, const VocabularyTree *vocabulary)
{
    buffer_string(&dump->out, "\nvocabulary");
    dump_name(dump, vocabulary->name);
    for (const ChoiceTree *choice = vocabulary->choices; choice != NULL; choice = choice->next) {
        buffer_format(&dump->out, "\nchoice %d", choice->ordered);
        dump_name(dump, choice->name);
        dump_words(dump, choice->words);
    }
    for (const RecordTree *record = vocabulary->records; record != NULL; record = record->next) {
        buffer_string(&dump->out, "\nrecord");
        dump_name(dump, record->name);
        dump_fields(dump, record->fields);
        dump_name(dump, record->plan_x);
        dump_name(dump, record->plan_along);
        dump_name(dump, record->plan_y);
        dump_name(dump, record->plan_across);
    }
    dump_fields(dump, vocabulary->facts);
    for (const TopicTree *topic = vocabulary->topics; topic != NULL; topic = topic->next) {
        buffer_string(&dump->out, "\ntopic");
        dump_name(dump, topic->name);
        dump_text(dump, topic->title);
    }
}

/* ---- definitions and tables ---- */

static inline void dump_defines(Dump *dump, const DefineTree *define)
{
    for (; define != NULL; define = define->next) {
        buffer_string(&dump->out, "\n  define");
        dump_name(dump, define->name);
        for (const ParamTree *param = define->params; param != NULL; param = param->next) {
            dump_name(dump, param->name);
            dump_type(dump, &param->type);
        }
        dump_expr(dump, define->value);
        dump_expr(dump, define->fallback);
    }
}

static inline void dump_label(Dump *dump, const LabelTree *label)
{
    buffer_format(&dump->out, " label %d %d %d", label->kind, label->low_open, label->high_open);
    dump_name(dump, label->name);
    dump_quantity(dump, label->low);
    dump_quantity(dump, label->high);
}

static inline void dump_cell(Dump *dump, const CellTree *cell)
{
    buffer_format(&dump->out, " cell %d", cell->kind);
    dump_name(dump, cell->word);
    dump_quantity(dump, cell->quantity);
}

static inline void dump_tables(Dump *dump, const TableTree *table)
{
    for (; table != NULL; table = table->next) {
        buffer_format(&dump->out, "\ntable %d", table->otherwise);
        dump_name(dump, table->name);
        dump_text(dump, table->unit);
        dump_text(dump, table->cites);
        for (const KeyTree *key = table->keys; key != NULL; key = key->next) {
            buffer_format(&dump->out, "\n  key %d %d", key->typed, key->mode);
            dump_name(dump, key->name);
            dump_type(dump, &key->type);
        }
        for (const LabelTree *label = table->columns; label != NULL; label = label->next) {
            dump_label(dump, label);
        }
        for (const RowTree *row = table->rows; row != NULL; row = row->next) {
            buffer_string(&dump->out, "\n  row");
            dump_label(dump, row->label);
            for (const CellTree *cell = row->cells; cell != NULL; cell = cell->next) {
                dump_cell(dump, cell);
            }
        }
        if (table->otherwise_cell != NULL) {
            dump_cell(dump, table->otherwise_cell);
        }
    }
}

/* ---- sections ---- */

static inline void dump_targets(Dump *dump, const TargetTree *target)
{
    for (; target != NULL; target = target->next) {
        buffer_string(&dump->out, " target");
        dump_text(dump, target->number);
        dump_name(dump, target->part);
    }
}

static inline void dump_eachs(Dump *dump, const EachTree *each)
{
    for (; each != NULL; each = each->next) {
        buffer_format(&dump->out, "\n  each %d", each->pair);
        dump_name(dump, each->a);
        dump_name(dump, each->b);
        dump_expr(dump, each->list);
        dump_expr(dump, each->where);
    }
}

static inline void dump_lines(Dump *dump, const LineTree *line)
{
    for (; line != NULL; line = line->next) {
        buffer_format(&dump->out, "\n  line %d %d %d", line->negated, line->discretion,
                      line->absence);
        dump_name(dump, line->label);
        dump_expr(dump, line->requirement);
        dump_expr(dump, line->fallback);
        dump_text(dump, line->official);
        dump_text(dump, line->what);
    }
}

static inline void dump_readings(Dump *dump, const ReadingTree *reading)
{
    for (; reading != NULL; reading = reading->next) {
        buffer_string(&dump->out, "\n  reading");
        dump_name(dump, reading->name);
        dump_defines(dump, reading->defines);
    }
}

static inline void dump_all(Dump *dump, const Expr *expr) /* chained by next */
{
    for (; expr != NULL; expr = expr->next) {
        buffer_string(&dump->out, "\n  and");
        dump_expr(dump, expr);
    }
}

static inline void dump_exceptions(Dump *dump, const ExceptionTree *exception)
{
    for (; exception != NULL; exception = exception->next) {
        buffer_string(&dump->out, "\n  except");
        dump_name(dump, exception->to);
        dump_text(dump, exception->approval);
        dump_expr(dump, exception->condition);
        dump_text(dump, exception->by);
        for (const UnlessTree *unless = exception->unless; unless != NULL; unless = unless->next) {
            dump_expr(dump, unless->condition);
            dump_text(dump, unless->by);
        }
        dump_lines(dump, exception->lines);
        buffer_string(&dump->out, " end");
    }
}

static inline void dump_basis(Dump *dump, const BasisTree *basis)
{
    buffer_format(&dump->out, "\n  basis %d", basis->kind);
    dump_text(dump, basis->title);
    dump_number(dump, basis->day);
}

static inline void dump_body(Dump *dump, const BodyTree *body)
{
    dump_eachs(dump, body->eachs);
    dump_all(dump, body->whens);
    buffer_string(&dump->out, "\n  for units where");
    dump_all(dump, body->scopes);
    dump_defines(dump, body->defines);
    dump_readings(dump, body->readings);
    dump_lines(dump, body->lines);
    dump_exceptions(dump, body->exceptions);
    dump_text(dump, body->remedy);
    dump_basis(dump, &body->basis);
    buffer_format(&dump->out, " permit %d", body->permit.kind);
    dump_number(dump, body->permit.day);
    for (const PartTree *part = body->parts; part != NULL; part = part->next) {
        buffer_format(&dump->out, " %d", part->kind);
    }
}

static inline void dump_standing(Dump *dump, const StandingTree *standing)
{
    dump_text(dump, standing->rank);
    dump_name(dump, standing->authority);
    buffer_format(&dump->out, " %d %d %d", standing->advises, standing->stages, standing->rework);
}

static inline void dump_section(Dump *dump, const SectionTree *section)
{
    buffer_string(&dump->out, "\nsection");
    dump_text(dump, section->number);
    dump_name(dump, section->part);
    dump_text(dump, section->heading);
    dump_name(dump, section->topic);
    dump_standing(dump, &section->standing);
    dump_targets(dump, section->notwithstanding);
    dump_targets(dump, section->formerly);
    dump_number(dump, section->never_waived);
    for (const StetTree *stet = section->stets; stet != NULL; stet = stet->next) {
        dump_text(dump, stet->message);
        dump_text(dump, stet->reason);
    }
    dump_body(dump, &section->body);
}

/* ---- worksheets and worked examples ---- */

static inline void dump_worksheets(Dump *dump, const WorksheetTree *worksheet)
{
    for (; worksheet != NULL; worksheet = worksheet->next) {
        buffer_string(&dump->out, "\nworksheet");
        dump_name(dump, worksheet->name);
        dump_text(dump, worksheet->title);
        dump_eachs(dump, worksheet->eachs);
        dump_defines(dump, worksheet->defines);
        for (const StepTree *step = worksheet->steps; step != NULL; step = step->next) {
            buffer_string(&dump->out, "\n  step");
            dump_name(dump, step->name);
            dump_text(dump, step->title);
            dump_expr(dump, step->value);
            dump_expr(dump, step->fallback);
            dump_text(dump, step->unit);
            dump_text(dump, step->cites);
        }
    }
}

static inline void dump_settings(Dump *dump, const SettingTree *setting)
{
    for (; setting != NULL; setting = setting->next) {
        buffer_format(&dump->out, "\n  setting %d", setting->lead.end > 0);
        dump_expr(dump, setting->path);
        dump_datum(dump, setting->value);
    }
}

static inline void dump_examples(Dump *dump, const ExampleTree *example)
{
    for (; example != NULL; example = example->next) {
        buffer_format(&dump->out, "\nexample %d %ld", example->dated, (long)example->on);
        dump_text(dump, example->title);
        dump_text(dump, example->from);
        dump_settings(dump, example->with);
        dump_settings(dump, example->facts);
        for (const ExpectedTree *expected = example->expected; expected != NULL;
             expected = expected->next) {
            buffer_format(&dump->out, "\n  finds %d", expected->outcome);
            dump_targets(dump, &expected->target);
            dump_name(dump, expected->label);
            for (const Datum *item = expected->items; item != NULL; item = item->next) {
                dump_datum(dump, item);
            }
            dump_datum(dump, expected->measured);
            dump_datum(dump, expected->limit);
            for (const Expr *path = expected->waits; path != NULL; path = path->next) {
                dump_expr(dump, path);
            }
        }
    }
}

/* ---- codes and jurisdictions ---- */

static inline void dump_code(Dump *dump, const CodeTree *code)
{
    buffer_string(&dump->out, "\ncode");
    dump_name(dump, code->name);
    dump_text(dump, code->edition);
    buffer_format(&dump->out, " %d %ld", code->continued, (long)code->published);
    dump_targets(dump, code->reserved);
    dump_all(dump, code->scopes);
    dump_text(dump, code->title);
    dump_text(dump, code->publisher);
    dump_name(dump, code->vocabulary);
    for (size_t i = 0; i < code->rank_count; i++) {
        dump_text(dump, code->ranks[i]);
    }
    dump_standing(dump, &code->standing);
    dump_basis(dump, &code->basis);
    for (const SectionTree *section = code->sections; section != NULL; section = section->next) {
        dump_section(dump, section);
    }
    for (const OmittedTree *omitted = code->omitted; omitted != NULL; omitted = omitted->next) {
        dump_targets(dump, &omitted->target);
        dump_text(dump, omitted->reason);
    }
    dump_defines(dump, code->defines);
    dump_tables(dump, code->tables);
    dump_worksheets(dump, code->worksheets);
    dump_readings(dump, code->readings);
    dump_examples(dump, code->examples);
}

static inline void dump_change(Dump *dump, const ChangeTree *change)
{
    buffer_format(&dump->out, "\n change %d %d", change->kind, change->fate);
    dump_text(dump, change->carried_to);
    dump_targets(dump, change->targets);
    dump_body(dump, &change->body);
    dump_name(dump, change->label);
    dump_expr(dump, change->limit);
    dump_exceptions(dump, change->exception);
    dump_text(dump, change->cite);
    dump_text(dump, change->number);
    dump_name(dump, change->code);
    for (const Word *topic = change->topics; topic != NULL; topic = topic->next) {
        dump_name(dump, topic->name);
    }
    dump_expr(dump, change->scope);
    dump_text(dump, change->act);
    buffer_format(&dump->out, " %d %ld", change->reserve, (long)change->day);
    if (change->section != NULL) {
        dump_section(dump, change->section);
    }
}

static inline void dump_jurisdiction(Dump *dump, const JurisdictionTree *jurisdiction)
{
    buffer_format(&dump->out, "\njurisdiction %d", jurisdiction->continued);
    dump_name(dump, jurisdiction->name);
    dump_text(dump, jurisdiction->title);
    dump_name(dump, jurisdiction->within);
    for (const BlockTree *block = jurisdiction->blocks; block != NULL; block = block->next) {
        buffer_format(&dump->out, "\nblock %d %d %d %d %d", block->amends, block->rolling,
                      block->rolling_day, block->rolling_month, block->emergency);
        const Day days[] = {block->from, block->until, block->passed, block->filed,
                            block->effective};
        for (size_t i = 0; i < sizeof days / sizeof *days; i++) {
            dump_number(dump, days[i]);
        }
        dump_name(dump, block->code);
        dump_text(dump, block->edition);
        dump_text(dump, block->by);
        for (const ChangeTree *change = block->changes; change != NULL; change = change->next) {
            dump_change(dump, change);
        }
    }
    dump_defines(dump, jurisdiction->defines);
    dump_tables(dump, jurisdiction->tables);
    dump_worksheets(dump, jurisdiction->worksheets);
    dump_examples(dump, jurisdiction->examples);
}

static inline void dump_place(Dump *dump, const PlaceTree *place)
{
    buffer_string(&dump->out, "\nplace");
    dump_name(dump, place->name);
    dump_text(dump, place->title);
    for (const HolderTree *holder = place->holders; holder != NULL; holder = holder->next) {
        buffer_format(&dump->out, "\n  row %d", holder->otherwise);
        dump_name(dump, holder->authority);
        dump_name(dump, holder->jurisdiction);
        dump_expr(dump, holder->where);
        dump_text(dump, holder->by);
    }
}

static inline Text tree_dump(Arena *arena, const FileTree *file, bool parens)
{
    Dump dump = {.out = buffer_make(arena), .parens = parens};
    for (const ItemTree *item = file->items; item != NULL; item = item->next) {
        switch ((ItemKind)item->kind) {
        case ITEM_VOCABULARY: dump_vocabulary(&dump, item->vocabulary); break;
        case ITEM_CODE: dump_code(&dump, item->code); break;
        case ITEM_JURISDICTION: dump_jurisdiction(&dump, item->jurisdiction); break;
        case ITEM_PLACE: dump_place(&dump, item->place); break;
        }
    }
    return buffer_done(&dump.out);
}

#endif
