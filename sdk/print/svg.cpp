#include "print/print.hpp"

#include "aumbry/rounding.hpp"

namespace aumbry::print {
namespace {

std::string mm(double value) {
    return format_trimmed(value, 3);
}

std::string escaped(std::string_view text) {
    std::string out;
    for (const char c : text) {
        switch (c) {
        case '&':
            out += "&amp;";
            break;
        case '<':
            out += "&lt;";
            break;
        case '>':
            out += "&gt;";
            break;
        case '"':
            out += "&quot;";
            break;
        default:
            // Control characters are not allowed in XML.
            out += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
        }
    }
    return out;
}

std::string colour(const Ink& ink) {
    static constexpr std::string_view digits = "0123456789abcdef";
    std::string out = "#";
    for (const double part : {ink.red, ink.green, ink.blue}) {
        const auto level = static_cast<unsigned>(round_to(part * 255, 0));
        out += {digits[level / 16], digits[level % 16]};
    }
    return out;
}

std::string stroke(const Stroke& stroke) {
    std::string out =
        " stroke=\"" + colour(stroke.grey) + "\" stroke-width=\"" + mm(stroke.width) + '"';
    if (!stroke.dashes.empty()) {
        out += " stroke-dasharray=\"";
        for (std::size_t i = 0; i < stroke.dashes.size(); ++i)
            out += (i > 0 ? " " : "") + mm(stroke.dashes[i]);
        out += '"';
    }
    return out;
}

std::string role(const std::string& name) {
    return name.empty() ? "" : " class=\"" + name + '"';
}

struct Writer {
    std::string& out;

    void operator()(const BoxMark& mark) const {
        out += "<rect" + role(mark.role) + " x=\"" + mm(mark.box.x) + "\" y=\"" + mm(mark.box.y) +
               "\" width=\"" + mm(mark.box.width) + "\" height=\"" + mm(mark.box.height) + '"';
        out += " fill=\"" + (mark.fill ? colour(*mark.fill) : std::string("none")) + '"';
        if (mark.outline) out += stroke(*mark.outline);
        out += "/>\n";
    }
    void operator()(const LineMark& mark) const {
        out += "<line" + role(mark.role) + " x1=\"" + mm(mark.x1) + "\" y1=\"" + mm(mark.y1) +
               "\" x2=\"" + mm(mark.x2) + "\" y2=\"" + mm(mark.y2) + '"' + stroke(mark.stroke) +
               "/>\n";
    }
    void operator()(const TextMark& mark) const {
        const std::string x = mm(mark.x);
        const std::string y = mm(mark.y);
        out += "<text x=\"" + x + "\" y=\"" + y + "\" font-size=\"" + mm(mark.size) + '"';
        if (mark.bold) out += " font-weight=\"bold\"";
        if (mark.anchor == Anchor::middle) out += " text-anchor=\"middle\"";
        if (mark.anchor == Anchor::right) out += " text-anchor=\"end\"";
        if (mark.turned) out += " transform=\"rotate(-90 " + x + ' ' + y + ")\"";
        if (mark.grey > 0) out += " fill=\"" + colour(mark.grey) + '"';
        out += '>' + escaped(mark.text) + "</text>\n";
    }
};

} // namespace

std::string to_svg(const Page& page) {
    std::string out = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" +
                      mm(page.width) + "mm\" height=\"" + mm(page.height) + "mm\" viewBox=\"0 0 " +
                      mm(page.width) + ' ' + mm(page.height) +
                      "\" font-family=\"DejaVu Sans, Verdana, sans-serif\">\n<title>" +
                      escaped(page.title) + "</title>\n<rect width=\"" + mm(page.width) +
                      "\" height=\"" + mm(page.height) + "\" fill=\"#ffffff\"/>\n";
    for (const Mark& mark : page.marks) std::visit(Writer{out}, mark);
    return out + "</svg>\n";
}

} // namespace aumbry::print
