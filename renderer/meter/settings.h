// Camera settings and lamp powers that give the wanted exposure at one probe, as arithmetic on a reading
// that was traced once. Not here: what each setting costs (settings_costs.h), their order
// (settings_rank.h), tracing, Scene to input (settings_scene.h).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "renderer/film/reading.h"
#include "scene/limit_steps.h"
#include "scene/scene.h"

namespace keyfall {

/// A light that is on, and what it alone brings to the probe at full power.
struct SettingsLight {
    std::string name;
    LightKind kind = LightKind::flash;
    Reading atFull;            ///< flash: lx*s (spot: cd*s/m^2); continuous: lx (cd/m^2)
    double power_stops = 0.0;  ///< as set, stops under full
    bool moves = true;         ///< false: ambient, glow, and lamps that are to stay as they are
    std::optional<double> lowest_stops, step_stops;
    std::optional<double> t05_s, t05Lowest_s;  ///< flash duration at full and at the lowest power
    double fullFlux = 0.0;                     ///< lm*s or lm of the bare lamp at full power
    double distance_m = 0.0;                   ///< from its exit to what it aims at
};

struct SettingsInput {
    Camera camera;  ///< as set
    Limits limits;  ///< as the file says
    ProbeKind probe = ProbeKind::incident;
    std::vector<SettingsLight> lights;
    /// Nearest and farthest point of what has to be sharp, along the axis from the lens, metres.
    std::optional<glm::dvec2> subject_m;
    std::optional<double> motion_mps;  ///< speed of the subject across the picture
    double greyAtIso100_e = 0.0;       ///< electrons of one green pixel at mid grey, ISO 100
};

/// What the exposure may be off: half a third of a stop, the step of a dial.
inline constexpr double kExposureTolerance_stops = 1.0 / 6.0;
/// Powers that are no further off than this stay as they are: half a tenth, the usual step of a lamp.
inline constexpr double kCloseEnough_stops = 0.05;
/// Step of a lamp of which it is not known. Common practice, no source.
inline constexpr double kUsualPowerStep_stops = 0.1;

struct SettingCosts {
    double depth_m = 0.0;                 ///< depth of field, may be infinite
    std::optional<double> sharpShare;     ///< of the subject's depth, as focused; empty: no subject
    int frames = 1;                       ///< of a focus stack that holds the subject; 0: none does
    double worstBlur_m = 0.0;             ///< on the sensor, of the subject's ends, diffraction included
    double airy_m = 0.0;                  ///< diameter of the Airy disc on the sensor at 550 nm
    double snr_dB = 0.0;                  ///< of mid grey, one pixel
    double lightTime_s = 0.0;             ///< mean time that the light takes, by its share: blur follows it
    std::optional<double> motion_px;      ///< what the subject moves meanwhile, in the sensor's pixels
    std::optional<double> ambient_stops;  ///< continuous light over flash; empty where one is missing
};

struct Setting {
    Engraved aperture, shutter_s, iso;
    std::vector<double> power_stops;  ///< one a light of the input
    double stopsOver = 0.0;           ///< what the picture at the probe is over the wish
    SettingCosts costs;
};

/// All light at the probe, summed for any powers: means of the readings, or those without one replicate
/// (jackknife.h), which is how figures made from it get their interval.
class LightAtProbe {
  public:
    explicit LightAtProbe(const SettingsInput& input, int leftOut = -1);
    explicit LightAtProbe(SettingsInput&&, int = -1) = delete;  ///< it looks at its input

    /// Luminous exposure by flash, lx*s; illuminance by continuous light, lx (spot: luminances).
    double flash(const std::vector<double>& power_stops) const {
        return sum(LightKind::flash, power_stops, Part::all);
    }
    double continuous(const std::vector<double>& power_stops) const {
        return sum(LightKind::continuous, power_stops, Part::all);
    }
    /// The picture at the probe, in stops over the wish: incident light metered for N_eff, a spot on 18 %
    /// grey. Close-up loss (unless compensated) and calibration counted; -infinity in the dark.
    double stopsOver(const Setting& setting) const;
    /// What the meter at the probe shows: the f-number for correct exposure, lens and camera left out.
    double meterAperture(const Setting& setting) const;
    /// Stops by which the moving lamps have to change together, from their powers as set. Empty: no lamp
    /// that moves sends light here, or what stays as it is is too much already.
    std::optional<double> moveNeeded_stops(const Setting& setting) const;

  private:
    enum class Part { all, moving };
    double sum(LightKind kind, const std::vector<double>& power_stops, Part part) const;
    double exposure(const Setting& setting) const;  ///< lx*s
    double needed(const Setting& setting) const;    ///< lx*s for 0 stops over

    const SettingsInput& input_;
    std::vector<double> atFull_;
};

/// By how much the moving lamps may change together: the first to reach full or its lowest power ends it.
/// `least` above `most`: there is no such change. Both 0: no lamp moves.
struct MoveRange {
    double least = 0.0;
    double most = 0.0;
};
MoveRange moveRange(const SettingsInput& input);

/// The nearest power that the lamp's dial has: whole steps under full, not under its lowest.
double steppedPower_stops(const SettingsLight& light, double wanted_stops);
/// Powers after all moving lamps changed by `by_stops`, each put on its own dial.
std::vector<double> movedPowers(const SettingsInput& input, double by_stops);

/// The camera as set, lamps as set.
Setting settingAsSet(const SettingsInput& input);
/// Powers for this aperture, shutter and ISO that come nearest to the wish; as set where they are near
/// enough. No costs.
Setting withBestPower(const SettingsInput& input, const LightAtProbe& light, Setting camera);

/// Values that may be used; no list is empty for a scene that was read for `settings`.
using SettingsRanges = LimitSteps;
SettingsRanges rangesOf(const SettingsInput& input);

/// Every setting within `ranges` whose exposure is within the tolerance, with costs; in no order.
std::vector<Setting> possibleSettings(const SettingsInput& input, const SettingsRanges& ranges);
/// The one that comes nearest to the wish, whatever it is off; with costs.
Setting nearestSetting(const SettingsInput& input, const SettingsRanges& ranges);

bool hasFlash(const SettingsInput& input);

}  // namespace keyfall
