// Talking to a module under test: calls through the C door as a host makes them, with requests made
// from the module's own description.
#pragma once

#include "modules/module_file.hpp"

#include "aumbry/contract.hpp"

#include <filesystem>
#include <functional>
#include <stdexcept>
#include <string>
#include <vector>

namespace aumbry {

/// A reason to fail a check.
struct Failed : std::runtime_error {
    using std::runtime_error::runtime_error;
};

struct Reply {
    aumbry_status status = AUMBRY_OK;
    std::string text;
    bool operator==(const Reply&) const = default;
};

/// "success", "a fault", "the unknown status 9".
[[nodiscard]] std::string status_name(aumbry_status status);

/// A module and one instance of it, inside the process of a check. @throws Failed when it cannot
/// be used, and for what comes through the C door but does not belong there.
class ModuleUnderTest {
  public:
    explicit ModuleUnderTest(const std::filesystem::path& file);
    explicit ModuleUnderTest(const aumbry_module_functions* functions);
    ModuleUnderTest(const ModuleUnderTest&) = delete;
    ModuleUnderTest& operator=(const ModuleUnderTest&) = delete;
    ~ModuleUnderTest();

    [[nodiscard]] const aumbry_module_functions* functions() const { return opened_.functions; }
    void set_cancelled(bool cancelled) { cancelled_ = cancelled ? 1 : 0; }

    /// A call whose text the caller gives back.
    [[nodiscard]] aumbry_status hold(const char* method, const std::string& request,
                                     aumbry_text& text) const;
    void release(aumbry_text text) const;
    [[nodiscard]] Reply call(const std::string& method, const std::string& request) const;

  private:
    void start();

    ModuleFile opened_;
    int cancelled_ = 0;
    aumbry_host host_{};
    void* instance_ = nullptr;
};

[[nodiscard]] contract::Description describe(const ModuleUnderTest& module);

/// A request, what it stands for, and the reply.
struct Asked {
    std::string method;
    std::string sample;
    std::string request;
    Reply reply;

    /// "take_off of pane with edge = polished".
    [[nodiscard]] std::string name() const { return method + " of " + sample; }
};

/// Which lines are asked about.
enum class Samples {
    usual, ///< of each kind one line, then two in one group, then two groups
    all    ///< and a line at every edge of every field
};

/// Everything that can be asked of a module about its sample lines, in order; every reply is
/// checked as the host does. `hear` hears each as it comes, and may be empty.
/// @throws Failed naming method and sample for the first reply that is not as it should be.
void ask_everything(const ModuleUnderTest& module, const Json& known_tables, Samples samples,
                    const std::function<void(const Asked&)>& hear);
[[nodiscard]] std::vector<Asked> everything_asked(const ModuleUnderTest& module,
                                                  const Json& known_tables, Samples samples);

} // namespace aumbry
