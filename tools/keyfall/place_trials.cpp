#include "place_trials.h"

#include <algorithm>
#include <cmath>

#include "scene/photo.h"

namespace keyfall {
namespace {

/// Places that cannot be cost little, but not nothing; and relit ones are not counted at all.
constexpr int kMostTries = 150;
/// From here on a span runs in logarithms: the nearer end of a distance changes the light most.
constexpr double kWideSpan = 3.0;
/// Half of an edge's interval against what its target may be off. The search ends within a third of that, so
/// that the whole interval is then on target.
constexpr double kSureEnough = 0.65;

std::string partAfter(const std::string& path, const std::string& start) {
    return path.rfind(start, 0) == 0 ? path.substr(start.size()) : std::string();
}

/// The light of `light.NAME.power`; "" of any other key.
std::string poweredLight(const VariedKey& key) {
    const std::string rest = partAfter(key.facts.path, "light.");
    const std::size_t dot = rest.find('.');
    return key.facts.type == Type::power && dot != std::string::npos && rest.substr(dot) == ".power"
               ? rest.substr(0, dot)
               : "";
}

bool isSame(const std::vector<VariedValue>& a, const std::vector<VariedValue>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](const VariedValue& x, const VariedValue& y) { return x.text == y.text; });
}

bool isLogarithmic(const VariedKey& key) {
    return !key.inStops() && key.low > 0.0 && key.high / key.low >= kWideSpan;
}

}  // namespace

PlaceTrials::PlaceTrials(SetReader& reader, const Options& options, std::vector<VariedKey> keys,
                         std::vector<Want> wants, bool needsCamera)
    : reader_(reader),
      options_(options),
      keys_(std::move(keys)),
      wants_(std::move(wants)),
      needsCamera_(needsCamera),
      start_s_(steadySeconds()) {
    std::stable_partition(keys_.begin(), keys_.end(),
                          [](const VariedKey& k) { return poweredLight(k).empty(); });
}

double PlaceTrials::scaleOf(std::size_t k, double at) const {
    const VariedKey& key = keys_[k];
    const double x = isLogarithmic(key) ? key.low * std::pow(key.high / key.low, at)
                                        : key.low + (key.high - key.low) * at;
    return std::clamp(x, key.low, key.high);
}

double PlaceTrials::shareOf(std::size_t k, double x) const {
    const VariedKey& key = keys_[k];
    if (isLogarithmic(key)) return std::log(x / key.low) / std::log(key.high / key.low);
    return (x - key.low) / (key.high - key.low);
}

std::vector<double> PlaceTrials::start() const {
    std::vector<double> at;
    for (std::size_t k = 0; k < keys_.size(); ++k) {
        const KeyFacts& facts = keys_[k].facts;
        const std::size_t which = facts.axis.value_or(0);
        // Powers and times are text in the file; where a scan of theirs begins does not matter.
        if (keys_[k].inStops() || which >= facts.written.size()) return {};
        const double x = facts.written[which];
        if (!(x >= keys_[k].low && x <= keys_[k].high)) return {};
        at.push_back(shareOf(k, x));
    }
    return at;
}

std::vector<int> PlaceTrials::sides() const {
    std::vector<int> sides;
    for (const Want& w : wants_)
        sides.push_back(w.is == Want::Is::equal ? 0 : w.is == Want::Is::below ? -1 : 1);
    return sides;
}

SetChange PlaceTrials::changeAt(const std::vector<VariedValue>& values) const {
    SetChange change;
    for (std::size_t k = 0; k < keys_.size(); ++k)
        change.set.push_back(keys_[k].setOption(values[k]));
    return change;
}

/// Depths and what clips are more than readings: for them the set is metered again.
bool PlaceTrials::onlyRelights(std::size_t k) const {
    const std::string light = poweredLight(keys_[k]);
    const auto more = [](const Want& w) {
        return needsPicture(w.figure) || w.figure.name == "depth";
    };
    return !light.empty() && std::none_of(wants_.begin(), wants_.end(), more);
}

void PlaceTrials::relightTo(const std::vector<VariedValue>& values) {
    for (std::size_t k = 0; k < keys_.size(); ++k)
        for (Light& light : last_->scene.lights)
            if (light.name == poweredLight(keys_[k])) {
                light.power_stops = values[k].x;
                light.powerText = canonicalPower(values[k].x);
            }
    readAgain(last_->scene, last_->report.readings);
}

