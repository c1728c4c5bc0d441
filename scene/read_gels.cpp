// [gel.NAME], and `gel` of a light. Not here: what one definition means (library_gels.cpp).
#include "scene/read_gels.h"

#include <fmt/format.h>

#include "scene/colour.h"
#include "scene/library_definitions.h"
#include "scene/library_gels.h"
#include "scene/spectrum_csv.h"

namespace keyfall {

namespace {

bool checkGel(const Fields& fields) {
    const bool one = fields.atMostOne({"mired_shift", "green", "stops"}) &&
                     fields.atMostOne({"stops", "transmittance"});
    const bool coloured = fields.given("mired_shift") || fields.given("green");
    if (fields.given("designed_for") && !coloured)
        fields.error("designed_for",
                     {"has no meaning here", "it belongs to mired_shift or green", {}});
    if (coloured) fields.value("designed_for");  // notes its fallback
    return one && fields.allSound();
}

const Gel* gelNamed(Draft& draft, const Fields& light, const std::string& name) {
    const auto at = draft.library.gels.find(name);
    if (at != draft.library.gels.end()) return &at->second;
    const Value* own = draft.root.find("gel");
    if (own != nullptr && own->find(name) != nullptr) return nullptr;  // its mistake is told there
    if (name == "none") {
        light.error("gel", {"\"none\" stands in a list", "allowed: gel = \"none\", or a list of gels",
                            "leave it out of the list"});
        return nullptr;
    }
    std::vector<std::string> names;
    for (const auto& [gel, film] : draft.library.gels) names.push_back(gel);
    light.error("gel", {fmt::format("there is no gel \"{}\"", name),
                        "allowed: a name of `keyfall list gel` or of [gel.NAME], or a list of them",
                        didYouMean(name, names)});
    return nullptr;
}

std::vector<std::string> namesIn(const Value& value) {
    if (value.isText()) return value.text == "none" ? std::vector<std::string>{} : std::vector{value.text};
    std::vector<std::string> names;
    for (const Value& entry : value.list) names.push_back(entry.text);
    return names;
}

}  // namespace

void readGels(Draft& draft) {
    for (Object* object : draft.all("gel")) {
        const Fields& fields = object->fields;
        if (!checkGel(fields)) continue;
        try {
            draft.library.gels[object->name] =
                gelFrom(object->name, fields.table(), draft.file.parent_path());
        } catch (const DefinitionError& error) {
            draft.messages().error(error.place, {fields.label() + ": " + error.what(), {}, {}});
        } catch (const CsvError& error) {
            draft.messages().fileError(fields.placeOf("transmittance"),
                                       {fields.label() + ": " + error.what(), {}, {}});
        }
    }
}

std::optional<std::vector<Gel>> gelsOn(Draft& draft, const Fields& light) {
    if (light.bad("gel")) return {};
    std::vector<Gel> gels;
    if (!light.given("gel")) return gels;
    bool sound = true;
    for (const std::string& name : namesIn(*light.value("gel"))) {
        const Gel* gel = gelNamed(draft, light, name);
        sound = sound && gel != nullptr;
        if (gel != nullptr) gels.push_back(*gel);
    }
    return sound ? std::optional(gels) : std::nullopt;
}

double wearGels(const Fields& fields, const std::vector<Gel>& gels, Light& light) {
    double passed = 1.0;
    for (const Gel& gel : gels) {
        passed *= luminousTransmittance(light.spectrum, gel);
        if (!(passed > 0.0)) {
            fields.error("gel", {"lets none of this lamp's light pass", {}, "choose other gels"});
            return 0.0;
        }
        light.spectrum = through(light.spectrum, gel);
        light.gels.push_back(gel.name);
    }
    if (gels.empty()) return 1.0;
    light.bands = bandXYZ(light.spectrum);
    light.colourTemperature_K =
        correlatedTemperature(chromaticity(light.bands.total())).temperature_K;
    return passed;
}

}  // namespace keyfall
