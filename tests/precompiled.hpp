// Headers that nearly every test reads, precompiled.
#pragma once

#include "../sdk/cmake/precompiled_plain.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
