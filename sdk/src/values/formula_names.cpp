#include "values/formula_names.hpp"

#include "values/formula_tree.hpp"

#include <algorithm>

namespace aumbry {

std::string with_names(std::string_view formula,
                       const std::function<std::string(const std::string& name)>& renamed) {
    const FormulaTree tree = parse_formula(formula);
    std::vector<const FormulaNode*> places;
    for (const FormulaNode& node : tree.nodes) {
        if (node.kind == FormulaNode::Kind::name) places.push_back(&node);
    }
    std::sort(places.begin(), places.end(),
              [](const FormulaNode* a, const FormulaNode* b) { return a->token < b->token; });
    std::string result;
    std::size_t at = 0;
    for (const FormulaNode* place : places) {
        const std::string& name = tree.names[place->name];
        result += tree.text.substr(at, place->token - at) + renamed(name);
        at = place->token + name.size();
    }
    return result + tree.text.substr(at);
}

} // namespace aumbry
