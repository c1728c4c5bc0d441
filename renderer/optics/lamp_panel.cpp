// A rectangular panel, drawn evenly over the solid angle it fills, bent toward the receiver's
// cosine. Not here: planes with other outlines (lamp_flat.cpp).
//
// Source: Urena, Fajardo & King, "An Area-Preserving Parametrization for Spherical Rectangles",
// EGSR 2013; the cosine by Hart et al., "Practical Product Sampling by Fitting and Composing Warps",
// EGSR 2020. The angles are kept as complex numbers, so one arc tangent replaces four arc cosines
// and none of them is lost where a cosine is flat.
//
// Seen from the origin the panel spans x0..x1, y0..y1 at height h (axes of the panel). With
// r_ij = |(x_i, y_j, h)| the inner angles of the spherical rectangle, at its corners 10, 11, 01, 00, are
//   g0 = arg( x1 y0 + i h r10)   g1 = arg(-x1 y1 + i h r11)
//   g2 = arg( x0 y1 + i h r01)   g3 = arg(-x0 y0 + i h r00)       (from cos g = -n . n')
// and by Girard  Omega = g0 + g1 + g2 + g3 - 2 pi.
#include "renderer/optics/lamp_flat.h"

namespace keyfall::lamps {

namespace {

constexpr int kByArea = 1;
constexpr int kBySolidAngle = 2;

// kPivot*: cos and sin of 2 pi - g2 - g3, the angle the left edge turns with; kSinLow/High: y0 and y1
// over their distances from the x axis; kW*: the receiver's cosine at the corners.
enum K { kX0, kX1, kY0, kY1, kHeight, kSide, kOmega, kPivotCos, kPivotSin, kSinLow, kSinHigh,
         kW00, kW10, kW01, kW11 };

struct Complex {
    double re;
    double im;
};
Complex times(Complex a, Complex b) { return {a.re * b.re - a.im * b.im, a.re * b.im + a.im * b.re}; }
Complex unit(Complex a) {
    const double length = std::sqrt(a.re * a.re + a.im * a.im);
    return {a.re / length, a.im / length};
}
double length3(double x, double y, double z) { return std::sqrt(x * x + y * y + z * z); }

double halfWidth_m(const LampShape& lamp) { return 0.5 * static_cast<double>(lamp.a_m); }
double halfHeight_m(const LampShape& lamp) { return 0.5 * static_cast<double>(lamp.b_m); }

std::optional<LampHit> intersect(const LampShape& lamp, const LocalRay& ray, double near,
                                 double far) {
    const std::optional<PlaneHit> p = meetPlane(ray, near, far);
    if (!p || std::fabs(p->x) >= halfWidth_m(lamp) || std::fabs(p->y) >= halfHeight_m(lamp)) {
        return std::nullopt;
    }
    return hitFace(lamp, ray, p->t);
}

/// The right edge's part of the angle, g0 + g1, for an edge at x.
Complex edgeAngle(const LampView& v, double x) {
    const double h = v.k[kHeight];
    const double y0 = v.k[kY0];
    const double y1 = v.k[kY1];
    return times({x * y0, h * length3(x, y0, h)}, {-x * y1, h * length3(x, y1, h)});
}

/// Corner weights of the bilinear warp. Hart et al. floor them at 0.01: the middle of a panel can
/// face a receiver none of whose corners do.
void viewCosine(LampView& v) {
    const glm::dvec3 n = toLocal(v.lamp->frame, glm::dvec3(v.normal));
    const double z = v.k[kSide] * v.k[kHeight];
    for (int corner = 0; corner < 4; ++corner) {
        const double x = v.k[(corner & 1) != 0 ? kX1 : kX0];
        const double y = v.k[(corner & 2) != 0 ? kY1 : kY0];
        const double cosine = (n.x * x + n.y * y + n.z * z) / length3(x, y, z);
        v.k[kW00 + corner] = std::fmax(0.01, cosine);
    }
}

void viewSolidAngle(LampView& v) {
    const double h = v.k[kHeight];
    const Complex left = unit(times({v.k[kX0] * v.k[kY1], h * length3(v.k[kX0], v.k[kY1], h)},
                                    {-v.k[kX0] * v.k[kY0], h * length3(v.k[kX0], v.k[kY0], h)}));
    const Complex all = times(edgeAngle(v, v.k[kX1]), left);
    v.k[kOmega] = angleOf(all.im, all.re);
    v.k[kPivotCos] = left.re;
    v.k[kPivotSin] = -left.im;
    v.k[kSinLow] = -v.k[kY0] / std::sqrt(v.k[kY0] * v.k[kY0] + h * h);
    v.k[kSinHigh] = v.k[kY1] / std::sqrt(v.k[kY1] * v.k[kY1] + h * h);
}

void view(LampView& v) {
    const glm::dvec3 local = localPoint(*v.lamp, v.point_m);
    if (local.z == 0.0 || (local.z < 0.0 && !v.lamp->bothSides)) return;
    v.k[kX0] = -halfWidth_m(*v.lamp) - local.x;
    v.k[kX1] = halfWidth_m(*v.lamp) - local.x;
    v.k[kY0] = -halfHeight_m(*v.lamp) - local.y;
    v.k[kY1] = halfHeight_m(*v.lamp) - local.y;
    v.k[kHeight] = std::fabs(local.z);
    v.k[kSide] = local.z > 0.0 ? -1.0 : 1.0;
    viewSolidAngle(v);
    v.solidAngle_sr = static_cast<float>(v.k[kOmega]);
    v.technique = v.k[kOmega] > kPanelBySolidAngle_sr ? kBySolidAngle : kByArea;
    if (v.technique == kBySolidAngle) viewCosine(v);
}

double perArea(const LampView& v) {
    return 0.25 / (halfWidth_m(*v.lamp) * halfHeight_m(*v.lamp));
}

/// Bilinear density over the unit square, by the corner weights: 1 where they are equal.
double cosineWarp(const LampView& v, double s, double t) {
    const double sum = v.k[kW00] + v.k[kW10] + v.k[kW01] + v.k[kW11];
    const double low = v.k[kW00] + s * (v.k[kW10] - v.k[kW00]);
    const double high = v.k[kW01] + s * (v.k[kW11] - v.k[kW01]);
    return 4.0 * (low + t * (high - low)) / sum;
}

glm::dvec2 drawCosineWarp(const LampView& v, glm::dvec2 u) {
    const double t = sampleLinear(u.y, v.k[kW00] + v.k[kW10], v.k[kW01] + v.k[kW11]);
    const double s = sampleLinear(u.x, v.k[kW00] + t * (v.k[kW01] - v.k[kW00]),
                                  v.k[kW10] + t * (v.k[kW11] - v.k[kW10]));
    return {s, t};
}

// The right edge X of the part of the panel that fills s Omega. With a = s Omega + pivot, sines
// b0 = -y0/|(y0, h)| and b1 = y1/|(y1, h)|:  f = (b0 cos a - b1)/sin a,  c = sgn(f)/sqrt(f^2 + b0^2),
// X = h c/sqrt(1 - c^2). Cleared of f, so that sin a = 0 (X = 0) divides nothing:
//   X = h sgn(f) |sin a| / sqrt((b0 cos a - b1)^2 - sin^2 a (1 - b0^2))
double edgeAt(const LampView& v, double s) {
    const SinCos w = sinCosTurns(s * v.k[kOmega] * (0.5 / kPi));
    const Complex a = times({w.cos, w.sin}, {v.k[kPivotCos], v.k[kPivotSin]});
    const double g = v.k[kSinLow] * a.re - v.k[kSinHigh];
    const double rest = g * g - a.im * a.im * (1.0 - v.k[kSinLow] * v.k[kSinLow]);
    const double signedSin = g < 0.0 ? -a.im : a.im;
    const double x = v.k[kHeight] * signedSin / std::sqrt(std::fmax(1e-300, rest));
    return std::fmin(v.k[kX1], std::fmax(v.k[kX0], x));
}

/// On the strip at X, distance e from the line of sight's foot, solid angle is even in
/// sin = y/sqrt(e^2 + y^2).
double alongStrip(const LampView& v, double x, double t) {
    const double e2 = x * x + v.k[kHeight] * v.k[kHeight];
    const double low = v.k[kY0] / std::sqrt(e2 + v.k[kY0] * v.k[kY0]);
    const double high = v.k[kY1] / std::sqrt(e2 + v.k[kY1] * v.k[kY1]);
    const double sine = low + t * (high - low);
    const double y = sine * std::sqrt(e2 / std::fmax(1e-300, 1.0 - sine * sine));
    return std::fmin(v.k[kY1], std::fmax(v.k[kY0], y));
}

std::optional<LampSample> sample(const LampView& v, glm::dvec2 u) {
    const double z = v.k[kSide] * v.k[kHeight];
    if (v.technique == kByArea) {
        return sampleFlat(v, {v.k[kX0] + u.x * (v.k[kX1] - v.k[kX0]),
                              v.k[kY0] + u.y * (v.k[kY1] - v.k[kY0]), z}, perArea(v));
    }
    const glm::dvec2 st = drawCosineWarp(v, u);
    const double x = edgeAt(v, st.x);
    return finish(v, {x, alongStrip(v, x, st.y), z},
                  cosineWarp(v, st.x, st.y) / v.k[kOmega]);
}

/// The inverse of edgeAt: the share of Omega left of x. Rounding at x0 can turn 0 into almost a
/// full turn; whatever lies beyond the middle of the unused angles is meant to be 0.
double shareLeftOf(const LampView& v, double x) {
    const Complex part = times(edgeAngle(v, x), {v.k[kPivotCos], -v.k[kPivotSin]});
    const double angle = angleOf(part.im, part.re);
    return angle > kPi + 0.5 * v.k[kOmega] ? 0.0 : std::fmin(1.0, angle / v.k[kOmega]);
}

double pdf(const LampView& v, glm::vec3 direction, const LampHit& hit) {
    if (v.technique == kByArea) return flatPerSr(direction, hit, perArea(v));
    // The plane is met at height h exactly; the direction's ratio is better than the hit's distance.
    const glm::dvec3 w = toLocal(v.lamp->frame, glm::dvec3(direction));
    const double scale = v.k[kHeight] / std::fmax(1e-300, std::fabs(w.z));
    const double x = std::fmin(v.k[kX1], std::fmax(v.k[kX0], w.x * scale));
    const double y = std::fmin(v.k[kY1], std::fmax(v.k[kY0], w.y * scale));
    const double e2 = x * x + v.k[kHeight] * v.k[kHeight];
    const double low = v.k[kY0] / std::sqrt(e2 + v.k[kY0] * v.k[kY0]);
    const double high = v.k[kY1] / std::sqrt(e2 + v.k[kY1] * v.k[kY1]);
    const double t = (y / std::sqrt(e2 + y * y) - low) / (high - low);
    return cosineWarp(v, shareLeftOf(v, x), std::fmin(1.0, std::fmax(0.0, t))) / v.k[kOmega];
}

double area(const LampShape& lamp) {
    return 4.0 * halfWidth_m(lamp) * halfHeight_m(lamp) * (lamp.bothSides ? 2.0 : 1.0);
}

}  // namespace

const Shape kPanel{intersect, view, sample, pdf, area};

}  // namespace keyfall::lamps
