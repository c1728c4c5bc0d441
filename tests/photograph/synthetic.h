// Films with known contents and the shipped illuminants, for the tests of this room.
// Not here: anything traced.
#pragma once

#include <catch2/catch.hpp>

#include <unistd.h>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "renderer/film/film.h"
#include "scene/fine_spectrum.h"
#include "scene/scene.h"

namespace keyfall::synthetic {

inline constexpr std::uint32_t kSamples = 64;

/// A film of lights named "light-0"... with 64 samples a pixel and nothing on it.
inline Film film(int width_px, int height_px, std::size_t lights) {
    std::vector<LayerInfo> layers(lights);
    for (std::size_t l = 0; l < lights; ++l) {
        layers[l].name = "light-" + std::to_string(l);
        layers[l].light = l;
    }
    Film out(width_px, height_px, layers);
    for (std::size_t p = 0; p < out.pixelCount(); ++p) out.samplesAt(p) = kSamples;
    return out;
}

/// The same transfer in every band: what a grey surface gives under any light.
inline void setGrey(Film& f, std::size_t layer, std::size_t pixel, double transfer) {
    f.cell(layer, pixel).transferSum.fill(static_cast<float>(transfer * f.samplesAt(pixel)));
}

/// A camera at exact f/11 (11.314), 1/125 (1/128 s), ISO 100, far focus: no close-up loss.
inline Camera camera() {
    Camera c;
    c.closeUpCompensated = true;
    c.aperture = {11, 8.0 * std::sqrt(2.0)};
    return c;
}
/// Luminous exposure for which a flat meter shows that camera's f/11: H = C N^2 / S
/// = 250 * 128 / 100 (ISO 2720 meter equation).
inline constexpr double kMetered_lxs = 320.0;
inline const double kPi = std::acos(-1.0);

struct NamedSpectrum {
    std::string name;
    SpectrumTable table;
};

/// Every column of an assets CSV: "# comment", a heading line, then nm and values.
inline std::vector<NamedSpectrum> columns(const std::string& file) {
    std::ifstream in(assetsDirectory() / "spectra" / file);
    std::vector<NamedSpectrum> out;
    std::string line;
    std::string field;
    while (std::getline(in, line)) {
        if (line.empty() || line[0] == '#') continue;
        std::istringstream fields(line);
        std::vector<std::string> row;
        while (std::getline(fields, field, ',')) row.push_back(field);
        if (out.empty()) {
            for (std::size_t c = 1; c < row.size(); ++c) out.push_back({row[c], {}});
            continue;
        }
        for (std::size_t c = 1; c < row.size(); ++c) {
            out[c - 1].table.wavelength_nm.push_back(std::stod(row[0]));
            out[c - 1].table.value.push_back(std::stod(row[c]));
        }
    }
    REQUIRE_FALSE(out.empty());
    return out;
}

/// A, D50, D55, D65 and the nine LEDs (CIE 15:2018).
inline std::vector<NamedSpectrum> cieIlluminants() {
    std::vector<NamedSpectrum> all = columns("cie_illuminants.csv");
    for (NamedSpectrum& s : columns("cie_led_illuminants.csv")) all.push_back(std::move(s));
    return all;
}

/// A fresh directory that is removed with everything in it.
struct TemporaryDirectory {
    std::filesystem::path path;
    TemporaryDirectory() {
        std::string name = (std::filesystem::temp_directory_path() / "keyfall-XXXXXX").string();
        path = mkdtemp(name.data());
    }
    ~TemporaryDirectory() { std::filesystem::remove_all(path); }
    TemporaryDirectory(const TemporaryDirectory&) = delete;
    TemporaryDirectory& operator=(const TemporaryDirectory&) = delete;
    bool empty() const { return std::filesystem::is_empty(path); }
};

}  // namespace keyfall::synthetic
