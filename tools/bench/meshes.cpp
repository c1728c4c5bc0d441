// Reading a large OBJ and building the Stage of it: time, and memory at its peak.
#include <fmt/core.h>
#include <fmt/os.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "bench.h"
#include "scene/obj.h"

namespace keyfall::bench {
namespace {

namespace fs = std::filesystem;
constexpr double kPi = 3.14159265358979323846;

/// A knobbly ball of 2 * rings * sides triangles without normals: the reader has to make them.
void writeBall(const fs::path& file, int rings, int sides) {
    auto out = fmt::output_file(file.string());
    for (int i = 0; i <= rings; ++i)
        for (int j = 0; j < sides; ++j) {
            const double u = kPi * (i + 0.5) / (rings + 1);
            const double v = 2.0 * kPi * j / sides;
            const double r = 5.0 + 0.2 * std::sin(9.0 * u) * std::cos(7.0 * v);
            out.print("v {:.6f} {:.6f} {:.6f}\n", r * std::sin(u) * std::cos(v),
                      r * std::cos(u), r * std::sin(u) * std::sin(v));
        }
    for (int i = 0; i < rings; ++i)
        for (int j = 0; j < sides; ++j) {
            const int a = i * sides + j + 1;
            const int b = i * sides + (j + 1) % sides + 1;
            out.print("f {} {} {}\nf {} {} {}\n", a, b, a + sides, b, b + sides, a + sides);
        }
}

/// read s, build s, triangles, peak bytes above what the process had before.
std::vector<double> load(const fs::path& file) {
    const double before = peakBytes();
    const double from_s = steadySeconds();
    constexpr float kCrease_rad = 0.698F;  // 40 degrees, the scene file's default
    ObjFile obj = readObj(file, kCrease_rad);
    const double read_s = steadySeconds() - from_s;
    Scene scene;
    scene.materials = std::move(obj.slotMaterial);
    Item item;
    item.mesh = std::move(obj.mesh);
    for (std::size_t m = 0; m < scene.materials.size(); ++m) item.materials.push_back(m);
    scene.items.push_back(std::move(item));
    const Stage stage(scene);
    return {read_s, steadySeconds() - from_s - read_s, static_cast<double>(stage.triangleCount()),
            peakBytes() - before};
}

void measure(int rings, int sides, int repeats, double goal_s, double goal_bytes) {
    const fs::path file = fs::temp_directory_path() / fmt::format("keyfall_bench_{}.obj", getpid());
    writeBall(file, rings, sides);
    std::vector<double> read_s, build_s, all_s, bytes;
    double triangles = 0.0;
    for (int i = 0; i < repeats; ++i) {
        const std::vector<double> f = inChild([&] { return load(file); });
        triangles = f[2];
        read_s.push_back(f[0]);
        build_s.push_back(f[1]);
        all_s.push_back(f[0] + f[1]);
        bytes.push_back(f[3] / triangles);
    }
    fs::remove(file);
    const Spread s = spreadOf(all_s);
    const Spread b = spreadOf(bytes);
    printGoal(fmt::format("{:.0f} triangles, load + build", triangles), text(s, 2) + " s",
              fmt::format("<= {} s", goal_s), s.median <= goal_s);
    fmt::print("    read {} s, build {} s\n", text(spreadOf(read_s), 2), text(spreadOf(build_s), 2));
    printGoal("    peak memory per triangle", text(b, 0) + " B", fmt::format("<= {} B", goal_bytes),
              b.median <= goal_bytes);
}

}  // namespace

void benchMeshes(const Settings& settings) {
    fmt::print("Large meshes: OBJ without normals, all cores, wall clock, peak of a fresh process\n");
    measure(400, 500, settings.repeats, 1.5, 600.0);
    measure(1000, 1000, std::min(settings.repeats, 3), 7.0, 600.0);
}

}  // namespace keyfall::bench
