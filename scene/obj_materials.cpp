// MTL materials into ours. Not here: checking the text (obj_mtl_text.h).
#include "scene/obj_materials.h"

#include <stb/stb_image.h>
#include <tiny_obj_loader.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>

#include "scene/fine_spectrum.h"
#include "scene/obj_mtl_text.h"

namespace keyfall {
namespace {

namespace fs = std::filesystem;

// Roughness where a file has neither Pr nor Ns: satin, neither mirror nor chalk. A choice, no
// source.
constexpr float kDefaultRoughness = 0.5F;
// Tf has no depth in the format. 1 cm: the wall of a heavy glass. A choice, no source.
constexpr float kTfDepth_m = 0.01F;

bool isAbsent(float value) {
    return value == kAbsent;
}

/// Paths in OBJ and MTL files come from other machines: backslashes, or the whole path of the disk
/// they were made on. Then the name alone is tried beside the file.
fs::path findBeside(const fs::path& beside, std::string name) {
    std::error_code ignored;
    const auto isFile = [&](const fs::path& p) { return fs::is_regular_file(p, ignored); };
    if (const fs::path p = beside / name; isFile(p)) return p;
    std::replace(name.begin(), name.end(), '\\', '/');
    if (const fs::path p = beside / name; isFile(p)) return p;
    if (const fs::path p = beside / fs::path(name).filename(); isFile(p)) return p;
    return {};
}

class MtlReader {
  public:
    MtlReader(const fs::path& file, std::vector<std::string>& warnings)
        : file_(file), warnings_(warnings) {}

    void readInto(std::map<std::string, Material>& materials) {
        std::ifstream in(file_, std::ios::binary);
        std::istringstream text(checkedMtl(in, file_.filename().string(), warnings_));
        std::map<std::string, int> index;
        std::vector<tinyobj::material_t> read;
        std::string ignoredWarning, ignoredError;
        tinyobj::LoadMtl(&index, &read, &text, &ignoredWarning, &ignoredError);
        for (const auto& m : read)
            if (!m.name.empty() && !materials.contains(m.name))
                materials.emplace(m.name, convert(m));
    }

  private:
    void warn(const tinyobj::material_t& m, const std::string& text) {
        warnings_.push_back(file_.filename().string() + ": material \"" + m.name + "\": " + text);
    }

    Material convert(const tinyobj::material_t& m) {
        Material out;
        out.name = m.name;
        out.source = file_.filename().string();
        out.reflectance = reflectanceOf(m);
        if (!m.diffuse_texname.empty()) out.texture = textureOf(m);
        if (!isAbsent(m.emission[0]) && std::max({m.emission[0], m.emission[1], m.emission[2]}) > 0)
            out.glow_cdm2 = glowOf(m);
        if (isMetal(m))
            makeMetal(m, out);
        else if (isGlass(m))
            makeGlass(m, out);
        else if (hasGloss(m))
            makePlastic(m, out);
        return out;
    }

    static bool isMetal(const tinyobj::material_t& m) {
        return !isAbsent(m.metallic) && m.metallic >= 0.5F;
    }
    // illum 4, 6, 7, 9 are the models with glass or refraction (MTL format, from memory).
    static bool isGlass(const tinyobj::material_t& m) {
        const bool refracts = m.illum == 4 || m.illum == 6 || m.illum == 7 || m.illum == 9;
        const bool filters =
            std::max({m.transmittance[0], m.transmittance[1], m.transmittance[2]}) > 0.0F;
        return m.dissolve <= 0.5F || (refracts && (m.dissolve < 1.0F || filters));
    }
    static bool hasGloss(const tinyobj::material_t& m) {
        return !isAbsent(m.roughness) ||
               std::max({m.specular[0], m.specular[1], m.specular[2]}) > 0;
    }

    // Shininess to microfacet width: alpha = sqrt(2 / (Ns + 2)) (Walter et al. 2007, "Microfacet
    // Models for Refraction through Rough Surfaces", section 5.2); Material has alpha =
    // roughness^2.
    float roughnessOf(const tinyobj::material_t& m, float otherwise) {
        if (!isAbsent(m.roughness)) return within01(m, "Pr", m.roughness);
        if (isAbsent(m.shininess)) return otherwise;
        const float alpha = std::sqrt(2.0F / (std::max(m.shininess, 0.0F) + 2.0F));
        return std::sqrt(alpha);
    }

    float iorOf(const tinyobj::material_t& m) {
        if (isAbsent(m.ior) || (m.ior >= 0.0F && m.ior <= 1.0F))
            return 1.5F;  // 1: the usual filler
        if (m.ior > 1.0F && m.ior <= 4.0F) return m.ior;
        warn(m, "Ni outside 1 to 4; taken as 1.5");
        return 1.5F;
    }

