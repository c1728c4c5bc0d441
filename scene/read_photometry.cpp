#include "scene/read_photometry.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/photometry_file.h"

namespace keyfall {

namespace {

constexpr double kPointDiameter_m = 0.01;  // stands in for a file whose opening is a point
constexpr double kDiagonals = 5.0;
// What a measured lamp's body is made of where it is seen or lit: no file says. No source.
constexpr const char* kBody = "white-paper";

void refuseBeside(const Fields& light) {
    for (const std::string_view key : {"lamp", "modifier"})
        if (light.given(key) && !light.bad(key) && light.text(key) != "none")
            light.error(key, {"stands beside photometry",
                              "a measured lamp is one with all that is mounted on it",
                              fmt::format("leave out \"{}\" or \"photometry\"", key)});
}

std::shared_ptr<const PhotometricWeb> readWeb(Draft& draft, const Fields& light) {
    if (!light.sound("photometry")) return nullptr;
    const std::filesystem::path file = draft.beside(light.text("photometry"));
    try {
        auto web = std::make_shared<PhotometricWeb>(readPhotometry(file));
        web->file = light.text("photometry");
        return web;
    } catch (const PhotometryError& error) {
        if (error.line > 0)
            draft.messages().fileError({file.string(), error.line, error.column},
                                       {error.what(), {}, {}});
        else
            draft.messages().fileError(light.placeOf("photometry"),
                                       {fmt::format("{}.photometry: \"{}\": {}", light.label(),
                                                    light.text("photometry"), error.what()),
                                        {},
                                        {}});
        return nullptr;
    }
}

void warnOfPoint(Draft& draft, const Fields& light) {
    draft.warn(
        light.placeOf("photometry"), "photometry-point",
        fmt::format(
            "{}: the file gives its opening no area: {:g} cm stand in for what is 0; its shadows "
            "are as hard as that; give opening = [width, height]",
            light.label(), kPointDiameter_m / kMetresPerCm));
}

/// The opening as a body that shines: round as a disc of its larger diameter.
LampShape openingOf(Draft& draft, const Fields& light, const PhotometricWeb& web) {
    glm::dvec2 size_m = web.opening_m;
    bool round = web.isRound || (size_m.x == 0.0 && size_m.y == 0.0);
    if (light.sound("opening")) {
        size_m = light.pair("opening") * kMetresPerCm;
        round = web.isRound && size_m.x == size_m.y;
    } else if (std::min(size_m.x, size_m.y) <= 0.0) {
        size_m = glm::max(size_m, glm::dvec2(kPointDiameter_m));
        warnOfPoint(draft, light);
    }
    LampShape shape;
    shape.kind = round ? LampKind::disc : LampKind::panel;
    shape.a_m = static_cast<float>(round ? std::max(size_m.x, size_m.y) : size_m.x);
    shape.b_m = round ? 0.0F : static_cast<float>(size_m.y);
    return shape;
}

/// Whether some of the light goes to the back half, above 90 degrees.
bool shinesBack(const PhotometricWeb& web) {
    const std::size_t rows = web.vertical_rad.size();
    for (std::size_t i = 0; i < web.intensity_cd.size(); ++i)
        if (web.intensity_cd[i] > 0.0 && std::cos(web.vertical_rad[i % rows]) < -1e-9) return true;
    return false;
}

double diagonal_m(const LampShape& opening) {
    const double a = static_cast<double>(opening.a_m), b = static_cast<double>(opening.b_m);
    return opening.kind == LampKind::disc ? a : std::hypot(a, b);
}

glm::dvec3 inAxes(const Frame& frame, glm::dvec3 v) {
    return {glm::dot(v, glm::dvec3(frame.x)), glm::dot(v, glm::dvec3(frame.y)),
            glm::dot(v, glm::dvec3(frame.z))};
}

/// E of a receptor at `p` that faces the origin, from light spread evenly over the opening around
/// it.
double evenIlluminance_lx(const PhotometricWeb& web, const LampShape& opening, glm::dvec3 p) {
    constexpr int kAcross = 48;
    const bool round = opening.kind == LampKind::disc;
    const double width = static_cast<double>(opening.a_m);
    const double height = round ? width : static_cast<double>(opening.b_m);
    const glm::dvec3 toMiddle = glm::normalize(p);
    double sum = 0.0;
    int pieces = 0;
    for (int i = 0; i < kAcross * kAcross; ++i) {
        const double u = (i % kAcross + 0.5) / kAcross - 0.5,
                     v = (i / kAcross + 0.5) / kAcross - 0.5;
        if (round && u * u + v * v > 0.25) continue;
        ++pieces;
        const glm::dvec3 way = p - glm::dvec3(u * width, v * height, 0.0);
        const double r2 = glm::dot(way, way);
        if (!(r2 > 0.0)) continue;
        const glm::dvec3 direction = way / std::sqrt(r2);
        sum += intensity_cd(web, direction) * std::max(0.0, glm::dot(direction, toMiddle)) / r2;
    }
    return sum / pieces;
}

struct NearPlace {
    std::string name;
    double distance_m = 0.0;
    double error_stops = std::numeric_limits<double>::quiet_NaN();
};

void warnOfNearField(Draft& draft, const Light& light) {
    std::vector<std::pair<std::string, glm::vec3>> places;
    if (light.exitDistance_m > 0.0)
        places.emplace_back(
            "what it aims at",
            light.shape.centre_m + static_cast<float>(light.exitDistance_m) * light.shape.frame.z);
    for (const Probe& probe : draft.scene.probes) places.emplace_back(probe.name, probe.at_m);
    const double diagonal = diagonal_m(light.shape);
    NearPlace worst;
    for (const auto& [name, at_m] : places) {
        const double distance_m = static_cast<double>(glm::distance(at_m, light.shape.centre_m));
        if (distance_m >= kDiagonals * diagonal) continue;
        const double error = farFieldError_stops(*light.web, light.shape, at_m);
        if (!worst.name.empty() && !(error > worst.error_stops)) continue;
        worst = {name, distance_m, error};
    }
    if (worst.name.empty()) return;
    const std::string size = std::isfinite(worst.error_stops)
                                 ? fmt::format("by up to {:.2f} stop", worst.error_stops)
                                 : std::string("by an unknown amount");
    draft.warn(
        draft.find(light.name)->fields.placeOf("photometry"), "far-field-file",
        fmt::format(
            "light.{}: \"{}\" holds light as seen from afar; {} is {:.3g} cm away, nearer than 5 "
            "diagonals of the opening ({:.3g} cm): where in the opening the light leaves is not in "
            "the file, and light there may be off {}",
            light.name, light.web->file, worst.name, worst.distance_m / kMetresPerCm,
            kDiagonals * diagonal / kMetresPerCm, size));
}

}  // namespace

bool isMeasured(const Fields& light) {
    if (light.given("photometry")) return true;
    if (light.sound("opening"))
        light.error("opening",
                    {"belongs to photometry, and there is none",
                     {},
                     "a lamp's size is in [lamp.NAME], a modifier's in [modifier.NAME]"});
    return false;
}

const LampModel* measuredLamp(Draft& draft, const Fields& light) {
    refuseBeside(light);
    auto web = readWeb(draft, light);
    if (!web || light.bad("opening")) return nullptr;
    LampModel lamp;
    lamp.name = web->file;
    lamp.surface = kBody;
    lamp.shape = openingOf(draft, light, *web);
    lamp.shape.bothSides = shinesBack(*web);
    lamp.web = std::move(web);
    return &draft.measuredLamps.emplace_back(std::move(lamp));
}

std::optional<Flux> measuredFlux(const Fields& light, LightKind kind, const PhotometricWeb& web) {
    const bool flash = kind == LightKind::flash;
    const char* const own = flash ? "lumen_seconds" : "lumens";
    const char* const other = flash ? "lumens" : "lumen_seconds";
    bool sound = !light.bad("kind") && !light.bad(own);
    for (const std::string_view key : {"energy", "watts", "guide_number", "lux_at_1m", "reads",
                                       "rated_with", "rated_power", other}) {
        if (!light.given(key)) continue;
        light.error(key, {"stands beside photometry, which holds the light itself",
                          fmt::format("allowed: {}, to scale it", own), "leave it out"});
        sound = false;
    }
    if (!sound) return {};
    Flux flux;
    flux.full = light.given(own) ? light.number(own) : fluxByInterpolation_lm(web);
    if (light.given(own)) return flux;
    if (!flash) {
        light.recordDefault("lumens", fmt::format("{:.5g}, the file's", flux.full));
        return flux;
    }
    light.error("photometry",
                {"a photometric file holds lumens, and a flash is measured in lumen-seconds",
                 "needed: lumen_seconds, or kind = \"continuous\"",
                 {}});
    return {};
}

double farFieldError_stops(const PhotometricWeb& web, const LampShape& opening, glm::vec3 point_m) {
    const glm::dvec3 p = inAxes(opening.frame, glm::dvec3(point_m) - glm::dvec3(opening.centre_m));
    const double r2 = glm::dot(p, p);
    if (!(r2 > 0.0)) return std::numeric_limits<double>::quiet_NaN();
    const double fromMiddle = intensity_cd(web, p / std::sqrt(r2)) / r2;
    const double even = evenIlluminance_lx(web, opening, p);
    if (!(fromMiddle > 0.0) || !(even > 0.0)) return std::numeric_limits<double>::quiet_NaN();
    return std::fabs(std::log2(even / fromMiddle));
}

void warnOfNearFields(Draft& draft) {
    for (const Light& light : draft.scene.lights)
        if (light.web) warnOfNearField(draft, light);
}

}  // namespace keyfall
