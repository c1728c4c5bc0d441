// Mean luminance of some pixels of a picture, with its replicates, and stops between two such means. Not here:
// which pixels (evenness.h, separation.h).
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "renderer/film/film.h"
#include "renderer/meter/readings.h"

namespace keyfall {

class FilmPatch {
  public:
    FilmPatch(const Film& film, const std::vector<LayerMix>& mix) : film_(&film), mix_(&mix) {}

    void add(std::size_t pixel);
    std::size_t pixels() const { return pixels_; }
    double mean() const;
    double replicate(std::size_t r) const { return sum_[r] / static_cast<double>(pixels_); }

  private:
    const Film* film_;
    const std::vector<LayerMix>* mix_;
    std::array<double, kPictureReplicates> sum_{};
    std::size_t pixels_ = 0;
};

/// log2(a / b), the interval from the picture's four replicates: Student's t with 3 degrees of freedom.
/// Empty where one of them is black or has no pixel.
std::optional<Measured> stopsBetween(const FilmPatch& a, const FilmPatch& b);

}  // namespace keyfall