std::unique_ptr<MeteredSet> PlaceTrials::meteredAt(const std::vector<VariedValue>& values,
                                                   std::string& why) {
    auto scene = reader_.readQuietly(changeAt(values), why, needsCamera_);
    if (!scene) return nullptr;
    ++evaluations_;
    const double start_s = steadySeconds();
    auto set = reader_.meter(std::move(*scene), {});
    meterEdges(*set);
    std::vector<Figure> figures;
    for (const Want& w : wants_) figures.push_back(w.figure);
    takeLooks(figures, *set, options_);
    const double took_s = steadySeconds() - start_s;
    all_s_ += took_s;
    slowest_s_ = std::max(slowest_s_, took_s);
    return set;
}

/// Against the points so far: how many are needed to tell of every edge whether it is on target. Noise falls
/// with the root of the points behind a modifier's front, faster under a bare lamp. Far from the target: 1.
double PlaceTrials::morePoints(const MeteredSet& set) const {
    double narrower = 1.0;
    for (const Want& w : wants_) {
        const auto m = needsEdges(w.figure) ? valueOf(w.figure, set) : std::nullopt;
        if (!m) continue;
        const double unsure = unsureBy(w, *m);
        const bool mayBeOnTarget = std::abs(offBy(w, *m)) - 2.0 * unsure < 1.0;
        if (mayBeOnTarget) narrower = std::max(narrower, unsure / kSureEnough);
    }
    return narrower * narrower;
}

/// Few points first; they say how many are needed, and with those the edges are metered once more. Decided
/// once, so that chance does not choose when to stop.
void PlaceTrials::meterEdges(MeteredSet& set) {
    constexpr std::uint32_t kLeast = 64, kMost = 256;  // per replicate: an evaluation keeps to seconds
    const auto ofEdge = [](const Want& w) { return needsEdges(w.figure); };
    if (std::none_of(wants_.begin(), wants_.end(), ofEdge)) return;
    ReadingSettings settings = readingSettings(options_, {});
    const bool asTold = settings.points > 0;
    settings.points = asTold ? std::min(settings.points, kMostEdgePoints) : kLeast;
    const auto meter = [&] {
        edgePaths_ = settings.points * kReplicates;
        set.report.edges = measureShadowEdges(*set.stage, settings, set.report.counters, set.edgeLines);
    };
    meter();
    const double points = std::min<double>(kMost, kLeast * morePoints(set));
    if (asTold || points <= kLeast || interruptFlag().load()) return;
    while (settings.points < points) settings.points *= 2;
    meter();
}

std::vector<std::optional<Measured>> PlaceTrials::resultsOf(const MeteredSet& set) const {
    std::vector<std::optional<Measured>> results;
    for (const Want& w : wants_) results.push_back(valueOf(w.figure, set));
    return results;
}

PlacedTrial PlaceTrials::placedAt(const std::vector<VariedValue>& values) {
    PlacedTrial placed{values, {}, {}};
    bool stands = last_ != nullptr;
    for (std::size_t k = 0; k < keys_.size() && stands; ++k)
        stands = values[k].text == lastValues_[k].text || onlyRelights(k);
    if (stands) {
        relightTo(values);
    } else {
        try {
            last_.reset();  // one set at a time
            last_ = meteredAt(values, placed.why);
        } catch (const SceneError& e) {
            placed.why = e.what();
        }
        if (last_ == nullptr) return placed;
        lastValues_ = values;
    }
    placed.results = resultsOf(*last_);
    if (std::any_of(placed.results.begin(), placed.results.end(), [](const auto& m) { return !m; }))
        placed.why = "there is no reading of it there";
    return placed;
}

std::optional<Trial> PlaceTrials::evaluate(const std::vector<double>& at) {
    const auto left_s = timeLeft_s(options_, start_s_);
    const auto stop = [] { return interruptFlag().load(); };
    if (stop() || (left_s && *left_s <= 0.0 && evaluations_ > 0) ||
        evaluations_ >= kMostEvaluations - 1 || ++tries_ > kMostTries)
        return {};
    Trial trial;
    std::vector<VariedValue> values;
    for (std::size_t k = 0; k < keys_.size(); ++k) {
        values.push_back(keys_[k].at(scaleOf(k, at[k])));
        trial.at.push_back(shareOf(k, values[k].x));
    }
    // Steps may come back to what rounding makes the same place.
    for (std::size_t i = 0; i < trials_.size(); ++i)
        if (isSame(trials_[i].values, values)) {
            trials_.push_back(PlacedTrial(trials_[i]));
            searched_.push_back(Trial(searched_[i]));
            return searched_.back();
        }
    PlacedTrial placed = placedAt(values);
    if (stop()) return {};
    if (placed.why.empty())
        for (std::size_t w = 0; w < wants_.size(); ++w)
            trial.off.push_back(offBy(wants_[w], *placed.results[w]));
    trials_.push_back(std::move(placed));
    searched_.push_back(trial);
    return trial;
}

}  // namespace keyfall
