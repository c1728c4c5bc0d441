// Light traced from one lamp through its modifier to the exits. Not here: what is kept of it (bake.h),
// light on a set (path.h).
//
// Photons start at the lamp with equal flux and scatter as importance does. Facets are flat, and bodies
// have no vertex normals, so the densities of both directions of a path agree as they stand; a mesh with
// vertex normals would need the factor of shading normals (Veach 1997, section 5.3), and is refused.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <glm/glm.hpp>
#include <vector>

#include "renderer/stage/stage.h"
#include "renderer/transport/run.h"
#include "scene/modifier_body.h"

namespace keyfall {

/// Shares of the lamp's flux, per band.
struct BandSums {
    std::array<double, kBands> v{};

    void add(const Bands& x) {
        for (std::size_t b = 0; b < kBands; ++b) v[b] += static_cast<double>(x.v[b]);
    }
    void add(const BandSums& x) {
        for (std::size_t b = 0; b < kBands; ++b) v[b] += x.v[b];
    }
    void scale(double factor) {
        for (double& x : v) x *= factor;
    }
};

/// Where the light went. What is scattered, straight, absorbed, leaked and caught by the guard add up to
/// 1 but for noise: each is summed where it happens.
struct LightBalance {
    BandSums scattered;  ///< through an exit after a scattering
    BandSums straight;   ///< through an exit without one, also straight through sheets
    BandSums absorbed;   ///< at every hit, weight times 1 - albedo
    BandSums leaked;     ///< away from the modifier without crossing an exit: 0 for a closed body
    std::uint64_t photons = 0;
    std::uint64_t rays = 0;
    std::uint64_t leaks = 0;       ///< photons
    std::uint64_t guardStops = 0;  ///< photons ended at 1000 vertices

    void add(const LightBalance& other);
};

/// A photon of scattered light that leaves.
struct ExitCrossing {
    std::size_t face = 0;            ///< into the exits
    glm::vec2 local_m{0.0F};         ///< in the face's own axes
    glm::vec3 direction{0, 0, 1};    ///< unit, in the face's own axes, z > 0
};

/// Takes what leaves in one stream.
class ExitSink {
  public:
    virtual ~ExitSink() = default;
    /// `flux`: a share of the lamp's flux, times the photons of the stream.
    virtual void add(const ExitCrossing& crossing, const Bands& flux) = 0;
};

/// Independent scramblings of the same points: their spread is the error.
inline constexpr std::size_t kLightStreams = 16;

struct LightTraceSettings {
    RunSettings run;
    std::uint32_t photons = 1U << 16U;  ///< rounded up to a power of two, at least one a stream
    /// Half of the directions are drawn near +z of the Stage's world (axis_draw.h): for exits that face
    /// that way with nothing diffuse in them, where little light goes straight ahead and much depends on
    /// it. The expected result is the same.
    bool towardsAxis = false;
    /// Leaves out of the sinks and of LightBalance::scattered what once_scattered.h finds from the exits:
    /// light that leaves after one scattering, at a wholly rough vertex.
    bool withoutOnceScattered = false;
};

/// Traces light of the Stage's first lamp, in kLightStreams streams, each into its own sink. The result
/// has the balance of each stream, as shares of its own photons. The same bytes for any number of threads.
/// run.stop ends it early with fewer photons; run.tell hears of it stream by stream.
/// Throws std::invalid_argument for a mesh with vertex normals and for solid glass.
std::array<LightBalance, kLightStreams> traceLight(const Stage& stage, const std::vector<ExitFace>& exits,
                                                   const LightTraceSettings& settings,
                                                   const std::array<ExitSink*, kLightStreams>& sinks);

/// Mean of the streams; counters are sums.
LightBalance meanOf(const std::array<LightBalance, kLightStreams>& streams);
/// Standard error of the mean of `part(balance)`, a double, over the streams.
template <class Part>
double standardErrorOf(const std::array<LightBalance, kLightStreams>& streams, const Part& part) {
    double sum = 0.0, squares = 0.0;
    for (const LightBalance& s : streams) sum += part(s);
    const double mean = sum / kLightStreams;
    for (const LightBalance& s : streams) squares += (part(s) - mean) * (part(s) - mean);
    return std::sqrt(squares / (kLightStreams * (kLightStreams - 1)));
}

}  // namespace keyfall
