// A lamp's full flux from whichever figure the file gives.
#include "scene/read_flux.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/photo.h"

namespace keyfall {

namespace {

// README, "The scene file"; whole LED heads 70-120 lm/W, flash 15-50 lm*s/(W*s): common practice.
constexpr double kFlashEfficacy = 30.0;
constexpr double kContinuousEfficacy = 90.0;
// A usual studio flash and a usual LED head, for a file that says nothing: common practice.
constexpr double kFallbackEnergy_Ws = 400.0;
constexpr double kFallbackPower_W = 60.0;

const std::vector<std::string_view> kFigures = {"energy",       "lumen_seconds", "watts", "lumens",
                                                "guide_number", "lux_at_1m",     "reads"};

bool isRating(std::string_view figure) {
    return figure == "guide_number" || figure == "lux_at_1m" || figure == "reads";
}

/// The figure that the file gives; "" without one.
std::string_view figureOf(const Fields& fields) {
    for (const std::string_view key : kFigures)
        if (fields.given(key)) return key;
    return {};
}

/// What a figure belongs to: a flash, a continuous light, or both ("").
std::string_view kindOfFigure(std::string_view figure) {
    if (figure == "energy" || figure == "lumen_seconds" || figure == "guide_number") return "flash";
    if (figure == "watts" || figure == "lumens") return "continuous";
    return {};
}

/// Says that the lamp's modifier is needed.
bool saysRatedWith(const Fields& fields, std::string_view figure) {
    if (fields.given("rated_with")) return !fields.bad("rated_with");
    fields.error(figure, {"needs rated_with: the modifier that the lamp had",
                          "for a bare lamp rated_with = \"none\"",
                          {}});
    return false;
}

double efficacyOf(const LampModel& lamp, LightKind kind) {
    const bool flash = kind == LightKind::flash;
    if (lamp.efficacyGiven && lamp.efficacyIsFlash == flash) return lamp.efficacy;
    return flash ? kFlashEfficacy : kContinuousEfficacy;
}

/// E (continuous) or H (flash) of `reads`: H = C N^2 / S, E = H / t.
std::optional<double> meteredLight(const Fields& light, LightKind kind) {
    const Fields& reads = light.nested("reads");
    const Value* aperture = reads.value("aperture");
    const double number = aperture->isNumber() ? engravedAperture(aperture->number).exact
                                               : parseApertureReading(aperture->text).value_or(0.0);
    const double exposure_lxs =
        exposureForAperture_lxs(number, engravedIso(reads.number("iso")).exact);
    if (kind == LightKind::flash) {
        if (!reads.given("shutter")) return exposure_lxs;
        reads.error("shutter", {"belongs to continuous light", {}, "leave it out"});
        return {};
    }
    if (reads.sound("shutter"))
        return exposure_lxs / engravedShutter(reads.seconds("shutter")).exact;
    light.error("reads", {"a reading of continuous light needs its shutter time",
                          {},
                          "for example shutter = \"1/60\""});
    return {};
}

/// What is said of the lamp at the power it was rated at: `isIntensity`, value and distance.
std::optional<Rating> ratedLight(const Fields& fields, std::string_view figure, LightKind kind) {
    Rating rating;
    if (figure == "guide_number") {
        // A guide number N*d at ISO 100: H at 1 m, and so I, is C GN^2 / S.
        rating.isIntensity = true;
        rating.value = exposureForAperture_lxs(fields.number("guide_number"), 100.0);
        return rating;
    }
    if (figure == "lux_at_1m") {
        rating.value = fields.number("lux_at_1m");
        return rating;
    }
    const auto light = meteredLight(fields, kind);
    if (!light) return {};
    rating.value = *light;
    rating.distance_m = fields.nested("reads").number("distance") * kMetresPerCm;
    return rating;
}

/// The flux of a bare lamp in closed form. Empty, and a message, for a meter inside the lamp.
std::optional<Flux> fluxOfBare(const Fields& fields, std::string_view figure,
                               const LampShape& shape, const Rating& rating) {
    const double perFlux = emitterLuminancePerFlux_perSrM2(shape);
    if (rating.isIntensity) return Flux{rating.value / axisArea_m2(shape) / perFlux, false, {}};
    if (rating.distance_m > axisReach_m(shape))
        return Flux{
            rating.value / axisProjectedSolidAngle_sr(shape, rating.distance_m) / perFlux, false, {}};
    fields.error(figure,
                 {"the meter would stand inside the lamp",
                  fmt::format("allowed: more than {:.4g} cm", axisReach_m(shape) / kMetresPerCm),
                  {}});
    return {};
}

std::optional<Flux> fluxFromRating(const Fields& fields, std::string_view figure, LightKind kind,
                                   const LampModel& lamp, BuiltModifiers& modifiers) {
    if (!saysRatedWith(fields, figure) || fields.bad("rated_power")) return {};
    const double share = std::exp2(fields.powerStops("rated_power"));
    if (share <= 0.0) {
        fields.error("rated_power", {"is 0", "needed: the power at which it was measured", {}});
        return {};
    }
    const auto body = modifiers.around(fields, "rated_with", lamp);
    auto rating = ratedLight(fields, figure, kind);
    if (!body || !rating) return {};
    rating->value /= share;
    if (*body == nullptr) return fluxOfBare(fields, figure, lamp.shape, *rating);
    rating->body = *body;
    rating->shape = lamp.shape;
    return Flux{std::numeric_limits<double>::quiet_NaN(), false, std::move(rating)};
}

Flux fallbackFlux(const Fields& fields, LightKind kind, const LampModel& lamp) {
    const bool flash = kind == LightKind::flash;
    const double electrical = flash ? kFallbackEnergy_Ws : kFallbackPower_W;
    fields.recordDefault(flash ? "energy" : "watts", fmt::format("{}", electrical));
    return {electrical * efficacyOf(lamp, kind), true, {}};
}

bool fitsKind(const Fields& fields, std::string_view figure, LightKind kind) {
    const std::string_view of = kindOfFigure(figure);
    const std::string_view is = kind == LightKind::flash ? "flash" : "continuous";
    if (of.empty() || of == is) return true;
    fields.error(figure, {fmt::format("belongs to kind = \"{}\", and this light is {}", of, is),
                          kind == LightKind::flash ? "allowed: energy or lumen_seconds"
                                                   : "allowed: watts or lumens",
                          {}});
    return false;
}

}  // namespace

LightKind kindOf(const Fields& fields) {
    if (fields.sound("kind"))
        return fields.text("kind") == "continuous" ? LightKind::continuous : LightKind::flash;
    const std::string_view figure = figureOf(fields);
    const bool measured = figure.empty() && fields.given("photometry");  // the file's own lumens
    const bool continuous = measured || kindOfFigure(figure) == "continuous";
    if (!fields.given("kind")) fields.recordDefault("kind", continuous ? "continuous" : "flash");
    return continuous ? LightKind::continuous : LightKind::flash;
}

std::optional<Flux> solveFlux(const Fields& fields, LightKind kind, const LampModel& lamp,
                              BuiltModifiers& modifiers) {
    const std::string_view figure = figureOf(fields);
    const bool rated = std::any_of(kFigures.begin(), kFigures.end(), [&](std::string_view key) {
        return isRating(key) && fields.given(key);
    });
    if (!rated) {
        for (const std::string_view key : {"rated_with", "rated_power"})
            if (fields.given(key))
                fields.error(
                    key,
                    {"rates nothing here", "it belongs to guide_number, lux_at_1m or reads", {}});
    }
    if (!fields.atMostOne(kFigures) || fields.bad("kind")) return {};
    if (figure.empty()) return fallbackFlux(fields, kind, lamp);
    if (fields.bad(figure) || !fitsKind(fields, figure, kind)) return {};
    if (isRating(figure)) return fluxFromRating(fields, figure, kind, lamp, modifiers);
    const double value = fields.number(figure);
    if (figure == "energy" || figure == "watts") return Flux{value * efficacyOf(lamp, kind), true, {}};
    return Flux{value, false, {}};
}

}  // namespace keyfall
