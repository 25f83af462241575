/* Which rule files a run reads: those of --rules, else of SHALL_RULES, else the ones that came
 * with the program. A command that is given rule files reads these, and of the others only the
 * files that they cannot do without: a code's vocabulary, the codes and levels of a county, what
 * continues or is continued, the jurisdictions of a place. */
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "command/command.h"

static const Place NOWHERE = {NULL, {0, 0}};

typedef struct Paths {
    const char **list;
    size_t count;
} Paths;

/* ---- where they are ---- */

static bool is_directory(const char *path)
{
    struct stat about;
    return stat(path, &about) == 0 && S_ISDIR(about.st_mode);
}

/* The folder of the program itself; "" when the system does not tell. */
static Text program_folder(Run *run)
{
    const char *path = path_full(run->arena, "/proc/self/exe");
    if (path == NULL && strchr(run->program, '/') != NULL) {
        path = path_full(run->arena, run->program);
    }
    if (path == NULL) {
        return TEXT("");
    }
    return (Text){path, (size_t)(strrchr(path, '/') - path)};
}

/* The program lies in the checkout (build/shall, build/MODE/shall, BUILD/MODE/shall) or below a
 * prefix (bin/shall). A folder is the library when it has vocabularies. */
static Paths own_paths(Run *run)
{
    static const char *const places[] = {"/../share/shall/rules", "/../rules", "/../../rules",
                                         "/../../../rules"};
    Paths paths = {ARENA_ARRAY(run->arena, const char *, 1), 0};
    Text folder = program_folder(run);
    for (size_t i = 0; folder.len > 0 && i < sizeof places / sizeof *places; i++) {
        Text path = text_format(run->arena, "%.*s%s", TEXT_ARG(folder), places[i]);
        Text known = text_format(run->arena, "%.*s/vocabulary", TEXT_ARG(path));
        if (is_directory(text_string(run->arena, known))) {
            paths.list[paths.count++] = path_shortened(run->arena, text_string(run->arena, path));
            break;
        }
    }
    return paths;
}

static Paths paths_of(Arena *arena, const Text *values, size_t count)
{
    Paths paths = {ARENA_ARRAY(arena, const char *, count + 1), count};
    for (size_t i = 0; i < count; i++) {
        paths.list[i] = text_string(arena, values[i]);
    }
    return paths;
}

static Paths library_paths(Run *run)
{
    size_t count = 0;
    const Text *given = all_values(run->arena, &run->arguments, "--rules", 0, &count);
    if (count > 0) {
        return paths_of(run->arena, given, count);
    }
    const char *setting = getenv("SHALL_RULES");
    if (setting != NULL && setting[0] != '\0') {
        static const Option variable = {"SHALL_RULES", "PATHS", ""};
        Given one = {.option = &variable, .value = text_string(run->arena, text_of(setting))};
        Arguments arguments = {.given = &one, .given_count = 1};
        given = all_values(run->arena, &arguments, "SHALL_RULES", ':', &count);
        return paths_of(run->arena, given, count);
    }
    return own_paths(run);
}

static void start(Run *run, Rules *rules)
{
    *rules = (Rules){0};
    rules->diags = diagnostics_make(run->arena);
    rules->names = names_new(run->arena);
}

bool rules_read(Run *run, Rules *rules, const Text *venues, size_t venue_count)
{
    Paths paths = library_paths(run);
    if (paths.count == 0) {
        complain(run, "no rule files: name them with --rules, or in SHALL_RULES");
        return false;
    }
    start(run, rules);
    rules->library =
        venues == NULL
            ? library_read_law(run->arena, rules->names, paths.list, paths.count, &rules->diags)
            : library_read_for(run->arena, rules->names, paths.list, paths.count, venues,
                               venue_count, &rules->diags);
    return true;
}

/* ---- what a set of files needs ---- */

typedef struct Chosen {
    const FileTree **files;
    size_t count;
} Chosen;

/* The main one, or one that continues it; NULL name: any. */
static bool defines_vocabulary(const Chosen *chosen, const Name *name, bool continued)
{
    for (size_t i = 0; i < chosen->count; i++) {
        for (const ItemTree *item = chosen->files[i]->items; item != NULL; item = item->next) {
            if (item->kind == ITEM_VOCABULARY && item->vocabulary->continued == continued &&
                (name == NULL || item->vocabulary->name == name)) {
                return true;
            }
        }
    }
    return false;
}

/* The main one, or one that continues it. */
static bool defines_code(const Chosen *chosen, const Name *name, Text edition, bool continued)
{
    for (size_t i = 0; i < chosen->count; i++) {
        for (const ItemTree *item = chosen->files[i]->items; item != NULL; item = item->next) {
            if (item->kind == ITEM_CODE && item->code->name == name &&
                text_equal(item->code->edition, edition) && item->code->continued == continued) {
                return true;
            }
        }
    }
    return false;
}

