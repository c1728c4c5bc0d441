// What `place` evaluates: a set read and metered at some values of its keys, or, where only powers
// moved since the last one, its readings made again. Not here: where to look next (place_search.h).
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "place_search.h"
#include "set_reader.h"
#include "vary.h"
#include "want.h"

namespace keyfall {

/// Readings traced, the last one that fills the report included.
inline constexpr int kMostEvaluations = 25;

/// One place, told in the words of the file.
struct PlacedTrial {
    std::vector<VariedValue> values;  ///< one a key
    std::vector<std::optional<Measured>>
        results;      ///< one a want; empty: not possible, or no reading
    std::string why;  ///< why it is not possible
};

class PlaceTrials {
  public:
    /// Powers last: while they run fastest, most of a scan is relit.
    PlaceTrials(SetReader& reader, const Options& options, std::vector<VariedKey> keys,
                std::vector<Want> wants, bool needsCamera);

    /// For SearchTask. `at` in 0..1, one a key.
    std::optional<Trial> evaluate(const std::vector<double>& at);
    std::vector<double> start() const;  ///< as the file has them; empty: not all between the bounds
    std::vector<int> sides() const;
    const std::vector<PlacedTrial>& all() const { return trials_; }  ///< beside the search's own
    const std::vector<VariedKey>& keys() const { return keys_; }
    const std::vector<Want>& wants() const { return wants_; }
    int evaluations() const { return evaluations_; }
    double slowest_s() const { return slowest_s_; }  ///< of the evaluations, tables of modifiers included
    double all_s() const { return all_s_; }          ///< all evaluations together
    /// Paths at each place of a wanted shadow edge, in the last evaluation; 0: no target is of one.
    std::uint32_t edgePaths() const { return edgePaths_; }

    /// Reads and meters the set at these values; counts as an evaluation. Throws SceneError.
    std::unique_ptr<MeteredSet> meteredAt(const std::vector<VariedValue>& values, std::string& why);
    std::vector<std::optional<Measured>> resultsOf(const MeteredSet& set) const;
    SetChange changeAt(const std::vector<VariedValue>& values) const;

  private:
    double scaleOf(std::size_t key, double at) const;
    double shareOf(std::size_t key, double x) const;
    bool onlyRelights(std::size_t key) const;
    void relightTo(const std::vector<VariedValue>& values);
    PlacedTrial placedAt(const std::vector<VariedValue>& values);
    double morePoints(const MeteredSet& set) const;
    void meterEdges(MeteredSet& set);

    SetReader& reader_;
    const Options& options_;
    std::vector<VariedKey> keys_;
    std::vector<Want> wants_;
    std::vector<PlacedTrial> trials_;
    std::vector<Trial> searched_;  ///< the same, as the search sees them
    bool needsCamera_;
    double start_s_;
    int evaluations_ = 0;
    int tries_ = 0;
    double slowest_s_ = 0.0, all_s_ = 0.0;
    std::uint32_t edgePaths_ = 0;
    /// The last set that was traced, and where; powers may have moved since.
    std::unique_ptr<MeteredSet> last_;
    std::vector<VariedValue> lastValues_;
};

}  // namespace keyfall
