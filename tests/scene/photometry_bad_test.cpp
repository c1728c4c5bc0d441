// Bad photometric files: each gives its message with line and column, and exit code 4. NAME.txt
// beside the file holds it. Not here: good ones (photometry_format_test.cpp).
#include "scene/photometry_file.h"
#include "tests/scene/bad_folder.h"
#include "tests/scene/read_check.h"

using namespace keyfall;
using namespace keyfall::test;

TEST_CASE("bad photometric files: place, what was found, what is allowed, a fix",
          "[photometry][bad]") {
    const InFolder folder(std::filesystem::path(KEYFALL_TESTS) / "bad" / "photometry");
    const std::vector<std::string> lm63 = filesEnding(".ies"), eulumdat = filesEnding(".ldt");
    CHECK(lm63.size() >= 15);
    CHECK(eulumdat.size() >= 6);
    for (const auto* list : {&lm63, &eulumdat})
        for (const std::string& name : *list) {
            // On the set every message of the file is a light's, so that its place is printed.
            const ReadResult result =
                readSceneText("[[light]]\nname = \"key\"\nphotometry = \"" + name +
                                  "\"\nat = [0, 50, 50]\naim = [0, 0, 0]\n",
                              "set.toml");
            INFO(name);
            CHECK_FALSE(result.scene.has_value());
            CHECK(result.exitCode() == 4);
            CHECK(errorsOf(result) == contentOf(name + ".txt"));
        }
}

TEST_CASE("bad lights with a photometric file: every mistake in one run", "[photometry][bad]") {
    const InFolder folder(std::filesystem::path(KEYFALL_TESTS) / "bad" / "photometry");
    for (const std::string& name : filesEnding(".toml")) {
        const ReadResult result = readScene(name);
        INFO(name);
        CHECK_FALSE(result.scene.has_value());
        CHECK("exit " + std::to_string(result.exitCode()) + "\n" + errorsOf(result) ==
              contentOf(name + ".txt"));
    }
}
