// Ctrl-C: the first asks the work to stop and write what is there, the second ends the program.
#pragma once

#include <atomic>

namespace keyfall {

const std::atomic<bool>& interruptFlag();
void catchInterrupts();

}  // namespace keyfall
