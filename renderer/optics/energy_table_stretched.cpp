// The albedo table of stretched (anisotropic) GGX lobes. Not here: round lobes (energy_table.cpp).
//
// Seen at azimuth phi a stretched surface is about as rough as its section
//   a(phi)^2 = ax^2 cos^2 phi + ay^2 sin^2 phi,
// and E runs nearly straight in a^(-1/2): that is the fourth axis, q = 0 along x, 1 along y.
#include <memory>

#include "renderer/optics/energy_axis.h"
#include "renderer/optics/energy_quadrature.h"
#include "renderer/optics/energy_table.h"

namespace keyfall {
namespace {

constexpr int kRough = 16;
constexpr int kStretch = 8;
constexpr int kTurn = 5;
constexpr int kMu = 24;
constexpr int kPhi = 24;
constexpr int kRings = 21;
constexpr float kLeastStretch = 0.2F;  // (ay/ax)^(1/4); narrower is looked up as this

struct StretchedTable {
    float value[kRough][kStretch][kTurn][kMu];
    float mean[kRough][kStretch];
};

/// `alpha` is the root of the mean square of both widths: ax^2 + ay^2 = 2 alpha^2, ay = stretch^4
/// ax.
Ggx widthOf(float alpha, float stretch) {
    const float b = stretch * stretch * stretch * stretch;
    const float ax = alpha * std::sqrt(2.0F / (1.0F + b * b));
    return {ax, ax * b};
}

/// cos^2 of the azimuth at which the section's a^(-1/2) is the share q from x to y.
float cos2AtTurn(float q, float b) {
    if (q <= 0.0F) return 1.0F;
    if (q >= 1.0F || b > 0.999F) return 1.0F - q;  // b = 1: any azimuth is like any other
    const float root = between(1.0F, 1.0F / std::sqrt(b), q);  // (a / ax)^(-1/2)
    const float a2 = 1.0F / (root * root * root * root);
    return std::clamp((a2 - b * b) / (1.0F - b * b), 0.0F, 1.0F);
}

/// Width of the section at that azimuth.
float sectionOf(const Ggx& g, float cos2) {
    return std::sqrt(g.ax * g.ax * cos2 + g.ay * g.ay * (1.0F - cos2));
}

float albedo(const VisibleFacets<kPhi, kRings>& facets, const Ggx& g, glm::vec3 wo) {
    float sum = 0.0F;
    facets.visit(g, wo, [&](const FacetRing<kPhi>& ring, float weight) {
        float w[kPhi];
        reflectedWeights(g, wo, ring, w);
        sum += weight * meanOf<kPhi>(w);
    });
    return std::min(sum, 1.0F);  // to the last digit
}

/// Share of the azimuths that fall to each node of q, straight lines between them.
void turnWeights(float b, float* weights) {
    constexpr int kSteps = 256;
    std::fill_n(weights, kTurn, 0.0F);
    const float span = 1.0F / std::sqrt(b) - 1.0F;
    for (int i = 0; i < kSteps; ++i) {
        const float phi =
            0.5F * std::numbers::pi_v<float> * (static_cast<float>(i) + 0.5F) / kSteps;
        const float c2 = std::cos(phi) * std::cos(phi);
        const float a2 = c2 + b * b * (1.0F - c2);
        const float q = span > 1e-3F ? (1.0F / std::sqrt(std::sqrt(a2)) - 1.0F) / span : 0.0F;
        const float x = std::clamp(q, 0.0F, 1.0F) * (kTurn - 1);
        const int cell = std::min(static_cast<int>(x), kTurn - 2);
        weights[cell] += (1.0F - (x - static_cast<float>(cell))) / kSteps;
        weights[cell + 1] += (x - static_cast<float>(cell)) / kSteps;
    }
}

/// 2 int E mu dmu for one azimuth, Gauss on each cell.
float meanOverMu(const float* row, float section) {
    const GaussLegendre<3> gauss;
    float sum = 0.0F;
    for (int m = 0; m + 1 < kMu; ++m) {
        for (std::size_t k = 0; k < 3; ++k) {
            const float t = (static_cast<float>(m) + gauss.x[k]) / (kMu - 1);
            const float mu = muOfAngleAxis(t, section);
            sum += gauss.w[k] * between(row[m], row[m + 1], gauss.x[k]) * 2.0F *
                   muPerAngleAxis(mu, section);
        }
    }
    return sum / (kMu - 1);
}

void fillRows(const VisibleFacets<kPhi, kRings>& facets, const Ggx& g, float (*rows)[kMu]) {
    for (int q = 0; q < kTurn; ++q) {
        const float cos2 = cos2AtTurn(node(q, kTurn), g.ay / g.ax);
        for (int m = 0; m < kMu; ++m) {
            const float mu = muOfAngleAxis(node(m, kMu), sectionOf(g, cos2));
            const float sine = std::sqrt(std::max(1.0F - mu * mu, 0.0F));
            rows[q][m] =
                albedo(facets, g, {sine * std::sqrt(cos2), sine * std::sqrt(1.0F - cos2), mu});
        }
    }
}

std::unique_ptr<const StretchedTable> fill() {
    auto table = std::make_unique<StretchedTable>();
    const VisibleFacets<kPhi, kRings> facets(2.0F * std::numbers::pi_v<float>);
    for (int s = 0; s < kStretch; ++s) {
        const float stretch = between(kLeastStretch, 1.0F, node(s, kStretch));
        float weights[kTurn];
        turnWeights(stretch * stretch * stretch * stretch, weights);
        for (int r = 0; r < kRough; ++r) {
            const Ggx g = widthOf(alphaOfWidthAxis(node(r, kRough)), stretch);
            fillRows(facets, g, table->value[r][s]);
            float mean = 0.0F;
            for (int q = 0; q < kTurn; ++q) {
                const float section = sectionOf(g, cos2AtTurn(node(q, kTurn), g.ay / g.ax));
                mean += weights[q] * meanOverMu(table->value[r][s][q], section);
            }
            table->mean[r][s] = mean;
        }
    }
    return table;
}

const StretchedTable& stretchedTable() {
    static const std::unique_ptr<const StretchedTable> table = fill();
    return *table;
}

}  // namespace

StretchedAlbedo::StretchedAlbedo(float alphaX, float alphaY)
    : ax2_(alphaX * alphaX), ay2_(alphaY * alphaY) {
    const float b = alphaY / alphaX;
    qStart_ = 1.0F / std::sqrt(alphaX);
    qScale_ = b < 0.999F ? 1.0F / (1.0F / std::sqrt(alphaY) - qStart_) : 0.0F;
    const float alpha = std::sqrt(0.5F * (ax2_ + ay2_));
    alpha_ = std::min(widthAxis(alpha), 1.0F) * (kRough - 1);
    const float fourth = std::sqrt(std::sqrt(b));
    stretch_ =
        std::clamp((fourth - kLeastStretch) / (1.0F - kLeastStretch), 0.0F, 1.0F) * (kStretch - 1);
    const int r = std::min(static_cast<int>(alpha_), kRough - 2);
    const int s = std::min(static_cast<int>(stretch_), kStretch - 2);
    const float fs = stretch_ - static_cast<float>(s);
    const auto& mean = stretchedTable().mean;
    mean_ =
        between(between(mean[r][s], mean[r][s + 1], fs),
                between(mean[r + 1][s], mean[r + 1][s + 1], fs), alpha_ - static_cast<float>(r));
}

float StretchedAlbedo::operator()(glm::vec3 w) const {
    const float sin2 = std::max(w.x * w.x + w.y * w.y, 1e-12F);
    const float a2 = (ax2_ * w.x * w.x + ay2_ * w.y * w.y) / sin2;
    const float root = 1.0F / std::sqrt(std::sqrt(std::max(a2, ay2_)));
    const float turn = std::clamp((root - qStart_) * qScale_, 0.0F, 1.0F) * (kTurn - 1);
    const float mu = std::min(angleAxis(w.z, std::sqrt(std::max(a2, ay2_))), 1.0F) * (kMu - 1);
    const int r = std::min(static_cast<int>(alpha_), kRough - 2);
    const int s = std::min(static_cast<int>(stretch_), kStretch - 2);
    const int q = std::min(static_cast<int>(turn), kTurn - 2);
    const int m = std::min(static_cast<int>(mu), kMu - 2);
    const float fq = turn - static_cast<float>(q);
    const float fm = mu - static_cast<float>(m);
    const auto& value = stretchedTable().value;
    const auto face = [&](int ri, int si) {
        const auto& v = value[ri][si];
        return between(between(v[q][m], v[q][m + 1], fm), between(v[q + 1][m], v[q + 1][m + 1], fm),
                       fq);
    };
    const float fs = stretch_ - static_cast<float>(s);
    return between(between(face(r, s), face(r, s + 1), fs),
                   between(face(r + 1, s), face(r + 1, s + 1), fs), alpha_ - static_cast<float>(r));
}

}  // namespace keyfall
