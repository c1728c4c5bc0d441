// Which variants `compare` shows, how they are brought to equal exposure, what is held against what: the
// scene file and the command line together. Not here: the work (command_compare.cpp).
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "equal_exposure.h"
#include "options.h"

namespace keyfall {

/// The file's own set, among the names of variants; on the command line also as `as-written`.
inline const std::string kAsWritten = "as written";

struct PlannedVariant {
    std::string name;      ///< as shown
    std::string variant;   ///< of the file; empty: the set as written
    std::string caption;
    /// Key and value as people read them ("key modifier", "softbox-60x60"); of the set as written what
    /// the other variants change.
    std::vector<std::pair<std::string, std::string>> changes;
    std::vector<std::pair<std::string, std::string>> set;  ///< key paths and values, of the file's variant
};

struct PlannedDifference {
    std::size_t from = 0, to = 0;  ///< into ComparePlan::variants
    std::string file;
};

struct ComparePlan {
    std::vector<PlannedVariant> variants;
    EqualExposure equal;
    std::vector<std::string> live;
    std::vector<PlannedDifference> differences;
    std::vector<Warning> warnings;
};

/// The set as written stands first unless a variant equals it, kMostVariants are there without it, or
/// `--variants` names others. Throws CommandLineError for names that are not there and files that do not
/// fit them, SceneError for a file without variants, with too many, or without a probe to expose for.
ComparePlan comparePlan(const Scene& asWritten, const CompareOptions& options);

}  // namespace keyfall
