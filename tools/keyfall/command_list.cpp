// `list`: what the library holds.
#include <fmt/core.h>

#include <nlohmann/json.hpp>
#include <set>

#include "commands.h"
#include "exit_codes.h"
#include "outputs.h"
#include "report.h"
#include "scene/library.h"

namespace keyfall {
namespace {

using Entries = std::vector<LibraryEntry>;

std::string linesOf(const Entries& entries) {
    std::string text;
    for (const LibraryEntry& e : entries)
        text += fmt::format("{:9} {:22} {}\n{:33}source: {}\n", e.kind, e.name, e.values, "", e.source);
    return text;
}

nlohmann::ordered_json jsonOf(const Entries& entries) {
    nlohmann::ordered_json j = {{"program", "keyfall"}, {"schema", 1}, {"version", KEYFALL_VERSION}};
    j["library"] = nlohmann::ordered_json::array();
    for (const LibraryEntry& e : entries)
        j["library"].push_back({{"kind", e.kind}, {"name", e.name}, {"values", e.values}, {"source", e.source}});
    return j;
}

}  // namespace

int runList(const std::string& kind, const Options& options) {
    requireOutputs({}, {{"--json", options.json}});
    const Library library = readLibrary();
    std::set<std::string> kinds;
    Entries chosen;
    for (const LibraryEntry& e : library.entries) {
        kinds.insert(e.kind);
        if (kind.empty() || e.kind == kind) chosen.push_back(e);
    }
    if (chosen.empty()) {
        fmt::print(stderr, "keyfall: error: the library holds no kind `{}`; it holds", kind);
        for (const std::string& k : kinds) fmt::print(stderr, " {}", k);
        fmt::print(stderr, "\n");
        return kBadCommandLine;
    }
    if (!options.quiet && options.json != "-") writeStandardOutput(linesOf(chosen));
    if (!options.json.empty()) writeText(options.json, textOf(jsonOf(chosen)));
    return kDone;
}

}  // namespace keyfall
