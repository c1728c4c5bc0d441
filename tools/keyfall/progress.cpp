#include "progress.h"

#include <fmt/core.h>
#include <unistd.h>

#include <cstdio>

namespace keyfall {

std::function<void(const Progress&)> progressLine(const std::string& doing) {
    if (isatty(STDERR_FILENO) == 0) return {};
    return [doing](const Progress& p) {
        const int percent = static_cast<int>(100.0 * p.share);
        if (p.secondsLeft > 0.0) fmt::print(stderr, "\r\033[K{} {} % · {:.0f} s left", doing, percent, p.secondsLeft);
        else fmt::print(stderr, "\r\033[K{} {} %", doing, percent);
        std::fflush(stderr);
    };
}

void clearProgressLine() {
    if (isatty(STDERR_FILENO) != 0) fmt::print(stderr, "\r\033[K");
}

}  // namespace keyfall
