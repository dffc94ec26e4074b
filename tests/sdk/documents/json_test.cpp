#include "aumbry/json.hpp"

#include "property.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <array>

namespace aumbry {
namespace {

/// The sentence with which a text is refused; empty when it is read.
std::string refusal(std::string_view text, const std::string& file = "a.json") {
    try {
        (void)parse_json(text, file);
        return "";
    } catch (const FaultError& error) {
        EXPECT_EQ(error.faults().size(), 1u);
        return error.what();
    }
}
std::string code(std::string_view text) {
    try {
        (void)parse_json(text);
        return "";
    } catch (const FaultError& error) {
        return error.faults().front().code;
    }
}

struct Refused {
    const char* text;
    const char* sentence;
};

TEST(Json, MalformedTextIsRefusedAtItsPlaceWithWhatWouldBeRight) {
    const Refused cases[] = {
        {"", "a.json:1:1: this is not JSON: found the end where a value is expected; write a JSON "
             "document"},
        {"{\"a\": 1,\n \"b\" 2}", "a.json:2:6: this is not JSON: found '2' where ':' is expected; "
                                  "write a colon between a key and its value"},
        {"{\"a\": 1\n \"b\": 2}", "a.json:2:2: this is not JSON: found \"b\" where ',' or '}' is "
                                  "expected; write a comma between "
                                  "two members and } after the last"},
        {"{\"a\": 1,}", "a.json:1:9: this is not JSON: found '}' where a key is expected; take "
                        "away the comma before it"},
        {"[1, 2,]", "a.json:1:7: this is not JSON: found ']' where a value is expected; take away "
                    "the comma before it"},
        {"[1 2]", "a.json:1:4: this is not JSON: found '2' where ',' or ']' is expected; write a "
                  "comma between two values "
                  "and ] after the last"},
        {"{\"length\": 280 mm}",
         "a.json:1:16: this is not JSON: found 'mm' where ',' or '}' is expected; write a comma "
         "between two members and } after the last"},
        {"{\"kind\": panel}",
         "a.json:1:10: this is not JSON: found 'panel' where a value is expected; write texts and "
         "formulas in double quotes"},
        {"{length: 1}", "a.json:1:2: this is not JSON: found 'length' where a key or '}' is "
                        "expected; write keys in double "
                        "quotes, and } after the last member"},
        {"{'a': 1}", "a.json:1:2: this is not JSON: found ''' where a key or '}' is expected; "
                     "write texts in double quotes"},
        {"[1] // note", "a.json:1:5: this is not JSON: found '/' where the end is expected; JSON "
                        "has no comments; write a "
                        "note under a key that begins with x-"},
        {"{\"a\": 1} {}", "a.json:1:10: this is not JSON: found '{' where the end is expected; "
                          "take away what follows the value"},
        {"{\"a\": \"b",
         "a.json:1:9: this is not JSON: the text ends inside quotes; close them with \""},
        {"{\"a\": [1", "a.json:1:9: this is not JSON: found the end where ',' or ']' is expected; "
                       "write a comma between two "
                       "values and ] after the last"},
        {"{\"a\": \"b\nc\"}",
         "a.json:1:9: this is not JSON: a line break or control character stands inside quotes; "
         "close "
         "the quotes before it, or write \\n for a line break and \\t for a tab"},
        {"[\"é\n\"]", "a.json:1:4: this is not JSON: a line break or control character stands "
                      "inside quotes; close the quotes "
                      "before it, or write \\n for a line break and \\t for a tab"},
        {"[\"C:\\data\"]", "a.json:1:6: this is not JSON: there is no such escape inside quotes; "
                           "write \\\\ for a backslash "
                           "and \\\" for a quote"},
        {"[\"\xE9t\xE9\"]",
         "a.json:1:3: this is not JSON: a byte inside quotes is not UTF-8; save the file as UTF-8"},
        {"[\"\\u12\"]", "a.json:1:7: this is not JSON: there is no such escape inside quotes; "
                        "write \\\\ for a backslash and "
                        "\\\" for a quote"},
        {"[01]", "a.json:1:2: this is not JSON: found '01' where a value or ']' is expected; write "
                 "texts and formulas in "
                 "double quotes, and ] after the last value"},
        {"{\"price\": 1,5}", "a.json:1:13: this is not JSON: found '5' where a key is expected; "
                             "write keys in double quotes"},
        {"[1e999]",
         "a.json:1:2: /0: the number 1e999 is too large; write a number that a computer can hold"},
    };
    for (const Refused& each : cases) EXPECT_EQ(refusal(each.text), each.sentence) << each.text;
}

TEST(Json, AKeyWrittenTwiceIsRefusedAtTheSecond) {
    EXPECT_EQ(refusal("{\n  \"title\": \"Bed\",\n  \"lines\": {\n    \"side\": {},\n    \"top\": "
                      "{\"a\": \"side\"},\n    \"side\": 1\n  }\n}"),
              "a.json:6:5: /lines/side: the key 'side' is written twice; keep one of them");
    // Written with an escape it is the same key (RFC 8259, section 8.3).
    EXPECT_EQ(refusal("{\"a/b\": 1, \"\\u0061/b\": 2}"),
              "a.json:1:12: /a~1b: the key 'a/b' is written twice; keep one of them");
    EXPECT_EQ(refusal("[{}, {\"x\": [], \"x\": []}]"),
              "a.json:1:16: /1/x: the key 'x' is written twice; keep one of them");
    EXPECT_EQ(refusal("{\"a\": {\"x\": 1}, \"b\": {\"x\": 2}}"), "");
}

TEST(Json, NestingDeeperThanSixtyFourLevelsIsRefused) {
    const auto nested = [](int levels) {
        return std::string(static_cast<std::size_t>(levels), '[') +
               std::string(static_cast<std::size_t>(levels), ']');
    };
    EXPECT_EQ(code(nested(64)), "");
    EXPECT_EQ(code(nested(65)), "deep-nesting");
    std::string pointer;
    for (int i = 0; i < 60; ++i) pointer += "/0";
    EXPECT_EQ(refusal(nested(100000)),
              "a.json:1:65: " + pointer +
                  "...: nested deeper than 64 levels; no document of this kind needs that");
    std::string objects;
    for (int i = 0; i < 100000; ++i) objects += "{\"a\":";
    EXPECT_EQ(code(objects), "deep-nesting");
    // Not closed at all, and never read further than the limit.
    EXPECT_EQ(code(std::string(100000, '[')), "deep-nesting");
}

TEST(Json, KeysKeepTheOrderInWhichTheyAreWritten) {
    EXPECT_EQ(parse_json("{\"z\": 1, \"a\": [true, null, -2, 1.5, \"\\u20ac\"], \"m\": {}}").dump(),
              "{\"z\":1,\"a\":[true,null,-2,1.5,\"€\"],\"m\":{}}");
}

TEST(Json, ManyMembersAreReadInReasonableTime) {
    std::string text = "{";
    for (int i = 0; i < 50000; ++i) text += (i == 0 ? "\"k" : ",\"k") + std::to_string(i) + "\":1";
    EXPECT_EQ(parse_json(text + "}").size(), 50000u);
}

TEST(Json, AByteOrderMarkIsPassedOver) {
    EXPECT_EQ(parse_json("\xEF\xBB\xBF{\"a\": 1}").dump(), "{\"a\":1}");
    EXPECT_EQ(refusal("\xEF\xBB\xBF{\"a\" 1}"),
              "a.json:1:6: this is not JSON: found '1' where ':' is expected; write a colon "
              "between a key and its value");
    EXPECT_EQ(locate("\xEF\xBB\xBF{\"a\": 1}", "/a"), (Position{1, 2}));
}

// The parser of the library without our rules is the reference for what is JSON and what it says.
RC_GTEST_PROP(Json, WhatTheLibraryReadsWithoutOurRulesIsReadTheSame, ()) {
    static const std::array<const char*, 22> pieces{
        "{",    "}", "[",  "]",           ",",  ":",  "\"a\"", "\"b\"", "1", "-2.5e3", "true",
        "null", " ", "\n", "\"\\u00e9\"", "\"", "\\", "0",     "x",     "é", "\"é\"",  "'"};
    std::string text;
    for (const auto& piece : *rc::gen::container<std::vector<std::size_t>>(
             rc::gen::inRange<std::size_t>(0, pieces.size())))
        text += pieces[piece];
    const Json reference = Json::parse(text, nullptr, false);
    if (reference.is_discarded()) {
        RC_ASSERT(code(text) == "bad-json" || code(text) == "duplicate-key");
    } else if (code(text) != "duplicate-key") {
        RC_ASSERT(parse_json(text) == reference);
    }
}

// ---------------------------------------------------------------- places

TEST(Locate, CountsLinesAndCharactersNotBytes) {
    const std::string text = "{\n  \"füße\": {\"€\": 1, \"b\": [10, \"é\", {\"c\": true}]}\n}";
    EXPECT_EQ(locate(text, ""), (Position{1, 1}));
    EXPECT_EQ(locate(text, "/füße"), (Position{2, 3}));
    EXPECT_EQ(locate(text, "/füße/€"), (Position{2, 12}));
    EXPECT_EQ(locate(text, "/füße/b"), (Position{2, 20}));
    EXPECT_EQ(locate(text, "/füße/b/1"), (Position{2, 30}));
    EXPECT_EQ(locate(text, "/füße/b/2/c"), (Position{2, 36}));
}

TEST(Locate, ReadsEscapesInPointersAndInKeys) {
    const std::string text = R"({"a\/b": 1, "m~n": 2, "k\"l": 3, "\u00e9": 4, "x\\": {"y": 5}})";
    EXPECT_EQ(locate(text, "/a~1b"), (Position{1, 2}));
    EXPECT_EQ(locate(text, "/m~0n"), (Position{1, 13}));
    EXPECT_EQ(locate(text, "/k\"l"), (Position{1, 23}));
    EXPECT_EQ(locate(text, "/é"), (Position{1, 34}));
    EXPECT_EQ(locate(text, "/x\\/y"), (Position{1, 55}));
}

