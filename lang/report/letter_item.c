/* One numbered item of the letter: a section and the findings under it. The measure stands in
 * words and figures, the remedy as a command, the citation last. */
#include "report/cite.h"
#include "report/letter.h"
#include "report/measure.h"

enum { TERMS_SHOWN = 8 };

/* ---- one line of a finding ---- */

enum { NAME_LONGEST = 60 };

static bool is_number(const Part *part)
{
    return part->line->measured != NULL && part->line->measured->type.class == CLASS_NUMBER;
}

/* The line's label, else the name of what is measured, else the sum itself while it is short. */
static Text label_words(Letter *letter, const Telling *telling, const Part *part)
{
    const Line *line = part->line;
    if (line->label != NULL) {
        return line->label->text;
    }
    Text name = part->has_measure || part->absent ? measure_name(letter->arena, part) : TEXT("");
    if (name.len == 0 && part->has_measure && line->measured->expr != NULL) {
        name = telling_expr(telling, line->measured->expr);
        name = name.len > NAME_LONGEST ? TEXT("") : name;
    }
    return name;
}

/* "width measured 25 in, limit at most 24 in: over by 1 in (4.2%)". */
static Text measure_line(Letter *letter, const Telling *telling, const Part *part)
{
    Text name = label_words(letter, telling, part);
    Text measured = measured_words(letter->arena, part);
    Text margin = margin_words(letter->arena, part);
    Text limit = limit_words(letter->arena, part);
    Buffer out = buffer_make(letter->arena);
    if (name.len > 0) {
        buffer_format(&out, "%.*s ", TEXT_ARG(name));
    }
    if (part->absent) {
        buffer_string(&out, "absent, and required");
    } else if (value_says_something(&part->measured)) {
        buffer_format(&out, "%s%.*s", is_number(part) ? "measured " : "is ", TEXT_ARG(measured));
    } else {
        buffer_string(&out, "not known");
    }
    if (limit.len > 0) {
        buffer_format(&out, ", limit %.*s", TEXT_ARG(limit));
    }
    if (margin.len > 0) {
        buffer_format(&out, ": %.*s", TEXT_ARG(margin));
    }
    return buffer_done(&out);
}

static const char *requirement_verb(const Part *part)
{
    if (part->absent) {
        return "absent, and required: ";
    }
    if (part->line->negated) {
        return "not allowed: ";
    }
    return part->outcome == OUTCOME_COMPLIES || part->outcome == OUTCOME_EXCUSED ? ""
                                                                                 : "required: ";
}

static Text requirement_line(Letter *letter, const Telling *telling, const Part *part)
{
    Text name = label_words(letter, telling, part);
    Text requirement = part_requirement(telling, part);
    return text_format(letter->arena, "%.*s%s%s%.*s", TEXT_ARG(name), name.len > 0 ? ": " : "",
                       requirement_verb(part), TEXT_ARG(requirement));
}

static Text discretion_line(Letter *letter, const Telling *telling, const Part *part)
{
    const Line *line = part->line;
    Text grounds = part_grounds(telling, part);
    if (part->outcome == OUTCOME_CORRECTION) {
        return text_format(letter->arena, "%.*s: refused by the %.*s (%.*s)", TEXT_ARG(line->what),
                           TEXT_ARG(line->official), TEXT_ARG(grounds));
    }
    if (part->decision != NULL) {
        return text_format(letter->arena, "%.*s: approved (%.*s)", TEXT_ARG(line->what),
                           TEXT_ARG(grounds));
    }
    return text_format(letter->arena, "The %.*s decides: %.*s.", TEXT_ARG(line->official),
                       TEXT_ARG(line->what));
}

static Text part_words(Letter *letter, const Telling *telling, const Part *part)
{
    if (part->line->discretion) {
        return discretion_line(letter, telling, part);
    }
    return part->has_measure ? measure_line(letter, telling, part)
                             : requirement_line(letter, telling, part);
}

