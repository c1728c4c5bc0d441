// Light traced from the lamp through modifiers whose light has a closed form.
// Not here: tables (bake_test.cpp), the library (library_light_test.cpp).
#include "renderer/transport/light_trace.h"

#include <catch2/catch.hpp>
#include <numbers>

#include "modifier_bodies.h"
#include "scene/bare_scene.h"
#include "set.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

/// Counts what leaves within `cone` of +z (world) and keeps the steepest slopes; exits as they stand.
struct Watch final : ExitSink {
    const std::vector<ExitFace>* exits = nullptr;
    float cosCone = 2.0F;
    double inCone = 0.0;
    glm::vec2 slope{0.0F};
    float leastZ = 1.0F;

    void add(const ExitCrossing& crossing, const Bands& flux) override {
        const glm::vec3 d = (*exits)[crossing.face].shape.frame.toWorld(crossing.direction);
        if (d.z > cosCone) inCone += static_cast<double>(flux[4]);
        slope = glm::max(slope, glm::abs(glm::vec2(d) / d.z));
        leastZ = std::min(leastZ, d.z);
    }
};

struct Outcome {
    std::array<LightBalance, kLightStreams> streams;
    std::array<Watch, kLightStreams> watch;
    LightBalance mean;

    double scattered() const { return mean.scattered.v[4]; }
    double straight() const { return mean.straight.v[4]; }
    double absorbed() const { return mean.absorbed.v[4]; }
    double error(BandSums LightBalance::*part) const {
        return standardErrorOf(streams, [part](const LightBalance& b) { return (b.*part).v[4]; });
    }
    double inCone() const {
        double sum = 0.0;
        for (const Watch& w : watch) sum += w.inCone;
        return sum / static_cast<double>(mean.photons);
    }
};

Outcome traced(const ModifierBody& body, const LampShape& lamp, std::uint32_t photons, float cosCone = 2.0F,
               bool towardsAxis = false, float lampBody = 0.0F) {
    const Scene scene = bareScene(lamp, mattOf(lampBody), &body, Doors::without);
    const Stage stage(scene, 2);
    Outcome o;
    std::array<ExitSink*, kLightStreams> sinks{};
    for (std::size_t i = 0; i < kLightStreams; ++i) {
        o.watch[i].exits = &body.exits;
        o.watch[i].cosCone = cosCone;
        sinks[i] = &o.watch[i];
    }
    LightTraceSettings settings;
    settings.run.threads = 2;
    settings.photons = photons;
    settings.towardsAxis = towardsAxis;
    o.streams = traceLight(stage, body.exits, settings, sinks);
    o.mean = meanOf(o.streams);
    return o;
}

/// Six panels around a cube of half edge `half_m`: everything that leaves crosses one.
std::vector<ExitFace> cubeExits(float half_m) {
    std::vector<ExitFace> exits;
    for (int axis = 0; axis < 3; ++axis)
        for (const float side : {1.0F, -1.0F}) {
            glm::vec3 n(0.0F);
            n[axis] = side;
            ExitFace exit = panelExit(2.0F * half_m, 2.0F * half_m);
            exit.shape.centre_m = half_m * n;
            exit.shape.frame = frameAround(n);
            exits.push_back(exit);
        }
    return exits;
}

/// A sphere of radius 1 about the origin from the angle `from` to `to` off +z.
Mesh zoneMesh(double from_rad, double to_rad, int rings, int sides) {
    std::vector<glm::vec2> profile;
    for (int i = 0; i <= rings; ++i) {
        const double t = to_rad + (from_rad - to_rad) * i / rings;
        const bool pole = t > 3.14159;
        profile.emplace_back(pole ? 0.0F : static_cast<float>(std::sin(t)), static_cast<float>(std::cos(t)));
    }
    return shellMesh(profile, sides);
}

LampShape bulb(float diameter_m) { return sphereLamp(glm::vec3(0.0F), diameter_m); }
constexpr double kPiD = std::numbers::pi;

}  // namespace

TEST_CASE("integrating sphere with a port: M = rho / (1 - rho (1 - f))", "[law][light]") {
    // CIE and textbook form for flux that first meets the wall: E = M Phi / A, so what leaves by the port
    // after a reflection is M f of it. The lamp in the middle sends the port's share f straight out.
    const double port = 0.6, rho = 0.9, f = 0.5 * (1.0 - std::cos(port));
    ModifierBody body;
    body.exits = {discExit(static_cast<float>(std::sin(port)), 96)};
    body.exits[0].shape.centre_m.z = static_cast<float>(std::cos(port));
    addPart(body, zoneMesh(port, kPiD, 48, 96), mattOf(0.9F));
    for (const bool towardsAxis : {false, true}) {
        const Outcome o = traced(body, bulb(2e-3F), 1U << 15U, 2.0F, towardsAxis);
        const double m = rho / (1.0 - rho * (1.0 - f));
        INFO("scattered " << o.scattered() << " +- " << o.error(&LightBalance::scattered) << ", expected "
                          << (1.0 - f) * m * f);
        // 48 x 96 facets: areas within 0.1 %.
        CHECK(std::abs(o.straight() - f) < 4.0 * o.error(&LightBalance::straight) + 0.002 * f);
        CHECK(std::abs(o.scattered() - (1.0 - f) * m * f) <
              4.0 * o.error(&LightBalance::scattered) + 0.002 * o.scattered());
        CHECK(std::abs(o.absorbed() - (1.0 - f) * m * (1.0 - rho) / rho) <
              4.0 * o.error(&LightBalance::absorbed) + 0.002 * o.absorbed());
        CHECK(o.mean.leaks == 0);
        CHECK(o.mean.guardStops == 0);
    }
}

