// Looks for key values that reach targets with few evaluations, each of which is dear and a little
// noisy, and some of which are impossible. Knows nothing of light: keys are numbers from 0 to 1.
// Not here: what an evaluation is (place_trials.h).
#pragma once

#include <functional>
#include <optional>
#include <vector>

namespace keyfall {

/// One evaluation: where, and how far from each target (offBy, want.h). Impossible: no distances.
struct Trial {
    std::vector<double> at;  ///< 0..1, as it was really evaluated
    std::vector<double> off;
    bool possible() const { return !off.empty(); }
};

struct SearchTask {
    std::size_t keys = 1;
    std::vector<int> sides;     ///< one a target: 0 equal, -1 below, +1 above
    std::vector<double> start;  ///< as the set is; empty: outside the bounds
    /// Empty: the budget is spent, or somebody wants to stop.
    std::function<std::optional<Trial>(const std::vector<double>&)> evaluate;
};

/// All trials in their order; the best by `missSquared` is the answer. Ends early when a trial is
/// within a third of what it may be off.
///   One key, one `=`: a coarse scan, then false position (Illinois) where the sign changes;
///   without such a
/// place the gaps beside the best trial are halved.
///   Else: a coarse scan, then steps that minimise a linear model fitted to the trials near the
///   best one,
/// within bounds that follow the model's success (Gauss-Newton without derivatives). The model is
/// minimised by NLopt; handed the targets themselves, its optimisers take 40 evaluations and more
/// for two keys.
std::vector<Trial> search(const SearchTask& task);

double missSquared(const SearchTask& task, const Trial& trial);

}  // namespace keyfall
