/* Makes up a small rule file: one vocabulary, a code in two editions, a state that adopts them and a
 * county that amends them. The same seed makes the same file. */
#include "cases.h"

#include <string.h>

static const char VOCABULARY[] =
    "vocabulary trial_unit\n"
    "  choice hues one of red, green, blue\n"
    "  choice grades one of small < middle < large\n"
    "  record part\n"
    "    label      text    key always present\n"
    "    hue        hues\n"
    "    grade      grades  always present\n"
    "    width      length  at least 0 in\n"
    "    depth      length  always present at least 0 in at most 100 in\n"
    "    span       length  always present more than 0 in\n"
    "    rise       length  always present more than 0 in\n"
    "    from_front length  always present at least 0 in\n"
    "    from_side  length  always present at least 0 in\n"
    "    load       mass    always present more than 0 lb\n"
    "    heat       temperature\n"
    "    ready      yes/no\n"
    "    solid      yes/no  always present\n"
    "    pieces     count   always present at least 0 at most 9\n"
    "    made       date\n"
    "    checked    date    always present\n"
    "    box        size    always present\n"
    "    share      percent always present at least 0% at most 100%\n"
    "    maker      text\n"
    "    plan from_front along span, from_side across rise\n"
    "  end\n"
    "  record group\n"
    "    label      text    key always present\n"
    "    cap        length  always present at least 0 in\n"
    "    pieces     list of part\n"
    "  end\n"
    "  record frame\n"
    "    height     length  always present at least 0 in\n"
    "    shade      hues    always present\n"
    "  end\n"
    "  fact parts   list of part\n"
    "  fact groups  list of group\n"
    "  fact frame   frame\n"
    "  fact room    length  always present at least 0 in\n"
    "  fact reach   length  at least 0 in\n"
    "  fact tint    hues\n"
    "  fact lit     yes/no  always present\n"
    "  fact stock   count   always present at least 0\n"
    "  fact opened  date    always present\n"
    "  fact supply  temperature always present\n"
    "  topic trial.all \"All of it\"\n"
    "end\n\n";

static const char SHARED[] =
    "  define low = min(room, 40 in)\n"
    "  define face(p: part) = p.depth * p.span\n"
    "  table by_grade by grade: grades in in\n"
    "    small   %u\n    middle  %u\n    large   %u\n  end\n"
    "  table by_both by solid: yes/no, grade: grades in in\n"
    "          small  middle  large\n"
    "    yes   %u     %u      %u\n    no    %u     %u      %u\n  end\n"
    "  table by_pieces by pieces: count in in\n"
    "    0 .. 2  %u\n    3 .. 5  %u\n    6       %u\n    otherwise %s\n  end\n"
    "  table by_steps by at: length next higher in in\n"
    "    6 in   %u\n    1 ft   %u\n    24 in  %u\n    otherwise %s\n  end\n"
    "  table by_line by at: length interpolated in in\n"
    "    0 in   %u\n    10 in  %u\n    40 in  %u\n    otherwise %s\n  end\n"
    "  table by_plane by at: length interpolated, share: percent interpolated in in\n"
    "           0%%  20%%  100%%\n"
    "    0 in   %u   %u   %u\n    20 in  %u   %u   %u\n    80 in  %u   %u   %u\n    otherwise no "
    "rule\n  end\n"
    "  worksheet sums \"Sums\"\n"
    "    step depths \"All depths\" total of t.depth for t of parts in in\n"
    "    step rest \"What is left\" (room - sums.depths) in ft\n  end\n"
    "  reading wide define margin = %u in\n"
    "  reading tight define margin = %u in\n\n";

typedef struct Made {
    const char *number, *label; /* a label of one of its lines, or NULL */
    int lines;
    bool length_limit; /* its one line, or the one labelled l1, compares lengths */
    bool one_per_unit; /* no each: where it applies is plain */
    bool permit, floor;
    bool silences; /* another section: stays one per unit */
    bool kept;     /* named by another section, or a floor: not to be deleted */
    bool readings;
} Made;

static unsigned some(Scene *s)
{
    return 1 + make_some(s, 40);
}

