// Tools for building modifiers: outlines, bands between them, the body under construction.
// Only for modifier_build*.cpp. Not here: any particular shape.
#pragma once

#include <functional>
#include <glm/glm.hpp>
#include <map>
#include <string>
#include <vector>

#include "scene/modifier_build.h"

namespace keyfall::modifiers {

inline constexpr double kCmPerM = 100.0;     ///< of messages
inline constexpr double kSpare_m = 0.001;    ///< kept free around a lamp's body
inline constexpr double kWall_m = 0.002;     ///< from the inside of a shell to its black outside
inline constexpr double kRecess_m = 0.0005;  ///< fabrics and grids stand this far behind the exit
inline constexpr double kRimDrop_m =
    0.0001;                         ///< the rim slopes back: never in the exit's own plane
inline constexpr int kSides = 256;  ///< a facet turns 1.4 degrees

using Polygon = std::vector<glm::dvec2>;  ///< convex, counter-clockwise seen from +z

/// Regular polygon of kSides with its first corner along x and the area of the circle.
Polygon roundOutline(double radius_m);
/// Distance from the middle to a corner of roundOutline.
double cornerRadius_m(double radius_m);
/// Rectangle, or the octagon whose flats touch the rectangle's sides, or a circle.
Polygon boxOutline(glm::dvec2 opening_m, Outline outline);
/// The polygon with every side moved outward.
Polygon grown(const Polygon& polygon, double by_m);

/// Two triangles a side between polygons of as many corners; those that are points are left out.
void addBand(Mesh& mesh, const Polygon& from, double fromZ_m, const Polygon& to, double toZ_m);
/// A flat face.
void addCap(Mesh& mesh, const Polygon& polygon, double z_m);

using Materials = std::map<std::string, Material>;

/// The body, and what it is built from.
struct Builder {
    const ModifierModel& model;
    const LampShape& lamp;
    const Materials& materials;
    const Materials& fabrics;
    ModifierBody body = {};

    /// A new part, to be filled before the next one is made.
    Mesh& part(const Material& material, bool outside = false);
    Mesh& black(bool outside = false);
};

/// How far the exit lies in front of the mouth: a grid's depth and its recess.
double mouthDepth_m(const ModifierModel& model);
/// From the mouth to the exit: the shell around the grid, the grid, the rim towards `outer` (the
/// outside of the shell, which ends kRimDrop_m behind the exit), doors and the exit itself.
void addMouth(Builder& b, const Polygon& mouth, const Polygon& outer, const ExitFace& exit);
void addGrid(Builder& b, const Polygon& mouth);
void addDoors(Builder& b, glm::dvec2 mouth_m);

// --- Does the lamp fit? All depths count from the modifier's back. ---
/// Farthest point of the lamp's body from the axis at `along_m` from its centre.
double reachAcross_m(const LampShape& lamp, double along_m);
bool isTurned(const LampShape& lamp);  ///< alike at any angle about its axis
/// Depth of the lamp's centre: where the model says, or as little in front of it as the body needs
/// to be clear of the shell, whose free radius at a depth is `radiusAt_m`. Throws ModifierMisfit
/// when it finds no place before `end_m`.
double lampDepth_m(const Builder& b, const std::function<double(double)>& radiusAt_m, double end_m);
std::string describe(const LampShape& lamp);  ///< "a tube of 7 x 1.2 cm"

// --- Shapes ---
void buildLathe(Builder& b);
void buildBox(Builder& b);
void buildUmbrella(Builder& b);

/// Radius of a profile at a depth between its points.
double radiusAt_m(const std::vector<glm::dvec2>& profile_m, double depth_m);
/// The black outside of a profile, [radius, z], from its middle at the back to kRimDrop_m behind
/// its end.
std::vector<glm::dvec2> outsideOf(const std::vector<glm::dvec2>& profileZ_m);
void addLathe(Mesh& mesh, const std::vector<glm::dvec2>& profileZ_m);  ///< [radius, z]

}  // namespace keyfall::modifiers
