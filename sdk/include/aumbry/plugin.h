/* The C door between host and module.
 *
 * A module is a shared object that exports one symbol, `aumbry_module`, a function that returns a
 * table of functions. Every exchange is UTF-8 JSON text; what the documents hold is fixed by the
 * contract (aumbry/contract.hpp, schemas in share/aumbry/schemas). Nothing C++ crosses this door:
 * no type, no exception, no allocation owned by the other side.
 *
 * Rationale: text costs a few per cent of an estimate and buys modules that keep working when
 * compilers, standard libraries or JSON libraries differ on the two sides.
 */
#ifndef AUMBRY_PLUGIN_H
#define AUMBRY_PLUGIN_H

#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#define AUMBRY_CONTRACT_MAJOR 0
#define AUMBRY_CONTRACT_MINOR 1

#if defined(__GNUC__)
#define AUMBRY_EXPORT __attribute__((visibility("default")))
#else
#define AUMBRY_EXPORT
#endif

/* How a call ended. A plain number, so that a value nobody knows is an answer to refuse and not
 * undefined behaviour. */
typedef int32_t aumbry_status;
enum {
    AUMBRY_OK = 0,    /* the text is the reply */
    AUMBRY_FAULT = 1, /* the request cannot be answered; the text is one sentence that says why */
    AUMBRY_CANCELLED = 2, /* the host asked to stop; the text may be empty */
    AUMBRY_UNKNOWN =
        3 /* the module does not have this method; the host treats it as an empty reply */
};

/* A text that the module owns. `data` is not necessarily zero-terminated. Valid until `release` is
 * called with it or the instance is destroyed. */
typedef struct aumbry_text {
    const char* data;
    size_t size;
} aumbry_text;

/* What the host offers a module during a call. Every function may be called from the thread that
 * made the call only, and only until the call returns. None may be NULL. */
typedef struct aumbry_host {
    uint32_t size; /* sizeof(aumbry_host) on the host's side: later hosts append functions */
    void* context; /* passed back to each function */
    /* Writes a message for the developer of the module; never shown as a result. */
    void (*log)(void* context, const char* text);
    /* Says how far the call is, 0 to 1. */
    void (*progress)(void* context, double fraction);
    /* Not zero when the result is no longer wanted: return AUMBRY_CANCELLED soon. */
    int (*cancelled)(void* context);
} aumbry_host;

/* The functions of a module. */
typedef struct aumbry_module_functions {
    uint32_t contract_major; /* checked before anything else is called: must equal the host's, */
    uint32_t contract_minor; /* and must not be newer than the host's */
    /* Makes an instance, or NULL when that fails. `host` stays valid until the instance is
     * destroyed. One instance is never called from two threads at once; several instances may be.
     */
    void* (*create)(const aumbry_host* host);
    /* Calls a method ("describe", "derive", "take_off", "follow") with a request and gives a reply.
     * The reply must depend on the bytes of the request alone: the host keeps replies. `reply` is
     * never NULL and must be set unless the status is AUMBRY_UNKNOWN. */
    aumbry_status (*call)(void* instance, const char* method, const char* request,
                          size_t request_size, aumbry_text* reply);
    /* Gives a text back that `call` returned. */
    void (*release)(void* instance, aumbry_text text);
    /* Ends an instance made by `create`. */
    void (*destroy)(void* instance);
} aumbry_module_functions;

/* The one exported symbol. The table must stay valid while the module is loaded. */
typedef const aumbry_module_functions* (*aumbry_module_entry)(void);
#define AUMBRY_ENTRY_SYMBOL "aumbry_module"

#ifdef __cplusplus
}
#endif

#endif
