// [[light]]: lamp, modifier, place, colour, power. Not here: its flux (read_flux.cpp), what it wears
// (read_worn.cpp, read_gels.cpp), lamps (library.h).
#include <fmt/format.h>

#include <algorithm>

#include "scene/colour.h"
#include "scene/photo.h"
#include "scene/placement.h"
#include "scene/read_flux.h"
#include "scene/read_gels.h"
#include "scene/read_photometry.h"

namespace keyfall {

namespace {

// A hard key from the front right and above: common practice, no source.
constexpr double kFallbackAngle_deg = 60.0;
constexpr double kFallbackElevation_deg = 35.0;
constexpr double kFallbackDistance_m = 0.8;
constexpr double kDiagonalsAway = 2.0;  // a large product is not lit from within
constexpr const char* kFallbackFlashLamp = "flash-tube";
constexpr const char* kFallbackLamp = "led-disc";

/// Empty after a mistake.
const LampModel* lampOf(Draft& draft, const Fields& fields, LightKind kind) {
    if (isMeasured(fields)) return measuredLamp(draft, fields);
    if (fields.bad("lamp")) return nullptr;
    std::string name = fields.text("lamp");
    if (!fields.given("lamp")) {
        name = kind == LightKind::flash ? kFallbackFlashLamp : kFallbackLamp;
        fields.recordDefault("lamp", name);
    }
    const auto at = draft.library.lamps.find(name);
    if (at != draft.library.lamps.end()) return &at->second;
    const Value* own = draft.root.find("lamp");
    if (own != nullptr && own->find(name) != nullptr) return nullptr;  // its mistake is told there
    std::vector<std::string> names;
    for (const auto& [lamp, model] : draft.library.lamps) names.push_back(lamp);
    fields.error("lamp", {fmt::format("there is no lamp \"{}\"", name),
                          "allowed: a name of `keyfall list lamp` or of [lamp.NAME]",
                          didYouMean(name, names)});
    return nullptr;
}

void readColour(Draft& draft, const Fields& fields, const LampModel& lamp, Light& light) {
    fields.atMostOne({"colour_temperature", "spectrum"});
    std::optional<FineSpectrum> spectrum = lamp.spectrum;
    double temperature_K = lamp.colourTemperature_K;
    if (fields.sound("colour_temperature")) {
        spectrum.reset();
        temperature_K = fields.number("colour_temperature");
    } else if (fields.given("spectrum")) {
        spectrum = spectrumOf(draft, fields);
    } else if (!spectrum) {
        fields.recordDefault("colour_temperature", fmt::format("{}, the lamp's", temperature_K));
    }
    light.spectrum = spectrum ? *spectrum : lampSpectrum(temperature_K);
    light.bands = bandXYZ(light.spectrum);
    light.colourTemperature_K =
        spectrum ? correlatedTemperature(chromaticity(light.bands.total())).temperature_K
                 : temperature_K;
}

void readPower(const Fields& fields, Light& light) {
    light.power_stops = fields.powerStops("power");
    light.powerText = canonicalPower(light.power_stops);
}

/// The gels, and the flux behind them. False after a mistake.
bool readOutput(Draft& draft, const Fields& fields, const LampModel& lamp,
                BuiltModifiers& modifiers, Light& light) {
    const BandXYZ ungelled = light.bands;
    const auto gels = gelsOn(draft, fields);
    const double passed = gels ? wearGels(fields, *gels, light) : 0.0;
    auto flux = lamp.web ? measuredFlux(fields, light.kind, *lamp.web)
                         : solveFlux(fields, light.kind, lamp, modifiers);
    if (!flux || passed <= 0.0) return false;
    light.fullFlux = flux->full * passed;
    light.fluxUncertain = flux->uncertain;
    light.rating = std::move(flux->rating);
    if (light.rating) {
        light.rating->bands = ungelled;
        light.rating->gelFactor = passed;
    }
    return true;
}

void readLight(Draft& draft, Object& object, BuiltModifiers& modifiers) {
    const Fields& fields = object.fields;
    Light light;
    light.name = object.name;
    light.kind = kindOf(fields);
    light.on = fields.flag("on");
    light.caption = fields.text("caption");
    readPower(fields, light);
    const auto at = pointOf(draft, object, fields.place());
    const auto aim = at ? aimOf(draft, object, *at, draft.lookAt_m) : std::nullopt;
    const LampModel* lamp = lampOf(draft, fields, light.kind);
    if (lamp == nullptr) return;
    readColour(draft, fields, *lamp, light);
    const bool hasOutput = readOutput(draft, fields, *lamp, modifiers, light);
    // A measured lamp has what it wears in its file; anything but "none" was refused with it.
    const auto body = lamp->web ? std::optional(Body()) : modifiers.around(fields, "modifier", *lamp);
    if (!at || !aim || !hasOutput || !body) return;
    light.lamp = lamp->web ? "" : lamp->name;
    light.shape = lamp->shape;
    light.modifier = fields.text("modifier");
    light.body = *body;
    light.web = lamp->web;
    standLight(fields, *at, *aim, light);
    light.bodyMaterial = useMaterial(draft, fields.spot("lamp"), lamp->surface);
    light.lowestPower_stops = lamp->lowestPower_stops;
    light.powerStep_stops = lamp->powerStep_stops;
    light.t05_s = lamp->t05_s;
    light.t05Lowest_s = lamp->t05Lowest_s;
    draft.scene.lights.push_back(std::move(light));
}

}  // namespace

std::optional<glm::vec3> defaultLightPlace(Draft& draft, Object& light) {
    if (light.fields.given("at") || light.fields.given("around")) return {};
    const glm::vec3 middle = subjectMiddle(draft);
    double distance_m = kFallbackDistance_m;
    if (const auto box = subjectBox(draft))
        distance_m =
            std::max(distance_m, kDiagonalsAway * static_cast<double>(glm::length(box->size())));
    light.aroundPoint_m = middle;
    light.fields.recordDefault(
        "around", fmt::format("{{ point = {}, angle = {}, elevation = {}, distance = {:.4g} }}",
                              shownCm(middle), kFallbackAngle_deg, kFallbackElevation_deg,
                              distance_m / kMetresPerCm));
    return placeAround(middle, glm::radians(kFallbackAngle_deg),
                       glm::radians(kFallbackElevation_deg), distance_m);
}

void readLights(Draft& draft) {
    BuiltModifiers modifiers(draft);
    for (Object* object : draft.all("light")) readLight(draft, *object, modifiers);
}

}  // namespace keyfall
