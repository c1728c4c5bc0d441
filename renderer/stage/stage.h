// The Stage: what rays can hit and which lamps can be sampled. Built once from a Scene; queries
// are const and safe from many threads. Not here: where light goes next (renderer/transport).
#pragma once

#include <embree3/rtcore.h>

#include <array>
#include <cstdint>
#include <glm/glm.hpp>
#include <optional>
#include <vector>

#include "renderer/optics/lamp.h"
#include "renderer/stage/flat_mirror.h"
#include "renderer/stage/kernel_handles.h"
#include "renderer/stage/light_face.h"
#include "scene/frame.h"
#include "scene/near_field_table.h"
#include "scene/scene.h"

namespace keyfall {

/// A lamp that can be sampled, at unit flux: power and colour never steer a path.
struct Emitter {
    /// Luminance per unit flux that the surface sends along `away` (unit, from the lamp).
    float luminance_perSrM2(glm::vec3 away) const;

    LampShape shape;
    float luminancePerFlux_perSrM2 = 0.0F;
    std::uint32_t layer = 0;              ///< film layer = index of the light
    std::uint32_t bodyMaterial = 0;
    bool hidden = false;  ///< its modifier has a table and lets no straight line out
    const PhotometricWeb* web = nullptr;  ///< a measured lamp: luminance by direction
    glm::vec3 centre_m{0.0F};
    float boundingRadius_m = 0.0F;  ///< of a sphere around the centre that holds the body
};

struct RayTape;

/// The near-field table of each light's modifier, in the order of Scene::lights; empty, or nothing for
/// a light: all of its light is traced through the real modifier.
using LightTables = std::vector<std::shared_ptr<const NearFieldTable>>;

inline constexpr int kNoBoard = -1;

/// A ray's first hit, before anything about the surface is worked out.
struct RayHit {
    float distance_m = 0.0F;
    std::uint32_t geometry = 0;
    std::uint32_t primitive = 0;
    float u = 0.0F;
    float v = 0.0F;
    glm::vec3 geometricNormal{0.0F};      ///< unnormalised for triangles
};

/// A point on a surface, ready for a BSDF.
struct SurfacePoint {
    glm::vec3 position_m{0.0F};
    glm::vec3 geometricNormal{0, 0, 1};   ///< unit; solid glass: outward; else toward the viewer
    Frame shading;                        ///< z: shading normal on the same side
    glm::vec3 lift_m{0.0F};               ///< to the smooth surface the facets stand for
    glm::vec2 uv{0.0F};
    const Material* material = nullptr;
    std::uint32_t item = 0;               ///< index into Scene::items; meaningless on a lamp
    std::uint32_t emitter = kNoEmitter;
    std::uint32_t ownLight = kNoEmitter;  ///< the light whose lamp or modifier this is a part of
    bool emits = false;                   ///< a lamp's luminous side
    bool entering = false;                ///< solid glass: the ray comes from outside
    bool isRoomWall = false;
    bool isProduct = false;
    int board = kNoBoard;                 ///< counts boards in the order of the file
    int scrim = kNoScrim;                 ///< index into Stage::scrims
};

class Stage {
  public:
    /// Builds the acceleration structure. Keeps a reference: `scene` must outlive the Stage.
    /// `threads`: how many the program may use, 0 for all cores.
    /// Throws std::invalid_argument for more lights or boards than kMostLights, kMostBoards (the
    /// reader refuses such a scene file before), std::out_of_range for a material that the scene
    /// lacks, std::bad_alloc when Embree is out of memory, std::runtime_error for its other errors.
    explicit Stage(const Scene& scene, int threads = 0, LightTables tables = {});
    Stage(const Stage&) = delete;
    Stage& operator=(const Stage&) = delete;

