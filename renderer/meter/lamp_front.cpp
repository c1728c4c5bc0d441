// A lamp's front as a spot meter far away on the axis sees it.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "renderer/meter/jackknife.h"
#include "renderer/meter/lamp_figures.h"

namespace keyfall {
namespace {

bool spotIsOpen(const ExitFace& face, glm::vec2 middle_m, float radius_m) {
    constexpr int kAround = 8;
    bool open = isOpen(face, middle_m);
    for (int i = 0; i < kAround; ++i) {
        const float angle = 2.0F * std::numbers::pi_v<float> * static_cast<float>(i) / kAround;
        // Not quite to the rim: where a spot touches the outline, rounding shall not decide.
        open = open && isOpen(face, middle_m + 0.99F * radius_m * glm::vec2(std::cos(angle), std::sin(angle)));
    }
    return open;
}

/// Mean over one half of the replicates, even or odd ones, without one of them.
double halfMean(const Reading& reading, int half, int leftOut) {
    double sum = 0.0;
    int count = 0;
    for (int i = half; i < kReplicates; i += 2) {
        if (i == leftOut) continue;
        sum += reading.value[static_cast<std::size_t>(i)];
        ++count;
    }
    return sum / count;
}

/// Open spots, from dark to bright by one half.
std::vector<std::size_t> ordered(const FrontGrid& front, int half) {
    std::vector<std::size_t> spots;
    for (std::size_t i = 0; i < front.open.size(); ++i)
        if (front.open[i] != 0) spots.push_back(i);
    std::sort(spots.begin(), spots.end(), [&](std::size_t a, std::size_t b) {
        const double x = halfMean(front.luminance[a], half, kNoneLeftOut), y = halfMean(front.luminance[b], half, kNoneLeftOut);
        return x < y || (x == y && a < b);
    });
    return spots;
}

/// At `share` of the way through the spots, linear between neighbours, the first being 0 and the last 1.
double percentile(const FrontGrid& front, const std::vector<std::size_t>& spots, double share, int half, int leftOut) {
    const double place = share * static_cast<double>(spots.size() - 1);
    const auto below = static_cast<std::size_t>(place);
    const std::size_t above = std::min(below + 1, spots.size() - 1);
    const double low = halfMean(front.luminance[spots[below]], half, leftOut);
    const double high = halfMean(front.luminance[spots[above]], half, leftOut);
    return low + (place - static_cast<double>(below)) * (high - low);
}

/// Without replicate `leftOut` in the luminances; the orders are given. Infinite where the dark end is black.
double spread_stops(const FrontGrid& front, const std::array<std::vector<std::size_t>, 2>& orderBy, int leftOut) {
    double sum = 0.0;
    for (int half = 0; half < 2; ++half) {
        const auto& spots = orderBy[static_cast<std::size_t>(1 - half)];
        const double low = percentile(front, spots, 0.05, half, leftOut);
        if (!(low > 0.0)) return std::numeric_limits<double>::infinity();
        sum += std::log2(percentile(front, spots, 0.95, half, leftOut) / low);
    }
    return 0.5 * sum;
}

}  // namespace

const ExitFace* frontOf(const LampSubject& subject) {
    if (!subject.body) return nullptr;
    for (const ExitFace& exit : subject.body->exits)
        if (exit.shape.frame.z.z > 0.9F) return &exit;
    return nullptr;
}

ExitFace outlineOf(const LampSubject& subject, const ExitFace& front) {
    ExitFace face = front;
    if (subject.body->exits.size() == 1) return face;
    face.shape.kind = LampKind::disc;
    face.shape.a_m = std::min(front.shape.a_m, front.shape.b_m);
    face.sides = 0;
    return face;
}

std::optional<FrontGrid> measureFront(const LampSubject& subject, int columns, int rows, std::uint32_t points,
                                      const RunSettings& run) {
    const ExitFace* exit = frontOf(subject);
    if (exit == nullptr) return {};
    const ExitFace face = outlineOf(subject, *exit);
    LampBench bench(subject, run);
    const float a_m = face.shape.a_m;
    const float b_m = face.shape.kind == LampKind::disc ? a_m : face.shape.b_m;
    const glm::vec2 step_m(a_m / static_cast<float>(columns), b_m / static_cast<float>(rows));
    const float radius_m = 0.5F * std::min(step_m.x, step_m.y);
    const bool mirrored = subject.body->symmetry != Symmetry::none;

    FrontGrid front{columns, rows, static_cast<double>(a_m), static_cast<double>(b_m), {}, {}};
    const auto cells = static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows);
    front.luminance.resize(cells);
    front.open.resize(cells, 0);
    const auto index = [&](int x, int y) { return static_cast<std::size_t>(y * columns + x); };
    for (int y = rows - 1; y >= 0; --y)
        for (int x = columns - 1; x >= 0; --x) {
            const int mirrorX = mirrored ? std::max(x, columns - 1 - x) : x;
            const int mirrorY = mirrored ? std::max(y, rows - 1 - y) : y;
            const std::size_t here = index(x, y), twin = index(mirrorX, mirrorY);
            if (here != twin) {
                front.open[here] = front.open[twin];
                front.luminance[here] = front.luminance[twin];
                continue;
            }
            const glm::vec2 middle_m = (glm::vec2(x, y) + 0.5F) * step_m - 0.5F * glm::vec2(a_m, b_m);
            if (!spotIsOpen(face, middle_m, radius_m)) continue;
            const LampShape& s = face.shape;
            const glm::vec3 at_m = s.centre_m + middle_m.x * s.frame.x + middle_m.y * s.frame.y;
            front.open[here] = 1;
            front.luminance[here] = weighted(bench.frontLuminance_perSrM2(at_m, static_cast<double>(radius_m), points), subject.light);
            if (bench.interrupted()) return {};
        }
    return front;
}

std::optional<Measured> evennessOf(const FrontGrid& front) {
    if (std::count(front.open.begin(), front.open.end(), 1) < 2) return {};
    const std::array<std::vector<std::size_t>, 2> orderBy{ordered(front, 0), ordered(front, 1)};
    for (int i = kNoneLeftOut; i < kReplicates; ++i)
        if (!std::isfinite(spread_stops(front, orderBy, i))) return {};
    return jackknife([&](int i) { return spread_stops(front, orderBy, i); });
}

}  // namespace keyfall
