// How 1 nm samples are shared out among the 16 bands. Only for sums over a spectrum in scene/.
// Not here: the sums (fine_spectrum.h, sensor_arithmetic.h).
#pragma once

#include <algorithm>
#include <cmath>

#include "scene/bands.h"
#include "scene/fine_spectrum.h"

namespace keyfall {

/// Calls add(sample, band, part) for every 1 nm sample; the sample stands for the interval of 1 nm
/// around it, and `part` is the share of that interval in the band. Light outside 400-700 nm goes
/// to the edge bands: nothing is lost, so the parts of a sample sum to 1.
template <class Add>
void forEachBandPart(Add add) {
    for (std::size_t i = 0; i < FineSpectrum::kCount; ++i) {
        const double low_nm = FineSpectrum::kFirst_nm + static_cast<double>(i) - 0.5;
        const auto bandAt = [](double nm) {
            const double band = std::floor((nm - kBandStart_nm) / kBandWidth_nm);
            return static_cast<int>(std::clamp(band, 0.0, kBands - 1.0));
        };
        const int first = bandAt(low_nm), last = bandAt(low_nm + 1.0);
        if (first == last) {
            add(i, first, 1.0);
            continue;
        }
        const double edge_nm = kBandStart_nm + kBandWidth_nm * last;  // bands are wider than 1 nm
        add(i, first, edge_nm - low_nm);
        add(i, last, low_nm + 1.0 - edge_nm);
    }
}

}  // namespace keyfall