    float within01(const tinyobj::material_t& m, const char* key, float value) {
        if (value >= 0.0F && value <= 1.0F) return value;
        warn(m, std::string(key) + " outside 0 to 1; taken as " + (value > 1.0F ? "1" : "0"));
        return value > 1.0F ? 1.0F : 0.0F;
    }

    Bands reflectanceOf(const tinyobj::material_t& m) {
        const glm::vec3 kd(m.diffuse[0], m.diffuse[1], m.diffuse[2]);
        const bool hasMap = !m.diffuse_texname.empty();
        if (isAbsent(kd.x)) return hasMap ? Bands(1.0F) : Bands(0.18F);
        if (hasMap && kd == glm::vec3(0.0F)) {
            warn(m, "Kd 0 would make its texture black; taken as 1");
            return Bands(1.0F);
        }
        return reflectanceFromRgb(
            {within01(m, "Kd", kd.x), within01(m, "Kd", kd.y), within01(m, "Kd", kd.z)});
    }

    Bands glowOf(const tinyobj::material_t& m) {
        const glm::vec3 ke = glm::max(glm::vec3(m.emission[0], m.emission[1], m.emission[2]), 0.0F);
        const float most = std::max({ke.x, ke.y, ke.z});
        warn(m, "Ke has no unit; taken as cd/m2");
        return reflectanceFromRgb(ke / most) * most;
    }

    void makeMetal(const tinyobj::material_t& m, Material& out) {
        out.base = Base::metal;
        out.roughness = roughnessOf(m, kDefaultRoughness);
        if (!isAbsent(m.anisotropy)) out.anisotropy = within01(m, "aniso", m.anisotropy);
        if (m.metallic < 0.9F) warn(m, "Pm between plastic and metal; taken as metal");
    }

    void makeGlass(const tinyobj::material_t& m, Material& out) {
        out.base = Base::glass;
        out.ior = iorOf(m);
        out.roughness = isAbsent(m.roughness) ? 0.0F : within01(m, "Pr", m.roughness);
        const glm::vec3 tf(m.transmittance[0], m.transmittance[1], m.transmittance[2]);
        if (isAbsent(tf.x) || tf == glm::vec3(0.0F)) return;
        // Beer-Lambert: T = exp(-a d), so a = -ln(T) / d with d = 1 cm.
        const Bands pass = reflectanceFromRgb(
            {within01(m, "Tf", tf.x), within01(m, "Tf", tf.y), within01(m, "Tf", tf.z)});
        for (int b = 0; b < kBands; ++b)
            out.absorption_perM[b] = -std::log(std::clamp(pass[b], 1e-4F, 1.0F)) / kTfDepth_m;
    }

    void makePlastic(const tinyobj::material_t& m, Material& out) {
        out.base = Base::plastic;
        out.ior = iorOf(m);
        out.roughness = roughnessOf(m, kDefaultRoughness);
        if (!isAbsent(m.metallic) && m.metallic > 0.1F)
            warn(m, "Pm between plastic and metal; taken as plastic");
        if (m.dissolve < 1.0F) warn(m, "d between 0.5 and 1 is not modelled; taken as opaque");
    }

    std::shared_ptr<const Texture> textureOf(const tinyobj::material_t& m) {
        const fs::path path = findBeside(file_.parent_path(), m.diffuse_texname);
        const std::string shown = "\"" + m.diffuse_texname + "\"";
        if (path.empty()) {
            warn(m, "texture " + shown + " not found; left out");
            return nullptr;
        }
        auto texture = std::make_shared<Texture>();
        int channels = 0;
        stbi_uc* pixels = stbi_load(path.c_str(), &texture->width, &texture->height, &channels, 3);
        if (pixels == nullptr) {
            warn(m, "texture " + shown + " cannot be read (" + stbi_failure_reason() +
                        "); left out; PNG, JPEG, BMP and TGA are");
            return nullptr;
        }
        const auto bytes = static_cast<std::size_t>(texture->width) *
                           static_cast<std::size_t>(texture->height) * 3;
        texture->srgb.assign(pixels, pixels + bytes);
        stbi_image_free(pixels);
        return texture;
    }

    const fs::path& file_;
    std::vector<std::string>& warnings_;
};

}  // namespace

std::map<std::string, Material> readMtl(const std::vector<std::string>& names,
                                        const fs::path& objFile,
                                        std::vector<std::string>& warnings) {
    std::map<std::string, Material> materials;
    for (const std::string& name : names) {
        const fs::path path = findBeside(objFile.parent_path(), name);
        if (path.empty())
            warnings.push_back("material file \"" + name +
                               "\" not found beside the mesh; default materials");
        else
            MtlReader(path, warnings).readInto(materials);
    }
    return materials;
}

}  // namespace keyfall
