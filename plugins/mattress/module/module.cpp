// The entry of the shared object.
#include "mattress/module/mattress_module.hpp"

AUMBRY_MODULE(aumbry::mattress::MattressModule)
