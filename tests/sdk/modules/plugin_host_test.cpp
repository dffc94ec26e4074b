#include "aumbry/plugin_host.hpp"

#include "aumbry/plugin.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <unistd.h>

namespace aumbry {
namespace {

using ::testing::StartsWith;
namespace fs = std::filesystem;

/// A folder of chosen fixtures that is gone after the test.
class PluginFolder {
  public:
    explicit PluginFolder(std::initializer_list<const char*> fixtures) {
        static int count = 0;
        path_ = fs::temp_directory_path() /
                ("aumbry_host_" + std::to_string(getpid()) + '_' + std::to_string(count++));
        fs::create_directory(path_);
        for (const std::string name : fixtures) add(name, name + ".so");
    }
    PluginFolder(const PluginFolder&) = delete;
    PluginFolder& operator=(const PluginFolder&) = delete;
    ~PluginFolder() { fs::remove_all(path_); }
    void add(const std::string& fixture, const std::string& as) const {
        fs::copy_file(fs::path(FIXTURES) / (fixture + ".so"), path_ / as);
    }
    [[nodiscard]] const fs::path& path() const { return path_; }

  private:
    fs::path path_;
};

/// Why the last file of a folder is refused, loaded together with the others.
std::string refusal(std::initializer_list<const char*> fixtures) {
    const PluginFolder folder(fixtures);
    const PluginHost host({folder.path()});
    if (host.refused().size() != 1) return std::to_string(host.refused().size()) + " refused";
    EXPECT_TRUE(host.refused()[0].file.ends_with(
        std::string(std::data(fixtures)[fixtures.size() - 1]) + ".so"));
    EXPECT_EQ(host.modules().size(), fixtures.size() - 1);
    return host.refused()[0].reason;
}

TEST(PluginHost, AFileThatIsNoModuleIsRefusedWithAReason) {
    EXPECT_EQ(refusal({"no_symbol"}), "is no module: it exports no symbol 'aumbry_module'");
    EXPECT_EQ(refusal({"no_table"}), "gives no table of functions");
    EXPECT_EQ(refusal({"empty_function"}), "leaves a function of its table empty");
    EXPECT_EQ(refusal({"no_instance"}), "could not make an instance");
    EXPECT_EQ(refusal({"no_describe"}), "does not answer 'describe'");
    EXPECT_EQ(refusal({"describe_fails"}), "failed in describe: it rains");
    EXPECT_EQ(refusal({"describe_junk"}), "describes itself wrongly: description:1:18: this is not "
                                          "JSON: found the end where a key is "
                                          "expected; write keys in double quotes");
    EXPECT_EQ(refusal({"describe_wrong"}),
              "describes itself wrongly: description: /id: found the number 7; write a text");
    EXPECT_EQ(refusal({"no_id"}), "describes itself without an id");
    EXPECT_EQ(refusal({"throws_in_entry"}), "threw an exception in 'aumbry_module'");
    EXPECT_EQ(refusal({"throws_in_create"}), "threw an exception in create");
    EXPECT_EQ(refusal({"throws_in_describe"}),
              "threw an exception through the C door in describe: lost the thread");
}

// A unit that nobody knows used to end every estimate that used the module, without its name.
TEST(PluginHost, AModuleWhoseDescriptionIsUnsoundIsRefusedWithTheSentenceOfTheCheck) {
    EXPECT_EQ(
        refusal({"unknown_unit"}),
        "describes itself wrongly: the derived value 'area' has the unit 'sqm', which is none "
        "of the contract's");
    EXPECT_EQ(refusal({"other_claim"}),
              "describes itself wrongly: the description names the contract '0.9', the table of "
              "functions '0.1'");
    EXPECT_EQ(refusal({"no_title"}),
              "describes itself wrongly: field 'settings.pitch' has no title or no help: forms and "
              "manuals need both");
    EXPECT_EQ(refusal({"control_title"}),
              "describes itself wrongly: the id 'mumbler\\u001b[31m' is not written in snake_case");
}

TEST(PluginHost, ARefusedModuleIsKnownByTheIdThatItGave) {
    const PluginFolder folder({"unknown_unit", "no_symbol"});
    const PluginHost host({folder.path()});
    ASSERT_EQ(host.refused().size(), 2u);
    EXPECT_EQ(host.refused()[0].module, "");
    EXPECT_EQ(host.refused()[1].module, "mumbler");
}

TEST(PluginHost, AFileThatIsNoSharedObjectIsRefused) {
    const PluginFolder folder({});
    std::ofstream(folder.path() / "text.so")
        << "not a shared object, however long this text may be made for the sake of the loader";
    std::ofstream(folder.path() / "notes.txt") << "no module, and not taken for one";
    const PluginHost host({folder.path()});
    ASSERT_EQ(host.refused().size(), 1u);
    EXPECT_THAT(host.refused()[0].reason,
                StartsWith("cannot be loaded: " + (folder.path() / "text.so").string()));
}

TEST(PluginHost, AnotherMajorOrANewerMinorContractIsRefusedAndSaysWhichSideToUpdate) {
    const auto version = [](int major, int minor) {
        return std::to_string(major) + '.' + std::to_string(minor);
    };
    const std::string ours = version(AUMBRY_CONTRACT_MAJOR, AUMBRY_CONTRACT_MINOR);
    const std::string advice =
        " and this Aumbry speaks " + ours + "; update Aumbry, or build the module with its SDK";
    EXPECT_EQ(refusal({"wrong_major"}),
              "was built for contract " +
                  version(AUMBRY_CONTRACT_MAJOR + 1, AUMBRY_CONTRACT_MINOR) + advice);
    EXPECT_EQ(refusal({"newer_minor"}),
              "was built for contract " +
                  version(AUMBRY_CONTRACT_MAJOR, AUMBRY_CONTRACT_MINOR + 1) + advice);
}

TEST(PluginHost, TwoModulesMayNotShareAnIdAKindOrAClass) {
    EXPECT_EQ(refusal({"parrot", "same_kind"}),
              "prices the line kind 'parrot.word', which module 'parrot' prices already");
    EXPECT_EQ(refusal({"parrot", "same_class"}),
              "describes the catalog class 'seed', which module 'parrot' describes already");
    const PluginFolder folder({"parrot"});
    folder.add("parrot", "second_parrot.so");
    const PluginHost host({folder.path()});
    ASSERT_EQ(host.refused().size(), 1u);
    EXPECT_THAT(host.refused()[0].reason,
                "is a second module called 'parrot'; remove one of the two");
    EXPECT_THAT(host.file_of("parrot"), testing::EndsWith("/parrot.so"));
}

TEST(PluginHost, AMissingFolderIsAFault) {
    try {
        const PluginHost host({"/nowhere/plugins"});
        FAIL();
    } catch (const FaultError& error) {
        EXPECT_STREQ(error.what(), "/nowhere/plugins: there is no such folder of modules; name a "
                                   "folder with --plugins, or build the modules");
    }
}

TEST(PluginHost, FindsModulesKindsAndClasses) {
    const PluginFolder folder({"parrot", "no_symbol"});
    const PluginHost host({folder.path()});
    ASSERT_EQ(host.modules().size(), 1u);
    EXPECT_EQ(host.find_module("parrot")->version, "1.0");
    EXPECT_EQ(host.module_of_kind("parrot.word")->id, "parrot");
    EXPECT_EQ(host.find_kind("parrot.word")->title, "Word");
    EXPECT_EQ(host.find_class("seed")->title, "Seed");
    EXPECT_EQ(host.catalog_classes().size(), 1u);
    EXPECT_EQ(host.find_module("crow"), nullptr);
    EXPECT_EQ(host.module_of_kind("word"), nullptr);
    EXPECT_EQ(host.find_class("husk"), nullptr);
}

// ---------------------------------------------------------------- calls

contract::Line word(const std::string& key, const std::string& value) {
    contract::Line line;
    line.id = "hello";
    line.kind = "parrot.word";
    line.fields[key] = value;
    return line;
}

class Calls : public testing::Test {
  protected:
    std::string derive(const std::string& key, const std::string& value) {
        return refusal_of([&] {
            (void)host.derive("parrot", {{word(key, value)}, {}, Json::object()});
        });
    }
    std::string take_off(const std::string& reply) {
        contract::TakeOffRequest request;
        request.kind = "parrot.word";
        request.lines = {word("say", reply)};
        contract::Offer offer;
        offer.id = "shop/seed";
        offer.catalog_class = "seed";
        request.offers = {offer};
        return refusal_of([&] { (void)host.take_off("parrot", request); });
    }
    std::string follow(const std::string& reply) {
        contract::FollowRequest request;
        request.lines = {word("say", reply)};
        return refusal_of([&] { (void)host.follow("parrot", request); });
    }
    template <class Call>
    static std::string refusal_of(const Call& call) {
        try {
            call();
            return "";
        } catch (const ModuleError& error) {
            EXPECT_EQ(error.module(), "parrot");
            EXPECT_EQ(error.what(), "module 'parrot': " + error.reason());
            return error.reason();
        }
    }

