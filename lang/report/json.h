/* JSON, written from front to back into a buffer. Numbers that must be exact are written as
 * text; every text is made valid UTF-8, and what is hidden in it is escaped. */
#ifndef REPORT_JSON_H
#define REPORT_JSON_H

#include "base/text.h"

enum { JSON_DEPTH_MAX = 64 };

typedef struct Json {
    Buffer out;
    unsigned depth;
    unsigned flat;                   /* depth from which everything stands on one line; 0: none */
    bool has_member[JSON_DEPTH_MAX]; /* of the object or list at each depth */
    bool after_key;
} Json;

Json json_make(Arena *arena);
void json_open(Json *json, char bracket);      /* '{' or '[' */
void json_open_flat(Json *json, char bracket); /* all in it on one line */
void json_close(Json *json, char bracket);
void json_key(Json *json, const char *key);
void json_text(Json *json, Text text);
void json_string(Json *json, const char *string);
void json_count(Json *json, uint64_t number);
void json_bool(Json *json, bool value);
void json_null(Json *json);

/* A member of an object. */
void json_put_text(Json *json, const char *key, Text text);
void json_put_text_or_null(Json *json, const char *key, Text text); /* null for "" */
void json_put_string(Json *json, const char *key, const char *string);
void json_put_count(Json *json, const char *key, uint64_t number);
void json_put_bool(Json *json, const char *key, bool value);

Text json_done(const Json *json);

#endif
