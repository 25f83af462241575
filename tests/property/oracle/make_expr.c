/* Makes up expressions, by type, over the vocabulary of make_rules.c. Every operator of the language
 * has its place here. What may be absent is answered where it stands, or used in conditions only. */
#include "cases.h"

unsigned make_some(const Scene *s, unsigned below)
{
    return chance(s->c, below);
}

static const char *one_of(const Scene *s, const char *const *from, unsigned n)
{
    return from[chance(s->c, n)];
}

#define ONE_OF(s, ...)                            \
    one_of(s, (const char *const[]){__VA_ARGS__}, \
           sizeof((const char *const[]){__VA_ARGS__}) / sizeof(const char *))

static void put(const Scene *s, const char *text)
{
    writef(s->w, "%s", text);
}

static const char *some_part(const Scene *s)
{
    return s->part[chance_in(s->c, 40) ? s->parts - 1 : (int)chance(s->c, (unsigned)s->parts)];
}

static void length_literal(const Scene *s)
{
    put(s, ONE_OF(s, "1 in", "3 in", "6 in", "12 in", "1 ft", "24 in", "2 ft", "609.6 mm", "30 in",
                  "36 in", "1/2 in", "7-1/2 in", "2 ft 6 in", "10 cm", "18 in (457 mm)"));
}

static void length_fact(const Scene *s)
{
    if (s->parts > 0 && chance_in(s->c, 70)) {
        const char *p = some_part(s);
        if (chance_in(s->c, 25)) {
            writef(s->w, "(%s.width, or %s if none)", p, ONE_OF(s, "0 in", "5 in", "24 in"));
        } else {
            writef(s->w, "%s.%s", p, ONE_OF(s, "depth", "span", "rise", "from_front"));
        }
    } else if (s->group != NULL && chance_in(s->c, 40)) {
        writef(s->w, chance_in(s->c, 60) ? "%s.cap" : "tall(%s)", s->group);
    } else {
        put(s, ONE_OF(s, "room", "room", "(reach, or 6 in if none)",
                      "(frame.height, or 30 in if none)", "low", "sums.depths", "sums.rest",
                      "(parts[\"p1\"].depth, or 3 in if none)",
                      "(things[\"b1\"].depth, or 3 in if none)", "(stool.span, or 4 in if none)"));
    }
}

static void leaf_length(const Scene *s)
{
    if (s->lengths > 0 && chance_in(s->c, 30)) {
        put(s, s->length[chance(s->c, (unsigned)s->lengths)]);
    } else if (chance_in(s->c, 35)) {
        length_literal(s);
    } else {
        length_fact(s);
    }
}

/* A scene with one more part in it, under a new name. */
static Scene with_part(const Scene *s, const char **name)
{
    Scene inner = *s;
    *name = pool_format("x%d", ++*s->fresh);
    inner.part[inner.parts < 6 ? inner.parts++ : 5] = *name;
    return inner;
}

static Scene as_condition(const Scene *s)
{
    Scene inner = *s;
    inner.condition = true;
    inner.any = false;
    return inner;
}

/* All of them have what is asked of a thing. */
const char *list_name(const Scene *s)
{
    return ONE_OF(s, "parts", "parts", "parts", "things", "things", "benches");
}

void make_list_of_parts(const Scene *s, int depth)
{
    if (s->group != NULL && chance_in(s->c, 50)) {
        writef(s->w, "%s.pieces", s->group);
        return;
    }
    if (depth > 0 && chance_in(s->c, 20)) {
        const char *name = NULL;
        Scene plain = as_condition(s), inner = with_part(&plain, &name);
        writef(s->w, "(those %s of %s where ", name, list_name(s));
        make_condition(&inner, depth - 1);
        put(s, ")");
        return;
    }
    if (s->parts > 0 && chance_in(s->c, 15)) {
        writef(s->w, "(%s that %s covers)", list_name(s), some_part(s));
        return;
    }
    put(s, list_name(s));
}

