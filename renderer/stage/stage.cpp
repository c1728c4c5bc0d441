// Building the Stage: every item a triangle geometry, all lamps one exact geometry.
#include "renderer/stage/stage.h"

#include <cstring>
#include <stdexcept>
#include <string>

#include "renderer/stage/lamp_geometry.h"
#include "renderer/stage/masks.h"

namespace keyfall {
namespace {

void throwOnError(RTCDevice device, const char* doing) {
    const RTCError code = rtcGetDeviceError(device);
    if (code == RTC_ERROR_NONE) return;
    throw std::runtime_error(std::string("ray tracing kernel: error ") + std::to_string(code) +
                             " while " + doing);
}

bool passesStraight(const Material& m) {
    return (m.base == Base::sheet && m.straight.largest() > 0.0F) ||
           (m.base == Base::glass && m.thin);
}

}  // namespace

Stage::Stage(const Scene& scene, int threads) : scene_(scene) {
    // The kernel caps the whole process at its own thread count: it has to know ours.
    const std::string config = threads > 0 ? "threads=" + std::to_string(threads) : std::string();
    device_ = rtcNewDevice(config.c_str());
    if (device_ == nullptr) throw std::runtime_error("ray tracing kernel: no device");
    embree_ = rtcNewScene(device_);
    // ROBUST: without it rays leak through the shared edges of triangles. Costs 10-15 %.
    rtcSetSceneFlags(embree_, RTC_SCENE_FLAG_ROBUST);
    rtcSetSceneBuildQuality(embree_, RTC_BUILD_QUALITY_MEDIUM);
    traits_.resize(scene.items.size());
    for (std::size_t i = 0; i < scene.items.size(); ++i) addItem(i);
    addLamps();
    rtcCommitScene(embree_);
    throwOnError(device_, "building the scene");
}

Stage::~Stage() {
    rtcReleaseScene(embree_);
    rtcReleaseDevice(device_);
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
    for (const std::size_t m : item.materials) {
        traits.material.push_back(&scene_.materials[m]);
        traits.passesStraight = traits.passesStraight || passesStraight(scene_.materials[m]);
    }
    if (item.kind == ItemKind::board) {
        traits.board = static_cast<int>(boards_.size());
        boards_.push_back(index);
    }
    anySheets_ = anySheets_ || traits.passesStraight;
    triangles_ += item.mesh.triangle.size();

    RTCGeometry geometry = rtcNewGeometry(device_, RTC_GEOMETRY_TYPE_TRIANGLE);
    void* positions = rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_VERTEX, 0,
                                              RTC_FORMAT_FLOAT3, sizeof(glm::vec3),
                                              mesh.position_m.size());
    std::memcpy(positions, mesh.position_m.data(), mesh.position_m.size() * sizeof(glm::vec3));
    void* triangles = rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT3,
                                              sizeof(mesh.triangle[0]), mesh.triangle.size());
    std::memcpy(triangles, mesh.triangle.data(), mesh.triangle.size() * sizeof(mesh.triangle[0]));
    rtcSetGeometryMask(geometry, traits.passesStraight ? kSheetMask : kSolidMask);
    rtcCommitGeometry(geometry);
    rtcAttachGeometryByID(embree_, geometry, static_cast<unsigned>(index));
    rtcReleaseGeometry(geometry);
    throwOnError(device_, "adding a mesh");
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
        emitters_.push_back(e);
    }
    if (!emitters_.empty()) lampGeometry_ = attachLamps(device_, embree_, emitters_, kLampMask);
}

}  // namespace keyfall