    const Scene& scene() const { return scene_; }
    const std::vector<Emitter>& emitters() const { return emitters_; }
    std::size_t boardCount() const { return boards_.size(); }
    const LightTables& tables() const { return tables_; }
    /// Boards that are flat mirrors, with the images of all lamps in them.
    const std::vector<FlatMirror>& mirrors() const { return mirrors_; }
    /// Faces that lamps shine through: modifiers' exits with a table, scrims.
    const std::vector<Exit>& exits() const { return exits_; }
    const std::vector<Scrim>& scrims() const { return scrims_; }
    /// What a vertex chooses among: each lamp, each exit, each scrim for each lamp, in this order.
    const std::vector<LightSource>& sources() const { return sources_; }
    /// Item index of each board.
    const std::vector<std::size_t>& boards() const { return boards_; }
    std::size_t triangleCount() const { return triangles_; }
    RTCScene embree() const { return embree_.get(); }

    /// Nearest hit along the unit `direction`; nothing nearer than `near_m` counts.
    std::optional<RayHit> intersect(glm::vec3 origin_m, glm::vec3 direction, float near_m = 0.0F) const;

    SurfacePoint surfaceAt(const RayHit& hit, glm::vec3 origin_m, glm::vec3 direction) const;

    /// The shadow test: false when something opaque or a solid of glass is in between; else true
    /// and `through` is multiplied by the straight transmittance of the thin sheets and panes
    /// passed. `ignoredEmitter` is the lamp aimed at: its own body does not shade the sample.
    /// `rays` counts the queries made. `target`: what stands at `distance_m`: the lamp
    /// itself, a sheet, or an exit, which nothing is built of.
    enum class Target { lamp, sheet, exit };
    bool throughSheets(glm::vec3 from_m, glm::vec3 direction, float distance_m, std::uint32_t ignoredEmitter,
                       Bands& through, std::uint64_t& rays, Target target = Target::lamp) const;

    /// A ray origin moved off the surface along `normal`, at most 20 um: far less than a glass
    /// wall, more than rounding. Source: Waechter & Binder, Ray Tracing Gems (2019), ch. 6.
    static glm::vec3 offsetOrigin(glm::vec3 position_m, glm::vec3 normal);

    /// From here on every query is also noted on `tape` (ray_tape.h), by one thread only; nullptr
    /// ends it. For the benchmark.
    void recordRays(RayTape* tape) { tape_ = tape; }

  private:
    void addItem(std::size_t index);
    void addLamps();
    void addMirrors();
    void addFaces();
    SurfacePoint surfaceOfLamp(const RayHit& hit, glm::vec3 origin_m, glm::vec3 direction) const;

    /// What a hit needs of an item, side by side: one memory access in place of a chain of them.
    struct ItemTraits {
        const std::array<std::uint32_t, 3>* triangle = nullptr;
        const glm::vec3* position_m = nullptr;
        const glm::vec3* normal = nullptr;      ///< nullptr: flat facets
        const glm::vec2* uv = nullptr;          ///< nullptr: no texture
        const std::uint16_t* slot = nullptr;    ///< nullptr: one material
        std::vector<const Material*> material;  ///< a slot each
        int board = kNoBoard;
        int scrim = kNoScrim;
        std::uint32_t ownLight = kNoEmitter;
        bool isProduct = false;
        bool isRoomWall = false;
        bool passesStraight = false;  ///< some slot lets light through without a turn
    };
    const Material& materialAt(const RayHit& hit) const {
        const ItemTraits& traits = traits_[hit.geometry];
        return *traits.material[traits.slot == nullptr ? 0U : traits.slot[hit.primitive]];
    }

    const Scene& scene_;
    LightTables tables_;
    DeviceHandle device_;  // before the scene, which has to go first
    SceneHandle embree_;
    std::vector<ItemTraits> traits_;
    std::vector<Emitter> emitters_;
    std::vector<std::size_t> boards_;
    std::vector<FlatMirror> mirrors_;
    std::vector<Exit> exits_;
    std::vector<Scrim> scrims_;
    std::vector<LightSource> sources_;
    std::uint32_t lampGeometry_ = kNoEmitter;
    std::size_t triangles_ = 0;
    bool anySheets_ = false;
    RayTape* tape_ = nullptr;
};

}  // namespace keyfall
