/* law/library: files found and read, names that are defined twice or nowhere, circles. All demo
 * law is invented; the rules are those of docs/language.md, sections 2 and 8. */
#include <check.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "law_world.h"

/* ---- names ---- */

START_TEST(what_the_files_define_is_found_by_name)
{
    World world = WORLD(VOCABULARY, CODE("2024", SECTION("1")) CODE("2021", SECTION("1")),
                        STATE("") COUNTY(""));
    expect_none(&world);
    const Name *larder = names_intern(world.names, TEXT("larder"));
    ck_assert_uint_eq(world.library->code_count, 2);
    ck_assert(text_equal(world.library->codes[0]->edition, TEXT("2021")));
    ck_assert_ptr_eq(library_code(world.library, larder, TEXT("2024")), world.library->codes[1]);
    ck_assert_ptr_null(library_code(world.library, larder, TEXT("2022")));
    ck_assert_ptr_null(
        library_code(world.library, names_intern(world.names, TEXT("mechanical")), TEXT("2024")));
    ck_assert_ptr_nonnull(library_jurisdiction(world.library, TEXT("halloway")));
    ck_assert_ptr_nonnull(library_jurisdiction(world.library, TEXT("quillmark")));
    ck_assert_ptr_null(library_jurisdiction(world.library, TEXT("hallowa")));
    ck_assert(
        text_equal(library_nearest_jurisdiction(world.library, TEXT("hallowa")), TEXT("halloway")));
    ck_assert_uint_eq(library_nearest_jurisdiction(world.library, TEXT("x")).len, 0);
    const Vocabulary *only = library_vocabulary(world.library, NULL);
    ck_assert_ptr_nonnull(only);
    ck_assert_ptr_eq(library_vocabulary(world.library, only->name), only);
    ck_assert_ptr_null(library_vocabulary(world.library, larder));
    world_free(&world);
}
END_TEST

START_TEST(of_two_vocabularies_none_is_the_only_one)
{
    World world = WORLD(VOCABULARY, "vocabulary cart\n fact width length\nend\n",
                        "code larder edition 1 vocabulary cart end\n");
    expect_none(&world);
    ck_assert_ptr_null(library_vocabulary(world.library, NULL));
    world_free(&world);
}
END_TEST

START_TEST(double_definitions_name_both_places)
{
    World world = WORLD(VOCABULARY, "vocabulary unit\n fact width length\nend\n");
    expect(&world, "defined twice", "unit", "unit", "first defined here");
    world_free(&world);

    world = WORLD(VOCABULARY, CODE("2024", SECTION("1")), CODE("2024", SECTION("2")));
    expect(&world, "defined twice", "larder", "larder", "first defined here");
    ck_assert_uint_eq(world.library->code_count, 1);
    ck_assert(text_equal(world.library->codes[0]->sections->number, TEXT("1")));
    world_free(&world);

    world = WORLD(STATE(""), STATE(""));
    expect(&world, "defined twice", "halloway", "halloway", "first defined here");
    ck_assert_uint_eq(world.library->jurisdiction_count, 1);
    world_free(&world);
}
END_TEST

/* meaning.md 9: two sections with one number need parts */
START_TEST(a_number_stands_once_or_once_for_each_part)
{
    World world = WORLD(VOCABULARY, CODE("1", SECTION("9") SECTION("8") SECTION("9")));
    expect(&world, "defined twice", "\"9\"", "\"9\"", "first defined here");
    world_free(&world);

    world = WORLD(VOCABULARY, CODE("1", "section \"9\" part size shall width <= 1 in end\n"
                                        "section \"9\" part gap shall width <= 1 in end\n"));
    expect_none(&world);
    world_free(&world);

    world = WORLD(VOCABULARY,
                  CODE("1", "section \"9\" part size shall width <= 1 in end\n" SECTION("9")));
    expect(&world, "part not said", "\"9\"", "\"9\"", "the other one");
    world_free(&world);

    world = WORLD(VOCABULARY, CODE("1", "section \"9\" part a shall width <= 1 in end\n"
                                        "section \"9\" part b shall width <= 1 in end\n"
                                        "section \"9\" part a shall width <= 1 in end\n"));
    expect(&world, "defined twice", "\"9\"", "\"9\"", "first defined here");
    world_free(&world);

    world = WORLD(VOCABULARY, CODE("1", SECTION("9") SECTION("9") SECTION("9")));
    ck_assert_uint_eq(world.diags.errors, 2); /* the second and the third, each once */
    world_free(&world);
}
END_TEST

