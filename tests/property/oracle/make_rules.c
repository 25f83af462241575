/* Makes up a small rule file: here the vocabulary and the codes, a code in two editions and one beside
 * it; make_law.c makes the levels that adopt and change them. The same seed makes the same file. */
#include "make.h"

#include <string.h>

/* Things are parts or benches; their further fields may stand in a piece of the vocabulary, benches too. */
static const char VOCABULARY[] =
    "vocabulary trial_unit\n"
    "  choice hues one of red, green, blue\n"
    "  choice grades one of small < middle < large\n"
    "  record thing\n"
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
    "    checked    date    always present\n"
    "    box        size    always present\n"
    "    share      percent always present at least 0% at most 100%\n"
    "    plan from_front along span, from_side across rise\n"
    "  end\n"
    "  record part as thing\n"
    "    fit        length  always present at least 0 in\n"
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
    "  fact kind    one of cart, truck, trailer  always present\n"
    "  fact home    text    always present\n"
    "  topic trial.one \"The first\"\n"
    "  topic trial.two \"The second\"\n"
    "  topic trial.two.deep \"Of the second\"\n";

static const char FURTHER[] = "    made       date\n"
                              "    maker      text\n"
                              "  end\n"
                              "  record bench as thing\n"
                              "    legs       count   always present at least 0 at most 9\n"
                              "  end\n"
                              "  fact benches list of bench\n"
                              "  fact stool   bench\n";

static const char PARTED[] = "end\n\n-- file words.shall\nvocabulary trial_unit continued\n";

static const char SHARED[] =
    "  define low = min(room, 40 in)\n"
    "  define face(deep: length, wide: length) = deep * wide\n"
    "  define tall(g: group) = g.cap + 1 in\n"
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
    switch (s->unit ? 0 : make_some(s, 6)) {
    case 0: break;
    case 4:
        s->part[s->parts++] = "p";
        s->part[s->parts++] = "q";
        writef(s->w, "    each  p of %s\n    each  q of %s that p covers", list_name(s),
               list_name(s));
        write_where(s, 1);
        writef(s->w, "\n");
        break;
    case 1:
        s->part[s->parts++] = "a";
        s->part[s->parts++] = "b";
        writef(s->w, "    each  pair a, b of %s", list_name(s));
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
        writef(s->w, "    define %s = first y of %s", name, list_name(s));
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

static void write_line(Scene *s, const char *indent, const char *label, bool plain, bool blank)
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
        if (blank) {
            writef(s->w, "blank \"so much\"");
        } else {
            make_length(s, 2);
        }
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

/* One exception behind the word "except"; false: it must say where. */
void write_exception(Scene *s, const char *to, const char *cite)
{
    bool approval = chance_in(s->c, 25), where = !approval || chance_in(s->c, 50);
    Scene condition = *s;
    condition.condition = true;
    writef(s->w, "    except %s%s", to != NULL ? pool_format("to %s ", to) : "",
           approval ? "with approval of \"warden\"" : "");
    if (where) {
        writef(s->w, " where ");
        make_condition(&condition, 2);
    }
    writef(s->w, "%s\n", cite == NULL ? "" : pool_format(" by \"%s\"", cite));
    if (chance_in(s->c, 25)) {
        writef(s->w, "      unless ");
        make_condition(&condition, 1);
        writef(s->w, "\n");
    }
    if (chance_in(s->c, 45)) {
        write_line(s, "      ", NULL, false, false);
    }
}

static void write_exceptions(Scene *s, Made *m)
{
    for (unsigned n = make_some(s, 5); n > 2; n--) {
        const char *to = chance_in(s->c, 30) ? m->label : NULL;
        const char *cite = chance_in(s->c, 50) ? pool_format("X-%d", ++*s->fresh) : NULL;
        m->cite = cite != NULL ? cite : m->cite;
        write_exception(s, to, cite);
    }
}

/* What codes, levels and rows may ask of a unit: never twice the same, since whether such a condition is
 * one and the same wherever it stands is not said. */
void write_unit_condition(Scene *s, bool named)
{
    static const char *const ASKS[] = {
        "stock >= %d",
        "room <= %d in",
        "opened on or after 2024-01-01 + %d day",
        "home is \"Harbor %d\"",
        "kind is cart or stock = %d",
        "tint is red and room > %d in",
        "kind among (cart, trailer) and opened before 2024-01-01 + %d day",
        "not (lit is no or stock = %d)"};
    int n = ++*s->fresh;
    if (named && chance_in(s->c, 15)) {
        writef(s->w, "modest");
        return;
    }
    const char *ask = ASKS[make_some(s, sizeof ASKS / sizeof ASKS[0])];
    const char *hole = strstr(ask, "%d");
    writef(s->w, "%.*s%d%s", (int)(hole - ask), ask, strstr(ask, "day") != NULL ? n * 5 : n,
           hole + 2);
}

/* Not where a floor keeps the upper text: what then chooses is not said. One thing chooses at a time. */
static void write_permit(Scene *s, Made *m)
{
    static const char *const CLAUSES[] = {
        "for units permitted on or after", "for units permitted before",
        "not for units under permit before", "not for units under permit on"};
    m->split = !m->fixed && chance_in(s->c, 20);
    if (m->split && chance_in(s->c, 40)) {
        writef(s->w, "    for units where ");
        write_unit_condition(s, false);
        writef(s->w, "\n");
    } else if (m->split && chance_in(s->c, 30)) {
        writef(s->w, "    existing units from %s\n",
               date_text(m->day + 90 + (long)make_some(s, 300)));
    } else if (m->split && chance_in(s->c, 50)) {
        writef(s->w, "    %s %s\n", CLAUSES[2 + make_some(s, 2)],
               date_text(date_days(2019, 7, 1) + (long)make_some(s, 150)));
    } else if (m->split) {
        writef(s->w, "    %s %s\n", CLAUSES[make_some(s, 2)],
               date_text(date_days(2024, 1, 1) + (long)make_some(s, 200)));
    }
}

/* What stands in a section and in an amendment alike. */
void write_body(const Scene *outer, Made *m)
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
    bool blank = m->may_be_blank && m->length_limit && chance_in(s->c, 25);
    for (int i = 1; i <= m->lines; i++) {
        write_line(s, "    ", m->label == NULL ? NULL : pool_format("l%d", i),
                   m->length_limit && i == 1, blank && i == 1);
    }
    if (discretion) {
        writef(s->w, "    at the discretion of \"warden\" %s\"enough of it\"\n",
               m->label == NULL ? "" : "l9: ");
    }
    write_exceptions(s, m);
}

