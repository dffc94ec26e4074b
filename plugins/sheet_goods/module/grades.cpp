#include "sheet_goods/module/grades.hpp"

#include "aumbry/plugin.hpp"

namespace aumbry::sheet_goods {

Grades grades_of(const std::string& grade, const std::string& face, const std::string& back) {
    Grades grades{grade, grade};
    if (const auto mark = grade.find_first_of("/-"); mark != std::string::npos)
        grades = {grade.substr(0, mark), grade.substr(mark + 1)};
    if (!face.empty()) grades.face = face;
    if (!back.empty()) grades.back = back;
    return grades;
}

bool GradeTable::serves(std::string_view offered, std::string_view wanted) const {
    if (wanted.empty() || offered == wanted) return true;
    if (rows_ == nullptr || !rows_->is_array()) return false;
    for (const Json& row : *rows_) {
        if (text(row, "symbol") != offered) continue;
        for (const Json& other : *rows_) {
            if (text(other, "symbol") != wanted || text(other, "system") != text(row, "system"))
                continue;
            return number(row, "rank", 0) <= number(other, "rank", 0);
        }
    }
    return false;
}

bool GradeTable::serves(const Grades& offered, const Grades& wanted) const {
    return (serves(offered.face, wanted.face) && serves(offered.back, wanted.back)) ||
           (serves(offered.back, wanted.face) && serves(offered.face, wanted.back));
}

} // namespace aumbry::sheet_goods
