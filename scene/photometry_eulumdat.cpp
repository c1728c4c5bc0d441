// EULUMDAT text into a web. Not here: LM-63 (photometry_lm63.cpp).
//
// One field a line (Stockmar 1990, 1998, by published extracts). Of several sets of lamps the first
// is taken: they are alternatives. Plane C0 is across the luminaire, C90 along it, so its width
// lies along x and its length along y.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scene/obj_text.h"
#include "scene/photo_text.h"
#include "scene/photometry_text.h"
#include "scene/photometry_unfold.h"

namespace keyfall {

namespace {

constexpr double kMetresPerMillimetre = 0.001;

/// The file's lines one after the other, each with its name for messages.
class Reader {
  public:
    explicit Reader(std::vector<std::string_view> lines) : lines_(std::move(lines)) {}

    void skip(int count) { at_ += static_cast<std::size_t>(count); }

    [[noreturn]] void fail(const std::string& problem) const {
        throw PhotometryError(static_cast<int>(at_), 1, problem);
    }

    double number(std::string_view what) {
        if (at_ >= lines_.size())
            throw PhotometryError(
                static_cast<int>(lines_.size()), 1,
                fmt::format("the file ends before its {}; it may be cut off; get it again", what));
        std::string text(trimmed(lines_[at_++]));
        // One number a line: a comma in it is a decimal one.
        std::replace(text.begin(), text.end(), ',', '.');
        const auto value = parseNumber(text);
        if (!value)
            fail(fmt::format(
                "{} is no number; this line holds the {}; every field has a line of its own",
                objtext::quoted(text), what));
        return *value;
    }

    double inRange(std::string_view what, double low, double high) {
        const double value = number(what);
        if (!(value >= low && value <= high))
            fail(fmt::format("the {} is {:g}; allowed: {:g} to {:g}", what, value, low, high));
        return value;
    }

    int whole(std::string_view what, int low, int high) {
        const double value = inRange(what, low, high);
        if (value != std::floor(value))
            fail(fmt::format("the {} is {:g}; allowed: a whole number", what, value));
        return static_cast<int>(value);
    }

    std::vector<double> rising(std::string_view what, int count, double high) {
        std::vector<double> list;
        for (int i = 0; i < count; ++i) {
            const double value = inRange(what, 0.0, high);
            if (!list.empty() && value < list.back() + kLeastStep_deg)
                fail(fmt::format("{} {:g} after {:g}; they rise; check their count ({})", what,
                                 value, list.back(), count));
            list.push_back(value);
        }
        return list;
    }

