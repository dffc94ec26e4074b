// Library headers that nearly every test reads, precompiled.
#pragma once

#include "../sdk/cmake/precompiled.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
