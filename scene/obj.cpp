// readObj: file, weld, clean, turn, normals, mesh, in that order. Not here: each of the steps.
#include "scene/obj.h"

#include <algorithm>
#include <cmath>

#include "scene/mesh_weld.h"
#include "scene/obj_materials.h"
#include "scene/obj_normals.h"
#include "scene/obj_raw.h"

namespace keyfall {
namespace {

constexpr double kWeldShareOfSize = 1e-6;
// Height over longest side. Below the last digit of float coordinates a triangle's normal is noise.
constexpr double kThinnest = 1e-7;

using Weld = std::vector<std::uint32_t>;
using Triples = std::vector<std::array<std::uint32_t, 3>>;

// The size is that of the faces: a stray unused point a kilometre off must not weld the product.
Weld weldOf(const RawObj& obj) {
    Box3 box;
    for (const RawObj::Triangle& t : obj.triangle)
        for (const RawObj::Corner& c : t.corner) box.add(obj.position[c.v]);
    // In double: from -3e38 to 3e38 is no float.
    const glm::dvec3 size = glm::dvec3(box.high) - glm::dvec3(box.low);
    const double tolerance = kWeldShareOfSize * std::max({size.x, size.y, size.z});
    return weldPositions(obj.position, static_cast<float>(tolerance));
}

bool collapses(const RawObj::Triangle& t, const Weld& weld) {
    const std::uint32_t a = weld[t.corner[0].v], b = weld[t.corner[1].v], c = weld[t.corner[2].v];
    return a == b || b == c || c == a;
}

bool isSliver(const RawObj& obj, const RawObj::Triangle& t) {
    const glm::dvec3 a(obj.position[t.corner[0].v]), b(obj.position[t.corner[1].v]),
        c(obj.position[t.corner[2].v]);
    const double longest =
        std::max({glm::distance(a, b), glm::distance(b, c), glm::distance(c, a)});
    return glm::length(glm::cross(b - a, c - a)) <= kThinnest * longest * longest;
}

template <typename Drop>
std::size_t dropWhere(RawObj& obj, Drop drop) {
    return std::erase_if(obj.triangle, drop);
}

double signedVolume(const RawObj& obj) {
    const glm::dvec3 origin(obj.position[obj.triangle.front().corner[0].v]);
    double six = 0.0;
    for (const RawObj::Triangle& t : obj.triangle) {
        const glm::dvec3 a = glm::dvec3(obj.position[t.corner[0].v]) - origin;
        const glm::dvec3 b = glm::dvec3(obj.position[t.corner[1].v]) - origin;
        const glm::dvec3 c = glm::dvec3(obj.position[t.corner[2].v]) - origin;
        six += glm::dot(a, glm::cross(b, c));
    }
    return six / 6.0;
}

void turnTriangles(RawObj& obj) {
    for (RawObj::Triangle& t : obj.triangle) std::swap(t.corner[1], t.corner[2]);
}

bool isClosedRaw(const RawObj& obj, const Weld& weld) {
    Triples triples;
    triples.reserve(obj.triangle.size());
    for (const RawObj::Triangle& t : obj.triangle)
        triples.push_back({t.corner[0].v, t.corner[1].v, t.corner[2].v});
    return isClosed(triples, weld);
}

/// A zero normal in the file is no normal: it is then made like a missing one.
void forgetZeroNormals(RawObj& obj) {
    for (RawObj::Triangle& t : obj.triangle)
        for (RawObj::Corner& c : t.corner)
            if (c.vn != RawObj::kNone && obj.normal[c.vn] == glm::vec3(0.0F)) c.vn = RawObj::kNone;
}

/// True when most of the file's normals point away from the fronts of their triangles.
bool normalsOpposeWinding(const RawObj& obj) {
    std::size_t with = 0, against = 0;
    for (const RawObj::Triangle& t : obj.triangle) {
        const glm::dvec3 n = faceNormal(obj, t);
        for (const RawObj::Corner& c : t.corner) {
            if (c.vn == RawObj::kNone) continue;
            ++(glm::dot(n, glm::dvec3(obj.normal[c.vn])) < 0.0 ? against : with);
        }
    }
    return against > with;
}

// Front is the outside: glass tells entering from leaving by it. A closed mesh says by its volume
// which side that is; an open one only by the normals its file has.
void turnOutward(RawObj& obj, bool closed) {
    if (closed && signedVolume(obj) < 0.0) {
        turnTriangles(obj);
        obj.warnings.emplace_back("the mesh was inside out; turned");
    }
    if (!normalsOpposeWinding(obj)) return;
    if (closed)
        for (glm::vec3& n : obj.normal) n = -n;
    else
        turnTriangles(obj);
    obj.warnings.emplace_back(closed ? "the normals pointed inward; turned"
                                  : "the faces were wound against their normals; turned");
}

/// Vertices of the mesh, one per (place, uv, normal). A chain per place needs 12 bytes a vertex; a
/// hash of the three indices took four times that and twice the time.
class VertexMaker {
  public:
    VertexMaker(const RawObj& obj, const Weld& weld, Mesh& mesh)
        : obj_(obj), weld_(weld), mesh_(mesh), first_(obj.position.size(), RawObj::kNone) {
        hasUv_ = std::any_of(obj.triangle.begin(), obj.triangle.end(), [](const auto& t) {
            return std::any_of(t.corner.begin(), t.corner.end(),
                               [](const auto& c) { return c.vt != RawObj::kNone; });
        });
    }