START_TEST(unknown_names_come_with_the_nearest)
{
    World world =
        WORLD(VOCABULARY, CODE("2024", SECTION("1")),
              STATE("adopts lardr edition 2024 in force from 2025-01-01 by \"Reg. 1\"\n"));
    expect(&world, "unknown code", "lardr", "", "did you mean 'larder'?");
    world_free(&world);

    world = WORLD(VOCABULARY, CODE("2024", SECTION("1")), STATE(ADOPTS("2023", "2025-01-01", "R")));
    expect(&world, "unknown edition", "larder", "larder", "edition '2024' is here");
    world_free(&world);

    world = WORLD(STATE(""), "jurisdiction quillmark \"Q\" within haloway end\n");
    expect(&world, "unknown jurisdiction", "haloway", "", "did you mean 'halloway'?");
    world_free(&world);

    world = WORLD(VOCABULARY, "code larder edition 1 vocabulary unt end\n");
    expect(&world, "unknown vocabulary", "unt", "", "did you mean 'unit'?");
    world_free(&world);
}
END_TEST

START_TEST(a_code_says_which_vocabulary_is_its_own)
{
    World world =
        WORLD(VOCABULARY, "vocabulary cart\n fact width length\nend\n", CODE("1", SECTION("1")));
    expect(&world, "vocabulary not said", "larder", NULL, "");
    world_free(&world);
    world = WORLD(CODE("1", SECTION("1")));
    expect(&world, "unknown vocabulary", "larder", NULL, "");
    world_free(&world);
}
END_TEST

START_TEST(a_circle_is_reported_once_and_does_not_hold_the_assembly)
{
    World world =
        WORLD("jurisdiction a \"A\" within c end\n", "jurisdiction b \"B\" within a end\n",
              "jurisdiction c \"C\" within b end\n", "jurisdiction d \"D\" within b end\n");
    expect(&world, "circle of jurisdictions", "c", "a", "'c' is within 'b', which is within 'a'");
    LawTree *law = world_law(&world, "d", "2025-01-01");
    ck_assert_uint_eq(law->level_count, 4);
    world_free(&world);

    world = WORLD("jurisdiction a \"A\" within a end\n", "jurisdiction b \"B\" within a end\n");
    expect(&world, "circle of jurisdictions", "a", NULL, "");
    ck_assert_uint_eq(world_law(&world, "a", "2025-01-01")->level_count, 1);
    world_free(&world);

    /* one that is only within a circle is not in it */
    world = WORLD("jurisdiction a \"A\" within c end\n", "jurisdiction b \"B\" within c end\n",
                  "jurisdiction c \"C\" within b end\n");
    expect(&world, "circle of jurisdictions", "c", "b", "'b' is within 'c', which is within 'b'");
    world_free(&world);
}
END_TEST

START_TEST(a_file_with_syntax_errors_still_gives_a_library)
{
    World world = WORLD(VOCABULARY, "code edition 3 end\n", "jurisdiction end\n",
                        "jurisdiction quillmark \"Q\"\n  adopts edition by amend delete\n"
                        "  amend \"1\" limit to\n  insert section end\nend\n",
                        CODE("1", SECTION("1")), "vocabulary end\n");
    ck_assert_uint_gt(world.diags.errors, 0);
    for (uint32_t i = 0; i < world.library->jurisdiction_count; i++) {
        uint32_t count = 0;
        ck_assert_ptr_nonnull(law_assemble(world.arena, world.library,
                                           world.library->jurisdictions[i], 0, &world.diags));
        (void)law_dates(world.arena, world.library, world.library->jurisdictions[i], &count);
    }
    world_free(&world);
}
END_TEST

/* ---- pieces ---- */

#define PIECE(body) "code larder edition 2024 continued\n" body "end\n"
#define COUNTY_PIECE(body) "jurisdiction quillmark continued\n" body "end\n"
#define RANKED(number, words) "section \"" number "\" " words " shall width <= 24 in end\n"

