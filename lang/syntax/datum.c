/* Data of worked examples, in the form in which specs are read too: scalars as they are written,
 * for the one door of spec/ to convert, each with its place. */
#include "syntax/parse.h"

static Datum *make(Parse *parse, Span span, DatumKind kind, Text text)
{
    Datum *datum = ARENA_NEW(parse->arena, Datum);
    datum->kind = (uint8_t)kind;
    datum->place = (Place){parse->source, span};
    datum->text = text;
    datum->depth = 1;
    return datum;
}

Datum *datum_slice(Parse *parse, Span span)
{
    return make(parse, span, DATUM_SCALAR, source_spelling(parse, span));
}

Datum *datum_quoted(Parse *parse, Quoted quoted)
{
    return make(parse, quoted.span, DATUM_QUOTED, quoted.text);
}

Datum *datum_group(Parse *parse, Span span, DatumKind kind, DatumList members)
{
    Datum *datum = make(parse, span, kind, (Text){0});
    datum->first = members.first;
    for (const Datum *member = members.first; member != NULL; member = member->next) {
        datum->count++;
        if (member->depth >= datum->depth) {
            datum->depth = (uint16_t)(member->depth + 1);
        }
    }
    if (datum->depth > TREE_DEPTH_MAX) {
        complain_stop(parse, span);
        datum->first = NULL;
        datum->depth = 1;
    }
    return datum;
}

Datum *datum_member(Parse *parse, Named key, Datum *value)
{
    value->key = key.name->text;
    value->key_place = (Place){parse->source, key.span};
    return value;
}
