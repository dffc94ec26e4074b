// Faults: the one error type of Aumbry.
#pragma once

#include <exception>
#include <string>
#include <vector>

namespace aumbry {

/// Where a fault is. Any part may be empty or zero when it does not apply; what is known is
/// printed.
struct Place {
    std::string file; ///< path as the user named it
    std::string
        pointer;    ///< JSON pointer (RFC 6901) into a document, or a column name of a price list
    int line = 0;   ///< 1-based line or row; 0 when unknown
    int column = 0; ///< 1-based column in characters; 0 when unknown

    bool operator==(const Place&) const = default;
};

/// One fault: a stable kebab-case code, the place, what is wrong, and what would be right.
struct Fault {
    std::string code; ///< stable, for programs: "unknown-key"; fault_codes.hpp has them all
    Place place;
    std::string wrong; ///< what is wrong, a clause without full stop: "unknown key 'lenght'"
    std::string right; ///< what would be right or what to do: "did you mean 'length'?"

    bool operator==(const Fault&) const = default;

    /// One sentence for a person: `file:line:column: /pointer: wrong; right`.
    [[nodiscard]] std::string sentence() const;
};

/// Thrown inside the library; carries every fault found, at least one. Turned into status and
/// message at the C door, into sentences at the command and the window.
class FaultError : public std::exception {
  public:
    explicit FaultError(Fault fault);
    explicit FaultError(std::vector<Fault> faults);

    [[nodiscard]] const std::vector<Fault>& faults() const noexcept { return faults_; }
    /// All sentences, one a line.
    [[nodiscard]] const char* what() const noexcept override { return text_.c_str(); }

  private:
    std::vector<Fault> faults_;
    std::string text_;
};

/// Throws a FaultError with one fault.
[[noreturn]] void fail(std::string code, Place place, std::string wrong, std::string right = {});

/// The candidate nearest to `name` by edit distance, or empty when none is near enough to be a
/// likely slip (a third of the name's length, at least one edit).
[[nodiscard]] std::string nearest_name(const std::string& name,
                                       const std::vector<std::string>& candidates);

} // namespace aumbry
