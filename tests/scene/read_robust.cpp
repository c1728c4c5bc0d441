// Whatever a file holds, reading it ends with a scene or with messages. Not here: which messages.
#include <random>
#include <sstream>

#include "tests/scene/read_check.h"

using namespace keyfall;
using namespace keyfall::test;

namespace {

std::string contractText() {
    std::ifstream in(std::filesystem::path(KEYFALL_TESTS) / "good" / "contract_example.toml");
    std::ostringstream text;
    text << in.rdbuf();
    std::string all = text.str();
    const std::string relative = "../../assets";
    all.replace(all.find(relative), relative.size(), std::string(KEYFALL_ROOT) + "/assets");
    return all;
}

/// Changes, drops or doubles some of the characters: half-broken TOML that often still parses.
std::string mutated(std::string text, std::mt19937& engine) {
    const std::string letters = "0123456789.-[]{}=\",#abcnf \n";
    for (int i = 0; i < 3; ++i) {
        const std::size_t at = engine() % text.size();
        switch (engine() % 3) {
            case 0:
                text[at] = letters[engine() % letters.size()];
                break;
            case 1:
                text.erase(at, 1 + engine() % 8);
                break;
            default:
                text.insert(at, text.substr(engine() % text.size(), engine() % 12));
                break;
        }
    }
    return text;
}

void mutateAndRead(unsigned seed, int times) {
    std::mt19937 engine(seed);
    const std::string good = contractText();
    for (int i = 0; i < times; ++i) {
        const std::string text = mutated(good, engine);
        const ReadResult result = readText(text);
        INFO(text);
        // A scene exactly when there is no error; every error says something and has a place.
        CHECK(result.scene.has_value() == (result.exitCode() == 0));
        for (const Diagnostic& d : result.diagnostics) {
            CHECK_FALSE(d.text.empty());
            CHECK_FALSE(d.file.empty());
        }
    }
}

}  // namespace

TEST_CASE("a scene file with random slips gives a scene or messages, never a crash",
          "[read][robust]") {
    mutateAndRead(5, 25);
}

TEST_CASE("many scene files with random slips give a scene or messages", "[read][robust][long]") {
    mutateAndRead(6, 500);
}

TEST_CASE("deep nesting, an empty file and bytes that are no text end with a message or a scene",
          "[read][robust]") {
    CHECK(readText("").scene.has_value());
    CHECK(readText("a = " + std::string(5000, '[')).exitCode() == 3);
    CHECK(readText("title = \"\xff\xfe\"\n").exitCode() == 3);
    CHECK(readText(std::string("title = \"a\0b\"\n", 14)).exitCode() == 3);
    CHECK(readText("light = [[1], 2]\ncamera = 3\nmaterial = { x = 1 }\n").exitCode() == 3);
}
