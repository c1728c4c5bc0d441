// Where a shadow's line has its two plateaus, and what counts as the shade where none is full. Not here: the
// place itself (shadow_place.cpp), light (shadow_profile.cpp).
#include <algorithm>
#include <cmath>

#include "renderer/meter/shadow_map.h"
#include "renderer/meter/shadow_place.h"

namespace keyfall {
namespace {

/// Places from the outline into the shade, as far as the front's middle is hidden, and why they end.
struct WayIn {
    std::vector<float> x_m;
    Shade end = Shade::bothSides;
    std::uint32_t foot = kNoObject;
};

/// What stands on the line between two places, and how far from the first.
struct Foot {
    std::uint32_t object = kNoObject;
    float distance_m = 0.0F;
};
std::optional<Foot> footBetween(const Stage& stage, glm::vec3 from_m, glm::vec3 to_m,
                                std::uint32_t receiver) {
    const float way_m = glm::length(to_m - from_m);
    const glm::vec3 direction = (to_m - from_m) / way_m;
    const auto hit = stage.intersect(from_m, direction);
    if (!hit || hit->distance_m > way_m) return {};
    const Foot foot{objectOfHit(stage.scene(), stage.surfaceAt(*hit, from_m, direction)), hit->distance_m};
    return foot.object != receiver ? std::optional(foot) : std::nullopt;  // a sweep rises before itself
}

WayIn wayIn(const Stage& stage, const LuminousFront& front, const EdgePlace& p) {
    constexpr int kSteps = 64;
    constexpr float kKnee_m = 3e-4F;  // over the surface
    const float step_m = (p.high_m - p.low_m + plateau_m(p)) / kSteps;
    WayIn way;
    glm::vec3 last_m = p.at_m + kKnee_m * p.normal;
    for (int i = 1; i <= 2 * kSteps; ++i) {
        const float x_m = -step_m * static_cast<float>(i);
        const auto ground = groundUnder(stage, p.at_m + x_m * p.along, p.normal, 0.002F);
        const bool same = ground && ground->object == p.receiver;
        const glm::vec3 here_m =
            same ? ground->at_m + kKnee_m * ground->normal : last_m - step_m * p.along;
        if (const auto foot = footBetween(stage, last_m, here_m, p.receiver)) {
            const float way_m = std::max(foot->distance_m - kOffGround_m, 0.0F);
            way.x_m.push_back(std::min(x_m + step_m - way_m, -kOffGround_m));
            way.end = Shade::foot, way.foot = foot->object;
            return way;
        }
        way.end = same ? Shade::bothSides : Shade::surfaceEnds;
        if (!same) return way;
        const glm::vec3 eye_m = ground->at_m + kOffGround_m * ground->normal;
        if (obstacleBefore(stage, eye_m, front.middle_m, p.light).object == kNoObject) return way;
        way.x_m.push_back(x_m);
        last_m = here_m;
    }
    return way;
}

/// Of points spread between the front's outline, the share that is seen at x metres along the line. The same
/// points everywhere: as the shade grows, none comes back.
double seenShare(const Stage& stage, const LuminousFront& front, const EdgePlace& p, float x_m) {
    constexpr std::size_t kPoints = 96;
    const auto ground = groundUnder(stage, p.at_m + x_m * p.along, p.normal, 0.002F);
    const glm::vec3 eye_m = ground ? ground->at_m + kOffGround_m * ground->normal
                                   : p.at_m + x_m * p.along + kOffGround_m * p.normal;
    const std::size_t n = front.outline_m.size();
    std::size_t seen = 0;
    for (std::size_t k = 0; k < kPoints; ++k) {
        const glm::vec3 a_m = front.outline_m[7 * k % n];
        const glm::vec3 b_m = front.outline_m[(7 * k + 1 + 5 * k % (n - 1)) % n];
        const float t = std::fmod(0.618034F * static_cast<float>(k), 1.0F);
        if (obstacleBefore(stage, eye_m, a_m + t * (b_m - a_m), p.light).object == kNoObject) ++seen;
    }
    return static_cast<double>(seen) / kPoints;
}

/// The deepest places of the way in: from, to, by index; and how much of the front they see.
struct Deepest {
    std::size_t from = 0, to = 0;
    double seen = 1.0;
};
Deepest deepestOf(const Stage& stage, const LuminousFront& front, const EdgePlace& p, const WayIn& way) {
    Deepest d;
    for (std::size_t i = 0; i < way.x_m.size(); ++i) {
        const double seen = seenShare(stage, front, p, way.x_m[i]);
        if (i == 0 || seen < d.seen) d = {i, i, seen};
        if (seen <= d.seen) d.to = i;
    }
    return d;
}

}  // namespace

float plateau_m(const EdgePlace& place) { return std::max(0.25F * (place.high_m - place.low_m), 0.0015F); }

float EdgePlace::shadeEnd_m() const { return deepest_m ? *deepest_m : low_m - plateau_m(*this); }

bool isPlateau(const Stage& stage, const LuminousFront& front, const EdgePlace& p, float x_m, bool lit) {
    const auto ground = groundUnder(stage, p.at_m + x_m * p.along, p.normal, 0.002F);
    if (!ground || ground->object != p.receiver) return false;
    const glm::vec3 from_m = ground->at_m + kOffGround_m * ground->normal;
    const auto before = [&](glm::vec3 to_m) { return obstacleBefore(stage, from_m, to_m, p.light).object; };
    if ((before(front.middle_m) == kNoObject) != lit) return false;
    const std::size_t step = std::max<std::size_t>(1, front.outline_m.size() / 12);
    for (std::size_t i = 0; i < front.outline_m.size(); i += step) {
        const std::uint32_t object = before(front.outline_m[i]);
        if (lit ? object == p.caster : object == kNoObject) return false;
    }
    return true;
}

bool hasLitPlateau(const Stage& stage, const LuminousFront& front, const EdgePlace& p) {
    for (const float share : {kPlateauFrom, 0.6F, 1.0F})
        if (!isPlateau(stage, front, p, p.high_m + share * plateau_m(p), true)) return false;
    return true;
}

bool hasFullShade(const Stage& stage, const LuminousFront& front, const EdgePlace& p) {
    for (const float share : {kPlateauFrom, 0.6F, 1.0F})
        if (!isPlateau(stage, front, p, p.low_m - share * plateau_m(p), false)) return false;
    return true;
}

bool limitShade(const Stage& stage, const LuminousFront& front, EdgePlace& p) {
    p.deepest_m.reset(), p.shade = Shade::full, p.deepestSees = 0.0F;
    if (hasFullShade(stage, front, p)) return true;
    const WayIn way = wayIn(stage, front, p);
    if (way.x_m.size() < 2) return false;
    const Deepest d = deepestOf(stage, front, p, way);
    const bool atEnd = d.to + 1 == way.x_m.size() && way.end != Shade::bothSides;
    const float from_m = way.x_m[d.from], to_m = way.x_m[d.to];
    p.shade = d.seen <= 0.0 ? Shade::narrow : atEnd ? way.end : Shade::bothSides;
    p.foot = way.foot;
    p.deepestSees = static_cast<float>(d.seen);
    p.deepest_m = p.shade == Shade::foot || p.shade == Shade::surfaceEnds ? to_m : 0.5F * (from_m + to_m);
    // Where the shade still grows, nothing before its end may count; where it is flat, places near by do.
    const float flat_m = p.shade == Shade::narrow ? 0.5F * (from_m - to_m) : -0.1F * *p.deepest_m;
    p.shadeBand_m = atEnd && d.seen > 0.0 ? 0.0F : std::min(flat_m, -0.1F * *p.deepest_m);
    return true;
}

bool isStraight(const Stage& stage, const LuminousFront& front, const EdgePlace& p) {
    const float penumbra_m = p.high_m - p.low_m;
    const float aside_m = std::max(0.25F * penumbra_m, 0.002F);
    for (const float side : {-1.0F, 1.0F}) {
        const glm::vec3 origin_m = p.at_m + side * aside_m * p.outline + kOffGround_m * p.normal;
        const auto x = outlineOn(stage, p.light, front, origin_m, p.along, -aside_m, aside_m);
        if (!x || std::abs(*x) > 0.1F * std::max(penumbra_m, aside_m)) return false;
    }
    return true;
}

}  // namespace keyfall
