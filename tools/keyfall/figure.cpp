// Figures by name: their grammar, and whether the scene has what they ask for. Not here: their
// values (figure_value.cpp).
#include "figure.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cctype>

#include "outputs.h"
#include "renderer/meter/shadow_edge.h"
#include "renderer/transport/layers.h"
#include "scene/diagnostics.h"
#include "scene/scene.h"

namespace keyfall {
namespace {

enum class Takes { nothing, probe, twoProbes, edge, area, objectAndArea };

struct Kind {
    const char* name;
    Takes takes;
    const char* unit;
    const char* form;  ///< as messages show it
};
constexpr std::array kKinds = {
    Kind{"reading", Takes::probe, "", "reading(PROBE)"},
    Kind{"stops", Takes::probe, "stops", "stops(PROBE)"},
    Kind{"lux", Takes::probe, "lx", "lux(PROBE)"},
    Kind{"exposure", Takes::probe, "lx s", "exposure(PROBE)"},
    Kind{"contrast", Takes::twoProbes, "stops", "contrast(PROBE, PROBE)"},
    Kind{"kf_f", Takes::twoProbes, "", "kf_f(PROBE, PROBE)"},
    Kind{"k_f", Takes::twoProbes, "", "k_f(PROBE, PROBE)"},
    Kind{"edge", Takes::edge, "mm", "edge(EDGE)"},
    Kind{"depth", Takes::edge, "stops", "depth(EDGE)"},
    Kind{"background", Takes::nothing, "stops", "background()"},
    Kind{"clipped", Takes::area, "%", "clipped(AREA)"},
    Kind{"mirrors", Takes::objectAndArea, "%", "mirrors(LIGHT, AREA)"},
};

const Kind* kindOf(const std::string& name) {
    const auto found =
        std::find_if(kKinds.begin(), kKinds.end(), [&](const Kind& k) { return name == k.name; });
    return found == kKinds.end() ? nullptr : &*found;
}

std::string allForms() {
    std::vector<std::string> forms;
    for (const Kind& k : kKinds) forms.emplace_back(k.form);
    return joined(forms) + "; a figure of one PROBE also takes a light, as stops(PROBE, LIGHT)";
}

std::string trimmed(const std::string& text) {
    const std::size_t begin = text.find_first_not_of(" \t");
    return begin == std::string::npos
               ? ""
               : text.substr(begin, text.find_last_not_of(" \t") - begin + 1);
}

std::vector<std::string> splitArguments(const std::string& inside) {
    std::vector<std::string> parts;
    if (trimmed(inside).empty()) return parts;
    std::size_t from = 0;
    for (std::size_t comma = inside.find(','); comma != std::string::npos;
         comma = inside.find(',', from)) {
        parts.push_back(trimmed(inside.substr(from, comma - from)));
        from = comma + 1;
    }
    parts.push_back(trimmed(inside.substr(from)));
    return parts;
}

bool fits(const Kind& kind, const std::vector<std::string>& arguments) {
    if (std::any_of(arguments.begin(), arguments.end(),
                    [](const std::string& a) { return a.empty(); }))
        return false;
    const std::size_t n = arguments.size();
    switch (kind.takes) {
        case Takes::nothing:
            return n == 0;
        case Takes::probe:
            return n == 1 || n == 2;
        case Takes::edge:
        case Takes::area:
            return n == 1;
        case Takes::twoProbes:
        case Takes::objectAndArea:
            return n == 2;
    }
    return false;
}

template <class Things>
std::vector<std::string> namesOf(const Things& things) {
    std::vector<std::string> names;
    for (const auto& thing : things) names.push_back(thing.name);
    return names;
}

/// Throws CommandLineError when `name` is not among `known`.
void requireName(const Figure& figure, const std::string& what, const std::string& name,
                 const std::vector<std::string>& known) {
    if (std::find(known.begin(), known.end(), name) != known.end()) return;
    const std::string fix = didYouMean(name, known);
    throw CommandLineError(fmt::format("{}: there is no {} \"{}\"; the scene has {}{}", figure.text,
                                       what, name, known.empty() ? "none" : joined(known),
                                       fix.empty() ? "" : "; " + fix));
}

const Probe& probeOf(const Scene& scene, const std::string& name) {
    return *std::find_if(scene.probes.begin(), scene.probes.end(),
                         [&](const Probe& p) { return p.name == name; });
}

void requireProbes(const Figure& figure, const Scene& scene, std::size_t count) {
    for (std::size_t i = 0; i < count; ++i)
        requireName(figure, "probe", figure.arguments[i], namesOf(scene.probes));
    const ProbeKind first = probeOf(scene, figure.arguments[0]).kind;
    if ((figure.name == "lux" || figure.name == "exposure") && first == ProbeKind::spot)
        throw CommandLineError(
            figure.text +
            ": a spot reads luminance; lux and exposure are of incident and dome probes; "
            "ask for stops or reading");
    if (count == 2 && probeOf(scene, figure.arguments[1]).kind != first)
        throw CommandLineError(
            figure.text +
            ": these probes are of two kinds; a ratio is of two incident, two dome or two "
            "spot readings; give one of them the other's `kind`");
}

/// "product" or "product/material".
void requireArea(const Figure& figure, const Scene& scene, const std::string& area) {
    std::vector<std::string> known;
    for (const Item& item : scene.items) {
        if (item.kind != ItemKind::product) continue;
        known.push_back(item.name);
        for (const std::size_t m : item.materials) {
            const std::string name = item.name + "/" + scene.materials[m].name;
            if (std::find(known.begin(), known.end(), name) == known.end()) known.push_back(name);
        }
    }
    requireName(figure, "area", area, known);
}

std::vector<std::string> objectsOf(const Scene& scene) {
    std::vector<std::string> names = namesOf(scene.lights);
    for (const Item& item : scene.items)
        if (item.kind != ItemKind::modifier) names.push_back(item.name);
    return names;
}

std::vector<std::string> edgesOf(const Scene& scene) {
    std::vector<std::string> names = namesOf(scene.edges);
    if (names.empty())
        for (const Light& light : scene.lights) names.push_back(foundEdgeName(light.name));
    return names;
}

}  // namespace

Figure parseFigure(const std::string& text, const std::string& what) {
    const std::string whole = trimmed(text);
    const std::size_t open = whole.find('(');
    const std::string name = trimmed(whole.substr(0, open));
    const std::string start = fmt::format("{} \"{}\": ", what, text);
    if (name == "ratio")
        throw CommandLineError(
            start +
            "a ratio is said in three ways; allowed: contrast(A, B) in stops, kf_f(A, B) for "
            "(key+fill):fill, k_f(A, B) for key:fill; name the one you mean");
    const Kind* kind = kindOf(name);
    if (kind == nullptr) {
        std::vector<std::string> names;
        for (const Kind& k : kKinds) names.emplace_back(k.name);
        const std::string fix = didYouMean(name, names);
        throw CommandLineError(fmt::format("{}there is no figure \"{}\"; allowed: {}{}", start,
                                           name, allForms(), fix.empty() ? "" : "; " + fix));
    }
    if (open == std::string::npos || whole.back() != ')' ||
        whole.find('(', open + 1) != std::string::npos)
        throw CommandLineError(fmt::format("{}this is no figure; written: {}", start, kind->form));
    Figure figure{name, splitArguments(whole.substr(open + 1, whole.size() - open - 2)), {}};
    if (!fits(*kind, figure.arguments))
        throw CommandLineError(fmt::format(
            "{}{} names between the brackets; written: {}", start, figure.arguments.size(),
            kind->takes == Takes::probe ? std::string(kind->form) + " or " + name + "(PROBE, LIGHT)"
                                        : kind->form));
    figure.text = name + "(" + joined(figure.arguments) + ")";
    return figure;
}

void requireFigure(const Figure& figure, const Scene& scene) {
    const auto& arguments = figure.arguments;
    const Takes takes = kindOf(figure.name)->takes;
    if (needsCamera(figure) && !scene.hasCamera)
        throw CommandLineError(
            figure.text +
            ": the scene has no camera, and this is a figure of its picture; add a [camera]"
            ", or ask for reading, lux, exposure, contrast");
    if (takes == Takes::probe || takes == Takes::twoProbes)
        requireProbes(figure, scene, takes == Takes::twoProbes ? 2 : 1);
    if (takes == Takes::probe && arguments.size() == 2)
        requireName(figure, "light", arguments[1], namesOf(layerInfos(scene)));
    if (takes == Takes::edge) requireName(figure, "edge", arguments[0], edgesOf(scene));
    if (takes == Takes::area) requireArea(figure, scene, arguments[0]);
    if (takes == Takes::objectAndArea) {
        requireName(figure, "light or object", arguments[0], objectsOf(scene));
        requireArea(figure, scene, arguments[1]);
    }
    const auto isBackground = [](const Probe& p) {
        return p.kind == ProbeKind::spot && p.name == "background";
    };
    if (takes == Takes::nothing &&
        std::none_of(scene.probes.begin(), scene.probes.end(), isBackground))
        throw CommandLineError(
            "background(): the scene has no spot probe of the name background; add one, or ask for "
            "stops of a spot probe that it has");
}

std::string unitOf(const Figure& figure) {
    return kindOf(figure.name)->unit;
}

bool needsCamera(const Figure& figure) {
    return figure.name == "stops" || figure.name == "background" || needsLooks(figure);
}
bool needsEdges(const Figure& figure) {
    return kindOf(figure.name)->takes == Takes::edge;
}
bool needsLooks(const Figure& figure) {
    return figure.name == "mirrors" || needsPicture(figure);
}
bool needsPicture(const Figure& figure) {
    return figure.name == "clipped";
}

}  // namespace keyfall
