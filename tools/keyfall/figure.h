// A figure that can be asked for by name: `stops(label)`, `contrast(lit-side, shadow-side)`,
// `edge(cast-shadow)`, ... What `series` tabulates and `place` aims at. Not here: how it is measured
// (renderer/meter), what is done with it (command_series.cpp, command_place.cpp).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "renderer/meter/readings.h"

namespace keyfall {

struct MeteredSet;

/// F(ARGUMENT, ...): reading(P), stops(P), lux(P), exposure(P), each also for one light as stops(P, key);
/// contrast(A, B), kf_f(A, B), k_f(A, B); edge(E), depth(E); background(); clipped(AREA);
/// mirrors(LIGHT, AREA).
struct Figure {
    std::string name;                     ///< "stops"
    std::vector<std::string> arguments;   ///< "label", "key"
    std::string text;                     ///< as written: "stops(label, key)"
};

/// `what` is said before the message: "--read", "--want". Throws CommandLineError: what was found; what is
/// allowed; a likely fix. A bare ratio(...) is refused with contrast, kf_f and k_f as the hint.
Figure parseFigure(const std::string& text, const std::string& what);

/// Throws CommandLineError for an argument that the scene does not have, with those there are.
void requireFigure(const Figure& figure, const Scene& scene);

std::string unitOf(const Figure& figure);   ///< "stops", "mm", "lx", "%", "" for ratios and f-numbers

/// Does the figure need the shadow edges, or the looks of the camera, or a picture?
bool needsEdges(const Figure& figure);
bool needsLooks(const Figure& figure);
bool needsPicture(const Figure& figure);    ///< clipped(AREA)

/// Empty: missing there (too little light, no such edge). Geometry (mirrors) has an interval of its own width.
std::optional<Measured> valueOf(const Figure& figure, const MeteredSet& set);

}  // namespace keyfall
