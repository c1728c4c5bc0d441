// Near-field tables kept on disk between runs. A cache: whatever goes wrong with it, work goes on.
// Not here: the bytes of a table (scene/table_file.h), when one is needed (prepare.h).
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>

#include "scene/content_key.h"
#include "scene/near_field_table.h"

namespace keyfall {

/// $XDG_CACHE_HOME/keyfall/near-field, else $HOME/.cache/keyfall/near-field; empty when neither names an
/// absolute path (XDG Base Directory Specification: relative ones are invalid and to be ignored).
std::filesystem::path cacheDirectory();

class BakeCache {
  public:
    static constexpr std::uintmax_t kMostBytes = 256U << 20U;

    /// An empty directory: nothing is kept.
    explicit BakeCache(std::filesystem::path directory, std::uintmax_t mostBytes = kMostBytes)
        : directory_(std::move(directory)), mostBytes_(mostBytes) {}

    /// Nothing where there is none, or none that can be trusted.
    std::optional<NearFieldTable> load(const ContentKey& key) const;
    /// Whole or not at all. Then the tables unused for the longest time go, until the rest fits.
    void store(const ContentKey& key, const NearFieldTable& table) const;

  private:
    std::filesystem::path fileOf(const ContentKey& key) const;
    void trim() const;

    std::filesystem::path directory_;
    std::uintmax_t mostBytes_;
};

}  // namespace keyfall