TEST_CASE("closed white sphere with a skin: efficiency s tau / (1 - s rho - (1 - s) rho_w)", "[law][light]") {
    // Flux balance, exact in a sphere that is lit evenly from its middle (outside references, section 6).
    const double edge = 0.9, s = 0.5 * (1.0 - std::cos(edge)), tau = 0.36, rho = 0.58, wall = 0.85;
    ModifierBody body;
    body.exits = cubeExits(1.05F);
    addPart(body, zoneMesh(edge, kPiD, 40, 96), mattOf(0.85F));
    std::vector<glm::vec2> cap;
    for (int i = 0; i <= 16; ++i) {
        const double t = edge * (1.0 - i / 16.0);
        cap.emplace_back(i == 16 ? 0.0F : static_cast<float>(std::sin(t)), static_cast<float>(std::cos(t)));
    }
    addPart(body, shellMesh(cap, 96), skinOf(0.36F, 0.58F));
    const Outcome o = traced(body, bulb(2e-3F), 1U << 14U);
    const double expected = s * tau / (1.0 - s * rho - (1.0 - s) * wall);
    INFO(o.scattered() << " +- " << o.error(&LightBalance::scattered) << ", expected " << expected);
    CHECK(std::abs(o.scattered() - expected) < 4.0 * o.error(&LightBalance::scattered) + 0.003 * expected);
    CHECK(o.straight() == 0.0);
    CHECK(o.scattered() + o.absorbed() == Approx(1.0).margin(0.005));
    CHECK(o.mean.leaks == 0);
}

TEST_CASE("paraboloid: collects (1 - cos theta)/2 of a focus source, parallel to the axis", "[law][light]") {
    // Rim angle theta = 2 atan(R / 2f), here f = 1, R = 2.5: beyond the focus. The mirror keeps all.
    constexpr double kRim = 2.5;
    std::vector<glm::vec2> profile;
    for (int i = 0; i <= 200; ++i) {
        const double r = kRim * i / 200.0;
        profile.emplace_back(static_cast<float>(r), static_cast<float>(0.25 * (r * r - kRim * kRim)));
    }
    ModifierBody body = bowlBody(profile, metalOf(1.0F, 0.0F), static_cast<float>(1.0 - 0.25 * kRim * kRim));
    const Outcome o = traced(body, bulb(0.004F), 1U << 15U);
    const double collected = 0.5 * (1.0 - std::cos(2.0 * std::atan(0.5 * kRim)));
    INFO("collected " << o.scattered() << ", expected " << collected);
    CHECK(std::abs(o.scattered() - collected) < 4.0 * o.error(&LightBalance::scattered) + 0.001);
    CHECK(o.scattered() + o.straight() == Approx(1.0).margin(1e-3));
    // A facet is 0.7 degrees off at most, the ray twice that, the bulb fills 0.2 more.
    for (const Watch& w : o.watch) CHECK(w.leastZ > std::cos(0.04F));
}

TEST_CASE("hemisphere mirror about the lamp: forward intensity times 1 + rho", "[law][light]") {
    // The image of a lamp just beside the centre lies just beside it on the other side.
    ModifierBody body;
    body.exits = cubeExits(1.05F);
    addPart(body, zoneMesh(0.5 * kPiD, kPiD, 128, 256), metalOf(0.8F, 0.0F));
    body.lampCentre_m = {0.02F, 0.0F, 0.0F};
    const double cone = 0.35;
    const Outcome o = traced(body, bulb(0.01F), 1U << 15U, static_cast<float>(std::cos(cone)));
    // Straight into the cone: (1 - cos)/2 of the lamp's flux; by the mirror rho times that.
    const double straight = 0.5 * (1.0 - std::cos(cone));
    INFO("by the mirror " << o.inCone() << ", straight " << straight);
    CHECK(o.inCone() == Approx(0.8 * straight).epsilon(0.02));
}

