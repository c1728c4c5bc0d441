// [[variant]], [[edge]], [compare]: what commands find of them. Expected values: the scene contract's
// own rules (README, "The scene file"). Not here: bad ones (tests/bad/scene).
#include <unistd.h>

#include "read_check.h"

namespace keyfall::test {
namespace {

const std::string kSet = R"(
[[block]]
name = "cube"
shape = "box"
size = [6, 6, 6]
[[light]]
name = "key"
lumens = 900
around = { point = [0, 3, 0], angle = 60, elevation = 30, distance = 80 }
[[board]]
name = "fill"
surface = "white-foam"
size = [20, 30]
around = { point = [0, 3, 0], angle = -90, elevation = 0, distance = 20 }
[[variant]]
name = "closer"
caption = "key at 40 cm, no card"
set = { "light.key.around.distance" = 40, "board.fill.on" = false }
[[variant]]
name = "half"
set = { "light.key.power" = "1/2" }
)";

Scene variantOf(const std::string& variant, const std::vector<std::string>& set = {}) {
    const auto folder = std::filesystem::temp_directory_path() / ("keyfall_variants_" + std::to_string(getpid()));
    std::filesystem::create_directories(folder);
    const auto file = folder / "set.toml";
    std::ofstream(file) << kSet;
    ReadOptions options;
    options.set = set;
    options.variant = variant;
    const ReadResult result = readScene(file, options);
    std::filesystem::remove_all(folder);
    INFO(errorsOf(result));
    REQUIRE(result.scene);
    return *result.scene;
}

}  // namespace

TEST_CASE("a variant is the set with its keys changed; all are listed in each", "[read][variant]") {
    const Scene plain = variantOf("");
    CHECK(plain.lights[0].exitDistance_m == Approx(0.8));
    REQUIRE(plain.variants.size() == 2);
    CHECK(plain.variants[0].name == "closer");
    CHECK(plain.variants[0].caption == "key at 40 cm, no card");
    CHECK(plain.variants[0].keys == std::vector<std::string>{"board.fill.on", "light.key.around.distance"});
    CHECK(plain.variants[0].values == std::vector<std::string>{"false", "40"});
    CHECK(plain.variants[0].written == std::vector<std::string>{"true", "80"});
    CHECK(plain.variants[1].written == std::vector<std::string>{"1/1"});  // the default

    const Scene closer = variantOf("closer");
    CHECK(closer.lights[0].exitDistance_m == Approx(0.4));
    CHECK(closer.items.size() == plain.items.size() - 1);
    CHECK(closer.variants.size() == 2);
    CHECK(variantOf("half").lights[0].power_stops == Approx(-1.0));
}

TEST_CASE("a variant's keys stand over --set", "[read][variant]") {
    CHECK(variantOf("closer", {"light.key.around.distance=120"}).lights[0].exitDistance_m == Approx(0.4));
    CHECK(variantOf("half", {"light.key.around.distance=120"}).lights[0].exitDistance_m == Approx(1.2));
}

TEST_CASE("edges are metres; one that is off is left out", "[read][edge]") {
    const std::string edge = "[[edge]]\nname = \"cast\"\nfrom = [-9.5, 0, 5]\nto = [-9.5, 0, -2]\n";
    const auto read = readText(kSet + edge);
    REQUIRE(read.scene);
    REQUIRE(read.scene->edges.size() == 1);
    CHECK(read.scene->edges[0].name == "cast");
    CHECK(read.scene->edges[0].from_m.z == Approx(0.05));
    CHECK(read.scene->edges[0].to_m.z == Approx(-0.02));
    CHECK(readText(kSet + edge + "on = false\n").scene->edges.empty());
}

TEST_CASE("compare: defaults, words, named lamps, a default probe", "[read][compare]") {
    const Compare silent = readText(kSet).scene->compare;
    CHECK(silent.equalAt.empty());
    CHECK(silent.by == Compare::By::power);
    CHECK(silent.lamps == Compare::Lamps::changed);
    const auto told = readText(kSet + "[compare]\nequal_at = \"front\"\nby = \"iso\"\nlamps = [\"key\"]\n");
    INFO(errorsOf(told));
    REQUIRE(told.scene);
    CHECK(told.scene->compare.equalAt == "front");
    CHECK(told.scene->compare.by == Compare::By::iso);
    CHECK(told.scene->compare.lamps == Compare::Lamps::named);
    CHECK(told.scene->compare.named == std::vector<std::string>{"key"});
    CHECK_THAT(errorsOf(readText(kSet + "[compare]\nequal_at = \"frnt\"\n")),
               Catch::Contains("there is no probe \"frnt\"") && Catch::Contains("front"));
}

}  // namespace keyfall::test
