// From light to electrons to the picture's grain. Outside references: SI constants, Poisson's law, ISO
// 12232, the photon transfer curve (Janesick, Photon Transfer, SPIE 2007: variance = gain * mean + read^2).
// Not here: a whole detail rendered (tests/program).
#include "renderer/photograph/noise.h"

#include <tbb/global_control.h>

#include <cstring>
#include <memory>

#include "renderer/photograph/photon_draw.h"
#include "scene/colour.h"
#include "scene/library.h"
#include "scene/photo.h"
#include "tests/photograph/synthetic.h"

using namespace keyfall;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
namespace syn = keyfall::synthetic;

namespace {

const SensorModel& generic() {
    static const SensorModel sensor = readLibrary().sensor;
    return sensor;
}

const FineSpectrum& d55() {
    static const FineSpectrum spectrum = [] {
        for (const auto& light : syn::cieIlluminants())
            if (light.name == "d55") return resample(light.table);
        throw std::logic_error("no D55");
    }();
    return spectrum;
}

/// The tests' camera with the generic sensor, balanced for its one light.
Camera camera() {
    Camera c = syn::camera();
    c.electronics = generic();
    c.whiteBalance = std::size_t{0};
    return c;
}

Scene sceneOf(const Camera& c, const FineSpectrum& spectrum) {
    Scene scene;
    scene.camera = c;
    Light light;
    light.spectrum = spectrum;
    light.bands = bandXYZ(spectrum);
    scene.lights.push_back(light);
    return scene;
}

/// A grey frame that the picture shows at `value`, through film and lens, as electrons.
struct GreyFrame {
    Scene scene;
    LinearImage picture;
    ElectronImage mean;
    SensorAtSpeed sensor;
};

GreyFrame greyFrame(const Camera& c, const FineSpectrum& spectrum, double value, int side_px) {
    GreyFrame frame{sceneOf(c, spectrum), {}, {}, sensorAsSet(c)};
    Film film = syn::film(side_px, side_px, 1);
    for (std::size_t p = 0; p < film.pixelCount(); ++p) syn::setGrey(film, 0, p, 1.0 / syn::kPi);
    // A surface of reflectance 1 shows at H S / (C N^2), so this exposure brings it to `value`.
    const double lxs = value * kMeterC_flat * std::pow(effectiveApertureOf(c), 2) / c.iso.exact;
    const std::vector<LayerMix> mix{{lxs, frame.scene.lights[0].bands}};
    frame.picture = expose(develop(film, mix), pictureFactor(c), cameraWhite(c, frame.scene.lights, {}));
    frame.mean = meanElectrons(frame.scene, film, mix);
    return frame;
}

struct Statistic {
    double mean = 0.0;
    double variance = 0.0;
};

template <class Value>
Statistic statisticOf(std::size_t count, const Value& value) {
    Statistic s;
    for (std::size_t i = 0; i < count; ++i) s.mean += value(i) / static_cast<double>(count);
    for (std::size_t i = 0; i < count; ++i)
        s.variance += std::pow(value(i) - s.mean, 2) / static_cast<double>(count - 1);
    return s;
}

double largest(glm::dvec3 c) { return std::max({c.x, c.y, c.z}); }

/// Electrons and picture of one exposure's luminance, signal to noise over a frame.
double pictureSnr(const Camera& c, double value, std::uint32_t seed) {
    const GreyFrame f = greyFrame(c, d55(), value, 256);
    const LinearImage noisy = withNoise(f.picture, f.mean, exposePixels(f.mean, f.sensor, seed), f.sensor,
                                        linearFromElectrons(c, d55()));
    const auto green = statisticOf(noisy.pixel.size(), [&](std::size_t p) { return noisy.pixel[p].y; });
    CHECK_THAT(green.mean, WithinAbs(value, 4.0 * std::sqrt(green.variance / 65536.0)));
    return green.mean / std::sqrt(green.variance);
}

}  // namespace

