#include "renderer/meter/film_patch.h"

#include <cmath>

namespace keyfall {
namespace {

constexpr double kStudent95_df3 = 3.1824463052842629;  // two-sided 95 % (any table of Student's t)

}  // namespace

void FilmPatch::add(std::size_t pixel) {
    ++pixels_;
    const double samples = static_cast<double>(film_->samplesAt(pixel)) / kPictureReplicates;
    if (!(samples > 0.0)) return;
    for (std::size_t l = 0; l < mix_->size(); ++l)
        for (std::size_t r = 0; r < sum_.size(); ++r)
            sum_[r] +=
                (*mix_)[l].amount * static_cast<double>(film_->cell(l, pixel).replicateSum[r]) / samples;
}

double FilmPatch::mean() const {
    double sum = 0.0;
    for (std::size_t r = 0; r < sum_.size(); ++r) sum += replicate(r);
    return sum / kPictureReplicates;
}

std::optional<Measured> stopsBetween(const FilmPatch& a, const FilmPatch& b) {
    if (a.pixels() == 0 || b.pixels() == 0) return {};
    std::array<double, kPictureReplicates> stops{};
    double mean = 0.0;
    for (std::size_t r = 0; r < stops.size(); ++r) {
        if (!(a.replicate(r) > 0.0) || !(b.replicate(r) > 0.0)) return {};
        stops[r] = std::log2(a.replicate(r) / b.replicate(r));
        mean += stops[r] / kPictureReplicates;
    }
    double squares = 0.0;
    for (const double v : stops) squares += (v - mean) * (v - mean);
    const double half = kStudent95_df3 * std::sqrt(squares / (kPictureReplicates * (kPictureReplicates - 1)));
    const double value = std::log2(a.mean() / b.mean());
    return Measured{value, {value - half, value + half}};
}

}  // namespace keyfall