    std::uint32_t vertexOf(const RawObj::Corner& c) {
        const std::uint32_t place = weld_[c.v];
        for (std::uint32_t i = first_[place]; i != RawObj::kNone; i = link_[i].next)
            if (link_[i].vt == c.vt && link_[i].vn == c.vn) return i;
        const auto made = static_cast<std::uint32_t>(mesh_.position_m.size());
        link_.push_back({c.vt, c.vn, first_[place]});
        first_[place] = made;
        mesh_.position_m.push_back(obj_.position[place]);
        mesh_.normal.push_back(obj_.normal[c.vn]);
        if (hasUv_) mesh_.uv.push_back(c.vt == RawObj::kNone ? glm::vec2(0.0F) : obj_.uv[c.vt]);
        return made;
    }

  private:
    struct Link {
        std::uint32_t vt, vn, next;
    };
    const RawObj& obj_;
    const Weld& weld_;
    Mesh& mesh_;
    std::vector<std::uint32_t> first_;
    std::vector<Link> link_;
    bool hasUv_ = false;
};

Mesh meshFrom(const RawObj& obj, const Weld& weld, bool closed) {
    Mesh mesh;
    mesh.closed = closed;
    mesh.triangle.reserve(obj.triangle.size());
    mesh.slot.reserve(obj.triangle.size());
    VertexMaker maker(obj, weld, mesh);
    for (const RawObj::Triangle& t : obj.triangle) {
        mesh.triangle.push_back({maker.vertexOf(t.corner[0]), maker.vertexOf(t.corner[1]),
                                 maker.vertexOf(t.corner[2])});
        mesh.slot.push_back(t.slot);
    }
    return mesh;
}

void fillSlots(const RawObj& obj, const std::filesystem::path& file, ObjFile& out) {
    const std::map<std::string, Material> known = readMtl(obj.library, file, out.warnings);
    std::vector<std::string> missing;
    for (const RawObj::Slot& s : obj.slot) {
        const auto found = known.find(s.material);
        const bool has = found != known.end();
        out.slotName.push_back(!s.material.empty() ? s.material : s.group);
        out.slotGroup.push_back(s.group);
        out.slotMaterial.push_back(has ? found->second : Material{});
        out.slotHasMaterial.push_back(has);
        if (!has && !s.material.empty() &&
            std::find(missing.begin(), missing.end(), s.material) == missing.end())
            missing.push_back(s.material);
    }
    for (const std::string& name : missing)
        out.warnings.push_back("material \"" + name + "\" is in no MTL file; default material");
}

}  // namespace

ObjFile readObj(const std::filesystem::path& file, float crease_rad) {
    RawObj obj = readRawObj(file);
    const Weld weld = weldOf(obj);
    std::size_t dropped = dropWhere(obj, [&](const auto& t) { return collapses(t, weld); });
    // Closedness is asked before and after slivers go: some hold a long edge and its two halves
    // together, others lie on an edge that is whole without them.
    bool closed = isClosedRaw(obj, weld);
    const std::size_t slivers = dropWhere(obj, [&](const auto& t) { return isSliver(obj, t); });
    if (!closed && slivers > 0) closed = isClosedRaw(obj, weld);
    dropped += slivers;
    if (obj.triangle.empty())
        throw ObjError{"mesh \"" + file.filename().string() + "\": none of its " +
                       std::to_string(dropped) +
                       " triangles has an area; at least one is needed; export the mesh again"};
    if (dropped > 0)
        obj.warnings.push_back(std::to_string(dropped) + " triangles without area left out");
    forgetZeroNormals(obj);
    turnOutward(obj, closed);
    fillNormals(obj, weld, crease_rad);

    ObjFile out;
    out.mesh = meshFrom(obj, weld, closed);
    out.warnings = std::move(obj.warnings);
    fillSlots(obj, file, out);
    return out;
}

}  // namespace keyfall
