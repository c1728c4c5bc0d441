// One look a pixel, and sums over the pixels. Not here: wording (tools/keyfall).
#include "renderer/meter/visible.h"

#include <algorithm>

#include "renderer/film/parallel.h"
#include "renderer/transport/camera_rays.h"

namespace keyfall {

std::uint32_t objectOfItem(const Scene& scene, std::size_t item) {
    const Item& i = scene.items[item];
    return static_cast<std::uint32_t>(i.kind == ItemKind::modifier ? i.light : scene.lights.size() + item);
}

const Item* itemOf(const Scene& scene, std::uint32_t object) {
    const std::size_t lights = scene.lights.size();
    return object == kNoObject || object < lights ? nullptr : &scene.items[object - lights];
}

std::string nameOfObject(const Scene& scene, std::uint32_t object) {
    if (object == kNoObject) return "dark";
    const Item* item = itemOf(scene, object);
    if (item == nullptr) return scene.lights[object].name;
    return item->name.empty() ? nameOf(item->kind) : item->name;
}

bool isGear(const Scene& scene, std::uint32_t object) {
    if (const Item* item = itemOf(scene, object))
        return item->kind == ItemKind::board || item->kind == ItemKind::scrim || item->kind == ItemKind::flag;
    return object != kNoObject;
}

std::uint32_t objectOfHit(const Scene& scene, const SurfacePoint& seen) {
    return seen.emitter != kNoEmitter ? seen.emitter : objectOfItem(scene, seen.item);
}

VisiblePicture lookThroughLens(const Stage& stage, int width_px, int height_px) {
    const Scene& scene = stage.scene();
    const CameraRays camera(scene.camera, width_px, height_px);
    const std::size_t width = static_cast<std::size_t>(width_px);
    VisiblePicture seen{width_px, height_px, {}, {}, {}};
    const std::size_t pixels = width * static_cast<std::size_t>(height_px);
    seen.depth_m.resize(pixels);
    seen.object.resize(pixels, kNoObject);
    seen.material.resize(pixels, kNoObject);
    parallelFor(height_px, [&](int y) {
        for (std::size_t x = 0; x < width; ++x) {
            const Ray ray = camera.at(glm::vec2(x, y) + 0.5F, glm::vec2(0.0F));
            const auto hit = stage.intersect(ray.origin_m, ray.direction);
            if (!hit) continue;
            const SurfacePoint s = stage.surfaceAt(*hit, ray.origin_m, ray.direction);
            const std::size_t p = static_cast<std::size_t>(y) * width + x;
            seen.depth_m[p] = glm::dot(s.position_m - scene.camera.lens_m, scene.camera.frame.z);
            seen.object[p] = objectOfHit(scene, s);
            seen.material[p] = static_cast<std::uint32_t>(s.material - scene.materials.data());
        }
    });
    return seen;
}

bool showsProduct(const Scene& scene, const VisiblePicture& seen, std::size_t pixel) {
    const Item* item = itemOf(scene, seen.object[pixel]);
    return item != nullptr && item->kind == ItemKind::product;
}

std::optional<VisibleDepth> visibleProductDepth(const Scene& scene, const VisiblePicture& seen) {
    VisibleDepth depth{HUGE_VAL, 0.0, 0.0};
    for (std::size_t p = 0; p < seen.object.size(); ++p) {
        if (!showsProduct(scene, seen, p)) continue;
        const auto d_m = static_cast<double>(seen.depth_m[p]);
        depth.nearest_m = std::min(depth.nearest_m, d_m);
        depth.farthest_m = std::max(depth.farthest_m, d_m);
        depth.pictureShare += 1.0;
    }
    if (!(depth.pictureShare > 0.0)) return {};
    depth.pictureShare /= static_cast<double>(seen.object.size());
    return depth;
}

namespace {

/// Whether the lens's centre sees a point of a surface, which lies in the frame. What is met within the
/// rounding of the point is the surface itself; a point on a silhouette may be missed by its own ray.
bool isSeen(const Stage& stage, const CameraRays& camera, const VisiblePicture& frame, glm::vec3 point_m) {
    constexpr float kReach = 1.0F - 1e-4F;
    const glm::vec2 at_px = camera.project_px(point_m);
    if (!(at_px.x >= 0.0F && at_px.x <= static_cast<float>(frame.width_px))) return false;
    if (!(at_px.y >= 0.0F && at_px.y <= static_cast<float>(frame.height_px))) return false;
    const glm::vec3 way_m = point_m - stage.scene().camera.lens_m;
    const float distance_m = glm::length(way_m);
    const auto hit = stage.intersect(stage.scene().camera.lens_m, way_m / distance_m);
    return !hit || hit->distance_m >= kReach * distance_m;
}

/// Widens `depth` to what is seen of a product's corners.
void addCorners(const Stage& stage, const VisiblePicture& frame, const Mesh& mesh, VisibleDepth& depth) {
    const Camera& camera = stage.scene().camera;
    const CameraRays rays(camera, frame.width_px, frame.height_px);
    const VisibleDepth known = depth;
    std::vector<double> ends_m(mesh.position_m.size(), 0.0);  // 0: nothing new
    parallelFor(ends_m.size(), [&](std::size_t v) {
        const glm::vec3 p_m = mesh.position_m[v];
        const auto d_m = static_cast<double>(glm::dot(p_m - camera.lens_m, camera.frame.z));
        if (!(d_m > 0.0) || (d_m >= known.nearest_m && d_m <= known.farthest_m)) return;
        if (isSeen(stage, rays, frame, p_m)) ends_m[v] = d_m;
    });
    for (const double d_m : ends_m) {
        if (!(d_m > 0.0)) continue;
        depth.nearest_m = std::min(depth.nearest_m, d_m);
        depth.farthest_m = std::max(depth.farthest_m, d_m);
    }
}

}  // namespace

std::optional<VisibleDepth> visibleProductDepth(const Stage& stage, const VisiblePicture& seen) {
    auto depth = visibleProductDepth(stage.scene(), seen);
    if (!depth) return {};
    for (const Item& item : stage.scene().items)
        if (item.kind == ItemKind::product) addCorners(stage, seen, item.mesh, *depth);
    return depth;
}

std::optional<double> sharpShare(const Scene& scene, const VisiblePicture& seen, const DepthOfField& depth) {
    std::size_t sharp = 0;
    std::size_t all = 0;
    for (std::size_t p = 0; p < seen.object.size(); ++p) {
        if (!showsProduct(scene, seen, p)) continue;
        const auto d_m = static_cast<double>(seen.depth_m[p]);
        sharp += d_m >= depth.near_m && d_m <= depth.far_m ? 1U : 0U;
        ++all;
    }
    if (all == 0) return {};
    return static_cast<double>(sharp) / static_cast<double>(all);
}

std::vector<Sighting> gearInFrame(const Scene& scene, const VisiblePicture& seen) {
    std::vector<Sighting> all(scene.lights.size() + scene.items.size());
    for (std::size_t p = 0; p < seen.object.size(); ++p) {
        if (!isGear(scene, seen.object[p])) continue;
        Sighting& s = all[seen.object[p]];
        s.object = seen.object[p];
        s.share += 1.0;
        const std::size_t width = static_cast<std::size_t>(seen.width_px);
        s.middle += glm::dvec2(static_cast<double>(p % width) + 0.5, static_cast<double>(p / width) + 0.5);
    }
    std::erase_if(all, [](const Sighting& s) { return s.object == kNoObject; });
    for (Sighting& s : all) {
        s.middle /= s.share * glm::dvec2(seen.width_px, seen.height_px);
        s.share /= static_cast<double>(seen.object.size());
    }
    std::stable_sort(all.begin(), all.end(), [](const Sighting& a, const Sighting& b) { return a.share > b.share; });
    return all;
}

}  // namespace keyfall
