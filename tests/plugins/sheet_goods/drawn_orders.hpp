// Orders drawn by chance, the same on every machine.
#pragma once

#include "sheet_goods/engine/cutting.hpp"

#include <random>

namespace aumbry::sheet_goods {

class Drawn {
  public:
    explicit Drawn(std::uint64_t seed) : numbers_(seed) {}

    Steps between(Steps low, Steps high) {
        return low + static_cast<Steps>(numbers_() % static_cast<std::uint64_t>(high - low + 1));
    }

    /// Any order that can be planned: every part fits every unlimited format in some way that its
    /// grain allows.
    CuttingJob order(Steps most_parts_drawn) {
        CuttingJob order;
        const Steps length = between(20, 300);
        const Steps width = between(20, length);
        order.kerf = between(0, 2) == 0 ? 0 : between(0, 4);
        const bool grain = between(0, 1) == 0;
        const Steps formats = between(1, 3);
        for (Steps i = 0; i < formats; ++i) {
            Format format;
            format.length = length + (i == 0 ? 0 : between(0, 60));
            format.width = width + (i == 0 ? 0 : between(0, 60));
            if (between(0, 1) == 0)
                format.clean_up = {between(0, 2), between(0, 2), between(0, 2), between(0, 2)};
            format.cost = between(0, 4) == 0 ? 0 : between(1, 500);
            if (i > 0 && between(0, 1) == 0) format.limit = between(0, 3);
            if (grain) format.grain = between(0, 3) == 0 ? Grain::none : Grain::along_length;
            order.formats.push_back(format);
        }
        const Steps longest = length - 4;
        const Steps broadest = width - 4;
        const Steps kinds = between(1, 12);
        Steps left = most_parts_drawn;
        for (Steps i = 0; i < kinds && left > 0; ++i) {
            Part part;
            part.turn = static_cast<Turn>(between(0, 2));
            const Steps share = between(1, 6); // small parts are as common as large ones
            part.length = std::max(order.kerf + 1, between(1, longest) / share);
            part.width = std::max(order.kerf + 1, between(1, broadest) / share);
            if (between(0, 9) == 0 && part.length <= broadest && part.width <= longest) {
                std::swap(part.length, part.width);
                part.turn =
                    between(0, 1) == 0 && part.width <= broadest ? Turn::free : Turn::across_grain;
            }
            part.count = std::min(left, between(1, 8));
            left -= part.count;
            order.parts.push_back(part);
        }
        return order;
    }

  private:
    std::mt19937_64 numbers_;
};

} // namespace aumbry::sheet_goods
