#include "finish/module/finish.hpp"

AUMBRY_MODULE(aumbry::finish::FinishModule)
