// Tables of wavelength and values from CSV files. Not here: resampling and bands (fine_spectrum.h).
#pragma once

#include <filesystem>
#include <stdexcept>
#include <string>
#include <vector>

#include "scene/fine_spectrum.h"

namespace keyfall {

/// What is wrong with a CSV file, and where. what() reads "file:line: found; allowed; fix".
struct CsvError : std::runtime_error {
    CsvError(const std::filesystem::path& file, int atLine, const std::string& problem);
    int line = 0;         ///< 0: the file as a whole
    std::string problem;  ///< without the place
};

/// A CSV with a wavelength column (nm) and one or more value columns.
struct SpectrumCsv {
    std::vector<double> wavelength_nm;       ///< rising
    std::vector<std::string> names;          ///< of the value columns; empty without a heading line
    std::vector<std::vector<double>> value;  ///< [column][row]

    /// One column by its name. Throws std::out_of_range when there is none.
    SpectrumTable column(const std::string& name) const;
    bool has(const std::string& name) const;
};

/// Reads numbers separated by comma, semicolon or tab; lines that start with '#' are comments; the
/// first other line may be a heading. Wavelengths in nanometres, rising. A value that is empty or
/// no finite number is an error, so is a file with fewer than two rows. Throws CsvError.
SpectrumCsv readSpectrumColumns(const std::filesystem::path& file);

/// A file of one value column: nm, value. Throws CsvError, also for a second value column.
SpectrumTable readSpectrumCsv(const std::filesystem::path& file);

}  // namespace keyfall