    PluginFolder folder{"parrot"};
    PluginHost host{{folder.path()}};
};

TEST_F(Calls, ASoundReplyIsRead) {
    const auto reply = host.derive(
        "parrot",
        {{word("say", R"({"lines": [{"line": "hello", "values": {"mass": 1.5}}], "later": {}})")},
         {},
         Json::object()});
    ASSERT_EQ(reply->lines.size(), 1u);
    EXPECT_EQ(reply->lines[0].values.dump(), "{\"mass\":1.5}");
}

TEST_F(Calls, AModuleThatThrowsThroughTheDoorIsNamed) {
    EXPECT_EQ(derive("do", "throw"), "threw an exception through the C door in derive: polly");
    EXPECT_EQ(derive("do", "throw unknown"),
              "threw an unknown exception through the C door in derive");
}

TEST_F(Calls, AModuleThatFailsIsNamedWithItsReason) {
    EXPECT_EQ(derive("do", "fault"), "failed in derive: the beak hurts");
    EXPECT_EQ(derive("do", "fault without reason"), "failed in derive: it gave no reason");
    EXPECT_EQ(derive("do", "no reply"), "gave no reply in derive");
    EXPECT_EQ(derive("do", "strange status"), "ended derive with the unknown status 99");
}

TEST_F(Calls, AMethodThatAModuleDoesNotHaveIsAnEmptyReply) {
    EXPECT_EQ(derive("do", "unknown"), "");
    EXPECT_TRUE(
        host.derive("parrot", {{word("do", "unknown")}, {}, Json::object()})->lines.empty());
}

TEST_F(Calls, AReplyThatIsNoJsonOrNotOfTheContractIsRefused) {
    EXPECT_EQ(derive("say", "squawk"), "gave a reply to derive that does not follow the contract: "
                                       "reply to derive:1:1: this is not JSON: found "
                                       "'squawk' where a value is expected; write a JSON document");
    EXPECT_EQ(derive("say", ""),
              "gave a reply to derive that does not follow the contract: reply to derive:1:1: "
              "this is not JSON: found the end where a value is "
              "expected; write a JSON document");
    EXPECT_EQ(derive("say", "[]"), "gave a reply to derive that does not follow the contract: "
                                   "reply to derive: found a list; write an object");
    EXPECT_EQ(derive("say", "{}"), "gave a reply to derive that does not follow the contract: "
                                   "reply to derive: missing key 'lines'");
    EXPECT_EQ(derive("say", R"({"lines": [{"line": "hello"}, {"line": 3}]})"),
              "gave a reply to derive that does not follow the contract: reply to derive: "
              "/lines/1/line: found the "
              "number 3; write a text");
    EXPECT_EQ(derive("say", R"({"lines": [], "lines": []})"),
              "gave a reply to derive that does not follow the contract: reply to derive:1:15: "
              "/lines: the key "
              "'lines' is written twice; keep one of them");
    EXPECT_EQ(
        derive("say",
               R"({"lines": [], "findings": [{"severity": "doom", "code": "a", "text": "b"}]})"),
        "gave a reply to derive that does not follow the contract: reply to derive: "
        "/findings/0/severity: unknown "
        "value 'doom'; write one of note, caution, problem, warning");
    EXPECT_EQ(follow(std::string(100000, '[')).substr(0, 97),
              "gave a reply to follow that does not follow the contract: reply to follow:1:65: "
              "/0/0/0/0/0/0/0/0/");
}

TEST_F(Calls, AReplyMayNameOnlyItsOwnLinesAndDeclaredValues) {
    EXPECT_EQ(derive("say", R"({"lines": [{"line": "goodbye", "values": {}}]})"),
              "gave a reply to derive that cannot be used: a derived value names the line "
              "'goodbye', which is "
              "not one of its own");
    EXPECT_EQ(derive("say", R"({"lines": [{"line": "hello", "values": {"colour": 3}}]})"),
              "gave a reply to derive that cannot be used: the derived value 'colour' of line "
              "'hello' is not "
              "declared");
    EXPECT_EQ(derive("say", R"({"lines": [{"line": "hello", "values": {"mass": "heavy"}}]})"),
              "gave a reply to derive that cannot be used: the derived value 'mass' of line "
              "'hello' is no number");
    EXPECT_EQ(
        derive("say", R"({"lines": [{"line": "hello", "values": [1]}]})"),
        "gave a reply to derive that cannot be used: the values of line 'hello' are no object");
    EXPECT_EQ(
        derive(
            "say",
            R"({"lines": [], "findings": [{"severity": "note", "code": "c", "line": "x", "text": "t"}]})"),
        "gave a reply to derive that cannot be used: a finding names the line 'x', which is not "
        "one of its "
        "own");
    EXPECT_EQ(
        derive("say",
               R"({"lines": [], "findings": [{"severity": "note", "code": "", "text": "t"}]})"),
        "gave a reply to derive that cannot be used: a finding has no code or no text");
    EXPECT_EQ(
        take_off(R"({"quantities": [{"ref": "r", "title": "t", "value": 1, "lines": ["x"]}]})"),
        "gave a reply to take_off that cannot be used: a quantity names the line 'x', which is not "
        "one of its "
        "own");
    EXPECT_EQ(follow(R"({"steps": [{"id": "s", "title": "t", "lines": ["x"]}]})"),
              "gave a reply to follow that cannot be used: a step names the line 'x', which is not "
              "one of its own");
    EXPECT_EQ(take_off(R"({"demands": [{"id": "d", "shares": [{"line": "x"}]}]})"),
              "gave a reply to take_off that cannot be used: a demand names the line 'x', which is "
              "not one of "
              "its own");
}

TEST_F(Calls, ANumberThatIsNotFiniteIsRefused) {
    EXPECT_EQ(derive("say", R"({"lines": [{"line": "hello", "values": {"mass": 1e999}}]})"),
              "gave a reply to derive that does not follow the contract: reply to derive:1:41: "
              "/lines/0/values/mass: the "
              "number 1e999 is too large; write a number that a computer can hold");
    EXPECT_THAT(derive("say", R"({"lines": [{"line": "hello", "values": {"mass": NaN}}]})"),
                StartsWith("gave a reply to derive that does not follow the contract: reply to "
                           "derive:1:49: this is "
                           "not JSON: found 'NaN'"));
    // What nlohmann/json writes for a double that is not finite.
    EXPECT_EQ(derive("say", R"({"lines": [{"line": "hello", "values": {"mass": null}}]})"),
              "gave a reply to derive that cannot be used: the derived value 'mass' of line "
              "'hello' is no number");
    EXPECT_EQ(follow(R"({"quantities": [{"ref": "r", "title": "t", "value": null}]})"),
              "gave a reply to follow that does not follow the contract: reply to follow: "
              "/quantities/0/value: "
              "found null; write a number");
    EXPECT_EQ(follow(R"({"steps": [{"id": "s", "title": "t", "people": 18446744073709551615}]})"),
              "gave a reply to follow that does not follow the contract: reply to follow: "
              "/steps/0/people: the "
              "number 18446744073709551615 is too large");
}

TEST_F(Calls, ADemandIsOneAmountOrUpToTwelveWays) {
    const auto demand = [](const std::string& rest) {
        return R"({"demands": [{"id": "d", "shares": [{"line": "hello", "weight": 1}], )" + rest +
               "}]}";
    };
    const auto ways = [&](int count) {
        std::string list;
        for (int i = 0; i < count; ++i)
            list += (i == 0 ? "" : ",") + (R"({"id": "w)" + std::to_string(i)) +
                    R"(", "uses": [{"offer": "shop/seed", "count": 1}]})";
        return demand("\"ways\": [" + list + "]");
    };
    EXPECT_EQ(take_off(ways(12)), "");
    EXPECT_EQ(take_off(ways(13)),
              "gave a reply to take_off that cannot be used: demand 'd' has more than 12 ways");
    EXPECT_EQ(
        take_off(demand(
            R"("amount": {"quantity": 2.5, "unit": "kg", "offers": [{"offer": "shop/seed", "content": 1}]})")),
        "");
    EXPECT_EQ(take_off(demand(R"("amount": {"quantity": 1}, "ways": [{"id": "w", "uses": []}])")),
              "gave a reply to take_off that cannot be used: demand 'd' is both an amount and a "
              "choice of ways");
    EXPECT_EQ(take_off(demand(R"("amount": {"quantity": -1})")),
              "gave a reply to take_off that cannot be used: demand 'd' is negative");
    EXPECT_EQ(
        take_off(demand(
            R"("amount": {"quantity": 1, "offers": [{"offer": "shop/seed", "content": 0}]})")),
        "gave a reply to take_off that cannot be used: the content of offer 'shop/seed' is not "
        "above zero");
    EXPECT_EQ(
        take_off(demand(
            R"("amount": {"quantity": 1, "offers": [{"offer": "shop/nuts", "content": 1}]})")),
        "gave a reply to take_off that cannot be used: a demand names the offer 'shop/nuts', which "
        "it was not "
        "given");
    EXPECT_EQ(
        take_off(demand(R"("ways": [{"id": "w", "uses": [{"offer": "shop/seed", "count": -1}]}])")),
        "gave a reply to take_off that cannot be used: way 'w' buys a negative count or measure");
    EXPECT_EQ(
        take_off(demand(R"("ways": [{"id": "w", "uses": [{"offer": "shop/nuts", "count": 1}]}])")),
        "gave a reply to take_off that cannot be used: a demand names the offer 'shop/nuts', which "
        "it was not "
        "given");
    EXPECT_EQ(
        take_off(demand(
            R"("ways": [{"id": "w", "uses": [], "dealer_cuts": [{"supplier": "shop", "cuts": -1}]}])")),
        "gave a reply to take_off that cannot be used: way 'w' has a negative number of dealer's "
        "cuts");
    EXPECT_EQ(
        take_off(demand(R"("ways": [{"id": "w", "uses": []}, {"id": "w", "uses": []}])")),
        "gave a reply to take_off that cannot be used: two ways of demand 'd' are called 'w'");
    EXPECT_EQ(take_off(demand(R"("ways": [{"id": "", "uses": []}])")),
              "gave a reply to take_off that cannot be used: a way of demand 'd' has no id");
}

