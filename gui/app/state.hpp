// What the views are shown, and what they ask for.
#pragma once

#include "session/document.hpp"
#include "session/list_import.hpp"
#include "session/references.hpp"
#include "session/worker.hpp"
#include "shell/theme.hpp"

#include "aumbry/new_project.hpp"
#include "aumbry/piece_file.hpp"

#include <functional>
#include <future>
#include <map>
#include <memory>
#include <set>
#include <string>
#include <variant>
#include <vector>

namespace aumbry::print {
struct CutBook;
}

namespace aumbry::gui {

enum class View { bill, parameters, cutting, alternatives, dates, lift, findings, explain, lists };
inline constexpr int view_count = 9;
/// "Bill of materials" ...
[[nodiscard]] const char* title_of(View view);

// What a view may ask for.

struct ApplyEdit {
    Edit edit; ///< of the document as shown: base, or alternative with its changes
};
struct SelectLine {
    std::string line;
    bool go_there = false; ///< show the bill of materials too
};
struct ExplainFigure {
    std::string reference;
};
struct WorkOn {
    std::string alternative; ///< empty: the base
};
struct KeepAsAlternative {
    std::string title;
};
struct AdoptAlternative {
    std::string alternative;
};
struct ShowView {
    View view;
};
/// A file to open or to write, and what to do with it.
struct AskForFile {
    std::string title;
    std::string ending; ///< of the files that are listed; empty: all
    std::string name;   ///< proposed
    bool writing = false;
    std::function<void(const std::filesystem::path&)> then;
};
/// Modules and price lists are read again, and everything is priced anew.
struct ReadListsAnew {};
/// An edit of the base becomes an alternative.
struct MakeAlternative {
    std::string title;
    Edit edit;
};
/// A job from a few answers takes the place of this one.
struct BeginJob {
    NewProject answers;
    std::vector<std::string> catalogs; ///< folders of the maker's own
    bool keep = false;                 ///< the answers, for the next job
};
/// The start page comes, or goes.
struct ShowStart {
    bool shown = true;
};
struct OpenProject {
    std::filesystem::path file; ///< empty: which one is asked
};
/// A piece of the library is tried in the job as it is worked on.
struct TryPiece {
    std::string name; ///< of the piece file
    PieceToAdd wanted;
    int number = 0;
};
/// The document as worked on becomes another, as one step.
struct PutDocument {
    Json document;
    std::string label;
};
/// A sentence for the person to take note of.
struct Tell {
    std::string sentence;
};
using Intent = std::variant<ApplyEdit, SelectLine, ExplainFigure, WorkOn, KeepAsAlternative,
                            AdoptAlternative, ShowView, AskForFile, ReadListsAnew, MakeAlternative,
                            BeginJob, ShowStart, OpenProject, TryPiece, PutDocument, Tell>;
using Intents = std::vector<Intent>;

/// A cell of the bill of materials.
struct Cell {
    std::string line;
    int column = 0;
    bool operator==(const Cell&) const = default;
};

/// What the bill of materials remembers between frames.
struct BillState {
    Cell cursor;
    bool editing = false;
    bool begin_edit = false; ///< this frame gives the field the keyboard
    std::string text;        ///< being typed
    bool typed = false;      ///< the field has had the keyboard
    bool take_focus = false; ///< the table takes the keyboard in the next frame
    bool open_materials = false;
    bool to_form = false;    ///< the form takes the keyboard
    bool form_alone = false; ///< in a small window: the form in place of the table
    std::string filter;
    int sort_column = -1; ///< by document order when negative
    bool sort_down = false;
    std::set<std::string> chosen; ///< lines, for deleting and moving several at once
    std::string anchor;           ///< where a choice of several lines began
    std::string piece;            ///< a piece whose form is shown instead of a line's
    bool follow_cursor = false;
    std::string new_piece; ///< being typed
    // Kept as long as the document and the price lists are the same:
    int edition = -1;
    std::shared_ptr<const Knowledge> knowledge;
    std::map<std::string, std::vector<std::string>> offered; ///< by line and field
};

/// What the sizes and materials remember between frames.
struct ParametersState {
    int section = 0;
    std::string new_name;
    std::string new_value;
    std::set<std::string> unfolded; ///< things whose attributes are all shown, by pointer
    // Kept as long as the document is the same:
    int edition = -1;
    std::shared_ptr<const Knowledge> knowledge;
    std::map<std::string, std::vector<Reference>> references;
    std::map<std::string, std::vector<std::string>> offered; ///< by role and attribute
};

struct CuttingState {
    int plan = 0;   ///< of sheets first, then boards
    float zoom = 1; ///< 1: the whole sheet fits
    ImVec2 offset{0, 0};
    bool dragged = false;               ///< the mouse was moved since it went down on the drawing
    int cut = -1;                       ///< pointed at in the list of cuts
    int step = -1;                      ///< the cut at hand when they are gone through; -1: none
    bool to_step = false;               ///< the list is to show it
    std::shared_ptr<const Estimate> of; ///< whose plans `book` holds
    std::shared_ptr<const print::CutBook> book;
    std::string trouble; ///< why there is no book
};

struct AlternativesState {
    std::string chosen; ///< whose differences are told; empty: the one worked on, or the first
};

struct DatesState {
    bool orders = false; ///< the suppliers' orders in place of the calendar
    float day = 0;       ///< width of a day in pixels at text scale 1; 0: all days fit
    std::string order;   ///< supplier whose order is shown
};

struct LiftState {
    int plan = 0;
    int step = 0;         ///< of the swing
    bool closing = false; ///< the force to close is plotted, not that to open
};

struct ExplainState {
    std::vector<std::string> trail; ///< what was asked before, the last one shown
    std::string filter;             ///< what `matches` are for
    std::vector<std::string> matches;
    std::shared_ptr<const Estimate> of; ///< whose references they are
};

/// Counts of a supplier's lists.
struct ListCounts {
    std::size_t skus = 0;
    std::size_t rows = 0;
    std::size_t faults = 0;
};

struct ListsState {
    std::string supplier;                  ///< whose faults are shown; empty: all
    std::string told;                      ///< what was done last
    std::shared_ptr<ListImport> importing; ///< null: the suppliers are shown
    std::vector<std::future<void>> ending; ///< looks of imports that were left
    // Kept as long as the catalog is the same:
    std::shared_ptr<const Knowledge> counted;
    std::map<std::string, ListCounts> counts; ///< by supplier
};

/// A project that can be opened from the start page.
struct StartEntry {
    std::filesystem::path file;
    std::string title; ///< of the job; empty: it cannot be read
};

/// The start page: a new job from a few answers, and jobs to go on with.
struct StartState {
    bool shown = false;
    NewProject answers; ///< as typed
    std::string catalogs;
    bool known = false;  ///< there are answers of an earlier job
    bool unfold = false; ///< those are shown too, to be changed
    bool keep = false;
    std::string today;
    std::string maker_fault;                   ///< why the kept answers could not be read
    std::map<std::string, std::string> faults; ///< by answer; kept while `judged` is the same
    std::string judged;
    std::vector<StartEntry> recent;
    std::vector<StartEntry> demonstrations;
};

/// A piece of the library that is about to be added.
struct LibraryState {
    bool shown = false;
    bool own = false;  ///< an empty piece instead, to be filled by hand
    std::string piece; ///< by name; empty: none is chosen
    std::string title;
    std::map<std::string, std::string> sizes; ///< as typed; empty: as the piece says
    std::map<std::string, std::string> roles; ///< the piece's role -> the job's
    std::string id;                           ///< what its names begin with
    int number = 0;                           ///< of the last trial that was asked for
    std::string tried;                        ///< what that was of
};

/// What the field that is typed into offers to put in.
struct OffersState {
    ImGuiID field = 0;
    int chosen = -1;                ///< by the arrow keys
    bool closed = false;            ///< by Escape, until something else is typed
    std::string text;               ///< of the field, as the offers were made for it
    int cursor = 0;                 ///< of the field
    std::vector<std::string> texts; ///< what each would put in
    std::vector<ImVec4> boxes;      ///< where each stands
    int taken = -1;                 ///< by Enter or a click
};

/// What "Add a material" is filled with.
struct MaterialDraft {
    std::string catalog_class; ///< empty: the form is closed
    std::string title;
    Json attributes = Json::object();
};

/// What "What if" of the alternatives is filled with.
struct WhatIfDraft {
    std::string what;      ///< the place of a material or size; empty: nothing yet
    std::string attribute; ///< of a material
    std::string value;
};

/// Why something is not drawn, and what it would have shown.
struct Failure {
    std::string reason;
    int edition = 0;
    std::shared_ptr<const Estimate> estimate;
    std::string selected;
};

/// Everything that is shown.
struct State {
    Json document;   ///< as worked on, an alternative's changes applied
    int edition = 0; ///< rises when the document becomes another
    std::string alternative;
    std::string read_only;
    Answer answer;
    std::shared_ptr<const Knowledge> knowledge;
    std::string doing;
    std::string trouble;
    bool answered = false; ///< the answer is of the document as it is