/* ---- where the figures come from ---- */

static Text term_words(Letter *letter, const Term *term, bool with_value)
{
    Buffer out = buffer_make(letter->arena);
    buffer_text(&out, term->name);
    const Fact *fact = term->item == NULL ? NULL : item_fact(term->item, term->field);
    if (fact != NULL && fact->state == FACT_UNSTATED) {
        buffer_string(&out, " not stated");
    } else if (with_value) {
        Text value = value_words(letter->arena, &term->value, term->type, term->unit, NULL);
        bool point = value_is_point(&term->value) || term->value.can == CAN_BE_NONE;
        bool known = point || value_says_something(&term->value);
        buffer_format(&out, "%s%.*s", point ? " = " : " ",
                      TEXT_ARG(known ? value : TEXT("not known")));
    }
    Text from = fact == NULL ? TEXT("") : provenance_words(letter->arena, fact->provenance);
    if (from.len > 0) {
        buffer_format(&out, " (%.*s)", TEXT_ARG(from));
    }
    return buffer_done(&out);
}

/* A line that measures one fact tells its value already. */
static bool tells_nothing(const Part *part, const Term *terms, uint32_t count)
{
    if (count == 0) {
        return true;
    }
    if (count > 1 || !part->has_measure || terms[0].item == NULL) {
        return false;
    }
    const Fact *fact = item_fact(terms[0].item, terms[0].field);
    return fact == NULL || fact->provenance == NULL;
}

static void put_terms(Letter *letter, const Telling *telling, const Part *part, unsigned indent)
{
    uint32_t count = 0;
    const Term *terms = part_terms(telling, part, &count);
    if (tells_nothing(part, terms, count)) {
        return;
    }
    bool with_value = count > 1 || !part->has_measure || terms[0].item == NULL;
    Buffer out = buffer_make(letter->arena);
    buffer_string(&out, part->has_measure ? "from " : "stated: ");
    for (uint32_t i = 0; i < count && i < TERMS_SHOWN; i++) {
        buffer_string(&out, i > 0 ? ", " : "");
        buffer_text(&out, term_words(letter, &terms[i], with_value));
    }
    if (count > TERMS_SHOWN) {
        buffer_format(&out, ", and %u more", count - TERMS_SHOWN);
    }
    paper_wrap(&letter->paper, indent, indent + 2, buffer_done(&out));
}

static void put_part(Letter *letter, const Telling *telling, const Part *part, unsigned indent)
{
    paper_wrap(&letter->paper, indent, indent + 2, part_words(letter, telling, part));
    put_terms(letter, telling, part, indent + 2);
    Text straddle = part->outcome == OUTCOME_INFORMATION_REQUIRED
                        ? straddle_words(letter->arena, part)
                        : TEXT("");
    if (straddle.len > 0) {
        paper_wrap(&letter->paper, indent + 2, indent + 2, straddle);
    }
    Text bounds = bounds_words(letter->arena, part);
    if (bounds.len > 0) {
        paper_format(&letter->paper, indent + 2, indent + 2,
                     "rests on the vocabulary's bound of what is not stated: %.*s",
                     TEXT_ARG(bounds));
    }
}

/* ---- a finding ---- */

static void put_grounds(Letter *letter, const Telling *telling, const Part *part, unsigned indent)
{
    Text grounds = part_grounds(telling, part);
    if (grounds.len > 0 && part->outcome == OUTCOME_EXCUSED) {
        paper_format(&letter->paper, indent, indent + 2, "excused by: %.*s", TEXT_ARG(grounds));
    } else if (grounds.len > 0 && part->decision != NULL && !part->line->discretion) {
        paper_format(&letter->paper, indent, indent + 2, "beyond what was granted: %.*s",
                     TEXT_ARG(grounds));
    } else if (grounds.len > 0 && part->exception != NULL) {
        paper_format(&letter->paper, indent, indent + 2, "judged under the %.*s",
                     TEXT_ARG(grounds));
    }
}

