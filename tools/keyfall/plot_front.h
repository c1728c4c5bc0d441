// The front of a modifier as a spot meter sees it, with a scale in stops. Not here: measuring it
// (renderer/meter/lamp_figures.h).
#pragma once

#include <filesystem>
#include <string>

#include "renderer/meter/lamp_figures.h"

namespace keyfall {

struct FrontPlot {
    std::string title;
    std::string subtitle;
    std::string unit;   ///< of luminance: "cd/m²", "cd·s/m²"
    double flux = 1.0;
    const FrontGrid* front = nullptr;
    std::string note;  ///< below the picture
};

/// White is the brightest spot; each stop less is an even step darker, to black where the scale ends.
/// Throws WriteError; whole or not at all.
void plotFront(const FrontPlot& plot, const std::filesystem::path& file);

}  // namespace keyfall