/* The sections of the one code with what they have of rank, authority, stages, rework and basis. */
static const char *standings(World *world)
{
    Buffer out = buffer_make(world->arena);
    const CodeTree *code = world->library->codes[0];
    for (const SectionTree *at = code->sections; at != NULL; at = at->next) {
        const StandingTree *own = &at->standing;
        buffer_format(
            &out, "%.*s %.*s %.*s%s %u %s %s in %.*s\n", TEXT_ARG(at->number),
            TEXT_ARG(own->rank.len > 0 ? own->rank : TEXT("-")),
            TEXT_ARG(own->authority != NULL ? own->authority->text : TEXT("-")),
            own->advises ? " advises" : "", own->stages,
            own->rework == REWORK_UNSAID ? "-" : rework_word((Rework)own->rework),
            at->body.basis.kind == BASIS_UNSAID ? "-" : basis_word((BasisKind)at->body.basis.kind),
            TEXT_ARG(at->source->path));
    }
    return text_string(world->arena, buffer_done(&out));
}

START_TEST(what_a_piece_says_of_standing_holds_for_its_own_sections)
{
    World world = WORLD(
        VOCABULARY,
        CODE("2024", "ranks core, minor authority health rank minor basis memory\n" SECTION("1")),
        PIECE(
            "rank core authority fire may advise stage final rework paper basis practice\n" RANKED(
                "2", "") RANKED("3", "rank minor authority gas stage intake rework frame "
                                     "basis invented")),
        PIECE(SECTION("4")));
    expect_none(&world);
    ck_assert_str_eq(standings(&world), "1 - - 0 - - in 1.shall\n"
                                        "2 core fire advises 8 paper practice in 2.shall\n"
                                        "3 minor gas 1 frame invented in 2.shall\n"
                                        "4 - - 0 - - in 3.shall\n");
    ck_assert_uint_eq(world.library->codes[0]->piece_count, 3);
    ck_assert(text_equal(world.library->codes[0]->standing.rank, TEXT("minor")));
    world_free(&world);
}
END_TEST

/* Nothing that was parsed is changed: the pieces are still as they were written. */
START_TEST(joining_changes_no_tree_of_a_file)
{
    World world =
        WORLD(VOCABULARY, CODE("2024", SECTION("1")),
              PIECE("rank core\n" SECTION("2") "define low = 1 in\n"), PIECE(SECTION("3")));
    const CodeTree *joined = world.library->codes[0];
    uint32_t count = 0;
    for (const SectionTree *at = joined->sections; at != NULL; at = at->next) {
        count++;
    }
    ck_assert_uint_eq(count, 3);
    for (size_t i = 0; i < joined->piece_count; i++) {
        const CodeTree *piece = joined->pieces[i];
        ck_assert_ptr_nonnull(piece->sections);
        ck_assert_ptr_null(piece->sections->next);
        ck_assert_uint_eq(piece->sections->standing.rank.len, 0);
    }
    ck_assert_ptr_null(joined->pieces[0]->defines);
    ck_assert_ptr_nonnull(joined->defines);
    ck_assert(text_equal(joined->defines->source->path, TEXT("2.shall")));
    world_free(&world);
}
END_TEST

/* The same law whichever way the files come: sections, definitions, blocks. */
START_TEST(pieces_make_one_law_in_any_order_of_files)
{
    const char *law[2] = {NULL, NULL};
    World worlds[2];
    for (int turned = 0; turned <= 1; turned++) {
        worlds[turned] = WORLD_TURNED(
            turned == 1, VOCABULARY, CODE("2024", SECTION("1")), PIECE(SECTION("2")),
            PIECE(SECTION("2-1") SECTION("3")),
            STATE(ADOPTS("2024", "2024-01-01", "Reg. 1")) COUNTY(""),
            COUNTY_PIECE(AMENDS("2024", "2024-02-01", "Ord. 2") "amend \"2\" limit to 20 in\n"),
            COUNTY_PIECE(AMENDS("2024", "2024-03-01", "Ord. 3") "amend \"2\" limit to 18 in\n"
                                                                "delete \"3\"\n"));
        expect_none(&worlds[turned]);
        World *world = &worlds[turned];
        LawTree *tree = world_law(world, "quillmark", "2024-06-01");
        expect_none(world);
        ck_assert_str_eq(law_numbers(world, tree), "1 2 2-1");
        law[turned] = law_section(world, tree, "2");
    }
    ck_assert_str_eq(law[0], law[1]);
    ck_assert_ptr_nonnull(strstr(law[0], "-> 18 in"));
    world_free(&worlds[0]);
    world_free(&worlds[1]);
}
END_TEST

