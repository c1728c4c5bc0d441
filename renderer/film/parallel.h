// Parallel loops of the renderer. Not here: threads that trace paths (renderer/transport/run.h).
#pragma once

#include <tbb/parallel_for.h>

#if defined(__SANITIZE_THREAD__)
#include <sanitizer/tsan_interface.h>
#endif

namespace keyfall {

/// Tells ThreadSanitizer that what was written before a parallel loop is seen in its tasks, and what
/// tasks wrote is seen after it. The library orders both, in code that the sanitizer does not see:
/// without this every result of a loop looks like a race. Nothing at all in other builds.
class ForkJoin {
  public:
    ForkJoin() { release(); }
    ~ForkJoin() { acquire(); }
    ForkJoin(const ForkJoin&) = delete;
    ForkJoin& operator=(const ForkJoin&) = delete;

    /// Around each task.
    template <class Work>
    void task(const Work& work) {
        acquire();
        work();
        release();
    }

  private:
#if defined(__SANITIZE_THREAD__)
    void acquire() { __tsan_acquire(this); }
    void release() { __tsan_release(this); }
#else
    void acquire() {}
    void release() {}
#endif
};

/// `body(i)` for i in [0, count), in any order and on all cores; results must not depend on it.
template <class Index, class Body>
void parallelFor(Index count, const Body& body) {
    ForkJoin loop;
    tbb::parallel_for(Index{0}, count, [&](Index i) { loop.task([&] { body(i); }); });
}

}  // namespace keyfall