TEST_CASE("square skin: the solid angle that it fills is what it collects", "[law][light]") {
    // Omega = 4 atan((w/2)^2 / (h sqrt(2 (w/2)^2 + h^2))), closed form of the rectangle's solid angle.
    struct Row {
        float w, h;
        double solidAngle_sr;
    };
    for (const Row& row : {Row{0.6F, 0.25F, 2.52505}, Row{0.6F, 0.15F, 3.70918}, Row{1.0F, 0.4F, 2.62301}}) {
        ModifierBody body;
        body.exits = cubeExits(0.7F);
        Mesh skin;
        addRectangle(skin, {-0.5F * row.w, -0.5F * row.w, row.h}, {row.w, 0, 0}, {0, row.w, 0});
        addPart(body, skin, skinOf(1.0F, 0.0F));
        const Outcome o = traced(body, bulb(2e-3F), 1U << 15U);
        INFO(row.w << " at " << row.h << ": " << o.scattered());
        CHECK(std::abs(o.scattered() - row.solidAngle_sr / (4.0 * kPiD)) <
              4.0 * o.error(&LightBalance::scattered) + 2e-5);
        CHECK(o.scattered() + o.straight() == Approx(1.0).epsilon(1e-6));
    }
}

TEST_CASE("what goes straight through a sheet is not scattered", "[law][light]") {
    Mesh skin;
    addRectangle(skin, {-1, -1, 0.2F}, {2, 0, 0}, {0, 2, 0});
    ModifierBody body;
    body.exits = cubeExits(1.2F);
    addPart(body, skin, skinOf(0.7F, 0.2F, 0.3F));
    LampShape lamp = bulb(0.01F);
    lamp.kind = LampKind::disc;  // all of it towards the skin, but for what passes the skin's edge
    const Outcome o = traced(body, lamp, 1U << 14U);
    INFO("scattered " << o.scattered() << " straight " << o.straight() << " absorbed " << o.absorbed());
    // Of what meets the sheet .4 goes on scattered and .2 comes back; .1 stays; .3 is straight.
    CHECK(o.scattered() / o.absorbed() == Approx(6.0).epsilon(0.02));
    // A disc's share that meets the skin: 1 - what leaves beside it, here closed by the balance.
    const double met = o.absorbed() / 0.1;
    CHECK(o.straight() == Approx(1.0 - 0.7 * met).epsilon(0.01));
}

TEST_CASE("grid: nothing leaves steeper than cell over depth", "[law][light]") {
    const float cell = 0.02F, depth = 0.03F;
    for (const bool towardsAxis : {false, true}) {
        Material skin = skinOf(0.5F, 0.0F);
        ModifierBody body = boxBody({0.2F, 0.2F, 0.13F}, mattOf(0.5F), nullptr, -0.08F, &skin, -depth);
        Mesh walls;
        for (int i = 1; i < 10; ++i) {
            const float at = -0.1F + cell * static_cast<float>(i);
            addRectangle(walls, {at, -0.1F, -depth}, {0, 0.2F, 0}, {0, 0, depth});
            addRectangle(walls, {-0.1F, at, -depth}, {0.2F, 0, 0}, {0, 0, depth});
        }
        body.parts[0].material = 0;
        addPart(body, walls, mattOf(0.0F));
        // The box's own sides past the skin are black too.
        body.materials[0].reflectance = Bands(0.0F);
        const Outcome o = traced(body, bulb(0.01F), 1U << 14U, 2.0F, towardsAxis);
        glm::vec2 slope(0.0F);
        for (const Watch& w : o.watch) slope = glm::max(slope, w.slope);
        INFO("slopes " << slope.x << " " << slope.y);
        CHECK(o.scattered() > 0.005);
        CHECK(std::max(slope.x, slope.y) <= 1.001F * cell / depth);
        CHECK(std::min(slope.x, slope.y) > 0.9F * cell / depth);  // and it gets that far
    }
}

TEST_CASE("towards the axis or not: the same light, also among sheets and mirrors", "[light]") {
    Material baffle = skinOf(0.5F, 0.35F, 0.2F);
    ModifierBody body = boxBody({0.4F, 0.3F, 0.3F}, metalOf(0.85F, 0.5F), nullptr, -0.25F, &baffle, -0.1F);
    addPart(body, shellMesh({{0.0F, -0.06F}, {0.05F, -0.05F}}, 12), metalOf(0.9F, 0.0F));
    const Outcome a = traced(body, bulb(0.03F), 1U << 15U, 0.9F, false, 0.5F);
    const Outcome b = traced(body, bulb(0.03F), 1U << 15U, 0.9F, true, 0.5F);
    const double error = std::hypot(a.error(&LightBalance::scattered), b.error(&LightBalance::scattered));
    INFO(a.scattered() << " " << b.scattered() << " +- " << error << "; in the cone " << a.inCone() << " "
                       << b.inCone());
    CHECK(std::abs(a.scattered() - b.scattered()) < 4.0 * error);
    CHECK(a.inCone() == Approx(b.inCone()).epsilon(0.03));
    CHECK(std::abs(a.straight() - b.straight()) <
          4.0 * std::hypot(a.error(&LightBalance::straight), b.error(&LightBalance::straight)));
}

TEST_CASE("light trace: vertex normals are refused", "[light]") {
    ModifierBody body = bowlBody({{0.02F, -0.1F}, {0.1F, 0.0F}}, mattOf(0.5F), -0.05F);
    body.parts[0].mesh.normal.assign(body.parts[0].mesh.position_m.size(), glm::vec3(0, 0, 1));
    CHECK_THROWS_AS(traced(body, bulb(0.01F), 64U), std::invalid_argument);
}
