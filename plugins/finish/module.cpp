#include "finish/finish.hpp"

AUMBRY_MODULE(aumbry::finish::FinishModule)