TEST_F(Calls, DemandsAndStepsAreSound) {
    EXPECT_EQ(take_off(R"({"demands": [{"id": "", "shares": []}]})"),
              "gave a reply to take_off that cannot be used: a demand has no id");
    EXPECT_EQ(take_off(R"({"demands": [{"id": "d", "shares": []}]})"),
              "gave a reply to take_off that cannot be used: demand 'd' serves no line");
    EXPECT_EQ(
        take_off(
            R"({"demands": [{"id": "d", "shares": [{"line": "hello"}]}, {"id": "d", "shares": [{"line": "hello"}]}]})"),
        "gave a reply to take_off that cannot be used: two demands are called 'd'");
    EXPECT_EQ(
        take_off(R"({"demands": [{"id": "d", "shares": [{"line": "hello", "weight": -1}]}]})"),
        "gave a reply to take_off that cannot be used: a share of demand 'd' is negative");
    EXPECT_EQ(
        follow(R"({"steps": [{"id": "s", "title": "t", "minutes": -1}]})"),
        "gave a reply to follow that cannot be used: step 's' has negative time or no people");
    EXPECT_EQ(
        follow(R"({"steps": [{"id": "s", "title": "t", "people": 0}]})"),
        "gave a reply to follow that cannot be used: step 's' has negative time or no people");
}

