// Maps from the unit square to directions and points, in pairs sampleX / pdfX, with the measure in
// the name. Not here: BSDF lobes (microfacet.h), lamps (lamp.h).
#pragma once

#include <glm/glm.hpp>

namespace keyfall {

glm::vec2 sampleDisk(glm::vec2 u);                 ///< uniform on the unit disk, concentric map
glm::vec3 sampleCosineHemisphere(glm::vec2 u);     ///< around +z
float pdfCosineHemisphere_perSr(float cosTheta);   ///< cos/pi above, 0 below
glm::vec3 sampleUniformSphere(glm::vec2 u);
float pdfUniformSphere_perSr();
/// Density (1+cos)/(4 pi) over the whole sphere: the response of a dome receptor, normalised.
glm::vec3 sampleDome(glm::vec2 u);
float pdfDome_perSr(float cosTheta);

}  // namespace keyfall
