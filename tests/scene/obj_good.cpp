// Good OBJ files, one trait each: what comes out of readObj. Not here: bad files (obj_bad.cpp).
// Expected figures are closed forms of the shapes (Euclid: cube, polygon by its corners; the rest
// derived beside the case), never readings of the program.
#include <fstream>
#include <numbers>
#include <optional>
#include <vector>

#include "tests/scene/obj_check.h"

using namespace keyfall;
using namespace keyfall::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

struct SlotWant {
    std::string name, group;
    std::size_t triangles;
    bool hasMaterial = false;
};

struct Good {
    std::string file;
    std::size_t triangles;
    double area;
    std::optional<double> volume;  ///< set: the mesh is closed
    NormalTruth truth;
    double worst_deg;
    std::vector<SlotWant> slots;
    std::vector<std::string> warnings = {};
};

std::string shown(const std::vector<std::string>& lines) {
    std::string all;
    for (const std::string& line : lines) all += line + '\n';
    return all;
}

std::vector<SlotWant> slotsOf(const ObjFile& obj) {
    std::vector<SlotWant> slots;
    for (std::size_t s = 0; s < obj.slotName.size(); ++s) {
        const auto n = std::count(obj.mesh.slot.begin(), obj.mesh.slot.end(), s);
        slots.push_back({obj.slotName[s], obj.slotGroup[s], static_cast<std::size_t>(n),
                         obj.slotHasMaterial[s]});
    }
    return slots;
}

void checkGood(const Good& want) {
    INFO(want.file);
    const ObjFile obj = readObj(goodObj(want.file), kCrease_rad);
    CHECK(keepsGuarantees(obj));
    CHECK(obj.mesh.triangle.size() == want.triangles);
    CHECK_THAT(areaOf_m2(obj.mesh), WithinRel(want.area, 1e-6));
    CHECK(obj.mesh.closed == want.volume.has_value());
    if (want.volume) CHECK_THAT(volumeOf_m3(obj.mesh), WithinRel(*want.volume, 1e-6));
    CHECK(largestNormalError_deg(obj.mesh, want.truth) <= want.worst_deg);
    CHECK(shown(obj.warnings) == shown(want.warnings));
    const std::vector<SlotWant> slots = slotsOf(obj);
    REQUIRE(slots.size() == want.slots.size());
    for (std::size_t s = 0; s < slots.size(); ++s) {
        CHECK(slots[s].name == want.slots[s].name);
        CHECK(slots[s].group == want.slots[s].group);
        CHECK(slots[s].triangles == want.slots[s].triangles);
        CHECK(slots[s].hasMaterial == want.slots[s].hasMaterial);
    }
}

glm::dvec3 cubeFace(glm::dvec3, glm::dvec3 middle) {
    return axisOf(middle);
}
glm::dvec3 up(glm::dvec3, glm::dvec3) {
    return {0, 1, 0};
}
glm::dvec3 radial(glm::dvec3 corner, glm::dvec3) {
    return glm::normalize(corner);
}
glm::dvec3 cylinderTruth(glm::dvec3 corner, glm::dvec3 middle) {  // caps at y = 0 and 2
    if (std::abs(middle.y - 1.0) > 0.999) return {0, middle.y > 1.0 ? 1 : -1, 0};
    return glm::normalize(glm::dvec3(corner.x, 0, corner.z));
}

// 0.001 degrees: what rounding of float normals leaves.
constexpr double kExact_deg = 0.001;

Good cube(const std::string& file, std::vector<std::string> warnings = {}) {
    return {file, 12, 6.0, 1.0, cubeFace, kExact_deg, {{"", "", 12}}, std::move(warnings)};
}

Good cubeOf(const std::string& file, std::vector<SlotWant> slots,
            std::vector<std::string> warnings = {}) {
    return {file, 12, 6.0, 1.0, cubeFace, kExact_deg, std::move(slots), std::move(warnings)};
}

Good flat(const std::string& file, std::size_t corners, double area) {
    return {file, corners - 2, area, std::nullopt, up, kExact_deg, {{"", "", corners - 2}}};
}

Good sheet(const std::string& file, std::vector<SlotWant> slots,
           std::vector<std::string> warnings = {}) {
    return {file, 2, 2.0, std::nullopt, up, kExact_deg, std::move(slots), std::move(warnings)};
}

}  // namespace

