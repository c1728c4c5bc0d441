// One [material.NAME], [fabric.NAME] or [lamp.NAME] table as plain data.
// Not here: the files of the library (library.cpp), placing a lamp (the scene reader).
#include "scene/library_definitions.h"

#include <fmt/format.h>

#include "scene/library_table.h"
#include "scene/library_values.h"
#include "scene/spectrum_csv.h"

namespace keyfall {
namespace {

Base baseOf(const DefinitionTable& t) {
    const std::string word = t.text("base").value_or("diffuse");
    if (word == "diffuse") return Base::diffuse;
    if (word == "plastic") return Base::plastic;
    if (word == "metal") return Base::metal;
    if (word == "glass") return Base::glass;
    if (word == "sheet") return Base::sheet;
    t.fail("base", "\"" + word + "\"; diffuse, plastic, metal, glass or sheet is allowed");
}

void readMetal(const DefinitionTable& t, Material& material) {
    const auto metal = t.text("metal");
    if (!metal) {
        if (!t.table.find("colour") && !t.table.find("reflectance"))
            t.fail("metal", "missing; a metal's name, an n,k CSV, a colour or a reflectance");
        return;
    }
    if (metal->ends_with(".csv")) {
        material.index = indexFromCsv(t.file(*metal));
        return;
    }
    material.index = metalIndex(*metal);
    if (material.index) return;
    std::string known;
    for (const std::string& name : metalNames()) known += (known.empty() ? "" : ", ") + name;
    t.fail("metal", fmt::format("\"{}\"; {} or a CSV file (nm, n, k) is allowed", *metal, known));
}

Bands absorptionOf(const DefinitionTable& t) {
    if (const auto tint = t.colour("tint")) {
        const double depth_cm = t.number("tint_depth").value_or(1.0);
        if (!(depth_cm > 0.0)) t.fail("tint_depth", "a depth above 0 cm is allowed");
        if (t.table.find("absorption")) t.fail("tint", "given beside absorption; one is allowed");
        return absorptionFromTint(*tint, depth_cm * kMetrePerCm);
    }
    const Value* absorption = t.table.find("absorption");
    if (!absorption) return Bands(0.0F);
    if (absorption->isText()) return absorptionFromCsv(t.file(absorption->text));
    const std::vector<double> rgb = t.numbers("absorption").value();
    if (rgb.size() != 3) t.fail("absorption", "[r, g, b] per cm or a CSV file is allowed");
    return absorptionFromRgb(glm::vec3(rgb[0], rgb[1], rgb[2]));
}

/// What a sheet neither passes nor reflects is absorbed, so the two may not exceed 1 together; the
/// straight light is part of what passes.
void readSheet(const DefinitionTable& t, Material& material) {
    material.transmittance = t.factor("transmittance").value_or(Bands(0.0F));
    material.straight = t.factor("straight").value_or(Bands(0.0F));
    constexpr float kRounding = 1e-6F;
    for (int b = 0; b < kBands; ++b) {
        if (material.transmittance[b] + material.reflectance[b] > 1.0F + kRounding)
            t.fail("transmittance", "with the reflectance more than 1; at most 1 is allowed");
        if (material.straight[b] > material.transmittance[b] + kRounding)
            t.fail("straight", "more than the transmittance that contains it");
    }
}

LampShape shapeOf(const DefinitionTable& t) {
    struct Row {
        const char* word;
        LampKind kind;
        std::size_t sizes;
        const char* allowed;
    };
    static constexpr Row rows[] = {
        {"sphere", LampKind::sphere, 1, "[diameter]"},
        {"tube", LampKind::tube, 2, "[length, diameter]"},
        {"ring", LampKind::ring, 2, "[diameter, tube diameter]"},
        {"disc", LampKind::disc, 1, "[diameter]"},
        {"panel", LampKind::panel, 2, "[width, height]"},
    };
    const std::string word = t.text("shape").value_or("");
    for (const Row& row : rows) {
        if (word != row.word) continue;
        const std::vector<double> size_cm = t.numbers("size").value_or(std::vector<double>{});
        if (size_cm.size() != row.sizes)
            t.fail("size", fmt::format("{} in cm is needed for a {}", row.allowed, word));
        for (const double s : size_cm)
            if (!(s > 0.0)) t.fail("size", "sizes above 0 cm are allowed");
        LampShape shape;
        shape.kind = row.kind;
        shape.a_m = static_cast<float>(size_cm[0] * kMetrePerCm);
        if (row.sizes == 2) shape.b_m = static_cast<float>(size_cm[1] * kMetrePerCm);
        shape.bothSides = t.flag("both_sides").value_or(false);
        return shape;
    }
    t.fail("shape", "\"" + word + "\"; sphere, tube, ring, disc or panel is allowed");
}

void readEfficacy(const DefinitionTable& t, LampModel& lamp) {
    if (const auto flash = t.number("lumen_seconds_per_watt_second")) {
        lamp.efficacy = *flash;
        lamp.efficacyIsFlash = true;
        lamp.efficacyGiven = true;
    }
    if (const auto continuous = t.number("lumens_per_watt")) {
        if (lamp.efficacyIsFlash)
            t.fail("lumens_per_watt", "given beside lumen_seconds_per_watt_second; one is allowed");
        lamp.efficacy = *continuous;
        lamp.efficacyGiven = true;
    }
}

}  // namespace

Material materialFrom(const std::string& name, const Value& table,
                      const std::filesystem::path& directory) {
    const DefinitionTable t{table, directory};
    Material material;
    material.name = name;
    material.base = baseOf(t);
    if (const auto colour = t.colour("colour")) material.reflectance = *colour;
    if (const auto reflectance = t.factor("reflectance")) {
        if (table.find("colour")) t.fail("colour", "given beside reflectance; one is allowed");
        material.reflectance = *reflectance;
    }
    material.roughness = static_cast<float>(t.number("roughness").value_or(0.0));
    material.anisotropy = static_cast<float>(t.number("anisotropy").value_or(0.0));
    material.ior = static_cast<float>(t.number("ior").value_or(1.5));
    if (material.base == Base::metal) readMetal(t, material);
    if (material.base == Base::sheet) readSheet(t, material);
    if (material.base == Base::glass) material.absorption_perM = absorptionOf(t);
    material.priority = static_cast<int>(t.number("priority").value_or(2.0));
    material.source = t.text("source").value_or("");
    return material;
}

Material fabricFrom(const std::string& name, const Value& table,
                    const std::filesystem::path& directory) {
    const DefinitionTable t{table, directory};
    Material fabric;
    fabric.name = name;
    fabric.base = Base::sheet;
    fabric.reflectance = t.factor("reflectance").value_or(Bands(0.0F));
    readSheet(t, fabric);
    fabric.source = t.text("source").value_or("");
    return fabric;
}

LampModel lampFrom(const std::string& name, const Value& table,
                   const std::filesystem::path& directory,
                   const std::map<std::string, FineSpectrum>& spectra) {
    const DefinitionTable t{table, directory};
    LampModel lamp;
    lamp.name = name;
    lamp.shape = shapeOf(t);
    if (const auto temperature = t.number("colour_temperature"))
        lamp.colourTemperature_K = *temperature;
    if (const auto spectrum = t.text("spectrum")) {
        const auto known = spectra.find(*spectrum);
        lamp.spectrum =
            known != spectra.end() ? known->second : emissionFromCsv(t.file(*spectrum));
    }
    readEfficacy(t, lamp);
    lamp.lowestPower_stops = t.power_stops("lowest_power");
    lamp.powerStep_stops = t.number("power_step");
    lamp.t05_s = t.time_s("t05");
    lamp.t05Lowest_s = t.time_s("t05_lowest");
    lamp.surface = t.text("surface").value_or("white-paper");
    lamp.source = t.text("source").value_or("");
    return lamp;
}

}  // namespace keyfall
