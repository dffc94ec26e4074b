#include "session/journal.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/project.hpp"

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

namespace aumbry::gui {

namespace fs = std::filesystem;

namespace {

constexpr int journal_version = 1;
/// Between two writes.
constexpr std::chrono::milliseconds pause{500};
/// Journals of one project that stand side by side: one a window, or one a kill.
constexpr int max_journals = 20;

/// Where the journals of a project may stand in one folder.
std::vector<fs::path> places_in(const fs::path& folder, const std::string& name) {
    std::vector<fs::path> places;
    for (int number = 1; number <= max_journals; ++number) {
        const std::string suffix = number == 1 ? "" : "-" + std::to_string(number);
        places.push_back(folder / (name + ".aumbry-journal" + suffix));
    }
    return places;
}

std::vector<fs::path> places_beside(const fs::path& file) {
    return places_in(file.parent_path(), "." + file.filename().string());
}

/// In the state folder a project's name is its whole path, which no two share.
std::vector<fs::path> places_in_state(const fs::path& file, const fs::path& state_folder) {
    if (state_folder.empty()) return {};
    std::string name = file.empty() ? "untitled" : file.string();
    for (std::size_t at = 0; (at = name.find_first_of("%/", at)) != std::string::npos; at += 3)
        name.replace(at, 1, name[at] == '/' ? "%2F" : "%25");
    // No file system takes names of more than 255 bytes: the end tells most.
    if (name.size() > 200) name = name.substr(name.size() - 200);
    return places_in(state_folder / "journals", name);
}

bool lock(const Descriptor& descriptor) {
    // A file system without locks has no second window that could be found out.
    return ::flock(descriptor.number(), LOCK_EX | LOCK_NB) == 0 || errno != EWOULDBLOCK;
}

std::string local_time(const fs::path& file) {
    struct stat status {};
    if (::stat(file.c_str(), &status) != 0) return "";
    const std::time_t now = std::time(nullptr);
    std::tm then{};
    std::tm today{};
    ::localtime_r(&status.st_mtime, &then);
    ::localtime_r(&now, &today);
    const bool same_day = then.tm_yday == today.tm_yday && then.tm_year == today.tm_year;
    char text[32] = {};
    std::strftime(text, sizeof text, same_day ? "%H:%M" : "%Y-%m-%d %H:%M", &then);
    return text;
}

std::string text_of(const Unsaved& unsaved) {
    return Json{{"aumbry_journal", journal_version},
                {"file", unsaved.file.string()},
                {"alternative", unsaved.alternative},
                {"base", unsaved.base},
                {"document", *unsaved.document}}
               .dump() +
           '\n';
}

Unsaved read_unsaved(const std::string& text, const fs::path& journal) {
    const Json json = parse_json(text, journal.string());
    const auto text_of_key = [&](const char* key) {
        const Json* value = find_at(json, std::string("/") + key);
        return value != nullptr && value->is_string() ? value->get<std::string>() : "";
    };
    const Json* version = find_at(json, "/aumbry_journal");
    const Json* document = find_at(json, "/document");
    if (version == nullptr || *version != journal_version || document == nullptr ||
        !document->is_object())
        fail("no-journal", {journal.string(), "", 0, 0},
             "these are no unsaved edits that this program reads", "update Aumbry");
    return {text_of_key("file"), text_of_key("base"), text_of_key("alternative"),
            std::make_shared<const Json>(*document)};
}

/// The journal at a place, when there is one and its writer is gone.
std::optional<FoundJournal> found_at(const fs::path& place) {
    FoundJournal found;
    found.lock = Descriptor(::open(place.c_str(), O_RDONLY | O_CLOEXEC));
    if (!found.lock || !lock(found.lock)) return std::nullopt;
    // Its writer may have put a newer one in its place between opening and locking.
    struct stat held {};
    struct stat there {};
    if (::fstat(found.lock.number(), &held) != 0 || ::stat(place.c_str(), &there) != 0 ||
        held.st_ino != there.st_ino)
        return std::nullopt;
    found.path = place;
    found.written = local_time(place);
    try {
        found.unsaved = read_unsaved(read_file(place), place);
    } catch (const FaultError& error) {
        found.fault = error.what();
    }
    return found;
}

bool write_all(const Descriptor& descriptor, std::string_view text) {
    while (!text.empty()) {
        const ssize_t wrote = ::write(descriptor.number(), text.data(), text.size());
        if (wrote < 0 && errno == EINTR) continue;
        if (wrote <= 0) return false;
        text.remove_prefix(static_cast<std::size_t>(wrote));
    }
    return true;
}

/// Writes a file beside, whole and locked, and puts it in the journal's place: in that of `old`,
/// or in the first that is free.
std::optional<fs::path> put(const std::vector<fs::path>& places, const fs::path& old,
                            std::string_view text, Descriptor& held, std::string& reason) {
    if (places.empty()) return std::nullopt;
    std::string beside = places.front().string() + ".XXXXXX";
    Descriptor descriptor(::mkostemp(beside.data(), O_CLOEXEC));
    if (!descriptor) {
        reason = std::strerror(errno);
        return std::nullopt;
    }
    std::optional<fs::path> placed;
    if (!lock(descriptor) || !write_all(descriptor, text)) {
        reason = std::strerror(errno);
    } else if (std::find(places.begin(), places.end(), old) != places.end()) {
        if (::rename(beside.c_str(), old.c_str()) == 0) {
            held = std::move(descriptor);
            return old;
        }
        reason = std::strerror(errno);
    } else {
        // Unlike renaming, linking never takes another's place.
        reason = "there are " + std::to_string(max_journals) + " already";
        for (const fs::path& place : places) {
            if (::link(beside.c_str(), place.c_str()) == 0) {
                placed = place;
                held = std::move(descriptor);
                break;
            }
            if (errno != EEXIST) {
                reason = std::strerror(errno);
                break;
            }
        }
    }
    ::unlink(beside.c_str());
    return placed;
}

} // namespace

Descriptor::~Descriptor() {
    if (number_ >= 0) ::close(number_);
}

void FoundJournal::discard() {
    ::unlink(path.c_str());
    lock = Descriptor();
}

fs::path state_folder() {
    const char* folder = std::getenv("XDG_STATE_HOME");
    if (folder != nullptr && *folder != '\0') return fs::path(folder) / "aumbry";
    const char* home = std::getenv("HOME");
    if (home == nullptr || *home == '\0') return {};
    return fs::path(home) / ".local" / "state" / "aumbry";
}

std::vector<FoundJournal> find_journals(const fs::path& named, const fs::path& state_folder) {
    std::error_code error;
    const fs::path file = named.empty() ? named : fs::absolute(named, error).lexically_normal();
    std::vector<fs::path> places = places_in_state(file, state_folder);
    if (!file.empty()) {
        const std::vector<fs::path> beside = places_beside(file);
        places.insert(places.end(), beside.begin(), beside.end());
    }
    std::vector<std::pair<fs::file_time_type, FoundJournal>> all;
    for (const fs::path& place : places) {
        if (std::optional<FoundJournal> found = found_at(place))
            all.emplace_back(fs::last_write_time(place, error), std::move(*found));
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    std::vector<FoundJournal> journals;
    for (auto& each : all) journals.push_back(std::move(each.second));
    return journals;
}

Journal::Journal(fs::path state_folder)
    : state_folder_(std::move(state_folder)), thread_([this] { run(); }) {}

Journal::~Journal() {
    {
        const std::lock_guard guard(mutex_);
        ending_ = true;
    }
    more_.notify_one();
    thread_.join();
}

void Journal::note(Unsaved unsaved) {
    {
        const std::lock_guard guard(mutex_);
        noted_ = std::move(unsaved);
    }
    more_.notify_one();
}

void Journal::clear() {
    {
        const std::lock_guard guard(mutex_);
        noted_.reset();
        cleared_ = true;
    }
    more_.notify_one();
}

void Journal::replaces(FoundJournal found) {
    const std::lock_guard guard(mutex_);
    replaced_.push_back(std::move(found));
}

void Journal::flush() {
    std::unique_lock guard(mutex_);
    hurry_ = true;
    more_.notify_one();
    done_.wait(guard, [&] { return !noted_ && !cleared_ && !at_work_; });
    hurry_ = false;
}

std::string Journal::trouble() const {
    const std::lock_guard guard(mutex_);
    return trouble_;
}

fs::path Journal::path() const {
    const std::lock_guard guard(mutex_);
    return path_;
}

void Journal::run() {
    std::unique_lock guard(mutex_);
    for (;;) {
        more_.wait(guard, [&] { return ending_ || noted_ || cleared_; });
        if (!noted_ && !cleared_) return;
        const bool clear = std::exchange(cleared_, false);
        std::optional<Unsaved> unsaved = std::exchange(noted_, std::nullopt);
        at_work_ = true;
        guard.unlock();
        if (clear) remove();
        if (unsaved) write(*unsaved);
        guard.lock();
        at_work_ = false;
        done_.notify_all();
        more_.wait_for(guard, pause, [&] { return ending_ || hurry_ || cleared_; });
    }
}

void Journal::write(const Unsaved& unsaved) {
    const std::string text = text_of(unsaved);
    const fs::path old = path();
    std::string reason = "no folder is known for them";
    std::optional<fs::path> placed;
    if (!unsaved.file.empty()) placed = put(places_beside(unsaved.file), old, text, lock_, reason);
    if (!placed && !state_folder_.empty()) {
        std::error_code error;
        fs::create_directories(state_folder_ / "journals", error);
        placed = put(places_in_state(unsaved.file, state_folder_), old, text, lock_, reason);
    }
    const std::lock_guard guard(mutex_);
    trouble_ = placed ? "" : "Unsaved edits cannot be kept against a crash: " + reason;
    if (!placed) return;
    if (!old.empty() && *placed != old) ::unlink(old.c_str());
    path_ = *placed;
    for (FoundJournal& found : replaced_) found.discard();
    replaced_.clear();
}

void Journal::remove() {
    const std::lock_guard guard(mutex_);
    if (!path_.empty()) ::unlink(path_.c_str());
    path_.clear();
    trouble_.clear();
    for (FoundJournal& found : replaced_) found.discard();
    replaced_.clear();
    lock_ = Descriptor();
}

} // namespace aumbry::gui
