// What the page knows of a variant beside its pictures: settings, report, plan, and each probe's light in
// bands, from which the page reckons readings as the program does. Not here: pictures (page_layers.h).
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "compared.h"

namespace keyfall {

/// Layers: `full` is flux at full power (flash), or per second of shutter (continuous, ambient, glow);
/// `xyz` per band. Probes: `bands` is transfer per layer, `replicates` its luminance in 16 replicates.
nlohmann::ordered_json variantJson(const ComparedVariant& variant);

/// Third-stop series, names of whole stops, colours that a light can be given, constants of the meters.
nlohmann::ordered_json conventionsJson();

/// A layer of the variant alone with its light at full power, as the camera is set.
LayerMix fullMix(const ComparedVariant& variant, std::size_t layer);

}  // namespace keyfall