    View view = View::bill;
    bool view_changed = false; ///< the tab has to be brought forward
    std::string selected;      ///< a line
    std::string explained;     ///< a reference
    std::string explanation;   ///< why there is no such figure; empty when there is
    std::string explain_entry; ///< being typed
    BillState bill;
    ParametersState parameters;
    CuttingState cutting;
    AlternativesState alternatives;
    DatesState dates;
    LiftState lift;
    ExplainState explain;
    ListsState lists;
    StartState start;
    LibraryState library;
    OffersState offers;
    MaterialDraft new_material;
    WhatIfDraft what_if;
    std::shared_ptr<const TrialAnswer> trial;
    int trials = 0; ///< that were asked for
    std::vector<std::filesystem::path> catalog_folders;
    std::function<void()> wake;            ///< from another thread: there is something new to draw
    std::string alternative_title;         ///< being typed
    std::map<ImGuiID, std::string> typing; ///< texts of fields that have the keyboard
    std::map<std::string, Failure> failures; ///< by name of what could not be drawn
    const contract::Field* help = nullptr;   ///< the field pointed at or typed into in this frame
    ImVec4 help_at{};                        ///< its row, or its label
    Theme theme;
    /// Where things stand on the screen, by name; filled only when there is a map.
    std::map<std::string, ImVec4>* places = nullptr;
    /// Called with each name that is noted; may be empty.
    std::function<void(const std::string&)> noted;

