#include "print/drawing.hpp"

#include <array>
#include <cstdint>

namespace aumbry::print {
namespace {

/// Advances of the printable ASCII characters in thousandths of the em: DejaVu Sans 2.37.
constexpr std::array<std::int16_t, 95> regular{
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361,  318, 337, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632,
    575, 775, 752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635,  611, 732, 684, 989, 685,
    611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352,  635, 634, 278, 278, 579,
    278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592,  525, 636, 337, 636, 838};
constexpr std::array<std::int16_t, 95> heavy{
    348,  456, 521, 838, 696, 1002, 872, 306,  457, 457, 523, 838, 380, 415,  380, 365,
    696,  696, 696, 696, 696, 696,  696, 696,  696, 696, 400, 400, 838, 838,  838, 580,
    1000, 774, 762, 734, 830, 683,  683, 821,  837, 372, 372, 775, 637, 995,  837, 850,
    733,  850, 770, 720, 682, 812,  774, 1103, 771, 724, 725, 457, 365, 457,  838, 500,
    500,  675, 716, 593, 716, 678,  435, 716,  712, 343, 343, 665, 343, 1042, 712, 687,
    716,  716, 493, 595, 478, 712,  652, 924,  645, 652, 582, 712, 365, 712,  838};

/// Beyond ASCII: wide enough for nearly every Latin, Greek and Cyrillic letter; from the CJK blocks
/// on, one em.
constexpr int other_letter = 850;
constexpr int wide_letter = 1000;

bool starts_character(char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
}

int advance(char first, bool bold) {
    const auto byte = static_cast<unsigned char>(first);
    if (byte < 0x20) return 0;
    if (byte < 0x7F) return bold ? heavy[byte - 0x20U] : regular[byte - 0x20U];
    return byte >= 0xE3 ? wide_letter : other_letter;
}

/// Bytes of the whole characters that fit, at least one character.
std::size_t longest_that_fits(std::string_view text, double size, double room, bool bold) {
    double taken = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (!starts_character(text[i])) continue;
        taken += size * advance(text[i], bold) / 1000;
        if (taken > room && i > 0) return i;
    }
    return text.size();
}

} // namespace

double text_width(std::string_view text, double size, bool bold) {
    int sum = 0;
    for (const char c : text) {
        if (starts_character(c)) sum += advance(c, bold);
    }
    return size * sum / 1000;
}

std::string shortened(std::string_view text, double size, double room, bool bold) {
    if (text_width(text, size, bold) <= room) return std::string(text);
    const double ellipsis = size * other_letter / 1000;
    double taken = ellipsis;
    std::size_t end = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (!starts_character(text[i])) continue;
        end = i;
        taken += size * advance(text[i], bold) / 1000;
        if (taken > room) break;
    }
    while (end > 0 && text[end - 1] == ' ') --end;
    return std::string(text.substr(0, end)) + "\u2026";
}

std::vector<std::string> wrapped(std::string_view text, double size, double room, bool bold) {
    std::vector<std::string> lines;
    std::string line;
    for (std::size_t start = 0; start <= text.size();) {
        std::size_t end = text.find(' ', start);
        if (end == std::string_view::npos) end = text.size();
        std::string_view word = text.substr(start, end - start);
        start = end + 1;
        if (word.empty()) continue;
        std::string longer = line;
        if (!line.empty()) longer += ' ';
        longer += word;
        if (text_width(longer, size, bold) <= room) {
            line = std::move(longer);
            continue;
        }
        if (!line.empty()) lines.push_back(std::move(line));
        // A word wider than the room is broken anywhere: nothing of it may be lost.
        while (text_width(word, size, bold) > room) {
            const std::size_t fits = longest_that_fits(word, size, room, bold);
            lines.emplace_back(word.substr(0, fits));
            word.remove_prefix(fits);
        }
        line = word;
    }
    if (!line.empty()) lines.push_back(std::move(line));
    return lines;
}

} // namespace aumbry::print
