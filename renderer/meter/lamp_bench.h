// A lamp and its modifier alone in black space, and meters around them: what strength.h and
// lamp_figures.h are made from. Not here: what is made of the transfers.
#pragma once

#include <cstdint>
#include <glm/glm.hpp>
#include <memory>

#include "renderer/meter/probe.h"
#include "scene/bare_scene.h"

namespace keyfall {

/// What is measured. All lengths in the modifier's frame: z is the axis, the exit's middle the origin;
/// a bare lamp stands at the origin and faces z.
struct LampSubject {
    LampShape shape;
    Material lampBody;
    std::shared_ptr<const ModifierBody> body;         ///< empty: the bare lamp
    std::shared_ptr<const NearFieldTable> table;      ///< empty: all light is traced through the body
    std::shared_ptr<const PhotometricWeb> web;        ///< a measured lamp's directions; bare
    BandXYZ light;                                    ///< of the lamp's spectrum, per unit flux
};

/// Luminance-weighted replicates of a transfer under `light`: per unit of the lamp's flux.
Reading weighted(const ReplicateBands& transfer, const BandXYZ& light);

/// Transfers are per unit of the lamp's flux in each band. Readings of one bench share the run's seed;
/// each call has a stream of its own, in the order of the calls: same calls, same bytes.
class LampBench {
  public:
    LampBench(const LampSubject& subject, const RunSettings& run);

    /// Illuminance of a flat point receptor, 1/m^2. `points` per replicate, a power of two.
    ReplicateBands illuminance_perM2(glm::vec3 at_m, glm::vec3 facing, std::uint32_t points);

    /// Intensity along the unit `direction`, 1/sr: E d^2 as d goes to infinity. Taken at 50 and 100
    /// diameters d of a sphere that holds everything, and extrapolated: E d^2 = I (1 + c/d + ...), where
    /// c is twice how far forward the light comes from; what is left is of the order 1/50^2.
    ReplicateBands intensity_perSr(glm::vec3 direction, std::uint32_t points);

    /// The same as seen from there: paths go into the real inside of the modifier, as a camera's do, and
    /// no table has a part in them. Slower to settle; what a table is held against. The lamp itself, seen
    /// straight or through sheets, is not left to these paths' chance: straightIntensity_perSr.
    ReplicateBands tracedIntensity_perSr(glm::vec3 direction, std::uint32_t points);

    /// What goes from the lamp without being scattered, through sheets too: by drawing points of the lamp.
    ReplicateBands straightIntensity_perSr(glm::vec3 direction, std::uint32_t points);

    /// Mean luminance over a round spot of radius `radius_m` about a point, as a spot meter far
    /// away on the axis sees it, 1/(sr m^2).
    ReplicateBands frontLuminance_perSrM2(glm::vec3 spot_m, double radius_m, std::uint32_t points);

    glm::vec3 middle_m() const { return middle_m_; }
    float radius_m() const { return radius_m_; }  ///< of a sphere around the middle that holds everything
    const LampSubject& subject() const { return subject_; }
    bool interrupted() const { return interrupted_; }

  private:
    enum class Paths { turned, byDoors };
    ReplicateBands seenFrom(glm::vec3 direction, float radii, Paths which, std::uint32_t points);
    Bands straightTransfer_perM2(glm::vec3 at_m, glm::vec2 u) const;
    ProbeTransfer trace(const Probe& probe, std::uint32_t points);

    const LampSubject& subject_;
    RunSettings run_;
    Scene scene_;
    bool hasDoors_ = false;
    std::unique_ptr<Stage> stage_;
    glm::vec3 middle_m_{0.0F};
    float radius_m_ = 0.0F;
    std::uint32_t stream_ = 0;
    bool interrupted_ = false;
};

}  // namespace keyfall