static const char *some_topic(const Scene *s)
{
    static const char *const TOPICS[] = {"trial.one", "trial.two", "trial.two.deep"};
    return TOPICS[make_some(s, 3)];
}

/* The standing of a section; of the first two of a code, authorities that a place must know. */
void write_standing(Scene *s, Made *m, const char *authority)
{
    m->topic = some_topic(s);
    writef(s->w, "    topic %s\n", m->topic);
    if (authority != NULL) {
        writef(s->w, "    authority %s\n", authority);
    }
    if (chance_in(s->c, 10)) {
        writef(s->w, "    not to be waived\n");
    }
    if (chance_in(s->c, 10)) {
        writef(s->w, "    also at \"Z-%d\"\n", ++*s->fresh);
    }
    if (chance_in(s->c, 10)) {
        writef(s->w, "    confirmed by \"office\" on 2024-01-01 letter \"L\"\n");
    }
}

static Made write_section(Scene *s, const char *number, Made *others, int n, const char *formerly)
{
    static const char *const AUTHORITIES[] = {"health", "fire", NULL};
    Made m = {.number = number, .may_be_blank = true, .day = date_days(2024, 1, 1)};
    writef(s->w, "  section \"%s\" \"Made up\"\n", number);
    write_standing(s, &m, AUTHORITIES[n < 2 ? (unsigned)n : make_some(s, 3)]);
    if (formerly != NULL) {
        writef(s->w, "    formerly \"%s\"\n", formerly);
    }
    write_body(s, &m);
    if (n > 0 && m.one_per_unit && chance_in(s->c, 40)) {
        Made *other = &others[make_some(s, (unsigned)n)];
        writef(s->w, "    notwithstanding \"%s\"\n", other->number);
        other->kept = m.silences = true;
    }
    writef(s->w, "    basis invented\n  end\n\n");
    return m;
}

