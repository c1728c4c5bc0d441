// The albedo tables of round GGX lobes: what stands in them, and the lookup.
// Not here: the integrals (energy_quadrature.h), stretched lobes (energy_table_stretched.cpp).
//
// Axes are chosen so that straight lines fit between few nodes: angles and widths as in
// energy_axis.h, and (eta-1)/(eta+1), whose square is the reflectance at normal incidence.
#include "renderer/optics/energy_table.h"

#include "renderer/optics/energy_curve.h"
#include "renderer/optics/energy_grid.h"
#include "renderer/optics/fresnel.h"

namespace keyfall {
namespace {

constexpr int kMu = 64;
constexpr int kWidths = 64;
constexpr int kPhi = 24;
constexpr int kRings = 45;

struct Slice {
    AngleCurve<kMu> albedo;
    float mean;
};

/// Fills a slice with share(g, wo, ring, weights): what each facet returns, 0..1.
template <class Share>
std::unique_ptr<Slice> fillSlice(float alpha, float eta, Share&& share) {
    static const VisibleFacets<kPhi, kRings> facets(std::numbers::pi_v<float>);
    auto slice = std::make_unique<Slice>();
    const Ggx g{alpha, alpha};
    for (int m = 0; m < kMu; ++m) {
        const float mu = muOfAngleAxis(node(m, kMu), alpha);
        const glm::vec3 wo{std::sqrt(std::max(1.0F - mu * mu, 0.0F)), 0.0F, mu};
        float sum = 0.0F;
        facets.visit(g, wo, eta, [&](const FacetRing<kPhi>& ring, float weight) {
            float w[kPhi];
            share(g, wo, ring, w);
            sum += weight * meanOf<kPhi>(w);
        });
        slice->albedo.value[m] = std::min(sum, 1.0F);  // to the last digit
    }
    return slice;
}

float one(float) {
    return 1.0F;
}

// ---- F = 1 ----

std::unique_ptr<const Slice> fillMirror(int, int width) {
    const float alpha = alphaOfWidthAxis(node(width, kWidths));
    auto slice = fillSlice(alpha, 1.0F,
                           [](const Ggx& g, glm::vec3 wo, const FacetRing<kPhi>& ring, float* w) {
                               reflectedWeights(g, wo, ring, w);
                           });
    slice->mean = slice->albedo.mean(alpha, one);
    return slice;
}

auto& mirrors() {
    static SliceGrid<Slice, 2, kWidths> grid(fillMirror);
    return grid;
}

// ---- dielectrics ----

constexpr float kLargestIndex = 3.0F;
constexpr float kLargestAxis = (kLargestIndex - 1.0F) / (kLargestIndex + 1.0F);
float indexAxis(float eta) {
    return (eta - 1.0F) / (eta + 1.0F) / kLargestAxis;
}
float indexOf(float axis) {
    return (1.0F + axis * kLargestAxis) / (1.0F - axis * kLargestAxis);
}

constexpr int kCoatIndices = 25;

/// Holds E over the reflectance of the smooth surface, which is far straighter than E.
/// Index-matched surfaces reflect nothing: the first node stands just beside.
std::unique_ptr<const Slice> fillCoat(int index, int width) {
    const float eta = std::max(indexOf(node(index, kCoatIndices)), 1.001F);
    const float alpha = alphaOfWidthAxis(node(width, kWidths));
    auto slice = fillSlice(
        alpha, eta, [eta](const Ggx& g, glm::vec3 wo, const FacetRing<kPhi>& ring, float* w) {
            float f[kPhi];
            reflectedWeights(g, wo, ring, w);
            fresnelWeights(ring, eta, f);
            for (int i = 0; i < kPhi; ++i) w[i] *= f[i];
        });
    const auto smooth = [eta](float mu) { return fresnelDielectric(mu, eta); };
    for (int m = 0; m < kMu; ++m) {
        slice->albedo.value[m] /= smooth(muOfAngleAxis(node(m, kMu), alpha));
    }
    slice->mean = slice->albedo.mean(alpha, smooth);
    return slice;
}

auto& coats() {
    static SliceGrid<Slice, kCoatIndices, kWidths> grid(fillCoat);
    return grid;
}

constexpr int kBoundaryIndices = 49;  // odd: eta = 1 is a node

/// Nodes crowd around eta = 1, where total reflection sets in on one side.
float boundaryAxis(float eta) {
    const float x = indexAxis(eta);
    return 0.5F + 0.5F * std::copysign(std::sqrt(std::min(std::abs(x), 1.0F)), x);
}

std::unique_ptr<const Slice> fillBoundary(int index, int width) {
    const float axis = 2.0F * node(index, kBoundaryIndices) - 1.0F;
    const float eta = indexOf(axis * std::abs(axis));
    const float alpha = alphaOfWidthAxis(node(width, kWidths));
    auto slice = fillSlice(
        alpha, eta, [eta](const Ggx& g, glm::vec3 wo, const FacetRing<kPhi>& ring, float* w) {
            float f[kPhi], passed[kPhi];
            reflectedWeights(g, wo, ring, w);
            fresnelWeights(ring, eta, f);
            refractedWeights(g, wo, ring, eta, passed);
            for (int i = 0; i < kPhi; ++i) w[i] = f[i] * w[i] + (1.0F - f[i]) * passed[i];
        });
    slice->mean = slice->albedo.mean(alpha, one);
    return slice;
}

auto& boundaries() {
    static SliceGrid<Slice, kBoundaryIndices, kWidths> grid(fillBoundary);
    return grid;
}

template <class Grid>
float albedoAt(Grid& grid, float axis, float alpha, float mu) {
    const Place m = place<kMu>(angleAxis(mu, std::max(alpha, kLeastAlpha)));
    return grid.blend(axis, widthAxis(alpha), [m](const Slice& s) { return s.albedo.at(m); });
}

template <class Grid>
float meanAt(Grid& grid, float axis, float alpha) {
    return grid.blend(axis, widthAxis(alpha), [](const Slice& s) { return s.mean; });
}

}  // namespace

float ggxAlbedo(float alpha, float mu) {
    return albedoAt(mirrors(), 0.0F, alpha, mu);
}

float ggxAlbedoMean(float alpha) {
    return meanAt(mirrors(), 0.0F, alpha);
}

float coatAlbedo(float ior, float alpha, float mu) {
    return albedoAt(coats(), indexAxis(ior), alpha, mu) * fresnelDielectric(mu, ior);
}

float coatAlbedoMean(float ior, float alpha) {
    return meanAt(coats(), indexAxis(ior), alpha);
}

float boundaryAlbedo(float eta, float alpha, float mu) {
    return albedoAt(boundaries(), boundaryAxis(eta), alpha, mu);
}

float boundaryAlbedoMean(float eta, float alpha) {
    return meanAt(boundaries(), boundaryAxis(eta), alpha);
}

}  // namespace keyfall
