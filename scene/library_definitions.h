// One [material.NAME], [fabric.NAME] or [lamp.NAME] table as plain data; the same for the shipped
// library and for a scene file. Not here: which keys a scene file may say (schema.h).
#pragma once

#include <filesystem>
#include <map>
#include <stdexcept>
#include <string>

#include "scene/library.h"
#include "scene/read_value.h"

namespace keyfall {

/// A definition that cannot be: what was found; what is allowed. `place` is that of the value.
struct DefinitionError : std::runtime_error {
    DefinitionError(Place at, const std::string& problem)
        : std::runtime_error(problem), place(std::move(at)) {}
    Place place;
};

/// Keys that are not given keep the defaults of the types; unknown keys are not looked at (the
/// schema refuses them). CSV files are relative to `directory`. Throws DefinitionError, or CsvError
/// about a file.
Material materialFrom(const std::string& name, const Value& table,
                      const std::filesystem::path& directory);
Material fabricFrom(const std::string& name, const Value& table,
                    const std::filesystem::path& directory);
/// A spectrum is a name in `spectra` or a CSV file.
LampModel lampFrom(const std::string& name, const Value& table,
                   const std::filesystem::path& directory,
                   const std::map<std::string, FineSpectrum>& spectra);

}  // namespace keyfall
