// [material.NAME], [fabric.NAME] and [lamp.NAME] of the file, over the shipped library's.
// Not here: what one definition means (library_definitions.h).
#include <fmt/format.h>

#include <algorithm>

#include "scene/library_definitions.h"
#include "scene/library_values.h"
#include "scene/read_draft.h"
#include "scene/spectrum_csv.h"

namespace keyfall {

namespace {

/// Says which keys a base uses; a key of another base is a mistake, not a silent nothing.
struct BaseKeys {
    const char* base;
    std::vector<std::string_view> keys;
};
const std::vector<BaseKeys>& baseKeys() {
    static const std::vector<BaseKeys> table = {
        {"diffuse", {"reflectance", "colour", "roughness"}},
        {"plastic", {"reflectance", "colour", "roughness", "ior"}},
        {"metal", {"metal", "colour", "reflectance", "roughness", "anisotropy"}},
        {"glass", {"ior", "roughness", "absorption", "tint", "tint_depth", "priority"}},
        {"sheet", {"transmittance", "reflectance", "straight"}},
    };
    return table;
}

void refuseKeysOfOtherBases(const Fields& fields, const std::string& base) {
    for (const BaseKeys& row : baseKeys()) {
        if (row.base != base) continue;
        for (const Key& key : keysOf("material")) {
            const std::string_view name = key.name;
            const bool common = name == "base" || name == "caption" || name == "source";
            if (common || !fields.given(name)) continue;
            if (std::find(row.keys.begin(), row.keys.end(), name) != row.keys.end()) continue;
            fields.error(
                name, {fmt::format("has no meaning for base = \"{}\"", base),
                       fmt::format("{} knows {}", base, joined({row.keys.begin(), row.keys.end()})),
                       {}});
        }
    }
}

void checkPairs(const Fields& fields) {
    fields.atMostOne({"absorption", "tint"});
    if (fields.given("metal")) fields.atMostOne({"metal", "colour", "reflectance"});
    if (fields.given("tint") != fields.given("tint_depth"))
        fields.error(fields.given("tint") ? "tint" : "tint_depth",
                     {"stands alone", "needed: tint and tint_depth (cm) together",
                      "for example tint = \"#d9ead3\", tint_depth = 2"});
    if (fields.text("base") != "sheet") return;
    for (const char* key : {"transmittance", "reflectance"})
        if (!fields.given(key)) fields.error(key, {"is missing", "a sheet needs it", {}});
}

void recordDefaults(const Fields& fields) {
    const std::string base = fields.text("base");
    for (const BaseKeys& row : baseKeys())
        for (const std::string_view key : row.keys)
            if (row.base == base && !fields.given(key)) fields.value(key);  // notes its fallback
    const bool hasColour = fields.given("reflectance") || fields.given("colour");
    if (hasColour || (base != "diffuse" && base != "plastic")) return;
    fields.recordDefault("reflectance", fmt::format("{:.2g}", Material{}.reflectance[0]));
}

/// Runs one of the library's readers; what it throws becomes a message.
template <class Read>
void readDefinition(Draft& draft, const Object& object, Read read) {
    const Fields& fields = object.fields;
    if (!fields.allSound()) return;
    try {
        read();
    } catch (const DefinitionError& error) {
        draft.messages().error(error.place, {fields.label() + ": " + error.what(), {}, {}});
    } catch (const CsvError& error) {
        draft.messages().fileError(fields.place(), {fields.label() + ": " + error.what(), {}, {}});
    }
}

void checkLamp(const Fields& fields) {
    fields.atMostOne({"colour_temperature", "spectrum"});
    fields.atMostOne({"lumens_per_watt", "lumen_seconds_per_watt_second"});
    const std::vector<double> size = fields.numbers("size");
    if (fields.text("shape") == "ring" && size.size() == 2 && size[1] >= size[0])
        fields.error("size", {"the tube is as thick as the ring",
                              "allowed: a tube diameter below the diameter of its centre line",
                              "a ring has size = [diameter, tube diameter]"});
    const std::string shape = fields.text("shape");
    if (fields.given("both_sides") && !shape.empty() && shape != "disc" && shape != "panel")
        fields.error("both_sides", {"has no meaning for a " + shape, "disc and panel know it", {}});
}

/// Of the two efficacies each counts for its kind of light, so each has its default.
void recordLampDefaults(const Fields& fields) {
    const std::string shape = fields.text("shape");
    if (shape == "disc" || shape == "panel") fields.flag("both_sides");
    if (!fields.given("spectrum")) fields.value("colour_temperature");
    for (const char* key : {"lumens_per_watt", "lumen_seconds_per_watt_second"}) fields.value(key);
}

bool looksLikeFile(const std::string& text) {
    return text.find('.') != std::string::npos;
}

/// A spectrum's name without a dot is one of the library, never a file that is missing.
bool namesSpectrum(Draft& draft, const Fields& fields) {
    if (!fields.sound("spectrum")) return true;
    const std::string name = fields.text("spectrum");
    if (draft.library.spectra.contains(name) || looksLikeFile(name)) return true;
    std::vector<std::string> names;
    for (const auto& [spectrum, values] : draft.library.spectra) names.push_back(spectrum);
    fields.error("spectrum", {fmt::format("there is no spectrum \"{}\"", name),
                              "allowed: a name of `keyfall list spectrum` or a CSV (nm, value)",
                              didYouMean(name, names)});
    return false;
}

bool isDark(const FineSpectrum& spectrum) {
    return std::none_of(spectrum.value.begin(), spectrum.value.end(),
                        [](double v) { return v > 0.0; });
}

}  // namespace

void readMaterials(Draft& draft) {
    const std::filesystem::path folder = draft.file.parent_path();
    for (Object* object : draft.all("fabric"))
        readDefinition(draft, *object, [&] {
            draft.library.fabrics[object->name] =
                fabricFrom(object->name, object->fields.table(), folder);
        });
    for (Object* object : draft.all("material")) {
        const Fields& fields = object->fields;
        const std::string base = fields.text("base");
        if (!fields.bad("base")) refuseKeysOfOtherBases(fields, base);
        checkPairs(fields);
        recordDefaults(fields);
        readDefinition(draft, *object, [&] {
            draft.library.materials[object->name] =
                materialFrom(object->name, fields.table(), folder);
        });
    }
}

void readLamps(Draft& draft) {
    const std::filesystem::path folder = draft.file.parent_path();
    for (Object* object : draft.all("lamp")) {
        const Fields& fields = object->fields;
        checkLamp(fields);
        recordLampDefaults(fields);
        if (!namesSpectrum(draft, fields)) continue;
        readDefinition(draft, *object, [&] {
            const LampModel lamp =
                lampFrom(object->name, fields.table(), folder, draft.library.spectra);
            if (lamp.spectrum && isDark(*lamp.spectrum))
                fields.error("spectrum", {"is dark everywhere", "needed: some visible light", {}});
            else
                draft.library.lamps[object->name] = lamp;
        });
        if (!draft.library.materials.contains(fields.text("surface")))
            useMaterial(draft, fields.spot("surface"), fields.text("surface"));
    }
}

std::optional<FineSpectrum> spectrumOf(Draft& draft, const Fields& fields) {
    if (!fields.sound("spectrum") || !namesSpectrum(draft, fields)) return {};
    const std::string name = fields.text("spectrum");
    const auto known = draft.library.spectra.find(name);
    if (known != draft.library.spectra.end()) return known->second;
    try {
        const FineSpectrum spectrum = emissionFromCsv(draft.beside(name));
        if (!isDark(spectrum)) return spectrum;
        fields.error("spectrum", {"is dark everywhere", "needed: some visible light", {}});
    } catch (const CsvError& error) {
        draft.messages().fileError(fields.placeOf("spectrum"),
                                   {fields.label() + ".spectrum: " + error.what(), {}, {}});
    }
    return {};
}

}  // namespace keyfall
