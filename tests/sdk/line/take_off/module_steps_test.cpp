// Steps of modules under their modules' names.
#include "line/take_off/module_steps.hpp"

#include "aumbry/plugin_host.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

contract::Step step(const std::string& id, std::vector<std::string> after = {}) {
    contract::Step made;
    made.id = id;
    made.after = std::move(after);
    made.needs = {"oak"};
    return made;
}

std::string reason(std::vector<ModuleStep>& all, const std::string& module,
                   const std::vector<contract::Step>& steps) {
    try {
        add_steps(all, module, steps);
    } catch (const ModuleError& error) {
        EXPECT_EQ(error.module(), module);
        return error.reason();
    }
    return "";
}

TEST(ModuleSteps, BearTheModulesName) {
    std::vector<ModuleStep> all;
    add_steps(all, "wood", {step("cut"), step("glue", {"cut"})});
    ASSERT_EQ(all.size(), 2U);
    EXPECT_EQ(all[1].module, "wood");
    EXPECT_EQ(all[1].step.id, "wood/glue");
    EXPECT_THAT(all[1].step.after, ::testing::ElementsAre("wood/cut"));
    EXPECT_THAT(all[1].step.needs, ::testing::ElementsAre("wood/oak"));
}

// Two groups of one module with a step of one name took the whole estimate down, and the fault was
// said to stand in the user's tasks.
TEST(ModuleSteps, OfOneNameAreTheModulesFault) {
    std::vector<ModuleStep> all;
    add_steps(all, "wood", {step("cut")});
    EXPECT_EQ(reason(all, "wood", {step("sand"), step("cut")}),
              "two of its steps are called 'cut'");
    EXPECT_EQ(all.size(), 1U); // nothing of the reply is left behind
    EXPECT_EQ(reason(all, "paint", {step("cut")}), "");
}

TEST(ModuleSteps, OfAnImpossibleTimeAreTheModulesFault) {
    std::vector<ModuleStep> all;
    contract::Step backwards = step("glue");
    backwards.minutes = -5;
    EXPECT_EQ(reason(all, "wood", {step("cut"), backwards}),
              "its step 'glue' takes -5 minutes; durations are from 0 to 5 000 000");
    contract::Step endless = step("dry");
    endless.wait_minutes = 1e9;
    EXPECT_EQ(reason(all, "wood", {endless}),
              "its step 'dry' takes 1000000000 minutes; durations are from 0 to 5 000 000");
    contract::Step nobody = step("lift");
    nobody.people = 0;
    EXPECT_EQ(reason(all, "wood", {nobody}), "its step 'lift' has nobody to do it");
    EXPECT_EQ(all.size(), 0U);
}

TEST(ModuleSteps, ThatWaitForEachOtherAreTheModulesFault) {
    std::vector<ModuleStep> all;
    add_steps(all, "wood", {step("glue", {"sand"})});
    EXPECT_EQ(reason(all, "wood", {step("sand", {"cut"}), step("cut", {"glue"})}),
              "its steps wait for each other: 'cut' after 'glue' after 'sand' after 'cut'");
    EXPECT_EQ(all.size(), 1U);
}

} // namespace
} // namespace aumbry
