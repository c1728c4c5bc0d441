#include "renderer/transport/render.h"

#include <algorithm>
#include <mutex>

#include "renderer/optics/sampler.h"
#include "renderer/optics/warp.h"
#include "renderer/transport/camera_rays.h"

namespace keyfall {
namespace {

constexpr int kTile_px = 16;

/// Collects one replicate of one pixel.
class PixelSink {
  public:
    explicit PixelSink(const std::vector<Bands>& luminanceWeights)
        : weights_(luminanceWeights), sum_(weights_.size()), highlight_(weights_.size(), 0.0F),
          caustic_(weights_.size(), 0.0) {}

    void add(std::uint32_t layer, const Bands& transfer, const Arrival& how) {
        sum_[layer] += transfer;
        if (how.specular) highlight_[layer] += dot(weights_[layer], transfer);
        if (how.caustic) caustic_[layer] += static_cast<double>(dot(weights_[layer], transfer));
    }
    void addHighlight(std::uint32_t layer, const Bands& part) {
        highlight_[layer] += dot(weights_[layer], part);
    }
    void firstHit(const SurfacePoint& s) { productHits_ += s.isProduct ? 1U : 0U; }

    /// Moves what was collected into the film and starts afresh.
    void flush(Film& film, std::size_t pixel, std::size_t replicate) {
        for (std::size_t l = 0; l < sum_.size(); ++l) {
            FilmCell& cell = film.cell(l, pixel);
            for (int b = 0; b < kBands; ++b) cell.transferSum[static_cast<std::size_t>(b)] += sum_[l][b];
            cell.replicateSum[replicate] += dot(weights_[l], sum_[l]);
            film.specularSum(l, pixel) += highlight_[l];
            sum_[l] = Bands();
            highlight_[l] = 0.0F;
        }
        film.productHits(pixel) += productHits_;
        productHits_ = 0;
    }
    const std::vector<double>& caustic() const { return caustic_; }

  private:
    const std::vector<Bands>& weights_;
    std::vector<Bands> sum_;
    std::vector<float> highlight_;
    std::vector<double> caustic_;
    std::uint32_t productHits_ = 0;
};

/// One run of passes over the picture.
class Passes {
  public:
    Passes(const Stage& stage, Film& film, const RenderSettings& settings)
        : stage_(stage), film_(film), settings_(settings), layers_(layerTable(stage.scene())),
          camera_(stage.scene().camera, film.width(), film.height()),
          tilesX_((film.width() + kTile_px - 1) / kTile_px),
          tilesY_((film.height() + kTile_px - 1) / kTile_px),
          caustic_(tileCount(), std::vector<double>(layers_.count)), counters_(tileCount()) {
        layers_.wantsSplit = true;
        for (const LayerInfo& info : film.layers()) weights_.push_back(info.bands.luminance());
    }

    std::size_t tileCount() const {
        return static_cast<std::size_t>(tilesX_) * static_cast<std::size_t>(tilesY_);
    }

    /// Indices [from, to) of every replicate of every pixel; `told(done)` after each tile.
    template <class Told>
    void run(std::uint32_t from, std::uint32_t to, const Told& told) {
        parallelTasks(settings_.run.threads, tileCount(), [&](std::size_t tile) {
            if (settings_.run.stop != nullptr && settings_.run.stop->load()) return;
            if (settings_.independentPoints) traceTile<IndependentSampler>(tile, from, to);
            else traceTile<PathSampler>(tile, from, to);
            told();
        });
    }

    PathCounters counters() const {
        PathCounters sum;
        for (const PathCounters& c : counters_) sum += c;
        return sum;
    }

    /// Caustic luminance over all luminance, per layer.
    std::vector<double> causticShare() const {
        std::vector<double> share(layers_.count, 0.0);
        for (std::size_t l = 0; l < share.size(); ++l) {
            double all = 0.0;
            double caustic = 0.0;
            for (std::size_t p = 0; p < film_.pixelCount(); ++p)
                for (const float r : film_.cell(l, p).replicateSum) all += static_cast<double>(r);
            for (const auto& tile : caustic_) caustic += tile[l];
            share[l] = all > 0.0 ? caustic / all : 0.0;
        }
        return share;
    }

  private:
    template <class Sampler>
    void traceTile(std::size_t tile, std::uint32_t from, std::uint32_t to) {
        const int x0 = static_cast<int>(tile % static_cast<std::size_t>(tilesX_)) * kTile_px;
        const int y0 = static_cast<int>(tile / static_cast<std::size_t>(tilesX_)) * kTile_px;
        PixelSink sink(weights_);
        for (int y = y0; y < std::min(y0 + kTile_px, film_.height()); ++y)
            for (int x = x0; x < std::min(x0 + kTile_px, film_.width()); ++x)
                tracePixel<Sampler>(x, y, from, to, sink, counters_[tile]);
        for (std::size_t l = 0; l < layers_.count; ++l) caustic_[tile][l] += sink.caustic()[l];
    }

