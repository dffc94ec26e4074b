// The entry of the shared object.
#include "sheet_goods/module/sheet_goods.hpp"

AUMBRY_MODULE(aumbry::sheet_goods::SheetGoods)
