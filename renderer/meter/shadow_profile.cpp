#include "renderer/meter/shadow_profile.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "renderer/meter/jackknife.h"
#include "renderer/transport/layers.h"

namespace keyfall {
namespace {

void addEvenly(std::vector<float>& x, float from, float to, int steps) {
    for (int i = 0; i <= steps; ++i)
        x.push_back(from + (to - from) * static_cast<float>(i) / static_cast<float>(steps));
}

Probe meterAt(const Stage& stage, const EdgePlace& place, float x_m) {
    Probe probe;
    const glm::vec3 at_m = place.at_m + x_m * place.along;
    const auto ground = groundUnder(stage, at_m, place.normal, 0.01F);
    const bool same = ground && ground->object == place.receiver;
    probe.facing = same ? ground->normal : place.normal;
    probe.at_m = (same ? ground->at_m : at_m) + kOffGround_m * probe.facing;
    probe.receptorRadius_m = 0.0;
    return probe;
}

/// Lights' luminance, one light per unit flux.
struct Weights {
    std::vector<LayerMix> all;
    std::vector<LayerMix> own;

    Weights(const Scene& scene, std::size_t light)
        : all(mixAsSet(scene, scene.camera.shutter_s.exact)), own(all) {
        for (std::size_t l = 0; l < own.size(); ++l) own[l].amount = l == light ? 1.0 : 0.0;
    }
};

/// Quotient; NaN over nothing, since "no light at all" has no share of itself.
double over(double part, double whole) {
    return whole == 0.0 ? double{NAN} : part / whole;
}

/// A figure of the profile without one replicate, at each place.
using Values = std::vector<double>;

Values sharesOf(const Profile& profile, bool own, int leftOut) {
    Values v;
    for (const LinePoint& p : profile)
        v.push_back(own ? over(meanWithout(p.own, leftOut), meanWithout(p.ownOpen, leftOut))
                        : over(meanWithout(p.all, leftOut), meanWithout(p.allOpen, leftOut)));
    return v;
}

/// Mean over the places of one plateau; NaN where there are none.
struct Plateaus {
    double shade = 0.0, lit = 0.0;
};
Plateaus plateausOf(const Profile& profile, const Values& v, const EdgePlace& place) {
    Plateaus sum;
    int shaded = 0, lit = 0;
    const float near_m = kPlateauFrom * plateau_m(place), far_m = 1.001F * plateau_m(place);
    const float deep_m =
        place.shadeEnd_m() + (place.deepest_m ? place.shadeBand_m + 1e-3F * far_m : far_m - near_m);
    for (std::size_t i = 0; i < v.size(); ++i) {
        const float above_m = profile[i].x_m - place.high_m;
        if (profile[i].x_m >= place.shadeEnd_m() - 1e-3F * far_m && profile[i].x_m <= deep_m)
            sum.shade += v[i], ++shaded;
        if (above_m >= near_m && above_m <= far_m) sum.lit += v[i], ++lit;
    }
    return {over(sum.shade, shaded), over(sum.lit, lit)};
}

struct Band {
    double low = NAN, high = NAN;
    double width() const { return high - low; }
};

/// Where the profile leaves `level` for the last time on its way down from the lit plateau, or up.
Band bandOf(const Profile& profile, const Values& v, const EdgePlace& place) {
    const Plateaus p = plateausOf(profile, v, place);
    const auto share = [&](std::size_t i) { return over(v[i] - p.shade, p.lit - p.shade); };
    const auto place_m = [&](std::size_t i, double level) {
        const double a = static_cast<double>(profile[i - 1].x_m), b = static_cast<double>(profile[i].x_m);
        return a + (b - a) * (level - share(i - 1)) / (share(i) - share(i - 1));
    };
    // From where half of the light has come, outward on either side.
    std::size_t half = 1;
    const float begin_m = std::max(place.low_m, place.shadeEnd_m());
    while (half < v.size() && (profile[half].x_m <= begin_m || share(half) < 0.5)) ++half;
    if (half == v.size() || !(share(half - 1) < 0.5)) return {};
    Band band;
    for (std::size_t i = half; i > 0 && std::isnan(band.low); --i)
        if (share(i - 1) < 0.1) band.low = place_m(i, 0.1);
    for (std::size_t i = half; i < v.size() && std::isnan(band.high); ++i)
        if (share(i) >= 0.9) band.high = place_m(i, 0.9);
    return band;
}

/// Lit over shaded; empty where some replicate too many found no light in the shade.
std::optional<Measured> depthOf(const Profile& profile, const EdgePlace& place, bool own) {
    const auto depth = [&](int leftOut) {
        const Plateaus p = plateausOf(profile, sharesOf(profile, own, leftOut), place);
        return p.shade > 0.0 && p.lit > 0.0 ? std::log2(p.lit / p.shade) : double{NAN};
    };
    for (int i = kNoneLeftOut; i < kReplicates; ++i)
        if (!std::isfinite(depth(i))) return {};
    return jackknife(depth);
}

/// Change from the inner to the outer half of the plateaus, the larger of the two, as a share of the step.
double unevennessOf(const Profile& profile, const Values& v, const EdgePlace& place) {
    const Plateaus p = plateausOf(profile, v, place);
    const float near_m = kPlateauFrom * plateau_m(place), far_m = 1.001F * plateau_m(place);
    double inner[2] = {0, 0}, outer[2] = {0, 0};
    int in[2] = {0, 0}, out[2] = {0, 0};
    for (std::size_t i = 0; i < v.size(); ++i) {
        const float beyond_m[2] = {place.low_m - profile[i].x_m, profile[i].x_m - place.high_m};
        for (int side = 0; side < 2; ++side) {
            if (beyond_m[side] < near_m || beyond_m[side] > far_m) continue;
            const bool isInner = beyond_m[side] < 0.5F * (near_m + far_m);
            (isInner ? inner : outer)[side] += v[i];
            ++(isInner ? in : out)[side];
        }
    }
    double worst = 0.0;
    for (int side = 0; side < 2; ++side) {
        if (in[side] == 0 || out[side] == 0) continue;  // a shade that is one place alone has no two halves
        const double change = inner[side] / in[side] - outer[side] / out[side];
        worst = std::max(worst, std::abs(over(change, p.lit - p.shade)));
    }
    return worst;
}

}  // namespace

std::vector<float> placesAlong(const EdgePlace& place, float from_m, float to_m,
                               const std::vector<glm::vec2>& beside) {
    const float more_m = plateau_m(place);
    std::vector<float> x;
    if (place.deepest_m)
        addEvenly(x, *place.deepest_m, *place.deepest_m + place.shadeBand_m, 2);
    else
        addEvenly(x, place.low_m - more_m, place.low_m, 5);
    addEvenly(x, place.deepest_m ? *place.deepest_m : place.low_m, place.high_m, 24);
    addEvenly(x, place.high_m, place.high_m + more_m, 5);
    if (place.lamp_m) {
        const float beside_m = 0.25F * (place.lamp_m->y - place.lamp_m->x);
        addEvenly(x, place.lamp_m->x - beside_m, place.lamp_m->y + beside_m, 12);
    }
    for (const glm::vec2& penumbra : beside) addEvenly(x, penumbra.x, penumbra.y, 16);
    if (from_m < place.shadeEnd_m()) addEvenly(x, from_m, place.shadeEnd_m(), 12);
    if (to_m > place.high_m + more_m) addEvenly(x, place.high_m + more_m, to_m, 12);
    std::sort(x.begin(), x.end());
    // Two places closer than that tell nothing new.
    float least_m = 0.3F / 24.0F * (place.high_m - place.low_m);
    if (place.lamp_m) least_m = std::min(least_m, 0.3F / 8.0F * (place.lamp_m->y - place.lamp_m->x));
    for (const glm::vec2& penumbra : beside)
        least_m = std::min(least_m, 0.3F / 16.0F * (penumbra.y - penumbra.x));
    x.erase(std::unique(x.begin(), x.end(), [=](float a, float b) { return b - a < least_m; }), x.end());
    return x;
}

std::optional<Profile> meterProfile(const Stage& stage, const Stage& open, const EdgePlace& place,
                                    const std::vector<float>& x_m, const ProfileSettings& settings,
                                    PathCounters& counters) {
    const Weights weights(stage.scene(), place.light);
    Profile profile(x_m.size());
    std::vector<PathCounters> counted(x_m.size());
    RunSettings alone = settings.run;
    alone.threads = 1;
    alone.tell = {};
    std::atomic<bool> cut = false;
    parallelTasks(settings.run.threads, x_m.size(), [&](std::size_t i) {
        const Probe probe = meterAt(stage, place, x_m[i]);
        const ProbeTransfer with =
            traceProbe(stage, probe, settings.points, settings.stream, alone, counted[i]);
        const ProbeTransfer without =
            traceProbe(open, probe, settings.points, settings.stream, alone, counted[i]);
        if (with.interrupted || without.interrupted) cut = true;
        profile[i] = {x_m[i], total(with.layer, weights.own), total(without.layer, weights.own),
                      total(with.layer, weights.all), total(without.layer, weights.all)};
    });
    for (const PathCounters& c : counted) counters += c;
    if (cut) return {};
    return profile;
}

std::optional<EdgeFigures> edgeFigures(const Profile& profile, const EdgePlace& place) {
    const Values shares = sharesOf(profile, true, kNoneLeftOut);
    const Band band = bandOf(profile, shares, place);
    if (!std::isfinite(band.width())) return {};
    EdgeFigures figures;
    const auto widthWithout = [&](int leftOut) {
        return bandOf(profile, sharesOf(profile, true, leftOut), place).width();
    };
    for (int i = 0; i < kReplicates; ++i)
        figures.widthWithout_m[static_cast<std::size_t>(i)] = widthWithout(i);
    figures.width_m = jackknife([&](int i) {
        return i == kNoneLeftOut ? band.width() : figures.widthWithout_m[static_cast<std::size_t>(i)];
    });
    if (!std::isfinite(figures.width_m.interval95.half())) return {};
    figures.x10_m = static_cast<float>(band.low);
    figures.x90_m = static_cast<float>(band.high);
    figures.depth_stops = depthOf(profile, place, false);
    figures.depthOwn_stops = depthOf(profile, place, true);
    figures.unevenness = unevennessOf(profile, shares, place);
    return figures;
}

}  // namespace keyfall
