// Mean, standard error and interval of a Reading. Not here: the jackknife (a template, reading.h).
#include "renderer/film/reading.h"

#include <numeric>

namespace keyfall {

double Reading::mean() const {
    return std::accumulate(value.begin(), value.end(), 0.0) / kReplicates;
}

double Reading::standardError() const {
    // s^2 = sum (v - m)^2 / (n - 1), variance of the mean s^2 / n. Two passes: the deviations are
    // small against the mean, and sum v^2 - n m^2 would lose their digits.
    const double m = mean();
    double squares = 0.0;
    for (const double v : value) squares += (v - m) * (v - m);
    return std::sqrt(squares / (kReplicates * (kReplicates - 1.0)));
}

Interval Reading::interval95() const {
    const double m = mean();
    const double half = kStudent95_df15 * standardError();
    return {m - half, m + half};
}

Reading& Reading::operator+=(const Reading& o) {
    for (std::size_t i = 0; i < value.size(); ++i) value[i] += o.value[i];
    return *this;
}

Reading& Reading::operator*=(double s) {
    for (double& v : value) v *= s;
    return *this;
}

}  // namespace keyfall
