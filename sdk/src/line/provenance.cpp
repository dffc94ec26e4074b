#include "line/provenance.hpp"

namespace aumbry {
namespace {

/// FNV-1a, 64 bits: tells two inputs apart; no protection against intent.
std::string hash_of(std::string_view text) {
    std::uint64_t hash = 14695981039346656037ULL;
    for (const char c : text) {
        hash ^= static_cast<unsigned char>(c);
        hash *= 1099511628211ULL;
    }
    std::string digits(16, '0');
    for (std::size_t i = 16; i-- > 0; hash >>= 4U) digits[i] = "0123456789abcdef"[hash & 15U];
    return "fnv1a64:" + digits;
}

std::string hash_of_prices(const TakenOff& taken) {
    std::string prices;
    for (const auto& [id, offer] : taken.offers) {
        prices += id + ' ' + offer.offer.price + ' ' + offer.offer.attributes.dump();
        for (const PriceRow* row : offer.rows)
            prices += ' ' + row->price.str() + '/' + std::to_string(row->min_quantity);
        prices += '\n';
    }
    return hash_of(prices);
}

} // namespace

Provenance provenance_of(const Project& project, const PluginHost& host, const Catalog& catalog,
                         const Resolved& resolved, const TakenOff& taken,
                         const EstimateOptions& options) {
    Provenance from;
    from.alternative = project.alternative;
    from.effort = options.effort;
    from.inputs["project"] = hash_of(project.document.dump());
    from.inputs["prices"] = hash_of_prices(taken);
    from.inputs["tables"] = hash_of(catalog.tables().dump());
    from.modules = host.modules();
    for (const RefusedModule& refused : host.refused())
        from.refused.push_back(refused.file + " " + refused.reason + ".");
    for (const Supplier& supplier : catalog.suppliers())
        from.supplier_names[supplier.id] = supplier.name;
    for (const Bought& bought : resolved.bought) {
        if (const PriceRow* row = catalog.find(bought.supplier + '/' + bought.sku))
            from.bought_attributes[bought.id] = catalog.attributes(*row);
    }
    return from;
}

} // namespace aumbry
