// The [sensor.NAME] table of the shipped library as a sensor. Not here: the camera's own keys
// (read_camera.cpp), what a sensor does (sensor_arithmetic.h).
#pragma once

#include <filesystem>

#include "scene/read_value.h"
#include "scene/sensor.h"

namespace keyfall {

/// All keys are required: pixels, full_well, read_noise, quantum_efficiency, base_iso, response (a CSV
/// with the columns red, green, blue; 0 outside its wavelengths), source.
/// Throws DefinitionError (library_definitions.h), or CsvError about the file.
SensorModel sensorFrom(const Value& table, const std::filesystem::path& directory);

}  // namespace keyfall
