// A sheet of white paper to draw on, written as SVG or PNG. The one place that knows the drawing
// library. Not here: what is drawn (plot_polar.h, plot_front.h, maps_sheet.h).
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include <glm/glm.hpp>

#include "renderer/photograph/view.h"

namespace keyfall {

/// Shades of grey, 0 black to 1 white.
struct Pen {
    double grey = 0.0;
    double width = 1.0;
    double dash = 0.0;  ///< length of dashes and gaps; 0: a whole line
};

enum class Anchor { start, middle, end };

/// One at a time: with it goes what the drawing library keeps of fonts. Units are pixels of the PNG, y downwards; an SVG of the same size. Letters are DejaVu Sans.
class Canvas {
  public:
    /// Throws CommandLineError when `file` ends neither in .svg nor in .png.
    Canvas(const std::filesystem::path& file, int width, int height);
    ~Canvas();
    Canvas(const Canvas&) = delete;
    Canvas& operator=(const Canvas&) = delete;

    void line(const std::vector<glm::dvec2>& points, const Pen& pen);
    void circle(glm::dvec2 middle, double radius, const Pen& pen);
    void fill(glm::dvec2 corner, glm::dvec2 size, double grey);
    /// Pixels of the PNG, from the corner on; of `image` the part that `size` has room for.
    void picture(glm::dvec2 corner, const Srgb8Image& image, glm::dvec2 size);
    /// All of the picture, drawn as large as `size` says.
    void fittedPicture(glm::dvec2 corner, const Srgb8Image& image, glm::dvec2 size);
    /// `at`: of the letters' middle height, at start, middle or end of the text.
    void text(glm::dvec2 at, const std::string& text, double size, Anchor anchor = Anchor::start, double grey = 0.0);
    /// The same on a patch of paper, so that lines behind it do not cross the letters.
    void label(glm::dvec2 at, const std::string& text, double size, Anchor anchor = Anchor::middle, double grey = 0.0);
    /// How far `text` reaches at that size, in pixels.
    double widthOf(const std::string& text, double size) const;

    /// Whole or not at all. Throws WriteError.
    void write();

    /// Throws CommandLineError for another ending; `option` is named. "" is fine: no plot.
    static void requireEnding(const std::string& option, const std::filesystem::path& file);

  private:
    struct Paper;
    std::filesystem::path file_;
    std::unique_ptr<Paper> paper_;
};

}  // namespace keyfall
