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

/* The version of the contract, the only place that states it. A module puts these into its table of
 * functions; AUMBRY_MODULE (plugin.hpp) does it for you. */
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
    AUMBRY_CANCELLED = 2, /* `cancelled` said yes and the call stopped; the text may be empty.
                             Without having been told, it is a fault of the module */
    AUMBRY_UNKNOWN =
        3 /* the module does not have this method; the host treats it as an empty reply */
};

/* Threads, the tags below:
 * [call]  only on the thread on which the host makes the call, and only until the call returns
 * [one]   on any thread, but never two of these at once for one instance
 * [any]   on any thread, also at once for several instances
 * Today's host makes one call at a time whatever the instance; a module must not rely on it. */

/* A text that the module owns. `data` is UTF-8 and not necessarily zero-terminated. Valid until
 * `release` is called with it or the instance is destroyed, whichever is first. */
typedef struct aumbry_text {
    const char* data;
    size_t size;
} aumbry_text;

/* What the host offers a module during a call. The host owns it and every text that it passes. None
 * may be NULL. */
typedef struct aumbry_host {
    uint32_t size; /* sizeof(aumbry_host) on the host's side: later hosts append functions */
    void* context; /* passed back to each function */
    /* [call] Writes a message for the developer of the module: `--verbose` shows it, it is never a
     * result. `text` is zero-terminated UTF-8, read before the function returns and not kept. */
    void (*log)(void* context, const char* text);
    /* [call] Says how far the call is, 0 to 1; anything else is ignored. */
    void (*progress)(void* context, double fraction);
    /* [call] Not zero when the result is no longer wanted: return AUMBRY_CANCELLED soon. Once it
     * has said so it says so until the call returns. */
    int (*cancelled)(void* context);
} aumbry_host;

/* The functions of a module. None may be NULL, and none may let an exception through. */
typedef struct aumbry_module_functions {
    /* Checked before anything else is called: the major must equal the host's and the minor must
     * not be above the host's, whatever the module makes use of. */
    uint32_t contract_major;
    uint32_t contract_minor;
    /* [any] Makes an instance, or NULL when that fails. `host` stays valid until the instance is
     * destroyed, but its functions may be called during a call only. */
    void* (*create)(const aumbry_host* host);
    /* [one] Calls a method ("describe", "derive", "take_off", "plan",
     * "follow") with a request and gives a
     * reply. `method` is zero-terminated; `request` has `request_size` bytes and is not necessarily
     * zero-terminated; both are the host's and valid until the call returns. The reply must depend
     * on the bytes of the request alone: the host keeps replies. `reply` is never NULL; set it to
     * a text of yours, or to {NULL, 0} for none, which AUMBRY_OK must not. A text is given back by
     * `release` whatever the status. */
    aumbry_status (*call)(void* instance, const char* method, const char* request,
                          size_t request_size, aumbry_text* reply);
    /* [one] Gives a text back that `call` returned, once. */
    void (*release)(void* instance, aumbry_text text);
    /* [one] Ends an instance made by `create`. Nothing is called with it afterwards. */
    void (*destroy)(void* instance);
} aumbry_module_functions;

/* [any] The one exported symbol. The table must stay valid while the module is loaded, which is as
 * long as the process lives: modules are never unloaded. */
typedef const aumbry_module_functions* (*aumbry_module_entry)(void);
#define AUMBRY_ENTRY_SYMBOL "aumbry_module"

#ifdef __cplusplus
}
#endif

#endif