START_TEST(a_piece_without_a_main_one_is_an_error)
{
    World world = WORLD(VOCABULARY, PIECE(SECTION("2")));
    expect(&world, "nothing to continue", "larder", NULL, "");
    ck_assert_uint_eq(world.library->code_count, 0);
    world_free(&world);

    world = WORLD(VOCABULARY, CODE("2021", SECTION("1")), PIECE(SECTION("2")));
    expect(&world, "nothing to continue", "larder", "larder", "edition '2021' is here");
    world_free(&world);

    world = WORLD(VOCABULARY, CODE("2024", SECTION("1")),
                  "code lardr edition 2024 continued\n" SECTION("2") "end\n");
    expect(&world, "nothing to continue", "lardr", "", "did you mean 'larder'?");
    world_free(&world);

    world = WORLD(STATE(""), "jurisdiction haloway continued end\n");
    expect(&world, "nothing to continue", "haloway", "", "did you mean 'halloway'?");
    ck_assert_uint_eq(world.library->jurisdiction_count, 1);
    world_free(&world);

    world = WORLD(COUNTY_PIECE(""), COUNTY_PIECE("")); /* each of them */
    ck_assert_uint_eq(world.diags.errors, 2);
    world_free(&world);
}
END_TEST

START_TEST(two_main_ones_and_their_pieces)
{
    for (int turned = 0; turned <= 1; turned++) {
        World world = WORLD_TURNED(turned == 1, VOCABULARY, CODE("2024", SECTION("1")),
                                   PIECE(SECTION("2")), CODE("2024", SECTION("3")));
        expect(&world, "defined twice", "larder", "larder", "first defined here");
        const CodeTree *code = world.library->codes[0];
        ck_assert_uint_eq(world.library->code_count, 1);
        ck_assert(text_equal(code->source->path, TEXT("1.shall"))); /* in order of path */
        ck_assert(text_equal(code->sections->next->number, TEXT("2")));
        ck_assert_ptr_null(code->sections->next->next);
        world_free(&world);
    }
}
END_TEST

START_TEST(a_section_in_two_pieces_is_an_error_with_both_places)
{
    World world = WORLD(VOCABULARY, CODE("2024", SECTION("1")), PIECE(SECTION("2")),
                        PIECE(SECTION("3") SECTION("2")));
    expect(&world, "defined twice", "\"2\"", "\"2\"", "first defined here");
    const Diagnostic *diag = world_find(&world, "defined twice", "\"2\"");
    ck_assert(diag != NULL && diag->notes != NULL);
    ck_assert(text_equal(diag->place.source->path, TEXT("3.shall")));
    ck_assert(text_equal(diag->notes->place.source->path, TEXT("2.shall")));
    world_free(&world);

    world = WORLD(VOCABULARY, CODE("2024", SECTION("1")),
                  PIECE("section \"1\" part size shall width <= 1 in end\n"));
    expect(&world, "part not said", "\"1\"", "\"1\"", "the other one");
    world_free(&world);
}
END_TEST

START_TEST(what_is_of_the_whole_is_not_said_in_a_piece)
{
    static const char *const said[] = {"title \"Larder\"\n",  "publisher \"Office\"\n",
                                       "vocabulary unit\n",   "published 2024-01-01\n",
                                       "ranks core, minor\n", "for units where width > 1 in\n"};
    for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
        Arena *arena = arena_new();
        const char *piece = text_string(
            arena, text_format(arena, "code larder edition 2024 continued\n  %send\n", said[i]));
        World world = WORLD(VOCABULARY, CODE("2024", SECTION("1")), piece);
        Text at = text_trim(text_of(said[i]));
        expect(&world, "said in a piece", text_string(arena, at), "larder", "the code begins here");
        world_free(&world);
        arena_free(arena);
    }
}
END_TEST

