// A lamp's front as a spot meter far away on the axis sees it.
#include <algorithm>
#include <cmath>
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

/// Linear between the sorted values, the first being 0 and the last 1.
double percentile(const std::vector<double>& sorted, double share) {
    const double place = share * static_cast<double>(sorted.size() - 1);
    const auto below = static_cast<std::size_t>(place);
    const std::size_t above = std::min(below + 1, sorted.size() - 1);
    return sorted[below] + (place - static_cast<double>(below)) * (sorted[above] - sorted[below]);
}

double spread_stops(const FrontGrid& front, int leftOut) {
    std::vector<double> values;
    for (std::size_t i = 0; i < front.open.size(); ++i)
        if (front.open[i] != 0) values.push_back(meanWithout(front.luminance[i], leftOut));
    std::sort(values.begin(), values.end());
    return std::log2(percentile(values, 0.95) / percentile(values, 0.05));
}

}  // namespace

const ExitFace* frontOf(const LampSubject& subject) {
    if (!subject.body) return nullptr;
    for (const ExitFace& exit : subject.body->exits)
        if (exit.shape.frame.z.z > 0.9F) return &exit;
    return nullptr;
}

std::optional<FrontGrid> measureFront(const LampSubject& subject, int columns, int rows, std::uint32_t points,
                                      const RunSettings& run) {
    const ExitFace* face = frontOf(subject);
    if (face == nullptr) return {};
    LampBench bench(subject, run);
    const float a_m = face->shape.a_m;
    const float b_m = face->shape.kind == LampKind::disc ? a_m : face->shape.b_m;
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
            if (!spotIsOpen(*face, middle_m, radius_m)) continue;
            const LampShape& s = face->shape;
            const glm::vec3 at_m = s.centre_m + middle_m.x * s.frame.x + middle_m.y * s.frame.y;
            front.open[here] = 1;
            front.luminance[here] = weighted(bench.frontLuminance_perSrM2(at_m, static_cast<double>(radius_m), points), subject.light);
            if (bench.interrupted()) return {};
        }
    return front;
}

std::optional<Measured> evennessOf(const FrontGrid& front) {
    if (std::count(front.open.begin(), front.open.end(), 1) < 2) return {};
    for (int i = kNoneLeftOut; i < kReplicates; ++i)
        if (!std::isfinite(spread_stops(front, i))) return {};
    return jackknife([&](int i) { return spread_stops(front, i); });
}

}  // namespace keyfall
