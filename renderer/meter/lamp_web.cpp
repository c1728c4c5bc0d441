// A lamp's intensity by direction: which directions, and what follows from them.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "renderer/meter/jackknife.h"
#include "renderer/meter/lamp_figures.h"

namespace keyfall {
namespace {

constexpr double kDegree = std::numbers::pi / 180.0;
constexpr double kCoarse = 2.5;   // degrees, as laboratories measure
constexpr int kPlanesInQuarter = 6;
constexpr int kPlanes = 4 * kPlanesInQuarter;

/// How planes about the axis repeat.
enum class Planes { one, quarter, all };

Planes planesOf(const LampSubject& subject) {
    if (subject.body) {
        switch (subject.body->symmetry) {
            case Symmetry::turned: return Planes::one;
            case Symmetry::quarter: return Planes::quarter;
            case Symmetry::none: return Planes::all;
        }
    }
    const bool flat = subject.shape.kind == LampKind::tube || subject.shape.kind == LampKind::panel;
    return flat ? Planes::quarter : Planes::one;
}

glm::vec3 directionAt(double theta, double phi) {
    return {std::sin(theta) * std::cos(phi), std::sin(theta) * std::sin(phi), std::cos(theta)};
}

Reading intensity(LampBench& bench, double theta, double phi, std::uint32_t points) {
    return weighted(bench.intensity_perSr(directionAt(theta, phi), points), bench.subject().light);
}

/// Alike at any angle about the axis, but for the facets of what is built: the mean of four angles that
/// are no whole parts of a turn from each other.
Reading turnedIntensity(LampBench& bench, double theta, std::uint32_t points) {
    constexpr int kTurns = 4;
    Reading sum;
    for (int i = 0; i < kTurns; ++i) sum += intensity(bench, theta, 2.399963 * i + 0.1, std::max(1U, points / kTurns));
    sum *= 1.0 / kTurns;
    return sum;
}

/// Plane `p` of kPlanes as one of those measured: mirror images in x and in y look alike.
std::size_t foldedPlane(std::size_t p) {
    const std::size_t half = p % (kPlanes / 2);
    return half <= kPlanesInQuarter ? half : kPlanes / 2 - half;
}

LampWeb measured(LampBench& bench, std::vector<double> theta_rad, std::uint32_t points) {
    LampWeb web;
    web.theta_rad = std::move(theta_rad);
    const Planes planes = planesOf(bench.subject());
    if (planes == Planes::one) {
        web.phi_rad = {0.0};
        for (const double theta : web.theta_rad) web.intensity_perSr.push_back(turnedIntensity(bench, theta, points));
        return web;
    }
    const std::size_t count = web.theta_rad.size();
    const std::size_t toMeasure = planes == Planes::quarter ? kPlanesInQuarter + 1 : kPlanes;
    std::vector<Reading> found;
    for (std::size_t p = 0; p < toMeasure; ++p)
        for (const double theta : web.theta_rad)
            found.push_back(intensity(bench, theta, 2.0 * std::numbers::pi * static_cast<double>(p) / kPlanes, points));
    for (std::size_t p = 0; p < kPlanes; ++p) {
        web.phi_rad.push_back(2.0 * std::numbers::pi * static_cast<double>(p) / kPlanes);
        const std::size_t from = (planes == Planes::quarter ? foldedPlane(p) : p) * count;
        for (std::size_t t = 0; t < count; ++t) web.intensity_perSr.push_back(found[from + t]);
    }
    return web;
}

std::vector<double> evenAngles(double first_deg, double last_deg, double step_deg) {
    std::vector<double> angles;
    const auto steps = static_cast<int>(std::lround((last_deg - first_deg) / step_deg));
    for (int i = 0; i <= steps; ++i) angles.push_back((first_deg + i * step_deg) * kDegree);
    return angles;
}

/// Half angle where plane `p` falls to `share` of the axis; pi where it never does.
double halfAngle_rad(const LampWeb& web, std::size_t p, double share, int leftOut) {
    const double wanted = share * meanWithout(web.at(p, 0), leftOut);
    for (std::size_t t = 1; t < web.theta_rad.size(); ++t) {
        const double here = meanWithout(web.at(p, t), leftOut);
        if (here >= wanted) continue;
        const double before = meanWithout(web.at(p, t - 1), leftOut);
        const double part = (before - wanted) / (before - here);
        return web.theta_rad[t - 1] + part * (web.theta_rad[t] - web.theta_rad[t - 1]);
    }
    return std::numbers::pi;
}

/// The planes to both sides of the axis.
double fullAngle_rad(const LampWeb& web, std::size_t p, double share, int leftOut) {
    const std::size_t planes = web.phi_rad.size();
    const std::size_t opposite = planes == 1 ? p : (p + planes / 2) % planes;
    return halfAngle_rad(web, p, share, leftOut) + halfAngle_rad(web, opposite, share, leftOut);
}

/// Steps near the axis such that twenty of them reach half of the intensity.
double fineStep_deg(double beamHalf_deg) {
    for (const double step : {1.0, 0.5, 0.25})
        if (beamHalf_deg >= 20.0 * step) return step;
    return 0.1;
}

std::vector<double> anglesFor(const LampWeb& coarse) {
    const std::size_t quarter = coarse.phi_rad.size() / 4;
    double beam = std::numbers::pi, field = 0.0;
    for (const std::size_t p : {std::size_t{0}, quarter}) {
        beam = std::min(beam, halfAngle_rad(coarse, p, 0.5, kNoneLeftOut));
        field = std::max(field, halfAngle_rad(coarse, p, 0.1, kNoneLeftOut));
    }
    const double step = fineStep_deg(beam / kDegree);
    const double most = std::min(180.0, 200.0 * step + 90.0 * step);  // a bound on the work
    const double fineTo = kCoarse * std::ceil(std::min(most, 1.3 * field / kDegree) / kCoarse);
    std::vector<double> angles = evenAngles(0.0, fineTo, step);
    if (fineTo < 180.0) {
        const auto rest = evenAngles(fineTo + kCoarse, 180.0, kCoarse);
        angles.insert(angles.end(), rest.begin(), rest.end());
    }
    return angles;
}

}  // namespace

std::optional<LampWeb> measureWeb(const LampSubject& subject, std::uint32_t points, const RunSettings& run) {
    LampBench bench(subject, run);
    const LampWeb coarse = measured(bench, evenAngles(0.0, 180.0, kCoarse), std::max(4U, points / 4));
    if (bench.interrupted()) return {};
    LampWeb web = measured(bench, anglesFor(coarse), points);
    if (bench.interrupted()) return {};
    return web;
}

LampAngle angleOf(const LampWeb& web, double share) {
    LampAngle angle;
    if (!(web.at(0, 0).mean() > 0.0)) return angle;
    const std::size_t planes = web.phi_rad.size();
    const auto fallsIn = [&](std::size_t p) { return fullAngle_rad(web, p, share, kNoneLeftOut) < 2.0 * std::numbers::pi; };
    const auto full = [&](std::size_t p) {
        return fallsIn(p) ? std::optional(jackknife([&](int i) { return fullAngle_rad(web, p, share, i); })) : std::nullopt;
    };
    angle.x_rad = full(0);
    angle.y_rad = full(planes / 4);
    for (std::size_t p = 0; p < planes; ++p)
        if (!fallsIn(p)) return angle;
    angle.mean_rad = jackknife([&](int i) {
        double sum = 0.0;
        for (std::size_t p = 0; p < planes; ++p) sum += fullAngle_rad(web, p, share, i);
        return sum / static_cast<double>(planes);
    });
    return angle;
}

PhotometricWeb photometricWeb(const LampWeb& web, const LampSubject& subject, double flux) {
    PhotometricWeb out;
    out.vertical_rad = web.theta_rad;
    out.horizontal_rad = web.phi_rad;
    out.horizontal_rad.push_back(2.0 * std::numbers::pi);
    for (std::size_t p = 0; p <= web.phi_rad.size(); ++p)
        for (std::size_t t = 0; t < web.theta_rad.size(); ++t)
            out.intensity_cd.push_back(flux * std::max(0.0, web.at(p % web.phi_rad.size(), t).mean()));
    const ExitFace* front = frontOf(subject);
    const LampShape* face = front != nullptr ? &front->shape : &subject.shape;
    const bool flat = face->kind == LampKind::panel || face->kind == LampKind::tube;
    out.isRound = !flat;
    const float across = face->kind == LampKind::ring ? face->a_m + face->b_m : face->a_m;
    out.opening_m = flat ? glm::dvec2(face->a_m, face->b_m) : glm::dvec2(across);
    return out;
}

}  // namespace keyfall
