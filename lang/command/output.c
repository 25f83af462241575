/* Output: standard output is flushed and checked once, at the end; files are written beside their
 * place under another name, brought to the disk and renamed, so that a reader or a power cut
 * never meets half a file. */
#include "command/command.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "report/safe.h"

/* ---- style ---- */

static const char *setting(const char *name)
{
    const char *value = getenv(name);
    return value == NULL ? "" : value;
}

/* COLUMNS as set for this run, else the terminal's width, else 80. */
static unsigned width_of(int descriptor)
{
    unsigned long width = strtoul(setting("COLUMNS"), NULL, 10);
    struct winsize size = {0};
    if (width == 0 && isatty(descriptor) && ioctl(descriptor, TIOCGWINSZ, &size) == 0) {
        width = size.ws_col;
    }
    if (width == 0) {
        return WIDTH_USUAL;
    }
    if (width < WIDTH_LEAST) {
        return WIDTH_LEAST;
    }
    return width > WIDTH_MOST ? WIDTH_MOST : (unsigned)width;
}

Style style_of(int descriptor)
{
    bool marks = isatty(descriptor) && setting("NO_COLOR")[0] == '\0' &&
                 strcmp(setting("TERM"), "dumb") != 0 && setting("TERM")[0] != '\0';
    return (Style){width_of(descriptor), marks};
}

/* ---- streams ---- */

void put_out(Text text)
{
    (void)fwrite(text.data, 1, text.len, stdout);
}

/* What was said before on the other stream comes first, whoever reads both. */
void put_error(Text text)
{
    (void)fflush(stdout);
    (void)fwrite(text.data, 1, text.len, stderr);
}

static Text run_name(const Run *run)
{
    if (run->command == NULL) {
        return TEXT("shall");
    }
    return text_format(run->arena, "shall %s", run->command->name);
}

__attribute__((format(printf, 2, 0))) static void put_complaint(const Run *run, const char *format,
                                                                va_list args)
{
    Buffer message = buffer_make(run->arena);
    buffer_vformat(&message, format, args);
    Text harmless = text_harmless(run->arena, buffer_done(&message));
    put_error(text_format(run->arena, "%.*s: %.*s\n", TEXT_ARG(run_name(run)), TEXT_ARG(harmless)));
}

void complain(const Run *run, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    put_complaint(run, format, args);
    va_end(args);
}

Status misuse(const Run *run, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    put_complaint(run, format, args);
    va_end(args);
    put_error(text_format(run->arena, "Try '%.*s --help'.\n", TEXT_ARG(run_name(run))));
    return STATUS_MISUSE;
}

void put_diagnostics(Arena *arena, Diagnostics *diags)
{
    put_error(report_diagnostics(arena, diags, style_of(STDERR_FILENO)));
}

Status finish_output(Status status)
{
    if (fflush(stdout) == 0 && ferror(stdout) == 0) {
        return status;
    }
    (void)fprintf(stderr, "shall: cannot write to standard output: %s\n", strerror(errno));
    return STATUS_NOT_WRITTEN;
}

/* ---- files ---- */

static Status not_created(const Run *run, const char *path)
{
    complain(run, "cannot create '%s': %s", path, strerror(errno));
    return STATUS_NOT_CREATED;
}

static Status not_written(const Run *run, const char *path, int error)
{
    complain(run, "cannot write '%s': %s", path, strerror(error));
    return STATUS_NOT_WRITTEN;
}

static bool write_all(int file, Text content)
{
    while (content.len > 0) {
        ssize_t written = write(file, content.data, content.len);
        if (written < 0 && errno == EINTR) {
            continue;
        }
        if (written < 0) {
            return false;
        }
        content.data += written;
        content.len -= (size_t)written;
    }
    return true;
}

/* A device or a pipe cannot be replaced: it is written as it is. */
static Status write_special(const Run *run, const char *path, Text content)
{
    int file = open(path, O_WRONLY | O_CLOEXEC);
    if (file < 0) {
        return not_created(run, path);
    }
    bool ok = write_all(file, content);
    int error = errno;
    if (close(file) != 0 && ok) {
        ok = false;
        error = errno;
    }
    return ok ? STATUS_COMPLIES : not_written(run, path, error);
}

/* The rights of the file that is replaced, else those of a new one. */
static mode_t mode_of(const char *path)
{
    struct stat about;
    if (stat(path, &about) == 0) {
        return about.st_mode & 07777;
    }
    mode_t mask = umask(0);
    (void)umask(mask);
    return 0666 & ~mask;
}

static bool settle_file(int file, const char *temporary, const char *path, Text content)
{
    bool ok = write_all(file, content) && fchmod(file, mode_of(path)) == 0 && fsync(file) == 0;
    int error = errno;
    if (close(file) != 0 && ok) {
        ok = false;
        error = errno;
    }
    if (ok && rename(temporary, path) != 0) {
        ok = false;
        error = errno;
    }
    if (!ok) {
        (void)unlink(temporary);
        errno = error;
    }
    return ok;
}

static void settle_directory(const char *directory)
{
    int file = open(directory, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (file >= 0) {
        (void)fsync(file); /* the file itself is safe; its name becomes so at the latest soon */
        (void)close(file);
    }
}

static Status write_whole(const Run *run, const char *path, Text content)
{
    const char *slash = strrchr(path, '/');
    Text directory = slash == NULL ? TEXT(".") : (Text){path, (size_t)(slash - path) + 1};
    Text name = text_of(slash == NULL ? path : slash + 1);
    char *temporary = text_string(run->arena, text_format(run->arena, "%.*s/.%.*s.XXXXXX",
                                                          TEXT_ARG(directory), TEXT_ARG(name)));
    int file = mkstemp(temporary);
    if (file < 0) {
        return not_created(run, path);
    }
    if (!settle_file(file, temporary, path, content)) {
        return not_written(run, path, errno);
    }
    settle_directory(text_string(run->arena, directory));
    return STATUS_COMPLIES;
}

Status write_file(const Run *run, const char *path, Text content)
{
    if (strcmp(path, "-") == 0) {
        put_out(content);
        return STATUS_COMPLIES;
    }
    struct stat about;
    bool exists = stat(path, &about) == 0;
    if (exists && S_ISDIR(about.st_mode)) {
        errno = EISDIR;
        return not_created(run, path);
    }
    if (exists && !S_ISREG(about.st_mode)) {
        return write_special(run, path, content);
    }
    const char *target = exists ? path_full(run->arena, path) : NULL;
    return write_whole(run, target == NULL ? path : target, content); /* behind a link, the file */
}
