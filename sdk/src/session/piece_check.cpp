#include "aumbry/piece_check.hpp"

#include "catalog/piece_units.hpp"

#include "aumbry/resolve.hpp"
#include "aumbry/session.hpp"

#include <algorithm>

namespace aumbry {

namespace {

std::vector<std::string> failing_checks(const Resolved& resolved, const std::string& id) {
    std::vector<std::string> sentences;
    const auto own = resolved.findings.find("");
    if (own == resolved.findings.end()) return sentences;
    for (const contract::Finding& finding : own->second) {
        if (finding.code == "check-fails" && finding.text.starts_with("Check '" + id + '_'))
            sentences.push_back(finding.text);
    }
    return sentences;
}

} // namespace

AddedPiece add_piece(const std::string& project_text, const std::string& project_file,
                     const PieceFile& piece, const PieceToAdd& wanted, PluginHost& host,
                     const Json& tables) {
    AddedPiece added{with_piece(project_text, project_file, piece, wanted, host.modules()), {}};
    const Resolved resolved =
        resolve(Session::with_text(added.with.text, project_file), host, tables, "draft");
    for (const PieceSize& size : sizes_of(piece, resolved.length_unit)) {
        const auto chosen = wanted.sizes.find(size.name);
        const auto value = resolved.parameters.find(wanted.id + '_' + size.name);
        if (chosen == wanted.sizes.end() || value == resolved.parameters.end()) continue;
        try {
            refuse_outside(size, value->second, chosen->second, resolved.length_unit);
        } catch (const FaultError& error) {
            std::vector<Fault> faults = error.faults();
            for (Fault& fault : faults) fault.place = {"--set " + size.name, "", 0, 0};
            throw FaultError(std::move(faults));
        }
    }
    added.does_not_hold = failing_checks(resolved, wanted.id);
    return added;
}

namespace {

/// A name that no piece uses, and that is taken out of what is said again.
constexpr std::string_view trial = "trialpiece";

std::string without_trial(std::string text) {
    const std::string prefix = std::string(trial) + '_';
    for (std::size_t at; (at = text.find(prefix)) != std::string::npos;)
        text.erase(at, prefix.size());
    return text;
}

/// A place of the trial project in the piece file.
Place place_in(const PieceFile& piece, std::string_view unit, const std::string& pointer) {
    std::string own = without_trial(pointer);
    const Json* value = find_at(bill_of(piece, unit), own);
    if (own.starts_with("/parameters/") && value != nullptr && value->is_object())
        own += "/default";
    own = pointer_in_file(piece.document, unit, own);
    for (std::string nearest = own; !nearest.empty(); nearest.resize(nearest.rfind('/'))) {
        if (const auto position = locate(piece.text, nearest))
            return {piece.file, own, position->line, position->column};
    }
    return {piece.file, own, 0, 0};
}

/// One trial; what is wrong is told once, however many trials find it.
class Trials {
  public:
    Trials(const PieceFile& piece, PluginHost& host, const Json& tables)
        : piece_(piece), host_(host), tables_(tables) {}

    void run(std::string_view unit, const std::map<std::string, std::string>& sizes) {
        const std::string project =
            R"({"aumbry": 1, "title": "trial", "currency": "EUR", "length_unit": ")" +
            std::string(unit) + R"(", "priced_on": "2027-01-04", "start": "2027-01-04"})";
        std::string at;
        for (const auto& [name, value] : sizes) at = " when '" + name + "' is " + value;
        try {
            const AddedPiece added =
                add_piece(project, "", piece_, {std::string(trial), "", sizes, {}}, host_, tables_);
            // Outside its own sizes a check may say what cannot go together.
            if (!sizes.empty()) return;
            for (const std::string& sentence : added.does_not_hold) {
                const std::size_t name = sentence.find('\'') + 1;
                tell(
                    {"check-does-not-hold",
                     place_in(piece_, unit,
                              "/checks/" + sentence.substr(name, sentence.find('\'', name) - name)),
                     without_trial(sentence) + " So it is with its own sizes in " +
                         std::string(unit),
                     "mend the formulas, or the defaults"});
            }
        } catch (const FaultError& error) {
            for (Fault fault : error.faults()) {
                if (fault.place.file.empty())
                    fault.place = place_in(piece_, unit, fault.place.pointer);
                fault.wrong = without_trial(fault.wrong) + (at.empty() ? "" : ',' + at);
                fault.right = without_trial(fault.right);
                tell(std::move(fault));
            }
        }
    }

    /// A default outside its own limits.
    void look_at_default(std::string_view unit, const PieceSize& size) {
        try {
            refuse_size(size, size.standard, unit);
        } catch (const FaultError& error) {
            for (Fault fault : error.faults()) {
                fault.place = place_in(piece_, unit, pointer_to("/parameters", size.name));
                tell(std::move(fault));
            }
        }
    }

    [[nodiscard]] std::vector<Fault> take() { return std::move(told_); }
    [[nodiscard]] bool found() const { return !told_.empty(); }

  private:
    void tell(Fault fault) {
        if (std::find(told_.begin(), told_.end(), fault) == told_.end())
            told_.push_back(std::move(fault));
    }

    const PieceFile& piece_;
    PluginHost& host_;
    const Json& tables_;
    std::vector<Fault> told_;
};

} // namespace

std::vector<Fault> piece_faults(const PieceFile& piece, PluginHost& host, const Json& tables) {
    Trials trials(piece, host, tables);
    for (const std::string_view unit : {"mm", "in"}) {
        const std::vector<PieceSize> sizes = sizes_of(piece, unit);
        trials.run(unit, {});
        if (trials.found()) continue; // other sizes would say the same again
        for (const PieceSize& size : sizes) {
            trials.look_at_default(unit, size);
            for (const std::string& value : {size.min, size.max}) {
                if (!value.empty()) trials.run(unit, {{size.name, value}});
            }
        }
    }
    return trials.take();
}

PieceReport check_pieces(const std::filesystem::path& folder, PluginHost& host,
                         const Json& tables) {
    PieceLibrary library = load_pieces({folder});
    PieceReport report{{}, std::move(library.faults)};
    for (const PieceFile& piece : library.pieces) {
        report.names.push_back(piece.name);
        for (Fault& fault : piece_faults(piece, host, tables))
            report.faults.push_back(std::move(fault));
    }
    return report;
}

} // namespace aumbry
