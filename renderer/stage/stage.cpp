// Building the Stage: every item a triangle geometry, all lamps one exact geometry.
#include "renderer/stage/stage.h"

#include <algorithm>
#include <cstring>
#include <new>
#include <stdexcept>
#include <string>

#include "renderer/optics/bsdf.h"
#include "renderer/stage/lamp_geometry.h"
#include "renderer/stage/masks.h"

namespace keyfall {
namespace {

void throwOnError(RTCDevice device, const char* doing) {
    const RTCError code = rtcGetDeviceError(device);
    if (code == RTC_ERROR_NONE) return;
    if (code == RTC_ERROR_OUT_OF_MEMORY) throw std::bad_alloc();
    throw std::runtime_error(std::string("ray tracing kernel: error ") + std::to_string(code) +
                             " while " + doing);
}

void requireAtMost(std::size_t count, std::size_t most, const char* what) {
    if (count <= most) return;
    throw std::invalid_argument("a stage of " + std::to_string(count) + " " + what +
                                "; it holds at most " + std::to_string(most));
}

/// Copies `values` into a buffer that Embree pads and owns.
template <class Value>
void fillBuffer(RTCDevice device, RTCGeometry geometry, RTCBufferType type, RTCFormat format,
                const std::vector<Value>& values) {
    if (values.empty()) return;
    void* buffer = rtcSetNewGeometryBuffer(geometry, type, 0, format, sizeof(Value), values.size());
    throwOnError(device, "making room for a mesh");
    if (buffer == nullptr) throw std::bad_alloc();
    std::memcpy(buffer, values.data(), values.size() * sizeof(Value));
}

/// Reflects into one direction only, and evenly over a flat board.
bool isMirror(const Material& m) {
    Bsdf bsdf;
    bsdf.material = &m;
    return m.base == Base::metal && !hasSmoothLobe(bsdf) && !m.texture;
}

bool passesStraight(const Material& m) {
    return (m.base == Base::sheet && m.straight.largest() > 0.0F) ||
           (m.base == Base::glass && m.thin);
}

}  // namespace

Stage::Stage(const Scene& scene, int threads, LightTables tables) : scene_(scene), tables_(std::move(tables)) {
    requireAtMost(scene.lights.size(), kMostLights, "lights");
    const auto boards = std::count_if(scene.items.begin(), scene.items.end(),
                                      [](const Item& i) { return i.kind == ItemKind::board; });
    requireAtMost(static_cast<std::size_t>(boards), kMostBoards, "boards");
    // The kernel caps the whole process at its own thread count: it has to know ours.
    const std::string config = threads > 0 ? "threads=" + std::to_string(threads) : std::string();
    device_.reset(rtcNewDevice(config.c_str()));
    if (device_ == nullptr) throw std::runtime_error("ray tracing kernel: no device");
    embree_.reset(rtcNewScene(device_.get()));
    throwOnError(device_.get(), "making a scene");
    // ROBUST: without it rays leak through the shared edges of triangles. Costs 10-15 %.
    rtcSetSceneFlags(embree_.get(), RTC_SCENE_FLAG_ROBUST);
    rtcSetSceneBuildQuality(embree_.get(), RTC_BUILD_QUALITY_MEDIUM);
    traits_.resize(scene.items.size());
    for (std::size_t i = 0; i < scene.items.size(); ++i) addItem(i);
    addLamps();
    addMirrors();
    addFaces();
    rtcCommitScene(embree_.get());
    throwOnError(device_.get(), "building the scene");
}

void Stage::addItem(std::size_t index) {
    const Item& item = scene_.items[index];
    ItemTraits& traits = traits_[index];
    const Mesh& mesh = item.mesh;
    traits.triangle = mesh.triangle.data();
    traits.position_m = mesh.position_m.data();
    if (!mesh.normal.empty()) traits.normal = mesh.normal.data();
    if (!mesh.uv.empty()) traits.uv = mesh.uv.data();
    if (!mesh.slot.empty()) traits.slot = mesh.slot.data();
    traits.isProduct = item.kind == ItemKind::product;
    traits.isRoomWall = item.kind == ItemKind::room;
    if (item.kind == ItemKind::modifier && !item.outside)
        traits.ownLight = static_cast<std::uint32_t>(item.light);
    for (const std::size_t m : item.materials) {
        traits.material.push_back(&scene_.materials.at(m));
        traits.passesStraight = traits.passesStraight || passesStraight(*traits.material.back());
    }
    if (item.kind == ItemKind::board) {
        traits.board = static_cast<int>(boards_.size());
        boards_.push_back(index);
    }
    anySheets_ = anySheets_ || traits.passesStraight;
    triangles_ += item.mesh.triangle.size();

    const GeometryHandle geometry(rtcNewGeometry(device_.get(), RTC_GEOMETRY_TYPE_TRIANGLE));
    throwOnError(device_.get(), "making a mesh");
    fillBuffer(device_.get(), geometry.get(), RTC_BUFFER_TYPE_VERTEX, RTC_FORMAT_FLOAT3,
               mesh.position_m);
    fillBuffer(device_.get(), geometry.get(), RTC_BUFFER_TYPE_INDEX, RTC_FORMAT_UINT3,
               mesh.triangle);
    rtcSetGeometryMask(geometry.get(), traits.passesStraight ? kSheetMask : kSolidMask);
    rtcCommitGeometry(geometry.get());
    rtcAttachGeometryByID(embree_.get(), geometry.get(), static_cast<unsigned>(index));
    throwOnError(device_.get(), "adding a mesh");
}

void Stage::addLamps() {
    emitters_.reserve(scene_.lights.size());
    for (std::size_t l = 0; l < scene_.lights.size(); ++l) {
        const Light& light = scene_.lights[l];
        Emitter e;
        e.shape = light.shape;
        e.luminancePerFlux_perSrM2 = static_cast<float>(luminancePerFlux_perSrM2(light.shape));
        e.layer = static_cast<std::uint32_t>(l);
        e.bodyMaterial = static_cast<std::uint32_t>(light.bodyMaterial);
        e.centre_m = light.shape.centre_m;
        e.boundingRadius_m = boundingRadius_m(light.shape);
        if (light.web != nullptr) {
            // Per unit of the web's own flux: I/(flux * area) over the cosine is the luminance.
            LampShape oneFace = light.shape;
            oneFace.bothSides = false;
            e.web = light.web.get();
            e.luminancePerFlux_perSrM2 = static_cast<float>(
                1.0 / (fluxByInterpolation_lm(*light.web) * emittingArea_m2(oneFace)));
        }
        emitters_.push_back(e);
    }
    if (!emitters_.empty())
        lampGeometry_ = attachLamps(device_.get(), embree_.get(), emitters_, kLampMask);
}

void Stage::addMirrors() {
    for (const std::size_t index : boards_) {
        const Item& item = scene_.items[index];
        const bool smooth = std::all_of(item.materials.begin(), item.materials.end(), [&](std::size_t m) {
            return isMirror(scene_.materials[m]);
        });
        if (!smooth || item.mesh.triangle.empty()) continue;
        const Mesh& mesh = item.mesh;
        const auto& t = mesh.triangle.front();
        FlatMirror mirror;
        mirror.item = static_cast<std::uint32_t>(index);
        mirror.point_m = mesh.position_m[t[0]];
        mirror.normal = glm::normalize(glm::cross(mesh.position_m[t[1]] - mirror.point_m,
                                                  mesh.position_m[t[2]] - mirror.point_m));
        for (const Emitter& e : emitters_) mirror.image.push_back(imageOf(e.shape, mirror));
        mirrors_.push_back(std::move(mirror));
    }
}

}  // namespace keyfall
