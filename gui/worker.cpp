#include "worker.hpp"

#include "aumbry/project.hpp"

namespace aumbry::gui {

const contract::LineKind* Knowledge::kind(std::string_view name) const {
    for (const contract::Description& module : modules) {
        for (const contract::LineKind& kind : module.line_kinds) {
            if (kind.kind == name) return &kind;
        }
    }
    return nullptr;
}

const contract::CatalogClass* Knowledge::catalog_class(std::string_view name) const {
    for (const contract::Description& module : modules) {
        for (const contract::CatalogClass& each : module.catalog_classes) {
            if (each.name == name) return &each;
        }
    }
    return nullptr;
}

Worker::Worker(std::function<void()> wake) : wake_(std::move(wake)), thread_([this] { run(); }) {}

Worker::~Worker() {
    {
        const std::lock_guard lock(mutex_);
        ending_ = true;
        give_up_ = true;
    }
    more_.notify_one();
    thread_.join();
}

void Worker::load(Folders folders) {
    {
        const std::lock_guard lock(mutex_);
        folders_ = std::move(folders);
        give_up_ = true;
    }
    more_.notify_one();
}

void Worker::ask(Request request) {
    {
        const std::lock_guard lock(mutex_);
        request_ = std::move(request);
        give_up_ = true;
    }
    more_.notify_one();
}

void Worker::cancel() {
    const std::lock_guard lock(mutex_);
    request_.reset();
    give_up_ = true;
}

Answer Worker::answer() const {
    const std::lock_guard lock(mutex_);
    return answer_;
}

std::shared_ptr<const Knowledge> Worker::knowledge() const {
    const std::lock_guard lock(mutex_);
    return knowledge_;
}

std::string Worker::doing() const {
    const std::lock_guard lock(mutex_);
    return doing_;
}

std::string Worker::trouble() const {
    const std::lock_guard lock(mutex_);
    return trouble_;
}

void Worker::publish(const std::function<void()>& change) {
    {
        const std::lock_guard lock(mutex_);
        change();
        ++news_;
    }
    if (wake_) wake_();
}

void Worker::tell(const std::string& doing) {
    publish([&] { doing_ = doing; });
}

void Worker::run() {
    for (;;) {
        std::optional<Folders> folders;
        std::optional<Request> request;
        {
            std::unique_lock lock(mutex_);
            more_.wait(lock, [&] { return ending_ || folders_ || request_; });
            if (ending_) return;
            give_up_ = false;
            folders.swap(folders_);
            if (!folders) request.swap(request_);
        }
        try {
            if (folders) load_now(*folders);
            if (request) compute(*request);
        } catch (const CallCancelled&) {
            // Something newer waits, or nobody wants it any more.
        } catch (const std::exception& error) {
            publish([&] { trouble_ = error.what(); });
        }
        tell("");
    }
}

void Worker::load_now(const Folders& folders) {
    tell("Reading modules and price lists");
    host_.reset();
    auto host = std::make_unique<PluginHost>(folders.plugins);
    host->set_cancel([this] { return give_up_.load(); });
    auto knowledge = std::make_shared<Knowledge>();
    knowledge->modules = host->modules();
    knowledge->refused = host->refused();
    catalog_ = load_catalog(folders.catalogs, host->catalog_classes());
    for (const auto& fault : catalog_.faults())
        knowledge->catalog_faults.push_back(fault.fault.sentence());
    knowledge->catalog = catalog_;
    host_ = std::move(host);
    publish([&] {
        knowledge_ = knowledge;
        trouble_.clear();
    });
}

void Worker::compute(const Request& request) {
    if (!host_) return;
    publish([&] {
        if (answer_.revision != request.revision || answer_.alternative != request.alternative)
            before_ = answer_.estimate;
    });
    try {
        const Project base = read_project(request.text, request.file);
        if (!estimate_now(base, request, "draft")) return;
        if (!estimate_now(base, request, "normal")) return;
        if (request.compare) compare_now(base, request);
    } catch (const FaultError& error) {
        publish([&] {
            answer_.revision = request.revision;
            answer_.alternative = request.alternative;
            answer_.faults = error.faults();
            answer_.stale = true;
        });
    }
}

bool Worker::estimate_now(const Project& base, const Request& request, const std::string& effort) {
    tell(effort == "draft" ? "Drafting" : "Refining");
    EstimateOptions options;
    options.effort = effort;
    const Project project =
        request.alternative.empty() ? base : with_alternative(base, request.alternative);
    const auto found =
        std::make_shared<const Estimate>(estimate(project, *host_, catalog_, options));
    std::vector<Figure> against_base;
    if (!request.alternative.empty()) {
        const Estimate of_base = estimate(base, *host_, catalog_, options);
        against_base = figures_of(*found, &of_base);
    }
    if (give_up_) return false;
    std::shared_ptr<const Estimate> before;
    {
        const std::lock_guard lock(mutex_);
        before = before_;
    }
    std::vector<Figure> since;
    if (before && before->currency == found->currency) since = figures_of(*found, before.get());
    publish([&] {
        answer_.revision = request.revision;
        answer_.alternative = request.alternative;
        answer_.estimate = found;
        answer_.stale = false;
        answer_.faults.clear();
        answer_.against_base = against_base;
        answer_.since_edit = since;
    });
    return true;
}

void Worker::compare_now(const Project& base, const Request& request) {
    try {
        EstimateOptions options;
        const auto found = std::make_shared<const Comparison>(
            compare(base, *host_, catalog_, options, {}, [&](std::size_t done, std::size_t all) {
                tell("Comparing " + std::to_string(done) + " of " + std::to_string(all));
            }));
        publish([&] {
            answer_.comparison = found;
            answer_.comparison_revision = request.revision;
            answer_.comparison_faults.clear();
        });
    } catch (const FaultError& error) {
        publish([&] {
            answer_.comparison_revision = request.revision;
            answer_.comparison_faults = error.faults();
        });
    }
}

} // namespace aumbry::gui
