/* The digest of a library: what tells two reports apart that were made under different rule files.
 *
 * SHA-256 over every file of the library in byte order of its path within it: that path, a zero
 * byte, the length in bytes as decimal digits, a zero byte, the content. The path within the
 * library, and not where the library lies, so that a copy elsewhere has the same digest. */
#include <nettle/sha2.h>

#include "law/library_inner.h"

static void add_bytes(struct sha256_ctx *context, Text bytes)
{
    sha256_update(context, bytes.len, (const uint8_t *)bytes.data);
}

static Text hexadecimal(Arena *arena, const uint8_t *bytes, size_t count)
{
    static const char digits[] = "0123456789abcdef";
    Buffer out = buffer_make(arena);
    for (size_t i = 0; i < count; i++) {
        buffer_char(&out, digits[bytes[i] >> 4]);
        buffer_char(&out, digits[bytes[i] & 15]);
    }
    return buffer_done(&out);
}

static Digest digest_of(Arena *arena, const LibraryRoot *root)
{
    static const Text zero = {"", 1};
    struct sha256_ctx context;
    sha256_init(&context);
    for (uint32_t i = 0; i < root->file_count; i++) {
        const RootFile *file = &root->files[i];
        add_bytes(&context, file->path);
        add_bytes(&context, zero);
        add_bytes(&context, text_format(arena, "%zu", file->source->bytes.len));
        add_bytes(&context, zero);
        add_bytes(&context, file->source->bytes);
    }
    uint8_t digest[SHA256_DIGEST_SIZE];
    sha256_digest(&context, sizeof digest, digest);
    return (Digest){root->path, root->file_count, hexadecimal(arena, digest, sizeof digest)};
}

Text bytes_sha256(Arena *arena, Text bytes)
{
    struct sha256_ctx context;
    uint8_t digest[SHA256_DIGEST_SIZE];
    sha256_init(&context);
    add_bytes(&context, bytes);
    sha256_digest(&context, sizeof digest, digest);
    return hexadecimal(arena, digest, sizeof digest);
}

const Digest *library_digests(Arena *arena, const Library *library, uint32_t *count)
{
    Digest *digests = ARENA_ARRAY(arena, Digest, library->root_count + 1);
    for (uint32_t i = 0; i < library->root_count; i++) {
        digests[i] = digest_of(arena, &library->roots[i]);
    }
    *count = library->root_count;
    return digests;
}
