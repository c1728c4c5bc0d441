// What has to be known of a scene's modifiers before a Stage is built: their tables, and the flux of
// lamps that are rated with one. Not here: the bake (renderer/transport), the disk (bake_cache.h).
#pragma once

#include <map>
#include <memory>
#include <stdexcept>
#include <string>

#include "bake_cache.h"
#include "options.h"
#include "renderer/stage/stage.h"

namespace keyfall {

/// A scene that reads well and cannot be: exit code 3.
struct SceneError : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// Tables from the disk or baked, equal ones once. What comes back does not depend on what was asked
/// for before, on --seed, --quality or --threads: same lamp and modifier, same bytes.
class TableMaker {
  public:
    explicit TableMaker(const Options& options);

    /// `light` is whose modifier it is, for the progress line. Null when stopped by Ctrl-C.
    std::shared_ptr<const NearFieldTable> tableOf(const LampShape& shape, const Material& lampBody,
                                                  const ModifierBody& body, const std::string& light);

    /// Solves the light's rating, if it has one, into its fullFlux. Stays unsolved when stopped.
    /// Throws SceneError when no light of the lamp arrives where it was metered.
    void solve(Light& light, const Material& lampBody);

  private:
    const Options& options_;
    BakeCache cache_;
    std::map<ContentKey, std::shared_ptr<const NearFieldTable>> made_;
};

/// One table for each light that wears a modifier, and every rating solved. Stopped by Ctrl-C, what is
/// missing stays missing: the work after it stops at once, too.
/// Throws SceneError naming a light whose rating cannot be met by any flux.
LightTables prepare(Scene& scene, const Options& options);
/// The same for one of many scenes: what `maker` made before is not made again.
LightTables prepare(Scene& scene, TableMaker& maker);

}  // namespace keyfall