static bool defines_jurisdiction(const Chosen *chosen, const Name *name, bool continued)
{
    for (size_t i = 0; i < chosen->count; i++) {
        for (const ItemTree *item = chosen->files[i]->items; item != NULL; item = item->next) {
            if (item->kind == ITEM_JURISDICTION && item->jurisdiction->name == name &&
                item->jurisdiction->continued == continued) {
                return true;
            }
        }
    }
    return false;
}

static bool lacks_jurisdiction(const Chosen *chosen, const Chosen *file, const Name *name)
{
    return name != NULL && !defines_jurisdiction(chosen, name, false) &&
           defines_jurisdiction(file, name, false);
}

/* An edition of the block's code; of a rolling adoption, every one. */
static bool lacks_edition(const Chosen *chosen, const FileTree *file, const BlockTree *block)
{
    for (const ItemTree *item = file->items; item != NULL; item = item->next) {
        if (item->kind == ITEM_CODE && item->code->name == block->code && !item->code->continued &&
            (block->rolling || text_equal(item->code->edition, block->edition)) &&
            !defines_code(chosen, block->code, item->code->edition, false)) {
            return true;
        }
    }
    return false;
}

/* Does `file` define something that a jurisdiction names and the chosen do not define? */
static bool serves_jurisdiction(const Chosen *chosen, const Chosen *file,
                                const JurisdictionTree *jurisdiction)
{
    if (lacks_jurisdiction(chosen, file, jurisdiction->within) ||
        lacks_jurisdiction(chosen, file, jurisdiction->name) ||
        defines_jurisdiction(file, jurisdiction->name, true)) {
        return true;
    }
    for (const BlockTree *block = jurisdiction->blocks; block != NULL; block = block->next) {
        if (lacks_edition(chosen, file->files[0], block)) {
            return true;
        }
    }
    return false;
}

static bool serves_code(const Chosen *chosen, const Chosen *file, const CodeTree *code)
{
    if (code->continued) {
        return !defines_code(chosen, code->name, code->edition, false) &&
               defines_code(file, code->name, code->edition, false);
    }
    bool lacks_base = code->as_edition.len > 0 &&
                      !defines_code(chosen, code->name, code->as_edition, false) &&
                      defines_code(file, code->name, code->as_edition, false);
    return lacks_base || defines_code(file, code->name, code->edition, true) ||
           (!defines_vocabulary(chosen, code->vocabulary, false) &&
            defines_vocabulary(file, code->vocabulary, false));
}

static bool serves_vocabulary(const Chosen *chosen, const Chosen *file,
                              const VocabularyTree *vocabulary)
{
    return defines_vocabulary(file, vocabulary->name, true) ||
           (!defines_vocabulary(chosen, vocabulary->name, false) &&
            defines_vocabulary(file, vocabulary->name, false));
}

static bool serves_place(const Chosen *chosen, const Chosen *file, const PlaceTree *place)
{
    for (const HolderTree *row = place->holders; row != NULL; row = row->next) {
        if (lacks_jurisdiction(chosen, file, row->jurisdiction)) {
            return true;
        }
    }
    return false;
}

static bool serves(const Chosen *chosen, const FileTree *tree)
{
    Chosen file = {&tree, 1};
    for (size_t i = 0; i < chosen->count; i++) {
        for (const ItemTree *item = chosen->files[i]->items; item != NULL; item = item->next) {
            if ((item->kind == ITEM_VOCABULARY &&
                 serves_vocabulary(chosen, &file, item->vocabulary)) ||
                (item->kind == ITEM_CODE && serves_code(chosen, &file, item->code)) ||
                (item->kind == ITEM_JURISDICTION &&
                 serves_jurisdiction(chosen, &file, item->jurisdiction)) ||
                (item->kind == ITEM_PLACE && serves_place(chosen, &file, item->place))) {
                return true;
            }
        }
    }
    return false;
}

static bool is_same_file(const FileTree *a, const FileTree *b)
{
    struct stat one;
    struct stat two;
    return a->source == b->source ||
           (stat(a->source->path.data, &one) == 0 && stat(b->source->path.data, &two) == 0 &&
            one.st_dev == two.st_dev && one.st_ino == two.st_ino);
}

static bool is_chosen(const Chosen *chosen, const FileTree *file)
{
    for (size_t i = 0; i < chosen->count; i++) {
        if (is_same_file(chosen->files[i], file)) {
            return true;
        }
    }
    return false;
}

static size_t count_files(const Library *library)
{
    size_t count = 0;
    for (const FileTree *file = library->files; file != NULL; file = file->next) {
        count++;
    }
    return count;
}

