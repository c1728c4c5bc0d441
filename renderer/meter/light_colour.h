// The colour of light as a meter for it shows it: of each light, at each probe, between lights.
// Not here: the formulas (scene/colour_quality.h), wording and JSON (tools/keyfall).
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "renderer/meter/readings.h"
#include "scene/colour_quality.h"

namespace keyfall {

/// A light that is on, or the room's light.
struct ColouredLight {
    std::string name;
    Correlated colour;
    BandXYZ bands;
    FineSpectrum spectrum;
    bool ambient = false;       ///< the room's
    /// Against daylight or a Planckian of the same temperature; empty for a colour of its own.
    std::optional<int> similarity;
};

/// The light that falls on an incident or dome probe. A spot sees its surface's colour, and is none.
struct ProbeColour {
    std::string probe;
    std::optional<Measured> temperature_K;   ///< empty: no reading, or a colour of its own
    std::optional<Measured> duv;             ///< empty: no reading
    std::optional<Measured> mired;           ///< 1e6/T
};

struct MaterialShift {
    std::string material;
    double deltaE2000 = 0.0;
};

struct LightPair {
    std::size_t first = 0, second = 0;       ///< into LightColours::lights
    std::optional<double> mired;             ///< + where the second is warmer; empty: no figure
    double duv = 0.0;                        ///< + where the second is greener
    int similarity = 0;                      ///< SSI of the first, the second as reference
    int similarityReversed = 0;              ///< the other way round
    std::vector<MaterialShift> materials;    ///< of the products, each once
};

struct LightColours {
    std::vector<ColouredLight> lights;
    std::vector<LightPair> pairs;            ///< every two of them
    Correlated white;                        ///< what the picture is balanced for
    std::vector<ProbeColour> probes;         ///< as the readings, spots left out
};

/// `white` is XYZ. No ray is traced.
LightColours lightColours(const Scene& scene, const std::vector<ProbeReading>& readings, glm::dvec3 white);

/// Colour of the light of one reading, its interval by the jackknife over the replicates: the locus is
/// taken as straight over the noise.
ProbeColour probeColour(const ProbeReading& reading);

}  // namespace keyfall