/* NAME of LIST [where CONDITION]; the scene of what follows. */
static Scene over_parts(const Scene *s, int depth, const char *name)
{
    Scene inner = *s;
    inner.part[inner.parts < 6 ? inner.parts++ : 5] = name;
    writef(s->w, "%s of ", name);
    make_list_of_parts(s, depth - 1);
    if (chance_in(s->c, 60)) {
        Scene where = as_condition(&inner);
        put(s, " where ");
        make_condition(&where, depth - 1);
    }
    return inner;
}

static void aggregate_length(const Scene *s, int depth)
{
    const char *name = NULL;
    Scene inner = with_part(s, &name);
    unsigned which = chance(s->c, 3);
    writef(s->w, "(%s of ", which == 0 ? "total" : which == 1 ? "least" : "greatest");
    inner.lengths = 0;
    if (chance_in(s->c, 60)) {
        writef(s->w, "%s.%s", name, ONE_OF(s, "depth", "span", "rise"));
    } else {
        make_length_asked(&inner, depth - 2 > 0 ? depth - 2 : 0);
    }
    put(s, " for ");
    (void)over_parts(s, depth, name);
    put(s, which == 0 ? ")" : chance_in(s->c, 50) ? ", or 4 in if none)" : ", or 40 in if none)");
}

static void placed_length(const Scene *s)
{
    const char *a = some_part(s), *b = some_part(s);
    if (chance_in(s->c, 50)) {
        writef(s->w, "(gap between %s and %s)", a, b);
    } else {
        writef(s->w, "(overhang of %s beyond %s)", a, b);
    }
}

static void two_lengths(const Scene *s, int depth, const char *before, const char *between,
                        const char *after)
{
    put(s, before);
    make_length(s, depth - 1);
    put(s, between);
    make_length(s, depth - 1);
    put(s, after);
}

static void area(const Scene *s, int depth)
{
    if (chance_in(s->c, 25)) {
        put(s, ONE_OF(s, "216 in2", "2 ft2", "100 in2"));
    } else if (s->parts > 0 && chance_in(s->c, 30)) {
        const char *p = some_part(s);
        writef(s->w, "face(%s.depth, %s.span)", p, p);
    } else {
        two_lengths(s, depth, "(", ") * (", ")");
    }
}

static void conditional_length(const Scene *s, int depth)
{
    Scene plain = *s;
    plain.condition = false;
    put(s, "(");
    make_length(s, depth - 1);
    put(s, " if ");
    make_condition(&plain, depth - 1);
    put(s, " otherwise ");
    make_length(s, depth - 1);
    put(s, ")");
}

static void rounded_length(const Scene *s, int depth)
{
    bool nearest = chance_in(s->c, 40);
    writef(s->w, "(round %s %s of (",
           nearest               ? "to nearest"
           : chance_in(s->c, 50) ? "up to"
                                 : "down to",
           ONE_OF(s, "1/2 in", "1 in", "5 in", "1 ft"));
    make_length(s, depth - 1);
    put(s, nearest ? (chance_in(s->c, 50) ? ") half up)" : ") half even)") : "))");
}

/* The least or greatest word of a choice that meets a condition. */
static void word_of_choice(const Scene *s, int depth)
{
    const char *name = pool_format("w%d", ++*s->fresh);
    Scene where = as_condition(s);
    writef(s->w, "(%s of %s for %s of grades where ", ONE_OF(s, "least", "greatest"), name, name);
    if (s->parts > 0 && chance_in(s->c, 40)) {
        writef(s->w, "%s %s %s.grade and ", name, ONE_OF(s, "<=", ">=", "!="), some_part(s));
    }
    writef(s->w, "by_grade(%s) %s ", name, ONE_OF(s, ">=", "<", "<="));
    make_length(&where, depth - 1);
    writef(s->w, ", or %s if none)", ONE_OF(s, "small", "middle", "large"));
}

