// Baked tables: their balance, and what they send, against closed forms and the real modifier traced.
// Not here: the light trace's own laws (light_trace_test.cpp), cells (tests/scene).
#include "renderer/transport/bake.h"

#include <catch2/catch.hpp>
#include <cstring>
#include <numbers>
#include <random>

#include "modifier_bodies.h"
#include "near_field.h"
#include "renderer/transport/bake_smooth.h"
#include "renderer/transport/light_trace.h"
#include "scene/bare_scene.h"
#include "scene/library.h"
#include "scene/modifier_build.h"
#include "set.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

const Library& library() {
    static const Library loaded = readLibrary();
    return loaded;
}

struct BakedSet {
    LampShape lamp;
    Material surface;
    ModifierBody body;
};
BakedSet dressed(const std::string& lamp, const std::string& modifier) {
    const Library& l = library();
    const LampModel& model = l.lamps.at(lamp);
    return {model.shape, l.materials.at("white-paint"),
            buildModifier(l.modifiers.at(modifier), model.shape, l.materials, l.fabrics)};
}

BakeSettings sized(int along, int across, int directions, std::uint32_t photons, int threads = 2) {
    BakeSettings s;
    s.along = along;
    s.across = across;
    s.directions = directions;
    s.photons = photons;
    s.run.threads = threads;
    return s;
}

double fluxOfFaces(const NearFieldTable& table, int band) {
    double sum = 0.0;
    for (const TableFace& face : table.faces) sum += static_cast<double>(fluxOf(face)[band]);
    return sum;
}

struct Nowhere final : ExitSink {
    void add(const ExitCrossing&, const Bands&) override {}
};

}  // namespace

TEST_CASE("bake: the same bytes for any number of threads", "[bake]") {
    const BakedSet d = dressed("flash-tube", "bowl-18");
    std::vector<NearFieldTable> tables;
    for (const int threads : {1, 2, 7})
        tables.push_back(bake(d.lamp, d.surface, d.body, sized(4, 2, 32, 2048U, threads)));
    for (std::size_t i = 1; i < tables.size(); ++i) {
        const auto& a = tables[0].faces.at(0).luminance;
        const auto& b = tables[i].faces.at(0).luminance;
        REQUIRE(a.size() == b.size());
        CHECK(std::memcmp(a.data(), b.data(), a.size() * sizeof(float)) == 0);
        CHECK(std::memcmp(&tables[0].absorbed, &tables[i].absorbed, sizeof(Bands)) == 0);
        CHECK(std::memcmp(&tables[0].straight, &tables[i].straight, sizeof(Bands)) == 0);
    }
}

TEST_CASE("bake: what the faces hold is what was scattered out", "[bake][law]") {
    for (const char* name : {"bowl-18", "softbox-60x60-double", "octabox-90-double", "umbrella-100-white"}) {
        const BakedSet d = dressed("flash-tube", name);
        BakeSettings s;
        s.photons = 4096U;
        s.run.threads = 2;
        const NearFieldTable table = bake(d.lamp, d.surface, d.body, s);
        for (const int band : {0, 8, 15}) {
            INFO(name << " band " << band);
            const auto scattered = static_cast<double>(table.scattered[band]);
            CHECK(fluxOfFaces(table, band) == Approx(scattered).epsilon(1e-4));
            CHECK(scattered > 0.1);
        }
    }
}

TEST_CASE("bake: a Lambertian skin shows tau E / pi from everywhere", "[bake][law]") {
    // A small lamp h behind a skin in a black box: E = Phi/(4 pi) h / d^3 at the skin; L = tau E / pi.
    const float tau = 0.354F, h = 0.2F;
    const Material skin = skinOf(tau, 0.0F);
    const ModifierBody body = boxBody({0.4F, 0.4F, 0.3F}, mattOf(0.0F), &skin, -h - 5e-4F);
    const NearFieldTable table =
        bake(sphereLamp(glm::vec3(0.0F), 2e-3F), mattOf(0.0F), body, sized(4, 4, 4, 1U << 17U));
    const TableFace& face = table.faces.at(0);
    REQUIRE(face.folded);
    const std::vector<double> measure = cellMeasures_srM2(face);
    for (std::size_t p = 0; p < 16; ++p) {
        // Mean of E over the cell, 5 x 5 points.
        double expected = 0.0;
        for (int k = 0; k < 25; ++k) {
            const double x = 0.05 * (static_cast<double>(p / 4) + (k / 5 + 0.5) / 5.0);
            const double y = 0.05 * (static_cast<double>(p % 4) + (k % 5 + 0.5) / 5.0);
            const double hd = static_cast<double>(h);
            expected += hd / std::pow(x * x + y * y + hd * hd, 1.5) / (4.0 * std::numbers::pi) / 25.0;
        }
        expected *= static_cast<double>(tau) / std::numbers::pi;
        for (std::size_t d = 0; d < 16; ++d) {
            const std::size_t cell = p * 16 + d;
            const double l = static_cast<double>(face.luminance[cell * kBands + 5]);
            // Photons of the cell: each carries tau of 1 / (4 * 2^17); Poisson's error. 1 % for 0.5 mm of
            // air between skin and exit and for the 5 x 5 points.
            const double count = expected * measure[cell] / static_cast<double>(tau) * 4.0 * (1U << 17U);
            INFO("position " << p << " direction " << d << " expected " << expected << " photons " << count);
            CHECK(std::abs(l / expected - 1.0) < 5.0 / std::sqrt(count) + 0.01);
        }
    }
}

