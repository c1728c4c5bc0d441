#include "renderer/meter/shadow_map.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "renderer/transport/camera_rays.h"

namespace keyfall {
namespace {

bool receives(const Item& item) {
    return item.kind == ItemKind::table || item.kind == ItemKind::backdrop || item.kind == ItemKind::room;
}

/// A window of slopes (x/z, y/z) in a frame around the way to the item.
struct Window {
    Frame frame;
    glm::vec2 low{1e9F}, high{-1e9F};

    glm::vec3 directionAt(glm::vec2 share) const {
        const glm::vec2 slope = low + share * (high - low);
        return glm::normalize(frame.toWorld({slope.x, slope.y, 1.0F}));
    }
    /// Solid angle of one of n x n cells, by the cosine to the window's middle.
    float cell_sr(glm::vec3 direction, int n) const {
        const float cosine = glm::dot(direction, frame.z);
        return (high.x - low.x) * (high.y - low.y) / static_cast<float>(n * n) * cosine * cosine * cosine;
    }
};

Window windowAround(const Box3& box, glm::vec3 eye_m) {
    Window w;
    w.frame = frameAround(glm::normalize(box.middle() - eye_m));
    for (int corner = 0; corner < 8; ++corner) {
        const glm::vec3 share((corner & 1) != 0, (corner & 2) != 0, (corner & 4) != 0);
        const glm::vec3 local = w.frame.toLocal(box.low + share * box.size() - eye_m);
        if (local.z < 0.2F * glm::length(local)) continue;  // a corner beside the light: out of its view
        w.low = glm::min(w.low, glm::vec2(local) / local.z);
        w.high = glm::max(w.high, glm::vec2(local) / local.z);
    }
    const glm::vec2 margin = 0.08F * (w.high - w.low);
    w.low -= margin, w.high += margin;
    return w;
}

ShadowCell lookFrom(const Stage& stage, std::size_t light, glm::vec3 eye_m, glm::vec3 direction,
                    float cell_sr) {
    const Scene& scene = stage.scene();
    ShadowCell cell;
    float near_m = 0.0F;
    for (int i = 0; i < 64; ++i) {
        const auto hit = stage.intersect(eye_m, direction, near_m);
        if (!hit) return {};
        const SurfacePoint s = stage.surfaceAt(*hit, eye_m, direction);
        const std::uint32_t object = objectOfHit(scene, s);
        const Item* item = itemOf(scene, object);
        if (item != nullptr && receives(*item)) {
            cell.receiver = object;
            cell.at_m = s.position_m;
            cell.normal = s.geometricNormal;
            const float slant = std::max(1e-3F, std::abs(glm::dot(cell.normal, direction)));
            cell.area_m2 = cell_sr * hit->distance_m * hit->distance_m / slant;
            return cell;
        }
        const bool passes = object == light || (item != nullptr && item->kind == ItemKind::scrim);
        if (!passes && cell.caster == kNoObject) cell.caster = object;
        near_m = hit->distance_m + 2e-5F;
    }
    return {};
}

}  // namespace

int casterRank(const Item& item) {
    switch (item.kind) {
        case ItemKind::product: return 0;
        case ItemKind::block: return 1;
        case ItemKind::board:
        case ItemKind::flag: return 2;
        default: return -1;
    }
}

bool isSeen(const Stage& stage, glm::vec3 place_m, glm::vec3 normal) {
    const Scene& scene = stage.scene();
    if (!scene.hasCamera) return true;
    const Camera& c = scene.camera;
    const glm::vec3 way = place_m - c.lens_m;
    if (glm::dot(way, c.frame.z) <= 0.0F || glm::dot(way, normal) >= 0.0F) return false;
    const CameraRays rays(c, scene.picture.width_px, scene.picture.height_px);
    const glm::vec2 px = rays.project_px(place_m);
    if (px.x < 0.0F || px.y < 0.0F || px.x > static_cast<float>(scene.picture.width_px) ||
        px.y > static_cast<float>(scene.picture.height_px))
        return false;
    const float way_m = glm::length(way);
    const auto hit = stage.intersect(c.lens_m, way / way_m);
    return !hit || hit->distance_m > way_m - 1e-3F;
}

ShadowMap shadowMap(const Stage& stage, std::size_t light, const LuminousFront& front, const Item& item) {
    constexpr int n = ShadowMap::kSide;
    const Window window = windowAround(boundsOf(item.mesh), front.middle_m);
    ShadowMap map;
    map.cell.resize(static_cast<std::size_t>(n * n));
    if (!(window.high.x > window.low.x)) return map;
    for (int y = 0; y < n; ++y)
        for (int x = 0; x < n; ++x) {
            const glm::vec2 share = (glm::vec2(x, y) + 0.5F) / static_cast<float>(n);
            const glm::vec3 direction = window.directionAt(share);
            ShadowCell& cell = map.cell[static_cast<std::size_t>(y * n + x)];
            cell = lookFrom(stage, light, front.middle_m, direction, window.cell_sr(direction, n));
            cell.seen = cell.receiver != kNoObject && isSeen(stage, cell.at_m, cell.normal);
        }
    return map;
}

}  // namespace keyfall