TEST(Locate, LeadsNowhereWhereThereIsNothing) {
    const std::string text = R"({"a": [1, {"b": "}]"}], "c": 3})";
    EXPECT_EQ(locate(text, "/c"), (Position{1, 25}));
    for (const char* pointer : {"/d", "/a/2", "/a/01", "/a/-", "/a/0/x", "/c/0", "a", "/a~2", "/"})
        EXPECT_EQ(locate(text, pointer), std::nullopt) << pointer;
    for (const char* broken :
         {"", "   ", "{", "{\"a", "{\"a\"", "{\"a\":", "{a: 1}", "]", "{\"b\\"}) {
        EXPECT_EQ(locate(broken, "/a/b"), std::nullopt) << broken;
    }
}

TEST(Locate, EveryValueOfADocumentIsFoundWhereItStands) {
    // Compact text: the text at the place of a pointer begins with its key or its value.
    const Json document =
        parse_json(R"({"p":{"q":[{"r":"s"},[[],{}],"t\"}"],"":{"u":-1}},"v":null})");
    const std::string text = document.dump();
    const Json flat = document.flatten();
    for (const auto& [pointer, value] : flat.items()) {
        const auto place = locate(text, pointer);
        ASSERT_TRUE(place) << pointer;
        const std::string rest = text.substr(static_cast<std::size_t>(place->column - 1));
        const std::string last = pointer.substr(pointer.rfind('/') + 1);
        EXPECT_TRUE(rest.starts_with('"' + last + "\":") ||
                    rest.starts_with(find_at(document, pointer)->dump()))
            << pointer << " at " << rest;
    }
}