TEST_CASE("a unit cube is a unit cube however its OBJ is written", "[obj]") {
    for (const char* file :
         {"cube_triangles.obj", "cube_quads.obj", "cube_crlf.obj", "cube_cr_only.obj",
          "cube_no_last_newline.obj", "cube_negative_indices.obj", "cube_normals.obj",
          "cube_long_normals.obj", "cube_uvs.obj", "cube_own_points.obj",
          "cube_nearly_same_points.obj", "cube_smoothing_off.obj", "cube_group_per_face.obj",
          "cube_stray_point.obj", "cube_stray_point_far.obj", "cube_faces_first.obj",
          "cube_spaces_and_comments.obj", "cube_number_forms.obj", "cube_continued_lines.obj",
          "cube_points_and_lines.obj"})
        checkGood(cube(file));
    checkGood(cube("cube_degenerates.obj", {"2 triangles without area left out"}));
    checkGood(cube("cube_inside_out.obj", {"the mesh was inside out; turned"}));
    checkGood(cube("cube_normals_inward.obj", {"the normals pointed inward; turned"}));
    checkGood(cube("cube_trailing_garbage.obj",
                   {"3 lines not understood, the first at line 16; left out"}));
}

TEST_CASE("position and size of a cube do not matter to welding", "[obj]") {
    Good far = cube("cube_far_away.obj");
    far.truth = [](glm::dvec3, glm::dvec3 middle) { return axisOf(middle - 100.0); };
    checkGood(far);
    Good tiny = cube("cube_tiny.obj");
    tiny.area = 6e-12;
    tiny.volume = 1e-18;
    checkGood(tiny);
}

TEST_CASE("a cube in one smoothing group has its normals along the diagonals", "[obj]") {
    // Three faces meet at 90 degrees each: weights by angle are equal, so the mean is
    // (1,1,1)/sqrt 3. Weights by area or by triangle would lean to the faces cut through that
    // corner.
    checkGood({"cube_one_smoothing_group.obj", 12, 6.0, 1.0, radial, kExact_deg, {{"", "", 12}}});
}

TEST_CASE("concave polygons of n corners fill their area with n - 2 triangles", "[obj]") {
    checkGood(flat("concave_l.obj", 6, 3.0));
    checkGood(flat("concave_dart.obj", 4, 1.5));  // 2 x 2 / 2 less the notch 0.5 x 2 / 2
    checkGood(flat("concave_star.obj", 10, 10 * 0.5 * 1.0 * 0.4 * std::sin(std::numbers::pi / 5)));
    checkGood(flat("concave_comb.obj", 16, 7.0 * 1.0 + 4 * 2.0));
    checkGood(flat("slit_hole.obj", 10, 9.0 - 1.0));
    checkGood(flat("collinear_corners.obj", 8, 1.0));
}

TEST_CASE("normals missing, zero, partly there or against the winding end up right", "[obj]") {
    checkGood(sheet("zero_normals.obj", {{"", "", 2}}));
    checkGood(sheet("some_normals.obj", {{"", "", 2}}));
    checkGood(sheet("wound_against_normals.obj", {{"", "", 2}},
                    {"the faces were wound against their normals; turned"}));
}

TEST_CASE("materials and groups keep their triangles", "[obj]") {
    checkGood(cubeOf(
        "groups_and_materials.obj",
        {{"red", "side", 8, true}, {"blue", "lid", 2, true}, {"red", "foot plate", 2, true}}));
    checkGood(cubeOf("names_with_blanks.obj", {{"dark red", "", 12, true}}));
    checkGood(cubeOf("library_after_use.obj", {{"red", "", 12, true}}));
    checkGood(
        cubeOf("two_libraries.obj", {{"blue", "", 6, true}, {"green", "", 6, true}},
               {"material file \"nowhere.mtl\" not found beside the mesh; default materials"}));
    checkGood(cubeOf("missing_library.obj", {{"red", "", 12, false}},
                     {"material file \"gone.mtl\" not found beside the mesh; default materials",
                      "material \"red\" is in no MTL file; default material"}));
    Good two{"two_objects.obj",
             24,
             12.0,
             2.0,
             {},
             kExact_deg,
             {{"left cube", "left cube", 12}, {"right cube", "right cube", 12}}};
    two.truth = [](glm::dvec3, glm::dvec3 m) {
        return axisOf(m.x > 1.0 ? m - glm::dvec3(2, 0, 0) : m);
    };
    checkGood(two);
}

TEST_CASE("a missing or broken picture is a warning", "[obj]") {
    checkGood(sheet("texture.obj", {{"label", "", 2, true}}));
    checkGood(sheet("missing_texture.obj", {{"gone", "", 1, true}, {"broken", "", 1, true}},
                    {"missing_texture.mtl: material \"gone\": texture \"gone.png\" not found; left "
                     "out",
                     "missing_texture.mtl: material \"broken\": texture \"groups.mtl\" cannot be "
                     "read (unknown image type); left out; PNG, JPEG, BMP and TGA are"}));
}