static void table_length(const Scene *s, int depth)
{
    unsigned which = s->parts > 0 ? chance(s->c, 6) : 3 + chance(s->c, 3);
    if (chance_in(s->c, 15)) {
        put(s, "by_grade(");
        word_of_choice(s, depth);
        put(s, ")");
        return;
    }
    const char *p = s->parts > 0 ? some_part(s) : "";
    if (which == 0) {
        writef(s->w, "by_grade(%s.grade)", p);
    } else if (which == 1) {
        writef(s->w, "by_both(%s.solid, %s.grade)", p, p);
    } else if (which == 2) {
        writef(s->w, "by_pieces(%s.pieces)", p);
    } else {
        put(s, which == 3 ? "by_steps(" : which == 4 ? "by_line(" : "by_plane(");
        make_length(s, depth - 1);
        put(s, which == 5 ? ", " : "");
        if (which == 5) {
            put(s, s->parts > 0 ? pool_format("%s.share", p) : "20%");
        }
        put(s, ")");
    }
}

static void one_length(const Scene *s, int depth, const char *before, const char *after)
{
    put(s, before);
    make_length(s, depth - 1);
    put(s, after);
}

static void root_length(const Scene *s, int depth)
{
    bool root = chance_in(s->c, 60);
    put(s, root ? "sqrt(" : "power(");
    area(s, depth);
    put(s, root ? ")" : ", 1/2)");
}

/* An area over a length. */
static void quotient_length(const Scene *s, int depth)
{
    put(s, "(");
    area(s, depth);
    put(s, ") / (");
    make_length_asked(s, depth - 1);
    put(s, ")");
}

static void squared_length(const Scene *s, int depth)
{
    one_length(s, depth, "power(", ", 2) / (");
    make_length_asked(s, depth - 1);
    put(s, ")");
}

static void share_of_length(const Scene *s, int depth)
{
    one_length(s, depth, "(", ") * ");
    put(s, s->parts > 0 ? pool_format("%s.share", some_part(s)) : "stock");
}

static void compound_length(const Scene *s, int depth)
{
    switch (chance(s->c, 16)) {
    case 0: two_lengths(s, depth, "(", " + ", ")"); break;
    case 1: two_lengths(s, depth, "(", " - (", "))"); break;
    case 2: two_lengths(s, depth, "max(", ", ", ")"); break;
    case 3: two_lengths(s, depth, "min(", ", ", ")"); break;
    case 4: aggregate_length(s, depth); break;
    case 5: conditional_length(s, depth); break;
    case 6: rounded_length(s, depth); break;
    case 7: table_length(s, depth); break;
    case 8: one_length(s, depth, chance_in(s->c, 50) ? "(50% of (" : "(1/3 of (", "))"); break;
    case 9: root_length(s, depth); break;
    case 10: quotient_length(s, depth); break;
    case 11: share_of_length(s, depth); break;
    case 12: squared_length(s, depth); break;
    case 13: /* in conditions, what readings mean for other sections is not said */
        one_length(s, depth, s->condition ? "max(low, " : "max(margin, ", ", 5 in)");
        break;
    default:
        if (s->parts > 0) {
            placed_length(s);
        } else {
            leaf_length(s);
        }
    }
}

void make_length(const Scene *s, int depth)
{
    if (depth <= 0 || chance_in(s->c, 40)) {
        leaf_length(s);
    } else {
        compound_length(s, depth);
    }
}

void make_length_asked(const Scene *s, int depth)
{
    length_fact(s);
    if (depth > 0 && chance_in(s->c, 50)) {
        put(s, chance_in(s->c, 60) ? " + " : " - ");
        put(s, "(");
        make_length(s, depth - 1);
        put(s, ")");
    }
}

/* ---- conditions ---- */

static const char *order(const Scene *s)
{
    return ONE_OF(s, "<=", "<", ">=", ">");
}

static void compare_lengths(const Scene *s, int depth)
{
    make_length_asked(s, depth - 1);
    if (chance_in(s->c, 10)) {
        writef(s->w, " within %s of ", ONE_OF(s, "1/8 in", "1 in", "6 in"));
        put(s, "(");
        make_length(s, depth - 1);
        put(s, ")");
        return;
    }
    writef(s->w, " %s ", order(s));
    make_length(s, depth - 1);
}

