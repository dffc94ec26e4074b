// The worker: everything that is computed, off the thread that draws. It loads modules and
// catalogs, answers each edit with a draft at once and refines it while nothing newer comes.
#pragma once

#include "aumbry/catalog.hpp"
#include "aumbry/fault.hpp"
#include "aumbry/line.hpp"
#include "aumbry/piece_check.hpp"
#include "aumbry/session.hpp"
#include "aumbry/study.hpp"

#include <atomic>
#include <condition_variable>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

namespace aumbry::gui {

/// What to compute.
struct Request {
    int revision = 0;        ///< tells requests for different documents apart
    bool after_edit = false; ///< of what was asked before: the answer tells what the edit changed
    std::string text;        ///< the project's bytes
    std::string file;
    std::string alternative; ///< worked on; empty: the base
    bool compare = false;    ///< the alternatives side by side too
};

/// What came of a request so far.
struct Answer {
    int revision = -1;
    std::string alternative;
    std::shared_ptr<const Estimate> estimate; ///< of this revision, or the last sound one before
    bool stale = false;                       ///< the estimate is of an earlier revision
    bool refined = false;                     ///< at the effort asked for; else a draft
    std::vector<Fault> faults;                ///< of this revision
    std::vector<Figure> figures;              ///< of the estimate
    std::vector<Figure> against_base;         ///< only when an alternative is worked on
    std::vector<Figure> since_edit;           ///< against the estimate before the last edit
    std::shared_ptr<const Comparison> comparison;
    int comparison_revision = -1;
    std::vector<Fault> comparison_faults;
};

/// A piece of the library to be tried in a job: nothing of it is kept.
struct Trial {
    int number = 0;   ///< tells trials apart
    std::string text; ///< the project's bytes, an alternative's changes applied
    std::string file;
    PieceFile piece;
    PieceToAdd wanted;
};

/// What came of a trial.
struct TrialAnswer {
    int number = -1;
    std::vector<Fault> faults; ///< why it cannot be added; the rest is empty then
    AddedPiece added;
    std::shared_ptr<const Estimate> with;    ///< a draft; null: added, it could not be priced
    std::shared_ptr<const Estimate> without; ///< null: the job cannot be priced as it is
    std::vector<Fault> not_priced;           ///< why there is no `with`
};

/// What modules and catalogs say; constant once loaded.
struct Knowledge {
    std::vector<contract::Description> modules;
    std::vector<RefusedModule> refused;
    std::vector<std::string> catalog_faults;
    Catalog catalog;
    PieceLibrary library;

    [[nodiscard]] const contract::LineKind* kind(std::string_view name) const;
    [[nodiscard]] const contract::CatalogClass* catalog_class(std::string_view name) const;
    [[nodiscard]] std::vector<contract::CatalogClass> catalog_classes() const;
};

class Worker {
  public:
    /// `wake` is called from the worker's thread whenever there is something new to see. `effort`
    /// is the one that it ends with; "draft" refines nothing.
    explicit Worker(std::function<void()> wake, std::string effort = "normal");
    Worker(const Worker&) = delete;
    Worker& operator=(const Worker&) = delete;
    ~Worker();

    /// Loads modules and catalogs, and the library of these folders, before the next request.
    void load(SessionFolders folders, std::vector<std::filesystem::path> pieces = {});
    /// Tries a piece next; what is under way for the document goes on afterwards.
    void ask(Trial trial);
    /// Computes this next; what is under way for an older revision is given up.
    void ask(Request request);
    /// Gives up what is under way.
    void cancel();

    [[nodiscard]] Answer answer() const;
    /// Of the last trial that ended; null before any has.
    [[nodiscard]] std::shared_ptr<const TrialAnswer> trial() const;
    /// Null until modules are loaded.
    [[nodiscard]] std::shared_ptr<const Knowledge> knowledge() const;
    /// What it is doing: "Reading price lists", "Drafting", "Refining", "Comparing 2 of 5", with
    /// what a module says of its part: "Refining, sheet_goods 40 %"; empty: nothing.
    [[nodiscard]] std::string doing() const;
    /// Why nothing can be computed; empty when it can.
    [[nodiscard]] std::string trouble() const;
    /// Rises whenever something new is to be seen.
    [[nodiscard]] int news() const { return news_; }

  private:
    void run();
    void load_now(const SessionFolders& folders, const std::vector<std::filesystem::path>& pieces);
    void try_piece(const Trial& trial);
    [[nodiscard]] std::shared_ptr<const Estimate> measure_of(const Trial& trial);
    void listen();
    void compute(const Request& request);
    bool estimate_now(const Project& base, const Request& request, const std::string& effort);
    std::shared_ptr<const Estimate> estimate_of_base(const Project& base,
                                                     const EstimateOptions& options);
    void compare_now(const Project& base, const Request& request);
    void tell(const std::string& doing);
    void publish(const std::function<void()>& change);

    std::function<void()> wake_;
    std::string effort_;
    mutable std::mutex mutex_;
    std::condition_variable more_;
    std::optional<SessionFolders> folders_;
    std::vector<std::filesystem::path> piece_folders_;
    std::optional<Request> request_;
    std::optional<Trial> trial_;
    std::atomic<bool> give_up_{false};
    std::atomic<int> news_{0};
    bool ending_ = false;
    std::string doing_;
    std::string trouble_;
    Answer answer_;
    std::shared_ptr<const TrialAnswer> tried_;
    std::shared_ptr<const Knowledge> knowledge_;
    // Of the worker's thread alone:
    using ByEffort = std::map<std::string, std::shared_ptr<const Estimate>>;
    ByEffort found_;           ///< estimates of the document as it is
    ByEffort before_;          ///< those before the last edit, to tell what it changed
    ByEffort base_;            ///< estimates of the base while an alternative is worked on
    std::string base_text_;    ///< of which they are
    std::string measure_text_; ///< of the job that pieces are tried in
    std::shared_ptr<const Estimate> measure_; ///< a draft of it; null: it cannot be priced
    std::unique_ptr<Session> session_;
    std::string working_; ///< what it is doing, before a module adds to it
    std::thread thread_;  ///< last: it uses all of the above
};

} // namespace aumbry::gui