// ---------------------------------------------------------------- pointers

TEST(Pointer, EvaluatesTheExamplesOfRfc6901) {
    // RFC 6901, section 5.
    const Json document = parse_json(
        R"({"foo": ["bar", "baz"], "": 0, "a/b": 1, "c%d": 2, "e^f": 3, "g|h": 4, "i\\j": 5, "k\"l": 6, " ": 7, "m~n": 8})");
    const auto at = [&](std::string_view pointer) {
        const Json* value = find_at(document, pointer);
        return value == nullptr ? std::string("nothing") : value->dump();
    };
    EXPECT_EQ(at(""), document.dump());
    EXPECT_EQ(at("/foo"), "[\"bar\",\"baz\"]");
    EXPECT_EQ(at("/foo/0"), "\"bar\"");
    EXPECT_EQ(at("/"), "0");
    EXPECT_EQ(at("/a~1b"), "1");
    EXPECT_EQ(at("/c%d"), "2");
    EXPECT_EQ(at("/e^f"), "3");
    EXPECT_EQ(at("/g|h"), "4");
    EXPECT_EQ(at("/i\\j"), "5");
    EXPECT_EQ(at("/k\"l"), "6");
    EXPECT_EQ(at("/ "), "7");
    EXPECT_EQ(at("/m~0n"), "8");
    // Section 4: "~01" is "~1", never "/"; no leading zeros; "-" is the place after the last.
    const Json odd = parse_json(R"({"~1": 1, "a": [0]})");
    EXPECT_EQ(find_at(odd, "/~01")->dump(), "1");
    for (const char* pointer : {"/a/00", "/a/-", "/a/1", "/a/99999999999999999999999", "/a/+0",
                                "/b", "/~1/x", "a", "/~", "/~2"}) {
        EXPECT_EQ(find_at(odd, pointer), nullptr) << pointer;
    }
}

