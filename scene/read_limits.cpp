// [limits]: what `settings` may use. Not here: which steps that leaves (limit_steps.h).
#include <fmt/format.h>

#include <algorithm>

#include "scene/limit_steps.h"
#include "scene/photo.h"
#include "scene/read_draft.h"

namespace keyfall {
namespace {

double secondsOf(const Fields& limits, std::size_t i) {
    const Value& time = limits.value("shutter")->list[i];
    return time.isNumber() ? time.number : parseTime_s(time.text).value_or(0.0);
}

bool isPairOfTimes(const Fields& fields) {
    return fields.sound("shutter") && fields.value("shutter")->list.size() == 2;
}

void checkOrder(const Fields& fields) {
    for (const char* key : {"aperture", "iso"}) {
        const glm::dvec2 range = fields.sound(key) ? fields.pair(key) : glm::dvec2(0.0);
        if (range.x > range.y)
            fields.error(key, {fmt::format("starts at {} and ends at {}", range.x, range.y),
                               "allowed: the smaller number first",
                               {}});
    }
    if (fields.sound("shutter") && !isPairOfTimes(fields))
        fields.error("shutter", {"is no pair", "allowed: [\"1/200\", \"8\"]", {}});
    else if (isPairOfTimes(fields) && secondsOf(fields, 0) > secondsOf(fields, 1))
        fields.error("shutter", {"starts at the longer time",
                                 "allowed: the shorter time first",
                                 "for example [\"1/200\", \"8\"]"});
}

/// Engraved numbers at either end of the range name their exact steps.
std::optional<glm::dvec2> exactRange(const Fields& fields, const char* key, Engraved (*engraved)(double)) {
    if (!fields.sound(key)) return {};
    const glm::dvec2 range = fields.pair(key);
    if (range.x > range.y) return {};
    return glm::dvec2(engraved(range.x).exact, engraved(range.y).exact);
}

Limits limitsFrom(const Fields& fields) {
    Limits limits;
    limits.aperture = exactRange(fields, "aperture", engravedAperture);
    limits.iso = exactRange(fields, "iso", engravedIso);
    if (isPairOfTimes(fields) && secondsOf(fields, 0) <= secondsOf(fields, 1))
        limits.shutter_s = glm::dvec2(engravedShutter(secondsOf(fields, 0)).exact, engravedShutter(secondsOf(fields, 1)).exact);
    if (!fields.sound("prefer")) return limits;
    for (const Value& word : fields.value("prefer")->list) {
        const std::string& w = word.text;
        limits.prefer.push_back(w == "depth" ? Limits::Prefer::depth : w == "grain" ? Limits::Prefer::grain
                                : w == "blur" ? Limits::Prefer::blur : Limits::Prefer::ambient);
    }
    return limits;
}

void refuseEmpty(const Fields& fields, const char* key, const std::optional<glm::dvec2>& range,
                 const std::vector<Engraved>& steps, const std::string& asSet) {
    if (!steps.empty() || !range) return;
    fields.error(key, {fmt::format("goes from {:.4g} to {:.4g}, between two third stops, and leaves out what is set, {}",
                                   range->x, range->y, asSet),
                       "needed: one third-stop value at least, or what is set", "widen the range"});
}

/// The first flash that is on and not at power 0; empty: none.
std::string flashThatIsOn(const Scene& scene) {
    for (const Light& l : scene.lights)
        if (l.kind == LightKind::flash && l.strength() > 0.0) return l.name;
    return {};
}

/// Times that no flash passes are no mistake where no command has to choose among them.
void checkSteps(const Draft& draft, const Fields& fields) {
    const Scene& scene = draft.scene;
    const Camera& c = scene.camera;
    const LimitSteps steps = stepsWithin(scene.limits, c, false);
    refuseEmpty(fields, "aperture", scene.limits.aperture, steps.aperture, fmt::format("f/{:g}", c.aperture.asWritten));
    refuseEmpty(fields, "shutter", scene.limits.shutter_s, steps.shutter_s, fmt::format("{:.4g} s", c.shutter_s.exact));
    refuseEmpty(fields, "iso", scene.limits.iso, steps.iso, fmt::format("ISO {:g}", c.iso.asWritten));
    const std::string flash = flashThatIsOn(scene);
    if (!draft.options.worksWithinLimits || flash.empty() || steps.shutter_s.empty()) return;
    if (!stepsWithin(scene.limits, c, true).shutter_s.empty()) return;
    fields.error("shutter", {fmt::format("holds only times shorter than camera.flash_sync ({:.4g} s), and light {} is a flash that is on",
                                         c.flashSync_s, flash),
                             "needed: a time that passes the whole flash",
                             "widen the range or switch the flash off"});
}

}  // namespace

void readLimits(Draft& draft) {
    const Fields& fields = draft.section("limits");
    checkOrder(fields);
    draft.scene.limits = limitsFrom(fields);
    checkSteps(draft, fields);
}

}  // namespace keyfall
