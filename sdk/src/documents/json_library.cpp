// The JSON library's value, instantiated here once for all that are built with our precompiled
// headers.
#include "aumbry/json.hpp"

template class nlohmann::basic_json<nlohmann::ordered_map>;
