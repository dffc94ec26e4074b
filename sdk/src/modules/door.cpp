#include "modules/door.hpp"

#include "values/excerpt.hpp"

namespace aumbry {
namespace {

// Callbacks are called from a module's code: no exception of the caller's may cross it.
void pass_log(void* context, const char* text) {
    const auto& state = *static_cast<const CallState*>(context);
    if (!state.listener.log || text == nullptr) return;
    try {
        state.listener.log(state.module, printable(text));
    } catch (...) {
    }
}

void pass_progress(void* context, double fraction) {
    const auto& state = *static_cast<const CallState*>(context);
    // Written so that what is no number is left out as well.
    if (!state.listener.progress || !(fraction >= 0 && fraction <= 1)) return;
    try {
        state.listener.progress(state.module, state.method, fraction);
    } catch (...) {
    }
}

int ask_cancelled(void* context) {
    auto& state = *static_cast<CallState*>(context);
    state.told_to_stop = state.told_to_stop || wants_to_stop(state);
    return state.told_to_stop ? 1 : 0;
}

/// The text of a call, given back to the module.
std::string take_text(const LoadedModule& loaded, aumbry_text text) {
    if (text.data == nullptr) return {};
    std::string copy(text.data, text.size);
    try {
        loaded.functions->release(loaded.instance, text);
    } catch (...) { // the text is copied; what is thrown here changes nothing
    }
    return copy;
}

void make_printable(Json& value) {
    if (value.is_string()) {
        auto& text = value.get_ref<std::string&>();
        text = printable(text);
    } else if (value.is_structured()) {
        for (Json& item : value) make_printable(item);
    }
}

} // namespace

aumbry_host host_functions(CallState& state) {
    return {sizeof(aumbry_host), &state, pass_log, pass_progress, ask_cancelled};
}

bool wants_to_stop(const CallState& state) noexcept {
    try {
        return state.cancelled && state.cancelled();
    } catch (...) {
        return false;
    }
}

std::string call_door(const LoadedModule& loaded, CallState& state, const std::string& module,
                      const std::string& method, const std::string& request, bool& known) {
    const auto failed = [&](const std::string& reason) { return ModuleError(module, reason); };
    if (wants_to_stop(state)) throw CallCancelled{};
    state.module = module;
    state.method = method;
    state.told_to_stop = false;
    aumbry_text reply{nullptr, 0};
    aumbry_status status{};
    try {
        status = loaded.functions->call(loaded.instance, method.c_str(), request.data(),
                                        request.size(), &reply);
    } catch (const std::exception& error) {
        throw failed("threw an exception through the C door in " + method + ": " +
                     printable(error.what()));
    } catch (...) {
        throw failed("threw an unknown exception through the C door in " + method);
    }
    const bool has_text = reply.data != nullptr;
    std::string text = take_text(loaded, reply);
    known = status != AUMBRY_UNKNOWN;
    switch (status) {
    case AUMBRY_OK:
        if (!has_text) throw failed("gave no reply in " + method);
        return text;
    case AUMBRY_UNKNOWN:
        return {};
    case AUMBRY_CANCELLED:
        if (state.told_to_stop || wants_to_stop(state)) throw CallCancelled{};
        throw failed("stopped in " + method + " as if it were cancelled, which nobody asked for");
    case AUMBRY_FAULT:
        // What fails after it was told to stop is not wanted any more.
        if (state.told_to_stop) throw CallCancelled{};
        throw failed("failed in " + method + ": " +
                     (text.empty() ? "it gave no reason" : printable(text)));
    default:
        throw failed("ended " + method + " with the unknown status " + std::to_string(status));
    }
}

Json parse_answer(const std::string& text, const std::string& origin) {
    Json answer = parse_json(text, origin);
    make_printable(answer);
    return answer;
}

} // namespace aumbry