/* ---- digests ---- */

START_TEST(a_library_in_memory_has_no_digest)
{
    World world = WORLD(VOCABULARY);
    uint32_t count = 7;
    (void)library_digests(world.arena, world.library, &count);
    ck_assert_uint_eq(count, 0);
    world_free(&world);
}
END_TEST

/* ---- files ---- */

static char folder[] = "/tmp/shall-library-XXXXXX";

static void make_folder(void)
{
    ck_assert_ptr_nonnull(mkdtemp(folder));
}

/* Everything that a test may have left: it knows the names. */
static void remove_folder(void)
{
    static const char *const names[] = {
        "b.shall",    "a.shall",   "a-b.shall", ".hidden.shall",  "notes.txt",
        "a/c.shall",  "a/z.shall", "a/up",      "a/.git/x.shall", "link.shall",
        "gone.shall", "a/.git",    "a",         "empty",          ""};
    char path[256];
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        (void)snprintf(path, sizeof path, "%s/%s", folder, names[i]);
        (void)remove(path);
    }
    ck_assert_int_eq(access(folder, F_OK), -1);
    (void)strcpy(folder + strlen(folder) - 6, "XXXXXX");
}

static void make_directory(const char *name)
{
    char path[256];
    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    ck_assert_int_eq(mkdir(path, 0700), 0);
}

/* A file that holds one jurisdiction of that name. */
static void make_file(const char *name, const char *jurisdiction)
{
    char path[256];
    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    ck_assert_int_gt(fprintf(file, "jurisdiction %s \"J\" end\n", jurisdiction), 0);
    ck_assert_int_eq(fclose(file), 0);
}

static World read_paths(const char *const *names, size_t count)
{
    World world = {.arena = arena_new()};
    world.names = names_new(world.arena);
    world.diags = diagnostics_make(world.arena);
    const char *paths[WORLD_FILES_MAX];
    for (size_t i = 0; i < count; i++) {
        Text path = text_format(world.arena, "%s/%s", folder, names[i]);
        paths[i] = text_string(world.arena, path);
    }
    world.library = library_read(world.arena, world.names, paths, count, &world.diags);
    return world;
}

#define READ(...)                                  \
    read_paths((const char *const[]){__VA_ARGS__}, \
               sizeof((const char *const[]){__VA_ARGS__}) / sizeof(char *))

/* Paths of the files read, within the folder. */
static const char *paths_of(World *world)
{
    Buffer out = buffer_make(world->arena);
    for (const FileTree *file = world->library->files; file != NULL; file = file->next) {
        Text path = file->source->path;
        size_t skip = strlen(folder) + 1;
        ck_assert_uint_gt(path.len, skip);
        buffer_format(&out, "%s%.*s", out.len == 0 ? "" : " ", (int)(path.len - skip),
                      path.data + skip);
    }
    return text_string(world->arena, buffer_done(&out));
}

START_TEST(directories_are_walked_in_byte_order_of_path)
{
    make_directory("a");
    make_directory("a/.git");
    make_file("b.shall", "b");
    make_file("a.shall", "a");
    make_file("a-b.shall", "ab");
    make_file("a/z.shall", "z");
    make_file("a/c.shall", "c");
    make_file("a/.git/x.shall", "x");
    make_file(".hidden.shall", "hidden");
    make_file("notes.txt", "notes");
    World world = READ("");
    expect_none(&world);
    ck_assert_str_eq(paths_of(&world), "a-b.shall a.shall a/c.shall a/z.shall b.shall");
    world_free(&world);
    world = READ("/");
    ck_assert_str_eq(paths_of(&world), "a-b.shall a.shall a/c.shall a/z.shall b.shall");
    world_free(&world);
}
END_TEST

