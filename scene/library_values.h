// From what a definition says (a colour, a tint, a metal's name, a CSV) to bands and SI.
// Not here: whole definitions (library_definitions.h).
#pragma once

#include <filesystem>
#include <glm/glm.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "scene/fine_spectrum.h"
#include "scene/material.h"

namespace keyfall {

/// "#1f4d66" (sRGB) to linear Rec. 709. Empty when the text is no such colour.
std::optional<glm::vec3> linearFromHex(std::string_view text);

/// A reflectance or other share from a CSV (nm, value). Throws CsvError, also for a value outside
/// 0..1 (a table in percent).
Bands shareFromCsv(const std::filesystem::path& file);
FineSpectrum fineShareFromCsv(const std::filesystem::path& file);

/// A lamp's relative spectrum from a CSV (nm, value). Throws CsvError, also for a negative value.
FineSpectrum emissionFromCsv(const std::filesystem::path& file);

/// n and k of a metal by name, from assets/spectra/metals_nk.csv: band means weighted by
/// ybar * D55. Empty for a name that is not there.
std::optional<ComplexIndex> metalIndex(const std::string& name);
std::vector<std::string> metalNames();
/// n and k from a CSV of two value columns (nm, n, k). Throws CsvError.
ComplexIndex indexFromCsv(const std::filesystem::path& file);

/// Beer-Lambert coefficient (1/m) of a solid that transmits `transmittance` over `depth_m`, without
/// its surfaces. A band darker than 1e-6 counts as 1e-6, so that a pure red stays finite.
Bands absorptionFromTint(const Bands& transmittance, double depth_m);
/// From linear Rec. 709 coefficients per cm: the colour after 1 cm, upsampled, then its logarithm.
Bands absorptionFromRgb(glm::vec3 perCm);
/// From a CSV (nm, coefficient per cm). Throws CsvError, also for a negative value.
Bands absorptionFromCsv(const std::filesystem::path& file);

}  // namespace keyfall
