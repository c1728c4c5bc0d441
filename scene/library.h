// The library: lamps, modifiers, fabrics, materials, spectra that ship in assets/library as TOML and CSV.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scene/fine_spectrum.h"
#include "scene/gel.h"
#include "scene/lamp_shape.h"
#include "scene/material.h"
#include "scene/modifier.h"
#include "scene/photometric_web.h"
#include "scene/sensor.h"

namespace keyfall {

/// A lamp as a catalogue has it: everything but its place and power.
struct LampModel {
    std::string name;
    LampShape shape;                       ///< centred, frame = axes
    double colourTemperature_K = 5500.0;
    std::optional<FineSpectrum> spectrum;  ///< when given, it stands over the temperature
    double efficacy = 90.0;                ///< lm/W, or lm*s per W*s
    bool efficacyGiven = false;            ///< false: the contract's default of the light's kind
    bool efficacyIsFlash = false;          ///< true: given as lm*s per W*s
    std::optional<double> lowestPower_stops, powerStep_stops, t05_s, t05Lowest_s;
    std::string surface = "white-paper";
    std::shared_ptr<const PhotometricWeb> web;  ///< of a measured lamp, which no library holds
    std::string source;
};

/// One row of `list`.
struct LibraryEntry {
    std::string kind;    ///< lamp | modifier | gel | fabric | material | surface | spectrum
    std::string name;
    std::string values;  ///< in the scene file's units
    std::string source;
};

struct Library {
    std::map<std::string, LampModel> lamps;
    std::map<std::string, ModifierModel> modifiers;
    std::map<std::string, Material> materials;  ///< boards' surfaces too
    std::map<std::string, Material> fabrics;    ///< base = sheet
    std::map<std::string, FineSpectrum> spectra;
    std::map<std::string, Gel> gels;
    SensorModel sensor;                         ///< the generic one
    std::vector<LibraryEntry> entries;          ///< sorted by kind, then name
};

/// Reads assets/library once a call. Throws std::runtime_error naming the file when the shipped
/// data is broken: that is our mistake, not the user's (exit code 70).
Library readLibrary();

}  // namespace keyfall
