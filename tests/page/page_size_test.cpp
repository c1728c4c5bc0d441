// How a page is cut down to the bytes that it may have: layers halved, layers left out, pictures halved, refused.
// Not here: the page in a browser (page_test.mjs).
#include <catch2/catch.hpp>

#include <nlohmann/json.hpp>

#include <filesystem>
#include <random>

#include "renderer/photograph/write_file.h"
#include "renderer/transport/layers.h"
#include "scene/colour.h"
#include "tools/keyfall/page.h"
#include "tools/keyfall/page_layers.h"

using namespace keyfall;
using Catch::Matchers::Contains;

namespace {

constexpr int kWidth = 408, kHeight = 272;

/// The set of page_set.toml with a film of even noise, which packs badly.
struct Filled {
    Options options;
    std::unique_ptr<MeteredSet> set;
    std::unique_ptr<Film> film;
    std::vector<LayerMix> mix;
    LinearImage image;

    Filled() {
        options.scene = std::string(KEYFALL_TESTS) + "/page/page_set.toml";
        options.quiet = true;
        options.set = {"picture.width=408"};
        set = std::make_unique<MeteredSet>(SetReader(options).read({}), options);
        set->report.picture.emplace();
        set->report.picture->causticShare.assign(layerInfos(set->scene).size(), 0.0);
        film = std::make_unique<Film>(kWidth, kHeight, layerInfos(set->scene));
        std::mt19937 random(5);
        std::uniform_real_distribution<float> even(1e-3F, 2e-3F);
        for (std::size_t p = 0; p < film->pixelCount(); ++p) {
            film->samplesAt(p) = 1;
            for (std::size_t l = 0; l < film->layers().size(); ++l) film->cell(l, p).transferSum.fill(even(random));
        }
        mix = mixAsSet(set->scene, set->scene.camera.shutter_s.exact);
        image = expose(develop(*film, mix), pictureFactor(set->scene.camera), glm::dvec3(1.0));
    }
    std::unique_ptr<Page> page(std::size_t mostBytes) const {
        PageSettings settings;
        settings.title = "sizes";
        settings.live = {"one"};
        settings.mostBytes = mostBytes;
        auto page = std::make_unique<Page>(settings);
        page->add({"one", "", {}, {}, *set, *film, mix, image, glm::dvec3(1.0)});
        return page;
    }
};

/// What the page's script reads.
nlohmann::json dataOf(const std::string& html) {
    const std::string open = "id=\"comparison\">";
    const std::size_t from = html.find(open) + open.size();
    return nlohmann::json::parse(html.substr(from, html.find("</script>", from) - from));
}

}  // namespace

TEST_CASE("page: halved layers are means of light, not of codes, also at an odd end", "[page]") {
    LinearImage light;
    light.width_px = 3;
    light.height_px = 2;
    for (const double v : {1.0, 0.5, 0.25, 0.0, 0.5, 0.75}) light.pixel.emplace_back(v, 2.0 * v, 4.0 * v);
    const LayerCodes half = halved(layerCodes(light));
    REQUIRE(half.width_px == 2);
    REQUIRE(half.height_px == 1);
    // (1 + .5 + 0 + .5)/4 = 1/2, and the last column with itself: (.25 + .75)/2 = 1/2: code 1 + 64 (14 - 1) = 833.
    CHECK(half.code == std::vector<std::uint16_t>{833, 897, 961, 833, 897, 961});
}

TEST_CASE("page: over the limit layers are halved, then left out, then pictures halved, then it is refused", "[page]") {
    const Filled filled;
    const std::string whole = filled.page(kMostPageBytes)->html();
    const auto data = dataOf(whole);
    REQUIRE(data.at("cut").at("layers") == 0);
    REQUIRE(data.at("variants").at(0).at("live").at("width") == kWidth);

    const std::size_t lower = whole.size() * 6 / 10;
    const std::string half = filled.page(lower)->html();
    CHECK(half.size() <= lower);
    CHECK(dataOf(half).at("cut").at("layers") == 1);
    CHECK(dataOf(half).at("variants").at(0).at("live").at("width") == kWidth / 2);
    CHECK(dataOf(half).at("variants").at(0).at("picture").at("width") == kWidth);

    const std::size_t least = half.size() * 6 / 10;  // layers of 204 pixels are not worth halving
    const std::string still = filled.page(least)->html();
    CHECK(still.size() <= least);
    CHECK(dataOf(still).at("cut").at("none") == true);
    CHECK_FALSE(dataOf(still).at("variants").at(0).contains("live"));

    const std::string small = filled.page(still.size() - 1)->html();
    CHECK(dataOf(small).at("cut").at("pictures") == (dataOf(still).at("cut").at("pictures").get<int>() + 1));
}

TEST_CASE("page: where nothing is enough there is no file, and the message says what to do", "[page]") {
    const auto file = std::filesystem::temp_directory_path() / "keyfall-page-none.html";
    std::filesystem::remove(file);
    CHECK_THROWS_WITH(Filled().page(1000)->write(file),
                      Contains("none.html: could not be written: the page would have") &&
                          Contains("bytes, 1000 are allowed; compare fewer variants, or use series"));
    CHECK_FALSE(std::filesystem::exists(file));
}
