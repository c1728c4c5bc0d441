// A name for content: 128 bits that differ wherever the bytes differ. Not here: what is hashed.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <type_traits>

namespace keyfall {

/// XXH3-128 in its canonical (big-endian) form. It guards against accidents, not against somebody who
/// makes two contents of one key on purpose.
using ContentKey = std::array<std::uint8_t, 16>;

std::string hexOf(const ContentKey& key);  ///< 32 lower-case digits

ContentKey keyOf(std::string_view bytes);

/// Adds values one after the other; the order counts. Values of a fixed size only, and texts with
/// their length before them: no two different lists give the same bytes.
class ContentHash {
  public:
    ContentHash();
    ~ContentHash();
    ContentHash(const ContentHash&) = delete;
    ContentHash& operator=(const ContentHash&) = delete;

    /// Numbers, booleans and enums alone: in a struct there may be padding, whose bytes are anything.
    template <class T>
    ContentHash& add(T value) {
        static_assert(std::is_arithmetic_v<T> || std::is_enum_v<T>);
        if constexpr (std::is_floating_point_v<T>) value += T(0);  // -0 and 0 are the same figure
        addBytes(&value, sizeof value);
        return *this;
    }
    ContentHash& add(std::string_view text);

    ContentKey key() const;

  private:
    void addBytes(const void* bytes, std::size_t count);

    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace keyfall
