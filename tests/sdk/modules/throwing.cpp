// Modules written by hand in C++ that let an exception through the C door; a definition chooses
// where.
#include "aumbry/plugin.h"

#include <stdexcept>

namespace {

void* create(const aumbry_host*) {
#ifdef IN_CREATE
    throw std::runtime_error("no room");
#else
    static int instance = 0;
    return &instance;
#endif
}
aumbry_status call(void*, const char*, const char*, size_t, aumbry_text*) {
    throw std::runtime_error("lost the thread");
}
void release(void*, aumbry_text) {}
// Called when the description is refused.
void destroy(void*) {
    throw 7;
}

const aumbry_module_functions functions{
    AUMBRY_CONTRACT_MAJOR, AUMBRY_CONTRACT_MINOR, create, call, release, destroy};

} // namespace

extern "C" AUMBRY_EXPORT const aumbry_module_functions* aumbry_module(void);
extern "C" const aumbry_module_functions* aumbry_module(void) {
#ifdef IN_ENTRY
    throw std::runtime_error("not today");
#else
    return &functions;
#endif
}
