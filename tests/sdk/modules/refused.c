/* Shared objects that the host refuses; a definition chooses the fault. Plain C, over the C door
 * alone. */
#include "aumbry/plugin.h"

#include <string.h>

#if defined(DESCRIBE_JUNK)
#define REPLY "{\"id\": \"mumbler\","
#elif defined(DESCRIBE_WRONG)
#define REPLY                                                                                      \
    "{\"id\": 7, \"version\": \"1.0\", \"contract\": \"0.1\", \"line_kinds\": [{\"kind\": "        \
    "\"mumbler.word\"}]}"
#elif defined(NO_ID)
#define REPLY                                                                                      \
    "{\"id\": \"\", \"title\": \"T\", \"version\": \"1.0\", \"contract\": \"0.1\", "               \
    "\"line_kinds\": []}"
#elif defined(SAME_KIND)
#define REPLY                                                                                      \
    "{\"id\": \"mimic\", \"title\": \"T\", \"version\": \"1.0\", \"contract\": \"0.1\", "          \
    "\"line_kinds\": [{\"kind\": \"parrot.word\", \"title\": \"Word\"}]}"
#elif defined(SAME_CLASS)
#define REPLY                                                                                      \
    "{\"id\": \"mimic\", \"title\": \"T\", \"version\": \"1.0\", \"contract\": \"0.1\", "          \
    "\"line_kinds\": [], \"catalog_classes\": [{\"name\": \"seed\", \"title\": \"Seed\"}]}"
#elif defined(UNKNOWN_UNIT)
#define REPLY                                                                                      \
    "{\"id\": \"mumbler\", \"title\": \"T\", \"version\": \"1.0\", \"contract\": \"0.1\", "        \
    "\"line_kinds\": [{\"kind\": \"mumbler.word\", \"title\": \"Word\", \"derived\": [{\"name\": " \
    "\"area\", \"unit\": \"sqm\"}]}]}"
#elif defined(OTHER_CLAIM)
#define REPLY                                                                                      \
    "{\"id\": \"mumbler\", \"title\": \"T\", \"version\": \"1.0\", \"contract\": \"0.9\", "        \
    "\"line_kinds\": []}"
#elif defined(NO_TITLE)
#define REPLY                                                                                      \
    "{\"id\": \"mumbler\", \"title\": \"T\", \"version\": \"1.0\", \"contract\": \"0.1\", "        \
    "\"line_kinds\": [], \"settings\": [{\"name\": \"pitch\", \"type\": \"number\"}]}"
#elif defined(CONTROL_TITLE)
#define REPLY                                                                                      \
    "{\"id\": \"mumbler\\u001b[31m\", \"title\": \"T\", \"version\": \"1.0\", \"contract\": "      \
    "\"0.1\", \"line_kinds\": []}"
#else
#define REPLY "it rains"
#endif

static int instance;

static void* create(const aumbry_host* host) {
    (void)host;
#ifdef NO_INSTANCE
    return NULL;
#else
    return &instance;
#endif
}

static aumbry_status call(void* self, const char* method, const char* request, size_t size,
                          aumbry_text* reply) {
    (void)self;
    (void)method;
    (void)request;
    (void)size;
    reply->data = REPLY;
    reply->size = strlen(REPLY);
#if defined(NO_DESCRIBE)
    reply->data = NULL;
    return AUMBRY_UNKNOWN;
#elif defined(DESCRIBE_FAILS)
    return AUMBRY_FAULT;
#else
    return AUMBRY_OK;
#endif
}

static void release(void* self, aumbry_text text) {
    (void)self;
    (void)text;
}
static void destroy(void* self) {
    (void)self;
}

static const aumbry_module_functions functions = {
#ifdef WRONG_MAJOR
    AUMBRY_CONTRACT_MAJOR + 1,
#else
    AUMBRY_CONTRACT_MAJOR,
#endif
#ifdef NEWER_MINOR
    AUMBRY_CONTRACT_MINOR + 1,
#else
    AUMBRY_CONTRACT_MINOR,
#endif
    create,
    call,
#ifdef EMPTY_FUNCTION
    NULL,
#else
    release,
#endif
    destroy};

#ifdef NO_SYMBOL
#define aumbry_module another_name
#endif
AUMBRY_EXPORT const aumbry_module_functions* aumbry_module(void);
AUMBRY_EXPORT const aumbry_module_functions* aumbry_module(void) {
    (void)release;
#ifdef NO_TABLE
    (void)functions;
    return NULL;
#else
    return &functions;
#endif
}
