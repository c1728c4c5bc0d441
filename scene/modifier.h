// A light modifier as a catalogue has it: what a [modifier.NAME] says, in metres and radians.
// Not here: its surfaces (modifier_body.h), what it does to the light (renderer/transport/bake.h).
#pragma once

#include <array>
#include <glm/glm.hpp>
#include <optional>
#include <string>
#include <vector>

namespace keyfall {

enum class ModifierKind { bowl, box, dish, snoot, umbrella };
enum class Outline { rectangle, octagon, round };

/// Square cells side by side, their walls along the axis.
struct GridModel {
    double cell_m = 0.0;
    double depth_m = 0.0;
};

/// A plate on the axis in front of the lamp, which it hides from the set.
struct DeflectorModel {
    double diameter_m = 0.0;
    double distance_m = 0.0;  ///< from the lamp's centre
    std::string material;
};

/// A short bowl on the head in an umbrella: it keeps the light on the canopy.
struct HeadBowlModel {
    double diameter_m = 0.0;  ///< of its mouth
    double depth_m = 0.0;     ///< from the head's front
    std::string material;
};

/// Names of materials and fabrics are those of the library or the scene file. Depths count from the
/// back (bowl, dish, snoot: the lamp's end; box: the back wall; umbrella: the apex) along the axis.
struct ModifierModel {
    std::string name;
    ModifierKind kind = ModifierKind::bowl;
    std::string inside;
    double lampAt_m = 0.0;                  ///< depth of the lamp's centre
    std::vector<glm::dvec2> profile_m;      ///< round ones: [radius, depth] from the back to the mouth
    glm::dvec2 opening_m{0.0};              ///< box
    Outline outline = Outline::rectangle;   ///< box
    double depth_m = 0.0;                   ///< box
    std::string baffle, front;              ///< box: fabrics; "": none
    double baffleAt_m = 0.0;
    bool through = false;                   ///< umbrella: light passes the canopy; else it is reflected
    std::optional<DeflectorModel> deflector;
    std::optional<HeadBowlModel> headBowl;  ///< umbrella
    std::optional<GridModel> grid;
    /// Opening angles of the leaves at the top, bottom, left and right as seen from behind the lamp:
    /// 0 shuts the mouth, pi/2 stands straight forward, pi lies folded back.
    std::optional<std::array<double, 4>> barnDoors_rad;
    std::string source;
};

}  // namespace keyfall
