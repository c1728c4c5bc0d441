#include "place_report.h"

#include <fmt/core.h>

#include <algorithm>

#include "json_numbers.h"
#include "scene/photo.h"
#include "series.h"

namespace keyfall {
namespace {

/// "1.4 stops more than wanted", "12 % less than wanted", "within reach".
std::string shortfall(const Want& want, const Measured& m) {
    const double off = offBy(want, m);
    if (isReached(want, off)) return "reached";
    const std::string unit = unitOf(want.figure);
    const char* side = off > 0.0 ? "more" : "less";
    if (unit == "stops" || unit == "%")
        return fmt::format("{:.2f} {} {} than wanted", std::abs(m.value - want.target), unit, side);
    if (want.figure.name == "reading")
        return fmt::format("{:.2f} stops {} than wanted",
                           2.0 * std::abs(std::log2(m.value / want.target)), side);
    return fmt::format("{:.1f} % {} than wanted", 100.0 * std::abs(m.value / want.target - 1.0),
                       side);
}

std::string shownResult(const Want& want, const Measured& m) {
    const std::string unit = unitOf(want.figure);
    const std::string more = want.figure.name == "reading" ? " (" + apertureReading(m.value) + ")"
                             : unit.empty()                ? ""
                                                           : " " + unit;
    return shownMeasured(m) + more;
}

}  // namespace

std::string PlaceReport::unsure() const {
    for (std::size_t w = 0; w < wants.size(); ++w)
        if (wants[w].is == Want::Is::equal && results[w] && unsureBy(wants[w], *results[w]) > 1.0)
            return wants[w].text;
    return {};
}

std::string placeText(const PlaceReport& p, const std::string& scene) {
    const char* outcome = p.reached                          ? "reached"
                          : p.ended == Stopped::interrupted ? "interrupted, not reached so far"
                          : p.ended == Stopped::time        ? "time is up, not reached so far"
                                                            : "NOT reached";
    std::string text = fmt::format("{} · {} · {} evaluations, {:.2f} s each, the slowest {:.2f} s\n", scene, outcome,
                                   p.evaluations, p.all_s / std::max(1, p.evaluations), p.slowest_s);
    for (std::size_t k = 0; k < p.keys.size(); ++k) {
        const VariedKey& key = p.keys[k];
        text += fmt::format("{} = {}{}   between {} and {}\n", key.key, p.values[k].text,
                            key.inStops() || key.unit().empty() ? "" : " " + key.unit(),
                            key.at(key.low).text, key.at(key.high).text);
    }
    for (std::size_t w = 0; w < p.wants.size(); ++w)
        text +=
            fmt::format("{}   is {}   {}\n", p.wants[w].text,
                        p.results[w] ? shownResult(p.wants[w], *p.results[w]) : "without a reading",
                        p.results[w] ? shortfall(p.wants[w], *p.results[w]) : "");
    if (!p.reached && p.ended != Stopped::no)
        text += "the search was cut short; this is the nearest of the places looked at so far\n";
    else if (!p.reached)
        text +=
            "no value found between these bounds reaches it; this is the nearest: widen the "
            "bounds, or vary another key\n";
    if (p.edgePaths > 0)
        text += fmt::format("shadow edge metered by {} paths at each place along its line\n", p.edgePaths);
    if (!p.unsure().empty())
        text += fmt::format("{}: its interval is wider than what a target may be off\n", p.unsure());
    if (p.impossible > 0)
        text += fmt::format(
            "{} of the places that were looked at cannot be, as where a lamp or a card meets the "
            "product\n",
            p.impossible);
    std::string options;
    for (const std::string& set : p.set) options += " --set '" + set + "'";
    return text + "to take it over:" + options + "\n";
}

nlohmann::ordered_json placeJson(const PlaceReport& p) {
    Json j = {{"want", Json::array()},
              {"reached", p.reached},
              {"values", Json::object()},
              {"results", Json::array()},
              {"results_interval95", Json::array()},
              {"evaluations", p.evaluations},
              {"seconds", p.all_s},
              {"slowest_evaluation_seconds", p.slowest_s},
              {"edge_paths", p.edgePaths > 0 ? Json(p.edgePaths) : Json(nullptr)},
              {"set", p.set},
              {"bounds", Json::object()}};
    for (std::size_t k = 0; k < p.keys.size(); ++k) {
        const VariedKey& key = p.keys[k];
        const auto shown = [&](const VariedValue& v) {
            return key.inStops() ? Json(v.text) : number(v.x);
        };
        j["values"][key.key] = shown(p.values[k]);
        j["bounds"][key.key] = {shown(key.at(key.low)), shown(key.at(key.high))};
    }
    for (std::size_t w = 0; w < p.wants.size(); ++w) {
        j["want"].push_back(p.wants[w].text);
        j["results"].push_back(p.results[w] ? number(p.results[w]->value) : Json(nullptr));
        j["results_interval95"].push_back(p.results[w] ? pair(p.results[w]->interval95)
                                                       : Json(nullptr));
    }
    return j;
}

}  // namespace keyfall