    template <class Sampler>
    void tracePixel(int x, int y, std::uint32_t from, std::uint32_t to, PixelSink& sink,
                    PathCounters& counters) {
        const auto pixel = static_cast<std::size_t>(y) * static_cast<std::size_t>(film_.width()) +
                           static_cast<std::size_t>(x);
        for (std::size_t r = 0; r < kPictureReplicates; ++r) {
            const auto stream = static_cast<std::uint32_t>(pixel * kPictureReplicates + r);
            for (std::uint32_t i = from; i < to; ++i) {
                Sampler sampler(settings_.run.seed, stream, i);
                const glm::vec2 film_px = glm::vec2(x, y) + sampler.next2D();
                const Ray ray = camera_.at(film_px, sampleDisk(sampler.next2D()));
                Path<Sampler, PixelSink>(stage_, layers_, sampler, sink, counters).fromEye(ray);
            }
            sink.flush(film_, pixel, r);
        }
        film_.samplesAt(pixel) += (to - from) * kPictureReplicates;
    }

    const Stage& stage_;
    Film& film_;
    const RenderSettings& settings_;
    LayerTable layers_;
    CameraRays camera_;
    std::vector<Bands> weights_;
    int tilesX_;
    int tilesY_;
    std::vector<std::vector<double>> caustic_;  // per tile: sums must not depend on threads
    std::vector<PathCounters> counters_;
};

/// Tells progress at most five times a second, from whichever worker comes by.
class Teller {
  public:
    Teller(const RunSettings& run, double total, double start_s, double (*clock)(const RunSettings&))
        : run_(run), total_(total), start_s_(start_s), clock_(clock) {}

    void add(double units) {
        const std::lock_guard<std::mutex> lock(mutex_);
        done_ += units;
        if (!run_.tell) return;
        const double now = clock_(run_);
        if (now - last_s_ < 0.2) return;
        last_s_ = now;
        const double share = std::min(1.0, done_ / total_);
        run_.tell({share, (now - start_s_) * (1.0 - share) / std::max(share, 1e-9)});
    }
    void aimAt(double total) { total_ = total; }

  private:
    const RunSettings& run_;
    std::mutex mutex_;
    double total_;
    double done_ = 0.0;
    double start_s_;
    double last_s_ = 0.0;
    double (*clock_)(const RunSettings&);
};

/// Samples that would reach the wanted noise, as variance falls with their number; for the
/// progress bar alone.
double expectedSamples(int done, double noise, const RenderSettings& s) {
    if (s.samples > 0) return s.samples;
    const double ratio = noise / s.noise_stops;
    return std::clamp(done * ratio * ratio, static_cast<double>(done), static_cast<double>(s.mostSamples));
}

}  // namespace

RenderResult render(const Stage& stage, Film& film, const RenderSettings& settings) {
    const double start_s = now_s(settings.run);
    const std::vector<LayerMix> mix = mixAsSet(stage.scene(), stage.scene().camera.shutter_s.exact);
    Passes passes(stage, film, settings);
    RenderResult result;
    const int most = settings.samples > 0 ? settings.samples : settings.mostSamples;
    Teller teller(settings.run, settings.samples > 0 ? settings.samples : 32.0, start_s, now_s);
    const double perTile = 1.0 / static_cast<double>(passes.tileCount());
    double lastPass_s = 0.0;

    for (int before = 0, after = kPictureReplicates; after <= most; before = after, after *= 2) {
        const double began_s = now_s(settings.run);
        // The next pass doubles the samples, so it takes as long as all before: whole or not at all.
        if (settings.run.time_s && before > 0 &&
            began_s - start_s + (before == kPictureReplicates ? 1.0 : 2.0) * lastPass_s > *settings.run.time_s) {
            result.stopped = Stopped::time;
            break;
        }
        passes.run(static_cast<std::uint32_t>(before / kPictureReplicates),
                   static_cast<std::uint32_t>(after / kPictureReplicates),
                   [&] { teller.add(perTile * (after - before)); });
        lastPass_s = now_s(settings.run) - began_s;
        if (settings.run.stop != nullptr && settings.run.stop->load()) {
            result.stopped = Stopped::interrupted;
            break;
        }
        result.samples = after;
        result.noise_stops = pictureNoise_stops(film, mix);
        if (settings.samples == 0 && after >= 16 && result.noise_stops <= settings.noise_stops) break;
        teller.aimAt(expectedSamples(after, result.noise_stops, settings));
        if (settings.samples == 0 && 2 * after > most) result.stopped = Stopped::noise;
    }
    if (result.stopped == Stopped::interrupted) result.noise_stops = pictureNoise_stops(film, mix);
    result.counters = passes.counters();
    result.causticShare = passes.causticShare();
    result.seconds = now_s(settings.run) - start_s;
    return result;
}

}  // namespace keyfall