TEST_F(Calls, EveryTextIsGivenBack) {
    for (const char* reply : {"squawk", R"({"lines": []})", R"({"lines": [{"line": "x"}]})"})
        (void)derive("say", reply);
    for (const char* deed : {"throw", "fault", "fault without reason", "no reply", "unknown",
                             "strange status", "wait"})
        (void)derive("do", deed);
    EXPECT_EQ(host.call_text("parrot", "texts_out", "{}"), "0");
}

TEST_F(Calls, AModuleThatIsNotLoadedIsNamed) {
    try {
        (void)host.derive("crow", {});
        FAIL();
    } catch (const ModuleError& error) {
        EXPECT_STREQ(error.what(), "module 'crow': is not loaded");
    }
}

// ---------------------------------------------------------------- cancelling, keeping

TEST_F(Calls, ACancelledCallIsNoFailureAndIsNotKept) {
    host.set_cancel([] { return true; });
    const contract::DeriveRequest request{{word("do", "wait")}, {}, Json::object()};
    EXPECT_THROW((void)host.derive("parrot", request), CallCancelled);
    host.set_cancel({});
    EXPECT_NO_THROW((void)host.derive("parrot", request));
    EXPECT_EQ(host.counts().kept, 0u);
}

TEST_F(Calls, AModuleIsNotCalledOnceTheCallerWantsToStop) {
    const std::string given_back = host.call_text("parrot", "texts_out", "{}");
    host.set_cancel([] { return true; });
    EXPECT_THROW((void)host.derive("parrot", {{word("do", "throw")}, {}, Json::object()}),
                 CallCancelled);
    EXPECT_THROW((void)host.call_text("parrot", "texts_out", "{}"), CallCancelled);
}