/* A line that passes beside one that does not. */
static void put_passing(Letter *letter, const Telling *telling, const Part *part, unsigned indent)
{
    Text words = part_words(letter, telling, part);
    paper_format(&letter->paper, indent, indent + 2, "%.*s [%s]", TEXT_ARG(words),
                 outcome_word((Outcome)part->outcome));
    if (part->outcome == OUTCOME_EXCUSED) {
        put_grounds(letter, telling, part, indent + 2);
    }
}

static void put_readings(Letter *letter, const Finding *finding, unsigned indent)
{
    for (const Finding *at = finding->readings; at != NULL; at = at->next_reading) {
        const Name *reading = at->text->reading;
        Text name = reading == NULL ? TEXT("as written") : reading->text;
        paper_format(&letter->paper, indent, indent + 2, "Read as %.*s: %s.", TEXT_ARG(name),
                     outcome_word((Outcome)at->outcome));
        Telling telling = telling_of(letter->arena, letter->review, at);
        for (uint32_t i = 0; i < at->part_count; i++) {
            put_part(letter, &telling, &at->parts[i], indent + 2);
        }
    }
}

void letter_reasons(Letter *letter, const Telling *telling, unsigned indent)
{
    const Finding *finding = telling->finding;
    if (finding->by_reading) {
        put_readings(letter, finding, indent);
        return;
    }
    for (uint32_t i = 0; i < finding->part_count; i++) {
        const Part *part = &finding->parts[i];
        if (part->outcome == finding->outcome) {
            put_part(letter, telling, part, indent);
            put_grounds(letter, telling, part, indent + 2);
        } else if (part->outcome != OUTCOME_NOT_APPLICABLE) {
            put_passing(letter, telling, part, indent);
        }
    }
    if (finding->outcome == OUTCOME_INFORMATION_REQUIRED && finding->wanted_count > 0) {
        Text waited = wanted_list_words(letter->arena, finding->wanted, finding->wanted_count);
        paper_format(&letter->paper, indent, indent + 2, "waits for %.*s", TEXT_ARG(waited));
    }
}

/* ---- an item ---- */

static const char *marks_of(const Finding *finding)
{
    if (finding->section->advises && finding->outcome == OUTCOME_CORRECTION) {
        return finding->floor ? " (advisory; the upper level's text, kept as a floor)"
                              : " (advisory)";
    }
    return finding->floor ? " (the upper level's text, kept as a floor)" : "";
}

void letter_numbered(Letter *letter, Text heading, Text place)
{
    Text number = text_format(letter->arena, "%u.", ++letter->number);
    unsigned used = (unsigned)number.len + 1;
    Text left = text_format(letter->arena, BOLD_ON "%.*s %.*s" BOLD_OFF, TEXT_ARG(number),
                            TEXT_ARG(heading));
    paper_apart(&letter->paper, used < LETTER_INDENT ? LETTER_INDENT - used : 0, LETTER_INDENT,
                left, place);
}

static void put_heading(Letter *letter, const Group *group, const Telling *first, bool numbered)
{
    const Finding *finding = group->findings[0];
    Text heading = finding->section->heading;
    if (heading.len == 0) {
        heading = section_words(letter->arena, finding->section);
    }
    heading = text_format(letter->arena, "%.*s%s", TEXT_ARG(heading), marks_of(finding));
    Text items = group->count == 1 ? telling_items(first) : TEXT("");
    Text place = group->count == 1 ? place_words(letter->arena, telling_place(first)) : TEXT("");
    Text beside = items.len == 0 ? place : TEXT("");
    if (numbered) {
        letter_numbered(letter, heading, beside);
    } else {
        paper_apart(&letter->paper, 2, LETTER_INDENT, heading, beside);
    }
    if (items.len > 0) {
        paper_apart(&letter->paper, LETTER_INDENT, LETTER_INDENT + 2, items, place);
    }
}

