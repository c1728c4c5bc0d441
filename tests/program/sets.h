// Sets that several tests of the program share, and what a refusal looks like. Not here: running the program
// (run_program.h), what is expected of it.
#pragma once

#include <vector>

#include "run_program.h"

namespace keyfall::test {

/// Neither table nor backdrop: nothing sends light back.
inline const std::string kNothingAround = R"([table]
shape = "none"
[backdrop]
shape = "none"
)";

/// Square on to the middle, set to f/11.
inline const std::string kCamera = R"(
[camera]
at = [0, 0, 120]
look_at = [0, 0, 0]
aperture = 11
)";

/// A bulb on a stand and a receptor that looks at it: 1287 lm·s / (4 pi 0.8^2) = 160 lx·s, f/8 at ISO 100
/// (C = 250). Light of a sphere falls off by the inverse square law exactly.
inline const std::string kBulbAndLabel = R"([[light]]
name = "bulb"
kind = "flash"
lamp = "flash-bulb"
lumen_seconds = 1287
around = { point = [0, 0, 0], angle = 20, elevation = 30, distance = 80 }
[[probe]]
name = "label"
at = [0, 0, 0]
facing = "bulb"
)";

/// COMMAND OPTIONS on the set ends with this code and says so, and none of `outputs` is there afterwards.
inline void checkRefusal(const std::string& scene, const std::string& arguments, int exitCode,
                         const std::string& says, const std::vector<std::string>& outputs = {}) {
    const auto folder = folderWith("refused", scene);
    const Outcome o = runProgram(arguments, folder);
    INFO(arguments << "\n" << o.out << o.err);
    CHECK(o.exitCode == exitCode);
    CHECK_THAT(o.err, Catch::Matchers::Contains(says));
    for (const std::string& file : outputs) CHECK_FALSE(std::filesystem::exists(folder / file));
}

}  // namespace keyfall::test
