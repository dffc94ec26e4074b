#include "session/worker.hpp"

#include "aumbry/project.hpp"

#include <cmath>

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

std::vector<contract::CatalogClass> Knowledge::catalog_classes() const {
    std::vector<contract::CatalogClass> classes;
    for (const contract::Description& module : modules)
        classes.insert(classes.end(), module.catalog_classes.begin(), module.catalog_classes.end());
    return classes;
}

Worker::Worker(std::function<void()> wake, std::string effort)
    : wake_(std::move(wake)), effort_(std::move(effort)), thread_([this] { run(); }) {}

Worker::~Worker() {
    {
        const std::lock_guard lock(mutex_);
        ending_ = true;
        give_up_ = true;
    }
    more_.notify_one();
    thread_.join();
}

void Worker::load(SessionFolders folders, std::vector<std::filesystem::path> pieces) {
    {
        const std::lock_guard lock(mutex_);
        folders_ = std::move(folders);
        piece_folders_ = std::move(pieces);
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

void Worker::ask(Trial trial) {
    {
        const std::lock_guard lock(mutex_);
        trial_ = std::move(trial);
        give_up_ = true;
    }
    more_.notify_one();
}

void Worker::cancel() {
    const std::lock_guard lock(mutex_);
    request_.reset();
    trial_.reset();
    give_up_ = true;
}

Answer Worker::answer() const {
    const std::lock_guard lock(mutex_);
    return answer_;
}

std::shared_ptr<const TrialAnswer> Worker::trial() const {
    const std::lock_guard lock(mutex_);
    return tried_;
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
    working_ = doing;
    publish([&] { doing_ = doing; });
}

/// What modules say while they work stands beside what is being done.
void Worker::listen() {
    ModuleListener listener;
    listener.log = [this](const std::string& module, const std::string& text) {
        publish([&] { doing_ = working_ + ", " + module + ": " + text; });
    };
    listener.progress = [this](const std::string& module, const std::string&, double fraction) {
        const std::string share = std::to_string(std::lround(fraction * 100)) + " %";
        const std::string doing = working_ + ", " + module + ' ' + share;
        if (doing != this->doing()) publish([&] { doing_ = doing; });
    };
    session_->host().set_listener(std::move(listener));
}

void Worker::run() {
    for (;;) {
        std::optional<SessionFolders> folders;
        std::vector<std::filesystem::path> pieces;
        std::optional<Request> request;
        std::optional<Trial> trial;
        {
            std::unique_lock lock(mutex_);
            more_.wait(lock, [&] { return ending_ || folders_ || request_ || trial_; });
            if (ending_) return;
            give_up_ = false;
            folders.swap(folders_);
            pieces = piece_folders_;
            if (!folders) trial.swap(trial_);
            if (!folders && !trial) request.swap(request_);
        }
        try {
            if (folders) load_now(*folders, pieces);
            if (trial) try_piece(*trial);
            if (request) compute(*request);
        } catch (const CallCancelled&) {
            // Something newer waits, or nobody wants it any more.
        } catch (const std::exception& error) {
            publish([&] { trouble_ = error.what(); });
        }
        {
            // A trial interrupts: what it interrupted goes on after it.
            const std::lock_guard lock(mutex_);
            if (request && give_up_ && trial_ && !request_) request_ = std::move(request);
        }
        tell("");
    }
}

void Worker::load_now(const SessionFolders& folders,
                      const std::vector<std::filesystem::path>& pieces) {
    tell("Reading modules and price lists");
    session_.reset();
    auto session = std::make_unique<Session>(folders);
    auto knowledge = std::make_shared<Knowledge>();
    knowledge->modules = session->host().modules();
    knowledge->refused = session->host().refused();
    for (const auto& fault : session->catalog().faults())
        knowledge->catalog_faults.push_back(fault.fault.sentence());
    knowledge->catalog = session->catalog();
    knowledge->library = load_pieces(pieces);
    session_ = std::move(session);
    session_->host().set_cancel([this] { return give_up_.load(); });
    listen();
    found_.clear();
    before_.clear();
    base_.clear();
    base_text_.clear();
    measure_text_.clear();
    measure_.reset();
    publish([&] {
        knowledge_ = knowledge;
        answer_.comparison_revision = -1;
        trouble_.clear();
    });
}

/// What the job costs without the piece: one draft serves all trials in it.
std::shared_ptr<const Estimate> Worker::measure_of(const Trial& trial) {
    if (measure_text_ == trial.text) return measure_;
    EstimateOptions options;
    options.effort = "draft";
    std::shared_ptr<const Estimate> found;
    try {
        found = std::make_shared<const Estimate>(
            session_->price(Session::with_text(trial.text, trial.file), options));
    } catch (const FaultError&) {
        // A job at fault can be no measure; with the piece in it, it says what is wrong.
    }
    measure_ = std::move(found);
    measure_text_ = trial.text;
    return measure_;
}

void Worker::try_piece(const Trial& trial) {
    if (!session_) return;
    tell("Trying the piece");
    auto tried = std::make_shared<TrialAnswer>();
    tried->number = trial.number;
    try {
        tried->added = add_piece(trial.text, trial.file, trial.piece, trial.wanted,
                                 session_->host(), session_->catalog().tables());
        tried->without = measure_of(trial);
        EstimateOptions options;
        options.effort = "draft";
        try {
            tried->with = std::make_shared<const Estimate>(
                session_->price(Session::with_text(tried->added.with.text, trial.file), options));
        } catch (const FaultError& error) {
            tried->not_priced = error.faults();
        }
    } catch (const FaultError& error) {
        tried->faults = error.faults();
    }
    if (give_up_) return;
    publish([&] { tried_ = tried; });
}

void Worker::compute(const Request& request) {
    if (!session_) return;
    const Answer now = answer();
    const bool known = now.revision == request.revision && now.alternative == request.alternative;
    if (!known) {
        // Where the last document could not be priced, the last sound one is the measure.
        if (!found_.empty()) before_ = std::move(found_);
        if (!request.after_edit) before_.clear();
        found_.clear();
    }
    try {
        const Project base = Session::with_text(request.text, request.file);
        for (const std::string& effort : {std::string("draft"), effort_}) {
            if (!found_.contains(effort) && !estimate_now(base, request, effort)) return;
        }
        if (request.compare && now.comparison_revision != request.revision)
            compare_now(base, request);
    } catch (const FaultError& error) {
        publish([&] {
            answer_.revision = request.revision;
            answer_.alternative = request.alternative;
            answer_.faults = error.faults();
            answer_.stale = true;
            trouble_.clear();
        });
    }
}

std::shared_ptr<const Estimate> Worker::estimate_of_base(const Project& base,
                                                         const EstimateOptions& options) {
    // Edits of an alternative leave the base as it is.
    Json without = base.document;
    without.erase("alternatives");
    if (std::string text = without.dump(); text != base_text_) {
        base_.clear();
        base_text_ = std::move(text);
    }
    std::shared_ptr<const Estimate>& kept = base_[options.effort];
    if (!kept) kept = std::make_shared<const Estimate>(session_->price(base, options));
    return kept;
}

bool Worker::estimate_now(const Project& base, const Request& request, const std::string& effort) {
    tell(effort == "draft" ? "Drafting" : "Refining");
    EstimateOptions options;
    options.effort = effort;
    const Project project =
        request.alternative.empty() ? base : with_alternative(base, request.alternative);
    const auto found = std::make_shared<const Estimate>(session_->price(project, options));
    if (give_up_) return false;
    found_[effort] = found;
    // A draft is told against a draft: what refining finds is no effect of the edit.
    const auto before = before_.find(effort);
    std::optional<std::vector<Figure>> since;
    if (before != before_.end() && before->second->currency == found->currency)
        since = figures_of(*found, before->second.get());
    const std::vector<Figure> figures = figures_of(*found, nullptr);
    const auto show = [&](std::optional<std::vector<Figure>> against_base) {
        publish([&] {
            const bool first =
                answer_.revision != request.revision || answer_.alternative != request.alternative;
            answer_.revision = request.revision;
            answer_.alternative = request.alternative;
            answer_.estimate = found;
            answer_.figures = figures;
            answer_.stale = false;
            answer_.refined = effort == effort_;
            answer_.faults.clear();
            if (since) {
                answer_.since_edit = *since;
            } else if (first) {
                answer_.since_edit.clear();
            }
            if (against_base) {
                answer_.against_base = *against_base;
            } else if (first) {
                answer_.against_base.clear();
            }
            trouble_.clear();
        });
    };
    show(std::nullopt);
    if (request.alternative.empty()) return true;
    try {
        const auto of_base = estimate_of_base(base, options);
        show(figures_of(*found, of_base.get()));
    } catch (const FaultError&) {
        // A base at fault can be no measure; the alternative may have mended what is wrong.
    }
    return !give_up_;
}

void Worker::compare_now(const Project& base, const Request& request) {
    try {
        EstimateOptions options;
        options.effort = effort_;
        const auto found = std::make_shared<const Comparison>(
            compare(base, session_->host(), session_->catalog(), options, {},
                    [&](std::size_t done, std::size_t all) {
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
