/* A vocabulary, and rule texts checked against it, for the tests of law/check and law/table. */
#ifndef CHECK_WORLD_H
#define CHECK_WORLD_H

#include "law_world.h"

/* ---- a vocabulary ---- */

static const char check_vocabulary[] = "vocabulary trailer\n"
                                       "  choice duty one of light < medium < heavy\n"
                                       "  choice style one of wall, island\n"
                                       "  record guard\n"
                                       "    height length always present at least 0 in\n"
                                       "  end\n"
                                       "  record compartment\n"
                                       "    size size\n"
                                       "  end\n"
                                       "  record opening\n"
                                       "    name text always present key\n"
                                       "    use one of service, delivery, vent\n"
                                       "    width length always present at least 0 in\n"
                                       "    height length at least 0 in\n"
                                       "    screened yes/no\n"
                                       "  end\n"
                                       "  record sink\n"
                                       "    name text always present key\n"
                                       "    use one of handwashing, warewashing always present\n"
                                       "    front length always present\n"
                                       "    curb length always present\n"
                                       "    along length always present more than 0 in\n"
                                       "    across length always present more than 0 in\n"
                                       "    splash guard\n"
                                       "    hot yes/no\n"
                                       "    compartments list of compartment\n"
                                       "    plan front along along, curb across across\n"
                                       "  end\n"
                                       "  record tank\n"
                                       "    holds one of fresh, waste always present key\n"
                                       "    capacity volume always present at least 0 gal\n"
                                       "    spare volume\n"
                                       "  end\n"
                                       "  record grill\n"
                                       "    duty duty always present\n"
                                       "    style style always present\n"
                                       "    rate flow\n"
                                       "    place length always present\n"
                                       "    span length always present\n"
                                       "    plan place along span\n"
                                       "  end\n"
                                       "  record hood\n"
                                       "    label text\n"
                                       "    length length always present at least 0 in\n"
                                       "    style style always present\n"
                                       "    grills list of grill\n"
                                       "  end\n"
                                       "  fact aisle length always present at least 0 in\n"
                                       "  fact headroom length\n"
                                       "  fact pass_width length at least 0 in at most 60 in\n"
                                       "  fact floor area always present at least 0 in2\n"
                                       "  fact basin size always present\n"
                                       "  fact cold temperature always present\n"
                                       "  fact warm temperature always present\n"
                                       "  fact gas_pressure gauge_pressure always present\n"
                                       "  fact flow flow always present\n"
                                       "  fact seats count always present\n"
                                       "  fact slope percent always present\n"
                                       "  fact acidity number always present\n"
                                       "  fact main_duty duty always present\n"
                                       "  fact side_duty duty\n"
                                       "  fact note text\n"
                                       "  fact tested yes/no always present\n"
                                       "  fact listed yes/no\n"
                                       "  fact built date always present\n"
                                       "  fact hood hood\n"
                                       "  fact openings list of opening\n"
                                       "  fact sinks list of sink\n"
                                       "  fact tanks list of tank\n"
                                       "  fact grills list of grill\n"
                                       "  topic space.aisle \"Aisle\"\n"
                                       "  topic space.hood \"Hood\"\n"
                                       "end\n";

#define LAW(text) \
    "code larder edition 2024\n  ranks core, priority foundation\n  basis invented\n" text "end\n"
#define S(body) "section \"1\" topic space.aisle " body " end\n"
/* The same with something of the code's own before it. */
#define WITH(code, body) code "\n" S(body)

typedef struct Checked {
    World world;
    LawTree *tree;
    Law *law;
} Checked;

static inline Checked check_text_of(const char *text, bool proofread)
{
    Checked checked = {.world = WORLD(check_vocabulary, text)};
    World *world = &checked.world;
    ck_assert_msg(world->diags.errors == 0, "not even read: %s\n%s", text, world_errors(world));
    checked.tree = law_of_code(world->arena, world->library, world->library->codes[0]);
    checked.law = law_check(world->arena, world->library, checked.tree, proofread, &world->diags);
    diagnostics_sort(&world->diags);
    return checked;
}

static inline void done(Checked *checked)
{
    world_free(&checked->world);
}

static inline bool says(World *world, const Diagnostic *diag, const char *words)
{
    if (strstr(text_string(world->arena, diag->message), words) != NULL) {
        return true;
    }
    for (const Diagnostic *note = diag->notes; note != NULL; note = note->next) {
        if (strstr(text_string(world->arena, note->message), words) != NULL) {
            return true;
        }
    }
    return false;
}

typedef struct Case {
    const char *name; /* of the message */
    const char *wrong;
    const char *at;    /* how the place of the message begins */
    const char *words; /* in the message or a note */
    const char *right;
} Case;

static inline void run_error(const Case *one)
{
    Checked wrong = check_text_of(one->wrong, false);
    World *world = &wrong.world;
    const Diagnostic *found = world_find(world, one->name, one->at);
    ck_assert_msg(found != NULL, "no '%s' at '%s' in\n%s\n%s", one->name, one->at, one->wrong,
                  world_errors(world));
    ck_assert_msg(world->diags.errors == 1, "not only '%s' in\n%s\n%s", one->name, one->wrong,
                  world_errors(world));
    ck_assert_msg(says(world, found, one->words), "not '%s': %s", one->words, world_errors(world));
    done(&wrong);
    Checked right = check_text_of(one->right, false);
    ck_assert_msg(right.world.diags.errors == 0, "in\n%s\n%s", one->right,
                  world_errors(&right.world));
    done(&right);
}

static inline const Line *first_line(const Checked *checked)
{
    ck_assert_msg(checked->world.diags.errors == 0, "errors");
    return &checked->law->sections[0].texts[0].readings[0].lines[0];
}

#define LOOP(tcase, test, cases) \
    tcase_add_loop_test(tcase, test, 0, (int)(sizeof(cases) / sizeof *(cases)))

#endif