START_TEST(each_file_is_read_once_in_whatever_order_it_is_named)
{
    char target[256];
    char link[256];
    make_directory("a");
    make_file("b.shall", "b");
    make_file("a/c.shall", "c");
    make_file("notes.txt", "notes");
    (void)snprintf(target, sizeof target, "%s/b.shall", folder);
    (void)snprintf(link, sizeof link, "%s/link.shall", folder);
    ck_assert_int_eq(symlink(target, link), 0);

    World world = READ("b.shall", "", "a", "a/c.shall", "b.shall");
    expect_none(&world);
    ck_assert_str_eq(paths_of(&world), "a/c.shall b.shall");
    world_free(&world);
    (void)snprintf(link, sizeof link, "%s/a/up", folder);
    ck_assert_int_eq(symlink(folder, link), 0);
    world = READ("a/c.shall", ""); /* a link to a directory it stands in leads nowhere new */
    expect_none(&world);
    ck_assert_str_eq(paths_of(&world), "a/c.shall b.shall");
    world_free(&world);
    world = READ("notes.txt", "b.shall", "a/c.shall"); /* a file named is read, whatever its name */
    expect_none(&world);
    ck_assert_str_eq(paths_of(&world), "a/c.shall b.shall notes.txt");
    world_free(&world);
}
END_TEST

static Digest digest_at(World *world, uint32_t index)
{
    uint32_t count = 0;
    const Digest *digests = library_digests(world->arena, world->library, &count);
    ck_assert_uint_lt(index, count);
    return digests[index];
}

/* The sums are those that sha256sum gives for "a.shall", NUL, "23", NUL, the file, and so on, one file
 * after another, as docs/report.md says. */
START_TEST(digests_are_of_names_lengths_and_contents)
{
    make_directory("a");
    make_file("a.shall", "a");
    make_file("a/c.shall", "c");
    make_file("b.shall", "b");
    World world = READ("", "b.shall", "a/c.shall");
    expect_none(&world);
    Digest all = digest_at(&world, 0);
    ck_assert_uint_eq(all.files, 3);
    ck_assert(text_equal(all.sha256,
                         TEXT("c883d2c7b54fe3aebb958d4118b2d8c26a3a713ccf3bfc6429a7d207ad929eae")));
    ck_assert(text_ends(all.path, TEXT("/")));
    Digest one = digest_at(&world, 1);
    ck_assert_uint_eq(one.files, 1);
    ck_assert(text_equal(one.sha256,
                         TEXT("1e5e1dfb13f5e867d4bd1bc3f2911c10cd946d450118e177c30121669597bd74")));
    ck_assert(text_ends(one.path, TEXT("/b.shall")));
    ck_assert(text_equal(digest_at(&world, 2).sha256,
                         TEXT("206f9abaa0f32eb777cfee96cebd57c20b938929a8ac439e5575c47ff7fe0279")));
    world_free(&world);
}
END_TEST

/* A file that two paths lead to is read once, and belongs to both libraries. */
START_TEST(a_file_counts_in_each_library_that_holds_it)
{
    char target[256];
    char link[256];
    make_directory("a");
    make_file("b.shall", "b");
    (void)snprintf(target, sizeof target, "%s/b.shall", folder);
    (void)snprintf(link, sizeof link, "%s/a/c.shall", folder);
    ck_assert_int_eq(symlink(target, link), 0);
    World world = READ("a", "");
    expect_none(&world);
    ck_assert_uint_eq(world.library->jurisdiction_count, 1);
    ck_assert_uint_eq(digest_at(&world, 0).files, 1);
    ck_assert_uint_eq(digest_at(&world, 1).files, 2);
    world_free(&world);
}
END_TEST

START_TEST(a_dash_is_the_standard_input)
{
    make_file("b.shall", "b");
    Arena *arena = arena_new();
    const char *path = text_string(arena, text_format(arena, "%s/b.shall", folder));
    ck_assert_ptr_nonnull(freopen(path, "r", stdin));
    World world = {.arena = arena, .names = names_new(arena), .diags = diagnostics_make(arena)};
    world.library = library_read(arena, world.names, (const char *const[]){"-"}, 1, &world.diags);
    expect_none(&world);
    ck_assert_ptr_nonnull(library_jurisdiction(world.library, TEXT("b")));
    ck_assert(text_equal(world.library->files->source->path, TEXT("-")));
    world_free(&world);
}
END_TEST