static void word_condition(const Scene *s)
{
    static const char *const HUES[] = {"red", "green", "blue"}, *const GRADES[] = {
                                                                    "small", "middle", "large"};
    if (s->parts == 0) {
        if (s->condition) {
            writef(s->w, "tint is %s%s", chance_in(s->c, 30) ? "not " : "", one_of(s, HUES, 3));
        } else {
            put(s, ONE_OF(s, "lit is yes", "lit", "lit is no"));
        }
        return;
    }
    const char *p = some_part(s), *grade = one_of(s, GRADES, 3);
    switch (chance(s->c, s->condition ? 9 : 4)) {
    case 0: writef(s->w, "%s.grade %s %s", p, order(s), grade); break;
    case 1: writef(s->w, "%s.grade is %s%s", p, chance_in(s->c, 30) ? "not " : "", grade); break;
    case 2: writef(s->w, "%s.grade among (small, %s)", p, grade); break;
    case 3: writef(s->w, "%s.solid is %s", p, ONE_OF(s, "yes", "no")); break;
    case 4:
        writef(s->w, "%s.hue is %s%s", p, chance_in(s->c, 30) ? "not " : "", one_of(s, HUES, 3));
        break;
    case 5: writef(s->w, "%s.hue among (red, %s)", p, one_of(s, HUES, 3)); break;
    case 6: writef(s->w, "%s.ready is %s", p, ONE_OF(s, "yes", "no")); break;
    case 7: writef(s->w, "%s.maker is \"north\"", p); break;
    default: writef(s->w, "frame.shade is %s", one_of(s, HUES, 3));
    }
}

static void absence_condition(const Scene *s)
{
    const char *not = chance_in(s->c, 50) ? "not " : "";
    if (s->parts > 0 && chance_in(s->c, 70)) {
        writef(s->w, "%s.%s is %snone", some_part(s),
               ONE_OF(s, "width", "hue", "ready", "heat", "made"), not );
    } else {
        writef(s->w, "%s is %snone", ONE_OF(s, "reach", "frame", "tint"), not );
    }
}

static void other_condition(const Scene *s)
{
    const char *p = s->parts > 0 ? some_part(s) : NULL;
    if (p == NULL) {
        switch (chance(s->c, 5)) {
        case 0: writef(s->w, "stock %s %u", order(s), chance(s->c, 6)); break;
        case 1:
            writef(s->w, "opened %s 2024-0%u-01",
                   ONE_OF(s, "before", "after", "on or after", "on or before"),
                   1 + chance(s->c, 9));
            break;
        case 2:
            writef(s->w, "supply %s %s", order(s), ONE_OF(s, "41 degF", "100 degF", "5 degC"));
            break;
        case 3:
            writef(s->w, "supply - %s %s 41 degF", ONE_OF(s, "60 degF rise", "10 degC rise"),
                   order(s));
            break;
        default:
            writef(s->w, "review_date - opened %s %s days", order(s),
                   ONE_OF(s, "30", "180", "365"));
        }
        return;
    }
    switch (chance(s->c, 8)) {
    case 0: writef(s->w, "%s.pieces %s %u", p, order(s), chance(s->c, 6)); break;
    case 1:
        writef(s->w, "%s.checked %s 2024-0%u-01", p,
               ONE_OF(s, "before", "after", "on or after", "on or before"), 1 + chance(s->c, 9));
        break;
    case 2: writef(s->w, "%s.load %s %s", p, order(s), ONE_OF(s, "10 lb", "40 lb", "20 kg")); break;
    case 3: writef(s->w, "%s.share %s %s", p, order(s), ONE_OF(s, "80%", "50%", "12.5%")); break;
    case 4:
        writef(s->w, "%s.box holds %s%s", p,
               ONE_OF(s, "12 in x 12 in x 10 in", "10 in x 14 in x 10 in", "1 ft x 6 in x 3 in",
                      "room x 6 in x low"),
               ONE_OF(s, "", " in any orientation"));
        break;
    case 5:
        writef(s->w, "%s.box holds %s.box%s", p, some_part(s),
               ONE_OF(s, "", " in any orientation"));
        break;
    case 6: writef(s->w, "%s %s %s", p, ONE_OF(s, "covers", "overlaps"), some_part(s)); break;
    default:
        writef(s->w, "%s.depth / %s.span %s %s", p, some_part(s), order(s),
               ONE_OF(s, "1", "2", "1/2"));
    }
}

