// The entry of the shared object.
#include "hardware_kits/module/hardware_kits_module.hpp"

AUMBRY_MODULE(aumbry::hardware_kits::HardwareKits)
