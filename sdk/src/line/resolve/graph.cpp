#include "line/resolve/graph.hpp"

#include "values/excerpt.hpp"

#include <algorithm>
#include <deque>
#include <utility>

namespace aumbry::resolving {

NodeId Graph::add(std::string name, NodeRole role) {
    const NodeId id = nodes_.size();
    if (role == NodeRole::value) by_name_.emplace(name, id);
    GraphNode node;
    node.name = std::move(name);
    node.role = role;
    node.cause = id;
    nodes_.push_back(std::move(node));
    return id;
}

std::optional<NodeId> Graph::find(const std::string& name) const {
    const auto found = by_name_.find(name);
    return found == by_name_.end() ? std::nullopt : std::optional(found->second);
}

void Graph::depend(NodeId node, NodeId other) {
    nodes_[node].needs.push_back(other);
    nodes_[other].needed_by.push_back(node);
    ++nodes_[node].unsettled;
}

void Graph::set_not_priced(NodeId id, std::string reason) {
    nodes_[id].state = NodeState::not_priced;
    nodes_[id].reason = std::move(reason);
    nodes_[id].cause = id;
}

void Graph::settle(const Settling& how) {
    std::deque<NodeId> ready;
    for (NodeId id = 0; id < nodes_.size(); ++id) {
        if (nodes_[id].unsettled == 0) ready.push_back(id);
    }
    const auto release = [&](NodeId id) {
        for (const NodeId user : nodes_[id].needed_by) {
            pass_on(nodes_[id], nodes_[user]);
            if (--nodes_[user].unsettled == 0) ready.push_back(user);
        }
    };
    std::vector<NodeId> lines;
    while (!ready.empty() || !lines.empty()) {
        if (ready.empty()) {
            std::sort(lines.begin(), lines.end());
            how.derive(lines);
            for (const NodeId id : std::exchange(lines, {})) release(id);
            continue;
        }
        const NodeId id = ready.front();
        ready.pop_front();
        if (nodes_[id].state == NodeState::waiting) {
            if (nodes_[id].role == NodeRole::line) {
                lines.push_back(id);
                continue;
            }
            how.evaluate(id);
        }
        release(id);
    }
}

void Graph::pass_on(const GraphNode& from, GraphNode& to) const {
    if (from.state == NodeState::faulty) to.state = NodeState::faulty;
    if (from.state != NodeState::not_priced || to.state != NodeState::waiting) return;
    to.state = NodeState::not_priced;
    to.cause = from.cause;
    const GraphNode& cause = nodes_[from.cause];
    to.reason = "its values could not be calculated because of " + in_quotes(cause.name) + ": " +
                cause.reason;
}

NodeId Graph::still_needed(NodeId id) const {
    const auto& needs = nodes_[id].needs;
    return *std::find_if(needs.begin(), needs.end(),
                         [&](NodeId other) { return nodes_[other].unsettled > 0; });
}

std::vector<std::vector<NodeId>> Graph::loops() const {
    std::vector<std::vector<NodeId>> loops;
    constexpr auto nobody = static_cast<NodeId>(-1);
    std::vector<NodeId> walked_from(nodes_.size(), nobody); // start of the walk that came by first
    for (NodeId start = 0; start < nodes_.size(); ++start) {
        if (nodes_[start].unsettled == 0 || walked_from[start] != nobody) continue;
        // Along what is needed until a node comes twice, in this walk or since an earlier one.
        std::vector<NodeId> walk;
        NodeId at = start;
        for (; walked_from[at] == nobody; at = still_needed(at)) {
            walked_from[at] = start;
            walk.push_back(at);
        }
        if (walked_from[at] != start) continue;
        std::vector<NodeId> loop(std::find(walk.begin(), walk.end(), at), walk.end());
        const auto is_line = [&](NodeId id) { return nodes_[id].role == NodeRole::line; };
        if (!std::all_of(loop.begin(), loop.end(), is_line)) std::erase_if(loop, is_line);
        loops.push_back(std::move(loop));
    }
    return loops;
}

} // namespace aumbry::resolving
