// What `lamp` found out, as lines for people and as JSON. Not here: measuring (renderer/meter).
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "renderer/meter/lamp_figures.h"
#include "scene/scene.h"

namespace keyfall {

/// At full power. `figures` are per unit of `flux`.
struct LampReport {
    std::string scene;          ///< file; "" for a lamp of the library
    std::string light;          ///< the scene's light, or the lamp's name
    std::string modifier;       ///< "none": bare
    LightKind kind = LightKind::continuous;
    double flux = 1000.0;       ///< lm or lm*s that leave the bare lamp, behind its gels
    bool isPerThousand = false; ///< nobody said how much: figures per 1000 lm
    bool fluxUncertain = false; ///< from W or W*s alone
    std::uint32_t seed = 1;
    std::vector<std::string> gels;
    LampFigures figures;
    std::optional<double> iesFlux;  ///< of the written file, by linear interpolation
};

std::string textOf(const LampReport& report);             ///< lamp_report_text.cpp
nlohmann::ordered_json jsonOf(const LampReport& report);  ///< lamp_report_json.cpp
std::string safetyLines(const LampReport& report);         ///< lamp_safety.cpp

/// "even to 0.31 ± 0.04 stop", or how even at least, where that is less than its noise.
std::string evennessText(const Measured& stops);

/// "lm" or "lm·s", and the same of what follows from it.
struct LampUnits {
    const char* flux;
    const char* intensity;
    const char* illuminance;
    const char* luminance;
};
LampUnits unitsOf(LightKind kind);

std::vector<Warning> warningsOf(const LampReport& report);

}  // namespace keyfall
