#include "print/part_label.hpp"

#include <algorithm>
#include <array>

namespace aumbry::print {
namespace {

constexpr double line_height = 1.22; ///< of the em

/// One way of saying it.
struct Wording {
    std::vector<std::string> lines;
    bool bold_first = false;
};

std::vector<Wording> wordings(const BookPart& part, const std::string& unit,
                              const std::string& hand) {
    const std::string name = part.number + ' ' + part.title + (hand.empty() ? "" : ", " + hand);
    const std::string finished = bare_size(part.length, part.width, unit);
    const std::string cut = bare_size(part.cut_length, part.cut_width, unit);
    const bool alike = finished == cut;
    const std::string sizes = alike ? finished : finished + ", cut " + cut;
    const std::string piece = part.piece.empty() ? "" : ", " + part.piece;
    std::vector<Wording> all;
    if (!part.piece.empty()) {
        if (!alike) all.push_back({{name, part.piece, finished, "cut " + cut}, true});
        all.push_back({{name, part.piece, sizes}, true});
        all.push_back({{name + piece, sizes}, true});
    }
    all.push_back({{name + piece + ", " + sizes}, false});
    if (!alike) all.push_back({{name, finished, "cut " + cut}, true});
    all.push_back({{name, sizes}, true});
    all.push_back({{name + ", " + sizes}, false});
    all.push_back({{name}, true});
    return all;
}

struct Block {
    double width = 0, height = 0; ///< on the page
};

Block block_of(const Wording& wording, double size, bool turned) {
    double longest = 0;
    for (std::size_t i = 0; i < wording.lines.size(); ++i)
        longest =
            std::max(longest, text_width(wording.lines[i], size, i == 0 && wording.bold_first));
    const double high = static_cast<double>(wording.lines.size()) * size * line_height;
    return turned ? Block{high, longest} : Block{longest, high};
}

void write(Page& page, const Box& at, const Wording& wording, double size, bool turned) {
    const double step = size * line_height;
    for (std::size_t i = 0; i < wording.lines.size(); ++i) {
        TextMark mark;
        mark.text = wording.lines[i];
        mark.size = size;
        mark.bold = i == 0 && wording.bold_first;
        mark.anchor = Anchor::middle;
        mark.turned = turned;
        const double down = (static_cast<double>(i) + 0.5) * step + 0.36 * size;
        mark.x = turned ? at.x + down : at.x + at.width / 2;
        mark.y = turned ? at.y + at.height / 2 : at.y + down;
        page.marks.emplace_back(std::move(mark));
    }
}

/// The text in the middle of the box, clear of what is there; false when it does not fit.
bool set(Page& page, const Box& box, const Wording& wording, double size, bool turned,
         double margin, std::vector<Box>& taken) {
    const Block block = block_of(wording, size, turned);
    if (block.width > box.width - 2 * margin || block.height > box.height - 2 * margin)
        return false;
    const Box at{box.x + (box.width - block.width) / 2, box.y + (box.height - block.height) / 2,
                 block.width, block.height};
    if (std::any_of(taken.begin(), taken.end(),
                    [&](const Box& other) { return overlap(at, other); }))
        return false;
    write(page, at, wording, size, turned);
    taken.push_back(at);
    return true;
}

bool set_any(Page& page, const Box& box, const Wording& wording, std::vector<Box>& taken) {
    constexpr std::array<double, 5> sizes{3.5, 3.0, 2.6, 2.3, 2.0};
    for (const double size : sizes) {
        for (const bool turned : {false, true}) {
            if (set(page, box, wording, size, turned, 0.9, taken)) return true;
        }
    }
    return false;
}

} // namespace

bool label_part(Page& page, const Box& box, const BookPart& part, const std::string& unit,
                const std::string& hand, std::vector<Box>& taken) {
    for (const Wording& wording : wordings(part, unit, hand)) {
        if (set_any(page, box, wording, taken)) return true;
    }
    // A name too long for the box is shortened; the list beside the drawing has it whole.
    const std::string name =
        shortened(part.number + ' ' + part.title, 2.0, std::max(box.width, box.height) - 1.9, true);
    if (name.size() >= part.number.size() + 8 && set_any(page, box, {{name}, true}, taken))
        return true;
    const Wording number{{part.number}, true};
    if (set_any(page, box, number, taken)) return true;
    constexpr std::array<double, 5> sizes{3.0, 2.6, 2.3, 2.0, 1.8};
    for (const double size : sizes) {
        for (const bool turned : {false, true}) {
            // Digits are lower than the line that they stand on.
            const Block block = block_of(number, size, turned);
            const double spare = turned ? block.width - size * 0.8 : block.height - size * 0.8;
            if (set(page, box, number, size, turned, -spare / 2, taken)) return true;
        }
    }
    return false;
}

} // namespace aumbry::print
