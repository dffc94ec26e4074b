// A project that is being edited: its document with the order of keys as written, edits as values
// with a label, undo and redo, and saving that never loses what was there.
#pragma once

#include "aumbry/json.hpp"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace aumbry::gui {

/// One change of a document.
struct Change {
    std::string pointer;       ///< RFC 6901; the last token may be new in an object
    std::optional<Json> value; ///< none: the member goes away
    std::string after;         ///< a new member is put behind this one; empty: at the end
};

/// What a person did, as one step of undo.
struct Edit {
    std::string label; ///< "Length of Bed side"
    std::vector<Change> changes;
};

/// The document after an edit. Sections that are not there yet are made.
/// @throws FaultError "bad-pointer" when a change leads through something that is no object.
[[nodiscard]] Json edited(Json document, const Edit& edit);

/// The changes of an alternative after an edit made while working on it: what it stated before,
/// and `difference` on top. `base` tells what a deletion has to be written for.
[[nodiscard]] Json changed_further(const Json& base, Json changes, const Json& difference);

/// An id for something new under `section`, from its title: "Bed side" becomes "bed_side",
/// "bed_side_2" when that is taken.
[[nodiscard]] std::string new_id(const Json& document, const std::string& section,
                                 const std::string& title);

/// A project file in the window.
class Document {
  public:
    /// An empty project, not on disk yet.
    Document();
    /// A project that is not on disk yet and has something to save.
    [[nodiscard]] static Document begun(Json json);
    /// Reads a project. One of a newer version is read too, but not for editing.
    /// @throws FaultError as read_project().
    [[nodiscard]] static Document open(const std::filesystem::path& file);

    [[nodiscard]] const std::filesystem::path& file() const { return file_; }
    [[nodiscard]] const Json& json() const { return *now_.json; }
    /// The same, for another thread to keep.
    [[nodiscard]] std::shared_ptr<const Json> snapshot() const { return now_.json; }
    /// The bytes on disk as they were last read or written.
    [[nodiscard]] const std::string& bytes_on_disk() const { return text_; }
    /// What saving writes: the bytes as read as long as the content is the same.
    [[nodiscard]] std::string bytes() const;
    /// Rises with every edit, undo and redo.
    [[nodiscard]] int revision() const { return revision_; }
    [[nodiscard]] bool unsaved() const { return unsaved_; }
    /// Why it may not be edited; empty when it may.
    [[nodiscard]] const std::string& read_only() const { return read_only_; }

    /// Applies an edit; nothing happens when it changes nothing or the document is read-only.
    void apply(const Edit& edit);
    /// Puts a whole document in place of this one, as one step.
    void replace(Json json, const std::string& label);
    [[nodiscard]] bool can_undo() const { return !past_.empty(); }
    [[nodiscard]] bool can_redo() const { return !future_.empty(); }
    /// Names of the steps that undo and redo would take.
    [[nodiscard]] std::string undo_label() const;
    [[nodiscard]] std::string redo_label() const;
    void undo();
    void redo();
    /// The document as last read or saved.
    [[nodiscard]] const Json& saved() const { return *saved_; }

    /// Writes beside the file, flushes, and renames: a failure leaves the file as it was.
    /// @throws FaultError "changed-meanwhile" when somebody else wrote the file since it was read
    /// (unless `overwrite`), "read-only-file", "write-failed".
    void save(bool overwrite = false);
    void save_as(const std::filesystem::path& file);

  private:
    using Shared = std::shared_ptr<const Json>;
    struct Step {
        std::string label;
        Shared json;
        std::size_t size = 0; ///< of its text
    };
    void write(const std::filesystem::path& file);
    void changed();

    std::filesystem::path file_;
    std::string text_; ///< the bytes on disk as we know them
    Shared saved_;     ///< what they hold
    Step now_;         ///< the label is that of the step that led here
    std::vector<Step> past_;
    std::vector<Step> future_;
    std::string read_only_;
    bool unsaved_ = false;
    int revision_ = 0;
};

} // namespace aumbry::gui
