// Which of the possible settings are worth showing, best first. Not here: what they cost
// (settings_costs.h), the words for it (tools/keyfall/settings_text.cpp).
#pragma once

#include <array>

#include "renderer/meter/settings.h"

namespace keyfall {

/// The four preferences in the order of Limits::Prefer, then diffraction.
inline constexpr std::size_t kPreferences = 4;
inline constexpr std::size_t kMeasures = kPreferences + 1;

/// Costs on scales that can be held against each other. Smaller is better; in each, 0.9 of a stop (of
/// f-number 0.45, whose square is light) is what is called noticeable.
struct Measures {
    /// Whole steps beyond what is good enough; 0 is good.
    std::array<int, kPreferences> grade{};
    /// What still counts where grades are equal, and what tells one row from another. Both stop at what
    /// nobody sees; `raw` goes on where more is better on principle (a shorter time on a tripod).
    std::array<double, kPreferences> fine{};
    std::array<double, kMeasures> raw{};
};

/// 40 : 1 as 20 log10, "excellent" of ISO 12232's noise-based speed (from memory).
inline constexpr double kExcellentSnr_dB = 32.041199826559248;
/// Ambient light that is not seen under a flash. Common practice, no source.
inline constexpr double kUnseenAmbient_stops = -5.0;

/// Good enough, and the steps beyond it:
///   depth    all of the subject within the circle of confusion, diffraction counted; a stop of f-number;
///            two more where the Airy disc alone is larger than the circle: then nothing is sharp
///   grain    40 : 1 at mid grey, 32 dB ("excellent" of ISO 12232's noise-based speed, from memory); 3 dB
///   blur     a moving subject within one pixel; by hand within the handheld limit; else 1 s; a stop
///   ambient  5 stops under the flash (common practice, no source); a stop
Measures measuresOf(const SettingsInput& input, const Setting& setting);

/// The preferences, each once: those of the limits first, then the others as depth, blur, grain, ambient.
std::vector<Limits::Prefer> preferenceOf(const Limits& limits);

/// Settings in order: exact ones before those that are only nearest, then base ISO and above before
/// less; each by grade, preference by preference; equal grades by the fine measures, then the raw
/// ones, in the same order; then noticeable diffraction, tenths of a stop off the wish, how little is
/// changed. Of two of which one is noticeably better in nothing, the lower one is left out; `rows` are kept.
std::vector<Setting> rankedSettings(const SettingsInput& input, std::vector<Setting> settings,
                                    std::size_t rows);

/// What a row changes of the scene as set.
struct Changed {
    bool aperture = false, shutter = false, iso = false, focus = false;
    std::vector<bool> power;  ///< one a light
    int count() const;        ///< lamps together count as one
};
Changed changedOf(const SettingsInput& input, const Setting& setting);

}  // namespace keyfall
