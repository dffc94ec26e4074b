/* A line "reminder.measure" plans a visit to measure again before anything is cut: a step and a
 * finding. */
#include <aumbry/plugin.h>

#include <stdlib.h>
#include <string.h>

static const char description[] =
    "{\"id\": \"reminder\", \"title\": \"Reminders\", \"version\": \"1.0.0\", \"contract\": "
    "\"0.1\","
    " \"line_kinds\": [{\"kind\": \"reminder.measure\", \"title\": \"Measure again\","
    "  \"help\": \"a visit to measure again before anything is cut\","
    "  \"fields\": [{\"name\": \"room\", \"type\": \"text\", \"title\": \"Room\", \"help\": "
    "\"which room to measure\"}]}]}";

static const char nothing_derived[] = "{\"lines\": []}";

static const char measure_again[] =
    "{\"steps\": [{\"id\": \"measure\", \"title\": \"Measure the room again\", \"phase\": "
    "\"prepare\", \"minutes\": 30}],"
    " \"findings\": [{\"severity\": \"note\", \"code\": \"measure-again\","
    "  \"text\": \"Measure the room again before you cut: walls move, and plaster and floors come "
    "later.\"}]}";

static const char no_request[] = "the request is no JSON object";

static void* create(const aumbry_host* host) {
    (void)host;
    return malloc(1);
}

static aumbry_status answer(const char* text, aumbry_status status, aumbry_text* reply) {
    const size_t size = strlen(text);
    char* copy = malloc(size);
    if (copy == NULL) return AUMBRY_FAULT;
    memcpy(copy, text, size);
    reply->data = copy;
    reply->size = size;
    return status;
}

/* Whether a text is one object whose brackets match: enough for a module that reads nothing of it.
 */
static int is_object(const char* text, size_t size) {
    size_t depth = 0;
    int in_quotes = 0;
    size_t i;
    if (size < 2 || text[0] != '{') return 0;
    for (i = 0; i < size; ++i) {
        if (in_quotes && text[i] == '\\')
            ++i;
        else if (text[i] == '"')
            in_quotes = !in_quotes;
        else if (in_quotes)
            continue;
        else if (text[i] == '{' || text[i] == '[')
            ++depth;
        else if ((text[i] == '}' || text[i] == ']') && --depth == 0)
            return i + 1 == size;
    }
    return 0;
}

static aumbry_status call(void* instance, const char* method, const char* request, size_t size,
                          aumbry_text* reply) {
    (void)instance;
    reply->data = NULL;
    reply->size = 0;
    if (strcmp(method, "describe") == 0) return answer(description, AUMBRY_OK, reply);
    if (strcmp(method, "derive") != 0 && strcmp(method, "take_off") != 0) return AUMBRY_UNKNOWN;
    if (!is_object(request, size)) return answer(no_request, AUMBRY_FAULT, reply);
    return answer(strcmp(method, "derive") == 0 ? nothing_derived : measure_again, AUMBRY_OK,
                  reply);
}

static void release(void* instance, aumbry_text text) {
    (void)instance;
    free((void*)text.data);
}
static void destroy(void* instance) {
    free(instance);
}

AUMBRY_EXPORT const aumbry_module_functions* aumbry_module(void);
AUMBRY_EXPORT const aumbry_module_functions* aumbry_module(void) {
    static const aumbry_module_functions functions = {
        AUMBRY_CONTRACT_MAJOR, AUMBRY_CONTRACT_MINOR, create, call, release, destroy};
    return &functions;
}