TEST(Pointer, TokensAreEscaped) {
    EXPECT_EQ(pointer_to("", "a"), "/a");
    EXPECT_EQ(pointer_to("/x", "a/b~c"), "/x/a~1b~0c");
    EXPECT_EQ(pointer_to("/x", ""), "/x/");
}

RC_GTEST_PROP(Pointer, AMemberIsFoundUnderItsEscapedName,
              (const std::string& a, const std::string& b)) {
    RC_PRE(a != b);
    Json document = Json::object();
    document[a] = 1;
    document[b] = Json::array({2});
    RC_ASSERT(*find_at(document, pointer_to("", a)) == 1);
    RC_ASSERT(*find_at(document, pointer_to("", b) + "/0") == 2);
}

// ---------------------------------------------------------------- merge patch

TEST(MergePatch, FollowsEveryTestCaseOfRfc7396) {
    // RFC 7396, appendix A: original, patch, result.
    constexpr const char* cases[][3] = {
        {R"({"a":"b"})", R"({"a":"c"})", R"({"a":"c"})"},
        {R"({"a":"b"})", R"({"b":"c"})", R"({"a":"b","b":"c"})"},
        {R"({"a":"b"})", R"({"a":null})", R"({})"},
        {R"({"a":"b","b":"c"})", R"({"a":null})", R"({"b":"c"})"},
        {R"({"a":["b"]})", R"({"a":"c"})", R"({"a":"c"})"},
        {R"({"a":"c"})", R"({"a":["b"]})", R"({"a":["b"]})"},
        {R"({"a":{"b":"c"}})", R"({"a":{"b":"d","c":null}})", R"({"a":{"b":"d"}})"},
        {R"({"a":[{"b":"c"}]})", R"({"a":[1]})", R"({"a":[1]})"},
        {R"(["a","b"])", R"(["c","d"])", R"(["c","d"])"},
        {R"({"a":"b"})", R"(["c"])", R"(["c"])"},
        {R"({"a":"foo"})", R"(null)", R"(null)"},
        {R"({"a":"foo"})", R"("bar")", R"("bar")"},
        {R"({"e":null})", R"({"a":1})", R"({"e":null,"a":1})"},
        {R"([1,2])", R"({"a":"b","c":null})", R"({"a":"b"})"},
        {R"({})", R"({"a":{"bb":{"ccc":null}}})", R"({"a":{"bb":{}}})"},
    };
    for (const auto& [original, patch, result] : cases) {
        EXPECT_EQ(merge_patch(parse_json(original), parse_json(patch)).dump(), result)
            << original << " with " << patch;
    }
}

TEST(MergePatch, FollowsTheExampleOfRfc7396) {
    // RFC 7396, section 3.
    const Json original = parse_json(
        R"({"title":"Goodbye!","author":{"givenName":"John","familyName":"Doe"},"tags":["example","sample"],"content":"This will be unchanged"})");
    const Json patch = parse_json(
        R"({"title":"Hello!","phoneNumber":"+01-123-456-7890","author":{"familyName":null},"tags":["example"]})");
    EXPECT_EQ(
        merge_patch(original, patch).dump(),
        R"({"title":"Hello!","author":{"givenName":"John"},"tags":["example"],"content":"This will be unchanged","phoneNumber":"+01-123-456-7890"})");
}

TEST(MergePatch, KeepsTheOrderOfWhatStays) {
    EXPECT_EQ(merge_patch(parse_json(R"({"a":1,"b":2,"c":3,"d":4})"),
                          parse_json(R"({"b":null,"c":5,"e":6})"))
                  .dump(),
              R"({"a":1,"c":5,"d":4,"e":6})");
}

} // namespace
} // namespace aumbry
