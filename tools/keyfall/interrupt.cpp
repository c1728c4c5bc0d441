#include "interrupt.h"

#include <csignal>

namespace keyfall {
namespace {

std::atomic<bool> interrupted{false};
static_assert(std::atomic<bool>::is_always_lock_free, "a signal handler may only touch these");

void onInterrupt(int signal) {
    interrupted.store(true);
    std::signal(signal, SIG_DFL);
}

}  // namespace

const std::atomic<bool>& interruptFlag() { return interrupted; }

void catchInterrupts() {
    std::signal(SIGINT, onInterrupt);
    std::signal(SIGTERM, onInterrupt);
}

}  // namespace keyfall
