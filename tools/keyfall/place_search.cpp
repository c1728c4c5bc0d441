#include "place_search.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "place_model.h"

namespace keyfall {
namespace {

constexpr double kNear = 0.35;  ///< of what a target may be off: closer is below the noise
constexpr double kSmallestGap = 0.004;

class Search {
  public:
    explicit Search(const SearchTask& task) : task_(task) {}

    std::vector<Trial> run() {
        scan();
        if (!done_ && task_.keys == 1 && task_.sides == std::vector<int>{0})
            bracket();
        else if (!done_)
            descend();
        return trials_;
    }

  private:
    bool isNear(const Trial& t) const {
        for (std::size_t i = 0; i < t.off.size(); ++i) {
            const int side = task_.sides[i];
            if (side == 0 ? std::abs(t.off[i]) > kNear
                          : missOfSide(side, t.off[i]) != 0.0 || t.off[i] == 0.0)
                return false;
        }
        return t.possible();
    }

    /// Evaluates; the copy is the trial. Sets `done_` when it is near enough or nothing more may be
    /// asked.
    std::optional<Trial> tryAt(const std::vector<double>& at) {
        std::optional<Trial> t = done_ ? std::nullopt : task_.evaluate(at);
        if (t) trials_.push_back(*t);
        done_ = !t || isNear(*t);
        return t;
    }

    const Trial* best() const {
        const Trial* found = nullptr;
        for (const Trial& t : trials_)
            if (t.possible() &&
                (found == nullptr || missSquared(task_, t) < missSquared(task_, *found)))
                found = &t;
        return found;
    }

    void scan() {
        if (!task_.start.empty()) tryAt(task_.start);
        const std::size_t steps = task_.keys == 1 ? 5 : 3;
        if (task_.keys <= 2) {
            const std::size_t all = task_.keys == 1 ? steps : steps * steps;
            for (std::size_t i = 0; i < all && !done_; ++i) {
                std::vector<double> at;
                std::size_t rest = i;
                for (std::size_t k = 0; k < task_.keys; ++k, rest /= steps)
                    at.insert(at.begin(),
                              static_cast<double>(rest % steps) / static_cast<double>(steps - 1));
                tryAt(at);
            }
            return;
        }
        for (std::size_t i = 1; i <= 3 * task_.keys && !done_; ++i) tryAt(halton(i));
    }

    /// Points of Halton's sequence: spread evenly however many there are.
    std::vector<double> halton(std::size_t index) const {
        constexpr std::array<std::size_t, 8> primes = {2, 3, 5, 7, 11, 13, 17, 19};
        std::vector<double> at;
        for (std::size_t k = 0; k < task_.keys; ++k) {
            const std::size_t base = primes[k % primes.size()];
            double value = 0.0, digit = 1.0 / static_cast<double>(base);
            for (std::size_t i = index; i > 0; i /= base, digit /= static_cast<double>(base))
                value += digit * static_cast<double>(i % base);
            at.push_back(value);
        }
        return at;
    }

    // --- One key, one `=` ---

    std::vector<Trial> sorted() const {
        std::vector<Trial> all = trials_;
        std::stable_sort(all.begin(), all.end(),
                         [](const Trial& a, const Trial& b) { return a.at[0] < b.at[0]; });
        return all;
    }

    void bracket() {
        while (!done_) {
            const std::vector<Trial> all = sorted();
            std::size_t pair = all.size();
            double least = HUGE_VAL;
            for (std::size_t i = 0; i + 1 < all.size(); ++i) {
                const bool crosses = all[i].possible() && all[i + 1].possible() &&
                                     all[i].off[0] * all[i + 1].off[0] < 0.0;
                const double gap = all[i + 1].at[0] - all[i].at[0];
                if (!crosses || gap < kSmallestGap) continue;
                const double size = std::abs(all[i].off[0]) + std::abs(all[i + 1].off[0]);
                if (size < least) least = size, pair = i;
            }
            if (pair < all.size())
                falsePosition(all[pair], all[pair + 1]);
            else if (!halveGap(all))
                return;
        }
    }

    /// Illinois: an end that stays twice counts half, so that both ends come nearer (Dowell and
    /// Jarratt, BIT 11, 1971; from memory).
    void falsePosition(const Trial& left, const Trial& right) {
        double a = left.at[0], b = right.at[0], fa = left.off[0], fb = right.off[0];
        int stayed = 0;
        for (int i = 0; i < 20 && !done_ && b - a > kSmallestGap; ++i) {
            const auto t = tryAt({a + (b - a) * std::clamp(fa / (fa - fb), 0.02, 0.98)});
            if (!t || !t->possible()) return;
            const double f = t->off[0];
            if (t->at[0] <= a || t->at[0] >= b)
                return;  // nothing lies between two values that a person would set
            if (f * fb > 0.0) {
                b = t->at[0], fb = f;
                if (stayed < 0) fa *= 0.5;
                stayed = -1;
            } else {
                a = t->at[0], fa = f;
                if (stayed > 0) fb *= 0.5;
                stayed = 1;
            }
        }
    }

    /// The wider gap beside the best trial; impossible places are neighbours too. False: none is
    /// left.
    bool halveGap(const std::vector<Trial>& all) {
        const Trial* found = best();
        if (found == nullptr) return halveWidest(all);
        double left = 0.0, right = 1.0;
        for (const Trial& t : all) {
            if (t.at[0] < found->at[0]) left = std::max(left, t.at[0]);
            if (t.at[0] > found->at[0]) right = std::min(right, t.at[0]);
        }
        const double here = found->at[0];
        const double gap = std::max(here - left, right - here);
        if (gap < 2.0 * kSmallestGap) return false;
        tryAt({here - left > right - here ? 0.5 * (here + left) : 0.5 * (here + right)});
        return true;
    }

    bool halveWidest(const std::vector<Trial>& all) {
        double widest = 0.0, middle = 0.0;
        for (std::size_t i = 0; i + 1 < all.size(); ++i) {
            const double gap = all[i + 1].at[0] - all[i].at[0];
            if (gap > widest) widest = gap, middle = 0.5 * (all[i].at[0] + all[i + 1].at[0]);
        }
        if (widest < 0.02) return false;
        tryAt({middle});
        return true;
    }

    // --- Everything else ---

    void descend() {
        double radius = 0.5;
        for (int i = 0; i < 60 && !done_ && radius > 0.5 * kSmallestGap; ++i) {
            const Trial* from = best();
            if (from == nullptr) {
                tryAt(halton(trials_.size() + 7));
                continue;
            }
            const double before = missSquared(task_, *from);
            const auto t = tryAt(modelMinimum(task_, trials_, *from, radius));
            if (!t) return;
            radius *= t->possible() && missSquared(task_, *t) < 0.9 * before ? 1.6 : 0.4;
            radius = std::min(radius, 0.5);
        }
    }

    const SearchTask& task_;
    std::vector<Trial> trials_;
    bool done_ = false;
};

}  // namespace

double missSquared(const SearchTask& task, const Trial& trial) {
    double sum = 0.0;
    for (std::size_t i = 0; i < trial.off.size(); ++i)
        sum += missOfSide(task.sides[i], trial.off[i]) * missOfSide(task.sides[i], trial.off[i]);
    return sum;
}

std::vector<Trial> search(const SearchTask& task) {
    return Search(task).run();
}

}  // namespace keyfall
