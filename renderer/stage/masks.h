// Ray masks: which geometries a query sees.
#pragma once

namespace keyfall {

inline constexpr unsigned kSolidMask = 1;  ///< opaque, or glass that bends light
inline constexpr unsigned kSheetMask = 2;  ///< thin sheets and panes with a straight part
inline constexpr unsigned kLampMask = 4;
inline constexpr unsigned kEverything = kSolidMask | kSheetMask | kLampMask;

}  // namespace keyfall
