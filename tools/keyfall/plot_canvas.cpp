#include "plot_canvas.h"

#include <cairo-svg.h>
#include <cairo.h>
#include <fmt/core.h>
#include <fontconfig/fontconfig.h>

#include <cstring>
#include <fstream>
#include <numbers>

#include "outputs.h"
#include "renderer/photograph/write_file.h"

namespace keyfall {
namespace {

cairo_status_t append(void* text, const unsigned char* bytes, unsigned int count) {
    static_cast<std::string*>(text)->append(reinterpret_cast<const char*>(bytes), count);
    return CAIRO_STATUS_SUCCESS;
}

bool isSvg(const std::filesystem::path& file) { return file.extension() == ".svg"; }

void requireGood(cairo_status_t status) {
    if (status == CAIRO_STATUS_NO_MEMORY) throw std::bad_alloc();
    if (status != CAIRO_STATUS_SUCCESS) throw std::runtime_error(cairo_status_to_string(status));
}

/// A copy of the pixels; whoever asks destroys it.
cairo_surface_t* surfaceOf(const Srgb8Image& image) {
    cairo_surface_t* pixels = cairo_image_surface_create(CAIRO_FORMAT_RGB24, image.width_px, image.height_px);
    requireGood(cairo_surface_status(pixels));
    unsigned char* row = cairo_image_surface_get_data(pixels);
    const std::uint8_t* rgb = image.rgb.data();
    for (int y = 0; y < image.height_px; ++y, row += cairo_image_surface_get_stride(pixels))
        for (int x = 0; x < image.width_px; ++x, rgb += 3) {
            const std::uint32_t colour = static_cast<std::uint32_t>(rgb[0] << 16 | rgb[1] << 8 | rgb[2]);
            std::memcpy(row + 4 * x, &colour, sizeof colour);
        }
    cairo_surface_mark_dirty(pixels);
    return pixels;
}

}  // namespace

struct Canvas::Paper {
    Paper(bool svg, int width, int height)
        : surface(svg ? cairo_svg_surface_create_for_stream(append, &bytes, width, height)
                      : cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height)),
          pen(cairo_create(surface)) {
        if (svg) cairo_svg_surface_set_document_unit(surface, CAIRO_SVG_UNIT_PX);
        grey(1.0);
        cairo_paint(pen);
        cairo_select_font_face(pen, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
        cairo_set_line_join(pen, CAIRO_LINE_JOIN_ROUND);
    }
    ~Paper() {
        cairo_destroy(pen);
        cairo_surface_destroy(surface);
        // Fonts stay loaded otherwise, and LeakSanitizer reports what the library keeps of them.
        cairo_debug_reset_static_data();
        FcFini();
    }
    Paper(const Paper&) = delete;
    Paper& operator=(const Paper&) = delete;

    void grey(double value) { cairo_set_source_rgb(pen, value, value, value); }
    void use(const Pen& p) {
        grey(p.grey);
        cairo_set_line_width(pen, p.width);
        if (p.dash > 0.0) cairo_set_dash(pen, &p.dash, 1, 0.0);
        else cairo_set_dash(pen, nullptr, 0, 0.0);
    }

    std::string bytes;  // before the surface: it writes here until it is gone
    cairo_surface_t* surface;
    cairo_t* pen;
};

void Canvas::requireEnding(const std::string& option, const std::filesystem::path& file) {
    if (file.empty() || file.extension() == ".svg" || file.extension() == ".png") return;
    throw CommandLineError(fmt::format("{} {} ends neither in .svg nor in .png; the ending says which it is to be",
                                       option, file.string()));
}

Canvas::Canvas(const std::filesystem::path& file, int width, int height) : file_(file) {
    requireEnding("the plot", file);
    paper_ = std::make_unique<Paper>(isSvg(file), width, height);
    requireGood(cairo_status(paper_->pen));
}
Canvas::~Canvas() = default;

void Canvas::line(const std::vector<glm::dvec2>& points, const Pen& pen) {
    paper_->use(pen);
    for (const glm::dvec2& p : points) cairo_line_to(paper_->pen, p.x, p.y);
    cairo_stroke(paper_->pen);
}

void Canvas::circle(glm::dvec2 middle, double radius, const Pen& pen) {
    paper_->use(pen);
    cairo_new_path(paper_->pen);
    cairo_arc(paper_->pen, middle.x, middle.y, radius, 0.0, 2.0 * std::numbers::pi);
    cairo_stroke(paper_->pen);
}

void Canvas::fill(glm::dvec2 corner, glm::dvec2 size, double grey) {
    paper_->grey(grey);
    // Patches side by side share an edge: antialiased, each would leave half of it to the paper.
    cairo_set_antialias(paper_->pen, CAIRO_ANTIALIAS_NONE);
    cairo_rectangle(paper_->pen, corner.x, corner.y, size.x, size.y);
    cairo_fill(paper_->pen);
    cairo_set_antialias(paper_->pen, CAIRO_ANTIALIAS_DEFAULT);
}

void Canvas::picture(glm::dvec2 corner, const Srgb8Image& image, glm::dvec2 size) {
    cairo_surface_t* pixels = surfaceOf(image);
    cairo_set_source_surface(paper_->pen, pixels, corner.x, corner.y);
    cairo_rectangle(paper_->pen, corner.x, corner.y, size.x, size.y);
    cairo_fill(paper_->pen);
    cairo_surface_destroy(pixels);
}

void Canvas::fittedPicture(glm::dvec2 corner, const Srgb8Image& image, glm::dvec2 size) {
    cairo_surface_t* pixels = surfaceOf(image);
    cairo_save(paper_->pen);
    cairo_translate(paper_->pen, corner.x, corner.y);
    cairo_scale(paper_->pen, size.x / image.width_px, size.y / image.height_px);
    cairo_set_source_surface(paper_->pen, pixels, 0.0, 0.0);
    cairo_pattern_set_extend(cairo_get_source(paper_->pen), CAIRO_EXTEND_PAD);  // no paper in its rim
    cairo_rectangle(paper_->pen, 0.0, 0.0, image.width_px, image.height_px);
    cairo_fill(paper_->pen);
    cairo_restore(paper_->pen);
    cairo_surface_destroy(pixels);
}

void Canvas::text(glm::dvec2 at, const std::string& text, double size, Anchor anchor, double grey) {
    cairo_set_font_size(paper_->pen, size);
    cairo_text_extents_t box;
    cairo_text_extents(paper_->pen, text.c_str(), &box);
    const double back = anchor == Anchor::start ? 0.0 : anchor == Anchor::middle ? 0.5 : 1.0;
    paper_->grey(grey);
    cairo_move_to(paper_->pen, at.x - back * box.x_advance, at.y + 0.36 * size);
    cairo_show_text(paper_->pen, text.c_str());
    cairo_new_path(paper_->pen);
}

void Canvas::label(glm::dvec2 at, const std::string& text, double size, Anchor anchor, double grey) {
    cairo_set_font_size(paper_->pen, size);
    cairo_text_extents_t box;
    cairo_text_extents(paper_->pen, text.c_str(), &box);
    const double back = anchor == Anchor::start ? 0.0 : anchor == Anchor::middle ? 0.5 : 1.0;
    const double margin = 0.2 * size;
    fill({at.x - back * box.x_advance - margin, at.y - 0.6 * size}, {box.x_advance + 2.0 * margin, 1.2 * size}, 1.0);
    this->text(at, text, size, anchor, grey);
}

double Canvas::widthOf(const std::string& text, double size) const {
    cairo_set_font_size(paper_->pen, size);
    cairo_text_extents_t box;
    cairo_text_extents(paper_->pen, text.c_str(), &box);
    return box.x_advance;
}

void Canvas::write() {
    if (isSvg(file_)) {
        cairo_surface_finish(paper_->surface);
    } else {
        cairo_surface_flush(paper_->surface);
        paper_->bytes.clear();
        requireGood(cairo_surface_write_to_png_stream(paper_->surface, append, &paper_->bytes));
    }
    requireGood(cairo_surface_status(paper_->surface));
    writeText(file_.string(), paper_->bytes);
}

}  // namespace keyfall
