// Intensity by direction as a polar plot. Not here: measuring (renderer/meter/lamp_figures.h).
#pragma once

#include <filesystem>
#include <string>

#include "renderer/meter/lamp_figures.h"

namespace keyfall {

struct PolarPlot {
    std::string title;
    std::string subtitle;
    std::string unit;             ///< of intensity: "cd", "cd·s"
    double flux = 1.0;            ///< what an intensity per unit flux is multiplied with
    const LampWeb* web = nullptr;
    std::string webName;
    const LampWeb* bare = nullptr;  ///< nullptr: no second curve
};

/// The light's aim points down. Throws WriteError; whole or not at all.
void plotPolar(const PolarPlot& plot, const std::filesystem::path& file);

}  // namespace keyfall