static void write_shared(Scene *s)
{
    const char *otherwise[3];
    for (int i = 0; i < 3; i++) {
        otherwise[i] = chance_in(s->c, 50) ? "no rule" : "9";
    }
    unsigned n[29];
    for (int i = 0; i < 29; i++) {
        n[i] = some(s);
    }
    writef(s->w, SHARED, n[0], n[1], n[2], n[3], n[4], n[5], n[6], n[7], n[8], n[9], n[10], n[11],
           otherwise[0], n[12], n[13], n[14], otherwise[1], n[15], n[16], n[17], otherwise[2],
           n[18], n[19], n[20], n[21], n[22], n[23], n[24], n[25], n[26], n[27], n[28]);
}

static void write_where(Scene *s, int depth)
{
    if (chance_in(s->c, 50)) {
        Scene where = *s;
        where.condition = true;
        writef(s->w, " where ");
        make_condition(&where, depth);
    }
}

/* The each clauses; the scene gets their variables. */
static void write_eachs(Scene *s)
{
    switch (make_some(s, 6)) {
    case 0: break;
    case 4:
        s->part[s->parts++] = "p";
        s->part[s->parts++] = "q";
        writef(s->w, "    each  p of parts\n    each  q of parts that p covers");
        write_where(s, 1);
        writef(s->w, "\n");
        break;
    case 1:
        s->part[s->parts++] = "a";
        s->part[s->parts++] = "b";
        writef(s->w, "    each  pair a, b of parts");
        write_where(s, 1);
        writef(s->w, "\n");
        break;
    case 2:
        s->group = "g";
        writef(s->w, "    each  g of groups\n");
        if (chance_in(s->c, 60)) {
            s->part[s->parts++] = "p";
            writef(s->w, "    each  p of g.pieces");
            write_where(s, 1);
            writef(s->w, "\n");
        }
        break;
    default: {
        Scene list = *s;
        writef(s->w, "    each  p of ");
        make_list_of_parts(&list, 1);
        s->part[s->parts++] = "p";
        write_where(s, 2);
        writef(s->w, "\n");
    }
    }
}

static void write_defines(Scene *s)
{
    for (unsigned n = make_some(s, 3); n > 0; n--) {
        const char *name = pool_format("d%d", ++*s->fresh);
        writef(s->w, "    define %s = ", name);
        make_length_asked(s, 2);
        writef(s->w, "\n");
        s->length[s->lengths++] = name;
    }
    if (chance_in(s->c, 15)) {
        const char *name = pool_format("first_%d", ++*s->fresh);
        writef(s->w, "    define %s = first y of parts", name);
        if (chance_in(s->c, 40)) {
            Scene where = *s;
            where.condition = true;
            where.part[where.parts < 6 ? where.parts++ : 5] = "y";
            writef(s->w, " where ");
            make_condition(&where, 1);
        }
        writef(s->w, " by y.depth\n    define by_%s = %s.span, or 9 in if none\n", name, name);
        s->length[s->lengths++] = pool_format("by_%s", name);
    }
}

static void write_line(Scene *s, const char *indent, const char *label, bool plain)
{
    writef(s->w, "%sshall %s%s%s", indent, chance_in(s->c, 10) ? "not " : "",
           label == NULL ? "" : label, label == NULL ? "" : ": ");
    unsigned which = plain ? 0 : make_some(s, 8);
    if (s->guarded && (which == 3 || which == 4)) {
        which = 0;
    }
    const char *p = s->parts > 0 ? s->part[make_some(s, (unsigned)s->parts)] : NULL;
    static const char *const ABSENT[] = {", if provided", ", required", ", or 5 in if none"};
    if (which <= 2) {
        make_length_asked(s, 2);
        writef(s->w, " %s ", chance_in(s->c, 50) ? "<=" : ">=");
        make_length(s, 2);
    } else if (which == 3) {
        writef(s->w, "%s %s ", p == NULL ? "reach" : pool_format("%s.width", p),
               chance_in(s->c, 50) ? "<" : ">=");
        make_length(s, 1);
        writef(s->w, "%s", ABSENT[make_some(s, 3)]);
    } else if (which == 4 && p != NULL) {
        writef(s->w, "%s.%s%s", p, chance_in(s->c, 50) ? "hue is red" : "ready is yes",
               ABSENT[make_some(s, 2)]);
    } else if (which == 4) {
        writef(s->w, "frame.shade is blue%s", ABSENT[make_some(s, 2)]);
    } else if (which == 5) {
        Scene any = *s;
        any.any = true;
        writef(s->w, "%s of\n", chance_in(s->c, 75) ? "any" : "all");
        for (unsigned n = 2 + make_some(s, 2); n > 0; n--) {
            writef(s->w, "            ");
            make_condition(&any, 2);
            writef(s->w, "\n");
        }
        writef(s->w, "          end");
    } else {
        make_condition(s, 3);
    }
    writef(s->w, "\n");
}

