// Photometric files: LM-63 (.ies) and EULUMDAT (.ldt) to a PhotometricWeb and back.
// Not here: what a web means (photometric_web.h), placing it in a scene (read_photometry.cpp).
#pragma once

#include <filesystem>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>

#include "scene/photometric_web.h"

namespace keyfall {

/// A file that cannot be used: where (1-based; 0: the whole file), and found; allowed; fix.
struct PhotometryError : std::runtime_error {
    PhotometryError(int atLine, int atColumn, const std::string& problem)
        : std::runtime_error(problem), line(atLine), column(atColumn) {}
    int line = 0;
    int column = 0;
};

/// LM-63-1995, 2002 and 2019, type C, TILT=NONE and INCLUDE. `text` is the whole file.
/// Throws PhotometryError.
PhotometricWeb parseLm63(std::string_view text);
/// EULUMDAT. Throws PhotometryError.
PhotometricWeb parseEulumdat(std::string_view text);
/// By the ending (.ies, .ldt, in any case). Throws PhotometryError, also for a file that cannot be read.
PhotometricWeb readPhotometry(const std::filesystem::path& file);

/// LM-63-2019, absolute photometry, metres, CR-LF. Angles and intensities as in `web`; horizontal
/// angles are written as far as symmetry needs them. Keyword lines name no maker and no laboratory.
std::string lm63Text(const PhotometricWeb& web, const std::string& title);

}  // namespace keyfall
