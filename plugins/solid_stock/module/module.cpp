#include "solid_stock/module/solid_stock.hpp"

AUMBRY_MODULE(aumbry::solid_stock::SolidStockModule)
