// Areas, self-shading and axis values of lamp bodies in closed form or by quadrature.
// Not here: a lamp's flux (read_flux.cpp), sampling (renderer/optics/lamp.h).
#include "scene/lamp_shape.h"

#include <cmath>
#include <numbers>

#include "scene/torus_silhouette.h"

namespace keyfall {

namespace {

constexpr double kPi = std::numbers::pi;

double square(double x) {
    return x * x;
}
double a(const LampShape& lamp) {
    return static_cast<double>(lamp.a_m);
}
double b(const LampShape& lamp) {
    return static_cast<double>(lamp.b_m);
}

/// Integral over dx of 1/(x^2+q^2)^2 from -half to half:
/// half/(q^2(half^2+q^2)) + atan(half/q)/q^3.
double integralOfInverseFourth(double half, double q) {
    return half / (q * q * (half * half + q * q)) + std::atan(half / q) / (q * q * q);
}

/// Closed tube across the axis, seen from its middle plane: the flat ends never show. With
/// P = (0, 0, d) and the surface point S = (x, r sin f, r cos f), v = P - S, v^2 = x^2 + q^2,
/// q^2 = r^2 + d^2 - 2 r d cos f:
///     E/L = integral of cosS cosR / v^2 dA
///         = integral over |f| < acos(r/d) of (d cos f - r)(d - r cos f) r I(f) df,
/// I(f) the integral of 1/(x^2+q^2)^2 over the length. Simpson's rule over f.
double tubeProjectedSolidAngle(double length, double diameter, double d) {
    const double r = 0.5 * diameter;
    const double end = std::acos(r / d);
    const auto integrand = [&](double f) {
        const double q = std::sqrt(r * r + d * d - 2.0 * r * d * std::cos(f));
        return (d * std::cos(f) - r) * (d - r * std::cos(f)) * r *
               integralOfInverseFourth(0.5 * length, q);
    };
    return 2.0 * simpson(integrand, 0.0, end, 2048);
}

/// Rectangle centred on the axis: four times the corner formula (Siegel & Howell, configuration
/// factors, B-3), X = w/2d, Y = h/2d:
///     E/L = 2 [X/sqrt(1+X^2) atan(Y/sqrt(1+X^2)) + Y/sqrt(1+Y^2) atan(X/sqrt(1+Y^2))]
double panelProjectedSolidAngle(double width, double height, double d) {
    const double x = 0.5 * width / d, y = 0.5 * height / d;
    const double sx = std::sqrt(1.0 + x * x), sy = std::sqrt(1.0 + y * y);
    return 2.0 * (x / sx * std::atan(y / sx) + y / sy * std::atan(x / sy));
}

/// Ring seen from its axis: in every plane through the axis the tube is a circle of radius r at
/// distance R, seen between the angles c - s and c + s from the axis, c = atan(R/d) and
/// s = asin(r/sqrt(R^2+d^2)); so E/L = pi (sin^2(c+s) - sin^2(c-s)) = pi sin(2c) sin(2s).
double ringProjectedSolidAngle(double diameter, double tube, double d) {
    const double c = std::atan2(0.5 * diameter, d);
    const double s = std::asin(0.5 * tube / std::hypot(0.5 * diameter, d));
    return kPi * std::sin(2.0 * c) * std::sin(2.0 * s);
}

}  // namespace

double emitterArea_m2(const LampShape& lamp) {
    const double sides = lamp.bothSides ? 2.0 : 1.0;
    switch (lamp.kind) {
        case LampKind::sphere:
            return kPi * square(a(lamp));
        case LampKind::tube:
            return kPi * b(lamp) * a(lamp) + 0.5 * kPi * square(b(lamp));
        case LampKind::ring:
            return square(kPi) * a(lamp) * b(lamp);  // 4 pi^2 R r
        case LampKind::disc:
            return sides * 0.25 * kPi * square(a(lamp));
        case LampKind::panel:
            return sides * a(lamp) * b(lamp);
    }
    return 0.0;
}

double emitterLeavingShare(const LampShape& lamp) {
    if (lamp.kind != LampKind::ring) return 1.0;
    return torusLeavingShare(0.5 * a(lamp), 0.5 * b(lamp));
}

double emitterLuminancePerFlux_perSrM2(const LampShape& lamp) {
    return 1.0 / (kPi * emitterArea_m2(lamp) * emitterLeavingShare(lamp));
}

double axisArea_m2(const LampShape& lamp) {
    switch (lamp.kind) {
        case LampKind::sphere:
        case LampKind::disc:
            return 0.25 * kPi * square(a(lamp));
        case LampKind::ring:
            return kPi * a(lamp) * b(lamp);  // pi ((R+r)^2 - (R-r)^2) = 4 pi R r
        case LampKind::tube:
        case LampKind::panel:
            return a(lamp) * b(lamp);
    }
    return 0.0;
}

double axisProjectedSolidAngle_sr(const LampShape& lamp, double d) {
    switch (lamp.kind) {
        case LampKind::sphere:
            return kPi * square(0.5 * a(lamp) / d);
        case LampKind::disc:
            return kPi * square(0.5 * a(lamp)) / (square(0.5 * a(lamp)) + d * d);
        case LampKind::ring:
            return ringProjectedSolidAngle(a(lamp), b(lamp), d);
        case LampKind::tube:
            return tubeProjectedSolidAngle(a(lamp), b(lamp), d);
        case LampKind::panel:
            return panelProjectedSolidAngle(a(lamp), b(lamp), d);
    }
    return 0.0;
}

double axisReach_m(const LampShape& lamp) {
    switch (lamp.kind) {
        case LampKind::sphere:
            return 0.5 * a(lamp);
        case LampKind::tube:
        case LampKind::ring:
            return 0.5 * b(lamp);
        case LampKind::disc:
        case LampKind::panel:
            return 0.0;
    }
    return 0.0;
}

bool holds(const LampShape& lamp, glm::vec3 point_m) {
    const glm::dvec3 p(lamp.frame.toLocal(point_m - lamp.centre_m));
    switch (lamp.kind) {
        case LampKind::sphere:
            return glm::length(p) < 0.5 * a(lamp);
        case LampKind::tube:
            return std::abs(p.x) < 0.5 * a(lamp) && std::hypot(p.y, p.z) < 0.5 * b(lamp);
        case LampKind::ring:
            return std::hypot(std::hypot(p.x, p.y) - 0.5 * a(lamp), p.z) < 0.5 * b(lamp);
        case LampKind::disc:
        case LampKind::panel:
            return false;
    }
    return false;
}

}  // namespace keyfall
