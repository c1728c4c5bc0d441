// Where things stand and face, as pure geometry: metres, radians, y up, z to the front.
// Not here: keys and names of the scene file (read_places.cpp).
#pragma once

#include <glm/glm.hpp>

#include "scene/frame.h"
#include "scene/mesh.h"

namespace keyfall {

/// The place at `distance_m` from `point_m`. `angle_rad` is seen from above: 0 = +z (front),
/// pi/2 = +x (right); `elevation_rad` is above (+) or below (-) the horizontal through the point.
glm::vec3 placeAround(glm::vec3 point_m, double angle_rad, double elevation_rad, double distance_m);

/// A frame that faces `direction` (unit). At roll 0 its x is level; straight up or down, "level" is
/// along the world's x. Roll turns about the direction, + clockwise as seen from behind.
Frame frameFacing(glm::vec3 direction, double roll_rad);

/// The camera's frame: z = viewing direction, x = right in the picture, y = up in it. Left-handed,
/// as a picture is; roll + turns the camera clockwise as seen from behind it.
Frame cameraFrame(glm::vec3 viewingDirection, double roll_rad);

/// The normal of a mirror at `at_m` that sends light from `from_m` to `to_m`: it halves the angle
/// between both directions. Zero when the mirror stands right between them: no such mirror.
glm::vec3 mirrorNormal(glm::vec3 at_m, glm::vec3 from_m, glm::vec3 to_m);

/// Turns of a product, radians, applied lean, tilt, turn: lean + leans the top toward +x, tilt +
/// leans the top toward +z, turn + turns the front toward +x.
struct Turns {
    double turn_rad = 0.0;
    double tilt_rad = 0.0;
    double lean_rad = 0.0;
};
/// The images of the three axes.
Frame turnedFrame(const Turns& turns);

enum class Centre { footprint, origin };

/// Turns the mesh and stands it at `at_m`: its lowest point comes to at.y. In x and z the middle of
/// its footprint box comes to `at`, or (Centre::origin) the mesh's own origin. The footprint is
/// measured after lean and tilt and before turn, so that a product spins on the spot.
void stand(Mesh& mesh, const Turns& turns, Centre centre, glm::vec3 at_m);

/// A mesh whose own up is z, to y up: (x, y, z) becomes (x, z, -y).
void zUpToYUp(Mesh& mesh);

}  // namespace keyfall