/* a, b, ... z, aa, ab, ... */
static Text item_letters(Arena *arena, uint32_t index)
{
    Text last = text_format(arena, "%c", (char)('a' + index % 26));
    if (index < 26) {
        return last;
    }
    Text before = item_letters(arena, index / 26 - 1);
    return text_format(arena, "%.*s%.*s", TEXT_ARG(before), TEXT_ARG(last));
}

static Text remedy_of(Letter *letter, const Finding *finding)
{
    if (finding->outcome != OUTCOME_CORRECTION) {
        return TEXT("");
    }
    Telling telling = telling_of(letter->arena, letter->review, finding);
    return telling_remedy(&telling);
}

/* One remedy that serves every item of the group is told once, below them. */
static bool share_remedy(Letter *letter, const Group *group)
{
    Text first = remedy_of(letter, group->findings[0]);
    for (uint32_t i = 1; i < group->count; i++) {
        if (!text_equal(remedy_of(letter, group->findings[i]), first)) {
            return false;
        }
    }
    return true;
}

static void put_member(Letter *letter, const Group *group, uint32_t index, bool with_remedy)
{
    Telling telling = telling_of(letter->arena, letter->review, group->findings[index]);
    if (group->count == 1) {
        letter_reasons(letter, &telling, LETTER_INDENT);
        return;
    }
    Text items = telling_items(&telling);
    Text letters = item_letters(letter->arena, index);
    Text left = text_format(letter->arena, "%.*s. %.*s", TEXT_ARG(letters), TEXT_ARG(items));
    paper_apart(&letter->paper, LETTER_INDENT, LETTER_INDENT + 3, left,
                place_words(letter->arena, telling_place(&telling)));
    letter_reasons(letter, &telling, LETTER_INDENT + 3);
    if (with_remedy) {
        paper_wrap(&letter->paper, LETTER_INDENT + 3, LETTER_INDENT + 3,
                   remedy_of(letter, group->findings[index]));
    }
}

static void put_citation(Letter *letter, const Finding *finding)
{
    const Section *section = finding->section;
    Buffer out = buffer_make(letter->arena);
    buffer_format(&out, "[%.*s.", TEXT_ARG(citation_words(letter->arena, finding)));
    uint32_t count = 0;
    const ConfirmedTree **confirmed =
        section_confirmations(letter->arena, letter->review->law->tree, section->tree, &count);
    for (uint32_t i = 0; i < count; i++) {
        Text words = confirmed_words(letter->arena, confirmed[i], finding->tree);
        buffer_format(&out, " Reading%.*s.", (int)(words.len - 7), words.data + 7);
    }
    if (section->authority != NULL) {
        buffer_format(&out, " Authority: %.*s.", TEXT_ARG(section->authority->text));
    }
    if (section->rank.len > 0) {
        buffer_format(&out, " Rank: %.*s.", TEXT_ARG(section->rank));
    }
    if (section->rework != REWORK_UNSAID) {
        Text rework = text_of(rework_word((Rework)section->rework));
        buffer_format(&out, " Rework: %.*s.", TEXT_ARG(spaced_words(letter->arena, rework)));
    }
    buffer_format(&out, " Basis: %.*s.]",
                  TEXT_ARG(basis_words(letter->arena, finding_basis(finding))));
    paper_wrap(&letter->paper, LETTER_INDENT, LETTER_INDENT, buffer_done(&out));
}

void letter_group(Letter *letter, const Group *group, bool numbered)
{
    const Finding *finding = group->findings[0];
    Telling first = telling_of(letter->arena, letter->review, finding);
    paper_blank(&letter->paper);
    put_heading(letter, group, &first, numbered);
    bool shared = share_remedy(letter, group);
    for (uint32_t i = 0; i < group->count; i++) {
        put_member(letter, group, i, !shared);
    }
    if (shared) {
        paper_wrap(&letter->paper, LETTER_INDENT, LETTER_INDENT, remedy_of(letter, finding));
    }
    put_citation(letter, finding);
}
