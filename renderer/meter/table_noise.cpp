#include "renderer/meter/table_noise.h"

#include <algorithm>
#include <cmath>

#include "renderer/transport/bake.h"

namespace keyfall {
namespace {

Bands meanOf(const ReplicateBands& replicates) {
    Bands mean;
    for (const Bands& r : replicates) mean.addScaled(r, 1.0F / kReplicates);
    return mean;
}

/// Seeds of tables in use are 1: none of these is the table that is judged.
constexpr std::uint32_t kFirstSeed = 1001;

}  // namespace

std::optional<TableNoise> tableNoise(const LampSubject& subject, std::uint64_t photons, std::uint32_t points,
                                     const RunSettings& run) {
    const glm::vec3 axis(0, 0, 1);
    TableNoise noise;
    for (std::uint32_t i = 0; i < kReplicates; ++i) {
        BakeSettings settings = bakeSizeFor(*subject.body);
        settings.photons = static_cast<std::uint32_t>(std::max<std::uint64_t>(kReplicates, photons / kReplicates));
        settings.run.seed = kFirstSeed + i;
        settings.run.threads = run.threads;
        settings.run.stop = run.stop;
        LampSubject other = subject;
        other.table = std::make_shared<const NearFieldTable>(bake(subject.shape, subject.lampBody, *subject.body, settings));
        if (run.stop != nullptr && run.stop->load()) return {};
        // One seed for all: the same points, so that nothing but the tables differs.
        LampBench bench(other, run);
        noise.axis_perSr[i] = meanOf(bench.intensity_perSr(axis, points));
        noise.at1m_perM2[i] = meanOf(bench.illuminance_perM2(axis, -axis, points));
        if (bench.interrupted()) return {};
    }
    return noise;
}

Measured widened(const Measured& m, double half) {
    const double both = std::hypot(m.interval95.half(), half);
    return {m.value, {m.value - both, m.value + both}};
}

}  // namespace keyfall