static void write_head(Scene *s, Set *set, const Set *from)
{
    writef(s->w, "code %s edition %s", set->code, set->edition);
    if (from != NULL) {
        writef(s->w, " as edition %s", from->edition);
    }
    writef(s->w, "\n  title \"Trial\"\n  vocabulary trial_unit\n  basis invented\n%s",
           chance_in(s->c, 30) ? "  cited as \"Trial {section}\"\n" : "");
    if (set->published != 0) {
        writef(s->w, "  published %s\n", date_text(set->published));
    }
    if ((from == NULL || !from->units) && chance_in(s->c, 20)) {
        set->units = true;
        writef(s->w, "  for units where ");
        write_unit_condition(s, false);
        writef(s->w, "\n");
    }
    if (chance_in(s->c, 20)) {
        writef(s->w, "  authority health\n");
    }
    writef(s->w, "\n");
}

/* Beside the sections of an edition that begins as another: all anew, or some of it. */
static void write_shared_anew(Scene *s, const Set *from)
{
    if (from == NULL || chance_in(s->c, 30)) {
        write_shared(s);
        return;
    }
    if (chance_in(s->c, 40)) {
        writef(s->w, "  define low = min(room, %u in)\n", some(s));
    }
    if (chance_in(s->c, 40)) {
        unsigned n[3] = {some(s), some(s), some(s)};
        writef(s->w,
               "  table by_grade by grade: grades in in\n    small   %u\n    middle  %u\n"
               "    large   %u\n  end\n",
               n[0], n[1], n[2]);
    }
}

/* Of an edition that begins as another: is the section taken over as it is? */
static bool taken_over(Scene *s, const Set *from, int i, const char *number, Made *m)
{
    if (from == NULL || !same(from->made[i].number, number)) {
        return false;
    }
    m->kept = from->made[i].kept; /* a section that is taken over may name it */
    if (chance_in(s->c, 50)) {
        return false;
    }
    *m = from->made[i];
    return true;
}

/* What is not taken over and not written anew. */
static void write_left_out(Scene *s, const Set *from, const char *const *numbers)
{
    for (int i = 0; from != NULL && i < from->n; i++) {
        if (!same(from->made[i].number, numbers[i])) {
            writef(s->w,
                   chance_in(s->c, 50) ? "  omitted section \"%s\" \"no more\"\n"
                                       : "  reserved \"%s\"\n",
                   from->made[i].number);
        }
    }
}

/* A code, perhaps begun as another edition; sometimes its last sections stand in a piece of it. */
void write_code(Scene *s, Set *set, const Set *from, const char *const *numbers, int n)
{
    write_head(s, set, from);
    write_shared_anew(s, from);
    write_left_out(s, from, numbers);
    s->unit = same(set->code, "side_code");
    if (chance_in(s->c, 20)) {
        writef(s->w, "  reserved \"%s0\"\n", numbers[0]);
    }
    int piece = chance_in(s->c, 30) ? n - 2 : n;
    for (int i = 0; i < n; i++) {
        if (i == piece) {
            writef(s->w,
                   "end\n\n-- file piece-%s.shall\ncode %s edition %s continued\n  basis "
                   "practice\n%s\n",
                   set->edition, set->code, set->edition,
                   chance_in(s->c, 50) ? "  authority fire\n" : "");
        }
        const char *formerly = same(numbers[i], "14") ? "4" : NULL;
        Made old = {0};
        if (taken_over(s, from, i, numbers[i], &old)) {
            set->made[i] = old;
            continue;
        }
        set->made[i] = write_section(s, numbers[i], set->made, i, formerly);
        set->made[i].kept = set->made[i].kept || old.kept;
    }
    for (int i = 0; i < n && set->from != 0; i++) {
        set->made[i].day = set->from; /* on which the edition comes into force */
    }
    set->n = n;
    s->unit = false;
    writef(s->w, "end\n\n%s", piece < n ? "-- file made.shall\n" : "");
}

void write_vocabulary(Scene *s)
{
    bool parted = chance_in(s->c, 60), early = chance_in(s->c, 50);
    const char *gathered = "  fact things every thing\n";
    writef(s->w, "-- file made.shall\n%s%s%s  record thing continued\n%s%send\n\n", VOCABULARY,
           early ? gathered : "", parted ? PARTED : "", FURTHER, early ? "" : gathered);
    writef(s->w, "%s", parted ? "-- file made.shall\n" : "");
}
