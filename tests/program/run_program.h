// Runs the program as a user would and keeps what it said. Not here: what is expected of it.
#pragma once

#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>

namespace keyfall::test {

struct Outcome {
    int exitCode = -1;
    std::string out;
    std::string err;
};

inline std::string textOf(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

/// Where the program keeps tables of modifiers when it runs in `folder`: never among the user's own.
inline std::filesystem::path cacheOf(const std::filesystem::path& folder) { return folder.string() + "-cache"; }

/// Where this process keeps its scratch: of this process alone, since the quick and the long tests of a
/// room run at once and would empty each other's folders. Removed at the end.
inline const std::filesystem::path& scratch() {
    struct Scratch {
        std::filesystem::path folder =
            std::filesystem::temp_directory_path() / ("keyfall-test-" + std::to_string(getpid()));
        ~Scratch() {
            std::error_code ignored;
            std::filesystem::remove_all(folder, ignored);
        }
    };
    static const Scratch here;
    return here.folder;
}

/// A folder of its own for one test, emptied before.
inline std::filesystem::path freshFolder(const std::string& name) {
    const auto folder = scratch() / name;
    std::filesystem::remove_all(folder);
    std::filesystem::remove_all(cacheOf(folder));
    std::filesystem::create_directories(folder);
    return folder;
}

/// The program of this build; a test runner may name another one (tests/CMakeLists.txt).
inline std::string program() {
    const char* other = std::getenv("KEYFALL_PROGRAM");
    return other != nullptr ? other : KEYFALL_PROGRAM;
}
/// AddressSanitizer wants more address space than a limit that tests memory leaves it.
inline bool programIsSanitized() { return std::getenv("KEYFALL_SANITIZED") != nullptr; }

/// `before` may set limits or send signals: it stands in front of the program in the shell's line.
inline Outcome runProgram(const std::string& arguments, const std::filesystem::path& folder,
                          const std::string& before = {}) {
    const std::string line = "cd '" + folder.string() + "' && export XDG_CACHE_HOME='" +
                             cacheOf(folder).string() + "' && " + before + " '" + program() + "' " +
                             arguments + " >stdout.txt 2>stderr.txt";
    const int status = std::system(line.c_str());
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, textOf(folder / "stdout.txt"),
            textOf(folder / "stderr.txt")};
}

/// What a command says as JSON; it has to end well.
inline nlohmann::json reportOf(const std::string& arguments, const std::filesystem::path& folder,
                               const std::string& before = {}) {
    const Outcome o = runProgram(arguments + " --quiet --json -", folder, before);
    INFO(arguments << "\n" << o.err);
    REQUIRE(o.exitCode == 0);
    return nlohmann::json::parse(o.out);
}

inline void write(const std::filesystem::path& file, const std::string& text) {
    std::ofstream(file, std::ios::binary) << text;
}

/// A ball, 10 cm, on the default table under a bare bulb: the smallest set that has readings.
inline const std::string kBallSet = R"(
[picture]
width = 48
[[block]]
shape = "sphere"
name = "ball"
size = [10]
[[light]]
name = "key"
kind = "flash"
lamp = "flash-bulb"
lumen_seconds = 3000
around = { point = [0, 5, 0], angle = 65, elevation = 35, distance = 80 }
)";

/// A fresh folder with `scene` in it as set.toml.
inline std::filesystem::path folderWith(const std::string& name, const std::string& scene) {
    const auto folder = freshFolder(name);
    write(folder / "set.toml", scene);
    return folder;
}

/// The text of a report's first warning of this code; empty: it has none.
inline std::string warning(const nlohmann::json& report, const std::string& code) {
    for (const auto& w : report.at("warnings"))
        if (w.at("code") == code) return w.at("text");
    return {};
}

}  // namespace keyfall::test
