#include "renderer/meter/strength.h"

#include "renderer/meter/lamp_bench.h"

namespace keyfall {

std::optional<Reading> ratedTransfer(const Rating& rating, const Material& lampBody,
                                     std::shared_ptr<const NearFieldTable> table, const RunSettings& run) {
    constexpr std::uint32_t kPoints = 4096;  // per replicate: 65 536 paths, a tenth of a second
    constexpr std::uint32_t kSeed = 1;       // a lamp's flux is no matter of a picture's noise
    RunSettings fixed;
    fixed.seed = kSeed;
    fixed.threads = run.threads;
    fixed.stop = run.stop;
    const LampSubject subject{rating.shape, lampBody, rating.body, std::move(table), {}, rating.bands};
    LampBench bench(subject, fixed);
    const glm::vec3 axis(0, 0, 1);
    const auto distance_m = static_cast<float>(rating.distance_m);
    const Reading found = weighted(rating.isIntensity ? bench.intensity_perSr(axis, kPoints)
                                                      : bench.illuminance_perM2(distance_m * axis, -axis, kPoints),
                                   rating.bands);
    if (bench.interrupted() || !(found.mean() > 0.0)) return {};
    return found;
}

}  // namespace keyfall
