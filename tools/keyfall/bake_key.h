// What a bake depends on, as one key. Not here: keeping tables (bake_cache.h).
#pragma once

#include "renderer/transport/bake.h"
#include "scene/content_key.h"

namespace keyfall {

/// Raised whenever the bake finds other light for the same input: old tables are then made again.
inline constexpr int kBakeVersion = 5;

/// Of what bake() looks at, and nothing else: names, sources and what stands outside do not count.
ContentKey bakeKey(const LampShape& shape, const Material& lampBody, const ModifierBody& body,
                   const BakeSettings& settings);

}  // namespace keyfall
