// A line on standard error that says how far the work is; nothing where that is no terminal.
#pragma once

#include <functional>
#include <string>

#include "renderer/transport/run.h"

namespace keyfall {

/// Empty when standard error is not a terminal.
std::function<void(const Progress&)> progressLine(const std::string& doing);
/// Removes the line before other output.
void clearProgressLine();

}  // namespace keyfall
