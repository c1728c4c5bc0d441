// `list`: what the library holds.
#include <fmt/core.h>

#include <set>

#include "commands.h"
#include "exit_codes.h"
#include "scene/library.h"

namespace keyfall {

int runList(const std::string& kind) {
    const Library library = readLibrary();
    std::set<std::string> kinds;
    for (const LibraryEntry& e : library.entries) kinds.insert(e.kind);
    if (!kind.empty() && kinds.count(kind) == 0) {
        fmt::print(stderr, "keyfall: error: the library holds no kind `{}`; it holds", kind);
        for (const std::string& k : kinds) fmt::print(stderr, " {}", k);
        fmt::print(stderr, "\n");
        return kBadCommandLine;
    }
    for (const LibraryEntry& e : library.entries)
        if (kind.empty() || e.kind == kind)
            fmt::print("{:9} {:22} {}\n{:33}source: {}\n", e.kind, e.name, e.values, "", e.source);
    return kDone;
}

}  // namespace keyfall