TEST_F(Calls, ACallIsEndedInItsMiddleWhenTheCallerWantsToStop) {
    int asked = 0;
    host.set_cancel([&] { return ++asked > 1; });
    EXPECT_THROW((void)host.derive("parrot", {{word("do", "wait")}, {}, Json::object()}),
                 CallCancelled);
    EXPECT_EQ(asked, 2);
}

// It used to end the program.
TEST_F(Calls, ACallThatSaysItIsCancelledUnaskedIsAFault) {
    EXPECT_EQ(derive("do", "cancel unasked"),
              "stopped in derive as if it were cancelled, which nobody asked for");
}

TEST_F(Calls, WhatAModuleSaysReachesTheListener) {
    std::vector<std::string> heard;
    host.set_listener({[&](const std::string& module, const std::string& text) {
                           heard.push_back(module + ": " + text);
                       },
                       [&](const std::string& module, const std::string& method, double fraction) {
                           heard.push_back(module + ' ' + method + ' ' + std::to_string(fraction));
                       }});
    (void)host.derive("parrot", {{word("do", "wait")}, {}, Json::object()});
    EXPECT_EQ(derive("do", "shout"), "failed in derive: rude ?\\u001b");
    EXPECT_THAT(heard, testing::ElementsAre("parrot: waiting", "parrot derive 0.500000",
                                            "parrot: \\u001b[31mpieces of eight\\u0007"));
    // What a listener throws does not go through the module.
    host.set_listener({[](const std::string&, const std::string&) { throw 7; },
                       [](const std::string&, const std::string&, double) { throw 7; }});
    host.clear_kept();
    EXPECT_NO_THROW((void)host.derive("parrot", {{word("do", "wait")}, {}, Json::object()}));
}

