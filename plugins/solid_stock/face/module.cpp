#include "solid_stock/face/solid_stock.hpp"

AUMBRY_MODULE(aumbry::solid_stock::SolidStockModule)
