// What a Film promises: the same bytes on any number of threads, layers that stand for themselves,
// powers that are a multiplication.
#include <catch2/catch.hpp>

#include <cstring>
#include <numbers>

#include "renderer/meter/readings.h"
#include "renderer/transport/render.h"
#include "scene/colour.h"
#include "scene/spectrum_csv.h"
#include "set.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// A ball on a table between two lamps, with a glossy back wall: every kind of path in a small set.
Set smallSet() {
    Set set;
    set.item(sheet({0, 0, 0}, {0, 1, 0}, {1.2F, 0.8F}), set.matt(0.6F), ItemKind::table);
    Material gloss;
    gloss.base = Base::plastic;
    gloss.reflectance = Bands(0.3F);
    gloss.roughness = 0.3F;
    set.item(sphereMesh(0.12F), set.material(gloss), ItemKind::product);
    set.item(sheet({-0.25F, 0.1F, 0}, {1, 0, 0}, {0.3F, 0.3F}), set.matt(0.85F), ItemKind::board);
    set.light(sphereLamp({0.5F, 0.5F, 0.3F}, 0.03F), 1000.0);
    set.light(panelLamp({-0.6F, 0.6F, 0.5F}, {0.6F, -0.5F, -0.5F}, 0.3F, 0.3F), 500.0);
    Camera& c = set.scene.camera;
    c.lens_m = {0, 0.15F, 0.9F};
    c.frame.z = glm::normalize(glm::vec3(0, 0.06F, 0) - c.lens_m);
    c.frame.x = glm::normalize(glm::cross(c.frame.z, glm::vec3(0, 1, 0)));
    c.frame.y = glm::cross(c.frame.x, c.frame.z);
    c.focusDistance_m = 0.85;
    set.scene.picture = {48, 32, View::straight};
    return set;
}

RenderResult renderInto(const Scene& scene, Film& film, int threads, std::uint32_t seed, int samples) {
    const Stage stage(scene, threads);
    RenderSettings settings;
    settings.run.threads = threads;
    settings.run.seed = seed;
    settings.samples = samples;
    return render(stage, film, settings);
}

Film filmOf(const Scene& scene, int threads = 2, std::uint32_t seed = 1, int samples = 16) {
    Film film(scene.picture.width_px, scene.picture.height_px, layerInfos(scene));
    renderInto(scene, film, threads, seed, samples);
    return film;
}

bool sameLayer(const Film& a, const Film& b, std::size_t layer) {
    for (std::size_t p = 0; p < a.pixelCount(); ++p)
        if (std::memcmp(&a.cell(layer, p), &b.cell(layer, p), sizeof(FilmCell)) != 0) return false;
    return true;
}

/// Mean luminance of the picture and its standard error over seeds.
double meanLuminance(const Film& film, const std::vector<LayerMix>& mix) {
    double sum = 0.0;
    for (std::size_t p = 0; p < film.pixelCount(); ++p) sum += luminanceAt(film, mix, p);
    return sum / static_cast<double>(film.pixelCount());
}

}  // namespace

TEST_CASE("same input, same bytes for 1, 2 and 7 threads", "[film][transport]") {
    const Set set = smallSet();
    const Film one = filmOf(set.scene, 1);
    for (const int threads : {2, 7}) {
        const Film other = filmOf(set.scene, threads);
        CHECK(sameLayer(one, other, 0));
        CHECK(sameLayer(one, other, 1));
    }
}

TEST_CASE("another seed gives other bytes", "[film][transport]") {
    const Set set = smallSet();
    CHECK_FALSE(sameLayer(filmOf(set.scene, 2, 1), filmOf(set.scene, 2, 2), 0));
}

TEST_CASE("a layer is the same where only its lamp emits, the other bodies kept", "[film][transport]") {
    const Set set = smallSet();
    Set alone = set;
    alone.scene.lights[1].on = false;
    CHECK(sameLayer(filmOf(set.scene), filmOf(alone.scene), 0));
}

TEST_CASE("a lamp at power 0 is traced and can be turned up afterwards", "[film][transport]") {
    const Set set = smallSet();
    Set dark = set;
    dark.scene.lights[0].power_stops = -std::numeric_limits<double>::infinity();
    const Film film = filmOf(dark.scene);
    CHECK(meanLuminance(film, mixAsSet(dark.scene, 1.0)) < meanLuminance(film, mixAsSet(set.scene, 1.0)));
    CHECK(sameLayer(film, filmOf(set.scene), 0));
}

