// The albedo table of stretched (anisotropic) GGX lobes. Not here: round lobes (energy_table.cpp).
//
// Seen at azimuth phi a stretched surface is about as rough as its section
//   a(phi)^2 = ax^2 cos^2 phi + ay^2 sin^2 phi,
// and E runs nearly straight in a^(-1/2): that is the axis of azimuths, q = 0 along x, 1 along y.
#include "renderer/optics/energy_curve.h"
#include "renderer/optics/energy_grid.h"
#include "renderer/optics/energy_table.h"

namespace keyfall {
namespace {

constexpr int kWidths = 48;
constexpr int kStretches = 17;
constexpr int kTurns = 9;
constexpr int kMu = 48;
constexpr int kPhi = 32;
constexpr int kRings = 30;
constexpr float kLeastStretch = 0.17F;  // (ay/ax)^(1/4); narrower is looked up as this

struct Slice {
    AngleCurve<kMu> albedo[kTurns];
    float mean;
};

/// `alpha` is the root of the mean square of both widths: ax^2 + ay^2 = 2 alpha^2.
Ggx widthsOf(float alpha, float ratio) {
    const float ax = alpha * std::sqrt(2.0F / (1.0F + ratio * ratio));
    return {ax, ax * ratio};
}

/// cos^2 of the azimuth at which the section's a^(-1/2) is the share q of the way from x to y.
float cos2AtTurn(float q, float ratio) {
    if (q <= 0.0F) return 1.0F;
    if (q >= 1.0F || ratio > 0.999F) return 1.0F - q;  // round: one azimuth is like another
    const float root = between(1.0F, 1.0F / std::sqrt(ratio), q);  // (a / ax)^(-1/2)
    const float a2 = 1.0F / (root * root * root * root);
    return std::clamp((a2 - ratio * ratio) / (1.0F - ratio * ratio), 0.0F, 1.0F);
}

/// Share of the azimuths that falls to each node of q, straight lines between them.
void turnWeights(float ratio, float* weights) {
    constexpr int kSteps = 512;
    std::fill_n(weights, kTurns, 0.0F);
    const float span = 1.0F / std::sqrt(ratio) - 1.0F;
    for (int i = 0; i < kSteps; ++i) {
        const float phi = 0.5F * std::numbers::pi_v<float> * (static_cast<float>(i) + 0.5F) /
                          static_cast<float>(kSteps);
        const float c2 = std::cos(phi) * std::cos(phi);
        const float a2 = c2 + ratio * ratio * (1.0F - c2);
        const float q = span > 1e-3F ? (1.0F / std::sqrt(std::sqrt(a2)) - 1.0F) / span : 0.0F;
        const Place p = place<kTurns>(q);
        weights[p.cell] += (1.0F - p.fraction) / kSteps;
        weights[p.cell + 1] += p.fraction / kSteps;
    }
}

float albedo(const Ggx& g, glm::vec3 wo) {
    static const VisibleFacets<kPhi, kRings> facets(2.0F * std::numbers::pi_v<float>);
    float sum = 0.0F;
    facets.visit(g, wo, 1.0F, [&](const FacetRing<kPhi>& ring, float weight) {
        float w[kPhi];
        reflectedWeights(g, wo, ring, w);
        sum += weight * meanOf<kPhi>(w);
    });
    return std::min(sum, 1.0F);  // to the last digit
}

std::unique_ptr<const Slice> fill(int width, int stretch) {
    auto slice = std::make_unique<Slice>();
    const float fourth = between(kLeastStretch, 1.0F, node(stretch, kStretches));
    const float ratio = fourth * fourth * fourth * fourth;
    const Ggx g = widthsOf(alphaOfWidthAxis(node(width, kWidths)), ratio);
    float weights[kTurns];
    turnWeights(ratio, weights);
    slice->mean = 0.0F;
    for (int q = 0; q < kTurns; ++q) {
        const float cos2 = cos2AtTurn(node(q, kTurns), ratio);
        const float section = std::sqrt(g.ax * g.ax * cos2 + g.ay * g.ay * (1.0F - cos2));
        for (int m = 0; m < kMu; ++m) {
            const float mu = muOfAngleAxis(node(m, kMu), section);
            const float sine = std::sqrt(std::max(1.0F - mu * mu, 0.0F));
            slice->albedo[q].value[m] =
                albedo(g, {sine * std::sqrt(cos2), sine * std::sqrt(1.0F - cos2), mu});
        }
        slice->mean += weights[q] * slice->albedo[q].mean(section, [](float) { return 1.0F; });
    }
    return slice;
}

auto& slices() {
    static SliceGrid<Slice, kWidths, kStretches> grid(fill);
    return grid;
}

}  // namespace

StretchedAlbedo::StretchedAlbedo(float alphaX, float alphaY)
    : ax2_(alphaX * alphaX), ay2_(alphaY * alphaY) {
    const float ratio = alphaY / alphaX;
    qStart_ = 1.0F / std::sqrt(alphaX);
    qScale_ = ratio < 0.999F ? 1.0F / (1.0F / std::sqrt(alphaY) - qStart_) : 0.0F;
    width_ = widthAxis(std::sqrt(0.5F * (ax2_ + ay2_)));
    stretch_ = (std::sqrt(std::sqrt(ratio)) - kLeastStretch) / (1.0F - kLeastStretch);
}

float StretchedAlbedo::operator()(glm::vec3 w) const {
    const float sin2 = std::max(w.x * w.x + w.y * w.y, 1e-12F);
    const float a2 = std::max((ax2_ * w.x * w.x + ay2_ * w.y * w.y) / sin2, ay2_);
    const float section = std::sqrt(a2);
    const Place q = place<kTurns>((1.0F / std::sqrt(section) - qStart_) * qScale_);
    const Place m = place<kMu>(angleAxis(w.z, section));
    return slices().blend(width_, stretch_, [q, m](const Slice& s) {
        return between(s.albedo[q.cell].at(m), s.albedo[q.cell + 1].at(m), q.fraction);
    });
}

float StretchedAlbedo::mean() const {
    return slices().blend(width_, stretch_, [](const Slice& s) { return s.mean; });
}

}  // namespace keyfall
