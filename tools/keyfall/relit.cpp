#include "relit.h"

#include <cmath>

#include "renderer/meter/jackknife.h"

namespace keyfall {

ProbeReading relit(ProbeReading r, const std::vector<double>& factor) {
    if (r.missing || !r.aperture) return r;
    const double before = r.exposure.mean();
    r.exposure = r.continuous = {};
    for (std::size_t l = 0; l < r.byLight.size(); ++l) {
        r.byLight[l].exposure *= factor[l];
        r.byLight[l].continuous *= factor[l];
        r.exposure += r.byLight[l].exposure;
        r.continuous += r.byLight[l].continuous;
    }
    // The f-number goes with the root of the exposure, stops with its logarithm, whatever the meter's C.
    const double aperture = r.aperture->value;
    r.aperture = jackknife([&](int out) { return aperture * std::sqrt(meanWithout(r.exposure, out) / before); });
    for (std::optional<Measured>* stops : {&r.stopsOver, &r.pictureStopsOver})
        if (*stops) {
            const double was = (*stops)->value;
            *stops = jackknife([&](int out) { return was + std::log2(meanWithout(r.exposure, out) / before); });
        }
    return r;
}

}  // namespace keyfall
