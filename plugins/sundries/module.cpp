// The entry of the shared object.
#include "sundries/sundries.hpp"

AUMBRY_MODULE(aumbry::sundries::Sundries)