/* Adds files of the other library until nothing more is needed that it could give. */
static void complete(Chosen *chosen, const Library *other)
{
    bool grew = true;
    while (grew) {
        grew = false;
        for (const FileTree *file = other->files; file != NULL; file = file->next) {
            if (!is_chosen(chosen, file) && serves(chosen, file)) {
                chosen->files[chosen->count++] = file;
                grew = true;
            }
        }
    }
}

/* Messages about the run itself (files that cannot be read) outlive the second reading. */
static void keep_placeless(Diagnostics *into, const Diagnostics *from)
{
    for (const Diagnostic *diag = from->first; diag != NULL; diag = diag->next) {
        if (diag->place.source == NULL && diag->severity == SEVERITY_ERROR) {
            diagnostic_error(into, diag->name, NOWHERE, "%.*s", TEXT_ARG(diag->message));
        }
    }
}

static void read_chosen(Run *run, Rules *rules, const Chosen *chosen)
{
    const Source **sources = ARENA_ARRAY(run->arena, const Source *, chosen->count + 1);
    for (size_t i = 0; i < chosen->count; i++) {
        sources[i] = chosen->files[i]->source;
    }
    Diagnostics before = rules->diags;
    rules->diags = diagnostics_make(run->arena);
    keep_placeless(&rules->diags, &before);
    rules->library = library_of(run->arena, rules->names, sources, chosen->count, &rules->diags);
}

void rules_read_asked(Run *run, const char *const *paths, size_t count, Rules *rules, Map **asked)
{
    start(run, rules);
    rules->library = library_read(run->arena, rules->names, paths, count, &rules->diags);
    *asked = map_new(run->arena);
    Paths more = library_paths(run);
    Diagnostics unused = diagnostics_make(run->arena);
    const Library *other = NULL;
    if (more.count > 0) {
        other = library_read(run->arena, rules->names, more.list, more.count, &unused);
    }
    size_t own = count_files(rules->library);
    Chosen chosen = {ARENA_ARRAY(run->arena, const FileTree *,
                                 own + (other == NULL ? 0 : count_files(other)) + 1),
                     0};
    for (const FileTree *file = rules->library->files; file != NULL; file = file->next) {
        chosen.files[chosen.count++] = file;
        (void)map_put(*asked, file->source, *asked);
    }
    if (other != NULL) {
        complete(&chosen, other);
    }
    if (chosen.count > own) {
        read_chosen(run, rules, &chosen);
    }
}

bool asked_code(const Map *asked, const CodeTree *code)
{
    for (size_t i = 0; i < code->piece_count; i++) {
        if (map_get(asked, code->pieces[i]->source) != NULL) {
            return true;
        }
    }
    return map_get(asked, code->source) != NULL;
}

bool asked_jurisdiction(const Map *asked, const JurisdictionTree *jurisdiction)
{
    for (size_t i = 0; i < jurisdiction->piece_count; i++) {
        if (map_get(asked, jurisdiction->pieces[i]->source) != NULL) {
            return true;
        }
    }
    return map_get(asked, jurisdiction->source) != NULL;
}

/* ---- errors in the files that are used ---- */

static void add_source(Map *used, const Source *source)
{
    if (source != NULL) {
        (void)map_put(used, source, used);
    }
}

static void add_code(const Rules *rules, Map *used, const CodeTree *code)
{
    if (code == NULL) {
        return;
    }
    add_source(used, code->source);
    for (size_t i = 0; i < code->piece_count; i++) {
        add_source(used, code->pieces[i]->source);
    }
    const Vocabulary *vocabulary = library_vocabulary(rules->library, code->vocabulary);
    add_source(used, vocabulary == NULL ? NULL : vocabulary->source);
}

static const JurisdictionTree *outer(const Rules *rules, const JurisdictionTree *jurisdiction)
{
    return jurisdiction->within == NULL
               ? NULL
               : library_jurisdiction(rules->library, jurisdiction->within->text);
}

/* The code that a block adopts or amends; of a rolling adoption, every edition. */
static void add_block(const Rules *rules, Map *used, const BlockTree *block)
{
    const Library *library = rules->library;
    add_source(used, block->source);
    for (uint32_t i = 0; i < library->code_count && block->rolling; i++) {
        if (library->codes[i]->name == block->code) {
            add_code(rules, used, library->codes[i]);
        }
    }
    if (block->code != NULL && !block->rolling) {
        add_code(rules, used, library_code(library, block->code, block->edition));
    }
}

static void add_levels(const Rules *rules, Map *used, const JurisdictionTree *jurisdiction)
{
    uint32_t levels = 0;
    for (; jurisdiction != NULL && levels <= rules->library->jurisdiction_count; levels++) {
        add_source(used, jurisdiction->source);
        for (size_t i = 0; i < jurisdiction->piece_count; i++) {
            add_source(used, jurisdiction->pieces[i]->source);
        }
        for (const BlockTree *block = jurisdiction->blocks; block != NULL; block = block->next) {
            add_block(rules, used, block);
        }
        jurisdiction = outer(rules, jurisdiction);
    }
}

