// The entry of the shared object.
#include "sundries/module/sundries.hpp"

AUMBRY_MODULE(aumbry::sundries::Sundries)
