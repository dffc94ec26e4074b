#include "modules/check/child_process.hpp"

#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <exception>
#include <iostream>
#include <poll.h>
#include <sys/wait.h>
#include <system_error>
#include <unistd.h>

namespace aumbry {
namespace {

constexpr std::size_t most_kept = 65536;

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
    if (into.size() < most_kept) into.append(buffer.data(), static_cast<std::size_t>(got));
    return got > 0;
}

} // namespace

ChildOutcome run_in_child(const std::function<std::string()>& work, int seconds) {
    Pipe words, prints;
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
    if (outcome.end == ChildOutcome::End::returned && WIFSIGNALED(status)) {
        outcome.end = ChildOutcome::End::died;
        outcome.signal = WTERMSIG(status);
    } else if (outcome.end == ChildOutcome::End::returned && WEXITSTATUS(status) != 0) {
        outcome.end = ChildOutcome::End::died;
    }
    return outcome;
}

} // namespace aumbry
