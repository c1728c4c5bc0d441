// A law as a scene file: meters it with the program and compares. Not here: the laws (other files).
#pragma once

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "../program/run_program.h"

namespace keyfall::test {

inline constexpr double kPi = std::numbers::pi;

/// Tables of modifiers that the laws share: of this process alone, so none is older than the program.
inline std::string beforeProgram() {
    static const auto cache = freshFolder("law-tables");
    return "XDG_CACHE_HOME='" + cache.string() + "'";
}

/// `keyfall meter` on a scene file with --set options and others, as a report.
inline nlohmann::json meterFile(const std::filesystem::path& file, const std::filesystem::path& folder,
                                const std::vector<std::string>& set, const std::string& options) {
    std::string arguments = "meter '" + file.string() + "' " + options;
    for (const std::string& s : set) arguments += " --set '" + s + "'";
    return reportOf(arguments, folder, beforeProgram());
}

/// `keyfall meter` on tests/scenes/NAME.toml with --set options, as a report.
inline nlohmann::json meterScene(const std::string& name, const std::vector<std::string>& set = {},
                                 int seed = 1, const std::string& quality = "final") {
    return meterFile(KEYFALL_TESTS + ("/scenes/" + name + ".toml"), freshFolder("law-" + name), set,
                     "--quality " + quality + " --seed " + std::to_string(seed));
}

inline const nlohmann::json& probeOf(const nlohmann::json& report, const std::string& name) {
    for (const auto& p : report.at("probes"))
        if (p.at("name") == name) return p;
    throw std::runtime_error("no probe " + name);
}

/// Standard error of a figure, from its own interval.
inline double sigmaOf(const nlohmann::json& object, const std::string& key) {
    const auto& interval = object.at(key + "_interval95");
    return (interval.at(1).get<double>() - interval.at(0).get<double>()) / (2.0 * 2.1314);
}

/// A reading against its exact value: within `relative` and within 4 sigma of its own interval
/// (Student's 95 % is 2.131 sigma). `slack` is relative room for floats in the geometry and for the
/// digits to which a printed value was rounded.
inline void checkReading(const nlohmann::json& probe, const std::string& key, double exact,
                         double relative = 0.005, double slack = 1e-4) {
    const double value = probe.at(key).get<double>();
    const double sigma = sigmaOf(probe, key);
    INFO(probe.at("name").get<std::string>()
         << " " << key << ": " << value << " +- " << sigma << ", exact " << exact);
    CHECK(std::abs(value - exact) <= relative * exact);
    CHECK(std::abs(value - exact) <= 4.0 * sigma + slack * exact);
}

/// Bias: the mean over `seeds` independent runs is within 3 standard errors of the exact value,
/// taken from the spread of the runs, and within `relative`.
inline void checkMean(const std::string& name, const std::vector<std::string>& set,
                      const std::string& probe, double exact_lx, int seeds = 20,
                      double relative = 0.001) {
    double sum = 0.0;
    double squares = 0.0;
    for (int seed = 1; seed <= seeds; ++seed) {
        const double ratio =
            probeOf(meterScene(name, set, seed), probe).at("illuminance_lx").get<double>() /
            exact_lx;
        sum += ratio - 1.0;
        squares += (ratio - 1.0) * (ratio - 1.0);
    }
    const double mean = sum / seeds;
    const double error = std::sqrt((squares / seeds - mean * mean) / (seeds - 1));
    INFO(name << " " << probe << ": off by " << mean << " +- " << error << " of " << exact_lx);
    CHECK(std::abs(mean) <= relative);
    CHECK(std::abs(mean) <= 3.0 * error + 1e-5);
}

inline std::string number(double x) {
    char text[40];
    std::snprintf(text, sizeof text, "%.9g", x);
    return text;
}
inline std::string vector3(double x, double y, double z) {
    return "[" + number(x) + ", " + number(y) + ", " + number(z) + "]";
}

}  // namespace keyfall::test
