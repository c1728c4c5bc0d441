// Edges of cast shadows: how wide, how deep, thrown by what. Measured along a line on the surface that
// the shadow falls on, in the illuminance there: no perspective, no lens blur. Not here: the words hard
// and soft, and millimetres (tools/keyfall).
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "renderer/meter/readings.h"
#include "renderer/stage/stage.h"

namespace keyfall {

/// One light's shadow along one line.
struct ShadowEdge {
    std::string name;              ///< of the [[edge]], or "LIGHT-shadow"
    std::size_t light = 0;         ///< into Scene::lights: whose light is missing in the shadow
    std::string caster;            ///< the object in the way of the light's middle
    std::string receiver;          ///< the object that the line lies on
    glm::vec3 from_m{0.0F}, to_m{0.0F};   ///< the line that was measured, from shade to light or back
    Measured width10to90_m;        ///< across the edge: the crossing angle is divided out
    double widthFull_m = 0.0;      ///< D b / a, by the apparent size D of what lights, across the edge
    double throw_m = 0.0;          ///< b: from the caster's edge to the surface, along the light's way
    double crossing_rad = 0.0;     ///< between line and edge; pi/2 is straight across
    std::optional<double> width_px;           ///< in the picture; empty without camera or out of frame
    std::optional<Measured> depth_stops;      ///< lit over shaded, all lights on
    std::optional<Measured> depthOwn_stops;   ///< of that light alone, its bounced light included
    int edgeCount = 1;             ///< separate edges along the line, all lights on
    std::array<double, kReplicates> widthWithout_m{};  ///< width10to90_m without one replicate each
    bool moved = false;            ///< not where the first form of the set was measured
};

/// Where a light's edge was found on one form of a set. By names: forms of a set need not have the same things.
struct FoundLine {
    std::string light, caster, receiver;
    glm::vec3 at_m{0.0F};      ///< on the surface, where the front's middle is just hidden
    glm::vec3 normal{0.0F};    ///< of the surface
    glm::vec3 along{0.0F};     ///< unit, from shade to light
    float from_m = 0.0F, to_m = 0.0F;  ///< its ends, from at_m
    double throw_m = 0.0;
};

/// The name of the edge that the program finds of a light.
inline std::string foundEdgeName(const std::string& light) {
    return light + "-shadow";
}

/// What went wrong with an edge, for the report's warnings: "edge-not-found", "edge-shallow-crossing"...
struct EdgeWarning : Warning {
    std::string edge;
};

struct ShadowEdges {
    std::vector<ShadowEdge> edges;
    std::vector<FoundLine> lines;  ///< of each edge: where other forms of the set are measured, too
    std::vector<EdgeWarning> warnings;
};

/// Points per replicate that an edge takes at most, whatever the settings say.
inline constexpr std::uint32_t kMostEdgePoints = 1024;

/// The scene's edges along their lines, each for the light whose shadow crosses it; a scene without
/// `[[edge]]`: each light's main cast shadow on table, backdrop or room, as far as one is found and, with
/// a camera, seen; rather where `first`, the lines of another form of the set, crosses that edge, and a warning
/// where it does not. Interrupted, those that were finished.
ShadowEdges measureShadowEdges(const Stage& stage, const ReadingSettings& settings, PathCounters& counters,
                               const std::vector<FoundLine>& first = {});

/// Of each light that is on, its main cast shadow's (shadow_find.h), as far as it has one. Geometry alone: the
/// stage needs no tables, the lights no flux. None on a scene that gives its own lines.
std::vector<FoundLine> foundLines(const Stage& stage);

}  // namespace keyfall
