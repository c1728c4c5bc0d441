// LM-63 text into a web: revisions 1986 to 2019, type C. Not here: EULUMDAT
// (photometry_eulumdat.cpp), writing (photometry_write.cpp).
//
// Sources: ANSI/IESNA LM-63-02 and ANSI/IES LM-63-19 by their published extracts; the revisions
// before from memory. All have the same numbers after their TILT line; the 12th is a factor up to
// 1995 only.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "scene/obj_text.h"
#include "scene/photo_text.h"
#include "scene/photometry_text.h"
#include "scene/photometry_unfold.h"

namespace keyfall {

namespace {

constexpr double kMetresPerFoot = 0.3048;  // exact
constexpr const char* kRevisions =
    "known: IESNA91, IESNA:LM-63-1995, IESNA:LM-63-2002, IES:LM-63-2019, or none (LM-63-1986)";

struct Header {
    std::size_t tiltLine = 0;
    bool twelfthIsFactor = true;
    bool tiltIncluded = false;
};

bool startsWith(std::string_view text, std::string_view start) {
    return text.substr(0, start.size()) == start;
}

/// Whether the 12th number is the ballast-lamp factor, by the file's first line.
bool twelfthIsFactor(std::string_view first) {
    if (startsWith(first, "IESNA:LM-63-1995") || startsWith(first, "IESNA91")) return true;
    if (startsWith(first, "IESNA:LM-63-2002") || startsWith(first, "IES:LM-63-2019")) return false;
    if (startsWith(first, "IESNA:") || startsWith(first, "IES:"))
        throw PhotometryError(1, 1,
                              fmt::format("{} is no known revision; {}; export it as one of them",
                                          objtext::quoted(first), kRevisions));
    return true;
}

Header headerOf(const std::vector<std::string_view>& lines) {
    Header header;
    if (lines.empty())
        throw PhotometryError(0, 0, "the file is empty; needed: LM-63 text; get it again");
    header.twelfthIsFactor = twelfthIsFactor(trimmed(lines[0]));
    while (header.tiltLine < lines.size() && !startsWith(trimmed(lines[header.tiltLine]), "TILT="))
        ++header.tiltLine;
    if (header.tiltLine == lines.size())
        throw PhotometryError(
            0, 0,
            "there is no TILT= line; an LM-63 file has one before its numbers; is this "
            "an LM-63 file?");
    const std::string_view tilt = trimmed(trimmed(lines[header.tiltLine]).substr(5));
    header.tiltIncluded = tilt == "INCLUDE";
    if (header.tiltIncluded || tilt == "NONE") return header;
    const std::size_t column = lines[header.tiltLine].find("TILT=") + 6;
    throw PhotometryError(
        static_cast<int>(header.tiltLine) + 1, static_cast<int>(column),
        fmt::format("TILT={}: another file is not read; allowed: NONE, INCLUDE; write "
                    "TILT=NONE for a lamp that burns as it was measured",
                    objtext::quoted(tilt)));
}

/// The factor of a lamp that burns upright, at tilt angle 0; the lamp's tilt on the set is not
/// known to be that of its luminaire.
double uprightTiltFactor(NumberStream& in) {
    in.whole("lamp-to-luminaire geometry", 1, 3);
    const int count = in.whole("number of tilt angles", 1, kMostAngles);
    double last = -1.0;
    for (int i = 0; i < count; ++i) {
        const double angle = in.next("tilt angle");
        if (i == 0 && angle != 0.0)
            in.fail(fmt::format(
                "the first tilt angle is {:g}; needed: 0, the upright lamp; correct it", angle));
        if (angle <= last || angle > 180.0)
            in.fail(fmt::format(
                "tilt angle {:g} after {:g}; they rise from 0 to at most 180; check their count",
                angle, last));
        last = angle;
    }
    double factor = 0.0;
    for (int i = 0; i < count; ++i) {
        const double value = in.notNegative("tilt factor");
        if (i > 0) continue;
        if (value == 0.0)
            in.fail("the tilt factor of the upright lamp is 0; needed: a number above 0");
        factor = value;
    }
    return factor;
}

void refuseOtherTypes(NumberStream& in) {
    const int type = in.whole("photometric type", 1, 3);
    if (type == 1) return;
    in.fail(fmt::format("photometric type {} (type {}); allowed: 1 (type C); export it as type C",
                        type, type == 2 ? "B" : "A"));
}

/// The opening: negative sizes are round. Up to 1995 a circle has no length. The width lies along
/// the plane 0-180, the length along 90-270 (from memory).
void readOpening(NumberStream& in, double metresPerUnit, PhotometricWeb& web) {
    constexpr double kLargest_m = 100.0;
    double size[3];
    const char* const names[3] = {"width of the opening", "length of the opening",
                                  "height of the opening"};
    for (int i = 0; i < 3; ++i) {
        size[i] = in.next(names[i]) * metresPerUnit;
        if (std::fabs(size[i]) > kLargest_m)
            in.fail(fmt::format(
                "the {} is {:g} m; allowed: up to {:g} m; check the unit (1 feet, 2 metres)",
                names[i], std::fabs(size[i]), kLargest_m));
    }
    web.isRound = size[0] < 0.0 && size[1] <= 0.0;
    if (web.isRound && size[1] == 0.0) size[1] = size[0];
    web.opening_m = {std::fabs(size[0]), std::fabs(size[1])};
    web.height_m = std::fabs(size[2]);
}

struct Counts {
    int vertical = 0;
    int horizontal = 0;
    double factor = 1.0;
};

Counts readNumbers(NumberStream& in, const Header& header, PhotometricWeb& web) {
    Counts counts;
    const int lamps = in.whole("number of lamps", 1, 100000);
    const double lumens = in.next("lumens per lamp");
    if (lumens != -1.0 && !(lumens > 0.0 && lumens <= kMostIntensity_cd))
        in.fail(fmt::format(
            "lumens per lamp: {:g}; allowed: above 0, or -1 for absolute photometry", lumens));
    if (lumens > 0.0) web.statedFlux_lm = lamps * lumens;
    counts.factor = in.positive("candela multiplier");
    counts.vertical = in.whole("number of vertical angles", 2, kMostAngles);
    counts.horizontal = in.whole("number of horizontal angles", 1, kMostAngles);
    refuseOtherTypes(in);
    const int unit = in.whole("unit", 1, 2);
    readOpening(in, unit == 1 ? kMetresPerFoot : 1.0, web);
    counts.factor *= in.positive("ballast factor");
    const double twelfth = in.positive("twelfth number");
    if (header.twelfthIsFactor) counts.factor *= twelfth;
    web.watts = in.notNegative("input watts");
    return counts;
}

std::vector<double> readAngles(NumberStream& in, std::string_view what, int count) {
    std::vector<double> angles;
    for (int i = 0; i < count; ++i) {
        const double angle = in.next(what);
        if (angle < 0.0 || angle > 360.0)
            in.fail(fmt::format("{} {:g}; allowed: 0 to 360 degrees of type C", what, angle));
        if (!angles.empty() && angle < angles.back() + kLeastStep_deg)
            in.fail(fmt::format("{} {:g} after {:g}; they rise; check their count ({})", what,
                                angle, angles.back(), count));
        angles.push_back(angle);
    }
    in.endRecord(what, count);
    return angles;
}

std::vector<double> readVerticals(NumberStream& in, int count) {
    const std::vector<double> angles = readAngles(in, "vertical angle", count);
    const bool fits = (angles.front() == 0.0 || angles.front() == 90.0) &&
                      (angles.back() == 90.0 || angles.back() == 180.0);
    if (!fits)
        in.fail(fmt::format(
            "vertical angles from {:g} to {:g}; allowed: 0 to 90, 90 to 180, 0 to 180; check "
            "their count ({})",
            angles.front(), angles.back(), count));
    return angles;
}

/// By the angles' ends. Empty: they fit none.
std::optional<WebSymmetry> symmetryBy(const std::vector<double>& h) {
    if (h.front() == 90.0 && h.back() == 270.0) {
        const bool middle = std::find(h.begin(), h.end(), 180.0) != h.end();
        return middle ? std::optional(WebSymmetry::sides) : std::nullopt;
    }
    if (h.front() != 0.0) return {};
    if (h.size() == 1) return WebSymmetry::axial;
    if (h.back() == 90.0) return WebSymmetry::quadrant;
    if (h.back() == 180.0) return WebSymmetry::halves;
    return goesAround(h) ? std::optional(WebSymmetry::none) : std::nullopt;
}

}  // namespace

PhotometricWeb parseLm63(std::string_view text) {
    const std::vector<std::string_view> lines = photometryLines(text);
    const Header header = headerOf(lines);
    NumberStream in(lines, header.tiltLine + 1);
    const double tilt = header.tiltIncluded ? uprightTiltFactor(in) : 1.0;
    PhotometricWeb web;
    const Counts counts = readNumbers(in, header, web);
    MeasuredPlanes planes;
    planes.vertical_deg = readVerticals(in, counts.vertical);
    planes.horizontal_deg = readAngles(in, "horizontal angle", counts.horizontal);
    const auto symmetry = symmetryBy(planes.horizontal_deg);
    if (!symmetry)
        in.fail(fmt::format(
            "horizontal angles from {:g} to {:g}; allowed: 0 alone, 0 to 90, 0 to 180, 90 to 270 "
            "with 180, 0 to 360; check their count ({})",
            planes.horizontal_deg.front(), planes.horizontal_deg.back(), counts.horizontal));
    const int total = counts.vertical * counts.horizontal;
    for (int i = 0; i < total; ++i) {
        const double value = in.notNegative("candela value") * counts.factor * tilt;
        if (!(value <= kMostIntensity_cd))
            in.fail(
                fmt::format("{:g} cd with all factors; allowed: up to {:g} cd; check the factors",
                            value, kMostIntensity_cd));
        planes.intensity_cd.push_back(value);
    }
    in.end("candela value");
    if (*std::max_element(planes.intensity_cd.begin(), planes.intensity_cd.end()) <= 0.0)
        in.fail("all candelas are 0: no light in it; needed: one above 0");
    unfold(planes, *symmetry, web);
    return web;
}

}  // namespace keyfall
