/* Places as they are written: each has a name of its own, names jurisdictions that there are, and
 * has no row that can never be asked. Which authorities the law names depends on the date, and is
 * looked at when a place is proofread. */
#include "law/library_inner.h"

static void check_name(const Library *library, const PlaceTree *place, Diagnostics *diags)
{
    const JurisdictionTree *same = library_jurisdiction(library, place->name->text);
    if (same != NULL) {
        Diagnostic *diag =
            diagnostic_error(diags, "defined twice", place_name_place(place),
                             "the place '%.*s' has the name of a jurisdiction, and '--in' could "
                             "mean either",
                             TEXT_ARG(place->name->text));
        diagnostic_note(diags, diag, jurisdiction_name_place(same), "the jurisdiction");
    }
}

static void check_jurisdiction(const Library *library, const PlaceTree *place,
                               const HolderTree *row, Diagnostics *diags)
{
    Text name = row->jurisdiction->text;
    if (library_jurisdiction(library, name) != NULL) {
        return;
    }
    Diagnostic *diag = diagnostic_error(diags, "unknown jurisdiction",
                                        (Place){place->source, row->jurisdiction_span},
                                        "no file defines the jurisdiction '%.*s'", TEXT_ARG(name));
    Text *names = ARENA_ARRAY(library->arena, Text, library->jurisdiction_count + 1);
    for (uint32_t i = 0; i < library->jurisdiction_count; i++) {
        names[i] = library->jurisdictions[i]->name->text;
    }
    note_nearest(diags, diag, name, names, library->jurisdiction_count);
}

/* Of the rows of one authority the first that holds governs: after one without a condition none
 * is asked. */
static void check_reached(const PlaceTree *place, Map *settled, HolderTree *row, Diagnostics *diags)
{
    const HolderTree *before = map_get(settled, row->authority);
    if (before == NULL) {
        if (row->where == NULL) {
            (void)map_put(settled, row->authority, row);
        }
        return;
    }
    Diagnostic *diag = diagnostic_error(diags, "never reached", (Place){place->source, row->span},
                                        "who decides '%.*s' is settled before this row is asked",
                                        TEXT_ARG(row->authority->text));
    diagnostic_note(diags, diag, (Place){place->source, before->span}, "this row has no condition");
}

/* A place whose rows could not be read has been told of. */
static void check_rows(const PlaceTree *place, Diagnostics *diags)
{
    bool read = true;
    for (const Diagnostic *diag = diags->first; diag != NULL && place->holders == NULL;
         diag = diag->next) {
        Span span = diag->place.span;
        read = read && !(diag->place.source == place->source && span.start >= place->span.start &&
                         span.start <= place->span.end);
    }
    if (place->holders == NULL && read) {
        diagnostic_error(diags, "nobody decides", place_name_place(place),
                         "the place '%.*s' does not say who decides", TEXT_ARG(place->name->text));
    }
}

void library_check_places(const Library *library, Diagnostics *diags)
{
    for (uint32_t i = 0; i < library->place_count; i++) {
        const PlaceTree *place = library->places[i];
        Map *settled = map_new(library->arena);
        check_name(library, place, diags);
        check_rows(place, diags);
        for (HolderTree *row = place->holders; row != NULL; row = row->next) {
            if (row->authority != NULL && row->jurisdiction != NULL) {
                check_jurisdiction(library, place, row, diags);
                check_reached(place, settled, row, diags);
            }
        }
    }
}
