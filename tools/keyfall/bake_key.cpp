#include "bake_key.h"

namespace keyfall {
namespace {

void add(ContentHash& hash, glm::vec3 v) { hash.add(v.x).add(v.y).add(v.z); }

void add(ContentHash& hash, const Bands& bands) {
    for (const float x : bands.v) hash.add(x);
}

void add(ContentHash& hash, const Frame& frame) {
    for (const glm::vec3 axis : {frame.x, frame.y, frame.z}) add(hash, axis);
}

/// Its place and frame are the body's business.
void addForm(ContentHash& hash, const LampShape& s) { hash.add(s.kind).add(s.a_m).add(s.b_m).add(s.bothSides); }

void add(ContentHash& hash, const Material& m) {
    hash.add(m.base).add(m.roughness).add(m.anisotropy).add(m.ior).add(m.priority).add(m.thin);
    for (const Bands* b : {&m.reflectance, &m.absorption_perM, &m.transmittance, &m.straight, &m.glow_cdm2}) add(hash, *b);
    hash.add(m.index.has_value());
    if (m.index) {
        add(hash, m.index->n);
        add(hash, m.index->k);
    }
    hash.add(m.texture != nullptr);
    if (!m.texture) return;
    hash.add(m.texture->width).add(m.texture->height);
    hash.add(std::string_view(reinterpret_cast<const char*>(m.texture->srgb.data()), m.texture->srgb.size()));
}

void add(ContentHash& hash, const Mesh& mesh) {
    hash.add(mesh.position_m.size());
    for (const glm::vec3 p : mesh.position_m) add(hash, p);
    hash.add(mesh.normal.size());
    for (const glm::vec3 n : mesh.normal) add(hash, n);
    hash.add(mesh.uv.size());
    for (const glm::vec2 t : mesh.uv) hash.add(t.x).add(t.y);
    hash.add(mesh.triangle.size());
    for (const auto& t : mesh.triangle) hash.add(t[0]).add(t[1]).add(t[2]);
    hash.add(mesh.slot.size());
    for (const std::uint16_t s : mesh.slot) hash.add(s);
    hash.add(mesh.closed);
}

void add(ContentHash& hash, const ExitFace& exit) {
    addForm(hash, exit.shape);
    add(hash, exit.shape.centre_m);
    add(hash, exit.shape.frame);
    hash.add(exit.sides);
}

}  // namespace

ContentKey bakeKey(const LampShape& shape, const Material& lampBody, const ModifierBody& body,
                   const BakeSettings& settings) {
    ContentHash hash;
    hash.add(kBakeVersion).add(kBands);
    addForm(hash, shape);
    add(hash, lampBody);
    for (const ModifierPart& part : body.parts) {
        if (part.outside) continue;
        add(hash, part.mesh);
        add(hash, body.materials.at(part.material));
    }
    hash.add(body.exits.size());
    for (const ExitFace& exit : body.exits) add(hash, exit);
    add(hash, body.lampCentre_m);
    hash.add(body.lampFacesBack).add(body.symmetry).add(body.hidesLamp);
    hash.add(settings.photons).add(settings.along).add(settings.across).add(settings.directions).add(settings.run.seed);
    return hash.key();
}

}  // namespace keyfall
