// What the sensor makes of the light in a Film: electrons, shot and read noise, where the raw ends, and
// the picture with that noise in it. Not here: sums over spectra (scene/sensor_arithmetic.h); noise of
// the calculation, which is another thing (film.h, noiseMap_stops).
#pragma once

#include <cstdint>
#include <glm/glm.hpp>
#include <vector>

#include "renderer/film/film.h"
#include "renderer/photograph/exposure.h"
#include "scene/sensor_arithmetic.h"

namespace keyfall {

/// Area of one sensor pixel, m^2, all of it sensitive.
double pixelArea_m2(const Camera& camera);
/// The sensor as set: a neutral in daylight ends in the raw at kRawClip of the picture, earlier where
/// the well is full before.
SensorAtSpeed sensorAsSet(const Camera& camera);
/// Electrons of one pixel per cd*s/m^2 of a surface in this light, by band.
BandElectrons electronsPerCdsm2(const Camera& camera, const FineSpectrum& light);

/// A light of the colour that the picture is balanced for. `automatic` as in cameraWhite(): lamp light
/// of its correlated temperature stands for it, since an XYZ has no spectrum.
FineSpectrum whiteSpectrum(const Camera& camera, const std::vector<Light>& lights, glm::dvec3 automatic);
/// Electrons of a surface that the picture shows at `value` in light of spectrum `white`.
glm::dvec3 electronsAtPicture(const Camera& camera, const FineSpectrum& white, double value);

/// Red, green and blue electrons of each pixel. Every pixel has all three: the mosaic of a real sensor,
/// and what a converter does to guess the other two, are left out.
struct ElectronImage : PixelImage {};

/// Mean electrons. `film` is in the sensor's own pixels, or coarser: then these are the electrons of one
/// sensor pixel inside. Lights' colours are those of `scene`, amounts those of `mix`.
ElectronImage meanElectrons(const Scene& scene, const Film& film, const std::vector<LayerMix>& mix);
/// One exposure: Poisson's shot noise, normal read noise, cut at saturation. Below 0 by read noise is
/// kept, as in a raw file with its black level. Seeded by pixel: the same bytes for any threads.
ElectronImage exposePixels(const ElectronImage& mean, const SensorAtSpeed& sensor, std::uint32_t seed);
/// Share of pixels of which a channel is full.
double fullShare(const ElectronImage& mean, const SensorAtSpeed& sensor);

/// Electrons to linear sRGB: factor * E^-1. Column j of E is what a surface of the j-th of the three
/// smooth reflectances (reflectanceFromRgb: red, green, blue, whose sum is white) gives in light `white`;
/// so neutrals come out exactly, other colours as near as three channels can tell them.
glm::dmat3 linearFromElectrons(const Camera& camera, const FineSpectrum& white);

/// The picture with one exposure's noise in it: linear + M (exposed - mean). The colours stay those of the
/// light, exact; the sensor adds its noise alone. Where a channel is full in the mean, the pixel is
/// brought down by one factor to where its fullest channel just is: nothing above that is recorded.
LinearImage withNoise(const LinearImage& picture, const ElectronImage& mean, const ElectronImage& exposed,
                      const SensorAtSpeed& sensor, const glm::dmat3& fromElectrons);

}  // namespace keyfall
