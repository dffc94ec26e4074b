// Help for tests of the module's face: lines, offers, tables, calls without the door.
#pragma once

#include "hardware_kits/module/hardware_kits_module.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

namespace aumbry::hardware_kits {

inline const aumbry_host quiet{sizeof(aumbry_host), nullptr, [](void*, const char*) {},
                               [](void*, double) {}, [](void*) { return 0; }};

inline Json tables() {
    std::ifstream in(std::filesystem::path(AUMBRY_REFERENCE_DIR) / "kits.json");
    return {{"kits", Json::parse(in)["rows"]}};
}

inline contract::Line line_of(std::string kind, std::string id, Json fields) {
    contract::Line line;
    line.id = std::move(id);
    line.kind = std::move(kind);
    line.fields = std::move(fields);
    return line;
}

inline contract::Line with_reference(contract::Line line, const std::string& kind,
                                     const std::string& id, Json derived, std::int64_t count = 1) {
    contract::Line named = line_of(kind, id, Json::object());
    named.derived = std::move(derived);
    named.count = count;
    line.references.push_back(std::move(named));
    return line;
}

inline contract::Offer offer_of(std::string catalog_class, std::string sku, Json attributes,
                                double pack = 1) {
    contract::Offer made;
    made.id = "north/" + sku;
    made.supplier = "north";
    made.sku = std::move(sku);
    made.catalog_class = std::move(catalog_class);
    made.attributes = std::move(attributes);
    made.price = "9.80";
    made.price_unit = pack == 1 ? "each" : "pack";
    made.pack = pack;
    return made;
}

inline contract::DeriveReply derive(const contract::Line& line,
                                    const std::string& length_unit = "mm") {
    contract::DeriveRequest request;
    request.lines = {line};
    request.settings.length_unit = length_unit;
    request.tables = tables();
    return HardwareKits().derive(request, Host(&quiet));
}

/// Derives and takes off one group, as the host would.
inline contract::TakeOffReply take_off(std::vector<contract::Line> lines,
                                       std::vector<contract::Offer> offers,
                                       contract::Settings settings = {}) {
    contract::TakeOffRequest request;
    request.kind = lines.front().kind;
    for (contract::Line& line : lines) {
        const auto reply = derive(line, settings.length_unit);
        if (!reply.lines.empty()) line.derived = reply.lines.front().values;
    }
    request.lines = std::move(lines);
    request.offers = std::move(offers);
    request.settings = std::move(settings);
    request.tables = tables();
    return HardwareKits().take_off(request, Host(&quiet));
}

template <class Reply>
std::vector<std::string> codes(const Reply& reply) {
    std::vector<std::string> list;
    for (const contract::Finding& finding : reply.findings) list.push_back(finding.code);
    return list;
}

template <class Reply>
const contract::Finding* finding(const Reply& reply, const std::string& code) {
    const auto found = std::find_if(reply.findings.begin(), reply.findings.end(),
                                    [&](const contract::Finding& f) { return f.code == code; });
    return found == reply.findings.end() ? nullptr : &*found;
}

inline const contract::QuantityRow* quantity(const contract::TakeOffReply& reply,
                                             const std::string& ref) {
    const auto found =
        std::find_if(reply.quantities.begin(), reply.quantities.end(),
                     [&](const contract::QuantityRow& row) { return row.ref == ref; });
    return found == reply.quantities.end() ? nullptr : &*found;
}

inline const contract::Working* working(const contract::TakeOffReply& reply,
                                        const std::string& ref) {
    const auto found = std::find_if(reply.workings.begin(), reply.workings.end(),
                                    [&](const contract::Working& w) { return w.ref == ref; });
    return found == reply.workings.end() ? nullptr : &*found;
}

} // namespace aumbry::hardware_kits
