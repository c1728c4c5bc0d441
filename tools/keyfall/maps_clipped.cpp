// What is clipped in the picture: a colour for each light, whole where the surface itself clips, striped
// where its specular highlight does.
#include <fmt/core.h>

#include "maps.h"
#include "maps_sheet.h"
#include "renderer/photograph/clipped_pixels.h"

namespace keyfall {
namespace {

Rgb8 colourOfLayer(const Scene& scene, const LayerInfo& layer) {
    if (layer.kind == LayerKind::light) return colourOfObject(scene, static_cast<std::uint32_t>(layer.light));
    return layer.kind == LayerKind::ambient ? Rgb8{205, 214, 222} : Rgb8{250, 250, 240};
}

struct LayerShares {
    double diffuse = 0.0, specular = 0.0;
};

std::vector<LegendLine> legendOf(const MapSources& sources, const ClippedPixels& clipped) {
    const std::vector<LayerInfo>& layers = sources.film.layers();
    std::vector<LayerShares> shares(layers.size());
    const double one = 100.0 / static_cast<double>(clipped.kind.size());
    for (std::size_t p = 0; p < clipped.kind.size(); ++p) {
        if (clipped.kind[p] == Clipped::no) continue;
        LayerShares& s = shares[clipped.layer[p]];
        (clipped.kind[p] == Clipped::specular ? s.specular : s.diffuse) += one;
    }
    std::vector<LegendLine> legend{{"strongest light\t\tof the picture", {}}};
    for (std::size_t l = 0; l < layers.size(); ++l) {
        const Rgb8 colour = colourOfLayer(sources.report.scene, layers[l]);
        if (shares[l].diffuse > 0.0) legend.push_back({fmt::format("{}, the surface\t\t{:.2f} %", layers[l].name, shares[l].diffuse), {{colour}}});
        if (shares[l].specular > 0.0)
            legend.push_back({fmt::format("{}, its highlight\t\t{:.2f} %", layers[l].name, shares[l].specular), {striped(colour)}});
    }
    if (legend.size() == 1) return {{"nothing is clipped", {}}};
    return legend;
}

}  // namespace

void writeClippedMap(const MapSources& sources, const std::string& file) {
    const Scene& scene = sources.report.scene;
    const ClippedPixels& clipped = sources.clipped;
    MapSheet sheet = sheetOf(sources.image, "Clipped in the picture",
                             "whole: white without its highlight, too; striped: by its specular highlight alone");
    sheet.legend = legendOf(sources, clipped);
    std::vector<Rgb8> colour;
    for (const LayerInfo& layer : sources.film.layers()) colour.push_back(colourOfLayer(scene, layer));
    sheet.paintAt = [&](std::size_t p) {
        if (clipped.kind[p] == Clipped::no) return dimmed(sources.image.pixel[p]);
        const Rgb8 c = colour[clipped.layer[p]];
        return clipped.kind[p] == Clipped::specular ? striped(c) : Paint{c, Hatch::none, {}};
    };
    writeSheet(sheet, file);
}

}  // namespace keyfall
