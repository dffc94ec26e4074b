#include "module_requests.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <sstream>

namespace aumbry::sheet_goods::module_testing {

namespace {
const aumbry_host quiet{sizeof(aumbry_host), nullptr, [](void*, const char*) {},
                        [](void*, double) {}, [](void*) { return 0; }};
}

Json reference_tables() {
    Json tables = Json::object();
    for (const std::string name : {"panel_materials", "sheet_grades"}) {
        std::ifstream file(std::string(REFERENCE_FOLDER) + '/' + name + ".json");
        std::stringstream text;
        text << file.rdbuf();
        tables[name] = parse_json(text.str(), name)["rows"];
    }
    return tables;
}

contract::Material birch(Json more) {
    contract::Material material{
        "carcase", "sheet", {{"species", "birch"}, {"thickness", 18.0}, {"grade", "BB/BB"}}};
    for (const auto& [key, value] : more.items()) material.attributes[key] = value;
    return material;
}

contract::Line panel(std::string id, double length, double width, std::int64_t count, Json more) {
    contract::Line line;
    line.id = std::move(id);
    line.kind = "panel";
    line.piece = "bed";
    line.count = count;
    line.material = birch();
    line.fields = {{"length", length}, {"width", width}, {"grain", "length"}, {"faces", 1}};
    for (const auto& [key, value] : more.items()) line.fields[key] = value;
    return line;
}

contract::Offer sheet(std::string supplier, std::string sku, double length, double width,
                      std::string price, Json more) {
    contract::Offer offer;
    offer.supplier = std::move(supplier);
    offer.sku = std::move(sku);
    offer.id = (offer.supplier.empty() ? "owned" : offer.supplier) + '/' + offer.sku;
    offer.catalog_class = "sheet";
    offer.attributes = {{"species", "birch"}, {"thickness", 18.0}, {"grade", "BB/BB"},
                        {"grain", "length"},  {"length", length},  {"width", width}};
    for (const auto& [key, value] : more.items()) offer.attributes[key] = value;
    offer.price = std::move(price);
    offer.price_unit = "each";
    return offer;
}

contract::TakeOffRequest request(std::vector<contract::Line> lines,
                                 std::vector<contract::Offer> offers) {
    contract::TakeOffRequest made;
    made.kind = "panel";
    made.group = "birch, BB/BB, 18";
    made.lines = std::move(lines);
    made.offers = std::move(offers);
    made.settings.workshop = {{"kerf", 3.2}, {"clean_up", 10.0}};
    made.tables = reference_tables();
    return made;
}

contract::TakeOffReply take_off(const contract::TakeOffRequest& request) {
    return SheetGoods().take_off(request, Host(&quiet));
}

contract::DerivedLine derive(const contract::Line& line, std::vector<contract::Finding>* findings) {
    contract::DeriveRequest asked;
    asked.lines = {line};
    asked.tables = reference_tables();
    const auto reply = SheetGoods().derive(asked, Host(&quiet));
    if (findings != nullptr) *findings = reply.findings;
    return reply.lines.at(0);
}

bool has_finding(const std::vector<contract::Finding>& findings, const std::string& code) {
    return std::any_of(findings.begin(), findings.end(),
                       [&](const contract::Finding& finding) { return finding.code == code; });
}

contract::Finding finding(const std::vector<contract::Finding>& findings, const std::string& code) {
    for (const contract::Finding& candidate : findings) {
        if (candidate.code == code) return candidate;
    }
    ADD_FAILURE() << "no finding '" << code << "'";
    return {};
}

const contract::Demand& sheets_of(const contract::TakeOffReply& reply) {
    for (const contract::Demand& demand : reply.demands) {
        if (demand.id.ends_with(".sheets")) return demand;
    }
    throw std::runtime_error("no demand of sheets");
}

} // namespace aumbry::sheet_goods::module_testing
