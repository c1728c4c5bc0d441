// A near-field table as bytes, to be kept on disk, and back. Not here: which file (tools/keyfall),
// what is in a table (near_field_table.h).
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "scene/content_key.h"
#include "scene/near_field_table.h"

namespace keyfall {

/// Bytes of this machine's order. `key` says what the table was made from.
std::string tableBytes(const NearFieldTable& table, const ContentKey& key);

/// A table, or why there is none.
struct TableFromBytes {
    std::optional<NearFieldTable> table;
    std::string reason;
};

/// Trusts nothing: marks, sizes, checksum and key have to agree, all figures have to be finite and not
/// negative, faces flat ones with measures, and what the faces hold has to add up to what the table
/// says left it. Never throws but std::bad_alloc, never a part of a table.
TableFromBytes tableFromBytes(std::string_view bytes, const ContentKey& key);

}  // namespace keyfall
