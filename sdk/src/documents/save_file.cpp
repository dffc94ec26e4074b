#include "aumbry/save_file.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/project.hpp"

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <fcntl.h>
#include <functional>
#include <string>
#include <sys/stat.h>
#include <unistd.h>

namespace aumbry {

namespace {

/// A file descriptor that is closed when it goes.
struct Descriptor {
    int number = -1;
    explicit Descriptor(int open_file) : number(open_file) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (number >= 0) ::close(number);
    }
};

bool write_all(int descriptor, std::string_view text) {
    while (!text.empty()) {
        const ssize_t wrote = ::write(descriptor, text.data(), text.size());
        if (wrote < 0 && errno == EINTR) continue;
        if (wrote <= 0) return false;
        text.remove_prefix(static_cast<std::size_t>(wrote));
    }
    return true;
}

} // namespace

namespace {

/// @param ready says, when the new file is written and about to take its place, that it may.
void write_beside(const std::filesystem::path& file, std::string_view text,
                  const std::function<void()>& ready) {
    const auto failed = [&](const std::string& what, int error) {
        fail("write-failed", {file.string(), "", 0, 0}, what + ": " + std::strerror(error),
             "what was in the file is still there");
    };
    std::error_code error;
    std::filesystem::path target = std::filesystem::weakly_canonical(file, error);
    if (error) target = file;
    const bool present = std::filesystem::exists(target, error);
    if (present && ::access(target.c_str(), W_OK) != 0)
        fail("read-only-file", {file.string(), "", 0, 0}, "the file may not be written",
             "save under another name, or allow writing");
    mode_t mode = 0644;
    if (struct stat status{}; present && ::stat(target.c_str(), &status) == 0) {
        mode = status.st_mode & 07777;
        if (!S_ISREG(status.st_mode) && !S_ISDIR(status.st_mode)) {
            // A pipe or a device takes what is written; nothing may be put in its place.
            ready();
            const Descriptor descriptor(::open(target.c_str(), O_WRONLY | O_CLOEXEC));
            if (descriptor.number < 0 || !write_all(descriptor.number, text))
                failed("writing failed", errno);
            return;
        }
    }

    const std::filesystem::path parent = target.parent_path();
    std::string beside = (parent / ("." + target.filename().string() + "-XXXXXX")).string();
    {
        const Descriptor descriptor(::mkstemp(beside.data()));
        if (descriptor.number < 0) failed("the folder cannot be written", errno);
        if (!write_all(descriptor.number, text) || ::fsync(descriptor.number) != 0 ||
            ::fchmod(descriptor.number, mode) != 0) {
            const int reason = errno;
            ::unlink(beside.c_str());
            failed("writing failed", reason);
        }
    }
    try {
        ready();
    } catch (const FaultError&) {
        ::unlink(beside.c_str());
        throw;
    }
    if (::rename(beside.c_str(), target.c_str()) != 0) {
        const int reason = errno;
        ::unlink(beside.c_str());
        failed("the new file could not be put in place", reason);
    }
    const Descriptor folder(::open(parent.empty() ? "." : parent.c_str(), O_RDONLY | O_DIRECTORY));
    if (folder.number >= 0) ::fsync(folder.number);
}

} // namespace

void save_file(const std::filesystem::path& file, std::string_view text) {
    write_beside(file, text, [] {});
}

void replace_file(const std::filesystem::path& file, std::string_view before,
                  std::string_view text) {
    write_beside(file, text, [&] {
        if (read_file(file) != before)
            fail("changed-meanwhile", {file.string(), "", 0, 0},
                 "the file was changed meanwhile by another program",
                 "nothing is written; do the same again");
    });
}

} // namespace aumbry
