// The benchmark's parts and what they share: repeats, median and spread, clocks, child processes.
// Not here: what each part measures (one file a part), the command line (main.cpp).
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "renderer/transport/render.h"
#include "scene/scene.h"

namespace keyfall::bench {

struct Settings {
    int repeats = 5;
    int width_px = 480;
};

/// Median and extremes of repeated measurements.
struct Spread {
    double median = 0.0;
    double low = 0.0;
    double high = 0.0;
};
Spread spreadOf(std::vector<double> values);
/// `0.512 (0.498..0.520)`, `decimals` digits each.
std::string text(const Spread& spread, int decimals);
/// One line: name, figure, and "goal ..., met" or "goal ..., NOT MET".
void printGoal(const std::string& name, const std::string& figure, const std::string& goal, bool met);

/// The demo's scene, its picture `width_px` wide. Throws std::runtime_error when it cannot be read.
Scene demoScene(int width_px);
RenderSettings fixedSamples(int samples, int threads, std::uint32_t seed = 1);
/// Seconds of processor time this process has used, all threads together. Other programs on the
/// machine slow it far less than they slow the wall clock.
double cpuSeconds();

/// Runs `work` in a process of its own and hands back its figures: the memory it peaks at is its
/// own, and a thread pool started there is not inherited half dead by the next one.
/// Throws std::runtime_error when the child fails.
std::vector<double> inChild(const std::function<std::vector<double>()>& work);
/// The same for several at once. Each calls the function it is given when it is ready, and goes on
/// when all are.
using WaitForOthers = std::function<void()>;
std::vector<std::vector<double>> inChildren(
    int count, const std::function<std::vector<double>(const WaitForOthers&)>& work);
/// Highest resident size of this process so far, bytes.
double peakBytes();

void benchKernelShare(const Settings& settings);
void benchThreads(const Settings& settings);
void benchPoints(const Settings& settings);
void benchMeshes(const Settings& settings);
void benchMeter(const Settings& settings);
void benchSampler(const Settings& settings);
void benchBake(const Settings& settings);
void benchMixer(const Settings& settings);

}  // namespace keyfall::bench
