// Loads the module through the installed library, as a program of a third party would, and checks
// it.
#include <aumbry/plugin_check.hpp>
#include <aumbry/plugin_host.hpp>

#include <cstdio>

namespace {

int failures = 0;
void expect(bool holds, const char* rule) {
    if (!holds) {
        std::printf("failed: %s\n", rule);
        ++failures;
    }
}

} // namespace

int main(int count, char** arguments) {
    using namespace aumbry;
    if (count != 2) return 2;
    PluginHost host({arguments[1]});
    for (const RefusedModule& refused : host.refused())
        std::printf("%s: %s\n", refused.file.c_str(), refused.reason.c_str());
    expect(host.refused().empty() && host.modules().size() == 1, "the module is loaded");
    expect(host.find_class("glass") != nullptr, "it brings a catalog class of its own");
    if (failures > 0) return 1;

    contract::Line shelf;
    shelf.id = "glass_shelf";
    shelf.kind = "glazing.pane";
    shelf.count = 3;
    shelf.material =
        contract::Material{"shelf_glass", "glass", {{"type", "toughened"}, {"thickness", 6}}};
    shelf.fields = {{"length", 1000}, {"width", 500}, {"edge", "polished"}};
    const auto derived = host.derive("glazing", {{shelf}, {}, Json::object()});
    // Half a square metre of 6 mm glass at 2.5 kg/m2 for each millimetre (EN 572-1).
    expect(derived->lines.at(0).values.at("mass") == 7.5, "6 mm glass weighs 15 kg/m2");
    expect(derived->lines.at(0).values.at("edge_length") == 3000, "four edges are counted");

    shelf.derived = derived->lines.at(0).values;
    contract::TakeOffRequest request;
    request.kind = shelf.kind;
    request.group = "shelf_glass";
    request.lines = {shelf};
    contract::Offer offer;
    offer.id = "quay_glass/T6";
    offer.supplier = "quay_glass";
    offer.catalog_class = "glass";
    offer.price = "84.00";
    offer.price_unit = "m2";
    contract::Offer polish = offer;
    polish.id = "quay_glass/P1";
    polish.catalog_class = "glass_edge";
    polish.price = "9.20";
    polish.price_unit = "m";
    polish.attributes = {{"finish", "polished"}};
    request.offers = {polish, offer};
    const auto taken = host.take_off("glazing", request);
    expect(taken->demands.size() == 2, "glass and edges are two demands");
    const contract::Amount& panes = *taken->demands.at(0).amount;
    expect(panes.quantity == 3 && panes.offers.size() == 1 && panes.offers[0].measure == 0.5,
           "three panes of half a square metre are needed");
    const contract::Amount& edges = *taken->demands.at(1).amount;
    expect(edges.quantity == 9, "nine metres of edge are polished");
    // One count that holds them all, so that nothing is rounded up to whole metres.
    expect(edges.offers.size() == 1 && edges.offers[0].content == 9 && edges.offers[0].measure == 9,
           "edges are charged by their exact length");

    const auto results = check_plugin(host.file_of("glazing"));
    expect(all_passed(results), "it passes the conformance check");
    if (!all_passed(results))
        std::printf("%s", check_text(host.file_of("glazing"), results).c_str());
    return failures == 0 ? 0 : 1;
}