TEST_CASE("bake: no table is brighter than rho times the lamp", "[bake][law]") {
    // Luminance theorem: a passive mirror shows the source at rho L at most, whatever its form.
    std::vector<glm::vec2> profile;
    for (int i = 1; i <= 60; ++i) {
        const float r = 0.09F * static_cast<float>(i) / 60.0F;
        profile.emplace_back(r, r * r / (4.0F * 0.03F) - 0.0675F);
    }
    const ModifierBody body = bowlBody(profile, metalOf(0.85F, 0.0F), -0.0375F);
    const LampShape lamp = sphereLamp(glm::vec3(0.0F), 0.02F);
    const NearFieldTable table = bake(lamp, mattOf(0.0F), body, sized(6, 1, 12, 1U << 16U));
    const TableFace& face = table.faces.at(0);
    const std::vector<double> measure = cellMeasures_srM2(face);
    // Schlick's rise towards grazing: the rim is met at 37 degrees, under 0.001.
    const double bound = 0.851 * emitterLuminancePerFlux_perSrM2(lamp);
    double brightest = 0.0;
    for (std::size_t c = 0; c < measure.size(); ++c) {
        const double l = static_cast<double>(face.luminance[c * kBands + 3]);
        if (measure[c] <= 0.0 || l <= 0.0) continue;
        const double photons = l * measure[c] / 0.85 * 4.0 * (1U << 16U);
        CHECK(l < bound * (1.0 + 5.0 / std::sqrt(std::max(1.0, photons))));
        if (photons > 400.0) brightest = std::max(brightest, l);
    }
    CHECK(brightest > 0.3 * bound);  // and a part of it comes near
}

namespace {

/// One position, 32 x 32 directions, `value(x, y)` at the middle of each on the Nusselt disc.
template <class Value>
TableFace patterned(const Value& value) {
    TableFace face;
    face.exit = panelExit(0.2F, 0.2F);
    face.directions = 32;
    for (int u = 0; u < 32; ++u)
        for (int v = 0; v < 32; ++v)
            face.luminance.insert(face.luminance.end(), kBands,
                                  value((static_cast<float>(u) - 15.5F) / 16.0F,
                                        (static_cast<float>(v) - 15.5F) / 16.0F));
    return face;
}

/// Root mean square of the difference over the cells within 0.7 of the middle.
double rmsBetween(const TableFace& a, const TableFace& b) {
    double sum = 0.0, count = 0.0;
    for (std::size_t c = 0; c < 1024; ++c) {
        const double x = (static_cast<double>(c / 32) - 15.5) / 16.0;
        const double y = (static_cast<double>(c % 32) - 15.5) / 16.0;
        if (x * x + y * y > 0.49) continue;
        sum += std::pow(static_cast<double>(a.luminance[c * kBands] - b.luminance[c * kBands]), 2.0);
        count += 1.0;
    }
    return std::sqrt(sum / count);
}

}  // namespace

TEST_CASE("fit over directions: curvature passes, noise falls, an edge and the flux stay", "[bake]") {
    const auto curved = [](float x, float y) {
        return 10.0F + 3.0F * x - 2.0F * y - 4.0F * x * x + 2.0F * x * y;
    };
    const TableFace smooth = patterned(curved);
    TableFace fit = smooth;
    smoothDirections(fit, std::vector<double>(1024, 1.0), 3);
    CHECK(rmsBetween(fit, smooth) < 1e-4);
    std::mt19937 engine(9U);  // noise of standard deviation 1, uniform over sqrt(12)
    const TableFace noisy = patterned([&](float x, float y) {
        return curved(x, y) + (static_cast<float>(engine() >> 8U) * 0x1p-24F - 0.5F) * std::sqrt(12.0F);
    });
    for (const int reach : {2, 3}) {
        fit = noisy;
        smoothDirections(fit, std::vector<double>(1024, 1.0), reach);
        // Least squares: the variance falls to the weight in the middle, 27/175 and 11/147.
        const double left = std::sqrt(reach == 2 ? 27.0 / 175.0 : 11.0 / 147.0);
        CHECK(rmsBetween(fit, smooth) == Approx(left).epsilon(0.2));
        CHECK(fluxOf(fit)[4] == Approx(fluxOf(noisy)[4]).epsilon(1e-5));
    }
    const TableFace edge = patterned([](float x, float) { return x > 0.1F ? 5.0F : 1.0F; });
    fit = edge;
    smoothDirections(fit, std::vector<double>(1024, 1e-4), 3);
    CHECK(rmsBetween(fit, edge) < 1e-5);
}

