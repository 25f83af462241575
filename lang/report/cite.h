/* Citations: which text a finding was judged by, who made it law, since when, and how the
 * author of the rule file knows it. */
#ifndef REPORT_CITE_H
#define REPORT_CITE_H

#include "judge/judge.h"

/* "6-14.2(B)", "114259.2 part size". */
Text section_words(Arena *arena, const Section *section);
/* "Larder Code, edition 2024". */
Text code_words(Arena *arena, const CodeTree *code);
/* "the State of Halloway" stays as it is titled; the name when there is no title. */
Text jurisdiction_words(const JurisdictionTree *jurisdiction);
Text place_title(const PlaceTree *place); /* the name when there is no title */
/* A row of a place, with the words for who decides: "Osprey Fork County, otherwise, by ...". */
Text holder_words(Arena *arena, const HolderTree *row, Text who);
/* The whole chain: "6-14.2(B), Larder Code, edition 2024; adopted by ... in force from ...". */
Text citation_words(Arena *arena, const Finding *finding);
/* "reading confirmed by County Health on 2026-01-10, letter PC-12", and whether of an older text
 * than the one given. */
bool confirmed_is_old(const ConfirmedTree *confirmed, const TextTree *text);
Text confirmed_words(Arena *arena, const ConfirmedTree *confirmed, const TextTree *text);
const char *link_word(LinkVerb verb); /* "adopted", "amended", ... */
const char *link_data(LinkVerb verb); /* "adopted", "limit_changed", ... */

/* The basis of the text that judged; what its code says for all its sections when it is silent. */
BasisTree finding_basis(const Finding *finding);
/* "invented", "read in \"...\" on 2026-11-25", "memory (to be checked ...)". */
Text basis_words(Arena *arena, BasisTree basis);

/* One ordinance that puts a code in force or changes it, as a review applies it. */
typedef struct Applied {
    const CodeTree *code;
    const JurisdictionTree *jurisdiction;
    const BlockTree *block;
} Applied;

/* For each code in force, in order: the blocks in force that day, the outermost level first. */
const Applied *law_applied(Arena *arena, const LawTree *law, uint32_t *count);

/* The sections left out of the rule files of the codes in force. */
typedef struct LeftOut {
    const CodeTree *code;
    const OmittedTree *omitted;
} LeftOut;

/* "rules/, 12 files, sha256 1f3a5c..." with the first digits. */
Text digest_words(Arena *arena, const Digest *digest);

const LeftOut *law_left_out(Arena *arena, const LawTree *law, uint32_t *count);

/* How many sections judged rest on each basis, by BasisKind. */
enum { BASIS_KINDS = 5 };
void count_bases(Arena *arena, const Review *review, uint32_t counts[BASIS_KINDS]);

#endif
