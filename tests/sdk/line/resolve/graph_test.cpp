// The graph of names: order of settling, what goes on to those that need a name, loops.
#include "line/resolve/graph.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace aumbry::resolving {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

/// A graph whose values are found by noting their names; lines are noted together.
struct Noted {
    Graph graph;
    std::vector<std::string> order;

    NodeId value(const std::string& name, const std::vector<NodeId>& needs = {}) {
        return add(name, NodeRole::value, needs);
    }
    NodeId line(const std::string& name, const std::vector<NodeId>& needs = {}) {
        return add(name, NodeRole::line, needs);
    }
    NodeId add(const std::string& name, NodeRole role, const std::vector<NodeId>& needs) {
        const NodeId id = graph.add(name, role);
        for (const NodeId other : needs) graph.depend(id, other);
        return id;
    }
    void settle() {
        graph.settle({[&](NodeId id) {
                          order.push_back(graph[id].name);
                          graph.set_known(id);
                      },
                      [&](const std::vector<NodeId>& lines) {
                          std::string batch;
                          for (const NodeId id : lines) {
                              batch += (batch.empty() ? "" : "+") + graph[id].name;
                              graph.set_known(id);
                          }
                          order.push_back(batch);
                      }});
    }
    std::vector<std::string> loops() const {
        std::vector<std::string> told;
        for (const std::vector<NodeId>& loop : graph.loops()) {
            std::string names;
            for (const NodeId id : loop) names += (names.empty() ? "" : " ") + graph[id].name;
            told.push_back(names);
        }
        return told;
    }
};

TEST(Graph, SettlesEveryValueAfterWhatItNeeds) {
    Noted noted;
    const NodeId sum = noted.value("sum");
    const NodeId left = noted.value("left");
    const NodeId right = noted.value("right", {left});
    noted.graph.depend(sum, right);
    noted.graph.depend(sum, left);
    noted.settle();
    EXPECT_THAT(noted.order, ElementsAre("left", "right", "sum"));
    EXPECT_THAT(noted.loops(), IsEmpty());
}

TEST(Graph, SettlesAValueOnceThoughItIsNeededTwice) {
    Noted noted;
    const NodeId ease = noted.value("ease");
    noted.value("twice", {ease, ease});
    noted.settle();
    EXPECT_THAT(noted.order, ElementsAre("ease", "twice"));
}

TEST(Graph, AsksForLinesTogetherWhenNothingElseIsReady) {
    Noted noted;
    const NodeId lid = noted.line("lid");
    const NodeId frame = noted.line("frame");
    const NodeId ease = noted.value("ease");
    noted.graph.depend(lid, ease);
    const NodeId size = noted.value("size", {lid, frame});
    noted.line("box", {size});
    noted.settle();
    EXPECT_THAT(noted.order, ElementsAre("ease", "lid+frame", "size", "box"));
}

TEST(Graph, FindsValuesByNameAndNoLine) {
    Noted noted;
    noted.line("lid");
    const NodeId first = noted.value("ease");
    noted.value("ease");
    EXPECT_EQ(noted.graph.find("ease"), first);
    EXPECT_EQ(noted.graph.find("lid"), std::nullopt);
}

TEST(Graph, AFaultGoesOnToAllThatNeedsIt) {
    Noted noted;
    const NodeId bad = noted.value("bad");
    const NodeId middle = noted.value("middle", {bad});
    const NodeId last = noted.line("last", {middle});
    noted.graph.set_faulty(bad);
    noted.settle();
    EXPECT_EQ(noted.graph[middle].state, NodeState::faulty);
    EXPECT_EQ(noted.graph[last].state, NodeState::faulty);
    EXPECT_THAT(noted.order, IsEmpty());
}

