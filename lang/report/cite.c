/* Citations. The chain comes from the text that judged the finding (law/ keeps it outermost
 * first); here it becomes one sentence, and the law applied one line for each ordinance. */
#include "report/cite.h"

Text section_words(Arena *arena, const Section *section)
{
    if (section->part == NULL) {
        return section->number;
    }
    return text_format(arena, "%.*s part %.*s", TEXT_ARG(section->number),
                       TEXT_ARG(section->part->text));
}

Text code_words(Arena *arena, const CodeTree *code)
{
    Text title = code->title.len > 0 ? code->title : code->name->text;
    return text_format(arena, "%.*s, edition %.*s", TEXT_ARG(title), TEXT_ARG(code->edition));
}

/* "Cal. HSC 114313(a) (Retail Food Code, edition 2023)", as its code says it is cited; else
 * "114313(a), Retail Food Code, edition 2023". */
static Text cited_words(Arena *arena, const Section *section)
{
    const CodeTree *code = section->tree->code;
    Text number = section_words(arena, section);
    Text title = code_words(arena, code);
    Text form = code->cited_as;
    static const Text hole = {"{section}", 9};
    for (size_t at = 0; at + hole.len <= form.len; at++) {
        if (text_equal((Text){form.data + at, hole.len}, hole)) {
            Text after = {form.data + at + hole.len, form.len - at - hole.len};
            return text_format(arena, "%.*s%.*s%.*s (%.*s)", (int)at, form.data, TEXT_ARG(number),
                               TEXT_ARG(after), TEXT_ARG(title));
        }
    }
    return text_format(arena, "%.*s, %.*s", TEXT_ARG(number), TEXT_ARG(title));
}

static void put_twins(Buffer *out, const SectionTree *section)
{
    for (const TargetTree *at = section->also_at; at != NULL; at = at->next) {
        buffer_format(out, "%s%.*s", at == section->also_at ? "; also at " : ", ",
                      TEXT_ARG(at->number));
    }
}

/* The day of the text that judged; INT32_MIN in a code by itself. */
static Day text_day(const TextTree *text)
{
    return text == NULL || text->chain_count == 0 ? INT32_MIN
                                                  : text->chain[text->chain_count - 1].from;
}

bool confirmed_is_old(const ConfirmedTree *confirmed, const TextTree *text)
{
    return confirmed->day < text_day(text);
}

Text confirmed_words(Arena *arena, const ConfirmedTree *confirmed, const TextTree *text)
{
    return text_format(arena, "reading confirmed by %.*s on %.*s, letter %.*s%s",
                       TEXT_ARG(confirmed->office), TEXT_ARG(date_print(arena, confirmed->day)),
                       TEXT_ARG(confirmed->letter),
                       confirmed_is_old(confirmed, text) ? " (of an older text)" : "");
}

Text jurisdiction_words(const JurisdictionTree *jurisdiction)
{
    return jurisdiction->title.len > 0 ? jurisdiction->title : jurisdiction->name->text;
}

Text place_title(const PlaceTree *place)
{
    return place->title.len > 0 ? place->title : place->name->text;
}

Text holder_words(Arena *arena, const HolderTree *row, Text who)
{
    Buffer out = buffer_make(arena);
    buffer_text(&out, who);
    if (row->where != NULL) {
        buffer_format(&out, ", where %.*s", TEXT_ARG(syntax_print_expr(arena, row->where)));
    } else if (row->otherwise) {
        buffer_string(&out, ", otherwise");
    }
    if (row->by.len > 0) {
        buffer_format(&out, ", by %.*s", TEXT_ARG(row->by));
    }
    return buffer_done(&out);
}

const char *link_word(LinkVerb verb)
{
    switch (verb) {
    case LINK_ADOPTED: return "adopted";
    case LINK_AMENDED: return "amended";
    case LINK_LIMIT: return "limit changed";
    case LINK_EXCEPTION: return "exception changed";
    case LINK_RENUMBERED: return "renumbered";
    case LINK_INSERTED: break;
    }
    return "inserted";
}

const char *link_data(LinkVerb verb)
{
    return verb == LINK_LIMIT       ? "limit_changed"
           : verb == LINK_EXCEPTION ? "exception_changed"
                                    : link_word(verb);
}

static bool same_ordinance(const Link *a, const Link *b)
{
    return a->jurisdiction == b->jurisdiction && a->from == b->from && text_equal(a->by, b->by);
}

/* Links of one ordinance are told together: "adopted and amended by ...". */
static uint32_t put_links(Buffer *out, const TextTree *tree, uint32_t first)
{
    const Link *link = &tree->chain[first];
    uint32_t next = first + 1;
    buffer_format(out, "; %s", link_word((LinkVerb)link->verb));
    for (; next < tree->chain_count && same_ordinance(link, &tree->chain[next]); next++) {
        buffer_format(out, " and %s", link_word((LinkVerb)tree->chain[next].verb));
    }
    if (link->jurisdiction != NULL) {
        buffer_format(out, " by %.*s", TEXT_ARG(jurisdiction_words(link->jurisdiction)));
    }
    if (link->by.len > 0) {
        buffer_format(out, ", %.*s", TEXT_ARG(link->by));
    }
    if (link->from != INT32_MIN) {
        buffer_format(out, ", from %.*s", TEXT_ARG(date_print(out->arena, link->from)));
    }
    return next;
}

