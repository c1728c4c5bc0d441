// MTL fields into Materials: present, absent, out of range. Not here: geometry (obj_good.cpp).
#include <fstream>

#include "scene/fine_spectrum.h"
#include "tests/scene/obj_check.h"

using namespace keyfall;
using namespace keyfall::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

Material materialOf(const ObjFile& obj, const std::string& name) {
    for (std::size_t s = 0; s < obj.slotName.size(); ++s)
        if (obj.slotName[s] == name) return obj.slotMaterial[s];
    FAIL("no material " << name);
    return {};
}

/// A triangle with the material `m` of the MTL text given.
ObjFile readWithMtl(const std::string& mtl) {
    const auto folder = std::filesystem::temp_directory_path() / "keyfall_obj_materials";
    std::filesystem::create_directories(folder);
    std::ofstream(folder / "t.obj")
        << "mtllib t.mtl\nv 0 0 0\nv 1 0 0\nv 0 1 0\nusemtl m\nf 1 2 3\n";
    std::ofstream(folder / "t.mtl") << mtl;
    ObjFile obj = readObj(folder / "t.obj", kCrease_rad);
    std::filesystem::remove_all(folder);
    return obj;
}

}  // namespace

TEST_CASE("a material without Pr is no mirror", "[obj][mtl]") {
    const ObjFile obj = readObj(goodObj("pbr.obj"), kCrease_rad);
    CHECK(obj.warnings.empty());
    CHECK(materialOf(obj, "plain").base == Base::diffuse);
    // alpha = sqrt(2 / (Ns + 2)) (Walter et al. 2007, section 5.2): Ns 198 gives 0.1, and
    // roughness^2 = alpha.
    const Material glossy = materialOf(obj, "mirrorless");
    CHECK(glossy.base == Base::plastic);
    CHECK_THAT(glossy.roughness * glossy.roughness, WithinRel(0.1F, 1e-5F));
    const Material satin = materialOf(obj, "satin metal");
    CHECK(satin.base == Base::metal);
    CHECK(satin.roughness > 0.3F);
    CHECK(satin.anisotropy == 0.6F);
    // Asked for, a mirror is one.
    CHECK(materialOf(obj, "chrome").base == Base::metal);
    CHECK(materialOf(obj, "chrome").roughness == 0.0F);
    const Material painted = materialOf(obj, "painted");
    CHECK(painted.base == Base::plastic);
    CHECK(painted.roughness == 0.3F);
    CHECK(painted.ior == 1.5F);  // Ni 1 is a filler of exporters
}

TEST_CASE("a transparent material is glass that absorbs by Beer and Lambert", "[obj][mtl]") {
    const ObjFile obj = readObj(goodObj("pbr.obj"), kCrease_rad);
    const Material window = materialOf(obj, "window");
    CHECK(window.base == Base::glass);
    CHECK(window.ior == 1.52F);
    CHECK(window.roughness == 0.0F);
    // T = exp(-a d): 0.9 over 1 cm in every band of a grey.
    for (int b = 0; b < kBands; ++b)
        CHECK_THAT(std::exp(-window.absorption_perM[b] * 0.01F), WithinAbs(0.9F, 0.002F));
}

TEST_CASE("Kd grey is that reflectance in every band; one number stands for three", "[obj][mtl]") {
    const ObjFile obj = readObj(goodObj("pbr.obj"), kCrease_rad);
    for (int b = 0; b < kBands; ++b) {
        CHECK_THAT(materialOf(obj, "plain").reflectance[b], WithinAbs(0.5F, 0.002F));
        CHECK_THAT(materialOf(obj, "painted").reflectance[b], WithinAbs(0.4F, 0.002F));
    }
}

TEST_CASE("map_Kd: the bytes of the picture, first row on top, over white", "[obj][mtl]") {
    const Material label = materialOf(readObj(goodObj("texture.obj"), kCrease_rad), "label");
    REQUIRE(label.texture);
    CHECK(label.texture->width == 2);
    CHECK(label.texture->height == 2);
    // The PNG was written byte by byte: red, green / blue, white.
    CHECK(label.texture->srgb == std::vector<std::uint8_t>{255, 0, 0, 0, 255, 0,  //
                                                           0, 0, 255, 255, 255, 255});
    CHECK(label.reflectance[0] == 1.0F);
    CHECK(label.reflectance[15] == 1.0F);
}

TEST_CASE("numbers out of range are said and brought back", "[obj][mtl]") {
    const ObjFile obj = readWithMtl("newmtl m\nKd 1.5 0.5 -0.1\nPm 1\nPr 2\naniso -1.5\nNi 9\n");
    const Material m = materialOf(obj, "m");
    CHECK(m.roughness == 1.0F);
    CHECK(m.anisotropy == 0.0F);
    CHECK(obj.warnings ==
          std::vector<std::string>{"t.mtl: material \"m\": Kd outside 0 to 1; taken as 1",
                                   "t.mtl: material \"m\": Kd outside 0 to 1; taken as 0",
                                   "t.mtl: material \"m\": Pr outside 0 to 1; taken as 1",
                                   "t.mtl: material \"m\": aniso outside 0 to 1; taken as 0"});
}

TEST_CASE("fields of one material do not leak into the next", "[obj][mtl]") {
    const ObjFile obj =
        readWithMtl("newmtl first\nKd 0.1 0.1 0.1\nPr 0\nPm 1\nd 0.2\nnewmtl m\nKd 0.7 0.7 0.7\n");
    const Material m = materialOf(obj, "m");
    CHECK(m.base == Base::diffuse);
    CHECK_THAT(m.reflectance[8], WithinAbs(0.7F, 0.002F));
}

TEST_CASE("Tr is the complement of d; a half-opaque varnish is said to be opaque", "[obj][mtl]") {
    CHECK(materialOf(readWithMtl("newmtl m\nTr 0.9\n"), "m").base == Base::glass);
    CHECK(materialOf(readWithMtl("newmtl m\nTr 0\n"), "m").base == Base::diffuse);
    CHECK(materialOf(readWithMtl("newmtl m\nillum 7\nd 0.95\n"), "m").base == Base::glass);
    CHECK(materialOf(readWithMtl("newmtl m\nillum 2\nTf 1 1 1\n"), "m").base == Base::diffuse);
    const ObjFile half = readWithMtl("newmtl m\nKs 1 1 1\nd 0.8\n");
    CHECK(half.warnings == std::vector<std::string>{"t.mtl: material \"m\": d between 0.5 and 1 is "
                                                    "not modelled; taken as opaque"});
}

TEST_CASE("Ke glows with its colour and is said to have no unit", "[obj][mtl]") {
    const ObjFile obj = readWithMtl("newmtl m\nKe 3 3 3\n");
    for (int b = 0; b < kBands; ++b)
        CHECK_THAT(materialOf(obj, "m").glow_cdm2[b], WithinRel(3.0F, 0.005F));
    CHECK(obj.warnings ==
          std::vector<std::string>{"t.mtl: material \"m\": Ke has no unit; taken as cd/m2"});
}
