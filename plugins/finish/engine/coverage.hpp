// How far a litre goes: spread rates from volume solids and film thickness.
#pragma once

namespace aumbry::finish {

/// Square metres that a litre covers in theory: volume solids in percent x 10 / dry film in
/// micrometres (ISO 3233-3, theoretical spreading rate). Fails for solids outside 0 to 100 % and
/// for no film.
[[nodiscard]] double spread_rate(double volume_solids_percent, double dry_film_micrometres);

/// The same in square feet to the US gallon, film in mil: 231/0.144 x solids / film.
[[nodiscard]] double spread_rate_us(double volume_solids_percent, double dry_film_mil);

/// What is left of a wet film when it has dried: wet x solids / 100. Same unit as given.
[[nodiscard]] double dry_film(double wet_film, double volume_solids_percent);

/// 1 ft2/gal in m2/L: 0.09290304 / 3.785411784 (NIST SP 811).
inline constexpr double m2_per_litre_of_ft2_per_gallon = 0.09290304 / 3.785411784;

} // namespace aumbry::finish