/// The light trace's sums alone, for exits whose light nobody keeps.
static auto lightThrough(const Stage& stage, const std::vector<ExitFace>& exits, std::uint32_t photons) {
    Nowhere nowhere;
    std::array<ExitSink*, kLightStreams> sinks{};
    sinks.fill(&nowhere);
    LightTraceSettings settings;
    settings.run.threads = 2;
    settings.photons = photons;
    return traceLight(stage, exits, settings, sinks);
}

TEST_CASE("light leaves a bowl and a box alike by light tracing and by path tracing", "[bake][law][long]") {
    for (const char* name : {"bowl-18", "softbox-60x60"}) {
        const BakedSet d = dressed("flash-tube", name);
        const Scene scene = bareScene(d.lamp, d.surface, &d.body, Doors::without);
        const Stage stage(scene, 2);
        const auto streams = lightThrough(stage, d.body.exits, 1U << 15U);
        const double light = meanOf(streams).scattered.v[8];
        const auto out = [](const LightBalance& b) { return b.scattered.v[8]; };
        const double error = standardErrorOf(streams, out);
        const Traced path = tracedFlux(stage, d.body.exits, 1U << 13U, 8);
        INFO(name << ": light " << light << " +- " << error << ", paths " << path.value << " +- "
                  << path.standardError);
        CHECK(std::abs(light - path.value) < 4.0 * std::hypot(error, path.standardError));
        CHECK(light == Approx(path.value).epsilon(0.015));
    }
}

TEST_CASE("near field: a table against the real modifier, 0.2 to 2 m and far out on the axis", "[bake][law][long]") {
    struct Row {
        const char* lamp;
        const char* modifier;
    };
    for (const Row& row : {Row{"flash-bulb", "bowl-18"}, Row{"flash-tube", "bowl-18"},
                           Row{"flash-tube", "softbox-60x60-open"}, Row{"flash-tube", "softbox-60x60-double"}}) {
        const BakedSet d = dressed(row.lamp, row.modifier);
        BakeSettings settings;
        settings.run.threads = 2;
        const NearFieldTable table = bake(d.lamp, d.surface, d.body, settings);
        const Scene scene = bareScene(d.lamp, d.surface, &d.body, Doors::without);
        const Stage stage(scene, 2);
        // From far on the axis one cell of directions is all that is seen.
        for (const double distance : {0.2, 0.5, 1.0, 2.0, 20.0})
            for (const double angle : {0.0, 20.0, 39.0}) {
                if (distance > 2.0 && angle > 0.0) continue;
                const Receiver r = receiverAt(distance, angle, 25.0);
                const Traced traced = tracedIlluminance(stage, d.body.exits, r, 1U << 11U, 8);
                const double off = std::log2(tableIlluminance(table, r, 8) / traced.value);
                const double error = traced.standardError / traced.value / std::log(2.0);
                INFO(row.lamp << " in " << row.modifier << " at " << distance << " m, " << angle
                              << " degrees: " << off << " stop, reference +- " << error);
                CHECK(std::abs(off) < 0.03 + 4.0 * error);
            }
    }
}

TEST_CASE("energy: every modifier of the library accounts for all of the light", "[bake][law][long]") {
    double sum = 0.0, squares = 0.0;
    for (const auto& [name, model] : library().modifiers) {
        const BakedSet d = dressed("flash-tube", name);
        const Scene scene = bareScene(d.lamp, d.surface, &d.body, Doors::without);
        const Stage stage(scene, 2);
        const auto streams = lightThrough(stage, d.body.exits, 1U << 13U);
        const LightBalance mean = meanOf(streams);
        INFO(name);
        CHECK(mean.leaks == 0);
        CHECK(mean.guardStops == 0);
        for (const std::size_t band : {0U, 8U, 15U}) {
            const auto all = [band](const LightBalance& b) {
                return b.scattered.v[band] + b.straight.v[band] + b.absorbed.v[band];
            };
            const double off = all(mean) - 1.0, error = standardErrorOf(streams, all);
            INFO("band " << band << ": off by " << off << " +- " << error);
            CHECK(std::abs(off) < 0.002 + 4.0 * error);
            CHECK(error < 0.01);
            if (band == 8U) sum += off, squares += error * error;
        }
    }
    // One by one the error of few photons hides 0.2 %; all together it does not.
    const auto count = static_cast<double>(library().modifiers.size());
    INFO("mean " << sum / count << " +- " << std::sqrt(squares) / count);
    CHECK(std::abs(sum / count) < 0.001);
}
