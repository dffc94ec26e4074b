#include "print/print.hpp"

#include "aumbry/fault.hpp"

#include <cairo-pdf.h>
#include <memory>
#include <pango/pangocairo.h>

namespace aumbry::print {
namespace {

constexpr double points_per_mm = 72 / 25.4;
/// The first that is installed draws a letter; the last name is whatever the system calls its own.
constexpr const char* faces = "DejaVu Sans, Verdana, Liberation Sans, Noto Sans, Sans";

template <auto release>
struct Release {
    template <typename T>
    void operator()(T* object) const {
        release(object);
    }
};
using Surface = std::unique_ptr<cairo_surface_t, Release<cairo_surface_destroy>>;
using Context = std::unique_ptr<cairo_t, Release<cairo_destroy>>;
using Layout = std::unique_ptr<PangoLayout, Release<g_object_unref>>;
using Font = std::unique_ptr<PangoFontDescription, Release<pango_font_description_free>>;
using FontOptions = std::unique_ptr<cairo_font_options_t, Release<cairo_font_options_destroy>>;

cairo_status_t append(void* to, const unsigned char* data, unsigned int length) {
    static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

/// Draws marks on a surface whose unit is the millimetre.
class Pen {
  public:
    explicit Pen(cairo_t* cairo) : cairo_(cairo), layout_(pango_cairo_create_layout(cairo)) {
        // Nothing that follows a screen or a locale: glyphs stand where they are measured.
        PangoContext* context = pango_layout_get_context(layout_.get());
        const FontOptions options(cairo_font_options_create());
        cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
        cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
        cairo_font_options_set_antialias(options.get(), CAIRO_ANTIALIAS_GRAY);
        pango_cairo_context_set_font_options(context, options.get());
        pango_cairo_context_set_resolution(context, 72);
        pango_context_set_language(context, pango_language_from_string("en"));
        pango_context_set_round_glyph_positions(context, FALSE);
        pango_layout_context_changed(layout_.get());
        pango_layout_set_single_paragraph_mode(layout_.get(), TRUE);
    }

    void operator()(const BoxMark& mark) {
        cairo_rectangle(cairo_, mark.box.x, mark.box.y, mark.box.width, mark.box.height);
        if (mark.fill) {
            ink(*mark.fill);
            if (mark.outline)
                cairo_fill_preserve(cairo_);
            else
                cairo_fill(cairo_);
        }
        if (mark.outline) draw(*mark.outline);
        cairo_new_path(cairo_);
    }
    void operator()(const LineMark& mark) {
        cairo_move_to(cairo_, mark.x1, mark.y1);
        cairo_line_to(cairo_, mark.x2, mark.y2);
        draw(mark.stroke);
    }
    void operator()(const TextMark& mark) {
        const Font font(pango_font_description_from_string(faces));
        pango_font_description_set_weight(font.get(),
                                          mark.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
        pango_font_description_set_absolute_size(font.get(),
                                                 mark.size * points_per_mm * PANGO_SCALE);
        pango_layout_set_font_description(layout_.get(), font.get());
        pango_layout_set_text(layout_.get(), mark.text.data(), static_cast<int>(mark.text.size()));
        int units = 0;
        pango_layout_get_size(layout_.get(), &units, nullptr);
        const double width = static_cast<double>(units) / PANGO_SCALE;
        const double room = text_width(mark.text, mark.size, mark.bold) * points_per_mm;
        // A wider face than the pages are laid out for is drawn narrower, never over its neighbour.
        const double squeeze = width > room && width > 0 ? room / width : 1;
        const double shift = mark.anchor == Anchor::middle  ? -width * squeeze / 2
                             : mark.anchor == Anchor::right ? -width * squeeze
                                                            : 0;
        cairo_save(cairo_);
        cairo_translate(cairo_, mark.x, mark.y);
        if (mark.turned) cairo_rotate(cairo_, -1.5707963267948966);
        cairo_scale(cairo_, 1 / points_per_mm, 1 / points_per_mm);
        cairo_translate(cairo_, shift, 0);
        cairo_scale(cairo_, squeeze, 1);
        cairo_move_to(cairo_, 0,
                      -static_cast<double>(pango_layout_get_baseline(layout_.get())) / PANGO_SCALE);
        ink(mark.grey);
        pango_cairo_update_layout(cairo_, layout_.get());
        pango_cairo_show_layout(cairo_, layout_.get());
        cairo_restore(cairo_);
        cairo_new_path(cairo_);
    }

  private:
    void ink(const Ink& ink) { cairo_set_source_rgb(cairo_, ink.red, ink.green, ink.blue); }
    void draw(const Stroke& stroke) {
        ink(stroke.grey);
        cairo_set_line_width(cairo_, stroke.width);
        cairo_set_dash(cairo_, stroke.dashes.data(), static_cast<int>(stroke.dashes.size()), 0);
        cairo_stroke(cairo_);
    }

    cairo_t* cairo_;
    Layout layout_;
};

} // namespace

std::string to_pdf(const std::vector<Page>& pages, const std::string& title,
                   const std::string& made_on) {
    std::string bytes;
    const Surface surface(cairo_pdf_surface_create_for_stream(
        append, &bytes, a4.width * points_per_mm, a4.height * points_per_mm));
    const std::string date = made_on + "T00:00:00Z";
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, title.c_str());
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, "Aumbry");
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, date.c_str());
    const Context cairo(cairo_create(surface.get()));
    for (const Page& page : pages) {
        cairo_pdf_surface_set_size(surface.get(), page.width * points_per_mm,
                                   page.height * points_per_mm);
        cairo_save(cairo.get());
        cairo_scale(cairo.get(), points_per_mm, points_per_mm);
        Pen pen(cairo.get());
        for (const Mark& mark : page.marks) std::visit(pen, mark);
        cairo_restore(cairo.get());
        cairo_show_page(cairo.get());
    }
    cairo_surface_finish(surface.get());
    if (const cairo_status_t status = cairo_surface_status(surface.get());
        status != CAIRO_STATUS_SUCCESS)
        fail("bad-drawing", {},
             std::string("the PDF cannot be drawn: ") + cairo_status_to_string(status),
             "check the fonts of this machine");
    return bytes;
}

} // namespace aumbry::print
