// A two-dimensional grid of table slices, each filled when first asked for.
// Not here: what a slice holds (energy_table*.cpp).
//
// A material has one width and one index, so it reads four slices of thousands: filling on demand
// keeps the grid fine and a scene's start under a few milliseconds a material. A slice depends on
// its place alone, so it makes no difference which thread fills it, or when.
#pragma once

#include <array>
#include <atomic>
#include <memory>
#include <mutex>

#include "renderer/optics/energy_axis.h"

namespace keyfall {

template <class Slice, int A, int B>
class SliceGrid {
  public:
    /// `fill(a, b)` makes the slice of that place.
    explicit SliceGrid(std::unique_ptr<const Slice> (*fill)(int a, int b)) : fill_(fill) {}

    /// Straight-line blend of `read(slice)` over the four slices around (ta, tb), both in 0..1.
    template <class Read>
    float blend(float ta, float tb, Read&& read) {
        const Place a = place<A>(ta);
        const Place b = place<B>(tb);
        const auto along = [&](int i) {
            const float first = read(at(i, b.cell));
            if (b.fraction == 0.0F) return first;
            return between(first, read(at(i, b.cell + 1)), b.fraction);
        };
        const float first = along(a.cell);
        return a.fraction == 0.0F ? first : between(first, along(a.cell + 1), a.fraction);
    }

  private:
    const Slice& at(int a, int b) {
        const auto i = static_cast<std::size_t>(a * B + b);
        const Slice* ready = ready_[i].load(std::memory_order_acquire);
        return ready != nullptr ? *ready : make(i, a, b);
    }

    const Slice& make(std::size_t i, int a, int b) {
        const std::lock_guard<std::mutex> lock(mutex_);
        if (!slices_[i]) {
            slices_[i] = fill_(a, b);
            ready_[i].store(slices_[i].get(), std::memory_order_release);
        }
        return *slices_[i];
    }

    std::unique_ptr<const Slice> (*fill_)(int, int);
    std::mutex mutex_;
    std::array<std::unique_ptr<const Slice>, static_cast<std::size_t>(A* B)> slices_;
    std::array<std::atomic<const Slice*>, static_cast<std::size_t>(A* B)> ready_{};
};

}  // namespace keyfall