static void write_exceptions(Scene *s, const Made *m)
{
    for (unsigned n = make_some(s, 5); n > 2; n--) {
        bool approval = chance_in(s->c, 25), where = !approval || chance_in(s->c, 50);
        writef(s->w, "    except %s%s",
               chance_in(s->c, 30) && m->label != NULL ? pool_format("to %s ", m->label) : "",
               approval ? "with approval of \"warden\"" : "");
        if (where) {
            Scene condition = *s;
            condition.condition = true;
            writef(s->w, " where ");
            make_condition(&condition, 2);
        }
        writef(s->w, "\n");
        if (chance_in(s->c, 25)) {
            Scene condition = *s;
            condition.condition = true;
            writef(s->w, "      unless ");
            make_condition(&condition, 1);
            writef(s->w, "\n");
        }
        if (chance_in(s->c, 45)) {
            write_line(s, "      ", NULL, false);
        }
    }
}

/* Not where a floor keeps the upper text: what a permit then chooses is not said. */
static void write_permit(Scene *s, Made *m)
{
    m->permit = !m->floor && chance_in(s->c, 12);
    if (m->permit) {
        static const char *const CLAUSES[] = {
            "for units permitted on or after", "for units permitted before",
            "not for units under permit before", "not for units under permit on"};
        writef(s->w, "    %s 2024-0%u-01\n", CLAUSES[make_some(s, 4)], 1 + make_some(s, 6));
    }
}

/* What stands in a section and in an amendment alike. */
static void write_body(const Scene *outer, Made *m)
{
    Scene scene = *outer, *s = &scene;
    size_t start = s->w->length;
    write_permit(s, m);
    write_eachs(s);
    m->one_per_unit = s->parts == 0 && s->group == NULL;
    if (chance_in(s->c, 35)) {
        Scene when = *s;
        when.condition = true;
        writef(s->w, "    when  ");
        make_condition(&when, 2);
        writef(s->w, "\n");
    }
    s->guarded = strstr(s->w->text + start, "none") != NULL;
    write_defines(s);
    m->readings = chance_in(s->c, 15);
    if (m->readings) {
        writef(s->w, "    reading strict define bar = ");
        make_length(s, 1);
        writef(s->w, "\n    reading loose define bar = ");
        make_length(s, 1);
        writef(s->w, "\n");
        s->length[s->lengths++] = "bar";
    }
    m->lines = 1 + (int)make_some(s, 3);
    bool discretion = chance_in(s->c, 15);
    m->label = m->lines + discretion > 1 ? "l1" : NULL;
    m->length_limit = chance_in(s->c, m->label == NULL ? 60 : 30);
    for (int i = 1; i <= m->lines; i++) {
        write_line(s, "    ", m->label == NULL ? NULL : pool_format("l%d", i),
                   m->length_limit && i == 1);
    }
    if (discretion) {
        writef(s->w, "    at the discretion of \"warden\" %s\"enough of it\"\n",
               m->label == NULL ? "" : "l9: ");
    }
    write_exceptions(s, m);
}

static Made write_section(Scene *s, const char *number, Made *others, int n)
{
    Made m = {.number = number};
    writef(s->w, "  section \"%s\" \"Made up\"\n    topic trial.all\n", number);
    write_body(s, &m);
    if (n > 0 && m.one_per_unit && chance_in(s->c, 40)) {
        Made *other = &others[make_some(s, (unsigned)n)];
        writef(s->w, "    notwithstanding \"%s\"\n", other->number);
        other->kept = m.silences = true;
    }
    writef(s->w, "    basis invented\n  end\n\n");
    return m;
}

enum { SECTIONS = 6 };

static void write_code(Scene *s, int edition, Made *made)
{
    writef(s->w,
           "code trial_code edition %d\n  title \"Trial\"\n  vocabulary trial_unit\n  basis "
           "invented\n\n",
           edition);
    write_shared(s);
    for (int i = 0; i < SECTIONS; i++) {
        made[i] = write_section(s,
                                i < 4    ? pool_format("%d", i + 1)
                                : i == 4 ? "5(A)"
                                         : "5(B)",
                                made, i);
    }
    writef(s->w, "end\n\n");
}

