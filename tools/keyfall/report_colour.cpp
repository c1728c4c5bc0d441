#include "report_colour.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "json_numbers.h"
#include "renderer/meter/light_colour.h"
#include "renderer/photograph/exposure.h"

namespace keyfall {
namespace {

constexpr std::size_t kPairsTold = 3;  ///< in text and warnings; JSON has them all

bool hasTemperature(const Correlated& c) { return std::abs(c.duv) <= kFarthestDuv; }

void putCorrelated(Json& j, const Correlated& c) {
    j["colour_temperature"] = hasTemperature(c) ? number(c.temperature_K) : Json(nullptr);
    j["duv"] = number(c.duv);
}

const char* referenceName(const Correlated& c) {
    return referenceIsDaylight(c.temperature_K) ? "daylight" : "planckian";
}

Json lightJson(const ColouredLight& l) {
    Json j;
    j["light"] = l.name;
    putCorrelated(j, l.colour);
    j["mired"] = hasTemperature(l.colour) ? number(1e6 / l.colour.temperature_K) : Json(nullptr);
    j["ssi"] = l.similarity ? Json(*l.similarity) : Json(nullptr);
    j["ssi_reference"] = l.similarity ? Json(referenceName(l.colour)) : Json(nullptr);
    return j;
}

Json pairJson(const LightColours& c, const LightPair& p) {
    Json j;
    j["lights"] = {c.lights[p.first].name, c.lights[p.second].name};
    j["mired"] = p.mired ? number(*p.mired) : Json(nullptr);
    j["duv"] = number(p.duv);
    j["ssi"] = p.similarity;
    j["ssi_reversed"] = p.similarityReversed;
    j["materials"] = Json::array();
    for (const MaterialShift& m : p.materials)
        j["materials"].push_back({{"material", m.material}, {"delta_e_2000", number(m.deltaE2000)}});
    return j;
}

Json whiteJson(const Scene& scene, const LightColours& c) {
    Json j;
    const auto& set = scene.camera.whiteBalance;
    if (const auto* kelvin = std::get_if<double>(&set)) j["setting"] = *kelvin;
    else if (const auto* light = std::get_if<std::size_t>(&set)) j["setting"] = scene.lights[*light].name;
    else j["setting"] = "auto";
    putCorrelated(j, c.white);
    return j;
}

std::string temperatureText(const Correlated& c) {
    if (!hasTemperature(c)) return fmt::format("a colour of its own (Duv {:+.3f})", c.duv);
    return fmt::format("{:.0f} K, Duv {:+.4f}", c.temperature_K, c.duv);
}

/// The pairs that differ most come first; a light with a colour of its own before all.
std::vector<const LightPair*> byDifference(const LightColours& c) {
    std::vector<const LightPair*> pairs;
    for (const LightPair& p : c.pairs) pairs.push_back(&p);
    const auto size = [](const LightPair* p) {
        return p->mired ? std::max(std::abs(*p->mired) / kMiredWarning, std::abs(p->duv) / kDuvWarning) : 1e9;
    };
    std::stable_sort(pairs.begin(), pairs.end(), [&](const auto* a, const auto* b) { return size(a) > size(b); });
    return pairs;
}

bool isGreener(const LightPair& p) { return std::abs(p.duv) > kDuvWarning; }
bool isWarmer(const LightPair& p) { return p.mired && std::abs(*p.mired) >= kMiredWarning; }
const ColouredLight& greenerOf(const LightColours& c, const LightPair& p) { return c.lights[p.duv > 0.0 ? p.second : p.first]; }

std::string materialsText(const LightPair& p) {
    std::vector<MaterialShift> m = p.materials;
    std::stable_sort(m.begin(), m.end(), [](const auto& a, const auto& b) { return a.deltaE2000 > b.deltaE2000; });
    std::string text;
    for (std::size_t i = 0; i < std::min(m.size(), kPairsTold); ++i)
        text += fmt::format("{}{} {:.1f}", i == 0 ? "" : ", ", m[i].material, m[i].deltaE2000);
    return text.empty() ? text : "; ΔE2000 between them after white balance to each: " + text;
}

std::string pairLine(const LightColours& c, const LightPair& p) {
    const std::string &a = c.lights[p.first].name, &b = c.lights[p.second].name;
    std::string apart = p.mired ? fmt::format("{:.0f} mired apart", std::abs(*p.mired)) : "no mired figure";
    if (isGreener(p)) apart += fmt::format(", {} greener by Duv {:.4f}", greenerOf(c, p).name, std::abs(p.duv));
    return fmt::format("{:14} {} and {}: {}, SSI {} with {} as reference, {} with {}{}\n", "", a, b, apart, p.similarity, b,
                       p.similarityReversed, a, materialsText(p));
}

/// Pairs that a photographer may have to mend; equal lamps are no news.
std::string pairLines(const LightColours& c) {
    const auto tells = [](const LightPair& p) { return !p.mired || std::abs(*p.mired) >= 1.0 || isGreener(p) || std::min(p.similarity, p.similarityReversed) < 95; };
    std::string lines;
    std::size_t told = 0;
    for (const LightPair* p : byDifference(c)) {
        if (!tells(*p)) continue;
        if (++told <= kPairsTold) lines += pairLine(c, *p);
    }
    if (told > kPairsTold) lines += fmt::format("{:14} {} more pairs in the JSON report\n", "", told - kPairsTold);
    if (told == 0 && !c.pairs.empty()) lines += fmt::format("{:14} all lights within 1 mired, SSI 95 or more\n", "");
    return lines;
}

std::string probesLine(const LightColours& c) {
    std::string probes;
    for (const ProbeColour& p : c.probes)
        if (p.temperature_K)
            probes += fmt::format("{}{} {:.0f} ± {:.0f} K", probes.empty() ? "" : ", ", p.probe, p.temperature_K->value,
                                  p.temperature_K->interval95.half());
    return probes.empty() ? probes : fmt::format("{:14} light at {}\n", "", probes);
}

/// The room's light counts where it gives a thirtieth of some reading, 5 stops under the rest: below
/// that its colour is not seen.
bool ambientMatters(const Report& report) {
    constexpr double kSeen_percent = 3.0;
    for (const ProbeReading& r : report.readings)
        for (const LightShare& s : r.byLight)
            if (s.light == "ambient" && s.share_percent.value >= kSeen_percent) return true;
    return false;
}

/// What brings two lights together. The room's light, always the second, takes no gel.
std::string gelText(const ColouredLight& a, const ColouredLight& b, double mired, bool greenLeft) {
    const bool secondWarmer = mired > 0.0;
    if (b.ambient)
        return fmt::format("A {} gel of that shift on {} matches it to the room's light; darkening the room keeps that out",
                           secondWarmer ? "warming" : "cooling", a.name);
    return fmt::format("A warming gel of that shift on {}, or a cooling one on {}, brings {} together", (secondWarmer ? a : b).name,
                       (secondWarmer ? b : a).name, greenLeft ? "their temperatures" : "them");
}

/// The same across the Planckian locus. A warming or cooling gel does not do it.
std::string greenText(const LightColours& c, const LightPair& p) {
    const ColouredLight &a = c.lights[p.first], &b = c.lights[p.second];
    const bool secondGreener = p.duv > 0.0;
    const std::string apart = fmt::format("{} is greener than {} by Duv {:.4f}, and {:g} is the usual warning level", (secondGreener ? b : a).name,
                                          (secondGreener ? a : b).name, std::abs(p.duv), kDuvWarning);
    if (b.ambient) return fmt::format("{}: a {}-green gel on {} matches it to the room's light", apart, secondGreener ? "plus" : "minus", a.name);
    return fmt::format("{}: a minus-green gel on {}, or a plus-green one on {}", apart, (secondGreener ? b : a).name, (secondGreener ? a : b).name);
}

std::string differenceText(const LightColours& c, const LightPair& p) {
    const ColouredLight &a = c.lights[p.first], &b = c.lights[p.second];
    if (!p.mired)
        return fmt::format("{} ({}) and {} ({}) have no colour temperature in common: no white balance makes both neutral",
                           a.name, temperatureText(a.colour), b.name, temperatureText(b.colour));
    if (!isWarmer(p)) return greenText(c, p) + "; no white balance makes both neutral";
    const std::string green = isGreener(p) ? ". And " + greenText(c, p) : "";
    return fmt::format("{} ({:.0f} K) and {} ({:.0f} K) are {:.0f} mired apart, and {:.0f} is the usual warning level: no white balance "
                       "makes both neutral. {}{}",
                       a.name, a.colour.temperature_K, b.name, b.colour.temperature_K, std::abs(*p.mired), kMiredWarning, gelText(a, b, *p.mired, isGreener(p)), green);
}

void warnOfPairs(const Report& report, const LightColours& c, std::vector<Warning>& warnings) {
    const bool ambient = ambientMatters(report);
    std::size_t found = 0;
    for (const LightPair* p : byDifference(c)) {
        if (p->mired && !isWarmer(*p) && !isGreener(*p)) continue;
        if (!ambient && (c.lights[p->first].ambient || c.lights[p->second].ambient)) continue;
        if (++found <= kPairsTold) warnings.push_back({"lamps-differ-in-colour", differenceText(c, *p)});
    }
    if (found > kPairsTold)
        warnings.push_back({"lamps-differ-in-colour", fmt::format("{} more pairs of lights differ by {:.0f} mired, or Duv {:g}, or more", found - kPairsTold, kMiredWarning, kDuvWarning)});
}

}  // namespace

void readColours(Report& report) {
    const Scene& scene = report.scene;
    const glm::dvec3 white = cameraWhite(scene.camera, scene.lights, automaticWhite(report.readings));
    report.colours = std::make_shared<const LightColours>(lightColours(scene, report.readings, white));
}

void putColour(Json& json, const Report& report) {
    if (!report.colours) return;
    const LightColours& c = *report.colours;
    Json j;
    if (report.scene.hasCamera) j["white_balance"] = whiteJson(report.scene, c);
    j["lights"] = Json::array();
    for (const ColouredLight& l : c.lights) j["lights"].push_back(lightJson(l));
    j["probes"] = Json::array();
    for (const ProbeColour& p : c.probes) {
        Json probe = {{"probe", p.probe}};
        put(probe, "colour_temperature", p.temperature_K);
        put(probe, "duv", p.duv);
        put(probe, "mired", p.mired);
        j["probes"].push_back(probe);
    }
    j["pairs"] = Json::array();
    for (const LightPair& p : c.pairs) j["pairs"].push_back(pairJson(c, p));
    json["colour"] = j;
}

std::string colourLines(const Report& report) {
    if (!report.colours || report.colours->lights.empty()) return {};
    const LightColours& c = *report.colours;
    std::string lines;
    for (const ColouredLight& l : c.lights) {
        lines += fmt::format("{:14} {} {}", lines.empty() ? "colour" : "", l.name, temperatureText(l.colour));
        if (l.similarity)
            lines += fmt::format(", SSI {} against {} of {:.0f} K", *l.similarity, referenceName(l.colour), l.colour.temperature_K);
        lines += "\n";
    }
    lines += pairLines(c) + probesLine(c);
    if (report.scene.hasCamera) lines += fmt::format("{:14} picture balanced for {}\n", "", temperatureText(c.white));
    return lines;
}

std::vector<Warning> colourWarnings(const Report& report) {
    std::vector<Warning> warnings;
    if (!report.colours) return warnings;
    warnOfPairs(report, *report.colours, warnings);
    for (const ProbeColour& p : report.colours->probes)
        if (p.duv && !p.temperature_K)
            warnings.push_back({"no-colour-temperature", fmt::format("probe {}: its light lies {:.3f} from the Planckian locus (Duv); beyond {:g} there is no colour temperature",
                                                                     p.probe, p.duv->value, kFarthestDuv)});
    return warnings;
}

}  // namespace keyfall
