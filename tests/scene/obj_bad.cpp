// Bad OBJ and MTL files: each gives its text, none crashes. Not here: good ones (obj_good.cpp).
#include <fstream>
#include <random>
#include <sstream>

#include "tests/scene/obj_check.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

std::string errorOf(const std::filesystem::path& file) {
    try {
        readObj(file, kCrease_rad);
        return "(read without error)";
    } catch (const ObjError& e) {
        return e.text;
    }
}

struct Bad {
    const char* file;
    const char* text;
};

const char* const kCorner =
    " is no corner of a face; write it as v, v/vt, v//vn or v/vt/vn with whole numbers; correct "
    "the line or export the mesh again";

}  // namespace

TEST_CASE("bad OBJ text: place, what was found, what is allowed, a fix", "[obj][bad]") {
    const std::string v =
        "a \"v\" line takes three decimal numbers; correct the line or export "
        "the mesh again";
    CHECK(errorOf(badObj("nan.obj")) == "nan.obj:3: \"nan\" is not a number; " + v);
    CHECK(errorOf(badObj("inf.obj")) == "inf.obj:2: \"-inf\" is not a number; " + v);
    CHECK(errorOf(badObj("decimal_comma.obj")) ==
          "decimal_comma.obj:2: \"1,5\" is not a number; " + v);
    CHECK(errorOf(badObj("two_numbers.obj")) == "two_numbers.obj:2: 2 numbers; " + v);
    CHECK(errorOf(badObj("letters_in_number.obj")) ==
          "letters_in_number.obj:3: \"1.0x\" is not a number; " + v);
    CHECK(errorOf(badObj("face_words.obj")) == "face_words.obj:4: \"one\"" + std::string(kCorner));
    CHECK(errorOf(badObj("face_four_fields.obj")) ==
          "face_four_fields.obj:4: \"1/1/1/1\"" + std::string(kCorner));
    CHECK(errorOf(badObj("face_decimal.obj")) ==
          "face_decimal.obj:4: \"3.0\"" + std::string(kCorner));
    CHECK(errorOf(badObj("face_no_point.obj")) ==
          "face_no_point.obj:5: \"/1\"" + std::string(kCorner));
}

