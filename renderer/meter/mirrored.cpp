// Mirror directions, and sums over the pixels. Not here: wording (tools/keyfall).
#include "renderer/meter/mirrored.h"

#include <algorithm>
#include <map>

#include "renderer/film/parallel.h"
#include "renderer/optics/bsdf.h"
#include "renderer/transport/camera_rays.h"

namespace keyfall {
namespace {

/// Whether the ray crosses one of the modifier's exits inward on its way.
bool crossesExit(const Light& light, glm::vec3 origin_m, glm::vec3 direction, float way_m) {
    // In the modifier's frame; an exit stands at most a millimetre before what it is the exit of.
    const glm::vec3 o = light.axes.toLocal(origin_m - light.exit_m);
    const glm::vec3 d = light.axes.toLocal(direction);
    for (const ExitFace& exit : light.body->exits) {
        const Frame& f = exit.shape.frame;
        const float along = glm::dot(d, f.z);
        if (along >= 0.0F) continue;
        const float t = glm::dot(exit.shape.centre_m - o, f.z) / along;
        if (t <= 0.0F || t > way_m + 1e-3F) continue;
        const glm::vec3 at = f.toLocal(o + t * d - exit.shape.centre_m);
        if (isOpen(exit, {at.x, at.y})) return true;
    }
    return false;
}

/// A bare lamp's emitting side; of one in a modifier what is seen through the exit, against the aim.
bool isLuminous(const Scene& scene, const SurfacePoint& met, std::uint32_t object, glm::vec3 origin_m,
                glm::vec3 direction, float way_m) {
    if (object >= scene.lights.size()) return false;
    const Light& light = scene.lights[object];
    if (light.body == nullptr) return met.emits;
    return glm::dot(direction, light.axes.z) < 0.0F && crossesExit(light, origin_m, direction, way_m);
}

/// About the smooth normal; where that points below the facets, about the facet's.
glm::vec3 mirroredAt(const SurfacePoint& s, glm::vec3 direction, glm::vec3 outward) {
    const glm::vec3 about = s.shading.z;
    const glm::vec3 turned = direction - 2.0F * glm::dot(direction, about) * about;
    if (glm::dot(turned, outward) > 0.0F) return glm::normalize(turned);
    return glm::normalize(direction - 2.0F * glm::dot(direction, outward) * outward);
}

using Counts = std::map<std::uint32_t, MirrorShare>;

std::vector<MirrorShare> sharesOf(const Counts& counts, double whole) {
    std::vector<MirrorShare> shares;
    for (const auto& [object, count] : counts)
        shares.push_back({object, 100.0 * count.share_percent / whole, 100.0 * count.luminous_percent / whole});
    std::stable_sort(shares.begin(), shares.end(),
                     [](const MirrorShare& a, const MirrorShare& b) { return a.share_percent > b.share_percent; });
    return shares;
}

void count(Counts& counts, const MirrorPicture& mirrored, std::size_t pixel) {
    MirrorShare& share = counts[mirrored.object[pixel]];
    share.share_percent += 1.0;
    share.luminous_percent += mirrored.luminous[pixel];
}

}  // namespace

bool isInArea(const Scene& scene, const VisiblePicture& seen, std::size_t pixel, std::string_view area) {
    if (!showsProduct(scene, seen, pixel)) return false;
    const std::string product = nameOfObject(scene, seen.object[pixel]);
    return area == product || area == product + "/" + scene.materials[seen.material[pixel]].name;
}

bool isGlossy(const Material& m) {
    const bool hasLobe = m.base == Base::metal || m.base == Base::plastic || m.base == Base::glass;
    return hasLobe && m.roughness * m.roughness < kRoughAlpha;
}

MirrorPicture lookMirrored(const Stage& stage, const VisiblePicture& seen) {
    const Scene& scene = stage.scene();
    const CameraRays camera(scene.camera, seen.width_px, seen.height_px);
    const std::size_t width = static_cast<std::size_t>(seen.width_px);
    MirrorPicture picture;
    picture.object.resize(seen.object.size(), kNotGlossy);
    picture.luminous.resize(seen.object.size(), 0);
    parallelFor(seen.height_px, [&](int y) {
        for (std::size_t x = 0; x < width; ++x) {
            const std::size_t p = static_cast<std::size_t>(y) * width + x;
            if (!showsProduct(scene, seen, p) || !isGlossy(scene.materials[seen.material[p]])) continue;
            const Ray ray = camera.at(glm::vec2(x, y) + 0.5F, glm::vec2(0.0F));
            const auto hit = stage.intersect(ray.origin_m, ray.direction);
            if (!hit) continue;
            const SurfacePoint s = stage.surfaceAt(*hit, ray.origin_m, ray.direction);
            const glm::vec3 outward = glm::dot(s.geometricNormal, ray.direction) < 0.0F ? s.geometricNormal : -s.geometricNormal;
            const glm::vec3 direction = mirroredAt(s, ray.direction, outward);
            const glm::vec3 origin_m = Stage::offsetOrigin(s.position_m, outward);
            picture.object[p] = kNoObject;
            const auto met = stage.intersect(origin_m, direction);
            if (!met) continue;
            const SurfacePoint there = stage.surfaceAt(*met, origin_m, direction);
            picture.object[p] = objectOfHit(scene, there);
            picture.luminous[p] = isLuminous(scene, there, picture.object[p], origin_m, direction, met->distance_m) ? 1 : 0;
        }
    });
    return picture;
}

std::vector<MirrorFace> mirrorTable(const VisiblePicture& seen, const MirrorPicture& mirrored) {
    std::map<std::pair<std::uint32_t, std::uint32_t>, Counts> faces;
    for (std::size_t p = 0; p < seen.object.size(); ++p)
        if (mirrored.object[p] != kNotGlossy) count(faces[{seen.object[p], seen.material[p]}], mirrored, p);
    std::vector<MirrorFace> table;
    for (const auto& [face, counts] : faces) {
        double whole = 0.0;
        for (const auto& [object, share] : counts) whole += share.share_percent;
        table.push_back({face.first, face.second, 100.0 * whole / static_cast<double>(seen.object.size()), sharesOf(counts, whole)});
    }
    return table;
}

std::optional<double> mirrors_percent(const Scene& scene, const VisiblePicture& seen, const MirrorPicture& mirrored,
                                      std::string_view object, std::string_view area) {
    double whole = 0.0;
    double glossy = 0.0;
    double meets = 0.0;
    bool known = std::any_of(scene.lights.begin(), scene.lights.end(), [&](const Light& l) { return l.name == object; }) ||
                 std::any_of(scene.items.begin(), scene.items.end(), [&](const Item& i) { return i.name == object; });
    for (std::size_t p = 0; p < seen.object.size() && known; ++p) {
        if (!isInArea(scene, seen, p, area)) continue;
        whole += 1.0;
        const std::uint32_t there = mirrored.object[p];
        if (there == kNotGlossy) continue;
        glossy += 1.0;
        if (there == kNoObject || nameOfObject(scene, there) != object) continue;
        if (there >= scene.lights.size() || mirrored.luminous[p] != 0) meets += 1.0;
    }
    if (!(glossy > 0.0)) return {};
    return 100.0 * meets / whole;
}

std::vector<MirroredGear> gearMirrored(const Scene& scene, const VisiblePicture& seen, const MirrorPicture& mirrored) {
    std::map<std::uint32_t, double> whole;
    std::map<std::uint32_t, Counts> products;
    std::map<std::pair<std::uint32_t, std::uint32_t>, double> smoothest;
    for (std::size_t p = 0; p < seen.object.size(); ++p) {
        if (!showsProduct(scene, seen, p)) continue;
        whole[seen.object[p]] += 1.0;
        if (mirrored.object[p] == kNotGlossy || !isGear(scene, mirrored.object[p])) continue;
        count(products[seen.object[p]], mirrored, p);
        const auto roughness = static_cast<double>(scene.materials[seen.material[p]].roughness);
        const auto known = smoothest.emplace(std::pair(seen.object[p], mirrored.object[p]), roughness).first;
        known->second = std::min(known->second, roughness);
    }
    std::vector<MirroredGear> all;
    for (const auto& [product, counts] : products)
        for (const MirrorShare& share : sharesOf(counts, whole[product]))
            all.push_back({product, share, smoothest[{product, share.object}]});
    std::stable_sort(all.begin(), all.end(), [](const MirroredGear& a, const MirroredGear& b) {
        return a.gear.share_percent > b.gear.share_percent;
    });
    return all;
}

}  // namespace keyfall