START_TEST(what_cannot_be_read_is_an_error_and_the_rest_is_read)
{
    make_file("b.shall", "b");
    make_directory("empty");
    World world = READ("b.shall", "gone.shall");
    expect(&world, "unreadable file", "", NULL, "");
    ck_assert(strstr(world_errors(&world), strerror(ENOENT)) != NULL);
    ck_assert_str_eq(paths_of(&world), "b.shall");
    world_free(&world);

    world = READ("empty", "b.shall");
    expect(&world, "no rule files", "", NULL, "");
    ck_assert_str_eq(paths_of(&world), "b.shall");
    world_free(&world);

    char link[256];
    (void)snprintf(link, sizeof link, "%s/gone.shall", folder);
    ck_assert_int_eq(symlink("nowhere", link), 0);
    world = READ("");
    expect(&world, "unreadable file", "", NULL, "");
    world_free(&world);
}
END_TEST

/* 64 directories within one another are read, a 65th is an error and not passed over. */
START_TEST(directories_that_are_too_deep_are_not_passed_over)
{
    Arena *arena = arena_new();
    Text path = text_copy(arena, TEXT("a"));
    for (int depth = 2; depth <= 65; depth++) { /* the folder itself is the first */
        make_directory(path.data);
        const char *file = text_string(arena, text_format(arena, "%.*s/c.shall", TEXT_ARG(path)));
        if (depth >= 64) {
            make_file(file, depth == 64 ? "deep" : "deeper");
        }
        path = text_copy(arena, text_format(arena, "%.*s/a", TEXT_ARG(path)));
    }
    World world = READ("");
    expect(&world, "unreadable file", "", NULL, "");
    ck_assert_ptr_nonnull(library_jurisdiction(world.library, TEXT("deep")));
    ck_assert_ptr_null(library_jurisdiction(world.library, TEXT("deeper")));
    world_free(&world);
    for (; path.len > 0; path.len -= path.len > 1 ? 2 : 1) {
        const char *inner =
            text_string(arena, text_format(arena, "%s/%.*s", folder, TEXT_ARG(path)));
        (void)remove(text_string(arena, text_format(arena, "%s/c.shall", inner)));
        (void)remove(inner);
    }
    arena_free(arena);
}
END_TEST

Suite *library_suite(void)
{
    Suite *suite = suite_create("library");
    TCase *names = tcase_create("names");
    tcase_add_test(names, what_the_files_define_is_found_by_name);
    tcase_add_test(names, of_two_vocabularies_none_is_the_only_one);
    tcase_add_test(names, double_definitions_name_both_places);
    tcase_add_test(names, a_number_stands_once_or_once_for_each_part);
    tcase_add_test(names, unknown_names_come_with_the_nearest);
    tcase_add_test(names, a_code_says_which_vocabulary_is_its_own);
    tcase_add_test(names, a_circle_is_reported_once_and_does_not_hold_the_assembly);
    tcase_add_test(names, a_file_with_syntax_errors_still_gives_a_library);
    suite_add_tcase(suite, names);
    TCase *pieces = tcase_create("pieces");
    tcase_add_test(pieces, what_a_piece_says_of_standing_holds_for_its_own_sections);
    tcase_add_test(pieces, joining_changes_no_tree_of_a_file);
    tcase_add_test(pieces, pieces_make_one_law_in_any_order_of_files);
    tcase_add_test(pieces, a_piece_without_a_main_one_is_an_error);
    tcase_add_test(pieces, two_main_ones_and_their_pieces);
    tcase_add_test(pieces, a_section_in_two_pieces_is_an_error_with_both_places);
    tcase_add_test(pieces, what_is_of_the_whole_is_not_said_in_a_piece);
    tcase_add_test(pieces, a_library_in_memory_has_no_digest);
    suite_add_tcase(suite, pieces);
    TCase *files = tcase_create("files");
    tcase_add_checked_fixture(files, make_folder, remove_folder);
    tcase_add_test(files, directories_are_walked_in_byte_order_of_path);
    tcase_add_test(files, each_file_is_read_once_in_whatever_order_it_is_named);
    tcase_add_test(files, digests_are_of_names_lengths_and_contents);
    tcase_add_test(files, a_file_counts_in_each_library_that_holds_it);
    tcase_add_test(files, a_dash_is_the_standard_input);
    tcase_add_test(files, what_cannot_be_read_is_an_error_and_the_rest_is_read);
    tcase_add_test(files, directories_that_are_too_deep_are_not_passed_over);
    suite_add_tcase(suite, files);
    return suite;
}
