// Memory wanted and available for a film. Not here: the film itself (film.cpp).
#include "renderer/film/memory.h"

#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <fstream>
#include <limits>
#include <string>

#include "renderer/film/film.h"

namespace keyfall {
namespace {

std::string gigabytes(std::uint64_t bytes) {
    char text[64];
    std::snprintf(text, sizeof text, "%llu bytes (%.1f GB)", static_cast<unsigned long long>(bytes),
                  static_cast<double>(bytes) * 1e-9);
    return text;
}

}  // namespace

std::uint64_t filmBytes(int width_px, int height_px, std::size_t layers) {
    if (width_px < 1 || height_px < 1) return 0;
    // Two 31-bit factors fit 62 bits; the third is what can overflow.
    const auto pixels =
        static_cast<std::uint64_t>(width_px) * static_cast<std::uint64_t>(height_px);
    const std::uint64_t perPixel =
        layers * (sizeof(FilmCell) + sizeof(float)) + 2 * sizeof(std::uint32_t);
    const std::uint64_t most = std::numeric_limits<std::uint64_t>::max();
    return perPixel > most / pixels ? most : pixels * perPixel;
}

std::uint64_t availableBytes() {
    // MemAvailable counts the page cache that can be dropped; free pages alone would refuse a film
    // on any machine that has been up for a day. Source: proc(5), /proc/meminfo, in kB of 1024.
    std::ifstream meminfo("/proc/meminfo");
    std::string key;
    std::uint64_t kilobytes = 0;
    for (std::string unit; meminfo >> key >> kilobytes; std::getline(meminfo, unit))
        if (key == "MemAvailable:") return kilobytes * 1024;
    const long pages = sysconf(_SC_AVPHYS_PAGES);
    const long pageBytes = sysconf(_SC_PAGESIZE);
    if (pages < 0 || pageBytes < 0) return 0;
    return static_cast<std::uint64_t>(pages) * static_cast<std::uint64_t>(pageBytes);
}

void requireMemory(std::uint64_t wanted, std::uint64_t available) {
    if (available == 0 || wanted <= available) return;
    throw MemoryError("the picture wants " + gigabytes(wanted) + " of memory; " +
                      gigabytes(available) +
                      " are free; set a smaller picture.width, or have fewer lights");
}

}  // namespace keyfall
