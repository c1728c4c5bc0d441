#include "renderer/meter/shadow_warnings.h"

#include <cmath>

namespace keyfall {
namespace {

void warnOfMove(const ShadowEdge& e, const FoundLine& first, std::vector<EdgeWarning>& warnings) {
    const auto place = [](double throw_m, const std::string& caster) {
        const auto mm = static_cast<int>(std::lround(throw_m * 1e3));
        return std::to_string(mm / 10) + "." + std::to_string(mm % 10) + " cm behind " + caster;
    };
    warnings.push_back({{"edge-moved", "edge " + e.name + ": measured " + place(e.throw_m, e.caster) +
                                           "; the line of the first form of the set, " +
                                           place(first.throw_m, first.caster) +
                                           ", crosses no whole edge of that shadow here"},
                        e.name});
}

/// Why the shade is less than a plateau of full shade, and what counts in its place.
std::string shadeText(const Stage& stage, const ShadowEdge& e, const EdgePlace& place) {
    const std::string none = "no place of the shadow has full shade there, ";
    const std::string from = "; the width is counted from ";
    switch (place.shade) {
        case Shade::foot:
            return none + "it grows up to the foot of " + nameOfObject(stage.scene(), place.foot) + from +
                   "there to the light";
        case Shade::surfaceEnds:
            return none + "it grows up to the end of " + e.receiver + from + "there to the light";
        case Shade::bothSides:
            return none + "the front looks around both sides of " + e.caster + from +
                   "the deepest place to the light";
        default:
            return "its full shade is narrower than a quarter of the penumbra" + from +
                   "the middle of that shade to the light";
    }
}

Warning noDepth(const Stage& stage, const ShadowEdge& e) {
    const std::string alone = e.depth_stops ? ", of " + stage.scene().lights[e.light].name + " alone" : "";
    return {"edge-no-depth", "edge " + e.name + ": too little light in the shade for its depth in stops" + alone +
                                 "; the figure is missing, not 0"};
}

}  // namespace

void warnOfEdge(const Stage& stage, const ShadowEdge& e, const LineToMeter& line, const EdgeFigures& figures,
                std::vector<EdgeWarning>& warnings) {
    if (line.movedFrom) warnOfMove(e, *line.movedFrom, warnings);
    if (e.crossing_rad < kShallowCrossing_rad)
        warnings.push_back({{"edge-shallow-crossing", "edge " + e.name +
                                                          ": the line crosses it at less than 30 degrees; the "
                                                          "width across the edge is unsure, turn the line"},
                            e.name});
    if (!e.depth_stops || !e.depthOwn_stops) warnings.push_back({noDepth(stage, e), e.name});
    if (line.place.shade != Shade::full)
        warnings.push_back(
            {{"edge-no-plateau", "edge " + e.name + ": " + shadeText(stage, e, line.place)}, e.name});
    else if (figures.unevenness > 0.05)
        warnings.push_back(
            {{"edge-no-plateau", "edge " + e.name +
                                     ": beside the penumbra the light still changes; another edge lies close, "
                                     "or light from the caster, and the width is between what there is"},
             e.name});
}

}  // namespace keyfall
