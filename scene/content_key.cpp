// The one place that knows the hash library.
#include "scene/content_key.h"

#include <xxhash.h>

#include <algorithm>
#include <new>

namespace keyfall {
namespace {

ContentKey canonical(XXH128_hash_t hash) {
    XXH128_canonical_t bytes;
    XXH128_canonicalFromHash(&bytes, hash);
    ContentKey key;
    std::copy_n(bytes.digest, key.size(), key.begin());
    return key;
}

}  // namespace

struct ContentHash::State {
    State() {
        if (xxh == nullptr) throw std::bad_alloc();
        XXH3_128bits_reset(xxh);
    }
    ~State() { XXH3_freeState(xxh); }
    State(const State&) = delete;
    State& operator=(const State&) = delete;

    XXH3_state_t* xxh = XXH3_createState();
};

std::string hexOf(const ContentKey& key) {
    static constexpr char kDigits[] = "0123456789abcdef";
    std::string text;
    for (const std::uint8_t byte : key) {
        text += kDigits[byte >> 4U];
        text += kDigits[byte & 15U];
    }
    return text;
}

ContentKey keyOf(std::string_view bytes) { return canonical(XXH3_128bits(bytes.data(), bytes.size())); }

ContentHash::ContentHash() : state_(std::make_unique<State>()) {}
ContentHash::~ContentHash() = default;

ContentHash& ContentHash::add(std::string_view text) {
    add(static_cast<std::uint64_t>(text.size()));
    addBytes(text.data(), text.size());
    return *this;
}

ContentKey ContentHash::key() const { return canonical(XXH3_128bits_digest(state_->xxh)); }

void ContentHash::addBytes(const void* bytes, std::size_t count) {
    XXH3_128bits_update(state_->xxh, bytes, count);
}

}  // namespace keyfall
