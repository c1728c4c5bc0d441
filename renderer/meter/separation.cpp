#include "renderer/meter/separation.h"

#include <algorithm>

namespace keyfall {
namespace {

/// A row or column of pixels, walked inward from one side of the picture.
struct Walk {
    std::ptrdiff_t first = 0, step = 1;
    int length = 0;
    std::size_t at(int i) const { return static_cast<std::size_t>(first + step * i); }
};

enum class Side { left, right, top };

std::vector<Walk> walksFrom(const VisiblePicture& seen, Side side) {
    const std::ptrdiff_t w = seen.width_px, h = seen.height_px;
    std::vector<Walk> walks;
    if (side == Side::top)
        for (std::ptrdiff_t x = 0; x < w; ++x) walks.push_back({x, w, seen.height_px});
    else
        for (std::ptrdiff_t y = 0; y < h; ++y)
            walks.push_back(side == Side::left ? Walk{y * w, 1, seen.width_px}
                                               : Walk{y * w + w - 1, -1, seen.width_px});
    return walks;
}

bool showsBackdrop(const Scene& scene, const VisiblePicture& seen, std::size_t pixel) {
    const Item* item = itemOf(scene, seen.object[pixel]);
    return item != nullptr && item->kind == ItemKind::backdrop;
}

/// Adds the strips of one walk; nothing where it does not come from the backdrop onto a product.
void addStrips(const Scene& scene, const VisiblePicture& seen, const Walk& walk, int strip,
               FilmPatch& product, FilmPatch& backdrop) {
    int meets = 0;
    while (meets < walk.length && !showsProduct(scene, seen, walk.at(meets))) ++meets;
    if (meets < strip + 1 || meets + strip + 1 > walk.length) return;
    for (int i = 1; i <= strip; ++i)
        if (!showsBackdrop(scene, seen, walk.at(meets - 1 - i)) ||
            !showsProduct(scene, seen, walk.at(meets + i)))
            return;
    for (int i = 1; i <= strip; ++i) {
        backdrop.add(walk.at(meets - 1 - i));
        product.add(walk.at(meets + i));
    }
}

}  // namespace

std::optional<FrameFill> productFill(const Scene& scene, const VisiblePicture& seen) {
    const int w = seen.width_px, h = seen.height_px;
    int left = w, right = -1, top = h, bottom = -1;
    std::size_t covered = 0;
    for (int y = 0; y < h; ++y)
        for (int x = 0; x < w; ++x) {
            if (!showsProduct(
                    scene, seen,
                    static_cast<std::size_t>(y) * static_cast<std::size_t>(w) + static_cast<std::size_t>(x)))
                continue;
            ++covered;
            left = std::min(left, x), right = std::max(right, x);
            top = std::min(top, y), bottom = std::max(bottom, y);
        }
    if (covered == 0) return {};
    return FrameFill{static_cast<double>(covered) / static_cast<double>(seen.object.size()),
                     static_cast<double>(right - left + 1) / w, static_cast<double>(bottom - top + 1) / h};
}

Separation productSeparation(const Scene& scene, const VisiblePicture& seen, const Film& film,
                             const std::vector<LayerMix>& mix) {
    const int strip = std::max(1, seen.width_px / 100);
    const auto on = [&](Side side) {
        FilmPatch product(film, mix), backdrop(film, mix);
        for (const Walk& walk : walksFrom(seen, side)) addStrips(scene, seen, walk, strip, product, backdrop);
        return stopsBetween(product, backdrop);
    };
    return {on(Side::left), on(Side::right), on(Side::top)};
}

}  // namespace keyfall