TEST_CASE("photons of daylight: 1.09e16 per m2 and lx*s of D55, 4.09e15 of 555 nm", "[sensor][law]") {
    // 1.09e16 is a sum of 61 samples, 5 nm each, 400 to 700 nm: it reaches from 397.5 to 702.5 nm. Half a
    // unit of its last digit.
    CHECK_THAT(photonsPerM2Lxs(d55(), 398, 702), WithinAbs(1.09e16, 0.005e16));
    CHECK_THAT(photonsPerM2Lxs(d55(), 400, 700), WithinAbs(1.09e16 * 301.0 / 305.0, 0.005e16));
    // One lx*s of 555 nm is 1/683 J/m2, and a photon h c / lambda (SI).
    FineSpectrum line;
    line.at_nm(555) = 3.0;
    const double joule = 6.62607015e-34 * 299792458.0 / 555e-9;
    CHECK_THAT(photonsPerM2Lxs(line), WithinRel(1.0 / 683.0 / joule / observerY().at_nm(555), 1e-9));
    CHECK_THROWS_AS(photonsPerM2Lxs(FineSpectrum{}), std::invalid_argument);
}

TEST_CASE("saturation of ISO 100 is 305 000 photons on 6 um and 60 to 90 thousand electrons", "[sensor][law]") {
    const double area_m2 = pixelArea_m2(camera());
    CHECK_THAT(area_m2, WithinRel(36e-12, 1e-9));
    const double saturation_lxs = 78.0 / 100.0;  // ISO 12232: S_sat = 78/H
    CHECK_THAT(photonsPerM2Lxs(d55(), 398, 702) * saturation_lxs * area_m2, WithinRel(305000.0, 0.005));
    const glm::dvec3 e = saturation_lxs * electronsPerLxs(generic(), area_m2, d55()).total();
    INFO("electrons " << e.x << " " << e.y << " " << e.z);
    CHECK(e.y > 60000.0);
    CHECK(e.y < 90000.0);
    CHECK(e.y > e.x);  // green first in daylight, the usual order of dye filters (from memory)
    CHECK(e.x > e.z);
}

TEST_CASE("electrons of a band are the photons in it, times efficiency, area and response", "[sensor][law]") {
    FineSpectrum line;
    line.at_nm(600) = 1.0;  // 400 + 18.75 * 10 = 587.5 to 606.25: band 10, all of it
    const double photons = photonsPerM2Lxs(line, 600, 600);
    const BandElectrons e = electronsPerLxs(generic(), 2e-12, line);
    const double red = (*generic().response)[0].at_nm(600);
    CHECK_THAT(e.perBand[10].x, WithinRel(photons * 2e-12 * generic().quantumEfficiency * red, 1e-12));
    CHECK(e.total().x == e.perBand[10].x);
    // A film's bands carry what the whole spectrum carries.
    double whole = 0.0;
    for (int nm = 380; nm <= 780; ++nm)
        whole += photonsPerM2Lxs(d55(), nm, nm) * (*generic().response)[1].at_nm(nm);
    CHECK_THAT(electronsPerLxs(generic(), 1.0, d55()).total().y, WithinRel(0.5 * whole, 1e-9));
}

TEST_CASE("the lens lets through what ISO 12232 takes, and -0.10 stop makes it a standard camera", "[sensor][law]") {
    // ISO 12232 test vector: 4000 cd/m2, f/8, 1/250 s; q for T 0.9, v 0.98, 10 degrees. Far focus: i = F.
    CHECK_THAT(focalPlane_lxs(4000.0 / 250.0, 8.0), WithinRel(0.16289371, 1e-6));
    CHECK_THAT(focalPlaneOfPicture_lxs(0.18, 100, 0.0), WithinRel(0.65157 * 0.18 * 250 / (syn::kPi * 100), 1e-4));
    CHECK_THAT(standardOutputSpeed(focalPlaneOfPicture_lxs(0.18, 400, -0.10)), WithinRel(400.0, 1e-3));
    CHECK_THAT(saturationSpeed(focalPlaneOfPicture_lxs(kRawClip, 400, -0.10)), WithinRel(400.0, 6e-3));
}