TEST_CASE("powers 1 and 1/4, other seeds: 2.000 stop apart within the noise", "[film][transport]") {
    // Linearity of light, exact.
    Set set = smallSet();
    set.scene.lights[1].on = false;
    Set quarter = set;
    quarter.scene.lights[0].power_stops = -2.0;
    double sum = 0.0;
    double squares = 0.0;
    constexpr int kRuns = 8;
    for (std::uint32_t seed = 1; seed <= kRuns; ++seed) {
        const double full = meanLuminance(filmOf(set.scene, 2, seed), mixAsSet(set.scene, 1.0));
        const double less = meanLuminance(filmOf(quarter.scene, 2, seed + 100), mixAsSet(quarter.scene, 1.0));
        const double stops = std::log2(full / less);
        sum += stops;
        squares += stops * stops;
    }
    const double mean = sum / kRuns;
    const double error = std::sqrt((squares / kRuns - mean * mean) / (kRuns - 1));
    INFO(mean << " +- " << error);
    CHECK(std::abs(mean - 2.0) < 5.0 * error);
    CHECK(error < 0.01);
}

TEST_CASE("thin lens: a product's height in pixels is f/(s-f) of it", "[law][transport]") {
    // Pinhole and thin lens: image size = object * v/d with v = f s/(s-f) (Gauss), d along the axis.
    Set set;
    set.item(sheet({0, 0.15F, 0}, {0, 0, 1}, {0.10F, 0.14F}), set.matt(0.5F), ItemKind::product);
    set.light(panelLamp({0, 0.15F, 1.5F}, {0, 0, -1}, 0.5F, 0.5F), 1000.0);
    Camera& c = set.scene.camera;
    c.lens_m = {0, 0.15F, 1.2F};
    c.frame = {{1, 0, 0}, {0, 1, 0}, {0, 0, -1}};
    c.focusDistance_m = 1.2;
    set.scene.picture = {600, 400, View::straight};
    const Film film = filmOf(set.scene, 2, 1, 4);
    double rows = 0.0;
    for (int y = 0; y < 400; ++y) {
        const auto pixel = static_cast<std::size_t>(y * 600 + 300);
        rows += static_cast<double>(film.productHits(pixel)) / film.samplesAt(pixel);
    }
    const double v = 0.085 * 1.2 / (1.2 - 0.085);
    const double predicted = 0.14 * v / 1.2 / 0.024 * 400.0;
    INFO("rows " << rows << ", predicted " << predicted);
    CHECK(std::abs(rows - predicted) < 1.0);
}

TEST_CASE("a grey card keeps a lamp's chromaticity and the law's luminance through the whole path",
          "[law][transport]") {
    // L = rho E / pi (Lambert); for a grey the chromaticity is the lamp's own. All CIE illuminants
    // and LEDs shipped (CIE 15:2018).
    std::vector<std::string> columns;
    for (const char* file : {"cie_illuminants.csv", "cie_led_illuminants.csv"}) {
        const SpectrumCsv table = readSpectrumColumns(assetsDirectory() / "spectra" / file);
        for (const std::string& name : table.names) {
            const FineSpectrum spectrum = resample(table.column(name));
            Set set;
            set.item(sheet({0, 0, 0}, {0, 0, 1}, {1, 1}), set.matt(0.18F), ItemKind::product);
            Light& lamp = set.light(sphereLamp({0, 0, 1}, 0.02F), 1000.0);
            lamp.spectrum = spectrum;
            lamp.bands = bandXYZ(spectrum);
            Probe spot = set.probe({0.1F, 0, 0}, {0, 0, 1});
            spot.kind = ProbeKind::spot;
            spot.spotAngle_rad = 1e-4;
            set.scene.camera.lens_m = {0.3F, 0, 0.5F};
            set.scene.probes.push_back(spot);
            const Stage stage(set.scene);
            PathCounters counters;
            const ProbeReading r = readingOf(set.scene, spot, traceProbe(stage, spot, 64, 1, {}, counters));
            const Chromaticity seen = chromaticity(r.xyz);
            const Chromaticity own = chromaticity(lamp.bands.total());
            INFO(name);
            CHECK(std::abs(seen.x - own.x) < 1e-4);
            CHECK(std::abs(seen.y - own.y) < 1e-4);
            const double d2 = 1.0 + 0.01;
            const double e_lx = 1000.0 / (4.0 * std::numbers::pi) / std::pow(d2, 1.5);
            CHECK(r.continuous.mean() == Approx(0.18 * e_lx / std::numbers::pi).epsilon(1e-3));
            columns.push_back(name);
        }
    }
    CHECK(columns.size() == 13);
}
