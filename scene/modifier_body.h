// A modifier built around a lamp: its surfaces, and the faces through which light leaves it.
// Not here: the catalogue's figures (modifier.h), light (renderer).
#pragma once

#include <glm/glm.hpp>
#include <memory>
#include <string>
#include <vector>

#include "scene/lamp_shape.h"
#include "scene/material.h"
#include "scene/mesh.h"
#include "scene/modifier.h"

namespace keyfall {

/// A flat face without a surface of its own: light leaves through it along frame.z.
struct ExitFace {
    LampShape shape;  ///< disc or panel: the face, or what just holds its outline
    /// 0: all of the shape. Disc: the regular polygon with its corners on the circle, the first along
    /// frame.x. Panel: the polygon of so many flats that touches the rectangle's sides (4: all of it).
    int sides = 0;
};

/// Whether a point of the face's plane, in its own x and y, is open.
bool isOpen(const ExitFace& face, glm::vec2 local_m);
double openArea_m2(const ExitFace& face);

enum class Symmetry {
    none,
    quarter,  ///< mirror images in x and in y look alike
    turned    ///< alike at any angle about the axis
};

struct ModifierPart {
    Mesh mesh;                 ///< metres, in the modifier's frame
    std::size_t material = 0;  ///< into ModifierBody::materials
    /// Stands in front of the exit, as barn doors do: part of the set to a path, not of the table.
    bool outside = false;
};

/// In the modifier's own frame: z is where the light goes, the origin is the middle of the exit (the
/// mouth, the front fabric, the grid's face, an umbrella's rim).
struct ModifierBody {
    std::string name;
    std::vector<Material> materials;
    std::vector<ModifierPart> parts;
    /// Closed towards the set together with the opaque parts: whatever leaves crosses one of them, at
    /// most once. An open form (umbrella) has one on every side.
    std::vector<ExitFace> exits;
    glm::vec3 lampCentre_m{0.0F};
    bool lampFacesBack = false;  ///< the lamp looks along -z (umbrella)
    Symmetry symmetry = Symmetry::none;  ///< with the lamp in it
    bool hasGrid = false;        ///< the light leaves in a narrow beam with a sharp end
    bool hidesLamp = false;      ///< no straight line leads from the lamp out, not even through sheets
};

/// The lamp's axes inside a modifier that stands with `axes`.
inline Frame lampFrameIn(const ModifierBody& body, const Frame& axes) {
    return body.lampFacesBack ? Frame{axes.x, -axes.y, -axes.z} : axes;
}

}  // namespace keyfall
