// Maps beside the picture: stops from mid grey, what is clipped, what glossy faces mirror. Not here: the
// sheet they are drawn on (maps_sheet.h), the figures (renderer).
#pragma once

#include <string>
#include <vector>

#include "outputs.h"
#include "renderer/film/film.h"
#include "renderer/photograph/clipped_pixels.h"
#include "renderer/photograph/exposure.h"
#include "report.h"

namespace keyfall {

/// What the maps are of. `image` is the straight picture of `film` in this mix.
struct MapSources {
    const Stage& stage;
    const Report& report;
    const Film& film;
    const std::vector<LayerMix>& mix;
    const LinearImage& image;
    const ClippedPixels& clipped;
};

/// PREFIX-stops.png, PREFIX-clipped.png, PREFIX-mirrors.png; none for an empty prefix.
std::vector<Output> mapOutputs(const std::string& prefix);
/// Their names, a line each.
std::string mapNames(const std::string& prefix);
/// Writes all three; nothing for an empty prefix. Throws WriteError; each file is whole or absent.
void writeMaps(const MapSources& sources, const std::string& prefix);

void writeStopsMap(const MapSources& sources, const std::string& file);    ///< maps_stops.cpp
void writeClippedMap(const MapSources& sources, const std::string& file);  ///< maps_clipped.cpp
void writeMirrorsMap(const MapSources& sources, const std::string& file);  ///< maps_mirrors.cpp

}  // namespace keyfall
