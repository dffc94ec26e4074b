#include "aumbry/short_form.hpp"

#include "values/excerpt.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/line_access.hpp"

#include <algorithm>
#include <vector>

namespace aumbry {

using contract::Field;
using contract::FieldType;

namespace {

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    bool inside = false;
    for (const char c : text) {
        const bool joint = c == ' ' || c == ',' || c == '\t';
        if (!joint) {
            if (!inside) words.emplace_back();
            words.back() += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
        }
        inside = !joint;
    }
    return words;
}

std::string words_joined(const std::vector<std::string>& words, const char* last = ", ") {
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i)
        text += (i == 0 ? "" : i + 1 == words.size() ? last : ", ") + words[i];
    return text;
}

std::vector<std::string> names_of(const Field& field) {
    std::vector<std::string> names;
    for (const Field& member : field.fields) names.push_back(member.name);
    return names;
}

const Field& choice_of(const Field& field) {
    return field.fields.front().fields.front();
}

[[noreturn]] void not_understood(const Field& field, std::string_view text,
                                 const std::string& why) {
    fail("bad-short-form", {}, in_quotes(text) + " is not understood: " + why,
         "write such as \"" + short_form_example(field) + "\", of " +
             words_joined(names_of(field)) + " or all, and " +
             words_joined(choice_of(field).choices, " or "));
}

} // namespace

bool has_short_form(const Field& field) {
    if (field.type != FieldType::record || field.fields.size() < 2) return false;
    return std::all_of(field.fields.begin(), field.fields.end(), [&](const Field& member) {
        return member.type == FieldType::record && !member.fields.empty() &&
               member.fields.front().type == FieldType::choice &&
               member.fields.front().name == field.fields.front().fields.front().name &&
               member.fields.front().choices == field.fields.front().fields.front().choices;
    });
}

std::string short_form_example(const Field& field) {
    // One from the middle: the first is what holds when nothing is said, the last a rare one.
    const std::vector<std::string>& words = choice_of(field).choices;
    return field.fields.front().name + ' ' + words[words.size() / 2];
}

Json from_short_form(const Field& field, std::string_view text) {
    const std::vector<std::string> names = names_of(field);
    const Field& choice = choice_of(field);
    Json record = Json::object();
    std::vector<std::string> waiting; // named, their choice to come
    std::string of_all;
    for (const std::string& word : words_of(text)) {
        if (word == "and") continue;
        if (word == "all" || std::find(names.begin(), names.end(), word) != names.end()) {
            if (record.contains(word) || (word == "all" && !of_all.empty()) ||
                std::find(waiting.begin(), waiting.end(), word) != waiting.end())
                not_understood(field, text, in_quotes(word) + " is named twice");
            waiting.push_back(word);
            continue;
        }
        if (std::find(choice.choices.begin(), choice.choices.end(), word) == choice.choices.end())
            not_understood(field, text, in_quotes(word) + " is no word of it");
        if (waiting.empty())
            not_understood(field, text, "nothing is named before " + in_quotes(word));
        for (const std::string& name : waiting) {
            if (name == "all")
                of_all = word;
            else
                record[name] = {{choice.name, word}};
        }
        waiting.clear();
    }
    if (!waiting.empty())
        not_understood(field, text,
                       "it does not say what " + words_joined(waiting, " and ") + " is");
    if (!of_all.empty()) {
        for (const std::string& name : names) {
            if (!record.contains(name)) record[name] = {{choice.name, of_all}};
        }
    }
    if (record.empty()) not_understood(field, text, "it says nothing");
    return record;
}

std::string short_form_of(const Field& field, const Json& record) {
    if (!record.is_object()) return {};
    const Field& choice = choice_of(field);
    const std::string usual =
        choice.fallback.is_string() ? choice.fallback.get<std::string>() : std::string();
    std::vector<std::string> clauses;
    for (const std::string& word : choice.choices) {
        if (word == usual) continue;
        std::vector<std::string> names;
        for (const Field& member : field.fields) {
            const auto found = record.find(member.name);
            if (found != record.end() && found->is_object() &&
                text(*found, choice.name.c_str(), usual) == word)
                names.push_back(member.name);
        }
        if (names.empty()) continue;
        clauses.push_back(
            (names.size() == field.fields.size() ? "all" : words_joined(names, " and ")) + ' ' +
            word);
    }
    return words_joined(clauses);
}

} // namespace aumbry
