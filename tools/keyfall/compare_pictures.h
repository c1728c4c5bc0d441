// One variant after the other for `compare`: readings, equal exposure, picture. One film at a time. Not
// here: sheet, page and table (command_compare.cpp).
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "compare_report.h"
#include "difference_map.h"

namespace keyfall {

/// Reads every variant before the first is rendered, so that mistakes of the last one show at once.
/// Throws UnreadableSet; CommandLineError for a difference between pictures of two sizes.
void requireComparable(SetReader& reader, const ComparePlan& plan);

/// Lets every reading have the points of the variant that needs the most there. Ends early on Ctrl-C.
void agreeOnPoints(const Options& options, SetReader& reader, const ComparePlan& plan);

/// Of --pictures: PREFIX-NAME.png; empty without.
std::string pictureFile(const Options& options, const PlannedVariant& variant);

/// Meters the variant, brings it to equal exposure, reads again (exact, nothing is traced), renders, and
/// writes its picture if asked for. `look` sees it while its film is there. Empty when stopped by Ctrl-C.
std::optional<ShownVariant> shownVariant(const Options& options, SetReader& reader, const ComparePlan& plan, std::size_t variant,
                                         std::optional<double> time_s, const std::function<void(const ComparedVariant&)>& look);

/// Keeps of the variants what the difference maps need, and draws those whose two sides were finished.
class DifferenceMaker {
  public:
    explicit DifferenceMaker(const ComparePlan& plan) : plan_(plan) {}
    void add(std::size_t variant, const ComparedVariant& made);
    std::vector<MadeDifference> write() const;

  private:
    const ComparePlan& plan_;
    std::map<std::size_t, PictureReplicates> kept_;
};

}  // namespace keyfall
