// light.photometry: a lamp that is known by its measured intensities. Not here: the files
// (photometry_file.h), the colour, place and gels of the light (read_lights.cpp).
#pragma once

#include "scene/read_draft.h"
#include "scene/read_flux.h"

namespace keyfall {

/// Whether the light is a measured one. Reports an opening that belongs to no photometry.
bool isMeasured(const Fields& light);

/// The file's opening as a lamp, with its web; it lives as long as the draft. Empty after a
/// mistake.
const LampModel* measuredLamp(Draft& draft, const Fields& light);

/// The file's own flux, or lumens or lumen_seconds where the light gives them. Empty after a
/// mistake.
std::optional<Flux> measuredFlux(const Fields& light, LightKind kind, const PhotometricWeb& web);

/// How far the illuminance at `point_m` can be off since a file says nothing of where in the
/// opening the light leaves, in stops: spread evenly, as it is rendered, against all of it from the
/// middle. For a receptor that faces the middle. NaN where either is dark, or at the middle itself.
double farFieldError_stops(const PhotometricWeb& web, const LampShape& opening, glm::vec3 point_m);

/// Warns of measured lamps that a probe or the aim is nearer to than 5 diagonals of the opening,
/// where inverse square from a lamp of that size is 1 % off (the five-times rule of lighting
/// engineering).
void warnOfNearFields(Draft& draft);

}  // namespace keyfall
