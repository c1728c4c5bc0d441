#include "renderer/transport/layers.h"

#include <cmath>

#include "scene/colour.h"

namespace keyfall {
namespace {

bool glows(const Scene& scene) {
    for (const Material& m : scene.materials)
        if (!m.glow_cdm2.isBlack()) return true;
    return false;
}

/// sRGB bytes to linear, once for all texels.
const std::array<float, 256>& linearOfByte() {
    static const std::array<float, 256> table = [] {
        std::array<float, 256> t{};
        for (int i = 0; i < 256; ++i)
            t[static_cast<std::size_t>(i)] = static_cast<float>(decodeSrgb(i / 255.0));
        return t;
    }();
    return table;
}

glm::vec3 texel(const Texture& t, int x, int y) {
    const int xx = ((x % t.width) + t.width) % t.width;
    const int yy = ((y % t.height) + t.height) % t.height;
    const auto* p = &t.srgb[3 * (static_cast<std::size_t>(yy) * static_cast<std::size_t>(t.width) +
                                 static_cast<std::size_t>(xx))];
    const auto& linear = linearOfByte();
    return {linear[p[0]], linear[p[1]], linear[p[2]]};
}

/// Bilinear in linear light, repeating; v = 1 is the first row.
glm::vec3 lookup(const Texture& t, glm::vec2 uv) {
    // Into one repeat first: texels are counted in ints.
    const glm::vec2 w = uv - glm::floor(uv);
    const float x = w.x * static_cast<float>(t.width) - 0.5F;
    const float y = (1.0F - w.y) * static_cast<float>(t.height) - 0.5F;
    const float fx = x - std::floor(x);
    const float fy = y - std::floor(y);
    const int ix = static_cast<int>(std::floor(x));
    const int iy = static_cast<int>(std::floor(y));
    const glm::vec3 top = glm::mix(texel(t, ix, iy), texel(t, ix + 1, iy), fx);
    const glm::vec3 bottom = glm::mix(texel(t, ix, iy + 1), texel(t, ix + 1, iy + 1), fx);
    return glm::mix(top, bottom, fy);
}

}  // namespace

Bsdf LayerTable::bsdfAt(const SurfacePoint& s) const {
    Bsdf bsdf = untexturedBsdf(*s.material);
    if (s.material->texture) bsdf.reflectance *= reflectanceFromRgb(lookup(*s.material->texture, s.uv));
    return bsdf;
}

LayerTable layerTable(const Scene& scene) {
    LayerTable t;
    t.count = static_cast<std::uint32_t>(scene.lights.size());
    if (scene.room) t.ambient = t.count++;
    if (glows(scene)) t.glow = t.count++;
    return t;
}

std::vector<LayerInfo> layerInfos(const Scene& scene) {
    std::vector<LayerInfo> infos;
    for (std::size_t l = 0; l < scene.lights.size(); ++l)
        infos.push_back({scene.lights[l].name, LayerKind::light, l, scene.lights[l].bands});
    if (scene.room) infos.push_back({"ambient", LayerKind::ambient, 0, scene.room->ambientBands});
    if (glows(scene)) infos.push_back({"glow", LayerKind::glow, 0, bandXYZ(cieDaylight(6504.0))});
    return infos;
}

std::vector<LayerMix> mixAsSet(const Scene& scene, double shutter_s, Which which) {
    std::vector<LayerMix> mix;
    for (const Light& light : scene.lights) {
        const bool flash = light.kind == LightKind::flash;
        const bool wanted = which == Which::all || flash == (which == Which::flash);
        mix.push_back({wanted ? light.fluxAsSet() * (flash ? 1.0 : shutter_s) : 0.0, light.bands});
    }
    const double continuous = which == Which::flash ? 0.0 : shutter_s;
    if (scene.room)
        mix.push_back({scene.room->ambientIlluminance_lx * continuous, scene.room->ambientBands});
    if (glows(scene)) mix.push_back({continuous, bandXYZ(cieDaylight(6504.0))});
    return mix;
}

}  // namespace keyfall
