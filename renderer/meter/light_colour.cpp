#include "renderer/meter/light_colour.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "renderer/meter/jackknife.h"

namespace keyfall {
namespace {

ColouredLight colouredLight(const std::string& name, const FineSpectrum& spectrum, const BandXYZ& bands) {
    ColouredLight l{name, correlatedTemperature(chromaticity(bands.total())), bands, spectrum, false, {}};
    if (std::abs(l.colour.duv) <= kFarthestDuv)
        l.similarity = spectralSimilarityIndex(spectrum, referenceLight(l.colour.temperature_K));
    return l;
}

std::vector<ColouredLight> lightsOf(const Scene& scene) {
    std::vector<ColouredLight> lights;
    for (const Light& l : scene.lights)
        if (l.strength() > 0.0) lights.push_back(colouredLight(l.name, l.spectrum, l.bands));
    if (!scene.room || !(scene.room->ambientIlluminance_lx > 0.0)) return lights;
    lights.push_back(colouredLight("ambient", lampSpectrum(scene.room->ambientTemperature_K), scene.room->ambientBands));
    lights.back().ambient = true;
    return lights;
}

/// Materials of the products, in the order of the set.
std::vector<std::size_t> productMaterials(const Scene& scene) {
    std::vector<std::size_t> found;
    std::set<std::size_t> seen;
    for (const Item& item : scene.items)
        if (item.kind == ItemKind::product)
            for (const std::size_t m : item.materials)
                if (seen.insert(m).second) found.push_back(m);
    return found;
}

LightPair pairOf(const Scene& scene, const std::vector<ColouredLight>& lights, std::size_t first, std::size_t second) {
    const ColouredLight& a = lights[first];
    const ColouredLight& b = lights[second];
    LightPair pair{first, second, miredBetween(a.colour, b.colour), b.colour.duv - a.colour.duv, 0, 0, {}};
    pair.similarity = spectralSimilarityIndex(a.spectrum, b.spectrum);
    pair.similarityReversed = spectralSimilarityIndex(b.spectrum, a.spectrum);
    for (const std::size_t m : productMaterials(scene))
        if (const auto reflectance = bodyReflectance(scene.materials[m]))
            pair.materials.push_back({scene.materials[m].name, deltaEBalanced(*reflectance, a.bands, b.bands)});
    return pair;
}

glm::dvec3 xyzWithout(const ProbeReading& r, int leftOut) {
    if (leftOut == kNoneLeftOut) return r.xyz;
    const double n = kReplicates;
    return (n * r.xyz - r.xyzByReplicate[static_cast<std::size_t>(leftOut)]) / (n - 1.0);
}

/// Mired and Duv of a chromaticity close to `at`, by their slopes there: each true one is a search.
class NearbyColour {
  public:
    explicit NearbyColour(Chromaticity at) : at_(at), here_(correlatedTemperature(at)) {
        constexpr double kStep = 1e-5;
        const Correlated x = correlatedTemperature({at.x + kStep, at.y});
        const Correlated y = correlatedTemperature({at.x, at.y + kStep});
        const double mired = 1e6 / here_.temperature_K;
        mired_ = {(1e6 / x.temperature_K - mired) / kStep, (1e6 / y.temperature_K - mired) / kStep};
        duv_ = {(x.duv - here_.duv) / kStep, (y.duv - here_.duv) / kStep};
    }
    double mired(Chromaticity c) const { return 1e6 / here_.temperature_K + glm::dot(mired_, away(c)); }
    double duv(Chromaticity c) const { return here_.duv + glm::dot(duv_, away(c)); }

  private:
    glm::dvec2 away(Chromaticity c) const { return {c.x - at_.x, c.y - at_.y}; }
    Chromaticity at_;
    Correlated here_;
    glm::dvec2 mired_{0.0}, duv_{0.0};
};

}  // namespace

ProbeColour probeColour(const ProbeReading& r) {
    ProbeColour c;
    c.probe = r.name;
    if (r.missing || !r.aperture || !(r.xyz.y > 0.0)) return c;
    const NearbyColour nearby(chromaticity(r.xyz));
    c.duv = jackknife([&](int i) { return nearby.duv(chromaticity(xyzWithout(r, i))); });
    if (std::abs(c.duv->value) > kFarthestDuv) return c;
    c.mired = jackknife([&](int i) { return nearby.mired(chromaticity(xyzWithout(r, i))); });
    const Interval& m = c.mired->interval95;
    if (m.low > 0.0) c.temperature_K = Measured{1e6 / c.mired->value, {1e6 / m.high, 1e6 / m.low}};
    return c;
}

LightColours lightColours(const Scene& scene, const std::vector<ProbeReading>& readings, glm::dvec3 white) {
    LightColours colours;
    colours.lights = lightsOf(scene);
    for (std::size_t a = 0; a < colours.lights.size(); ++a)
        for (std::size_t b = a + 1; b < colours.lights.size(); ++b)
            colours.pairs.push_back(pairOf(scene, colours.lights, a, b));
    colours.white = correlatedTemperature(chromaticity(white));
    for (const ProbeReading& r : readings)
        if (r.probe->kind != ProbeKind::spot) colours.probes.push_back(probeColour(r));
    return colours;
}

}  // namespace keyfall
