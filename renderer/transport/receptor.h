// What a light meter's cell answers to. Not here: the readings made from it (renderer/meter).
#pragma once

#include <algorithm>
#include <glm/glm.hpp>

#include "renderer/optics/warp.h"

namespace keyfall {

/// A flat receptor answers with cos(theta) over its half-space: illuminance E = int L cos dw. A
/// dome answers with (1+cos)/2 over the whole sphere, the response of a hemispherical diffuser
/// (README, "Numbers"). Both give E for a small lamp straight ahead.
struct Receptor {
    glm::vec3 point_m{0.0F};
    glm::vec3 axis{0, 0, 1};  ///< unit
    bool dome = false;

    float response(float cosine) const {
        return dome ? 0.5F * (1.0F + cosine) : std::max(0.0F, cosine);
    }
    float pdf_perSr(float cosine) const {
        return dome ? pdfDome_perSr(cosine) : pdfCosineHemisphere_perSr(cosine);
    }
    glm::vec3 sampleDirection(glm::vec2 u) const {
        return frameAround(axis).toWorld(dome ? sampleDome(u) : sampleCosineHemisphere(u));
    }
    /// What lamp sampling may bend its draw towards; none for a dome.
    glm::vec3 viewNormal() const { return dome ? glm::vec3(0.0F) : axis; }
};

}  // namespace keyfall
