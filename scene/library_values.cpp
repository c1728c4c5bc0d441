// From what a definition says (a colour, a tint, a metal's name, a CSV) to bands and SI.
// Not here: whole definitions (library_definitions.cpp).
#include "scene/library_values.h"

#include <fmt/format.h>
#include <algorithm>
#include <charconv>
#include <cmath>

#include "scene/colour.h"
#include "scene/spectrum_csv.h"

namespace keyfall {
namespace {

const SpectrumCsv& metals() {
    static const SpectrumCsv csv =
        readSpectrumColumns(assetsDirectory() / "spectra" / "metals_nk.csv");
    return csv;
}

Bands bandsOf(const SpectrumTable& table) {
    return toBands(resample(table));
}

/// Beside its ends a table goes on as at its ends: one of infrared alone would pass for a grey.
void refuseUnseen(const std::filesystem::path& file, const SpectrumTable& table) {
    const double first = table.wavelength_nm.front(), last = table.wavelength_nm.back();
    if (last > kBandStart_nm && first < kBandStart_nm + kBandWidth_nm * kBands) return;
    throw CsvError(file, 0,
                   fmt::format("{:g} to {:g} nm; some of 400 to 700 nm is needed", first, last));
}

void refuseOutside(const std::filesystem::path& file, const SpectrumTable& table, double low,
                   double high, const char* allowed) {
    refuseUnseen(file, table);
    for (std::size_t i = 0; i < table.value.size(); ++i)
        if (table.value[i] < low || table.value[i] > high)
            throw CsvError(file, 0,
                           fmt::format("{:g} at {:g} nm; {}", table.value[i],
                                       table.wavelength_nm[i], allowed));
}

}  // namespace

std::optional<glm::vec3> linearFromHex(std::string_view text) {
    if (text.size() != 7 || text[0] != '#') return {};
    glm::vec3 linear{0.0F};
    for (int c = 0; c < 3; ++c) {
        const char* digits = text.data() + 1 + 2 * c;
        unsigned byte = 0;
        const auto [end, problem] = std::from_chars(digits, digits + 2, byte, 16);
        if (problem != std::errc{} || end != digits + 2) return {};
        linear[c] = static_cast<float>(decodeSrgb(byte / 255.0));
    }
    return linear;
}

FineSpectrum fineShareFromCsv(const std::filesystem::path& file) {
    const SpectrumTable table = readSpectrumCsv(file);
    refuseOutside(file, table, 0.0, 1.0, "a share from 0 to 1 is allowed, no percent");
    return resample(table);
}

Bands shareFromCsv(const std::filesystem::path& file) {
    return toBands(fineShareFromCsv(file));
}

// The upper end keeps sums over the spectrum finite; scale does not matter below it.
FineSpectrum emissionFromCsv(const std::filesystem::path& file) {
    const SpectrumTable table = readSpectrumCsv(file);
    refuseOutside(file, table, 0.0, 1e30, "from 0 to 1e30 is allowed, no light is negative");
    return resample(table);
}

std::optional<ComplexIndex> metalIndex(const std::string& name) {
    if (!metals().has(name + "_n") || !metals().has(name + "_k")) return {};
    return ComplexIndex{bandsOf(metals().column(name + "_n")),
                        bandsOf(metals().column(name + "_k"))};
}

std::vector<std::string> metalNames() {
    std::vector<std::string> names;
    for (const std::string& column : metals().names)
        if (column.ends_with("_n")) names.push_back(column.substr(0, column.size() - 2));
    std::sort(names.begin(), names.end());
    return names;
}

ComplexIndex indexFromCsv(const std::filesystem::path& file) {
    const SpectrumCsv csv = readSpectrumColumns(file);
    if (csv.value.size() != 2)
        throw CsvError(
            file, 0,
            fmt::format("{} value columns; a metal needs two: nm, n, k", csv.value.size()));
    const SpectrumTable n{csv.wavelength_nm, csv.value[0]}, k{csv.wavelength_nm, csv.value[1]};
    refuseOutside(file, n, 1e-3, 100.0, "n from 0.001 to 100 is allowed");
    refuseOutside(file, k, 0.0, 100.0, "k from 0 to 100 is allowed");
    return {bandsOf(n), bandsOf(k)};
}

// T = exp(-a*d)   =>   a = -ln(T)/d.
Bands absorptionFromTint(const Bands& transmittance, double depth_m) {
    Bands perM;
    for (int b = 0; b < kBands; ++b) {
        const double passed = std::clamp(static_cast<double>(transmittance[b]), 1e-6, 1.0);
        perM[b] = static_cast<float>(-std::log(passed) / depth_m);
    }
    return perM;
}

Bands absorptionFromRgb(glm::vec3 perCm) {
    return absorptionFromTint(reflectanceFromRgb(glm::exp(-perCm)), 0.01);
}

Bands absorptionFromCsv(const std::filesystem::path& file) {
    const SpectrumTable table = readSpectrumCsv(file);
    refuseOutside(file, table, 0.0, 1e6, "a coefficient per cm from 0 is allowed");
    return 100.0F * bandsOf(table);
}

}  // namespace keyfall
