// The table behind DirectionalAlbedo. Not here: what it is used for (renderer/transport/light_trace.h).
#include "renderer/optics/directional_albedo.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "renderer/optics/bsdf.h"
#include "renderer/optics/sampler.h"
#include "renderer/optics/warp_trig.h"

namespace keyfall {
namespace {

constexpr int kCosines = 17;
constexpr int kAzimuths = 9;
constexpr std::uint32_t kDraws = 2048;
constexpr float kLowestCosine = 1e-3F;  ///< in the plane itself a surface sends nothing
/// Below this roughness a matt surface is Lambert's, as in its lobe.
constexpr float kLambert = 1e-4F;

bool alikeAtEveryAngle(const Material& m) {
    return m.base == Base::sheet || (m.base == Base::diffuse && m.roughness < kLambert);
}

/// Closer together near grazing, where Fresnel's formulas turn.
float cosineOf(int node) {
    const float x = static_cast<float>(node) / (kCosines - 1);
    return std::max(kLowestCosine, x * x);
}

glm::vec3 directionOf(int azimuth, int cosine) {
    const float mu = cosineOf(cosine);
    const float s = std::sqrt(std::max(0.0F, 1.0F - mu * mu));
    const SinCos phi = sinCosTurns(0.25 * azimuth / (kAzimuths - 1));
    return {s * static_cast<float>(phi.cos), s * static_cast<float>(phi.sin), mu};
}

BsdfSample draw(const Bsdf& bsdf, glm::vec3 wo, float choice, std::uint32_t index) {
    PathSampler sampler(0x5eedU, 0U, index);
    return sample(bsdf, wo, choice, sampler.next2D());
}

/// Below it sample() draws from the first lobe, above from the second; both are given by `wo` alone. Found
/// by halving, from where the same numbers give another direction; 1 where there is one lobe.
float secondLobeFrom(const Bsdf& bsdf, glm::vec3 wo) {
    constexpr float kLast = 1.0F - 0x1p-24F;
    for (std::uint32_t index = 0; index < 64U; ++index) {
        const auto differ = [&](float choice) {
            const BsdfSample a = draw(bsdf, wo, 0.0F, index), b = draw(bsdf, wo, choice, index);
            return a.lobe != b.lobe || a.wi != b.wi;
        };
        if (!differ(kLast)) continue;  // one lobe, or both lose this draw
        float low = 0.0F, high = kLast;
        while (high - low > 0x1p-23F) {
            const float middle = 0.5F * (low + high);
            (differ(middle) ? high : low) = middle;
        }
        return high;
    }
    return 1.0F;
}

/// Mean weight: the mean of each lobe over a net of directions, times its share of the draws. A number
/// for the lobe beside the two for the direction would cost the net most of its evenness.
Bands meanWeight(const Bsdf& bsdf, glm::vec3 wo) {
    const float second = choosesLobe(bsdf) ? secondLobeFrom(bsdf, wo) : 1.0F;
    double sum[kBands] = {};
    const auto add = [&](float choice, float share) {
        if (share <= 0.0F) return;
        for (std::uint32_t i = 0; i < kDraws; ++i) {
            const BsdfSample s = draw(bsdf, wo, choice, i);
            if (s.lobe == Lobe::none) continue;  // a draw that is lost weighs 0
            for (int b = 0; b < kBands; ++b)
                sum[b] += static_cast<double>(share) * static_cast<double>(s.weight[b]);
        }
    };
    add(0.0F, second);
    add(1.0F - 0x1p-24F, 1.0F - second);
    Bands mean;
    for (int b = 0; b < kBands; ++b) mean[b] = static_cast<float>(sum[b] / kDraws);
    return mean;
}

}  // namespace

DirectionalAlbedo::DirectionalAlbedo(const Material& material) {
    if (material.base == Base::glass && !material.thin)
        throw std::invalid_argument("albedo of solid glass '" + material.name +
                                    "': it depends on what is on either side; allowed are other bases");
    if (alikeAtEveryAngle(material)) {
        node_ = {material.base == Base::sheet ? material.reflectance + material.transmittance
                                              : material.reflectance};
        return;
    }
    const Bsdf bsdf = untexturedBsdf(material, Transport::importance);
    cosines_ = kCosines;
    azimuths_ = material.anisotropy > 0.0F ? kAzimuths : 1;
    for (int a = 0; a < azimuths_; ++a)
        for (int c = 0; c < cosines_; ++c) node_.push_back(meanWeight(bsdf, directionOf(a, c)));
}

std::size_t DirectionalAlbedo::at(int azimuth, int cosine) const {
    return static_cast<std::size_t>(azimuth) * static_cast<std::size_t>(cosines_) +
           static_cast<std::size_t>(cosine);
}

Bands DirectionalAlbedo::operator()(glm::vec3 wo) const {
    if (cosines_ == 1) return node_.front();
    const float mu = std::min(1.0F, std::abs(wo.z));
    const auto between = [&](int azimuth) {
        const int c = std::min(kCosines - 2, static_cast<int>(std::sqrt(mu) * (kCosines - 1)));
        const float low = cosineOf(c), high = cosineOf(c + 1);
        const float x = std::clamp((mu - low) / (high - low), 0.0F, 1.0F);
        Bands mix = node_[at(azimuth, c)] * (1.0F - x);
        mix.addScaled(node_[at(azimuth, c + 1)], x);
        return mix;
    };
    if (azimuths_ == 1) return between(0);
    const glm::dvec2 across = glm::abs(glm::dvec2(wo));
    const double quarters = angleOf(across.y, across.x) / (0.5 * kPi);
    const auto place = static_cast<float>(quarters * (kAzimuths - 1));
    const int a = std::min(kAzimuths - 2, static_cast<int>(place));
    const float x = place - static_cast<float>(a);
    Bands mix = between(a) * (1.0F - x);
    mix.addScaled(between(a + 1), x);
    return mix;
}

}  // namespace keyfall