TEST_F(Calls, ControlCharactersInAReplyAreShown) {
    const auto reply = host.derive(
        "parrot",
        {{word(
             "say",
             R"({"lines": [], "findings": [{"severity": "note", "code": "c", "text": "a\u001b[31m\u009bz"}]})")},
         {},
         Json::object()});
    EXPECT_EQ(reply->findings.at(0).text, "a\\u001b[31m\\u009bz");
}

TEST_F(Calls, IdsAndNumbersOfAReplyAreSound) {
    EXPECT_EQ(
        derive("say",
               R"({"lines": [{"line": "hello", "values": {}}, {"line": "hello", "values": {}}]})"),
        "gave a reply to derive that cannot be used: line 'hello' is derived twice, or derived and "
        "refused");
    EXPECT_EQ(derive("say", R"({"lines": [], "refused": [{"line": "hello", "text": ""}]})"),
              "gave a reply to derive that cannot be used: the line 'hello' is refused without a "
              "reason");
    EXPECT_EQ(derive("say", R"({"lines": [], "refused": [{"line": "x", "text": "t"}]})"),
              "gave a reply to derive that cannot be used: a refusal names the line 'x', which is "
              "not one of its own");
    EXPECT_EQ(
        derive(
            "say",
            R"({"lines": [], "workings": [{"ref": "r", "title": "t", "result": "1"}, {"ref": "r", "title": "t", "result": "1"}]})"),
        "gave a reply to derive that cannot be used: two workings explain 'r'");
    EXPECT_EQ(follow(R"({"steps": [{"id": "s", "title": "t"}, {"id": "s", "title": "t"}]})"),
              "gave a reply to follow that cannot be used: two steps are called 's'");
    EXPECT_EQ(
        follow(
            R"({"quantities": [{"ref": "r", "title": "t", "value": 1}, {"ref": "r", "title": "t", "value": 1}]})"),
        "gave a reply to follow that cannot be used: two quantities are called 'r'");
    EXPECT_EQ(
        take_off(
            R"({"demands": [{"id": "d", "shares": [{"line": "hello"}], "amount": {"quantity": 1e9, "offers": [{"offer": "shop/seed", "content": 1e-6}]}}]})"),
        "gave a reply to take_off that cannot be used: demand 'd' would take more than a thousand "
        "million of offer 'shop/seed'; state content and quantity in one unit");
    EXPECT_EQ(
        take_off(
            R"({"demands": [{"id": "d", "shares": [{"line": "hello"}], "ways": [{"id": "w", "uses": [{"offer": "shop/seed", "count": 9223372036854775807}]}]}]})"),
        "gave a reply to take_off that cannot be used: the counts of offer 'shop/seed' are "
        "9223372036854775807, more than 1000000000");
    EXPECT_EQ(
        take_off(
            R"({"demands": [{"id": "d", "shares": [{"line": "hello"}], "ways": [{"id": "w", "uses": [], "yield": 1.5}]}]})"),
        "gave a reply to take_off that cannot be used: the yield of way 'w' is 1.5, more than 1");
}

TEST_F(Calls, TheSameBytesAreAnsweredFromTheKeptReplyAndAChangedByteIsNot) {
    contract::DeriveRequest request{{word("say", R"({"lines": []})")}, {}, Json::object()};
    const auto first = host.derive("parrot", request);
    const auto second = host.derive("parrot", request);
    EXPECT_EQ(first, second);
    EXPECT_EQ(host.counts().called, 1u);
    EXPECT_EQ(host.counts().kept, 1u);
    request.lines[0].count = 2;
    (void)host.derive("parrot", request);
    EXPECT_EQ(host.counts().called, 2u);
    request.settings.effort = "draft";
    (void)host.derive("parrot", request);
    EXPECT_EQ(host.counts().called, 3u);
    // The same lines in another method are another request.
    contract::FollowRequest follow;
    follow.lines = request.lines;
    (void)host.follow("parrot", follow);
    EXPECT_EQ(host.counts().called, 4u);
    EXPECT_EQ(host.counts().kept, 1u);
    host.clear_kept();
    (void)host.derive("parrot", request);
    EXPECT_EQ(host.counts().called, 5u);
    // What was handed out stays whole.
    EXPECT_TRUE(first->lines.empty());
}

TEST_F(Calls, ARefusedReplyIsNotKept) {
    (void)derive("do", "throw");
    (void)derive("do", "throw");
    EXPECT_EQ(host.counts().called, 2u);
    EXPECT_EQ(host.counts().kept, 0u);
}

} // namespace
} // namespace aumbry
