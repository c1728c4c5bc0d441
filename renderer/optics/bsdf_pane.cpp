// A thin pane of glass by the incoherent slab, internal absorption included. A pane is smooth
// whatever its `roughness` says: a frosted pane is a sheet. Not here: solid glass.
#include "renderer/optics/bsdf_pane.h"

#include "renderer/optics/fresnel.h"

namespace keyfall {

PaneLight paneLight(const Material& material, float cosTheta) {
    PaneLight light;
    if (material.absorption_perM.isBlack()) {
        const SlabLight clear = slab(cosTheta, material.ior, 1.0F);
        light.transmitted = Bands{clear.transmitted};
        light.reflected = Bands{clear.reflected};
        return light;
    }
    // Beer-Lambert along the slant path inside: t = exp(-a d / cos_t). Snell bends into the pane
    // (ior >= 1), so cos_t is never 0 except for ior 1 at grazing.
    const float inside = std::max(cosTransmitted(cosTheta, material.ior), 1e-4F);
    const float path_m = kPaneThickness_m / inside;
    for (int b = 0; b < kBands; ++b) {
        const float t = std::exp(-material.absorption_perM[b] * path_m);
        const SlabLight band = slab(cosTheta, material.ior, t);
        light.transmitted[b] = band.transmitted;
        light.reflected[b] = band.reflected;
    }
    return light;
}

BsdfSample samplePane(const Bsdf& bsdf, glm::vec3 wo, float choice) {
    const PaneLight light = paneLight(*bsdf.material, std::min(std::abs(wo.z), 1.0F));
    const float reflected = mean(light.reflected);
    const float probability = reflected / (reflected + mean(light.transmitted));
    if (choice < probability) {
        return deltaSample(Lobe::specular, mirrored(wo), probability,
                           light.reflected * (1.0F / probability), false);
    }
    return deltaSample(Lobe::straight, -wo, 1.0F - probability,
                       light.transmitted * (1.0F / (1.0F - probability)), true);
}

}  // namespace keyfall