/* Does an error in those files stand there? Of what is defined twice both places are at fault. */
static bool is_at_fault(const Map *used, const Diagnostic *diag)
{
    if (diag->severity != SEVERITY_ERROR) {
        return false;
    }
    if (diag->place.source == NULL || map_get(used, diag->place.source) != NULL) {
        return true;
    }
    const Diagnostic *note = diag->notes;
    return strcmp(diag->name, "defined twice") == 0 && note != NULL && note->place.source != NULL &&
           map_get(used, note->place.source) != NULL;
}

static bool sound_in(Run *run, Rules *rules, const Map *used)
{
    bool sound = true;
    for (const Diagnostic *diag = rules->diags.first; diag != NULL; diag = diag->next) {
        sound = sound && !is_at_fault(used, diag);
    }
    if (!rules->told && !sound) {
        put_diagnostics(run->arena, &rules->diags);
    } else if (!rules->told) {
        complain(run, "%zu %s in rule files that are not used here; 'shall proofread' shows them",
                 rules->diags.errors, rules->diags.errors == 1 ? "error" : "errors");
    }
    rules->told = true;
    return sound;
}

bool rules_sound(Run *run, Rules *rules, const JurisdictionTree *jurisdiction)
{
    if (rules->diags.errors == 0) {
        return true;
    }
    Map *used = map_new(run->arena);
    add_levels(rules, used, jurisdiction);
    return sound_in(run, rules, used);
}

bool rules_place_sound(Run *run, Rules *rules, const PlaceTree *place)
{
    if (rules->diags.errors == 0) {
        return true;
    }
    Map *used = map_new(run->arena);
    uint32_t count = 0;
    const JurisdictionTree **jurisdictions =
        place_jurisdictions(run->arena, rules->library, place, &count);
    add_source(used, place->source);
    for (uint32_t i = 0; i < count; i++) {
        add_levels(rules, used, jurisdictions[i]);
    }
    return sound_in(run, rules, used);
}

/* Of a rolling adoption, any edition. */
static const CodeTree *code_of(const Rules *rules, const BlockTree *block)
{
    const Library *library = rules->library;
    for (uint32_t i = 0; i < library->code_count && block->rolling; i++) {
        if (library->codes[i]->name == block->code) {
            return library->codes[i];
        }
    }
    return block->code == NULL || block->rolling
               ? NULL
               : library_code(library, block->code, block->edition);
}

const Vocabulary *rules_vocabulary(const Rules *rules, const JurisdictionTree *jurisdiction)
{
    uint32_t levels = 0;
    for (; jurisdiction != NULL && levels <= rules->library->jurisdiction_count; levels++) {
        for (const BlockTree *block = jurisdiction->blocks; block != NULL; block = block->next) {
            const CodeTree *code = code_of(rules, block);
            if (code != NULL) {
                return library_vocabulary(rules->library, code->vocabulary);
            }
        }
        jurisdiction = outer(rules, jurisdiction);
    }
    return NULL;
}

static void report_place(Run *run, const Rules *rules, const PlaceTree *place)
{
    uint32_t count = 0;
    const JurisdictionTree **jurisdictions =
        place_jurisdictions(run->arena, rules->library, place, &count);
    Buffer names = buffer_make(run->arena);
    for (uint32_t i = 0; i < count; i++) {
        buffer_format(&names, "%s%.*s", i > 0 ? ", " : "", TEXT_ARG(jurisdictions[i]->name->text));
    }
    Text list = buffer_done(&names);
    complain(run, "'%.*s' is a place; name one of the jurisdictions that decide there (%.*s)",
             TEXT_ARG(place->name->text), TEXT_ARG(list));
}

const JurisdictionTree *rules_jurisdiction(Run *run, Rules *rules, Text name)
{
    const JurisdictionTree *found = library_jurisdiction(rules->library, name);
    if (found != NULL) {
        return found;
    }
    if (rules->diags.errors > 0 && !rules->told) {
        put_diagnostics(run->arena, &rules->diags); /* it may stand in a broken file */
        rules->told = true;
    }
    const PlaceTree *place = library_place(rules->library, name);
    Text near = library_nearest_jurisdiction(rules->library, name);
    if (place != NULL) {
        report_place(run, rules, place);
    } else if (near.len > 0 && !text_equal(near, name)) {
        complain(run, "no rule file has the jurisdiction '%.*s'; did you mean '%.*s'?",
                 TEXT_ARG(name), TEXT_ARG(near));
    } else {
        complain(run, "no rule file has the jurisdiction '%.*s'", TEXT_ARG(name));
    }
    return NULL;
}
