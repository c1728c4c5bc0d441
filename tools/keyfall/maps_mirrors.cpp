// What each glossy face of the products mirrors: a colour for each lamp and card. A light is whole where
// its luminous side is mirrored, striped where its body is.
#include <fmt/core.h>

#include <algorithm>
#include <map>

#include "maps.h"
#include "maps_sheet.h"

namespace keyfall {
namespace {

/// An object, and whether it is the luminous side of a light that is seen.
using Mirrored = std::pair<std::uint32_t, bool>;

Paint paintOf(const Scene& scene, const Mirrored& what) {
    const Rgb8 colour = colourOfObject(scene, what.first);
    const bool body = what.first < scene.lights.size() && !what.second;
    return body ? striped(colour) : Paint{colour, Hatch::none, {}};
}

std::string wordsOf(const Scene& scene, const Mirrored& what) {
    const std::string name = nameOfObject(scene, what.first);
    if (what.first >= scene.lights.size()) return what.first == kNoObject ? "the dark: nothing stands there" : name;
    return name + (what.second ? ", its light" : ", its body") + (scene.lights[what.first].strength() > 0.0 ? "" : " (off)");
}

std::string percentText(double percent) {
    return percent < 0.05 ? std::string("under 0.1 %") : fmt::format("{:.1f} %", percent);
}

std::vector<LegendLine> legendOf(const Scene& scene, const MirrorPicture& mirrored) {
    std::map<Mirrored, double> count;
    double whole = 0.0;
    for (std::size_t p = 0; p < mirrored.object.size(); ++p) {
        if (mirrored.object[p] == kNotGlossy) continue;
        count[{mirrored.object[p], mirrored.luminous[p] != 0}] += 1.0;
        whole += 1.0;
    }
    if (count.empty()) return {{"no glossy product is in the frame", {}}};
    std::vector<std::pair<Mirrored, double>> sorted(count.begin(), count.end());
    std::stable_sort(sorted.begin(), sorted.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
    std::vector<LegendLine> legend{{"mirrored\t\tof the gloss", {}}};
    for (const auto& [what, pixels] : sorted)
        legend.push_back({fmt::format("{}\t\t{}", wordsOf(scene, what), percentText(100.0 * pixels / whole)), {paintOf(scene, what)}});
    return legend;
}

}  // namespace

void writeMirrorsMap(const MapSources& sources, const std::string& file) {
    const Scene& scene = sources.report.scene;
    const VisiblePicture seen = lookThroughLens(sources.stage, sources.film.width(), sources.film.height());
    const MirrorPicture mirrored = lookMirrored(sources.stage, seen);
    MapSheet sheet = sheetOf(sources.image, "What glossy faces mirror",
                             "by the mirror direction of the camera's look; on a satin face the reflection is blurred around it");
    sheet.legend = legendOf(scene, mirrored);
    sheet.paintAt = [&](std::size_t p) {
        if (mirrored.object[p] == kNotGlossy) return dimmed(sources.image.pixel[p]);
        return paintOf(scene, {mirrored.object[p], mirrored.luminous[p] != 0});
    };
    writeSheet(sheet, file);
}

}  // namespace keyfall
