// Data flows one way through the rooms: no #include against the arrows. Source of the table: the
// project's design, printed in DEVELOPERS.md. Not here: the table (rooms.cpp).
#include <algorithm>
#include <catch2/catch.hpp>
#include <sstream>

#include "rooms.h"
#include "sources.h"

namespace keyfall::house {
namespace {


bool contains(const std::vector<std::string>& list, const std::string& word) {
    return std::find(list.begin(), list.end(), word) != list.end();
}

bool startsWith(const std::string& path, const std::string& prefix) {
    return path.compare(0, prefix.size(), prefix) == 0;
}

/// The room a path from the root lies in; nullptr for none.
const Room* roomOf(const std::string& path) {
    for (const Room& room : rooms())
        if (startsWith(path, room.path + "/")) return &room;
    return nullptr;
}

/// Empty when the include is fine, else what is wrong with it.
std::string objectionToRoom(const Room& from, const std::filesystem::path& file,
                            const Include& include) {
    // Without a directory it stands beside the file that names it: no arrow leaves the room.
    if (include.target.find('/') == std::string::npos) {
        const bool there = std::filesystem::exists(kRoot / file.parent_path() / include.target);
        return there ? "" : "is no file of this directory; write it from the project's root";
    }
    const Room* to = roomOf(include.target);
    if (to == nullptr) return "is in no room; write it from the project's root, without ..";
    if (!std::filesystem::exists(kRoot / include.target)) return "does not exist";
    if (to == &from || contains(from.rooms, to->path)) return "";
    return from.path + " may not include " + to->path;
}

std::string objectionToLibrary(const Room& from, const Include& include) {
    for (const LibraryHeaders& library : libraries())
        if (startsWith(include.target, library.prefix))
            return contains(from.libraries, library.name)
                       ? ""
                       : from.path + " may not include " + library.name;
    // What is left is the standard library's (<vector>) or the system's (<unistd.h>).
    const bool standard = include.target.find_first_of("./") == std::string::npos;
    return standard || contains(systemHeaders(), include.target)
               ? ""
               : "is in no library of tests/house/rooms.cpp";
}

/// One line for each include of the text that the table does not allow.
std::vector<std::string> wrongArrows(const std::filesystem::path& file, const std::string& text) {
    const Room* room = roomOf(file.generic_string());
    if (room == nullptr) return {file.generic_string() + ": lies in no room"};
    std::vector<std::string> wrong;
    for (const Include& include : includesOf(text)) {
        const std::string objection = include.quoted ? objectionToRoom(*room, file, include)
                                                     : objectionToLibrary(*room, include);
        if (!objection.empty())
            wrong.push_back(file.generic_string() + ":" + std::to_string(include.line) + ": " +
                            include.target + ": " + objection);
    }
    return wrong;
}

}  // namespace

TEST_CASE("house: arrows between rooms", "[house]") {
    std::vector<std::string> wrong;
    std::size_t files = 0;
    for (const Room& room : rooms()) {
        for (const std::filesystem::path& file : sourcesOf(kRoot, room.path)) {
            const auto more = wrongArrows(file, readText(kRoot / file));
            wrong.insert(wrong.end(), more.begin(), more.end());
            ++files;
        }
    }
    for (const std::string& line : wrong) UNSCOPED_INFO(line);
    CHECK(wrong.empty());
    // A wrong root would find nothing and be content with it.
    CHECK(files > 50);
}

TEST_CASE("house: every source file lies in a room of the table", "[house]") {
    std::vector<std::string> homeless;
    for (const char* top : {"scene", "renderer", "tools"})
        for (const std::filesystem::path& file : sourcesOf(kRoot, top))
            if (roomOf(file.generic_string()) == nullptr) homeless.push_back(file.generic_string());
    INFO((homeless.empty() ? std::string() : homeless.front()));
    CHECK(homeless.empty());
}

TEST_CASE("house: an include against the arrows is found, one along them is not", "[house]") {
    const auto objections = [](const char* file, const char* line) {
        return wrongArrows(file, line).size();
    };
    CHECK(objections("scene/a.cpp", "#include \"renderer/film/film.h\"") == 1);
    CHECK(objections("scene/a.cpp", "#include <embree3/rtcore.h>") == 1);
    CHECK(objections("scene/a.cpp", "  #  include <tbb/parallel_for.h>  // why not") == 1);
    CHECK(objections("renderer/optics/a.cpp", "#include \"renderer/stage/stage.h\"") == 1);
    CHECK(objections("renderer/film/a.h", "#include \"renderer/optics/bsdf.h\"") == 1);
    CHECK(objections("renderer/stage/a.h", "#include \"renderer/film/film.h\"") == 1);
    CHECK(objections("renderer/transport/a.h", "#include <embree3/rtcore.h>") == 1);
    CHECK(objections("renderer/transport/a.h", "#include \"renderer/meter/probe.h\"") == 1);
    CHECK(objections("renderer/photograph/a.h", "#include \"renderer/stage/stage.h\"") == 1);
    CHECK(objections("renderer/meter/a.h", "#include \"tools/keyfall/report.h\"") == 1);
    CHECK(objections("renderer/meter/a.h", "#include \"../stage/stage.h\"") == 1);
    CHECK(objections("renderer/film/a.h", "#include \"stage.h\"") == 1);
    CHECK(objections("renderer/film/a.h", "#include <boost/any.hpp>") == 1);

    CHECK(objections("renderer/stage/a.cpp", "#include <embree3/rtcore.h>") == 0);
    CHECK(objections("renderer/meter/a.cpp", "#include \"renderer/transport/render.h\"") == 0);
    CHECK(objections("tools/keyfall/a.cpp", "#include \"scene/scene.h\"\n#include <vector>") == 0);
    CHECK(objections("scene/a.cpp", "#include \"scene/scene.h\"\n#include <unistd.h>") == 0);
}

TEST_CASE("house: DEVELOPERS.md prints the table of arrows that is checked", "[house]") {
    const std::string developers = readText(kRoot / "DEVELOPERS.md");
    const auto joined = [](const std::vector<std::string>& words) {
        std::string text;
        for (const std::string& word : words)
            text += (text.empty() ? "" : ", ") +
                    (startsWith(word, "renderer/") ? word.substr(9) : word);
        return text.empty() ? std::string("—") : text;
    };
    for (const Room& room : rooms()) {
        // | `scene/` | holds ... | rooms | libraries |
        const std::string start = "| `" + room.path + "/` |";
        const std::string end = " | " + joined(room.rooms) + " | " + joined(room.libraries) + " |";
        std::istringstream lines(developers);
        std::string line, row;
        while (std::getline(lines, line))
            if (startsWith(line, start) && row.empty()) row = line;
        INFO("wanted: " << start << " ..." << end << "\nfound:  " << row);
        CHECK(row.size() > start.size() + end.size());
        CHECK((row.size() >= end.size() && row.substr(row.size() - end.size()) == end));
    }
}

}  // namespace keyfall::house
