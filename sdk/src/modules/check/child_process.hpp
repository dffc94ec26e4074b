// Work in a process of its own: what it says, what it prints, and how it ended.
#pragma once

#include <functional>
#include <string>

namespace aumbry {

struct ChildOutcome {
    enum class End { returned, died, out_of_time };
    End end = End::returned;
    int signal = 0;      ///< of a process that died by one
    std::string said;    ///< what the work returned, or the text of an exception
    std::string doing;   ///< what say_doing() was told last
    std::string printed; ///< what came out of stdout and stderr, at most 64 KiB
};

/// Inside the work: what it does from now on, so that a process that dies or hangs can be told
/// apart by more than its end.
void say_doing(const std::string& what);

/// Runs `work` in a forked process and waits for it, at most `seconds`; then it is killed. The
/// caller must have one thread only. A process that ends in the middle of the work has died, with
/// whatever status: only after the work does it send its closing word. @throws std::system_error
/// when no process or pipe can be made.
[[nodiscard]] ChildOutcome run_in_child(const std::function<std::string()>& work, int seconds);

} // namespace aumbry
