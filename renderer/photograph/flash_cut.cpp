#include "renderer/photograph/flash_cut.h"

#include <stdexcept>

#include "renderer/film/parallel.h"
#include "scene/motion.h"

namespace keyfall {
namespace {

/// Calls f(index, flashed) for each pixel that the curtain covers, at least in part.
template <class F>
void overCovered(glm::ivec2 size_px, const FlashCut& cut, const F& f) {
    if (!(cut.share > 0.0)) return;
    parallelFor(size_px.y, [&](int y) {
        for (int x = 0; x < size_px.x; ++x) {
            const double flashed = cut.flashed({x, y}, size_px);
            if (flashed < 1.0) f(static_cast<std::size_t>(y) * static_cast<std::size_t>(size_px.x) + static_cast<std::size_t>(x), flashed);
        }
    });
}

}  // namespace

double FlashCut::flashed(glm::ivec2 pixel, glm::ivec2 size_px) const {
    const int axis = atRight ? 0 : 1;
    const double pitch = size[axis] / size_px[axis];
    const double near = first[axis] + pitch * pixel[axis];  // the pixel's edge towards the lit part
    return glm::clamp((1.0 - share - near) / pitch, 0.0, 1.0);
}

FlashCut flashCutOf(const Camera& camera) {
    FlashCut cut;
    cut.share = flashCutShare(camera.shutter_s.exact, camera.flashSync_s);
    cut.atRight = camera.sensor_m.y > camera.sensor_m.x;
    return cut;
}

void coverFlash(PixelImage& picture, const PixelImage& withoutFlash, const FlashCut& cut) {
    if (picture.pixel.size() != withoutFlash.pixel.size() || picture.width_px != withoutFlash.width_px)
        throw std::logic_error("flash and no flash in pictures of two sizes");
    overCovered({picture.width_px, picture.height_px}, cut, [&](std::size_t p, double flashed) {
        picture.pixel[p] = flashed * picture.pixel[p] + (1.0 - flashed) * withoutFlash.pixel[p];
    });
}

void coverFlash(ClippedPixels& pixels, const ClippedPixels& withoutFlash, glm::ivec2 size_px,
                const FlashCut& cut) {
    if (pixels.kind.size() != withoutFlash.kind.size())
        throw std::logic_error("flash and no flash in pictures of two sizes");
    overCovered(size_px, cut, [&](std::size_t p, double flashed) {
        if (flashed >= 0.5) return;
        pixels.kind[p] = withoutFlash.kind[p];
        pixels.raw[p] = withoutFlash.raw[p];
        pixels.layer[p] = withoutFlash.layer[p];
    });
}

}  // namespace keyfall