    /// The last estimate, or null.
    [[nodiscard]] const Estimate* estimate() const { return answer.estimate.get(); }
    /// Notes where the last item stands.
    void mark(const std::string& name) const;
    void mark(const std::string& name, ImVec2 min, ImVec2 max) const;
};

/// The member of an object, or null when it has none or is no object.
[[nodiscard]] const Json* member_of(const Json* object, const std::string& name);
/// The estimate's line of an id, or null.
[[nodiscard]] const EstimateLine* line_of(const Estimate* estimate, const std::string& id);
/// The fault of a place in the document, or null; a place inside counts.
[[nodiscard]] const Fault* fault_at(const Answer& answer, const std::string& pointer);
/// What a person reads of a value: the text as written, "yes", "3".
[[nodiscard]] std::string written(const Json* value);
/// In which a job tells its lengths: "mm" or "in".
[[nodiscard]] std::string unit_of_lengths(const State& state);
/// What a person wrote, as JSON for a field: numbers as numbers, flags as flags; none for nothing.
/// With a unit of lengths, a number that stands alone in a field for a length is meant in it.
[[nodiscard]] std::optional<Json> read_written(const contract::Field& field,
                                               const std::string& text,
                                               const std::string& unit_of_lengths = {});
/// A number that stands alone with the unit that is meant, its decimal comma as a point; anything
/// else as it is. An empty unit: none is meant.
[[nodiscard]] std::string with_unit(const std::string& text, const std::string& unit);
/// A computed value for a person, in the unit of lengths of the estimate.
[[nodiscard]] std::string computed(const contract::Field& field, const Json& value,
                                   const Estimate& estimate);

} // namespace aumbry::gui
