#include "renderer/meter/evenness.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "renderer/transport/camera_rays.h"

namespace keyfall {
namespace {

constexpr int kAcross = 12;
constexpr int kDown = 8;
constexpr double kStudent95_df3 = 3.1824463052842629;  // two-sided 95 % (any table of Student's t)

using Replicates = std::array<double, kPictureReplicates>;

struct Square {
    int x0, y0, x1, y1;  ///< pixels [x0, x1) x [y0, y1)
};

Square squareAt(const Film& film, int column, int row) {
    return {film.width() * column / kAcross, film.height() * row / kDown,
            film.width() * (column + 1) / kAcross, film.height() * (row + 1) / kDown};
}

/// Looks along pinhole rays through a lattice that includes the square's rim.
bool showsBackdropAlone(const Stage& stage, const CameraRays& camera, const Square& s) {
    constexpr int kSteps = 8;
    for (int i = 0; i <= kSteps; ++i)
        for (int j = 0; j <= kSteps; ++j) {
            const glm::vec2 film_px(static_cast<float>(s.x0) + static_cast<float>((s.x1 - s.x0) * i) / kSteps,
                                    static_cast<float>(s.y0) + static_cast<float>((s.y1 - s.y0) * j) / kSteps);
            const Ray ray = camera.at(film_px, glm::vec2(0.0F));
            const auto hit = stage.intersect(ray.origin_m, ray.direction);
            if (!hit) return false;
            const SurfacePoint seen = stage.surfaceAt(*hit, ray.origin_m, ray.direction);
            if (seen.emitter != kNoEmitter || stage.scene().items[seen.item].kind != ItemKind::backdrop) return false;
        }
    return true;
}

/// Mean luminance of the square, replicate by replicate.
Replicates luminanceOf(const Film& film, const std::vector<LayerMix>& mix, const Square& s) {
    Replicates sum{};
    for (int y = s.y0; y < s.y1; ++y)
        for (int x = s.x0; x < s.x1; ++x) {
            const auto pixel = static_cast<std::size_t>(y) * static_cast<std::size_t>(film.width()) + static_cast<std::size_t>(x);
            const double samples = static_cast<double>(film.samplesAt(pixel)) / kPictureReplicates;
            if (!(samples > 0.0)) continue;
            for (std::size_t l = 0; l < mix.size(); ++l)
                for (std::size_t r = 0; r < sum.size(); ++r)
                    sum[r] += mix[l].amount * static_cast<double>(film.cell(l, pixel).replicateSum[r]) / samples;
        }
    const double pixels = static_cast<double>(s.x1 - s.x0) * static_cast<double>(s.y1 - s.y0);
    for (double& v : sum) v /= pixels;
    return sum;
}

double meanOf(const Replicates& r) {
    double sum = 0.0;
    for (const double v : r) sum += v;
    return sum / static_cast<double>(r.size());
}

/// log2 of the ratio of the means; the interval from the replicates' own ratios.
std::optional<Measured> stopsBetweenSquares(const Replicates& bright, const Replicates& dark) {
    Replicates stops{};
    for (std::size_t r = 0; r < stops.size(); ++r) {
        if (!(bright[r] > 0.0) || !(dark[r] > 0.0)) return {};
        stops[r] = std::log2(bright[r] / dark[r]);
    }
    const double mean = meanOf(stops);
    double squares = 0.0;
    for (const double v : stops) squares += (v - mean) * (v - mean);
    const double half = kStudent95_df3 * std::sqrt(squares / (kPictureReplicates * (kPictureReplicates - 1)));
    const double value = std::log2(meanOf(bright) / meanOf(dark));
    return Measured{value, {value - half, value + half}};
}

}  // namespace

std::optional<Measured> backgroundEvenness_stops(const Stage& stage, const Film& film,
                                                 const std::vector<LayerMix>& mix) {
    const CameraRays camera(stage.scene().camera, film.width(), film.height());
    std::vector<Replicates> found;
    for (int row = 0; row < kDown; ++row)
        for (int column = 0; column < kAcross; ++column) {
            const Square s = squareAt(film, column, row);
            if (s.x1 > s.x0 && s.y1 > s.y0 && showsBackdropAlone(stage, camera, s))
                found.push_back(luminanceOf(film, mix, s));
        }
    if (found.size() < 2) return {};
    const auto darker = [](const Replicates& a, const Replicates& b) { return meanOf(a) < meanOf(b); };
    const auto [dark, bright] = std::minmax_element(found.begin(), found.end(), darker);
    return stopsBetweenSquares(*bright, *dark);
}

}  // namespace keyfall
