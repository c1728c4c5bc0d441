// The product in the frame as a part of a report: how much it fills, how it stands out. Not here: how that is
// measured (renderer/meter/separation.h).
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

namespace keyfall {

struct Report;

/// Empty, and null, without a product in the frame.
std::string frameLine(const Report& report);
nlohmann::ordered_json frameJson(const Report& report);

}  // namespace keyfall