Text citation_words(Arena *arena, const Finding *finding)
{
    Buffer out = buffer_make(arena);
    buffer_text(&out, cited_words(arena, finding->section));
    put_twins(&out, finding->section->tree->section);
    uint32_t count = finding->tree == NULL ? 0 : finding->tree->chain_count;
    for (uint32_t i = 0; i < count;) {
        i = put_links(&out, finding->tree, i);
    }
    return buffer_done(&out);
}

/* ---- basis ---- */

BasisTree finding_basis(const Finding *finding)
{
    if (finding->text != NULL && finding->text->basis.kind != BASIS_UNSAID) {
        return finding->text->basis;
    }
    return finding->section->tree->code->basis;
}

Text basis_words(Arena *arena, BasisTree basis)
{
    switch ((BasisKind)basis.kind) {
    case BASIS_READ:
        return text_format(arena, "read in \"%.*s\" on %.*s", TEXT_ARG(basis.title),
                           TEXT_ARG(date_print(arena, basis.day)));
    case BASIS_MEMORY: return TEXT("memory: check the adopted text before relying on it");
    case BASIS_PRACTICE:
        return TEXT("common practice: check the adopted text before relying on it");
    case BASIS_INVENTED: return TEXT("invented");
    case BASIS_UNSAID: break;
    }
    return TEXT("not stated: check the adopted text before relying on it");
}

void count_bases(Arena *arena, const Review *review, uint32_t counts[BASIS_KINDS])
{
    Map *seen = map_new(arena);
    for (int i = 0; i < BASIS_KINDS; i++) {
        counts[i] = 0;
    }
    for (uint32_t i = 0; i < review->finding_count; i++) {
        const Finding *finding = &review->findings[i];
        if (map_put(seen, finding->section, counts) == NULL) {
            counts[finding_basis(finding).kind]++;
        }
    }
}

/* ---- the law applied ---- */

/* A change of a former edition that says so lives on in the next. */
static bool carries_over(const BlockTree *block)
{
    for (const ChangeTree *change = block->changes; change != NULL; change = change->next) {
        if (change->fate == FATE_CARRIES_OVER) {
            return true;
        }
    }
    return false;
}

static bool block_applies(const BlockTree *block, const CodeTree *code, Day on)
{
    if (block->code != code->name || block->from > on || on > block->until) {
        return false;
    }
    return text_equal(block->edition, code->edition) || (block->amends && carries_over(block));
}

typedef struct AppliedList {
    Applied *list; /* NULL: they are only counted */
    uint32_t count;
} AppliedList;

static void add_applied(AppliedList *out, const CodeTree *code, const LawTree *law)
{
    for (uint32_t i = 0; i < law->act_count; i++) {
        const ActTree *act = &law->acts[i];
        if (!block_applies(act->block, code, law->on)) {
            continue;
        }
        if (out->list != NULL) {
            out->list[out->count] = (Applied){code, act->jurisdiction, act->block};
        }
        out->count++;
    }
}

static uint32_t gather_applied(const LawTree *law, Applied *list)
{
    AppliedList out = {list, 0};
    for (uint32_t c = 0; c < law->code_count; c++) {
        add_applied(&out, law->codes[c], law);
    }
    return out.count;
}

const Applied *law_applied(Arena *arena, const LawTree *law, uint32_t *count)
{
    *count = gather_applied(law, NULL);
    Applied *list = ARENA_ARRAY(arena, Applied, *count + 1);
    (void)gather_applied(law, list);
    return list;
}

Text digest_words(Arena *arena, const Digest *digest)
{
    enum { DIGITS_SHOWN = 16 };
    return text_format(arena, "%.*s, %u %s, sha256 %.*s\xe2\x80\xa6", TEXT_ARG(digest->path),
                       digest->files, digest->files == 1 ? "file" : "files", DIGITS_SHOWN,
                       digest->sha256.data);
}

const LeftOut *law_left_out(Arena *arena, const LawTree *law, uint32_t *count)
{
    *count = 0;
    for (uint32_t c = 0; c < law->code_count; c++) {
        for (const OmittedTree *at = law->codes[c]->omitted; at != NULL; at = at->next) {
            (*count)++;
        }
    }
    LeftOut *list = ARENA_ARRAY(arena, LeftOut, *count + 1);
    uint32_t at_index = 0;
    for (uint32_t c = 0; c < law->code_count; c++) {
        for (const OmittedTree *at = law->codes[c]->omitted; at != NULL; at = at->next) {
            list[at_index++] = (LeftOut){law->codes[c], at};
        }
    }
    return list;
}
