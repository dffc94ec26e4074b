// Unsaved edits on the disk, so that a kill or a power cut loses half a second of work at most. A
// journal stands beside its project as `.NAME.aumbry-journal`; where that folder may not be
// written, and for a project without a file, in the state folder. While its writer lives it holds
// a lock (flock), so that two windows on one project leave each other's journals alone.
#pragma once

#include "aumbry/json.hpp"

#include <condition_variable>
#include <filesystem>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <utility>
#include <vector>

namespace aumbry::gui {

/// What a journal holds.
struct Unsaved {
    std::filesystem::path file; ///< of the project, absolute; empty: it has none yet
    std::string base;           ///< the bytes of the project that the edits were made on
    std::string alternative;    ///< worked on
    std::shared_ptr<const Json> document;
};

/// A file descriptor that is closed, and its lock given up, when it goes.
class Descriptor {
  public:
    explicit Descriptor(int number = -1) : number_(number) {}
    Descriptor(Descriptor&& other) noexcept : number_(std::exchange(other.number_, -1)) {}
    Descriptor& operator=(Descriptor&& other) noexcept {
        std::swap(number_, other.number_);
        return *this;
    }
    ~Descriptor();
    [[nodiscard]] int number() const { return number_; }
    explicit operator bool() const { return number_ >= 0; }

  private:
    int number_;
};

/// A journal whose writer is gone. It is locked while it is held: no other window offers it.
struct FoundJournal {
    std::filesystem::path path;
    std::string written; ///< when: "14:05", with the date when that is not today
    Unsaved unsaved;
    std::string fault; ///< why it cannot be read; empty when it can
    Descriptor lock;

    /// Removes it from the disk.
    void discard();
};

/// `$XDG_STATE_HOME/aumbry`, or below `~/.local/state` (XDG Base Directory Specification); empty
/// when neither is known.
[[nodiscard]] std::filesystem::path state_folder();

/// The journals of a project whose writers are gone, the latest first; of projects without a file
/// when `file` is empty.
[[nodiscard]] std::vector<FoundJournal> find_journals(const std::filesystem::path& file,
                                                      const std::filesystem::path& state_folder);

/// Writes the journal of this window, in a thread of its own: what is noted first at once, then
/// the latest every half second.
class Journal {
  public:
    explicit Journal(std::filesystem::path state_folder);
    Journal(const Journal&) = delete;
    Journal& operator=(const Journal&) = delete;
    /// What is noted and not cleared stays on the disk.
    ~Journal();

    void note(Unsaved unsaved);
    /// Nothing is unsaved any more: the journal goes away.
    void clear();
    /// A journal that was restored: it goes away when what was restored is in this window's own.
    void replaces(FoundJournal found);
    /// Returns when what was noted is on the disk, or what was cleared is off it.
    void flush();
    /// Why unsaved edits are not kept; empty when they are.
    [[nodiscard]] std::string trouble() const;
    /// Where the journal stands; empty: there is none.
    [[nodiscard]] std::filesystem::path path() const;

  private:
    void run();
    void write(const Unsaved& unsaved);
    void remove();

    const std::filesystem::path state_folder_;
    mutable std::mutex mutex_;
    std::condition_variable more_;
    std::condition_variable done_;
    std::optional<Unsaved> noted_;
    std::vector<FoundJournal> replaced_;
    bool cleared_ = false;
    bool at_work_ = false;
    bool hurry_ = false; ///< no waiting between two writes
    bool ending_ = false;
    std::string trouble_;
    std::filesystem::path path_; ///< of the journal as it stands
    Descriptor lock_;            ///< on that; of the thread alone
    std::thread thread_;         ///< last: it uses all of the above
};

} // namespace aumbry::gui
