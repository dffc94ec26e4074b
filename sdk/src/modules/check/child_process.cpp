#include "modules/check/child_process.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstring>
#include <exception>
#include <iostream>
#include <poll.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <system_error>
#include <unistd.h>

namespace aumbry {
namespace {

constexpr std::size_t max_kept = 65536;
constexpr std::size_t max_said = 32768;
constexpr std::size_t doing_size = 512;

/// Sent after the work, and nothing after it: a process that ends without it did not come so far.
constexpr char closing_word = '\x04';

/// Where both processes see what the child does; null outside of run_in_child.
char* shared_doing = nullptr;

/// The memory behind it.
class SharedDoing {
  public:
    SharedDoing() {
        void* memory =
            mmap(nullptr, doing_size, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
        if (memory == MAP_FAILED)
            throw std::system_error(errno, std::generic_category(), "no memory could be shared");
        shared_doing = static_cast<char*>(memory);
    }
    SharedDoing(const SharedDoing&) = delete;
    SharedDoing& operator=(const SharedDoing&) = delete;
    ~SharedDoing() {
        munmap(shared_doing, doing_size);
        shared_doing = nullptr;
    }
    /// Once the child has ended. It may have died while it wrote.
    [[nodiscard]] static std::string text() {
        return {shared_doing, strnlen(shared_doing, doing_size)};
    }
};

struct Pipe {
    int read_end = -1;
    int write_end = -1;
    Pipe() {
        std::array<int, 2> ends{};
        if (pipe(ends.data()) != 0)
            throw std::system_error(errno, std::generic_category(), "no pipe could be made");
        read_end = ends[0];
        write_end = ends[1];
    }
    Pipe(const Pipe&) = delete;
    Pipe& operator=(const Pipe&) = delete;
    ~Pipe() {
        close_end(read_end);
        close_end(write_end);
    }
    static void close_end(int& end) {
        if (end >= 0) close(end);
        end = -1;
    }
};

[[noreturn]] void work_as_child(const std::function<std::string()>& work, Pipe& words,
                                Pipe& prints) {
    dup2(prints.write_end, STDOUT_FILENO);
    dup2(prints.write_end, STDERR_FILENO);
    std::string said;
    try {
        said = work();
    } catch (const std::exception& error) {
        said = error.what();
    } catch (...) {
        said = "an unknown exception";
    }
    std::cout.flush();
    std::fflush(nullptr);
    said.resize(std::min(said.size(), max_said));
    said += closing_word;
    for (std::size_t at = 0; at < said.size();) {
        const ssize_t written = write(words.write_end, said.data() + at, said.size() - at);
        if (written <= 0) break;
        at += static_cast<std::size_t>(written);
    }
    _exit(0);
}

/// Reads what there is; false at the end.
bool drain(int end, std::string& into) {
    std::array<char, 4096> buffer{};
    const ssize_t got = read(end, buffer.data(), buffer.size());
    if (got < 0) return errno == EINTR;
    if (into.size() < max_kept) into.append(buffer.data(), static_cast<std::size_t>(got));
    return got > 0;
}

} // namespace

void say_doing(const std::string& what) {
    if (shared_doing == nullptr) return;
    const std::size_t size = std::min(what.size(), doing_size - 1);
    std::memcpy(shared_doing, what.data(), size);
    shared_doing[size] = '\0';
}

ChildOutcome run_in_child(const std::function<std::string()>& work, int seconds) {
    Pipe words, prints;
    const SharedDoing doing;
    // What waits in buffers would be written by both processes.
    std::cout.flush();
    std::fflush(nullptr);
    const pid_t child = fork();
    if (child < 0)
        throw std::system_error(errno, std::generic_category(), "no process could be made");
    if (child == 0) work_as_child(work, words, prints);
    Pipe::close_end(words.write_end);
    Pipe::close_end(prints.write_end);

    ChildOutcome outcome;
    const auto deadline = std::chrono::steady_clock::now() + std::chrono::seconds(seconds);
    std::array<pollfd, 2> ends{{{words.read_end, POLLIN, 0}, {prints.read_end, POLLIN, 0}}};
    while (ends[0].fd >= 0 || ends[1].fd >= 0) {
        const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(
                              deadline - std::chrono::steady_clock::now())
                              .count();
        const int ready = left > 0 ? poll(ends.data(), ends.size(), static_cast<int>(left)) : 0;
        if (ready < 0 && errno == EINTR) continue;
        if (ready <= 0) {
            kill(child, SIGKILL);
            outcome.end = ChildOutcome::End::out_of_time;
            break;
        }
        if (ends[0].revents != 0 && !drain(words.read_end, outcome.said)) ends[0].fd = -1;
        if (ends[1].revents != 0 && !drain(prints.read_end, outcome.printed)) ends[1].fd = -1;
    }
    int status = 0;
    while (waitpid(child, &status, 0) < 0 && errno == EINTR) {
    }
    outcome.doing = SharedDoing::text();
    if (outcome.end == ChildOutcome::End::out_of_time) return outcome;
    if (outcome.said.empty() || outcome.said.back() != closing_word) {
        outcome.end = ChildOutcome::End::died;
        outcome.signal = WIFSIGNALED(status) ? WTERMSIG(status) : 0;
    } else {
        outcome.said.pop_back();
    }
    return outcome;
}

} // namespace aumbry
