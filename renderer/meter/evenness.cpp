#include "renderer/meter/evenness.h"

#include <algorithm>

#include "renderer/meter/film_patch.h"
#include "renderer/transport/camera_rays.h"

namespace keyfall {
namespace {

constexpr int kAcross = 12;
constexpr int kDown = 8;

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
            if (seen.emitter != kNoEmitter) return false;
            if (stage.scene().items[seen.item].kind != ItemKind::backdrop) return false;
        }
    return true;
}

FilmPatch patchOf(const Film& film, const std::vector<LayerMix>& mix, const Square& s) {
    FilmPatch patch(film, mix);
    const auto width = static_cast<std::size_t>(film.width());
    for (int y = s.y0; y < s.y1; ++y)
        for (int x = s.x0; x < s.x1; ++x)
            patch.add(static_cast<std::size_t>(y) * width + static_cast<std::size_t>(x));
    return patch;
}

/// Of the squares the one whose middle is nearest to a place in the picture, in shares of its width and height.
const Square& nearestTo(const std::vector<Square>& squares, const Film& film, glm::dvec2 place) {
    const auto distance = [&](const Square& s) {
        const glm::dvec2 middle(0.5 * (s.x0 + s.x1) / film.width(), 0.5 * (s.y0 + s.y1) / film.height());
        return glm::length(middle - place);
    };
    return *std::min_element(squares.begin(), squares.end(),
                             [&](const Square& a, const Square& b) { return distance(a) < distance(b); });
}

}  // namespace

std::optional<Measured> backgroundEvenness_stops(const Stage& stage, const Film& film,
                                                 const std::vector<LayerMix>& mix) {
    const CameraRays camera(stage.scene().camera, film.width(), film.height());
    std::vector<Square> squares;
    for (int row = 0; row < kDown; ++row)
        for (int column = 0; column < kAcross; ++column) {
            const Square s = squareAt(film, column, row);
            if (s.x1 > s.x0 && s.y1 > s.y0 && showsBackdropAlone(stage, camera, s)) squares.push_back(s);
        }
    if (squares.size() < 2) return {};
    std::vector<FilmPatch> points;
    for (const glm::dvec2 place : {glm::dvec2(0.5, 0.5), {0.0, 0.0}, {1.0, 0.0}, {0.0, 1.0}, {1.0, 1.0}})
        points.push_back(patchOf(film, mix, nearestTo(squares, film, place)));
    const auto darker = [](const FilmPatch& a, const FilmPatch& b) { return a.mean() < b.mean(); };
    const auto [dark, bright] = std::minmax_element(points.begin(), points.end(), darker);
    return stopsBetween(*bright, *dark);
}

}  // namespace keyfall
