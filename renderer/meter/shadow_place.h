// Where a light's shadow ends on a surface: what lights across the edge, what stands in the way, and how far
// the penumbra reaches. Geometry alone, by rays. Not here: finding a good place (shadow_find.h), light
// (shadow_profile.h).
#pragma once

#include <cstdint>
#include <glm/glm.hpp>
#include <optional>
#include <vector>

#include "renderer/meter/visible.h"
#include "renderer/stage/stage.h"

namespace keyfall {

/// The luminous front of a light as its shadows see it: of a bare lamp its outline; of a modifier its exit
/// (mouth, front fabric, grid); behind a scrim the scrim. An open bowl throws its bulb's edge, too: `lamp`.
struct LuminousFront {
    glm::vec3 middle_m{0.0F};
    std::vector<glm::vec3> outline_m;  ///< points around it
    std::vector<glm::vec3> lamp_m;     ///< of the bare lamp where it shines through the exit; else empty
};

/// `subject_m`: what it is seen from.
LuminousFront luminousFront(const Stage& stage, std::size_t light, glm::vec3 subject_m);

/// The first thing in the way from a place to a point of the light's front. Scrims let light pass, and the
/// light's own body counts as the light.
struct Obstacle {
    std::uint32_t object = kNoObject;  ///< kNoObject: the way is free
    glm::vec3 at_m{0.0F};
};
Obstacle obstacleBefore(const Stage& stage, glm::vec3 from_m, glm::vec3 front_m, std::size_t light);

/// The surface under a place: the first one met from `reach_m` off it along `normal`, at most as far behind.
struct Ground {
    glm::vec3 at_m{0.0F};
    glm::vec3 normal{0, 1, 0};  ///< unit, on the side that `normal` is on
    std::uint32_t object = kNoObject;
};
std::optional<Ground> groundUnder(const Stage& stage, glm::vec3 place_m, glm::vec3 normal, float reach_m);

/// Off the surface, clear of its own roughness and rounding.
inline constexpr float kOffGround_m = 1e-4F;

/// What the shaded side of an edge has.
enum class Shade {
    full,        ///< a plateau of full shade
    narrow,      ///< full shade, over less than a plateau
    bothSides,   ///< none: beyond the deepest place the light comes in from the other side
    foot,        ///< none: the shade grows up to where something stands
    surfaceEnds  ///< none: the shade grows up to the surface's end
};

/// A light's shadow edge where a line crosses it.
struct EdgePlace {
    std::size_t light = 0;
    std::uint32_t caster = kNoObject;
    std::uint32_t receiver = kNoObject;
    glm::vec3 at_m{0.0F};        ///< on the surface: the front's middle is just hidden
    glm::vec3 normal{0.0F};      ///< of the surface
    glm::vec3 along{0.0F};       ///< unit, on the surface: the line's direction, from shade to light
    glm::vec3 outline{0.0F};     ///< unit, on the surface: the shadow's outline
    glm::vec3 caster_m{0.0F};    ///< the place on the caster that draws the outline here
    glm::vec3 casterEdge{0.0F};  ///< unit: its edge there, in space
    float low_m = 0.0F;   ///< where the penumbra begins along the line, from at_m (shade: negative) ...
    float high_m = 0.0F;  ///< ... and ends, by the front's outline
    std::optional<glm::vec2> lamp_m;  ///< the same of a bare lamp that shines through the front
    /// Where no place has full shade over a plateau: the deepest one along the line, negative. What is there,
    /// and up to `shadeBand_m` nearer to the light, counts as the shade; `shade` says why.
    std::optional<float> deepest_m;
    float shadeBand_m = 0.0F;
    float deepestSees = 0.0F;  ///< about the share of the front that the deepest place sees
    Shade shade = Shade::full;
    std::uint32_t foot = kNoObject;  ///< of Shade::foot: what stands there

    float shadeEnd_m() const;  ///< of the line: the shaded plateau's far end, or the deepest place

    double throw_m() const { return static_cast<double>(glm::length(caster_m - at_m)); }
    double crossing_rad() const;
    /// Across the edge, by similar triangles: D b / a for a front that is parallel to the surface.
    double widthFull_m() const;
};

/// A line that crosses an edge at less than that says little of its width.
inline constexpr double kShallowCrossing_rad = 0.5235987755982988;  // 30 degrees

/// How far beyond the penumbra a line goes on either side, so that lit and shaded plateau are on it.
float plateau_m(const EdgePlace& place);
/// From this share of it on it counts as one: a round caster's penumbra is a little wider than a straight
/// edge's.
inline constexpr float kPlateauFrom = 0.4F;

/// Sets `shade`, and `deepest_m` where it is not full; false: the shade has no depth on this surface.
bool limitShade(const Stage& stage, const LuminousFront& front, EdgePlace& place);
bool hasFullShade(const Stage& stage, const LuminousFront& front, const EdgePlace& place);
bool hasLitPlateau(const Stage& stage, const LuminousFront& front, const EdgePlace& place);

/// Is the outline straight over half of the penumbra's width?
bool isStraight(const Stage& stage, const LuminousFront& front, const EdgePlace& place);

/// The caster hides nothing of the front at x metres along the line, or all of it is hidden; the surface is the
/// shadow's, and nothing stands on it. A flag that covers a part of the front is no matter: what it leaves is
/// the light.
bool isPlateau(const Stage& stage, const LuminousFront& front, const EdgePlace& place, float x_m, bool lit);

/// Is the front's middle hidden at x metres from `origin_m` along the line? Bisected between two places of
/// which one is hidden: where that changes. Both alike: empty.
std::optional<float> outlineOn(const Stage& stage, std::size_t light, const LuminousFront& front,
                               glm::vec3 origin_m, glm::vec3 along, float from_m, float to_m);

/// All of the place but for the line itself (at, normal, along, light, receiver), which the caller has set;
/// `step_m`: how far aside the outline is looked for. False: no outline there that can be followed.
bool completePlace(const Stage& stage, const LuminousFront& front, float step_m, EdgePlace& place);
/// A good step once the penumbra is known: a fifth of it.
float edgeStep_m(const EdgePlace& place);

}  // namespace keyfall