TEST_CASE("bad OBJ and MTL files give exactly their text", "[obj][bad]") {
    for (const Bad& bad : std::vector<Bad>{
             {"no_such.obj",
              "mesh \"no_such.obj\": there is no such file; a mesh path is taken "
              "from the scene file's place; check the path"},
             {"directory.obj",
              "mesh \"directory.obj\": this is no file; a mesh is an OBJ file; check the path"},
             {"empty.obj",
              "mesh \"empty.obj\": the file is empty; an OBJ has points (v) and faces "
              "(f); export the mesh again"},
             {"only_comments.obj",
              "mesh \"only_comments.obj\": 0 points and no face in it; at "
              "least one face is needed; export it as polygons"},
             {"points_only.obj",
              "mesh \"points_only.obj\": 3 points and no face in it; at least "
              "one face is needed; export it as polygons"},
             {"faces_of_two.obj",
              "mesh \"faces_of_two.obj\": 3 points and no face in it; at least "
              "one face is needed; export it as polygons"},
             {"picture.obj",
              "mesh \"picture.obj\": 0 points and no face in it; at least one face "
              "is needed; export it as polygons"},
             {"web_page.obj",
              "mesh \"web_page.obj\": 0 points and no face in it; at least one "
              "face is needed; export it as polygons"},
             {"free_form_only.obj",
              "mesh \"free_form_only.obj\": only free-form curves or "
              "surfaces in it; they are not read; export it as polygons"},
             {"no_area.obj",
              "mesh \"no_area.obj\": none of its 2 triangles has an area; at least "
              "one is needed; export the mesh again"},
             {"too_large.obj",
              "too_large.obj:2: a number of this \"v\" line is larger than "
              "3.4e38; export the mesh again"},
             {"normal_two_numbers.obj",
              "normal_two_numbers.obj:4: 2 numbers; a \"vn\" line takes three decimal numbers; "
              "correct the line or export the mesh again"},
             {"uv_word.obj",
              "uv_word.obj:4: \"left\" is not a number; a \"vt\" line takes one to "
              "three decimal numbers; correct the line or export the mesh again"},
             {"uv_far.obj",
              "uv_far.obj:4: a number of this \"vt\" line is beyond 1000000; a texture repeats "
              "every 1; export the mesh again"},
             {"uv_far_negative.obj",
              "uv_far_negative.obj:5: a number of this \"vt\" line is beyond 1000000; a texture "
              "repeats every 1; export the mesh again"},
             {"index_zero.obj",
              "index_zero.obj:4: index 0 in \"0\"; OBJ counts from 1, or back "
              "from -1; export the mesh again"},
             {"index_beyond.obj",
              "index_beyond.obj:5: point 4 does not exist; the file has 3; "
              "export the mesh again"},
             {"index_huge.obj",
              "index_huge.obj:4: index in \"99999999999\" is too large; the "
              "largest is 2147483647; export the mesh again"},
             {"index_negative_beyond.obj",
              "index_negative_beyond.obj:4: point -4 does not exist; the file has 3 before this "
              "line; export the mesh again"},
             {"uv_beyond.obj",
              "uv_beyond.obj:5: texture point 2 does not exist; the file has 1; "
              "export the mesh again"},
             {"normal_beyond.obj",
              "normal_beyond.obj:4: normal 1 does not exist; the file has 0; "
              "export the mesh again"},
             {"mtl_words.obj",
              "mtl_words.mtl:2: \"red\" is not a number; Kd takes red, green and "
              "blue, each 0 to 1; correct the line"},
             {"mtl_two_numbers.obj",
              "mtl_two_numbers.mtl:2: Kd with 2 numbers; it takes red, "
              "green and blue, or one for grey; correct the line"},
             {"mtl_no_name.obj",
              "mtl_no_name.mtl:1: a material without a name; write newmtl NAME, "
              "the name that the OBJ's usemtl lines use"},
             {"mtl_nan.obj",
              "mtl_nan.mtl:3: \"nan\" is not a number; Pr takes one number; correct the line"},
             {"mtl_no_number.obj",
              "mtl_no_number.mtl:3: no number; Ns takes one number; correct the line"}}) {
        INFO(bad.file);
        CHECK(errorOf(badObj(bad.file)) == bad.text);
    }
}

TEST_CASE("texture places up to a million repeats are read as they are", "[obj]") {
    const ObjFile obj = readObj(goodObj("uv_largest.obj"), kCrease_rad);
    CHECK(keepsGuarantees(obj));
    REQUIRE(obj.mesh.uv.size() == 3);
    CHECK(obj.mesh.uv[0] == glm::vec2(1e6F, 0.0F));
    CHECK(obj.mesh.uv[1] == glm::vec2(0.0F, -1e6F));
}

TEST_CASE("files with random bytes changed are read or refused, never worse", "[obj][bad]") {
    const auto scratch = std::filesystem::temp_directory_path() / "keyfall_obj_mutants.obj";
    std::mt19937 random(20240);  // fixed: the same mutants every time
    const std::string alphabet("0123456789-+./ \n\\#eEvnftsgo\t\r\0\x80", 32);
    std::size_t read = 0, refused = 0;
    for (const char* name : {"cube_normals.obj", "concave_star.obj", "groups_and_materials.obj",
                             "cube_spaces_and_comments.obj"}) {
        std::stringstream text;
        text << std::ifstream(goodObj(name), std::ios::binary).rdbuf();
        for (int mutant = 0; mutant < 150; ++mutant) {
            std::string changed = text.str();
            for (std::uint32_t edits = 1 + random() % 4; edits > 0; --edits)
                changed[random() % changed.size()] = alphabet[random() % alphabet.size()];
            std::ofstream(scratch, std::ios::binary) << changed;
            try {
                const ObjFile obj = readObj(scratch, kCrease_rad);
                CHECK(keepsGuarantees(obj));
                ++read;
            } catch (const ObjError& e) {
                CHECK(!e.text.empty());
                ++refused;
            }
        }
    }
    std::filesystem::remove(scratch);
    INFO(read << " read, " << refused << " refused");
    CHECK(read > 50);
    CHECK(refused > 50);
}
