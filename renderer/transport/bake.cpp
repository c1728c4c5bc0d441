// How fine a table has to be, and filling it. Not here: the photons (light_trace.cpp), the cells
// (bake_cells.cpp).
#include "renderer/transport/bake.h"

#include <algorithm>
#include <deque>
#include <limits>

#include "renderer/transport/bake_cells.h"
#include "renderer/transport/bake_smooth.h"
#include "renderer/transport/once_scattered.h"
#include "scene/bare_scene.h"

namespace keyfall {
namespace {

/// The fabric that lies in the exit, if one does: nothing follows it but air. nullptr: light leaves as
/// the inside, a baffle or a grid sent it.
const Material* frontOf(const ModifierBody& body) {
    constexpr float kInTheExit_m = 3e-3F;
    for (const ModifierPart& part : body.parts) {
        const Material& m = body.materials[part.material];
        if (part.outside || m.base != Base::sheet || m.transmittance.isBlack()) continue;
        const Box3 box = boundsOf(part.mesh);
        if (box.low.z > -kInTheExit_m && box.high.z < kInTheExit_m) return &m;
    }
    return nullptr;
}

/// Positions of a face: finer for what is not folded.
void setPositions(BakeSettings& size, const ModifierBody& body, int along, int across) {
    const int factor = body.symmetry == Symmetry::none ? 2 : 1;
    size.along = along * factor;
    size.across = across * factor;
}

BakeSettings completed(BakeSettings size, const ModifierBody& body) {
    const BakeSettings usual = bakeSizeFor(body);
    if (size.photons == 0) size.photons = usual.photons;
    if (size.along == 0) size.along = usual.along;
    if (size.across == 0) size.across = usual.across;
    if (size.directions == 0) size.directions = usual.directions;
    return size;
}

Bands asBands(const BandSums& sums) {
    Bands bands;
    for (int b = 0; b < kBands; ++b) bands[b] = static_cast<float>(sums.v[static_cast<std::size_t>(b)]);
    return bands;
}

using Streams = std::array<LightBalance, kLightStreams>;

/// Flux of every cell as a share of the lamp's, streams added in their order.
std::vector<BandSums> fluxOfCells(const std::deque<CellSums>& sums, const Streams& streams,
                                  std::size_t face) {
    std::vector<BandSums> flux(sums.front().face(face).size());
    for (std::size_t s = 0; s < kLightStreams; ++s) {
        const double photons = static_cast<double>(std::max<std::uint64_t>(1, streams[s].photons));
        const double each = 1.0 / (photons * kLightStreams);
        const std::vector<Bands>& own = sums[s].face(face);
        for (std::size_t c = 0; c < own.size(); ++c)
            for (std::size_t b = 0; b < kBands; ++b) flux[c].v[b] += each * static_cast<double>(own[c].v[b]);
    }
    return flux;
}

/// Variance of each cell's luminance, mean over the bands, from the spread of the streams.
std::vector<double> varianceOfCells(const std::deque<CellSums>& sums, const Streams& streams,
                                    const std::vector<double>& measure, std::size_t face) {
    std::vector<double> variance(measure.size(), 0.0);
    for (std::size_t c = 0; c < measure.size(); ++c) {
        if (measure[c] <= 0.0) continue;
        double sum = 0.0, squares = 0.0;
        for (std::size_t s = 0; s < kLightStreams; ++s) {
            const Bands& flux = sums[s].face(face)[c];
            double own = 0.0;
            for (int b = 0; b < kBands; ++b) own += static_cast<double>(flux[b]);
            own /= kBands * static_cast<double>(std::max<std::uint64_t>(1, streams[s].photons)) * measure[c];
            sum += own;
            squares += own * own;
        }
        const double n = kLightStreams;
        variance[c] = std::max(0.0, squares - sum * sum / n) / (n * (n - 1.0));
    }
    return variance;
}

/// Adds what once_scattered.h finds; its flux, a share of the lamp's.
BandSums addOnceScattered(TableFace& face, const Stage& stage, const std::vector<double>& measure, float share,
                          const RunSettings& run) {
    std::vector<BandSums> flux = onceScattered(stage, face, measure, share, run);
    BandSums sum;
    for (const BandSums& cell : flux) sum.add(cell);
    addLuminance(face, measure, std::move(flux));
    return sum;
}

}  // namespace

// Measured against the traced inside at 0.2 to 2 m, on and off the axis. An odd number of directions has
// a cell, and not the corner of four, on the axis, where a lamp hides a part of its own reflection.
BakeSettings bakeSizeFor(const ModifierBody& body) {
    BakeSettings size;
    const Material* front = frontOf(body);
    if (front != nullptr) {
        // Lambert's law leaves nothing to resolve; what the fabric passes straight has a shape.
        setPositions(size, body, 8, 8);
        size.directions = front->straight.isBlack() ? 2 : 9;
        size.photons = 1U << 17U;
    } else if (body.exits.size() > 1) {
        setPositions(size, body, 12, 12);
        size.directions = 25;
        size.photons = 1U << 19U;
    } else if (body.hasGrid) {
        // Narrow beams: every bit of the angle counts, and across the mouth they are much alike.
        setPositions(size, body, 4, 4);
        size.directions = 101;
        size.photons = 1U << 18U;
    } else if (body.symmetry == Symmetry::turned) {
        setPositions(size, body, 16, 1);
        size.directions = 57;
        size.photons = 1U << 17U;
    } else if (body.exits.front().shape.kind == LampKind::disc) {
        // No turn about the axis averages the noise here.
        setPositions(size, body, 8, 4);
        size.directions = 57;
        size.photons = 1U << 17U;
    } else {
        setPositions(size, body, 12, 12);
        size.directions = 57;
        size.photons = 1U << 18U;
    }
    return size;
}

NearFieldTable bake(const LampShape& shape, const Material& lampBody, const ModifierBody& body,
                    const BakeSettings& settings) {
    const BakeSettings size = completed(settings, body);
    const Scene scene = bareScene(shape, lampBody, &body, Doors::without);
    const Stage stage(scene, size.run.threads);

    NearFieldTable table;
    table.faces = tableFacesOf(body, size);
    std::deque<CellSums> sums;
    std::array<ExitSink*, kLightStreams> sinks{};
    for (ExitSink*& sink : sinks) sink = &sums.emplace_back(table.faces);
    const bool open = frontOf(body) == nullptr;
    const bool ahead = open && body.exits.size() == 1;
    // Where one cell stands for all azimuths photons are enough, and faster.
    const bool lookBack = open && body.symmetry != Symmetry::turned;
    const Streams streams = traceLight(stage, body.exits, {size.run, size.photons, ahead, lookBack}, sinks);

    const LightBalance all = meanOf(streams);
    BandSums scattered = all.scattered;
    // A table of few photons, made to learn of the noise, is as rough in its other part.
    const float share = static_cast<float>(size.photons) / static_cast<float>(bakeSizeFor(body).photons);
    // By measurement: a tube's narrow picture is blurred by 7 x 7, a bulb's is not.
    const int reach = body.symmetry == Symmetry::turned ? 3 : 2;
    for (std::size_t f = 0; f < table.faces.size(); ++f) {
        TableFace& face = table.faces[f];
        const std::vector<double> measure = cellMeasures_srM2(face);
        addLuminance(face, measure, fluxOfCells(sums, streams, f));
        if (open) smoothDirections(face, varianceOfCells(sums, streams, measure, f), reach);
        if (lookBack) scattered.add(addOnceScattered(face, stage, measure, share, size.run));
    }
    table.scattered = asBands(scattered);
    table.straight = asBands(all.straight);
    table.absorbed = asBands(all.absorbed);
    table.photons = all.photons;
    return table;
}

}  // namespace keyfall
