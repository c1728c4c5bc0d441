// A figure that can be asked for by name: `stops(label)`, `contrast(lit-side, shadow-side)`,
// `edge(cast-shadow)`, ... What `series` tabulates and `place` aims at. Not here: how it is
// measured (renderer/meter), what is done with it (command_series.cpp, command_place.cpp).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "renderer/meter/readings.h"

namespace keyfall {

struct MeteredSet;
struct Report;
struct Options;

/// F(ARGUMENT, ...): reading(P), stops(P), lux(P), exposure(P), each also for one light as stops(P,
/// key); contrast(A, B), kf_f(A, B), k_f(A, B); edge(E), depth(E); background(); clipped(AREA);
/// mirrors(LIGHT, AREA).
struct Figure {
    std::string name;                    ///< "stops"
    std::vector<std::string> arguments;  ///< "label", "key"
    std::string text;                    ///< as written: "stops(label, key)"
};

/// `what` is said before the message: "--read", "--want". Throws CommandLineError: what was found;
/// what is allowed; a likely fix. A bare ratio(...) is refused with contrast, kf_f and k_f as the
/// hint.
Figure parseFigure(const std::string& text, const std::string& what);

/// Throws CommandLineError for an argument that the scene does not have, with those there are.
void requireFigure(const Figure& figure, const Scene& scene);

std::string unitOf(
    const Figure& figure);  ///< "stops", "mm", "lx", "%", "" for ratios and f-numbers

/// Does the figure need a camera in the scene, the shadow edges, the looks of the camera, or a picture?
bool needsCamera(const Figure& figure);
bool needsEdges(const Figure& figure);
bool needsLooks(const Figure& figure);
bool needsPicture(const Figure& figure);  ///< clipped(AREA)

/// What the figures need beside the readings goes into the set's report: looks, edges, and of a
/// small picture what is clipped. Each once, however many figures ask for it.
void takeLooks(const std::vector<Figure>& figures, MeteredSet& set, const Options& options);

/// The names of the figures that a command shows when none is asked for: stops and contrast at the
/// incident probes, the background, the first edge; as far as the scene has them.
std::vector<Figure> usualFigures(const Scene& scene);

/// Empty: missing there (too little light, no such edge). What clips is as sure as so many pixels
/// thrown at random; what is mirrored is geometry, its interval has no width.
std::optional<Measured> valueOf(const Figure& figure, const MeteredSet& set);
/// Why that is empty, for a remark: "too little light found at label".
std::string whyMissing(const Figure& figure, const MeteredSet& set);

/// Which of the edges asked for were measured elsewhere than on the set's first form, and at which throw; empty:
/// none.
std::string movedText(const std::vector<Figure>& figures, const Report& report);

}  // namespace keyfall
