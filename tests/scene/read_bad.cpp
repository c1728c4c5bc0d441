// Every bad scene file gives exactly its messages and exit code, and never a scene.
// NAME.txt beside NAME.toml holds "exit N" and the errors, one a line.
#include "scene/diagnostics.h"
#include "tests/scene/bad_folder.h"
#include "tests/scene/read_check.h"

using namespace keyfall;
using namespace keyfall::test;

TEST_CASE("bad scene files: every mistake in one run, with place, finding, allowed and fix",
          "[read][bad]") {
    const InFolder folder(std::filesystem::path(KEYFALL_TESTS) / "bad" / "scene");
    const auto names = filesEnding(".toml");
    CHECK(names.size() >= 40);
    for (const std::string& name : names) {
        const ReadResult result = readScene(name);
        CHECK_FALSE(result.scene.has_value());
        const std::string got =
            "exit " + std::to_string(result.exitCode()) + "\n" + errorsOf(result);
        INFO(name);
        CHECK(got == contentOf(std::filesystem::path(name).replace_extension(".txt")));
    }
}

TEST_CASE("a scene file that is not there, or is a folder, is exit code 3", "[read][bad]") {
    const ReadResult missing = readScene("no_such_scene.toml");
    CHECK(missing.exitCode() == 3);
    CHECK(
        errorsOf(missing) ==
        "no_such_scene.toml: error: the scene file cannot be read; needed: a TOML file; check the "
        "path\n");
    CHECK(readScene(KEYFALL_TESTS).exitCode() == 3);
}

TEST_CASE("a mesh or table that cannot be read is exit code 4 only when nothing else is wrong",
          "[read][bad]") {
    const std::string missing = "[[product]]\nname = \"p\"\nmesh = \"none.obj\"\nheight = 1\n";
    CHECK(readText(missing).exitCode() == 4);
    CHECK(readText(missing + "turm = 3\n").exitCode() == 3);
}

TEST_CASE("edit distance counts insertions, deletions, replacements and swaps of neighbours",
          "[read]") {
    CHECK(editDistance("", "abc") == 3);
    CHECK(editDistance("kitten", "sitting") == 3);  // Levenshtein's example, from memory
    CHECK(editDistance("ca", "ac") == 1);
    CHECK(editDistance("aperture", "aperture") == 0);
}

TEST_CASE("only a slip of the fingers gets a guess", "[read]") {
    const std::vector<std::string> names{"aperture", "shutter", "iso"};
    CHECK(nearest("apertur", names) == "aperture");
    CHECK(nearest("shuttre", names) == "shutter");
    CHECK(nearest("colour", names).empty());
    CHECK(nearest("", names).empty());
    CHECK(nearest(std::string(500, 'a'), names).empty());
}
