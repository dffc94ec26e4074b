// The active currencies of ISO 4217 and the decimals of their minor units, from memory; the tests
// hold them against an independent table.
#include "aumbry/fault.hpp"
#include "aumbry/money.hpp"
#include "values/excerpt.hpp"

#include <algorithm>

namespace aumbry {

namespace {

constexpr std::string_view no_digits =
    "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF ";
constexpr std::string_view two_digits =
    "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BOV BRL BSD BTN BWP BYN BZD "
    "CAD CDF CHE CHF CHW CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL "
    "GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR "
    "LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD "
    "PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC "
    "SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST XCD XCG YER ZAR ZMW "
    "ZWG ";
constexpr std::string_view three_digits = "BHD IQD JOD KWD LYD OMR TND ";
constexpr std::string_view four_digits = "CLF UYW ";

struct Row {
    std::string_view codes; ///< three letters and a space each
    int digits;
};
constexpr Row table[] = {{no_digits, 0}, {two_digits, 2}, {three_digits, 3}, {four_digits, 4}};

} // namespace

std::vector<std::string> currency_codes() {
    std::vector<std::string> codes;
    for (const Row& row : table)
        for (std::size_t at = 0; at < row.codes.size(); at += 4)
            codes.emplace_back(row.codes.substr(at, 3));
    std::sort(codes.begin(), codes.end());
    return codes;
}

Currency currency(std::string_view iso4217) {
    for (const Row& row : table)
        for (std::size_t at = 0; at < row.codes.size(); at += 4)
            if (row.codes.substr(at, 3) == iso4217) return {std::string(iso4217), row.digits};
    std::string upper(iso4217.substr(0, 8));
    for (char& c : upper)
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    const std::string nearest = nearest_name(upper, currency_codes());
    fail("unknown-currency", {}, in_quotes(iso4217) + " is not an active currency code of ISO 4217",
         nearest.empty() ? "write three capital letters such as EUR or USD"
                         : "did you mean '" + nearest + "'?");
}

} // namespace aumbry
