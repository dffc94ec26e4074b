// Any bytes are read as a quantity, a formula, a decimal, a date, or refused by a fault whose
// sentence is short and can be written into a JSON document.
#include "aumbry/date.hpp"
#include "aumbry/formula.hpp"
#include "aumbry/gtin.hpp"
#include "aumbry/money.hpp"
#include "aumbry/quantity.hpp"

#include <nlohmann/json.hpp>

#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace aumbry;

namespace {

void insist(bool holds) {
    if (!holds) std::abort();
}

template <typename Read>
void read_or_refuse(Read read) {
    try {
        read();
    } catch (const FaultError& error) {
        for (const Fault& fault : error.faults()) {
            insist(!fault.code.empty());
            insist(fault.sentence().size() < 1000);
            (void)nlohmann::json(fault.sentence()).dump(); // throws on text that is not UTF-8
        }
    }
}

Quantity lookup(std::string_view name) {
    if (name.size() % 3 == 0) return Length::mm(static_cast<double>(name.size()) - 4);
    if (name.size() % 3 == 1) return Quantity(static_cast<double>(name.size()));
    return Mass::kg(0.5);
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    read_or_refuse([&] {
        const Quantity quantity = parse_quantity(text);
        insist(std::isfinite(quantity.value));
        (void)format_quantity(quantity, LengthUnit::inch);
        // What reads as a quantity reads as the same formula, except for a bare fraction's
        // rounding.
        const Quantity computed = Formula::parse(text).evaluate(lookup);
        insist(computed.dimension == quantity.dimension);
        insist(std::fabs(computed.value - quantity.value) <= 1e-12 * std::fabs(quantity.value));
    });
    read_or_refuse([&] {
        const Formula formula = Formula::parse(text);
        read_or_refuse([&] { (void)Formula::parse(formula.substituted(lookup)); });
        insist(std::isfinite(formula.evaluate(lookup).value));
    });
    read_or_refuse([&] {
        const Decimal decimal = Decimal::parse(text);
        insist(Decimal::parse(decimal.str()) == decimal);
        (void)Decimal::from_double(decimal.to_double(), 6);
    });
    read_or_refuse([&] { insist(format_date(parse_date(text)) == text); });
    if (size <= 4) read_or_refuse([&] { (void)currency(text); });
    read_or_refuse([&] {
        if (!gtin_valid(text)) return;
        std::string wrong(text);
        wrong.back() = wrong.back() == '9' ? '0' : static_cast<char>(wrong.back() + 1);
        insist(!gtin_valid(wrong));
    });
    return 0;
}