TEST_CASE("a sphere without normals gets radial ones", "[obj]") {
    // Facets between two circles of latitude are trapezoids: with half side pi/40,
    //   chord_i = 2 sin(a_i) sin(pi/40), and the slant height runs between the chords' middles.
    // The slice of the solid is a frustum on regular 40-gons A_i = 20 sin^2(a_i) sin(2 pi/40):
    //   V = h/3 (A_1 + A_2 + sqrt(A_1 A_2))   (Euclid XII, frustum).
    double area = 0.0, volume = 0.0;
    for (int i = 0; i < 20; ++i) {
        const double step = std::numbers::pi / 20, a = step * i, b = step * (i + 1), half = step / 2;
        const double apothem = (std::sin(b) - std::sin(a)) * std::cos(half);
        const double h = std::cos(a) - std::cos(b);
        area += 40 * (std::sin(a) + std::sin(b)) * std::sin(half) * std::hypot(apothem, h);
        const double A1 = 20 * std::sin(a) * std::sin(a) * std::sin(2 * half);
        const double A2 = 20 * std::sin(b) * std::sin(b) * std::sin(2 * half);
        volume += h / 3 * (A1 + A2 + std::sqrt(A1 * A2));
    }
    // A facet spans 9 degrees; by symmetry all but the rows next to a pole are within rounding of
    // the bisecting plane, so half a degree is ample and facet normals (4.5 degrees) fail.
    checkGood({"sphere_20x40.obj", 1520, area, volume, radial, 0.5, {{"", "", 1520}}});
}

TEST_CASE("a cylinder without normals: smooth around, sharp at the rims", "[obj]") {
    // Regular 36-gon of radius 1: side 2 sin 5 deg, area 18 sin 10 deg.
    const double polygon = 18 * std::sin(std::numbers::pi / 18), side = 2 * std::sin(std::numbers::pi / 36);
    checkGood({"cylinder_36.obj",
               72 + 2 * 34,
               36 * side * 2.0 + 2 * polygon,
               2.0 * polygon,
               cylinderTruth,
               kExact_deg,
               {{"", "", 140}}});
}

TEST_CASE("the crease angle decides: 0 leaves every facet flat, 91 degrees rounds a cube",
          "[obj]") {
    const ObjFile flatCylinder = readObj(goodObj("cylinder_36.obj"), 0.0F);
    // Each side normal then stands 5 degrees off the corner's radius.
    const double off = largestNormalError_deg(flatCylinder.mesh, cylinderTruth);
    CHECK_THAT(off, WithinAbs(5.0, 0.001));
    // Smoothing off in the file stands over the angle asked for.
    const ObjFile told = readObj(goodObj("cylinder_smoothing_off.obj"), kCrease_rad);
    CHECK_THAT(largestNormalError_deg(told.mesh, cylinderTruth), WithinAbs(5.0, 0.001));
    const ObjFile round = readObj(goodObj("cube_quads.obj"), glm::radians(91.0F));
    CHECK(largestNormalError_deg(round.mesh, radial) <= kExact_deg);
    CHECK(round.mesh.position_m.size() == 8);
}

TEST_CASE("texture points stay with their corners", "[obj]") {
    const ObjFile obj = readObj(goodObj("texture.obj"), kCrease_rad);
    REQUIRE(obj.mesh.uv.size() == obj.mesh.position_m.size());
    for (std::size_t i = 0; i < obj.mesh.uv.size(); ++i) {
        // The file: face 4 3 2 1 with vt 1 2 3 4, so u = x / 2 and v = 1 - z.
        CHECK(obj.mesh.uv[i].x == obj.mesh.position_m[i].x / 2);
        CHECK(obj.mesh.uv[i].y == 1.0F - obj.mesh.position_m[i].z);
    }
}

TEST_CASE("a seam: one place may have two texture points", "[obj]") {
    // Two unit squares side by side in x, each with u from 0 to 1.
    const ObjFile obj = readObj(goodObj("uv_seam.obj"), kCrease_rad);
    CHECK(obj.mesh.position_m.size() == 8);
    for (const auto& t : obj.mesh.triangle) {
        const auto& p = obj.mesh.position_m;
        const float left = std::floor((p[t[0]].x + p[t[1]].x + p[t[2]].x) / 3);
        for (const std::uint32_t i : t) CHECK(obj.mesh.uv[i].x == p[i].x - left);
    }
}

TEST_CASE("a group for each of 70000 faces: groups are given up, no face is", "[obj]") {
    // Mesh::slot has 16 bits; some programs write a group a face.
    const auto file = std::filesystem::temp_directory_path() / "keyfall_obj_many_groups.obj";
    {
        std::ofstream out(file);
        out << "v 0 0 0\nv 1 0 0\nv 0 1 0\n";
        for (int i = 0; i < 70000; ++i) out << "g face" << i << "\nf 1 2 3\n";
    }
    const ObjFile obj = readObj(file, kCrease_rad);
    std::filesystem::remove(file);
    CHECK(keepsGuarantees(obj));
    CHECK(obj.mesh.triangle.size() == 70000);
    CHECK(obj.slotName.size() == 65536);
    CHECK(obj.slotGroup[65534] == "face65534");
    CHECK(obj.slotGroup[65535].empty());
    CHECK(obj.mesh.slot.back() == 65535);
}
