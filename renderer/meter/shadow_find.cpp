#include "renderer/meter/shadow_find.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "renderer/meter/shadow_map.h"

namespace keyfall {
namespace {

constexpr int kSide = ShadowMap::kSide;
/// A throw below this is a contact shadow.
constexpr double kLeastThrow_m = 0.005;
/// Of the largest shadow's area: what else may count as the main one where that has no good place.
constexpr float kMainShare = 0.4F;

/// A place where a lit cell and a shaded one meet, and which way the light is.
struct Rim {
    glm::vec3 shade_m{0.0F}, light_m{0.0F};
    glm::vec3 normal{0.0F};
    int x = 0, y = 0;
    glm::vec3 middle_m() const { return 0.5F * (shade_m + light_m); }
};

/// One caster's shadow on one receiver.
struct Shadow {
    std::uint32_t caster = kNoObject, receiver = kNoObject;
    int rank = 0;
    float area_m2 = 0.0F;  ///< of what the camera sees of it
    std::vector<Rim> rim;
};

void addRim(const ShadowCell& a, const ShadowCell& b, int x, int y,
            std::map<std::uint32_t, Shadow>& shadows) {
    if ((a.caster == kNoObject) == (b.caster == kNoObject)) return;
    const ShadowCell& shade = a.caster != kNoObject ? a : b;
    const ShadowCell& light = a.caster != kNoObject ? b : a;
    if (shade.receiver != light.receiver || glm::dot(shade.normal, light.normal) < 0.98F) return;
    if (!shade.seen || !light.seen) return;
    shadows[shade.receiver].rim.push_back({shade.at_m, light.at_m, light.normal, x, y});
}

/// The shadows of one item, on all that it falls on.
std::vector<Shadow> shadowsOf(const ShadowMap& map, std::uint32_t caster, int rank) {
    std::map<std::uint32_t, Shadow> shadows;
    const auto at = [&](int x, int y) -> const ShadowCell& {
        return map.cell[static_cast<std::size_t>(y * kSide + x)];
    };
    for (int y = 0; y < kSide; ++y)
        for (int x = 0; x < kSide; ++x) {
            const ShadowCell& c = at(x, y);
            if (c.receiver == kNoObject) continue;
            if (c.caster == caster && c.seen) shadows[c.receiver].area_m2 += c.area_m2;
            for (const auto& [nx, ny] : {std::pair(x + 1, y), std::pair(x, y + 1)}) {
                if (nx >= kSide || ny >= kSide || at(nx, ny).receiver == kNoObject) continue;
                if (c.caster == caster || at(nx, ny).caster == caster) addRim(c, at(nx, ny), x, y, shadows);
            }
        }
    std::vector<Shadow> all;
    for (auto& [receiver, s] : shadows) {
        s.caster = caster, s.receiver = receiver, s.rank = rank;
        if (s.area_m2 > 0.0F && !s.rim.empty()) all.push_back(std::move(s));
    }
    return all;
}

std::vector<Shadow> allShadows(const Stage& stage, std::size_t light, std::vector<LuminousFront>& fronts) {
    const Scene& scene = stage.scene();
    std::vector<Shadow> all;
    for (std::size_t i = 0; i < scene.items.size(); ++i) {
        const int rank = casterRank(scene.items[i]);
        if (rank < 0) continue;
        fronts[i] = luminousFront(stage, light, boundsOf(scene.items[i].mesh).middle());
        const auto object = static_cast<std::uint32_t>(scene.lights.size() + i);
        for (Shadow& s : shadowsOf(shadowMap(stage, light, fronts[i], scene.items[i]), object, rank))
            all.push_back(std::move(s));
    }
    std::stable_sort(all.begin(), all.end(), [](const Shadow& a, const Shadow& b) {
        return a.rank != b.rank ? a.rank < b.rank : a.area_m2 > b.area_m2;
    });
    return all;
}

/// The outline's direction near a rim: the longest axis of the rims within three cells of it, on the surface.
std::optional<glm::vec3> directionAt(const Shadow& shadow, const Rim& here) {
    const Frame f = frameAround(here.normal);
    double xx = 0.0, xy = 0.0, yy = 0.0;
    int count = 0;
    for (const Rim& r : shadow.rim) {
        if (std::max(std::abs(r.x - here.x), std::abs(r.y - here.y)) > 3) continue;
        const glm::dvec3 d(f.toLocal(r.middle_m() - here.middle_m()));
        xx += d.x * d.x, xy += d.x * d.y, yy += d.y * d.y;
        ++count;
    }
    if (count < 4) return {};
    const double turn = 0.5 * std::atan2(2.0 * xy, xx - yy);
    return f.toWorld({static_cast<float>(std::cos(turn)), static_cast<float>(std::sin(turn)), 0.0F});
}

/// The place at a rim, its line straight across the outline.
std::optional<EdgePlace> placeAt(const Stage& stage, std::size_t light, const LuminousFront& front,
                                 const Shadow& shadow, const Rim& rim) {
    const auto outline = directionAt(shadow, rim);
    if (!outline) return {};
    EdgePlace place;
    place.light = light, place.caster = shadow.caster, place.receiver = shadow.receiver;
    place.normal = rim.normal;
    place.along = glm::normalize(glm::cross(*outline, rim.normal));
    if (glm::dot(place.along, rim.light_m - rim.shade_m) < 0.0F) place.along = -place.along;
    const float cell_m = glm::length(rim.light_m - rim.shade_m);
    float step_m = std::max(0.0015F, cell_m);
    for (int turn = 0; turn < 2; ++turn) {  // the second time square to the outline as it was found
        const glm::vec3 origin_m = rim.middle_m() + kOffGround_m * place.normal;
        const auto x = outlineOn(stage, light, front, origin_m, place.along, -3.0F * cell_m, 3.0F * cell_m);
        if (!x) return {};
        place.at_m = rim.middle_m() + *x * place.along;
        if (!completePlace(stage, front, step_m, place)) return {};
        const glm::vec3 square = glm::normalize(glm::cross(place.outline, place.normal));
        place.along = glm::dot(square, place.along) < 0.0F ? -square : square;
        step_m = edgeStep_m(place);
    }
    return completePlace(stage, front, step_m, place) ? std::optional(place) : std::nullopt;
}

/// A few hundred rims, spread over all of them.
std::vector<EdgePlace> placesOn(const Stage& stage, std::size_t light, const LuminousFront& front,
                                const Shadow& shadow) {
    constexpr std::size_t kMost = 160;
    std::vector<EdgePlace> places;
    const double step = std::max(1.0, static_cast<double>(shadow.rim.size()) / kMost);
    for (double i = 0.0; i < static_cast<double>(shadow.rim.size()); i += step) {
        const auto place = placeAt(stage, light, front, shadow, shadow.rim[static_cast<std::size_t>(i)]);
        if (place && place->throw_m() > kLeastThrow_m) places.push_back(*place);
    }
    return places;
}

/// How far a place is from what is wanted: half of the longest throw, on the camera's side of the caster.
double costOf(const Scene& scene, const EdgePlace& p, double longest_m) {
    constexpr double kFarSide = 0.3;  // a third more or less throw is worth the near side
    const glm::vec3 middle_m = boundsOf(itemOf(scene, p.caster)->mesh).middle();
    const bool far = scene.hasCamera && glm::dot(p.at_m - middle_m, scene.camera.frame.z) > 0.0F;
    return std::abs(std::log(p.throw_m() / (0.5 * longest_m))) + (far ? kFarSide : 0.0);
}

/// Where no place has full shade: of the first few, in the order of their cost, the one with the deepest; a
/// tenth of the front more or less is no matter.
template <class IsWhole>
std::optional<EdgePlace> deepestPlace(std::vector<EdgePlace>& places, const IsWhole& isWhole) {
    constexpr int kLookedAt = 24;
    constexpr float kAlike = 0.1F;
    std::optional<EdgePlace> best;
    int looked = 0;
    for (EdgePlace& p : places) {
        if (looked >= kLookedAt) break;
        if (!isWhole(p)) continue;
        ++looked;
        if (!best || p.deepestSees < best->deepestSees - kAlike) best = p;
    }
    return best;
}

std::optional<EdgePlace> bestPlace(const Stage& stage, std::size_t light, const LuminousFront& front,
                                   const Shadow& shadow) {
    std::vector<EdgePlace> places = placesOn(stage, light, front, shadow);
    double longest_m = 0.0;
    for (const EdgePlace& p : places) longest_m = std::max(longest_m, p.throw_m());
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t i = 0; i < places.size(); ++i)
        order.emplace_back(costOf(stage.scene(), places[i], longest_m), i);
    std::sort(order.begin(), order.end());
    std::vector<EdgePlace> sorted;
    for (const auto& [cost, i] : order) sorted.push_back(places[i]);
    places = std::move(sorted);
    std::erase_if(places, [&](const EdgePlace& p) {
        return !isStraight(stage, front, p) || !hasLitPlateau(stage, front, p) ||
               !isSeen(stage, p.at_m + (p.high_m + plateau_m(p)) * p.along, p.normal);
    });
    const auto isWhole = [&](EdgePlace& p) {
        return limitShade(stage, front, p) && isSeen(stage, p.at_m + p.shadeEnd_m() * p.along, p.normal);
    };
    for (EdgePlace& p : places)
        if (hasFullShade(stage, front, p) && isWhole(p)) return p;
    return deepestPlace(places, isWhole);
}

}  // namespace

std::optional<EdgePlace> mainShadow(const Stage& stage, std::size_t light) {
    std::vector<LuminousFront> fronts(stage.scene().items.size());
    const std::vector<Shadow> shadows = allShadows(stage, light, fronts);
    for (const Shadow& shadow : shadows) {
        // A spoon's shadow does not stand for the bottle's.
        if (shadow.rank > shadows.front().rank || shadow.area_m2 < kMainShare * shadows.front().area_m2)
            break;
        if (const auto place =
                bestPlace(stage, light, fronts[shadow.caster - stage.scene().lights.size()], shadow))
            return place;
    }
    return {};
}

}  // namespace keyfall
