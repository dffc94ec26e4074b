// A graph of names: what gives each name its value, and what it needs first. Values settle in order
// of dependence; what has none says why, and so does everything that needs it. Knows nothing of
// documents.
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

namespace aumbry::resolving {

using NodeId = std::size_t;

/// How far a node is. A faulty one is told among the faults of the document; one that is not priced
/// carries its reason.
enum class NodeState { waiting, known, faulty, not_priced };

/// What a node gives.
enum class NodeRole {
    value, ///< one value, which `evaluate` finds
    line   ///< the values that a module derives from a line: found for many lines at once
};

/// One name.
struct GraphNode {
    std::string name; ///< as a person writes it
    NodeRole role = NodeRole::value;
    NodeState state = NodeState::waiting;
    std::string reason; ///< why it is not priced
    NodeId cause = 0;   ///< the node that the reason is about: itself, or one that it needs
    std::vector<NodeId> needs;
    std::vector<NodeId> needed_by;
    std::size_t unsettled = 0; ///< how many of its needs are not settled yet
};

/// How values are found.
struct Settling {
    std::function<void(NodeId)> evaluate;                   ///< of one node
    std::function<void(const std::vector<NodeId>&)> derive; ///< of lines that are ready, by id
};

class Graph {
  public:
    /// Adds a node. A second `value` of a name is added without being found by it.
    NodeId add(std::string name, NodeRole role);
    /// The `value` node of a name. Lines are found by nobody: a parameter may carry a line's id.
    [[nodiscard]] std::optional<NodeId> find(const std::string& name) const;
    [[nodiscard]] std::size_t size() const { return nodes_.size(); }
    [[nodiscard]] const GraphNode& operator[](NodeId id) const { return nodes_[id]; }

    /// `node` needs `other` first.
    void depend(NodeId node, NodeId other);

    void set_known(NodeId id) { nodes_[id].state = NodeState::known; }
    void set_faulty(NodeId id) { nodes_[id].state = NodeState::faulty; }
    void set_not_priced(NodeId id, std::string reason);

    /// Finds every value whose needs can be met: values as soon as they are ready, lines together
    /// when nothing else is ready, each in order of readiness. A fault, or a reason why something
    /// is not priced, goes on to all that needs it. Nodes of a loop, and what
    /// needs them, stay unsettled.
    void settle(const Settling& how);

    /// The loops that `settle` left, each told once: every node needs the next, the last the first.
    /// Lines are left out where the loop has anything else.
    [[nodiscard]] std::vector<std::vector<NodeId>> loops() const;

  private:
    /// The first of its needs that is in a loop, or waits for one.
    [[nodiscard]] NodeId still_needed(NodeId id) const;
    void pass_on(const GraphNode& from, GraphNode& to) const;

    std::vector<GraphNode> nodes_;
    std::unordered_map<std::string, NodeId> by_name_;
};

} // namespace aumbry::resolving
