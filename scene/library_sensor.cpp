// One [sensor.NAME] table. Not here: which files there are (library.cpp).
#include "scene/library_sensor.h"

#include <algorithm>
#include <memory>

#include "scene/library_table.h"
#include "scene/spectrum_csv.h"

namespace keyfall {
namespace {

double within(const DefinitionTable& t, const char* key, double least, double most) {
    const auto value = t.number(key);
    if (!value) t.fail(key, "missing");
    if (!(*value >= least && *value <= most))
        t.fail(key, "is " + std::to_string(*value) + "; allowed: " + std::to_string(least) + " to " +
                        std::to_string(most));
    return *value;
}

/// No light outside the table makes an electron: the glass in front of the sensor stops it.
FineSpectrum curveOf(const SpectrumCsv& csv, const char* column, const DefinitionTable& t) {
    if (!csv.has(column)) t.fail("response", std::string("has no column ") + column);
    FineSpectrum curve = resample(csv.column(column));
    for (std::size_t i = 0; i < FineSpectrum::kCount; ++i) {
        const double nm = FineSpectrum::kFirst_nm + static_cast<double>(i);
        if (nm < csv.wavelength_nm.front() || nm > csv.wavelength_nm.back()) curve.value[i] = 0.0;
        if (!(curve.value[i] >= 0.0 && curve.value[i] <= 1.0))
            t.fail("response", "values from 0 to 1 are allowed");
    }
    return curve;
}

std::shared_ptr<const SensorResponse> responseOf(const DefinitionTable& t) {
    const auto file = t.text("response");
    if (!file) t.fail("response", "missing");
    const SpectrumCsv csv = readSpectrumColumns(t.file(*file));
    auto response = std::make_shared<SensorResponse>();
    const char* names[] = {"red", "green", "blue"};
    double largest = 0.0;
    for (std::size_t c = 0; c < response->size(); ++c) {
        (*response)[c] = curveOf(csv, names[c], t);
        for (const double v : (*response)[c].value) largest = std::max(largest, v);
    }
    // Else the quantum efficiency would not be what its name says.
    if (largest != 1.0) t.fail("response", "the largest value has to be 1");
    return response;
}

}  // namespace

SensorModel sensorFrom(const Value& table, const std::filesystem::path& directory) {
    const DefinitionTable t{table, directory};
    const auto pixels = t.numbers("pixels");
    if (!pixels || pixels->size() != 2) t.fail("pixels", "two numbers are needed");
    SensorModel sensor;
    for (int i = 0; i < 2; ++i) {
        const double count = (*pixels)[static_cast<std::size_t>(i)];
        if (!(count >= 1.0 && count <= 1e5) || count != static_cast<int>(count))
            t.fail("pixels", "whole numbers up to 100000 are allowed");
        sensor.pixels[i] = static_cast<int>(count);
    }
    sensor.fullWell_e = within(t, "full_well", 100.0, 1e7);
    sensor.readNoise_e = within(t, "read_noise", 0.0, 1000.0);
    sensor.quantumEfficiency = within(t, "quantum_efficiency", 0.01, 1.0);
    sensor.baseIso = within(t, "base_iso", 1.0, 25600.0);
    sensor.response = responseOf(t);
    sensor.source = t.text("source").value_or("");
    return sensor;
}

}  // namespace keyfall
