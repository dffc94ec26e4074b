// The job at hand: its document, the alternative that is worked on, and what a person does to
// both. Knows nothing of drawing.
#pragma once

#include "session/document.hpp"

#include <filesystem>
#include <string>

namespace aumbry::gui {

/// The changes (RFC 7396) of an alternative that lead from a base to a document, as
/// `with_alternative` applies them: a line of another kind is stated whole.
[[nodiscard]] Json changes_between(const Json& base, const Json& document);

/// A document and which alternative of it is worked on. Every call leaves the job whole, also one
/// that throws.
class Job {
  public:
    Job();

    /// A new project, not on disk yet: an empty one, or one that has something to save already.
    void begin();
    void begin(Json json);
    /// Another project. @throws FaultError as Document::open(); the job is as before then.
    void open(const std::filesystem::path& file);
    /// Unsaved edits found elsewhere, as one step over the document as it is. An alternative that
    /// is not there leaves the base.
    void restore(Json json, const std::string& alternative);

    [[nodiscard]] const Document& document() const { return document_; }
    /// The alternative worked on; empty: the base.
    [[nodiscard]] const std::string& alternative() const { return alternative_; }
    /// The document as worked on, the alternative's changes applied.
    [[nodiscard]] const Json& worked() const { return worked_; }
    /// Rises when the document as worked on becomes another.
    [[nodiscard]] int edition() const { return edition_; }
    /// The last edition came of an edit of the one before, undo and redo counting.
    [[nodiscard]] bool after_edit() const { return after_edit_; }
    /// "harbour-loft.aumbry.json (unsaved)".
    [[nodiscard]] std::string name() const;
    /// What the job and the alternative are called: "Guest loft  |  editing: Poplar".
    [[nodiscard]] std::string title() const;

    /// Edits the document as worked on: while that is an alternative, the edit becomes a further
    /// change of it.
    void apply(const Edit& edit);
    /// The document as worked on becomes another, as one step.
    void become(const Json& wanted, const std::string& label);
    void undo();
    void redo();
    /// Works on an alternative, or on the base when empty.
    /// @throws FaultError when its changes cannot be applied; the base is worked on then.
    void work_on(const std::string& alternative);
    /// The edits since the last saving become an alternative, and the base goes back to what is
    /// saved. @throws FaultError "no-file", "nothing-to-keep", "fixed-key".
    void keep_as_alternative(const std::string& title);
    /// An edit of the base becomes an alternative instead, which is worked on.
    /// @throws FaultError "nothing-to-keep".
    void make_alternative(const std::string& title, const Edit& edit);
    /// An alternative's changes become the base's. @throws FaultError as with_alternative().
    void adopt(const std::string& alternative);

    /// @throws FaultError as Document::save().
    void save(bool overwrite);
    void save_as(const std::filesystem::path& file);

  private:
    /// Finds the document as worked on. @throws FaultError when an alternative cannot be applied
    /// (any more); the base is worked on then.
    void settle(bool after_edit);

    Document document_;
    std::string alternative_;
    Json worked_;
    int edition_ = 0;
    bool after_edit_ = false;
};

} // namespace aumbry::gui