TEST_CASE("speed is a gain: 3 stops more speed take 3 stops of range, and noise grows as the root", "[sensor][law]") {
    Camera c = camera();
    const SensorAtSpeed base = sensorAsSet(c);
    CHECK_THAT(range_stops(base), WithinRel(std::log2(base.saturation_e / 3.0), 1e-12));
    CHECK_FALSE(base.wellLimits);
    c.iso = {800, 800};
    const SensorAtSpeed fast = sensorAsSet(c);
    CHECK_THAT(fast.saturation_e, WithinRel(base.saturation_e / 8.0, 1e-12));
    CHECK_THAT(range_stops(base) - range_stops(fast), WithinAbs(3.0, 1e-12));
    // Below the base speed the gain cannot fall: the same electrons, so the raw ends a stop earlier.
    c.iso = {50, 50};
    CHECK_THAT(sensorAsSet(c).saturation_e, WithinRel(base.saturation_e, 1e-12));
    c.electronics.fullWell_e = 20000.0;
    CHECK(sensorAsSet(c).wellLimits);
    CHECK(sensorAsSet(c).saturation_e == 20000.0);
    c.electronics.readNoise_e = 0.0;
    CHECK(std::isinf(range_stops(sensorAsSet(c))));
    CHECK(std::isinf(snr_db(0.0, 3.0)));
    CHECK_THAT(snr_db(10000.0, 0.0), WithinAbs(40.0, 1e-9));
    CHECK_THAT(snr_db(9.0, 4.0), WithinAbs(20.0 * std::log10(9.0 / 5.0), 1e-9));
}

TEST_CASE("draws are Poisson's, also of few electrons", "[sensor][law]") {
    // Share of each count against exp(-m) m^k / k!: 5 standard errors in 13 x 5 counts.
    for (const double mean : {0.3, 2.0, 9.99, 10.0, 24.0}) {
        INFO("mean " << mean);
        constexpr int kDraws = 400000;
        std::vector<int> count(200, 0);
        double sum = 0.0;
        for (int i = 0; i < kDraws; ++i) {
            PixelRandom random(3, static_cast<std::uint64_t>(i));
            const double k = drawPoisson(mean, random);
            ++count.at(static_cast<std::size_t>(k));
            sum += k;
        }
        CHECK_THAT(sum / kDraws, WithinAbs(mean, 4.0 * std::sqrt(mean / kDraws)));
        double share = std::exp(-mean);
        for (std::size_t k = 0; k < count.size(); share *= mean / static_cast<double>(++k)) {
            const double expected = kDraws * share;
            if (expected < 25.0) continue;
            INFO("count " << k);
            CHECK_THAT(count[k], WithinAbs(expected, 5.0 * std::sqrt(expected)));
        }
    }
}

TEST_CASE("photon transfer: variance = gain x mean + read noise^2 within 2 % over 6 stops", "[sensor][law]") {
    Camera c = camera();
    c.electronics.readNoise_e = 8.0;  // so that its part is seen at the dark end
    for (int stop = 0; stop <= 6; ++stop) {
        const GreyFrame f = greyFrame(c, d55(), 0.9 * std::exp2(-stop), 288);
        const ElectronImage frame = exposePixels(f.mean, f.sensor, 17);
        // 82944 pixels: a variance is known to sqrt(2/n) = 0.49 %, four of them within the 2 %.
        // Raw values of 14 bits: gain in values per electron.
        const double gain = 16383.0 / f.sensor.saturation_e;
        for (int c3 = 0; c3 < 3; ++c3) {
            const auto one = statisticOf(frame.pixel.size(), [&](std::size_t p) { return gain * frame.pixel[p][c3]; });
            INFO(stop << " stops under 0.9, channel " << c3 << ": mean " << one.mean << ", variance " << one.variance);
            CHECK_THAT(one.variance, WithinRel(gain * one.mean + std::pow(gain * 8.0, 2), 0.02));
            CHECK_THAT(one.mean, WithinAbs(gain * f.mean.pixel[0][c3], 4.0 * std::sqrt(one.variance / 82944.0)));
        }
    }
}

TEST_CASE("grain at ISO 800 is sqrt(8) of that at ISO 100 where photons alone make it", "[sensor][law]") {
    Camera c = camera();
    c.electronics.readNoise_e = 0.0;
    const double slow = pictureSnr(c, 0.18, 5);
    c.iso = {800, 800};
    const double fast = pictureSnr(c, 0.18, 6);
    // Standard error of a standard deviation from 65536 pixels is 1/sqrt(2 n) = 0.28 %; of the ratio 0.39 %.
    CHECK_THAT(slow / fast, WithinRel(std::sqrt(8.0), 4 * 0.0039));
    // With read noise, at equal picture value: e / sqrt(e + r^2) each.
    c.electronics.readNoise_e = 30.0;
    const glm::dvec3 e = electronsAtPicture(c, d55(), 0.18);
    const double read = pictureSnr(c, 0.18, 7) / fast;
    CHECK_THAT(read, WithinRel(std::sqrt(e.y / (e.y + 900.0)), 0.05));  // red and blue add a little to G
}

