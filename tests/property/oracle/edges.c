/* Limits and values that meet them exactly, or miss them by very little, in every dimension and in pairs
 * of units. One section a comparison, one fact a section. */
#include "cases.h"

#include <string.h>

enum { EDGES = 100 };

static const char *const RELATIONS[] = {"<=", "<", ">=", ">"};

/* Limits in the usual unit of a dimension. */
static const char *const LIMITS[] = {"24", "1",      "7-1/2", "0.1",  "1/3",    "1000",
                                     "16", "36.5",   "100",   "2.54", "0.0625", "12",
                                     "45", "22-7/8", "66",    "8.34", "3/16",   "640"};

void make_edge_rules(Writer *w, uint64_t seed)
{
    Chance c = {seed * 0xd1342543de82ef95U + 31};
    const char *const *dimension = NULL, *const *first = NULL, *const *second = NULL;
    int n = spell_units(&dimension, &first, &second);
    writef(w, "vocabulary edges\n");
    for (int i = 0; i < EDGES; i++) {
        writef(w, "  fact f%d %s always present\n", i, dimension[i % n]);
    }
    writef(w, "  topic edges.all \"All\"\nend\n\ncode edge_code edition 1\n  vocabulary edges\n  "
              "basis invented\n");
    for (int i = 0; i < EDGES; i++) {
        const char *unit = chance_in(&c, 70) ? first[i % n] : second[i % n];
        writef(w, "  section \"%d\" \"Edge\"\n    topic edges.all\n    shall f%d %s %s %s\n  end\n",
               i, i, RELATIONS[chance(&c, 4)], LIMITS[chance(&c, sizeof LIMITS / sizeof LIMITS[0])],
               unit);
    }
    writef(w, "end\n\njurisdiction edge \"Edge\"\n  adopts edge_code edition 1 in force from "
              "2020-01-01 by \"x\"\nend\n");
}

/* The limit, or the limit and one part in 10, 1000, …, 10^15 more or less. */
static void near_limit(mpq_srcptr limit, Chance *c, mpq_t out)
{
    mpq_set(out, limit);
    unsigned digits = chance(c, 16);
    if (chance_in(c, 50)) {
        return;
    }
    mpz_t scale;
    mpq_t part;
    mpz_init(scale);
    mpq_init(part);
    mpz_ui_pow_ui(scale, 10, digits);
    mpq_set_z(part, scale);
    mpq_div(part, limit, part);
    if (chance_in(c, 50)) {
        mpq_neg(part, part);
    }
    mpq_add(out, limit, part);
}

json_t *make_edge_spec(const Vocabulary *v, const Law *law, uint64_t seed)
{
    Chance c = {seed * 0xd1342543de82ef95U + 37};
    json_t *spec = json_object();
    const Code *code = law->codes.at[0];
    for (int i = 0; i < code->sections.n && i < v->facts.n; i++) {
        const Section *s = code->sections.at[i];
        const Line *line = s->lines.at[0];
        mpq_t value;
        mpq_init(value);
        const char *text = NULL;
        for (int tries = 0; text == NULL && tries < 20; tries++) {
            near_limit(line->expr->b->range.lo.v, &c, value);
            text = spell_number(&v->facts.field[i], value, &c);
        }
        if (text != NULL) {
            (void)json_object_set_new(spec, v->facts.field[i].name,
                                      json_string(spell_again(&v->facts.field[i], text, &c)));
        }
    }
    (void)json_object_set_new(spec, "vocabulary", json_string(v->name));
    return spec;
}
