#include "bake_cache.h"

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "renderer/photograph/write_file.h"
#include "scene/table_file.h"

namespace keyfall {
namespace {

namespace fs = std::filesystem;

constexpr const char* kEnding = ".table";

fs::path absoluteFrom(const char* variable) {
    const char* value = std::getenv(variable);
    const fs::path path = value != nullptr ? value : "";
    return path.is_absolute() ? path : fs::path();
}

/// Empty for what is no plain file, or larger than any table that would be kept.
std::optional<std::string> bytesOf(const fs::path& file, std::uintmax_t most) {
    std::error_code none;
    if (!fs::is_regular_file(file, none) || fs::file_size(file, none) > most) return {};
    std::ifstream in(file, std::ios::binary);
    std::ostringstream bytes;
    bytes << in.rdbuf();
    if (!in || !bytes) return {};
    return std::move(bytes).str();
}

struct Kept {
    fs::path file;
    fs::file_time_type used;
    std::uintmax_t bytes;
};

}  // namespace

fs::path cacheDirectory() {
    fs::path base = absoluteFrom("XDG_CACHE_HOME");
    if (base.empty()) {
        const fs::path home = absoluteFrom("HOME");
        if (home.empty()) return {};
        base = home / ".cache";
    }
    return base / "keyfall" / "near-field";
}

fs::path BakeCache::fileOf(const ContentKey& key) const { return directory_ / (hexOf(key) + kEnding); }

std::optional<NearFieldTable> BakeCache::load(const ContentKey& key) const {
    if (directory_.empty()) return {};
    const auto bytes = bytesOf(fileOf(key), mostBytes_);
    if (!bytes) return {};
    TableFromBytes read = tableFromBytes(*bytes, key);
    // The time of last use is what trim() goes by.
    std::error_code ignored;
    if (read.table) fs::last_write_time(fileOf(key), fs::file_time_type::clock::now(), ignored);
    return std::move(read.table);
}

void BakeCache::store(const ContentKey& key, const NearFieldTable& table) const {
    if (directory_.empty()) return;
    const std::string bytes = tableBytes(table, key);
    std::error_code none;
    if (bytes.size() > mostBytes_ || (fs::create_directories(directory_, none), none)) return;
    // A pipe would wait for a reader, a link would have what it names replaced: neither is a table of ours.
    if (!fs::is_regular_file(fs::symlink_status(fileOf(key), none))) fs::remove(fileOf(key), none);
    try {
        writeWhole(fileOf(key), [&](const fs::path& part) {
            std::ofstream file(part, std::ios::binary);
            file << bytes;
            file.close();
            if (!file) throw std::runtime_error("the disk took only part of it");
        });
    } catch (const WriteError&) {
        return;  // the next run will make it again
    }
    trim();
}

void BakeCache::trim() const {
    std::vector<Kept> tables;
    std::uintmax_t sum = 0;
    std::error_code none;
    for (fs::directory_iterator it(directory_, none), end; !none && it != end; it.increment(none)) {
        std::error_code gone;
        if (it->path().extension() != kEnding || !it->is_regular_file(gone)) continue;
        const Kept kept{it->path(), it->last_write_time(gone), it->file_size(gone)};
        if (gone) continue;  // another program tidied up at the same time
        sum += kept.bytes;
        tables.push_back(kept);
    }
    std::sort(tables.begin(), tables.end(), [](const Kept& a, const Kept& b) { return a.used < b.used; });
    for (const Kept& kept : tables) {
        if (sum <= mostBytes_) return;
        fs::remove(kept.file, none);
        sum -= kept.bytes;
    }
}

}  // namespace keyfall