static bool write_limit(Scene *s, const Made *m)
{
    if (!m->length_limit) {
        return false;
    }
    writef(s->w, "    amend \"%s\" limit %s%sto %s", m->number, m->label == NULL ? "" : m->label,
           m->label == NULL ? "" : " ", chance_in(s->c, 50) ? "20 in" : "max(low, 1 ft)");
    return true;
}

static void write_amendment(Scene *s, const Made *m)
{
    Made ignored = {.floor = m->floor || m->permit}; /* one permit clause chooses at a time */
    writef(s->w, "    amend \"%s\" to read\n", m->number);
    write_body(s, &ignored);
    writef(s->w, "      basis invented\n    end");
}

static void write_change(Scene *s, Made *m, const char *fate)
{
    unsigned which = make_some(s, 5);
    if (which == 0 && !m->kept) {
        writef(s->w, "    delete \"%s\"%s\n", m->number, fate);
    } else if (which <= 2 && write_limit(s, m)) {
        writef(s->w, "%s\n", fate);
    } else if (which == 3 && m->readings) {
        writef(s->w, "    applies reading %s in \"%s\"\n", chance_in(s->c, 50) ? "strict" : "loose",
               m->number);
    } else if (!m->silences) {
        write_amendment(s, m);
        writef(s->w, "%s\n", fate);
    }
}

/* A change of the older edition that stays in force in the newer one. */
static void write_carried(Scene *s, const Made *first, Made *second)
{
    if (first->length_limit && second->length_limit && same(first->label, second->label) &&
        write_limit(s, first)) {
        writef(s->w, " carries over\n");
        second->kept = true;
    } else if (!first->silences && !second->silences && !second->floor) {
        write_amendment(s, first);
        writef(s->w, " carries over\n");
        second->kept = true;
        second->length_limit = second->readings = false; /* it is another text now */
    }
}

static void write_county(Scene *s, Made *first, Made *second)
{
    writef(s->w, "jurisdiction county \"County\" within state\n\n"
                 "  amends trial_code edition 1 in force from 2021-01-01 by \"Ord. 1\"\n");
    for (int i = 0; i < SECTIONS; i++) {
        if (chance_in(s->c, 20)) {
            write_change(s, &first[i], " lapses");
        } else if (chance_in(s->c, 10)) {
            write_carried(s, &first[i], &second[i]);
        }
    }
    writef(s->w, "\n  amends trial_code edition 2 in force from 2024-03-01 by \"Ord. 2\"\n");
    for (int i = 0; i < SECTIONS; i++) {
        if (chance_in(s->c, 35)) {
            write_change(s, &second[i], "");
        }
    }
    if (chance_in(s->c, 50)) {
        writef(s->w, "    applies reading %s\n", chance_in(s->c, 50) ? "wide" : "tight");
    }
    Made inserted = {.number = "9"};
    if (chance_in(s->c, 50)) {
        writef(s->w, "    insert section \"9\" \"Inserted\"\n    topic trial.all\n");
        write_body(s, &inserted);
        writef(s->w, "    basis invented\n    end\n");
    }
    writef(s->w, "end\n");
}

void make_rules(Writer *w, uint64_t seed)
{
    Chance c = {seed * 0xd1342543de82ef95U + 7};
    int fresh = 0;
    Scene scene = {.c = &c, .w = w, .fresh = &fresh};
    Made first[SECTIONS], second[SECTIONS];
    writef(w, "%s", VOCABULARY);
    write_code(&scene, 1, first);
    write_code(&scene, 2, second);
    writef(w, "jurisdiction state \"State\"\n"
              "  adopts trial_code edition 1 in force from 2020-01-01 by \"Reg. 1\"\n"
              "  adopts trial_code edition 2 in force from 2024-01-01 by \"Reg. 2\"\n");
    if (chance_in(&c, 50)) {
        Made *floor = &second[chance(&c, SECTIONS)];
        while (floor->permit) {
            floor = &second[chance(&c, SECTIONS)];
        }
        writef(w, "    locally at least as strict in \"%s\"\n", floor->number);
        floor->kept = floor->floor = true;
    }
    writef(w, "end\n\n");
    write_county(&scene, first, second);
}
