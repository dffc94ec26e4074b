// Systems of coats: what they take of each product.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry::finish {

enum class Application { brush, roller, pad, cloth, spray };

/// The share of a product that does not end on the work, when the system does not say: common
/// practice.
[[nodiscard]] double usual_loss(Application application);

/// What is coated, and how much more the first coat takes of it than of a sealed face.
struct Substrate {
    std::string name;
    double first_coat_factor = 1.0; ///< 1 or more
};

/// Common substrates; the factors are common practice. That of weathered wood follows from US Army
/// TM 43-0139, table 3-2: 300 to 400 ft2/gal in the first coat, 400 to 500 later.
[[nodiscard]] const std::vector<Substrate>& substrates();
/// Fails with "unknown substrate" and the nearest known one.
[[nodiscard]] const Substrate& substrate_named(std::string_view name);

/// Grits with which bare wood is sanded before its first coat, a round each (common practice): what
/// comes from a planer with 80, 120 and 180, what a mill has sanded with 120 and 180; what is
/// sealed has been.
[[nodiscard]] std::vector<std::string> bare_grits(std::string_view substrate);

/// Spread rates of oil paint on wood, ft2 to the US gallon: US Army TM 43-0139, table 3-2.
struct PaintingRate {
    std::string surface;
    bool first_coat = true;
    double low = 0, high = 0;
};
[[nodiscard]] const std::vector<PaintingRate>& painting_rates();

/// One coat of a system. The rate is the maker's, or follows from volume solids and dry film.
struct Coat {
    std::string product;
    double spread_rate =
        0; ///< m2/L as the maker states it for the product as supplied; 0: not stated
    std::optional<double> volume_solids; ///< percent
    std::optional<double> dry_film;      ///< micrometres
    double thinning = 0;                 ///< litres of thinner to a litre of product
    std::string thinner;                 ///< product that thins; empty: water from the tap
    std::optional<double> loss; ///< share lost, 0 to below 1; absent: usual for the application
    Application application = Application::brush;
    std::string abrasive;     ///< used before this coat; empty: none
    double abrasive_area = 0; ///< m2 that one sheet or disc of it serves
};

/// An area with its substrate.
struct Surface {
    std::string name;
    double area = 0; ///< m2
    double first_coat_factor = 1.0;
};

/// What one coat takes, with everything the figure came from.
struct CoatUse {
    std::size_t coat = 0;     ///< index into the system
    double area = 0;          ///< m2
    double weighted_area = 0; ///< area x first-coat factor
    double rate = 0;          ///< m2/L, in theory
    double loss = 0;
    double litres = 0; ///< weighted area / rate / (1 - loss)
    double thinner_litres = 0;
    double abrasive_pieces = 0; ///< area / area that one piece serves, not yet whole
};

/// A total to buy.
struct ProductUse {
    std::string product;
    double amount = 0; ///< litres, or pieces of an abrasive
};

struct SystemUse {
    std::vector<CoatUse> coats;
    std::vector<ProductUse> products;  ///< litres, in order of first use; thinners among them
    std::vector<ProductUse> abrasives; ///< whole pieces, in order of first use
};

/// Litres of each product for a system over surfaces. Thinning adds thinner and takes no product
/// away: the rate is that of the product as supplied. The first coat takes each surface's factor
/// more. Fails for no coats, a coat without product or rate, a zero spread rate, volume solids
/// outside 0 to 100 %, a loss outside 0 to 1, a negative thinning, a first-coat factor below 1, a
/// negative area.
[[nodiscard]] SystemUse system_use(const std::vector<Coat>& system,
                                   const std::vector<Surface>& surfaces);

} // namespace aumbry::finish
