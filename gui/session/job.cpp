#include "session/job.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/merge_difference.hpp"
#include "aumbry/project.hpp"

namespace aumbry::gui {

namespace {

/// A document with the changes of one of its alternatives applied.
Json applied(const Json& document, const std::string& alternative) {
    Project project;
    project.document = document;
    return with_alternative(project, alternative).document;
}

Json without_alternatives(Json document) {
    document.erase("alternatives");
    return document;
}

/// Whether the document with an alternative applied says what is wanted.
bool reads_as(const Json& document, const std::string& alternative, const Json& wanted) {
    try {
        return same_value(without_alternatives(applied(document, alternative)),
                          without_alternatives(wanted));
    } catch (const FaultError&) {
        return false;
    }
}

std::string text_at(const Json& document, const std::string& pointer) {
    const Json* value = find_at(document, pointer);
    return value != nullptr && value->is_string() ? value->get<std::string>() : "";
}

std::string pointer_of(const std::string& alternative) {
    return pointer_to("/alternatives", alternative);
}

} // namespace

Json changes_between(const Json& base, const Json& document) {
    Json changes = merge_difference(base, document);
    const Json* before = find_at(base, "/lines");
    const auto lines = changes.find("lines");
    if (before == nullptr || !before->is_object() || lines == changes.end() || !lines->is_object())
        return changes;
    for (auto& [id, change] : lines->items()) {
        // Another kind replaces the whole line: what both have is stated too.
        if (before->contains(id) && change.is_object() && change.contains("kind"))
            change = document.at("lines").at(id);
    }
    return changes;
}

Job::Job() {
    settle(false);
}

void Job::begin() {
    document_ = Document();
    alternative_.clear();
    settle(false);
}

void Job::begin(Json json) {
    document_ = Document::begun(std::move(json));
    alternative_.clear();
    settle(false);
}

void Job::open(const std::filesystem::path& file) {
    document_ = Document::open(file);
    alternative_.clear();
    settle(false);
}

void Job::restore(Json json, const std::string& alternative) {
    document_.replace(std::move(json), "Restore unsaved edits");
    alternative_ = find_at(document_.json(), pointer_of(alternative)) != nullptr ? alternative : "";
    settle(false);
}

void Job::settle(bool after_edit) {
    ++edition_;
    after_edit_ = after_edit;
    if (!alternative_.empty()) {
        try {
            worked_ = applied(document_.json(), alternative_);
            return;
        } catch (const FaultError&) {
            alternative_.clear();
            worked_ = document_.json();
            throw;
        }
    }
    worked_ = document_.json();
}

std::string Job::name() const {
    const std::string name =
        document_.file().empty() ? "New project" : document_.file().filename().string();
    return name + (document_.unsaved() ? " (unsaved)" : "");
}

std::string Job::title() const {
    std::string title =
        text_at(document_.json(), "/title") + (document_.unsaved() ? "  (unsaved)" : "");
    if (alternative_.empty()) return title;
    const std::string name = text_at(document_.json(), pointer_of(alternative_) + "/title");
    return title + "  |  editing: " + (name.empty() ? alternative_ : name);
}

void Job::apply(const Edit& edit) {
    become(edited(worked_, edit), edit.label);
}

void Job::become(const Json& wanted, const std::string& label) {
    if (alternative_.empty()) {
        document_.replace(wanted, label);
        settle(true);
        return;
    }
    const Json difference = merge_difference(worked_, wanted);
    if (difference.empty()) return;
    const std::string pointer = pointer_of(alternative_) + "/changes";
    const Json* before = find_at(document_.json(), pointer);
    const auto with = [&](Json changes) -> Edit {
        return {label, {{pointer, std::move(changes), ""}}};
    };
    Edit further = with(changed_further(document_.json(),
                                        before != nullptr ? *before : Json::object(), difference));
    // What was deleted or of another kind before reads otherwise: the changes are found anew then.
    if (!reads_as(edited(document_.json(), further), alternative_, wanted))
        further = with(
            changes_between(without_alternatives(document_.json()), without_alternatives(wanted)));
    document_.apply(further);
    settle(true);
}

void Job::undo() {
    document_.undo();
    if (find_at(document_.json(), pointer_of(alternative_)) == nullptr) alternative_.clear();
    settle(true);
}

void Job::redo() {
    document_.redo();
    if (find_at(document_.json(), pointer_of(alternative_)) == nullptr) alternative_.clear();
    settle(true);
}

void Job::work_on(const std::string& alternative) {
    alternative_ = alternative;
    settle(false);
}

void Job::keep_as_alternative(const std::string& title) {
    if (document_.file().empty())
        fail("no-file", {}, "the project is not saved yet",
             "save it first: an alternative is what differs from the project as saved");
    // Alternatives kept or edited since the last saving stay, and are no part of the new one.
    const Json changes = changes_between(without_alternatives(document_.saved()),
                                         without_alternatives(document_.json()));
    if (!alternative_.empty() || changes.empty())
        fail("nothing-to-keep", {}, "there is no unsaved edit of the base to keep",
             "change something first, or edit an alternative");
    for (const char* fixed : {"aumbry", "currency"}) {
        if (changes.contains(fixed))
            fail("fixed-key", {}, std::string("an alternative cannot change '") + fixed + "'",
                 "save or undo that edit first");
    }
    const std::string id = new_id(document_.json(), "alternatives", title);
    Json alternatives = document_.json().value("alternatives", Json::object());
    alternatives[id] = Json{{"title", title}, {"changes", changes}};
    Json json = document_.saved();
    json["alternatives"] = std::move(alternatives);
    document_.replace(std::move(json), "Keep as alternative " + title);
    alternative_ = id;
    settle(false);
}

void Job::make_alternative(const std::string& title, const Edit& edit) {
    const Json changes = changes_between(without_alternatives(document_.json()),
                                         without_alternatives(edited(document_.json(), edit)));
    if (changes.empty())
        fail("nothing-to-keep", {}, "that is what the job says already", "choose something else");
    const std::string id = new_id(document_.json(), "alternatives", title);
    document_.apply({"Add alternative " + title,
                     {{pointer_of(id), Json{{"title", title}, {"changes", changes}}, ""}}});
    alternative_ = id;
    settle(false);
}

void Job::adopt(const std::string& alternative) {
    Json json = applied(document_.json(), alternative);
    const std::string title = text_at(json, pointer_of(alternative) + "/title");
    json["alternatives"].erase(alternative);
    if (json["alternatives"].empty()) json.erase("alternatives");
    alternative_.clear();
    document_.replace(std::move(json),
                      "Make " + (title.empty() ? alternative : title) + " the job");
    settle(false);
}

void Job::save(bool overwrite) {
    document_.save(overwrite);
}

void Job::save_as(const std::filesystem::path& file) {
    document_.save_as(file);
    settle(false); // other price lists may be near
}

} // namespace aumbry::gui
