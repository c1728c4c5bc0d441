// The flash in the picture of a shutter faster than the sync time: a factor a pixel on the flash layers, put
// on when a film is developed; no ray knows of it. Not here: readings, which count a flash whole.
#pragma once

#include <glm/glm.hpp>

#include "renderer/photograph/clipped_pixels.h"
#include "renderer/photograph/develop.h"
#include "scene/scene.h"

namespace keyfall {

/// The part of the frame that the second curtain covers when the flash fires. The flash waits for the first
/// curtain's arrival; the second, which runs the same way, along the sensor's shorter side, has by then covered
/// where both set out from: that is the top of the camera, and the lens turns it to the bottom of the picture.
/// Of an upright sensor: to the right, as of a camera turned with its right side up. Common practice, no
/// source; electronic and central shutters differ. The edge is sharp: a flash short against the sync time.
struct FlashCut {
    double share = 0.0;      ///< of the frame's shorter side (flashCutShare, scene/motion.h); 0: none
    bool atRight = false;    ///< else at the bottom
    glm::dvec2 first{0.0};   ///< where a picture of a part of the frame begins, and its size: shares of the
    glm::dvec2 size{1.0};    ///< frame from its top left corner

    /// Part (0..1) of a pixel that gets flash, of a picture of `size_px`.
    double flashed(glm::ivec2 pixel, glm::ivec2 size_px) const;
};
/// As the camera is set; the picture is the whole frame.
FlashCut flashCutOf(const Camera& camera);

/// Pixels: flashed * picture + (1 - flashed) * withoutFlash. Both are the same film's, of any linear kind: XYZ,
/// balanced colours, electrons. Throws std::logic_error for pictures of two sizes.
void coverFlash(PixelImage& picture, const PixelImage& withoutFlash, const FlashCut& cut);
/// The verdict on a pixel is that of the light which most of it gets.
void coverFlash(ClippedPixels& pixels, const ClippedPixels& withoutFlash, glm::ivec2 size_px,
                const FlashCut& cut);

}  // namespace keyfall
