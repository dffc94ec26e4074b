#include "aumbry/merge_difference.hpp"

#include "fault_of.hpp"
#include "property.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

namespace aumbry {
namespace {

/// Compared by another container, whose objects are sorted by key.
nlohmann::json sorted(const Json& value) {
    return nlohmann::json::parse(value.dump());
}

/// Whether an object within the value, not within a list, has a member that is null.
bool holds_null(const nlohmann::json& value) {
    return value.is_object() && std::any_of(value.begin(), value.end(), [](const auto& member) {
               return member.is_null() || holds_null(member);
           });
}

TEST(MergeDifference, LeadsFromEachDocumentOfRfc7396ToEachOther) {
    // RFC 7396, appendix A: every original and every result, in both directions.
    constexpr const char* documents[] = {R"({"a":"b"})",
                                         R"({"a":"c"})",
                                         R"({"a":"b","b":"c"})",
                                         R"({"b":"c","a":"b"})",
                                         R"({})",
                                         R"({"b":"c"})",
                                         R"({"a":["b"]})",
                                         R"({"a":{"b":"c"}})",
                                         R"({"a":{"b":"d"}})",
                                         R"({"a":[{"b":"c"}]})",
                                         R"({"a":[1]})",
                                         R"(["a","b"])",
                                         R"(["c","d"])",
                                         R"(["c"])",
                                         R"({"a":"foo"})",
                                         R"(null)",
                                         R"("bar")",
                                         R"({"e":null})",
                                         R"({"e":null,"a":1})",
                                         R"([1,2])",
                                         R"({"a":{"bb":{}}})",
                                         R"({"a":{"bb":{"x":[null,{"y":null}]}}})"};
    for (const char* from : documents) {
        for (const char* to : documents) {
            const Json one = parse_json(from);
            const Json other = parse_json(to);
            // Section 1: a patch cannot set a member to null.
            const bool sets_null =
                holds_null(sorted(other)) && !(one.is_object() && one.contains("e"));
            if (sets_null) {
                EXPECT_EQ(fault_of([&] { (void)merge_difference(one, other); }).code,
                          "null-in-patch")
                    << from << " to " << to;
                continue;
            }
            EXPECT_EQ(sorted(merge_patch(one, merge_difference(one, other))), sorted(other))
                << from << " to " << to << " by " << merge_difference(one, other);
        }
    }
}

// The order of keys was taken for a difference, which had no content: null, which deletes.
TEST(MergeDifference, ALineWhoseKeysChangedPlacesIsNotDeleted) {
    const Json from = parse_json(R"({"lines":{"knob":{"count":2,"kind":"item"},"b":{"n":1}}})");
    const Json to = parse_json(R"({"lines":{"knob":{"kind":"item","count":2},"b":{"n":2}}})");
    EXPECT_EQ(merge_difference(from, to).dump(), R"({"lines":{"b":{"n":2}}})");
    EXPECT_EQ(merge_difference(from, from).dump(), "{}");
    const Json moved = parse_json(R"({"lines":{"b":{"n":1},"knob":{"kind":"item","count":2}}})");
    EXPECT_EQ(merge_difference(from, moved).dump(), "{}");
    // In lists too.
    EXPECT_EQ(merge_difference(parse_json(R"({"a":[{"x":1,"y":2}]})"),
                               parse_json(R"({"a":[{"y":2,"x":1}]})"))
                  .dump(),
              "{}");
}

TEST(MergeDifference, ANullIsRefusedWithItsPlace) {
    const Fault fault = fault_of([] {
        (void)merge_difference(parse_json(R"({"lines":{}})"),
                               parse_json(R"({"lines":{"a/b":{"note":null}}})"));
    });
    EXPECT_EQ(fault.place.pointer, "/lines/a~1b/note");
    EXPECT_EQ(fault.wrong, "null is no value that a change can state");
}

/// Values of few names and sizes, so that two of them have much in common.
Json some_value(int depth) {
    const int type = *rc::gen::inRange(0, depth > 0 ? 6 : 3);
    if (type == 0) return *rc::gen::inRange(0, 3);
    if (type == 1) return std::string(static_cast<std::size_t>(*rc::gen::inRange(0, 2)), 'x');
    if (type == 2) return *rc::gen::inRange(0, 8) == 0 ? Json(nullptr) : Json(true);
    const int size = *rc::gen::inRange(0, 4);
    Json value = type == 3 ? Json::array() : Json::object();
    for (int i = 0; i < size; ++i) {
        if (value.is_array()) {
            value.push_back(some_value(depth - 1));
        } else {
            value[std::string(1, static_cast<char>('a' + *rc::gen::inRange(0, 4)))] =
                some_value(depth - 1);
        }
    }
    return value;
}

RC_GTEST_PROP(MergeDifference, AppliedGivesTheOtherDocumentOrIsRefusedForANull, ()) {
    const Json from = some_value(3);
    const Json to = some_value(3);
    Json patch;
    try {
        patch = merge_difference(from, to);
    } catch (const FaultError& error) {
        RC_ASSERT(error.faults().front().code == "null-in-patch");
        RC_ASSERT(holds_null(sorted(to)));
        return;
    }
    RC_ASSERT(sorted(merge_patch(from, patch)) == sorted(to));
    RC_ASSERT(same_value(from, to) == (sorted(from) == sorted(to)));
}

} // namespace
} // namespace aumbry