static void quantified(const Scene *s, int depth)
{
    const char *name = pool_format("x%d", ++*s->fresh);
    unsigned which = chance(s->c, 3);
    writef(s->w, "(%s ", which == 0 ? "every" : which == 1 ? "some" : "no");
    Scene inner = over_parts(s, depth, name);
    if (which == 1) {
        put(s, chance_in(s->c, 40) ? ", at least 2" : "");
    } else if (s->any || chance_in(s->c, 40)) {
        put(s, ONE_OF(s, ", at least one", ", or yes if empty", ", or no if empty"));
    }
    put(s, ": ");
    make_condition(&inner, depth - 1);
    put(s, ")");
}

static void counted(const Scene *s, int depth)
{
    const char *name = pool_format("x%d", ++*s->fresh);
    Scene inner = *s;
    inner.part[inner.parts < 6 ? inner.parts++ : 5] = name;
    if (chance_in(s->c, 30)) {
        put(s, s->group != NULL ? pool_format("count of %s.pieces", s->group)
                                : pool_format("count of %s", list_name(s)));
    } else {
        Scene where = as_condition(&inner);
        writef(s->w, "(count of %s of ", name);
        make_list_of_parts(s, depth - 1);
        put(s, " where ");
        make_condition(&where, depth - 1);
        put(s, ")");
    }
    writef(s->w, " %s %u", ONE_OF(s, "<=", "<", ">=", ">", "=", "!="), chance(s->c, 4));
}

static void greatest_word(const Scene *s, int depth)
{
    const char *name = pool_format("x%d", ++*s->fresh);
    if (chance_in(s->c, 40)) {
        word_of_choice(s, depth);
        writef(s->w, " %s %s", order(s), ONE_OF(s, "small", "middle", "large"));
        return;
    }
    writef(s->w, "(%s of %s.grade for ", ONE_OF(s, "greatest", "least"), name);
    (void)over_parts(s, depth, name);
    writef(s->w, ", or %s if none) %s %s", ONE_OF(s, "small", "large"), order(s),
           ONE_OF(s, "small", "middle", "large"));
}

static void conditional(const Scene *s, int depth)
{
    Scene plain = *s;
    plain.condition = false;
    put(s, "(");
    make_condition(s, depth - 1);
    put(s, " if ");
    make_condition(&plain, depth - 1);
    put(s, " otherwise ");
    make_condition(s, depth - 1);
    put(s, ")");
}

static void joined(const Scene *s, int depth)
{
    unsigned which = chance(s->c, 4);
    if (which == 0) {
        put(s, "not (");
        make_condition(s, depth - 1);
        put(s, ")");
    } else if (which == 1) {
        conditional(s, depth);
    } else {
        Scene inner = *s;
        bool either = which == 2;
        inner.any = s->any || either;
        put(s, "(");
        make_condition(&inner, depth - 1);
        put(s, either ? " or " : " and ");
        make_condition(&inner, depth - 1);
        put(s, ")");
    }
}

void make_condition(const Scene *s, int depth)
{
    unsigned which = chance(s->c, depth > 0 ? 12 : 6);
    if (which < 2) {
        word_condition(s);
    } else if (which == 2) {
        absence_condition(s);
    } else if (which < 5) {
        other_condition(s);
    } else if (which == 5) {
        compare_lengths(s, depth > 0 ? depth : 1);
    } else if (which == 6) {
        compare_lengths(s, depth);
    } else if (which == 7) {
        counted(s, depth);
    } else if (which == 8) {
        greatest_word(s, depth);
    } else if (which == 9) {
        quantified(s, depth);
    } else if (which == 10) {
        joined(s, depth);
    } else if (chance_in(s->c, 15)) {
        put(s, "approval of \"warden\"");
    } else {
        joined(s, depth);
    }
}
