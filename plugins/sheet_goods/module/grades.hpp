// Face grades: which sheet is good enough.
#pragma once

#include "aumbry/json.hpp"

#include <string>
#include <string_view>

namespace aumbry::sheet_goods {

/// The grades of a sheet's two faces as written: "BB/CP", "A-1", "II/III"; one grade for both faces
/// when one is written.
struct Grades {
    std::string face, back;
};

/// `grade` split at '/' or '-'; `face` and `back`, where stated, come first.
[[nodiscard]] Grades grades_of(const std::string& grade, const std::string& face,
                               const std::string& back);

/// Ranks of the table "sheet_grades" (rows: system, symbol, rank from 1, the best). Grades of
/// different systems, and those that the table does not know, do not compare: only the same symbol
/// will do.
class GradeTable {
  public:
    explicit GradeTable(const Json* rows) : rows_(rows) {}

    /// Whether a face of grade `offered` may stand where `wanted` is asked for. Nothing asked:
    /// always.
    [[nodiscard]] bool serves(std::string_view offered, std::string_view wanted) const;
    /// Whether a sheet does for both faces, turned over if need be.
    [[nodiscard]] bool serves(const Grades& offered, const Grades& wanted) const;

  private:
    const Json* rows_;
};

} // namespace aumbry::sheet_goods