// Every line on the way used to be told of the one before it, each sentence within the next.
TEST(Graph, WhatIsNotPricedNamesTheRootAndItsReason) {
    Noted noted;
    const NodeId mattress = noted.line("mattress");
    const NodeId size = noted.value("size", {mattress});
    const NodeId lid = noted.line("lid", {size});
    const NodeId edge = noted.line("edge", {lid});
    const NodeId free = noted.line("free");
    noted.graph.set_not_priced(mattress, "module 'mattress' is missing");
    noted.settle();
    EXPECT_EQ(noted.graph[mattress].reason, "module 'mattress' is missing");
    for (const NodeId id : {size, lid, edge}) {
        EXPECT_EQ(noted.graph[id].state, NodeState::not_priced);
        EXPECT_EQ(noted.graph[id].reason, "its values could not be calculated because of "
                                          "'mattress': module 'mattress' is missing");
    }
    EXPECT_EQ(noted.graph[free].state, NodeState::known);
}

TEST(Graph, AFaultWinsOverWhatIsNotPriced) {
    Noted noted;
    const NodeId missing = noted.line("missing");
    const NodeId bad = noted.value("bad");
    const NodeId both = noted.value("both", {missing, bad});
    noted.graph.set_not_priced(missing, "module 'x' is missing");
    noted.graph.set_faulty(bad);
    noted.settle();
    EXPECT_EQ(noted.graph[both].state, NodeState::faulty);
}

TEST(Loops, AreToldInFullAndOnce) {
    Noted noted;
    const NodeId a = noted.value("a");
    const NodeId b = noted.value("b", {a});
    const NodeId c = noted.value("c", {b});
    noted.graph.depend(a, c);
    noted.value("user", {c});
    noted.value("own", {noted.graph.size()});
    noted.settle();
    EXPECT_THAT(noted.order, IsEmpty());
    EXPECT_THAT(noted.loops(), ElementsAre("a c b", "own"));
}

TEST(Loops, LeaveOutLinesWhenThereIsAnythingElseToTell) {
    Noted noted;
    const NodeId line = noted.line("bed");
    const NodeId length = noted.value("bed.length", {line});
    noted.graph.depend(line, length);
    const NodeId lid = noted.line("lid");
    const NodeId frame = noted.line("frame", {lid});
    noted.graph.depend(lid, frame);
    noted.settle();
    EXPECT_THAT(noted.loops(), ElementsAre("bed.length", "lid frame"));
}

TEST(Loops, AreToldThoughOneOfThemIsNotPricedToo) {
    Noted noted;
    const NodeId missing = noted.line("missing");
    const NodeId a = noted.value("a", {missing});
    const NodeId b = noted.value("b", {a});
    noted.graph.depend(a, b);
    noted.graph.set_not_priced(missing, "module 'x' is missing");
    noted.settle();
    EXPECT_THAT(noted.loops(), ElementsAre("a b"));
}

// The order and the loops are found without a call within a call: no chain is too deep.
TEST(Graph, SettlesAChainOfSixtyThousand) {
    constexpr std::size_t length = 60'000;
    Noted noted;
    for (std::size_t i = 0; i < length; ++i) noted.value("p" + std::to_string(i));
    for (NodeId id = 0; id + 1 < length; ++id) noted.graph.depend(id, id + 1);
    noted.settle();
    ASSERT_EQ(noted.order.size(), length);
    EXPECT_EQ(noted.order.front(), "p59999");
    EXPECT_EQ(noted.order.back(), "p0");
}

TEST(Graph, TellsALoopOfSixtyThousand) {
    constexpr std::size_t length = 60'000;
    Noted noted;
    for (std::size_t i = 0; i < length; ++i) noted.value("p" + std::to_string(i));
    for (NodeId id = 0; id < length; ++id) noted.graph.depend(id, (id + 1) % length);
    noted.settle();
    const auto loops = noted.graph.loops();
    ASSERT_EQ(loops.size(), 1U);
    EXPECT_EQ(loops.front().size(), length);
}

TEST(Graph, SixtyThousandThatAreNotPricedNameTheOneThatIsMissing) {
    constexpr std::size_t length = 60'000;
    Noted noted;
    NodeId last = noted.line("first");
    noted.graph.set_not_priced(last, "module 'x' is missing");
    for (std::size_t i = 0; i < length; ++i) last = noted.line("l" + std::to_string(i), {last});
    noted.settle();
    EXPECT_EQ(noted.graph[last].reason,
              "its values could not be calculated because of 'first': module 'x' is missing");
}

} // namespace
} // namespace aumbry::resolving
