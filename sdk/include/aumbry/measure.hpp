// Strong types over double: a length cannot be passed for a mass, and products carry their
// dimension at compile time.
#pragma once

#include "aumbry/dimension.hpp"

#include <compare>

namespace aumbry {

/// A number of dimension D, held in the base units mm, kg, s and degree (force: kg·mm/s2). Lengths
/// in mm, masses in kg and angles in degrees are held as given; the other accessors convert by an
/// exact power of ten or by 60.
template <Dimension D>
class Measure {
  public:
    constexpr Measure() = default;
    static constexpr Measure from_base(double value) { return Measure(value); }
    [[nodiscard]] constexpr double base() const { return value_; }

    // clang-format off
    static constexpr Measure mm(double v) requires(D == dimension::length) { return Measure(v); }
    static constexpr Measure m2(double v) requires(D == dimension::area) { return Measure(v * 1e6); }
    static constexpr Measure mm2(double v) requires(D == dimension::area) { return Measure(v); }
    static constexpr Measure m3(double v) requires(D == dimension::volume) { return Measure(v * 1e9); }
    static constexpr Measure mm3(double v) requires(D == dimension::volume) { return Measure(v); }
    static constexpr Measure litres(double v) requires(D == dimension::volume) { return Measure(v * 1e6); }
    static constexpr Measure kg(double v) requires(D == dimension::mass) { return Measure(v); }
    static constexpr Measure newtons(double v) requires(D == dimension::force) { return Measure(v * 1e3); }
    static constexpr Measure newton_metres(double v) requires(D == dimension::torque) { return Measure(v * 1e6); }
    static constexpr Measure newtons_per_mm2(double v) requires(D == dimension::stress) { return Measure(v * 1e3); }
    static constexpr Measure kg_per_m3(double v) requires(D == dimension::density) { return Measure(v / 1e9); }
    static constexpr Measure kg_per_m2(double v) requires(D == dimension::mass_per_area) { return Measure(v / 1e6); }
    static constexpr Measure m2_per_litre(double v) requires(D == dimension::spread_rate) { return Measure(v); }
    static constexpr Measure degrees(double v) requires(D == dimension::angle) { return Measure(v); }
    static constexpr Measure seconds(double v) requires(D == dimension::duration) { return Measure(v); }
    static constexpr Measure minutes(double v) requires(D == dimension::duration) { return Measure(v * 60); }
    static constexpr Measure hours(double v) requires(D == dimension::duration) { return Measure(v * 3600); }

    [[nodiscard]] constexpr double mm() const requires(D == dimension::length) { return value_; }
    [[nodiscard]] constexpr double m2() const requires(D == dimension::area) { return value_ / 1e6; }
    [[nodiscard]] constexpr double mm2() const requires(D == dimension::area) { return value_; }
    [[nodiscard]] constexpr double m3() const requires(D == dimension::volume) { return value_ / 1e9; }
    [[nodiscard]] constexpr double mm3() const requires(D == dimension::volume) { return value_; }
    [[nodiscard]] constexpr double litres() const requires(D == dimension::volume) { return value_ / 1e6; }
    [[nodiscard]] constexpr double kg() const requires(D == dimension::mass) { return value_; }
    [[nodiscard]] constexpr double newtons() const requires(D == dimension::force) { return value_ / 1e3; }
    [[nodiscard]] constexpr double newton_metres() const requires(D == dimension::torque) { return value_ / 1e6; }
    [[nodiscard]] constexpr double newtons_per_mm2() const requires(D == dimension::stress) { return value_ / 1e3; }
    [[nodiscard]] constexpr double kg_per_m3() const requires(D == dimension::density) { return value_ * 1e9; }
    [[nodiscard]] constexpr double kg_per_m2() const requires(D == dimension::mass_per_area) { return value_ * 1e6; }
    [[nodiscard]] constexpr double m2_per_litre() const requires(D == dimension::spread_rate) { return value_; }
    [[nodiscard]] constexpr double degrees() const requires(D == dimension::angle) { return value_; }
    [[nodiscard]] constexpr double seconds() const requires(D == dimension::duration) { return value_; }
    [[nodiscard]] constexpr double minutes() const requires(D == dimension::duration) { return value_ / 60; }
    [[nodiscard]] constexpr double hours() const requires(D == dimension::duration) { return value_ / 3600; }
    // clang-format on

    constexpr auto operator<=>(const Measure&) const = default;

    constexpr Measure operator-() const { return Measure(-value_); }
    constexpr Measure& operator+=(Measure other) {
        value_ += other.value_;
        return *this;
    }
    constexpr Measure& operator-=(Measure other) {
        value_ -= other.value_;
        return *this;
    }
    friend constexpr Measure operator+(Measure a, Measure b) {
        return Measure(a.value_ + b.value_);
    }
    friend constexpr Measure operator-(Measure a, Measure b) {
        return Measure(a.value_ - b.value_);
    }
    friend constexpr Measure operator*(Measure a, double b) { return Measure(a.value_ * b); }
    friend constexpr Measure operator*(double a, Measure b) { return Measure(a * b.value_); }
    friend constexpr Measure operator/(Measure a, double b) { return Measure(a.value_ / b); }

  private:
    constexpr explicit Measure(double value) : value_(value) {}

    double value_ = 0;
};

/// The product of two measures; a plain double when the dimensions cancel.
template <Dimension A, Dimension B>
constexpr auto operator*(Measure<A> a, Measure<B> b) {
    if constexpr ((A * B).is_none())
        return a.base() * b.base();
    else
        return Measure<A * B>::from_base(a.base() * b.base());
}

/// The quotient of two measures; a plain double when they are of one kind.
template <Dimension A, Dimension B>
constexpr auto operator/(Measure<A> a, Measure<B> b) {
    if constexpr ((A / B).is_none())
        return a.base() / b.base();
    else
        return Measure<A / B>::from_base(a.base() / b.base());
}

using Length = Measure<dimension::length>;
using Area = Measure<dimension::area>;
using Volume = Measure<dimension::volume>;
using Mass = Measure<dimension::mass>;
using Force = Measure<dimension::force>;
using Torque = Measure<dimension::torque>;
using Duration = Measure<dimension::duration>;
using Density = Measure<dimension::density>;
using MassPerArea = Measure<dimension::mass_per_area>;
using Stress = Measure<dimension::stress>;
using SpreadRate = Measure<dimension::spread_rate>;
using Angle = Measure<dimension::angle>;

} // namespace aumbry
