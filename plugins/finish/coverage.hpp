// How much of a coating a surface takes.
#pragma once

namespace aumbry::finish {

/// Square metres that a litre covers at a dry film thickness: volume solids (per cent) x 10 / film
/// thickness (micrometres). Source: ISO 3233-3, theoretical spreading rate from the volume of
/// non-volatile matter.
/// @throws FaultError "bad-volume-solids" outside 0 to 100 (0 excluded), "bad-film" when the film
/// is not above zero.
[[nodiscard]] double spread_rate_m2_per_litre(double volume_solids_percent,
                                              double film_micrometres);

/// The same in square feet that a US gallon covers at a film in mils: 231 / 0.144 x volume solids
/// (share) / film.
[[nodiscard]] double spread_rate_ft2_per_gallon(double volume_solids_percent, double film_mils);

/// Film as it lies wet for a dry film: dry / volume solids, thinned by so many per cent of the
/// product's volume.
[[nodiscard]] double wet_film(double dry_film, double volume_solids_percent,
                              double thinning_percent = 0);

/// One coat on one surface.
struct Coat {
    double spread_rate = 0; ///< m2/L
    double loss = 0;       ///< per cent of the product lost: on the tool, in the tin, past the edge
    double absorption = 1; ///< a first coat on a thirsty surface takes so many times as much
    double thinning = 0;   ///< per cent of the product's volume added as thinner
};

/// Litres of product for an area: area x absorption / rate x (1 + loss). Source: practical
/// spreading rate, common practice.
/// @throws FaultError "bad-spread-rate" when the rate is not above zero.
[[nodiscard]] double litres_for(double area_m2, const Coat& coat);

/// The faces and edges of a part that carry a system.
struct Surface {
    double face_area = 0;   ///< m2 of one face
    double edge_length = 0; ///< mm all round
    double thickness = 0;   ///< mm
    int faces = 2;          ///< 0, 1 or 2
    bool edges = true;
};

/// Square metres of one part.
[[nodiscard]] double coated_area(const Surface& surface);

} // namespace aumbry::finish
