// One exposure reached in several ways, and what a flash does not see. Source: the exposure equation,
// H ~ L t / N^2 and picture ~ H S, so t, 1/N^2, S and a lamp's power trade one for one (ISO 2720).
// Not here: depth of field and noise, which do change.
#include <catch2/catch.hpp>

#include <cmath>

#include "renderer/photograph/exposure.h"
#include "renderer/transport/layers.h"

using namespace keyfall;

namespace {

/// A flash and a continuous lamp, and a room with ambient light, seen by a far focus.
Scene twoLamps() {
    Scene scene;
    scene.camera.whiteBalance = 5000.0;
    for (const LightKind kind : {LightKind::flash, LightKind::continuous}) {
        Light light;
        light.name = kind == LightKind::flash ? "flash" : "lamp";
        light.kind = kind;
        light.fullFlux = kind == LightKind::flash ? 4000.0 : 9000.0;
        light.bands = bandXYZ(lampSpectrum(kind == LightKind::flash ? 5500.0 : 3000.0));
        scene.lights.push_back(light);
    }
    scene.room = Room{300.0, 4000.0, bandXYZ(lampSpectrum(4000.0))};
    return scene;
}

/// Three layers with uneven spectra; one sample a pixel.
Film filmOf(const Scene& scene) {
    Film film(3, 2, layerInfos(scene));
    for (std::size_t p = 0; p < film.pixelCount(); ++p) {
        film.samplesAt(p) = 1;
        for (std::size_t l = 0; l < film.layers().size(); ++l)
            for (std::size_t b = 0; b < kBands; ++b)
                film.cell(l, p).transferSum[b] = 0.01F * static_cast<float>(1 + (3 * p + 5 * l + 7 * b) % 11);
    }
    return film;
}

LinearImage pictureOf(const Scene& scene, const Film& film) {
    const auto mix = mixAsSet(scene, scene.camera.shutter_s.exact);
    return expose(develop(film, mix), pictureFactor(scene.camera), cameraWhite(scene.camera, scene.lights, {}));
}

void checkEqual(const LinearImage& a, const LinearImage& b) {
    for (std::size_t p = 0; p < a.pixel.size(); ++p)
        for (int c = 0; c < 3; ++c) CHECK(std::abs(a.pixel[p][c] - b.pixel[p][c]) <= 1e-12 * std::abs(a.pixel[p][c]));
}

void stopsOf(Engraved& value, double factor) { value.exact *= factor; }

}  // namespace

TEST_CASE("equal exposure by aperture, speed, shutter and power gives equal picture values", "[exposure][law]") {
    const Scene set = twoLamps();
    const Film film = filmOf(set);
    const LinearImage before = pictureOf(set, film);
    for (const double stops : {-3.0, 1.0 / 3.0, 2.0}) {
        INFO(stops << " stops");
        const double light = std::exp2(stops);
        Scene speed = set;  // aperture against speed: everything is seen alike
        stopsOf(speed.camera.aperture, std::sqrt(light));
        stopsOf(speed.camera.iso, light);
        checkEqual(before, pictureOf(speed, film));
        Scene power = set;  // aperture against all light: flash by power, the rest by shutter
        stopsOf(power.camera.aperture, std::sqrt(light));
        stopsOf(power.camera.shutter_s, light);
        power.lights[0].power_stops = stops;
        checkEqual(before, pictureOf(power, film));
        Scene swap = set;  // shutter against speed, the flash turned down as the speed goes up
        stopsOf(swap.camera.shutter_s, 1.0 / light);
        stopsOf(swap.camera.iso, light);
        swap.lights[0].power_stops = -stops;
        checkEqual(before, pictureOf(swap, film));
    }
}

TEST_CASE("with flash alone the shutter changes nothing; with ambient it changes the ambient alone", "[exposure][law]") {
    Scene set = twoLamps();
    const Film film = filmOf(set);
    const auto longer = [](Scene scene) {
        stopsOf(scene.camera.shutter_s, 4.0);
        return scene;
    };
    const LinearImage all = pictureOf(set, film), allLonger = pictureOf(longer(set), film);
    Scene flash = set;
    flash.lights[1].on = false;
    flash.room->ambientIlluminance_lx = 0.0;
    const LinearImage flashed = pictureOf(flash, film), flashedLonger = pictureOf(longer(flash), film);
    Scene ambient = set;
    ambient.lights[0].on = false;
    const LinearImage rest = pictureOf(ambient, film);
    for (std::size_t p = 0; p < film.pixelCount(); ++p)
        for (int c = 0; c < 3; ++c) {
            CHECK(flashed.pixel[p][c] == flashedLonger.pixel[p][c]);
            CHECK(allLonger.pixel[p][c] - all.pixel[p][c] == Approx(3.0 * rest.pixel[p][c]).epsilon(1e-9));
            CHECK(rest.pixel[p][c] != 0.0);
        }
}
