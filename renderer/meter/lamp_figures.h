// What a photographer asks of a lamp with its modifier: how much light comes out, how much of it goes
// forward, how wide, how even, of what colour. Not here: printing it (tools/keyfall).
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "renderer/meter/lamp_bench.h"
#include "renderer/meter/readings.h"
#include "scene/photometric_web.h"

namespace keyfall {

/// Points per replicate of each measurement; powers of two.
struct LampEffort {
    std::uint32_t axis = 4096;
    std::uint32_t tracedAxis = 2048;
    std::uint32_t direction = 32;   ///< of each of some hundred directions
    std::uint32_t sphere = 8;       ///< at each of 2048 places
    std::uint32_t front = 2048;     ///< at each spot
    std::uint32_t tables = 256;     ///< on the axis by each table of table_noise.h; 0: its noise stays unknown
};

/// Full angles, out from the axis to where the intensity first falls below a share of that on the axis,
/// both sides together; between the measured directions linear. Empty where it never falls so low.
struct LampAngle {
    std::optional<Measured> mean_rad;  ///< over all planes
    std::optional<Measured> x_rad;     ///< in the plane of the axis and x
    std::optional<Measured> y_rad;
};

/// Intensity by direction, per unit flux.
struct LampWeb {
    std::vector<double> theta_rad;   ///< from the axis, 0 to pi
    std::vector<double> phi_rad;     ///< about the axis from x, ascending in [0, 2 pi)
    /// Of (phi, theta) at [phi * theta count + theta], 1/sr; directions alike by symmetry share theirs.
    std::vector<Reading> intensity_perSr;

    const Reading& at(std::size_t phi, std::size_t theta) const { return intensity_perSr[phi * theta_rad.size() + theta]; }
};

/// At which full angles the intensity falls to `share` of that on the axis.
LampAngle angleOf(const LampWeb& web, double share);

/// Correlated colour temperature and distance from the Planckian locus in CIE 1960 uv (+ is greener).
struct LampColour {
    Measured temperature_K;
    Measured duv;
    Measured shift_mired;        ///< against the bare lamp
    double bareTemperature_K = 0.0;
    double bareDuv = 0.0;
};

/// All per unit of the lamp's flux.
struct LampFigures {
    std::uint64_t photons = 0;          ///< of the table; 0: a bare lamp
    Measured out;                       ///< of the table: straight and scattered; without doors
    double straight = 0.0;
    double scattered = 0.0;
    Measured absorbed;                  ///< summed where it happened; without doors
    Measured metered;                   ///< through a sphere around lamp, modifier and doors
    bool hasDoors = false;
    Measured axis_perSr;                ///< this, gain, colour and at1m: with the table's noise, where known
    std::optional<double> tableNoise;   ///< of axis_perSr: half width of its 95 % interval, a share of it
    /// With a modifier: the same without the table, seen into its real inside.
    std::optional<Measured> tracedAxis_perSr;
    std::optional<double> bareAxis_perSr;  ///< in closed form; empty for a measured lamp
    std::optional<Measured> gain_stops;
    Measured at1m_perM2;                ///< on the axis, 1 m from the exit
    LampAngle beam;                     ///< 50 %
    LampAngle field;                    ///< 10 %
    /// evennessOf a 7 x 7 grid of spots. Empty for a bare lamp, which is even, without a front, and where a
    /// twentieth of the front is dark.
    std::optional<Measured> evenness_stops;
    bool hasFront = false;              ///< some exit faces forward
    std::optional<LampColour> colour;
    LampWeb web;
};

/// Empty when stopped before all was measured. Same input, same bytes, for any number of threads.
std::optional<LampFigures> measureLamp(const LampSubject& subject, const LampEffort& effort, const RunSettings& run);

/// Directions alone, `points` of each: every degree or finer near the axis as a narrow beam needs it,
/// every 2.5 degrees outside of it. Empty when stopped.
std::optional<LampWeb> measureWeb(const LampSubject& subject, std::uint32_t points, const RunSettings& run);

/// At `flux`, all planes from 0 to 2 pi.
PhotometricWeb photometricWeb(const LampWeb& web, const LampSubject& subject, double flux);

/// Luminance of the front per unit flux as spots of a grid see it from far on the axis, 1/(sr m^2).
struct FrontGrid {
    int columns = 0;                 ///< along the face's x, the first at -x
    int rows = 0;
    double width_m = 0.0;            ///< of the whole grid, which holds the front's outline
    double height_m = 0.0;
    std::vector<Reading> luminance;  ///< row by row, the first at -y; 0 where not open
    std::vector<char> open;          ///< whether the whole spot lies within the outline
};
/// The exit that faces forward; nullptr for a bare lamp, and for a body without one.
const ExitFace* frontOf(const LampSubject& subject);
/// Of an open form (an umbrella), whose exits are the sides of a box around it: the circle in that box.
ExitFace outlineOf(const LampSubject& subject, const ExitFace& front);
/// Spots are as wide as the grid's narrower step. Empty when stopped, for a bare lamp, and for a body
/// without an exit that faces forward.
std::optional<FrontGrid> measureFront(const LampSubject& subject, int columns, int rows, std::uint32_t points,
                                      const RunSettings& run);

/// Stops between the 95th and the 5th percentile of the open spots; empty where the latter is dark. Which
/// spots these are is told by one half of the replicates and how bright they are by the other, both ways
/// round: the brightest of equal spots is else the one with the most noise. Of an even front it comes to 0
/// and a little to either side.
std::optional<Measured> evennessOf(const FrontGrid& front);

}  // namespace keyfall