TEST_CASE("the raw ends at 1.41 of the picture for a neutral in daylight, earlier under other light", "[sensor][clipping]") {
    const auto full = [](const Camera& c, const FineSpectrum& light, double value) {
        const GreyFrame f = greyFrame(c, light, value, 1);
        return fullShare(f.mean, f.sensor) == 1.0;
    };
    Camera c = camera();
    CHECK(full(c, d55(), kRawClip * 1.001));
    CHECK_FALSE(full(c, d55(), kRawClip * 0.999));
    CHECK(kPictureClip < kRawClip * 0.999);  // the picture is full long before
    c.iso = {800, 800};
    CHECK(full(c, d55(), kRawClip * 1.001));
    CHECK_FALSE(full(c, d55(), kRawClip * 0.999));
    // Tungsten has more red in each lx*s than daylight: the red pixel is full first.
    const FineSpectrum tungsten = planckian(2400);
    const glm::dvec3 e = electronsPerLxs(c.electronics, 36e-12, tungsten).total();
    const double first = kRawClip * electronsPerLxs(c.electronics, 36e-12, d55()).total().y / largest(e);
    CHECK(e.x == largest(e));
    CHECK(full(c, tungsten, first * 1.001));
    CHECK_FALSE(full(c, tungsten, first * 0.999));
    c.iso = {50, 50};  // half the speed of the base: half as bright in the picture
    CHECK(full(c, d55(), 0.5 * kRawClip * 1.001));
    CHECK_FALSE(full(c, d55(), 0.5 * kRawClip * 0.999));
}

TEST_CASE("a full pixel keeps its hue and has no noise where it is full", "[sensor][clipping]") {
    const Camera c = camera();
    const GreyFrame f = greyFrame(c, d55(), 20.0, 8);
    const ElectronImage exposed = exposePixels(f.mean, f.sensor, 1);
    for (const glm::dvec3& e : exposed.pixel) CHECK(largest(e) == f.sensor.saturation_e);
    const LinearImage out = withNoise(f.picture, f.mean, exposed, f.sensor, linearFromElectrons(c, d55()));
    // All three channels are full here, none has noise: grey, where the raw ends.
    for (const glm::dvec3& p : out.pixel)
        for (int i = 0; i < 3; ++i) CHECK_THAT(p[i], WithinRel(kRawClip, 0.001));
}

TEST_CASE("electrons become the picture again: a grey exactly, a colour nearly", "[sensor]") {
    const Camera c = camera();
    for (const FineSpectrum& light : {d55(), planckian(3200)}) {
        const glm::dmat3 m = linearFromElectrons(c, light);
        const glm::dvec3 grey = m * electronsAtPicture(c, light, 0.18);
        for (int i = 0; i < 3; ++i) CHECK_THAT(grey[i], WithinRel(0.18, 1e-5));
        // A smooth orange: the basis that the matrix is made from is linear, so within float rounding.
        const glm::vec3 orange{0.6F, 0.3F, 0.1F};
        const Bands r = reflectanceFromRgb(orange);
        glm::dvec3 e{0.0};
        const BandElectrons perBand = electronsPerCdsm2(c, light);
        for (int b = 0; b < kBands; ++b)
            e += static_cast<double>(r[b]) * perBand.perBand[static_cast<std::size_t>(b)] / pictureFactor(c);
        for (int i = 0; i < 3; ++i) CHECK_THAT((m * e)[i], WithinAbs(static_cast<double>(orange[i]), 1e-4));
    }
}

TEST_CASE("noise is the same to the last byte for any number of threads, another with another seed", "[sensor]") {
    const GreyFrame f = greyFrame(camera(), d55(), 0.02, 96);
    const auto bytes = [&](std::uint32_t seed, std::size_t threads) {
        tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
        return exposePixels(f.mean, f.sensor, seed).pixel;
    };
    const auto one = bytes(1, 1), two = bytes(1, 2), other = bytes(2, 2);
    CHECK(std::memcmp(one.data(), two.data(), one.size() * sizeof(glm::dvec3)) == 0);
    CHECK(std::memcmp(one.data(), other.data(), one.size() * sizeof(glm::dvec3)) != 0);
}
