#include "renderer/meter/lamp_figures.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "renderer/meter/jackknife.h"
#include "renderer/meter/table_noise.h"
#include "scene/colour.h"

namespace keyfall {
namespace {

double shareOf(const Bands& bands, const BandXYZ& light) {
    return static_cast<double>(dot(light.luminance(), bands));
}

/// A share counted by photons. Each carries between 0 and 1, so its variance is at most p(1 - p), and
/// less for points that are spread evenly (Bhatia & Davis, Am. Math. Monthly 107, 2000, from memory).
Measured counted(double share, std::uint64_t photons) {
    const double p = std::clamp(share, 0.0, 1.0);
    const double half = photons > 0 ? 1.96 * std::sqrt(p * (1.0 - p) / static_cast<double>(photons)) : 0.0;
    return {share, {share - half, share + half}};
}

void readTable(const LampSubject& subject, LampFigures& f) {
    if (!subject.table) {
        f.straight = 1.0;
        f.out = counted(1.0, 0);
        f.absorbed = counted(0.0, 0);
        return;
    }
    const NearFieldTable& table = *subject.table;
    f.photons = table.photons;
    f.straight = shareOf(table.straight, subject.light);
    f.scattered = shareOf(table.scattered, subject.light);
    f.out = counted(f.straight + f.scattered, table.photons);
    f.absorbed = counted(shareOf(table.absorbed, subject.light), table.photons);
}

/// All that comes through a sphere around everything, by meters that face its centre: whatever goes out
/// crosses it once. Places by the golden angle, each for the same area (Gonzalez, Math. Geosciences
/// 42(1), 2010, from memory).
Measured throughSphere(LampBench& bench, std::uint32_t points) {
    constexpr int kPlaces = 2048;
    constexpr double kGoldenTurn = 0.6180339887498949;
    const double radius_m = 1.3 * static_cast<double>(bench.radius_m());
    Reading sum;
    for (int i = 0; i < kPlaces && !bench.interrupted(); ++i) {
        const double z = 1.0 - (2.0 * i + 1.0) / kPlaces;
        const double phi = 2.0 * std::numbers::pi * kGoldenTurn * i;
        const double s = std::sqrt(1.0 - z * z);
        const glm::vec3 out(static_cast<float>(s * std::cos(phi)), static_cast<float>(s * std::sin(phi)), static_cast<float>(z));
        sum += weighted(bench.illuminance_perM2(bench.middle_m() + static_cast<float>(radius_m) * out, -out, points),
                        bench.subject().light);
    }
    sum *= 4.0 * std::numbers::pi * radius_m * radius_m / kPlaces;
    return measured(sum);
}

glm::dvec3 xyzWithout(const ReplicateBands& transfer, const BandXYZ& light, int leftOut) {
    glm::dvec3 xyz(0.0);
    for (int r = 0; r < kReplicates; ++r) {
        if (r == leftOut) continue;
        for (int b = 0; b < kBands; ++b)
            xyz += static_cast<double>(transfer[static_cast<std::size_t>(r)][b]) * light.xyz[static_cast<std::size_t>(b)];
    }
    return xyz;
}

LampColour colourOf(const ReplicateBands& axis, const BandXYZ& light) {
    const Correlated bare = correlatedTemperature(chromaticity(light.total()));
    const auto with = [&](int i) { return correlatedTemperature(chromaticity(xyzWithout(axis, light, i))); };
    LampColour c;
    c.bareTemperature_K = bare.temperature_K;
    c.bareDuv = bare.duv;
    c.temperature_K = jackknife([&](int i) { return with(i).temperature_K; });
    c.duv = jackknife([&](int i) { return with(i).duv; });
    c.shift_mired = jackknife([&](int i) { return miredShift(bare.temperature_K, with(i).temperature_K); });
    return c;
}

/// On the axis: far away, at 1 m, and against the bare lamp.
void readAxis(LampBench& bench, const LampEffort& effort, LampFigures& f) {
    const LampSubject& subject = bench.subject();
    const glm::vec3 axis(0, 0, 1);
    const ReplicateBands far = bench.intensity_perSr(axis, effort.axis);
    const Reading intensity = weighted(far, subject.light);
    f.axis_perSr = measured(intensity);
    f.at1m_perM2 = measured(weighted(bench.illuminance_perM2(axis, -axis, effort.axis), subject.light));
    if (subject.body) f.tracedAxis_perSr = measured(weighted(bench.tracedIntensity_perSr(axis, effort.tracedAxis), subject.light));
    if (intensity.mean() > 0.0) f.colour = colourOf(far, subject.light);
    if (subject.web) return;  // what the lamp in it would send alone, the file does not say
    f.bareAxis_perSr = emitterLuminancePerFlux_perSrM2(subject.shape) * axisArea_m2(subject.shape);
    Reading bare;
    bare.value.fill(*f.bareAxis_perSr);
    f.gain_stops = stopsBetween(intensity, bare);
}

/// Everything that the table says of the axis is as sure as the table.
void addTableNoise(const TableNoise& noise, const BandXYZ& light, LampFigures& f) {
    const Reading axis = weighted(noise.axis_perSr, light);
    if (!(axis.mean() > 0.0)) return;
    f.tableNoise = axis.interval95().half() / axis.mean();
    f.axis_perSr = widened(f.axis_perSr, axis.interval95().half());
    f.at1m_perM2 = widened(f.at1m_perM2, weighted(noise.at1m_perM2, light).interval95().half());
    if (f.gain_stops) f.gain_stops = widened(*f.gain_stops, combine([](double x) { return std::log2(x); }, axis).interval95().half());
    if (!f.colour) return;
    const LampColour spread = colourOf(noise.axis_perSr, light);
    f.colour->temperature_K = widened(f.colour->temperature_K, spread.temperature_K.interval95.half());
    f.colour->duv = widened(f.colour->duv, spread.duv.interval95.half());
    f.colour->shift_mired = widened(f.colour->shift_mired, spread.shift_mired.interval95.half());
}

}  // namespace

std::optional<LampFigures> measureLamp(const LampSubject& subject, const LampEffort& effort, const RunSettings& run) {
    LampFigures f;
    f.hasDoors = subject.body && std::any_of(subject.body->parts.begin(), subject.body->parts.end(),
                                             [](const ModifierPart& p) { return p.outside; });
    readTable(subject, f);
    LampBench bench(subject, run);
    readAxis(bench, effort, f);
    f.metered = throughSphere(bench, effort.sphere);
    auto web = measureWeb(subject, effort.direction, run);
    if (bench.interrupted() || !web) return {};
    f.web = std::move(*web);
    f.beam = angleOf(f.web, 0.5);
    f.field = angleOf(f.web, 0.1);
    if (!subject.body) return f;
    if (subject.table && effort.tables > 0) {
        const auto noise = tableNoise(subject, f.photons, effort.tables, run);
        if (!noise) return {};
        addTableNoise(*noise, subject.light, f);
    }
    constexpr int kSpots = 7;
    const auto front = measureFront(subject, kSpots, kSpots, effort.front, run);
    if (run.stop != nullptr && run.stop->load()) return {};
    f.hasFront = front.has_value();
    if (front) f.evenness_stops = evennessOf(*front);
    return f;
}

}  // namespace keyfall
