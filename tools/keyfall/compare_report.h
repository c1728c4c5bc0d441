// What `compare` found out: variants with their readings, what differs between them and how surely, as
// lines and as JSON. Not here: the sheet (sheet.h), the page (page.h).
#pragma once

#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "compare_plan.h"
#include "renderer/photograph/view.h"
#include "set_reader.h"

namespace keyfall {

/// A variant once its picture is made; film and stage are gone.
struct ShownVariant {
    PlannedVariant plan;
    Compensation compensation;
    std::unique_ptr<MeteredSet> set;  ///< scene and report after compensation
    nlohmann::ordered_json report;
    std::vector<Warning> warnings;    ///< all of its report
    Srgb8Image picture;
};

/// Of a difference map, in shares of the picture.
struct DifferenceShares {
    double withinNoise = 0.0;
    double brighter = 0.0;  ///< surely so, by 0.1 stop or more
    double darker = 0.0;
};

struct MadeDifference {
    PlannedDifference plan;
    DifferenceShares shares;
};

struct CompareReport {
    ComparePlan plan;
    std::vector<ShownVariant> shown;  ///< those that were finished, in the plan's order
    std::vector<MadeDifference> differences;
    Stopped stopped = Stopped::no;
    std::uint32_t seed = 1;
};

/// Two probes whose contrast is compared: those of the first variant's first ratio.
struct ContrastPair {
    std::string lit, shadow;
};
std::optional<ContrastPair> contrastPair(const CompareReport& report);

/// log2(lit / shadow) of a variant; below 0 where the sides have changed places. Empty: not read.
std::optional<Measured> contrastOf(const Report& report, const ContrastPair& pair);
/// The picture at a probe, in stops over the set exposure (a spot: from 18 % grey).
std::optional<Measured> overAt(const Report& report, const std::string& probe);

/// `b` less `a`. Replicate by replicate: variants share their random numbers, so what is the same noise
/// in both cancels, and the interval is that of the difference.
std::optional<Measured> contrastChange(const Report& a, const Report& b, const ContrastPair& pair);
std::optional<Measured> overChange(const Report& a, const Report& b, const std::string& probe);

/// The shadow edge that is compared: of a lamp that equal exposure moves, else the first. Null: none.
const ShadowEdge* mainEdge(const ShownVariant& variant);

/// How many times as wide a shadow edge has become: that is what an eye goes by.
struct EdgeChange {
    std::optional<Measured> factor;
    bool atSameThrow = false;  ///< the throws differ: of width over throw, since a width grows with it
    std::string why;           ///< there is no factor: edges of two casters, lights or surfaces have none
};
/// Null: no such edge. The interval is that of the factor: replicates of both share their random numbers.
EdgeChange edgeChange(const ShadowEdge* a, const ShadowEdge* b);

/// "equal exposure at label by power of key", ", all but far" where some could not be; "exposed as set" where
/// nothing was moved.
std::string exposureText(const CompareReport& report);
/// The name of the spot that is the background; empty without one.
std::string backgroundName(const Report& report);

std::string textOf(const CompareReport& report);             ///< compare_text.cpp
nlohmann::ordered_json jsonOf(const CompareReport& report);  ///< compare_json.cpp

/// What has to be said of the comparison, each remark once, with the variants that it is about.
std::vector<Warning> warningsOf(const CompareReport& report);

}  // namespace keyfall
