#include "compare_plan.h"

#include <fmt/core.h>

#include <algorithm>
#include <set>

#include "outputs.h"
#include "page.h"
#include "prepare.h"
#include "scene/diagnostics.h"

namespace keyfall {
namespace {

using Strings = std::vector<std::string>;

Strings splitAt(const std::string& text, char mark) {
    Strings parts(1);
    for (const char c : text)
        if (c == mark) parts.emplace_back();
        else parts.back() += c;
    return parts;
}

/// "light.key.around.distance" as people say it: "key distance". Sections of which there is one keep
/// their name: "camera aperture".
std::string plainKey(const std::string& path) {
    Strings parts = splitAt(path, '.');
    const bool named = parts.size() > 2;
    std::string text;
    for (std::size_t i = named ? 1 : 0; i < parts.size(); ++i)
        if (parts[i] != "around" || i + 1 == parts.size()) text += (text.empty() ? "" : " ") + parts[i];
    return text;
}

/// "fill distance", "34"; "panel", "off".
std::pair<std::string, std::string> plainChange(const std::string& path, const std::string& value) {
    const bool isSwitch = path.ends_with(".on") && (value == "true" || value == "false");
    if (!isSwitch) return {plainKey(path), value};
    const std::string key = plainKey(path);
    return {key.substr(0, key.size() - 3), value == "true" ? "on" : "off"};
}

const std::string* valueIn(const Variant& variant, const std::string& key) {
    const auto at = std::find(variant.keys.begin(), variant.keys.end(), key);
    return at == variant.keys.end() ? nullptr : &variant.values[static_cast<std::size_t>(at - variant.keys.begin())];
}

bool equalsAsWritten(const Variant& v) { return v.values == v.written; }

PlannedVariant planned(const Variant& v) {
    PlannedVariant p{v.name, v.name, v.caption, {}, {}};
    for (std::size_t k = 0; k < v.keys.size(); ++k) {
        p.changes.push_back(plainChange(v.keys[k], v.values[k]));
        p.set.emplace_back(v.keys[k], v.values[k]);
    }
    return p;
}

const Variant* variantOf(const Scene& scene, const std::string& name) {
    const auto at = std::find_if(scene.variants.begin(), scene.variants.end(), [&](const Variant& v) { return v.name == name; });
    return at != scene.variants.end() ? &*at : nullptr;
}

std::string tooMany(std::size_t count) {
    return fmt::format("{} variants; allowed: at most {} side by side; name some by --variants, or take `keyfall series` for many values of a key",
                       count, kMostVariants);
}

/// Those of --variants, in its order.
std::vector<PlannedVariant> chosen(const Scene& scene, const Strings& names) {
    Strings known = {"as-written"};
    for (const Variant& v : scene.variants) known.push_back(v.name);
    std::vector<PlannedVariant> variants;
    std::set<std::string> taken;
    for (const std::string& name : names) {
        const Variant* v = variantOf(scene, name);
        const bool asWritten = v == nullptr && (name == "as-written" || name == kAsWritten);
        if (v == nullptr && !asWritten)
            throw CommandLineError(fmt::format("--variants {}: the scene has no such variant; it has {}{}", name, joined(known),
                                               didYouMean(name, known).empty() ? "" : "; " + didYouMean(name, known)));
        variants.push_back(asWritten ? PlannedVariant{kAsWritten, "", "", {}, {}} : planned(*v));
        if (!taken.insert(variants.back().name).second)
            throw CommandLineError(fmt::format("--variants {}: named twice; once is enough", name));
    }
    if (variants.size() > kMostVariants) throw CommandLineError("--variants: " + tooMany(variants.size()));
    return variants;
}

std::vector<PlannedVariant> allOf(const Scene& scene) {
    if (scene.variants.empty())
        throw SceneError("the file has no [[variant]], so there is nothing to compare; add one, for example "
                         "[[variant]] name = \"soft\" set = { \"light.key.modifier\" = \"softbox-60x60\" }");
    if (scene.variants.size() > kMostVariants) throw SceneError(tooMany(scene.variants.size()));
    std::vector<PlannedVariant> variants;
    const bool twice = std::any_of(scene.variants.begin(), scene.variants.end(), equalsAsWritten);
    if (!twice && scene.variants.size() < kMostVariants) variants.push_back({kAsWritten, "", "", {}, {}});
    for (const Variant& v : scene.variants) variants.push_back(planned(v));
    return variants;
}

struct KeyValues {
    std::string key;
    std::string written;
    std::set<std::string> values;  ///< as written and in the variants that are shown
};

/// Every key that a variant on show sets, with its values. The one written counts also where the set as
/// written is not on show: two variants that both have the bowl on still differ from the lamp whose power was
/// written.
std::vector<KeyValues> keyValues(const Scene& scene, const std::vector<PlannedVariant>& shown) {
    std::vector<KeyValues> keys;
    const auto add = [&](const std::string& key, const std::string& written) {
        const auto same = [&](const KeyValues& k) { return k.key == key; };
        if (std::none_of(keys.begin(), keys.end(), same)) keys.push_back({key, written, {}});
    };
    for (const PlannedVariant& p : shown)
        if (const Variant* v = variantOf(scene, p.variant))
            for (std::size_t k = 0; k < v->keys.size(); ++k) add(v->keys[k], v->written[k]);
    for (KeyValues& k : keys) {
        k.values.insert(k.written);
        for (const PlannedVariant& p : shown) {
            const Variant* v = variantOf(scene, p.variant);
            const std::string* value = v != nullptr ? valueIn(*v, k.key) : nullptr;
            k.values.insert(value != nullptr ? *value : k.written);
        }
    }
    return keys;
}

/// Does this light have the lamp, modifier or gel that a key such as modifier.my-box.front defines, in the
/// set as written or in one of the variants?
bool wears(const Light& light, const Strings& path, const std::vector<KeyValues>& keys) {
    if (path[0] == "lamp" && light.lamp == path[1]) return true;
    if (path[0] == "modifier" && light.modifier == path[1]) return true;
    if (path[0] == "gel" && std::count(light.gels.begin(), light.gels.end(), path[1]) > 0) return true;
    const std::string key = "light." + light.name + "." + path[0];
    return std::any_of(keys.begin(), keys.end(), [&](const KeyValues& k) { return k.key == key && k.values.count(path[1]) > 0; });
}

bool differs(const Light& light, const std::vector<KeyValues>& keys) {
    return std::any_of(keys.begin(), keys.end(), [&](const KeyValues& k) {
        const Strings path = splitAt(k.key, '.');
        if (k.values.size() < 2 || path.size() < 3) return false;
        return path[0] == "light" ? path[1] == light.name : wears(light, path, keys);
    });
}

Strings movedLamps(const Scene& scene, const std::vector<KeyValues>& keys) {
    if (scene.compare.lamps == Compare::Lamps::named) return scene.compare.named;
    Strings names;
    for (const Light& light : scene.lights)
        if (scene.compare.lamps == Compare::Lamps::all || differs(light, keys)) names.push_back(light.name);
    return names;
}

std::string probeOf(const Scene& scene) {
    if (!scene.compare.equalAt.empty()) return scene.compare.equalAt;
    for (const ProbeKind kind : {ProbeKind::incident, ProbeKind::dome})
        for (const Probe& probe : scene.probes)
            if (probe.kind == kind) return probe.name;
    if (scene.compare.by == Compare::By::none) return "";
    throw SceneError("the set has no incident probe to expose for; add a [[probe]], or name a spot by compare.equal_at (it is brought to 18 % grey)");
}

std::size_t indexOf(const std::vector<PlannedVariant>& variants, const std::string& name, const std::string& option) {
    Strings known;
    for (std::size_t v = 0; v < variants.size(); ++v) {
        known.push_back(variants[v].name);
        if (variants[v].name == name || (name == "as-written" && variants[v].variant.empty())) return v;
    }
    throw CommandLineError(fmt::format("{} {}: no such variant is shown; there are {}", option, name, joined(known)));
}

/// FILE.png, or A,B=FILE.png.
PlannedDifference differenceOf(const std::vector<PlannedVariant>& variants, const std::string& text) {
    const std::string example = "; for example --difference bowl,softbox=difference.png";
    if (variants.size() < 2) throw CommandLineError("--difference: there is one variant alone; two make a difference" + example);
    PlannedDifference d{0, 1, text};
    const std::size_t equals = text.find('=');
    if (equals != std::string::npos) {
        const Strings names = splitAt(text.substr(0, equals), ',');
        if (names.size() != 2) throw CommandLineError(fmt::format("--difference {}: needed: two variants before the =", text) + example);
        d = {indexOf(variants, names[0], "--difference"), indexOf(variants, names[1], "--difference"), text.substr(equals + 1)};
    }
    if (d.from == d.to) throw CommandLineError(fmt::format("--difference {}: a variant against itself", text) + example);
    if (!d.file.ends_with(".png")) throw CommandLineError(fmt::format("--difference {}: the map is a PNG; give it a name that ends in .png", text) + example);
    return d;
}

Strings liveOf(const std::vector<PlannedVariant>& variants, const CompareOptions& options) {
    if (options.live.size() > 2) throw CommandLineError(fmt::format("--live: {} variants; allowed: at most two, whose layers the page holds", options.live.size()));
    Strings live;
    for (const std::string& name : options.live) live.push_back(variants[indexOf(variants, name, "--live")].name);
    for (std::size_t v = 0; options.live.empty() && v < std::min<std::size_t>(2, variants.size()); ++v) live.push_back(variants[v].name);
    return live;
}

/// A power that differs, on a lamp that equal exposure moves, differs no more afterwards.
void warnOfPowers(const std::vector<KeyValues>& keys, const EqualExposure& equal, std::vector<Warning>& warnings) {
    for (const std::string& lamp : equal.lamps)
        for (const KeyValues& k : keys)
            if (equal.by == Compare::By::power && k.key == "light." + lamp + ".power" && k.values.size() > 1)
                warnings.push_back(
                    {"power-compensated",
                     fmt::format("variants differ in the power of {}, from each other or from the set as "
                                 "written, and equal exposure moves that very power; "
                                 "compare.lamps with other names, by = \"iso\" or by = \"none\" keeps it",
                                 lamp)});
}

}  // namespace

ComparePlan comparePlan(const Scene& scene, const CompareOptions& options) {
    ComparePlan plan;
    plan.variants = options.variants.empty() ? allOf(scene) : chosen(scene, options.variants);
    const std::vector<KeyValues> keys = keyValues(scene, plan.variants);
    for (PlannedVariant& p : plan.variants)
        for (const KeyValues& k : keys)
            if (p.variant.empty() && k.values.size() > 1) p.changes.push_back(plainChange(k.key, k.written));
    plan.equal = {probeOf(scene), scene.compare.by, {}};
    if (plan.equal.by == Compare::By::power) plan.equal.lamps = movedLamps(scene, keys);
    plan.live = liveOf(plan.variants, options);
    for (const std::string& text : options.differences) plan.differences.push_back(differenceOf(plan.variants, text));
    warnOfPowers(keys, plan.equal, plan.warnings);
    return plan;
}

}  // namespace keyfall