  private:
    std::vector<std::string_view> lines_;
    std::size_t at_ = 0;
};

WebSymmetry symmetryOfIsym(int isym) {
    switch (isym) {
        case 1:
            return WebSymmetry::axial;
        case 2:
            return WebSymmetry::halves;
        case 3:
            return WebSymmetry::sides;
        case 4:
            return WebSymmetry::quadrant;
        default:
            return WebSymmetry::none;
    }
}

void readOpening(Reader& in, PhotometricWeb& web) {
    constexpr double kLargest_mm = 100000.0;
    in.skip(3);  // the luminaire's own size
    const double length = in.inRange("length of the luminous area", 0, kLargest_mm);
    const double width = in.inRange("width of the luminous area", 0, kLargest_mm);
    web.isRound = width == 0.0 && length > 0.0;
    web.opening_m = glm::dvec2(web.isRound ? length : width, length) * kMetresPerMillimetre;
    for (int side = 0; side < 4; ++side) {
        const double height = in.inRange("height of the luminous area", -kLargest_mm, kLargest_mm);
        web.height_m = std::max(web.height_m, std::fabs(height) * kMetresPerMillimetre);
    }
}

/// Candela per number in the file; also the lamps' flux and watts.
double readLamps(Reader& in, PhotometricWeb& web) {
    in.skip(2);  // downward flux fraction, light output ratio: both follow from the intensities
    const double conversion = in.number("conversion factor");
    if (!(conversion > 0.0))
        in.fail(fmt::format("the conversion factor is {:g}; allowed: above 0", conversion));
    in.skip(1);  // tilt of the luminaire while it was measured
    const int sets = in.whole("number of lamp sets", 1, 20);
    const double lamps = in.inRange("number of lamps", -100000, 100000);
    in.skip(1);
    const double flux_lm = in.number("flux of the lamps");
    if (!(flux_lm > 0.0 && flux_lm <= kMostIntensity_cd))
        in.fail(fmt::format("the flux of the lamps is {:g} lm; allowed: above 0", flux_lm));
    in.skip(2);
    const double watts = in.number("watts");
    if (watts < 0.0) in.fail(fmt::format("the watts are {:g}; allowed: 0 or more", watts));
    in.skip(6 * (sets - 1) + 10);
    web.watts = watts;
    if (lamps >= 0.0) web.statedFlux_lm = flux_lm;  // a negative number marks absolute photometry
    return conversion * flux_lm / 1000.0;
}

void checkEnds(const Reader& in, const std::vector<double>& g) {
    if ((g.front() == 0.0 || g.front() == 90.0) && (g.back() == 90.0 || g.back() == 180.0)) return;
    in.fail(fmt::format("G angles from {:g} to {:g}; allowed: 0 to 90, 90 to 180, 0 to 180",
                        g.front(), g.back()));
}

/// The planes that the file has values for, of the `c` that it lists; -90 to 90 for Isym 3.
std::vector<double> writtenPlanes(const Reader& in, int isym, const std::vector<double>& c) {
    const double first[] = {0, 0, 0, -90, 0}, last[] = {360, 0, 180, 90, 90};
    std::vector<double> planes;
    if (isym == 3)
        for (const double angle : c)
            if (angle >= 270.0) planes.push_back(angle - 360.0);
    for (const double angle : c)
        if (angle <= last[isym]) planes.push_back(angle);
    const bool starts = c.front() == 0.0 && planes.front() == first[isym];
    if (starts && (isym == 0 ? goesAround(planes) : planes.back() == last[isym])) return planes;
    const char* const needed[] = {"0 to 360", "0", "0 and 180", "0, 90 and 270", "0 and 90"};
    in.fail(
        fmt::format("C angles from {:g} to {:g} do not hold the planes of Isym {}; needed: {}; "
                    "list every plane",
                    c.front(), c.back(), isym, needed[isym]));
}

}  // namespace

PhotometricWeb parseEulumdat(std::string_view text) {
    Reader in(photometryLines(text));
    PhotometricWeb web;
    in.skip(1);
    in.number("type indicator");
    const int isym = in.whole("symmetry indicator Isym", 0, 4);
    const int planeCount = in.whole("number of C planes", 1, kMostAngles);
    in.inRange("distance of C planes", 0, 360);
    const int angleCount = in.whole("number of G angles", 2, kMostAngles);
    in.inRange("distance of G angles", 0, 180);
    in.skip(5);
    readOpening(in, web);
    const double candelaPerUnit = readLamps(in, web);
    const std::vector<double> c = in.rising("C angle", planeCount, 360.0);
    MeasuredPlanes planes;
    planes.horizontal_deg = writtenPlanes(in, isym, c);
    planes.vertical_deg = in.rising("G angle", angleCount, 180.0);
    checkEnds(in, planes.vertical_deg);
    for (std::size_t i = 0; i < planes.horizontal_deg.size() * planes.vertical_deg.size(); ++i) {
        const double value = in.number("intensity") * candelaPerUnit;
        if (!(value >= 0.0 && value <= kMostIntensity_cd))
            in.fail(fmt::format("an intensity of {:g} cd; allowed: 0 to {:g} cd", value,
                                kMostIntensity_cd));
        planes.intensity_cd.push_back(value);
    }
    if (*std::max_element(planes.intensity_cd.begin(), planes.intensity_cd.end()) <= 0.0)
        in.fail("all intensities are 0: no light in it; needed: one above 0");
    unfold(planes, symmetryOfIsym(isym), web);
    return web;
}

}  // namespace keyfall
