#include "renderer/meter/readings.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "renderer/photograph/exposure.h"
#include "renderer/transport/layers.h"
#include "scene/colour.h"
#include "scene/photo.h"

namespace keyfall {
namespace {

/// True when the mean and every leave-one-out mean are above 0, so that logarithms make sense.
bool safelyPositive(const Reading& r) {
    if (!(r.mean() > 0.0)) return false;
    for (int i = 0; i < kReplicates; ++i)
        if (!(detail::leaveOneOut(r, i) > 0.0)) return false;
    return true;
}

/// f at the mean, with the jackknife's spread around it.
template <class F>
Measured through(F f, const Reading& a) {
    const double half = combine(f, a).interval95().half();
    const double value = f(a.mean());
    return {value, {value - half, value + half}};
}
template <class F>
Measured through(F f, const Reading& a, const Reading& b) {
    const double half = combine(f, a, b).interval95().half();
    const double value = f(a.mean(), b.mean());
    return {value, {value - half, value + half}};
}

Measured percentOf(const Reading& part, const Reading& all) {
    return through([](double p, double sum) { return 100.0 * p / sum; }, part, all);
}

Measured shifted(Measured m, double by) {
    return {m.value + by, {m.interval95.low + by, m.interval95.high + by}};
}

/// One layer's part of a sum over layers.
Reading partOf(const ReplicateBands& layer, const LayerMix& mix) {
    return total({layer}, {mix});
}

/// Colour of the exposure, replicate by replicate.
std::array<glm::dvec3, kReplicates> xyzOf(const std::vector<ReplicateBands>& layers, const std::vector<LayerMix>& mix) {
    std::array<glm::dvec3, kReplicates> xyz{};
    for (std::size_t l = 0; l < layers.size(); ++l)
        for (std::size_t r = 0; r < xyz.size(); ++r)
            for (int b = 0; b < kBands; ++b)
                xyz[r] += mix[l].amount * static_cast<double>(layers[l][r][b]) * mix[l].bands.xyz[static_cast<std::size_t>(b)];
    return xyz;
}

BoardShare shareOf(const std::string& name, const Reading& touched, const Reading& all) {
    BoardShare s;
    s.board = name;
    s.share_percent = percentOf(touched, all);
    Reading rest = all;
    for (std::size_t i = 0; i < kReplicates; ++i) rest.value[i] -= touched.value[i];
    s.lifts_stops = stopsBetween(all, rest);
    return s;
}

/// f-number and stops from the luminous exposure, by the meter equation of the probe's kind.
void readExposure(const Camera& camera, ProbeReading& r) {
    const double iso = camera.iso.exact;
    const double set = camera.aperture.exact;
    const ProbeKind kind = r.probe->kind;
    const auto aperture = [=](double exposure) {
        if (kind == ProbeKind::spot) return apertureFromLuminance(exposure, iso);
        return apertureFromExposure(exposure, iso, kind == ProbeKind::dome ? kMeterC_dome : kMeterC_flat);
    };
    r.aperture = through(aperture, r.exposure);
    // A spot's place in the picture is counted from 18 % grey; the meter's own middle is 15.7 %.
    r.stopsOver = through(
        [&](double exposure) {
            return kind == ProbeKind::spot ? std::log2(pictureValue(exposure, iso, set) / kMidGrey)
                                           : 2.0 * std::log2(aperture(exposure) / set);
        },
        r.exposure);
    r.closeUp_stops = closeUp_stops(camera);
    r.pictureStopsOver = shifted(*r.stopsOver, (camera.closeUpCompensated ? 0.0 : r.closeUp_stops) +
                                                   camera.calibration_stops);
}

void readBoards(const Scene& scene, const ProbeTransfer& t, const std::vector<LayerMix>& mix,
                ProbeReading& r) {
    std::size_t board = 0;
    for (const Item& item : scene.items)
        if (item.kind == ItemKind::board)
            r.byBoard.push_back(shareOf(item.name, total(t.board[board++], mix), r.exposure));
}

/// How far all readings together are; what is left as if the rest went as the part that is done.
void tellAll(const RunSettings& run, double share, double start_s) {
    const double elapsed_s = now_s(run) - start_s;
    double left_s = elapsed_s * (1.0 - share) / share;
    if (run.time_s) left_s = std::clamp(*run.time_s - elapsed_s, 0.0, left_s);
    run.tell({share, left_s});
}

/// The brighter side becomes the lit one; a side that could not be read decides nothing.
void nameSides(std::vector<ProbeReading>& readings) {
    const auto named = [&](const char* name) {
        return std::find_if(readings.begin(), readings.end(),
                            [&](const ProbeReading& r) { return r.name == name && r.aperture; });
    };
    const auto lit = named("lit-side");
    const auto shadow = named("shadow-side");
    if (lit == readings.end() || shadow == readings.end()) return;
    if (lit->exposure.mean() >= shadow->exposure.mean()) return;
    std::swap(*lit, *shadow);
    std::swap(lit->name, shadow->name);
}

}  // namespace

Measured measured(const Reading& reading) { return {reading.mean(), reading.interval95()}; }

std::optional<Measured> stopsBetween(const Reading& a, const Reading& b) {
    if (!safelyPositive(a) || !safelyPositive(b)) return {};
    return through([](double x, double y) { return std::log2(x / y); }, a, b);
}

ProbeReading readingOf(const Scene& scene, const Probe& probe, const ProbeTransfer& t) {
    const double shutter_s = scene.camera.shutter_s.exact;
    const std::vector<LayerMix> mix = mixAsSet(scene, shutter_s);
    const std::vector<LayerMix> steady = mixAsSet(scene, 1.0, Which::continuous);
    const std::vector<LayerInfo> infos = layerInfos(scene);
    ProbeReading r;
    r.probe = &probe;
    r.name = probe.name;
    r.points = t.pointsPerReplicate;
    r.timeIsUp = t.timeIsUp;
    r.exposure = total(t.layer, mix);
    r.continuous = total(t.layer, steady);
    r.xyzByReplicate = xyzOf(t.layer, mix);
    for (const glm::dvec3& xyz : r.xyzByReplicate) r.xyz += xyz / static_cast<double>(kReplicates);
    for (std::size_t l = 0; l < infos.size(); ++l)
        r.byLight.push_back({infos[l].name, partOf(t.layer[l], steady[l]), partOf(t.layer[l], mix[l]), {}});
    if (!safelyPositive(r.exposure)) {
        r.missing = anyLight(mix);
        return r;
    }
    for (LightShare& s : r.byLight) s.share_percent = percentOf(s.exposure, r.exposure);
    r.causticShare = total(t.caustic, mix).mean() / r.exposure.mean();
    readExposure(scene.camera, r);
    readBoards(scene, t, mix, r);
    return r;
}

std::vector<ProbeReading> takeReadings(const Stage& stage, const ReadingSettings& settings,
                                       PathCounters& counters) {
    const Scene& scene = stage.scene();
    const std::vector<LayerMix> mix = mixAsSet(scene, scene.camera.shutter_s.exact);
    const double start_s = now_s(settings.run);
    const std::size_t count = scene.probes.size();
    std::vector<ProbeReading> readings;
    for (std::size_t p = 0; p < count; ++p) {
        const double left_s = settings.run.time_s.value_or(0.0) - (now_s(settings.run) - start_s);
        if (settings.run.time_s && left_s <= 0.0 && p > 0) break;
        ReadingSettings one = settings;
        if (settings.run.time_s) one.run.time_s = left_s / static_cast<double>(count - p);
        if (settings.run.tell)
            one.run.tell = [&](const Progress& within) {
                tellAll(settings.run, (static_cast<double>(p) + within.share) / static_cast<double>(count), start_s);
            };
        const auto t = std::make_shared<const ProbeTransfer>(
            readProbe(stage, scene.probes[p], mix, static_cast<std::uint32_t>(p), one, counters));
        if (t->interrupted) break;
        readings.push_back(readingOf(scene, scene.probes[p], *t));
        readings.back().transfer = t;
    }
    if (scene.probesAreDefault) nameSides(readings);
    return readings;
}

std::map<std::string, std::uint32_t> pointsOfReadings(const Stage& stage, const ReadingSettings& settings,
                                                      PathCounters& counters) {
    const Scene& scene = stage.scene();
    const std::vector<LayerMix> mix = mixAsSet(scene, scene.camera.shutter_s.exact);
    std::map<std::string, std::uint32_t> points;
    for (std::size_t p = 0; p < scene.probes.size(); ++p)
        points[scene.probes[p].name] =
            pointsWanted(stage, scene.probes[p], mix, static_cast<std::uint32_t>(p), settings, counters);
    return points;
}

void readAgain(const Scene& scene, std::vector<ProbeReading>& readings) {
    // Back into the order of the probes: sides may have changed places.
    std::sort(readings.begin(), readings.end(),
              [](const ProbeReading& a, const ProbeReading& b) { return a.probe < b.probe; });
    for (ProbeReading& r : readings) {
        const auto transfer = r.transfer;
        r = readingOf(scene, *r.probe, *transfer);
        r.transfer = transfer;
    }
    if (scene.probesAreDefault) nameSides(readings);
}

std::vector<RatioReading> ratiosOf(const std::vector<ProbeReading>& readings) {
    std::vector<RatioReading> ratios;
    const auto add = [&](const ProbeReading& a, const ProbeReading& b) {
        const bool swapped = b.exposure.mean() > a.exposure.mean();
        const ProbeReading& lit = swapped ? b : a;
        const ProbeReading& shadow = swapped ? a : b;
        const auto stops = stopsBetween(lit.exposure, shadow.exposure);
        if (!stops) return;
        const auto ratio = [](double x, double y) { return x / y; };
        const Measured kf_f = through(ratio, lit.exposure, shadow.exposure);
        ratios.push_back({lit.name, shadow.name, *stops, kf_f, shifted(kf_f, -1.0)});
    };
    const ProbeReading* first = nullptr;
    const ProbeReading* lit = nullptr;
    const ProbeReading* shadow = nullptr;
    for (const ProbeReading& r : readings) {
        if (r.probe->kind == ProbeKind::spot) continue;
        if (r.name == "lit-side") lit = &r;
        else if (r.name == "shadow-side") shadow = &r;
        if (first == nullptr) first = &r;
    }
    if (lit != nullptr && shadow != nullptr) add(*lit, *shadow);
    if (first == nullptr) return ratios;
    for (const ProbeReading& r : readings)
        if (&r != first && r.probe->kind == first->probe->kind && !(first == lit && &r == shadow) &&
            !(first == shadow && &r == lit))
            add(*first, r);
    return ratios;
}

const ProbeReading* whiteProbe(const std::vector<ProbeReading>& readings) {
    for (const ProbeReading& r : readings)
        if (r.probe->kind != ProbeKind::spot && r.aperture) return &r;
    return nullptr;
}

glm::dvec3 automaticWhite(const std::vector<ProbeReading>& readings) {
    const ProbeReading* r = whiteProbe(readings);
    return r != nullptr ? r->xyz / r->xyz.y : whiteD65();
}

}  // namespace keyfall
