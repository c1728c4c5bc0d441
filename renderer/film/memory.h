// How much memory a film wants and how much the machine can give. Not here: who decides what to do
// about it (the commands).
#pragma once

#include <cstddef>
#include <cstdint>
#include <stdexcept>

namespace keyfall {

/// A picture larger than the machine's memory: the scene's mistake, not the program's.
struct MemoryError : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// Bytes a Film of this size holds: per pixel and layer a FilmCell and a specular sum, per pixel
/// two counters. Sizes below 1 count as 0; the result saturates instead of wrapping.
std::uint64_t filmBytes(int width_px, int height_px, std::size_t layers);

/// Memory that can be had without swapping: MemAvailable of /proc/meminfo, else the free pages
/// that sysconf reports. 0: the system tells neither.
std::uint64_t availableBytes();

/// Throws MemoryError naming both figures when `wanted` is more than `available`.
/// `available` 0 means unknown and passes: the allocation itself then decides.
void requireMemory(std::uint64_t wanted, std::uint64_t available);

}  // namespace keyfall
