// Reads assets/library: spectra, materials, surfaces, fabrics, lamps, modifiers, and rows for `list`.
// Not here: what one definition means (library_definitions.cpp).
#include "scene/library.h"

#include <fmt/format.h>
#include <algorithm>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <tuple>

#include "scene/library_definitions.h"
#include "scene/library_gels.h"
#include "scene/library_modifiers.h"
#include "scene/library_sensor.h"
#include "scene/read_toml.h"
#include "scene/spectrum_csv.h"

namespace keyfall {
namespace {

[[noreturn]] void broken(const std::filesystem::path& file, int line, const std::string& problem) {
    throw std::runtime_error(
        fmt::format("shipped data is broken: {}:{}: {}", file.string(), line, problem));
}

Value readToml(const std::filesystem::path& file) {
    std::ifstream in(file);
    std::ostringstream text;
    text << in.rdbuf();
    if (!in) broken(file, 0, "cannot be read");
    const auto parsed = parseToml(text.str(), file.string());
    if (const auto* error = std::get_if<SyntaxError>(&parsed))
        broken(file, error->place.line, error->text);
    return std::get<Value>(parsed);
}

std::string valuesOf(const Value& table);

/// In full, where a message would leave off.
std::string inFull(const Value& value) {
    if (value.isTable()) return "{ " + valuesOf(value) + " }";
    if (!value.isList()) return shown(value);
    std::string text;
    for (const Value& entry : value.list) text += (text.empty() ? "" : ", ") + inFull(entry);
    return "[" + text + "]";
}

/// The keys of a definition as written, without the source: `base = "glass", ior = 1.52`.
std::string valuesOf(const Value& table) {
    std::string text;
    for (const Member& member : table.members)
        if (member.name != "source")
            text += (text.empty() ? "" : ", ") + member.name + " = " + inFull(member.value);
    return text;
}

FineSpectrum spectrumFrom(const Value& table, const std::filesystem::path& directory) {
    const Value* file = table.find("file");
    const Value* column = table.find("column");
    if (!file || !file->isText()) throw DefinitionError(table.place, "a spectrum needs a file");
    const auto path = directory / file->text;
    if (!column) return resample(readSpectrumCsv(path));
    return resample(readSpectrumColumns(path).column(column->text));
}

/// A name that is missing would come up only when somebody puts the modifier on.
void refuseUnknownNames(const ModifierModel& m, const Value& table, const Library& library) {
    const auto refuse = [&](const std::string& name, bool known) {
        if (!known && !name.empty())
            throw DefinitionError(table.place, fmt::format("there is no \"{}\"", name));
    };
    for (const std::string& fabric : {m.baffle, m.front}) refuse(fabric, library.fabrics.contains(fabric));
    const bool isFabric = m.kind == ModifierKind::umbrella && library.fabrics.contains(m.inside);
    refuse(m.inside, isFabric || (!m.through && library.materials.contains(m.inside)));
    if (m.headBowl) refuse(m.headBowl->material, library.materials.contains(m.headBowl->material));
    if (m.deflector) refuse(m.deflector->material, library.materials.contains(m.deflector->material));
}

/// Reads every [kind.NAME] of a file; `take` turns one table into data.
template <class Take>
void readKind(const std::filesystem::path& file, const Value& root, const char* kind,
              Library& library, Take take) {
    const Value* definitions = root.find(kind);
    if (!definitions) return;
    for (const auto& [name, place, table] : definitions->members) {
        const Value* source = table.find("source");
        if (!source || !source->isText()) broken(file, place.line, name + " has no source");
        try {
            take(name, table);
        } catch (const DefinitionError& e) {
            broken(file, e.place.line, name + ": " + e.what());
        } catch (const std::exception& e) {
            broken(file, place.line, name + ": " + e.what());
        }
        library.entries.push_back({kind, name, valuesOf(table), source->text});
    }
}

}  // namespace

Library readLibrary() {
    const auto directory = assetsDirectory() / "library";
    Library library;
    const auto spectrum = [&](const std::string& name, const Value& table) {
        library.spectra[name] = spectrumFrom(table, directory);
    };
    const auto material = [&](const std::string& name, const Value& table) {
        library.materials[name] = materialFrom(name, table, directory);
    };
    const auto fabric = [&](const std::string& name, const Value& table) {
        library.fabrics[name] = fabricFrom(name, table, directory);
    };
    const auto lamp = [&](const std::string& name, const Value& table) {
        library.lamps[name] = lampFrom(name, table, directory, library.spectra);
    };
    const auto gel = [&](const std::string& name, const Value& table) {
        library.gels[name] = gelFrom(name, table, directory);
    };
    const auto modifier = [&](const std::string& name, const Value& table) {
        library.modifiers[name] = modifierFrom(name, table);
        refuseUnknownNames(library.modifiers[name], table, library);
    };
    const auto sensor = [&](const std::string& name, const Value& table) {
        if (name != "generic") throw DefinitionError(table.place, "the one sensor is called generic");
        library.sensor = sensorFrom(table, directory);
    };
    // Spectra first: lamps name them. Modifiers last: they name materials and fabrics.
    for (const char* name :
         {"spectra.toml", "materials.toml", "fabrics.toml", "lamps.toml", "gels.toml", "modifiers.toml",
          "sensors.toml"}) {
        const auto file = directory / name;
        const Value root = readToml(file);
        readKind(file, root, "spectrum", library, spectrum);
        readKind(file, root, "material", library, material);
        readKind(file, root, "surface", library, material);
        readKind(file, root, "fabric", library, fabric);
        readKind(file, root, "lamp", library, lamp);
        readKind(file, root, "gel", library, gel);
        readKind(file, root, "modifier", library, modifier);
        readKind(file, root, "sensor", library, sensor);
    }
    if (!library.sensor.response) broken(directory / "sensors.toml", 0, "has no [sensor.generic]");
    std::sort(library.entries.begin(), library.entries.end(), [](const auto& a, const auto& b) {
        return std::tie(a.kind, a.name) < std::tie(b.kind, b.name);
    });
    return library;
}

}  // namespace keyfall
