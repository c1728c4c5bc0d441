#include "renderer/transport/run.h"

#include <pmmintrin.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <chrono>

#include "renderer/film/parallel.h"

namespace keyfall {
namespace {

/// Flush-to-zero and denormals-are-zero while in scope: Embree's manual asks for both, and one
/// denormal throughput slows its 16 bands a hundredfold.
class FlushDenormals {
  public:
    FlushDenormals() : before_(_mm_getcsr()) {
        _MM_SET_FLUSH_ZERO_MODE(_MM_FLUSH_ZERO_ON);
        _MM_SET_DENORMALS_ZERO_MODE(_MM_DENORMALS_ZERO_ON);
    }
    ~FlushDenormals() { _mm_setcsr(before_); }
    FlushDenormals(const FlushDenormals&) = delete;
    FlushDenormals& operator=(const FlushDenormals&) = delete;

  private:
    unsigned before_;
};

}  // namespace

void parallelTasks(int threads, std::size_t count, const std::function<void(std::size_t)>& work) {
    ForkJoin loop;
    const auto guarded = [&](std::size_t i) {
        const FlushDenormals flush;
        loop.task([&] { work(i); });
    };
    if (threads == 1) {
        for (std::size_t i = 0; i < count; ++i) guarded(i);
        return;
    }
    tbb::task_arena arena(threads > 0 ? threads : tbb::task_arena::automatic);
    arena.execute([&] {
        tbb::parallel_for(tbb::blocked_range<std::size_t>(0, count, 1),
                          [&](const tbb::blocked_range<std::size_t>& range) {
                              for (std::size_t i = range.begin(); i != range.end(); ++i) guarded(i);
                          },
                          tbb::simple_partitioner());
    });
}

double now_s(const RunSettings& run) { return run.clock_s ? run.clock_s() : steadySeconds(); }

double steadySeconds() {
    using Clock = std::chrono::steady_clock;
    return std::chrono::duration<double>(Clock::now().time_since_epoch()).count();
}

}  // namespace keyfall
